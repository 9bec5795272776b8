/* STL, binary and ASCII. The binary layout (an 80-byte header, a little-endian count, 50 bytes a
 * triangle) as in P. Bourke, "StL Format", 1999. The normals and the attribute bytes are not used:
 * the order of the corners says which side is out. */
#include <stdio.h>
#include <string.h>

#include "base/faults.h"
#include "base/limits.h"
#include "base/memory.h"
#include "base/text.h"
#include "geometry/mesh_build.h"
#include "geometry/number.h"
#include "geometry/tetrahedra.h"

enum { HEADER = 84, FACET = 50, CORNERS_AT = 12 };

/* Compiled a second time for processors with wider registers; which one runs is decided when the
 * program starts. No product is fused with a sum in either, so the digits are the same. The
 * sanitizers are not set up yet when that is decided. */
#if defined __x86_64__ && defined __GLIBC__ && defined __GNUC__ && !defined __clang__ &&           \
    !defined __SANITIZE_ADDRESS__ && !defined __SANITIZE_THREAD__
#define POISE_WIDE __attribute__((target_clones("avx2", "default")))
#else
#define POISE_WIDE
#endif

static uint32_t little_endian(const unsigned char *b)
{
    return (uint32_t)b[0] | (uint32_t)b[1] << 8 | (uint32_t)b[2] << 16 | (uint32_t)b[3] << 24;
}

bool poise_is_stl_binary(const unsigned char *data, size_t size)
{
    /* Text has at least 0x09 in each byte of the count, 151 million triangles: no text passes this.
     */
    return size >= HEADER && size == HEADER + (size_t)FACET * little_endian(data + 80);
}

static double coordinate(const unsigned char *b)
{
    uint32_t bits = little_endian(b);
    float value;
    memcpy(&value, &bits, sizeof value);
    return (double)value;
}

POISE_WIDE PoiseMoments poise_stl_moments(const unsigned char *data, size_t size, double scale)
{
    PoiseSum sums[POISE_TETRAHEDRON_TERMS] = {{0}};
    double origin[3] = {0, 0, 0};
    const unsigned char *at = data + HEADER + CORNERS_AT, *end = data + size;
    for (size_t i = 0; i < 3 && at < end; i++)
        origin[i] = coordinate(at + 4 * i) * scale;
    while (at < end) {
        PoiseTetrahedra block;
        size_t n = 0;
        for (; n < POISE_TETRAHEDRON_BLOCK && at < end; n++, at += FACET)
            for (size_t corner = 0; corner < 3; corner++)
                for (size_t axis = 0; axis < 3; axis++)
                    poise_tetrahedra_set(&block, n, corner, axis,
                                         coordinate(at + 12 * corner + 4 * axis) * scale -
                                             origin[axis]);
        for (; n < POISE_TETRAHEDRON_BLOCK; n++)
            for (size_t i = 0; i < 9; i++)
                poise_tetrahedra_set(&block, n, i / 3, i % 3, 0.0);
        poise_tetrahedra_add(&block, sums);
    }
    return poise_tetrahedra_moments(sums, origin);
}

static PoiseStatus bad_corner(const double p[3], size_t triangle, const char *name,
                              PoiseFaults *faults)
{
    char *where = poise_format("triangle %zu", triangle + 1);
    if (!where)
        return poise_fault_memory(faults);
    PoiseStatus status = poise_coordinates_fault(p, name, where, faults);
    poise_release(where);
    return status;
}

PoiseStatus poise_stl_binary(const unsigned char *data, size_t size, const char *name, double scale,
                             PoiseWeld *weld, PoiseFaults *faults)
{
    if (size < HEADER)
        return poise_fault_say(faults, POISE_E_MESH, name,
                               "the file ends after %zu bytes; a binary STL has a header of 84",
                               size);
    size_t count = little_endian(data + 80);
    if (size != HEADER + FACET * count)
        return poise_fault_say(
            faults, POISE_E_MESH, name,
            "the header promises %zu triangles, a file of %zu bytes, but the file has %zu "
            "bytes; it is cut short, or not an STL file",
            count, HEADER + FACET * count, size);
    if (count > POISE_LIMIT_TRIANGLES)
        return poise_fault_say(faults, POISE_E_MESH, name,
                               "%zu triangles are more than the limit of %zu", count,
                               POISE_LIMIT_TRIANGLES);
    if (!poise_weld_reserve(weld, count))
        return poise_fault_memory(faults);
    weld->moments = poise_stl_moments(data, size, scale);
    weld->integrated = true;
    enum { BATCH = POISE_WELD_BATCH / 3 };
    for (size_t start = 0; start < count; start += BATCH) {
        size_t n = count - start < BATCH ? count - start : BATCH;
        double corners[POISE_WELD_BATCH][3];
        uint32_t vertices[POISE_WELD_BATCH];
        for (size_t k = 0; k < 3 * n; k++) {
            const unsigned char *at =
                data + HEADER + FACET * (start + k / 3) + CORNERS_AT + 12 * (k % 3);
            for (size_t i = 0; i < 3; i++)
                corners[k][i] = coordinate(at + 4 * i) * scale;
            if (!poise_coordinates_ok(corners[k]))
                return bad_corner(corners[k], start + k / 3, name, faults);
        }
        if (!poise_weld_corners(weld, (const double(*)[3])corners, 3 * n, vertices))
            return poise_fault_memory(faults);
        for (size_t k = 0; k < n; k++)
            if (!poise_weld_triangle(weld, &vertices[3 * k]))
                return poise_fault_memory(faults);
    }
    return POISE_OK;
}

/* A place in a text file. */
typedef struct Reader {
    const char *p, *end;
    size_t line;
    const char *name;
    PoiseFaults *faults;
} Reader;

static bool is_space(char c)
{
    return c == ' ' || (c >= '\t' && c <= '\r');
}

static void skip_space(Reader *r)
{
    for (; r->p < r->end && is_space(*r->p); r->p++)
        r->line += *r->p == '\n';
}

static void skip_line(Reader *r)
{
    while (r->p < r->end && *r->p != '\n' && *r->p != '\r')
        r->p++;
}

/* The next word's length; the word starts at r->p. 0 at the end of the file. */
static size_t next_word(Reader *r)
{
    skip_space(r);
    const char *q = r->p;
    while (q < r->end && !is_space(*q))
        q++;
    return (size_t)(q - r->p);
}

static bool word_is(const Reader *r, size_t n, const char *word)
{
    if (n != strlen(word))
        return false;
    for (size_t i = 0; i < n; i++) {
        char c = r->p[i];
        if ((c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c) != word[i])
            return false;
    }
    return true;
}

static PoiseStatus unexpected(Reader *r, size_t n, const char *expected)
{
    enum { SHOWN = 40 };
    char found[SHOWN + 8] = "the end of the file";
    if (n) {
        size_t shown = n < SHOWN ? n : SHOWN;
        found[0] = '"';
        memcpy(found + 1, r->p, shown);
        memcpy(found + 1 + shown, "\"", 2);
    }
    return poise_fault_add(r->faults, &(PoiseFault){.status = POISE_E_MESH,
                                                    .file = r->name,
                                                    .line = r->line,
                                                    .column = 1,
                                                    .found = found,
                                                    .expected = expected,
                                                    .hint = n ? NULL : "the file is cut short"});
}

static PoiseStatus take(Reader *r, const char *word)
{
    size_t n = next_word(r);
    if (!word_is(r, n, word)) {
        char expected[32];
        snprintf(expected, sizeof expected, "\"%s\"", word);
        return unexpected(r, n, expected);
    }
    r->p += n;
    return POISE_OK;
}

static PoiseStatus take_corner(Reader *r, double scale, double corner[3])
{
    PoiseStatus status = take(r, "vertex");
    for (int i = 0; i < 3 && !status; i++) {
        size_t n = next_word(r);
        double value;
        if (n == 0 || poise_number_scan(r->p, r->p + n, &value) != n)
            return unexpected(r, n, "a number");
        r->p += n;
        corner[i] = value * scale;
    }
    if (status || poise_coordinates_ok(corner))
        return status;
    char *where = poise_format("line %zu", r->line);
    if (!where)
        return poise_fault_memory(r->faults);
    status = poise_coordinates_fault(corner, r->name, where, r->faults);
    poise_release(where);
    return status;
}

/* The rest of a facet, after the word "facet". */
static PoiseStatus take_facet(Reader *r, double scale, PoiseWeld *weld)
{
    PoiseStatus status = take(r, "normal");
    /* Writers put all sorts of things into the normals of slivers ("nan"); they are not used. */
    for (int i = 0; i < 3 && !status; i++) {
        size_t n = next_word(r);
        if (n == 0 || word_is(r, n, "outer"))
            return unexpected(r, n, "a number");
        r->p += n;
    }
    if (!status)
        status = take(r, "outer");
    if (!status)
        status = take(r, "loop");
    double corners[3][3];
    for (int k = 0; k < 3 && !status; k++)
        status = take_corner(r, scale, corners[k]);
    if (!status)
        status = take(r, "endloop");
    if (!status)
        status = take(r, "endfacet");
    if (status)
        return status;
    if (weld->triangle_count >= POISE_LIMIT_TRIANGLES)
        return poise_fault_say(r->faults, POISE_E_MESH, r->name,
                               "more triangles than the limit of %zu", POISE_LIMIT_TRIANGLES);
    uint32_t vertices[3];
    if (!poise_weld_corners(weld, (const double(*)[3])corners, 3, vertices) ||
        !poise_weld_triangle(weld, vertices))
        return poise_fault_memory(r->faults);
    return POISE_OK;
}

PoiseStatus poise_stl_text(const char *data, size_t size, const char *name, double scale,
                           PoiseWeld *weld, PoiseFaults *faults)
{
    Reader r = {.p = data, .end = data + size, .line = 1, .name = name, .faults = faults};
    size_t n;
    while ((n = next_word(&r)) > 0) {
        if (!word_is(&r, n, "solid"))
            return unexpected(&r, n, "\"solid\"");
        skip_line(&r); /* the solid's name, any text */
        for (;;) {
            n = next_word(&r);
            if (word_is(&r, n, "endsolid"))
                break;
            if (!word_is(&r, n, "facet"))
                return unexpected(&r, n, "\"facet\" or \"endsolid\"");
            r.p += n;
            PoiseStatus status = take_facet(&r, scale, weld);
            if (status)
                return status;
        }
        skip_line(&r);
    }
    return POISE_OK;
}
