"""Published sizes, densities and usual masses that tests/check_components.py holds the library against."""

# Maximum dimensions in mm. The M4 rows were compared with reprints of the standards, the others are from
# memory. ISO 261 coarse pitches.
PITCH = {3: 0.5, 4: 0.7, 5: 0.8, 6: 1.0}
NUTS = {  # standard -> thread -> across flats, height
    "DIN 562": {3: (5.5, 1.8), 4: (7, 2.2), 5: (8, 2.7), 6: (10, 3.2)},
    "ISO 4032": {3: (5.5, 2.4), 4: (7, 3.2), 5: (8, 4.7), 6: (10, 5.2)},
    "DIN 934": {3: (5.5, 2.4), 4: (7, 3.2), 5: (8, 4), 6: (10, 5)},
}
SCREWS = {  # standard -> head, thread -> head diameter, head height
    "ISO 7045": ("pan", {3: (5.6, 2.4), 4: (8, 3.1), 5: (9.5, 3.7)}),
    "ISO 7046": ("countersunk", {3: (5.5, 1.65), 4: (8.4, 2.7), 5: (9.3, 2.7)}),
    "ISO 4762": ("cylinder", {3: (5.5, 3), 4: (7, 4), 5: (8.5, 5), 6: (10, 6)}),
}
WASHERS = {3: (7, 3.2, 0.5), 4: (9, 4.3, 0.8), 5: (10, 5.3, 1), 6: (12, 6.4, 1.6)}  # ISO 7089

# Wood Handbook, FPL-GTR-282 (2021): specific gravity at 12 % moisture content (Table 5-3b) and on green
# volume (Table 5-5b).
GRAVITY_12 = {
    "sugar-maple": 0.63, "red-maple": 0.54, "bigleaf-maple": 0.48, "red-alder": 0.41, "white-ash": 0.60,
    "american-basswood": 0.37, "black-walnut": 0.55, "black-cherry": 0.50, "yellow-poplar": 0.42, "sitka-spruce": 0.40,
}
GRAVITY_GREEN = {
    "mahogany": 0.45, "african-mahogany": 0.42, "indian-rosewood": 0.75, "brazilian-rosewood": 0.80, "sapele": 0.55,
    "limba": 0.38,
}
# g/cm³; the sources stand in each row's own "source".
DENSITIES = {
    "pla": 1.24, "petg": 1.27, "abs": 1.04, "pc": 1.20, "pa66": 1.14, "pmma": 1.19, "pom": 1.42,
    "epoxy": 1.18, "carbon-steel": 7.85, "brass": 8.50, "zinc-die-cast": 6.60, "aluminium": 2.70,
    "lead": 11.34, "tungsten": 19.30,
}
# Masses a maker finds on the scale, g: lowest, highest (common practice, no source).
USUAL = {
    "tuners-6-inline-diecast": (200, 270), "tuners-6-inline-lightweight": (130, 170),
    "tuners-4-inline-diecast": (300, 420), "tuners-4-inline-lightweight": (195, 235),
    "pickup-single-coil": (55, 95), "pickup-dual-coil": (95, 150), "bridge-hardtail-6": (110, 250),
    "bridge-fixed-6-bent-plate": (130, 250), "bridge-fixed-6-cast": (150, 250),
    "bridge-vibrato-6-screw": (350, 450), "bridge-bass-4-bent-plate": (180, 260),
    "bridge-bass-4-massive": (450, 700), "strap-post": (6, 9), "battery-9v-alkaline": (44, 48),
    "pot-24mm": (30, 40), "jack-open": (12, 20),
}
