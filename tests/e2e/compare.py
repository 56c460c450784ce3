#!/usr/bin/env python3
"""`compare` on two revisions of a spec that differ by twelve scripted edits.

It lists exactly these, their consequences, and exactly the cards whose content changed: what changed on a
card is worked out here from `check --dump=pack`, not from fingerprints. The two states are commits of a
repository made here, and neither is checked out when they are compared. Ways of writing that mean the same
are no difference; a changed row of a table shows up in every value that rests on it."""
import json
import os
import pathlib
import shutil
import subprocess
import tempfile

import openpyxl

ROOT = pathlib.Path(__file__).resolve().parents[2]
BUILT = (ROOT / os.environ.get("CHECKED", "out/test/gudgeon")).resolve()
GIT = ["git", "-c", "user.name=A", "-c", "user.email=a@example.org", "-c", "commit.gpgsign=false"]

# file, what stands there, what is put in its place; and how compare names it: section, id, key, change.
EDITS = [
    ("bottom-end.yaml", "torque: {is: 21 lbf ft, from: handbook p. 13}",
     "torque: {is: 22 lbf ft, from: handbook p. 13}", ("joints", "centre-bolts", "torque", "changed")),
    ("bottom-end.yaml", "    weight: 31 lb\n", "    weight: 31 lb 8 oz\n", ("parts", "crankcase", "weight", "changed")),
    ("bottom-end.yaml", "    price: 9.80 GBP\n", "    price: 10.20 GBP\n", ("parts", "front-main", "price", "changed")),
    ("timing.yaml", "{is: 0.9991 in, using: small-micrometer}", "{is: 0.9985 in, using: small-micrometer}",
     ("parts", "camshaft", "sizes.journal/rear.measured", "changed")),
    ("bottom-end.yaml", "  gallery-plug:\n", "  number-plate:\n    name: Number plate\n    in: crankcase\n"
     "    state: reuse\n    weight: 20 g\n    material: brass\n  gallery-plug:\n", ("parts", "number-plate", None, "new")),
    ("ancillaries.yaml", "  impeller-gap:\n    name: Impeller to cover\n    of: [impeller, impeller-cover]\n"
     "    want: 0.015..0.025 in\n    using: feelers\n    when: assembled\n", "", ("limits", "impeller-gap", None, "gone")),
    ("ancillaries.yaml", "{is: 0.012..0.015 in, from: handbook p. 24}", "{is: 0.010..0.013 in, from: bulletin p. 5}",
     ("settings", "throttle-stop", "want", "changed")),
    ("ancillaries.yaml", "    after: [coupling-disc]\n", "    after: [coupling-disc, carburettor]\n",
     ("parts", "magneto", "after", "changed")),
    ("fasteners.csv", "sump-nut,Sump nut,14,renew,steel,5 g,fastener-house,0.28 GBP,20,",
     "sump-nut,Sump nut,14,renew,steel,5 g,fastener-house,0.28 GBP,25,", ("parts", "sump-nut", "pack-of", "changed")),
    ("../shop.yaml", "range: 8..40 N m, division: 0.5 N m", "range: 8..40 N m, division: 2 N m",
     ("shop", "shop", "wrenches.small.division", "changed")),
    ("../pintail.yaml", "expansion: {is: 12.4 uin/in/degF", "expansion: {is: 12.9 uin/in/degF",
     ("materials", "materials", "case-alloy.expansion", "changed")),
    ("../pintail.yaml", "  weight: 324 lb\n", "  weight: 326 lb\n", ("engine", "engine", "weight", "changed")),
]


def report(name, fault):
    print(f"not ok {name}: {fault}" if fault else f"ok {name}")


def run(*words, cwd=None, ends=(0,)):
    done = subprocess.run([str(word) for word in words], cwd=cwd, capture_output=True, text=True, check=False)
    if done.returncode not in ends:
        raise SystemExit(f"not ok {' '.join(map(str, words))}: ended with {done.returncode}: {done.stderr[:600]}")
    return done.stdout


def compared(one, other, cwd):
    return json.loads(run(BUILT, "compare", "--json", one, other, cwd=cwd))


def edit(folder, file, before, after):
    path = folder / "pintail" / file
    text = path.read_text()
    if text.count(before) != 1:
        raise SystemExit(f"not ok edits: {file} has {text.count(before)} times {before!r}")
    path.write_text(text.replace(before, after))


def cards_of(folder):
    """What stands on each card: all but the running numbers, its place in the whole and its fingerprint."""
    def bare(node):
        if isinstance(node, dict):
            return {key: bare(value) for key, value in node.items() if key not in ("number", "place", "fingerprint")}
        return [bare(item) for item in node] if isinstance(node, list) else node

    pack = json.loads(run(BUILT, "check", "--dump=pack", folder / "pintail.yaml"))
    return {section["id"]: bare(section) for section in pack["sections"] if ":" in section["id"]}


def facts_of(folder):
    return {fact["id"]: fact for fact in json.loads(run(BUILT, "check", "--dump=build", folder / "pintail.yaml"))["facts"]}


with tempfile.TemporaryDirectory() as scratch:
    top = pathlib.Path(scratch)
    specs = top / "repo" / "specs"
    shutil.copytree(ROOT / "specs", specs, ignore=shutil.ignore_patterns("*.md", "*.sh", "pictures"))
    repo = specs.parent
    run(*GIT, "init", "-q", "-b", "main", cwd=repo)
    run(*GIT, "add", ".", cwd=repo)
    run(*GIT, "commit", "-q", "-m", "as it was", cwd=repo)
    before = top / "before"
    shutil.copytree(specs, before)
    for file, was, put, _ in EDITS:
        edit(specs, file, was, put)
    after = top / "after"
    shutil.copytree(specs, after)
    run(*GIT, "commit", "-q", "-a", "-m", "as it is", cwd=repo)
    shutil.rmtree(specs)  # what is compared is in the repository alone

    found = compared("HEAD~1:specs/pintail.yaml", "HEAD:specs/pintail.yaml", repo)

    # What was written.
    told = sorted((one["section"], one["id"], one["key"], one["change"]) for one in found["written"])
    wanted = sorted((name for *_, name in EDITS), key=str)
    report("twelve edits are listed, and nothing else",
           None if sorted(told, key=str) == wanted else
           f"missing {[e for e in wanted if e not in told]}, beyond {[e for e in told if e not in wanted]}")

    # Cards.
    was, now = cards_of(before), cards_of(after)
    report("cards are in the packs", None if len(was) > 40 and len(now) > 40 else f"{len(was)} and {len(now)}")
    for change, ids in (("changed", {i for i in was.keys() & now.keys() if was[i] != now[i]}),
                        ("new", now.keys() - was.keys()), ("gone", was.keys() - now.keys()),
                        ("same", {i for i in was.keys() & now.keys() if was[i] == now[i]})):
        named = {card["card"] for card in found["cards"] if card["change"] == change}
        report(f"cards {change}: {len(ids)}", None if named == set(ids) else
               f"named and not so: {sorted(named - set(ids))}; not named: {sorted(set(ids) - named)}")
    report("each changed card says what changed on it",
           next((card["card"] for card in found["cards"] if card["change"] == "changed" and not card["what"]), None))

    # Values, by the builds of both; of what only one of them has, the entry is told.
    old, new = facts_of(before), facts_of(after)
    lone = ("number-plate", "impeller-gap")
    differ = {i for i in old.keys() | new.keys() if not i.startswith(lone) and
              [(old if side else new).get(i, {}).get("printed", (old if side else new).get(i, {}).get("words"))
               for side in (0, 1)].count(old.get(i, {}).get("printed", old.get(i, {}).get("words"))) < 2}
    named = {value["value"]: value for value in found["values"]}
    facts = {i for i in named if not i.endswith(".verdict")}
    report(f"exactly the values that differ are named: {len(differ)}",
           None if differ - {"engine.parts-weight"} == facts and len(facts) >= 15 else
           f"not named: {sorted(differ - facts)}; named and not so: {sorted(facts - differ)}")
    report("every named value has its reason", next((i for i, value in named.items() if not value["because"]), None))
    for value, reason in (("centre-bolts.setting", "21 lbf ft → 22 lbf ft"), ("pipe-union.setting", "0.5 N m → 2 N m"),
                          ("front-main-outside.hot", "12.4 uin/in/degF → 12.9 uin/in/degF"),
                          ("cam-in-bush/rear.clearance", "0.9991 in"), ("head-nuts.pull-1", "0.5 N m → 2 N m"),
                          ("throttle-stop.want", "Service bulletin 6 p. 5"), ("cam-in-bush/rear.verdict", "0.9985 in")):
        because = named.get(value, {}).get("because", [])
        report(f"why {value} changed", None if len(because) == 1 and reason in because[0] else f"{because}")

    # Order, purchases, weights.
    moved = {(step["operation"], step["change"]) for step in found["order"]}
    wanted = {(f"{verb}:{what}", "moved") for verb, what in
              (("slacken", "carburettor-nuts"), ("remove", "carburettor"), ("seal", "carburettor-face"),
               ("fit", "carburettor"), ("tighten", "carburettor-nuts"))}
    wanted |= {("fit:number-plate", "new"), ("remove:number-plate", "new"), ("impeller-gap@assembled", "gone")}
    report("what moved in the order", None if moved == wanted else f"{moved ^ wanted}")
    report("what moved says why", next((step["operation"] for step in found["order"]
                                        if step["change"] == "moved" and "magneto says after carburettor" != step["because"]), None))
    bought = {line["line"]: (line["was"]["cost-minor"], line["is"]["cost-minor"]) for line in found["purchases"]}
    report("what is bought otherwise",  # 14 nuts: one bag of 20 at 0.28, or one of 25
           None if bought == {"front-main": (980, 1020), "sump-nut": (560, 700)} else f"{bought}")
    weights = found["weights"]
    pound = 0.45359237  # NIST SP 811, B.8
    for key, pounds in (("was-published", 324), ("is-published", 326)):
        report(f"weights: {key}", None if abs(weights[key] - pounds * pound) < 1e-9 else weights[key])
    report("weights: the sum grows by half a pound and the plate",
           None if abs(weights["is-sum"] - weights["was-sum"] - 0.5 * pound - 0.020) < 1e-9 else
           f"{weights['was-sum']} to {weights['is-sum']}")
    report("weights: the sum is that of the parts",
           None if abs(sum(part["is"] for part in weights["parts"] if isinstance(part["is"], float)) - weights["is-sum"]) < 1e-9
           else weights["is-sum"])

    # The same by path, and back; a state against itself.
    paths = compared(before / "pintail.yaml", after / "pintail.yaml", top)
    report("files and revisions compare alike",
           None if all(paths[key] == found[key] for key in ("cards", "order", "purchases", "weights", "written")) else "they differ")
    back = compared(after / "pintail.yaml", before / "pintail.yaml", top)
    swap = {"new": "gone", "gone": "new"}
    there = {(card["card"], swap.get(card["change"], card["change"])) for card in found["cards"]}
    report("the other way round it is the reverse",
           None if there == {(card["card"], card["change"]) for card in back["cards"]} else "cards differ")
    report("a file is the same as itself",
           None if compared(after / "pintail.yaml", after / "pintail.yaml", top)["same"] else "it differs")

    # Ways of writing.
    same = top / "same"
    shutil.copytree(before, same)
    edit(same, "timing.yaml", "  cam-key:\n    name: Camshaft-gear key\n    number: SM-1403\n    in: camshaft\n"
         "    material: steel\n    state: reuse\n    weight: 3 g\n",
         "  cam-key:\n    weight: 0.003 kg\n    state: reuse\n    material: steel\n    in: camshaft\n"
         "    number: SM-1403\n    name: Camshaft-gear key\n")
    edit(same, "timing.yaml", "{want: 0.7500..0.7505 in,", "{want: 19.0500..19.0627 mm,")
    edit(same, "bottom-end.yaml", "    weight: 31 lb\n", "    weight: 496 oz\n")
    edit(same, "ancillaries.yaml", "{is: 0.012..0.015 in, from", "{is: 0.3048..0.3810 mm, from")
    edit(same, "../pintail.yaml", "  stroke: 4 in\n", "  stroke: 101.6 mm\n")
    edit(same, "../pintail.yaml", "budget: 1700 GBP\n", "")
    edit(same, "../pintail.yaml", "use:\n", "base: pintail-base.yaml\nuse:\n")
    (same / "pintail-base.yaml").write_text("gudgeon: 1\nbudget: 1700 GBP\n")
    meant = compared(before / "pintail.yaml", same / "pintail.yaml", top)
    report("another order, another unit and another file are no difference",
           None if meant["same"] else f"{meant['written']} {meant['values'][:2]}")
    report("cards written in other units are still valid",
           None if {card["change"] for card in meant["cards"]} == {"same", "other-units"} else
           f"{[(card['card'], card['what']) for card in meant['cards'] if card['change'] not in ('same', 'other-units')]}")
    ends = subprocess.run([BUILT, "compare", "--exit-code", before / "pintail.yaml", after / "pintail.yaml"],
                          capture_output=True, check=False).returncode
    report("--exit-code ends with 4 where they differ", None if ends == 4 else ends)
    run(BUILT, "compare", "--exit-code", before / "pintail.yaml", same / "pintail.yaml")
    report("--exit-code ends with 0 where they do not", None)

# Every kind of field is told: each spec of the house against itself, and against another.
specs = sorted([*ROOT.glob("specs/*.yaml"), *ROOT.glob("tests/e2e/keys/*.yaml")])
whole = [spec for spec in specs if "\nengine:" in spec.read_text()]
for spec in whole:
    report(f"{spec.name} is the same as itself", None if compared(spec, spec, ROOT)["same"] else "it differs")
    found = compared(ROOT / "specs/hob.yaml", spec, ROOT)
    report(f"hob.yaml and {spec.name} compare", None if found["same"] == (spec.name == "hob.yaml") else "alike")
report("specs were compared", None if len(whole) >= 8 else len(whole))

# A row of the user's own table, changed: every value that rests on it, and nothing else, is another.
with tempfile.TemporaryDirectory() as scratch:
    folder = pathlib.Path(scratch) / "keys"
    shutil.copytree(ROOT / "tests/e2e/keys", folder)
    shutil.copytree(folder, folder.parent / "other")
    table = folder.parent / "other/part-torques.csv"
    table.write_text(table.read_text().replace("M6,8.8,8,9", "M6,8.8,8,10"))
    found = compared(folder / "coot.yaml", folder.parent / "other/coot.yaml", folder)
    report("one row of a table is written otherwise",
           None if [(one["section"], one["key"], one["change"]) for one in found["written"]] == [("part-torques.csv", "M6", "changed")]
           else f"{found['written']}")
    because = {value["value"]: value["because"] for value in found["values"]}
    old, new = ({fact["id"]: fact["printed"] for fact in json.loads(run(BUILT, "check", "--dump=build", spec))["facts"]
                 if "printed" in fact} for spec in (folder / "coot.yaml", folder.parent / "other/coot.yaml"))
    differ = {value for value in old if old[value] != new[value]}
    report(f"every value that rests on it is named, and no other: {len(differ)}",
           None if differ == because.keys() and {"cover-screws.torque", "cover-screws.setting", "cover-screws.preload"} <= differ
           else f"{differ ^ because.keys()}")
    report("each says that it rests on it", next((f"{value}: {why}" for value, why in because.items() if len(why) != 1 or not (
        "part-torques.csv, M6" in why[0] and "low 8 N m, high 9 N m → thread M6, grade 8.8, low 8 N m, high 10 N m" in why[0]
        or "Cover screws, torque: 8.0..9.0 N m" in why[0])), None))

# On paper and in sheets, as tools that share no code with ours read them.
with tempfile.TemporaryDirectory() as scratch:
    top = pathlib.Path(scratch)
    for name, sides in (("variants", ("specs/pintail-early.yaml", "specs/pintail-late.yaml")), ("engines", ("specs/hob.yaml", "specs/ingle.yaml"))):
        for again in ("a", "b"):
            run(BUILT, "compare", *sides, "-o", top / name / again, cwd=ROOT)
        one, other = top / name / "a", top / name / "b"
        files = sorted(path.name for path in one.iterdir())
        report(f"{name}: files", None if files == ["comparison.json", "comparison.pdf", "comparison.xlsx", "manifest.json"] else files)
        report(f"{name}: twice the same bytes", next((file for file in files if (one / file).read_bytes() != (other / file).read_bytes()), None))
        found = json.loads((one / "comparison.json").read_text())
        report(f"{name}: the file is what --json prints", None if found == compared(*sides, ROOT) else "it differs")
        run("qpdf", "--check", one / "comparison.pdf")
        pages = " ".join(run("pdftotext", "-layout", one / "comparison.pdf", "-").split())
        book = openpyxl.load_workbook(one / "comparison.xlsx")
        cells = {str(cell.value) for sheet in book for row in sheet.iter_rows() for cell in row}
        sums = {row[0].value: row for row in book["Weights"].iter_rows()}
        report(f"{name}: the sum of weights in the sheet is that of the parts",
               None if abs(sums["Total"][1].value * 0.45359237 - found["weights"]["was-sum"]) < 1e-6 else sums["Total"][1].value)
        report(f"{name}: and of the rows", None if abs(sum(row[1].value for name_, row in sums.items() if name_ not in (
            "Total", "Published weight", "Published less sum, unexplained", "Parts not weighed") and isinstance(row[1].value, (int, float)))
            - sums["Total"][1].value) < 1e-6 else "they differ")
        numbers = {"variants": ("SM-1200", "SM-1221", "Oil filter"), "engines": ("H-101", "H-201", "Hopper drain cock", "3 1/4 in")}[name]
        report(f"{name}: on the page", next((number for number in numbers if number not in pages), None))
        report(f"{name}: in the sheets", next((number for number in numbers[:2] if not any(number in cell for cell in cells)), None))

