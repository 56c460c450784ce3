#!/usr/bin/env python3
"""For every key of the language its value is changed in a valid spec, and a change must be seen in pack, plan or
diagnostics: a key without effect is a key that lies. Keys come from `gudgeon schema`, so a new one is tested as
soon as it exists; specs are both demos and those of tests/e2e/keys/."""
import concurrent.futures
import json
import os
import pathlib
import re
import shutil
import subprocess
import tempfile

import yaml

ROOT = pathlib.Path(__file__).resolve().parents[2]
PROGRAM = str((ROOT / os.environ.get("GUDGEON", "out/build/gudgeon")).resolve())
TRIES = 6  # places at which a key is tried before it counts as without effect

schema = json.loads(subprocess.run([PROGRAM, "schema"], capture_output=True, check=True).stdout)


def keys_of(node, path, seen):
    """Every key path of the schema, ids as '*'."""
    if "$ref" in node:
        name = node["$ref"].split("/")[-1]
        if name not in ("text", "id", "claim"):  # the forms that every value may have are tested by goldens
            keys_of(schema["$defs"][name], path, seen)
        return
    for key, child in node.get("properties", {}).items():
        seen.add((*path, key))
        keys_of(child, (*path, key), seen)
    extra = node.get("additionalProperties")
    if isinstance(extra, dict):
        keys_of(extra, (*path, "*") if not path or path[-1] != "*" else path, seen)
    for form in node.get("anyOf", []) + node.get("oneOf", []):
        keys_of(form, path, seen)
    if isinstance(node.get("items"), dict):
        keys_of(node["items"], path, seen)


wanted = set()
keys_of(schema, (), wanted)
wanted.discard(("gudgeon",))


class Loader(yaml.BaseLoader):
    """All scalars as text."""


def leaves(node, path, place):
    """(key path with ids as '*', place as keys and indices) of every key in a file."""
    if isinstance(node, dict):
        for key, value in node.items():
            generic = path + (key,)
            starred = path + ("*",)
            at = generic if generic in wanted or any(w[: len(generic)] == generic for w in wanted) else starred
            if at == starred and path and path[-1] == "*":
                at = path  # by place: the same key one level down
            if at in wanted:
                yield at, (*place, key)
            yield from leaves(value, at, (*place, key))
    elif isinstance(node, list):
        for i, value in enumerate(node):
            yield from leaves(value, path, (*place, i))


def changed_text(text):
    for pattern, swap in (("true", "false"), ("false", "true")):
        if text == pattern:
            return swap
    digits = list(re.finditer(r"\d", text))
    if digits:
        at = digits[-1].start()
        return text[:at] + str((int(text[at]) + 1) % 10 or 1) + text[at + 1:]
    return text + " x"


def changes(value):
    """Values to try instead, the mildest first; None removes the key."""
    if isinstance(value, str):
        return [changed_text(value), None]
    if isinstance(value, list):
        return [value[:-1] if len(value) > 1 else None, None]
    return [None]


def get(node, place):
    for step in place:
        node = node[step]
    return node


def set_at(node, place, value):
    parent = get(node, place[:-1])
    if value is None:
        del parent[place[-1]]
    else:
        parent[place[-1]] = value


def outcome(folder, spec):
    out = b""
    for stage in ("pack", "plan"):
        done = subprocess.run([PROGRAM, "check", f"--dump={stage}", spec], cwd=folder, capture_output=True, check=False)
        out += done.stdout + done.stderr + bytes([done.returncode & 0xFF])
    return re.sub(rb":\d+:\d+:", b":", out)  # moved lines are no effect


def files_of(spec, folder, seen):
    seen.append(spec)
    text = (folder / spec).read_text()
    data = yaml.load(text, Loader) if spec.suffix == ".yaml" else None
    for name in (data or {}).get("use", []) if isinstance((data or {}).get("use", []), list) else [data["use"]]:
        other = pathlib.Path(os.path.normpath(spec.parent / name))
        if other.suffix == ".yaml" and other not in seen:
            files_of(other, folder, seen)
    return seen


def attempt(task):
    """One key at one place of one spec: True when a change is seen."""
    spec, name, place, base = task
    with tempfile.TemporaryDirectory() as work:
        shutil.copytree(ROOT / "specs", f"{work}/specs")
        shutil.copytree(ROOT / "tests/e2e/keys", f"{work}/keys")
        (pathlib.Path(work) / ".git").mkdir()
        path = pathlib.Path(work) / name
        entry = get(yaml.load((ROOT / name_in_tree(name)).read_text(), Loader), place[:-1])
        absent = isinstance(entry, dict) and place[-1] not in entry
        for change in [COMMON[place[-1]]] if absent else changes(entry[place[-1]]):
            data = yaml.load((ROOT / name_in_tree(name)).read_text(), Loader)
            set_at(data, place, change)
            path.write_text(yaml.dump(data, sort_keys=False, allow_unicode=True, width=10000))
            if outcome(work, str(spec)) != base:
                return True
    return False


def name_in_tree(name):
    return str(name) if not str(name).startswith("keys/") else "tests/e2e/" + str(name)


places = {}
tasks_base = {}
with tempfile.TemporaryDirectory() as start:
    folder = pathlib.Path(start)
    shutil.copytree(ROOT / "specs", folder / "specs")
    shutil.copytree(ROOT / "tests/e2e/keys", folder / "keys")
    (folder / ".git").mkdir()
    specs = [pathlib.Path("specs/hob.yaml"), pathlib.Path("specs/pintail.yaml")]
    specs += sorted(p.relative_to(folder) for p in (folder / "keys").glob("*.yaml"))
    for spec in specs:
        done = subprocess.run([PROGRAM, "check", str(spec)], cwd=folder, capture_output=True, check=False)
        if done.returncode:
            print(f"not ok {spec} is valid: {done.stderr.decode()[:300]}")
            continue
        tasks_base[spec] = outcome(str(folder), str(spec))
        for name in files_of(spec, folder, []):
            for key, place in leaves(yaml.load((folder / name).read_text(), Loader), (), ()):
                places.setdefault(key, []).append((spec, name, place))


# What any entry may say: where no spec of the test says it, it is added to one.
COMMON = {"name": "Zz", "note": "zz", "called": "zz", "photo": "zz.png", "tools": ["zz"], "people": "3", "takes": "47 min",
          "side-up": "zz", "crank-at": "tdc 1", "engine-is": "cold", "witness": "zz", "critical": "true",
          "accept": {"G0101": "zz"}, "applies": {"serial": "..1"}, "after": "zz", "before": "zz", "under": "zz", "reach": "zz",
          "like": "zz", "each": ["zz", "yy"]}


def additions(key):
    """Entries of the section that could take a common key that nobody uses."""
    if len(key) != 3 or key[1] != "*" or key[2] not in COMMON:
        return []
    return [(spec, name, (*place, key[2])) for section, spots in places.items() if section == key[:1]
            for spec, name, place in ((s, n, (*p, i)) for s, n, p in spots
                                      for i in get(yaml.load((ROOT / name_in_tree(n)).read_text(), Loader), p))]


def try_key(key):
    spots = places.get(key, []) or additions(key)
    step = max(1, len(spots) // TRIES)
    for spec, name, place in spots[::step][:TRIES + 1]:
        if attempt((spec, name, place, tasks_base[spec])):
            return key, True
    return key, False


with concurrent.futures.ThreadPoolExecutor(max_workers=2) as pool:
    for key, seen in pool.map(try_key, sorted(wanted)):
        shown = ".".join(key)
        if not places.get(key) and not additions(key):
            print(f"not ok {shown}: no spec of the test uses it")
        elif not seen:
            print(f"not ok {shown}: changing it changes nothing that is printed")
        else:
            print(f"ok {shown}")
