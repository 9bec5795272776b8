#!/usr/bin/env python3
"""Draws every view of the demonstration instruments and looks at what comes out.

Usage: check_plots.py POISE COMPONENTS_DIR INSTRUMENTS_DIR PLOTS_DIR

Checked: every view comes out as SVG, PNG and PDF and is not blank; marked points stand where the results of
"poise weigh" put them; names that try to run something are drawn as written; the script that --data leaves draws
the same picture with plain gnuplot; labels lie neither on each other nor on lines, for either hand, with no body and
no strap; what goes wrong leaves no picture and no temporary file behind.
"""
import copy
import json
import os
import pathlib
import re
import shutil
import struct
import subprocess
import sys
import tempfile
import xml.etree.ElementTree as ElementTree
import zlib

sys.dont_write_bytecode = True  # nothing is left beside the sources
import plot_table  # noqa: E402

VIEWS = ["side", "front", "window", "ballast", "budget"]
DEMOS = ["mudlark", "linnet"]
ACCENT = "rgb(184,67,31)"
INK = "rgb(28,39,48)"
HOSTILE = ["`touch PWNED`", "$(touch PWNED)", "\"quoted\" 4\"2", "it's", "@TITLE", "{/*5 big}", "%s%n 100%",
           "# no comment", "a_b^c", "back\\slash \\n", "naïve 日本", "'; system('touch PWNED') #",
           "<b>&amp;</b>", "| touch PWNED", "tab\there", "line\nfeed\n!touch PWNED", "right\u202eleft"]


class Bench:
    def __init__(self, poise, components, instruments, plots, work):
        self.poise, self.work, self.instruments = poise, pathlib.Path(work), pathlib.Path(instruments)
        self.scratch = self.work / "tmp"
        self.scratch.mkdir()
        self.environment = {"PATH": os.environ["PATH"], "LC_ALL": "C", "POISE_COMPONENTS": components,
                            "POISE_PLOTS": plots, "HOME": work, "TMPDIR": str(self.scratch),
                            "XDG_CACHE_HOME": os.environ.get("XDG_CACHE_HOME", work)}
        if "ASAN_OPTIONS" in os.environ:
            self.environment["ASAN_OPTIONS"] = os.environ["ASAN_OPTIONS"]
        self.faults, self.checks = [], 0

    def expect(self, good, what):
        self.checks += 1
        if not good:
            self.faults.append(what)

    def run(self, *arguments, environment=None):
        done = subprocess.run([self.poise, *map(str, arguments)], cwd=self.work, env=environment or self.environment,
                              stdin=subprocess.DEVNULL, capture_output=True, timeout=180, check=False)
        left = list(self.scratch.iterdir())
        self.expect(not left, f"{arguments}: left {left} behind")
        return done.returncode, done.stdout, done.stderr.decode("utf-8", "replace")

    def demo(self, name):
        return self.instruments / name / f"{name}.json"


def png_pixels(data):
    """Width, height and the rows of an 8-bit RGB or RGBA image, filters undone (ISO/IEC 15948, clause 9)."""
    if data[:8] != b"\x89PNG\r\n\x1a\n":
        raise ValueError("not a PNG")
    at, packed, header = 8, b"", None
    while at < len(data):
        length, kind = struct.unpack(">I4s", data[at:at + 8])
        body = data[at + 8:at + 8 + length]
        if zlib.crc32(kind + body) != struct.unpack(">I", data[at + 8 + length:at + 12 + length])[0]:
            raise ValueError("bad checksum")
        header = body if kind == b"IHDR" else header
        packed += body if kind == b"IDAT" else b""
        at += 12 + length
    width, height, depth, colour = struct.unpack(">IIBB", header[:10])
    if depth != 8 or colour not in (2, 6):
        raise ValueError("not 8-bit RGB")
    step = 3 if colour == 2 else 4
    raw, size = zlib.decompress(packed), width * step
    rows, above = [], bytes(size)
    for y in range(height):
        kind, row = raw[y * (size + 1)], bytearray(raw[y * (size + 1) + 1:(y + 1) * (size + 1)])
        if kind == 2:
            row = bytearray((a + b) & 255 for a, b in zip(row, above))
        elif kind:
            for i in range(size):
                left = row[i - step] if i >= step else 0
                corner = above[i - step] if i >= step else 0
                if kind == 1:
                    guess = left
                elif kind == 3:
                    guess = (left + above[i]) // 2
                else:
                    near = left + above[i] - corner
                    guess = min((left, above[i], corner), key=lambda v, n=near: abs(n - v))
                row[i] = (row[i] + guess) & 255
        rows.append(bytes(row))
        above = rows[-1]
    return width, height, step, rows


def look_at_png(bench, what, data):
    """Colours enough, ink on every quarter of the page: no blank picture, no picture in a corner."""
    try:
        width, height, step, rows = png_pixels(data)
    except (ValueError, struct.error, zlib.error) as fault:
        bench.expect(False, f"{what}: {fault}")
        return
    white, colours, quarters = b"\xff" * 3, set(), [0] * 4
    for y in range(0, height, 3):
        row = rows[y]
        for x in range(0, width, 3):
            pixel = row[x * step:x * step + 3]
            if pixel != white:
                colours.add(pixel)
                quarters[2 * (2 * y >= height) + (2 * x >= width)] += 1
    sampled = (width // 3) * (height // 3)
    bench.expect(width == 1680, f"{what}: {width} px wide")
    bench.expect(len(colours) > 20, f"{what}: only {len(colours)} colours")
    bench.expect(sum(quarters) > 0.01 * sampled, f"{what}: nearly blank")
    bench.expect(all(quarters), f"{what}: a quarter of the page is empty: {quarters}")


def share_of_ink(data):
    """The part of an image that is as dark as text."""
    width, height, step, rows = png_pixels(data)
    dark = sum(max(row[x:x + 3]) < 80 for row in rows[::3] for x in range(0, width * step, 3 * step))
    return dark / (len(rows[::3]) * len(range(0, width, 3)))


def marks(svg, colour):
    """Where points of a colour stand, px: gnuplot draws each as <use transform='translate(x,y) …' color=…>."""
    found = []
    for use in ElementTree.fromstring(svg).iter("{http://www.w3.org/2000/svg}use"):
        place = re.match(r"translate\(([-\d.]+),([-\d.]+)\)", use.get("transform", ""))
        if place and use.get("color", "").replace(" ", "") == colour:
            found.append((float(place.group(1)), float(place.group(2))))
    return found


def texts(svg):
    return ["".join(t.itertext()) for t in ElementTree.fromstring(svg).iter("{http://www.w3.org/2000/svg}text")]


def settings(script):
    return {m.group(1): float(m.group(2)) for m in re.finditer(r"^([A-Z_]+) = (-?[\d.e+-]+)$", script, re.M)}


def to_px(page, x, y):
    across = (x - page["XLO"]) / (page["XHI"] - page["XLO"])
    up = (y - page["YLO"]) / (page["YHI"] - page["YLO"])
    return (page["LEFT"] + across * (page["WIDTH"] - page["LEFT"] - page["RIGHT"]),
            page["HEIGHT"] - page["BOTTOM"] - up * (page["HEIGHT"] - page["TOP"] - page["BOTTOM"]))


def expect_mark(bench, what, found, page, x, y):
    want = to_px(page, x, y)
    near = [p for p in found if abs(p[0] - want[0]) < 1.5 and abs(p[1] - want[1]) < 1.5]
    bench.expect(near, f"{what}: no mark at ({want[0]:.1f}, {want[1]:.1f}) px, marks at {found}")


def check_views(bench, demo):
    """Every view in every format."""
    for view in VIEWS:
        what = f"{demo} {view}"
        for ending in ("svg", "png", "pdf"):
            out = bench.work / f"{demo}-{view}.{ending}"
            code, _, err = bench.run("plot", bench.demo(demo), view, "-o", out)
            bench.expect(code == 0 and err == "", f"{what} {ending}: exit {code}, said {err!r}")
            if not out.exists():
                bench.expect(False, f"{what}: no {ending}")
                return
        svg = (bench.work / f"{demo}-{view}.svg").read_bytes()
        bench.expect(len(texts(svg)) > 8, f"{what}: hardly any text")
        look_at_png(bench, f"{what} png", (bench.work / f"{demo}-{view}.png").read_bytes())
        bench.expect((bench.work / f"{demo}-{view}.pdf").read_bytes().startswith(b"%PDF-"), f"{what}: no PDF")


def check_marks(bench, demo):
    """The marked points, from the results that "weigh" gives and the axes of the picture."""
    result = json.loads(bench.run("weigh", bench.demo(demo), "--json")[1])
    strap, stations = result["strap"], result["stations_mm"]
    for view in ("side", "front", "window", "ballast"):
        code, _, err = bench.run("plot", bench.demo(demo), view, "-o", bench.work / "marks.svg", "--data")
        bench.expect(code == 0, f"{demo} {view}: exit {code}: {err}")
        page = settings((bench.work / "marks.gp").read_text(encoding="utf-8"))
        svg = (bench.work / "marks.svg").read_bytes()
        accent, ink, what = marks(svg, ACCENT), marks(svg, INK), f"{demo} {view}"
        if view in ("side", "front", "ballast"):
            scales = [(page["WIDTH"] - page["LEFT"] - page["RIGHT"]) / (page["XHI"] - page["XLO"]),
                      (page["HEIGHT"] - page["TOP"] - page["BOTTOM"]) / (page["YHI"] - page["YLO"])]
            bench.expect(abs(scales[0] / scales[1] - 1) < 1e-6, f"{what}: scales differ: {scales}")
            expect_mark(bench, f"{what}, tail post", ink, page, 0, 0)
        if view == "side":
            column = to_px(page, strap["station_mm"], 0)[0]
            bench.expect(any(abs(p[0] - column) < 1.5 for p in accent), f"{what}: no centre above {column:.1f} px")
        if view == "front":
            centre = to_px(page, stations["from_tail_post"], 0)[0]
            bench.expect(any(abs(p[0] - centre) < 1.5 for p in accent), f"{what}: no centre at {centre:.1f} px")
        if view == "window":
            expect_mark(bench, f"{what}, playing angle", accent, page, strap["neck_angle_deg"], strap["station_mm"])
            if strap["verdict"] != "holds" and strap["settles_at_deg"] is not None:
                column = to_px(page, strap["settles_at_deg"], 0)[0]
                bench.expect(any(abs(p[0] - column) < 1.5 for p in accent), f"{what}: no mark where it settles")


def check_sweep(bench):
    """Mass against hand load: the ends of the front stand where weighing those candidates puts them."""
    grid = ["--vary", "/items/tail-ballast/mass=0:150:50", "--vary", "/items/wing-knee/print/infill=12 %:24 %:12 %"]
    for ending in ("svg", "png"):
        out = bench.work / f"sweep.{ending}"
        code, _, err = bench.run("plot", bench.demo("mudlark"), "sweep", *grid, "-o", out, "--data")
        bench.expect(code == 0 and out.exists(), f"sweep {ending}: exit {code}: {err}")
    look_at_png(bench, "sweep png", out.read_bytes())
    bench.run("plot", bench.demo("mudlark"), "sweep", *grid, "-o", bench.work / "sweep.svg", "--data")
    page = settings((bench.work / "sweep.gp").read_text(encoding="utf-8"))
    accent = marks((bench.work / "sweep.svg").read_bytes(), ACCENT)
    document = json.loads(bench.demo("mudlark").read_text(encoding="utf-8"))
    for item in document["items"].values():  # paths are relative to the file
        if "mesh" in item:
            item["mesh"] = str((bench.instruments / "mudlark" / item["mesh"]).resolve())
    lightest = bench.work / "lightest.json"
    lightest.write_text(json.dumps(document), encoding="utf-8")
    result = json.loads(bench.run("weigh", lightest, "--json")[1])
    expect_mark(bench, "sweep, lightest", accent, page, result["mass_g"], result["strap"]["hand_load_g"])
    draw_alone(bench, "sweep", bench.work / "sweep.svg")


def check_sweep_targets(bench):
    """A candidate that misses the margin is not shown as meeting, wherever it stands; ends of the front are named."""
    document = json.loads(bench.demo("linnet").read_text(encoding="utf-8"))
    document["items"]["lead"] = {"kind": "mass", "mass": 0, "at": [0, -60, -16], "ballast": {"max": "200 g"}}
    path, out = bench.work / "margin.json", bench.work / "margin.svg"
    grid = ["--vary", "/items/lead/mass=0:60:20", "--vary", "/items/tuners/part=tuners-4-ukulele-side"]
    for margin, met in ((10, True), (500, False)):
        document["target"]["margin"] = margin
        path.write_text(json.dumps(document), encoding="utf-8")
        code, _, err = bench.run("plot", path, "sweep", *grid, "-o", out, "--data")
        bench.expect(code == 0, f"margin of {margin} mm: exit {code}: {err}")
        blocks, seen = plot_table.read(out.with_suffix(".dat")), texts(out.read_bytes())
        best = [row for row in blocks["best"] if row and plot_table.numbers(row, 0, 1)]
        missed = [row for row in blocks["missed"] if row and plot_table.numbers(row, 0, 1)]
        bench.expect(bool(best) == met and not missed, f"margin of {margin} mm: best {best}, missed {missed}")
        bench.expect(("of those in the shade none meets" in seen) != met, f"margin of {margin} mm: {seen}")
        bench.expect(("None of the candidates meets all targets" in seen) != met, f"margin of {margin} mm: {seen}")
        bench.expect(any("meets mass and hand load targets" in t for t in seen), f"margin of {margin} mm: {seen}")
        bench.expect("hand load on the strap, g" in seen and any("lead mass 0" in t for t in seen),
                     f"margin of {margin} mm: {seen}")
        look_at_labels(bench, f"margin of {margin} mm", "sweep", out)


def look_at_labels(bench, what, view, out):
    page = settings(out.with_suffix(".gp").read_text(encoding="utf-8"))
    blocks = plot_table.read(out.with_suffix(".dat"))
    bench.expect(len(plot_table.label_boxes(blocks, page, to_px)) > 1, f"{what}: hardly any labels")
    for wrong in plot_table.collisions(blocks, view, page, to_px):
        bench.expect(False, f"{what}: {wrong}")


def other_files(bench):
    """What the demonstrations are not: left-handed, two masses, without a strap, with nothing to hold it."""
    linnet = json.loads(bench.demo("linnet").read_text(encoding="utf-8"))
    left = copy.deepcopy(linnet)
    left["frame"]["handed"] = "left"
    left["posts"]["horn"][0] *= -1
    left["items"]["stone"] = {"kind": "mass", "mass": "500 g", "at": [0, 430, 0]}
    two = {"poise": 1, "name": "two", "scale": {"nut": [700, 0, 0], "saddle": [100, 0, 0]},
           "posts": {"tail": [0, 0, 0], "horn": [400, 0, 0]}, "strap": {"length": 1000, "friction": 0.3},
           "stance": {"neck_angle": 0, "hand": "nut"},
           "items": {"a": {"kind": "mass", "mass": 2000, "at": [100, 0, 0]},
                     "b": {"kind": "mass", "mass": 1000, "at": [700, 0, 0]}}}
    seated = {key: value for key, value in linnet.items() if key != "strap"}
    bare = {key: value for key, value in seated.items() if key != "seat"}
    for name, document in (("left", left), ("two", two), ("seated", seated), ("bare", bare)):
        path = bench.work / f"{name}.json"
        path.write_text(json.dumps(document), encoding="utf-8")
        yield name, path, ["side", "front"] + ([] if name in ("seated", "bare") else ["window", "ballast"])


def check_labels(bench):
    """Labels collide with nothing, and what some files lack is said."""
    said = {}
    files = [(demo, bench.demo(demo), ["side", "front", "window", "ballast"]) for demo in DEMOS]
    for name, path, views in files + list(other_files(bench)):
        for view in views:
            out = bench.work / f"label-{name}-{view}.svg"
            code, _, err = bench.run("plot", path, view, "-o", out, "--data")
            bench.expect(code == 0, f"{name} {view}: exit {code}: {err}")
            if out.exists():
                look_at_labels(bench, f"{name} {view}", view, out)
                said[name, view] = " | ".join(texts(out.read_bytes()))
    wanted = {("two", "ballast"): "No body in the file.", ("seated", "side"): "on the leg",
              ("bare", "side"): "No verdict: there is no strap it hangs on, and no leg",
              ("mudlark", "front"): "Seen from the front, the strings level."}
    for place, words in wanted.items():
        bench.expect(words in said.get(place, ""), f"{place}: not {words!r} but {said.get(place)}")
    for (name, view), words in said.items():
        bench.expect("see the warnings" not in words and "needs 0.0 g" not in words, f"{name} {view}: {words}")
    # the neck belongs to a left-handed one's whole: its outline reaches the head
    blocks = plot_table.read(bench.work / "label-left-ballast.dat")
    reach = max(float(row[0]) for row in blocks["edge-whole"] if row)
    bench.expect(reach > 540, f"left-handed: the outline ends {reach} mm from the tail post")  # the nut is at 463 mm


def words_of(name):
    """A name as it has to appear: what drives a terminal or a text's direction made visible."""
    return name.replace("\t", "\\x09").replace("\n", "\\x0A").replace("\u202e", "\\u{202E}")


def hostile_file(bench):
    document = json.loads(bench.demo("linnet").read_text(encoding="utf-8"))
    items = document["items"]
    document["name"] = HOSTILE[0] + HOSTILE[2]
    for name in HOSTILE[3:]:  # the others are names of the instrument, its variant, body and neck
        items[name] = {"kind": "mass", "mass": "400 g", "at": [0, 0, 0]}
    items["neck " + HOSTILE[0]] = copy.deepcopy(items.pop("neck"))
    items["body " + HOSTILE[2]] = copy.deepcopy(items.pop("body"))
    items["lead " + HOSTILE[4]] = {"kind": "mass", "mass": 0, "at": [0, -40, -16], "ballast": {"max": "90 g"}}
    document["variants"] = {HOSTILE[1]: {}}
    path = bench.work / "hostile.json"
    path.write_text(json.dumps(document), encoding="utf-8")
    return path


def check_hostile(bench):
    path, seen = hostile_file(bench), []
    for view in VIEWS:
        out = bench.work / f"hostile-{view}.svg"
        code, _, err = bench.run("plot", path, view, "-o", out, "--data", "--variant", HOSTILE[1])
        bench.expect(code == 0, f"hostile {view}: exit {code}: {err}")
        if not out.exists():
            continue
        seen += texts(out.read_bytes())
        script = out.with_suffix(".gp").read_text(encoding="utf-8")
        for name in HOSTILE:
            bench.expect(name not in script, f"hostile {view}: {name!r} stands in the script")
        draw_alone(bench, f"hostile {view}", out)
    for view in ("front", "budget"):  # a character that no font has must not cover the picture
        out = bench.work / f"hostile-{view}.png"
        code, _, err = bench.run("plot", path, view, "-o", out)
        bench.expect(code == 0, f"hostile {view} png: exit {code}: {err}")
        ink = share_of_ink(out.read_bytes()) if out.exists() else 1
        bench.expect(0.001 < ink < 0.1, f"hostile {view} png: {100 * ink:.1f} % of it is ink")
    for name in HOSTILE:
        shown = words_of(name)[:19]  # longer ones end in an ellipsis
        bench.expect(any(shown in text.replace("\u00a0", " ") for text in seen), f"{name!r} is not drawn as written")
    bench.expect(not list(bench.work.rglob("PWNED")), "a name was run")


def draw_alone(bench, what, out):
    """The script that --data leaves makes the same picture with plain gnuplot, wherever it is moved to."""
    with tempfile.TemporaryDirectory() as place:
        for ending in (".gp", ".dat"):
            shutil.copy(out.with_suffix(ending), place)
        done = subprocess.run(["gnuplot", out.stem + ".gp"], cwd=place, capture_output=True, timeout=60, check=False)
        alone = pathlib.Path(place) / out.name
        bench.expect(done.returncode == 0 and alone.exists(), f"{what}: plain gnuplot: {done.stderr!r}")
        bench.expect(alone.exists() and alone.read_bytes() == out.read_bytes(), f"{what}: another picture alone")
        bench.expect(not list(pathlib.Path(place).rglob("PWNED")), f"{what}: a name was run by plain gnuplot")


def check_data(bench):
    for view in VIEWS:
        out = bench.work / f"alone-{view}.svg"
        code, _, err = bench.run("plot", bench.demo("mudlark"), view, "-o", out, "--data")
        bench.expect(code == 0 and "alone-" in err, f"--data {view}: exit {code}, said {err!r}")
        draw_alone(bench, f"data {view}", out)


def check_names(bench):
    """Where pictures go."""
    shutil.copy(bench.demo("linnet"), bench.work / "own.json")
    code, out, err = bench.run("plot", "own.json", "budget")
    bench.expect(code == 0 and (bench.work / "own-budget.svg").exists() and "own-budget.svg" in err,
                 f"without -o: exit {code}, said {err!r}")
    code, out, err = bench.run("plot", "own.json", "budget", "-o", "-")
    bench.expect(code == 0 and out.lstrip().startswith(b"<?xml") and err == "", f"-o -: exit {code}, said {err!r}")
    code, _, err = bench.run("plot", "own.json", "window", "-o", "a'b`c$d.svg", "--data", "--friction-range", "0.2:0.6")
    bench.expect(code == 0 and (bench.work / "a'b`c$d.svg").exists() and (bench.work / "a_b_c_d.gp").exists(),
                 f"odd file name: exit {code}, said {err!r}")
    bench.expect(any("0.60" in t for t in texts((bench.work / "a'b`c$d.svg").read_bytes())), "--friction-range unused")


def check_failures(bench):
    """What goes wrong says so in one line, with its exit code, and leaves nothing."""
    own = bench.demo("linnet")
    cases = [((own, "budget", "-o", "x.jpg"), 2, ".svg, .png or .pdf"),
             ((own, "bugdet", "-o", "x.svg"), 2, "did you mean \"budget\""),
             ((own, "window", "-o", "x.svg", "--friction-range", "0.6:0.2"), 2, "0.2:0.6"),
             ((own, "sweep", "-o", "x.svg"), 2, "--vary"),
             ((own, "side", "-o", "x.svg", "--vary", "/name=a,b"), 2, "sweep view"),
             ((own, "budget", "-o", "nowhere/x.svg"), 5, "nowhere/x.svg"),
             (("missing.json", "side", "-o", "x.svg"), 5, "missing.json"),
             ((own, "side", "-o", "x.svg", "--variant", "none such"), 2, "none such")]
    for arguments, want, words in cases:
        code, _, err = bench.run("plot", *arguments)
        bench.expect(code == want and words in err, f"{arguments}: exit {code}, said {err!r}")
    document = json.loads(own.read_text(encoding="utf-8"))
    del document["strap"], document["posts"]
    (bench.work / "bare.json").write_text(json.dumps(document), encoding="utf-8")
    for view, want in (("window", 2), ("ballast", 2), ("side", 0), ("front", 0), ("budget", 0)):
        code, _, err = bench.run("plot", "bare.json", view, "-o", f"bare-{view}.svg")
        bench.expect(code == want and (bench.work / f"bare-{view}.svg").exists() == (want == 0),
                     f"no strap, {view}: exit {code}, said {err!r}")
    tools = bench.work / "tools"
    tools.mkdir()
    bare = dict(bench.environment, PATH=str(tools))
    code, _, err = bench.run("plot", own, "budget", "-o", "x.svg", environment=bare)
    bench.expect(code == 5 and err.count("\n") == 1 and "install" in err, f"no gnuplot: exit {code}, said {err!r}")
    fake = tools / "gnuplot"
    fake.write_text("#!/bin/sh\necho 'out of ink' >&2\nexit 3\n", encoding="utf-8")
    fake.chmod(0o755)
    code, _, err = bench.run("plot", own, "budget", "-o", "x.svg", environment=bare)
    bench.expect(code == 5 and "out of ink" in err, f"gnuplot that fails: exit {code}, said {err!r}")
    fake.write_text("#!/bin/sh\nexit 0\n", encoding="utf-8")
    code, _, err = bench.run("plot", own, "budget", "-o", "x.svg", environment=bare)
    bench.expect(code == 5, f"gnuplot that draws nothing: exit {code}, said {err!r}")
    bench.expect(not (bench.work / "x.svg").exists() and not (bench.work / "x.jpg").exists(), "a failure left a picture")


def main():
    poise, components, instruments, plots = sys.argv[1:5]
    with tempfile.TemporaryDirectory() as work:
        bench = Bench(os.path.abspath(poise), os.path.abspath(components), instruments, os.path.abspath(plots), work)
        for demo in DEMOS:
            check_views(bench, demo)
            check_marks(bench, demo)
        check_sweep(bench)
        check_sweep_targets(bench)
        check_labels(bench)
        check_data(bench)
        check_hostile(bench)
        check_names(bench)
        check_failures(bench)
    for fault in bench.faults:
        print(fault)
    print(f"{bench.checks} checks, {len(bench.faults)} faults")
    return 1 if bench.faults or not bench.checks else 0


if __name__ == "__main__":
    sys.exit(main())
