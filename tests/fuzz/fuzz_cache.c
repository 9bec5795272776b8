/* Cache records: the input is put where a record is looked for, as it is; then over a stretch of a
 * genuine record (its first two bytes say where) with the checksum mended, so that the checks
 * behind it are reached too. A record that is accepted must be sound. */
#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include "fuzz.h"
#include "geometry/section_cache.h"

static const PoiseFingerprint key = {{0x0123456789abcdefull, 0xfedcba9876543210ull}};
static char dir[64], path[128];
static size_t record_size;
static uint8_t *genuine; /* a record as the program writes it */

static void clean_up(void)
{
    unlink(path);
    rmdir(dir);
    free(genuine);
}

static void begin(void)
{
    snprintf(dir, sizeof dir, "/tmp/poise-fuzz-cache-XXXXXX");
    REQUIRE(mkdtemp(dir) != NULL);
    snprintf(path, sizeof path, "%s/0123456789abcdeffedcba9876543210.section", dir);
    atexit(clean_up);
    static PoiseLoadedSection loaded;
    loaded.section.solid.volume_mm3 = 1000.0;
    loaded.triangles = 12;
    poise_cache_put(dir, &key, &loaded, POISE_CACHE_LIMIT_BYTES);
    struct stat st;
    REQUIRE(stat(path, &st) == 0);
    record_size = (size_t)st.st_size;
    genuine = malloc(record_size);
    int fd = open(path, O_RDONLY);
    REQUIRE(genuine && fd >= 0 && read(fd, genuine, record_size) == (ssize_t)record_size);
    close(fd);
    REQUIRE(poise_cache_get(dir, &key, &loaded));
}

static void put_and_get(const uint8_t *data, size_t size)
{
    int fd = open(path, O_WRONLY | O_CREAT | O_TRUNC, 0600);
    REQUIRE(fd >= 0 && write(fd, data, size) == (ssize_t)size && close(fd) == 0);
    PoiseLoadedSection loaded;
    if (!poise_cache_get(dir, &key, &loaded))
        return;
    REQUIRE(loaded.from_cache && loaded.section.solid.volume_mm3 > 0.0);
    REQUIRE(memchr(loaded.unit_warning, '\0', sizeof loaded.unit_warning) != NULL);
    for (int i = 0; i < 3; i++)
        REQUIRE(isfinite(loaded.min_mm[i]) && isfinite(loaded.max_mm[i]));
    for (int n = 0; n <= POISE_MAX_PERIMETERS; n++) {
        const PoiseSplit *s = &loaded.section.splits[n];
        const PoiseMoments *parts[3] = {&s->perimeter, &s->skin, &s->infill};
        for (int k = 0; k < 3; k++)
            for (int i = 0; i < 6; i++)
                REQUIRE(isfinite(parts[k]->second_mm5[i]) && isfinite(parts[k]->first_mm4[i / 2]));
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    if (!genuine)
        begin();
    put_and_get(data, size);
    uint8_t *mended = malloc(record_size);
    REQUIRE(mended != NULL);
    memcpy(mended, genuine, record_size);
    size_t head = 8 + sizeof key, tail = record_size - sizeof(uint64_t);
    FuzzBytes bytes = {data, size};
    size_t at = head + (size_t)fuzz_int(&bytes, 0, (int)(tail - head - 1));
    memcpy(mended + at, bytes.data, bytes.size < tail - at ? bytes.size : tail - at);
    uint64_t checksum = poise_xxh64(mended, tail, 0);
    memcpy(mended + tail, &checksum, sizeof checksum);
    put_and_get(mended, record_size);
    free(mended);
    return 0;
}
