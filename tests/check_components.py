#!/usr/bin/env python3
"""Checks the component library against the format in components/README.md and against published sizes.

Usage: check_components.py [COMPONENTS_DIR]. Standard library only; python3-jsonschema is used as well when
it is installed. Prints one line per fault; exit code 0 when there is none, 1 otherwise.
"""
import json
import math
import re
import sys
from pathlib import Path

sys.dont_write_bytecode = True  # leave nothing in the source tree
from published_values import (DENSITIES, GRAVITY_12, GRAVITY_GREEN, NUTS, PITCH, SCREWS, USUAL, WASHERS)

LEAST_ENTRIES = 90  # parts and presets; materials are not counted
IDENTIFIER = re.compile(r"^[a-z0-9]+(-[a-z0-9]+)*$")
MASS = re.compile(r"^([0-9.]+) g ± ([0-9.]+) g$")
DENSITY = re.compile(r"^([0-9.]+) g/cm³ ± ([0-9.]+) g/cm³$")
WIDTH = re.compile(r"^([0-9.]+) mm ± ([0-9.]+) mm$")
HAZARDS = {"resin", "solvent-cement", "superglue", "lead", "dust"}
SHAPES = {"point", "box", "cylinder-x", "cylinder-y", "cylinder-z"}

# A published source carries the number of a standard or a table, or the kind of data sheet it stands on.
PUBLISHED = re.compile(r"\b(ISO|DIN|EN|ASTM|ASME) [A-Z]?[0-9]|\bTable [0-9]|\bGNU units [0-9]|\bdata sheet\b")
STANDARD = re.compile(r"^computed from geometry: ((ISO|DIN|EN|ASTM|ASME) [A-Z]?[0-9]|.*common practice, no source$)")

GEOMETRY_KEYS = {
    "square-nut": {"thread", "pitch", "across_flats", "height"},
    "hex-nut": {"thread", "pitch", "across_flats", "height"},
    "machine-screw": {"thread", "pitch", "length", "head", "head_diameter", "head_height"},
    "wood-screw": {"thread", "length", "head", "head_diameter", "head_height"},
    "cylinder": {"diameter", "length"},
    "tube": {"diameter", "bore", "length"},
    "box": {"size"},
}

class Checker:
    def __init__(self):
        self.faults = []
        self.where = ""

    def say(self, text):
        self.faults.append(f"{self.where}: {text}")

    def need(self, condition, text):
        if not condition:
            self.say(text)
        return bool(condition)

    def keys(self, value, allowed, needed):
        for key in value:
            self.need(key in allowed, f"unknown key '{key}'")
        for key in needed:
            self.need(key in value, f"'{key}' is missing")


def positive(value):
    return isinstance(value, (int, float)) and not isinstance(value, bool) and math.isfinite(value) and value > 0


def triple(value, least=-math.inf):
    return (isinstance(value, list) and len(value) == 3
            and all(isinstance(x, (int, float)) and math.isfinite(x) and x >= least for x in value))


def refuse_duplicates(pairs):
    keys = [key for key, _ in pairs]
    twice = {key for key in keys if keys.count(key) > 1}
    if twice:
        raise ValueError(f"key used twice: {', '.join(sorted(twice))}")
    return dict(pairs)


def check_source(check, entry, computed):
    source = entry.get("source", "")
    if not check.need(isinstance(source, str) and source, "no source"):
        return
    if computed:
        check.need(STANDARD.match(source), f"a computed part's source names its standard, found '{source}'")
    else:
        check.need(source == "common practice, no source" or source.startswith("from memory")
                   or PUBLISHED.search(source), f"not an allowed form of source: '{source}'")


def check_common(check, entry):
    check.need(isinstance(entry.get("name"), str) and entry["name"].strip(), "no name")
    hazards = entry.get("hazards", [])
    check.need(set(hazards) <= HAZARDS, f"hazards {hazards}")


def volume_mm3(geometry):
    """Volume of what the geometry describes; a screw's head is a full cylinder or cone, no recess.

    Threads count as a cylinder of the pitch diameter, d − 0.649519 P (ISO 724); a wood screw's as 0.8 d.
    """
    kind, g = geometry["kind"], geometry
    disc = lambda d: math.pi / 4 * d * d
    if kind in ("square-nut", "hex-nut"):
        s = g["across_flats"]
        face = s * s if kind == "square-nut" else math.sqrt(3) / 2 * s * s
        return (face - disc(g["thread"] - 0.649519 * g["pitch"])) * g["height"]
    if kind in ("machine-screw", "wood-screw"):
        shank = g["thread"] - 0.649519 * g["pitch"] if kind == "machine-screw" else 0.8 * g["thread"]
        D, d, k = g["head_diameter"], g["thread"], g["head_height"]
        if g["head"] == "countersunk":  # length includes the head (ISO 7046)
            return math.pi / 12 * k * (D * D + D * d + d * d) + disc(shank) * (g["length"] - k)
        return disc(D) * k + disc(shank) * g["length"]
    if kind == "cylinder":
        return disc(g["diameter"]) * g["length"]
    if kind == "tube":
        return (disc(g["diameter"]) - disc(g["bore"])) * g["length"]
    return math.prod(g["size"])


def density(material):
    """g/cm³ at 12 % moisture. Wood Handbook ch. 4, eq. (4-11) and (4-12)."""
    if "density" in material:
        return float(str(material["density"]).split()[0])
    gravity = material.get("specific_gravity")
    if gravity is None:
        basic = material["specific_gravity_green"]
        gravity = basic / (1 - 0.265 * basic * (1 - 12 / 30))
    return gravity * 1.12


def check_geometry(check, entry, materials):
    geometry = entry["geometry"]
    kind = geometry.get("kind")
    if not check.need(kind in GEOMETRY_KEYS, f"geometry kind '{kind}'"):
        return
    check.keys(geometry, GEOMETRY_KEYS[kind] | {"kind"}, GEOMETRY_KEYS[kind])
    for key, value in geometry.items():
        if key == "size":
            check.need(triple(value) and min(value) > 0, f"size {value}")
        elif key == "head":
            check.need(value in ("pan", "countersunk", "cylinder"), f"head '{value}'")
        elif key != "kind":
            check.need(positive(value), f"{key} {value}")
    if kind == "tube":
        check.need(geometry["bore"] < geometry["diameter"], "the bore is not smaller than the tube")
    material = materials.get(entry.get("material"))
    if check.need(material, f"no material '{entry.get('material')}'"):
        mass = volume_mm3(geometry) * density(material) / 1000
        check.need(0.01 < mass < 1000, f"computed mass {mass:.3g} g")
        entry["_mass_g"] = mass


def check_typed(check, entry):
    found = MASS.match(entry["mass"]) if isinstance(entry["mass"], str) else None
    if not check.need(found, f"mass is written 'N g ± N g', found {entry['mass']!r}"):
        return
    mass, doubt = float(found[1]), float(found[2])
    entry["_mass_g"] = mass
    check.need(mass > 0, "mass is not positive")
    # Adhesives and paint vary more than parts that come from one mould.
    check.need(0.01 <= doubt / mass <= 0.45, f"uncertainty {doubt} g of {mass} g")
    if check.need(triple(entry.get("extent"), 0) and min(entry["extent"]) > 0, f"extent {entry.get('extent')}"):
        volume = math.prod(entry["extent"]) / 1000
        check.need(mass < 12 * volume, f"{mass} g does not fit into its extent of {volume:.1f} cm³")
    check.need(entry.get("shape") in SHAPES, f"shape '{entry.get('shape')}'")


def check_part(check, entry, materials):
    check_common(check, entry)
    check.keys(entry, {"name", "mass", "geometry", "material", "origin", "centre", "extent", "shape", "axis",
                       "price", "hazards", "source"}, {"name", "origin", "source"})
    check.need(("mass" in entry) != ("geometry" in entry), "exactly one of 'mass' and 'geometry'")
    check.need(triple(entry.get("centre", [0, 0, 0])), f"centre {entry.get('centre')}")
    check.need(entry.get("axis", "x") in ("x", "y", "z"), f"axis '{entry.get('axis')}'")
    check.need("price" not in entry or positive(entry["price"]), f"price {entry.get('price')}")
    check_source(check, entry, "geometry" in entry)
    if "geometry" in entry:
        check_geometry(check, entry, materials)
    elif "mass" in entry:
        check_typed(check, entry)


def check_material(check, entry):
    check_common(check, entry)
    check.keys(entry, {"name", "family", "density", "specific_gravity", "specific_gravity_green", "at_moisture",
                       "moisture", "spread", "pour_limit", "part_a_density", "part_b_density", "shrinkage",
                       "hazards", "source"}, {"name", "family", "source"})
    check_source(check, entry, False)
    check.need(entry.get("family") in ("plastic", "wood", "resin", "adhesive", "metal", "other"), "family")
    ways = [k for k in ("density", "specific_gravity", "specific_gravity_green") if k in entry]
    if not check.need(len(ways) == 1, f"one way to the density, found {ways}"):
        return
    if ways == ["density"]:
        found = DENSITY.match(str(entry["density"]))
        if check.need(found, f"density {entry['density']!r}"):
            check.need(0 < float(found[2]) < 0.3 * float(found[1]), f"density {entry['density']!r}")
    else:
        check.need(entry.get("family") == "wood", "specific gravity is for woods")
        check.need(0.1 < entry[ways[0]] < 1.3 and 0 < entry.get("spread", 0) < 0.3, "specific gravity, spread")
    if entry.get("family") == "resin":
        check.need("resin" in entry.get("hazards", []), "a resin carries the hazard 'resin'")
        check_resin(check, entry)


def check_resin(check, entry):
    check.keys(entry, entry.keys(), {"pour_limit", "part_a_density", "shrinkage"})
    if "part_a_density" not in entry or "shrinkage" not in entry:
        return
    # Mass is kept while the volume shrinks: cured = liquid / (1 − shrinkage), the liquid's density lying
    # between those of its parts. 3 % allows for the grades' spread.
    liquids = [entry["part_a_density"], entry.get("part_b_density", entry["part_a_density"])]
    kept = 1 - entry["shrinkage"]
    cured = density(entry)
    check.need(0.97 * min(liquids) / kept <= cured <= 1.03 * max(liquids) / kept,
               f"cured density {cured} does not follow from the liquids' {liquids}")


def check_neck(check, entry, materials):
    check_common(check, entry)
    check_source(check, entry, False)
    keys = {"name", "source", "shaft", "board", "frets", "nut_width", "heel_width", "first", "twelfth",
            "board_thickness", "heel", "headstock", "truss_rod", "fret_wire"}
    check.keys(entry, keys | {"length"}, keys)
    for key in ("shaft", "board"):
        check.need(entry.get(key) in materials, f"no material '{entry.get(key)}'")
    sizes = [WIDTH.match(str(entry.get(key))) for key in ("nut_width", "heel_width", "first", "twelfth")]
    if check.need(all(sizes), "widths and thicknesses are written 'N mm ± N mm'"):
        nut, heel, first, twelfth = (float(size[1]) for size in sizes)
        check.need(nut < heel and first <= twelfth, "a neck grows wider and thicker towards the heel")
        check.need(entry["board_thickness"] < first, "the board is thicker than the neck")
    check.need(isinstance(entry["frets"], int) and 0 <= entry["frets"] <= 36, f"frets {entry['frets']}")


def check_strings(check, entry, materials):
    check_common(check, entry)
    check_source(check, entry, False)
    check.keys(entry, {"name", "source", "gauges", "material", "wrap", "beyond_nut", "beyond_saddle"},
               {"name", "source", "gauges", "material", "beyond_nut", "beyond_saddle"})
    wound = False
    for gauge in entry.get("gauges", []):
        text = f"{gauge['gauge']} wound" if isinstance(gauge, dict) and gauge.get("wound") else gauge
        found = re.match(r"^([0-9.]+) mm( wound)?$", text if isinstance(text, str) else text["gauge"])
        if check.need(found, f"gauge {gauge!r}"):
            check.need(0.15 <= float(found[1]) <= 3.6, f"gauge {gauge!r}")
            wound = wound or bool(found[2])
    check.need(entry.get("material") in materials, f"no material '{entry.get('material')}'")
    check.need(not wound or entry.get("wrap") in materials, "wound strings need a wrap")


def check_standards(check, parts, materials):
    """Fasteners against their standards, woods and other materials against published values."""
    for key, part in parts.items():
        geometry, source = part.get("geometry"), part.get("source", "")
        check.where = key
        if not geometry:
            continue
        standard = source.removeprefix("computed from geometry: ")
        d = geometry.get("thread")
        if geometry["kind"] in ("square-nut", "hex-nut"):
            check.need((geometry["across_flats"], geometry["height"]) == NUTS[standard][d], f"differs from {standard}")
            check.need((geometry["kind"] == "square-nut") == (standard == "DIN 562"), f"kind against {standard}")
        elif geometry["kind"] == "machine-screw":
            head, rows = SCREWS[standard]
            check.need(geometry["head"] == head, f"head differs from {standard}")
            check.need((geometry["head_diameter"], geometry["head_height"]) == rows[d], f"differs from {standard}")
        elif geometry["kind"] == "wood-screw":
            # ASME B18.6.1: screw number n has the diameter 0.060 + 0.013 n inches.
            number = (d / 25.4 - 0.060) / 0.013
            check.need(abs(number - round(number)) < 0.02, f"{d} mm is no numbered screw size")
        elif standard == "ISO 7089":
            size = (geometry["diameter"], geometry["bore"], geometry["length"])
            check.need(size in WASHERS.values(), f"{size} differs from ISO 7089")
        if "pitch" in geometry:
            check.need(geometry["pitch"] == PITCH[d], "pitch differs from ISO 261 coarse")
    for table, way in ((GRAVITY_12, "specific_gravity"), (GRAVITY_GREEN, "specific_gravity_green")):
        for key, gravity in table.items():
            check.where = key
            check.need(materials.get(key, {}).get(way) == gravity, f"{way} differs from the Wood Handbook's {gravity}")
    for key, value in DENSITIES.items():
        check.where = key
        check.need(key in materials and abs(density(materials[key]) - value) < 1e-9, f"density differs from {value}")


def check_masses(check, parts):
    for key, (low, high) in USUAL.items():
        check.where = key
        mass = parts.get(key, {}).get("_mass_g")
        check.need(mass is not None and low <= mass <= high, f"{mass} g is outside {low} … {high} g")
    # Published or worked from the standard's sizes at 7.85 g/cm³: nut DIN 562 M4 0.676 g (bore of the pitch
    # diameter, no chamfers); hex M4 0.818 g; ISO 7046 M4×20 at most 2.101 g; ISO 7045 M4×20 1.55 … 2.77 g.
    for key, low, high in (("square-nut-m4", 0.67, 0.68), ("hex-nut-m4", 0.81, 0.825),
                           ("screw-m4x20-countersunk", 1.55, 2.101), ("screw-m4x20-pan", 1.55, 2.774)):
        check.where = key
        mass = parts.get(key, {}).get("_mass_g")
        check.need(mass is not None and low <= mass <= high, f"computed {mass} g, expected {low} … {high} g")


def read_library(check, directory):
    files = {}
    for path in sorted(directory.glob("*.json")):
        check.where = path.name
        try:
            value = json.loads(path.read_text(encoding="utf-8"), object_pairs_hook=refuse_duplicates)
        except ValueError as fault:
            check.say(f"not JSON: {fault}")
            continue
        check.keys(value, {"poise_components", "family", "title", "parts", "materials", "necks", "string_sets"},
                   {"poise_components", "family", "title"})
        check.need(value.get("poise_components") == 1, "poise_components is not 1")
        check.need(value.get("family") == path.stem, "the family is the file's name")
        files[path.name] = value
    return files


def check_schema(check, directory, files):
    try:
        import jsonschema
    except ImportError:
        print("python3-jsonschema is not installed: schema not tried")
        return
    schema = json.loads((directory / "schema" / "component.schema.json").read_text(encoding="utf-8"))
    validator_class = getattr(jsonschema, "Draft202012Validator")
    validator_class.check_schema(schema)
    for name, value in files.items():
        check.where = name
        for fault in validator_class(schema).iter_errors(value):
            check.say(f"schema: /{'/'.join(map(str, fault.absolute_path))}: {fault.message[:200]}")
    # The schema must also be able to refuse.
    check.where = "schema"
    good = {"poise_components": 1, "family": "x", "title": "X",
            "parts": {"a": {"name": "A", "mass": "1 g ± 0.1 g", "origin": "o", "extent": [1, 1, 1],
                            "shape": "point", "source": "from memory"}}}
    check.need(validator_class(schema).is_valid(good), "refuses a good file")
    for key, value in (("mass", "1 g ±"), ("shape", "ball"), ("extent", [1, 1]), ("hazards", ["fire"]), ("weight", 1)):
        bad = json.loads(json.dumps(good))
        bad["parts"]["a"][key] = value
        check.need(not validator_class(schema).is_valid(bad), f"accepts '{key}': {value!r}")


def check_starter(check, directory, parts, presets, materials):
    """What the starter file takes from the library must be there; it must need no mesh."""
    check.where = "starter/starter.json"
    text = (directory / "starter" / "starter.json").read_text(encoding="utf-8")
    starter = json.loads(text, object_pairs_hook=refuse_duplicates)
    own = starter.get("materials", {})
    check.need('"mesh":' not in text, "a starter file needs no mesh")
    for key, item in starter["items"].items():
        check.where = f"starter/starter.json/items/{key}"
        if item["kind"] == "part":
            check.need(item.get("part") in parts, f"no part '{item.get('part')}'")
        if "preset" in item:
            check.need(item["preset"] in presets, f"no preset '{item['preset']}'")
        if "material" in item:
            check.need(item["material"] in materials or item["material"] in own, f"no material '{item['material']}'")
    # A shallow clear pour of about 0.2 L: 0.20 to 0.25 kg (common practice, no source).
    check.where = "starter/starter.json/items/pour"
    pour = starter["items"]["pour"]
    mass = float(pour["volume"].split()[0]) * density(materials[pour["material"]])
    check.need(200 <= mass <= 250, f"the pour weighs {mass:.0f} g, 200 … 250 g expected")
    check.need(pour["depth"] <= materials[pour["material"]]["pour_limit"], "the pour is deeper than its resin allows")


def main(arguments):
    default = Path(__file__).resolve().parent.parent / "components"
    directory = Path(arguments[1]) if len(arguments) > 1 else default
    check = Checker()
    files = read_library(check, directory)
    check_schema(check, directory, files)
    materials = {k: v for f in files.values() for k, v in f.get("materials", {}).items()}
    parts = {k: v for f in files.values() for k, v in f.get("parts", {}).items()}
    seen, entries = {}, 0
    for name, value in files.items():
        for section in ("parts", "materials", "necks", "string_sets"):
            for key, entry in value.get(section, {}).items():
                check.where = f"{name}/{section}/{key}"
                check.need(IDENTIFIER.match(key), "an id is lower-case words joined by '-'")
                check.need(key not in seen, f"id also used in {seen.get(key)}")
                seen[key] = name
                entries += section != "materials"
                if section == "parts":
                    check_part(check, entry, materials)
                elif section == "materials":
                    check_material(check, entry)
                elif section == "necks":
                    check_neck(check, entry, materials)
                else:
                    check_strings(check, entry, materials)
    if not check.faults:
        check_standards(check, parts, materials)
        check_masses(check, parts)
        presets = {k for f in files.values() for s in ("necks", "string_sets") for k in f.get(s, {})}
        check_starter(check, directory, parts, presets, materials)
    check.where = str(directory)
    check.need(entries >= LEAST_ENTRIES, f"{entries} entries, at least {LEAST_ENTRIES} expected")
    for fault in check.faults:
        print(fault, file=sys.stderr)
    print(f"{entries} parts and presets, {len(materials)} materials, {len(check.faults)} faults")
    return 1 if check.faults else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv))
