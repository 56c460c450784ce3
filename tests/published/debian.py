#!/usr/bin/env python3
"""The tables against data that Debian packages hold and that nobody here wrote: freecad-common's thread
tables (limits of 6H, 6g, 2B, 2A), openscad-mcad's bearings and nuts, python3-pint's units.

What the tables took from one of these packages is compared too, and counted apart: a copy is no second
source."""
import csv
import os
import re
import subprocess
import sys

import pint

PROGRAM = os.environ.get("GUDGEON", "out/build/gudgeon")
THREADS = "/usr/share/freecad/Mod/Path/Data/Threads/"
MCAD = "/usr/share/openscad/libraries/MCAD/"
UNITS = os.path.join(os.path.dirname(__file__), "units.csv")


def table(kind):
    """All rows of a kind as they are printed: the first line of a row is its name, then label and value."""
    lines = subprocess.run([PROGRAM, "table", kind], capture_output=True, text=True, check=True).stdout.splitlines()
    columns = [word.strip("*,") for word in lines[1].split(": ", 1)[1].split()]
    rows = []
    for line in lines[2:]:
        if not line.startswith(" "):
            rows.append({"name": line})
        else:
            label = next((word for word in columns if line[2:].startswith(word + " ")), None)
            if label:
                rows[-1][label] = line[2 + len(label):].strip()
    return rows


def mm(text):
    return float(text.split(" mm")[0])


failed = []


def report(name, compared, faults, least):
    """`least`: what was compared when this was written; a table that shrank says so."""
    if compared < least:
        faults = faults + [f"only {compared} compared, {least} before"]
    print(f"ok {name}: {compared}" if not faults else f"not ok {name}: {len(faults)} of {compared}, first {faults[0]}")
    failed.extend(faults)


def thread_rows(file):
    with open(THREADS + file, encoding="utf-8") as data:
        return list(csv.DictReader(data))


threads = {row["name"]: row for row in table("thread")}
coarse = {name.split("x")[0]: name for name, row in threads.items() if row.get("series") == "coarse"}


def metric(row):
    name = row["name"].replace(" ", "")
    return threads.get(name, threads.get(name + " old"))


def unified(row):
    """"1-1/8-7", or "11/8-7" where the blank was lost."""
    size, tpi = row["name"].rsplit("-", 1)
    size = re.sub(r"^(\d)-?(\d/\d+)$", r"\1 \2", size)
    names = [f"{form}{size}-{tpi} {system}" for form in ("", "#") for system in ("UNC", "UNF", "UNEF", "UNS")]
    return next((threads[name] for name in names if name in threads), None)


def off(faults, what, ours, theirs, tolerance):
    if abs(ours - theirs) > tolerance:
        faults.append(f"{what}: ours {ours:.4f}, theirs {theirs:.4f}")


def internal(file, find, unit, tolerance, rounded):
    """Limits of a nut begin at the basic diameters; `rounded` is how far the minor one may be off."""
    compared, faults = 0, []
    for row in thread_rows(file):
        ours = find(row)
        if ours is None:
            continue
        for column, label in (("dMajorMin", "major"), ("dPitchMin", "effective"), ("dMinorMin", "minor")):
            off(faults, f"{row['name']} {label}", mm(ours[label]), float(row[column]) * unit,
                rounded if label == "minor" else tolerance)
            compared += 1
    return compared, faults


def external(file, find, unit, tolerance):
    """The limits of a bolt lie under the basic diameters by one allowance: major less effective has none."""
    compared, faults = 0, []
    for row in thread_rows(file):
        ours = find(row)
        if ours is None:
            continue
        theirs = (float(row["dMajorMax"]) - float(row["dPitchMax"])) * unit
        off(faults, f"{row['name']} depth", mm(ours["major"]) - mm(ours["effective"]), theirs, tolerance)
        compared += 1
    return compared, faults


# Of the rows that the tables lack, 2-6 and 9/16-14 of the inch files are misprints: they hold the diameters
# of 2-4.5, and a crest that is smaller than its own flank allows.
# Printed to a thousandth: two diameters, each half a unit off, and ours to a tenth of a micrometre.
report("threads 6H of freecad-common", *internal("metric-internal-6H.csv", metric, 1, 0.00061, 0.00061), 171)
report("threads 6g of freecad-common", *external("metric-external-6G.csv", metric, 1, 0.0012), 175)
# In inches to a tenth of a thousandth; ASME B1.1 rounds the minor diameter of a nut to a thousandth.
report("threads 2B of freecad-common", *internal("imperial-internal-2B.csv", unified, 25.4, 0.0031, 0.0131), 132)
report("threads 2A of freecad-common", *external("imperial-external-2A.csv", unified, 25.4, 0.0027), 50)


def scad(file):
    with open(MCAD + file, encoding="utf-8") as data:
        return data.read()


def bearings():
    ours = {row["name"]: row for row in table("bearing")}
    copies, compared, faults = 0, 0, []
    for model, *sizes in re.findall(r"model == (\d+) \? \[([\d.]+)\*mm,\s*([\d.]+)\*mm,\s*([\d.]+)\*mm", scad("bearing.scad")):
        row = ours.get(model)
        if row is None:
            faults.append(f"{model} is not in the table")
            continue
        for label, theirs in zip(("bore", "outside", "width"), sizes):
            off(faults, f"{model} {label}", mm(row[label]), float(theirs), 1e-9)
        copies += "openscad-mcad" in row["source"]
        compared += 1
    return compared - copies, copies, faults


second, copied, wrong = bearings()
report("bearings of openscad-mcad as a second source", second, wrong, 12)
report("bearings taken from openscad-mcad", copied, wrong, 29)


def nuts():
    """Widths across corners of nuts, to a hundredth or a tenth: across flats over cos 30 degrees."""
    text = scad("nuts_and_bolts.scad")
    body = text[text.index("METRIC_NUT_AC_WIDTHS"):]
    compared, faults = 0, []
    flats = {row["name"]: mm(row["across-flats"]) for row in table("hexagon") if row.get("standard", "").startswith("DIN 934")}
    for width, size in re.findall(r"([\d.]+),?//m(\d+)", body[:body.index("];")]):
        if f"M{size}" in flats:
            off(faults, f"M{size}", flats[f"M{size}"], float(width) * 3**0.5 / 2, 0.17)
            compared += 1
    return compared, faults


report("nuts of openscad-mcad", *nuts(), 12)

# The SI unit of each dimension, as pint writes it; angles and speeds are ours in degrees and turns.
SI = {"length": "m", "mass": "kg", "force": "N", "torque": "N*m", "stress or pressure": "Pa", "temperature difference": "K",
      "time": "s", "angle": "degree", "area": "m**2", "volume": "m**3", "rotational speed": "turn/minute", "ratio": "",
      "density": "kg/m**3", "stiffness": "N/m", "thermal expansion": "1/K", "mass times length": "kg*m"}


def units():
    """Every unit that pint knows against another of its dimension, as `gudgeon convert` prints it."""
    registry = pint.UnitRegistry()
    with open(UNITS, encoding="utf-8") as data:
        rows = [row for row in csv.DictReader(line for line in data if not line.startswith("#")) if row["pint"]]
    known = {(row["unit"], row["dimension"]): row["pint"] for row in rows}
    compared, faults = 0, []
    for (unit, dimension), name in known.items():
        said = subprocess.run([PROGRAM, "convert", f"123456 {unit}"], capture_output=True, text=True, check=False).stdout
        for line in said.splitlines()[1:]:
            amount, _, other = line.strip().partition(" ")
            if (other, dimension) not in known:
                continue
            theirs = (123456 * registry.parse_expression(name)).to(registry.parse_expression(known[other, dimension]).units)
            theirs = theirs.magnitude / registry.parse_expression(known[other, dimension]).magnitude
            step = 10.0 ** -len(amount.partition(".")[2])
            if abs(float(amount) - theirs) > 0.51 * step + 1e-9 * abs(theirs):
                faults.append(f"{unit} in {other}: ours {amount}, pint {theirs:.9g}")
            compared += 1
    return compared, faults


report("units of python3-pint", *units(), 692)
sys.exit(1 if failed else 0)
