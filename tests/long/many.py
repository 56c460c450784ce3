#!/usr/bin/env python3
"""The worked example of specs/many: a thousand packs with make, with ninja and over several hosts; only what
changed is made again, and where it was made does not show."""
import os
import pathlib
import shutil
import subprocess
import tempfile
import time

ROOT = pathlib.Path(__file__).resolve().parents[2]
BUILT = (ROOT / os.environ.get("GUDGEON", "out/build/gudgeon")).resolve()
LATE = 501  # numbers 500 to 1000


def report(name, fault):
    print(f"not ok {name}: {fault}" if fault else f"ok {name}")


def run(*words, cwd, **env):
    done = subprocess.run([str(word) for word in words], cwd=cwd, env={**os.environ, **env}, capture_output=True,
                          text=True, check=False)
    if done.returncode:
        raise SystemExit(f"not ok {' '.join(map(str, words))}: ended with {done.returncode}: {done.stderr[-600:]}")
    return done.stdout


def made(folder):
    return {path.parent.name: path.stat().st_mtime_ns for path in folder.glob("packs/*/manifest.json")}


def content(folder):
    return {str(path.relative_to(folder)): path.read_bytes() for path in folder.glob("packs/*/*")}


def edit(path, before, after):
    text = path.read_text()
    assert text.count(before) == 1, (path, before)
    path.write_text(text.replace(before, after))


def follow(name, folder, build):
    """Builds once, then after nothing, one spec, what half of them are laid on, and what all use."""
    begun = time.monotonic()
    build(folder)
    seconds = time.monotonic() - begun
    times = made(folder)
    report(f"{name}: a thousand packs, {seconds:.0f} s", None if len(times) == 1000 else len(times))
    for what, expected, change in (
            ("nothing", 0, lambda: None),
            ("one spec", 1, lambda: edit(folder / "register/0042.yaml", "serial: 42", "serial: 42, built: 1931")),
            ("what the late ones are laid on", LATE, lambda: edit(folder / "late.yaml", "12 lbf ft", "13 lbf ft")),
            ("what all use", 1000, lambda: edit(folder / "shop.yaml", "division: 0.5 N m", "division: 1 N m")),
            ("nothing again", 0, lambda: None)):
        change()
        build(folder)
        now = made(folder)
        again = sum(now[pack] != times[pack] for pack in now)
        report(f"{name}: {what} changed, {expected} made again", None if again == expected and len(now) == 1000 else again)
        times = now


def make(folder):
    return run("make", "-j2", f"GUDGEON={BUILT}", cwd=folder)


def ninja(folder):
    (folder / "settings.ninja").write_text(f"gudgeon = {BUILT}\nprogram = {BUILT}\nrun =\n")
    return run("ninja", "-j2", cwd=folder)


with tempfile.TemporaryDirectory() as scratch:
    top = pathlib.Path(scratch)
    folders = {name: top / name for name in ("make", "ninja", "hosts")}
    for folder in folders.values():
        run("sh", ROOT / "specs/many/register.sh", folder, cwd=top)
    follow("make", folders["make"], make)
    follow("ninja", folders["ninja"], ninja)
    report("make and ninja make the same bytes", None if content(folders["make"]) == content(folders["ninja"]) else "they differ")

    # Hosts that are a shell each, which notes its name: what ssh would run is run here.
    reach = top / "reach"
    reach.write_text(f"#!/bin/sh\necho \"$1\" >>{top}/hosts.log\nexec sh -c \"$2\"\n")
    reach.chmod(0o755)
    for file in ("late.yaml", "shop.yaml", "register/0042.yaml"):
        shutil.copy(folders["make"] / file, folders["hosts"] / file)
    run("make", "-j3", f"GUDGEON={BUILT}", "RUN=sh on-host.sh", cwd=folders["hosts"], HOSTS="bench loft loft", REACH=str(reach))
    ran = (top / "hosts.log").read_text().split()
    report("hosts take over: each had its share",
           None if len(ran) == 1000 and 200 < ran.count("bench") < 500 else f"{len(ran)}, {ran.count('bench')}")
    report("where a pack was made does not show", None if content(folders["hosts"]) == content(folders["make"]) else "they differ")
    shutil.rmtree(folders["hosts"] / "packs/0042")
    edit(folders["hosts"] / "register/0043.yaml", "serial: 43", "serial: 43, built: 1931")
    run("make", "-j3", f"GUDGEON={BUILT}", "RUN=sh on-host.sh", cwd=folders["hosts"], HOSTS="bench loft loft", REACH=str(reach))
    ran = (top / "hosts.log").read_text().split()
    report("hosts make only what changed or is gone", None if len(ran) == 1002 else len(ran))
    (folders["hosts"] / "register/0044.yaml").write_text("gudgeon: 1\nbase: ../gone.yaml\n")
    failed = subprocess.run(["make", "-k", f"GUDGEON={BUILT}", "RUN=sh on-host.sh"], cwd=folders["hosts"], capture_output=True, text=True,
                            env={**os.environ, "HOSTS": "bench", "REACH": str(reach)}, check=False)
    report("a spec that fails on a host fails the run, and its pack before stays",
           None if failed.returncode and "gone.yaml" in failed.stderr and (folders["hosts"] / "packs/0044/cards.pdf").exists() else failed.stderr[-300:])
