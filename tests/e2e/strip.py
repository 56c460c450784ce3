"""The strip order of both demos followed by hand: nothing that is needed is still covered, joints are slack before
what they hold comes off, and what is read as found is read while all of it is still there. Judged from the facts
of the spec alone (`in`, `with`, `holds`, `reach`, `through`, `closes`, `under`, `clear-of`), not from precedences."""
import json
import os
import subprocess
import sys

PROGRAM = os.environ["GUDGEON"]
ROOT = os.path.abspath(os.path.join(os.path.dirname(__file__), "..", ".."))


def dump(stage, spec):
    return json.loads(subprocess.run([PROGRAM, "check", f"--dump={stage}", spec], cwd=ROOT, capture_output=True,
                                     text=True, check=False).stdout)


def listed(value):
    return value if isinstance(value, list) else [] if value is None else [value]


def comes_with(parts, part, unit):
    """Named in the unit's `with`, or on something that is, or `all` on it."""
    wanted = listed(parts[unit].get("with"))
    host = part
    while host and host != unit:
        if host in wanted or ("all" in wanted and not parts[host].get("through")):
            return True
        host = next(iter(listed(parts[host].get("in"))), None)
        if host not in parts:
            return False
    return False


def walk(facts, strip, bad):
    parts, joints = facts["parts"], facts.get("joints", {})
    tight = {op["entry"] for op in strip if op["verb"] == "slacken"}
    on = {op["entry"] for op in strip if op["verb"] == "remove"} | \
         {name for name, part in parts.items() if part.get("state") == "stays"}
    closers = {}
    for name, part in parts.items():
        for opening in listed(part.get("closes")):
            closers.setdefault(opening, set()).add(name)
    steps = 0

    def covered(op, entry, reach, spared=()):
        over = {x for opening in listed(reach) for x in closers.get(opening, ())}
        over |= {x for x in listed(entry.get("under")) if x in parts}
        left = (over & on) - set(spared) - {op["entry"]}
        if left:
            bad.append(f"{op['id']}: still covered by {sorted(left)}")

    for op in strip:
        steps += 1
        name = op["entry"]
        if op["verb"] == "slacken":
            tight.discard(name)
            covered(op, joints[name], joints[name].get("reach"), listed(joints[name].get("holds")))
        elif op["verb"] == "remove":
            part = parts[name]
            held = [j for j in tight if name in listed(joints[j].get("holds"))]
            if held:
                bad.append(f"{op['id']}: held by {held}")
            lying = [q for q in on if name in listed(parts[q].get("in")) and parts[q].get("state") != "stays"
                     and not comes_with(parts, q, name) and name not in listed(parts[q].get("with"))]
            if lying:
                bad.append(f"{op['id']}: {lying} still on it")
            if not op.get("unit"):
                covered(op, part, part.get("through"))
            over = [q for q in listed(part.get("clear-of")) if q in on]
            if over:
                bad.append(f"{op['id']}: {over} in its way")
            on.discard(name)
        elif op["verb"] == "read":
            entry = facts.get("limits", {}).get(name) or facts.get("settings", {}).get(name) or {}
            gone = [q for q in listed(entry.get("of")) if q in parts and q not in on and any(
                o["verb"] == "remove" and o["entry"] == q for o in strip)]
            if gone:
                bad.append(f"{op['id']}: {gone} no longer there to be read")
    return steps


def main():
    failed = False
    for spec in ("specs/hob.yaml", "specs/pintail.yaml"):
        strip = [op for op in dump("plan", spec)["operations"] if op["phase"] == "strip"]
        facts, bad = dump("spec", spec), []
        steps = walk(facts, strip, bad)
        wrong = []  # the walk can see: the same order backwards is refused
        walk(facts, strip[::-1], wrong)
        if not wrong or steps < 30:
            bad.append("the walk sees nothing")
        failed |= bool(bad)
        print(f"not ok the strip of {spec}: {'; '.join(bad[:6])} ({len(bad)})" if bad else
              f"ok the strip of {spec} in {steps} steps")
    return failed


if __name__ == "__main__":
    sys.exit(main())
