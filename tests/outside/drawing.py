"""A DXF file as the strict reader of `ezdxf` sees it."""

import math
from dataclasses import dataclass

import ezdxf
import numpy as np
from ezdxf.math import bulge_to_arc

import geometry


@dataclass(frozen=True)
class Contour:
    """A closed contour: x, y and bulge of each vertex, in the file's unit."""

    layer: str
    vertices: list

    def segments(self):
        """Start, end and bulge of each piece, the closing one last."""
        following = self.vertices[1:] + self.vertices[:1]
        return [(a[:2], b[:2], a[2]) for a, b in zip(self.vertices, following)]

    def ring(self):
        """The contour as a polygon of short chords. Arcs are worked out by ezdxf."""
        return np.vstack([chords(*segment) for segment in self.segments()])


def chords(start, end, bulge):
    """Points of one piece but for its end."""
    if bulge == 0:
        return np.array([start])
    center, first, last, radius = bulge_to_arc(start, end, bulge)
    points = geometry.turn(center, radius, first, first + (last - first) % math.tau)
    return points[:-1] if bulge > 0 else points[:0:-1]


def read(path):
    """Opened by the strict reader, which refuses what it would have to guess."""
    return ezdxf.readfile(path)


def vertices(polyline):
    """x, y and bulge of each vertex of a polyline of either version."""
    if polyline.dxftype() == "LWPOLYLINE":
        return [tuple(v) for v in polyline.get_points("xyb")]
    return [(v.dxf.location.x, v.dxf.location.y, v.dxf.get("bulge", 0.0)) for v in polyline.vertices]


def contours(document):
    """Every polyline of model space."""
    found = []
    for entity in document.modelspace().query("LWPOLYLINE POLYLINE"):
        assert entity.is_closed, f"open contour on {entity.dxf.layer}"
        found.append(Contour(entity.dxf.layer, vertices(entity)))
    return found


def closed_rings(document):
    """Layer and polygon of short chords of every closed contour."""
    return [(contour.layer, contour.ring()) for contour in contours(document)]


def rings(document):
    """The outline and the openings as polygons of short chords."""
    outlines = [c.ring() for c in contours(document) if c.layer.startswith("CUT_OUTLINE")]
    openings = [c.ring() for c in contours(document) if c.layer.startswith("CUT_OPENING")]
    assert len(outlines) == 1
    return outlines[0], openings


def circles(document):
    """Every circle as x, y, diameter and layer."""
    return [
        (c.dxf.center.x, c.dxf.center.y, 2 * c.dxf.radius, c.dxf.layer)
        for c in document.modelspace().query("CIRCLE")
    ]
