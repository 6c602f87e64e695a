#!/usr/bin/env python3
"""One picture of all forms: each prop of `examples/forms/` as it stands when put together, and its pieces as they lie on
their first sheet. Written as a PNG to look at; a form that does not build is named in its place, and the exit code is 1.

    python tests/oracle/contact_sheet.py [--tasset target/release/tasset] [--out target/forms.png] [FORM…]
"""

import argparse
import base64
import html
import pathlib
import re
import subprocess
import sys
import tempfile

import resvg_py
import svgelements

ROOT = pathlib.Path(__file__).resolve().parents[2]
# A cell, in pixels: a picture and a sheet side by side below a line of text.
WIDE, HIGH, LINE, COLUMNS = 520, 300, 26, 3


def drawn(svg, **more):
    """The PNG of a drawing; words need a font of the machine's."""
    return bytes(resvg_py.svg_to_bytes(svg_string=svg, dpi=96, background="white", sans_serif_family="DejaVu Sans", **more))


def close(svg):
    """A cut file seen from near at hand: only what lies on the sheet, its lines thick enough to be seen when small."""
    groups = re.findall(r'<g data-operation="(?:cut|hole)[^>]*>(.*?)</g>', svg, re.S)
    # With its arcs, which reach past their ends.
    boxes = [svgelements.Path(d).bbox() for group in groups for d in re.findall(r' d="([^"]*)"', group)]
    left, top = (min(box[i] for box in boxes) - 8 for i in (0, 1))
    wide, high = (max(box[i + 2] for box in boxes) + 8 - low for i, low in ((0, left), (1, top)))
    thick = max(wide, high) / 250
    svg = re.sub(r'stroke-width="([0-9.]+)"', lambda m: f'stroke-width="{thick * float(m[1]) / 0.35:.3f}"', svg)
    svg = re.sub(r'viewBox="[^"]*"', f'viewBox="{left} {top} {wide} {high}"', svg, count=1)
    return re.sub(r'(height|width)="[0-9.]+mm"', lambda m: f'{m[1]}="{high if m[1] == "height" else wide}mm"', svg, count=2)


def png(svg, width, height):
    """A drawing as an image element that fits the given room."""
    data = drawn(svg, width=int(width * 2))
    return (
        f'<image width="{width}" height="{height}" preserveAspectRatio="xMidYMid meet" '
        f'href="data:image/png;base64,{base64.b64encode(data).decode()}"/>'
    )


def cell(tasset, form, folder):
    """What one form looks like, and whether it was built."""
    out = folder / form.stem
    done = subprocess.run(
        [tasset, "build", form, "--effort", "quick", "--out", out], capture_output=True, text=True, timeout=600
    )
    title = form.stem.replace("-", " ")
    pictures = sorted(out.glob("*/picture.svg")) + sorted(out.glob("picture.svg"))
    unbuilt = "not built yet" in done.stdout + done.stderr
    if done.returncode != 0 or not pictures or unbuilt:
        text = html.escape((done.stderr or done.stdout).strip().splitlines()[0][:90])
        return f'<text x="8" y="18" fill="#a00">{title}: {text}</text>', False
    sheets = sorted(pictures[0].parent.glob("cut/*.svg"))
    half = WIDE / 2 - 8
    picture = png(pictures[0].read_text(), half, HIGH - LINE)
    sheet = png(close(sheets[0].read_text()), half, HIGH - LINE) if sheets else ""
    more = f", 1 of {len(sheets)} sheets" if len(sheets) > 1 else ""
    return (
        f'<text x="8" y="18">{title}{more}</text>'
        f'<g transform="translate(4 {LINE})">{picture}</g><g transform="translate({WIDE / 2 + 4} {LINE})">{sheet}</g>',
        True,
    )


def main():
    words = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    words.add_argument("--tasset", default=ROOT / "target" / "release" / "tasset")
    words.add_argument("--out", type=pathlib.Path, default=ROOT / "target" / "forms.png")
    words.add_argument("forms", nargs="*", help="names of forms; all of them where none is given")
    given = words.parse_args()
    forms = sorted((ROOT / "examples" / "forms").glob("*.prop"))
    forms = [f for f in forms if not given.forms or f.stem in given.forms]
    cells, good = [], 0
    with tempfile.TemporaryDirectory() as folder:
        for form in forms:
            look, built = cell(given.tasset, form, pathlib.Path(folder))
            good += built
            at = len(cells)
            cells.append(f'<g transform="translate({at % COLUMNS * WIDE} {at // COLUMNS * HIGH})">{look}</g>')
    rows = -(-len(cells) // COLUMNS)
    sheet = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{COLUMNS * WIDE}" height="{rows * HIGH}" '
        f'font-family="sans-serif" font-size="15">{"".join(cells)}</svg>'
    )
    given.out.parent.mkdir(parents=True, exist_ok=True)
    given.out.write_bytes(drawn(sheet))
    print(f"{given.out.name}: {good} of {len(forms)} forms")
    return 0 if good == len(forms) else 1


if __name__ == "__main__":
    sys.exit(main())
