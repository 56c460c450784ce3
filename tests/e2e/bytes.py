#!/usr/bin/env python3
"""The same inputs give the same bytes: python3 tests/e2e/bytes.py

Both demos are packed from two copies of specs/ that lie in folders of other names and depth, at
other times, in other time zones, locales, working folders, homes and temporary folders; every file of
both packs is the same."""
import filecmp
import os
import shutil
import subprocess
import tempfile
import time

GUDGEON = os.path.abspath(os.environ.get("GUDGEON", "out/build/gudgeon"))


def pack(spec, root, into, **environment):
    done = subprocess.run([GUDGEON, "pack", "--root", root, "-o", into, os.path.join(root, spec)],
                          capture_output=True, text=True, cwd=environment.pop("cwd"),
                          env={"PATH": os.environ["PATH"], **environment})
    if done.returncode:
        raise SystemExit(f"not ok bytes/{spec}: pack ended with {done.returncode}: "
                         f"{done.stderr[:300]}")


def listing(folder):
    return sorted(os.path.relpath(os.path.join(path, name), folder)
                  for path, _, names in os.walk(folder) for name in names)


with tempfile.TemporaryDirectory() as scratch:
    one, other = os.path.join(scratch, "one"), os.path.join(scratch, "a longer way", "to the other")
    shutil.copytree("specs", one)
    shutil.copytree("specs", other)
    for demo in ("hob", "pintail"):
        spec = demo + ".yaml"
        a, b = os.path.join(scratch, demo + "-a"), os.path.join(scratch, demo + "-b")
        pack(spec, one, a, cwd=scratch, TZ="Pacific/Kiritimati", LC_ALL="C", HOME="/")
        time.sleep(2.1)
        pack(spec, other, b, cwd=other, TZ="America/St_Johns", LC_ALL="de_DE.UTF-8",
             LANG="cs_CZ.UTF-8", HOME=scratch, TMPDIR="/nonexistent", COLUMNS="40")
        names = listing(a)
        if names != listing(b) or len(names) < 4:
            print(f"not ok bytes/{demo}: {names} against {listing(b)}")
            continue
        for name in names:
            same = filecmp.cmp(os.path.join(a, name), os.path.join(b, name), shallow=False)
            print(f"ok bytes/{demo}/{name}" if same else f"not ok bytes/{demo}/{name}: differs")
