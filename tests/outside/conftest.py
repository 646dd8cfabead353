"""The made files to check: one folder for each run of `cleatwright make` on the sample.

`.ci/run` makes them; `pytest --made DIR` looks elsewhere. A run that is missing is an error,
never a test passed over.
"""

import json
import tomllib
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]


@dataclass(frozen=True)
class Made:
    """One part of one run: where its files are and what summary.json says of it."""

    run: Path
    holder: str
    figures: dict

    @property
    def name(self):
        return self.figures["name"]

    @property
    def dxf(self):
        return self.run / self.holder / f"{self.name}.dxf"

    @property
    def svg(self):
        return self.run / self.holder / f"{self.name}.svg"

    def in_run(self, run):
        """The same part in another run."""
        return Made(self.run.parent / run, self.holder, self.figures)


def pytest_addoption(parser):
    parser.addoption("--made", type=Path, default=ROOT / "target/outside/made")
    parser.addoption("--program", type=Path, default=ROOT / "target/release/cleatwright")
    parser.addoption("--node", type=Path, default=ROOT / "target/outside/node")


@pytest.fixture(scope="session")
def made_root(pytestconfig):
    """The folder with one folder for each run: default, r12, inches, r12-inches, offset."""
    return pytestconfig.getoption("made")


@pytest.fixture(scope="session")
def node(pytestconfig):
    """The folder that npm installed the validator into."""
    return pytestconfig.getoption("node")


def pytest_generate_tests(metafunc):
    """Runs a test that asks for `made` once for each part of the default run, or of the runs
    that a `runs` mark names."""
    if "made" not in metafunc.fixturenames:
        return
    mark = metafunc.definition.get_closest_marker("runs")
    root = metafunc.config.getoption("made")
    parts = [part for run in (mark.args if mark else ["default"]) for part in parts_of(root / run)]
    ids = [f"{part.run.name}/{part.holder}/{part.name}" for part in parts]
    metafunc.parametrize("made", parts, ids=ids)


def pytest_configure(config):
    config.addinivalue_line("markers", "runs(*names): the runs of make whose parts are checked")


def parts_of(run):
    """Every part of a run, by its summary.json."""
    summary = json.loads((run / "summary.json").read_text(encoding="utf-8"))
    assert summary["version"] == 1 and summary["units"] == "mm"
    parts = [
        Made(run, holder["name"], figures)
        for holder in summary["holders"]
        for figures in holder["parts"]
    ]
    assert parts, f"no part in {run}"
    return parts


# What the router's keys are where the sample's shop file leaves them out, in mm.
ROUTER = {"margin": 25.4 / 16, "hold_down": 12.7, "bridges": 4, "bridge_width": 6.35}


def router_table(shop=ROOT / "samples/boat-shed/shop.toml"):
    """The router of a shop file: lengths in mm."""
    table = tomllib.loads(shop.read_text(encoding="utf-8"))
    unit = {"in": 25.4, "mm": 1.0}[table["units"]]
    given = {
        key: value if key == "bridges" else float(sum(map(Fraction, str(value).split()))) * unit
        for key, value in table["router"].items()
        if key != "fill_openings"
    }
    return ROUTER | given
