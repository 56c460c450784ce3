#!/usr/bin/env python3
"""Every value that is worked out is worked out again from what `why --json` says went in, by formulas written here and
in tests/support/rules_of_joints.py from their sources (ISO 286-1, Lame's thick ring, ISO 281, ISO 16047, plane geometry),
and must agree at both ends. Ranges go through interval arithmetic by corners here too; a pick is made again from all that
was on offer. One case a value, of the bench spec and of both demos: one that does not name a rule known here fails."""
import itertools
import json
import math
import os
import pathlib
import subprocess
import sys

ROOT = pathlib.Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT / "tests/support"))
import rules_of_joints  # noqa: E402
PROGRAM = str((ROOT / os.environ.get("GUDGEON", "out/build/gudgeon")).resolve())
SPECS = ["specs/scoter.yaml", "tests/e2e/keys/wigeon.yaml", "specs/hob.yaml", "specs/pintail.yaml"]


def ends(fact):
    """Both ends in metres or SI."""
    scale = 1e-3 if fact.get("unit") == "mm" else 1
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


def hot(given, n):
    (low, high), at = given["clearance"], given["at"][1]
    growth = n["diameter"] * (n["outer-expansion"] - n["inner-expansion"]) * (at - n["room"])
    return low + growth, high + growth


def heat_to(given, n):
    """The outer part grows by what interferes at the tightest and the gap; what it cools on the way is added."""
    open_ = given["gap"][1] - given["clearance"][0]
    if "chilled" in given:  # the inner part has shrunk by what of the cold is left
        open_ -= n["diameter"] * n["inner-expansion"] * (n["room"] - given["chilled"][0]) * (1 - n["warming"])
    open_ = max(0, open_)
    return (n["room"] + open_ / (n["expansion"] * n["diameter"]) / (1 - n["cooling"]),) * 2


def chill_to(given, n):
    """The inner part shrinks by the same; what it warms on the way is added."""
    open_ = max(0, given["gap"][1] - given["clearance"][0])
    return (n["room"] - open_ / (n["expansion"] * n["diameter"]) / (1 - n["warming"]),) * 2


def lets_go(given, n):
    """Both parts equally warm: the hole gains on the shaft by the difference of their growth, until nothing is left."""
    low, high = given["clearance"]
    gain = n["diameter"] * (n["outer-expansion"] - n["inner-expansion"])
    return n["room"] + max(0, -high) / gain, n["room"] + -low / gain


def rods(given, stroke):
    """Where nobody has measured the rod: 1.75 to 2.25 strokes."""
    return given.get("rod", (1.75 * stroke, 2.25 * stroke))


def piston(given, n):
    """The piston's distance from the dead centre, by the two sides of the triangle that the crank makes."""
    def one(angle, stroke, rod):
        angle = math.radians(180 - angle if n["from-bottom"] else angle)
        pin = stroke / 2 * math.cos(angle) + math.sqrt(rod ** 2 - (stroke / 2 * math.sin(angle)) ** 2)
        return pin - (rod - stroke / 2) if n["from-bottom"] else rod + stroke / 2 - pin
    return corners(one, spread_of(given, 180), given["stroke"], rods(given, given["stroke"][0]))


def crank(given, n):
    """By halving: the angle at which the piston has gone so far."""
    def one(travel, stroke, rod):
        low, high = 0, 180
        for _ in range(80):
            middle = (low + high) / 2
            once = {"at": (middle,) * 2, "stroke": (stroke,) * 2, "rod": (rod,) * 2}
            low, high = (middle, high) if piston(once, n)[0] < travel else (low, middle)
        return low
    stroke = given["stroke"][0]
    return corners(one, spread_of(given, stroke), given["stroke"], rods(given, stroke))


def spread_of(given, top):
    at, tolerance = given["at"], given.get("tolerance", (0, 0))[1]
    return max(0, at[0] - tolerance), min(top, at[1] + tolerance)


def marks_return(given, n):
    teeth = [round(value) for value in n.values()]
    turn = next(k for k in itertools.count(1) if all(k * teeth[0] % other == 0 for other in teeth))
    return turn, turn


def rule_of_thumb(given, n):
    size = sum(given.get("size", (0, 0))) / 2
    return tuple(n.get(end + "-ratio", 0) * size + n.get(end, 0) if end in n or end + "-ratio" in n else None
                 for end in ("low", "high"))


def spread(given, n):
    """Largest less smallest, of what lies within limits: the least is what the limits cannot explain away."""
    lows, highs = zip(*given["member"])
    return max(0, max(lows) - min(highs)), max(highs) - min(lows)


def to_lightest(given, n):
    """Metal comes off until each weighs what the lightest does: it weighs at most what any of them may at most."""
    (low, high), all_ = given["own"], [*given["others"], given["own"]]
    return max(0, low - min(v[1] for v in all_)), high - min(v[0] for v in all_)


def pieces(given, n):
    least = sum((low or 0) * n[name] for name, (low, high) in given.items())
    return least, None if n["not weighed"] else sum(high * n[name] for name, (low, high) in given.items())


RULES = {
    **rules_of_joints.RULES,
    "open": lambda given, n: (None, None), "spread": spread, "to-lightest": to_lightest, "rule-of-thumb": rule_of_thumb,
    "deviations": lambda given, n: (n["nominal"] + n["lower"], n["nominal"] + n["upper"]),
    "extremes": lambda given, n: (min(v for k, v in n.items() if k.startswith("low-")),
                                  max(v for k, v in n.items() if k.startswith("high-"))),
    "next-over": lambda given, n: (min(step for step in n.values() if step > given["found"][1]),) * 2,
    "next-under": lambda given, n: (max(step for step in n.values() if step < given["found"][0]),) * 2,
    "clearance-hot": hot, "heat-to": heat_to, "chill-to": chill_to, "lets-go": lets_go,
    "chilled": lambda given, n: given["at-least"], "travel-of-angle": piston, "angle-of-travel": crank,
    "marks-return": marks_return, "sum-of-pieces": pieces,
    "position-limits": lambda given, n: (given["at"][0] - given["tolerance"][1], given["at"][1] + given["tolerance"][1]),
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
    "bolt-stretch": by_name(lambda before, after: after - before, "before", "after"),
    "rim-tape": by_name(lambda a, d: math.radians(a) * d / 2, "at", "rim"),
    "rim-dividers": by_name(lambda a, d: math.sqrt(d ** 2 / 2 * (1 - math.cos(math.radians(a)))), "at", "rim"),
    "tooth-step": lambda given, n: (360 / n["teeth"],) * 2,
    "slot-turn": lambda given, n: (None, 60),
    "slot-advance": lambda given, n: (n["pitch"] / 6,) * 2,
    "inlet-duration": events(lambda io, ic, eo, ec: io + 180 + ic),
    "exhaust-duration": events(lambda io, ic, eo, ec: eo + 180 + ec),
    "overlap": events(lambda io, ic, eo, ec: io + ec),
    "inlet-centre": events(lambda io, ic, eo, ec: (180 + ic) / 2 - io / 2),
    "exhaust-centre": events(lambda io, ic, eo, ec: (180 + eo) / 2 - ec / 2),
}
MANY = {"plus", "minus", "bears", "member", "others"}  # of these there may be several
SUMS = {"stack", "wear-of-hole", "wear-of-shaft", "clearance-hot"}  # uncertainties by root-sum-square (JCGM 100, 5.1.2)


def chain(spec, fact):
    done = subprocess.run([PROGRAM, "why", "--json", spec, fact], cwd=ROOT, capture_output=True, check=False)
    return json.loads(done.stdout)


def given_of(fact):
    given = {}
    for item in fact["inputs"]:
        if "as" not in item or "unit" not in item:
            continue
        if item["as"] in MANY:
            given.setdefault(item["as"], []).append(ends(item))
        else:
            given[item["as"]] = ends(item)
    return given


def near(got, expected):
    if got is None or expected is None:
        return got is None and expected is None
    return abs(got - expected) <= 1e-8 * max(abs(expected), 1e-3)


def is_derived(fact):
    """Said by nobody and read from no table as it stands."""
    return fact["origin"] == "computed" or any(key in fact for key in ("rule", "formula", "derived"))


def uncertainty(fact):
    return math.hypot(*[item.get("uncertainty", 0) for item in fact["inputs"]]) if fact["rule"] in SUMS else None


def check(spec, fact, expected):
    got, good_to = ends(fact), uncertainty(fact)
    ok = all(near(a, b) for a, b in zip(got, expected))
    sure = good_to is None or near(fact.get("uncertainty", 0), good_to)
    print(f"{'ok' if ok and sure else 'not ok'} {pathlib.Path(spec).stem} {fact['id']}: {fact['rule']}"
          + ("" if ok else f": {got}, worked out again {expected}")
          + ("" if sure else f": good to {fact.get('uncertainty')}, worked out again {good_to}"))


used = set()
for spec in SPECS:
    dump = subprocess.run([PROGRAM, "check", "--dump=build", spec], cwd=ROOT, capture_output=True, check=False)
    sets = {}  # of parts picked together
    for fact in filter(is_derived, json.loads(dump.stdout)["facts"]):
        name, rule = fact["id"], fact.get("rule")
        used.add(rule)
        if rule not in RULES and rule != "pick":
            print(f"not ok {pathlib.Path(spec).stem} {name}: is worked out by {rule or 'no rule'}, which is not known here")
            continue
        fact = next(fact for fact in chain(spec, name) if fact.get("id") == name)
        if rule == "pick":
            sets.setdefault(fact["numbers"]["set"], {})[name] = fact, given_of(fact)
        else:
            check(spec, fact, RULES[rule](given_of(fact), fact.get("numbers", {})))
    for facts in sets.values():
        best = rules_of_joints.best_of_set(facts)
        for name, (fact, _) in facts.items():
            check(spec, fact, best[name])
for rule in sorted((set(RULES) | {"pick"}) - used):
    print(f"not ok rule {rule}: no spec of this test uses it")
