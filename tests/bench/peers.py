"""The same work done with Python's libraries, each used in its plain way: `python peers.py JOB ARGS`.

Every job but `neutral` prints what it took in seconds of CPU, after all is imported, as one object of JSON.
shapely knows no arcs: they become lines within 0.001 mm of them, as exact as our coordinates are.
"""

import csv
import io
import json
import math
import re
import sys
import time
import tomllib
import xml.etree.ElementTree as ET
from pathlib import Path

import ezdxf
import shapely
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas
from shapely.geometry import LineString, MultiPolygon, Point, Polygon, box

MM = 72 / 25.4
ARC = 0.001  # how far a line may stand off the arc it stands for, in mm
HALF_BIT = 3.175
LETTER = (215.9, 279.4)
MARGIN, OVERLAP = 6.35, 9.525


def quadrant(radius):
    """Lines to a quarter of a circle."""
    return max(1, math.ceil(math.pi / 4 / math.acos(1 - ARC / radius)))


def disk(x, y, radius):
    return Point(x, y).buffer(radius, quad_segs=quadrant(radius))


# -- (a) ---------------------------------------------------------------------------------------------------------------


def kernel(boards):
    return sum(cut_and_offset(board) for board in json.loads(Path(boards).read_text()))


def cut_and_offset(board):
    radius = board["radius"]
    core = box(radius, radius, board["length"] - radius, board["width"] - radius)
    blank = core.buffer(radius, quad_segs=quadrant(radius))
    cutters = [slot(*figures) for figures in board["slots"]] + [disk(*figures) for figures in board["holes"]]
    part = blank.difference(MultiPolygon(cutters))  # none touches another
    # Grown all round: the outline moves out, the openings move in.
    return part.buffer(HALF_BIT, quad_segs=quadrant(HALF_BIT)).area


def slot(x, depth, wide):
    round_end = disk(x, depth, wide / 2)
    return shapely.union(box(x - wide / 2, -1, x + wide / 2, depth), round_end)


# -- neutral data ------------------------------------------------------------------------------------------------------


def neutral(made, out):
    """Parts as outlines, openings, drillings and notes from DXF files, with their drawings from SVG ones."""
    told = json.loads((Path(made) / "summary.json").read_text())
    pages = [(holder["name"], holder.get("pages")) for holder in told["holders"]]
    of = lambda what: {(name, shown["part"]) for name, paged in pages if paged for shown in paged[what]}
    patterns, strips = of("patterns"), of("strips")
    drawn = (file for file in sorted(Path(made).glob("*/*.dxf")) if file.with_suffix(".svg").exists())
    Path(out).write_text(json.dumps([printed(part(file), patterns, strips) for file in drawn]))


def printed(part, patterns, strips):
    """With what of it is on pages of ours."""
    who = (part["holder"], part["name"])
    return {**part, "printed": "pattern" if who in patterns else "strip" if who in strips else None}


def part(file):
    shapes = list(ezdxf.readfile(file).modelspace())
    closed = [[shape.dxf.layer, shape.get_points("xyb")] for shape in shapes if shape.dxftype() == "LWPOLYLINE"]
    lines = [[s.dxf.layer, *s.dxf.start.vec2, *s.dxf.end.vec2] for s in shapes if s.dxftype() == "LINE"]
    circles = [[s.dxf.layer, *s.dxf.center.vec2, s.dxf.radius] for s in shapes if s.dxftype() == "CIRCLE"]
    texts = [[s.dxf.layer, *s.dxf.insert.vec2, s.dxf.height, s.dxf.text] for s in shapes if s.dxftype() == "TEXT"]
    outline = next(flat(points) for layer, points in closed if layer == "CUT_OUTLINE")
    xs, ys = zip(*outline)
    size = [max(xs) - min(xs), max(ys) - min(ys)]
    cutters = box(min(xs), min(ys), max(xs), max(ys)).difference(Polygon(outline))
    cutters = [list(piece.exterior.coords) for piece in getattr(cutters, "geoms", [cutters]) if piece.area > 0.01]
    return {
        "holder": file.parent.name,
        "name": file.stem,
        "size": size,
        "closed": closed,
        "lines": lines,
        "circles": circles,
        "texts": texts,
        "cutters": cutters,
        "drawing": drawing(file.with_suffix(".svg")),
    }


def flat(points):
    """A closed polyline with bulges as points."""
    found = []
    for (x, y, bulge), (to_x, to_y, _) in zip(points, points[1:] + points[:1]):
        found.append((x, y))
        if bulge:
            found.extend(along((x, y), (to_x, to_y), bulge))
    return found


def along(start, end, bulge):
    """Points within an arc."""
    center, radius, begin, sweep = arc(start, end, bulge)
    count = max(1, math.ceil(abs(sweep) / (math.pi / 2) * quadrant(radius)))
    angles = (begin + sweep * i / count for i in range(1, count))
    return [(center[0] + radius * math.cos(a), center[1] + radius * math.sin(a)) for a in angles]


def arc(start, end, bulge):
    """Center, radius, first angle and sweep."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    k = (1 - bulge * bulge) / (4 * bulge)
    center = ((start[0] + end[0]) / 2 - dy * k, (start[1] + end[1]) / 2 + dx * k)
    radius = math.hypot(dx, dy) * (1 + bulge * bulge) / (4 * abs(bulge))
    return center, radius, math.atan2(start[1] - center[1], start[0] - center[0]), 4 * math.atan(bulge)


SVG = "{http://www.w3.org/2000/svg}"


def drawing(file):
    """Strokes and words of a pattern, y up."""
    root = ET.parse(file).getroot()
    width, height = map(float, root.get("viewBox").split()[2:])
    strokes, words = [], []
    for group in root.findall(f"{SVG}g"):
        wide = float(group.get("stroke-width", 0))
        strokes += [[wide, bulged(run, height)] for path in group.findall(f"{SVG}path") for run in runs(path.get("d")) if wide]
        strokes += [[wide, ring(circle, height)] for circle in group.findall(f"{SVG}circle") if wide]
        words += [word(label, height) for label in group.iter(f"{SVG}g") if label.get("aria-label")]
    return {"size": [width, height], "strokes": strokes, "words": words}


def runs(d):
    return [run for run in d.split("M") if run.strip()]


def bulged(run, height):
    """One run of lines and arcs of a path as points with bulges."""
    steps = [(step[0], [float(n) for n in re.findall(r"-?[\d.]+(?:e-?\d+)?", step)]) for step in re.findall(r"[LAZ][^LAZ]*", "L" + run)]
    points = []
    for letter, figures in steps:
        if letter == "Z":
            continue
        if letter == "A":
            (x, y, _), (rx, _, _, large, clockwise, to_x, to_y) = points[-1], figures
            half = min(1, math.hypot(to_x - x, height - to_y - y) / 2 / rx)
            sweep = 2 * math.asin(half)
            sweep = 2 * math.pi - sweep if large else sweep
            points[-1][2] = math.tan(sweep / 4) * (-1 if clockwise else 1)
        points.append([figures[-2], height - figures[-1], 0])
    return points


def ring(circle, height):
    x, y, radius = (float(circle.get(name)) for name in ("cx", "cy", "r"))
    y = height - y
    return [[x + radius, y, 1], [x - radius, y, 1], [x + radius, y, 0]]


def word(label, height):
    move = label.get("transform")
    x, y = re.search(r"translate\(([-\d.]+)[ ,]([-\d.]+)\)", move).groups()
    turn = re.search(r"rotate\(([-\d.]+)\)", move)
    size = float(re.search(r"scale\(([-\d.]+)", move)[1]) * 100
    return [float(x), height - float(y), -float(turn[1]) if turn else 0, size, label.get("aria-label")]


# -- (b) ---------------------------------------------------------------------------------------------------------------


def outlines(file, times):
    parts = json.loads(Path(file).read_text())
    return sum(len(dxf(part)) for _ in range(int(times)) for part in parts)


def dxf(part):
    doc = ezdxf.new("R2000")
    doc.units = ezdxf.units.MM
    space = doc.modelspace()
    for layer in sorted({shape[0] for kind in ("closed", "lines", "circles", "texts") for shape in part[kind]}):
        doc.layers.add(layer)
    for layer, points in part["closed"]:
        space.add_lwpolyline(points, format="xyb", close=True, dxfattribs={"layer": layer})
    for layer, x, y, radius in part["circles"]:
        space.add_circle((x, y), radius, dxfattribs={"layer": layer})
    for layer, x, y, to_x, to_y in part["lines"]:
        space.add_line((x, y), (to_x, to_y), dxfattribs={"layer": layer})
    for layer, x, y, height, text in part["texts"]:
        space.add_text(text, height=height, dxfattribs={"layer": layer, "insert": (x, y)})
    file = io.StringIO()
    doc.write(file)
    return file.getvalue()


# -- (c) ---------------------------------------------------------------------------------------------------------------


def pages(file, times, out):
    pdfmetrics.registerFont(TTFont("Vera", "Vera.ttf"))
    parts = [part for part in json.loads(Path(file).read_text()) if part["printed"]]
    for _ in range(int(times)):
        for holder in sorted({part["holder"] for part in parts}):
            bound([part for part in parts if part["holder"] == holder], Path(out) / f"{holder}.pdf")


def bound(parts, file):
    """The patterns of one holder on pages, their letters embedded as ours are."""
    if not parts:
        return
    file.parent.mkdir(parents=True, exist_ok=True)
    canvas = Canvas(str(file), pagesize=[side * MM for side in LETTER])
    for part in parts:
        drawing = part["drawing"] if part["printed"] == "pattern" else strip(part)
        tile(canvas, drawing, f"{part['holder']}, {part['name']}")
    canvas.save()


def tile(canvas, drawing, title):
    """One pattern on as many pages as it takes, each showing what lies within its window."""
    room = [side - 2 * MARGIN for side in LETTER]
    room[1] -= 12  # what stands on every page
    step = [side - OVERLAP for side in room]
    columns, rows = (max(1, math.ceil((size - OVERLAP) / by)) for size, by in zip(drawing["size"], step))
    boxed = [(bounds(stroke[1]), stroke) for stroke in drawing["strokes"]]
    for row in range(rows):
        for column in range(columns):
            window = (column * step[0], row * step[1], column * step[0] + room[0], row * step[1] + room[1])
            furniture(canvas, title, (column, row), (columns, rows))
            within(canvas, boxed, drawing["words"], window, room)
            canvas.showPage()


def strip(part):
    """What is glued along an edge of a plain part: its length and where its holes come."""
    length, high = part["size"][0], 30
    edge = [[0, 0, 0], [length, 0, 0], [length, high, 0], [0, high, 0], [0, 0, 0]]
    ticks = [[0.25, [[x, 0, 0], [x, high - 10, 0]]] for _, x, _, _ in part["circles"]]
    words = [[x + 1, high - 15, 0, 3, f"{x:.1f}"] for _, x, _, _ in part["circles"]]
    return {"size": [length, high], "strokes": [[0.5, edge], *ticks], "words": [*words, [5, high - 6, 0, 3, f"{length:.1f}"]]}


def bounds(points):
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    reach = max((abs(p[2]) for p in points), default=0) and math.hypot(max(xs) - min(xs), max(ys) - min(ys))
    return min(xs) - reach, min(ys) - reach, max(xs) + reach, max(ys) + reach


def furniture(canvas, title, at, of):
    """Name, number, a bar to check the printer by, marks at the seams, and a small map."""
    canvas.setLineWidth(0.25 * MM)
    canvas.setFont("Vera", 9)
    canvas.drawString(MARGIN * MM, (MARGIN + 6) * MM, f"{title}: column {at[0] + 1} of {of[0]}, row {at[1] + 1} of {of[1]}")
    canvas.drawString(120 * MM, MARGIN * MM, "100 mm")
    canvas.line(MARGIN * MM, MARGIN * MM, (MARGIN + 100) * MM, MARGIN * MM)
    canvas.line((LETTER[0] - MARGIN) * MM, 40 * MM, (LETTER[0] - MARGIN) * MM, 140 * MM)
    for x in (MARGIN, LETTER[0] - MARGIN):
        for y in (MARGIN + 12, LETTER[1] - MARGIN):
            canvas.line((x - 3) * MM, y * MM, (x + 3) * MM, y * MM)
            canvas.line(x * MM, (y - 3) * MM, x * MM, (y + 3) * MM)
    for i in range(of[0]):
        for j in range(of[1]):
            canvas.rect((180 + i * 3) * MM, (MARGIN + j * 3) * MM, 3 * MM, 3 * MM, fill=(i, j) == at)


def within(canvas, boxed, words, window, room):
    canvas.saveState()
    clip = canvas.beginPath()
    clip.rect(MARGIN * MM, (MARGIN + 12) * MM, room[0] * MM, room[1] * MM)
    canvas.clipPath(clip, stroke=0)
    canvas.translate((MARGIN - window[0]) * MM, (MARGIN + 12 - window[1]) * MM)
    for bounds, (wide, points) in boxed:
        if bounds[0] <= window[2] and bounds[2] >= window[0] and bounds[1] <= window[3] and bounds[3] >= window[1]:
            stroked(canvas, wide, points)
    for x, y, turn, size, text in words:
        if window[0] - 80 <= x <= window[2] + 80 and window[1] - 80 <= y <= window[3] + 80:
            written(canvas, (x, y), turn, size, text)
    canvas.restoreState()


def stroked(canvas, wide, points):
    canvas.setLineWidth(wide * MM)
    path = canvas.beginPath()
    path.moveTo(points[0][0] * MM, points[0][1] * MM)
    for start, end in zip(points, points[1:]):
        if start[2]:
            (x, y), radius, begin, sweep = arc(start, end, start[2])
            box = [side * MM for side in (x - radius, y - radius, x + radius, y + radius)]
            path.arcTo(*box, startAng=math.degrees(begin), extent=math.degrees(sweep))
        else:
            path.lineTo(end[0] * MM, end[1] * MM)
    canvas.drawPath(path)


def written(canvas, at, turn, size, text):
    canvas.setFont("Vera", size * MM)
    if not turn:
        return canvas.drawString(at[0] * MM, at[1] * MM, text)
    canvas.saveState()
    canvas.translate(at[0] * MM, at[1] * MM)
    canvas.rotate(turn)
    canvas.drawString(0, 0, text)
    canvas.restoreState()


# -- (d) ---------------------------------------------------------------------------------------------------------------


def plain(project, file, out):
    """A plain script for the whole of a project: patterns, pages, outlines, a cut list, rectangles on sheets."""
    pdfmetrics.registerFont(TTFont("Vera", "Vera.ttf"))
    out = Path(out)
    shop = tomllib.loads((Path(project) / "shop.toml").read_text())
    parts = json.loads(Path(file).read_text())
    listed = []
    for source in sorted((Path(project) / "holders").glob("*.toml")):
        holder = tomllib.loads(source.read_text())
        own = [part for part in parts if part["holder"] == source.stem]
        (out / source.stem).mkdir(parents=True, exist_ok=True)
        drawn = [made(part, holder["title"], out) for part in own]
        listed += [[source.stem, part["name"], *part["size"]] for part in own]
        bound([part for part in drawn if part["printed"]], out / source.stem / "pages.pdf")
    cut_list(listed, out)
    for number, sheet in enumerate(shelves(listed, shop), 1):
        (out / f"sheet-{number}.svg").write_text(sheet_svg(sheet))


def made(part, title, out):
    """A part cut from its blank, drawn with its dimensions, and written."""
    cutters = shapely.union_all([Polygon(points) for points in part["cutters"]])
    holes = shapely.union_all([disk(x, y, radius) for _, x, y, radius in part["circles"]])
    shape = box(0, 0, *part["size"]).difference(cutters).difference(holes)
    shape = max(getattr(shape, "geoms", [shape]), key=lambda piece: piece.area)
    strokes = [[0.5, [[x, y, 0] for x, y in ring.coords]] for ring in (shape.exterior, *shape.interiors)]
    drawing = {"size": [side + 30 for side in part["size"]], "strokes": strokes, "words": dimensions(part, title)}
    home = out / part["holder"]
    (home / f"{part['name']}.svg").write_text(pattern_svg(drawing))
    rings = [["CUT_OUTLINE", list(shape.exterior.coords[:-1])]]
    (home / f"{part['name']}.dxf").write_text(plain_dxf(rings, part["circles"]))
    return {**part, "drawing": drawing}


def dimensions(part, title):
    length, width = part["size"]
    words = [[5, width + 20, 0, 5, f"{part['name']} of {title}"]]
    words += [[length / 2, width + 5, 0, 3, f"{length:.1f}"], [length + 5, width / 2, 90, 3, f"{width:.1f}"]]
    for points in part["cutters"]:
        x, y, to_x, to_y = shapely.LineString(points).bounds
        words.append([x, y, 0, 3, f"{to_x - x:.1f} x {to_y - y:.1f}"])
    return words + [[x, y, 0, 3, f"{2 * radius:.1f} at {x:.1f}, {y:.1f}"] for _, x, y, radius in part["circles"]]


def pattern_svg(drawing):
    width, height = drawing["size"]
    lines = [f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{height}mm" viewBox="0 0 {width} {height}">']
    for wide, points in drawing["strokes"]:
        d = "L".join(f"{x:.3f} {height - y:.3f}" for x, y, _ in points)
        lines.append(f'<path d="M{d}" fill="none" stroke="#000" stroke-width="{wide}"/>')
    for x, y, turn, size, text in drawing["words"]:
        lines.append(f'<text transform="translate({x:.3f} {height - y:.3f}) rotate({-turn})" font-size="{size}">{text}</text>')
    return "\n".join([*lines, "</svg>"])


def plain_dxf(rings, circles):
    doc = ezdxf.new("R2000")
    doc.units = ezdxf.units.MM
    for layer, points in rings:
        doc.modelspace().add_lwpolyline(points, close=True, dxfattribs={"layer": layer})
    for layer, x, y, radius in circles:
        doc.modelspace().add_circle((x, y), radius, dxfattribs={"layer": layer})
    file = io.StringIO()
    doc.write(file)
    return file.getvalue()


def cut_list(listed, out):
    with open(out / "cut-list.csv", "w", newline="") as file:
        table = csv.writer(file)
        table.writerow(["holder", "part", "length", "width"])
        table.writerows(listed)


def shelves(listed, shop):
    """Rectangles on sheets, in shelves, the highest first."""
    kerf, (length, width) = 3.2, (float(shop["sheet"][0][side]) * 25.4 for side in ("length", "width"))
    sheets, x, y, high = [], 0, 0, 0
    for holder, name, long, wide in sorted(listed, key=lambda row: -row[3]):
        if x + long > length:
            x, y, high = 0, y + high + kerf, 0
        if not sheets or y + wide > width:
            sheets.append([])
            x, y, high = 0, 0, 0
        sheets[-1].append([f"{holder} {name}", x, y, long, wide])
        x, high = x + long + kerf, max(high, wide)
    return sheets


def sheet_svg(sheet):
    pieces = [f'<rect x="{x:.2f}" y="{y:.2f}" width="{w:.2f}" height="{h:.2f}"/><text x="{x:.2f}" y="{y:.2f}">{name}</text>' for name, x, y, w, h in sheet]
    return "\n".join(['<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 2440 1220">', *pieces, "</svg>"])


def main(job, *args):
    begin = time.process_time()
    done = {"kernel": kernel, "neutral": neutral, "outlines": outlines, "pages": pages, "plain": plain}[job](*args)
    print(json.dumps({"cpu": time.process_time() - begin, "came to": done}))


main(*sys.argv[1:])
