"""What is seen of bodies from somewhere: a depth buffer, and from it where the eye sees an edge.

Nothing here knows edges of bodies: an edge is seen between two pixels that show different planes. Facets of one body
in one plane are taken together first.
"""

from dataclasses import dataclass

import numpy as np
import shapely

# Pixels to a mm of paper: as fine on the wood as the smallest views are drawn.
PER_MM = 15

# Planes nearer to each other than this, in mm, lie in one another: both are seen. The program hides nothing within
# 0.002 mm, and figures in the file are of 24 bits.
FLUSH = 0.01

# The cosine from which facets of a body lie in one plane.
FLAT = 1 - 1e-7

# A facet of less than half of this, in mm², lies in no plane.
EMPTY = 1e-6

# A side of a polygon that stands in for a curve stands off it by about its length times the turn to the next / 8. Where
# that is less than this, in mm, what meets may be one round side; else it is an edge where it turns by more than so
# many degrees. Where the turn is more than a curve's, either is right.
STANDS_OFF, EDGE, CURVE = 0.12, 2, 25

# A plane seen from its edge: the cosine to the eye.
EDGE_ON = 1e-4


@dataclass(frozen=True)
class View:
    """A parallel projection: what goes right and up on the paper and toward the eye, and the scale."""

    right: np.ndarray
    up: np.ndarray
    toward: np.ndarray
    scale: float = 1.0
    shift: tuple = (0.0, 0.0)

    @classmethod
    def of(cls, eye, enlarged=1.0):
        """From a direction, y up; all that is seen larger by a factor."""
        toward = np.array(eye, dtype=float) / np.linalg.norm(eye)
        # Straight from above the back of the holder is up.
        upright = [0, 0, -1] if abs(toward[1]) > 0.999 else [0, 1, 0]
        right = np.cross(upright, toward)
        right /= np.linalg.norm(right)
        return cls(right * enlarged, np.cross(toward, right) * enlarged, toward)

    @classmethod
    def isometric(cls, eye):
        """As ISO 5456-3 has it drawn: lengths along each axis in full, larger by √(3/2) than they are seen."""
        return cls.of(eye, np.sqrt(3 / 2))

    def on_paper(self, places):
        flat = np.column_stack([places @ self.right, places @ self.up])
        return flat * self.scale + self.shift

    def nearness(self, places):
        return places @ self.toward

    def fitted(self, places, box):
        """The same at the scale and shift that bring places into a box, and how far its height is off then, in mm."""
        flat = self.on_paper(places)
        low, high = flat.min(axis=0), flat.max(axis=0)
        x0, y0, x1, y1 = box
        larger = max(range(2), key=lambda axis: (high - low)[axis])
        scale = ([x1 - x0, y1 - y0] / (high - low))[larger]
        off = np.abs((high - low) * scale - [x1 - x0, y1 - y0]).max()
        return View(self.right, self.up, self.toward, scale, tuple([x0, y0] - low * scale)), off


@dataclass(frozen=True)
class Planes:
    """Facets by the planes that they lie in, each of one body."""

    corners: np.ndarray  # of each facet
    plane: np.ndarray  # of each facet
    normal: np.ndarray  # of each plane
    body: np.ndarray  # of each plane
    width: np.ndarray  # of each plane: the least

    @classmethod
    def of(cls, bodies):
        corners, plane, normals, owners, widths = [], [], [], [], []
        for number, body in enumerate(bodies):
            own = np.asarray(body.vertices)[np.asarray(body.faces)]
            out = np.cross(own[:, 1] - own[:, 0], own[:, 2] - own[:, 0])
            twice = np.linalg.norm(out, axis=1)
            own, out = own[twice > EMPTY], out[twice > EMPTY] / twice[twice > EMPTY, None]
            left = np.arange(len(own))
            while len(left):
                first = left[0]
                level = (own[left] - own[first][0]) @ out[first]
                same = (out[left] @ out[first] > FLAT) & (np.abs(level).max(axis=1) < FLUSH)
                same[0] = True
                corners.append(own[left[same]])
                plane += [len(normals)] * same.sum()
                normals.append(out[first])
                owners.append(number)
                widths.append(width(own[left[same]].reshape(-1, 3), out[first]))
                left = left[~same]
        return cls(np.vstack(corners), np.array(plane), np.array(normals), np.array(owners), np.array(widths))


def width(points, normal):
    """The least width of places in a plane."""
    axis = np.eye(3)[np.argmin(np.abs(normal))]
    right = np.cross(normal, axis)
    right /= np.linalg.norm(right)
    flat = np.column_stack([points @ right, points @ np.cross(normal, right)])
    hull = shapely.MultiPoint(flat).minimum_rotated_rectangle
    ring = np.array(hull.exterior.coords)
    return np.linalg.norm(np.diff(ring[:3], axis=0), axis=1).min()


class Buffer:
    """Pixels of a view: how near what is seen is, which plane it is of, and all planes that lie there flush."""

    def __init__(self, view, planes):
        self.view, self.planes = view, planes
        flat = view.on_paper(planes.corners.reshape(-1, 3))
        self.low = flat.min(axis=0) - 3 / PER_MM
        columns, rows = np.ceil((flat.max(axis=0) + 3 / PER_MM - self.low) * PER_MM).astype(int)
        self.near = np.full((rows, columns), -np.inf)
        self.top = np.full((rows, columns), -1)
        self.flush = np.zeros((rows, columns), dtype=np.uint64)
        self.flat = (flat.reshape(-1, 3, 2) - self.low) * PER_MM
        depth = view.nearness(planes.corners.reshape(-1, 3)).reshape(-1, 3)
        self.slopes = self.plane_slopes()
        facing = np.nonzero(planes.normal[planes.plane] @ view.toward > EDGE_ON)[0]
        shown = [(facet, *self.pixels(facet, depth[facet])) for facet in facing]
        for facet, window, inside, near in shown:
            here = self.near[window]
            wins = inside & (near > here)
            here[wins] = near[wins]
            self.top[window][wins] = planes.plane[facet]
        marks = np.random.default_rng(1).integers(1, 2**63, len(planes.normal), dtype=np.uint64)
        self.mark(shown, marks)

    def mark(self, shown, marks):
        """Each pixel by the sum of the marks of all planes that lie there, each once."""
        by_plane = {}
        for facet, window, inside, near in shown:
            by_plane.setdefault(self.planes.plane[facet], []).append((window, inside & (near > self.near[window] - FLUSH)))
        for plane, found in by_plane.items():
            rows = slice(min(w[0].start for w, _ in found), max(w[0].stop for w, _ in found))
            columns = slice(min(w[1].start for w, _ in found), max(w[1].stop for w, _ in found))
            lies = np.zeros((rows.stop - rows.start, columns.stop - columns.start), dtype=bool)
            for (r, c), inside in found:
                lies[r.start - rows.start : r.stop - rows.start, c.start - columns.start : c.stop - columns.start] |= inside
            self.flush[rows, columns][lies] += marks[plane]

    def plane_slopes(self):
        """By how much each plane comes nearer to the eye from one pixel to the next, right and up."""
        view, normal = self.view, self.planes.normal
        facing = normal @ view.toward
        facing = np.where(np.abs(facing) < EDGE_ON, EDGE_ON, facing)
        # One pixel to the right is a step along `right` in space; nearness makes up for leaving the plane.
        step = [axis / (axis @ axis) / view.scale / PER_MM for axis in (view.right, view.up)]
        return -np.column_stack([normal @ way for way in step]) / facing[:, None]

    def pixels(self, facet, depth):
        """The pixels around a facet: their window, whether their middles are in it, how near it is there."""
        corners, slope = self.flat[facet], self.slopes[self.planes.plane[facet]]
        low = np.maximum(np.floor(corners.min(axis=0)).astype(int), 0)
        high = np.ceil(corners.max(axis=0)).astype(int) + 1
        window = slice(low[1], high[1]), slice(low[0], high[0])
        rows, columns = self.near[window].shape
        x = np.arange(columns)[None, :] + low[0] + 0.5
        y = np.arange(rows)[:, None] + low[1] + 0.5
        inside = np.ones((rows, columns), dtype=bool)
        for (ax, ay), (bx, by) in zip(corners, np.roll(corners, -1, axis=0)):
            inside &= (bx - ax) * (y - ay) - (by - ay) * (x - ax) >= -1e-9
        near = depth[0] + slope[0] * (x - corners[0][0]) + slope[1] * (y - corners[0][1])
        return window, inside, near

    def cracks(self):
        """Where two pixels beside one another show different things, on paper: places where a line has to be, and all
        places where there may be one."""
        asked, allowed = [], []
        for axis in (0, 1):
            one = tuple(slice(None, -1) if axis == i else slice(None) for i in (1, 0))
            other = tuple(slice(1, None) if axis == i else slice(None) for i in (1, 0))
            differ = self.flush[one] != self.flush[other]
            rows, columns = np.nonzero(differ)
            a, b = self.top[one][differ], self.top[other][differ]
            must, may = self.judge(a, b, self.near[one][differ], self.near[other][differ], axis)
            middle = np.column_stack([columns + 0.5 + (axis == 0) / 2, rows + 0.5 + (axis == 1) / 2])
            places = middle / PER_MM + self.low
            asked.append(places[must])
            allowed.append(places[may])
        return np.vstack(asked), np.vstack(allowed)

    def judge(self, a, b, near_a, near_b, axis):
        planes = self.planes
        empty = (a < 0) | (b < 0)
        turn = np.degrees(np.arccos(np.clip(np.einsum("ij,ij->i", planes.normal[a], planes.normal[b]), -1, 1)))
        # Both planes carried to the border of the two pixels.
        slope_a, slope_b = self.slopes[a, axis], self.slopes[b, axis]
        with np.errstate(invalid="ignore"):
            jump = np.abs(near_a + slope_a / 2 - near_b + slope_b / 2)
        # Planes that meet between both middles differ by no more than this there.
        blur = np.abs(slope_a - slope_b) / 2 + FLUSH
        jumps = empty | ~(jump <= 1.5 * blur)
        round_side = np.minimum(planes.width[a], planes.width[b]) * np.radians(turn) / 8 < STANDS_OFF
        seam = planes.body[a] != planes.body[b]
        must = jumps | seam | (~round_side & (turn > EDGE))
        return must, must | (turn > CURVE)
