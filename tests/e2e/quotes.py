#!/usr/bin/env python3
"""What is asked of suppliers and what they offer: python3 tests/e2e/quotes.py

The lines to buy of random engines are the sums over their uses, reckoned here from the spec alone; the CSV that
a supplier is sent comes back filled in - by comma or semicolon, with a decimal comma, after a spreadsheet - and
its prices and deliveries are counted to the penny and the day; names that look like formulas stay names."""
import csv
import io
import json
import os
import pathlib
import random
import re
import subprocess
import sys
import tempfile

try:
    import openpyxl
except ImportError:  # another Python stands before the system's
    if sys.executable == "/usr/bin/python3":
        raise
    os.execv("/usr/bin/python3", ["/usr/bin/python3"] + sys.argv)

ROOT = pathlib.Path(__file__).resolve().parents[2]
GUDGEON = str((ROOT / os.environ.get("GUDGEON", "out/build/gudgeon")).resolve())


def gudgeon(*words, folder):
    return subprocess.run([GUDGEON, *words], cwd=folder, capture_output=True, text=True)


def pack(folder, name="spec"):
    done = gudgeon("pack", "-o", f"out-{name}", f"{name}.yaml", folder=folder)
    if done.returncode:
        raise RuntimeError(f"{name}: pack ended with {done.returncode}: {done.stderr[:400]}")
    return json.loads((folder / f"out-{name}/build.json").read_text(encoding="utf-8"))["build"]


# ---------- quantities ----------

def random_engine(chance):
    """Fasteners under one or two entries of one number, locks that a trial or a second tightening spends, spares
    and packs; and what has to be bought of each, by its number."""
    parts, joints, trials, wanted = [], [], [], {}
    parts.append("  case: {name: Case, state: reuse, material: cast-iron}")
    for number in range(chance.randint(1, 4)):
        need, pack_of = 0, chance.choice([1, 1, 10, 25])
        for entry in range(chance.choice([1, 1, 2])):
            pin, lid = f"pin-{number}-{entry}", f"lid-{number}-{entry}"
            uses, spare = chance.randint(1, 9), chance.choice([0, 0, 1, 3])
            parts.append(f"  {lid}: {{name: Lid {number} {entry}, in: case, state: reuse}}")
            parts.append(f"  {pin}: {{name: Pin {number}, number: P-{number}, state: renew, always-renew: true, "
                         f"supplier: stores, price: 0.10 GBP, spare: {spare}, pack-of: {pack_of}}}")
            again = chance.choice([False, True])
            joints.append(f"  nuts-{number}-{entry}: {{holds: [{lid}], to: case, count: {uses}, "
                          f"thread: 1/4 BSF, torque: 5 lbf ft, condition: oiled, "
                          f"lock: {{kind: split-pin, part: {pin}}}"
                          + (", again: [{run: warm-up}]" if again else "") + "}")
            locks = chance.choice([False, True])
            if locks:
                trials.append(f"  try-{number}-{entry}: {{of: [{lid}], joints: [nuts-{number}-{entry}], "
                              "locks: true, finds: []}")
            need += uses * (1 + again + locks) + spare
        wanted[f"P-{number}"] = need, -(-need // pack_of) * pack_of
    text = ["gudgeon: 1", "engine: {name: Random, serial: 1, currency: GBP, cylinders: 1}",
            "shop: {conditions: {oiled: {lubricant: engine-oil, plating: none, fastener: reused}}}",
            "suppliers: {stores: {name: The stores, currency: GBP}}",
            "parts:", *parts, "joints:", *joints]
    if trials:
        text += ["trials:", *[trial.replace(", finds: []", "") for trial in trials]]
    text += ["running-in:", "  warm-up: {do: run it warm, for: 10 min}", ""]
    return "\n".join(text), wanted


def check_quantities(folder):
    chance = random.Random(1938)
    for number in range(60):
        text, wanted = random_engine(chance)
        (folder / "spec.yaml").write_text(text)
        done = gudgeon("check", "--dump", "build", "spec.yaml", folder=folder)
        if not done.stdout:
            yield f"engine {number} is refused: {done.stderr[:300]}"
            continue
        got = {}
        for buy in json.loads(done.stdout)["purchases"]:
            if buy.get("number"):
                if buy["number"] in got:
                    yield f"engine {number}: {buy['number']} stands on two lines"
                got[buy["number"]] = buy["needed"], buy["pieces"]
        if got != wanted:
            yield f"engine {number}: {got}, by its uses {wanted}\n{text}"


# ---------- offers ----------

HOB = (ROOT / "specs/hob.yaml").read_text(encoding="utf-8")


def hob(folder, quotes, name="spec"):
    text = HOB.replace("use: [shop.yaml, suppliers.yaml]", "use: [shop.yaml, suppliers.yaml]\n"
                       + (f"quotes: [{', '.join(quotes)}]" if quotes else ""))
    (folder / f"{name}.yaml").write_text(text, encoding="utf-8")
    for other in ("shop.yaml", "suppliers.yaml"):
        (folder / other).write_bytes((ROOT / "specs" / other).read_bytes())


def answer(path, into, prices, days, separator=",", comma=False, bom=False):
    rows = list(csv.DictReader(io.StringIO(path.read_text(encoding="utf-8"), newline="")))
    for row in rows:
        if row["line"] in prices:
            price = f"{prices[row['line']] / 100:.2f}"
            row["price"] = price.replace(".", ",") if comma else price
            row["lead"] = str(days)
    with open(into, "w", encoding="utf-8-sig" if bom else "utf-8", newline="") as file:
        writer = csv.DictWriter(file, list(rows[0]), delimiter=separator)
        writer.writeheader()
        writer.writerows(rows)


def check_round_trip(folder):
    hob(folder, [])
    before = pack(folder)
    for number, (separator, comma, bom) in enumerate(((",", False, False), (";", True, False),
                                                      (",", False, True), (";", False, True))):
        chance = random.Random(number)
        prices, names = {}, []
        for path in sorted((folder / "out-spec/orders").glob("*.csv")):
            lines = [row["line"] for row in csv.DictReader(io.StringIO(path.read_text(), newline=""))]
            mine = {line: chance.randint(1, 99999) for line in lines if chance.random() < 0.7}
            prices.update(mine)
            names.append(f"{number}-{path.name}")
            answer(path, folder / names[-1], mine, 9, separator, comma, bom)
        hob(folder, names, f"asked{number}")
        build = pack(folder, f"asked{number}")
        offers = {offer["line"]: offer for offer in build.get("offers", [])}
        if set(offers) != set(prices):
            yield f"{number}: offers for {set(offers) ^ set(prices)} are lost or made up"
        old = {buy["line"]: buy for buy in before["purchases"]}
        for buy in build["purchases"]:
            line = buy["line"]
            wanted = prices[line] * buy["pieces"] if line in prices else old[line].get("cost-minor")
            if buy.get("cost-minor") != wanted:
                yield f"{number}: {line} costs {buy.get('cost-minor')}, not {wanted}"
        book = openpyxl.load_workbook(folder / f"out-asked{number}/parts.xlsx", data_only=True)
        if book["Offers"].max_row != len(prices) + 1:
            yield f"{number}: {book['Offers'].max_row - 1} offers on their sheet, {len(prices)} given"


def finish(folder, name):
    said = gudgeon("quotes", f"{name}.yaml", folder=folder).stdout
    days = re.findall(r"Finished on day, (?:with the usual deliveries|as offered): ([\d.]+?)\.\.([\d.]+)", said)
    return [tuple(map(float, pair)) for pair in days], said


def check_delivery(folder):
    """A delivery in a year holds the finish up by the year; one tomorrow holds up nothing."""
    (folder / "late.csv").write_text("supplier,line,price,currency,lead\npiston-maker,piston,30,GBP,365\n")
    (folder / "soon.csv").write_text("supplier,line,price,currency,lead\npiston-maker,piston,30,GBP,1 d\n")
    hob(folder, ["late.csv"], "late")
    hob(folder, ["soon.csv"], "soon")
    (usual, late), said = finish(folder, "late")
    (_, soon), _ = finish(folder, "soon")
    if not 365 < late[0] < 365 + usual[1] or not 365 < late[1] < 365 + usual[1]:
        yield f"a piston in 365 days makes day {late} of {usual}"
    if "The finish waits for: Piston" not in said:
        yield f"the finish does not wait for the piston: {said[:600]}"
    if soon[1] > usual[1] or soon[0] > usual[0]:
        yield f"a piston tomorrow makes {soon} of {usual}"


def check_later_offers(folder):
    (folder / "first.csv").write_text("supplier,line,price,currency\npiston-maker,piston,30,GBP\n")
    (folder / "second.csv").write_text("supplier,line,price,currency\npiston-maker,piston,28.50,GBP\n"
                                       "motor-factor,piston,11,GBP\n")
    hob(folder, ["first.csv", "second.csv"])
    build = pack(folder)
    verdicts = [(offer["supplier"], offer["price-minor"], offer["verdict"]) for offer in build["offers"]]
    if sorted(verdicts) != [("motor-factor", 1100, "fits"), ("piston-maker", 2850, "taken")]:
        yield f"two offers of one supplier and one of another: {verdicts}"
    piston = next(buy for buy in build["purchases"] if buy["line"] == "piston")
    if piston["cost-minor"] != 2850 * piston["pieces"]:
        yield f"the later offer is not counted: {piston}"


# ---------- names that look like formulas ----------

NAMES = ["=1+1", "+cmd|' /C calc'!A0", "-2+3", "@SUM(A1:A9)", "'=quoted", "''-twice", "plain", "_x0041_ plain",
         "tab\tinside", "-0.5 in washer",  # begins like a quantity, which is left as it is, and runs nothing
         "=HYPERLINK(\"http://x\")"]


def check_formulas(folder):
    hob(folder, [], "names")
    text = (folder / "names.yaml").read_text(encoding="utf-8")
    for number, name in enumerate(NAMES):
        text = text.replace("\nparts:\n", f"\nparts:\n  odd-{number}: {{name: {json.dumps(name)}, in: piston, "
                            f"state: renew, supplier: motor-factor, ask-for: {json.dumps(name)}}}\n", 1)
    (folder / "names.yaml").write_text(text, encoding="utf-8")
    pack(folder, "names")
    path = folder / "out-names/orders/motor-factor.csv"
    rows = {row["line"]: row for row in csv.DictReader(io.StringIO(path.read_text(encoding="utf-8"), newline=""))}
    book = openpyxl.load_workbook(folder / "out-names/orders/motor-factor.xlsx")["Enquiry"]
    cells = {row[0].value: row[1] for row in book.iter_rows(min_row=2)}
    for number, name in enumerate(NAMES):
        shown = rows[f"odd-{number}"]["name"]
        if shown[:1] in "=+-@\t" and shown[:1] and name != "-0.5 in washer":
            yield f"{name!r} would run in a spreadsheet as {shown!r}"
        cell = cells[f"odd-{number}"]
        if cell.data_type != "s" or cell.value.replace("_x005F_x", "_x") != name.replace("\t", "\t"):
            yield f"{name!r} is {cell.data_type} {cell.value!r} in the workbook"
    # Back again: what is read is what was written, the mark taken off.
    for row in rows.values():
        if row["line"].startswith("odd-"):
            row["alternative"], row["price"] = row["name"], "1"
    with open(folder / "odd.csv", "w", newline="", encoding="utf-8") as file:
        writer = csv.DictWriter(file, list(next(iter(rows.values()))))
        writer.writeheader()
        writer.writerows(row for row in rows.values() if row["line"].startswith("odd-"))
    (folder / "back.yaml").write_text(text.replace("\nparts:\n", "\nquotes: [odd.csv]\nparts:\n", 1),
                                      encoding="utf-8")
    asks = [question["asks"] for question in pack(folder, "back")["questions"]]
    for name in NAMES:
        if f"motor-factor offers something else: {name}. Is it as good?" not in asks:
            yield f"{name!r} did not come back as it went"


checks = {"quantities": check_quantities, "round-trip": check_round_trip, "delivery": check_delivery,
          "later-offers": check_later_offers, "formulas": check_formulas}
for kind, check in checks.items():
    with tempfile.TemporaryDirectory() as scratch:
        try:
            faults = list(check(pathlib.Path(scratch)))
        except RuntimeError as error:
            faults = [str(error)]
    print(f"not ok quotes/{kind}: {'; '.join(faults[:3])} ({len(faults)} in all)" if faults else f"ok quotes/{kind}")
