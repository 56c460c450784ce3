"""Leaving an engine and taking it up again: `order --done` and `order --reach`, against a walk of this
script's own through build.json. Every beginning of the plan's order is a state that can be, and what is said
of it is what the operations done come to; one operation left out, which others that are done follow from, is
refused with its place. Needs nothing beyond this repository."""
import json
import os
import random
import re
import subprocess
import sys
import tempfile

PROGRAM = os.environ["GUDGEON"]
ROOT = os.path.abspath(os.path.join(os.path.dirname(__file__), "..", ".."))
SPECS = ("specs/hob.yaml", "specs/pintail.yaml")


def run(*words):
    return subprocess.run([PROGRAM, *words], cwd=ROOT, capture_output=True, text=True, check=False)


def plan_of(spec):
    return json.loads(run("check", "--dump=plan", spec).stdout)


def done_of(folder, spec, ids, *more):
    path = os.path.join(folder, "done")
    with open(path, "w", encoding="utf-8") as out:
        out.write("# what is done\n" + "".join(f"operation {i}\n" for i in ids))
    return run("order", spec, "--done", path, *more)


def remaining(text):
    """The ids at the end of the numbered lines after the state."""
    return re.findall(r"^ +\d+  .*  (\S+)$", text, re.M)


def prefixes(folder, spec, plan, bad):
    ids = [op["id"] for op in plan["operations"]]
    rng = random.Random(5)
    for count in sorted({0, 1, len(ids)} | {rng.randrange(len(ids)) for _ in range(14)}):
        done = done_of(folder, spec, ids[:count])
        if done.returncode or remaining(done.stdout) != ids[count:]:
            bad.append(f"{spec}: the first {count} done: {done.stderr[:200]}")
        joints(spec, plan["operations"][:count], count, done.stdout, bad)


def joints(spec, ops, count, text, bad):
    """A joint is tight from its tightening to its slackening; the engine came in with all of them tight."""
    tight = {op["entry"] for op in plan_of(spec)["operations"]
             if op["phase"] == "strip" and op["verb"] == "slacken"}
    apart = False
    for op in ops:
        apart = apart or op["phase"] not in ("intake", "strip")
        if op["verb"] in ("tighten", "retighten"):
            tight.add(op["entry"])
            apart = False
        elif op["verb"] == "slacken":
            tight.discard(op["entry"])
    said = re.search(r"Tight, and locked where there is a lock: ((?:.|\n  (?=\S))*)", text)
    if not apart and bool(tight) == ("None." in (said.group(1)[:6] if said else "None.")):
        bad.append(f"{spec}: the first {count} done: {len(tight)} joints are tight, and it says "
                   f"{said and said.group(0)[:80]}")


def impossible(folder, spec, plan, bad):
    """Left out of a beginning: what a precedence says another needs."""
    ids = [op["id"] for op in plan["operations"]]
    at = {name: i for i, name in enumerate(ids)}
    rng = random.Random(6)
    edges = [e for e in plan["precedences"] if e["before"] in at and e["after"] in at
             and not e["before"].startswith("trial:")]
    for edge in rng.sample(edges, 12):
        listed = [i for i in ids[:at[edge["after"]] + 1] if i != edge["before"]]
        done = done_of(folder, spec, listed)
        if done.returncode != 1 or "G0721" not in done.stderr or edge["before"] not in done.stderr:
            bad.append(f"{spec}: {edge['before']} left out before {edge['after']} is not refused: "
                       f"{done.returncode} {done.stderr[:200]}")
    strip = [op for op in plan["operations"] if op["phase"] == "strip"]
    slack = next(op for op, after in zip(strip, strip[1:]) if op["verb"] == "slacken" and after["verb"] == "remove")
    listed = [i for i in ids[:at[slack["id"]] + 2] if i != slack["id"]]
    done = done_of(folder, spec, listed)
    if done.returncode != 1 or slack["id"] not in done.stderr:
        bad.append(f"{spec}: a part off whose joint {slack['id']} is not slack is not refused")


def moments(folder, spec, plan, bad):
    """Half set, heated, run: what the sheet says right after each such operation."""
    ops = plan["operations"]
    nipped = {op["entry"] for op in ops if op["verb"] == "nip"}
    for i, op in enumerate(ops[:-1]):
        after = ops[i + 1]
        if op["verb"] == "set" and after["verb"] == "tighten" and after["entry"] in nipped:
            wanted = "DO NOT TURN THE CRANK: half set"
        elif op["verb"] == "heat":
            wanted = "Warm: "
        else:
            continue
        text = done_of(folder, spec, [o["id"] for o in ops[:i + 1]]).stdout
        if wanted not in text or wanted + "None" in text:
            bad.append(f"{spec}: after {op['id']} it does not say {wanted}")
        text = done_of(folder, spec, [o["id"] for o in ops[:i + 3]]).stdout
        if op["verb"] == "set" and "half set" in text:
            bad.append(f"{spec}: {op['id']} is still half set when {after['id']} is done")


def one_page(folder, spec, plan, bad):
    ids = [op["id"] for op in plan["operations"]]
    for share in (0, 1, 3, 5, 8, 10):
        where = os.path.join(folder, f"{os.path.basename(spec)}-{share}")
        done = done_of(folder, spec, ids[:len(ids) * share // 10], "-o", where)
        pages = subprocess.run(["pdfinfo", os.path.join(where, "stop-sheet.pdf")], capture_output=True,
                               text=True, check=False).stdout
        if done.returncode or not re.search(r"^Pages: +1$", pages, re.M):
            bad.append(f"{spec}: the stop sheet at {share} tenths is not one page: {done.stderr[:200]}")


def wrong_lists(folder, bad):
    spec = "specs/hob.yaml"
    cases = (("no-such-thing\n", "G0719"), ("card take-stock:magneto\n", "G0719"),
             ("two words here\n", "G0718"), ("take-stock:magneto intake:magneto\n", "G0718"))
    for text, code in cases:
        path = os.path.join(folder, "wrong")
        with open(path, "w", encoding="utf-8") as out:
            out.write(text)
        done = run("order", spec, "--done", path)
        if done.returncode != 1 or code not in done.stderr or f"{path}:1:" not in done.stderr:
            bad.append(f"{text!r} gives {done.stderr[:200]}")
    done = run("order", spec, "--done", os.path.join(folder, "not-there"))
    if done.returncode != 3 or "G0717" not in done.stderr:
        bad.append(f"a list that is not there: {done.returncode} {done.stderr[:100]}")


def same_name(folder, bad):
    """A card of several operations called like one of them must be told from it."""
    for spec in SPECS:
        plan = plan_of(spec)
        ids = {op["id"] for op in plan["operations"]}
        twins = [c["id"] for c in plan["cards"] if c["id"] in ids and c["steps"] > 1]
        for twin in twins[:2]:
            path = os.path.join(folder, "twin")
            with open(path, "w", encoding="utf-8") as out:
                out.write(twin + "\n")
            done = run("order", spec, "--done", path)
            if "G0720" not in done.stderr:
                bad.append(f"{spec}: {twin} may be either: {done.stderr[:100]}")


def reach(spec, plan, bad):
    """Nothing that comes off is missing when what it lay on is taken: parts come off before their hosts, and
    what is not on at that moment is never taken off."""
    build = [op for op in plan["operations"] if op["phase"] in ("final", "set")]
    fitted = [op["entry"] for op in build if op["verb"] == "fit"]
    rng = random.Random(7)
    for part in rng.sample(fitted, 12):
        for at in (None, build[rng.randrange(len(build))]["id"]):
            done = run("order", spec, "--reach", part, *(("--at", at) if at else ()))
            off = re.findall(r"Take off", done.stdout)
            if done.returncode:
                bad.append(f"{spec}: --reach {part} --at {at}: {done.stderr[:100]}")
            upto = build if at is None else build[:[op["id"] for op in build].index(at) + 1]
            gone = {op["entry"] for op in upto if op["verb"] == "remove"}
            on = [op["entry"] for op in upto if op["verb"] == "fit" and op["entry"] not in gone]
            if (part in on) == ("is in hand" in done.stdout):
                bad.append(f"{spec}: --reach {part} --at {at}: {done.stdout[:100]}")
            if part in on and len(off) > len(on) - on.index(part) + sum(1 for p in on if p != part):
                bad.append(f"{spec}: --reach {part} takes off more than is on")
            if on and part == on[-1] and off:
                bad.append(f"{spec}: {part} was the last to go on, and yet something comes off")


def main():
    failed = False
    with tempfile.TemporaryDirectory() as folder:
        for spec in SPECS:
            plan = plan_of(spec)
            for name, check in (("beginnings", prefixes), ("impossible lists", impossible), ("moments", moments),
                                ("stop sheets", one_page)):
                bad = []
                check(folder, spec, plan, bad)
                failed |= bool(bad)
                print(f"not ok {name} of {spec}: {bad[0]} ({len(bad)})" if bad else f"ok {name} of {spec}")
            bad = []
            reach(spec, plan, bad)
            failed |= bool(bad)
            print(f"not ok reach in {spec}: {bad[0]}" if bad else f"ok reach in {spec}")
        for name, check in (("lists that are wrong", wrong_lists), ("cards and operations of one name", same_name)):
            bad = []
            check(folder, bad)
            failed |= bool(bad)
            print(f"not ok {name}: {bad[0]} ({len(bad)})" if bad else f"ok {name}")
    return failed


if __name__ == "__main__":
    sys.exit(main())
