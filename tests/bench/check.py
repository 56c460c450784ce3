#!/usr/bin/env python3
"""Whole `check` of large specs: the time of an operation at 100,000 operations is at most 1.6 times that at
10,000. Two forms, since both the places of an entry and the entries themselves may be many: cylinders by
`each`, and every cylinder written out. Processor time of the whole program, medians of runs in turn."""
import os
import pathlib
import re
import resource
import statistics
import subprocess
import tempfile

ROOT = pathlib.Path(__file__).resolve().parents[2]
PROGRAM = str((ROOT / os.environ.get("GUDGEON", "out/build/gudgeon")).resolve())
RUNS, MOST = 5, 1.6

# One bank of cylinders; @ is its number, EACH the places. Every kind of entry is in it.
HEAD = """gudgeon: 1
engine: {name: Large, cylinders: CYLINDERS}
suppliers: {honer: {name: Honer}}
consumables: {paste: {open-time: 10 min, cures: 2 h}}
running-in: {first: {for: 20 min}}
"""
SECTIONS = {
    "parts": """  crankshaft@: {in: crankcase, through: front@, with: [rod@, rod-cap@]}
  rod@: {EACHin: crankshaft@, with: [bush@, plug@], number: R-@, inspect: [magnetic]}
  bush@: {EACHin: rod@}
  rod-cap@: {EACHin: rod@}
  plate@: {in: crankcase, closes: [front@]}
  piston@: {EACHin: rod@, through: mouth@, material: aluminium-cast, sizes: {boss: 19.995..19.999 mm},
      with: [ring@, pin@]}
  ring@: {EACHin: piston@}
  cylinder@: {EACHin: crankcase, closes: [mouth@], with: [valve@, collet@], inspect: [visual]}
  gasket@: {EACHstate: renew}
  pin@: {EACHin: piston@, material: steel, critical: true, sizes: {outside: 20.000..20.005 mm,
      bore: {want: 12.00..12.01 mm, worn: at most 12.1 mm}}}
  bolt@: {EACHstate: renew, always-renew: true, number: B-@, quantity: 2}
  tool@: {EACHin: crankcase, until: cover-nuts@}
  valve@: {EACHin: cylinder@, with: none}
  collet@: {EACHin: valve@}
  plug@: {EACHin: rod@, closes: [oilway@], out-for: cleaning, count-back: true}
  cover@: {EACHin: cylinder@, closes: [chest@]}
""",
    "openings": """  front@: {in: crankcase}
  mouth@: {EACHin: crankcase}
  chest@: {EACHin: cylinder@}
""",
    "joints": """  rod-bolts@: {EACHholds: [rod-cap@, rod@], to: rod@, thread: M8, count: 2, condition: {lubricant: oiled},
      torque: 20 N m, lock: {kind: split-pin}, witness: inspector}
  nuts@: {EACHholds: [cylinder@], to: crankcase, thread: M8, count: 2, condition: {lubricant: oiled},
      torque: 20 N m, lock: {kind: tab-washer}, again: [{wait: 1 h}]}
  cover-nuts@: {EACHholds: [cover@], to: cylinder@, thread: M8, count: 2, uses: {bolt@: 2},
      condition: {lubricant: oiled}, torque: 20 N m, lock: self-locking}
""",
    "seals": """  foot@: {EACHbetween: [crankcase, cylinder@], gasket: gasket@}
  lid@: {EACHbetween: [cylinder@, cover@], sealant: paste}
""",
    "limits": """  ring-gap@: {EACHof: [ring@], want: 1..2 mm, when: bench}
  wear@: {EACHof: [pin@], wear: pin@.bore, want: 12.0..12.1 mm, when: bench}
  float@: {EACHof: [rod@], want: 0.1..0.2 mm, when: [strip, assembled]}
""",
    "settings": """  gap@: {EACHof: [valve@], want: 1..2 mm, reach: chest@, upset-by: [nuts@]}
""",
    "passages": """  oilway@: {EACHcarries: oil, path: [rod@], prove: air}
""",
    "fits": """  pin-fit@: {EACHinner: pin@.outside, outer: piston@.boss, want: -0.010..-0.001 mm, heat: {part: piston@,
      gap: 0.01 mm}}
""",
    "outwork": """  hone@: {EACHof: pin@, supplier: honer, do: hone the bore, want: {pin@.bore: 12.00..12.01 mm}}
""",
    "steps": """  oil@: {EACHdo: Oil the bore, of: [piston@], before: [cylinder@]}
""",
}


def write_spec(path, banks, cylinders):
    """`cylinders` by `each` in every bank; 0: one, written out."""
    each = "each: cylinder, " if cylinders else ""
    with open(path, "w", encoding="utf-8") as out:
        out.write(HEAD.replace("CYLINDERS", str(cylinders or 1)))
        for section, text in SECTIONS.items():
            out.write(f"{section}:\n" + ("  crankcase: {}\n" if section == "parts" else ""))
            for bank in range(banks):
                out.write(text.replace("EACH", each).replace("@", str(bank)))


def seconds(path):
    """User and system time of one run, and its operations."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    done = subprocess.run([PROGRAM, "check", path], capture_output=True, text=True, check=True)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    operations = int(re.search(r"(\d+) operations", done.stdout + done.stderr).group(1))
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime, operations


def measure(work, name, small, large):
    """`small` and `large`: banks and cylinders."""
    paths = [os.path.join(work, f"{name}-{size}.yaml") for size in ("small", "large")]
    per_operation, counts = ([], []), [0, 0]
    for path, (banks, cylinders) in zip(paths, (small, large)):
        write_spec(path, banks, cylinders)
    for _ in range(RUNS):
        for i, path in enumerate(paths):
            taken, counts[i] = seconds(path)
            per_operation[i].append(taken / counts[i])
    few, many = (statistics.median(times) for times in per_operation)
    said = (f"check of {name}: {few * 1e6:.2f} us an operation at {counts[0]}, {many * 1e6:.2f} us at {counts[1]}: "
            f"{many / few:.2f} times, at most {MOST}")
    print(f"# {said}")
    good = many / few <= MOST and counts[0] >= 10000 and counts[1] >= 100000
    print(f"ok time of an operation, {name}" if good else f"not ok {said}")


with tempfile.TemporaryDirectory() as folder:
    measure(folder, "cylinders by each", (10, 17), (40, 43))
    measure(folder, "cylinders written out", (165, 0), (1650, 0))
