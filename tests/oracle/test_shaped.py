"""Shaped edges against a development that shares nothing with the program: generatrices of the hull of both level sections,
lengths along the measured face's rims summed over chords, falls laid off along the generatrices, and the feet of the cut
flattened as a strip of triangles (`unroll.py`)."""

import math

import numpy as np
import pytest
import shapely
from scipy.interpolate import PchipInterpolator

from test_coordinates import contour, dxf_contour, farthest
from test_sloped import case
from unroll import Ellipse, cross_area, flatten, rules


def crenels(s, around, crest, count, rise):
    u = ((s - crest) / around * count + 0.25) % 1.0
    return np.where(u < 0.5, 0.0, rise)


def wave(s, around, crest, count, rise):
    return rise * np.sin(math.pi * (s - crest) / around * count) ** 2


def point(s, around, crest, count, rise):
    u = ((s - crest) / around * count) % 1.0
    return rise * 2 * np.minimum(u, 1 - u)


def scallops(s, around, crest, count, rise):
    half = 0.5 * around / count
    x = ((s - crest + half) % (2 * half)) - half
    radius = (half**2 + rise**2) / (2 * rise)
    return radius - np.sqrt(radius**2 - x**2)


FIGURES = {"crenels": crenels, "wave": wave, "point": point, "scallops": scallops}


def length(edge, rim):
    """Of a chain; where it jumps along a generatrix between two of its points it goes up (or down) and on, not across."""
    chords, steps = (np.linalg.norm(np.diff(p, axis=0), axis=1) for p in (edge, rim))
    return np.where(chords > 1, chords + steps, chords).sum()


def shaped(lower, upper, rise, seam, thick, figures, count=480001):
    """The neutral flat of a wall measured outside whose rims are cut to figures: each a function, how many, how deep and
    the direction of a crest."""
    cuts = [("lower", 0, *figures[0]), ("upper", 1, *figures[1])]
    return developed(lower, upper, rise, seam, (-thick, 0.0), cuts, count)


def developed(lower, upper, rise, seam, depths, cuts, count=480001):
    """The neutral flat of a sheet between two depths on a wall: each cut has its name, the rim from which it falls into the
    wall (0 the lower), its figure, how many, how deep and the direction of a crest."""
    phi = np.linspace(seam, seam + 2 * np.pi, count)
    a, b, normal = rules(lower, upper, rise, seam, count)
    along = (b - a) / np.linalg.norm(b - a, axis=1)[:, None]
    neutral = 0.5 * (depths[0] + depths[1])
    # A strip between the level rims carries the feet: its own generatrices do not move.
    na, nb = a + neutral * normal, b + neutral * normal
    flat_a, flat_b = flatten(na, nb)
    rule = (flat_b - flat_a) / np.linalg.norm(flat_b - flat_a, axis=1)[:, None]
    curves = {}
    for name, which, figure, n, deep, facing in cuts:
        rim, up = (b, -1.0) if which else (a, 1.0)
        s = np.concatenate([[0], np.cumsum(np.linalg.norm(np.diff(rim, axis=0), axis=1))])
        crest = np.interp((facing - seam) % (2 * np.pi), phi - seam, s)
        cut = rim + along * (up * figure(s, s[-1], crest, n, deep))[:, None]
        foot = cut + neutral * normal
        flat = flat_a + np.einsum("ij,ij->i", foot - na, along)[:, None] * rule
        for face, depth in (("inside", depths[0]), ("middle", neutral), ("outside", depths[1])):
            curves[f"{face} {name}"] = flat
            edge = cut + depth * normal
            curves[f"{face} {name} girth"] = length(edge, rim + depth * normal)
        curves[f"neutral {name}"] = flat
    curves["neutral area"] = 0.5 * abs(cross_area(np.vstack([curves["neutral lower"], curves["neutral upper"][::-1]])))
    return curves


def axes(p):
    """The middle of an outline's area and the direction in which it is longest."""
    q = np.roll(p, -1, axis=0)
    double = p[:, 0] * q[:, 1] - q[:, 0] * p[:, 1]
    middle = ((p + q) * double[:, None]).sum(axis=0) / (3 * double.sum())
    p, q = p - middle, q - middle
    xx, yy = (((p**2 + p * q + q**2) * double[:, None]).sum(axis=0) / 12).tolist()
    xy = ((2 * p[:, 0] * p[:, 1] + p[:, 0] * q[:, 1] + q[:, 0] * p[:, 1] + 2 * q[:, 0] * q[:, 1]) * double).sum() / 24
    return middle, 0.5 * math.atan2(2 * xy, xx - yy)


def laid_on(points, expected):
    """The outline turned and moved (never mirrored) so that middles and long axes agree, the better way round."""
    (here, a), (there, b) = axes(points), axes(expected)
    tries = []
    for turn in (b - a, b - a + math.pi):
        c, s = math.cos(turn), math.sin(turn)
        tries.append((points - here) @ np.array([[c, s], [-s, c]]) + there)
    return min(tries, key=lambda p: farthest(p[::50], expected))


def check(folder, report, curves, part="wall"):
    expected = contour(curves)
    [piece] = [p for p in report["pieces"] if p["part"] == part]
    moved = laid_on(dxf_contour(folder, report, piece), expected)
    assert farthest(moved, expected) <= 0.006
    assert farthest(expected[::29], moved) <= 0.006
    assert piece["area"] == pytest.approx(shapely.Polygon(expected).area, rel=1e-5)
    by_name = {e["name"]: e for e in piece["edges"]}
    for end, edge in (("lower", "bottom"), ("upper", "top")):
        for face in ("inside", "outside"):
            assert by_name[edge][face] == pytest.approx(curves[f"{face} {end} girth"], abs=0.01)


@pytest.mark.parametrize(
    ("top", "bottom"),
    [
        (("crenels", 7, 12, 0), ("wave", 5, 9, 60)),
        (("point", 5, 22, 200), ("scallops", 9, 10, 0)),
        (("wave", 4, 25, 30), ("crenels", 6, 8, 20)),
    ],
)
def test_a_shaped_wall_lies_on_the_outside_development(built, top, bottom):
    def words(edge, on):
        sort, count, deep, facing = edge
        return f"edge {on}_figure on wall.{on} {{ as: {sort}, count: {count}, rise: {deep} mm, facing: {facing} deg }}\n"

    folder, report = built(
        case(3)
        + """
shell wall {
    at 0 mm: oval(across: 90 mm by 130 mm)
    at 110 mm: circle(across: 150 mm)
    seam: butt(facing: 200 deg)
}
"""
        + words(top, "top")
        + words(bottom, "bottom")
    )
    figures = [(FIGURES[s], n, deep, math.radians(facing)) for s, n, deep, facing in (bottom, top)]
    curves = shaped(Ellipse(65, 45), Ellipse(75, 75), 110, math.radians(200), 3.0, figures)
    check(folder, report, curves)


def test_a_curve_is_scipys_own_monotone_interpolant(built):
    """Through spots of a cone's rims, laid out three times round so that it comes round (Fritsch and Butland 1984, as
    `scipy.interpolate.PchipInterpolator` has it)."""

    def curve(spots):
        def fall(s, around, crest, count, rise):
            at = np.array([crest + around * degrees / 360 for degrees, _ in spots]) % around
            order = np.argsort(at)
            down = np.array([down for _, down in spots])[order]
            at = at[order]
            return PchipInterpolator(np.concatenate([at + k * around for k in (-1, 0, 1)]), np.tile(down, 3))(s)

        return fall

    def words(spots, on):
        path = ", ".join(f"front + {degrees} deg by {down} mm" for degrees, down in spots)
        return f"edge {on}_figure on wall.{on} {{ as: curve, path: [{path}] }}\n"

    top, bottom = [(0, 0), (70, 14), (150, 9), (240, 26)], [(20, 5), (130, 0), (200, 11)]
    folder, report = built(
        case(3)
        + """
shell wall {
    at 0 mm: circle(across: 110 mm)
    at 110 mm: circle(across: 150 mm)
    seam: butt(facing: 200 deg)
}
"""
        + words(top, "top")
        + words(bottom, "bottom")
    )
    figures = [(curve(bottom), 1, 0, 0.0), (curve(top), 1, 0, 0.0)]
    curves = shaped(Ellipse(55, 55), Ellipse(75, 75), 110, math.radians(200), 3.0, figures)
    check(folder, report, curves)


@pytest.mark.parametrize("sort, count, deep, on", [("wave", 5, 14, "top"), ("crenels", 7, 10, "top"), ("scallops", 8, 9, "bottom")])
def test_a_band_along_a_shaped_edge_lies_on_the_outside_development(built, sort, count, deep, on):
    """Each of its edges is the figure, moved along the generatrices: 4 mm past the edge and 24 mm farther in."""
    wide, past, thick = 28, 4, 2.0
    folder, report = built(
        case(3)
        + f"""
stock strip {{ as: foam, thick: {thick} mm, size: 1500 mm by 1500 mm, density: 100 kg/m3 }}
shell wall {{
    at 0 mm: oval(across: 90 mm by 130 mm)
    at 110 mm: circle(across: 150 mm)
    seam: butt(facing: 200 deg)
}}
edge figure on wall.{on} {{ as: {sort}, count: {count}, rise: {deep} mm }}
border trim on wall.{on} {{ as: band, of: strip, wide: {wide} mm, rise: {past} mm, seam: butt(facing: 200 deg) }}
"""
    )
    moved = lambda by: lambda *of: FIGURES[sort](*of) + by
    edge, inner = (moved(-past), moved(wide - past))
    at_top = on == "top"
    names = ("upper", "lower") if at_top else ("lower", "upper")
    cuts = [(name, int(at_top), figure, count, deep, 0.0) for name, figure in zip(names, (edge, inner))]
    curves = developed(Ellipse(65, 45), Ellipse(75, 75), 110, math.radians(200), (0.0, thick), cuts)
    report["sheets"] = [sheet for sheet in report["sheets"] if sheet["stock"] == "strip"]
    check(folder, report, curves, part="trim")


@pytest.mark.parametrize("across", [(90, 90), (100, 130)])
@pytest.mark.parametrize("figure, count, rise", [("crenels", 8, 9), ("point", 7, 14), ("scallops", 9, 8)])
def test_cords_beside_corners_are_as_long_as_shapelys_parallel(built, across, figure, count, rise):
    """At the cord's depth a cone's flat is a sector (a tube's a rectangle), on which lengths up the generatrices are those of
    the measured face and ways round are longer; the cord's middle is the outline of the wall there less half its thickness."""
    cord, tall = 4.0, 100.0
    folder, report = built(
        f"""prop p {{ title: "P", of: f5 }}
stock f5 {{ as: foam, thick: 5 mm, size: 1000 mm by 1000 mm, density: 95 kg/m3 }}
supply rope {{ as: cord, across: {cord} mm }}
shell tube {{
    measured: outside
    at 0 mm: circle(across: {across[0]} mm)
    at {tall} mm: circle(across: {across[1]} mm)
}}
edge e on tube.top {{ as: {figure}, count: {count}, rise: {rise} mm, facing: front }}
border c on tube.top {{ as: cord, of: rope }}
"""
    )
    [run] = report["runs"]
    lean = math.atan((across[1] - across[0]) / 2 / tall)
    rim, depth = across[1] / 2, cord / 2
    # Twice round, of which the middle half is measured.
    s = np.linspace(-math.pi * rim, 3 * math.pi * rim, 24_001)
    # With the corners: teeth have them a quarter, points and tongues a half of a figure beside a crest.
    corners = 0.25 * np.arange(-2 * count, 6 * count) * 2 * math.pi * rim / count
    s = np.sort(np.concatenate([s, corners - 1e-7, corners + 1e-7]))
    fall = FIGURES[figure](s, 2 * math.pi * rim, 0.0, count, rise)
    if lean == 0:
        flat = lambda s, up: np.column_stack([s / rim * (rim + depth), up])
    else:
        slant = rim / math.sin(lean) + depth / math.tan(lean)
        flat = lambda s, up: np.column_stack(
            [(slant + up) * np.sin(s / rim * math.sin(lean)), (slant + up) * np.cos(s / rim * math.sin(lean))]
        )
    body = shapely.Polygon(np.concatenate([flat(s, -fall), flat(s[::-1], np.full(len(s), -60.0))]))
    middle = body.buffer(-depth, quad_segs=64)
    # Between two generatrices half a figure beside a crest, and above the other side.
    start = 0.5 * 2 * math.pi * rim / count
    one = np.linspace(start, start + 2 * math.pi * rim, 2_001)
    window = shapely.Polygon(np.concatenate([flat(one, np.full(len(one), 20.0)), flat(one[::-1], np.full(len(one), -40.0))]))
    long = shapely.intersection(middle.boundary, window).length
    assert run["along"] == pytest.approx(long, abs=0.01)
