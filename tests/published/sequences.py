#!/usr/bin/env python3
"""Ten builds written as facts, with invented names, against the sequences that public-domain manuals print for the
like of them. Each is ordered twice: as the file stands, where every printed "before" must hold, and with all entries of
the file in reverse, where those must hold that the facts alone bring about (`bound`). Then five of them get one fact
that contradicts the rest, and are refused with the loop that is really there.

Sources: technical manuals of the US Army (works of the US government, public domain), read page by page."""
import os
import re
import subprocess
import tempfile

import yaml

PROGRAM = os.environ.get("CHECKED", "out/test/gudgeon")
HEAD = "gudgeon: 1\nengine: {name: %s, cylinders: 1}\n"
JOINT = "thread: M8, count: 4, condition: {lubricant: oiled}, torque: 20 N m, lock: self-locking"

# name, source, facts, printed sequence, what of it the facts alone bring about
BUILDS = [
    ("Alder", "TM 5-4930-244-14, piston and connecting rod, e. assembly (1) to (14): pin through rod and piston, two "
     "rings to hold it, rings compressed and piston into the cylinder, shims, cylinder over the studs, cap, screws", """
parts:
  crankcase: {}
  crankshaft: {in: crankcase, with: none}
  cylinder: {in: crankcase, with: [piston, rod, pin, clips, rings]}
  piston: {in: cylinder, with: [rod, pin, clips, rings]}
  rod: {in: piston, with: none}
  pin: {in: rod, with: none}
  clips: {in: pin}
  rings: {in: piston}
  shims: {in: crankcase, under: [cylinder]}
  cap: {in: rod, after: [cylinder], reach: underside}
openings: {underside: {in: crankcase, stays-open: the sump is another job}}
joints:
  cap-screws: {holds: [cap], to: rod, reach: underside, JOINT}
limits: {big-end: {of: [cap, crankshaft], want: 0.028..0.112 mm, when: assembled, reach: underside}}
""", ["fit:rod", "fit:pin", "fit:clips", "fit:rings", "fit:piston", "fit:shims", "fit:cylinder", "fit:cap",
      "tighten:cap-screws", "big-end@assembled"],
     [("rod", "pin"), ("pin", "clips"), ("clips", "piston"), ("rings", "piston"), ("piston", "cylinder"),
      ("shims", "cylinder"), ("cylinder", "cap"), ("cap", "cap-screws"), ("cap-screws", "big-end")]),
    ("Briar", "TM 5-3895-370-14&P, 5-67 d (2) to (6): oil ring expander and oil ring, intermediate ring, top ring; one "
     "retaining ring, wrist pin through piston and rod, the other retaining ring", """
parts:
  block: {}
  piston: {in: block, with: all}
  expander: {in: piston, with: none}
  oil-ring: {in: expander}
  middle-ring: {in: piston, after: [oil-ring]}
  top-ring: {in: piston, after: [middle-ring]}
  first-clip: {in: piston}
  rod: {in: piston, with: none}
  wrist-pin: {in: rod, after: [first-clip]}
  last-clip: {in: piston, after: [wrist-pin]}
""", ["fit:expander", "fit:oil-ring", "fit:middle-ring", "fit:top-ring", "fit:first-clip", "fit:rod", "fit:wrist-pin",
      "fit:last-clip", "fit:piston"],
     [("expander", "oil-ring"), ("oil-ring", "middle-ring"), ("middle-ring", "top-ring"), ("first-clip", "wrist-pin"),
      ("rod", "wrist-pin"), ("wrist-pin", "last-clip"), ("last-clip", "piston"), ("top-ring", "piston")]),
    ("Cedar", "TM 5-3895-382-24, piston and rod install, 3 to 12 and 'end by': upper shell in the rod, piston into "
     "the liner and onto the journal, lower shell in the cap, cap, nuts, turn it; then jets, then the oil pump", """
parts:
  block: {}
  crankshaft: {in: block, with: none}
  piston: {in: block, through: bore, with: [rod, upper-shell]}
  rod: {in: piston, with: [upper-shell]}
  upper-shell: {in: rod}
  cap: {in: rod, after: [piston], with: [lower-shell], reach: sump}
  lower-shell: {in: cap}
  jet: {in: block, after: [cap-nuts]}
  oil-pump: {in: block, closes: [sump]}
  head: {in: block, closes: [bore]}
openings: {bore: {in: block}, sump: {in: block}}
joints: {cap-nuts: {holds: [cap], to: rod, reach: sump, JOINT}}
steps: {turn: {do: Turn the crankshaft and feel for binding, of: [crankshaft], after: [cap-nuts], before: [jet]}}
""", ["fit:upper-shell", "fit:rod", "fit:piston", "fit:lower-shell", "fit:cap", "tighten:cap-nuts", "do:turn",
      "fit:jet", "fit:oil-pump"],
     [("upper-shell", "rod"), ("rod", "piston"), ("piston", "cap"), ("lower-shell", "cap"), ("cap", "cap-nuts"),
      ("cap-nuts", "turn"), ("turn", "jet"), ("cap-nuts", "oil-pump"), ("piston", "head")]),
    ("Dogwood", "TM 5-3820-233-35/1, water pump, e. reassembly (1) to (7): insert, slinger on the shaft, shaft into "
     "the body, seal, its spring, impeller, turn it by hand", """
parts:
  body: {}
  insert: {in: body}
  shaft: {in: body, with: [slinger]}
  slinger: {in: shaft}
  seal: {in: shaft, after: [insert], with: none}
  spring: {in: seal, under: [impeller]}
  impeller: {in: shaft}
steps: {turn: {do: Turn it and see that the impeller is clear of the body, of: [impeller, shaft]}}
""", ["fit:insert", "fit:slinger", "fit:shaft", "fit:seal", "fit:spring", "fit:impeller", "do:turn"],
     [("slinger", "shaft"), ("shaft", "seal"), ("insert", "seal"), ("seal", "spring"), ("spring", "impeller"),
      ("impeller", "turn")]),
    ("Elder", "TM 5-1185, oil pump, e. reassembly (1) to (4): key on the shaft, driver gear and its retaining ring, "
     "bushing in the body, shaft into the body, drive gear on it, its pin, end play", """
parts:
  body: {}
  bushing: {in: body}
  shaft: {in: body, after: [bushing], with: [key, driver-gear, snap-ring]}
  key: {in: shaft, under: [driver-gear]}
  driver-gear: {in: shaft}
  snap-ring: {in: shaft, after: [driver-gear]}
  drive-gear: {in: shaft, with: none}
  gear-pin: {in: drive-gear}
limits: {end-play: {of: [shaft, gear-pin], want: at most 0.006 in, when: assembled}}
""", ["fit:key", "fit:driver-gear", "fit:snap-ring", "fit:shaft", "fit:drive-gear", "fit:gear-pin",
      "end-play@assembled"],
     [("key", "driver-gear"), ("driver-gear", "snap-ring"), ("snap-ring", "shaft"), ("bushing", "shaft"),
      ("shaft", "drive-gear"), ("drive-gear", "gear-pin"), ("gear-pin", "end-play")]),
    ("Fir", "TM 9-2320-272-24-4, 5-11 (1) to (13): idler shaft, drive gear on the shaft, shaft into the body, idler "
     "gear, driven gear, gasket and inner body, then the second pair of gears", """
parts:
  body: {}
  idler-shaft: {in: body, with: none}
  shaft: {in: body, with: [drive-gear]}
  drive-gear: {in: shaft}
  idler-gear: {in: idler-shaft, through: pocket}
  driven-gear: {in: shaft, through: pocket}
  inner-body: {in: body, closes: [pocket], with: none}
  gasket: {state: renew}
  second-driven: {in: shaft, after: [inner-body]}
  second-idler: {in: idler-shaft, after: [inner-body]}
openings: {pocket: {in: body}}
seals: {face: {between: [body, inner-body], gasket: gasket}}
""", ["fit:idler-shaft", "fit:drive-gear", "fit:shaft", "fit:idler-gear", "fit:driven-gear", "seal:face",
      "fit:inner-body", "fit:second-driven", "fit:second-idler"],
     [("idler-shaft", "idler-gear"), ("drive-gear", "shaft"), ("shaft", "driven-gear"), ("idler-gear", "inner-body"),
      ("driven-gear", "inner-body"), ("face", "inner-body"), ("inner-body", "second-driven"),
      ("inner-body", "second-idler")]),
    ("Gorse", "TM 5-3825-221-15, oil pump, e. reassembly (1) to (5): idler shaft and gear, drive gear on its shaft and "
     "pinned, shaft into the body, gasket and cover with its screws, screen on the cover", """
parts:
  body: {}
  idler-shaft: {in: body, through: mouth, with: [idler-gear]}
  idler-gear: {in: idler-shaft}
  drive-shaft: {in: body, through: mouth, with: all}
  drive-gear: {in: drive-shaft, with: none}
  gear-pin: {in: drive-gear}
  cover: {in: body, closes: [mouth], with: none}
  gasket: {state: renew}
  screen: {in: cover, after: [cover-screws]}
openings: {mouth: {in: body}}
joints:
  cover-screws: {holds: [cover], to: body, JOINT}
  screen-screw: {holds: [screen], to: cover, JOINT}
seals: {face: {between: [body, cover], gasket: gasket}}
""", ["fit:idler-gear", "fit:idler-shaft", "fit:drive-gear", "fit:gear-pin", "fit:drive-shaft", "seal:face",
      "fit:cover", "tighten:cover-screws", "fit:screen", "tighten:screen-screw"],
     [("drive-gear", "gear-pin"), ("gear-pin", "drive-shaft"), ("drive-shaft", "cover"), ("idler-shaft", "cover"),
      ("face", "cover"), ("cover", "cover-screws"), ("cover-screws", "screen"), ("screen", "screen-screw")]),
    ("Hazel", "TM 10-4320-315-24, 4-13 c (1) to (11): gear and pin on the crankshaft, shells in the bores, thrust "
     "halves in the bore, crankshaft, caps, bolts, end clearance", """
parts:
  crankcase: {}
  upper-shells: {in: crankcase, under: [crankshaft]}
  upper-thrust: {in: crankcase, after: [upper-shells], under: [crankshaft]}
  crankshaft: {in: crankcase, with: [gear, gear-pin]}
  gear: {in: crankshaft, with: none}
  gear-pin: {in: gear}
  caps: {in: crankcase, after: [crankshaft], with: all}
  lower-shells: {in: caps}
  lower-thrust: {in: caps, after: [lower-shells]}
joints: {cap-bolts: {holds: [caps], to: crankcase, JOINT}}
limits: {end-clearance: {of: [crankshaft, caps], want: 0.0055..0.0117 in, when: assembled}}
""", ["fit:upper-shells", "fit:upper-thrust", "fit:gear", "fit:gear-pin", "fit:crankshaft", "fit:lower-shells",
      "fit:lower-thrust", "fit:caps", "tighten:cap-bolts", "end-clearance@assembled"],
     [("gear", "crankshaft"), ("upper-shells", "upper-thrust"), ("upper-thrust", "crankshaft"),
      ("lower-shells", "caps"), ("lower-thrust", "caps"), ("crankshaft", "caps"), ("caps", "cap-bolts"),
      ("cap-bolts", "end-clearance")]),
    ("Ivy", "TM 5-4310-379-14, 5-23 (2) (a) to (k) and follow-on: key, gear, slinger on the crankshaft; upper washers "
     "and shells; crankshaft; caps and bolts; end play; front cover with gasket; spacer; pulley and its bolt; then rods",
     """
parts:
  block: {}
  upper-washers: {in: block, under: [crankshaft]}
  upper-shells: {in: block, under: [crankshaft]}
  crankshaft: {in: block, with: [key, gear, slinger]}
  key: {in: crankshaft, under: [gear]}
  gear: {in: crankshaft}
  slinger: {in: crankshaft, after: [gear]}
  caps: {in: block, after: [crankshaft], with: [lower-washers, lower-shells]}
  lower-washers: {in: caps}
  lower-shells: {in: caps}
  front-cover: {in: block, closes: [front], after: [end-play], with: [oil-seal]}
  oil-seal: {in: front-cover}
  cover-gasket: {state: renew}
  spacer: {in: crankshaft, after: [front-cover]}
  pulley: {in: crankshaft, after: [spacer]}
  piston: {in: block, after: [pulley-bolt]}
openings: {front: {in: block}}
joints:
  cap-bolts: {holds: [caps], to: block, JOINT}
  cover-bolts: {holds: [front-cover], to: block, JOINT}
  pulley-bolt: {holds: [pulley], to: crankshaft, JOINT}
seals: {front-face: {between: [block, front-cover], gasket: cover-gasket}}
limits: {end-play: {of: [crankshaft, caps], want: 0.004..0.014 in, when: assembled}}
""", ["fit:upper-washers", "fit:upper-shells", "fit:key", "fit:gear", "fit:slinger", "fit:crankshaft",
      "fit:lower-washers", "fit:lower-shells", "fit:caps", "tighten:cap-bolts", "end-play@assembled", "seal:front-face",
      "fit:front-cover", "tighten:cover-bolts", "fit:spacer", "fit:pulley", "tighten:pulley-bolt", "fit:piston"],
     [("key", "gear"), ("gear", "slinger"), ("slinger", "crankshaft"), ("upper-shells", "crankshaft"),
      ("upper-washers", "crankshaft"), ("lower-shells", "caps"), ("crankshaft", "caps"), ("caps", "cap-bolts"),
      ("cap-bolts", "end-play"), ("end-play", "front-cover"), ("front-face", "front-cover"), ("front-cover", "spacer"),
      ("spacer", "pulley"), ("pulley", "pulley-bolt"), ("pulley-bolt", "piston")]),
    ("Juniper", "TM 5-3825-225-14&P, 5-14 e (1) to (11): top shells, crankshaft, upper thrust washer, lower shells, "
     "cap, setscrews, end float, sealing strips of the rear housing, rod caps, oil pump, then the oil pan", """
parts:
  block: {}
  top-shells: {in: block, under: [crankshaft]}
  crankshaft: {in: block, through: underside, with: none}
  upper-thrust: {in: block, through: underside, after: [crankshaft]}
  main-cap: {in: block, through: underside, after: [upper-thrust], with: [lower-shells]}
  lower-shells: {in: main-cap}
  rear-seal-housing: {in: block, after: [float], with: [strips]}
  strips: {in: rear-seal-housing}
  rod-cap: {in: crankshaft, through: underside, after: [rear-seal-housing]}
  oil-pump: {in: block, through: underside, after: [rod-screws]}
  oil-pan: {in: block, closes: [underside]}
  pan-gasket: {state: renew}
openings: {underside: {in: block}}
joints:
  main-screws: {holds: [main-cap], to: block, JOINT}
  rod-screws: {holds: [rod-cap], to: crankshaft, JOINT}
seals: {pan-face: {between: [block, oil-pan], gasket: pan-gasket}}
limits: {float: {of: [crankshaft, main-cap], want: 0.002..0.015 in, when: assembled, reach: underside}}
""", ["fit:top-shells", "fit:crankshaft", "fit:upper-thrust", "fit:lower-shells", "fit:main-cap",
      "tighten:main-screws", "float@assembled", "fit:strips", "fit:rear-seal-housing", "fit:rod-cap",
      "tighten:rod-screws", "fit:oil-pump", "seal:pan-face", "fit:oil-pan"],
     [("top-shells", "crankshaft"), ("crankshaft", "upper-thrust"), ("upper-thrust", "main-cap"),
      ("lower-shells", "main-cap"), ("main-cap", "main-screws"), ("main-screws", "float"),
      ("float", "rear-seal-housing"), ("strips", "rear-seal-housing"), ("rear-seal-housing", "rod-cap"),
      ("rod-cap", "rod-screws"), ("rod-screws", "oil-pump"), ("oil-pump", "oil-pan"), ("pan-face", "oil-pan")]),
]

# the build, what is written for what, and the entries that the loop told must name: no more, no fewer
CONTRADICTIONS = [
    ("Alder", "shims: {in: crankcase, under: [cylinder]}", "shims: {in: crankcase, under: [cylinder], after: [cap]}",
     {"shims", "cap", "cylinder"}),
    ("Briar", "first-clip: {in: piston}", "first-clip: {in: piston, after: [last-clip]}",
     {"first-clip", "wrist-pin", "last-clip"}),
    ("Cedar", "oil-pump: {in: block, closes: [sump]}", "oil-pump: {in: block, closes: [sump], before: [cap-nuts]}",
     {"oil-pump", "cap-nuts"}),
    ("Gorse", "cover: {in: body, closes: [mouth], with: none}",
     "cover: {in: body, closes: [mouth], with: none, before: [drive-shaft]}", {"cover", "drive-shaft"}),
    ("Ivy", "spacer: {in: crankshaft, after: [front-cover]}",
     "spacer: {in: crankshaft, after: [front-cover], before: [end-play]}", {"spacer", "front-cover", "end-play"}),
]


def text_of(name, facts):
    return HEAD % name + facts.replace("JOINT", JOINT)


def reverse(text):
    spec = yaml.safe_load(text)
    for section, entries in spec.items():
        if isinstance(entries, dict) and section not in ("engine",):
            spec[section] = dict(reversed(entries.items()))
    return yaml.safe_dump(spec, sort_keys=False, width=1000)


def run(folder, text):
    path = os.path.join(folder, "build.yaml")
    with open(path, "w", encoding="utf-8") as out:
        out.write(text)
    return subprocess.run([PROGRAM, "order", path], capture_output=True, text=True, env=os.environ)


def final_ids(printed):
    lines = printed.split("final\n", 1)[-1].split("\n")
    return [line.split()[-1] for line in lines if re.match(r" +\d+  ", line)]


def entry_of(operation):
    return re.split("[@/]", operation.split(":", 1)[-1])[0]


def spans(ids):
    """First and last place of each entry's operations."""
    found = {}
    for at, one in enumerate(ids):
        first, _ = found.get(entry_of(one), (at, at))
        found[entry_of(one)] = (first, at)
    return found


def report(name, faults):
    print(f"not ok {name}: {'; '.join(faults)}" if faults else f"ok {name}")


def check_build(folder, name, source, facts, sequence, bound):
    done = run(folder, text_of(name, facts))
    ids = final_ids(done.stdout)
    faults = [done.stderr.strip()] if done.returncode else [f"{one} is not there" for one in sequence if one not in ids]
    if not faults:
        faults = [f"{b} stands before {a}" for i, a in enumerate(sequence) for b in sequence[i + 1:]
                  if ids.index(a) > ids.index(b)]
    report(f"{name} follows its manual ({source})", faults)
    done = run(folder, reverse(text_of(name, facts)))
    places = spans(final_ids(done.stdout))
    faults = [done.stderr.strip()] if done.returncode else []
    faults += [f"{b} stands before {a}" for a, b in bound
               if not faults and (a not in places or b not in places or places[a][1] >= places[b][1])]
    report(f"{name} keeps what the facts bring about, whatever the order of the file", faults)


def check_contradiction(folder, name, facts, said, instead, loop):
    text = text_of(name, facts)
    assert text.count(said) == 1, said
    done = run(folder, text.replace(said, instead))
    # each link: 'A' (must come) before 'B', in the error and its notes
    links = re.findall(r"'\w+ ([\w-]+)[^']*' (?:must come )?before '\w+ ([\w-]+)[^']*'", done.stderr)
    after, round_trip, at = dict(links), [], links[0][0] if links else None
    while at in after and at not in round_trip:
        round_trip.append(at)
        at = after[at]
    faults = []
    if done.returncode == 0 or "[G0701]" not in done.stderr:
        faults.append("not refused")
    elif len(links) != len(round_trip) or at != round_trip[0]:
        faults.append(f"what is told is no loop: {links}")
    elif set(round_trip) != loop:
        faults.append(f"the loop goes through {round_trip}, not {sorted(loop)}")
    report(f"{name} with '{instead}' is refused with its loop", faults)


with tempfile.TemporaryDirectory() as work:
    known = {build[0]: build[2] for build in BUILDS}
    for build in BUILDS:
        check_build(work, *build)
    for contradiction in CONTRADICTIONS:
        check_contradiction(work, contradiction[0], known[contradiction[0]], *contradiction[1:])
