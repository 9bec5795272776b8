#!/usr/bin/env python3
"""Changes the statics and the mass properties one token at a time and asks whether the unit tests notice.

Usage: mutate.py BUILD_DIR [--sample N] [--file NAME] [--list] [--jobs N]

BUILD_DIR is a finished build with tests. Each mutant is one source file, compiled and linked in front of the
library to the unit tests that are about it; it is killed when one of them fails (or does not end). With --sample
only N mutants are tried, evenly spread: always the same ones. Survivors that change nothing a caller can see are
listed, with the reason, in mutate_equivalent.txt, and do not count. Exit code 1 below 95 % killed.
"""
import argparse
import concurrent.futures
import json
import pathlib
import re
import resource
import shlex
import subprocess
import sys
import tempfile

SOURCE = pathlib.Path(__file__).resolve().parents[1]
LEAST_KILLED = 0.95
# A mutant that leaves its arrays dies at once, instead of reading what happens to stand there.
TRAPS = ["-fsanitize=bounds-strict,undefined", "-fsanitize-undefined-trap-on-error"]
# Which files, and the tests that are about them, quickest first.
TARGETS = {"statics": ["test_statics_hang", "test_statics_window", "test_statics_curve", "test_statics_ballast",
                       "test_statics_edges", "test_statics_seat", "test_statics_lean", "test_statics_free_hang", "test_statics_range"],
           "mass": ["test_body", "test_moments", "test_mesh_check"]}
FILES = {"statics": sorted((SOURCE / "src/statics").glob("*.c")),
         "mass": [SOURCE / "src/geometry" / n for n in ("mesh_moments.c", "moments.c", "body.c")]}
# A comparison is turned round, not moved by one bit: whether a continuous quantity just equals a bound is no
# behaviour that anybody relies on.
SWAPS = {"<": ">=", ">": "<=", "<=": ">", ">=": "<", "==": "!=", "!=": "==", "&&": "||", "||": "&&",
         "+": "-", "-": "+", "*": "/", "/": "*", "+=": "-=", "-=": "+=", "++": "--", "sin": "cos", "cos": "sin",
         "fmin": "fmax", "fmax": "fmin", "true": "false", "false": "true", "!": "", "break": "continue",
         "lo": "hi", "hi": "lo", "x_mm": "y_mm", "y_mm": "x_mm", "tail": "horn", "horn": "tail"}
TOKEN = re.compile(r'/\*.*?\*/|//[^\n]*|"(?:\\.|[^"\\])*"|\'(?:\\.|[^\'\\])*\'|^[ \t]*#[^\n]*|'
                   r'[A-Za-z_]\w*|\d+\.?\d*(?:[eE][-+]?\d+)?|->|\+\+|--|[-+*/<>=!&|]=|&&|\|\||[-+*/<>!]|\S', re.S | re.M)
# Lines whose change is no change of behaviour: declarations of types and tolerances, pointers, sizes.
PASSED_OVER = re.compile(r"^\s*(static const|const |extern|struct|typedef|assert|enum)|sizeof|\bvoid \*|^[A-Za-z]")


def mutants(path):
    text = path.read_text()
    previous = ""
    lines = text.split("\n")
    for match in TOKEN.finditer(text):
        token, before = match.group(), previous
        if token.startswith(("/*", "//")):
            continue
        previous = token
        number = text.count("\n", 0, match.start())
        if PASSED_OVER.search(lines[number]) or token[0] in "\"'#":
            continue
        unary = before in ("", "(", ",", "=", "return", "{", "[", "?", ":", "+", "-", "*", "/", "<", ">", "&&", "||", ";")
        if token in ("*", "&") and (unary or re.search(r"(double|Poise\w+|\w+_t|char|const|int|bool|[A-Z]\w*) *\Z",
                                                       text[max(0, match.start() - 30):match.start()])):
            continue  # a pointer
        new = None
        if token in SWAPS and not (token in ("+",) and unary):
            new = SWAPS[token] if not (token == "-" and unary) else ""
        elif token[0].isdigit() and "[" not in before:
            new = "1" if token == "0" else "1.0" if token == "0.0" else f"({token} + 1)"
        if new is not None:
            yield {"file": path, "line": number + 1, "was": token, "now": new, "source": lines[number].strip(),
                   "text": text[:match.start()] + new + text[match.end():]}


def key(mutant):
    return f'{mutant["file"].name}: {mutant["source"]}: {mutant["was"]} -> {mutant["now"]}'.strip()


def known_equivalents():
    path = SOURCE / "tests/mutate_equivalent.txt"
    lines = path.read_text().splitlines() if path.exists() else []
    return {line.split(" # ")[0].strip() for line in lines if line.strip() and not line.startswith("#")}


class Builder:
    def __init__(self, build):
        self.build = build
        entries = json.loads((build / "compile_commands.json").read_text())
        self.commands = {e["file"]: (shlex.split(e["command"]), e["directory"]) for e in entries}
        self.library = next(build.rglob("libpoise.a"))
        flags = subprocess.run(["pkg-config", "--libs", "libcjson", "geos", "libzip", "expat", "cmocka"],
                               capture_output=True, text=True, check=True).stdout
        self.libraries = flags.split() + ["-lm", "-lpthread"]

    def kills(self, mutant, tests):
        with tempfile.TemporaryDirectory() as directory:
            work = pathlib.Path(directory)
            source = work / mutant["file"].name
            source.write_text(mutant["text"])
            command, _ = self.commands[str(mutant["file"])]
            command = command[:command.index("-o")] + ["-w", "-O1", *TRAPS, "-o", str(work / "m.o"), "-c", str(source)]
            if subprocess.run(command, cwd=work, capture_output=True, check=False).returncode:
                return None  # does not compile: no mutant
            for test in tests:
                test_object = next(self.build.rglob(f"{test}.c.o"))
                subprocess.run(["cc", "-o", str(work / test), str(test_object), str(work / "m.o"), str(self.library),
                                *self.libraries], check=True, capture_output=True)
                if self.fails(work / test):
                    return test
        return ""

    def fails(self, program):
        def limit():
            resource.setrlimit(resource.RLIMIT_CPU, (20, 20))
            resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
        try:
            return subprocess.run([str(program)], cwd=program.parent, capture_output=True, preexec_fn=limit, timeout=300,
                                  check=False).returncode != 0
        except subprocess.TimeoutExpired:
            return True


def main():
    parser = argparse.ArgumentParser(description=__doc__.split("\n", maxsplit=1)[0])
    parser.add_argument("build", type=pathlib.Path)
    parser.add_argument("--sample", type=int)
    parser.add_argument("--least", type=float, default=LEAST_KILLED, help="fraction that must be killed")
    parser.add_argument("--file")
    parser.add_argument("--list", action="store_true")
    parser.add_argument("--jobs", type=int, default=2)
    options = parser.parse_args()
    equivalent = known_equivalents()
    work = [(m, TARGETS[group]) for group, files in FILES.items() for f in files
            if not options.file or f.name == options.file for m in mutants(f) if key(m) not in equivalent]
    total = len(work)
    if options.list:
        for mutant, _ in work:
            print(key(mutant))
        return 0
    if options.sample and options.sample < total:
        work = [work[i * total // options.sample] for i in range(options.sample)]
    builder = Builder(options.build.resolve())
    for tests in TARGETS.values():  # the unchanged tests pass, or nothing below means anything
        for test in tests:
            program = next(p for p in builder.build.rglob(test) if p.is_file())
            if builder.fails(program):
                sys.exit(f"{test} fails without any change")
    killed = survived = broken = 0
    with concurrent.futures.ThreadPoolExecutor(options.jobs) as pool:
        for (mutant, _), by in zip(work, pool.map(lambda w: builder.kills(*w), work)):
            if by is None:
                broken += 1
            elif by:
                killed += 1
            else:
                survived += 1
                print(f"survives: line {mutant['line']}: {key(mutant)}", flush=True)
    tried = killed + survived
    share = killed / tried if tried else 0.0
    print(f"{killed} of {tried} mutants killed ({100 * share:.1f} %), of {total} in all; {broken} do not compile, "
          f"{len(equivalent)} known to change nothing")
    return 0 if share >= options.least else 1


if __name__ == "__main__":
    sys.exit(main())
