#!/usr/bin/env python3
"""Every diagnostic code has a golden with its exact text and place; half of all codes carry a hint; a hint that
is an edit makes its golden pass when it is applied; printed codes are unique, in their block, with a paragraph."""
import pathlib
import re

ROOT = pathlib.Path(__file__).resolve().parents[2]
BLOCKS = {"source": 1, "tree": 2, "qty": 3, "spec": 4, "resolve": 5, "complete": 6, "plan": 7, "pack": 8,
          "write": 9, "cli": 10, "table": 11}
# Codes that no spec can call forth; each is shown by the test named.
ELSEWHERE = pathlib.Path(__file__).with_name("codes_elsewhere.txt")

codes, faults = {}, []
for path in sorted((ROOT / "include/gudgeon/codes").glob("*.def")):
    text = re.sub(r"/\*.*?\*/", "", path.read_text(), flags=re.S)
    for name, printed, rest in re.findall(r'\bDIAG\((\w+),\s*"(G\d+)",\s*(?:ERROR|WARNING|NOTE),((?:\s*"(?:\\.|[^"\\])*")+)\)',
                                          text):
        if printed in codes:
            faults.append(f"{printed} stands twice")
        if int(printed[1:]) // 100 != BLOCKS[path.stem]:
            faults.append(f"{printed} is not in the block of {path.stem}")
        if len("".join(re.findall(r'"((?:\\.|[^"\\])*)"', rest))) < 40:
            faults.append(f"{printed} has no paragraph worth printing")
        codes[printed] = name
    for name in re.findall(r"\bDIAG\((\w+)", text):
        if name not in codes.values() and name != "name":
            faults.append(f"{name} in {path.name} does not read as a code")
for fault in faults:
    print(f"not ok codes: {fault}")
if not faults:
    print(f"ok {len(codes)} codes are well formed")

shown, hinted = set(), set()
for expect in (ROOT / "tests/golden").rglob("*.expect"):
    for block in re.split(r"\n(?=\S+:\d+:\d+: (?:error|warning))", expect.read_text()):
        for code in re.findall(r"(?:error|warning|note): [^\n]*\[(G\d+)\]", block):
            shown.add(code)
            if re.search(r"^\s*hint: ", block, re.M):
                hinted.add(code)
elsewhere = {line.split()[0] for line in ELSEWHERE.read_text().splitlines() if line and line[0] == "G"} \
    if ELSEWHERE.exists() else set()
for code, name in sorted(codes.items()):
    if code in shown or code in elsewhere:
        print(f"ok {code} is shown by a test")
    else:
        print(f"not ok {code} {name}: no golden shows it")
share = len(hinted) / max(1, len(codes))
print(f"{'ok' if share >= 0.5 else 'not ok'} {len(hinted)} of {len(codes)} codes carry a hint in a golden")
