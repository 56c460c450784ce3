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
    (["thread", "7.9", "1.25"], 0, ["taken as mm", "M8x1.25", "12.5 mm (0.4921 in)", "0.100 mm (3.9 thou) under"],
     "ISO 261: M8 has 1.25 mm, ten turns 12.5 mm"),
    (["thread", "5.95 mm", "1 mm"], 0, ["0 BA", "M6x1", "47.5 deg, rounded crests: 0 BA", "60 deg, flat crests: M6x1",
     "10.5 mm", "4.9175 mm"], "BS 93 and ISO 68-1: one size and pitch, told apart by the flanks"),
    (["thread", "0.25 in", "26 tpi"], 0, ["1/4-26 BSF and 1/4-26 BSB are one thread", "60 deg, rounded crests: 1/4-26 cycle"],
     "BS 84 and BS 811"),
    (["thread", "0.25 in", "20 tpi"], 0, ["55 deg, rounded crests: 1/4-20 BSW", "60 deg, flat crests: 1/4-20 UNC", "5.0 thou|hole in the nut"],
     "BS 84 and ASME B1.1: the same pitch"),
    (["thread", ".3125", "23", "tpi"], 1, ["taken as in", "not in the table", "5/16-24 UNF", "0.460 mm (18.1 thou) over",
     "5/16-22 BSF", "0.502 mm (19.8 thou) under"], "ten turns at 23 threads an inch less ten at 24 and at 22"),
    (["bearing", "1", "2.25", ".625"], 0, ["taken as in", "RLS8"], "light series inch bearing of 1 in bore"),
    (["bearing", "30 mm", "62 mm", "17.25 mm"], 0, ["30206", "width as listed (T)"], "ISO 355: T of 30206 is 17.25, B 16"),
    (["bearing", "30", "62.3", "17"], 1, ["not in the table", "near misses", "6206", "outside 0.300 mm (11.8 thou) over",
     "width 1.000 mm (39.4 thou) over"], "each difference by its size"),
    (["bearing", "30", "62", "16"], 0, ["clearance", "cage", "sealed", "snap ring", "N, NU, NJ or NUP", "matched",
     "cone alone (B)", "steep", "contact angle", "tapered bore"], "what sizes do not say; common practice, no source"),
    (["bearing", "NU 206"], 0, ["CN     20 um|CN    20 um", "CC     25 um|CC    25 um"],
     "ISO 5753-1: bore 24 to 30, rollers that interchange 20..45, matched 25..35"),
    (["hole", "3/8 BSF"], 0, ["10.3 mm"], "what goes by size is found by the thread"),
    (["hexagon", "M8x1.25"], 0, ["13 mm"], "ISO 4014"),
    (["ceiling", "aluminium"], 0, ["93 degC", "100 degC", "149 degC", "163 degC"], "sources that disagree are all shown"),
    (["grade", "45 ton"], 0, ["695 MPa", "derived and weaker"], "a spelling; 45 long tons per square inch"),
    (["rule", "wear"], 0, ["wear-bore", "wear-seat-width"], "the rules whose name begins so"),
    (["record", "us-43.9"], 0, ["date of completion", "certificate number"], "14 CFR 43.9(a)"),
    (["torque"], 0, ["thread*", "low*"], "the columns of a table of one's own, the needed ones marked"),
]

for words, status, printed, why in ROWS:
    done = subprocess.run([PROGRAM, "table", *words], capture_output=True, text=True)
    said = done.stdout + done.stderr
    lacks = [one for one in printed if not any(form in said for form in one.split("|"))]
    good = not lacks and status in (None, done.returncode)
    name = f"table {' '.join(words)} ({why})"
    print(f"ok {name}" if good else f"not ok {name}: status {done.returncode}, without {lacks}")
