#!/usr/bin/env python3
"""Input and surroundings at their worst: one clear message, the right exit status, an older pack whole."""
import os
import pathlib
import resource
import shutil
import subprocess
import sys
import tempfile

ROOT = pathlib.Path(__file__).resolve().parents[2]
PROGRAM = str((ROOT / os.environ.get("CHECKED", "out/test/gudgeon")).resolve())
PLAIN = str((ROOT / os.environ.get("GUDGEON", "out/build/gudgeon")).resolve())
WORK = pathlib.Path(tempfile.mkdtemp())
(WORK / ".git").mkdir()
SMALL = """gudgeon: 1
engine: {name: Small}
parts:
  base: {name: Base}
"""


def run(*words, program=PROGRAM, cwd=WORK, stdin=None, preexec=None):
    done = subprocess.run([program, *map(str, words)], cwd=cwd, input=stdin, capture_output=True, timeout=120,
                          preexec_fn=preexec, check=False)
    return done.returncode, done.stderr.decode(errors="replace"), done.stdout.decode(errors="replace")


def case(name, got, status, words, most=12):
    code, err, _ = got
    lines = err.strip().splitlines()
    if code != status:
        print(f"not ok {name}: exit status {code}, expected {status}: {err[:300]!r}")
    elif words and words not in err:
        print(f"not ok {name}: {words!r} is not in {err[:300]!r}")
    elif status and (not lines or len(lines) > most):
        print(f"not ok {name}: {len(lines)} lines of message: {err[:300]!r}")
    else:
        print(f"ok {name}")


def write(name, text):
    path = WORK / name
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return name


case("an empty file", run("check", write("empty.yaml", "")), 1, "empty")
with open(WORK / "sparse.yaml", "wb") as f:
    f.truncate(17 * 1024 * 1024)
case("a sparse file beyond the bound", run("check", "sparse.yaml"), 1, "")
case("a line of 16 MB", run("check", write("line.yaml", b"gudgeon: 1\nengine: {name: " + b"x" * (16 * 1024 * 1024 - 100)
                                           + b"}\n")), 1, "")
case("a binary file", run("check", write("binary.yaml", bytes(range(256)) * 20)), 1, "")
case("ten thousand levels", run("check", write("deep.yaml", "gudgeon: 1\nengine: " + "[" * 10000 + "]" * 10000)), 1, "")
case("ten thousand levels of braces",
     run("check", write("braces.yaml", "gudgeon: 1\nengine: " + "{a: " * 10000 + "b" + "}" * 10000)), 1, "")
case("a missing file", run("check", "nothing.yaml"), 3, "nothing.yaml")
case("a missing file that a spec uses", run("check", write("uses.yaml", "gudgeon: 1\nuse: [gone.yaml]\n" + SMALL[11:])), 1,
     "gone.yaml")
(WORK / "folder.yaml").mkdir()
case("a directory", run("check", "folder.yaml"), 3, "directory")
write("secret.yaml", SMALL)
os.chmod(WORK / "secret.yaml", 0)
os.chmod(WORK, 0o755)


def nobody():
    os.setgid(65534)
    os.setuid(65534)


if os.getuid() == 0:
    shared = pathlib.Path(tempfile.mkdtemp())
    os.chmod(shared, 0o755)
    shutil.copy(PLAIN, shared / "gudgeon")
    case("an unreadable file", run("check", "secret.yaml", program=str(shared / "gudgeon"), preexec=nobody), 3, "secret.yaml")
else:
    case("an unreadable file", run("check", "secret.yaml"), 3, "secret.yaml")
write("a.yaml", "gudgeon: 1\nuse: [b.yaml]\n" + SMALL[11:])
write("b.yaml", "gudgeon: 1\nuse: [a.yaml]\n")
case("a loop of use", run("check", "a.yaml"), 1, "b.yaml")
write("c.yaml", "gudgeon: 1\nbase: d.yaml\n")
write("d.yaml", "gudgeon: 1\nbase: c.yaml\n")
case("a loop of base", run("check", "c.yaml"), 1, "d.yaml")
outside = pathlib.Path(tempfile.mkdtemp())
(outside / "out.yaml").write_text("gudgeon: 1\n")
os.symlink(outside / "out.yaml", WORK / "link.yaml")
case("a link out of the root", run("check", write("linked.yaml", "gudgeon: 1\nuse: [link.yaml]\n" + SMALL[11:])), 1, "link.yaml")
case("the same link, allowed", run("check", "--allow", outside, "linked.yaml"), 0, "")
case("a path out of the root", run("check", write("up.yaml", "gudgeon: 1\nuse: [../../etc/hostname]\n" + SMALL[11:])), 1, "")
case("no memory by --max-memory", run("check", "--max-memory", "1", ROOT / "specs/pintail.yaml"), 1, "max-memory")
case("an unknown command", run("chek", "a.yaml"), 2, "check")
case("an unknown option", run("check", "--nope", "a.yaml"), 2, "--nope")
case("no command at all", run(), 2, "command")
case("a bad SOURCE_DATE_EPOCH", (lambda d: (d.returncode, d.stderr.decode(), ""))(
    subprocess.run([PROGRAM, "check", "small.yaml"], cwd=WORK, capture_output=True, check=False,
                   env={**os.environ, "SOURCE_DATE_EPOCH": "soon"})), 2, "SOURCE_DATE_EPOCH")

# --- an older pack stays whole ---
HOB = ROOT / "specs/hob.yaml"


def snapshot(folder):
    return {p.relative_to(folder): p.read_bytes() for p in sorted(folder.rglob("*")) if p.is_file()}


def pack_case(name, folder, got, status, words, before):
    case(name, got, status, words)
    print(f"{'ok' if snapshot(folder) == before else 'not ok'} {name}: the older pack is whole")


ready = WORK / "ready"
code, err, _ = run("pack", HOB, "-o", ready, program=PLAIN)
if code:
    print(f"not ok a first pack: {err[:300]!r}")
    sys.exit()
before = snapshot(ready)
code, err, _ = run("pack", HOB, "-o", ready, program=PLAIN)
print(f"{'ok' if code == 0 and snapshot(ready) == before else 'not ok'} a second pack has the same bytes")

mount = WORK / "full"
mount.mkdir()
if os.getuid() == 0 and subprocess.run(["mount", "-t", "tmpfs", "-o", "size=2m", "tmpfs", mount], check=False,
                                       capture_output=True).returncode == 0:
    try:
        shutil.copytree(ready, mount / "pack")
        kept = snapshot(mount / "pack")
        with open(mount / "filler", "wb") as f:
            try:
                while True:
                    f.write(b"x" * 4096)
                    f.flush()
            except OSError:
                pass
        os.environ["SOURCE_DATE_EPOCH"] = "86400"
        pack_case("a full disk", mount / "pack", run("pack", HOB, "-o", mount / "pack", "--revision", "other", program=PLAIN), 3,
                  "", kept)
        del os.environ["SOURCE_DATE_EPOCH"]
    finally:
        subprocess.run(["umount", mount], check=False)
else:
    # without the right to mount, a limit on file sizes stands in for the full disk
    pack_case("a full disk", ready, run("pack", HOB, "-o", ready, "--revision", "other", program=PLAIN,
                                        preexec=lambda: (resource.setrlimit(resource.RLIMIT_FSIZE, (3000, 3000)),
                                                         __import__("signal").signal(25, 1))), 3, "", before)
changed = WORK / "changed"
shutil.copytree(ready, changed)
(changed / "cards.pdf").write_bytes(b"mine now")
kept = snapshot(changed)
pack_case("a file that was changed by hand", changed, run("pack", HOB, "-o", changed, program=PLAIN), 3, "cards.pdf", kept)
foreign = WORK / "foreign"
foreign.mkdir()
(foreign / "parts.xlsx").write_text("not ours")
kept = snapshot(foreign)
pack_case("a stranger's file where ours must go", foreign, run("pack", HOB, "-o", foreign, program=PLAIN), 3, "parts.xlsx", kept)
notes = WORK / "notes"
shutil.copytree(ready, notes)
(notes / "notes.txt").write_text("mine")
code, err, _ = run("pack", HOB, "-o", notes, "--revision", "other", program=PLAIN)
print(f"{'ok' if code == 0 and (notes / 'notes.txt').read_text() == 'mine' else 'not ok'} a stranger's file is carried over")
if os.getuid() == 0:
    readonly = pathlib.Path(tempfile.mkdtemp())
    os.chmod(readonly, 0o755)
    shutil.copytree(ready, readonly / "pack")
    for path in ROOT.joinpath("specs").rglob("*"):
        if path.is_file():
            target = readonly / "specs" / path.relative_to(ROOT / "specs")
            target.parent.mkdir(parents=True, exist_ok=True)
            shutil.copy(path, target)
    (readonly / ".git").mkdir()
    shutil.copy(PLAIN, readonly / "gudgeon")
    pack_case("a folder that cannot be written", readonly / "pack",
              run("pack", "specs/hob.yaml", "-o", "pack", "--revision", "other", program=str(readonly / "gudgeon"), cwd=readonly,
                  preexec=nobody), 3, "", before)
shutil.rmtree(WORK, ignore_errors=True)
