#!/usr/bin/env python3
"""What is looked up at the bench: figures of printed standards, and what is said of a key that is not there."""
import os
import subprocess

PROGRAM = os.environ.get("CHECKED", "out/test/gudgeon")

# words, status, what is printed, where that stands
ROWS = [
    (["thread", "M8"], 0, ["effective       7.188", "minor           6.647|6.6468", "36.61 mm2"],
     "ISO 724 (7.188, 6.647) and ISO 898-1 (36.6 mm2)"),
    (["thread", "5/16"], None, ["5/16-18 BSW", "5/16-22 BSF", "5/16-24 UNF"], "BS 84, ASME B1.1: one size, several systems"),
    (["fit", "62", "H7/k6"], 0, ["0 um (0.00 thou) to 30 um", "2 um (0.08 thou) to 21 um", "transition"],
     "ISO 286-2: 62 H7 0/+30, k6 +2/+21"),
    (["fit", "62 mm", "M6"], 0, ["-24 um", "-5 um"], "ISO 286-2: 62 M6 -24/-5"),
    (["bearing", "6206"], 0, ["30 mm", "62 mm", "16 mm"], "ISO 15: series 62, bore number 06"),
    (["bearing", "30 mm", "62 mm", "16 mm"], 0, ["6206", "NU206"], "ISO 15: one boundary plan, several types"),
    (["rule", "ring-gap", "top", "80 mm"], 0, ["0.36 mm"], "0.0045 x 80 mm"),
    (["fit"], 1, ["write table fit SIZE CLASS"], "how it is asked"),
    (["fitt"], 1, ["the nearest is fit"], "a slip"),
    (["fit", "62", "H77/k6"], 1, ["H77"], "no class of ISO 286"),
    (["bearing", "62066"], 1, ["6206"], "a slip"),
    (["thread", "foo"], 1, ["not in the table"], "no thread"),
    (["torque"], 0, ["thread*", "low*"], "the columns of a table of one's own, the needed ones marked"),
]

for words, status, printed, why in ROWS:
    done = subprocess.run([PROGRAM, "table", *words], capture_output=True, text=True)
    said = done.stdout + done.stderr
    lacks = [one for one in printed if not any(form in said for form in one.split("|"))]
    good = not lacks and status in (None, done.returncode)
    name = f"table {' '.join(words)} ({why})"
    print(f"ok {name}" if good else f"not ok {name}: status {done.returncode}, without {lacks}")
