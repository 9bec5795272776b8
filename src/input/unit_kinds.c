/* The kinds of units, in words. */
#include "input/quantity.h"

typedef struct KindFacts {
    const char *name, *example, *plain;
    double plain_factor;
} KindFacts;

static const KindFacts KINDS[POISE_UNIT_KINDS] = {
    [POISE_UNIT_LENGTH] = {"length", "a length such as 25.4, \"25.4 mm\" or \"1 in\"", "mm", 1.0},
    [POISE_UNIT_MASS] = {"mass", "a mass such as 185, \"185 g\" or \"7 lb 5 oz\"", "g", 1.0},
    [POISE_UNIT_ANGLE] = {"angle", "an angle such as 20 or \"20 deg\"", "degrees", 1.0},
    [POISE_UNIT_DENSITY] = {"density", "a density such as 1.24 or \"1240 kg/m3\"", "g/cm3", 1.0},
    [POISE_UNIT_VOLUME] = {"volume", "a volume such as 160, \"160 ml\" or \"5 fl oz\"", "mL", 1.0},
    [POISE_UNIT_TIME] = {"time", "a time such as \"8 s\" or \"2 h\"", "hours", 3600.0},
    [POISE_UNIT_TEMPERATURE] = {"temperature", "a temperature such as 20 or \"68 °F\"", "°C", 1.0},
    [POISE_UNIT_RATIO] = {"fraction", "a fraction such as 0.3 or \"30 %\"", "", 1.0},
    [POISE_UNIT_PERCENT] = {"percentage", "a percentage such as 8 or \"8 %\"", "%", 1.0},
    [POISE_UNIT_FLOW] = {"volumetric flow", "a volumetric flow such as 9 or \"9 mm3/s\"", "mm3/s",
                         1.0},
    [POISE_UNIT_LINEAR] = {"mass per length", "a mass per length such as 22 or \"22 g/m\"", "g/m",
                           1.0},
    [POISE_UNIT_FRICTION] = {"friction coefficient",
                             "a friction coefficient such as 0.35 or \"0.35 ± 0.1\"", "", 1.0},
    [POISE_UNIT_MONEY] = {"price", "a price as a plain number such as 20", "", 1.0},
    [POISE_UNIT_NUMBER] = {"number", "a plain number", "", 1.0},
};

const char *poise_unit_kind_name(PoiseUnitKind kind)
{
    return KINDS[kind].name;
}

const char *poise_unit_kind_example(PoiseUnitKind kind)
{
    return KINDS[kind].example;
}

const char *poise_unit_kind_plain(PoiseUnitKind kind)
{
    return KINDS[kind].plain;
}

double poise_unit_kind_plain_factor(PoiseUnitKind kind)
{
    return KINDS[kind].plain_factor;
}
