/* Sections loaded from files, and the records kept of them. */
#include <dirent.h>
#include <fcntl.h>
#include <stdlib.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#include "base/memory.h"
#include "check.h"
#include "geometry/section_cache.h"
#include "shapes.h"

static char home[] = "/tmp/poise-cache-XXXXXX";
static char cache[64], records[80], mesh_path[64];

/* Writes a mesh as a binary STL. */
static void write_stl(const PoiseMesh *mesh, const char *path)
{
    FILE *file = fopen(path, "wb");
    assert_non_null(file);
    char header[80] = "made by a test";
    uint32_t count = (uint32_t)mesh->triangle_count;
    fwrite(header, 1, sizeof header, file);
    fwrite(&count, sizeof count, 1, file);
    for (size_t t = 0; t < mesh->triangle_count; t++) {
        float v[12] = {0};
        for (int i = 0; i < 9; i++)
            v[3 + i] = (float)mesh->vertices_mm[3 * (size_t)mesh->triangles[3 * t + (size_t)i / 3] +
                                                (size_t)i % 3];
        fwrite(v, sizeof v, 1, file);
        fwrite("\0\0", 1, 2, file);
    }
    assert_int_equal(fclose(file), 0);
}

static void write_box(double height)
{
    PoiseMesh *mesh = shape_new();
    shape_box(mesh, 0, 0, 0, 20, 10, height);
    write_stl(mesh, mesh_path);
    shape_free(mesh);
}

static void remove_records(void)
{
    DIR *stream = opendir(records);
    if (!stream)
        return;
    for (struct dirent *entry; (entry = readdir(stream)) != NULL;)
        if (entry->d_name[0] != '.' || strlen(entry->d_name) > 2)
            unlinkat(dirfd(stream), entry->d_name, 0);
    closedir(stream);
    rmdir(records);
}

/* The one record's path; NULL when there is none, and a failure when there are several. */
static const char *only_record(void)
{
    static char path[400];
    DIR *stream = opendir(records);
    int n = 0;
    for (struct dirent *entry; stream && (entry = readdir(stream)) != NULL;)
        if (strcmp(entry->d_name, ".") != 0 && strcmp(entry->d_name, "..") != 0) {
            snprintf(path, sizeof path, "%s/%s", records, entry->d_name);
            n++;
        }
    if (stream)
        closedir(stream);
    assert_true(n <= 1);
    return n ? path : NULL;
}

static int make_home(void **state)
{
    (void)state;
    if (!mkdtemp(home))
        return -1;
    snprintf(cache, sizeof cache, "%s/cache", home);
    snprintf(records, sizeof records, "%s/poise", cache);
    snprintf(mesh_path, sizeof mesh_path, "%s/box.stl", home);
    return setenv("XDG_CACHE_HOME", cache, 1);
}

static int remove_home(void **state)
{
    (void)state;
    remove_records();
    rmdir(cache);
    unlink(mesh_path);
    return rmdir(home);
}

static int begin(void **state)
{
    (void)state;
    remove_records();
    write_box(6);
    return setenv("XDG_CACHE_HOME", cache, 1);
}

static PoiseLoadedSection load_as(const char *unit, const PoiseSlicing *slicing, bool no_cache)
{
    PoiseSectionOptions options = {.threads = 1, .no_cache = no_cache};
    PoiseLoadedSection loaded;
    assert_int_equal(poise_section_load(mesh_path, unit, slicing, &options, &loaded, NULL),
                     POISE_OK);
    return loaded;
}

static PoiseLoadedSection load(void)
{
    PoiseSlicing s = poise_slicing_default();
    return load_as(NULL, &s, false);
}

static void twice(void **state)
{
    (void)state;
    PoiseLoadedSection first = load(), second = load();
    assert_false(first.from_cache);
    assert_true(second.from_cache);
    second.from_cache = false;
    assert_memory_equal(&first, &second, sizeof first);
    check_close(first.section.solid.volume_mm3, 1200.0, 1e-12);
    check_near(first.max_mm[0], 20.0, 0);
    assert_int_equal(first.triangles, 12);
    struct stat st;
    assert_int_equal(stat(records, &st), 0);
    assert_int_equal(st.st_mode & 0777, 0700);
    assert_int_equal(stat(only_record(), &st), 0);
    assert_int_equal(st.st_mode & 0077, 0);
}

/* Whatever the result depends on makes another record; "mm" and no unit are the same. */
static void keys(void **state)
{
    (void)state;
    PoiseSlicing s = poise_slicing_default();
    load();
    assert_true(load_as("mm", &s, false).from_cache);
    PoiseLoadedSection inches = load_as("in", &s, false);
    assert_false(inches.from_cache);
    check_close(inches.section.solid.volume_mm3, 1200.0 * 25.4 * 25.4 * 25.4, 1e-9);
    for (int i = 0; i < 6; i++) {
        PoiseSlicing other = s;
        other.layer_mm = i == 0 ? 0.3 : s.layer_mm;
        other.line_mm = i == 1 ? 0.4 : s.line_mm;
        other.top += i == 2;
        other.bottom += i == 3;
        other.up[1] = i == 4 ? 1 : 0;
        other.up[2] = i == 5 ? -1 : 1;
        assert_false(load_as(NULL, &other, false).from_cache);
        assert_true(load_as(NULL, &other, false).from_cache);
    }
    write_box(6.5);
    assert_false(load().from_cache);
    check_close(load().section.solid.volume_mm3, 1300.0, 1e-12);
    write_box(6);
    assert_true(load().from_cache);
}

static void not_wanted(void **state)
{
    (void)state;
    PoiseSlicing s = poise_slicing_default();
    assert_false(load_as(NULL, &s, true).from_cache);
    assert_null(only_record());
    load();
    assert_false(load_as(NULL, &s, true).from_cache);
}

/* A damaged record is no record: each byte in turn, and each length. */
static void damaged(void **state)
{
    (void)state;
    PoiseLoadedSection good = load();
    char path[400];
    snprintf(path, sizeof path, "%s", only_record());
    FILE *file = fopen(path, "rb");
    static unsigned char bytes[65536];
    size_t size = fread(bytes, 1, sizeof bytes, file);
    fclose(file);
    assert_true(size > 1000 && size < sizeof bytes);
    for (size_t i = 0; i < size + 3; i += 97) {
        file = fopen(path, "wb");
        bytes[i < size ? i : 0] ^= 0x40;
        fwrite(bytes, 1, size, file);
        fclose(file);
        bytes[i < size ? i : 0] ^= 0x40;
        PoiseLoadedSection loaded = load();
        assert_false(loaded.from_cache);
        assert_memory_equal(&loaded, &good, sizeof good);
        assert_true(load().from_cache); /* and it has been mended */
    }
    for (size_t cut = 0; cut < size; cut += 501) {
        assert_int_equal(truncate(path, (off_t)cut), 0);
        assert_false(load().from_cache);
        assert_true(load().from_cache);
    }
}

/* Where no record can be kept, the answer comes all the same. */
static void nowhere(void **state)
{
    (void)state;
    setenv("XDG_CACHE_HOME", "/proc/none", 1);
    assert_false(load().from_cache);
    assert_false(load().from_cache);
    setenv("XDG_CACHE_HOME", "relative", 1); /* to be ignored, by the specification */
    char was[400];
    snprintf(was, sizeof was, "%s", getenv("HOME") ? getenv("HOME") : "/");
    unsetenv("HOME");
    assert_null(poise_cache_dir());
    assert_false(load().from_cache);
    setenv("HOME", was, 1);
    setenv("XDG_CACHE_HOME", cache, 1);
    load();
    assert_int_equal(chmod(records, 0777), 0); /* others may write: not to be trusted */
    assert_false(load().from_cache);
    assert_int_equal(chmod(records, 0700), 0);
    assert_true(load().from_cache);
}

/* The least recently used records go first, until the rest keeps within the bound. */
static void bounded(void **state)
{
    (void)state;
    PoiseLoadedSection loaded = load();
    remove_records();
    char *dir = poise_cache_dir();
    assert_non_null(dir);
    PoiseSlicing s = poise_slicing_default();
    struct stat st;
    PoiseFingerprint key[6];
    for (int i = 0; i < 6; i++) {
        s.top = i;
        key[i] = poise_cache_key("mesh", 4, NULL, &s);
        poise_cache_put(dir, &key[i], &loaded, SIZE_MAX);
        char path[400];
        snprintf(path, sizeof path, "%s/%016llx%016llx.section", dir,
                 (unsigned long long)key[i].word[0], (unsigned long long)key[i].word[1]);
        assert_int_equal(stat(path, &st), 0);
        struct timespec when[2] = {{.tv_sec = time(NULL) - 100000 + i},
                                   {.tv_sec = time(NULL) - 100000 + i}};
        assert_int_equal(utimensat(AT_FDCWD, path, when, 0), 0);
    }
    PoiseLoadedSection got;
    assert_true(poise_cache_get(dir, &key[0], &got)); /* used: the youngest now */
    size_t each = (size_t)st.st_blocks * 512 > (size_t)st.st_size ? (size_t)st.st_blocks * 512
                                                                  : (size_t)st.st_size;
    poise_cache_put(dir, &key[5], &loaded, 3 * each + each / 2); /* written again: young, too */
    for (int i = 0; i < 6; i++)
        assert_int_equal(poise_cache_get(dir, &key[i], &got), i == 0 || i >= 4);
    poise_release(dir);
}

/* Several processes at the same records: all get the right numbers, and no temporary file stays. */
static void together(void **state)
{
    (void)state;
    enum { PROCESSES = 4 };
    pid_t child[PROCESSES];
    for (int p = 0; p < PROCESSES; p++) {
        child[p] = fork();
        assert_true(child[p] >= 0);
        if (child[p] == 0) {
            int wrong = 0;
            for (int i = 0; i < 30; i++) {
                PoiseSlicing s = poise_slicing_default();
                s.top = i % 3;
                PoiseSectionOptions options = {.threads = 1};
                PoiseLoadedSection loaded;
                wrong +=
                    poise_section_load(mesh_path, NULL, &s, &options, &loaded, NULL) != POISE_OK;
                double skin = 200 * 0.2 * (4 + i % 3);
                wrong += !(fabs(loaded.section.splits[0].skin.volume_mm3 - skin) < 1e-6);
                char *dir = poise_cache_dir();
                PoiseFingerprint key = poise_cache_key("x", 1, NULL, &s);
                if (dir)
                    poise_cache_put(dir, &key, &loaded,
                                    i % 4 ? SIZE_MAX : 0); /* and clear it now and then */
                poise_release(dir);
            }
            _exit(wrong ? 1 : 0);
        }
    }
    for (int p = 0; p < PROCESSES; p++) {
        int how;
        assert_int_equal(waitpid(child[p], &how, 0), child[p]);
        assert_true(WIFEXITED(how) && WEXITSTATUS(how) == 0);
    }
    DIR *stream = opendir(records);
    for (struct dirent *entry; (entry = readdir(stream)) != NULL;)
        assert_true(strncmp(entry->d_name, ".new-", 5) != 0);
    closedir(stream);
}

static void refusals(void **state)
{
    (void)state;
    PoiseSectionOptions options = {.threads = 1};
    PoiseSlicing s = poise_slicing_default();
    PoiseLoadedSection loaded;
    assert_int_equal(poise_section_load("/nowhere/at.stl", NULL, &s, &options, &loaded, NULL),
                     POISE_E_IO);
    FILE *file = fopen(mesh_path, "wb");
    fputs("no mesh at all", file);
    fclose(file);
    assert_int_equal(poise_section_load(mesh_path, NULL, &s, &options, &loaded, NULL),
                     POISE_E_MESH);
    PoiseMesh *mesh = shape_new();
    shape_box(mesh, 0, 0, 0, 20, 10, 6);
    mesh->triangle_count--;
    write_stl(mesh, mesh_path);
    assert_int_equal(poise_section_load(mesh_path, NULL, &s, &options, &loaded, NULL),
                     POISE_E_MESH);
    mesh->triangle_count++;
    shape_invert(mesh, 0);
    write_stl(mesh, mesh_path);
    assert_int_equal(poise_section_load(mesh_path, NULL, &s, &options, &loaded, NULL),
                     POISE_E_MESH);
    shape_free(mesh);
    s.layer_mm = 0;
    write_box(6);
    assert_int_equal(poise_section_load(mesh_path, NULL, &s, &options, &loaded, NULL),
                     POISE_E_USAGE);
    assert_null(only_record()); /* failures are not kept */
}

/* The cache never fails a run for want of memory, cold or warm; reading and slicing may. */
static void no_memory(void **state)
{
    (void)state;
    PoiseSlicing s = poise_slicing_default();
    PoiseSectionOptions options = {.threads = 1};
    PoiseLoadedSection good = load(), loaded;
    for (int warm = 0; warm < 2; warm++)
        for (long i = 0;; i++) {
            if (!warm)
                remove_records();
            else
                load();
            poise_alloc_fail_at(i, 0);
            PoiseStatus status = poise_section_load(mesh_path, NULL, &s, &options, &loaded, NULL);
            long count = poise_alloc_fail_at(-1, 0);
            assert_true(status == POISE_OK || status == POISE_E_MEMORY);
            if (status == POISE_OK) {
                loaded.from_cache = false;
                assert_memory_equal(&loaded, &good, sizeof good);
            }
            if (count <= i)
                break;
        }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup(twice, begin),      cmocka_unit_test_setup(keys, begin),
        cmocka_unit_test_setup(not_wanted, begin), cmocka_unit_test_setup(damaged, begin),
        cmocka_unit_test_setup(nowhere, begin),    cmocka_unit_test_setup(bounded, begin),
        cmocka_unit_test_setup(together, begin),   cmocka_unit_test_setup(refusals, begin),
        cmocka_unit_test_setup(no_memory, begin),
    };
    return cmocka_run_group_tests(tests, make_home, remove_home);
}
