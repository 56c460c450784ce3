#!/usr/bin/env python3
"""Reads the #include lines and calls of the sources: layers one way, third-party headers in their one
folder, no banned call, public symbols named after their header, nothing unfinished, no foreign paths."""
import pathlib
import re
import subprocess

ROOT = pathlib.Path(__file__).resolve().parents[2]
# What each folder may include, its own headers aside. The order of the pipeline.
BASE = ["arena", "str", "map", "file", "json", "hash"]
BELOW = {"base": BASE}
BELOW["source"] = BASE + ["source"]
BELOW["diag"] = BELOW["source"] + ["diag", "diag_codes", "context", "codes"]
BELOW["tree"] = BELOW["diag"] + ["tree"]
BELOW["qty"] = BASE + ["qty", "codes"]
BELOW["calc"] = BASE + ["qty", "calc"]
BELOW["outline"] = BASE + ["outline"]
BELOW["label"] = BELOW["tree"] + ["qty", "label"]
BELOW["table"] = BELOW["tree"] + ["qty", "table"]
BELOW["spec"] = BELOW["table"] + ["calc", "spec"]
BELOW["resolve"] = BELOW["spec"] + ["label", "outline", "resolve"]
BELOW["plan"] = BELOW["resolve"] + ["plan", "schedule", "resume"]
BELOW["pack"] = BELOW["plan"] + ["pack", "pack_make"]
BELOW["compare"] = BELOW["pack"] + ["compare"]
BELOW["dump"] = BELOW["pack"] + ["dump"]
BELOW["draw"] = BASE + BELOW["pack"] + ["draw"]
BELOW["write"] = BELOW["dump"] + ["draw", "write"]
BELOW["cli"] = BELOW["write"] + ["compare", "compile"]
ONLY_IN = {"yaml.h": "tree", "hpdf.h": "write", "xlsxwriter.h": "write", "criterion/criterion.h": "tests",
           "git2.h": "cli", "nettle/sha2.h": "base",
           "geos_c.h": "outline"}
BANNED = {r"\bsetlocale\s*\(": [], r"\bstrcpy\s*\(": [], r"\bsprintf\s*\(": [], r"\bgets\s*\(": [],
          r"\bstrtok\s*\(": ["cli"], r"\bgetenv\s*\(": ["cli"], r"\btime\s*\(\s*NULL": ["cli"],
          r"\bprintf\s*\(": ["cli"], r"\bexit\s*\(": ["cli"], r"\batof\s*\(": [], r"\bsystem\s*\(": []}
UNFINISHED = re.compile(r"\b(TODO|FIXME|XXX|HACK)\b|#if 0|cr_skip_test")


def sources():
    for path in sorted((ROOT / "src").rglob("*.[ch]")):
        if not path.name.endswith("_tool.c"):
            yield path, path.relative_to(ROOT / "src").parts[0]


def check(name, faults):
    if faults:
        for fault in faults:
            print(f"not ok {name}: {fault}")
    else:
        print(f"ok {name}")


def strip_comments(text):
    return re.sub(r'/\*.*?\*/|"(?:\\.|[^"\\\n])*"', " ", text, flags=re.S)


includes, third, banned = [], [], []
for path, folder in sources():
    text = path.read_text()
    where = path.relative_to(ROOT)
    for header in re.findall(r"#include <gudgeon/([a-z_]+)(?:/[a-z]+)?\.(?:h|def)>", text):
        if folder != "compile.c" and header not in BELOW[folder]:
            includes.append(f"{where} includes {header}.h, which lies above src/{folder}")
    for header in re.findall(r"#include <([a-z0-9_/]+\.h)>", text):
        if header in ONLY_IN and ONLY_IN[header] != folder:
            third.append(f"{where} includes {header}, which belongs to {ONLY_IN[header]}")
    code = strip_comments(text)
    for pattern, allowed in BANNED.items():
        if folder not in allowed and re.search(pattern, code):
            banned.append(f"{where} calls {pattern}")
check("layers point one way", includes)
check("third-party headers stay in their folder", third)
check("no banned call", banned)

headers = {p.stem: p.read_text() for p in sorted((ROOT / "include/gudgeon").glob("*.h"))}
order = ["arena", "str", "map", "file", "hash", "json", "source", "diag", "context", "tree", "qty", "label", "table", "calc",
         "outline", "spec", "resolve", "plan", "schedule", "resume", "pack", "pack_make", "compare", "dump", "draw", "write", "compile"]
check("every public header stands in the reading order", [h for h in headers if h not in order])
upward = []
for name, text in headers.items():
    for used in re.findall(r"#include <gudgeon/([a-z_]+)\.h>", text):
        if order.index(used) >= order.index(name):
            upward.append(f"{name}.h includes {used}.h")
check("public headers include downward", upward)

tracked = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=True).stdout.split("\n")
top = {t.split("/")[0] for t in tracked if t and not t.startswith(".")}
check("the top level is as designed", sorted(top ^ {"README.md", "DEVELOPERS.md", "CMakeLists.txt", "LICENSE", "src",
                                                   "include", "specs", "templates", "tests", "out"}))
check("out holds one tracked file", [t for t in tracked if t.startswith("out/") and t != "out/.gitignore"])
marks, paths = [], []
for name in tracked:
    path = ROOT / name
    if not name or not path.is_file() or path.suffix in {".ttf", ".png", ".pdf"} or name == "tests/tidy/layers.py":
        continue
    text = path.read_text(errors="replace")
    if name.startswith(("src/", "include/", "tests/")) and path.suffix in {".c", ".h", ".sh", ".py", ".def"} \
            and UNFINISHED.search(text):
        marks.append(name)
    if re.search(r"(?<![A-Za-z0-9_.])/(work|farm|root)/", text):
        paths.append(name)
check("nothing is marked unfinished", marks)
check("no path of a machine stands in a file", paths)
