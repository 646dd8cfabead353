"""The shop book, as outside eyes see it: poppler and pypdf read book.pdf, html5lib and Chromium book.html.

Runs of `make`, see conftest.py: "default" is the sample on letter paper, "r12" the same on A4, "milled" in mm.

Sources: WCAG 2.1 (W3C Recommendation) for the contrast ratio and its limits, 1.4.3 and 1.4.11; the HTML Living Standard
for unique ids; ISO 32000-1, 12.3.3 for bookmarks; ISO 216 and ANSI/ASME Y14.1 for paper.
"""

import base64
import json
import os
import re
import shutil
import subprocess
from collections import Counter, namedtuple
from functools import cache
from xml.etree import ElementTree

import html5lib
import pypdf
import pytest

PT_PER_MM = 72 / 25.4
LETTER = (8.5 * 25.4, 11 * 25.4)
A4 = (210.0, 297.0)
RUNS = {"default": LETTER, "r12": A4, "milled": A4}
HTML = "{http://www.w3.org/1999/xhtml}"
SVG = "{http://www.w3.org/2000/svg}"

Word = namedtuple("Word", "text x0 y0 x1 y1")


@pytest.fixture(params=RUNS)
def run(request, made_root):
    folder = made_root / request.param
    assert (folder / "summary.json").is_file(), f"{folder} was not made"
    return folder


@cache
def summary(run):
    return json.loads((run / "summary.json").read_text(encoding="utf-8"))


@cache
def reader(run):
    return pypdf.PdfReader(run / "book.pdf", strict=True)


@cache
def words(run):
    """The words of each page with their boxes in points, y down from the top."""
    command = ["pdftotext", "-bbox", str(run / "book.pdf"), "-"]
    html = subprocess.run(command, check=True, capture_output=True).stdout.decode()
    box = lambda word: [float(word.get(k)) for k in ("xMin", "yMin", "xMax", "yMax")]
    pages = ElementTree.fromstring(html).iter(f"{HTML}page")
    return [[Word(word.text, *box(word)) for word in page] for page in pages]


def flat(text):
    return re.sub(r"\s+", "", text)


# --- On paper ---


def test_pages_are_the_paper_and_numbered(run):
    pages = words(run)
    for number, (page, found) in enumerate(zip(reader(run).pages, pages, strict=True), 1):
        size = [float(side) / PT_PER_MM for side in (page.mediabox.width, page.mediabox.height)]
        assert size == pytest.approx(RUNS[run.name], abs=0.01)
        assert f"page {number} of {len(pages)}" in " ".join(word.text for word in found)


def letters(word):
    """What of a word's box is blackened: a face has white above and below its letters."""
    across, up = word.x1 - word.x0, word.y1 - word.y0
    # Of one that runs up the page the white is at the sides; both are taken off, for the box does not say.
    trim = 0.28 * min(across, up)
    return word.x0 + trim, word.y0 + trim, word.x1 - trim, word.y1 - trim


def meet(one, other):
    (a0, b0, a1, b1), (c0, d0, c1, d1) = letters(one), letters(other)
    return min(a1, c1) - max(a0, c0) > 0.1 and min(b1, d1) - max(b0, d0) > 0.1


def test_no_word_leaves_its_page_or_meets_another(run):
    width, height = (side * PT_PER_MM for side in RUNS[run.name])
    # A border of 3 mm that no home printer reaches: common practice, no source.
    edge = 3 * PT_PER_MM
    for number, page in enumerate(words(run), 1):
        for word in page:
            inside = edge <= word.x0 and word.x1 <= width - edge and edge <= word.y0 and word.y1 <= height - edge
            assert inside, f"page {number}: {word}"
        page = sorted(page, key=lambda word: word.x0)
        for i, word in enumerate(page):
            for other in page[i + 1 :]:
                if other.x0 > word.x1:
                    break
                assert not meet(word, other), f"page {number}: {word} meets {other}"


def test_words_that_meet_are_seen():
    word = Word("bench", 10, 10, 40, 20)
    assert meet(word, word._replace(text="vise", x0=30, x1=60))
    assert not meet(word, word._replace(y0=24, y1=34))


def bookmarks(items, level=1):
    for item in items:
        if isinstance(item, list):
            yield from bookmarks(item, level + 1)
        else:
            yield level, item


def test_bookmarks_lead_to_what_they_say(run):
    pdf, count = reader(run), Counter()
    for level, mark in bookmarks(pdf.outline):
        page = pdf.get_destination_page_number(mark)
        top = RUNS[run.name][1] * PT_PER_MM - float(mark.top)
        below = [word for word in words(run)[page] if word.y0 > top - 3]
        told = flat("".join(word.text for word in sorted(below, key=lambda word: (round(word.y1), word.x0))))
        assert told.startswith(flat(mark.title)), f"{mark.title} on page {page + 1}: {told[:60]}"
        count[level] += 1
    titles = [mark.title for level, mark in bookmarks(pdf.outline) if level == 1]
    for holder in summary(run)["holders"]:
        assert titles.count(holder["title"]) >= 1
    assert count[1] > len(summary(run)["holders"]) and count[2] > count[1]


def test_each_page_says_in_its_head_what_it_is_about(run):
    pdf = reader(run)
    begins = {pdf.get_destination_page_number(mark): mark.title for level, mark in bookmarks(pdf.outline) if level == 1}
    about, first = None, min(page for page, title in begins.items() if title != "The holders")
    for number, page in enumerate(words(run)):
        about = begins.get(number, about)
        if number < first:
            continue
        head = [word.text for word in page if word.y1 < 17 * PT_PER_MM]
        assert flat(about) in flat("".join(head)), f"page {number + 1}: {head}"


def test_the_cover_tells_on_which_page_each_holder_begins(run):
    pdf = reader(run)
    pages = [pdf.get_destination_page_number(mark) + 1 for level, mark in bookmarks(pdf.outline) if level == 1]
    cover = " ".join(word.text for page in words(run)[: min(pages[1:])] for word in page)
    told = {int(number) for number in re.findall(r"page (\d+)(?! of)\b", cover)}
    assert set(pages) - {1} <= told


# --- On a screen ---


@cache
def document(run):
    return html5lib.parse((run / "book.html").read_text(encoding="utf-8"), treebuilder="etree")


def test_the_page_is_well_formed(run):
    parser = html5lib.HTMLParser(strict=True)
    root = parser.parse((run / "book.html").read_text(encoding="utf-8"))
    assert root.get("lang") == "en" and not parser.errors
    assert root.findtext(f"{HTML}head/{HTML}title").strip()


def test_headings_are_in_order(run):
    levels = [int(e.tag[-1]) for e in document(run).iter() if re.fullmatch(rf"{HTML}h[1-6]", str(e.tag))]
    assert levels.count(1) == 1 and levels[0] == 1
    assert all(after <= before + 1 for before, after in zip(levels, levels[1:]))


def test_ids_are_unique_and_links_stay_within(run):
    ids = Counter(e.get("id") for e in document(run).iter() if e.get("id"))
    assert ids and max(ids.values()) == 1
    links = [e.get("href") for e in document(run).iter(f"{HTML}a")]
    assert links and all(link[0] == "#" and link[1:] in ids for link in links)
    for element in document(run).iter():
        asked = [name for name in element.attrib if str(name).split("}")[-1] in ("src", "href", "srcset", "data", "poster")]
        assert not [name for name in asked if not element.get(name).startswith("#")], element.attrib
    style = "".join(e.text for e in document(run).iter(f"{HTML}style"))
    assert "url(" not in style and "@import" not in style
    assert not list(document(run).iter(f"{HTML}script")) and not list(document(run).iter(f"{HTML}link"))


def test_every_picture_says_what_it_shows(run):
    pictures = [e for e in document(run).iter() if str(e.tag).split("}")[-1] in ("svg", "img")]
    assert len(pictures) > len(summary(run)["holders"])
    assert all(e.get("role") == "img" and e.get("aria-label", "").strip() for e in pictures)


def test_every_holder_has_a_part_that_is_led_to(run):
    heads = {e.text for e in document(run).iter(f"{HTML}h2")}
    links = {"".join(e.itertext()) for e in document(run).iter(f"{HTML}a")}
    for holder in summary(run)["holders"]:
        assert holder["title"] in heads & links


def luminance(color):
    """Relative luminance (WCAG 2.1)."""
    parts = [int(color[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
    return sum(weight * c for weight, c in zip((0.2126, 0.7152, 0.0722), linear))


def contrast(one, other):
    """Contrast ratio (WCAG 2.1)."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


# Worked out from the formulas of WCAG 2.1; #777777 is the well-known gray that just misses 4.5.
PAIRS = {
    "#000000": 21.0,
    "#767676": 4.5422,
    "#777777": 4.4781,
    "#595959": 7.0047,
    "#0000ff": 8.5925,
    "#ff0000": 3.9985,
    "#008000": 5.1374,
    "#ffff00": 1.0738,
}


@pytest.mark.parametrize("color", PAIRS)
def test_the_formula_of_contrast(color):
    assert contrast(color, "#ffffff") == pytest.approx(PAIRS[color], abs=5e-5)


def test_colors_stand_out_from_white(run):
    style = "".join(e.text for e in document(run).iter(f"{HTML}style"))
    full = lambda color: "#" + "".join(c * 2 for c in color[1:]) if len(color) == 4 else color
    found = [
        (selector.strip(), key, full(color))
        for selector, body in re.findall(r"([^{}]+)\{([^{}]*)\}", style)
        for key, color in re.findall(r"([a-z-]+):[^;{}]*?(#[0-9a-f]{3,6})\b", body)
    ]
    assert {"background", "color", "stroke", "fill"} <= {key for _, key, _ in found}
    for selector, key, color in found:
        if key == "background":
            assert color == "#ffffff"
        elif selector == "svg .shade":
            # Ground under a name and within an outline: the name must stand out from it (1.4.3).
            assert contrast("#000000", color) >= 4.5, color
        else:
            # Words want 4.5 (1.4.3), lines that tell something 3 (1.4.11).
            least = 4.5 if key in ("color", "fill") else 3.0
            assert contrast(color, "#ffffff") >= least, f"{selector} {key}: {color}"


class Browser:
    """Chromium without a window, told what to do over a pipe (Chrome DevTools Protocol)."""

    def __init__(self, profile):
        commands, self.tell = os.pipe()
        self.hear, answers = os.pipe()
        options = "--headless --no-sandbox --disable-gpu --no-first-run --disable-background-networking"
        call = f'exec chromium {options} --user-data-dir="{profile}" --remote-debugging-pipe about:blank 3<&{commands} 4>&{answers}'
        self.process = subprocess.Popen(
            ["bash", "-c", call], pass_fds=(commands, answers), stderr=subprocess.DEVNULL, stdout=subprocess.DEVNULL
        )
        os.close(commands)
        os.close(answers)
        self.count, self.left, self.events = 0, b"", []
        target = self.ask("Target.createTarget", url="about:blank")["targetId"]
        self.session = None
        self.session = self.ask("Target.attachToTarget", targetId=target, flatten=True)["sessionId"]

    session = None

    def next(self):
        while b"\0" not in self.left:
            more = os.read(self.hear, 1 << 20)
            assert more, "the browser is gone"
            self.left += more
        message, self.left = self.left.split(b"\0", 1)
        return json.loads(message)

    def ask(self, method, **params):
        self.count += 1
        message = {"id": self.count, "method": method, "params": params}
        if self.session:
            message["sessionId"] = self.session
        os.write(self.tell, json.dumps(message).encode() + b"\0")
        while True:
            told = self.next()
            if told.get("id") == self.count:
                assert "error" not in told, told
                return told["result"]
            self.events.append(told)

    def wait_for(self, method):
        while not any(event.get("method") == method for event in self.events):
            self.events.append(self.next())

    def close(self):
        self.ask("Browser.close")
        self.process.wait(30)
        os.close(self.tell)
        os.close(self.hear)


@pytest.fixture(scope="module")
def opened(made_root, tmp_path_factory):
    """The sample's book in a browser, and all that the browser said meanwhile."""
    assert shutil.which("chromium"), "chromium is not installed"
    browser = Browser(tmp_path_factory.mktemp("profile"))
    for domain in ("Page", "Network", "Log", "Runtime"):
        browser.ask(f"{domain}.enable")
    url = (made_root / "default" / "book.html").resolve().as_uri()
    browser.ask("Page.navigate", url=url)
    browser.wait_for("Page.loadEventFired")
    yield browser, url
    browser.close()


def evaluate(browser, script):
    return browser.ask("Runtime.evaluate", expression=script, returnByValue=True)["result"]["value"]


def test_a_browser_opens_it_and_asks_for_nothing_else(opened):
    browser, url = opened
    evaluate(browser, "document.title")
    asked = [e["params"]["request"]["url"] for e in browser.events if e.get("method") == "Network.requestWillBeSent"]
    assert asked == [url]
    complaints = ("Log.entryAdded", "Runtime.consoleAPICalled", "Runtime.exceptionThrown")
    assert not [event for event in browser.events if event.get("method") in complaints]


@pytest.mark.parametrize("width", [390, 768, 1280])
def test_it_is_never_wider_than_the_screen(opened, width):
    browser, _ = opened
    browser.ask("Emulation.setDeviceMetricsOverride", width=width, height=1000, deviceScaleFactor=1, mobile=False)
    assert evaluate(browser, "document.documentElement.scrollWidth") <= width
    assert evaluate(browser, "parseFloat(getComputedStyle(document.querySelector('p')).fontSize)") >= 16


def test_letters_of_pictures_stay_in_their_pictures(opened):
    browser, _ = opened
    script = """[...document.querySelectorAll('svg')].filter(svg => {
        const all = svg.getBoundingClientRect();
        return [...svg.querySelectorAll('text')].some(text => {
            const own = text.getBoundingClientRect();
            return own.left < all.left - 1 || own.right > all.right + 1 || own.top < all.top - 1 || own.bottom > all.bottom + 1;
        });
    }).map(svg => svg.getAttribute('aria-label'))"""
    assert evaluate(browser, script) == []


def test_a_browser_prints_it_as_a_book(opened, made_root, tmp_path):
    browser, _ = opened
    data = browser.ask("Page.printToPDF", preferCSSPageSize=True)["data"]
    (tmp_path / "printed.pdf").write_bytes(base64.b64decode(data))
    printed = pypdf.PdfReader(tmp_path / "printed.pdf")
    first = printed.pages[0].mediabox
    size = [float(side) / PT_PER_MM for side in (first.width, first.height)]
    assert size == pytest.approx(LETTER, abs=0.5)
    texts = [flat(page.extract_text()) for page in printed.pages]
    for holder in summary(made_root / "default")["holders"]:
        # As a heading on one page, and in the running heads of it and those that follow.
        assert sum(flat(holder["title"]) in text for text in texts) > 2
    # Within a tenth of what the typesetter takes.
    assert len(texts) == pytest.approx(len(reader(made_root / "default").pages), rel=0.15)
