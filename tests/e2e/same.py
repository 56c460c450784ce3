#!/usr/bin/env python3
"""The same inputs give the same bytes, and git is asked only by `pack`.

Both demos are packed from copies of specs/ that lie in folders of other names and depth, under another
locale (one with decimal commas, made here), time zone, user, umask, home and temporary folder, at another
time, one after the other and two at a time; every file of the packs is the same."""
import json
import os
import pathlib
import re
import shutil
import subprocess
import tempfile
import time

ROOT = pathlib.Path(__file__).resolve().parents[2]
BUILT = (ROOT / os.environ.get("GUDGEON", "out/build/gudgeon")).resolve()
DEMOS = ("hob", "pintail")
PATH = {"PATH": os.environ["PATH"]}


def report(name, fault):
    print(f"not ok {name}: {fault}" if fault else f"ok {name}")


def become_nobody():
    os.umask(0o077)
    if os.getuid() == 0:
        os.setgid(65534)
        os.setuid(65534)


def run(*words, cwd, env, preexec=None):
    done = subprocess.run([str(word) for word in words], cwd=cwd, env={**PATH, **env}, preexec_fn=preexec,
                          capture_output=True, text=True, check=False)
    if done.returncode:
        raise SystemExit(f"not ok {' '.join(map(str, words))}: ended with {done.returncode}: {done.stderr[:400]}")
    return done


def files_of(folder):
    return {str(path.relative_to(folder)): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def compare(name, one, other):
    """Each file of two folders of packs."""
    a, b = files_of(one), files_of(other)
    if a.keys() != b.keys() or len(a) < 4 * len(DEMOS):
        return report(name, f"{sorted(a)} against {sorted(b)}")
    for file in sorted(a):
        report(f"{name}: {file}", None if a[file] == b[file] else "the bytes differ")


def date_of(pdf):
    said = run("pdfinfo", "-isodates", pdf, cwd=pdf.parent, env={"TZ": "UTC"}).stdout
    return re.search(r"^CreationDate:\s*(\S+)", said, re.M).group(1)


def comma_locale(folder):
    """A locale whose decimal point is a comma; the C library is asked whether it works."""
    run("localedef", "-i", "de_DE", "-f", "UTF-8", folder / "de_DE.UTF-8", cwd=folder, env={})
    env = {"LOCPATH": str(folder), "LC_ALL": "de_DE.UTF-8", "LANG": "de_DE.UTF-8"}
    said = run("locale", "decimal_point", cwd=folder, env=env).stdout.strip()
    report("the locale has a decimal comma", None if said == "," else said)
    return env


def surroundings(scratch, program):
    specs = [demo + ".yaml" for demo in DEMOS]
    one, far = scratch / "one", scratch / "a longer way" / "to the other"
    shutil.copytree(ROOT / "specs", one)
    shutil.copytree(ROOT / "specs", far)
    for where in ("first", "later", "dated"):
        (scratch / where).mkdir()
        (scratch / where).chmod(0o777)
    locale = comma_locale(scratch)
    run(program, "pack", *specs, "-o", scratch / "first", cwd=one, env={"TZ": "Pacific/Kiritimati", "LC_ALL": "C", "HOME": "/"})
    time.sleep(2.1)
    run(program, "pack", "-j", "2", "--root", far, *[far / spec for spec in specs], "-o", scratch / "later", cwd=scratch,
        env={**locale, "TZ": "America/St_Johns", "HOME": str(far), "TMPDIR": "/nonexistent", "COLUMNS": "40"},
        preexec=become_nobody)
    compare("elsewhere, later, by another user, in another locale, two at a time", scratch / "first", scratch / "later")
    dated = {"SOURCE_DATE_EPOCH": "86400"}
    run(program, "pack", *specs, "-o", scratch / "dated", cwd=one, env=dated)
    kept = files_of(scratch / "dated")
    run(program, "pack", *specs, "-o", scratch / "dated", cwd=one, env={**dated, **locale})
    report("dated: a second run", None if files_of(scratch / "dated") == kept else "the bytes differ")
    made = date_of(scratch / "dated" / "hob" / "cards.pdf")
    report("SOURCE_DATE_EPOCH is the date", None if made == "1970-01-02T00:00:00Z" else made)


def libraries(*words, cwd):
    """The libraries that the loader opened."""
    return re.findall(r"lib[\w-]+\.so[.\d]*", run(*words, cwd=cwd, env={"LD_DEBUG": "files"}).stderr)


def revision(scratch, program):
    """In a repository the pack carries git's revision and its date; check never opens libgit2."""
    top = scratch / "repository"
    shutil.copytree(ROOT / "specs", top)
    git = {"HOME": str(scratch), "GIT_CONFIG_NOSYSTEM": "1", "GIT_COMMITTER_DATE": "2001-02-03T04:05:06Z"}
    who = ["-c", "user.name=A fitter", "-c", "user.email=fitter@example.org"]
    run("git", "init", "-q", cwd=top, env=git)
    run("git", "add", "-A", cwd=top, env=git)
    run("git", *who, "commit", "-q", "-m", "As found", cwd=top, env=git)
    head = run("git", "rev-parse", "HEAD", cwd=top, env=git).stdout.strip()
    opened = {command: libraries(program, command, *words, cwd=top) for command, *words in
              (("check", "hob.yaml", "pintail.yaml"), ("order", "hob.yaml"), ("why", "hob.yaml", "crankcase"),
               ("pack", "hob.yaml", "-o", scratch / "revised"))}
    for command, names in opened.items():
        asks = any(name.startswith("libgit2") for name in names)
        heard = any(name.startswith("libyaml") for name in names)
        report(f"{command} {'opens' if command == 'pack' else 'never opens'} libgit2",
               None if heard and asks == (command == "pack") else f"it loaded {sorted(set(names))}")
    manifest = (scratch / "revised" / "manifest.json").read_text()
    text = run("pdftotext", scratch / "revised" / "cards.pdf", "-", cwd=scratch, env={}).stdout
    report("the manifest is JSON", None if isinstance(json.loads(manifest), dict) else manifest[:100])
    report("the revision is on the cards", None if head[:7] in text else f"{head[:7]} is not in cards.pdf")
    made = date_of(scratch / "revised" / "cards.pdf")
    report("the commit's date is that of the cards", None if made == "2001-02-03T04:05:06Z" else made)
    with open(top / "shop.yaml", "a", encoding="utf-8") as file:
        file.write("# a line more\n")
    run(program, "pack", "hob.yaml", "-o", scratch / "revised", cwd=top, env=git)
    text = run("pdftotext", scratch / "revised" / "cards.pdf", "-", cwd=scratch, env={}).stdout
    report("an edit since the commit is on the cards", None if re.search(head[:7] + r",\s+edited", text) else "not said")


def main():
    with tempfile.TemporaryDirectory() as folder:
        scratch = pathlib.Path(folder)
        scratch.chmod(0o755)
        program = scratch / "gudgeon"
        shutil.copy(BUILT, program)
        surroundings(scratch, program)
        revision(scratch, program)


main()
