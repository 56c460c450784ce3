#!/usr/bin/env python3
"""`gudgeon schema` is a JSON Schema of draft 2020-12 that takes every spec here and refuses what the program
refuses for its shape. Checked by jsonschema, which shares no code with ours."""
import json
import os
import pathlib
import re
import subprocess

import jsonschema
import yaml

ROOT = pathlib.Path(__file__).resolve().parents[2]
PROGRAM = ROOT / os.environ.get("GUDGEON", "out/build/gudgeon")
schema = json.loads(subprocess.run([PROGRAM, "schema"], capture_output=True, check=True).stdout)


def plain(node):
    """Scalars as an editor's YAML reader types them: whole numbers, decimals, true and false; the rest is text."""
    if isinstance(node, dict):
        return {key: plain(value) for key, value in node.items()}
    if isinstance(node, list):
        return [plain(value) for value in node]
    if node == "null":
        return None
    if node in ("true", "false"):
        return node == "true"
    if re.fullmatch(r"\d+", node):
        return int(node)
    return float(node) if re.fullmatch(r"\d+\.\d+", node) else node


def told(name, good, why=""):
    print(f"ok {name}" if good else f"not ok {name}: {why}")


try:
    jsonschema.Draft202012Validator.check_schema(schema)
    told("the schema is of draft 2020-12", True)
except jsonschema.SchemaError as error:
    told("the schema is of draft 2020-12", False, error.message)
validator = jsonschema.Draft202012Validator(schema)

specs = sorted((ROOT / "specs").rglob("*.yaml")) + [ROOT / "tests/golden/spec/good/page.yaml",
                                                    ROOT / "tests/golden/spec/base/twin.yaml"]
for path in specs:
    faults = list(validator.iter_errors(plain(yaml.load(path.read_text(), yaml.BaseLoader))))
    told(f"the schema takes {path.relative_to(ROOT)}", not faults,
         "; ".join(f"{'.'.join(map(str, fault.absolute_path))}: {fault.message[:120]}" for fault in faults[:3]))

# What a spec takes away from the one that it is laid over (RFC 7396).
for what in ("parts: {pin: null}", "parts: {pin: {state: null, weight: null, after: null}}",
             "joints: {nuts: {torque: null, lock: null}}", "shop: {tools: {hammer: null}}",
             "sources: {book: {rank: null}}", "history: null", "limits: {gap: {measured: null}}"):
    laid_over = plain(yaml.load(f"{{gudgeon: 1, base: twin.yaml, {what}}}", yaml.BaseLoader))
    told(f"the schema takes {what}", validator.is_valid(laid_over), "it refuses it")

for name in ("an-unknown-key", "an-unknown-key-of-the-root", "an-unknown-key-of-a-lock", "an-entry-that-is-one-value",
             "a-word-that-is-none-of-the-few", "a-count-of-none", "an-id-with-capitals", "a-section-that-is-a-list"):
    text = (ROOT / f"tests/golden/spec/{name}.yaml").read_text()
    told(f"the schema refuses {name}", not validator.is_valid(plain(yaml.load(text, yaml.BaseLoader))), "it takes it")
