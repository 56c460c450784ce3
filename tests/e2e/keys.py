#!/usr/bin/env python3
"""For every key of the language its value is changed in a valid spec to another valid one, and a change must be seen
in pack, plan or diagnostics: a key without effect is a key that lies. A change that is refused as it is read shows
only that the key is read, and does not count. Keys come from `gudgeon schema`, so a new one is tested as soon as it
exists; specs are both demos and those of tests/e2e/keys/."""
import concurrent.futures
import copy
import functools
import json
import os
import pathlib
import re
import shutil
import subprocess
import tempfile
import threading

import yaml

ROOT = pathlib.Path(__file__).resolve().parents[2]
PROGRAM = str((ROOT / os.environ.get("GUDGEON", "out/build/gudgeon")).resolve())
FIRST, SPOTS = 4, 5  # so many places in the smallest specs, then so many spread over all, before a key counts as idle
WORKERS = 2
# Refused when wrong, and it must be; but nothing that is printed can differ between two right values.
ONLY_READ = {
    ("gudgeon",): "there is one version",
    ("shop", "gauges", "*", "measures"): "compared with what is read with the gauge",
}

schema = json.loads(subprocess.run([PROGRAM, "schema"], capture_output=True, check=True).stdout)
wanted, words_of = set(), {}


def keys_of(node, path):
    """Every key path of the schema, ids as '*', and the words that a key takes."""
    if "$ref" in node:
        name = node["$ref"].split("/")[-1]
        if name not in ("text", "id", "claim"):  # the forms that every value may have are tested by goldens
            keys_of(schema["$defs"][name], path)
        return
    words_of.setdefault(path, []).extend(w for w in node.get("enum", []) if isinstance(w, str))
    for key, child in node.get("properties", {}).items():
        wanted.add((*path, key))
        keys_of(child, (*path, key))
    extra = node.get("additionalProperties")
    if isinstance(extra, dict):
        keys_of(extra, (*path, "*") if not path or path[-1] != "*" else path)
    for form in node.get("anyOf", []) + node.get("oneOf", []):
        keys_of(form, path)
    if isinstance(node.get("items"), dict):
        keys_of(node["items"], path)


keys_of(schema, ())


@functools.lru_cache(maxsize=None)
def text_of(name):
    return (ROOT / (f"tests/e2e/{name}" if str(name).startswith("keys/") else name)).read_text()


@functools.lru_cache(maxsize=None)
def tree_of(name):
    """A file with all scalars as text; not to be changed."""
    return yaml.load(text_of(name), getattr(yaml, "CBaseLoader", yaml.BaseLoader))


def written(data):
    text = yaml.dump(data, Dumper=getattr(yaml, "CSafeDumper", yaml.SafeDumper), sort_keys=False, allow_unicode=True,
                     width=10000)
    return text.replace(": 'null'", ": null")  # what removes in a merge is written plain


def leaves(node, path, place):
    """(key path with ids as '*', place as keys and indices) of every key in a file."""
    if isinstance(node, dict):
        for key, value in node.items():
            generic, starred = path + (key,), path + ("*",)
            at = generic if generic in wanted or any(w[: len(generic)] == generic for w in wanted) else starred
            if at == starred and not any(w[: len(starred)] == starred for w in wanted):
                at = path  # by place: the same key one level down
            if at in wanted:
                yield at, (*place, key)
            yield from leaves(value, at, (*place, key))
    elif isinstance(node, list):
        for i, value in enumerate(node):
            yield from leaves(value, path, (*place, i))


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


def last_digit_changed(text):
    digits = list(re.finditer(r"\d", text))
    if not digits:
        return text + " x"
    at = digits[-1].start()
    return text[:at] + str((int(text[at]) + 1) % 10 or 1) + text[at + 1:]


def changes(spec, key, value):
    """Values to try instead, the likeliest to be taken first; None removes the key."""
    others = [v for v in pool[spec].get(key, []) if v != value][:2]
    if isinstance(value, str):
        words = [w for w in words_of.get(key, []) if w != value]
        swap = {"true": ["false"], "false": ["true"]}.get(value, [])
        first = swap + words[:2] if swap or words else [last_digit_changed(value)]
        return [*first, None, *others]
    if isinstance(value, list):
        return ([value[:-1]] if len(value) > 1 else []) + [None, *others]
    return [{**value, k: last_digit_changed(v) if isinstance(v, str) else v[:-1]} for k, v in value.items()
            if isinstance(v, str) or isinstance(v, list) and len(v) > 1][:2] + [None]


# A worker has a copy of the specs of its own, in which one file at a time is changed.
local = threading.local()
scratch = tempfile.TemporaryDirectory()


def folder():
    if not hasattr(local, "folder"):
        local.folder = pathlib.Path(tempfile.mkdtemp(dir=scratch.name))
        shutil.copytree(ROOT / "specs", local.folder / "specs")
        shutil.copytree(ROOT / "tests/e2e/keys", local.folder / "keys")
        (local.folder / ".git").mkdir()
    return local.folder


def run(spec, stage):
    done = subprocess.run([PROGRAM, "check", f"--dump={stage}", str(spec)], cwd=folder(), capture_output=True,
                          check=False)
    return done.returncode, re.sub(rb":\d+:\d+:", b":", done.stdout + done.stderr)  # moved lines are no effect


def dumped(spec):
    status, pack = run(spec, "pack")
    return status, pack, run(spec, "plan")[1]


def refused_when_read(out):
    """Nothing but what reader and merging say (G01xx to G04xx)."""
    codes = re.findall(rb"error: [^\n]*\[G(\d\d)\d\d\]", out)
    return bool(codes) and all(code in (b"01", b"02", b"03", b"04") for code in codes)


def seen(spec, base, refused_counts):
    status, out = run(spec, "pack")
    if status:
        return status == 1 and refused_when_read(out) == refused_counts
    return not refused_counts and (out != base[1] or run(spec, "plan")[1] != base[2])


def attempt(key, spec, name, place, values):
    """One key at one place of one spec: whether a change is seen."""
    path = folder() / name
    tries = [(place, change) for change in values or changes(spec, key, get(tree_of(name), place))]
    if isinstance(place[-1], str) and len(get(tree_of(name), place[:-1])) == 1:
        tries.append((place[:-1], None))  # what stands alone in its mapping goes with it
    try:
        for where, change in tries:
            data = copy.deepcopy(tree_of(name))
            set_at(data, where, change)
            path.write_text(written(data))
            if seen(spec, bases[spec], key in ONLY_READ):
                return True
    finally:
        path.write_text(text_of(name))
    return False


def files_of(spec, found):
    """The spec and every YAML file that it names."""
    found.append(spec)
    data = tree_of(spec)
    names = data.get("use", [])
    for name in ([names] if isinstance(names, str) else names) + ([data["base"]] if "base" in data else []):
        other = pathlib.Path(os.path.normpath(spec.parent / name))
        if other.suffix == ".yaml" and other not in found:
            files_of(other, found)
    return found


# What any entry may say: where no spec of the test says it, it is added to one.
COMMON = {"name": "Zz", "note": "zz", "called": "zz", "photo": "zz.png", "tools": "zz", "people": "3", "takes": "47 min",
          "side-up": "zz", "crank-at": "bdc", "engine-is": "cold", "witness": "zz", "critical": "true",
          "accept": {"G0614": "zz"}, "applies": {"serial": "..1"}, "each": ["zz", "yy"]}
POINTS_TO = {"after": "parts", "before": "parts", "under": "parts", "reach": "openings"}


def additions(key):
    """(spec, file, place, values): entries of the section that could take a common key that nobody uses."""
    if len(key) != 3 or key[1] != "*" or key[2] not in [*COMMON, *POINTS_TO, "like"]:
        return
    for spec, name, place in places.get(key[:1], []):
        data = tree_of(name)
        ids = list(get(data, place))
        for i in ids:
            if key[2] in COMMON:
                values = [COMMON[key[2]]]
            elif key[2] == "like":
                values = [other for other in ids if other != i][:2]
            else:
                targets = list(data.get(POINTS_TO[key[2]], {}))
                values = targets[-1:] + targets[len(targets) // 2:][:1] + targets[1:2]
            if values and isinstance(get(data, place)[i], dict) and key[2] not in get(data, place)[i]:
                yield spec, name, (*place, i, key[2]), values


def try_key(key):
    """Whether a change of the key is seen; None where no spec has it."""
    spots = [(*spot, None) for spot in places.get(key, [])] or list(additions(key))
    by_place = {}
    for spec, name, place, values in spots:
        by_place.setdefault((name, place), []).append((spec, values))
    spots = list(by_place)
    spots = spots[:FIRST] + spots[FIRST::max(1, len(spots) // SPOTS)]
    return any(attempt(key, spec, name, place, values) for name, place in spots
               for spec, values in sorted(by_place[name, place], key=lambda one: one[0] != name)) if spots else None


specs = sorted((pathlib.Path("keys") / p.name for p in (ROOT / "tests/e2e/keys").glob("*.yaml")
                if not p.name.startswith("part-")), key=lambda p: len(text_of(p)))
specs += [pathlib.Path("specs/scoter.yaml"), pathlib.Path("specs/hob.yaml"), pathlib.Path("specs/pintail.yaml")]  # the largest last: they take longest
bases, places, pool = {}, {}, {}  # pool: what a key says elsewhere in the same spec
for spec in specs:
    bases[spec], pool[spec] = dumped(spec), {}
    if bases[spec][0]:
        print(f"not ok {spec} is valid: {run(spec, 'plan')[1].decode()[:300]}")
        continue
    for name in files_of(spec, []):
        data = tree_of(name)
        for key, place in leaves(data, (), ()):
            places.setdefault(key, []).append((spec, name, place))
            value = get(data, place)
            if not isinstance(value, dict) and value not in pool[spec].setdefault(key, []):
                pool[spec][key].append(value)

# A mapping has an effect when something in it has.
tested = sorted(key for key in wanted
                if not any(other[: len(key)] == key and other != key for other in wanted))
with concurrent.futures.ThreadPoolExecutor(max_workers=WORKERS) as workers:
    for key, effect in zip(tested, workers.map(try_key, tested)):
        shown = ".".join(key)
        if effect is None:
            print(f"not ok {shown}: no spec of the test uses it")
        elif not effect:
            print(f"not ok {shown}: changing it changes nothing that is printed")
        else:
            print(f"ok {shown}")
