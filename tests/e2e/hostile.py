#!/usr/bin/env python3
"""Input and surroundings at their worst: one clear message, the right exit status, an older pack whole."""
import contextlib
import os
import pathlib
import random
import re
import resource
import shutil
import signal
import subprocess
import tempfile
import time

ROOT = pathlib.Path(__file__).resolve().parents[2]
CHECKED = (ROOT / os.environ.get("CHECKED", "out/test/gudgeon")).resolve()
PLAIN = (ROOT / os.environ.get("GUDGEON", "out/build/gudgeon")).resolve()
HOB = ROOT / "specs/hob.yaml"
DATED = {"SOURCE_DATE_EPOCH": "1700000000"}  # not the last commit's: a pack must not differ by itself
IS_ROOT = os.getuid() == 0
NOBODY = 65534
MB = 1024 * 1024
HEAD = "gudgeon: 1\n"
KILLS = 40
SMALL = "engine: {name: Small}\nparts:\n  base: {name: Base}\n"


def report(name, fault):
    print(f"not ok {name}: {fault}" if fault else f"ok {name}")


def run(*words, program=CHECKED, cwd, preexec=None, env=None):
    done = subprocess.run([program, *map(str, words)], cwd=cwd, capture_output=True, timeout=120,
                          stdin=subprocess.DEVNULL, preexec_fn=preexec, check=False, env={**os.environ, **(env or {})})
    return done.returncode, done.stderr.decode(errors="replace")


def fault_of(got, status, words):
    """Nothing to find where the run ended with `status` and, if that is not 0, one message with `words` in it."""
    code, err = got
    messages = re.findall(r"^(?:gudgeon: |(?:[^ ]*: )?error: ).*", err, re.M)
    if code != status:
        return f"exit status {code}, expected {status}: {err[:300]!r}"
    if status and (len(messages) != 1 or len(err) > 1500):
        return f"{len(messages)} messages, {len(err)} bytes: {err[:300]!r}"
    if words not in err:
        return f"{words!r} is not in {err[:300]!r}"
    return None


def become_nobody():
    os.setgid(NOBODY)
    os.setuid(NOBODY)


def readable_program(folder):
    """The program where anybody may run it."""
    shutil.copy(PLAIN, folder / "gudgeon")
    return folder / "gudgeon"


# ---------- input ----------

INPUTS = [  # name, file, its bytes, exit status, words of the message
    ("an empty file", "empty.yaml", "", 1, "empty"),
    ("a file of blanks", "blank.yaml", "\n \n# nothing\n", 1, "holds nothing"),
    ("a line of 16 MB", "line.yaml", HEAD + "engine: {name: " + "x" * (16 * MB - 100) + "}\n", 1, "line"),
    ("a binary file", "binary.yaml", bytes(range(256)) * 20, 1, "binary.yaml"),
    ("ten thousand levels", "deep.yaml", HEAD + "engine: " + "[" * 10000 + "]" * 10000, 1, "level"),
    ("ten thousand levels of braces", "braces.yaml", HEAD + "engine: " + "{a: " * 10000 + "b" + "}" * 10000, 1, "level"),
    ("ten thousand levels by indent", "indent.yaml", HEAD + "".join(" " * i + "a:\n" for i in range(1200)), 1, "level"),
    ("a missing file that a spec uses", "uses.yaml", HEAD + "use: [gone.yaml]\n" + SMALL, 1, "gone.yaml"),
    ("a folder that a spec uses", "uses-folder.yaml", HEAD + "use: [folder.yaml]\n" + SMALL, 1, "folder.yaml"),
    ("a loop of use", "use-a.yaml", HEAD + "use: [use-b.yaml]\n" + SMALL, 1, "use-b.yaml"),
    ("a loop of base", "base-a.yaml", HEAD + "base: base-b.yaml\n", 1, "base-b.yaml"),
    ("a file that uses itself", "self.yaml", HEAD + "use: [self.yaml]\n" + SMALL, 1, "self.yaml"),
    ("a link out of the root", "linked.yaml", HEAD + "use: [link.yaml]\n" + SMALL, 1, "link.yaml"),
    ("a link to itself", "looped.yaml", HEAD + "use: [loop.yaml]\n" + SMALL, 1, "loop.yaml"),
    ("a path out of the root", "up.yaml", HEAD + "use: [../OUTSIDE/out.yaml]\n" + SMALL, 1, "outside"),
    ("an absolute path", "absolute.yaml", HEAD + "use: [/OUTSIDE/out.yaml]\n" + SMALL, 1, "out.yaml"),
    ("a path out of the root that leads back", "back.yaml", HEAD + "use: [../WORK/blank.yaml]\n" + SMALL, 1, "holds nothing"),
    ("a file that is not a spec", "device.yaml", HEAD + "use: [/dev/zero]\n" + SMALL, 1, "/dev/zero"),
]


def bad_input(work, outside):
    (work / ".git").mkdir()
    (work / "folder.yaml").mkdir()
    (work / "use-b.yaml").write_text(HEAD + "use: [use-a.yaml]\n")
    (work / "base-b.yaml").write_text(HEAD + "base: base-a.yaml\n")
    (outside / "out.yaml").write_text(HEAD)
    os.symlink(outside / "out.yaml", work / "link.yaml")
    os.symlink("loop.yaml", work / "loop.yaml")
    for name, file, text, status, words in INPUTS:
        if isinstance(text, str):
            text = text.replace("../OUTSIDE", "../" + outside.name).replace("/OUTSIDE", str(outside))
            text = text.replace("WORK", work.name).encode()
        (work / file).write_bytes(text)
        report(name, fault_of(run("check", file, cwd=work), status, words))
    report("the same link, allowed", fault_of(run("check", "--allow", outside, "linked.yaml", cwd=work), 0, ""))
    with open(work / "sparse.yaml", "wb") as file:
        file.truncate(17 * MB)
    report("a sparse file beyond the bound", fault_of(run("check", "sparse.yaml", cwd=work), 1, "sparse.yaml"))
    report("a missing file", fault_of(run("check", "nothing.yaml", cwd=work), 3, "nothing.yaml"))
    report("a folder", fault_of(run("check", "folder.yaml", cwd=work), 3, "folder"))
    (work / "secret.yaml").write_text(HEAD + SMALL)
    os.chmod(work / "secret.yaml", 0)
    program = readable_program(outside)
    report("an unreadable file", fault_of(run("check", "secret.yaml", cwd=work, program=program,
                                              preexec=become_nobody if IS_ROOT else None), 3, "secret.yaml"))


def bad_command_line(work):
    for name, words, status, said in [
            ("too little memory", ["check", "--max-memory", "1", ROOT / "specs/pintail.yaml"], 1, "max-memory"),
            ("an unknown command", ["chek", "small.yaml"], 2, "check"),
            ("an unknown option", ["check", "--nope", "small.yaml"], 2, "--nope"),
            ("an option of another command", ["check", "--output", "x", "small.yaml"], 2, "--output"),
            ("a command without its spec", ["check"], 2, "SPEC")]:
        report(name, fault_of(run(*words, cwd=work), status, said))
    code, err = run(cwd=work)
    report("no command at all", None if code == 2 and "--help" in err and len(err) < 300 else f"{code}: {err[:300]!r}")
    report("a bad SOURCE_DATE_EPOCH",
           fault_of(run("check", HOB, cwd=work, env={"SOURCE_DATE_EPOCH": "soon"}), 2, "SOURCE_DATE_EPOCH"))
    with open("/dev/full", "wb") as full:
        done = subprocess.run([CHECKED, "order", HOB], stdout=full, stderr=subprocess.PIPE, check=False)
    report("standard output that is full", fault_of((done.returncode, done.stderr.decode()), 3, "standard output"))


# ---------- an older pack stays whole ----------

def snapshot(folder):
    return {str(p.relative_to(folder)): p.read_bytes() for p in sorted(folder.rglob("*")) if p.is_file()}


def pack(folder, *words, **how):
    return run("pack", HOB, "-o", folder, *words, program=PLAIN, cwd=folder.parent, env=DATED, **how)


def stands(name, folder, before, got, status, words):
    """The run ended as said, the pack in `folder` is as before and nothing new lies beside it."""
    fault = fault_of(got, status, words)
    beside = sorted(p.name for p in folder.parent.iterdir() if p.name.startswith(".pack"))
    if not fault and snapshot(folder) != before:
        fault = "the older pack has changed"
    if not fault and beside:
        fault = f"{beside} were left behind"
    report(name, fault)


def copy_of(ready, work, name):
    folder = work / name / "pack"
    shutil.copytree(ready, folder)
    return folder


@contextlib.contextmanager
def small_disk(mount):
    """A file system of 2 MB of its own; None where one may not be mounted."""
    mount.mkdir()
    done = subprocess.run(["mount", "-t", "tmpfs", "-o", "size=2m", "tmpfs", mount], check=False, capture_output=True)
    try:
        yield mount if done.returncode == 0 else None
    finally:
        if done.returncode == 0:
            subprocess.run(["umount", mount], check=False)


def fill(mount, free):
    (mount / "filler").unlink(missing_ok=True)
    left = os.statvfs(mount)
    with open(mount / "filler", "wb") as file:
        os.posix_fallocate(file.fileno(), 0, left.f_bavail * left.f_frsize - free)


def full_disk(ready, work, free):
    """A pack on a disk with `free` bytes left; where none may be mounted, a bound on the size of files."""
    with small_disk(work / f"disk-{free}") as mount:
        if not mount:
            return file_bound(ready, work, 64 * 1024 + free // 4)
        folder = mount / "pack"
        shutil.copytree(ready, folder)
        kept = snapshot(folder)
        fill(mount, free)
        stands(f"a disk with {free // 1024} kB left", folder, kept, pack(folder, "--revision", "other"), 3, "pace left")


def full_temporary_folder(ready, work):
    """What a library cut short there must not reach the pack."""
    with small_disk(work / "temporary") as mount:
        if not mount:
            return file_bound(ready, work, 96 * 1024)
        folder = copy_of(ready, work, "by-temporary")
        for free in (0, 4096, 8192):
            fill(mount, free)
            code, err = run("pack", HOB, "-o", folder, "--revision", "other", program=PLAIN, cwd=folder.parent,
                            env={**DATED, "TMPDIR": str(mount)})
            err = re.sub(r"^\[ERROR\].*\n", "", err, flags=re.M)  # the library's own words
            stands(f"a folder of temporary files with {free // 1024} kB left", folder, snapshot(ready), (code, err), 3,
                   "temporary files")


def file_bound(ready, work, most):
    def limit():
        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        resource.setrlimit(resource.RLIMIT_FSIZE, (most, most))

    folder = copy_of(ready, pathlib.Path(tempfile.mkdtemp(dir=work)), "bound")
    stands(f"files of at most {most} bytes", folder, snapshot(folder),
           pack(folder, "--revision", "other", preexec=limit), 3, "")


def hands_of_others(ready, work):
    folder = copy_of(ready, work, "changed")
    (folder / "cards.pdf").write_bytes(b"mine now")
    stands("a file that was changed by hand", folder, snapshot(folder), pack(folder, "--revision", "other"), 3, "cards.pdf")

    folder = work / "foreign" / "pack"
    folder.mkdir(parents=True)
    (folder / "parts.xlsx").write_text("not ours")
    stands("a stranger's file where ours must go", folder, snapshot(folder), pack(folder), 3, "parts.xlsx")

    folder = copy_of(ready, work, "notes")
    (folder / "notes.txt").write_text("mine")
    code, err = pack(folder, "--revision", "other")
    report("a stranger's file is carried over", None if code == 0 and (folder / "notes.txt").read_text() == "mine" and
           snapshot(folder)["cards.pdf"] != snapshot(ready)["cards.pdf"] else f"{code}: {err[:300]!r}")

    place = work / "file"
    place.mkdir()
    (place / "pack").write_text("a file")
    report("a file where the folder must go", fault_of(pack(place / "pack"), 3, "folder"))


def read_only(ready, work):
    place = work / "read-only"
    folder = copy_of(ready, work, "read-only")
    shutil.copytree(ROOT / "specs", place / "specs")
    (place / ".git").mkdir()
    program = readable_program(place)
    os.chmod(place, 0o555)
    os.chmod(folder, 0o555)
    stands("a folder that cannot be written", folder, snapshot(folder),
           run("pack", "specs/hob.yaml", "-o", "pack", "--revision", "other", program=program, cwd=place, env=DATED,
               preexec=become_nobody if IS_ROOT else None), 3, "ermission denied")
    os.chmod(folder, 0o755)
    os.chmod(place, 0o755)


def kills(ready, work):
    """Killed in the middle, half at any moment, half while the pack is being put in its place."""
    chance = random.Random(1934)
    folder = copy_of(ready, work, "killed")
    whole = {}
    for revision in ("one", "other"):
        code, err = pack(folder, "--revision", revision)
        if code:
            return report("a pack before the kills", err[:300])
        whole[revision] = snapshot(folder)
    begun = time.monotonic()
    pack(folder, "--revision", "one")
    takes = time.monotonic() - begun
    damaged = killed = turn = 0
    while killed < KILLS and turn < 5 * KILLS:
        turn += 1
        lock = folder.parent / ".pack.lock"
        lock.unlink(missing_ok=True)
        child = subprocess.Popen([PLAIN, "pack", HOB, "-o", folder, "--revision", ("other", "one")[turn % 2]],
                                 env={**os.environ, **DATED}, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        if turn % 4 < 2:
            time.sleep(chance.uniform(0, takes))
        else:
            while child.poll() is None and not lock.exists():
                pass
            time.sleep(chance.uniform(0, takes / 10))
        child.send_signal(signal.SIGKILL)
        killed += child.wait() == -signal.SIGKILL
        damaged += snapshot(folder) not in whole.values()
    report(f"killed {KILLS} times", f"{killed} were hit, {damaged} packs damaged" if damaged or killed < KILLS else None)
    got = pack(folder, "--revision", "third")
    code, err = pack(folder, "--revision", "one")
    stands("after the kills", folder, whole["one"], (got[0] or code, got[1] or err), 0, "")


def main():
    with tempfile.TemporaryDirectory() as first, tempfile.TemporaryDirectory() as second:
        work, outside = pathlib.Path(first), pathlib.Path(second)
        os.chmod(work, 0o755)
        os.chmod(outside, 0o755)
        bad_input(work, outside)
        bad_command_line(work)
        ready = work / "ready" / "pack"
        ready.parent.mkdir()
        code, err = pack(ready)
        if code:
            return report("a first pack", err[:300])
        stands("a second pack has the same bytes", ready, snapshot(ready), pack(ready), 0, "")
        for free in (0, 16 * 1024, 100 * 1024, 200 * 1024):
            full_disk(ready, work, free)
        full_temporary_folder(ready, work)
        for most in (64 * 1024, 100 * 1024):
            file_bound(ready, work, most)
        hands_of_others(ready, work)
        read_only(ready, work)
        kills(ready, work)


main()
