#!/usr/bin/env python3
"""Checks the explorer of the build sheet in Chromium: sliders are moved (one dragged with the mouse, the others by the
events that a drag ends in), and every figure must equal, to 1e-9, what "poise weigh" says of the file with the change that the page writes out.

Usage: check_explorer.py POISE COMPONENTS_DIR INSTRUMENTS_DIR
Exit code 77: Chromium is not installed.
"""
import html.parser
import json
import math
import os
import pathlib
import shutil
import subprocess
import sys
import tempfile
import time

from check_report import FAULTS, expect

# By relative size, and for what is near nothing by mm, g or degrees.
TOLERANCE = 1e-9
# Results of the page, and where the JSON of "weigh" has them.
FIGURES = {
    "mass_g": "mass_g", "centre_x_mm": "centre_mm/0", "centre_y_mm": "centre_mm/1", "centre_z_mm": "centre_mm/2",
    "station_mm": "strap/station_mm", "window_lo_mm": "strap/window_mm/0", "window_hi_mm": "strap/window_mm/1",
    "margin_mm": "strap/margin_mm", "needed_friction": "strap/needed_friction", "hand_load_g": "strap/hand_load_g",
    "hold_lo_deg": "strap/hold_range_deg/0", "hold_hi_deg": "strap/hold_range_deg/1",
    "settles_at_deg": "strap/settles_at_deg", "free_hang_deg": "strap/free_hang_deg", "lean_deg": "strap/lean_deg",
    "seat_station_mm": "seat/station_mm", "seat_window_lo_mm": "seat/window_mm/0",
    "seat_window_hi_mm": "seat/window_mm/1", "seat_hand_load_g": "seat/hand_load_g"}
VERDICTS = ["holds", "neck-heavy", "tail-heavy"]


class Dom(html.parser.HTMLParser):
    """Attributes and text of the elements that have an id."""

    def __init__(self, text):
        super().__init__(convert_charrefs=True)
        self.attributes, self.texts, self.open = {}, {}, []
        self.feed(text)

    def handle_starttag(self, tag, attributes):
        attributes = dict(attributes)
        if "id" in attributes:
            self.attributes[attributes["id"]] = attributes
            self.texts[attributes["id"]] = ""
        if tag not in ("meta", "img", "input", "br"):
            self.open.append(attributes.get("id"))

    def handle_endtag(self, tag):
        if self.open:
            self.open.pop()

    def handle_data(self, data):
        if self.open and self.open[-1]:
            self.texts[self.open[-1]] += data


def browser(work, *options):
    command = ["chromium", "--headless=new", "--disable-gpu", "--disable-dev-shm-usage", "--no-first-run",
               "--host-resolver-rules=MAP * ~NOTFOUND", f"--user-data-dir={work}/profile", *options]
    return command + (["--no-sandbox"] if os.geteuid() == 0 else [])


def browse(page, moves, work):
    """The page's elements after the sliders were moved: {index: value as shown}."""
    command = browser(work, "--virtual-time-budget=8000", "--dump-dom")
    moved = ",".join(f"{index}:{value}" for index, value in moves.items())
    done = subprocess.run([*command, page.as_uri() + (f"#set={moved}" if moves else "")], capture_output=True,
                          text=True, timeout=120)
    return Dom(done.stdout)


class Driver:
    """A browser driven over a pipe by the DevTools protocol: JSON messages that end in NUL."""

    def __init__(self, work):
        self.to_read, to_write = os.pipe()
        from_read, self.to_browser = os.pipe()
        # The browser reads from descriptor 3 and writes to descriptor 4.
        command = browser(work, "--remote-debugging-pipe", "--window-size=1000,900")
        os.set_inheritable(from_read, True)
        os.set_inheritable(to_write, True)
        self.process = subprocess.Popen(
            ["sh", "-c", f"exec 3<&{from_read} 4>&{to_write} \"$@\"", "sh", *command],
            pass_fds=(from_read, to_write), stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        os.close(from_read)
        os.close(to_write)
        self.rest, self.number, self.session = b"", 0, None

    def message(self):
        while b"\0" not in self.rest:
            piece = os.read(self.to_read, 1 << 16)
            if not piece:
                raise RuntimeError("the browser ended")
            self.rest += piece
        one, self.rest = self.rest.split(b"\0", 1)
        return json.loads(one)

    def ask(self, method, **parameters):
        self.number += 1
        message = {"id": self.number, "method": method, "params": parameters}
        if self.session:
            message["sessionId"] = self.session
        os.write(self.to_browser, json.dumps(message).encode() + b"\0")
        while True:
            answer = self.message()
            if answer.get("id") == self.number:
                return answer["result"]

    def open(self, page):
        target = self.ask("Target.createTarget", url=page.as_uri())["targetId"]
        self.session = self.ask("Target.attachToTarget", targetId=target, flatten=True)["sessionId"]
        for _ in range(200):
            if self.value("!!document.querySelector('#explorer:not([hidden]) input')"):
                return
            time.sleep(0.05)
        raise RuntimeError("the explorer does not run")

    def value(self, expression):
        return self.ask("Runtime.evaluate", expression=expression, returnByValue=True)["result"].get("value")

    def mouse(self, kind, x, y):
        self.ask("Input.dispatchMouseEvent", type=kind, x=x, y=y, button="left", buttons=1, clickCount=1)

    def drag(self, slider, part):
        """From the slider's knob to a part of its length."""
        self.value(f"document.getElementById('{slider}').scrollIntoView({{block: 'center'}})")
        box = json.loads(self.value(f"JSON.stringify(document.getElementById('{slider}').getBoundingClientRect())"))
        at = self.value(f"(s => (s.value - s.min) / (s.max - s.min))(document.getElementById('{slider}'))")
        knob = 16  # px: the knob's middle stays inside the slider by half of this
        x, y = box["left"] + knob / 2 + at * (box["width"] - knob), box["top"] + box["height"] / 2
        goal = box["left"] + part * box["width"]
        self.mouse("mousePressed", x, y)
        for step in range(1, 9):
            self.mouse("mouseMoved", x + (goal - x) * step / 8, y)
        self.mouse("mouseReleased", goal, y)

    def end(self):
        self.process.terminate()
        self.process.wait(30)
        os.close(self.to_read)
        os.close(self.to_browser)


def merged(target, patch):
    """RFC 7396."""
    if not isinstance(patch, dict):
        return patch
    out = dict(target) if isinstance(target, dict) else {}
    for key, value in patch.items():
        if value is None:
            out.pop(key, None)
        else:
            out[key] = merged(out.get(key), value)
    return out


def found(data, path):
    for key in path.split("/"):
        if data is None:
            return None
        data = data[int(key)] if key.isdigit() else data.get(key)
    return data


def compare(dom, weighed, name):
    shown = dom.attributes["explorer-figures"]
    for figure, path in FIGURES.items():
        got, want = float(shown[f"data-{figure}"]), found(weighed, path)
        if want is None:
            expect(math.isnan(got), f"{name}: {figure} is {got}, and \"weigh\" has none")
        else:
            expect(abs(got - want) <= TOLERANCE * max(1.0, abs(want)), f"{name}: {figure} is {got}, not {want}")
    for key in ("strap", "seat"):
        if not found(weighed, f"{key}/verdict"):
            continue
        number = float(shown["data-verdict" if key == "strap" else "data-seat_verdict"])
        expect(VERDICTS[int(number)] == weighed[key]["verdict"], f"{name}: {key} verdict {number}")


class Instrument:
    def __init__(self, poise, components, work, source, change=None):
        self.poise, self.directory = poise, pathlib.Path(work) / source.parent.name
        self.environment = dict(os.environ, POISE_COMPONENTS=components)
        if not self.directory.exists():
            shutil.copytree(source.parent, self.directory)
        self.work = work
        self.name = source.stem
        self.data = merged(json.loads(source.read_text(encoding="utf-8")), change or {})

    def poise_says(self, data, *arguments):
        (self.directory / "changed.json").write_text(json.dumps(data), encoding="utf-8")
        done = subprocess.run([self.poise, arguments[0], self.directory / "changed.json", *arguments[1:]],
                              capture_output=True, text=True, env=self.environment)
        expect(done.returncode == 0, f"{self.name}: {arguments}: {done.stderr}")
        return done.stdout

    def sheet(self, variant=None):
        page = self.directory / "sheet.html"
        self.poise_says(self.data, "report", "-o", page, *(["--variant", variant] if variant else []))
        return page

    def check(self, moves, variant=None, must_change=True):
        dom = browse(self.sheet(variant), moves, self.work)
        self.check_page(dom, f"{self.name} {variant or ''} {moves}", variant, must_change)
        return dom

    def check_drag(self):
        """The neck angle dragged with the mouse, and all put back by the button."""
        driver = Driver(self.work)
        try:
            driver.open(self.sheet())
            before = float(driver.value("document.getElementById('slider-0').value"))
            driver.drag("slider-0", 0.3)
            after = float(driver.value("document.getElementById('slider-0').value"))
            expect(after < before - 5, f"{self.name}: the slider went from {before} to {after}")
            self.check_page(Dom(driver.value("document.documentElement.outerHTML")), f"{self.name} dragged", None, True)
            driver.value("document.getElementById('explorer-reset').click()")
            self.check_page(Dom(driver.value("document.documentElement.outerHTML")), f"{self.name} reset", None, False)
        except RuntimeError as error:
            FAULTS.append(f"{self.name}: {error}")
        finally:
            driver.end()

    def check_page(self, dom, name, variant, must_change):
        if "explorer-patch" not in dom.texts or "data-mass_g" not in dom.attributes["explorer-figures"]:
            FAULTS.append(f"{name}: the explorer does not run")
            return
        expect("hidden" not in dom.attributes["explorer"], f"{name}: the explorer stays hidden")
        patch = json.loads(dom.texts["explorer-patch"])
        expect(bool(patch) == must_change, f"{name}: writes out {patch}")
        data = merged(self.data, self.data["variants"][variant]) if variant else self.data
        weighed = json.loads(self.poise_says(merged(data, patch), "weigh", "--json"))
        compare(dom, weighed, name)
        verdict = dom.texts["explorer-verdict"].splitlines()[0]
        expect(verdict in self.poise_says(merged(data, patch), "weigh", "--markdown"), f"{name}: says {verdict!r}")


def main():
    if not shutil.which("chromium"):
        print("chromium is not installed")
        return 77
    poise, components, instruments = sys.argv[1:4]
    instruments = pathlib.Path(instruments)
    with tempfile.TemporaryDirectory() as work:
        mudlark = Instrument(poise, components, work, instruments / "mudlark" / "mudlark.json")
        # Sliders: 0 neck angle, 1 friction, 2 to 7 infill, 8 to 10 ballast: mass, headwards, upward.
        mudlark.check({}, must_change=False)
        mudlark.check_drag()
        mudlark.check({0: 35, 2: 60, 4: 0, 7: 100})
        mudlark.check({1: 0.55, 8: 150, 9: -60, 10: 40})
        mudlark.check({3: 10}, variant="light wings")
        # Left-handed: up is the other way; and an id that needs every escape.
        odd = {"frame": {"handed": "left"}, "items": {"odd <\"'&\u202e\u00fc> ballast": {
            "kind": "mass", "mass": "5 g", "at": [40, 60, -20], "ballast": {"max": "300 g"}}}}
        linnet = Instrument(poise, components, work, instruments / "linnet" / "linnet.json", odd)
        sliders = 2
        dom = linnet.check({sliders: 120, sliders + 1: -33, sliders + 2: 21, 0: -10})
        # Drawn with the head to the left: what lies headwards has negative places in the picture.
        expect(dom.attributes["explorer-scene"].get("transform") == "scale(-1 1)", "left-handed: not mirrored")
        left, _, width, _ = map(float, dom.attributes["explorer-picture"]["viewbox"].split())
        expect(-left > left + width, f"left-handed: drawn from {left} to {left + width}")
    for fault in FAULTS:
        print(fault)
    print(f"{len(FAULTS)} faults")
    return 1 if FAULTS else 0


if __name__ == "__main__":
    sys.exit(main())
