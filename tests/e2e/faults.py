#!/usr/bin/env python3
"""The faults that fitters and typists make, one at a time in the Pintail demo: each is told once, with its code, at the
exact place to edit. A row: what was done; file, section and entry; the text that was there and what stands there now;
the place that must be marked (a text of that entry, or the entry's id); the code."""
import concurrent.futures
import os
import pathlib
import re
import shutil
import subprocess
import tempfile

ROOT = pathlib.Path(__file__).resolve().parents[2]
PROGRAM = str((ROOT / os.environ.get("GUDGEON", "out/build/gudgeon")).resolve())
ID = None  # the entry's id is marked

BOTTOM, TIMING, RODS, TOP, REST = (f"pintail/{name}.yaml" for name in
                                   ("bottom-end", "timing", "rods-and-sump", "top-end", "ancillaries"))
MAIN = "pintail.yaml"

ERRORS = [
    # joints
    ("no torque on a critical joint", BOTTOM, "joints", "centre-bolts", "    torque: {is: 21 lbf ft, from: handbook p. 13}\n", "", ID, "G0603"),
    ("no lock on a critical joint", BOTTOM, "joints", "centre-bolts", "    lock: {kind: split-pin, part: centre-pin}\n", "", ID, "G0605"),
    ("no condition on a critical joint", BOTTOM, "joints", "centre-bolts", "    condition: oiled-new\n", "", ID, "G0601"),
    ("a thread that does not exist", BOTTOM, "joints", "centre-bolts", "thread: 3/8 BSF", "thread: 3/8 BSX", "3/8 BSX", "G0431"),
    ("size and pitch that contradict each other", BOTTOM, "joints", "rear-housing-nuts", "M8x1.25", "M8x1.3", "M8x1.3", "G0433"),
    ("a grade that does not exist", BOTTOM, "joints", "rear-housing-nuts", "grade: '8.8'", "grade: '8.7'", "'8.7'", "G0434"),
    ("a torque without its unit", BOTTOM, "joints", "centre-bolts", "is: 21 lbf ft", "is: 21", "21,", "G0302"),
    ("a torque in pounds", BOTTOM, "joints", "centre-bolts", "is: 21 lbf ft", "is: 21 lb", "lb,", "G0307"),
    ("a torque where a length is meant", BOTTOM, "joints", "retainer-screws", "engagement: 3/8 in", "engagement: 3/8 lbf ft", "lbf ft\n    torque", "G0304"),
    ("a count of nothing", BOTTOM, "joints", "centre-bolts", "count: 2", "count: 0", "0", "G0430"),
    ("joint to a part that is not there", BOTTOM, "joints", "retainer-screws", "to: front-retainer", "to: front-retaner", "front-retaner", "G0407"),
    ("what it holds is misspelt", BOTTOM, "joints", "centre-bolts", "holds: [centre-cap, centre-ring]", "holds: [centre-cup, centre-ring]", "centre-cup", "G0407"),
    ("the adapter is not in the shop", TIMING, "joints", "crank-nut-thread", "adapter: crow-foot", "adapter: crowfoot", "crowfoot", "G0440"),
    ("an unknown kind of lock", BOTTOM, "joints", "centre-bolts", "kind: split-pin", "kind: splitpin", "splitpin", "G0428"),
    ("pulls that end short", BOTTOM, "joints", "centre-bolts", "pulls: [50%, 100%]", "pulls: [50%, 90%]", "90%", "G0448"),
    ("a key that no joint has", BOTTOM, "joints", "centre-bolts", "turned: nut", "turn: nut", "turn: nut", "G0401"),
    ("two claims of equal rank", BOTTOM, "joints", "centre-bolts", "torque: {is: 21 lbf ft, from: handbook p. 13}", "torque: [{is: 21 lbf ft, from: handbook p. 13}, {is: 24 lbf ft, from: handbook p. 40}]", "{is: 24 lbf ft", "G0424"),
    ("a source that is not listed", BOTTOM, "joints", "centre-bolts", "from: handbook p. 13", "from: handbok p. 13", "handbok", "G0423"),
    ("a torque beyond what the bolt bears", BOTTOM, "joints", "centre-bolts", "is: 21 lbf ft", "is: 120 lbf ft", "120 lbf ft", "G0505"),
    ("tightened beyond what is in reach", BOTTOM, "joints", "retainer-screws", "reach: timing-opening", "reach: timing-openin", "timing-openin\n", "G0407"),
    # parts
    ("a host that does not exist", BOTTOM, "parts", "centre-ring", "in: crankshaft", "in: crankshft", "crankshft", "G0407"),
    ("no host", BOTTOM, "parts", "front-retainer", "    in: crankshaft\n", "", ID, "G0608"),
    ("a part in itself, by way of another", BOTTOM, "parts", "centre-ring", "in: crankshaft", "in: centre-cap", (BOTTOM, "parts", "centre-cap", "centre-ring"), "G0451"),
    ("a carrier that does not say what it carries", BOTTOM, "parts", "rear-housing", "    with: [rear-race/outer, rear-seal]\n", "", ID, "G0609"),
    ("nothing closes the opening", BOTTOM, "parts", "rear-housing", "    closes: [rear-opening]\n", "", (BOTTOM, "openings", "rear-opening", ID), "G0610"),
    ("an opening that is misspelt", BOTTOM, "parts", "rear-housing", "closes: [rear-opening]", "closes: [rear-openin]", "rear-openin", "G0407"),
    ("through an opening that is not there", BOTTOM, "parts", "crankshaft", "through: rear-opening", "through: reer-opening", "reer-opening", "G0407"),
    ("an unknown state", BOTTOM, "parts", "crank-plug", "state: renew", "state: new", "new", "G0428"),
    ("an unknown material", BOTTOM, "parts", "crank-plug", "material: steel", "material: stel", "stel", "G0435"),
    ("an unknown supplier", BOTTOM, "parts", "crank-plug", "supplier: pattern-maker", "supplier: pattern-makr", "pattern-makr", "G0440"),
    ("an unknown gauge", BOTTOM, "parts", "front-retainer", "using: small-micrometer", "using: smal-micrometer", "smal-micrometer", "G0440"),
    ("an unknown bearing", BOTTOM, "parts", "front-main", "designation: 6206", "designation: 62006", "62006", "G0438"),
    ("a decimal comma", BOTTOM, "parts", "crankcase", "want: 0.7095..0.7110 in", "want: '0,7095..0,7110 in'", "0,7095..0,7110 in", "G0310"),
    ("a hyphen between limits", BOTTOM, "parts", "front-retainer", "0.0495..0.0505 in", "0.0495-0.0505 in", "0.0495-0.0505 in", "G0317"),
    ("limits the wrong way round", BOTTOM, "parts", "front-retainer", "0.0495..0.0505 in", "0.0505..0.0495 in", "0.0505..0.0495 in", "G0318"),
    ("a money without its currency", BOTTOM, "parts", "crank-plug", "price: 3.50 GBP", "price: 3.50", "3.50", "G0302"),
    ("a lost blank in a fraction", REST, "parts", "pump-spindle", "weight: 9 oz", "weight: 117/32 oz", "117/32 oz", "G0313"),
    ("a matched part that is not there", BOTTOM, "parts", "centre-ring", "matched: [centre-cap]", "matched: [centre-cop]", "centre-cop", "G0407"),
    ("after itself, by way of another", TIMING, "parts", "relief-ball", "after: [pump-body]", "after: [relief-plug]", (TIMING, "parts", "relief-plug", "relief-spring"), "G0701"),
    ("after what does not exist", TIMING, "parts", "relief-ball", "after: [pump-body]", "after: [pump-bdy]", "pump-bdy", "G0407"),
    ("an id twice", BOTTOM, "parts", "centre-cap", "  centre-cap:\n", "  centre-ring:\n", (BOTTOM, "parts", "centre-ring@2", ID), "G0208"),
    ("a place that is not among them", TOP, "parts", "tappet", "state: {1-ex: renew, others: reuse}", "state: {3-ex: renew, others: reuse}", "3-ex", "G0410"),
    ("a number sign", REST, "parts", "prop-flange", "name: Propeller-shaft coupling", "name: Coupling #2", "#2", "G0214"),
    ("an empty value", REST, "parts", "prop-flange", "material: steel", "material:", "material", "G0210"),
    # limits, fits, settings
    ("no moment", TIMING, "limits", "pump-float", "    when: bench\n", "", ID, "G0402"),
    ("a wear limit inside the new limits", TIMING, "limits", "cam-lift", "worn: at least 0.2600 in", "worn: at least 0.2720 in", "at least 0.2720 in", "G0621"),
    ("a size that the part does not have", TIMING, "limits", "pump-float", "minus: [pump-gear.width]", "minus: [pump-gear.with]", "with]", "G0421"),
    ("a setting that does not say its stroke", TIMING, "settings", "cam-timing", "crank-at: tdc 1 firing", "crank-at: tdc 1", "tdc 1", "G0442"),
    ("fewer teeth than wheels", TIMING, "settings", "cam-timing", "teeth: [24, 48, 36]", "teeth: [24, 48]", "[24, 48]", "G0447"),
    ("heated beyond what is allowed", BOTTOM, "fits", "front-main-outside", "gap: 0.001 in", "gap: 0.015 in", "120 degC", "G0533"),
    # passages, seals, trials
    ("a seal without a means", TIMING, "seals", "pump-face", "    sealant: none\n", "", ID, "G0613"),
    ("a face between what is not there", TIMING, "seals", "timing-face", "between: [crankcase, timing-cover]", "between: [crankcase, timing-cove]", "timing-cove]", "G0407"),
    ("a trial of what is not there", TIMING, "trials", "cam-dry", "of: [camshaft, cam-plate, cam-gear]", "of: [camshft, cam-plate, cam-gear]", "camshft", "G0407"),
    # files
    ("a file that is not there", MAIN, "use", None, "pintail/timing.yaml", "pintail/timming.yaml", "pintail/timming.yaml", "G0101"),
    ("a file that uses itself", TIMING, None, None, "gudgeon: 1\n", "gudgeon: 1\nuse: [../pintail.yaml]\n", "../pintail.yaml", "G0234"),
    ("a firing order that forgets one", MAIN, "engine", None, "firing-order: [1, 2]", "firing-order: [1]", "1]", "G0444"),
    # order, alternatives, YAML
    ("a torque in foot pounds for inch pounds", BOTTOM, "joints", "retainer-screws", "is: 55 lbf in", "is: 55 lbf ft", "55 lbf ft", "G0505"),
    ("the passage left open", BOTTOM, "parts", "suction-plug", "    closes: [oil-suction]\n", "", "cleaning", "G0629"),
    ("the wrong condition for the source", BOTTOM, "joints", "centre-bolts", "condition: oiled-new", "condition: oilednew", "oilednew", "G0440"),
    ("a step that loops with another", BOTTOM, "steps", "turn-crankshaft", "before: [camshaft]", "before: [crankshaft]", "crankshaft]\n", "G0701"),
    ("a carrier of rings that does not say so", TOP, "parts", "piston", "    with: [ring, oil-ring, rear-clip]\n", "", ID, "G0609"),
    ("closed before it is used", BOTTOM, "parts", "crankshaft", "through: rear-opening", "through: rear-opening\n    after: [rear-housing]", "rear-housing", "G0701"),
    ("a joint that holds nothing", BOTTOM, "joints", "centre-bolts", "    holds: [centre-cap, centre-ring]\n", "", ID, "G0402"),
    ("hardware that is not there", BOTTOM, "joints", "centre-bolts", "uses: {centre-bolt: 2, centre-nut: 2}", "uses: {centre-bolt: 2, centre-nuts: 2}", "centre-nuts", "G0407"),
    ("a form for no engine", TIMING, "parts", "relief-spring", "serial: 9100..", "serial: 9400..", ID, "G0416"),
    ("two forms for one engine", TIMING, "parts", "relief-spring", "serial: ..9099", "serial: ..9999", "{serial: 9100..}", "G0417"),
    ("a serial number without its points", TIMING, "parts", "relief-spring", "serial: 9100..", "serial: 9100-", "9100-", "G0419"),
    ("nothing reads the picked shim", BOTTOM, "limits", "crank-float", "when: [strip, bench, assembled]", "when: [strip, assembled]", "[float-shim]", "G0449"),
    ("a clearance that cannot be", BOTTOM, "fits", "centre-main", "is: 0.0018..0.0030 in", "is: 0.018..0.030 in", "0.018..0.030 in", "G0524"),
    ("a keep-off of a passage that is not there", TIMING, "seals", "timing-face", "keep-off: {main-feed: 3 mm", "keep-off: {main-fed: 3 mm", "main-fed", "G0407"),
    ("a bracket left open", BOTTOM, "joints", "gallery-plugs", "holds: [gallery-plug]", "holds: [gallery-plug", "[gallery-plug", "G0222"),
    ("a tab for blanks", BOTTOM, "joints", "gallery-plugs", "    thread: G 1/4", "\tthread: G 1/4", "\t", "G0221"),
    ("a colon in a text", BOTTOM, "joints", "gallery-plugs", "name: Main-gallery plugs", "name: Main: gallery plugs", ": gallery plugs", "G0218"),
]

WARNINGS = [
    ("a passage that nothing proves", TIMING, "passages", "cam-feed", "    prove: oil under pressure\n", "", ID, "G0612"),
    ("millimetres for inches in a reading", TIMING, "parts", "pump-gear", "{is: 0.7483 in,", "{is: 0.7483 mm,", "0.7483 mm", "G0558"),
    ("millimetres for inches in a critical reading", BOTTOM, "parts", "crankshaft", "{is: 1.4798 in,", "{is: 1.4798 mm,", "1.4798 mm", "G0558"),
    ("inches for millimetres", BOTTOM, "parts", "front-main", "is: 15.960 mm", "is: 15.960 in", "15.960 in", "G0558"),
    ("no lock on a joint that is not critical", REST, "joints", "magneto-bolts", "    lock: {kind: thread-lock, part: thread-fluid}\n", "", ID, "G0606"),
    ("no torque on a joint that is not critical", REST, "joints", "impeller-cover-screws", "    torque: {is: 14 lbf in, from: bulletin p. 7}\n", "", ID, "G0604"),
    ("no condition on a joint that is not critical", REST, "joints", "impeller-cover-screws", "    condition: oiled\n", "", ID, "G0602"),
    ("cleaned and not counted back", BOTTOM, "parts", "suction-plug", "    count-back: true\n", "", "cleaning", "G0618"),
    ("a matched set split", BOTTOM, "parts", "centre-cap", "state: rework", "state: renew", (BOTTOM, "parts", "centre-ring", "[centre-cap]"), "G0614"),
    ("a tool that the shop does not have", BOTTOM, "parts", "front-main", "tools: [bearing-drift]", "tools: [bearing-drifts]", "bearing-drifts", "G0441"),
    ("a concession without a name", TIMING, "limits", "pump-float", "    when: bench\n", "    when: bench\n    concession: {because: it pumps}\n", "{because: it pumps}", "G0627"),
    ("an outwork that nobody measures", BOTTOM, "outwork", "re-metal-centre", "    want: {centre-ring.bore: 1.7318..1.7325 in}\n    using: bore-gauge\n", "", ID, "G0626"),
    ("a history that runs backwards", MAIN, "history", None, "date: 1951-06", "date: 1931-06", "1931-06", "G0624"),
    ("a budget overspent", MAIN, "budget", None, "1700 GBP", "170 GBP", "170 GBP", "G0554"),
]


def block_of(text, section, entry):
    """(start, end) of an entry, or of a whole section; `ID@2` is the second of that id."""
    if section is None:
        return 0, len(text)
    start = re.search(rf"^{section}:", text, re.M).start()
    end = re.compile(r"^\S", re.M).search(text, start + 1)
    end = end.start() if end else len(text)
    if entry is None:
        return start, end
    name, _, nth = entry.partition("@")
    found = list(re.compile(rf"^  {name}:", re.M).finditer(text, start, end))[int(nth or 1) - 1]
    after = re.compile(r"^  \S", re.M).search(text, found.end(), end)
    return found.start() + 2, after.start() if after else end


def place_of(text, section, entry, marked):
    start, end = block_of(text, section, entry)
    at = start if marked is ID else text.index(marked, start, end)
    line = text.count("\n", 0, at) + 1
    return f"{line}:{at - text.rfind(chr(10), 0, at)}"


def mutated(folder, row):
    """Writes the fault and returns the place where it must be told."""
    _, name, section, entry, old, new, marked, _ = row
    path = folder / name
    text = path.read_text()
    start, end = block_of(text, section, entry)
    start = text.rfind("\n", 0, start) + 1
    at = text.index(old, start, end)
    path.write_text(text[:at] + new + text[at + len(old):])
    where = marked if isinstance(marked, tuple) else (name, section, entry, marked)
    return f"specs/{where[0]}:{place_of((folder / where[0]).read_text(), *where[1:])}"


def told(row):
    with tempfile.TemporaryDirectory() as scratch:
        folder = pathlib.Path(scratch) / "specs"
        shutil.copytree(ROOT / "specs", folder)
        (pathlib.Path(scratch) / ".git").mkdir()
        place = mutated(folder, row)
        done = subprocess.run([PROGRAM, "check", "specs/pintail.yaml"], cwd=scratch, capture_output=True, check=False)
        return place, done.returncode, done.stderr.decode()


def fault_in(row, severity):
    place, status, text = told(row)
    diags = re.findall(r"^(\S+:\d+:\d+): (error|warning): .*\[(G\d+)\]$", text, re.M)
    right = [(place, severity, row[-1])]
    if diags == right and status == (severity == "error"):
        return None
    shown = "; ".join(" ".join(diag) for diag in diags) or text[:200]
    return f"{place} {severity} {row[-1]} and nothing else is due, status {status}: {shown}"


def main():
    rows = [(row, "error") for row in ERRORS] + [(row, "warning") for row in WARNINGS]
    with concurrent.futures.ThreadPoolExecutor(max_workers=2) as workers:
        for (row, _), fault in zip(rows, workers.map(lambda one: fault_in(*one), rows)):
            print(f"not ok faults/{row[0]}: {fault}" if fault else f"ok faults/{row[0]}")


main()
