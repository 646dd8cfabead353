"""Measuring sheets and the page to check a printer with, as an outside eye sees them: poppler draws them, numpy measures.

`.ci/run` writes them into the folder "sheets": `measure-STYLE-PAPER.pdf` of each style, `ruler-letter.pdf`,
`ruler-a4.pdf`, and `ruler-scaled.pdf` for letter paper and a printer that draws 0.994 of the true length across the paper
and 1.003 along it.

Sources: poppler (pdftoppm, pdftotext) and pypdf as independent readers; ISO 216 for A4; ANSI/ASME Y14.1 sheet A for
letter (8.5 x 11 in); 1 in = 25.4 mm; ISO 32000-1, table 150, for the wish not to be scaled.
"""

import re
import subprocess
from collections import namedtuple
from xml.etree import ElementTree

import numpy
import pypdf
import pytest

DPI = 600
PX_PER_MM = DPI / 25.4
PT_PER_MM = 72 / 25.4
DARK = 128
# How true a bar has to be, in mm.
TRUE = 0.1
# What every printer leaves white here, in mm: the built-in shop's margin, in inches and in mm.
MARGINS = {"letter": 25.4 / 4, "scaled": 25.4 / 4, "a4": 6.0}
PAPERS = {"letter": (8.5 * 25.4, 11 * 25.4), "scaled": (8.5 * 25.4, 11 * 25.4), "a4": (210.0, 297.0)}
SCALES = {"letter": (1.0, 1.0), "a4": (1.0, 1.0), "scaled": (0.994, 1.003)}

Word = namedtuple("Word", "text x0 y0 x1 y1")


def pytest_generate_tests(metafunc):
    root = metafunc.config.getoption("made") / "sheets"
    for name, pattern in (("sheet", "*.pdf"), ("ruler", "ruler-*.pdf")):
        if name in metafunc.fixturenames:
            found = sorted(root.glob(pattern))
            assert found, f"no PDF in {root}"
            metafunc.parametrize(name, [pytest.param(pdf, id=pdf.stem) for pdf in found])


def paper(pdf):
    return pdf.stem.rsplit("-", 1)[1]


def words(pdf):
    """The words of the one page with their boxes in mm, y down from the top."""
    html = subprocess.run(["pdftotext", "-bbox", str(pdf), "-"], check=True, capture_output=True).stdout
    pages = list(ElementTree.fromstring(html.decode()).iter("{http://www.w3.org/1999/xhtml}page"))
    assert len(pages) == 1
    box = lambda word: [float(word.get(k)) / PT_PER_MM for k in ("xMin", "yMin", "xMax", "yMax")]
    return [Word(word.text, *box(word)) for word in pages[0]]


def raster(pdf):
    command = ["pdftoppm", "-gray", "-r", str(DPI), str(pdf)]
    data = subprocess.run(command, check=True, capture_output=True).stdout
    header = re.match(rb"P5\s+(\d+)\s+(\d+)\s+255\s", data)
    width, height = (int(value) for value in header.groups())
    return numpy.frombuffer(data, numpy.uint8, offset=header.end()).reshape(height, width)


def test_it_is_one_page_of_the_paper_that_asks_for_no_scaling(sheet):
    reader = pypdf.PdfReader(sheet, strict=True)
    assert len(reader.pages) == 1
    box = reader.pages[0].mediabox
    assert [float(box.width) / PT_PER_MM, float(box.height) / PT_PER_MM] == pytest.approx(PAPERS[paper(sheet)], abs=0.001)
    assert reader.trailer["/Root"]["/ViewerPreferences"]["/PrintScaling"] == "/None"


def test_words_are_within_what_the_printer_reaches(sheet):
    margin, (width, height) = MARGINS[paper(sheet)], PAPERS[paper(sheet)]
    found = words(sheet)
    assert len(found) > 30
    for word in found:
        # pdftotext counts white above and below the letters in.
        assert margin - 0.1 <= word.x0 and word.x1 <= width - margin + 0.1, word
        assert margin - 1 <= word.y0 and word.y1 <= height - margin + 1, word


def test_words_do_not_meet(sheet):
    found = words(sheet)
    for i, one in enumerate(found):
        for other in found[i + 1 :]:
            # The boxes are as high as lines stand apart; letters take the middle of them.
            trim = [0.25 * min(w.x1 - w.x0, w.y1 - w.y0) for w in (one, other)]
            aside = min(one.x1, other.x1) - max(one.x0, other.x0) - sum(trim)
            down = min(one.y1, other.y1) - max(one.y0, other.y0) - sum(trim)
            assert aside <= 0 or down <= 0, (one, other)


def runs(line):
    """Where dark runs of a row of pixels begin and end."""
    dark = numpy.concatenate([[False], line < DARK, [False]]).astype(numpy.int8)
    return list(zip(numpy.flatnonzero(numpy.diff(dark) == 1), numpy.flatnonzero(numpy.diff(dark) == -1)))


def bar(picture):
    """The row of the longest dark run, and where that begins."""
    lengths = [max((end - start for start, end in runs(row)), default=0) for row in picture]
    longest = max(lengths)
    rows = [i for i, length in enumerate(lengths) if length > longest - 4]
    row = (rows[0] + rows[-1]) // 2
    start, _ = max(runs(picture[row]), key=lambda run: run[1] - run[0])
    return row, start


def ticks(picture, row, off):
    """The middles of the ticks that cross a row so many mm off the bar, in mm."""
    line = picture[row + round(off * PX_PER_MM)]
    return [(start + end) / 2 / PX_PER_MM for start, end in runs(line) if end - start < PX_PER_MM]


@pytest.mark.parametrize("way", ["across", "along"])
def test_bars_are_true(ruler, way):
    picture = raster(ruler)
    short, long = PAPERS[paper(ruler)]
    strip = round(40 * PX_PER_MM)
    # The strip at the foot, or the one at the left turned clockwise: its bar is level then, and begins at the left.
    part = picture[-strip:] if way == "across" else numpy.rot90(picture[: -round(30 * PX_PER_MM), :strip], -1)
    # Millimeters are over a level bar and at the right of an upright one.
    down = -1 if way == "across" else 1
    scale = SCALES[paper(ruler)][0 if way == "across" else 1]
    side = short if way == "across" else long
    row, start = bar(part)
    key = "scale_x" if way == "across" else "scale_y"
    named = re.search(key + r": this bar must be (\d+) mm, or (\d+) in", told(ruler))
    tens, inches = int(named[1]), int(named[2])
    # As long as the page allows, but for a strip and the next whole mark.
    assert tens >= (side - 2 * MARGINS[paper(ruler)]) * min(scale, 1) - (24.0 if way == "along" else 0) - 18.5
    for off, count, apart in ((4.0 * down, tens // 10, 10.0), (-4.0 * down, inches, 25.4)):
        found = [place for place in ticks(part, row, off) if place > start / PX_PER_MM - 0.5][: count + 1]
        assert len(found) == count + 1, (off, found)
        for i, place in enumerate(found):
            assert (place - found[0]) * scale == pytest.approx(i * apart, abs=TRUE), (off, i)


def told(pdf):
    """The text in the order of the file, in one line."""
    text = subprocess.run(["pdftotext", "-raw", str(pdf), "-"], check=True, capture_output=True).stdout.decode()
    return " ".join(text.split())
