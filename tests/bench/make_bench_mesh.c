/* Writes the body that the benches slice as a binary STL: a rounded instrument body of 420 mm × 330
 * mm × 46 mm with a pocket and hollows. Usage: make_bench_mesh TRIANGLES OUT.stl */
#include <stdio.h>

#include "bench_mesh.h"

int main(int argc, char **argv)
{
    char *end = NULL;
    unsigned long wanted = argc == 3 ? strtoul(argv[1], &end, 10) : 0;
    if (!end || *end || wanted < 1000 || wanted > 20000000) {
        fprintf(stderr, "usage: make_bench_mesh TRIANGLES OUT.stl (1000 to 20000000 triangles)\n");
        return 2;
    }
    if (!bench_write_body(wanted, argv[2])) {
        fprintf(stderr, "make_bench_mesh: cannot write %s\n", argv[2]);
        return 5;
    }
    return 0;
}
