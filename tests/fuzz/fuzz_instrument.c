/* Instrument files: the input is the file. What the reader accepts is weighed (unless it names
 * meshes: those have targets of their own) and written in every format. */
#include "fuzz.h"
#include "input/reader.h"
#include "model/instrument.h"
#include "poise/poise.h"

static PoiseShelf shelf;

static void begin(void)
{
    PoiseFaults *faults = poise_faults_new();
    REQUIRE(poise_shelf_read(POISE_FUZZ_COMPONENTS, &shelf, faults) == POISE_OK);
    poise_faults_free(faults);
}

static bool names_a_mesh(const PoiseInstrument *in)
{
    for (size_t i = 0; i < in->item_count; i++) {
        const PoiseItem *item = &in->items[i];
        if ((item->kind == POISE_ITEM_PRINTED && item->as.printed.mesh) ||
            (item->kind == POISE_ITEM_POURED && item->as.poured.mesh) ||
            (item->kind == POISE_ITEM_SOLID && item->as.solid.mesh))
            return true;
    }
    return false;
}

/* No control character of a terminal may come through, whatever the file says. */
static void is_inert(const char *text)
{
    REQUIRE(text != NULL);
    for (const unsigned char *c = (const unsigned char *)text; *c; c++)
        REQUIRE((*c >= 0x20 || *c == '\n') && *c != 0x7f);
}

static void weigh(const PoiseInstrument *in, PoiseFaults *faults)
{
    const PoiseWeighOptions options = {.threads = 1, .no_cache = true};
    PoiseWeighing *w = NULL;
    PoiseStatus status = poise_weigh(in, &options, &w, faults);
    REQUIRE((status == POISE_OK) == (w != NULL));
    REQUIRE(status != POISE_E_INTERNAL);
    if (!w)
        return;
    REQUIRE(isfinite(w->total.mass_g) && w->total.mass_g > 0.0);
    char *texts[4] = {poise_weighing_text(w), poise_weighing_markdown(w), poise_weighing_csv(w),
                      poise_weighing_json(w)};
    is_inert(texts[0]);
    cJSON *json = cJSON_Parse(texts[3]);
    REQUIRE(json != NULL);
    cJSON_Delete(json);
    for (int i = 0; i < 4; i++)
        poise_string_free(texts[i]);
    poise_weighing_free(w);
}

static void read_variant(const PoiseDocument *document, const char *variant, PoiseFaults *faults)
{
    PoiseInstrument *in = NULL;
    PoiseStatus status =
        poise_instrument_from_document(document, NULL, variant, "/nowhere", &shelf, &in, faults);
    REQUIRE((status == POISE_OK) == (in != NULL));
    if (in && !names_a_mesh(in))
        weigh(in, faults);
    if (in && !variant && in->variant_count)
        read_variant(document, in->variants[0], faults);
    poise_instrument_free(in);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    if (!shelf.library)
        begin();
    char *text = malloc(size + 1);
    PoiseFaults *faults = poise_faults_new();
    REQUIRE(text && faults);
    memcpy(text, data, size);
    text[size] = '\0';
    PoiseDocument *document = NULL;
    if (poise_document_parse(text, size, "fuzz.json", &document, faults) == POISE_OK)
        read_variant(document, NULL, faults);
    for (size_t i = 0; i < poise_faults_count(faults); i++) {
        const PoiseFault *fault = poise_faults_get(faults, i);
        char *line = poise_fault_text(fault);
        is_inert(line);
        REQUIRE(strchr(line, '\n') == NULL);
        poise_string_free(line);
    }
    poise_document_free(document);
    poise_faults_free(faults);
    free(text);
    return 0;
}
