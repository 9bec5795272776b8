/* Runs a fuzz target over stored inputs: files, or whole directories. Says which one it is at, so
 * that a crash names its input. Usage: replay_NAME FILE|DIRECTORY… */
#include <dirent.h>
#include <sys/stat.h>

#include "fuzz.h"

static int run_file(const char *path)
{
    FILE *f = fopen(path, "rb");
    if (!f) {
        perror(path);
        return 0;
    }
    fseek(f, 0, SEEK_END);
    long length = ftell(f);
    rewind(f);
    size_t size = length > 0 ? (size_t)length : 0;
    /* exactly as large as the input, so that AddressSanitizer sees a read past its end */
    uint8_t *data = malloc(size ? size : 1);
    if (!data || fread(data, 1, size, f) != size) {
        fprintf(stderr, "%s: cannot read\n", path);
        exit(1);
    }
    fclose(f);
    fprintf(stderr, "%s\n", path);
    LLVMFuzzerTestOneInput(data, size);
    free(data);
    return 1;
}

static int run_path(const char *path)
{
    struct stat st;
    if (stat(path, &st) != 0 || !S_ISDIR(st.st_mode))
        return run_file(path);
    DIR *dir = opendir(path);
    if (!dir)
        return 0;
    int count = 0;
    for (struct dirent *entry; (entry = readdir(dir)) != NULL;) {
        char inner[4096];
        snprintf(inner, sizeof inner, "%s/%s", path, entry->d_name);
        if (entry->d_name[0] != '.')
            count += run_file(inner);
    }
    closedir(dir);
    return count;
}

int main(int argc, char **argv)
{
    int count = 0;
    for (int i = 1; i < argc; i++)
        count += run_path(argv[i]);
    printf("%d inputs\n", count);
    return count > 0 ? 0 : 1; /* nothing replayed is no success */
}
