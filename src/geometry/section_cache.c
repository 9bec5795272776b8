#include "geometry/section_cache.h"

#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

#include "base/file.h"
#include "base/memory.h"
#include "base/text.h"

/* Raise it whenever slicing gives other numbers or records look different within one release. */
#define LAYOUT 3
/* A temporary file older than this, seconds, belongs to a process that is gone. */
#define STALE_S   3600
#define SUFFIX    ".section"
#define TEMPORARY ".new-"

/* Records are read back by the program that wrote them or one just like it: plain memory, all
 * padding zero. The checksum covers everything before it. */
typedef struct Record {
    char magic[8];
    PoiseFingerprint key;
    PoiseLoadedSection loaded;
    uint64_t checksum;
} Record;

static const char record_magic[8] = {'p', 'o', 'i', 's', 'e', ' ', '0' + LAYOUT, '\n'};

PoiseFingerprint poise_cache_key(const void *mesh, size_t size, const char *unit,
                                 const PoiseSlicing *slicing)
{
    struct {
        PoiseFingerprint mesh;
        uint64_t size, layout, record;
        double number[5];
        int64_t count[2];
        char unit[16], version[24];
    } all;
    memset(&all, 0, sizeof all);
    all.mesh = poise_fingerprint(mesh, size);
    all.size = size;
    all.layout = LAYOUT;
    all.record = sizeof(Record);
    all.number[0] = slicing->layer_mm;
    all.number[1] = slicing->line_mm;
    for (int i = 0; i < 3; i++)
        all.number[2 + i] = slicing->up[i] + 0.0; /* −0 is 0 */
    all.count[0] = slicing->top;
    all.count[1] = slicing->bottom;
    snprintf(all.unit, sizeof all.unit, "%s", unit ? unit : "mm");
    snprintf(all.version, sizeof all.version, "%s", POISE_VERSION);
    return poise_fingerprint(&all, sizeof all);
}

/* Makes a directory unless it is there. */
static bool have_directory(const char *path)
{
    return mkdir(path, 0700) == 0 || errno == EEXIST;
}

/* Whether it is a directory of ours that nobody else may write to. */
static bool is_private(const char *path)
{
    struct stat st;
    return stat(path, &st) == 0 && S_ISDIR(st.st_mode) && st.st_uid == geteuid() &&
           (st.st_mode & (S_IWGRP | S_IWOTH)) == 0;
}

char *poise_cache_dir(void)
{
    const char *base = getenv("XDG_CACHE_HOME"), *home = getenv("HOME");
    char *parent = NULL;
    if (base && base[0] == '/') /* the specification says to ignore relative ones */
        parent = poise_copy_text(base);
    else if (home && home[0] == '/')
        parent = poise_path_join(home, ".cache");
    if (!parent)
        return NULL;
    char *dir = have_directory(parent) ? poise_path_join(parent, "poise") : NULL;
    poise_release(parent);
    if (dir && have_directory(dir) && is_private(dir))
        return dir;
    poise_release(dir);
    return NULL;
}

static char *record_path(const char *dir, const PoiseFingerprint *key)
{
    return poise_format("%s/%016llx%016llx" SUFFIX, dir, (unsigned long long)key->word[0],
                        (unsigned long long)key->word[1]);
}

static uint64_t checksum_of(const Record *record)
{
    return poise_xxh64(record, offsetof(Record, checksum), 0);
}

static bool all_finite(const double *values, size_t n)
{
    for (size_t i = 0; i < n; i++)
        if (!isfinite(values[i]))
            return false;
    return true;
}

static bool moments_are_finite(const PoiseMoments *m)
{
    return isfinite(m->volume_mm3) && all_finite(m->origin_mm, 3) && all_finite(m->first_mm4, 3) &&
           all_finite(m->second_mm5, 6);
}

/* A record that is whole may still be another program's idea of one: nothing in it may do harm. */
static bool is_sound(const PoiseLoadedSection *loaded)
{
    const PoiseSection *s = &loaded->section;
    bool good = memchr(loaded->unit_warning, '\0', sizeof loaded->unit_warning) != NULL;
    good = good && moments_are_finite(&s->solid) && s->solid.volume_mm3 > 0;
    good = good && isfinite(s->layered_mm3) && isfinite(s->simplified_mm2);
    good = good && all_finite(loaded->min_mm, 3) && all_finite(loaded->max_mm, 3);
    for (int n = 0; good && n <= POISE_MAX_PERIMETERS; n++)
        good = moments_are_finite(&s->splits[n].perimeter) &&
               moments_are_finite(&s->splits[n].skin) && moments_are_finite(&s->splits[n].infill);
    return good;
}

static bool read_record(int fd, Record *record)
{
    unsigned char *p = (unsigned char *)record;
    struct stat st;
    if (fstat(fd, &st) != 0 || !S_ISREG(st.st_mode) || (size_t)st.st_size != sizeof *record)
        return false;
    for (size_t have = 0; have < sizeof *record;) {
        ssize_t n = read(fd, p + have, sizeof *record - have);
        if (n < 0 && errno == EINTR)
            continue;
        if (n <= 0)
            return false;
        have += (size_t)n;
    }
    return true;
}

bool poise_cache_get(const char *dir, const PoiseFingerprint *key, PoiseLoadedSection *loaded)
{
    char *path = record_path(dir, key);
    Record *record = poise_alloc_zero(1, sizeof *record);
    int fd = path && record ? open(path, O_RDONLY | O_CLOEXEC | O_NOFOLLOW) : -1;
    bool good = false;
    if (fd >= 0) {
        good = read_record(fd, record) &&
               memcmp(record->magic, record_magic, sizeof record_magic) == 0 &&
               memcmp(&record->key, key, sizeof *key) == 0 &&
               checksum_of(record) == record->checksum && is_sound(&record->loaded);
        if (good) {
            *loaded = record->loaded;
            loaded->from_cache = true;
            struct stat st;
            if (fstat(fd, &st) == 0 && time(NULL) - st.st_mtime > STALE_S)
                (void)futimens(fd, NULL); /* used: stays longer; once in a while is enough */
        }
        close(fd);
    }
    poise_release(record);
    poise_release(path);
    return good;
}

static bool write_record(int fd, const Record *record)
{
    const unsigned char *p = (const unsigned char *)record;
    for (size_t done = 0; done < sizeof *record;) {
        ssize_t n = write(fd, p + done, sizeof *record - done);
        if (n < 0 && errno == EINTR)
            continue;
        if (n <= 0)
            return false;
        done += (size_t)n;
    }
    return true;
}

typedef struct Kept {
    char *name;
    struct timespec used;
    size_t bytes;
} Kept;

static int by_age(const void *pa, const void *pb)
{
    const Kept *a = pa, *b = pb;
    if (a->used.tv_sec != b->used.tv_sec)
        return a->used.tv_sec < b->used.tv_sec ? -1 : 1;
    if (a->used.tv_nsec != b->used.tv_nsec)
        return a->used.tv_nsec < b->used.tv_nsec ? -1 : 1;
    return strcmp(a->name, b->name);
}

static bool ends_in(const char *text, const char *end)
{
    size_t n = strlen(text), m = strlen(end);
    return n >= m && strcmp(text + n - m, end) == 0;
}

/* Lists the records; takes away what crashed writers left. Stops quietly when memory runs out. */
static Kept *list_records(DIR *stream, size_t *count, size_t *total)
{
    Kept *kept = NULL;
    size_t capacity = 0;
    *count = *total = 0;
    for (struct dirent *entry; (entry = readdir(stream)) != NULL;) {
        struct stat st;
        bool temporary = strncmp(entry->d_name, TEMPORARY, strlen(TEMPORARY)) == 0;
        if ((!temporary && !ends_in(entry->d_name, SUFFIX)) ||
            fstatat(dirfd(stream), entry->d_name, &st, AT_SYMLINK_NOFOLLOW) != 0 ||
            !S_ISREG(st.st_mode))
            continue;
        if (temporary) {
            if (time(NULL) - st.st_mtime > STALE_S)
                (void)unlinkat(dirfd(stream), entry->d_name, 0);
            continue;
        }
        if (*count == capacity) {
            Kept *larger = poise_resize(kept, 2 * capacity + 64, sizeof *kept);
            if (!larger)
                break;
            kept = larger;
            capacity = 2 * capacity + 64;
        }
        char *name = poise_copy_text(entry->d_name);
        if (!name)
            break;
        /* what it takes on the disk, or says it does */
        size_t disk = (size_t)st.st_blocks * 512, bytes = (size_t)st.st_size;
        kept[(*count)++] =
            (Kept){.name = name, .used = st.st_mtim, .bytes = disk > bytes ? disk : bytes};
        *total += disk > bytes ? disk : bytes;
    }
    return kept;
}

static void drop_old(const char *dir, size_t limit)
{
    DIR *stream = opendir(dir);
    if (!stream)
        return;
    size_t count, total;
    Kept *kept = list_records(stream, &count, &total);
    if (total > limit)
        qsort(kept, count, sizeof *kept, by_age);
    for (size_t i = 0; i < count; i++) {
        if (total > limit && unlinkat(dirfd(stream), kept[i].name, 0) == 0)
            total -= kept[i].bytes;
        poise_release(kept[i].name);
    }
    poise_release(kept);
    closedir(stream);
}

void poise_cache_put(const char *dir, const PoiseFingerprint *key, const PoiseLoadedSection *loaded,
                     size_t limit)
{
    char *path = record_path(dir, key), *temporary = poise_format("%s/" TEMPORARY "XXXXXX", dir);
    Record *record = poise_alloc_zero(1, sizeof *record);
    if (path && temporary && record) {
        memcpy(record->magic, record_magic, sizeof record_magic);
        record->key = *key;
        memcpy(&record->loaded, loaded, sizeof *loaded);
        record->loaded.from_cache = false;
        record->checksum = checksum_of(record);
        int fd = mkstemp(temporary); /* mode 0600 */
        if (fd >= 0) {
            /* Not synced: after a crash the checksum tells a torn record from a whole one. */
            bool good = write_record(fd, record);
            good = close(fd) == 0 && good;
            if (!good || rename(temporary, path) != 0)
                (void)unlink(temporary);
            else
                drop_old(dir, limit);
        }
    }
    poise_release(record);
    poise_release(temporary);
    poise_release(path);
}
