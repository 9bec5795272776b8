/* Reading the XML parts of a 3MF package as they are inflated. 3MF Core Specification 1.4.0. */
#include <string.h>

#include "base/faults.h"
#include "base/memory.h"
#include "geometry/mesh_3mf_reader.h"

#define CORE_NAMESPACE      "http://schemas.microsoft.com/3dmanufacturing/core/2015/02"
#define RELATIONS_NAMESPACE "http://schemas.openxmlformats.org/package/2006/relationships"

typedef enum Element {
    NOWHERE, /* outside the root, and inside anything unknown */
    UNKNOWN,
    MODEL,
    RESOURCES,
    OBJECT,
    MESH,
    VERTICES,
    VERTEX,
    TRIANGLES,
    TRIANGLE,
    COMPONENTS,
    COMPONENT,
    BUILD,
    ITEM,
    RELATIONSHIPS,
    RELATIONSHIP
} Element;

static const struct {
    Element parent, element;
    const char *name;
} GRAMMAR[] = {
    {VERTICES, VERTEX, "vertex"},
    {TRIANGLES, TRIANGLE, "triangle"},
    {NOWHERE, MODEL, "model"},
    {MODEL, RESOURCES, "resources"},
    {RESOURCES, OBJECT, "object"},
    {OBJECT, MESH, "mesh"},
    {MESH, VERTICES, "vertices"},
    {MESH, TRIANGLES, "triangles"},
    {OBJECT, COMPONENTS, "components"},
    {COMPONENTS, COMPONENT, "component"},
    {MODEL, BUILD, "build"},
    {BUILD, ITEM, "item"},
};

size_t poise_3mf_line(const Poise3mfReader *r)
{
    return (size_t)XML_GetCurrentLineNumber(r->parser);
}

void poise_3mf_stop(Poise3mfReader *r, PoiseStatus status)
{
    if (!r->status)
        r->status = status;
    XML_StopParser(r->parser, XML_FALSE);
}

void poise_3mf_refuse(Poise3mfReader *r, const char *found, const char *expected)
{
    if (r->status)
        return;
    poise_3mf_stop(
        r, poise_fault_add(
               r->faults, &(PoiseFault){.status = POISE_E_MESH,
                                        .file = r->name,
                                        .line = poise_3mf_line(r),
                                        .column = (size_t)XML_GetCurrentColumnNumber(r->parser) + 1,
                                        .found = found,
                                        .expected = expected}));
}

static Element classify(const Poise3mfReader *r, const XML_Char *name)
{
    Element parent = (Element)r->stack[r->depth];
    if (!r->model) {
        if (parent == NOWHERE && r->depth == 0 &&
            strcmp(name, RELATIONS_NAMESPACE "|Relationships") == 0)
            return RELATIONSHIPS;
        return parent == RELATIONSHIPS && strcmp(name, RELATIONS_NAMESPACE "|Relationship") == 0
                   ? RELATIONSHIP
                   : UNKNOWN;
    }
    static const size_t prefix = sizeof CORE_NAMESPACE; /* with the separator in the NUL's place */
    if (strncmp(name, CORE_NAMESPACE "|", prefix) != 0)
        return UNKNOWN;
    for (size_t i = 0; i < sizeof GRAMMAR / sizeof *GRAMMAR; i++)
        if (GRAMMAR[i].parent == parent && (parent != NOWHERE || r->depth == 0) &&
            strcmp(name + prefix, GRAMMAR[i].name) == 0)
            return GRAMMAR[i].element;
    return UNKNOWN;
}

static void XMLCALL on_start(void *context, const XML_Char *name, const XML_Char **attributes)
{
    Poise3mfReader *r = context;
    if (r->status)
        return;
    if (r->depth == POISE_3MF_MOST_DEPTH) {
        poise_3mf_refuse(r, "elements nested too deeply", "a 3MF model");
        return;
    }
    Element element = classify(r, name);
    if (r->depth == 0) {
        r->seen_root = element != UNKNOWN;
        if (!r->seen_root) {
            poise_3mf_refuse(r, "XML of another kind",
                             r->model ? "a 3MF core model" : "the relationships of a package");
            return;
        }
    }
    r->stack[++r->depth] = (unsigned char)element;
    switch (element) {
    case VERTEX:
        poise_3mf_start_vertex(r, attributes);
        break;
    case TRIANGLE:
        poise_3mf_start_triangle(r, attributes);
        break;
    case MODEL:
        poise_3mf_start_model(r, attributes);
        break;
    case OBJECT:
        poise_3mf_start_object(r, attributes);
        break;
    case COMPONENT:
        poise_3mf_start_use(r, attributes, false);
        break;
    case ITEM:
        poise_3mf_start_use(r, attributes, true);
        break;
    case RELATIONSHIP:
        poise_3mf_start_relationship(r, attributes);
        break;
    default:
        break;
    }
}

static void XMLCALL on_end(void *context, const XML_Char *name)
{
    (void)name;
    Poise3mfReader *r = context;
    if (!r->status)
        r->depth--;
}

/* Neither a model nor a relationship part needs a document type, and entities can blow a small file
 * up. */
static void XMLCALL on_doctype(void *context, const XML_Char *name, const XML_Char *system_id,
                               const XML_Char *public_id, int internal)
{
    (void)name, (void)system_id, (void)public_id, (void)internal;
    poise_3mf_refuse(context, "a document type declaration", "XML without one");
}

static void *expat_alloc(size_t size)
{
    return poise_alloc(size);
}

static void *expat_resize(void *block, size_t size)
{
    return poise_resize(block, size, 1);
}

static void expat_release(void *block)
{
    poise_release(block);
}

Poise3mfReader *poise_3mf_reader_new(Poise3mfModel *model, const char *name, PoiseFaults *faults)
{
    static const XML_Memory_Handling_Suite memory = {expat_alloc, expat_resize, expat_release};
    static const XML_Char separator[] = {POISE_3MF_SEPARATOR, '\0'};
    Poise3mfReader *r = poise_alloc_zero(1, sizeof *r);
    if (!r)
        return NULL;
    *r = (Poise3mfReader){.model = model, .name = name, .faults = faults};
    r->parser = XML_ParserCreate_MM(NULL, &memory, separator);
    if (!r->parser) {
        poise_release(r);
        return NULL;
    }
    XML_SetUserData(r->parser, r);
    XML_SetElementHandler(r->parser, on_start, on_end);
    XML_SetStartDoctypeDeclHandler(r->parser, on_doctype);
    XML_SetParamEntityParsing(r->parser, XML_PARAM_ENTITY_PARSING_NEVER);
    return r;
}

PoiseStatus poise_3mf_reader_feed(Poise3mfReader *r, const char *data, size_t size, bool last)
{
    if (!r->status && XML_Parse(r->parser, data, (int)size, last) != XML_STATUS_OK && !r->status) {
        enum XML_Error error = XML_GetErrorCode(r->parser);
        if (error == XML_ERROR_NO_MEMORY)
            r->status = poise_fault_memory(r->faults);
        else
            poise_3mf_refuse(r, XML_ErrorString(error), "well-formed XML");
    }
    return r->status;
}

const char *poise_3mf_reader_target(const Poise3mfReader *r)
{
    return r->target;
}

void poise_3mf_reader_free(Poise3mfReader *r)
{
    if (!r)
        return;
    XML_ParserFree(r->parser);
    poise_release(r->target);
    poise_release(r);
}

void poise_3mf_model_clear(Poise3mfModel *model)
{
    poise_release(model->vertices);
    poise_release(model->triangles);
    poise_release(model->objects);
    poise_release(model->components);
    poise_release(model->items);
    *model = (Poise3mfModel){0};
}
