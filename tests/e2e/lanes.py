"""The order at a glance: every operation of the plan stands in exactly one row, in its order, with its cards'
numbers; covering operations and hold points are all marked; it takes two pages at most, each row inside the
page, on every paper. Of both demos and of made-up engines of 60 to 900 operations. The rows are counted again
from the plan. Needs nothing beyond this repository."""
import json
import os
import re
import subprocess
import sys
import tempfile

PROGRAM = os.environ["GUDGEON"]
ROOT = os.path.abspath(os.path.join(os.path.dirname(__file__), "..", ".."))


def run(*words):
    return subprocess.run([PROGRAM, *words], cwd=ROOT, capture_output=True, text=True, check=False)


def engine(folder, units):
    """A case with units on which two parts are made up, each unit held by nuts: about 13 operations a unit."""
    parts, joints = ["  case: {name: Case, state: reuse, inspect: visual}"], []
    for u in range(units):
        parts.append(f"  unit-{u}: {{name: Unit {u}, in: case, with: [inner-{u}, outer-{u}], state: reuse, inspect: visual}}")
        parts.append(f"  inner-{u}: {{name: Inner {u}, in: unit-{u}, state: reuse}}")
        parts.append(f"  outer-{u}: {{name: Outer {u}, in: unit-{u}, state: reuse}}")
        parts.append(f"  cover-{u}: {{name: Cover {u}, in: case, state: reuse, witness: inspector}}")
        joints.append(f"  nuts-{u}: {{holds: [unit-{u}], to: case, thread: M8, count: 4, grade: '8.8', "
                      f"under: cover-{u}, condition: {{lubricant: engine-oil, plating: none, fastener: new}}, "
                      f"torque: 20 N m, lock: {{none: by the stud}}}}")
    path = os.path.join(folder, f"units-{units}.yaml")
    with open(path, "w", encoding="utf-8") as out:
        out.write("\n".join(["gudgeon: 1", "engine: {name: Made up}", "parts:", *parts, "joints:", *joints]) + "\n")
    return path


def figures(pack):
    return [block["figure"] for section in pack["sections"] if section["id"] == "lanes"
            for block in section["blocks"] if block.get("figure")]


def numbers(text):
    ends = [int(n) for n in re.findall(r"[0-9]+", text)]
    return range(ends[0], ends[-1] + 1)


def check(path, bad):
    plan = json.loads(run("check", "--dump=plan", path).stdout)
    pack = json.loads(run("check", "--dump=pack", path).stdout)
    pages = figures(pack)
    rows = [row for figure in pages for row in figure["rows"]]
    steps = sum(row["steps"] for row in rows)
    if steps != len(plan["operations"]):
        bad.append(f"{path}: {steps} of {len(plan['operations'])} operations stand in the rows")
    covers = sum(1 for op in plan["operations"] if op.get("last-chance"))
    holds = sum(1 for op in plan["operations"] if op["verb"] == "witness")
    if (covers, holds) != (sum(r["covers"] for r in rows), sum(r["holds"] for r in rows)):
        bad.append(f"{path}: {covers} cover and {holds} hold, marked are "
                   f"{sum(r['covers'] for r in rows)} and {sum(r['holds'] for r in rows)}")
    told = [n for row in rows for n in numbers(row["number"])]
    if sorted(set(told)) != list(range(1, len(plan["cards"]) + 1)) or told != sorted(told):
        bad.append(f"{path}: the rows do not name each card in its order")
    if len(pages) > 2:
        bad.append(f"{path}: {len(pages)} pages")
    for figure in pages:
        lines = [row["line"] for row in figure["rows"]]
        if len(set(lines)) != len(lines) or max(lines) > 39:
            bad.append(f"{path}: rows lie over each other, or beyond the page")
    return len(plan["operations"])


def on_paper(folder, path, paper, bad):
    template = os.path.join(folder, f"{paper}.yaml")
    with open(os.path.join(ROOT, "templates", "pack.yaml"), encoding="utf-8") as given:
        text = re.sub(r"^paper: \w+", f"paper: {paper}", given.read(), flags=re.M)
    with open(template, "w", encoding="utf-8") as out:
        out.write(text)
    where = os.path.join(folder, f"{paper}-{os.path.basename(path)}")
    done = run("pack", path, "--template", template, "-o", where)
    text = subprocess.run(["pdftotext", "-layout", os.path.join(where, "cards.pdf"), "-"], capture_output=True,
                          text=True, check=False).stdout
    pages = [page for page in text.split("\f") if "a second person signs first" in page]
    if done.returncode or not 1 <= len(pages) <= 2:
        bad.append(f"{path} on {paper}: {len(pages)} pages with the order at a glance; {done.stderr[:200]}")


def main():
    bad, sizes = [], []
    with tempfile.TemporaryDirectory() as folder:
        paths = ["specs/hob.yaml", "specs/pintail.yaml"] + [engine(folder, units) for units in (4, 20, 72)]
        for path in paths:
            sizes.append(check(path, bad))
        for paper in ("A4", "Letter", "A5"):
            on_paper(folder, "specs/pintail.yaml", paper, bad)
    if not min(sizes) <= 65 or not 850 <= max(sizes) <= 1000:
        bad.append(f"the engines have {sizes} operations")
    print(f"not ok the order at a glance: {'; '.join(bad)}" if bad else
          f"ok the order at a glance of engines of {sorted(sizes)} operations")
    return bool(bad)


if __name__ == "__main__":
    sys.exit(main())
