/* One section on its own: the options become an instrument of one item, so that the reader, the
 * units and the messages are the same as in a file. */
#include <cjson/cJSON.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/faults.h"
#include "commands/command.h"
#include "output/section_report.h"
#include "poise/poise.h"

static const PoiseOption OPTIONS[] = {
    {"material", 'm', "NAME", false, "from the library (default petg); see \"poise parts\""},
    {"infill", 'i', "PERCENT", false, "\"20 %\" or 0.2 (default 20 %)"},
    {"perimeters", 'p', "N", false, "walls (default 3)"},
    {"layer", 'l', "MM", false, "layer height (default 0.2)"},
    {"line", 0, "MM", false, "width of an extruded line (default 0.45)"},
    {"top", 0, "N", false, "solid top layers (default 5)"},
    {"bottom", 0, "N", false, "solid bottom layers (default 4)"},
    {"up", 0, "X,Y,Z", false, "build direction in the mesh's axes (default 0,0,1)"},
    {"flow", 0, "FACTOR", false, "plastic laid, over what the drawing takes (default 1)"},
    {"mesh-unit", 0, "UNIT", false, "unit of an STL or OBJ file: mm, cm, m, in, ft"},
    {"toolpath", 0, "FILE", false, "the printer's program: the mass is then what it lays"},
    {"toolpath-turn", 0, "DEG", false, "how the part is turned on the bed, anticlockwise"},
    {"bed", 0, "X,Y,Z", false, "printer's bed and height, to see whether it fits"},
    {"speed", 0, "MM3/S", false, "average volumetric flow of the printer (default 11.5)"},
    {"spool", 0, "MASS", false, "filament on a spool (default \"1 kg\")"},
    {"spool-price", 0, "PRICE", false, "price of a spool"},
    {"json", 0, NULL, false, "results as JSON, with the split for 0 to 8 perimeters"},
    {"threads", 0, "N", false, "threads for slicing; 0 (default): one per core"},
    {"no-cache", 0, NULL, false, "slice anew"},
    {0},
};

/* Text of an option as the file would hold it: a number when it is one whole, else a string. */
static cJSON *value_of(const char *text)
{
    char *end = NULL;
    double number = strtod(text, &end);
    bool plain = end != text && *end == '\0' && isfinite(number) && !strpbrk(text, "xXnN");
    return plain ? cJSON_CreateNumber(number) : cJSON_CreateString(text);
}

/* "1,0,0" as an array; what is not a number stays a string for the reader to refuse by name. */
static cJSON *list_of(const char *text)
{
    cJSON *list = cJSON_CreateArray();
    while (list && *text) {
        char part[64] = {0};
        size_t n = strcspn(text, ",");
        if (n >= sizeof part)
            n = sizeof part - 1;
        memcpy(part, text, n);
        cJSON_AddItemToArray(list, value_of(part));
        text += strcspn(text, ",");
        text += *text == ',';
    }
    return list;
}

static void set(cJSON *object, const char *key, const PoiseArguments *a, const char *option,
                bool list)
{
    const char *text = poise_option_value(a, option);
    if (text)
        cJSON_AddItemToObject(object, key, list ? list_of(text) : value_of(text));
}

static char *instrument_text(const PoiseArguments *a)
{
    const char *material = poise_option_value(a, "material");
    const char *unit = poise_option_value(a, "mesh-unit");
    cJSON *root = cJSON_CreateObject();
    cJSON_AddNumberToObject(root, "poise", 1);
    cJSON_AddStringToObject(root, "name", "section");
    cJSON *printer = cJSON_AddObjectToObject(root, "printer");
    set(printer, "bed", a, "bed", true);
    set(printer, "flow", a, "speed", false);
    set(printer, "spool", a, "spool", false);
    set(printer, "price", a, "spool-price", false);
    cJSON *items = cJSON_AddObjectToObject(root, "items");
    cJSON *item = cJSON_AddObjectToObject(items, "section");
    cJSON_AddStringToObject(item, "kind", "printed");
    cJSON_AddStringToObject(item, "mesh", a->operands[0]);
    if (unit)
        cJSON_AddStringToObject(item, "mesh_unit", unit);
    cJSON_AddStringToObject(item, "material", material ? material : "petg");
    const char *toolpath = poise_option_value(a, "toolpath");
    if (toolpath)
        cJSON_AddStringToObject(item, "toolpath", toolpath);
    set(item, "toolpath_turn", a, "toolpath-turn", false);
    cJSON *print = cJSON_AddObjectToObject(item, "print");
    static const char *const same_name[] = {"infill", "perimeters", "layer", "line",
                                            "top",    "bottom",     "flow"};
    for (size_t i = 0; i < sizeof same_name / sizeof *same_name; i++)
        set(print, same_name[i], a, same_name[i], false);
    set(print, "up", a, "up", true);
    char *text = cJSON_Print(root);
    cJSON_Delete(root);
    return text;
}

static PoiseStatus weigh_section(const PoiseArguments *a, const char *text, int threads,
                                 PoiseInstrument **instrument, PoiseWeighing **weighing,
                                 PoiseFaults *faults)
{
    PoiseStatus status =
        poise_instrument_parse(text, strlen(text), "(options)", "", NULL, NULL, instrument, faults);
    if (status)
        return status;
    PoiseProgress progress;
    poise_progress_begin(&progress);
    PoiseWeighOptions options = {.threads = threads,
                                 .no_cache = poise_has_option(a, "no-cache"),
                                 .progress = poise_progress_show,
                                 .context = &progress};
    status = poise_weigh(*instrument, &options, weighing, faults);
    poise_progress_end(&progress);
    return status;
}

/* Where an option's value stands in the instrument of one item. */
static const struct {
    const char *pointer, *option;
} PLACES[] = {{"/items/section/material", "material"},
              {"/items/section/mesh_unit", "mesh-unit"},
              {"/items/section/print/", NULL}, /* the key is the option */
              {"/printer/flow", "speed"},
              {"/printer/bed", "bed"},
              {"/printer/spool", "spool"},
              {"/printer/price", "spool-price"}};

/* "--infill" for "/items/section/print/infill"; false when it is no option's. */
static bool option_at(const char *pointer, char option[64])
{
    for (size_t i = 0; i < sizeof PLACES / sizeof *PLACES; i++) {
        size_t n = strlen(PLACES[i].pointer);
        if (strncmp(pointer, PLACES[i].pointer, n) != 0)
            continue;
        const char *name = PLACES[i].option ? PLACES[i].option : pointer + n;
        snprintf(option, 64, "--%.*s", (int)strcspn(name, "/"), name);
        return true;
    }
    return false;
}

/* The faults in terms of the command line: the instrument behind it is nobody's file. Returns the
 * exit code; a bad option is a matter of usage. */
static int report(const PoiseFaults *faults, PoiseStatus status)
{
    PoiseFaults *said = poise_faults_new();
    size_t n = faults && said ? poise_faults_count(faults) : 0;
    bool usage = false;
    for (size_t i = 0; i < n; i++) {
        PoiseFault fault = *poise_faults_get(faults, i);
        char option[64];
        bool from_option = fault.pointer && option_at(fault.pointer, option);
        fault.file = NULL;
        fault.pointer = from_option ? option : NULL;
        fault.line = fault.column = 0;
        usage = usage || (from_option && fault.status == POISE_E_INPUT);
        poise_fault_add(said, &fault);
    }
    int code = poise_report_faults(said, status);
    poise_faults_free(said);
    return usage ? poise_status_exit_code(POISE_E_USAGE) : code;
}

static int run(const PoiseArguments *a)
{
    int threads = 0;
    if (!poise_option_count(a, "threads", 1024, &threads))
        return poise_status_exit_code(POISE_E_USAGE);
    PoiseInstrument *instrument = NULL;
    PoiseWeighing *weighing = NULL;
    PoiseFaults *faults = poise_faults_new();
    char *text = instrument_text(a);
    PoiseStatus status = faults && text
                             ? weigh_section(a, text, threads, &instrument, &weighing, faults)
                             : POISE_E_MEMORY;
    int code;
    if (status)
        code = report(faults, status);
    else
        code = poise_put_result(poise_has_option(a, "json")
                                    ? poise_section_json(instrument, weighing)
                                    : poise_section_text(instrument, weighing));
    poise_weighing_free(weighing);
    poise_instrument_free(instrument);
    poise_faults_free(faults);
    cJSON_free(text);
    return code;
}

const PoiseCommand POISE_COMMAND_SECTION = {
    .name = "section",
    .operands = "MESH",
    .summary = "one printed section on its own: mass, filament, time, bed fit",
    .details = "MESH is a closed mesh: STL (binary or ASCII), 3MF or OBJ.",
    .least = 1,
    .most = 1,
    .options = OPTIONS,
    .run = run,
};
