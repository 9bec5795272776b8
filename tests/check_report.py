#!/usr/bin/env python3
"""Checks the build sheet as a browser would meet it: one file that needs nothing else, valid, inert whatever names
it holds, with the numbers of "poise weigh".

Usage: check_report.py POISE COMPONENTS_DIR INSTRUMENTS_DIR
"""
import hashlib
import html.parser
import json
import os
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile

FAULTS = []
# Elements of HTML that have no end tag.
VOID = {"meta", "img", "input", "br", "hr", "link"}
# What a sheet may run: its own data, engine and script.
SCRIPT_IDS = {"model", "engine", "explorer-script"}
HOSTILE = ["<script>alert(1)</script>", "\"><img src=x onerror=alert(1)>", "' onmouseover='alert(1)", "&lt;b&gt;",
           "\u202egnp.exe", "]]></style><b>", "javascript:alert(1)", "| pipe | `code` *star*", "\x1b[31mred"]


def expect(true, what):
    if not true:
        FAULTS.append(what)


class Page(html.parser.HTMLParser):
    """Elements with their attributes, the text of the body, and the rows of every table."""

    def __init__(self, text):
        super().__init__(convert_charrefs=True)
        self.elements, self.rows, self.words, self.open = [], [], [], []
        self.raw = {}
        self.feed(text)
        self.close()

    def handle_starttag(self, tag, attributes):
        names = [name for name, _ in attributes]
        self.elements.append((tag, dict(attributes)))
        expect(len(names) == len(set(names)), f"<{tag}> has an attribute twice")
        if tag not in VOID:
            self.open.append(tag)
        if tag == "tr":
            self.rows.append([])
        if tag in ("td", "th"):
            self.rows[-1].append("")
        if tag == "script":
            self.raw[dict(attributes).get("id")] = ""

    def handle_endtag(self, tag):
        expect(self.open and self.open[-1] == tag, f"</{tag}> ends {self.open[-1:]}")
        if self.open:
            self.open.pop()

    def handle_data(self, data):
        if "script" in self.open:
            self.raw[list(self.raw)[-1]] += data
        elif "style" not in self.open:
            self.words.append(data)
            if "td" in self.open or "th" in self.open:
                self.rows[-1][-1] += data

    def text(self):
        return "".join(self.words)


def check_closed(page, name):
    """Nothing is fetched, nothing runs but the sheet's own script."""
    for tag, attributes in page.elements:
        expect(tag not in ("link", "iframe", "object", "embed", "base", "form", "audio", "video"), f"{name}: <{tag}>")
        for key, value in attributes.items():
            expect(not key.startswith("on"), f"{name}: <{tag} {key}>")
            if key in ("src", "href", "srcset", "action", "poster", "background"):
                expect(value.startswith(("data:image/svg+xml;base64,", "#")), f"{name}: <{tag} {key}={value[:40]}>")
        if tag == "img":
            expect(len(attributes.get("alt", "")) > 20, f"{name}: a picture without words in its place")
        if tag == "script":
            expect(attributes.get("id") in SCRIPT_IDS, f"{name}: a script that is not ours")
    links = [a["href"] for t, a in page.elements if t == "a"]
    ids = [a["id"] for _, a in page.elements if "id" in a]
    expect(len(ids) == len(set(ids)), f"{name}: an id twice")
    for link in links:
        expect(link[1:] in ids, f"{name}: {link} leads nowhere")
    expect(not page.open, f"{name}: {page.open} not ended")


def check_tidy(path):
    if not shutil.which("tidy"):
        print("tidy is not installed: validity not checked")
        return
    done = subprocess.run(["tidy", "-errors", "-q", path], capture_output=True, text=True)
    expect(done.returncode == 0, f"tidy says of {path.name}: {done.stdout}{done.stderr}")


def shown(value, decimals):
    """A number as C prints it, with a minus sign."""
    text = f"{value:.{decimals}f}"
    return text.replace("-", "\u2212") if float(text) else text.lstrip("-")


def near(cell, value, decimals):
    """The cell shows the value to its last digit."""
    number = float(cell.replace("\u2212", "-"))
    return abs(number - value) <= 0.5000001 * 10 ** -decimals


def rows_of(page, first):
    return [row for row in page.rows if row and row[0] == first]


def check_numbers(page, weighed, name):
    for key, item in weighed["items"].items():
        if item["mass_g"] == 0:
            continue
        rows = [r for r in rows_of(page, key) if len(r) == 6 and r[4] == "" and r[5] == ""]
        expect(len(rows) == 1, f"{name}: {key} stands {len(rows)} times in the list to weigh")
        for row in rows:
            expect(near(row[1], item["mass_g"], 1), f"{name}: {key} weighs {row[1]}, not {item['mass_g']}")
            expect(near(row[2], item["mass_u_g"], 1), f"{name}: {key} ± {row[2]}, not {item['mass_u_g']}")
        if item.get("filament") and item["filament"].get("g"):
            row = [r for r in rows_of(page, key) if len(r) == 11]
            expect(len(row) == 1, f"{name}: {key} is not among the sections")
            for at, value, decimals in ((6, item["mass_g"], 1), (7, item["filament"]["g"], 0),
                                        (8, item["filament"]["m"], 1), (9, item["filament"]["h"], 1)):
                expect(near(row[0][at], value, decimals), f"{name}: {key}: {row[0][at]}, not {value}")
    total = rows_of(page, "Finished instrument")
    expect(len(total) == 1 and near(total[0][1], weighed["mass_g"], 1), f"{name}: total {total}")
    everything = [r for r in page.rows if r and r[0].startswith("all") and len(r) == 6]
    expect(len(everything) == 1 and near(everything[0][1], weighed["mass_u_g"], 1), f"{name}: budget {everything}")
    for word in ([shown(weighed["strap"]["margin_mm"], 0) + " mm"] if weighed.get("strap") else []):
        expect(word in page.text(), f"{name}: the margin {word} is not there")


def check_digests(page, directory, name):
    found = [r for r in page.rows if len(r) == 2 and re.fullmatch("[0-9a-f]{64}", r[1])]
    expect(len(found) >= 2, f"{name}: no digests")
    for file, digest in found[:-1]:
        expect(hashlib.sha256((directory / file).read_bytes()).hexdigest() == digest, f"{name}: digest of {file}")
    listed = "".join(f"{digest}  {file}\n" for file, digest in found[:-1])
    expect(hashlib.sha256(listed.encode()).hexdigest() == found[-1][1], f"{name}: digest of the list")


class Runner:
    def __init__(self, poise, components, work):
        self.poise, self.work = poise, pathlib.Path(work)
        self.environment = dict(os.environ, POISE_COMPONENTS=components, LC_ALL="C")

    def run(self, *arguments, code=0, path=None):
        environment = dict(self.environment, **({"PATH": path} if path else {}))
        done = subprocess.run([self.poise, *map(str, arguments)], capture_output=True, text=True, cwd=self.work,
                              env=environment)
        expect(done.returncode == code, f"{arguments}: exit code {done.returncode}: {done.stderr}")
        return done


def check_demo(runner, file):
    name = file.stem
    out = runner.work / f"{name}.html"
    done = runner.run("report", file, "-o", out)
    expect(done.stderr == f"wrote {out}\n", f"{name}: says {done.stderr!r}")
    text = out.read_text(encoding="utf-8")
    weighed = json.loads(runner.run("weigh", file, "--json").stdout)
    page = Page(text)
    expect("http:" not in text and "https:" not in text, f"{name}: an outside address")
    expect(str(file.parent) not in text, f"{name}: tells where the file is")
    check_closed(page, name)
    check_tidy(out)
    check_numbers(page, weighed, name)
    check_digests(page, file.parent, name)
    pictures = sum(tag == "img" for tag, _ in page.elements)
    expect(pictures == 2, f"{name}: {pictures} pictures")
    expect(runner.run("report", file, "-o", "-").stdout == text, f"{name}: not the same bytes twice")
    for sentence in weighed["cautions"] + weighed["warnings"]:
        expect(sentence in page.text(), f"{name}: says nothing of: {sentence}")


def check_hostile(runner, file):
    """Names that try to become markup. What the reader refuses in an id may still stand in a name or a note."""
    data = json.loads(file.read_text(encoding="utf-8"))
    data["name"] = "".join(HOSTILE)
    for number, piece in enumerate(HOSTILE):
        data["items"][f"odd {number} {piece}".replace("\x1b", "")] = {
            "kind": "mass", "mass": "1 g", "at": [1, 2, 3], "note": piece}
    data["variants"] = {HOSTILE[0]: {}}
    odd = runner.work / "odd.json"
    odd.write_text(json.dumps(data), encoding="utf-8")
    out = runner.work / "odd.html"
    runner.run("report", odd, "-o", out, "--variant", HOSTILE[0])
    text = out.read_text(encoding="utf-8")
    page = Page(text)
    check_closed(page, "odd names")
    check_tidy(out)
    expect("\u202e" not in text and "\x1b" not in text, "odd names: a character that drives the screen")
    expect("alert(1)</script>" in page.text(), "odd names: the name is not shown as it is")
    expect(not any(tag == "b" for tag, _ in page.elements), "odd names: one became an element")
    markdown = runner.run("report", odd, "--markdown").stdout
    expect("<script" not in markdown and "<img" not in markdown, "odd names: markup in Markdown")


def check_without_programs(runner, file):
    """Neither gnuplot nor a browser on the PATH."""
    empty = runner.work / "empty"
    empty.mkdir()
    out = runner.work / "plain.html"
    runner.run("report", file, "-o", out, path=str(empty))
    page = Page(out.read_text(encoding="utf-8"))
    expect("gnuplot is not installed" in page.text(), "without gnuplot: no line in place of the pictures")
    expect(not any(tag == "img" for tag, _ in page.elements), "without gnuplot: a picture")
    check_tidy(out)
    pdf = runner.work / "plain.pdf"
    done = runner.run("report", file, "-o", pdf, code=5, path=str(empty))
    expect("chromium" in done.stderr and "install" in done.stderr, f"without a browser: {done.stderr}")
    expect(not pdf.exists(), "without a browser: a file all the same")


def check_pdf(runner, file):
    if not shutil.which("chromium"):
        print("chromium is not installed: printing not checked")
        return
    pdf = runner.work / "sheet.pdf"
    runner.run("report", file, "-o", pdf)
    expect(pdf.exists() and pdf.read_bytes().startswith(b"%PDF-"), "the PDF is none")
    check_words_on_paper(runner)


def check_words_on_paper(runner):
    """The first column of a table keeps its words whole, however much the other columns ask for."""
    if not shutil.which("pdftotext"):
        print("pdftotext is not installed: the words on paper not checked")
        return
    items = {"strings": {"kind": "strings", "preset": "guitar-10-46"}}
    for name, part in {"tuners": "tuners-6-inline-diecast", "bridge": "bridge-hardtail-6", "screws": "screw-m4x30-pan",
                       "electronics": "dowel-beech-8x40"}.items():
        items[name] = {"kind": "part", "part": part, "at": [0, 0, 0]}
    file, pdf = runner.work / "words.json", runner.work / "words.pdf"
    file.write_text(json.dumps({"poise": 1, "name": "Words", "frame": {"head": [1, 0, 0], "face": [0, 0, 1]},
                                "scale": {"nut": [648, 0, 0], "saddle": [0, 0, 0], "frets": 22}, "items": items}))
    runner.run("report", file, "-o", pdf)
    text = subprocess.run(["pdftotext", "-layout", str(pdf), "-"], capture_output=True, text=True).stdout
    bought = text.partition("Parts to buy")[2].partition("Weigh as you build")[0]
    for name in items:
        expect(re.search(rf"^\s*{name}\s", bought, re.M), f"on paper \"{name}\" is broken: {bought}")


def check_names(runner, instruments):
    """Where a sheet goes that was given no name."""
    place = runner.work / "place"
    shutil.copytree(instruments / "linnet", place)
    done = runner.run("report", place / "linnet.json")
    expect((place / "linnet.html").exists() and done.stderr == f"wrote {place / 'linnet.html'}\n",
           f"no name given: {done.stderr}")
    runner.run("report", place / "linnet.json", "-o", "sheet.txt", code=2)
    runner.run("report", place / "linnet.json", "-o", "no/such/place.html", code=5)


def main():
    poise, components, instruments = sys.argv[1:4]
    instruments = pathlib.Path(instruments)
    with tempfile.TemporaryDirectory() as work:
        runner = Runner(poise, components, work)
        linnet = instruments / "linnet" / "linnet.json"
        check_demo(runner, linnet)
        check_demo(runner, instruments / "mudlark" / "mudlark.json")
        check_hostile(runner, linnet)
        check_without_programs(runner, linnet)
        check_pdf(runner, linnet)
        check_names(runner, instruments)
    for fault in FAULTS:
        print(fault)
    print(f"{len(FAULTS)} faults")
    return 1 if FAULTS else 0


if __name__ == "__main__":
    sys.exit(main())
