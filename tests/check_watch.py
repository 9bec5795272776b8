#!/usr/bin/env python3
"""Saves files under "poise weigh --watch" and reads its screens.

Usage: check_watch.py POISE COMPONENTS_DIR INSTRUMENTS_DIR
"""
import fcntl
import json
import os
import pathlib
import pty
import select
import shutil
import signal
import subprocess
import sys
import tempfile
import termios
import time

PATIENCE_S = 60  # for one screen, on a busy machine under sanitizers
END = "Ctrl-C ends."


class Watch:
    """The program under watch, its output read as it comes."""

    def __init__(self, command, environment, terminal=False):
        self.text = ""
        if terminal:
            self.fd, child = pty.openpty()
            self.process = subprocess.Popen(
                command, stdin=child, stdout=child, stderr=child, env=environment, start_new_session=True,
                preexec_fn=lambda: fcntl.ioctl(0, termios.TIOCSCTTY, 0))  # Ctrl-C typed there reaches it
            os.close(child)
        else:
            self.process = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, env=environment)
            self.fd = self.process.stdout.fileno()

    def screen(self, what):
        """The next whole screen."""
        deadline = time.monotonic() + PATIENCE_S
        while END not in self.text:
            left = deadline - time.monotonic()
            if left <= 0 or not select.select([self.fd], [], [], left)[0]:
                self.process.kill()
                sys.exit(f"{what}: no screen within {PATIENCE_S} s; so far:\n{self.text}")
            piece = os.read(self.fd, 65536)
            if not piece:
                sys.exit(f"{what}: it ended; so far:\n{self.text}")
            self.text += piece.decode("utf-8")
        screen, self.text = self.text.split(END, 1)
        return screen

    def quiet(self, seconds):
        """True when nothing is shown for a while."""
        return not select.select([self.fd], [], [], seconds)[0]

    def end(self, sign=signal.SIGINT):
        self.process.send_signal(sign)
        try:
            return self.process.wait(PATIENCE_S)
        except subprocess.TimeoutExpired:
            self.process.kill()
            sys.exit("a signal did not end it")


def expect(condition, what, screen):
    if not condition:
        sys.exit(f"expected: {what}; the screen is:\n{screen}")


def save(path, text, rename):
    """As editors save: over the file, or into a new file that is renamed over it."""
    if rename:
        new = path.with_suffix(".new")
        new.write_text(text, encoding="utf-8")
        new.replace(path)
    else:
        path.write_text(text, encoding="utf-8")


def block_stl(size):
    """An ASCII STL of a block; only its volume matters here."""
    x, y, z = size
    corners = [(a, b, c) for c in (0, z) for b in (0, y) for a in (0, x)]
    faces = [(0, 2, 3), (0, 3, 1), (4, 5, 7), (4, 7, 6), (0, 1, 5), (0, 5, 4),
             (2, 6, 7), (2, 7, 3), (0, 4, 6), (0, 6, 2), (1, 3, 7), (1, 7, 5)]
    lines = ["solid block"]
    for face in faces:
        lines += ["facet normal 0 0 0", "outer loop"]
        lines += ["vertex {} {} {}".format(*corners[i]) for i in face]
        lines += ["endloop", "endfacet"]
    return "\n".join(lines + ["endsolid block", ""])


def follow(poise, environment, folder, rename):
    path = folder / "bench.json"
    # One place off the line of a plain file: weights that can be told by heart.
    bench = {"poise": 1, "name": "Bench",
             "items": {"a": {"kind": "mass", "mass": "100 g ± 3 g", "at": [0, 0, 0]},
                       "b": {"kind": "mass", "mass": 200, "at": [30, 0, 0]}}}
    save(path, json.dumps(bench), False)
    watch = Watch([poise, "weigh", path, "--watch"], environment)
    first = watch.screen("first")
    expect("300 g ± 3 g" in first and "save 1" in first, "300 g ± 3 g in save 1", first)
    expect("\033" not in first, "no terminal controls in a file", first)
    (folder / "other.txt").write_text("not ours")
    expect(watch.quiet(0.5), "another file changes nothing", "")
    bench["items"]["a"]["mass"] = 150
    save(path, json.dumps(bench), rename)
    second = watch.screen("second")
    expect("350 g" in second and "+50 g" in second and "+50.0 g" in second, "350 g, +50 g, item a +50.0 g", second)
    save(path, json.dumps(bench)[:-1], rename)
    broken = watch.screen("broken")
    expect("bench.json:1:" in broken and "cannot be weighed" in broken, "the place of the fault", broken)
    expect("350 g" in broken and "save 2" in broken, "the last good result", broken)
    del bench["items"]["b"]
    save(path, json.dumps(bench), rename)
    mended = watch.screen("mended")
    expect("150 g" in mended and "−200 g" in mended and "cannot" not in mended, "150 g, −200 g, no fault", mended)
    code = watch.end(signal.SIGINT if rename else signal.SIGTERM)
    expect(code == 0, "exit code 0", str(code))


def follow_mesh(poise, environment, folder):
    (folder / "parts").mkdir()
    mesh = folder / "parts" / "block.stl"
    mesh.write_text(block_stl((10, 10, 10)))
    path = folder / "mesh.json"
    path.write_text(json.dumps({"poise": 1, "materials": {"stuff": {"density": 1}}, "items": {
        "block": {"kind": "solid", "mesh": "parts/block.stl", "material": "stuff"}}}))
    watch = Watch([poise, "weigh", path, "--watch"], environment, terminal=True)
    first = watch.screen("mesh")
    expect(first.startswith("\033[H\033[2J") and first.count("\033") == 2, "the terminal is cleared, no more", first)
    mesh.write_text(block_stl((10, 10, 70)))  # 1 cm³ becomes 7 cm³
    second = watch.screen("larger mesh")
    expect("+6 g" in second, "+6 g", second)
    settings = termios.tcgetattr(watch.fd)
    os.write(watch.fd, b"\x03")
    expect(watch.process.wait(PATIENCE_S) == 0, "exit code 0 after Ctrl-C", second)
    expect(termios.tcgetattr(watch.fd) == settings, "the terminal's settings as they were", "")
    rest = os.read(watch.fd, 4096).decode()
    expect("\033" not in rest and rest.endswith("\n"), "an empty line for the prompt, no controls", rest)


def refuse(poise, environment, folder):
    for words in (["-", "--watch"], [str(folder / "bench.json"), "--watch", "--json"]):
        code = subprocess.run([poise, "weigh", *words], env=environment, capture_output=True, timeout=PATIENCE_S,
                              stdin=subprocess.DEVNULL, check=False).returncode
        expect(code == 2, "exit code 2", f"{words}: {code}")
    code = subprocess.run([poise, "weigh", str(folder / "none.json"), "--watch"], env=environment,
                          capture_output=True, timeout=PATIENCE_S, check=False).returncode
    expect(code == 5, "exit code 5 without the file", str(code))


def main():
    poise, components, instruments = sys.argv[1:4]
    environment = dict(os.environ, POISE_COMPONENTS=components, LC_ALL="C.UTF-8", TERM="xterm")
    for rename in (False, True):
        with tempfile.TemporaryDirectory() as folder:
            follow(poise, environment, pathlib.Path(folder), rename)
    with tempfile.TemporaryDirectory() as folder:
        follow_mesh(poise, environment, pathlib.Path(folder))
        refuse(poise, environment, pathlib.Path(folder))
        shutil.copytree(instruments, pathlib.Path(folder) / "demo")
        watch = Watch([poise, "weigh", f"{folder}/demo/linnet/linnet.json", "-w"], environment)
        screen = watch.screen("demo")
        wide = [line for line in screen.splitlines() if len(line) > 80]
        expect(not wide and screen.count("\n") <= 24, "one screen of 80 by 24", screen)
        expect(watch.end() == 0, "exit code 0", screen)
    print("ok")


if __name__ == "__main__":
    main()
