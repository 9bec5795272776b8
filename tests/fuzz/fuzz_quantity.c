/* Quantities: the first byte chooses the kind, the rest is the text. What is read must be finite,
 * and must read back the same when written as a plain number. */
#include "base/text.h"
#include "fuzz.h"
#include "input/quantity.h"

static void reads_back(const PoiseQuantity *q, PoiseUnitKind kind)
{
    /* Kinds whose plain number is in another unit than the one kept. */
    if (kind == POISE_UNIT_TIME || kind == POISE_UNIT_RATIO)
        return;
    char text[64];
    PoiseQuantity again;
    char why[POISE_WHY];
    poise_double_text(q->value, text);
    bool plain_is_read = poise_quantity_parse(text, kind, &again, why);
    REQUIRE(plain_is_read);
    REQUIRE(again.value == q->value && again.u == 0.0);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    if (size == 0)
        return 0;
    char *text = malloc(size);
    REQUIRE(text != NULL);
    memcpy(text, data + 1, size - 1);
    text[size - 1] = '\0';
    PoiseUnitKind kind = (PoiseUnitKind)(data[0] % POISE_UNIT_KINDS);
    PoiseQuantity q = {0};
    char why[POISE_WHY];
    memset(why, '#', sizeof why);
    if (poise_quantity_parse(text, kind, &q, why)) {
        REQUIRE(isfinite(q.value) && isfinite(q.u) && q.u >= 0.0);
        reads_back(&q, kind);
    } else {
        REQUIRE(memchr(why, '\0', sizeof why) != NULL && why[0]);
    }
    free(text);
    return 0;
}
