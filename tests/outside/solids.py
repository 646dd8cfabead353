"""What the checks of solids and of pictures share: holders that were made, and the bodies in their holder.glb."""

import json
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import trimesh

# Runs with holders of every style: the sample, random holders with tools, random holders on random cleats.
SAMPLE = ["default"]
RANDOM = ["bodies-*", "hooks-*"]


@dataclass(frozen=True)
class Holder:
    """One holder of one run and what summary.json says of it."""

    run: Path
    figures: dict
    dowels: frozenset  # The stocks that are round.

    def __str__(self):
        return f"{self.run.name}/{self.figures['name']}"

    @property
    def folder(self):
        return self.run / self.figures["name"]

    @property
    def solid(self):
        return self.folder / "holder.glb"

    @property
    def parts(self):
        return self.figures["parts"]

    def is_round(self, part):
        return part["stock"] in self.dowels


def holders(root, patterns):
    """Every holder that has wood, of the runs that the patterns name."""
    runs = [run for pattern in patterns for run in sorted(root.glob(pattern)) if (run / "summary.json").is_file()]
    assert runs, f"no run {patterns} in {root}"
    summaries = [(run, json.loads((run / "summary.json").read_text(encoding="utf-8"))) for run in runs]
    found = [Holder(run, holder, dowels(summary)) for run, summary in summaries for holder in summary["holders"]]
    return [holder for holder in found if holder.parts]


def dowels(summary):
    return frozenset(stock["stock"] for stock in summary["stock"] if stock["kind"] == "dowel")


def piece_names(part):
    """What its pieces are called in a solid: numbered where there are several."""
    count = part["quantity"]
    return [f"{part['name']} {piece + 1}" for piece in range(count)] if count > 1 else [part["name"]]


def bodies(path):
    """Every body by its node's name, corners in mm; nothing merged or mended."""
    scene = trimesh.load(path, file_type="glb", force="scene", process=False)
    found = {}
    for node in scene.graph.nodes_geometry:
        turn, name = scene.graph[node]
        mesh = scene.geometry[name].copy()
        mesh.apply_transform(turn)
        points = np.asarray(mesh.vertices, dtype=float) * 1000
        found[node] = trimesh.Trimesh(points, mesh.faces, process=False, validate=False)
    return found
