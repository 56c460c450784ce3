#!/usr/bin/env python3
"""Conversion at the bench against GNU units, and what it says of what cannot be converted."""
import os
import subprocess

program = os.environ.get("CHECKED", "out/test/gudgeon")

# quantity, unit asked for, the same for GNU units
ROWS = [
    ("24 lbf ft", "N m", "24 lbf ft", "N m"),
    ("34 N m", "lbf in", "34 N m", "lbf inch"),
    ("3.5 kgf m", "lbf ft", "3.5 kgf m", "lbf ft"),
    ("1 17/32 in", "mm", "49|32 inch", "mm"),
    ("0.0035 in", "um", "0.0035 inch", "micron"),
    ("-0.001 in", "mm", "-0.001 inch", "mm"),
    ("3 thou", "mm", "0.003 inch", "mm"),
    ("35 psi", "bar", "35 psi", "bar"),
    ("2 lb 3 1/4 oz", "g", "35.25 oz", "g"),
    ("25 lb", "kg", "25 lb", "kg"),
    ("25 lb", "N", "25 lbf", "N"),
    ("120 degC", "degF", "tempC(120)", "tempF"),
    ("68 degF", "degC", "tempF(68)", "tempC"),
    ("5 K", "degF", "5 K", "degF"),
    ("1/6 turn", "deg", "1|6 turn", "degree"),
    ("4 h 30 min", "min", "4.5 hour", "minute"),
    ("1 imp pint", "ml", "1 brpint", "ml"),
]

# quantity, unit or None, status, words of what is said
REFUSED = [
    ("5", "mm", "has no unit"),
    ("5 mm", "kg", "a mass is due"),
    ("5 mm", "furlog", "no unit"),
    ("5 mmm", None, "write mm"),
    ("1,5 mm", "in", "write 1.5"),
    ("200 degrees", "degF", "which scale"),
    ("117/32 in", "mm", "1 17/32 in"),
]


def convert(*words):
    return subprocess.run([program, "convert", "--", *[w for w in words if w is not None]],
                          capture_output=True, text=True)


def tell(name, why):
    print(f"not ok {name}: {why}" if why else f"ok {name}")


def converted(quantity, unit, theirs, their_unit):
    done = convert(quantity, unit)
    if done.returncode:
        return done.stderr.strip()
    ours = float(done.stdout.split("\n")[1].split()[0])
    said = subprocess.run(["units", "-t", "--", theirs, their_unit], capture_output=True, text=True)
    expected = float(said.stdout.split()[0])
    places = len(done.stdout.split("\n")[1].split()[0].partition(".")[2])
    if abs(ours - expected) > 0.5000001 * 10 ** -places:
        return f"{ours}, and units says {expected}"
    return None


for row in ROWS:
    tell(f"{row[0]} in {row[1]}", converted(*row))
for quantity, unit, words in REFUSED:
    done = convert(quantity, unit)
    why = None if done.returncode == 1 and words in done.stderr else (
        f"status {done.returncode}, {done.stdout}{done.stderr}".strip())
    tell(f"{quantity} to {unit or 'anything'} is refused", why)
