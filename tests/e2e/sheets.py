#!/usr/bin/env python3
"""Sheets, orders and readings as independent readers see them: python3 tests/e2e/sheets.py

openpyxl, xmllint, LibreOffice and Python's csv read what `pack` wrote for both demos: no error cell,
every formula's written value is what LibreOffice works out anew (which is first shown to be able to find
a wrong one), a typed reading changes its verdict, a price and a quantity the totals and the budget; whole
columns print on A4 landscape; lines to buy, limits and suppliers' lines agree with build.json; readings
are RFC 4180 with unique ids and the fingerprints of the manifest."""
import csv
import glob
import json
import os
import subprocess
import sys
import tempfile
import zipfile

try:
    import openpyxl
    import uno  # noqa: F401, of the system's Python as well
except ImportError:  # another Python stands before the system's
    if sys.executable == "/usr/bin/python3":
        raise
    os.execv("/usr/bin/python3", ["/usr/bin/python3"] + sys.argv)

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "support"))
from office import errors, office, opened, rows, value  # noqa: E402

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


def same(shown, worked_out):
    if isinstance(shown, (int, float)) and isinstance(worked_out, (int, float)):
        return abs(shown - worked_out) <= 1e-9 * max(1, abs(worked_out))
    return (shown or "") == (worked_out if worked_out != "" else "")


def compare(book, document):
    """Every formula's written value beside what LibreOffice has just worked out."""
    formulas, values = openpyxl.load_workbook(book), openpyxl.load_workbook(book, data_only=True)
    for sheet in formulas:
        there = rows(document.Sheets.getByName(sheet.title))
        for row in sheet.iter_rows():
            for cell in row:
                shown = values[sheet.title][cell.coordinate].value
                if cell.data_type == "f" and not same(shown, there[cell.row - 1][cell.column - 1]):
                    yield (f"{sheet.title}!{cell.coordinate}: {cell.value[:60]} shows {shown}, is "
                           f"{there[cell.row - 1][cell.column - 1]}")


def check_values(desktop, book):
    with opened(desktop, book) as document:
        document.calculateAll()
        yield from compare(book, document)
        for sheet in document.Sheets:
            for row, column, code in errors(sheet):
                yield f"{sheet.Name} row {row + 1}, column {column + 1}: error {code}"


def check_that_wrong_values_are_found(desktop, book, folder):
    """A copy in which one written total is another: LibreOffice must find it."""
    wrong = os.path.join(folder, "wrong.xlsx")
    with zipfile.ZipFile(book) as parts, zipfile.ZipFile(wrong, "w") as copy:
        changed = 0
        for name in parts.namelist():
            data = parts.read(name)
            at = data.find(b"</f><v>") if name.startswith("xl/worksheets/") and not changed else -1
            if at >= 0:
                end = data.find(b"</v>", at)
                data = data[:at] + b"</f><v>12345" + data[end:]
                changed = 1
            copy.writestr(name, data)
    with opened(desktop, wrong) as document:
        document.calculateAll()
        if not changed or len(list(compare(wrong, document))) != 1:
            yield "a wrong value in a copy was not found"


def heads(table):
    return {head: number for number, head in enumerate(table[0])}


def first_row(table, wanted):
    return next((number for number, row in enumerate(table) if number and wanted(row)), None)


def check_typing(desktop, book):
    """What a person types is followed: a reading by its verdict, a price and a quantity by the line, the
    supplier and the whole, a count by what is missing."""
    with opened(desktop, book) as document:
        sheets = {sheet.Name: sheet for sheet in document.Sheets}
        table = {name: rows(sheet) for name, sheet in sheets.items()}

        at = heads(table["Limits"])
        row = first_row(table["Limits"], lambda r: r[at["New to"]] != "" and r[at["Worn to"]] != ""
                        and r[at["Worn to"]] > r[at["New to"]] and r[at["New from"]] != "")
        if row is None:
            row = first_row(table["Limits"], lambda r: r[at["New to"]] != "")
        limit = table["Limits"][row]
        high, worn = limit[at["New to"]], limit[at["Worn to"]]
        low = limit[at["New from"]] if limit[at["New from"]] != "" else high / 2
        for column in ("Reading good to", "Found, greatest"):
            sheets["Limits"].getCellByPosition(at[column], row).setString("")
        steps = [((low + high) / 2, "inside"), (high, "inside")]
        steps += [((high + worn) / 2, "serviceable"), (worn, "serviceable"),
                  (worn + (worn - high) / 10, "outside")] if worn != "" else [(high * 1.1, "outside")]
        for typed, wanted in steps:
            sheets["Limits"].getCellByPosition(at["Found"], row).setValue(typed)
            document.calculateAll()
            verdict = sheets["Limits"].getCellByPosition(at["Verdict"], row).getString()
            if verdict != wanted:
                yield f"{limit[0]}: {typed} is {verdict}, not {wanted}"
        sheets["Limits"].getCellByPosition(at["Reading good to"], row).setValue((high - low) / 10)
        sheets["Limits"].getCellByPosition(at["Found"], row).setValue(high - (high - low) / 20)
        document.calculateAll()
        if sheets["Limits"].getCellByPosition(at["Verdict"], row).getString() != "near the new limit":
            yield f"{limit[0]}: nearer than it can be read is not near the new limit"

        at, of = heads(table["To buy"]), heads(table["Budget"])
        row = first_row(table["To buy"], lambda r: r[at["Price of one"]] != "")
        supplier = table["To buy"][row][at["Supplier"]]
        money = first_row(table["Budget"], lambda r: r[of["Supplier"]] == supplier)
        total = first_row(table["Budget"], lambda r: r[of["Supplier"]] == "Total")
        before = table["Budget"][money][of["Sum"]], table["Budget"][total][of["Sum"]]
        line = table["To buy"][row][at["Line total"]]
        sheets["To buy"].getCellByPosition(at["Price of one"], row).setValue(123.45)
        sheets["To buy"].getCellByPosition(at["Pieces to order"], row).setValue(7)
        document.calculateAll()
        now = rows(sheets["Budget"])
        typed = sheets["To buy"].getCellByPosition(at["Line total"], row).getValue()
        if abs(typed - 864.15) > 1e-9:
            yield f"7 pieces at 123.45 come to {typed}"
        for place, was in ((money, before[0]), (total, before[1])):
            if abs(now[place][of["Sum"]] - was - (864.15 - line)) > 1e-6:
                yield f"{now[place][0]}: {was} became {now[place][of['Sum']]}"

        at = heads(table["Inventory"])
        sheets["Inventory"].getCellByPosition(at["Found"], 1).setValue(0)
        document.calculateAll()
        if rows(sheets["Inventory"])[1][at["Missing"]] != table["Inventory"][1][at["Expected"]]:
            yield "what is missing does not follow what was found"


def check_manners(book):
    for number, sheet in enumerate(openpyxl.load_workbook(book)):
        if sheet.page_setup.orientation != "landscape" or not sheet.sheet_properties.pageSetUpPr.fitToPage:
            yield f"{sheet.title} is not set up for printing"
        if number == 0:
            if sheet.max_row > 10:
                yield f"About has {sheet.max_row} lines"
            continue
        if sheet.freeze_panes != "A2" or not sheet.auto_filter.ref or sheet.print_title_rows != "$1:$1":
            yield f"{sheet.title}: the head is not frozen, filtered and repeated"
        titles = [cell.value for cell in sheet[1]]
        named = [title for title in titles if title not in ("Unit", "Currency")]
        if None in titles or len(set(named)) != len(named):
            yield f"{sheet.title}: headings lack or repeat: {titles}"
        framed = {cell.column for cell in sheet[2] if cell.border.left.style == "thin"}
        checked = {column for rule in sheet.data_validations.dataValidation
                   for area in rule.sqref.ranges for column in range(area.min_col, area.max_col + 1)}
        if not checked <= framed:
            yield f"{sheet.title}: typing is checked in cells that are not framed"
        numbers = {cell.column for cell in sheet[2] if cell.column in framed
                   and titles[cell.column - 1] not in ("Kept in", "Remark", "What you offer instead")}
        if not numbers <= checked:
            yield f"{sheet.title}: nothing is checked in column {min(numbers - checked)}"


def check_print(desktop, book, folder):
    """Each sheet printed: A4 on its side, all columns on one page, no number cut to ###."""
    pdf = os.path.join(folder, os.path.basename(book) + ".pdf")
    with opened(desktop, book) as document:
        document.storeToURL(f"file://{pdf}", (value("FilterName", "calc_pdf_Export"),))
        count = len(document.Sheets)
    text = run("pdftotext", "-layout", pdf, "-").stdout
    if "###" in text:
        yield "a column is too narrow to print its number"
    about = run("pdfinfo", pdf).stdout
    if "841.89 x 595.3" not in about:
        yield "pages are not A4 landscape"
    if int(about.split("Pages:")[1].split()[0]) < count:
        yield "there are fewer pages than sheets"
    for sheet in openpyxl.load_workbook(book):
        first = next((cell.value for cell in sheet[1]), None)
        last = [cell.value for cell in sheet[1]][-1]
        if sheet.max_row > 1 and sheet.freeze_panes and not any(
                str(first).split()[0] in page and str(last).split()[-1] in page
                for page in text.split("\f")):
            yield f"{sheet.title}: '{first}' and '{last}' are on no page together"


def table_of(book, name):
    table = list(openpyxl.load_workbook(book, data_only=True)[name].iter_rows(values_only=True))
    return [dict(zip(table[0], row)) for row in table[1:] if row[0] is not None]


def check_purchases(book, build):
    wanted = {buy["line"]: buy for buy in build["purchases"]}
    lines = table_of(book, "To buy")
    if len(lines) != len(wanted) or {line["Our reference"] for line in lines} != set(wanted):
        yield f"{len(lines)} lines to buy, build.json has {len(wanted)}"
        return
    for line in lines:
        buy = wanted[line["Our reference"]]
        if line["Name"] != buy["what"] or line["Pieces to order"] != buy["pieces"]:
            yield f"line {line['Our reference']} is not {buy['what']}, {buy['pieces']} pieces"
        if buy["needed"] != buy["fitted"] + buy["spare"] + buy["trial"] + buy["again"] or \
                buy["needed"] != line["Needed"]:
            yield f"{buy['what']}: needed is not the sum of its reasons"
        if line["Packs"] * line["In packs of"] != line["Pieces to order"] or \
                not line["Needed"] <= line["Pieces to order"] < line["Needed"] + line["In packs of"]:
            yield f"{buy['what']}: packs are not rounded up to"
        cost = buy.get("cost-minor")
        if isinstance(line["Price of one"], (int, float)) and cost is not None and \
                abs(line["Line total"] * 100 - cost) > 0.01:
            yield f"{buy['what']}: {line['Line total']} instead of {cost / 100}"
    suppliers = [line["Supplier"] for line in lines]
    if any(suppliers[i] != suppliers[i - 1] and suppliers[i] in suppliers[:i]
           for i in range(1, len(suppliers))):
        yield "lines of one supplier do not stand together"


def check_verdicts(book, build):
    """The written verdicts are those of build.json, in its own words."""
    words = {"inside": "inside", "near-new": "near the new limit", "serviceable": "serviceable",
             "near-worn": "near the wear limit", "outside": "outside",
             "not-measured": "not measured"}
    wanted = [words[entry["verdict"]] for kind in ("limits", "fits", "sizes")
              for entry in build[kind] if entry.get("verdict")]
    shown = [row["Verdict"] for row in table_of(book, "Limits") if row["Verdict"]]
    for word in set(words.values()):
        if shown.count(word) != wanted.count(word):
            yield f"{shown.count(word)} verdicts are {word}, build.json has {wanted.count(word)}"


def check_orders(folder, build, desktop):
    """What suppliers are asked is the lines of build.json, each of one supplier, and nothing else; the CSV
    and the workbook say the same."""
    asked = {}
    for path in sorted(glob.glob(os.path.join(folder, "orders", "*.csv"))):
        supplier = os.path.basename(path)[:-4]
        data = open(path, "rb").read()
        if data.count(b"\n") != data.count(b"\r\n") or not data.endswith(b"\r\n"):
            yield f"{supplier}: lines do not end as RFC 4180 asks"
        lines = list(csv.DictReader(data.decode().splitlines(keepends=True)))
        book = path[:-4] + ".xlsx"
        table = [row for row in table_of(book, "Enquiry")]
        if [row["Our reference"] for row in table] != [line["line"] for line in lines] or \
                [str(row["Pieces to order"]) for row in table] != [line["pieces"] for line in lines]:
            yield f"{supplier}: workbook and CSV differ"
        for line in lines:
            if line["supplier"] != supplier or line["price"] or line["lead"] or line["alternative"]:
                yield f"{supplier}: {line['line']} is not left to be filled in"
            asked[line["line"]] = int(line["pieces"])
        for kind, faults in (("xml", check_xml(book)), ("values", check_values(desktop, book)),
                             ("print", check_print(desktop, book, folder))):
            yield from (f"{supplier}/{kind}: {fault}" for fault in faults)
    wanted = {buy["line"]: buy["pieces"] for buy in build["purchases"] if buy.get("supplier")}
    if asked != wanted:
        yield f"asked is {set(asked) ^ set(wanted)} beside what is to be bought"


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


def check_pack(desktop, spec, folder):
    name = os.path.basename(spec)[:-5]
    into = os.path.join(folder, name)
    done = run(GUDGEON, "pack", "-o", into, spec)
    if done.returncode:
        print(f"not ok sheets/{name}: pack ended with {done.returncode}: {done.stderr[:300]}")
        return
    book = os.path.join(into, "parts.xlsx")
    build = json.load(open(os.path.join(into, "build.json"), encoding="utf-8"))["build"]
    checks = {"xml": check_xml(book), "values": check_values(desktop, book),
              "wrong-values": check_that_wrong_values_are_found(desktop, book, folder),
              "typing": check_typing(desktop, book), "manners": check_manners(book),
              "print": check_print(desktop, book, folder), "purchases": check_purchases(book, build),
              "verdicts": check_verdicts(book, build), "orders": check_orders(into, build, desktop),
              "readings": check_readings(os.path.join(into, "readings.csv"),
                                         os.path.join(into, "manifest.json"))}
    for kind, faults in checks.items():
        found = list(faults)
        print(f"not ok sheets/{name}/{kind}: {'; '.join(found[:5])} ({len(found)} in all)" if found
              else f"ok sheets/{name}/{kind}")


with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as scratch, office(scratch) as there:
    for demo in ("specs/hob.yaml", "specs/pintail.yaml"):
        check_pack(there, demo, scratch)
