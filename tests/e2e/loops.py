"""A contradiction names the single facts that would break it: exactly those lines of the loop each of which,
taken out of the spec alone, leaves an order. Asked of the program itself, line by line, on small specs of
steps whose `before` facts stand a line each. Needs nothing beyond this repository."""
import os
import random
import re
import subprocess
import sys
import tempfile

PROGRAM = os.environ["GUDGEON"]
SEEDS = 40


def spec_of(facts, count):
    lines = ["gudgeon: 1", "engine: {name: Knot}", "parts:", "  case: {name: Case}", "steps:"]
    for step in range(count):
        lines.append(f"  s{step}:")
        lines.append(f"    do: Do the thing {step}.")
        lines.append("    of: [case]")
        after = [b for a, b in facts if a == step]
        if after:
            lines.append("    before:")
            lines += [f"      - s{b}" for b in after]
    return lines


def check(folder, lines):
    path = os.path.join(folder, "knot.yaml")
    with open(path, "w", encoding="utf-8") as out:
        out.write("\n".join(lines) + "\n")
    done = subprocess.run([PROGRAM, "check", path], capture_output=True, text=True, check=False)
    return done.stderr


def loops(text):
    return "must come before" in text or "before itself" in text


def without(lines, number):
    """The spec without that line, and without a `before:` that then has nothing below it."""
    left = lines[:number - 1] + lines[number:]
    return [line for i, line in enumerate(left)
            if line.strip() != "before:" or (i + 1 < len(left) and left[i + 1].startswith("      - "))]


def knot(rng):
    """A ring of steps, and a few chords that close it in other ways too."""
    count = rng.randint(2, 6)
    facts = {(i, (i + 1) % count) for i in range(count)}
    for _ in range(rng.randint(0, 3)):
        a, b = rng.sample(range(count), 2)
        facts.add((a, b))
    return sorted(facts), count


def main():
    bad, named_some, named_none = [], 0, 0
    with tempfile.TemporaryDirectory() as folder:
        for seed in range(SEEDS):
            facts, count = knot(random.Random(seed))
            lines = spec_of(facts, count)
            told = check(folder, lines)
            if not loops(told):
                bad.append(f"seed {seed}: no contradiction told: {told[:200]}")
                continue
            hint = re.search(r"opens it: ([0-9:, ]+)", told)
            named = {int(place.split(":")[0]) for place in hint.group(1).split(", ")} if hint else set()
            if not hint and "no single one of them opens it" not in told:
                bad.append(f"seed {seed}: nothing is said of what would open it: {told[:300]}")
            told_lines = {int(n) for n in re.findall(r"knot\.yaml:(\d+):\d+", told)}
            true = {n for n in told_lines if lines[n - 1].startswith("      - ")
                    and not loops(check(folder, without(lines, n)))}
            if named != true:
                bad.append(f"seed {seed}: names lines {sorted(named)}, true are {sorted(true)}")
            named_some += bool(named)
            named_none += not named
    if not named_some or not named_none:
        bad.append("the specs never came out both ways")
    print(f"not ok facts that open a contradiction: {bad[0]}" if bad else
          f"ok facts that open a contradiction ({named_some} knots with some, {named_none} with none)")
    return bool(bad)


if __name__ == "__main__":
    sys.exit(main())
