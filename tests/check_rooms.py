#!/usr/bin/env python3
"""Checks that the includes between the rooms of src/ point one way, and that no file outgrows its concept.

Usage: check_rooms.py SOURCE_DIR
"""
import pathlib
import re
import sys

# Each room may include itself, the public headers, and the rooms named here. DEVELOPERS.md draws this.
PHYSICS = {"base", "model", "geometry", "statics", "scale", "bodies", "doubt"}
MAY_INCLUDE = {
    "base": set(),
    "model": {"base"},
    "input": {"base", "model"},
    "geometry": {"base"},
    "statics": {"base"},
    "scale": {"base", "model", "statics"},
    "bodies": {"base", "model", "geometry"},
    "doubt": {"base", "model", "geometry", "statics", "bodies"},
    "weigh": PHYSICS,
    "tally": PHYSICS | {"weigh"},
    "output": PHYSICS | {"weigh", "tally"},
    "decide": PHYSICS | {"weigh", "tally", "output", "input"},
    "plot": PHYSICS | {"weigh", "output"},
    "report": PHYSICS | {"weigh", "output", "input", "decide", "plot"},
}
MAY_INCLUDE["commands"] = set(MAY_INCLUDE)
MAY_INCLUDE["manual"] = set(MAY_INCLUDE)
# A file is one concept; past this it is two. A little above the aim of 400.
MOST_LINES = 450


def main():
    root = pathlib.Path(sys.argv[1])
    faults = []
    checked = 0
    rooms = {p.name for p in (root / "src").iterdir() if p.is_dir()}
    for unknown in sorted(rooms - MAY_INCLUDE.keys()):
        faults.append(f"src/{unknown}: a room that tests/check_rooms.py does not know")
    for path in sorted((root / "src").rglob("*.[ch]")):
        room = path.relative_to(root / "src").parts[0]
        text = path.read_text(encoding="utf-8")
        checked += 1
        lines = text.count("\n")
        if lines > MOST_LINES:
            faults.append(f"{path.relative_to(root)}: {lines} lines, at most {MOST_LINES}")
        for number, line in enumerate(text.splitlines(), 1):
            match = re.match(r'\s*#\s*include\s+"([^"]+)"', line)
            if not match:
                continue
            target = match.group(1).split("/")[0]
            where = f"{path.relative_to(root)}:{number}"
            if target == "poise":
                continue
            if target not in MAY_INCLUDE:
                faults.append(f"{where}: include \"{match.group(1)}\" by its room, as \"room/file.h\"")
            elif target != room and target not in MAY_INCLUDE[room]:
                faults.append(f"{where}: {room} may not include {target}")
    for path in sorted((root / "include").rglob("*.h")):
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1):
            match = re.match(r'\s*#\s*include\s+"([^"]+)"', line)
            if match and not match.group(1).startswith("poise/"):
                faults.append(f"{path.relative_to(root)}:{number}: a public header includes a private one")
    if checked == 0:
        faults.append("no sources found")
    for fault in faults:
        print(fault)
    print(f"{checked} files checked, {len(faults)} faults")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
