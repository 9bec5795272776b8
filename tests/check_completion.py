#!/usr/bin/env python3
"""Completes command lines in bash, zsh and fish as they are.

Usage: check_completion.py POISE COMPONENTS_DIR INSTRUMENTS_DIR SHELLS_DIR
"""
import json
import os
import pathlib
import shutil
import subprocess
import sys
import tempfile

BASH = r"""
source "$1"
COMP_LINE=$2 COMP_POINT=${#2} COMP_WORDS=(poise) COMPREPLY=()
COMP_WORDBREAKS=$' \t\n"\'><=;|&(:'
$(complete -p poise | sed 's/.*-F \([^ ]*\) .*/\1/')
printf '%s\n' "${COMPREPLY[@]}"
"""
ZSH = r"""
compadd() {
    local name=${@[-1]} at=${@[(i)--]}
    print -rl -- "${@[at+1,-1]}"
}
_files() { print -r -- "files $*" }
words=(${(z)2}) CURRENT=${#words}
[[ $2 == *' ' ]] && words+=('') && ((++CURRENT))
source $1
"""
FISH = r"""
source $argv[1]
complete -C $argv[2]
"""


class Shell:
    def __init__(self, name, program, script, environment):
        self.command = {"bash": ["bash", "--norc", "-c"], "zsh": ["zsh", "-f", "-c"],
                        "fish": ["fish", "--no-config", "-c"]}[name] + [program]
        self.command += [script] if name == "fish" else [name, script]
        self.name, self.environment = name, environment

    def complete(self, line):
        done = subprocess.run(self.command + [line], env=self.environment, capture_output=True, text=True, timeout=60,
                              stdin=subprocess.DEVNULL, check=False)
        if done.stderr.strip():
            sys.exit(f"{self.name}: {line!r}: {done.stderr}")
        return [word.split("\t")[0] for word in done.stdout.splitlines() if word]

    def expect(self, line, *wanted, absent=(), exactly=False):
        got = self.complete(line)
        missing = [w for w in wanted if w not in got]
        strange = [w for w in absent if w in got]
        if missing or strange or (exactly and len(got) != len(wanted)):
            sys.exit(f"{self.name}: {line!r} offers {got}, expected {wanted}, not {absent}")


def commands_of(poise):
    overview = subprocess.run([poise, "--help"], capture_output=True, text=True, check=True).stdout
    lines = overview.split("COMMAND [ARGUMENTS]\n\n")[1].split("\n\n")[0].splitlines()
    return [line.split()[0] for line in lines]


def options_of(poise, command):
    text = subprocess.run([poise, command, "--help"], capture_output=True, text=True, check=True).stdout
    lines = text.split("\nOptions\n")[1].splitlines()
    return [word for line in lines for word in line.split()[:2] if word.startswith("--")]


def check_shell(shell, poise, demo):
    commands = commands_of(poise)
    shell.expect("poise ", *commands, exactly=True)
    shell.expect("poise help ", *commands, exactly=True)
    for command in commands:
        shell.expect(f"poise {command} --", *options_of(poise, command), exactly=True)
    ids = list(json.loads(demo.read_text(encoding="utf-8"))["items"])
    shell.expect(f"poise sweep {demo} --vary /items/", *(f"/items/{i}/" for i in ids), exactly=True)
    shell.expect(f"poise sweep {demo} --vary /items/tun", "/items/tuners/", exactly=True)
    shell.expect("poise parts tuners-6-inline-l", "tuners-6-inline-locking", absent=["tuners-4-inline-diecast"])
    shell.expect("poise section a.stl --material red-a", "red-alder")
    shell.expect(f"poise plot {demo} bu", "budget", exactly=True)
    shell.expect("poise weigh nowhere.json --variant ", exactly=True)


def check_bash(bash, demo, folder):
    """Quoting and the '=' that bash breaks words at, which the others leave to the shell."""
    bash.expect(f"poise weigh {demo} --variant=light\\ w", "light\\ wings", exactly=True)
    bash.expect(f"poise weigh {demo} -v 'light w", "light wings", exactly=True)
    bash.expect(f"poise sweep {demo} --vary /items/tuners/part=tuners-4-inline-o", "tuners-4-inline-open-gear")
    bash.expect(f"poise weigh {folder}/", f"{folder}/odd.json", f"{folder}/sub", exactly=True)
    bash.expect(f"poise section {folder}/", f"{folder}/body.stl", f"{folder}/sub", exactly=True)
    # A name in a file is data: nothing of it runs, and one that would drive the terminal is not offered.
    bash.expect(f"poise weigh {folder}/odd.json -v ", r"\$\(touch\ ran\)", exactly=True)
    if (folder / "ran").exists() or pathlib.Path("ran").exists():
        sys.exit("a variant's name was run")


def main():
    poise, components, instruments, shells = sys.argv[1:5]
    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(name)
        (folder / "bin").mkdir()
        (folder / "bin" / "poise").symlink_to(pathlib.Path(poise).resolve())
        work = folder / "work"
        (work / "sub").mkdir(parents=True)
        (work / "body.stl").write_text("")
        (work / "odd.json").write_text(json.dumps({"poise": 1, "items": {}, "variants": {
            "$(touch ran)": {}, "\x1b[31mred": {}, "two\nlines": {}}}))
        demo = work / "sub" / "demo.json"
        shutil.copy(f"{instruments}/mudlark/mudlark.json", demo)
        environment = dict(os.environ, POISE_COMPONENTS=str(pathlib.Path(components).resolve()), HOME=name,
                           LC_ALL="C.UTF-8", PATH=f"{folder}/bin:{os.environ['PATH']}")
        tried = []
        for shell_name, program in (("bash", BASH), ("zsh", ZSH), ("fish", FISH)):
            if not shutil.which(shell_name):
                print(f"{shell_name}: not installed, not tried")
                continue
            shell = Shell(shell_name, program, f"{shells}/poise.{shell_name}", environment)
            check_shell(shell, poise, demo)
            if shell_name == "bash":
                check_bash(shell, demo, work)
            tried.append(shell_name)
    print("tried:", *tried)
    return 0 if "bash" in tried else 1


if __name__ == "__main__":
    sys.exit(main())
