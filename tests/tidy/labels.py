#!/usr/bin/env python3
"""Every label that src/pack and src/write ask for stands in the English set, and every label of the set is
asked for somewhere (whole, or as a list: verb., phase., ...)."""
import pathlib
import re

import yaml

ROOT = pathlib.Path(__file__).resolve().parents[2]


def flatten(node, prefix=""):
    for key, value in node.items():
        if isinstance(value, dict):
            yield from flatten(value, f"{prefix}{key}.")
        else:
            yield prefix + str(key)


labels = set(flatten(yaml.load((ROOT / "templates/labels-en.yaml").read_text(), yaml.BaseLoader)))
code = "\n".join(p.read_text() for folder in ("pack", "write", "draw") for p in (ROOT / "src" / folder).glob("*.[ch]"))
asked = set(re.findall(r'"((?:[a-z]+)\.[a-z][a-z-]*)"', code)) & (labels | {
    key for key in re.findall(r'L\(packer, "([a-z.-]+)"\)', code)})
asked |= {"field." + key for key in re.findall(r'step_field(?:_strong)?\(\s*packer,\s*step,\s*"([a-z-]+)"', code)}
asked |= {"field." + key for key in re.findall(r'step_claim\(\s*packer,\s*step,\s*"([a-z-]+)"', code)}
asked |= {"resume." + key for key in re.findall(r'say\(packer, &text, "([a-z-]+)"', code)}
asked |= {key for key in labels if key.startswith("field.") and f'"{key[6:]}"' in code}
lists = set(re.findall(r'label_of\(packer, "([a-z-]+)"', code)) | {"verdict"}
unknown = sorted(key for key in asked if key not in labels)
unused = sorted(key for key in labels - asked if key.split(".")[0] not in lists and key != "language")
for key in unknown:
    print(f"not ok label {key}: asked for, not in labels-en.yaml")
for key in unused:
    print(f"not ok label {key}: in labels-en.yaml, asked for nowhere")
if not unknown and not unused:
    print(f"ok {len(labels)} labels, all known and all used")
