#!/usr/bin/env python3
"""Specs in git: the hook judges what is staged, `git diff` shows what follows of a change, packs bear the last
commit that touched their files, and specs of a revision are read without a checkout."""
import os
import pathlib
import re
import shutil
import subprocess
import tempfile

ROOT = pathlib.Path(__file__).resolve().parents[2]
BUILT = (ROOT / os.environ.get("CHECKED", "out/test/gudgeon")).resolve()
PLAIN = {key: value for key, value in os.environ.items() if not key.startswith("GIT_")}
ENV = {**PLAIN, "GIT_CONFIG_GLOBAL": "/dev/null", "GIT_AUTHOR_NAME": "A", "GIT_AUTHOR_EMAIL": "a@example.org",
       "GIT_COMMITTER_NAME": "A", "GIT_COMMITTER_EMAIL": "a@example.org"}


def report(name, fault):
    print(f"not ok {name}: {fault}" if fault else f"ok {name}")


def run(*words, cwd, ends=(0,), env=None):
    done = subprocess.run([str(word) for word in words], cwd=cwd, env={**ENV, **(env or {})}, capture_output=True, text=True, check=False)
    if ends is not None and done.returncode not in ends:
        raise SystemExit(f"not ok {' '.join(map(str, words))}: ended with {done.returncode}: {done.stderr[-600:]}")
    return done


def git(*words, **more):
    return run("git", "-c", "commit.gpgsign=false", *words, cwd=repo, **more)


def edit(file, before, after):
    path = repo / file
    text = path.read_text()
    assert text.count(before) == 1, (file, before)
    path.write_text(text.replace(before, after))


def revision_of(spec, *more):
    """As cards.pdf prints it."""
    out = top / "pack"
    shutil.rmtree(out, ignore_errors=True)
    run(BUILT, "pack", spec, "-o", out, *more, cwd=repo)
    text = run("pdftotext", "-layout", out / "cards.pdf", "-", cwd=top).stdout
    found = set(re.findall(r"Revision ([0-9a-f]{7}(?:, edited since)?)", text))
    return found.pop() if len(found) == 1 else f"{sorted(found)}"


def short(name="HEAD"):
    return git("rev-parse", "--short=7", name).stdout.strip()


with tempfile.TemporaryDirectory() as scratch:
    top = pathlib.Path(scratch)
    repo = top / "a repo"
    shutil.copytree(ROOT / "specs", repo / "specs", ignore=shutil.ignore_patterns("*.md", "pictures", "many", "demo.sh"))
    git("init", "-q", "-b", "main")
    git("config", "gudgeon.program", str(BUILT))
    git("config", "core.abbrev", "7")
    (repo / ".git/hooks").mkdir(exist_ok=True)
    (repo / ".git/hooks/pre-commit").symlink_to("../../specs/git/pre-commit")
    git("add", ".")

    # The hook.
    done = git("commit", "-q", "-m", "first", ends=None)
    report("hook: good specs are committed", done.stderr if done.returncode else None)
    edit("specs/hob.yaml", "number: H-131", "numbr: H-131")
    done = git("commit", "-q", "-a", "-m", "bad", ends=None)
    report("hook: a bad spec is refused, its place in the index named",
           None if done.returncode and ":specs/hob.yaml:" in done.stderr and "'numbr'" in done.stderr else done.stderr)
    edit("specs/pintail.yaml", "budget: 1700 GBP", "budget: 1800 GBP")
    git("add", "specs/pintail.yaml")
    done = git("commit", "-q", "-m", "pintail alone", ends=None)
    report("hook: what is not staged plays no part", done.stderr if done.returncode else None)
    git("add", "specs/hob.yaml")
    edit("specs/hob.yaml", "numbr: H-131", "number: H-131")
    done = git("commit", "-q", "-m", "bad in the index, good on the disk", ends=None)
    report("hook: what is staged is judged, not the disk", None if done.returncode and "'numbr'" in done.stderr else "committed")
    git("add", "specs/hob.yaml")
    edit("specs/pintail/bottom-end.yaml", "number: SM-1107", "numbr: SM-1107")
    done = git("commit", "-q", "-a", "-m", "a used file", ends=None)
    report("hook: a fault in a file that specs use is found", None if done.returncode and "bottom-end.yaml" in done.stderr else done.stderr)
    git("checkout", "-q", "specs/pintail/bottom-end.yaml")
    git("reset", "-q")
    (repo / "notes.txt").write_text("x\n")
    git("add", "notes.txt")
    done = git("commit", "-q", "-m", "notes", env={"PATH": "/usr/bin:/bin"}, ends=None)
    report("hook: what is no spec is not asked about", done.stderr if done.returncode else None)

    # Revision on the pack.
    hob = short("HEAD~2")
    report("revision: the last commit that touched a file of the spec, not a later one", None if revision_of("specs/hob.yaml") == hob else revision_of("specs/hob.yaml"))
    report("revision: each spec has its own", None if revision_of("specs/pintail.yaml") == short("HEAD~1") else revision_of("specs/pintail.yaml"))
    edit("specs/shop.yaml", "division: 0.5 N m", "division: 2 N m")
    report("revision: edited since, in a file that it uses", None if revision_of("specs/hob.yaml") == f"{hob}, edited since" else revision_of("specs/hob.yaml"))
    git("commit", "-q", "-a", "-m", "shop")
    report("revision: the commit of that file", None if revision_of("specs/hob.yaml") == short() else revision_of("specs/hob.yaml"))
    git("checkout", "-q", "-b", "side", "HEAD~1")
    edit("specs/suppliers.yaml", "lead: 1..4 d", "lead: 1..5 d")
    git("commit", "-q", "-a", "-m", "side")
    side = short()
    git("checkout", "-q", "main")
    (repo / "notes.txt").write_text("y\n")
    git("commit", "-q", "-a", "-m", "notes again")
    git("merge", "-q", "--no-edit", "side")
    report("revision: a merge of two changed files touches both", None if revision_of("specs/hob.yaml") == short() else revision_of("specs/hob.yaml"))
    (repo / "notes.txt").write_text("z\n")
    git("commit", "-q", "-a", "-m", "notes")
    report("revision: and no later commit does", None if revision_of("specs/hob.yaml") == short("HEAD~1") else revision_of("specs/hob.yaml"))
    wanted = {line.split()[0] for line in git("log", "--format=%h", "--", "specs/hob.yaml", "specs/shop.yaml", "specs/suppliers.yaml").stdout.split("\n") if line}
    report("revision: git log knows that side touched them", None if side in wanted else wanted)
    report("revision: --revision stands above it", None if "'" not in revision_of("specs/hob.yaml", "--revision", "abcdef0") and
           revision_of("specs/hob.yaml", "--revision", "abcdef0") == "abcdef0" else "it does not")
    (repo / "own.yaml").write_text((ROOT / "templates/starter-single.yaml").read_text())
    report("revision: none of a spec that was never committed", None if revision_of("own.yaml") == "[]" else revision_of("own.yaml"))
    (repo / "own.yaml").unlink()

    # A revision is read as it is, from any folder of the work tree.
    head = run(BUILT, "check", "--dump=build", "HEAD:specs/hob.yaml", cwd=repo).stdout
    report("REV:PATH is what stands there", None if head == run(BUILT, "check", "--dump=build", "specs/hob.yaml", cwd=repo).stdout else "it is not")
    report("REV:./PATH is seen from here", None if head == run(BUILT, "check", "--dump=build", "HEAD:./hob.yaml", cwd=repo / "specs").stdout else "it is not")
    for word, words in (("HEAD:specs/none.yaml", "none.yaml"), ("nosuch:specs/hob.yaml", "has no revision 'nosuch'")):
        done = run(BUILT, "check", word, cwd=repo, ends=None)
        report(f"{word} is refused", None if done.returncode in (1, 3) and words in done.stderr and len(done.stderr.splitlines()) <= 2 else done.stderr)
    done = run(BUILT, "check", "HEAD:specs/hob.yaml", cwd=top, ends=None)
    report("outside of any repository that is said", None if done.returncode == 3 and "no git repository" in done.stderr else done.stderr)

    # git diff with the text conversion.
    (repo / ".gitattributes").write_text("*.yaml diff=gudgeon\n")
    git("config", "diff.gudgeon.textconv", f"'{BUILT}' values --textconv")
    edit("specs/pintail/bottom-end.yaml", "{is: 21 lbf ft, from", "{is: 22 lbf ft, from")

    def changed(*words):
        lines = [line for line in git("diff", *words).stdout.splitlines() if re.match(r"[-+]  ", line)]
        return {line[0] + re.sub(r" \[.*", "", line[1:].strip()) for line in lines}

    follows = {"-torque: 21 lbf ft", "+torque: 22 lbf ft"}
    shown = changed()
    report("diff: a used file on the disk, with what follows", None if follows <= shown and any(line.startswith("+= setting: 30") for line in shown) else shown)
    git("add", ".")
    report("diff --cached: the same", None if changed("--cached") == shown else changed("--cached"))
    git("commit", "-q", "-m", "torque", env={"PATH": os.environ["PATH"]})
    report("diff of two commits: the same", None if changed("HEAD~1", "HEAD") == shown else changed("HEAD~1", "HEAD"))
    edit("specs/pintail/bottom-end.yaml", "{is: 22 lbf ft, from", "{is: 23 lbf ft, from")
    git("commit", "-q", "-a", "-m", "more")
    report("diff of older commits: the same", None if changed("HEAD~2", "HEAD~1") == shown else changed("HEAD~2", "HEAD~1"))
    report("diff from a folder", None if run("git", "diff", "HEAD~1", "HEAD", cwd=repo / "specs").stdout == git("diff", "HEAD~1", "HEAD").stdout else "differs")
    edit("specs/hob.yaml", "{is: 1.3742 in,", "{is: 1.3732 in,")
    report("diff: a whole spec, its verdict too",
           None if any("serviceable" in line for line in changed() if line.startswith("+")) else changed())
    edit("specs/hob.yaml", "gudgeon: 1\n", "gudgeon: 1\nbroken\n")
    text = git("diff").stdout
    report("diff: what does not pass is shown as it is written", None if "+broken" in text else text[:300])
