#!/usr/bin/env python3
"""Every key of the language that pintail uses is misspelt once, and every entry that it refers to: each slip gives
one error, at the slip, whose hint puts back what stood there."""
import json
import os
import pathlib
import shutil
import subprocess
import tempfile

import yaml

ROOT = pathlib.Path(__file__).resolve().parents[2]
PROGRAM = str((ROOT / os.environ.get("GUDGEON", "out/build/gudgeon")).resolve())


def slip(word):
    """Two letters changed places, as a hurried hand does."""
    for at in range(len(word) // 2, 0, -1):
        if word[at - 1] != word[at]:
            return word[:at - 1] + word[at] + word[at - 1] + word[at + 1:]
    return word + word[-1]


def words(node, path=()):
    """(kind, node, path) of every key and every bare scalar."""
    if isinstance(node, yaml.MappingNode):
        for key, value in node.value:
            yield "key", key, path + (key.value,)
            yield from words(value, path + (key.value,))
    elif isinstance(node, yaml.SequenceNode):
        for value in node.value:
            yield from words(value, path)
    elif not node.style:
        yield "value", node, path


def check(folder):
    done = subprocess.run([PROGRAM, "check", "--diagnostics=json", "specs/pintail.yaml"], cwd=folder,
                          capture_output=True, text=True, check=False)
    lines = [json.loads(line) for line in done.stderr.splitlines() if line.startswith("{")]
    return done.returncode, [line for line in lines if line.get("severity") == "error"]


def ids_of(files):
    found = set()
    for path in files:
        for section in (yaml.load(path.read_text(), yaml.BaseLoader) or {}).values():
            if isinstance(section, dict):
                found |= {key for key, value in section.items() if isinstance(value, (dict, list))}
    return found


with tempfile.TemporaryDirectory() as work:
    folder = pathlib.Path(work)
    shutil.copytree(ROOT / "specs", folder / "specs")
    (folder / ".git").mkdir()
    files = [folder / "specs/pintail.yaml", *sorted((folder / "specs/pintail").glob("*.yaml"))]
    ids, seen, tried = ids_of(files), set(), 0
    status, errors = check(folder)
    print("ok pintail is good to begin with" if status == 0 else f"not ok pintail is good to begin with: {errors[:2]}")
    for path in files:
        text = path.read_text()
        for kind, node, where in words(yaml.compose(text)):
            begin, end = node.start_mark.index, node.end_mark.index
            # Ids are missed where they are named, and places are told by their entry: not here.
            named = kind == "key" and (len(where) == 2 or node.value in ids or len(where) > 3 and "sizes" in where[:-1])
            if (kind, node.value) in seen or text[begin:end] != node.value or len(node.value) < 2 or named:
                continue
            if kind == "key" and node.value == "gudgeon" or where[-1] == "seen-from":
                continue  # the first line, and free text
            if kind == "value" and node.value not in ids or kind == "key" and not node.value.replace("-", "").isalpha():
                continue
            seen.add((kind, node.value))
            wrong = slip(node.value)
            path.write_text(text[:begin] + wrong + text[end:])
            status, errors = check(folder)
            path.write_text(text)
            tried += 1
            at = f"{path.name}:{node.start_mark.line + 1}"
            good = status == 1 and len(errors) == 1 and errors[0].get("fix", {}).get("text") == node.value
            if not good:
                print(f"not ok {kind} {node.value} as {wrong} at {at}: {json.dumps(errors)[:400]}")
            else:
                print(f"ok {kind} {node.value} as {wrong}")
    print(f"ok {tried} words misspelt" if tried > 200 else f"not ok only {tried} words misspelt")
