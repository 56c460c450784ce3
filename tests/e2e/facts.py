#!/usr/bin/env python3
"""A card can be worked without the spec: for every operation of the plan, every fact of its entry that a fitter
needs stands in the text of its card, read back by pdftotext. What is looked for comes from build.json (the spec
as read, the values as resolved), never from the code that lays cards out."""
import json
import os
import pathlib
import re
import subprocess
import tempfile
import unicodedata

ROOT = pathlib.Path(__file__).resolve().parents[2]
PROGRAM = str((ROOT / os.environ.get("GUDGEON", "out/build/gudgeon")).resolve())

# What the card of an operation must say of its entry, by verb. A value is found as written or as resolved.
COMMON = ["note", "called", "photo", "crank-at", "side-up", "engine-is", "tools", "people", "takes"]
NEEDED = {
    "fit": COMMON + ["name", "number", "way-round", "in", "with", "quantity"],
    "tighten": COMMON + ["name", "thread", "count", "torque", "stretch", "then", "drag", "adapter", "grade", "holds",
                         "hand", "uses", "together-with", "engagement"],
    "nip": ["name", "thread", "nip"],
    "lock": ["name", "lock"],
    "read": COMMON + ["name", "want", "worn", "using", "where"],
    "set": COMMON + ["name", "want", "at", "tolerance", "advance", "marks"],
    "prove": ["name", "carries", "prove"],
    "seal": ["name", "gasket", "sealant", "keep-off"],
    "do": COMMON + ["do"],
    "witness": ["name", "witness"],
    "run": COMMON + ["do", "for", "speed", "due", "look-for", "stop-if"],
    "send": ["name", "do", "supplier"],
    "measure": ["name", "want"],
    "slacken": ["name", "thread", "count", "hand"],
    "remove": ["name", "out-for"],
}


def squeeze(text):
    """Lines are broken where the paper ends: only the letters count."""
    return re.sub(r"\s+", "", unicodedata.normalize("NFC", text)).lower()


def cards_of(pdf):
    """The text of each card by its id, which stands in the head of each of its pages."""
    text = subprocess.run(["pdftotext", "-raw", str(pdf), "-"], capture_output=True, check=True).stdout.decode()
    cards = {}
    for page in text.split("\f"):
        found = re.search(r"^((?:intake|strip|clean|inspect|outwork|goods-in|trial|final|set|first-run|follow-up):\S+)$", page, re.M)
        if found:
            cards[found.group(1)] = cards.get(found.group(1), "") + page
    return {key: squeeze(value) for key, value in cards.items()}


class Engine:
    def __init__(self, folder):
        self.data = json.loads((folder / "build.json").read_text())
        self.spec = self.data["spec"]
        self.facts = {f["id"]: f for f in self.data["build"]["facts"]}
        self.entries = {}
        for section, content in self.spec.items():
            if isinstance(content, dict):
                for member, entry in content.items():
                    if isinstance(entry, dict):
                        self.entries.setdefault(member, entry)
        self.supplies = {**self.spec.get("consumables", {}), **self.spec.get("suppliers", {}),
                         **self.spec.get("shop", {}).get("gauges", {}), **self.spec.get("shop", {}).get("tools", {})}

    def name(self, member):
        entry = self.entries.get(member) or self.supplies.get(member) or {}
        return entry.get("name", member.split("/")[0])

    def texts(self, member, key, value):
        """Alternatives of which one must be found, for each thing that the value says."""
        resolved = [self.facts[f]["printed"] for f in (f"{member}.{key}", f"{member}.target") if "printed" in self.facts.get(f, {})]
        if isinstance(value, dict) and "text" in value:
            written = value["text"]
            if written == "unknown":
                return []
            return [[written, *resolved, *quantities(written)]]
        if isinstance(value, dict):
            out = []
            for k, v in value.items():
                if k in ("from", "page", "chosen"):
                    continue
                if key in ("uses", "keep-off"):
                    out.append([self.name(k)])
                elif key in ("look-for", "want"):
                    out.append([k] if key == "look-for" else [v["text"], *quantities(v["text"])])
                elif key == "lock":
                    if k == "part":
                        out += [[self.name(m)] for m in v]
                elif isinstance(v, str):
                    out.append([v])
            return out
        if isinstance(value, list):
            return [t for v in value for t in self.texts(member, key, v)]
        if key == "with" and value in ("none", "all"):
            return []
        if key in ("in", "with", "holds", "gasket", "together-with", "sealant", "supplier", "using", "tools"):
            return [[self.name(str(value)), str(value)]]
        if key == "hand":
            return [["LEFT-HAND"]] if value == "left" else []
        if key == "quantity":
            return [[str(value)]] if value != 1 else []
        return [[str(value)]]


def quantities(text):
    """The written number alone: the card may print it in the shop's own unit beside."""
    return [m for m in re.findall(r"\d+(?:\.\d+)?(?:\.\.\d+(?:\.\d+)?)?", text)][:1]


for spec in ("specs/pintail.yaml", "specs/hob.yaml"):
    with tempfile.TemporaryDirectory() as work:
        folder = pathlib.Path(work) / "pack"
        done = subprocess.run([PROGRAM, "pack", spec, "-o", folder], cwd=ROOT, capture_output=True, check=False)
        if done.returncode:
            print(f"not ok {spec}: {done.stderr.decode()[:400]}")
            continue
        engine = Engine(folder)
        cards = cards_of(folder / "cards.pdf")
        found = missing = 0
        for operation in engine.data["plan"]["operations"]:
            card = cards.get(operation["card"])
            if card is None:
                print(f"not ok {spec}: no page of card {operation['card']}")
                continue
            entry = engine.entries.get(operation["entry"], {})
            wanted = NEEDED.get(operation["verb"], ["name"])
            if "photo" in wanted and operation["phase"] == "trial":
                wanted = ["name"]
            for key in wanted:
                if key not in entry:
                    continue
                for options in engine.texts(operation["entry"], key, entry[key]):
                    if any(squeeze(option) in card for option in options):
                        found += 1
                    else:
                        missing += 1
                        print(f"not ok {operation['id']}: {key} {options[0]!r} is not on {operation['card']}")
        print(f"{'ok' if found > 200 and not missing else 'not ok'} {spec}: {found} facts found on their cards, {missing} missing")
        # A card after the build finds nothing open: every opening has its closers in, on units too.
        dumped = subprocess.run([PROGRAM, "check", "--dump=pack", spec], cwd=ROOT, capture_output=True, check=False)
        states = {s["id"]: s["state"] or "" for s in json.loads(dumped.stdout)["sections"]}
        built = {f"{op['card']}" for op in engine.data["plan"]["operations"] if op["phase"] in ("first-run", "follow-up")}
        last = [states[card] for card in built if card in states]
        open_ones = [text for text in last if "Open:" in text]
        print(f"{'ok' if last and not open_ones else 'not ok'} {spec}: nothing stands open on {len(last)} cards after the "
              f"build {open_ones[:1]}")
