#!/usr/bin/env python3
"""`new --from-csv` on lists of several shapes: what is written passes check, and every cell of the list, as
Python's csv module reads it, stands in it; a CSV in `use` is faulted by the cell that a spreadsheet shows."""
import csv
import io
import json
import os
import pathlib
import subprocess
import tempfile

import yaml

ROOT = pathlib.Path(__file__).resolve().parents[2]
BUILT = (ROOT / os.environ.get("CHECKED", "out/test/gudgeon")).resolve()
LIST = '''Part No.,Description,Qty,Made of,Weight (g),Price [GBP],Stockist,Goes in,Single use,Box,Remarks
A-1,Crankcase,1,cast iron,14200,,,,,1,"cracked, ""mended"""
A-2,Crankshaft,1,Steel,6100,,,Crankcase,,1,
A-3,Ball bearing 6206,2,,200 g,9.80,Bearing house,A-2,,2,it's tight
A-4,Piston,one,aluminium,410,12 GBP,Piston works,Rod,,2,"3/8"" pin: # 4"
A-5,Nut 5/16 BSF,12,unobtainium,,0.30,Bearing House,,yes,3,"x
y"
,Nut 5/16 BSF,1,,"2,5",,,,no,,
A-7,All,1,,,,,A-8,,,- turns with the wheel
A-8,Žluťoučký kůň,1,,,,,A-7,,~,null
'''


def report(name, fault):
    print(f"not ok {name}: {fault}" if fault else f"ok {name}")


def run(*words, cwd):
    return subprocess.run([BUILT, *map(str, words)], cwd=cwd, capture_output=True, text=True, check=False)


def words_of(spec):
    """All scalars of the spec as one text, small, with single blanks."""
    def walk(node):
        if isinstance(node, dict):
            for key, value in node.items():
                yield str(key)
                yield from walk(value)
        elif isinstance(node, list):
            for item in node:
                yield from walk(item)
        else:
            yield str(node)
    return " ".join("\n".join(walk(yaml.load(spec, yaml.BaseLoader))).lower().replace("-", " ").split())


def lost(rows, spec):
    text = words_of(spec)
    for row in rows:
        for heading, cell in row.items():
            plain = " ".join(cell.lower().replace("-", " ").split())
            if heading == "Single use" and cell == "yes":
                plain = "always renew true"
            if plain and plain not in text:
                return f"{heading}: {cell!r}"
    return None


def try_list(folder, name, text, separator=",", bom=b""):
    source, spec = folder / f"{name}.csv", folder / f"{name}.yaml"
    source.write_bytes(bom + text.encode())
    rows = list(csv.DictReader(io.StringIO(text.replace("\r\n", "\n")), delimiter=separator))
    done = run("new", "--from-csv", source, spec, cwd=folder)
    if done.returncode:
        return report(f"{name}: a spec is written", done.stderr)
    checked = run("check", "--strict", spec, cwd=folder)
    report(f"{name}: it passes check", checked.stderr or None)
    written = spec.read_text()
    report(f"{name}: no cell of {len(rows)} rows is lost", lost(rows, written))
    parts = yaml.load(written, yaml.BaseLoader)["parts"]
    report(f"{name}: a part a row", None if len(parts) == len(rows) else len(parts))
    return parts


with tempfile.TemporaryDirectory() as scratch:
    top = pathlib.Path(scratch)
    parts = try_list(top, "list", LIST)
    expected = {"crankshaft": ("in", "crankcase"), "ball-bearing-6206": ("in", "crankshaft"), "piston": ("in", "crankcase")}
    for part, (key, value) in expected.items():
        report(f"list: {part} is {key} {value}", None if parts[part].get(key) == value else parts[part])
    for part, key, value in (("crankcase", "weight", "14200 g"), ("ball-bearing-6206", "weight", "200 g"), ("piston", "price", "12 GBP"),
                             ("nut-5-16-bsf", "always-renew", "true"), ("nut-5-16-bsf", "supplier", "bearing-house"), ("crankcase", "material", "cast-iron")):
        report(f"list: {part} {key} {value}", None if parts[part].get(key) == value else parts[part])
    # Commas are read as RFC 4180 has them; the same with semicolons, CRLF and a byte order mark.
    rows = list(csv.reader(io.StringIO(LIST)))
    out = io.StringIO()
    csv.writer(out, delimiter=";", lineterminator="\r\n").writerows([[cell.replace("\n", " ") for cell in row] for row in rows])
    try_list(top, "semicolons", out.getvalue(), ";", b"\xef\xbb\xbf")
    try_list(top, "fasteners", (ROOT / "specs/pintail/fasteners.csv").read_text())
    try_list(top, "one-column", "Name\nCrankcase\nNut\n")
    big = "Name,Number,Goes in\n" + "".join(f"Part {i},N-{i},N-{i // 3}\n" for i in range(500))
    try_list(top, "deep", big)

    kept = (top / "list.yaml").read_bytes()
    done = run("new", "--from-csv", top / "list.csv", top / "list.yaml", cwd=top)
    report("a file that is there is left as it is", None if done.returncode == 3 and (top / "list.yaml").read_bytes() == kept else done.stderr)
    for name, text, words in (("no-rows", "Name,Number\n", "error: the list has no rows [G0457]"),
                              ("no-name", "Box,Shelf\n1,2\n", "error: no heading names or numbers the parts [G0457]")):
        (top / f"{name}.csv").write_text(text)
        done = run("new", "--from-csv", f"{name}.csv", "x.yaml", cwd=top)
        report(f"{name}: one clear error", None if done.returncode == 1 and done.stderr.count("error:") == 1 and f"{name}.csv:1:1:" in done.stderr
               and words in done.stderr and "hint:" in done.stderr and not (top / "x.yaml").exists() else done.stderr)
    done = run("new", "--from-csv", "none.csv", "x.yaml", cwd=top)
    report("a list that is not there", None if done.returncode == 3 and "none.csv" in done.stderr else done.stderr)
    report("KIND and --from-csv", None if run("new", "--from-csv", "list.csv", "single", "x.yaml", cwd=top).returncode == 2 else "taken")

    # In `use`: the cell of a fault, where Python's csv module finds the wrong word.
    rows = [["parts", "name", "state", "note", "material"], ["crankcase", "Crankcase", "reuse", "two\nlines, and \"marks\"", "cast-iron"],
            ["nut", "Nut, plain", "reuse", "", "stel"]]
    with open(top / "parts.csv", "w", newline="") as file:
        csv.writer(file).writerows(rows)
    (top / "use.yaml").write_text("gudgeon: 1\nuse: [parts.csv]\nengine: {name: E}\n")
    told = run("check", "--diagnostics=json", "use.yaml", cwd=top).stderr
    diagnostics = [json.loads(line) for line in told.splitlines()]
    column, row = next((c, r) for r, line in enumerate(rows) for c, cell in enumerate(line) if cell == "stel")
    cell = f"{'ABCDE'[column]}{row + 1}"
    report(f"a fault names its cell, {cell}", None if any(d.get("cell") == cell and "stel" in d["message"] for d in diagnostics) else told)
