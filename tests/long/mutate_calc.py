"""Every number of src/calc is needed: python3 tests/long/mutate_calc.py [FILE.c ...]

Each numeric literal of src/calc, found by reading the C tokens, is changed by the larger of 3 % and one
of its last digit; the calc tests must then fail (or not compile, or not end). A literal whose change no
test notices is a survivor: it is printed with its place, and the run fails. One build folder,
out/mutate, no sanitizers; about five minutes on two cores.
"""

import concurrent.futures
import glob
import os
import re
import subprocess
import sys
from decimal import Decimal

BUILD = "out/mutate"
TESTS = ["test_calc", "test_calc_domain", "test_published_calc", "test_published_calc_engine",
         "test_published_calc_fits"]
FLAGS = ["-std=c17", "-D_GNU_SOURCE", "-O1", "-Iinclude", "-Isrc/calc"]
SECONDS = 20  # the tests take half a second; a mutant that runs longer does not end

TOKEN = re.compile(r"""
    (?P<comment>/\*.*?\*/|//[^\n]*)
  | (?P<text>"(?:\\.|[^"\\])*"|'(?:\\.|[^'\\])*')
  | (?P<include>^[ \t]*\#[ \t]*include[^\n]*)
  | (?P<name>[A-Za-z_]\w*)
  | (?P<number>(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?(?P<suffix>[uUlLfF]*))
""", re.X | re.S | re.M)


def literals(text):
    """(begin, end, as written) of each numeric literal."""
    for token in TOKEN.finditer(text):
        if token.lastgroup in ("number", "suffix") and token.group("number"):
            yield token.start("number"), token.end("number"), token.group("number")


def changed(written):
    """The literal, larger by the larger of 3 % and one of its last digit."""
    body = written.rstrip("uUlLfF")
    suffix = written[len(body):]
    value = Decimal(body)
    digit = Decimal(1).scaleb(value.as_tuple().exponent)
    is_whole = re.fullmatch(r"\d+", body) is not None
    if is_whole:
        digit = Decimal(1)
    step = max(abs(value) * Decimal("0.03"), digit)
    after = value + step
    if is_whole:
        return str(int(after.to_integral_value())) + suffix
    return f"{after:e}" + suffix if "e" in body.lower() else f"{after:f}" + suffix


def run(command, seconds=None):
    return subprocess.run(command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True,
                          timeout=seconds, check=False)


class Bench:
    def __init__(self):
        self.sources = sorted(glob.glob("src/calc/*.c"))
        self.headers = sorted(glob.glob("src/calc/*.h"))
        built = run(["sh", "-c", f"cmake -S . -B {BUILD} -G Ninja -DCMAKE_BUILD_TYPE=Release "
                     f"-DGUDGEON_TESTS=ON >/dev/null && ninja -C {BUILD} " + " ".join(TESTS)])
        if built.returncode:
            sys.exit(built.stdout)
        with open(f"{BUILD}/libraries", encoding="utf-8") as file:
            self.pkg = run(["pkg-config", "--libs", "criterion"]).stdout.split() + file.read().split()
        find = lambda pattern: sorted(glob.glob(f"{BUILD}/tests/CMakeFiles/test_calc.dir/{pattern}"))
        self.tests = [glob.glob(f"{BUILD}/tests/CMakeFiles/{name}.dir/unit/{name}.c.o")[0]
                      for name in TESTS] + [o for o in find("support/*.o") if "bind_rows" not in o]
        self.tests += glob.glob(f"{BUILD}/tests/CMakeFiles/published_rows.dir/published/*.o")
        self.archive = f"{BUILD}/libgudgeon.a"
        self.good = {}
        for source in self.sources:
            target = f"{BUILD}/good_{os.path.basename(source)}.o"
            made = run(["gcc", *FLAGS, "-c", source, "-o", target])
            if made.returncode:
                sys.exit(made.stdout)
            self.good[source] = target

    def survives(self, texts, name):
        """True when the tests pass with `texts` (path: text) in place of the files."""
        folder = f"{BUILD}/mutant_{name}"
        os.makedirs(folder, exist_ok=True)
        for path in self.headers:
            with open(path, encoding="utf-8") as file:
                text = texts.get(path, file.read())
            with open(os.path.join(folder, os.path.basename(path)), "w", encoding="utf-8") as file:
                file.write(text)
        objects = []
        header_changed = any(path.endswith(".h") for path in texts)
        for source in self.sources:
            if source not in texts and not header_changed:
                objects.append(self.good[source])
                continue
            copy = os.path.join(folder, os.path.basename(source))
            with open(source, encoding="utf-8") as file:
                text = texts.get(source, file.read())
            with open(copy, "w", encoding="utf-8") as file:
                file.write(text)
            if run(["gcc", *FLAGS[:-1], "-c", copy, "-o", copy + ".o"]).returncode:
                return False
            objects.append(copy + ".o")
        program = os.path.join(folder, "tests")
        linked = run(["gcc", "-Wl,--export-dynamic", *self.tests, *objects, self.archive, *self.pkg,
                      "-o", program])
        if linked.returncode:
            sys.exit(linked.stdout)
        try:
            return run([program, "-j1"], SECONDS).returncode == 0
        except subprocess.TimeoutExpired:
            return False


def mutants(files):
    for path in files:
        with open(path, encoding="utf-8") as file:
            text = file.read()
        for begin, end, written in literals(text):
            other = changed(written)
            line = text.count("\n", 0, begin) + 1
            column = begin - text.rfind("\n", 0, begin)
            whole = text.splitlines()[line - 1].strip()
            yield path, text[:begin] + other + text[end:], f"{path}:{line}:{column}: {written} -> {other}    {whole}"


def main():
    bench = Bench()
    if not bench.survives({}, "none"):
        sys.exit("the calc tests fail without any change")
    todo = list(mutants(sys.argv[1:] or bench.sources + bench.headers))
    survivors = []
    with concurrent.futures.ThreadPoolExecutor(os.cpu_count() or 1) as pool:
        work = {pool.submit(bench.survives, {path: text}, str(i)): place
                for i, (path, text, place) in enumerate(todo)}
        for done in concurrent.futures.as_completed(work):
            if done.result():
                survivors.append(work[done])
    run(["sh", "-c", f"rm -rf {BUILD}/mutant_*"])
    for place in sorted(survivors):
        print("survives:", place)
    print(f"{'not ok' if survivors else 'ok'} src/calc: {len(todo)} literals, {len(todo) - len(survivors)} "
          f"changes noticed, {len(survivors)} survive")
    return 1 if survivors else 0


sys.exit(main())
