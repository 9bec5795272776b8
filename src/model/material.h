/* Materials and library parts: plain data, filled by the input room. */
#ifndef POISE_MODEL_MATERIAL_H
#define POISE_MODEL_MATERIAL_H

#include <stdbool.h>
#include <stddef.h>

/* A value with one standard uncertainty (GUM). u is 0 when none is known. */
typedef struct PoiseQuantity {
    double value;
    double u;
} PoiseQuantity;

typedef enum PoiseMaterialFamily {
    POISE_MATERIAL_OTHER,
    POISE_MATERIAL_PLASTIC, /* printed filament */
    POISE_MATERIAL_WOOD,
    POISE_MATERIAL_RESIN, /* poured, cured */
    POISE_MATERIAL_ADHESIVE,
    POISE_MATERIAL_METAL
} PoiseMaterialFamily;

/* What a caution is about; a material or part carries the set it triggers. */
typedef enum PoiseHazard {
    POISE_HAZARD_RESIN = 1 << 0,          /* two-part resin: skin, lungs, heat of cure */
    POISE_HAZARD_SOLVENT_CEMENT = 1 << 1, /* solvent vapour, fire */
    POISE_HAZARD_SUPERGLUE = 1 << 2,      /* cyanoacrylate: skin and eye bonding, fumes */
    POISE_HAZARD_LEAD = 1 << 3,           /* toxic metal */
    POISE_HAZARD_DUST = 1 << 4            /* wood, plastic or carbon dust from sanding */
} PoiseHazard;

typedef struct PoiseMaterial {
    char *id;
    char *name;
    PoiseMaterialFamily family;
    PoiseQuantity density_g_cm3; /* for a wood: at its moisture content */
    /* From a profile: grams that the printer lays for each cm³ it is told to lay at a flow of 1,
     * which is density times flow. Prints of a weighed plastic tell this product far better than
     * either factor. Its ± then is all that density and flow leave open. value 0: not known. */
    PoiseQuantity laid_g_cm3;
    double moisture_percent; /* woods; NAN otherwise */
    double pour_limit_mm;    /* resins: deepest single pour; NAN when unknown or not a resin */
    double
        part_a_g_cm3; /* resins: liquid densities of part A (resin) and B (hardener); NAN unknown */
    double part_b_g_cm3;
    double shrinkage; /* resins: volume lost on curing, a fraction; 0 when unknown */
    unsigned hazards; /* PoiseHazard bits */
    char *source;
} PoiseMaterial;

/* How a part's mass is spread, for its inertia; sizes along the part's own axes, mm. */
typedef enum PoiseShape { POISE_SHAPE_POINT, POISE_SHAPE_BOX, POISE_SHAPE_CYLINDER } PoiseShape;

/* Fasteners and dowels are computed from standard dimensions, not typed. Dimensions in mm; 0 = not
 * used. */
typedef enum PoiseGeometryKind {
    POISE_GEOMETRY_NONE,
    POISE_GEOMETRY_SQUARE_NUT,    /* across_flats, height, thread, pitch */
    POISE_GEOMETRY_HEX_NUT,       /* across_flats, height, thread, pitch */
    POISE_GEOMETRY_MACHINE_SCREW, /* thread, pitch, length, head: pan, countersunk or cylinder */
    POISE_GEOMETRY_WOOD_SCREW,    /* thread, length, head */
    POISE_GEOMETRY_CYLINDER,      /* diameter, length: dowels, rods, ferrule-like solids */
    POISE_GEOMETRY_TUBE,          /* diameter, bore, length: ferrules, bushings, washers */
    POISE_GEOMETRY_BOX            /* size along x, y, z: plates, weights */
} PoiseGeometryKind;

typedef enum PoiseScrewHead {
    POISE_HEAD_PAN,
    POISE_HEAD_COUNTERSUNK,
    POISE_HEAD_CYLINDER
} PoiseScrewHead;

typedef struct PoiseGeometry {
    PoiseGeometryKind kind;
    double thread_mm, pitch_mm, length_mm;
    double across_flats_mm, height_mm;
    PoiseScrewHead head;
    double head_diameter_mm, head_height_mm;
    double diameter_mm, bore_mm;
    double size_mm[3];
} PoiseGeometry;

typedef struct PoisePart {
    char *id;
    char *name;
    char *family;           /* "tuners", "bridges", … : the file it stands in */
    PoiseQuantity mass_g;   /* typed mass; for a computed part see geometry. NAN when computed */
    PoiseGeometry geometry; /* kind NONE when the mass is typed */
    const PoiseMaterial *material; /* of a computed part; NULL otherwise */
    char *origin;                  /* the point a maker measures from, in words */
    double centre_mm[3]; /* centre of mass from that origin: x towards the head, y up, z out of the
                            face */
    double extent_mm[3]; /* overall size */
    PoiseShape shape;    /* spread of the mass */
    int axis;            /* cylinder axis 0 x, 1 y, 2 z */
    bool has_price;
    double price; /* in the file's own currency; a rough guide */
    unsigned hazards;
    char *source;
} PoisePart;

typedef struct PoiseLibrary {
    char *dir; /* where the component files are */
    size_t material_count, part_count;
    PoiseMaterial **materials; /* sorted by id */
    PoisePart **parts;         /* sorted by id */
} PoiseLibrary;

const PoiseMaterial *poise_library_material(const PoiseLibrary *library, const char *id);
const PoisePart *poise_library_part(const PoiseLibrary *library, const char *id);
void poise_material_free(PoiseMaterial *material);
void poise_part_free(PoisePart *part);
void poise_library_free(PoiseLibrary *library);

#endif
