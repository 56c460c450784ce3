#!/usr/bin/env python3
"""Every label that the code asks for stands in the English set, and every label of the set is asked for
somewhere: whole ("cover.title"), or as one of a list: by label_of, phrase_word or a format such as
"judged.%s-%s-%s", whose words stand in the code or in a table."""
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
code = "\n".join(p.read_text() for folder in ("resolve", "plan", "pack", "compare", "write", "draw")
                 for p in (ROOT / "src" / folder).glob("*.[ch]"))
code = re.sub(r'"\s*\n\s*"', "", code)  # a literal that goes on in the next line
# Asked for whole.
asked = set(re.findall(r'"((?:[a-z-]+)\.[a-z][a-z0-9-]*)"', code)) & labels
asked |= set(re.findall(r'\bL\([\w>-]+, "([a-z.-]+)"\)', code))
asked |= set(re.findall(r'\b(?:resolve_say|phrase_new)\(\s*(?:r|[a-z>-]*arena),\s*"([a-z.-]+)"', code))
asked |= set(re.findall(r'\bresolve_say_range\(\s*r,\s*"([a-z.-]+)"', code))
# Asked for by the second half.
for ahead, call in (("field.", r"step_(?:field|field_strong|claim)\(\s*packer,\s*step,\s*"),
                    ("resume.", r"\bsay\(packer, &text, ")):
    asked |= {ahead + key for key in re.findall(call + r'"([a-z-]+)"', code)}
asked |= {key for key in labels if key.split(".")[0] in ("field", "question", "settles") and f'"{key.split(".", 1)[1]}"' in code}
for ask in re.findall(r'\b(?:resolve_ask|ask_claim|ask_text)\(([^;]*);', code):
    asked |= {key for half in re.findall(r'"([a-z-]+)%s"', ask) for key in labels
              if key.startswith("question." + half)}
    words = [word for word in re.findall(r'"([a-z-]+)"', ask)]
    if words and "%s" not in ask and "?" not in ask:
        asked.add("settles." + words[-1])
        asked |= {"question." + word for word in words[:-1]}
# Lists: any word of them may be asked for.
lists = set(re.findall(r'label_(?:of|or)\([\w>-]+, "([a-z-]+)"', code))
lists |= set(re.findall(r'phrase_word\([^;]*?"[a-z-]+",\s*"([a-z-]+)"', code))
formats = [re.compile(re.escape(form).replace("%s", "[a-z]+(?:-[a-z]+)*") + "$")
           for form in re.findall(r'"([a-z-]+\.[a-z-]*(?:%s-?)+[a-z-]*)"', code)]
# A format that is nothing but a prefix proves nothing of its list.
formats = [form for form in formats if form.pattern.split(r"\.")[0] not in ("question", "settles", "field", "resume")]
unknown = sorted(key for key in asked if key not in labels)
unused = sorted(key for key in labels - asked if key.split(".")[0] not in lists and key != "language"
                and not any(form.match(key) for form in formats))
for key in unknown:
    print(f"not ok label {key}: asked for, not in labels-en.yaml")
for key in unused:
    print(f"not ok label {key}: in labels-en.yaml, asked for nowhere")
if not unknown and not unused:
    print(f"ok {len(labels)} labels, all known and all used")
