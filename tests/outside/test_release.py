"""What a release promises: the compiler it builds with, and licenses that go with its own.

Asks `cargo metadata` for every library that any system or test takes in.
"""

import json
import re
import subprocess
import tomllib
from functools import cache
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]


@cache
def packages():
    command = ["cargo", "metadata", "--locked", "--format-version", "1"]
    said = subprocess.run(command, cwd=ROOT, check=True, capture_output=True, text=True).stdout
    return json.loads(said)["packages"]


def version(text):
    """As figures: "1.92" is "1.92.0"."""
    return tuple(int(figure) for figure in (*text.split("."), "0")[:3])


def is_allowed(license, allowed):
    """Whether an SPDX expression is met by some licenses; "/" is an old way to write OR."""
    words = license.replace("/", " OR ").replace("(", " ( ").replace(")", " ) ")
    words = re.sub(r"(\S+) WITH (\S+)", r"\1~WITH~\2", words).split()
    said = {"AND": "and", "OR": "or", "(": "(", ")": ")"}
    return eval(" ".join(said.get(word) or str(word.replace("~", " ") in allowed) for word in words))


def test_no_library_asks_for_a_newer_compiler():
    ours = version(tomllib.loads((ROOT / "Cargo.toml").read_text())["package"]["rust-version"])
    asked = {p["name"]: version(p["rust_version"]) for p in packages() if p["rust_version"]}
    assert len(asked) > 100
    assert {name: least for name, least in asked.items() if least > ours} == {}


def test_each_library_has_a_license_that_is_allowed():
    allowed = set(tomllib.loads((ROOT / ".cargo/deny.toml").read_text())["licenses"]["allow"])
    refused = {p["name"]: p["license"] for p in packages() if not is_allowed(p["license"] or "None", allowed)}
    assert refused == {}


def test_licenses_are_read():
    """The check above is of no worth if it lets all pass."""
    allowed = {"MIT", "Apache-2.0 WITH LLVM-exception"}
    assert is_allowed("(MIT OR Apache-2.0) AND MIT", allowed)
    assert is_allowed("Apache-2.0 WITH LLVM-exception OR GPL-3.0", allowed)
    assert is_allowed("Unlicense/MIT", allowed)
    assert not is_allowed("MIT AND Unicode-3.0", allowed)
    assert not is_allowed("GPL-3.0-only", allowed)
    assert not is_allowed("None", allowed)
