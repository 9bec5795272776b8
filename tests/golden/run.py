#!/usr/bin/env python3
"""Runs poise from the command line and compares exit code, standard output and standard error.

Usage: run.py POISE COMPONENTS_DIR INSTRUMENTS_DIR CASE...   [--update]

A case is a text file:

    $ weigh linnet/linnet.json --json
    exit 0
    --- stdout
    ...
    --- stderr
    ...

Arguments are split as by a POSIX shell, but no shell runs. The command runs in the C locale, in a fresh directory
that holds the files of tests/golden/files and the demo instruments. Numbers are compared to a relative 1e-9 (the
last digits of sin and log differ between processors), everything else to the letter. With --update the cases are
rewritten from what the program says; read the difference before you commit it.
"""
import difflib
import os
import pathlib
import re
import shlex
import shutil
import subprocess
import sys
import tempfile

NUMBER = re.compile(r"-?\d+(?:\.\d+)?(?:[eE][-+]?\d+)?")
RELATIVE = 1e-9


def same(got, want):
    if got == want:
        return True
    if NUMBER.sub("#", got) != NUMBER.sub("#", want):
        return False
    for a, b in zip(NUMBER.findall(got), NUMBER.findall(want)):
        if a == b:
            continue
        x, y = float(a), float(b)
        # Only numbers with more digits than a person reads may differ, and only in the last ones.
        if min(len(a), len(b)) < 12 or abs(x - y) > RELATIVE * max(abs(x), abs(y), 1e-3):
            return False
    return True


def read_case(path):
    text = path.read_bytes().decode("utf-8")  # as it is: CSV ends its lines in CR LF
    match = re.match(r"\$ ?([^\n]*)\n(?:exit (\d+)\n--- stdout\n(.*?)--- stderr\n(.*))?\Z", text, re.S)
    if not match:
        raise ValueError(f"{path}: not a case")
    command, code, out, err = match.groups()
    return command, None if code is None else int(code), out, err


def run_case(path, poise, components, instruments):
    command = read_case(path)[0]
    with tempfile.TemporaryDirectory() as work:
        shutil.copytree(pathlib.Path(__file__).parent / "files", work, dirs_exist_ok=True)
        for entry in pathlib.Path(instruments).iterdir():
            if entry.is_dir():
                os.symlink(entry.resolve(), pathlib.Path(work) / entry.name)
        environment = {"LC_ALL": "C", "PATH": os.environ["PATH"], "POISE_COMPONENTS": components,
                       "XDG_CACHE_HOME": os.environ.get("XDG_CACHE_HOME", work), "TZ": "UTC"}
        done = subprocess.run([poise, *shlex.split(command)], cwd=work, env=environment,
                              stdin=subprocess.DEVNULL, capture_output=True, timeout=120, check=False)
    return command, done.returncode, done.stdout.decode("utf-8"), done.stderr.decode("utf-8")


def difference(name, got, want):
    return "".join(difflib.unified_diff(want.splitlines(True), got.splitlines(True), f"{name} expected",
                                        f"{name} found"))


def main():
    arguments = [a for a in sys.argv[1:] if a != "--update"]
    update = "--update" in sys.argv
    poise, components, instruments, *cases = arguments
    poise, components = os.path.abspath(poise), os.path.abspath(components)
    failed = 0
    for case in map(pathlib.Path, cases):
        command, code, out, err = run_case(case, poise, components, instruments)
        if update:
            case.write_bytes(f"$ {command}\nexit {code}\n--- stdout\n{out}--- stderr\n{err}".encode("utf-8"))
            continue
        _, want_code, want_out, want_err = read_case(case)
        problems = []
        if want_code is None:
            problems.append("the case has no expected output; run with --update")
        else:
            if code != want_code:
                problems.append(f"exit code {code}, expected {want_code}")
            if not same(out, want_out):
                problems.append(difference("stdout", out, want_out))
            if not same(err, want_err):
                problems.append(difference("stderr", err, want_err))
        if problems:
            failed += 1
            print(f"FAILED {case.name}: poise {command}")
            print("\n".join(problems))
    print(f"{len(cases) - failed} passed, {failed} failed")
    return 1 if failed or not cases else 0


if __name__ == "__main__":
    sys.exit(main())
