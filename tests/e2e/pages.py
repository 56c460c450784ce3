#!/usr/bin/env python3
"""Pages as independent readers see them: python3 tests/e2e/pages.py PDF...

qpdf finds no fault, poppler no warning; no word leaves the page or lies over another (boxes of
pdftotext -bbox); every face is embedded; the same text comes from two readers of poppler. Without
arguments the packs of both demos are made and read, and of one of them with names of 1 to 200 letters in
Latin, Greek and Cyrillic on each paper."""
import os
import re
import shutil
import subprocess
import sys
import tempfile


def run(*command):
    return subprocess.run(command, capture_output=True, text=True)


def words_of(pdf):
    """Pages as (width, height, [(x0, y0, x1, y1, text)])."""
    pages = []
    for line in run("pdftotext", "-bbox", pdf, "-").stdout.splitlines():
        page = re.search(r'<page width="([\d.]+)" height="([\d.]+)"', line)
        word = re.search(r'<word xMin="(-?[\d.]+)" yMin="(-?[\d.]+)" xMax="(-?[\d.]+)" '
                         r'yMax="(-?[\d.]+)">(.*)</word>', line)
        if page:
            pages.append((float(page[1]), float(page[2]), []))
        elif word:
            pages[-1][2].append(tuple(map(float, word.groups()[:4])) + (word[5],))
    return pages


def faults_of_page(number, width, height, words, slack=1.5):
    """Boxes reach from the ascent to the descent of the face, so lines may share a little."""
    for x0, y0, x1, y1, text in words:
        if x0 < 20 or y0 < 20 or x1 > width - 20 or y1 > height - 20:
            yield f"page {number}: '{text[:40]}' is in the margin or off the page"
    words = sorted(words, key=lambda word: word[1])
    for i, a in enumerate(words):
        for b in words[i + 1:]:
            if b[1] > a[3]:
                break
            across = min(a[2], b[2]) - max(a[0], b[0])
            down = min(a[3], b[3]) - max(a[1], b[1])
            if across > slack and down > slack:
                yield f"page {number}: '{a[4][:40]}' and '{b[4][:40]}' overlap"


def faults(pdf):
    check = run("qpdf", "--check", pdf)
    if check.returncode != 0 or "WARNING" in check.stderr:
        yield "qpdf: " + check.stderr.strip()[:200]
    with tempfile.TemporaryDirectory() as folder:
        for command in (["pdftotext", pdf, os.path.join(folder, "text")],
                        ["pdftoppm", "-r", "20", "-gray", pdf, os.path.join(folder, "page")]):
            done = run(*command)
            if done.returncode != 0 or done.stderr:
                yield f"{command[0]}: {done.stderr.strip()[:200]}"
    fonts = run("pdffonts", pdf).stdout.splitlines()[2:]
    if len(fonts) != 2:
        yield f"{len(fonts)} faces instead of regular and bold"
    for font in fonts:
        if font.split()[-5:-2] != ["yes", "yes", "yes"]:
            yield f"not embedded, not a subset or without ToUnicode: {font}"
    pages = words_of(pdf)
    if not pages or not all(page[2] for page in pages):
        yield "there is a page without a word"
    for number, (width, height, words) in enumerate(pages, 1):
        yield from faults_of_page(number, width, height, words)


ALPHABETS = ("w\u0141o\u017cyskoM\u00fcgg", "\u039a\u03b9\u03bd\u03b7\u03c4\u03ae\u03c1",
             "\u0428\u0430\u0442\u0443\u043d\u043d\u044b\u0439")
TEMPLATE = """paper: {paper}
margins: {{top: 12 mm, bottom: 12 mm, inner: 16 mm, outer: 10 mm}}
labels: en
first: as-written
decimal-mark: "."
sections: [cover, overview, cards, torques, limits, settings, follow-up, sources, questions, accepted]
"""


def stretched(text):
    """Every name becomes one of 1 to 200 letters, with and without blanks."""
    count = 0

    def longer(found):
        nonlocal count
        count += 1
        word = ALPHABETS[count % 3] + (" " if count % 2 else "")
        length = (1, 40, 200, 77, 120)[count % 5]
        return 'name: "' + f"{count} {word * 200}"[:length].strip() + '"'

    return re.sub(r"\bname: (?:\"[^\"]*\"|[^,}\n]+)", longer, text)


def pack(spec, into, *options):
    gudgeon = os.path.abspath(os.environ.get("GUDGEON", "out/build/gudgeon"))
    done = run(gudgeon, "pack", *options, "-o", into, spec)
    if done.returncode != 0:
        print(f"not ok pages/{os.path.basename(into)}: pack ended with {done.returncode}: "
              f"{done.stderr[:300]}")
        return None
    return os.path.join(into, "cards.pdf")


def demo_packs(folder):
    for demo in ("hob", "pintail"):
        yield demo, pack(f"specs/{demo}.yaml", os.path.join(folder, demo))
    specs = os.path.join(folder, "specs")
    shutil.copytree("specs", specs)
    hob = os.path.join(specs, "hob.yaml")
    with open(hob, encoding="utf-8") as file:
        text = stretched(file.read())
    with open(hob, "w", encoding="utf-8") as file:
        file.write(text)
    for paper in ("A4", "Letter", "A5"):
        template = os.path.join(folder, f"{paper}.yaml")
        with open(template, "w", encoding="utf-8") as file:
            file.write(TEMPLATE.format(paper=paper))
        name = f"long-names-{paper}"
        yield name, pack(hob, os.path.join(folder, name), "--root", specs, "--template", template)


def report(name, pdf):
    found = list(faults(pdf))
    print(f"not ok pages/{name}: {'; '.join(found[:5])} ({len(found)} in all)" if found
          else f"ok pages/{name}")


if len(sys.argv) > 1:
    for path in sys.argv[1:]:
        report(path, path)
else:
    with tempfile.TemporaryDirectory() as scratch:
        for demo, cards in demo_packs(scratch):
            if cards:
                report(demo, cards)
