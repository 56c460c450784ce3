#!/usr/bin/env python3
"""The README's spec compiles without a word and every command that it shows exists; its pictures are there; the
option table, --help and specs/LANGUAGE.md know the same commands and options."""
import os
import pathlib
import re
import subprocess
import tempfile

ROOT = pathlib.Path(__file__).resolve().parents[2]
PROGRAM = str((ROOT / os.environ.get("GUDGEON", "out/build/gudgeon")).resolve())
readme = (ROOT / "README.md").read_text()


def say(good, name, why=""):
    print(f"{'ok' if good else 'not ok'} {name}{'' if good else ': ' + why}")


with tempfile.TemporaryDirectory() as work:
    for i, text in enumerate(re.findall(r"```yaml\n(.*?)```", readme, re.S)):
        path = pathlib.Path(work) / f"readme-{i}.yaml"
        path.write_text(text)
        done = subprocess.run([PROGRAM, "check", "--strict", str(path)], capture_output=True, text=True, check=False)
        say(done.returncode == 0 and not done.stderr, f"the README's spec {i} compiles", done.stderr[:300])
    for kind in sorted(p.stem.removeprefix("starter-") for p in (ROOT / "templates").glob("starter-*.yaml")):
        path = pathlib.Path(work) / f"{kind}.yaml"
        done = subprocess.run([PROGRAM, "new", kind, str(path)], capture_output=True, text=True, check=False)
        done = subprocess.run([PROGRAM, "check", "--strict", str(path)], capture_output=True, text=True, check=False)
        say(done.returncode == 0 and not done.stderr, f"the starter '{kind}' passes check", done.stderr[:300])
text = subprocess.run([PROGRAM, "--help"], capture_output=True, text=True, check=True).stdout
commands = set(re.findall(r"^  ([a-z]+) ", text, re.M))
shown = set(re.findall(r"^(?:out/build/)?gudgeon ([a-z]+)", "\n".join(re.findall(r"```\n(.*?)```", readme, re.S)), re.M))
say(shown <= commands, "every command of the README exists", str(shown - commands))
options = set(re.findall(r"--([a-z-]+)", text))
for source in ("README.md", "DEVELOPERS.md"):
    used = set(re.findall(r"gudgeon [a-z]+[^\n`]* --([a-z-]+)", (ROOT / source).read_text()))
    say(used <= options, f"every option of {source} exists", str(used - options))
for picture in re.findall(r"\]\((specs/[^)]*\.png)\)", readme):
    say((ROOT / picture).is_file(), f"{picture} is there")
