#!/usr/bin/env python3
"""Prints, as Markdown, how fast Cleatwright is beside Python's libraries on the same work.

    python3 tests/bench/beside.py [ROW ...] [--runs N]

Rows are named a to h; without one, all are measured. A Python environment is set up under target/bench/python. Seconds
are seconds of CPU, system and children included, of the job itself: the least of the runs. What needs no more than a
part of a run is done by tests/bench/beside.rs, the other side by tests/bench/peers.py.
"""

import argparse
import base64
import json
import os
import platform
import random
import re
import shutil
import subprocess
import sys
import time
import zlib
from pathlib import Path

HERE = Path(__file__).resolve().parent
ROOT = HERE.parents[1]
WORK = ROOT / "target/bench"
PYTHON = WORK / "python/bin/python"
RUN = WORK / "run"
SAMPLE = ROOT / "samples/boat-shed"


def main():
    asked = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    asked.add_argument("rows", nargs="*", metavar="ROW", help="a to h")
    asked.add_argument("--runs", type=int, default=3)
    asked = asked.parse_args()
    bench = Bench(asked.runs)
    print(f"{machine()}\n\n| what | ours | beside | ours/beside |\n| --- | --- | --- | --- |")
    for name, row in ROWS.items():
        if not asked.rows or name in asked.rows:
            for cells in row(bench):
                print(f"| {name}: " + " | ".join(cells) + " |", flush=True)


def machine():
    """Cores and versions."""
    said = [f"{os.cpu_count()} cores", cpu_name(), subprocess.check_output(["rustc", "--version"], text=True).strip()]
    said += [f"Python {platform.python_version()}", *(line for line in (HERE / "requirements.txt").read_text().split("\n") if "==" in line)]
    return ", ".join(said).replace("==", " ")


def cpu_name():
    found = re.search(r"model name\s*: (.*)", Path("/proc/cpuinfo").read_text())
    return found[1] if found else platform.machine()


class Bench:
    """Both sides, ready to be run."""

    def __init__(self, runs):
        self.runs = runs
        WORK.mkdir(parents=True, exist_ok=True)
        if not PYTHON.exists():
            subprocess.check_call([sys.executable, "-m", "venv", WORK / "python"])
        subprocess.check_call([PYTHON, "-m", "pip", "install", "-q", "--disable-pip-version-check", "-r", HERE / "requirements.txt"])
        self.program, self.jobs = built()
        self.parts = WORK / "parts.json"

    def job(self, *args):
        """A job of ours, at its quickest."""
        return self.least(self.jobs, *args)

    def peer(self, *args):
        return self.least(PYTHON, HERE / "peers.py", *args)

    def least(self, *command):
        """The quickest run; a single one where one takes long."""
        command = [str(word) for word in command]
        told = [json.loads(subprocess.check_output(command))]
        while len(told) < self.runs and told[0].get("cpu", 0) < 30:
            told.append(json.loads(subprocess.check_output(command)))
        return min(told, key=lambda one: one.get("cpu", 0))

    def whole(self, *command):
        """A whole run into a folder of its own: the one that took the least CPU; a single one where that is long."""
        runs = [self.fresh(command)]
        while len(runs) < self.runs and seconds(runs[0]) < 30:
            runs.append(self.fresh(command))
        return min(runs, key=seconds)

    def fresh(self, command):
        shutil.rmtree(RUN, ignore_errors=True)
        return usage(command)

    def neutral(self):
        """The sample's parts as the other side reads them, from files of ours, and how many have patterns on pages."""
        shutil.rmtree(WORK / "made", ignore_errors=True)
        usage([self.program, "make", SAMPLE, "--out", WORK / "made", "--quiet", "--cutting-steps", "1"])
        subprocess.check_call([PYTHON, HERE / "peers.py", "neutral", WORK / "made", self.parts], stdout=subprocess.DEVNULL)
        parts = json.loads(self.parts.read_text())
        return len(parts), sum(part["printed"] == "pattern" for part in parts)


def built():
    """The program and the jobs, as a release has them."""
    command = ["cargo", "bench", "--locked", "--no-run", "--bench", "beside", "--message-format=json"]
    told = subprocess.run(command, cwd=ROOT, check=True, stdout=subprocess.PIPE, text=True).stdout.splitlines()
    files = {one["target"]["name"]: one["executable"] for one in map(json.loads, told) if one.get("executable")}
    return files["cleatwright"], files["beside"]


def usage(command):
    """What a command used, its children with it."""
    process = subprocess.Popen([str(word) for word in command], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    _, status, used = os.wait4(process.pid, 0)
    assert status == 0, command
    return used


def seconds(used):
    return used.ru_utime + used.ru_stime


def s(cpu):
    return f"{cpu:.3f} s" if cpu < 10 else f"{cpu:.1f} s"


def compared(what, ours, theirs):
    return what, s(ours), s(theirs), f"{ours / theirs:.3f}"


def kernel(bench):
    boards = WORK / "boards.json"
    boards.write_text(json.dumps([board(random.Random(i)) for i in range(2000)]))
    ours, theirs = bench.job("kernel", boards), bench.peer("kernel", boards)
    assert abs(ours["area"] / theirs["came to"] - 1) < 1e-4, "they did not cut alike"
    yield compared("2,000 boards of 12 slots and 6 holes, cut and offset; shapely", ours["cpu"], theirs["cpu"])


def board(draw):
    slots = [[50 + 75 * i, draw.uniform(40, 90), draw.uniform(8, 25)] for i in range(12)]
    holes = [[80 + 150 * i, 150, draw.uniform(8, 20)] for i in range(6)]
    return {"length": 925, "width": 200, "radius": 20, "slots": slots, "holes": holes}


def outlines(bench):
    parts, _ = bench.neutral()
    times = -(-10_000 // parts)
    ours, theirs = bench.job("render", "outlines", SAMPLE, times), bench.peer("outlines", bench.parts, times)
    yield compared(f"{parts * times:,} outlines to DXF; ezdxf", ours["cpu"], theirs["cpu"])


def pages(bench):
    _, patterns = bench.neutral()
    times = -(-200 // patterns)
    for folder in ("pages", "plain-pages"):
        shutil.rmtree(WORK / folder, ignore_errors=True)
    ours, theirs = bench.job("render", "pages", SAMPLE, times, WORK / "pages"), bench.peer("pages", bench.parts, times, WORK / "plain-pages")
    yield compared(f"{patterns * times} patterns tiled to PDF, strips of plain parts with them; reportlab", ours["cpu"], theirs["cpu"])
    raw = [sum(content(file) for file in (WORK / folder).rglob("*.pdf")) for folder in ("pages", "plain-pages")]
    yield "raw content of these pages", f"{raw[0]:,} bytes", f"{raw[1]:,} bytes", f"{raw[0] / raw[1]:.2f}"


def content(file):
    """Bytes that draw: of pages and form objects, not of fonts."""
    streams = re.findall(rb"<<((?:(?!endobj).)*?)>>\s*stream\r?\n(.*?)\r?\n?endstream", file.read_bytes(), re.S)
    return sum(len(drawn) for drawn in (unpacked(*stream) for stream in streams) if draws(drawn))


def unpacked(head, data):
    if re.search(rb"/ObjStm|/XRef|/Metadata|/Length1|FontFile|CIDFontType0C|Type1C|OpenType", head):
        return b""
    if b"ASCII85Decode" in head:
        data = base64.a85decode(data.strip().removesuffix(b"~>"))
    return zlib.decompressobj().decompress(data) if b"FlateDecode" in head else data


def draws(data):
    face = data.startswith((b"\0\1\0\0", b"true", b"OTTO"))
    return not face and b"CIDInit" not in data and re.search(rb"\b(re|l|S|Tj|TJ|f)\b", data)


def whole(bench):
    bench.neutral()
    theirs = bench.peer("plain", SAMPLE, bench.parts, WORK / "plain")["cpu"]
    ours = bench.job("plain", SAMPLE)["cpu"]
    yield compared("the sample: patterns, pages, DXF, lists; a plain script", ours, theirs)
    made = bench.whole(bench.program, "make", SAMPLE, "--out", RUN, "--quiet")
    yield compared("the sample whole, with the search, settling, pictures and book; the same script", seconds(made), theirs)


def many(bench):
    for count in (1, 10, 100, 1000):
        project = WORK / f"holders-{count}"
        shutil.rmtree(project, ignore_errors=True)
        subprocess.check_call([bench.jobs, "copies", SAMPLE, str(count), project], stdout=subprocess.DEVNULL)
        used = bench.whole(bench.jobs, "whole", project, RUN)
        cpu = seconds(used)
        yield f"{count:,} holders", s(cpu), f"{cpu / count * 1000:.0f} ms each", f"{used.ru_maxrss / 1024:.0f} MB at most"


def start_up(bench):
    ours, theirs = ([spawned(command) for _ in range(200)] for command in ([bench.program, "--version"], ["true"]))
    for at, what in enumerate(("CPU", "clock")):
        mine, other = (sorted(one[at] for one in side)[100] * 1e3 for side in (ours, theirs))
        yield f"start-up, {what}; true", f"{mine:.2f} ms", f"{other:.2f} ms", f"{mine / other:.1f}"


def spawned(command):
    begin = time.perf_counter()
    used = usage(command)
    return seconds(used), time.perf_counter() - begin


def change(bench):
    for style, took in bench.job("change", SAMPLE).items():
        yield f"a reading changed, to the picture: {style}", f"p50 {took['p50']:.1f} ms", f"p99 {took['p99']:.1f} ms", f"CPU {took['cpu']:.1f} ms"


def book(bench):
    took = bench.job("book", SAMPLE)
    yield "pictures of the sample", s(took["pictures"]), "", ""
    yield "its shop book and summary", s(took["book"]), "", ""


ROWS = {"a": kernel, "b": outlines, "c": pages, "d": whole, "e": many, "f": start_up, "g": change, "h": book}

if __name__ == "__main__":
    main()
