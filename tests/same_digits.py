#!/usr/bin/env python3
"""Checks that the same file gives the same digits: for any number of threads, locale, time zone, working directory,
cold or warm cache, and (with several programs: -O0 and -O3 builds) any optimisation level.

Usage: same_digits.py COMPONENTS_DIR INSTRUMENTS_DIR POISE…
The German locale is made in a directory of its own, from the definitions of the package "locales".
"""
import os
import pathlib
import subprocess
import sys
import tempfile

DEMOS = ("mudlark/mudlark.json", "linnet/linnet.json")


def german(work):
    """A LOCPATH with de_DE.UTF-8, whose decimal sign is a comma."""
    place = work / "locale"
    place.mkdir()
    # localedef warns with exit code 1 and still writes the locale
    subprocess.run(["localedef", "--no-archive", "-i", "de_DE", "-f", "UTF-8", str(place / "de_DE.UTF-8")],
                   stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, check=False)
    comma = subprocess.run(["locale", "decimal_point"], env={"LOCPATH": str(place), "LC_ALL": "de_DE.UTF-8"},
                           capture_output=True, text=True, check=False).stdout.strip()
    if comma != ",":
        sys.exit("no German locale: install the package \"locales\"")
    return str(place)


def main():
    components, instruments = (str(pathlib.Path(p).resolve()) for p in sys.argv[1:3])
    programs = [str(pathlib.Path(p).resolve()) for p in sys.argv[3:]]
    failures = runs = 0
    with tempfile.TemporaryDirectory() as directory:
        work = pathlib.Path(directory)
        locale = {"LOCPATH": german(work), "LC_ALL": "de_DE.UTF-8"}
        cache = {"XDG_CACHE_HOME": str(work)}
        ways = [([], {}, "/"), (["--threads", "1"], {}, "/"), (["--threads", "2"], {}, "/"),
                (["--threads", "5"], {}, "/"), ([], locale, "/"), ([], {"TZ": "Pacific/Chatham"}, "/"),
                ([], {}, None), (None, cache, "/"), (None, cache, "/")]
        for demo in DEMOS:
            outcomes = {}
            for program in programs:
                for options, more, place in ways:
                    path = pathlib.Path(instruments, demo)
                    name = path.name if place is None else str(path)
                    arguments = ["--no-cache", *options] if options is not None else []
                    done = subprocess.run([program, "weigh", name, "--json", *arguments], capture_output=True,
                                          cwd=path.parent if place is None else place, check=False,
                                          env={"LC_ALL": "C", "TZ": "UTC", "POISE_COMPONENTS": components, **more})
                    runs += 1
                    text = done.stdout.replace(str(path).encode(), path.name.encode())
                    outcomes.setdefault((done.returncode, text), []).append((program, arguments, more, place))
            code, _ = next(iter(outcomes))
            if len(outcomes) != 1 or code != 0:
                failures += 1
                print(f"{demo}: {len(outcomes)} different results")
                for (code, text), who in outcomes.items():
                    print(f"  exit {code}, {len(text)} bytes: {who[:4]}")
    print(f"{runs} runs, {failures} demos that differ")
    return 1 if failures or not runs else 0


if __name__ == "__main__":
    sys.exit(main())
