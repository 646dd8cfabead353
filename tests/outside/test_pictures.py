"""Pictures show what the eye sees: isometric as ISO 5456-3 has it, no edge that is hidden, all that is seen.

What is seen is taken from a depth buffer of the bodies in holder.glb (`sight.py`), which knows no edges: a line has to be
drawn where two pixels show different planes, and nowhere else.
"""

import xml.etree.ElementTree as ET
from dataclasses import replace

import numpy as np
import pytest
import shapely
import trimesh
from svgelements import SVG, Group, Line, Move, Path

from sight import PER_MM, Buffer, Planes, View
from solids import RANDOM, SAMPLE, bodies, holders
from test_svg import PIXELS_PER_INCH

# ISO 5456-3:1996, isometric axonometry: axes at these angles to the horizontal, all lengths at one scale, which is
# larger than a true view by the inverse of √(2/3).
AXES_DEG = [30, 90, 150]
FORESHORTENED = 0.816496580927726

# From the middle of two pixels to the line that shows between them: half a pixel, and as much again aslant, and some.
BESIDE = 1.25 / PER_MM

# At the ends of a line there may be a tip that is narrower than a pixel.
AT_END = 2.5 / PER_MM

# Coordinates of lines come in hundredths of a millimeter.
PAPER = 0.02


RIGHT_FRONT, BEHIND = (1, 1, 1), (-1, 1, -1)


class Picture:
    """The drawn lines of a file by layer, each as its two ends on paper, y up."""

    def __init__(self, path):
        root = ET.parse(path).getroot()
        self.height = float(root.get("height").removesuffix("mm"))
        groups = SVG.parse(str(path), ppi=PIXELS_PER_INCH, reify=True).select(lambda e: isinstance(e, Group) and e.id)
        self.layers = {group.id: list(group.select(lambda e: isinstance(e, Path))) for group in groups}

    def lines(self, layer):
        return np.array([line for path in self.layers[layer] for line in self.ends(path)])

    def ends(self, path):
        for piece in path:
            if isinstance(piece, Line):
                yield [(p.x, self.height - p.y) for p in (piece.start, piece.end)]
            else:
                assert isinstance(piece, Move), f"{piece} is no straight line"


def box_of(lines):
    points = lines.reshape(-1, 2)
    return [*points.min(axis=0), *points.max(axis=0)]


def samples(lines, step=0.5 / PER_MM):
    """Places along lines, no further apart than half a pixel, and which are a pixel or more from their ends."""
    lengths = np.linalg.norm(lines[:, 1] - lines[:, 0], axis=1)
    counts = np.ceil(lengths / step).astype(int) + 1
    shares = np.concatenate([np.linspace(0, 1, count) for count in counts])
    line = np.repeat(np.arange(len(lines)), counts)
    inner = np.minimum(shares, 1 - shares) * lengths[line] > 1 / PER_MM
    return lines[line, 0] + (lines[line, 1] - lines[line, 0]) * shares[:, None], inner


def lone(places, others, distance):
    """Which places have none of the other shapes so near."""
    near = shapely.STRtree(others).query(shapely.points(places), predicate="dwithin", distance=distance)[0]
    return ~np.isin(np.arange(len(places)), near)


def compared(lines, buffer):
    """The places where a line is missing, those where one is drawn that is not seen, and how many were looked at."""
    asked, allowed = buffer.cracks()
    missing = asked[lone(asked, shapely.linestrings(lines), BESIDE)]
    drawn, inner = samples(lines)
    seen = shapely.points(allowed)
    unseen = drawn[lone(drawn, seen, AT_END) | inner & lone(drawn, seen, BESIDE)]
    return missing, unseen, len(asked), len(drawn)


def gaps(lines, axis):
    """The middles of all stretches of an axis of the paper that no line is over."""
    ends = np.sort(lines[:, :, axis], axis=1)
    ends = ends[np.argsort(ends[:, 0])]
    reached = np.maximum.accumulate(ends[:, 1])
    empty = ends[1:, 0] > reached[:-1] + PAPER
    return (ends[1:, 0] + reached[:-1])[empty] / 2


def three_views(lines, places):
    """The lines of the view from the front, of that from the right end beside it, of that from above over it: parted
    where all three are at one scale."""
    width, height, depth = np.ptp(places, axis=0)

    def parted(x, y):
        left, right = lines[lines[:, :, 0].max(axis=1) < x], lines[lines[:, :, 0].min(axis=1) > x]
        return left[left[:, :, 1].max(axis=1) < y], right, left[left[:, :, 1].min(axis=1) > y]

    def spread(views):
        if not all(map(len, views)):
            return np.inf
        sizes = np.concatenate([np.ptp(view.reshape(-1, 2), axis=0) for view in views])
        return np.ptp(sizes / [width, height, depth, height, width, depth])

    return min((parted(x, y) for x in gaps(lines, 0) for y in gaps(lines, 1)), key=spread)


# The largest dot or arrow head, in mm.
MARK = 4


@pytest.fixture(scope="module")
def every(made_root):
    """The sample, which has every style, and every fourth of the random holders."""
    return holders(made_root, [*SAMPLE, "milled", "traced"]) + holders(made_root, RANDOM)[::4]


def whole_pictures(holder, planes):
    """The pictures of a holder put together: lines and the view at the scale of the sheet."""
    sheet = Picture(holder.folder / "holder.svg")
    views = Picture(holder.folder / "views.svg").lines("assembled")
    # That from behind stands beside the one from the front, over the one taken apart.
    foot = min(sheet.lines(layer)[:, :, 1].min() for layer in ("assembled", "tool") if layer in sheet.layers)
    apart = sheet.lines("apart")
    places = planes.corners.reshape(-1, 3)
    front, end, top = three_views(views, places)
    pictures = {
        "assembled": (View.isometric(RIGHT_FRONT), sheet.lines("assembled")),
        "from behind": (View.isometric(BEHIND), apart[apart[:, :, 1].min(axis=1) > foot - PAPER]),
        "front": (View.of((0, 0, 1)), front),
        "end": (View.of((1, 0, 0)), end),
        "top": (View.of((0, 1, 0)), top),
    }
    for name, (view, lines) in pictures.items():
        # Where all parts are named in the other picture there is none from behind.
        if name != "from behind" or len(lines):
            yield name, *view.fitted(places, box_of(lines)), lines


def test_pictures_have_all_edges_that_are_seen_and_no_others(every):
    wrong, looked = [], np.zeros(4)
    for holder in every:
        planes = Planes.of(bodies(holder.solid).values())
        for name, view, off, lines in whole_pictures(holder, planes):
            assert off < PAPER, f"{holder}, {name}: {off:.3f} mm too large for the solid"
            missing, unseen, asked, drawn = compared(lines, Buffer(view, planes))
            looked += asked - len(missing), asked, drawn - len(unseen), drawn
            if len(missing) or len(unseen):
                wrong.append(f"{holder}, {name}: {len(missing)} of {asked} missing, {len(unseen)} of {drawn} not seen")
    told = f"{looked[0] / looked[1]:.4%} of what is seen is drawn, {looked[2] / looked[3]:.4%} of what is drawn is seen"
    print(f"{told}: {looked[1]:.0f} places between pixels, {looked[3]:.0f} places on lines")
    assert not wrong, told


def test_blocks_are_drawn_as_isometric_projection_has_them(every):
    """ISO 5456-3: edges along the axes lie at 30, 90 and 150 degrees, their lengths at one scale, which is that of a
    true view, foreshortened."""
    blocks = 0
    for holder in every:
        places = np.vstack([body.vertices for body in bodies(holder.solid).values()])
        lines = Picture(holder.folder / "holder.svg").lines("assembled")
        true, _ = View.of(RIGHT_FRONT).fitted(places, box_of(lines))
        ways = lines[:, 1] - lines[:, 0]
        lengths = np.linalg.norm(ways, axis=1)
        angles = np.degrees(np.arctan2(ways[:, 1], ways[:, 0])) % 180
        # A hundredth of a millimeter aside turns a line of so many.
        along = [np.abs(angles - axis) < np.degrees(PAPER / lengths) for axis in AXES_DEG]
        # x, from the left to the right end, runs down to the right; y up; z, to the front, down to the left.
        x, y, z = along[2], along[1], along[0]
        for part in (part for part in holder.parts if is_block(part) and not holder.is_round(part)):
            for size in sizes(part):
                drawn = [lengths[axis] for axis in (x, y, z)]
                wanted = size * true.scale * FORESHORTENED
                blocks += all(np.abs(one - two).min(initial=np.inf) < PAPER for one, two in zip(drawn, wanted))
    print(f"{blocks} blocks of {len(every)} holders have edges all three ways that nothing hides")
    assert blocks >= len(every) / 2


def is_block(part):
    """Whether a part is cut square out of its stock and nothing more."""
    plain = not part["bevel"] and not part["pockets"]
    return plain and abs(part["area"] - part["length"] * part["width"]) < 0.01


def sizes(part):
    """How large each of its pieces is along the holder's axes, where it lies level with them."""
    size = np.array([part["length"], part["width"], part["thickness"]])
    for place in part["places"]:
        frame = np.abs([place["length"], place["width"], place["face"]])
        if (frame.max(axis=1) > 1 - 1e-9).all():
            yield size @ frame


def test_nothing_is_painted_over(every):
    """Lines that are hidden are left out: beside lines a sheet has black letters and the dots and arrow heads of leaders."""
    for holder in every:
        for name in ("holder.svg", "views.svg"):
            root = ET.parse(holder.folder / name).getroot()
            used = {element.tag.split("}")[1] for element in root.iter()}
            assert used <= {"svg", "title", "defs", "symbol", "g", "path", "circle", "use"}, used
            for group in root.findall("{*}g"):
                inked = {key for element in group.iter() for key in ("fill", "stroke", "style", "opacity") if key in element.keys()}
                own = {key: group.get(key) for key in ("fill", "stroke")}
                if group.get("id") in ("fill", "text"):
                    assert own == {"fill": "#000", "stroke": None} and inked == {"fill"}
                else:
                    assert own["fill"] == "none" and inked == {"fill", "stroke"}
            for path in Picture(holder.folder / name).layers.get("fill", []):
                x0, y0, x1, y1 = np.transpose([Path(piece).bbox() for piece in path.as_subpaths()])
                assert max(np.max(x1 - x0), np.max(y1 - y0)) < MARK


def block(low, high):
    body = trimesh.creation.box(bounds=[low, high])
    return trimesh.Trimesh(body.vertices, body.faces, process=False)


@pytest.fixture(scope="module")
def scene():
    """A block with a post on its right front corner and a chip flush at its left end: what a buffer has of them, and the
    lines that are seen and those that are hidden, worked out by hand."""
    bodies = [block([0, 0, 0], [100, 40, 60]), block([80, 40, 40], [100, 90, 60]), block([-30, 0, 0], [0, 40, 60])]
    view = replace(View.isometric(RIGHT_FRONT), scale=0.5)
    edges = [
        # Of the block: its front and its end below, upright edges, its top round the post.
        *[((0, 0, 60), (100, 0, 60)), ((100, 0, 60), (100, 0, 0)), ((100, 0, 60), (100, 40, 60)), ((100, 0, 0), (100, 40, 0))],
        *[((0, 40, 60), (80, 40, 60)), ((80, 40, 60), (100, 40, 60)), ((100, 40, 60), (100, 40, 40)), ((100, 40, 40), (100, 40, 0))],
        # Of its back edge the post hides what is between x = 30, where its left top edge passes over, and x = 60.
        *[((0, 40, 0), (30, 40, 0)), ((60, 40, 0), (100, 40, 0))],
        # Of the post.
        *[((80, 40, 60), (80, 90, 60)), ((100, 40, 60), (100, 90, 60)), ((100, 40, 40), (100, 90, 40))],
        *[((80, 90, 60), (100, 90, 60)), ((100, 90, 60), (100, 90, 40)), ((100, 90, 40), (80, 90, 40)), ((80, 90, 40), (80, 90, 60))],
        # Of the chip, and its seam.
        *[((-30, 0, 60), (0, 0, 60)), ((-30, 40, 60), (0, 40, 60)), ((-30, 40, 0), (0, 40, 0))],
        *[((-30, 0, 60), (-30, 40, 60)), ((-30, 40, 60), (-30, 40, 0)), ((0, 0, 60), (0, 40, 60)), ((0, 40, 60), (0, 40, 0))],
    ]
    hidden = [((30, 40, 0), (60, 40, 0)), ((80, 40, 60), (80, 40, 40)), ((0, 0, 0), (100, 0, 0)), ((0, 0, 0), (0, 0, 60)), ((0, 0, 0), (0, 40, 0))]
    on_paper = lambda edges: np.array([view.on_paper(np.array(edge)) for edge in edges])
    return Buffer(view, Planes.of(bodies)), on_paper(edges), on_paper(hidden)


def found(lines, buffer):
    missing, unseen, _, _ = compared(lines, buffer)
    return len(missing), len(unseen)


def test_the_buffer_sees_what_the_hand_works_out(scene):
    buffer, lines, _ = scene
    assert found(lines, buffer) == (0, 0)


def test_an_edge_left_out_is_found(scene):
    buffer, lines, _ = scene
    for one in range(len(lines)):
        missing, unseen = found(np.delete(lines, one, axis=0), buffer)
        assert missing > 10 and unseen == 0


def test_a_hidden_edge_that_is_drawn_is_found(scene):
    buffer, lines, hidden = scene
    for edge in hidden:
        missing, unseen = found(np.vstack([lines, [edge]]), buffer)
        assert missing == 0 and unseen > 10


def test_a_line_two_pixels_aside_is_found(scene):
    buffer, lines, _ = scene
    for one, (start, end) in enumerate(lines):
        for sign in (1, -1):
            right, up = (end - start) / np.linalg.norm(end - start)
            moved = lines.copy()
            moved[one] += sign * np.array([-up, right]) * 2 / PER_MM
            assert min(found(moved, buffer)) > 10


def test_a_line_that_goes_on_too_far_is_found(scene):
    """The stretch of the back edge that ends behind the post, five pixels longer."""
    buffer, lines, hidden = scene
    start, end = hidden[0]
    longer = [start, start + (end - start) / np.linalg.norm(end - start) * 5 / PER_MM]
    missing, unseen = found(np.vstack([lines, [longer]]), buffer)
    assert missing == 0 and unseen > 0
