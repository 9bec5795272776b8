#!/usr/bin/env python3
"""Holds the manual pages against the program: every option, every key, every result, every example.

Usage: check_manual.py POISE COMPONENTS_DIR INSTRUMENTS_DIR MANUAL_DIR
"""
import json
import os
import pathlib
import re
import subprocess
import sys
import tempfile

COLUMNS = 80
faults = []


def plain(roff):
    """Roff as the text it stands for, requests left out of it."""
    for mark, text in ((r"\fB", ""), (r"\fR", ""), (r"\fI", ""), (r"\-", "-"), (r"\(+-", "±"), (r"\(S3", "³"),
                       (r"\(de", "°"), (r"\&", ""), (r"\e", "\\")):
        roff = roff.replace(mark, text)
    return roff


def run(poise, *words, **more):
    return subprocess.run([poise, *map(str, words)], capture_output=True, text=True, check=False, timeout=300, **more)


def sections(page):
    """Headings of both levels, and what stands under each."""
    parts = re.split(r"^\.S[HS] (.*)\n", page, flags=re.M)
    return dict(zip(parts[1::2], parts[2::2]))


def entries(text):
    """What the lists under a heading explain: the bold names that begin an entry."""
    return {plain(m) for m in re.findall(r"^\.TP\n\\fB(.*?)\\fR", text, flags=re.M)}


def check_options(poise, page):
    under = sections(page)
    overview = run(poise, "--help").stdout.split("[ARGUMENTS]\n\n")[1].split("\n\n")[0]
    for command in [line.split()[0] for line in overview.splitlines()]:
        lines = run(poise, command, "--help").stdout.split("\nOptions\n")[1].splitlines()
        text = plain(under.get(command, ""))
        if f"poise {command}" not in plain(under["SYNOPSIS"]):
            faults.append(f"poise(1): SYNOPSIS lacks {command}")
        for line in lines:
            for word in re.match(r"  ((-\w, )?--[\w-]+)", line)[1].split(", "):
                if word != "--help" and not re.search(rf"(^|, ){re.escape(word)}($|[ ,])", text, flags=re.M):
                    faults.append(f"poise(1): {command}: {word} is missing")


def check_width(poise):
    """No help is wider than a terminal, in characters."""
    overview = run(poise, "--help").stdout
    commands = [line.split()[0] for line in overview.split("[ARGUMENTS]\n\n")[1].split("\n\n")[0].splitlines()]
    if len(commands) < 8:
        faults.append("the overview of commands was not understood")
    for words in [[], *([command] for command in commands)]:
        for line in run(poise, *words, "--help").stdout.splitlines():
            if len(line) > COLUMNS:
                faults.append(f"poise {' '.join([*words, '--help'])}: {len(line)} columns: {line}")


def paths(schema, definition, prefix=""):
    """Every key that an object may hold, with those of the objects in it."""
    for key, value in definition.get("properties", {}).items():
        yield prefix + key
        inner, step = value, ""
        if "items" in value:
            inner, step = value["items"], "N/"
        for reference in re.findall(r'"\$ref": "#/\$defs/([^"]+)"', json.dumps(inner)):
            if "additionalProperties" not in value or isinstance(value["additionalProperties"], bool):
                yield from paths(schema, schema["$defs"][reference], f"{prefix}{key}/{step}")


def check_keys(poise, page):
    schema = json.loads(run(poise, "schema").stdout)
    under = {name: entries(text) for name, text in sections(page).items()}
    root = schema if "properties" in schema else schema["$defs"]["instrument"]
    expected = {"KEYS OF THE FILE": set(paths(schema, root)),
                "MATERIALS": set(paths(schema, schema["$defs"]["own-material"]))}
    for kind in ("printed", "poured", "solid", "neck", "strings", "part", "mass"):
        expected[f"Kind {kind}"] = set(paths(schema, schema["$defs"][kind])) - under["ITEMS"]
    if sum(map(len, expected.values())) < 150:
        faults.append("the schema was not understood")
    for heading, keys in expected.items():
        for key in sorted(keys - under[heading]):
            faults.append(f"poise-instrument(5): {heading}: {key} is missing")
        for key in sorted(under[heading] - keys):
            faults.append(f"poise-instrument(5): {heading}: {key} is not in the schema")


def result_keys(value, named=False):
    """Keys of a result; those of objects that are keyed by name are no keys."""
    if isinstance(value, list):
        for inner in value:
            yield from result_keys(inner)
    if isinstance(value, dict):
        for key, inner in value.items():
            if not named:
                yield key
            yield from result_keys(inner, key == "items")


def check_results(poise, demo, page):
    text = plain(sections(page)["RESULTS"])
    result = json.loads(run(poise, "weigh", demo, "--json", "--trials", 1000).stdout)
    for key in sorted(set(result_keys(result))):
        if not re.search(rf"\b{key}\b", text):
            faults.append(f"poise-instrument(5): RESULTS: {key} is missing")


def block_stl():
    corners = [(a, b, c) for c in (0, 20) for b in (0, 30) for a in (0, 40)]
    triangles = [(0, 2, 3), (0, 3, 1), (4, 5, 7), (4, 7, 6), (0, 1, 5), (0, 5, 4),
                 (2, 6, 7), (2, 7, 3), (0, 4, 6), (0, 6, 2), (1, 3, 7), (1, 7, 5)]
    facets = ("facet normal 0 0 0\nouter loop\n" + "".join("vertex {} {} {}\n".format(*corners[i]) for i in t) +
              "endloop\nendfacet\n" for t in triangles)
    return "solid block\n" + "".join(facets) + "endsolid block\n"


def check_examples(poise, page):
    """Each example is weighed: a whole file, items, or keys of a file."""
    base = None
    tried = 0
    for block in re.findall(r"^\.nf\n(.*?)^\.fi\n", page, flags=re.M | re.S):
        text = plain(block)
        if not re.match(r'\{|"[^"]*": [{\[]', text):
            continue
        example = json.loads(text if text.startswith("{") else "{" + text + "}")
        if base is None:
            base = example
            base["items"].update(wing={"kind": "printed", "mesh": "wing.stl", "material": "petg"}, spine=base["items"]["tuners"],
                                 lead={"kind": "mass", "mass": 1, "at": [0, 0, 0]})
        whole = dict(base)
        for key, value in example.items():
            if isinstance(value, dict) and "kind" in value:
                whole["items"] = dict(whole["items"], **{key: value})
            else:
                whole[key] = value
        with tempfile.TemporaryDirectory() as folder:
            (pathlib.Path(folder) / "wing.stl").write_text(block_stl())
            path = pathlib.Path(folder) / "example.json"
            path.write_text(json.dumps(whole))
            done = run(poise, "check", path)
            if done.returncode != 0:
                faults.append(f"poise-instrument(5): example fails:\n{text}{done.stderr}")
        tried += 1
    if tried < 12:
        faults.append(f"only {tried} examples were found")


def check_layout(path):
    done = subprocess.run(["groff", "-man", "-ww", "-Kutf8", "-Tutf8", f"-rLL={COLUMNS}n", "-P-cbou", path],
                          capture_output=True, text=True, check=False)
    if done.returncode != 0 or done.stderr:
        faults.append(f"{path.name}: {done.stderr}")
    faults.extend(f"{path.name}: wide line: {line}" for line in done.stdout.splitlines() if len(line) > COLUMNS)


def main():
    poise, components, instruments, manual = sys.argv[1:5]
    os.environ["POISE_COMPONENTS"] = str(pathlib.Path(components).resolve())
    pages = [pathlib.Path(manual) / name for name in ("poise.1", "poise-instrument.5")]
    texts = [page.read_text(encoding="utf-8") for page in pages]
    check_width(poise)
    check_options(poise, texts[0])
    check_keys(poise, texts[1])
    check_results(poise, pathlib.Path(instruments) / "mudlark" / "mudlark.json", texts[1])
    check_examples(poise, texts[1])
    for page in pages:
        check_layout(page)
    print(*faults, f"{len(faults)} faults", sep="\n")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
