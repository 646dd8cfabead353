"""What the DXF and the SVG checks share: arcs cut into short chords, and parts put together."""

import math

import numpy as np
from shapely import Polygon

# How far a chord may stand off its arc, in mm: a metre of arc then costs 0.007 mm² of area.
SAGITTA = 1e-5

# Two areas are the same to within this, in mm².
AREA = 0.01

# Two coordinates are the same to within this, in mm.
COORDINATE = 0.001


def steps(radius, sweep):
    """How many chords an arc needs."""
    step = 2 * math.acos(1 - min(SAGITTA / radius, 1))
    return max(2, math.ceil(abs(sweep) / step))


def turn(center, radius, start, end):
    """Points of an arc from one angle to another (radians), both ends included."""
    angles = np.linspace(start, end, steps(radius, end - start) + 1)
    return np.column_stack([center[0] + radius * np.cos(angles), center[1] + radius * np.sin(angles)])


def part(outline, openings):
    """The wood within the outline and around the openings, as one valid polygon."""
    for ring in [outline, *openings]:
        assert Polygon(ring).is_valid, "a contour crosses itself"
    wood = Polygon(outline, openings)
    assert wood.is_valid, "an opening crosses the outline or another opening"
    return wood


def length_of(lines):
    """Length of closed rings."""
    return sum(Polygon(ring).exterior.length for ring in lines)


def check_size(wood, figures):
    """Area and bounding size are those of summary.json."""
    x0, y0, x1, y1 = wood.bounds
    assert abs(wood.area - figures["area"]) <= AREA
    assert abs(x1 - x0 - figures["length"]) <= COORDINATE
    assert abs(y1 - y0 - figures["width"]) <= COORDINATE


def check_holes(circles, figures):
    """The circles (x, y, diameter) are the drillings of summary.json, each once."""
    wanted = sorted((d["x"], d["y"], d["diameter"]) for d in figures["drillings"])
    left = list(circles)
    for hole in wanted:
        match = [c for c in left if max(abs(a - b) for a, b in zip(c, hole)) <= COORDINATE]
        assert match, f"no circle for the drilling {hole}"
        left.remove(match[0])
    assert not left, f"circles that are no drilling: {left}"
