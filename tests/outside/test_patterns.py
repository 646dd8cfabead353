"""What is printed at full size, as poppler draws it at 600 dpi: every line of every shaped part on a page that shows it,
every hole of a plain part on its marking strip, and how many pages that takes.

`summary.json` says where on which page something lies; whether it does is measured here, on the outlines of the SVG files.

Sources: poppler as an independent reader; 1 in = 25.4 mm; the runs are those of test_pages.py.
"""

import json
from functools import cache

import numpy
import pypdf
import pytest
from shapely import LineString, Polygon
from shapely.affinity import scale as scaled

from test_pages import A4, DARK, DPI, LETTER, SCALED, is_turned, raster
from test_svg import layers, rings

PX_PER_MM = DPI / 25.4

# From one place that is looked at to the next on a line, in mm.
STEP = 0.5

# The sample's pages of full-size patterns were 235 once; at most so many are wanted.
MOST_PAGES = 95


@cache
def summary(run):
    return json.loads((run / "summary.json").read_text())


def holders(run):
    """The holders that have pages, each with its PDF."""
    for holder in summary(run)["holders"]:
        if holder["pages"]:
            yield holder, run / holder["name"] / holder["pages"]["file"]


def pytest_generate_tests(metafunc):
    if "holder" not in metafunc.fixturenames:
        return
    root = metafunc.config.getoption("made")
    params = []
    for printer in (LETTER, A4, SCALED):
        found = list(holders(root / printer.run))
        assert found, f"no pages in {root / printer.run}"
        # Other paper and another printer change where things lie, not what they are.
        for holder, pdf in found if printer is LETTER else found[::4]:
            name = f"{printer.run}-{holder['name']}"
            params.append(pytest.param(printer, holder, pdf, id=name))
    metafunc.parametrize(("printer", "holder", "pdf"), params)


def applied(matrix, points):
    a, b, c, d, e, f = matrix
    x, y = numpy.asarray(points, float).T
    return numpy.column_stack([a * x + c * y + e, b * x + d * y + f])


def pixels(printer, pdf, page, points):
    """Where places on the printed page, in mm from its lower left corner, lie in the picture of the file: column, row."""
    image = raster(pdf, page)
    long_first = is_turned(pdf, page)
    scale = (printer.scale_long, printer.scale_short) if long_first else (
        printer.scale_short,
        printer.scale_long,
    )
    on_file = numpy.asarray(points) / scale
    return numpy.column_stack([on_file[:, 0], image.shape[0] / PX_PER_MM - on_file[:, 1]]) * PX_PER_MM


def dark(image, places):
    """Which places have something black within a pixel."""
    columns, rows = numpy.floor(places).astype(int).T
    seen = numpy.zeros(len(places), bool)
    height, width = image.shape
    for dy in (-1, 0, 1):
        for dx in (-1, 0, 1):
            r, c = numpy.clip(rows + dy, 0, height - 1), numpy.clip(columns + dx, 0, width - 1)
            seen |= image[r, c] < DARK
    return seen


def within(places, box, hair=1e-3):
    x0, y0, x1, y1 = box
    x, y = numpy.asarray(places).T
    return (x >= x0 - hair) & (x <= x1 + hair) & (y >= y0 - hair) & (y <= y1 + hair)


@cache
def contours(svg):
    """Outline and openings of a pattern file in mm from the part's lower left corner."""
    groups = layers(svg)
    outline = rings(groups["outline"])
    left, _, _, bottom = Polygon(outline[0]).bounds
    own = lambda ring: [(x - left, bottom - y) for x, y in ring]
    return [own(ring) for ring in [*outline, *rings(groups.get("opening", []))]]


def stepped(ring):
    line = LineString([*ring, ring[0]])
    return [line.interpolate(at).coords[0] for at in numpy.arange(0, line.length, STEP)]


def patterns(holder):
    by_part = {}
    for window in holder["pages"]["patterns"]:
        by_part.setdefault(window["part"], []).append(window)
    return by_part


def strips(holder):
    by_part = {}
    for strip in holder["pages"]["strips"]:
        by_part.setdefault((strip["part"], strip["along"]), []).append(strip)
    return by_part


def part_of(holder, name):
    return next(part for part in holder["parts"] if part["name"] == name)


# --- Patterns ---


def test_every_line_is_seen_on_a_page_that_shows_it(printer, holder, pdf):
    for name, windows in patterns(holder).items():
        for ring in contours(pdf.parent / f"{name}.svg"):
            places = stepped(ring)
            shown = numpy.zeros(len(places), bool)
            off = []
            for window in windows:
                on_page = applied(window["map"], places)
                here = within(on_page, window["shows"])
                if not here.any():
                    continue
                image = raster(pdf, window["page"] - 1)
                found = pixels(printer, pdf, window["page"] - 1, on_page[here])
                black = dark(image, found)
                assert black.all(), f"{name}: {(~black).sum()} of {len(black)} places are white"
                shown |= here
                # And it would show if it lay elsewhere.
                off.append(dark(image, found + 1.5 * PX_PER_MM).mean())
            assert shown.all(), f"{name}: {(~shown).sum()} places are on no page"
            assert numpy.mean(off) < 0.7


def test_every_hole_is_drawn_where_it_is(printer, holder, pdf):
    for name, windows in patterns(holder).items():
        for hole in part_of(holder, name)["drillings"]:
            angles = numpy.linspace(0, 2 * numpy.pi, 48, endpoint=False)
            radius = hole["diameter"] / 2
            ring = [(hole["x"] + radius * numpy.cos(a), hole["y"] + radius * numpy.sin(a)) for a in angles]
            shown, black = numpy.zeros(len(ring), bool), numpy.zeros(len(ring), bool)
            for window in windows:
                on_page = applied(window["map"], ring)
                here = within(on_page, window["shows"])
                places = pixels(printer, pdf, window["page"] - 1, on_page)
                black |= here & dark(raster(pdf, window["page"] - 1), places)
                shown |= here
            # What is bored from the back is dashed.
            assert shown.all() and black.mean() > 0.7, f"{name}: the hole at {hole['x']}, {hole['y']}"


def test_what_a_page_shows_the_printer_reaches(printer, holder, pdf):
    for window in holder["pages"]["patterns"]:
        page = pypdf.PdfReader(pdf).pages[window["page"] - 1]
        x0, y0, x1, y1 = window["shows"]
        assert x0 > 3 and y0 > 3 and x1 > x0 and y1 > y0
        right, top = float(page.mediabox.width) / 72 * 25.4, float(page.mediabox.height) / 72 * 25.4
        assert x1 / min(printer.scale_short, printer.scale_long) < right - 2.5
        assert y1 / min(printer.scale_short, printer.scale_long) < top - 2.5


# --- Strips ---


def tick(image, place, way):
    """How far the middle of the black line nearest to `place` lies from it along `way`, in px; `None` without one."""
    reach = round(0.9 * PX_PER_MM)
    steps = numpy.arange(-reach, reach + 1)
    columns, rows = (numpy.asarray(place)[:, None] + numpy.outer(way, steps)).round().astype(int)
    ink = 255.0 - image[rows, columns]
    runs = numpy.split(numpy.arange(len(steps)), numpy.flatnonzero(numpy.diff(ink >= 64)) + 1)
    black = [run for run in runs if ink[run[0]] >= 64]
    # Edges of what lands there may stand beside a hole: nearer than a line is wide, both are one run.
    middles = [(ink[run] * steps[run]).sum() / ink[run].sum() for run in black if len(run) < 1.5 * LINE]
    return min(middles, key=abs) if middles else None


# A narrow line is 0.25 mm wide (ISO 128).
LINE = 0.25 * PX_PER_MM


def test_strips_are_true_to_the_pixel(printer, holder, pdf):
    tried = holes = 0
    for (name, along), pieces in strips(holder).items():
        part = part_of(holder, name)
        pick = "x" if along == "length" else "y"
        places = sorted({round(hole[pick], 4) for hole in part["drillings"]})
        apart = lambda at: all(abs(at - other) > 1.5 for other in places if other != at)
        for at in filter(apart, places):
            piece = next(p for p in pieces if p["from"] - 1e-6 <= at <= p["to"] + 1e-6)
            # A seam's diamond stands where it is cut.
            if any(abs(at - end) < 4 for end in (piece["from"], piece["to"])) and len(pieces) > 1:
                continue
            # Three millimeters up: above the base line, below the leaders.
            spot, ahead = applied(piece["map"], [(at, 3.0), (at + 1.0, 3.0)])
            page = piece["page"] - 1
            here, there = pixels(printer, pdf, page, [spot, ahead])
            way = (there - here) / numpy.hypot(*(there - here))
            off = tick(raster(pdf, page), here, way)
            tried += off is not None
            assert off is None or abs(off) <= 1.0, f"{name} at {at}: {off} px"
        holes += len(places)
    assert tried >= 0.6 * holes


def test_pieces_of_a_strip_have_all_that_is_marked(printer, holder, pdf):
    for (name, along), pieces in strips(holder).items():
        part = part_of(holder, name)
        ends = sorted((piece["from"], piece["to"]) for piece in pieces)
        assert ends[0][0] == 0
        assert ends[-1][1] == pytest.approx(part[along], abs=1e-3)
        pick = "x" if along == "length" else "y"
        for hole in part["drillings"]:
            assert any(a - 1e-6 <= hole[pick] <= b + 1e-6 for a, b in ends), f"{name}: {hole}"
        for (_, end), (begin, _) in zip(ends, ends[1:]):
            assert end <= begin + 1e-6
            # A joint lies at a mark of the tape.
            for joint in (end, begin):
                marks = [joint / 12.7, joint / 10]
                assert any(abs(mark - round(mark)) < 1e-6 for mark in marks)


# --- All of it ---


def test_every_part_is_printed_or_needs_no_print(printer, holder, pdf):
    drawn = {*patterns(holder), *(name for name, _ in strips(holder))}
    printed = [Polygon(contours(pdf.parent / f"{name}.svg")[0]) for name in drawn]
    for part in holder["parts"]:
        if part["name"] in drawn:
            continue
        ring = Polygon(contours(pdf.parent / f"{part['name']}.svg")[0])
        is_box = ring.area == pytest.approx(part["length"] * part["width"], rel=1e-6)
        if is_box and not part["drillings"]:
            continue
        # Else it is like another, or that one's mirror image.
        mirrored = scaled(ring, -1, 1, origin=(part["length"] / 2, 0))
        like = lambda other: min(
            other.symmetric_difference(ring).area, other.symmetric_difference(mirrored).area
        )
        assert min(like(other) for other in printed) < 0.01 * ring.area, part["name"]


def test_the_sample_takes_few_pages(made_root):
    run = made_root / LETTER.run
    pages = [len(pypdf.PdfReader(pdf).pages) for _, pdf in holders(run)]
    assert pages == [holder["pages"]["count"] for holder, _ in holders(run)]
    assert 0 < sum(pages) <= MOST_PAGES
