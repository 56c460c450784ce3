#!/usr/bin/env python3
"""Gaskets as independent readers see them: gaskets.pdf by its content streams (qpdf), DXF by ezdxf, SVG as librsvg
renders it. All three hold the same outline within 0.01 mm; lengths are true within 0.1 mm over 250 mm; areas are those
that plane geometry gives. Tags: everything that the strip takes off or slackens has one, and no letter is under 9 pt.
The outlines are those of both demos and of tests/e2e/gaskets/awkward.yaml."""
import base64
import json
import math
import os
import pathlib
import re
import subprocess
import tempfile
import xml.etree.ElementTree

import ezdxf
import ezdxf.math
import numpy

ROOT = pathlib.Path(__file__).resolve().parents[2]
PROGRAM = str((ROOT / os.environ.get("GUDGEON", "out/build/gudgeon")).resolve())
MM = 72 / 25.4
SPECS = {"pintail": "specs/pintail.yaml", "hob": "specs/hob.yaml", "awkward": "tests/e2e/gaskets/awkward.yaml"}
INCH = 25.4


def quarter(r):  # what a rounding by r takes from a square corner
    return (1 - math.pi / 4) * r * r


def circle(d):
    return math.pi * d * d / 4


def segment(r, half_chord):  # of a circle, beyond a chord
    half = math.asin(half_chord / r)
    return r * r * (half - math.sin(half) * math.cos(half))


# Square millimetres by plane geometry, from the sizes in awkward.yaml.
SLIT_ACROSS = 3 / 2  # half of the open slit's width
AREAS = {
    "slit": 120 * 60 - 0.6 * 40,
    # the slit is 3 mm wide from the bore's edge to the outer edge
    "open-slit": circle(80) - circle(50) - (2 * (40 * 40 * math.asin(SLIT_ACROSS / 40) / 2
                 + SLIT_ACROSS * math.sqrt(40 ** 2 - SLIT_ACROSS ** 2) / 2)
                 - 2 * (25 * 25 * math.asin(SLIT_ACROSS / 25) / 2 + SLIT_ACROSS * math.sqrt(25 ** 2 - SLIT_ACROSS ** 2) / 2)),
    "least-bridge": 100 * 60 - 2 * circle(40),
    "least-hole": circle(12) - circle(0.5),
    "washer": circle(6) - circle(2),
    "nine-hundred": 60 * 900 - 4 * quarter(30) - (36 * 876 - 4 * quarter(18)) - 2 * circle(6),
    "four-hundred-holes": circle(300) - circle(130) - 400 * circle(3),
    "kidney": circle(100) / 2 - circle(60) / 2 + circle(20),
    "horseshoe": circle(80) / 2 - circle(50) / 2 + 2 * 15 * 30,
    "clockwise": 20 * 50 + 60 * 20,
    "comb": 100 * 50 - 4 * 8 * 40,
    "grown": 60 * 40 + 2 * 7 * (60 + 40) + circle(14),
    "shrunk": 52 * 32 - 4 * quarter(5),
    "grown-again": 60 * 40 + 2 * 10 * (60 + 40) + circle(20),
    "both-sides": (50 + 20) * 40,
    "other-hand": 20 * 50 + 60 * 20 - 2 * circle(8),
    "turned": 90 * 30 - 4 * quarter(5),
    # three discs, less the two lenses in which neighbours overlap (middles 50 apart), less three holes
    "three-rings": 3 * circle(60) - 2 * 2 * segment(30, math.sqrt(30 ** 2 - 25 ** 2)) - 3 * circle(30),
    "scalloped": 100 * 40 - 2 * circle(20) / 2 - circle(20) / 4,
    "sixty-fourths": (193 / 64 * 127 / 64 - 4 * quarter(3 / 64) - circle(9 / 64)) * INCH ** 2,
    "round-plate": circle(40),
    "thin-ring": circle(150) - circle(146),
    "quarter-metre": 250 * 40,
    "bar": 200 * 100,
}


# ---------- reading back ----------

TOKEN = re.compile(rb"\((?:\\.|[^\\)])*\)|<[0-9A-Fa-f\s]*>|\[[^\]]*\]|/[^\s/\[\]<>()]+|[^\s\[\]()<>]+")


def times(a, b):
    return (a[0] * b[0] + a[1] * b[2], a[0] * b[1] + a[1] * b[3], a[2] * b[0] + a[3] * b[2],
            a[2] * b[1] + a[3] * b[3], a[4] * b[0] + a[5] * b[2] + b[4], a[4] * b[1] + a[5] * b[3] + b[5])


def steps(length):
    """So many chords of an arc of at most 45 degrees that none is farther than 0.0005 mm from it."""
    return math.ceil(math.sqrt(200 * length)) + 2


def bulged(vertices):
    """The edge through vertices x, y, bulge: arcs exactly (ezdxf's own paths put Bezier curves in their place)."""
    loop = []
    for a, b in zip(vertices, vertices[1:] + vertices[:1]):
        loop.append(a[:2])
        if not a[2]:
            continue
        middle, start, end, radius = ezdxf.math.bulge_to_arc(a[:2], b[:2], a[2])
        sweep = (end - start) % (2 * math.pi)
        count = steps(radius * sweep) * 2
        inner = [(middle.x + radius * math.cos(start + sweep * i / count),
                  middle.y + radius * math.sin(start + sweep * i / count)) for i in range(1, count)]
        loop += inner if a[2] > 0 else inner[::-1]
    return loop + loop[:1]


def content(stream):
    """(operator, loops, clip) of each path painted, points in millimetres; and the sizes of letters."""
    matrix, saved, clip = (1 / MM, 0, 0, 1 / MM, 0, 0), [], None
    stack, loops, painted, sizes, clips = [], [], [], [], False

    def at(x, y):
        return (matrix[0] * x + matrix[2] * y + matrix[4], matrix[1] * x + matrix[3] * y + matrix[5])

    for token in TOKEN.findall(stream):
        try:
            stack.append(float(token))
            continue
        except ValueError:
            pass
        if token[:1] in b"(</[":
            continue
        op, n = token.decode("latin-1"), [v for v in stack]
        stack = []
        if op == "q":
            saved.append((matrix, clip))
        elif op == "Q":
            matrix, clip = saved.pop()
        elif op == "cm":
            matrix = times(n[-6:], matrix)
        elif op == "m":
            loops.append([at(*n)])
        elif op == "l":
            loops[-1].append(at(*n))
        elif op == "c":
            p = numpy.array([loops[-1][-1], at(*n[:2]), at(*n[2:4]), at(*n[4:])])
            for t in numpy.linspace(0, 1, steps(math.dist(p[0], p[3])))[1:, None]:
                loops[-1].append(tuple(((1 - t) ** 3 * p[0] + 3 * (1 - t) ** 2 * t * p[1] + 3 * (1 - t) * t * t * p[2]
                                        + t ** 3 * p[3])))
        elif op == "h":
            loops[-1].append(loops[-1][0])
        elif op == "re":
            x, y, w, h = n
            loops.append([at(x, y), at(x + w, y), at(x + w, y + h), at(x, y + h), at(x, y)])
        elif op in ("W", "W*"):
            clips = True
        elif op in ("S", "s", "f", "F", "f*", "B", "B*", "b", "b*", "n"):
            if clips:
                clip, clips = box(loops), False
            if op != "n":
                painted.append((op, loops, clip))
            loops = []
        elif op == "Tf":
            sizes.append(n[-1])
    return painted, sizes


def box(loops):
    points = numpy.array([p for loop in loops for p in loop])
    return (*points.min(axis=0), *points.max(axis=0))


def pages(path):
    """Content of each page, as qpdf decodes it."""
    done = subprocess.run(["qpdf", "--json", "--json-stream-data=inline", "--decode-level=generalized", path],
                          capture_output=True, check=True)
    data = json.loads(done.stdout)
    objects = data["qpdf"][1]
    for page in data["pages"]:
        streams = [base64.b64decode(objects[f"obj:{name}"]["stream"]["data"]) for name in page["contents"]]
        yield content(b"\n".join(streams))


def of_dxf(path):
    """Loops that are cut; anything that should not be there is an error."""
    drawing = ezdxf.readfile(path)
    if drawing.dxfversion != "AC1009" or drawing.audit().errors:
        raise ValueError(f"{path.name} is no clean R12: {drawing.dxfversion}, {drawing.audit().errors}")
    loops, marks = [], []
    for entity in drawing.modelspace():
        if entity.dxftype() == "POLYLINE" and entity.dxf.layer == "CUT" and entity.is_closed:
            loops.append(bulged([(v.dxf.location.x, v.dxf.location.y, v.dxf.bulge) for v in entity.vertices]))
        elif entity.dxftype() == "LINE" and entity.dxf.layer == "MARKS":
            marks.append(((entity.dxf.start.x, entity.dxf.start.y), (entity.dxf.end.x, entity.dxf.end.y)))
        else:
            raise ValueError(f"{path.name} holds {entity.dxftype()} on {entity.dxf.layer}")
    return loops, marks


def of_svg(path, scratch):
    root = xml.etree.ElementTree.parse(path).getroot()
    if [group.get("id") for group in root if group.tag.endswith("}g")] != ["cut", "marks"]:
        raise ValueError(f"{path.name} has other groups than cut and marks")
    for d in (p.get("d") for p in root.iter("{http://www.w3.org/2000/svg}path")):
        if d.count("M") != d.count("Z") and "A" in d:
            raise ValueError(f"{path.name} holds a path that is open")
    shown = scratch / "svg.pdf"
    subprocess.run(["rsvg-convert", "-f", "pdf", "-o", shown, path], check=True)
    painted = next(pages(shown))[0]
    loops = [loop for op, found, _ in painted for loop in found if op in ("S", "s")]
    return [loop for loop in loops if len(loop) > 2], [loop for loop in loops if len(loop) == 2]


def farthest(points, loops):
    """The largest distance of any point from the nearest edge of the loops."""
    a = numpy.vstack([numpy.array(loop)[:-1] for loop in loops])
    b = numpy.vstack([numpy.array(loop)[1:] for loop in loops])
    along = b - a
    length = numpy.maximum((along ** 2).sum(axis=1), 1e-18)
    worst = 0.0
    for start in range(0, len(points), 200):
        p = points[start:start + 200, None, :]
        t = numpy.clip(((p - a) * along).sum(axis=2) / length, 0, 1)[..., None]
        worst = max(worst, float(numpy.sqrt((((a + t * along) - p) ** 2).sum(axis=2)).min(axis=1).max()))
    return worst


def moved(loops, turned=False):
    """Low corner to 0, 0; a quarter clockwise where it was turned on the page."""
    loops = [numpy.array(loop) for loop in loops]
    if turned:
        loops = [numpy.column_stack([loop[:, 1], -loop[:, 0]]) for loop in loops]
    low = numpy.vstack(loops).min(axis=0)
    return [loop - low for loop in loops]


def apart(one, other):
    if len(one) != len(other):
        return math.inf
    some = lambda loops: numpy.vstack(loops)[::max(1, sum(map(len, loops)) // 400)]
    return max(farthest(some(one), other), farthest(some(other), one))


def area(loops):
    total = 0.0
    for loop in loops:
        x, y = numpy.array(loop).T
        total += (x[:-1] * y[1:] - x[1:] * y[:-1]).sum() / 2
    return abs(total)


# ---------- checks ----------

def full_size(painted):
    """(loops, clip) of the gasket on a page at 1:1, where two bars stand; and the lengths of all lines."""
    lengths = [math.dist(loop[0], loop[1]) for op, loops, _ in painted if op == "S" for loop in loops if len(loop) == 2]
    cuts = [(loops, clip) for op, loops, clip in painted if op in ("B*", "b*") and clip]
    return cuts, lengths


def near(value, wanted, by):
    return abs(value - wanted) <= by


def check_paper(name, folder, dxf, printer=100.0):
    """Every page at 1:1 shows one gasket of `dxf` as it is, with both bars; pages together show all of it."""
    scale, seen, worst = 100 / printer, {}, 0.0
    for number, (painted, sizes) in enumerate(pages(folder / "gaskets.pdf"), 1):
        if sizes and min(sizes) < 9:
            yield f"page {number} has letters of {min(sizes)} pt"
        cuts, lengths = full_size(painted)
        if not cuts:
            continue
        for bar in (100 * scale, 101.6 * scale):
            if not any(near(length, bar, 0.002) for length in lengths):
                yield f"page {number} has no bar of {bar:.2f} mm"
        loops, clip = cuts[0]
        loops = [numpy.array(loop) / scale for loop in loops]
        found = None
        for gasket, (cut, _) in dxf.items():
            for turned in (False, True):
                if len(cut) == len(loops) and near(box(moved(loops, turned))[2], box(moved(cut))[2], 0.02) and \
                        near(box(moved(loops, turned))[3], box(moved(cut))[3], 0.02):
                    far = apart(moved(loops, turned), moved(cut))
                    if far < 0.01:
                        found, worst = gasket, max(worst, far)
                        break
            if found:
                break
        if not found:
            yield f"page {number} shows an outline that is in no DXF"
            continue
        whole = box(loops)
        seen.setdefault(found, []).append([(clip[0] / scale - whole[0], clip[1] / scale - whole[1],
                                            clip[2] / scale - whole[0], clip[3] / scale - whole[1]),
                                           (whole[2] - whole[0], whole[3] - whole[1])])
    for gasket in dxf.keys() - seen.keys():
        yield f"{gasket} is on no page"
    for gasket, tiles in seen.items():
        width, height = tiles[0][1]
        for x in numpy.linspace(0, width, 60):
            for y in numpy.linspace(0, height, 60):
                if not any(c[0] - 1e-3 <= x <= c[2] + 1e-3 and c[1] - 1e-3 <= y <= c[3] + 1e-3 for c, _ in tiles):
                    yield f"{gasket}: nothing shows {x:.0f}, {y:.0f}"
                    return
        columns = sorted({round(c[0], 3): c for c, _ in tiles}.values())
        for left, right in zip(columns, columns[1:]):
            if not near(left[2] - right[0], 10, 0.01):
                yield f"{gasket}: pages overlap by {left[2] - right[0]:.2f} mm instead of 10"
    if worst == 0:
        yield "nothing was compared"
    print(f"ok gaskets/{name}/paper: {sum(map(len, seen.values()))} pages at 1:1, at most {worst:.4f} mm from the DXF")


def check_files(name, folder, scratch):
    dxf, worst = {}, 0.0
    for path in sorted((folder / "gaskets").glob("*.dxf")):
        dxf[path.stem] = of_dxf(path)
        svg = of_svg(path.with_suffix(".svg"), scratch)
        far = apart(moved(svg[0]), moved(dxf[path.stem][0]))
        if far > 0.01 or len(svg[1]) != len(dxf[path.stem][1]):
            yield f"{path.stem}: SVG and DXF are {far:.4f} mm apart, {len(svg[1])} and {len(dxf[path.stem][1])} marks"
        worst = max(worst, far)
        for a, b in dxf[path.stem][1]:  # no mark on the gasket: its ends lie in a hole
            if min(math.dist(a, b), 7) >= 7:
                yield f"{path.stem}: a mark {math.dist(a, b):.1f} mm long"
    yield dxf
    print(f"ok gaskets/{name}/files: {len(dxf)} outlines, SVG at most {worst:.4f} mm from DXF")


def check_sizes(dxf):
    for gasket, wanted in AREAS.items():
        got = area(dxf[gasket][0])
        # what is joined or cut is true within 0.005 mm along its edge
        edge = sum(math.dist(a, b) for loop in dxf[gasket][0] for a, b in zip(loop, loop[1:]))
        if abs(got - wanted) > 0.006 * edge:
            yield f"{gasket}: {got:.2f} mm2 instead of {wanted:.2f}"
    for gasket in dxf.keys() - AREAS.keys():
        yield f"{gasket}: no area is known"
    long = box(dxf["quarter-metre"][0])
    if not near(long[2] - long[0], 250, 0.001):
        yield f"250 mm are {long[2] - long[0]} mm in the DXF"


def grey_rows(path, page, dpi):
    """Rows of a page as pdftoppm paints them."""
    done = subprocess.run(["pdftoppm", "-r", str(dpi), "-gray", "-f", str(page), "-l", str(page), path],
                          capture_output=True, check=True).stdout
    head = re.match(rb"P5\s+(\d+)\s+(\d+)\s+255\s", done)
    return numpy.frombuffer(done[head.end():], numpy.uint8).reshape(int(head[2]), int(head[1]))


def check_painted(folder):
    """200 mm of `bar`, 150 mm of `thin-ring` as painted dots, on the one page that has each."""
    text = subprocess.run(["pdftotext", folder / "gaskets.pdf", "-"], capture_output=True, text=True, check=True).stdout
    dpi = 600
    for name, length in (("bar", 200), ("round-plate", 40), ("thin-ring", 150)):
        number = next(i for i, page in enumerate(text.split("\f"), 1) if re.search(rf"^{name}$", page, re.M))
        rows = grey_rows(folder / "gaskets.pdf", number, dpi) < 200
        left = int((10 + 18 + 1) / 25.4 * dpi)  # right of the bar of 4 in
        part = rows[int(60 / 25.4 * dpi):int(270 / 25.4 * dpi), left:]
        down = numpy.flatnonzero(part.any(axis=1))
        # ink reaches half of the line's width, 0.35 pt, beyond its middle
        got = (down[-1] - down[0] + 1) / dpi * 25.4 - 0.35 / MM
        if not near(got, length, 0.1 * length / 250 + 25.4 / dpi):
            yield f"{name}: {length} mm are painted {got:.3f} mm long"


def check_tags(folder, spec):
    plan = subprocess.run([PROGRAM, "check", "--dump=pack", spec], cwd=ROOT, capture_output=True, text=True, check=True)
    tags = json.loads(plan.stdout)["tags"]
    order = subprocess.run([PROGRAM, "order", "--strip", spec], cwd=ROOT, capture_output=True, text=True, check=True)
    wanted = re.findall(r"^\s+\d+  .*  (?:remove|slacken):(\S+)$", order.stdout, re.M)
    got = [tag["id"] for tag in tags if tag["kind"] != "Tray"]
    if got != wanted or not wanted:
        yield f"tags of {len(got)} things, and the strip takes {len(wanted)} off or apart"
    text = subprocess.run(["pdftotext", "-raw", folder / "tags.pdf", "-"], capture_output=True, text=True, check=True)
    words = text.stdout.split()
    for tag in tags:
        labels = [fact["label"] for fact in tag["facts"]]
        if tag["kind"] == "Bag" and not {"Thread", "Length", "Count", "Spanner, if hexagon"} <= set(labels):
            yield f"bag {tag['id']} says only {labels}"
        if tag["kind"] == "Part" and "Decision" not in labels and not tag["decide"]:
            yield f"{tag['id']} has no decision"
        for word in tag["title"].split():
            if word not in words:
                yield f"'{word}' of {tag['title']} is not in tags.pdf"
    if text.stdout.count("Notes") != len(tags):
        yield f"{text.stdout.count('Notes')} boxes for notes on {len(tags)} tags"
    sizes = [size for _, page in pages(folder / "tags.pdf") for size in page]
    if min(sizes) < 9:
        yield f"letters of {min(sizes)} pt"


def report(name, faults):
    faults = list(faults)
    print(f"not ok gaskets/{name}: {'; '.join(faults[:3])} ({len(faults)} in all)" if faults else f"ok gaskets/{name}")


def pack(spec, into, *options):
    done = subprocess.run([PROGRAM, "pack", *options, "-o", into, spec], cwd=ROOT, capture_output=True, text=True)
    if done.returncode:
        print(f"not ok gaskets: pack of {spec}: {done.stderr[:400]}")
    return done.returncode == 0


with tempfile.TemporaryDirectory() as name:
    scratch = pathlib.Path(name)
    outlines = {}
    for demo, spec in SPECS.items():
        if not pack(spec, scratch / demo):
            continue
        found = list(check_files(demo, scratch / demo, scratch))
        outlines[demo] = found[-1] if isinstance(found[-1], dict) else {}
        report(f"{demo}/same", found[:-1])
        report(f"{demo}/pages", check_paper(demo, scratch / demo, outlines[demo]))
    report("awkward/areas", check_sizes(outlines["awkward"]))
    report("awkward/painted", check_painted(scratch / "awkward"))
    for demo in ("pintail", "hob"):
        report(f"{demo}/tags", check_tags(scratch / demo, SPECS[demo]))
    # What the last print measured corrects the next; files for machines stay as they are.
    corrected = scratch / "corrected.yaml"
    corrected.write_text((ROOT / SPECS["awkward"]).read_text() + "shop: {printer: 99.6 mm}\n")
    if pack(corrected, scratch / "corrected"):
        report("corrected/pages", check_paper("corrected", scratch / "corrected", outlines["awkward"], 99.6))
        report("corrected/files", [p.name for p in (scratch / "corrected/gaskets").iterdir()
                                   if p.read_bytes() != (scratch / "awkward/gaskets" / p.name).read_bytes()])
