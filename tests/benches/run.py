#!/usr/bin/env python3
"""Whole-process times of the release binary, as medians and as ratios to `--version`, and how `check` grows with the
file. Exits with 1 when a limit is broken. Needs cargo, rustc and python3; nothing else.

    python3 tests/benches/run.py [--no-build]
"""

import math
import pathlib
import statistics
import subprocess
import sys
import tempfile
import time

ROOT = pathlib.Path(__file__).resolve().parents[2]
RUNS = 61


def median(command, runs=RUNS):
    times = []
    for i in range(runs + 1):
        start = time.perf_counter()
        done = subprocess.run([str(c) for c in command], capture_output=True)
        times.append(time.perf_counter() - start)
        assert done.returncode == 0, (command, done.stderr.decode()[-500:])
    return statistics.median(times[1:]) * 1000


def shells(count):
    """A file of `count` shells, each a little larger than the last."""
    lines = ['prop many { title: "Many", of: foam3 }']
    for i in range(count):
        wide = 60 + i % 97
        lines.append(f"shell s{i} {{ at 0 mm: circle(across: {wide} mm), at 120 mm: circle(across: {wide + 25} mm) }}")
    return "\n".join(lines) + "\n"


def openings(count):
    """A file of `count` openings on one wall, each with a place of its own."""
    lines = ['prop sieve { title: "Sieve", of: foam3 }', "shell body { at 0 mm to 320 mm: circle(around: 440 mm) }"]
    for i in range(count):
        # A hundred to a row, 4.3 mm from each other, rows 3 mm apart, clear of the seam at the back.
        level, facing = 10 + 3 * (i // 100), -176 + 3.52 * (i % 100)
        lines.append(f"opening o{i} on body {{ shape: circle(across: 1.5 mm), level: {level} mm, facing: {facing:.2f} deg }}")
    return "\n".join(lines) + "\n"


def slope(points):
    """How the times grow with the counts, on a logarithmic scale."""
    x = [math.log(c) for c, _ in points]
    y = [math.log(m) for _, m in points]
    mx, my = sum(x) / len(x), sum(y) / len(y)
    return sum((a - mx) * (b - my) for a, b in zip(x, y)) / sum((a - mx) ** 2 for a in x)


def main():
    if "--no-build" not in sys.argv:
        subprocess.run(["cargo", "build", "--release", "--quiet"], cwd=ROOT, check=True)
    tasset = ROOT / "target" / "release" / "tasset"
    flag = ROOT / "examples" / "flag-case" / "flag-case.prop"
    broken = []
    with tempfile.TemporaryDirectory() as folder:
        folder = pathlib.Path(folder)
        (folder / "nothing.rs").write_text("fn main() {}\n")
        subprocess.run(["rustc", "-O", "-o", folder / "nothing", folder / "nothing.rs"], check=True)
        nothing = median([folder / "nothing"])
        version = median([tasset, "--version"])
        check = median([tasset, "check", flag])
        build = median([tasset, "build", flag, "--out", folder / "out"])
        print(f"{'':24}{'median ms':>12}{'to --version':>14}{'limit':>16}")
        for name, ms, limit, bad in [
            ("a program of nothing", nothing, "", False),
            ("tasset --version", version, "2 x nothing", version > 2 * nothing),
            ("check flag case", check, "20 ms", check > 20),
            ("build flag case", build, "300 ms", build > 300),
        ]:
            print(f"{name:24}{ms:12.2f}{ms / version:14.1f}{limit:>16}{'  BROKEN' if bad else ''}")
            broken += [name] if bad else []
        # A prop has 10,000 things at most: that many shells, or a shell and as many openings but one.
        for what, text, most in [("shells", shells, 10000), ("openings", openings, 9999)]:
            points = []
            for count in (10, 100, 1000, most):
                path = folder / f"{what}.prop"
                path.write_text(text(count))
                ms = median([tasset, "check", path], runs=3 if count > 1000 else 7)
                points.append((count, max(ms - version, 0.1)))
                print(f"check {count:6} {what:12}{ms:12.1f}{ms / version:14.1f}")
            # Of more than 1,000 pieces nothing is laid flat: of shells the slope is that of all, and of those that are.
            parts = [("log-log slope", points)] + ([("of pieces laid flat", points[:3])] if what == "shells" else [])
            for name, some in parts:
                grows = slope(some)
                print(f"{name:24}{grows:12.2f}{'':14}{'1.1':>16}{'  BROKEN' if grows > 1.1 else ''}")
                broken += [f"{name}, {what}"] if grows > 1.1 else []
    return 1 if broken else 0


sys.exit(main())
