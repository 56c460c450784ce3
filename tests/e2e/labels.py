#!/usr/bin/env python3
"""No words of the pack come from the code: both demos are packed with a label set in which every word is a mark,
and what is left of each page and cell, less what the spec, shop and supplier files say, what tables cite, ids
and units, holds no word. readings.csv keeps its English column heads: they are the keys by which it is read back."""
import os
import pathlib
import re
import subprocess
import tempfile

import openpyxl
import yaml

ROOT = pathlib.Path(__file__).resolve().parents[2]
PROGRAM = str((ROOT / os.environ.get("GUDGEON", "out/build/gudgeon")).resolve())
MARK = "¤¤"
WORD = re.compile(r"[^\W\d_¤]+")
UNITS = set("nm µm um uin st deg cm²".split())

# A name has its place after it, a title its page; cells stand side by side.
AFTER_A_NAME = set("front rear inlet exhaust top second inner outer p".split())
SIDE_BY_SIDE = {"ft lbf", "coupling castle", "pump gland", "in in", "pump gears", "timing double", "hopper cylinder", "rod rod", "float crankshaft", "mm mm"}


def marked(node):
    if isinstance(node, dict):
        return {key: text if key == "language" else marked(text) for key, text in node.items()}
    return re.sub(r"\{[a-z-]+\}|[^\W\d_]+", lambda hit: hit[0] if hit[0][0] == "{" else MARK, node)


def words(text):
    return {word.lower() for word in WORD.findall(text)}


def pairs(text):
    """Words of small letters with one blank between: what a sentence is made of."""
    return {hit[1] + " " + hit[2] for hit in re.finditer(r"(?<![^\s(,;:])(?=([a-z]+) ([a-z]+)(?![^\s),;:.?]))", text)}


# A comment is not what the user says of the engine.
said, said_pairs = set(UNITS), set()
for path in sorted((ROOT / "specs").rglob("*")):
    if path.suffix in (".yaml", ".csv"):
        text = "\n".join(re.sub(r"(^|\s)#.*", "", line) for line in path.read_text().splitlines())
        said |= words(text)
        said_pairs |= pairs(re.sub(r"[\s\"'{}\[\]|>]+", " ", text).lower())
# Sources, standards and designations are cited as they are.
for path in (ROOT / "src/table/data").glob("*.csv"):
    if path.name != "caution.csv":
        text = " ".join(line for line in path.read_text().splitlines() if "common practice" not in line)
        said |= words(text)
        said_pairs |= pairs(text.replace('"', " ").lower())
labels = yaml.load((ROOT / "templates/labels-en.yaml").read_text(), yaml.BaseLoader)
said.add("specs")  # the folder, as the command line names the files
said |= words(" ".join(labels["phase"]))  # the first half of a card's id


def texts(folder):
    pages, sheets = (("comparison",), "comparison") if (folder / "comparison.pdf").exists() else \
        (("cards", "tags", "gaskets"), "parts")
    for name in (name for name in pages if name == pages[0] or (folder / f"{name}.pdf").exists()):
        pdf = subprocess.run(["pdftotext", "-raw", folder / f"{name}.pdf", "-"], capture_output=True, text=True,
                             check=True)
        for number, page in enumerate(pdf.stdout.split("\f"), 1):
            yield f"page {number} of {name}", re.sub(r"\b[0-9a-f]{12}\b", "", page)  # a fingerprint
    for sheet in openpyxl.load_workbook(folder / f"{sheets}.xlsx"):
        yield "the name of a sheet", sheet.title
        for row in sheet.iter_rows():
            for cell in row:
                if isinstance(cell.value, str) and not cell.value.startswith("="):
                    yield f"sheet {sheet.title} {cell.coordinate}", cell.value


def left_in(folder, sides):
    left, marks, looked = {}, 0, 0
    for where, text in texts(folder):
        looked += 1
        marks += text.count(MARK)
        for word in words(text) - said:
            if len(word) > 1:
                left.setdefault(word, where)
        if sides and where.startswith("page"):  # columns stand side by side; the sheets have them cell by cell
            continue
        for pair in pairs(text) - said_pairs - SIDE_BY_SIDE:
            if pair.split()[1] not in AFTER_A_NAME:
                left.setdefault(pair, where)
    return left, marks, looked


with tempfile.TemporaryDirectory() as scratch:
    folder = pathlib.Path(scratch)
    subprocess.run(["cp", "-r", ROOT / "specs", folder / "specs"], check=True)
    (folder / "specs/marks.yaml").write_text(yaml.dump(marked(labels), allow_unicode=True))
    template = (ROOT / "templates/pack.yaml").read_text().replace("labels: en", "labels: marks.yaml")
    (folder / "specs/marks-template.yaml").write_text(template)
    marks_template = ["--template=specs/marks-template.yaml"]
    for demo, options, run in (("pintail", marks_template, ["pack", "specs/pintail.yaml"]),
                               ("scoter", marks_template, ["pack", "specs/scoter.yaml"]),
                               ("hob", marks_template, ["pack", "specs/hob.yaml"]), ("hob", [], ["pack", "specs/hob.yaml"]),
                               ("early and late", marks_template, ["compare", "specs/pintail-early.yaml", "specs/pintail-late.yaml"]),
                               ("two engines", marks_template, ["compare", "specs/hob.yaml", "specs/ingle.yaml"])):
        if run[0] == "compare":
            run += ["-o", f"out/{demo}"]
        ran = subprocess.run([PROGRAM, *run, *options], cwd=folder, capture_output=True, text=True)
        if ran.returncode != 0:
            print(f"not ok labels of {demo}: {ran.stderr[:400]}")
            continue
        left, marks, looked = left_in(folder / "out" / demo, run[0] == "compare")
        if not options:  # in English the check finds the labels: it can fail
            found = len(left)
            print(f"ok the check finds {found} words and pairs of the English set" if found > 300
                  else f"not ok the check finds only {found} words and pairs of the English set")
            continue
        for word, where in sorted(left.items()):
            print(f"not ok labels of {demo}: '{word}' on {where} comes from no label and no user")
        if not left:
            print(f"ok labels of {demo}: {looked} pages and cells, {marks} marks and no word of our own")
