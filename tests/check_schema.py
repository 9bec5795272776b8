#!/usr/bin/env python3
"""Holds the JSON Schema that poise prints to what poise reads: both must say the same of the same files.

Usage: check_schema.py POISE SOURCE_DIR INSTRUMENTS_DIR

- The schema is valid JSON Schema 2020-12, by python3-jsonschema's own copy of the meta-schema.
- It accepts the starter file, every demonstration instrument, and every file of tests/golden/files that poise
  accepts.
- Spoiled copies of the starter file are refused by both.
- What a schema cannot say is refused by poise.
- Sound changes of the starter file are accepted by both.
"""
import copy
import json
import os
import pathlib
import subprocess
import sys

import jsonschema

BAD_INPUT = 3

# A change: path (list of keys), new value. DROP takes the key away.
DROP = object()
SPOILED = {
    "an unknown key at the top": (["nmae"], "x"),
    "an unknown key in an item": (["items", "nut", "mass"], "3 g"),
    "an unknown key in a material": (["materials", "printed-petg", "densty"], 1.2),
    "no version": (["poise"], DROP),
    "a later version": (["poise"], 2),
    "a version that is text": (["poise"], "1"),
    "no items": (["items"], DROP),
    "items in a list": (["items"], [{"kind": "mass", "mass": 1}]),
    "an item that is a number": (["items", "nut"], 12),
    "an item without a kind": (["items", "nut", "kind"], DROP),
    "an unknown kind": (["items", "nut", "kind"], "nut"),
    "a part without its name": (["items", "nut", "part"], DROP),
    "a name that is a number": (["name"], 7),
    "a place that is no list": (["items", "nut", "at"], 12),
    "a place with two numbers": (["items", "nut", "at"], [1, 2]),
    "a place with text": (["items", "nut", "at"], [1, 2, "x"]),
    "a count of none": (["items", "knobs", "count"], 0),
    "half a piece": (["items", "knobs", "count"], 1.5),
    "a count that is text": (["items", "knobs", "count"], "two"),
    "a mass that is true": (["items", "ballast", "mass"], True),
    "a mass that is null": (["items", "ballast", "mass"], None),
    "an outline of two points": (["items", "body", "outline"], [[0, 0], [1, 1]]),
    "a point with one number": (["items", "body", "outline", 0], [0]),
    "a player with the third hand": (["frame", "handed"], "both"),
    "a scale without a nut": (["scale", "nut"], DROP),
    "frets by the half": (["scale", "frets"], 20.5),
    "posts without the horn": (["posts", "horn"], DROP),
    "a strap without its length": (["strap", "length"], DROP),
    "an unknown key in the strap": (["strap", "lenght"], 1100),
    "variants in a list": (["variants"], []),
    "measured in a list": (["measured"], [1]),
    "a mix without a ratio": (["items", "pour", "mix", "ratio"], DROP),
    "a cut that is a number": (["items", "body", "cut", 0], 5),
    "a plumb line from one post only": (["observed"], {"hanging": {"tail": {"neck_angle": -90}}}),
    "an unknown observation": (["observed"], {"wait": "3.6 kg"}),
    "one scale": (["observed"], {"scales": [{"at": 0, "load": "1.8 kg"}]}),
    "five scales": (["observed"], {"scales": [{"at": i, "load": "1 kg"} for i in range(5)]}),
    "a face that looks nowhere": (["frame", "face"], [0, 0, 0]),
    "no resin in the mix": (["items", "pour", "mix", "ratio"], "0:1 by mass"),
    "no hardener in the mix": (["items", "pour", "mix", "ratio"], "2:0.0 by mass"),
    "a target with a doubt": (["target", "mass"], "3.6 kg ± 2 %"),
    "an angle in millimetres": (["stance", "neck_angle"], "20 mm"),
    "a length in grams": (["strap", "length"], "1100 g"),
    "a mass in fluid ounces": (["items", "ballast", "mass"], "5 fl oz"),
    "a doubt in another unit": (["items", "ballast", "mass"], "120 g ± 5 mm"),
    "a number that lost its end": (["items", "ballast", "mass"], "120 g ±"),
    "two numbers": (["items", "ballast", "mass"], "120 g 5"),
    "a decimal comma": (["items", "ballast", "mass"], "1,5 kg"),
    "text that is no quantity": (["items", "ballast", "mass"], "a lot"),
    "text with a number in it": (["items", "ballast", "mass"], "about 20 g"),
    "a friction with a unit": (["strap", "friction"], "0.3 mm"),
    "a place in grams": (["items", "nut", "at"], [1, "2 g", 3]),
    "a place with a doubt": (["items", "nut", "at"], [1, "2 mm ± 1 mm", 3]),
    "an outline in degrees": (["items", "body", "outline", 0], ["1 deg", 0]),
    "a weighed item in volts": (["measured"], {"neck": "702 V"}),
    "a gauge that is round": (["items", "strings", "gauges"], ["0.25 mm round"]),
    "a mesh in furlongs": (["items", "s"],
                           {"kind": "printed", "material": "petg", "mesh": "a.stl", "mesh_unit": "furlong"}),
    "nine and a half perimeters": (["items", "s"], {"kind": "printed", "material": "petg", "mesh": "a.stl",
                                                    "print": {"perimeters": 9.5}}),
    "a print setting that is not there": (["items", "s"], {"kind": "printed", "material": "petg",
                                                           "mesh": "a.stl", "print": {"wals": 3}}),
}
# What depends on other keys or on the library: a schema cannot say it, poise must.
ONLY_POISE = {
    "a printed item without a mesh": (["items", "s"], {"kind": "printed", "material": "petg"}),
    "a slab without an outline or a mesh": (["items", "body", "outline"], DROP),
    "an unknown part": (["items", "nut", "part"], "nut-bone-gutiar"),
    "an unknown material": (["items", "body", "material"], "petgg"),
    "a weighed item that is not there": (["measured"], {"nekc": "702 g"}),
    "a mass of ounces past a pound": (["items", "ballast", "mass"], "1 lb 20 oz"),
    "a mass below 0 in words": (["items", "ballast", "mass"], "-5 g"),
}
SOUND = {
    "a frame without its face": (["frame", "face"], DROP),
    "another name": (["name"], "Marsh Wren"),
    "a mass with its uncertainty": (["items", "ballast", "mass"], "120 g +/- 5 g"),
    "a mass in pounds and ounces": (["items", "ballast", "mass"], "0 lb 5 1/2 oz ± 1 oz"),
    "a mass with a vulgar fraction": (["items", "ballast", "mass"], "3½ oz ± 5 %"),
    "a mass with its unit behind the doubt": (["items", "ballast", "mass"], "120 ± 5 g"),
    "a length in feet and inches": (["strap", "length"], "3′ 7 1/4″ ± 0.5 in"),
    "a length with odd spaces": (["strap", "length"], " 1100\u202fmm +/- 1e1\u00a0mm "),
    "a target in words, sure": (["target", "mass"], "3.6 kg ± 0"),
    "a friction in words": (["strap", "friction"], "0.3 ± 10 %"),
    "an angle with a sign": (["stance", "neck_angle"], "−5º"),
    "a fraction in per cent": (["items", "pour", "mix", "waste"], "8 %"),
    "a mix in parts": (["items", "pour", "mix", "ratio"], "100: 4.5e1 by weight"),
    "a place in words": (["items", "nut", "at"], ["-25 1/2 in", "1.5e-1 cm", ".5"]),
    "gauges in words": (["items", "strings", "gauges"], ["0.25 mm", "13 thou ± 1 thou", "0.43 mm", "0.66 mm",
                                                          "36 thou wound", 1.2]),
    "a weighed item": (["measured"], {"neck": "702 g ± 1 g"}),
    "the whole on a scale": (["observed"], {"mass": "3.6 kg ± 2 g"}),
    "on two scales": (["observed"], {"scales": [{"at": 0, "load": "1.8 kg"}, {"at": "600 mm", "load": 1800}]}),
    "a variant": (["variants"], {"light": {"items": {"ballast": None}}}),
    "two pieces turned": (["items", "knobs", "turn"], [0, 90, 0]),
    "no target": (["target"], DROP),
    "a box": (["items", "box"], {"kind": "mass", "mass": "35 g", "box": [10, 20, 30], "at": [1, 2, 3]}),
    "the hand at a fret": (["stance", "hand"], "fret 5"),
    "the hand in its place": (["stance", "hand"], [500, 0, 0]),
}


def changed(document, path, value):
    result = copy.deepcopy(document)
    at = result
    for key in path[:-1]:
        at = at.setdefault(key, {}) if isinstance(at, dict) else at[key]
    if value is DROP:
        del at[path[-1]]
    else:
        at[path[-1]] = value
    return result


def exit_code(poise, text):
    return subprocess.run([poise, "check", "-"], input=text, text=True, capture_output=True, timeout=120,
                          check=False).returncode


def complaint(validator, document):
    error = next(validator.iter_errors(document), None)
    return None if error is None else f"/{'/'.join(map(str, error.absolute_path))}: {error.message[:200]}"


def main():
    poise, source, instruments = os.path.abspath(sys.argv[1]), pathlib.Path(sys.argv[2]), pathlib.Path(sys.argv[3])
    os.environ["POISE_COMPONENTS"] = str((source / "components").resolve())
    schema = json.loads(subprocess.run([poise, "schema"], capture_output=True, text=True, check=True).stdout)
    jsonschema.Draft202012Validator.check_schema(schema)
    validator = jsonschema.Draft202012Validator(schema)
    faults = []

    files = sorted(instruments.glob("*/*.json"))
    files.append(source / "components/starter/starter.json")
    for path in sorted((source / "tests/golden/files").glob("**/*.json")):
        if subprocess.run([poise, "check", path], capture_output=True, timeout=120, check=False).returncode == 0:
            files.append(path)
    for path in files:
        what = complaint(validator, json.loads(path.read_text(encoding="utf-8")))
        if what:
            faults.append(f"{path}: the schema refuses it: {what}")

    starter = json.loads((source / "components/starter/starter.json").read_text(encoding="utf-8"))
    for name, (path, value) in SPOILED.items():
        document = changed(starter, path, value)
        code = exit_code(poise, json.dumps(document))
        if code != BAD_INPUT:
            faults.append(f"{name}: poise exits with {code}, expected {BAD_INPUT}")
        if complaint(validator, document) is None:
            faults.append(f"{name}: the schema accepts it")
    for name, (path, value) in ONLY_POISE.items():
        code = exit_code(poise, json.dumps(changed(starter, path, value)))
        if code != BAD_INPUT:
            faults.append(f"{name}: poise exits with {code}, expected {BAD_INPUT}")
    for name, (path, value) in SOUND.items():
        document = changed(starter, path, value)
        code = exit_code(poise, json.dumps(document))
        if code != 0:
            faults.append(f"{name}: poise exits with {code}, expected 0")
        what = complaint(validator, document)
        if what:
            faults.append(f"{name}: the schema refuses it: {what}")

    for fault in faults:
        print(fault)
    print(f"{len(files)} files, {len(SPOILED)} spoiled, {len(SOUND)} sound; {len(faults)} faults")
    return 1 if faults or len(files) < 3 else 0


if __name__ == "__main__":
    sys.exit(main())
