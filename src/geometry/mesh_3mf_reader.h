/* What the two halves of the 3MF reader share: walking the XML, and what each element means. */
#ifndef POISE_GEOMETRY_MESH_3MF_READER_H
#define POISE_GEOMETRY_MESH_3MF_READER_H

#include <expat.h>

#include "geometry/mesh_3mf.h"

#define POISE_3MF_SEPARATOR      '|' /* between a namespace and a name, in what expat hands out */
#define POISE_3MF_MODEL_RELATION "http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"

/* Elements within elements; the core model needs 6, metadata of others a few more. */
enum { POISE_3MF_MOST_DEPTH = 64 };

struct Poise3mfReader {
    XML_Parser parser;
    Poise3mfModel *model; /* NULL: relationships */
    const char *name;
    PoiseFaults *faults;
    PoiseStatus status;
    unsigned char stack[POISE_3MF_MOST_DEPTH + 1]; /* kinds of the open elements */
    int depth;
    bool seen_root;
    char *target;
};

size_t poise_3mf_line(const Poise3mfReader *r);
/* Stops reading; the first status stays. */
void poise_3mf_stop(Poise3mfReader *r, PoiseStatus status);
void poise_3mf_refuse(Poise3mfReader *r, const char *found, const char *expected);

/* The elements; each stops the reader when it is wrong. `attributes` as expat gives them. */
void poise_3mf_start_model(Poise3mfReader *r, const XML_Char **attributes);
void poise_3mf_start_object(Poise3mfReader *r, const XML_Char **attributes);
void poise_3mf_start_vertex(Poise3mfReader *r, const XML_Char **attributes);
void poise_3mf_start_triangle(Poise3mfReader *r, const XML_Char **attributes);
/* A build item, or a component of the last object. */
void poise_3mf_start_use(Poise3mfReader *r, const XML_Char **attributes, bool item);
void poise_3mf_start_relationship(Poise3mfReader *r, const XML_Char **attributes);

#endif
