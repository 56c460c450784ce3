"""Rules of screws and of what is picked, for tests/e2e/worked.py: each a formula written from its source, which
takes the ends of the named inputs and the numbers of a fact and gives both ends of its value.

Sources: ISO 16047 (torque and preload), FED-STD-H28/2B (threads in shear), Shigley, Mechanical Engineering Design, 8-4
(three quarters of proof load), TM 9 series (a lever longer than its wrench)."""
import itertools
import math


def per_newton(n, end):
    """ISO 16047: torque for each newton, thread and face; b is half the angle between flanks."""
    thread, face = n[f"thread-friction-{end}"], n[f"face-friction-{end}"]
    half = math.radians(n["flank-half-angle"])
    return (n["pitch"] / math.tau + thread * n["pitch-diameter"] / (2 * math.cos(half))
            + face * n["face-diameter"] / 2)


def torque_of_proof(given, n):
    return (0.75 * n["proof-stress"] * n["stress-area"] * per_newton(n, "low"),) * 2


def torque_by_factor(given, n):
    factor = math.prod(value for name, value in n.items() if name.startswith("factor-"))
    return n["low"] * factor, n["high"] * factor


def torque_of_weakest(given, n):
    return None, min(low for low, high in given["bears"]) * (per_newton(n, "low") + per_newton(n, "high")) / 2


def preload(given, n):
    low, high = given["torque"]
    return low / per_newton(n, "high"), high / per_newton(n, "low")


def load_of_bolt(given, n):
    stress = n.get("yield-stress", n.get("proof-stress"))
    return ((0.7 * n["tensile-strength"] if stress is None else stress) * n["stress-area"],) * 2


def in_shear(own, other):
    """The teeth that stand round the diameter `own`, over the length engaged: each is as thick as half the pitch and
    the flanks (60 degrees, as the standard has it) from there to the other pitch diameter."""
    def work(given, n):
        strength = n.get("shear-strength") or n["tensile-strength"] / 3 ** 0.5
        depth = n["pitch-diameter"] - n["minor"] if own == "minor" else n["major"] - n["pitch-diameter"]
        thick = n["pitch"] / 2 + depth / 3 ** 0.5
        return (strength * math.pi * n[own] * thick * given["engaged"][0] / n["pitch"],) * 2
    return work


def on_wrench(n, torque):
    if "wrench-length" not in n:
        return torque
    arm = n["wrench-length"] + n["adapter-offset"] * math.cos(math.radians(n["adapter-angle"]))
    return torque * n["wrench-length"] / arm


def to_division(n, torque):
    if "division" not in n:
        return torque
    return math.floor(torque / n["division"] + 0.5) * n["division"]


def wrench(from_low_end):
    """The division nearest what is aimed at, of those inside the limits; a castellated nut begins at the low end."""
    def work(given, n):
        low, high = given["torque"]
        low, high = high if low is None else low, low if high is None else high
        aim = on_wrench(n, low if from_low_end else (low + high) / 2)
        best = to_division(n, aim)
        step = n.get("division", 0)
        inside = [v for v in (best, best - step, best + step)
                  if on_wrench(n, low) * (1 - 1e-9) <= v <= on_wrench(n, high) * (1 + 1e-9)]
        return ((inside or [best])[0] if high > low else best,) * 2
    return work


def pull(given, n):
    return (to_division(n, n["share"] * given["whole"][0]),) * 2


# ---------- picks ----------

def packs(n):
    """Every choice there is: (range, pieces, name of the loose piece or None)."""
    names = sorted({name[:-4] for name in n if name.endswith("-low")},
                   key=lambda name: (name.startswith("loose-"), int(name[5:]) if name.startswith("sold-") else 0))
    sold = [name for name in names if name.startswith("sold-")]
    for count in range(1, int(n["most"]) + 1):
        for pack in itertools.combinations_with_replacement(sold, count):
            if all(pack.count(name) <= n.get(name + "-stock", count) for name in set(pack)):
                yield (sum(n[name + "-low"] for name in pack), sum(n[name + "-high"] for name in pack)), count, None
    for name in names:
        if name.startswith("loose-"):
            yield (n[name + "-low"], n[name + "-high"]), 1, name


def chain_with(fact, given, choice):
    """The range of the limit with the choice in it."""
    plus, minus = list(given.get("plus", [])), list(given.get("minus", []))
    times = int(fact["numbers"]["times"])
    (plus if times > 0 else minus).extend([choice] * abs(times))
    return sum(v[0] for v in plus) - sum(v[1] for v in minus), sum(v[1] for v in plus) - sum(v[0] for v in minus)


def distance(given, range_, n):
    """From the middle of what is wanted, in half widths; None where the worst case is outside. A pick that goes against
    the rounding that the engine asks for comes after all that go with it, which are one half width off at most."""
    low, high = given["want"]
    if low is not None and range_[0] < low - 1e-12 or high is not None and range_[1] > high + 1e-12:
        return None
    if low is None or high is None:
        return 0
    off = (range_[0] + range_[1]) / 2 - (low + high) / 2
    return abs(off) / ((high - low) / 2) + (2 if off * n["times"] * n["round"] < 0 else 0)


def best_of_set(facts):
    """Every way to choose for all parts of one set together: the one with the least sum of distances, then the fewest
    pieces. `facts`: {id: (fact, given)}. Gives {id: range}."""
    parts = {}  # the facts of one picked part: one for each limit that it is in
    for name in facts:
        parts.setdefault(name.split(".pick.")[1], []).append(name)
    offers = {}
    for part, names in parts.items():
        offers[part] = []
        for choice, pieces, loose in packs(facts[names[0]][0]["numbers"]):
            offs = [distance(facts[name][1], chain_with(facts[name][0], facts[name][1], choice),
                             facts[name][0]["numbers"]) for name in names]
            if None not in offs:
                offers[part].append((sum(offs), pieces, loose, choice))
    best = None
    for chosen in itertools.product(*offers.values()):
        loose = [one[2] for one in chosen if one[2]]
        score = (round(sum(one[0] for one in chosen), 6), sum(one[1] for one in chosen))
        if len(set(loose)) == len(loose) and (best is None or score < best[0]):
            best = score, chosen
    return {name: one[3] for part, one in zip(offers, best[1]) for name in parts[part]}


RULES = {
    "torque-of-proof": torque_of_proof, "torque-by-factor": torque_by_factor, "torque-of-weakest": torque_of_weakest,
    "preload": preload, "load-of-bolt": load_of_bolt, "load-of-thread": in_shear("minor", "major"),
    "load-of-tapped": in_shear("major", "minor"), "wrench-to-middle": wrench(False), "wrench-from-low-end": wrench(True),
    "pull": pull, "least-engagement": lambda given, n: (n["diameters"] * n["major"], None),
    "drawn-up": lambda given, n: tuple(n["pitch"] * turn / 360 for turn in given["turn"]),
}
