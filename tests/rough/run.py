#!/usr/bin/env python3
"""Treats the program roughly: full disks, closed pipes, unreadable, endless, shrinking and vanishing files,
signals while it writes, hostile names. Each time: the right exit code, a plain message, nothing left behind.

Usage: run.py POISE COMPONENTS_DIR INSTRUMENTS_DIR
"""
import json
import os
import pathlib
import re
import signal
import stat
import subprocess
import sys
import tempfile
import time
import xml.etree.ElementTree
import zipfile

POISE, COMPONENTS, INSTRUMENTS = (str(pathlib.Path(p).resolve()) for p in sys.argv[1:4])
# What a terminal would obey: C0 controls but the line feed, DEL, C1, bidirectional controls (Unicode 15, UAX #9).
HOSTILE = re.compile("[\x00-\x09\x0b-\x1f\x7f-\x9f\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069]")
NAME = "wr\x1b[31men\x07\u202egnp.exe\u2066\x9b2J\x7f"
failures = []
checks = 0


def expect(condition, what):
    global checks
    checks += 1
    if not condition:
        failures.append(what)
        print(f"FAILED: {what}")


def run(*arguments, code=None, cwd=None, stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, says=None, env=None,
        seconds=120):
    """The program's standard output, after its exit code and a word of its message were compared."""
    environment = {"PATH": os.environ["PATH"], "LC_ALL": "C", "POISE_COMPONENTS": COMPONENTS,
                   "HOME": str(cwd or "/nonexistent"), **(env or {})}
    try:
        done = subprocess.run([POISE, *arguments], cwd=cwd, stdin=stdin, stdout=stdout, stderr=subprocess.PIPE,
                              env=environment, timeout=seconds)
    except subprocess.TimeoutExpired:
        expect(False, f"{arguments}: does not end")
        return "", ""
    out = (done.stdout or b"").decode("utf-8", "replace")
    err = done.stderr.decode("utf-8", "replace")
    if code is not None:
        expect(done.returncode == code, f"{arguments}: exit code {done.returncode}, not {code}: {err[-300:]}")
    if says is not None:
        expect(says in err, f"{arguments}: no \"{says}\" in: {err[-300:]}")
    return out, err


def instrument(items, **more):
    return json.dumps({"poise": 1, "name": "x", "items": items, **more})


def write(path, text):
    path.write_text(text, encoding="utf-8")
    return str(path)


def mass(**more):
    return {"kind": "mass", "mass": "1 kg", "at": [0, 0, 0], **more}


def printed(mesh):
    return {"kind": "printed", "mesh": mesh, "material": "petg"}


def box_stl(path, count=12):
    """A box of 12 triangles; more are repeated records, enough to make the file long."""
    corners = [(x * 20.0, y * 20.0, z * 5.0) for z in (0, 1) for y in (0, 1) for x in (0, 1)]
    faces = [(0, 2, 1), (1, 2, 3), (4, 5, 6), (5, 7, 6), (0, 1, 4), (1, 5, 4),
             (2, 6, 3), (3, 6, 7), (0, 4, 2), (2, 4, 6), (1, 3, 5), (3, 7, 5)]
    lines = ["solid box"]
    for face in faces[:count]:
        lines += ["facet normal 0 0 0", "outer loop"]
        lines += ["vertex %g %g %g" % corners[i] for i in face] + ["endloop", "endfacet"]
    path.write_text("\n".join(lines + ["endsolid box", ""]))
    return path


def outputs_that_fail(work):
    file = write(work / "a.json", instrument({"a": mass()}))
    for command in (["weigh", file], ["weigh", file, "--json"], ["weigh", "--help"], ["--version"], ["--help"],
                    ["schema"], ["parts"], ["check", file]):
        with open("/dev/full", "wb") as full:
            run(*command, code=5, stdout=full, says="write")
        # A reader that is gone: the usual SIGPIPE where it is not ignored, exit code 5 where it is.
        for ignored in (False, True):
            read_end, write_end = os.pipe()
            os.close(read_end)
            done = subprocess.run([POISE, *command], stdout=write_end, stderr=subprocess.PIPE,
                                  stdin=subprocess.DEVNULL, restore_signals=not ignored,
                                  env={"POISE_COMPONENTS": COMPONENTS, "HOME": str(work)})
            os.close(write_end)
            want = 5 if ignored else -signal.SIGPIPE
            expect(done.returncode == want, f"{command} into a closed pipe: {done.returncode}, not {want}")


def inputs_that_fail(work):
    run("weigh", str(work / "nothing.json"), code=5, says="No such file")
    run("weigh", str(work), code=5, says="directory")
    locked = pathlib.Path(write(work / "locked.json", instrument({"a": mass()})))
    locked.chmod(0)
    if os.geteuid() != 0:  # root may read anything
        run("weigh", str(locked), code=5, says="ermission")
    os.mkfifo(work / "pipe.stl")
    (work / "directory.stl").mkdir()
    (work / "loop.stl").symlink_to("loop.stl")
    for mesh in ("pipe.stl", "/dev/zero", "/dev/stdin", "/dev/tty", "directory.stl", "loop.stl", "missing.stl", "-",
                 "/proc/self/mem"):
        file = write(work / "m.json", instrument({"a": printed(mesh)}))
        out, err = run("weigh", "m.json", code=5 if mesh != "/proc/self/mem" else None, cwd=work, seconds=60)
        expect(out == "" and err != "", f"mesh {mesh}: {out[:100]!r} {err[:100]!r}")
        run("check", file, cwd=work, seconds=60)
    run("weigh", "/dev/zero", code=3, says="limit")
    run("weigh", "-", code=3, says="")
    run("weigh", write(work / "a.json", instrument({"a": mass()})), code=5, says="component",
        env={"POISE_COMPONENTS": str(work / "none")})


def shrinking_file(work):
    """A mesh that is cut while it is read ends in an answer, whichever moment it is."""
    line = b"facet normal 0 0 0\nouter loop\nvertex 0 0 0\nvertex 1 0 0\nvertex 0 1 0\nendloop\nendfacet\n"
    mesh = work / "long.stl"
    file = write(work / "long.json", instrument({"a": printed("long.stl")}))
    for delay in (0.005, 0.02, 0.05):
        mesh.write_bytes(b"solid x\n" + line * 200000 + b"endsolid x\n")
        child = subprocess.Popen([POISE, "weigh", file], stdout=subprocess.PIPE, stderr=subprocess.PIPE,
                                 env={"POISE_COMPONENTS": COMPONENTS, "HOME": str(work)})
        time.sleep(delay)
        os.truncate(mesh, 10)
        out, err = child.communicate(timeout=120)
        expect(child.returncode in (4, 5), f"a shrinking mesh: exit code {child.returncode}: {err[-300:]}")
        expect(out == b"" and err, "a shrinking mesh: says nothing")
    mesh.unlink()


def signals_while_writing(work):
    """Interrupted at any moment, a command that writes a file leaves a whole one or none, and no other."""
    for delay in range(0, 12):
        place = work / f"new{delay}"
        place.mkdir()
        child = subprocess.Popen([POISE, "new", "Wren"], cwd=place, stdout=subprocess.DEVNULL,
                                 stderr=subprocess.DEVNULL, env={"POISE_COMPONENTS": COMPONENTS})
        time.sleep(delay * 0.0005)
        child.send_signal(signal.SIGINT if delay % 2 else signal.SIGTERM)
        child.wait(timeout=60)
        left = [p.name for p in place.iterdir()]
        expect(left in ([], ["wren.json"]), f"after a signal there is {left}")
        if left:
            text = (place / "wren.json").read_text()
            expect(text == "" or json.loads(text)["poise"] == 1, "half an instrument file after a signal")


def hostile_names(work):
    """Nothing from a file drives the terminal that shows it."""
    box_stl(work / "box.stl")
    file = write(work / "hostile.json", instrument(
        {NAME: mass(note=NAME), "b" + NAME: printed("box.stl"), "c" + NAME: mass(mass="1 kg ± 90 g")},
        name=NAME, materials={}, measured={NAME: "900 g ± 5 g"},
        scale={"nut": [648, 0, 0], "saddle": [0, 0, 0], "frets": 22},
        posts={"tail": [-60, 0, 0], "horn": [330, 90, 0]}, strap={"length": 1100},
        variants={NAME: {"name": NAME, "items": {"d" + NAME: mass()}}}))
    bad = write(work / "bad.json", instrument({NAME: mass(**{NAME: NAME}), "p": {"kind": NAME},
                                               "m": {"kind": "part", "part": NAME, "note": NAME}}, **{NAME: 1}))
    shown = [run("weigh", file, code=0), run("weigh", file, "--markdown", code=0),
             run("weigh", file, "--variant", NAME, code=0), run("weigh", file, "--variant", "x" + NAME, code=2),
             run("check", file, code=0), run("check", bad, code=3), run("weigh", bad, code=3),
             run("weigh", str(work / NAME), code=5), run("section", str(work / NAME), code=5),
             run("parts", NAME), run(NAME, code=2), run("weigh", "--" + NAME.replace("\x00", ""), code=2),
             run("new", NAME, cwd=work)]
    help_text = run("--help")[0]
    if "compare" in help_text:
        shown += [run("compare", file), run("compare", file, NAME), run("compare", file, "--markdown")]
    if "sweep" in help_text:
        shown.append(run("sweep", file, "--vary", f"/items/{NAME}/mass=1:2:1"))
    if "remedy" in help_text:
        shown.append(run("remedy", file))
    if "tally" in help_text:
        shown.append(run("tally", file))
    for out, err in shown:
        for text in (out, err):
            found = HOSTILE.search(text)
            expect(not found, f"a control character reaches the terminal: {text[max(0, found.start() - 60 if found else 0):][:120]!r}")


def inflating_packages(work):
    """A 3MF part that unpacks to far more than it is packed is refused before it fills the memory; one whose text
    merely packs well is read. Nothing in a package leads out of it."""
    core = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02"
    corners = "".join(f'<vertex x="{x}" y="{y}" z="{z}"/>' for x, y, z in ((0, 0, 0), (10, 0, 0), (0, 10, 0), (0, 0, 10)))
    faces = "".join(f'<triangle v1="{a}" v2="{b}" v3="{c}"/>' for a, b, c in ((0, 2, 1), (0, 1, 3), (1, 2, 3), (0, 3, 2)))
    relations = ('<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship '
                 'Target="%s" Id="r" Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/></Relationships>')
    mib = 1 << 20
    for padding, target, code, says in ((3 * mib, "/3D/m.model", 0, None), (5 * mib, "/3D/m.model", 4, "inflates"),
                                        (0, "/3D/../../m.model", 4, None), (0, "../m.model", 4, None)):
        model = (f'<model unit="millimeter" xmlns="{core}">{" " * padding}<resources><object id="1"><mesh><vertices>'
                 f"{corners}</vertices><triangles>{faces}</triangles></mesh></object></resources><build>"
                 '<item objectid="1"/></build></model>')
        with zipfile.ZipFile(work / "part.3mf", "w", zipfile.ZIP_DEFLATED, compresslevel=9) as archive:
            archive.writestr("_rels/.rels", relations % target)
            archive.writestr(target.lstrip("/"), model)
        run("section", str(work / "part.3mf"), "--json", code=code, says=says)


MARKUP = "x</td></text><script>alert(1)</script><img src=x onerror=alert(2)>\"'`$(touch owned)`touch owned`&amp;{/Bold y}@_2^3"


def hostile_markup(work):
    """Names that are HTML, SVG, shell or plotting commands come out as text, in every kind of file."""
    help_text = run("--help")[0]
    file = write(work / "markup.json", instrument(
        {MARKUP: mass(note=MARKUP), "b" + MARKUP: mass(mass="2 kg ± 90 g", at=[300, 0, 0]),
         NAME: mass(at=[100, 0, 0])},
        name=MARKUP, scale={"nut": [648, 0, 0], "saddle": [0, 0, 0], "frets": 22},
        posts={"tail": [-60, 0, 0], "horn": [330, 90, 0]}, strap={"length": 1100}, seat={"rest": [150, -90]},
        variants={MARKUP: {"items": {"d": mass(note=MARKUP)}}}))
    written = []
    if "report" in help_text:
        for name in ("sheet.html", "sheet.md"):
            run("report", file, "-o", str(work / name), code=0, cwd=work)
            written.append(work / name)
    if "plot" in help_text:
        for view in ("side", "front", "window", "budget", "ballast"):
            out = work / f"{view}.svg"
            run("plot", file, view, "-o", str(out), cwd=work)
            if out.exists():
                written.append(out)
        expect(any(p.suffix == ".svg" for p in written), "no plot was drawn")
    for path in written:
        text = path.read_text(encoding="utf-8")
        expect("<script>alert" not in text and "<img src=x" not in text, f"{path.name}: markup comes through")
        expect(not HOSTILE.search(text.replace("\t", " ").replace("\r", "")), f"{path.name}: a control character comes through")
        expect("onerror" in text or path.suffix == ".svg", f"{path.name}: the name is not there at all")
        if path.suffix == ".svg":
            xml.etree.ElementTree.fromstring(text)  # well-formed
    for command in (["weigh", file, "--csv"], ["weigh", file, "--json"]):
        out, _ = run(*command, code=0)
        expect("onerror=alert(2)" in out, f"{command}: the name is lost")
    expect(not list(work.rglob("owned")), "a shell ran what a name said")
    left = sorted(p.name for p in work.iterdir())
    expect(left == sorted({"markup.json", *(p.name for p in written)} | ({".cache"} & set(left))), f"left behind: {left}")


def cache_is_private(work):
    """The cache directory is the user's own, and no record can be planted by a symbolic link."""
    box_stl(work / "box.stl")
    file = write(work / "box.json", instrument({"a": printed("box.stl")}))
    home = work / "home"
    home.mkdir()
    first = run("weigh", file, "--json", code=0, env={"HOME": str(home)})[0]
    cache = home / ".cache" / "poise"
    expect(stat.S_IMODE(cache.stat().st_mode) == 0o700, "the cache directory is open to others")
    records = list(cache.iterdir())
    expect(len(records) == 1 and stat.S_IMODE(records[0].stat().st_mode) == 0o600, f"records: {records}")
    expect(run("weigh", file, "--json", code=0, env={"HOME": str(home)})[0] == first, "the cache changes the result")
    whole = records[0].read_bytes()
    for damage in (b"", whole[:100], whole[:-1] + bytes([whole[-1] ^ 1]), bytes(len(whole)), whole + b"x"):
        records[0].write_bytes(damage)
        expect(run("weigh", file, "--json", code=0, env={"HOME": str(home)})[0] == first, "a damaged record counts")
    elsewhere = work / "planted"
    elsewhere.write_bytes(whole)
    records[0].unlink()
    records[0].symlink_to(elsewhere)
    expect(run("weigh", file, "--json", code=0, env={"HOME": str(home)})[0] == first, "a planted record counts")
    expect(elsewhere.read_bytes() == whole, "a planted link is written through")
    cache.chmod(0o777)
    before = sorted(p.name for p in cache.iterdir())
    run("weigh", file, code=0, env={"HOME": str(home)})
    expect(sorted(p.name for p in cache.iterdir()) == before, "a cache that others may write to is used")


def main():
    for part in (outputs_that_fail, inputs_that_fail, shrinking_file, signals_while_writing, hostile_names,
                 hostile_markup, inflating_packages, cache_is_private):
        before = len(failures)
        with tempfile.TemporaryDirectory() as work:
            part(pathlib.Path(work))
        print(f"{part.__name__}: {'ok' if len(failures) == before else 'FAILED'}")
    print(f"{checks} checks, {len(failures)} failures")
    return 1 if failures else 0


if __name__ == "__main__":
    sys.exit(main())
