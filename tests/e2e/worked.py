#!/usr/bin/env python3
"""Every value that names its rule is worked out again from what `why --json` says went in, by formulas written here
from their sources (ISO 286-1, Lame's thick ring, ISO 281, ISO 16047, plane geometry), and must agree with both ends.
Ranges go through interval arithmetic by corners here too. One case a value, of the bench spec and of both demos."""
import itertools
import json
import math
import os
import pathlib
import subprocess

ROOT = pathlib.Path(__file__).resolve().parents[2]
PROGRAM = str((ROOT / os.environ.get("GUDGEON", "out/build/gudgeon")).resolve())
SPECS = ["tests/e2e/keys/wigeon.yaml", "specs/hob.yaml", "specs/pintail.yaml"]


def ends(fact):
    """Both ends in metres or SI."""
    scale = 1e-3 if fact["unit"] == "mm" else 1
    return tuple(scale * fact[key] if key in fact else None for key in ("low", "high"))


def corners(work, *ranges):
    values = [work(*corner) for corner in itertools.product(*ranges)]
    return min(values), max(values)


def term(outside, inside):
    return (outside ** 2 + inside ** 2) / (outside ** 2 - inside ** 2)


def pressing(what):
    """Lame, plane stress: both rings move apart by the interference."""
    def work(given, n):
        low, high = given["clearance"]
        d = n["diameter"]

        def one(interference, outside, bore, outer, inner):
            p = interference / (d * ((term(outside, d) + n["outer-poisson"]) / outer
                                     + (term(d, bore) - n["inner-poisson"]) / inner))
            if what == "pressure":
                return p
            if what == "hoop":
                return p * term(outside, d)
            if what == "grows":  # strain at the outside, where only the hoop stress is left
                return outside * (2 * p * d ** 2 / (outside ** 2 - d ** 2)) / outer
            if what == "force":
                return p
            return bore * (2 * p * d ** 2 / (d ** 2 - bore ** 2)) / inner

        result = corners(one, (max(0, -high), -low), given["outside"], given.get("bore", (0, 0)),
                         (n["outer-modulus-low"], n["outer-modulus-high"]),
                         (n["inner-modulus-low"], n["inner-modulus-high"]))
        if what == "force":
            return corners(lambda p, l, mu: p * math.pi * d * l * mu, result, given["length"], given["friction"])
        if what == "after":
            return given["bore"][0] - result[1], given["bore"][1] - result[0]
        return result
    return work


def ground(range_, d):
    """What smoothing leaves of an interference: d / (d + 2 mm); a loose seat as it is."""
    return tuple(v * d / (d + 2e-3) if v > 0 else v for v in range_)


def seat(given, n):
    low, high = given["clearance"]
    return ground((-high, -low), n["diameter"])


def fitted(given, n):
    low, high = given["bought"]
    for key, d, share in (("shaft", n["bore"], n["share-inner"]), ("housing", n["outside"], n["share-outer"])):
        if key in given:
            least, most = ground((-given[key][1], -given[key][0]), d)
            low, high = low - share * max(0, most), high - share * max(0, least)
    return low, high


def running(given, n):
    low, high = fitted(given, n)
    cool, hot = given["inner-hotter"]
    return low - n["loss-per-k"] * hot, high - n["loss-per-k"] * cool


def ratio(bore, stroke, chamber, gasket, gasket_bore, deck, land):
    swept = math.pi / 4 * bore ** 2 * stroke
    top = chamber + math.pi / 4 * (gasket_bore or bore) ** 2 * gasket + math.pi / 4 * bore ** 2 * deck + land
    return 1 + swept / top


def by_name(work, *names):
    return lambda given, n: corners(work, *[given.get(name, (0, 0)) for name in names])


def events(work):
    names = ("inlet opens", "inlet closes", "exhaust opens", "exhaust closes")
    return lambda given, n: corners(work, *[given[name] for name in names])


def rss(given, n):
    low = sum(v[0] for v in given["plus"]) - sum(v[1] for v in given.get("minus", []))
    high = sum(v[1] for v in given["plus"]) - sum(v[0] for v in given.get("minus", []))
    half = math.sqrt(sum(((v[1] - v[0]) / 2) ** 2 for v in given["plus"] + given.get("minus", [])))
    return (low + high) / 2 - half, (low + high) / 2 + half


def stack(given, n):
    plus, minus = given["plus"], given.get("minus", [])
    return sum(v[0] for v in plus) - sum(v[1] for v in minus), sum(v[1] for v in plus) - sum(v[0] for v in minus)


def wear(sign):
    def work(given, n):
        now, new = given["now"], given["new"]
        low, high = (now[0] - new[1], now[1] - new[0]) if sign > 0 else (new[0] - now[1], new[1] - now[0])
        return max(0, low), max(0, high)
    return work


def hours_left(given, n):
    (least, most), limit, (h_low, h_high) = given["wear"], given["limit"][1], given["hours"]
    return (max(0, (limit - most) / most * h_low), max(0, (limit - least) / least * h_high) if least else None)


RULES = {
    "press-pressure": pressing("pressure"), "press-hoop": pressing("hoop"), "press-grows": pressing("grows"),
    "press-closes": pressing("closes"), "press-force": pressing("force"), "bore-after": pressing("after"),
    "interference-shaft": seat, "interference-housing": seat, "clearance-fitted": fitted, "clearance-running": running,
    "stack": stack, "stack-rss": rss, "wear-of-hole": wear(1), "wear-of-shaft": wear(-1), "hours-left": hours_left,
    "compression-ratio": by_name(ratio, "bore", "stroke", "chamber", "gasket", "gasket-bore", "deck", "land"),
    "swept-volume": by_name(lambda b, s: math.pi * (b / 2) ** 2 * s, "bore", "stroke"),
    "bob-weight": by_name(lambda a, b, c: a + b * c, "rotating", "reciprocating", "factor"),
    "drill-depth": by_name(lambda u, r, d, rho: u / (r * rho * math.pi * (d / 2) ** 2), "unbalance", "radius", "drill",
                           "density"),
    "roller-room": by_name(lambda p, r, n: (p + r) / 2 * (2 * math.pi - n * 2 * math.asin(r / (p + r))), "pin",
                           "roller", "count"),
    "shell-grip": by_name(lambda p: 2 * p / math.pi, "proud"),
    "ring-gap-worn": by_name(lambda g, a, b: g + math.pi * b - math.pi * a, "gap", "unworn", "worn"),
    "ball-life": by_name(lambda c, p, n: (c / p) ** 3 * 1e6 / n * 60, "capacity", "load", "speed"),
    "roller-life": by_name(lambda c, p, n: (c / p) ** (10 / 3) * 1e6 / n * 60, "capacity", "load", "speed"),
    "spring-rate": by_name(lambda a, la, b, lb: (b - a) / (la - lb), "closed", "closed-length", "open", "open-length"),
    "rim-tape": by_name(lambda a, d: math.radians(a) * d / 2, "at", "rim"),
    "rim-dividers": by_name(lambda a, d: math.sqrt(d ** 2 / 2 * (1 - math.cos(math.radians(a)))), "at", "rim"),
    "tooth-step": lambda given, n: (360 / n["teeth"],) * 2,
    "slot-turn": lambda given, n: (None, 60),
    "slot-advance": lambda given, n: (n["pitch"] / 6,) * 2,
    "preload": lambda given, n: (given["torque"][0] / n["per-newton-high"], given["torque"][1] / n["per-newton-low"]),
    "inlet-duration": events(lambda io, ic, eo, ec: io + 180 + ic),
    "exhaust-duration": events(lambda io, ic, eo, ec: eo + 180 + ec),
    "overlap": events(lambda io, ic, eo, ec: io + ec),
    "inlet-centre": events(lambda io, ic, eo, ec: (180 + ic) / 2 - io / 2),
    "exhaust-centre": events(lambda io, ic, eo, ec: (180 + eo) / 2 - ec / 2),
}
MANY = {"stack", "stack-rss"}  # rules with several inputs of one name


def chain(spec, fact):
    done = subprocess.run([PROGRAM, "why", "--json", spec, fact], cwd=ROOT, capture_output=True, check=False)
    return json.loads(done.stdout)


def given_of(fact):
    given = {}
    for item in fact["inputs"]:
        if "as" not in item or "unit" not in item:
            continue
        if fact["rule"] in MANY:
            given.setdefault(item["as"], []).append(ends(item))
        else:
            given[item["as"]] = ends(item)
    return given


def near(got, expected):
    if got is None or expected is None:
        return got is None and expected is None
    return abs(got - expected) <= 1e-8 * max(abs(expected), 1e-3)


cases = {}
for spec in SPECS:
    dump = subprocess.run([PROGRAM, "check", "--dump=build", spec], cwd=ROOT, capture_output=True, check=False)
    for fact in json.loads(dump.stdout)["facts"]:
        if "rule" in fact:
            cases[spec, fact["id"]] = fact["rule"]
for (spec, name), rule in cases.items():
    fact = next(fact for fact in chain(spec, name) if fact.get("id") == name)
    expected, got = RULES[rule](given_of(fact), fact.get("numbers", {})), ends(fact)
    ok = all(near(a, b) for a, b in zip(got, expected))
    print(f"{'ok' if ok else 'not ok'} {pathlib.Path(spec).stem} {name}: {rule}"
          + ("" if ok else f": {got}, worked out again {expected}"))
for rule in sorted(set(RULES) - set(cases.values())):
    print(f"not ok rule {rule}: no spec of this test uses it")
