"""The tiled PDF pages, as an outside eye sees them: poppler draws them, numpy measures.

Runs of `make` on the sample, see conftest.py: "default" is made for letter paper, "r12" for A4, and
"scaled" for letter paper and a printer that draws 0.994 of the true length across the paper and
1.003 along it.

Sources: poppler (pdftoppm, pdftotext) and pypdf as independent readers; ISO 216 for A4; ANSI/ASME
Y14.1 sheet A for letter (8.5 x 11 in); 1 in = 25.4 mm; ISO 32000-1 for the PDF entries.
"""

import re
import subprocess
from collections import namedtuple
from functools import cache, lru_cache
from xml.etree import ElementTree

import numpy
import pypdf
import pytest

DPI = 600
PX_PER_MM = DPI / 25.4
PT_PER_MM = 72 / 25.4
DARK = 128

# The bars a page carries, in mm: one of 100 mm, and one in inches where the project measures in them.
LENGTHS = {"100 mm": 100.0, "4 in": 4 * 25.4}
METRIC = {"spring-clamps"}


def lengths(pdf):
    """The bars of the pages in `pdf`."""
    return {"100 mm": 100.0} if pdf.parent.name in METRIC else LENGTHS

Printer = namedtuple("Printer", "run short long scale_short scale_long")
LETTER = Printer("default", 8.5 * 25.4, 11 * 25.4, 1.0, 1.0)
A4 = Printer("r12", 210.0, 297.0, 1.0, 1.0)
SCALED = Printer("scaled", 8.5 * 25.4, 11 * 25.4, 0.994, 1.003)


def pytest_generate_tests(metafunc):
    """Runs a test that asks for `pdf` once for each PDF of each run. A run without is an error."""
    if "pdf" not in metafunc.fixturenames:
        return
    root = metafunc.config.getoption("made")
    documents = []
    for printer in (LETTER, A4, SCALED):
        found = sorted((root / printer.run).glob("*/pages-*.pdf"))
        assert found, f"no PDF in {root / printer.run}"
        documents += [
            pytest.param(printer, pdf, id=f"{printer.run}-{pdf.parent.name}") for pdf in found
        ]
    metafunc.parametrize(("printer", "pdf"), documents)


Word = namedtuple("Word", "text x0 y0 x1 y1")


@cache
def words(pdf):
    """The words of each page with their boxes in mm, y down from the top."""
    html = subprocess.run(
        ["pdftotext", "-bbox", str(pdf), "-"], check=True, capture_output=True
    ).stdout.decode()
    pages = []
    for page in ElementTree.fromstring(html).iter("{http://www.w3.org/1999/xhtml}page"):
        box = lambda word: [
            float(word.get(k)) / PT_PER_MM for k in ("xMin", "yMin", "xMax", "yMax")
        ]
        pages.append([Word(word.text, *box(word)) for word in page])
    return pages


@lru_cache(maxsize=4)
def raster(pdf, page):
    """One page (counted from 0) in gray at 600 dpi."""
    number = str(page + 1)
    command = ["pdftoppm", "-gray", "-r", str(DPI), "-f", number, "-l", number, str(pdf)]
    data = subprocess.run(command, check=True, capture_output=True).stdout
    header = re.match(rb"P5\s+(\d+)\s+(\d+)\s+255\s", data)
    width, height = (int(value) for value in header.groups())
    return numpy.frombuffer(data, numpy.uint8, offset=header.end()).reshape(height, width)


def is_turned(pdf, page):
    box = pypdf.PdfReader(pdf).pages[page].mediabox
    return box.width > box.height


def sample_pages(pdf):
    """The first upright page, the first turned one and the last."""
    turned = [is_turned(pdf, page) for page in range(len(words(pdf)))]
    firsts = {turned.index(kind) for kind in (False, True) if kind in turned}
    return sorted(firsts | {len(turned) - 1})


# --- The document ---


def test_page_boxes_are_the_paper(printer, pdf):
    for page in pypdf.PdfReader(pdf, strict=True).pages:
        size = sorted(
            float(side) / PT_PER_MM for side in (page.mediabox.width, page.mediabox.height)
        )
        assert size == pytest.approx([printer.short, printer.long], abs=0.001)
        assert page.mediabox == page.cropbox and not page.rotation


def test_the_viewer_is_asked_not_to_scale(printer, pdf):
    # ISO 32000-1, table 150.
    catalog = pypdf.PdfReader(pdf, strict=True).trailer["/Root"]
    assert catalog["/ViewerPreferences"]["/PrintScaling"] == "/None"


def test_fonts_are_embedded(printer, pdf):
    # ISO 32000-1, table 122: an embedded font has FontFile, FontFile2 or FontFile3.
    count = 0
    for page in pypdf.PdfReader(pdf, strict=True).pages:
        for font in page["/Resources"]["/Font"].values():
            font = font.get_object()
            for inner in font.get("/DescendantFonts", [font]):
                descriptor = inner.get_object()["/FontDescriptor"].get_object()
                assert any(key in descriptor for key in ("/FontFile", "/FontFile2", "/FontFile3"))
                count += 1
    assert count > 0


def test_title_and_language_are_told(printer, pdf):
    reader = pypdf.PdfReader(pdf, strict=True)
    assert reader.trailer["/Root"]["/Lang"] == "en"
    # The XML of the metadata is read by a parser of its own: a title with < or & must not break it.
    assert reader.metadata.title
    assert list(reader.xmp_metadata.dc_title.values()) == [reader.metadata.title]


def test_each_page_says_which_it_is(printer, pdf):
    pages = words(pdf)
    for number, page in enumerate(pages, 1):
        said = " ".join(word.text for word in page)
        assert f"page {number} of {len(pages)}" in said
        assert page_name(page)


# --- The bars ---


def reading_frame(image, found, upward):
    """Image and words as one reads them: what runs up the page is turned to run to the right."""
    if not upward:
        return image, found
    height = image.shape[0] / PX_PER_MM
    turned = [
        Word(word.text, height - word.y1, word.x0, height - word.y0, word.x1) for word in found
    ]
    return numpy.rot90(image, k=-1), turned


def bar_labels(found):
    """Text and place of what stands before each "measure before you cut"."""
    for word in found:
        if word.text != "measure" or word.x1 - word.x0 < word.y1 - word.y0:
            continue
        label = [word]
        for other in sorted(found, key=lambda other: -other.x1):
            beside = 0 < label[0].x0 - other.x1 < 4
            if beside and other.y0 < (word.y0 + word.y1) / 2 < other.y1:
                label.insert(0, other)
        text = " ".join(part.text for part in label[:-1])
        if text in LENGTHS:
            yield text, label[0]


def bar_length(image, label):
    """Between the middles of the end ticks, in px."""
    px = lambda mm: round(mm * PX_PER_MM)
    left, right = px(label.x0 - 2.5), px(label.x0 + 104)
    area = image[px(label.y0) : px(label.y1 + 2.5), left:right] < DARK
    line = numpy.flatnonzero(area[:, px(5) : px(95)].mean(axis=1) > 0.95).max()
    base = px(label.y0) + line
    # Above the inner ticks, below the letters.
    band = image[base - px(1.4) : base - px(1.15), left:right]
    ink = (255.0 - band).mean(axis=0)
    dark = numpy.flatnonzero(ink > 255 - DARK)
    runs = numpy.split(dark, numpy.flatnonzero(numpy.diff(dark) > 1) + 1)
    assert len(runs) >= 2

    def middle(run):
        around = numpy.arange(run[0] - 2, run[-1] + 3)
        return (ink[around] * around).sum() / ink[around].sum()

    return middle(runs[-1]) - middle(runs[0])


def test_bars_are_true_both_ways(printer, pdf):
    for page in sample_pages(pdf):
        image = raster(pdf, page)
        for upward in (False, True):
            along_long_side = upward != is_turned(pdf, page)
            scale = printer.scale_long if along_long_side else printer.scale_short
            seen = {}
            turned, found = reading_frame(image, words(pdf)[page], upward)
            for text, label in bar_labels(found):
                seen[text] = bar_length(turned, label)
            assert set(seen) == set(lengths(pdf))
            for text, length in seen.items():
                assert length == pytest.approx(LENGTHS[text] / scale * PX_PER_MM, abs=1.0)


def test_nothing_is_drawn_where_home_printers_cannot_reach(printer, pdf):
    # A border of 3 mm: common practice, no source.
    border = int(3 * PX_PER_MM)
    for page in sample_pages(pdf):
        image = raster(pdf, page)
        sides = image[:border], image[-border:], image[:, :border], image[:, -border:]
        assert all(side.min() == 255 for side in sides)


# --- The seams ---


def page_name(page):
    """The large name of a page: column letters and row number."""
    large = [
        word for word in page if word.y1 - word.y0 > 8 and re.fullmatch(r"[A-Z]+\d+", word.text)
    ]
    return large[0].text if large else None


def column_and_row(name):
    letters, row = re.fullmatch(r"([A-Z]+)(\d+)", name).groups()
    column = 0
    for letter in letters:
        column = column * 26 + ord(letter) - ord("A") + 1
    return column, int(row)


def patterns(pdf):
    """The pages of each pattern: name to page. Each pattern begins with A1."""
    groups = []
    for page, found in enumerate(words(pdf)):
        name = page_name(found)
        if name == "A1":
            groups.append({})
        groups[-1][name] = page
    return groups


def seam_marks(page, first, second, across):
    """Number to place (mm, y down) of the marks between two pages, left and right of the seam
    when `across`, else above and below it."""
    marks = {}
    for a in (word for word in page if word.text == first and word.y1 - word.y0 < 4):
        for b in (word for word in page if word.text == second and word.y1 - word.y0 < 4):
            beside = abs(a.y0 - b.y0) < 0.1 and 0 < b.x0 - a.x1 < 2
            under = abs(a.x0 - b.x0) < 0.1 and 0 < b.y0 - a.y0 < 4
            if not (beside if across else under):
                continue
            for number in (word for word in page if word.text.isdigit()):
                below = abs(number.x1 - a.x1) < 0.1 and 0 < number.y0 - a.y0 < 10
                before = abs(number.y0 - a.y0) < 0.1 and 0 < a.x0 - number.x1 < 10
                if below if across else before:
                    middle = (number.y0 + a.y1) / 2 if across else (a.y1 + b.y0) / 2
                    at = (a.x1 + b.x0) / 2 if across else (number.x1 + a.x0) / 2
                    marks[int(number.text)] = (at, middle)
    return marks


def zone(image, marks, across, half):
    """What lies along the seam from the first to the last mark, `half` mm to both sides."""
    (x0, y0), (x1, y1) = marks
    box = (
        (x0 - half, y0 - 5, x1 + half, y1 + 5) if across else (x0 - 5, y0 - half, x1 + 5, y1 + half)
    )
    return [round(value * PX_PER_MM) for value in box]


def grown(dark):
    """Dark spread by one pixel all round."""
    out = dark.copy()
    for dy in (-1, 0, 1):
        for dx in (-1, 0, 1):
            out |= numpy.roll(dark, (dy, dx), (0, 1))
    return out


def unmatched(one, other):
    """The share of dark pixels with no dark one within a pixel on the other page."""
    inner = slice(2, -2), slice(2, -2)
    lonely = (one & ~grown(other))[inner].sum() + (other & ~grown(one))[inner].sum()
    return lonely / (one.sum() + other.sum())


def neighbors(pages):
    """Pairs of names, and whether the second is to the right (else below)."""
    places = {column_and_row(name): name for name in pages}
    for (column, row), name in places.items():
        for across, next_to in ((True, (column + 1, row)), (False, (column, row + 1))):
            if next_to in places:
                yield name, places[next_to], across


def test_neighbors_agree_when_laid_on_their_marks(printer, pdf):
    for pages in patterns(pdf):
        assert len(pages) == 1 or any(neighbors(pages))
        tried = set()
        for first, second, across in neighbors(pages):
            a, b = (
                seam_marks(words(pdf)[pages[name]], first, second, across)
                for name in (first, second)
            )
            common = sorted(set(a) & set(b))
            assert len(common) >= 2, f"{first}|{second} share marks {common}"
            shifts = [numpy.subtract(b[k], a[k]) for k in common]
            assert numpy.ptp(shifts, axis=0).max() < 0.01, "the marks lie alike on both pages"
            if across in tried:
                continue
            # One seam each way is drawn and compared, down to the pixel.
            tried.add(across)
            ends = a[common[0]], a[common[-1]]
            x0, y0, x1, y1 = zone(raster(pdf, pages[first]), ends, across, half=4.5)
            dx, dy = (round(value * PX_PER_MM) for value in shifts[0])
            one = raster(pdf, pages[first])[y0:y1, x0:x1] < DARK
            other = raster(pdf, pages[second])[y0 + dy : y1 + dy, x0 + dx : x1 + dx] < DARK
            assert one.sum() > 10 * PX_PER_MM and one.shape == other.shape
            assert unmatched(one, other) == 0.0
            # And it would show if they did not agree.
            assert unmatched(one, numpy.roll(other, (3, 3), (0, 1))) > 0.01
