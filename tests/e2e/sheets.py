#!/usr/bin/env python3
"""Sheets and readings as independent readers see them: python3 tests/e2e/sheets.py

openpyxl, xmllint, LibreOffice and Python's csv read what `pack` wrote for both demos: no error cell,
every formula's written value is the value of the formula, LibreOffice shows the same values, whole
columns print on A4 landscape, lines to buy agree with build.json, readings are RFC 4180 with unique
ids and the fingerprints of the manifest."""
import csv
import glob
import json
import math
import os
import re
import subprocess
import sys
import tempfile
import zipfile

try:
    import openpyxl
except ImportError:  # another Python stands before the system's
    if sys.executable == "/usr/bin/python3":
        raise
    os.execv("/usr/bin/python3", ["/usr/bin/python3"] + sys.argv)

GUDGEON = os.path.abspath(os.environ.get("GUDGEON", "out/build/gudgeon"))
READING_COLUMNS = ["id", "kind", "value", "unit", "using", "date", "by", "where", "card", "limit",
                   "void", "because"]


def run(*command, **more):
    return subprocess.run(command, capture_output=True, text=True, **more)


def check_xml(book):
    with zipfile.ZipFile(book) as parts:
        if parts.testzip():
            yield "the zip is damaged"
        for name in parts.namelist():
            done = subprocess.run(["xmllint", "--noout", "-"], input=parts.read(name),
                                  capture_output=True)
            if done.returncode:
                yield f"{name} is not well-formed: {done.stderr[:200]}"
        if any(stamp.date_time[:3] != (1980, 1, 1) for stamp in parts.infolist()):
            yield "a part bears the time of its making"


def evaluate(formula, sheet):
    """Products of cells and sums of ranges, which is all that we write."""
    total = re.fullmatch(r"=SUM\(([A-Z]+\d+):([A-Z]+\d+)\)", formula)
    if total:
        cells = [cell for row in sheet[f"{total[1]}:{total[2]}"] for cell in row]
        return sum(evaluate(c.value, sheet) if isinstance(c.value, str) and c.value.startswith("=")
                   else c.value for c in cells if c.value is not None)
    if not re.fullmatch(r"=[A-Z]+\d+(\*[A-Z]+\d+)*", formula):
        raise ValueError(f"unknown form of formula: {formula}")
    return math.prod(sheet[cell].value for cell in formula[1:].split("*"))


def check_values(book):
    formulas, values = openpyxl.load_workbook(book), openpyxl.load_workbook(book, data_only=True)
    for sheet in formulas:
        for row in sheet.iter_rows():
            for cell in row:
                shown = values[sheet.title][cell.coordinate].value
                if isinstance(shown, str) and shown.startswith("#") and shown.endswith(("!", "?", "A")):
                    yield f"{sheet.title}!{cell.coordinate} is {shown}"
                if cell.data_type == "f":
                    wanted = evaluate(cell.value, sheet)
                    if not isinstance(shown, (int, float)) or abs(shown - wanted) > 1e-9 * abs(wanted):
                        yield f"{sheet.title}!{cell.coordinate}: {cell.value} shows {shown}, is {wanted}"


def check_manners(book):
    for number, sheet in enumerate(openpyxl.load_workbook(book)):
        if sheet.page_setup.orientation != "landscape" or not sheet.sheet_properties.pageSetUpPr.fitToPage:
            yield f"{sheet.title} is not set up for printing"
        if number == 0:
            continue
        if sheet.freeze_panes != "A2" or not sheet.auto_filter.ref or sheet.print_title_rows != "$1:$1":
            yield f"{sheet.title}: the head is not frozen, filtered and repeated"
        heads = [cell.value for cell in sheet[1]]
        named = [head for head in heads if head not in ("Unit", "Currency")]
        if None in heads or len(set(named)) != len(named):
            yield f"{sheet.title}: headings lack or repeat: {heads}"


def check_libreoffice(book, folder):
    profile = f"-env:UserInstallation=file://{folder}/profile"
    every = 'csv:Text - txt - csv (StarCalc):44,34,76,1,,0,false,true,false,false,false,-1'
    for form in (every, "pdf"):
        done = run("soffice", profile, "--headless", "--convert-to", form, "--outdir", folder, book)
        if done.returncode:
            yield f"LibreOffice: {done.stderr[:200]}"
    values = openpyxl.load_workbook(book, data_only=True)
    for sheet in values:
        path = os.path.join(folder, f"parts-{sheet.title}.csv")
        if not os.path.exists(path):
            yield f"LibreOffice has no sheet {sheet.title}"
            continue
        with open(path, newline="", encoding="utf-8") as file:
            rows = list(csv.reader(file))
        for i, row in enumerate(sheet.iter_rows(values_only=True)):
            for j, value in enumerate(row):
                shown = rows[i][j] if i < len(rows) and j < len(rows[i]) else ""
                if isinstance(value, (int, float)):
                    decimals = len(shown.partition(".")[2])
                    if not shown or abs(float(shown) - value) > 0.5 * 10 ** -decimals + 1e-9:
                        yield f"{sheet.title} row {i + 1}: {value} shows as '{shown}'"
                elif isinstance(value, str) and shown != value:
                    yield f"{sheet.title} row {i + 1}: '{value[:50]}' shows as '{shown[:50]}'"
    pdf = os.path.join(folder, "parts.pdf")
    if "###" in run("pdftotext", pdf, "-").stdout:
        yield "a column is too narrow to print its number"
    if "841.89 x 595.3" not in run("pdfinfo", pdf).stdout:
        yield "pages are not A4 landscape"


def check_purchases(book, build):
    wanted = json.load(open(build, encoding="utf-8"))["build"]["purchases"]
    rows = list(openpyxl.load_workbook(book, data_only=True)["To buy"].iter_rows(values_only=True))
    lines = [dict(zip(rows[0], row)) for row in rows[1:] if row[0] is not None]
    if len(lines) != len(wanted):
        yield f"{len(lines)} lines to buy, build.json has {len(wanted)}"
    for line, buy in zip(lines, wanted):
        if line["Name"] != buy["what"] or line["Pieces to order"] != buy["pieces"]:
            yield f"line {line['Line']} is not {buy['what']}, {buy['pieces']} pieces"
        if buy["needed"] != buy["fitted"] + buy["spare"] + buy["trial"] + buy["again"]:
            yield f"{buy['what']}: needed is not the sum of its reasons"
        cost = buy.get("cost-minor")
        if isinstance(line["Price of one"], (int, float)) and cost is not None and \
                abs(line["Line total"] * 100 - cost) > 0.01:
            yield f"{buy['what']}: {line['Line total']} instead of {cost / 100}"


def check_readings(path, manifest):
    data = open(path, "rb").read()
    rows = list(csv.DictReader(data.decode().splitlines(keepends=True)))
    if list(rows[0]) != READING_COLUMNS:
        yield f"columns are {list(rows[0])}"
    if data.count(b"\r\n") < len(rows) + 1 or not data.endswith(b"\r\n"):
        yield "lines do not end as RFC 4180 asks"
    cards = {f"{card['id']}@{card['fingerprint'][:12]}"
             for card in json.load(open(manifest, encoding="utf-8"))["cards"]}
    ids = [(row["id"], row["kind"]) for row in rows]
    if len(set(ids)) != len(ids):
        yield "two rows have one id"
    for row in rows:
        if row["value"] or row["void"]:
            yield f"{row['id']} is not blank"
        if row["card"] not in cards:
            yield f"{row['id']} names the card {row['card']}, which the manifest has not"


def check_pack(spec, folder):
    name = os.path.basename(spec)[:-5]
    into = os.path.join(folder, name)
    done = run(GUDGEON, "pack", "-o", into, spec)
    if done.returncode:
        print(f"not ok sheets/{name}: pack ended with {done.returncode}: {done.stderr[:300]}")
        return
    book = os.path.join(into, "parts.xlsx")
    read = os.path.join(folder, name + "-read")
    os.mkdir(read)
    checks = {"xml": check_xml(book), "values": check_values(book), "manners": check_manners(book),
              "libreoffice": check_libreoffice(book, read),
              "purchases": check_purchases(book, os.path.join(into, "build.json")),
              "readings": check_readings(os.path.join(into, "readings.csv"),
                                         os.path.join(into, "manifest.json"))}
    for kind, faults in checks.items():
        found = list(faults)
        print(f"not ok sheets/{name}/{kind}: {'; '.join(found[:5])} ({len(found)} in all)" if found
              else f"ok sheets/{name}/{kind}")


with tempfile.TemporaryDirectory() as scratch:
    for demo in sorted(glob.glob("specs/*.yaml")):
        if os.path.basename(demo) in ("hob.yaml", "pintail.yaml"):
            check_pack(demo, scratch)
