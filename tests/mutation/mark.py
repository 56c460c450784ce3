#!/usr/bin/env python3
"""Marks in src/table/data what rests on one source: sh tests/tables.sh --mark

Reads from standard input what `mutate_tables --marks` prints, a line a cell: table, line of its row in the
file, heading. What most rows of a file have stands in its head (`# single: HEADINGS`); a row that differs
says its own in a last column `single`, "-" for none."""
import csv
import io
import sys
from collections import Counter, defaultdict
from pathlib import Path

DATA = Path("src/table/data")
marks = defaultdict(lambda: defaultdict(list))
for line in sys.stdin:
    table, number, heading = line.rstrip("\n").split("\t")
    marks[table][int(number)].append(heading)


def written(cells):
    out = io.StringIO()
    csv.writer(out, lineterminator="").writerow(cells)
    return out.getvalue()


def remark(path):
    lines = path.read_text(encoding="utf-8").split("\n")
    rows = marks.get(path.stem, {})
    heading = next(i for i, line in enumerate(lines) if not line.startswith("# "))
    body = [i for i in range(heading + 1, len(lines)) if lines[i]]
    names = lines[heading].split(",")
    if names[-1] == "single":
        names.pop()
        for i in body:
            cells = next(csv.reader([lines[i]]))
            if len(cells) > len(names):
                lines[i] = written(cells[:len(names)])
    own = {i: " ".join(rows.get(i + 1, [])) for i in body}
    common = Counter(own.values()).most_common(1)[0][0]
    out = [line for line in lines[:heading] if not line.startswith("# single:")]
    if common:
        out.append("# single: " + common)
    out.append(",".join(names + ["single"] * any(text != common for text in own.values())))
    for i in body:
        if own[i] != common:
            cells = next(csv.reader([lines[i]]))
            cells += [""] * (len(names) - len(cells)) + [own[i] or "-"]
            lines[i] = written(cells)
        out.append(lines[i])
    path.write_text("\n".join(out) + "\n", encoding="utf-8")


for path in sorted(DATA.glob("*.csv")):
    remark(path)
