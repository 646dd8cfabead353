"""holder.glb is sound glTF, closed, in its place, and as much wood as summary.json and the DXF files say.

The form is held against the glTF 2.0 Specification of the Khronos group and by the group's own validator; bodies are
read and measured by `trimesh`, and cut with what the DXF files outline by `manifold3d`.
"""

import json
import math
import struct
import subprocess
from collections import Counter

import numpy as np
import pytest
from manifold3d import Manifold, Mesh

import drawing
import test_bodies
from conftest import ROOT
from solids import RANDOM, SAMPLE, bodies, holders, piece_names

ALL = [*SAMPLE, "milled", "traced", *RANDOM]

# Two volumes are the same to within this share.
VOLUME = 0.001

# Two places are the same to within this, in mm. Figures in the file are of 24 bits: to 4 m a quarter of a micrometer.
PLACE = 0.01

# Corners of a polygon that stands in for a circle of the same area are outside of it by step² / 12 of its radius: of 48
# sides, and of more, by no more than this share.
STANDS_OUT = (2 * math.pi / 48) ** 2 / 12 * 1.01

# glTF 2.0 Specification, 4.4.2 (header) and 4.4.3 (chunks), table of chunk types.
MAGIC, VERSION, JSON_CHUNK, BINARY_CHUNK = 0x46546C67, 2, 0x4E4F534A, 0x004E4942

# 3.6.2.2 of the same, accessor data types; 5.24.4, what a primitive that says nothing of its mode is made of.
FLOAT, UNSIGNED_INT, TRIANGLES = 5126, 5125, 4


@pytest.fixture(scope="module")
def every(made_root):
    found = holders(made_root, ALL)
    missing = [str(holder) for holder in found if not holder.solid.is_file()]
    assert not missing, f"no holder.glb: {missing}"
    return found


def told(every, look):
    """What `look` finds wrong with each holder."""
    return [f"{holder}: {wrong}" for holder in every for wrong in look(holder)]


def validated(node, files):
    """What the validator says of each file."""
    command = ["node", ROOT / "tests/outside/validate.mjs", node, *files]
    lines = subprocess.run(command, check=True, capture_output=True, text=True).stdout.splitlines()
    assert len(lines) == len(files)
    return [json.loads(line) for line in lines]


def test_the_validator_has_nothing_to_say(every, node):
    said = validated(node, [holder.solid for holder in every])
    print("infos and hints:", Counter(message for report in said for message in report["messages"]))
    assert not [report for report in said if report["errors"] or report["warnings"]]


def test_the_validator_finds_a_wrong_file(every, node, tmp_path):
    file = tmp_path / "holder.glb"
    whole = every[0].solid.read_bytes()
    # One place moved 1 m away from the bounds that are told; the last index one past all places.
    for at, word in [(-4 * binary_words(whole), struct.pack("<f", 9.0)), (-4, struct.pack("<I", 1 << 20))]:
        end = len(whole) + at
        file.write_bytes(whole[:end] + word + whole[end + 4 :])
        assert validated(node, [file])[0]["errors"] > 0


def binary_words(whole):
    return struct.unpack_from("<I", whole, 20 + struct.unpack_from("<I", whole, 12)[0])[0] // 4


def test_chunks_are_as_the_specification_has_them(every):
    for holder in every:
        whole = holder.solid.read_bytes()
        magic, version, length, size, kind = struct.unpack_from("<5I", whole)
        assert (magic, version, length, kind) == (MAGIC, VERSION, len(whole), JSON_CHUNK)
        assert size % 4 == 0
        said = json.loads(whole[20 : 20 + size])
        binary, kind = struct.unpack_from("<2I", whole, 20 + size)
        assert kind == BINARY_CHUNK and binary % 4 == 0 and 28 + size + binary == length
        # 4.4.3.3: the chunk may be up to 3 bytes longer than the buffer, for padding.
        assert 0 <= binary - said["buffers"][0]["byteLength"] < 4
        assert said["asset"]["version"] == "2.0"
        for mesh in said["meshes"]:
            for primitive in mesh["primitives"]:
                assert primitive.get("mode", TRIANGLES) == TRIANGLES
                kinds = primitive["attributes"]["POSITION"], primitive["indices"]
                assert [said["accessors"][kind]["componentType"] for kind in kinds] == [FLOAT, UNSIGNED_INT]


def test_each_piece_has_its_name(every):
    def look(holder):
        wanted = sorted(name for part in holder.parts for name in piece_names(part))
        found = sorted(bodies(holder.solid))
        return [] if found == wanted else [f"{found} for {wanted}"]

    assert not told(every, look)


def test_bodies_are_closed_and_look_outward(every):
    """3.7.4: triangles counter-clockwise are front faces; a body whose faces all look outward has a volume above 0."""

    def look(holder):
        for name, body in bodies(holder.solid).items():
            if not (body.is_watertight and body.is_winding_consistent and body.volume > 0):
                yield name

    assert not told(every, look)


def test_volumes_are_those_of_the_summary(every):
    worst = []

    def look(holder):
        found = bodies(holder.solid)
        for part in holder.parts:
            wanted = rod(part) if holder.is_round(part) else volume(part)
            for name in piece_names(part):
                off = found[name].volume / wanted - 1
                worst.append(abs(off))
                if abs(off) > VOLUME:
                    yield f"{name} has {off:+.3%}"

    wrong = told(every, look)
    print(f"volumes of {len(worst)} pieces within {max(worst):.2e}")
    assert not wrong


def rod(part):
    return math.pi * part["thickness"] ** 2 / 4 * part["length"]


def volume(part):
    """A flat part's wood by its areas, mm³."""
    bores = [bore for bore in part["drillings"] if is_cut(bore)]
    through = part["area"] - sum(math.pi * bore["diameter"] ** 2 / 4 for bore in bores)
    milled = sum(pocket["area"] * pocket["depth"] for pocket in part["pockets"])
    return through * part["thickness"] - milled - beveled(part)


def is_cut(bore):
    return bore["purpose"] == "tool" and bore["depth"] is None and bore["lean"] == 0


def beveled(part):
    """What a bevel takes off: a triangle of the thickness and its tangent, along the part."""
    bevel = part["bevel"]
    return part["thickness"] ** 2 * math.tan(math.radians(bevel["angle"])) / 2 * part["length"] if bevel else 0


def test_bodies_are_what_the_drawings_outline(every):
    """Pressed out of the DXF outlines and put in place, wood has all of the body and nothing more but what is milled or
    beveled."""

    def look(holder):
        found = bodies(holder.solid)
        pressed = dict(test_bodies.wood(holder.run, holder.figures))
        for part in holder.parts:
            if holder.is_round(part):
                continue
            body = sum((manifold(found[name]) for name in piece_names(part)), Manifold())
            wood = pressed[part["name"]]
            beyond = (body - wood).volume()
            milled = sum(pocket["area"] * pocket["depth"] for pocket in part["pockets"]) + beveled(part)
            short = (wood - body).volume() - milled * part["quantity"]
            if max(beyond, abs(short)) > VOLUME * body.volume():
                yield f"{part['name']}: {beyond:.0f} mm³ beyond, {short:.0f} mm³ short"

    assert not told(every, look)


def manifold(body):
    found = Manifold(Mesh(np.asarray(body.vertices, dtype=np.float32), np.asarray(body.faces, dtype=np.uint32)))
    assert not found.is_empty(), found.status()
    return found


def test_pieces_lie_where_the_summary_has_them(every):
    """From its origin a piece reaches as far as it is long and wide, and as deep below its show face as it is thick."""

    def look(holder):
        found = bodies(holder.solid)
        for part in holder.parts:
            for name, place in zip(piece_names(part), part["places"]):
                axes = np.array([place["length"], place["width"], place["face"]])
                own = (found[name].vertices - place["origin"]) @ axes.T
                reach = [[0, 0, -part["thickness"]], [part["length"], part["width"], 0]]
                off = np.abs([own.min(axis=0), own.max(axis=0)] - np.array(reach))
                if off.max() > PLACE + holder.is_round(part) * part["thickness"] / 2 * STANDS_OUT:
                    yield f"{name}: {off}"

    assert not told(every, look)


def test_holders_are_as_large_as_the_summary_says(every):
    """3.4: meters, y up, z toward the front; here the wall is at z = 0 and the middle of nothing else."""

    def look(holder):
        points = np.vstack([body.vertices for body in bodies(holder.solid).values()])
        low, high = points.min(axis=0), points.max(axis=0)
        size = [high[0] - low[0], high[1] - low[1], high[2]]
        wanted = [holder.figures[key] for key in ("width", "height", "projection")]
        if np.abs(np.subtract(size, wanted)).max() > PLACE:
            yield f"{size} for {wanted}"
        if low[2] < -PLACE:
            yield f"{low[2]} behind the wall"

    assert not told(every, look)
