"""Cut lines against a development that shares nothing with the program (`unroll.py`): every point of the DXF contour
within 0.006 mm of the expected line and back, edge lengths within 0.01 mm, area within 1e-5."""

import math

import ezdxf
import numpy as np
import pytest
import shapely
from scipy.special import ellipe

from unroll import Ellipse, neutral_feet


def oval(girth, ratio):
    """Half-axes front to back and left to right of an ellipse of this girth: 4 a E(1 - b²/a²), Abramowitz & Stegun
    1964, ch. 17."""
    b = girth / (4 * ratio * ellipe(1 - 1 / ratio**2))
    return Ellipse(b, ratio * b)


CASES = {
    # The flag case of the language brief, both rims level.
    "flag case": (Ellipse(35, 52.5), oval(420, 1.5), "oval(across: 105 mm by 70 mm)", "oval(around: 42 cm, ratio: 3:2)", 385, 180, 5.0, 0.5),
    # One oval turned against the other, thick foam, neutral off the middle, seam to the left front.
    "crossed": (Ellipse(60, 40), Ellipse(50, 90), "oval(across: 80 mm by 120 mm)", "oval(across: 180 mm by 100 mm)", 240, 50, 8.0, 0.4),
    # A cone with a 20° flare.
    "flare": (Ellipse(40, 40), Ellipse(84, 84), "circle(across: 80 mm)", "circle(across: 168 mm)", 121, 0, 5.0, 0.5),
    # Thin card narrowing upward.
    "card": (Ellipse(70, 50), Ellipse(30, 30), "oval(across: 100 mm by 140 mm)", "circle(across: 60 mm)", 150, 270, 0.5, 0.5),
}


@pytest.mark.parametrize("version", ["r2000", "r12"])
@pytest.mark.parametrize("name", CASES)
def test_contour_lies_on_the_outside_development(built, name, version):
    lower, upper, below, above, tall, facing, thick, neutral = CASES[name]
    folder, report = built(
        f"""
prop case {{ title: "Case", of: sheet }}
stock sheet {{ as: foam, thick: {thick} mm, size: 1500 mm by 1500 mm, density: 100 kg/m3, neutral: {neutral * 100} % }}
shell wall {{ at 0 mm: {below}, at {tall} mm: {above}, seam: butt(facing: {facing} deg), rim: level }}
""",
        "--dxf",
        version,
    )
    curves = neutral_feet(lower, upper, tall, math.radians(facing), thick, neutral)
    expected = contour(curves)
    [piece] = report["pieces"]
    ring = dxf_contour(folder, report, piece)
    moved = registered(ring, expected)
    assert farthest(moved, expected) <= 0.006
    assert farthest(expected[::7], moved) <= 0.006
    area = shapely.Polygon(expected).area
    assert piece["area"] == pytest.approx(area, rel=1e-5)
    assert shapely.Polygon(moved).area == pytest.approx(area, rel=1e-5)
    by_name = {e["edge"] if "edge" in e else e["name"]: e for e in piece["edges"]}
    for end, edge in (("lower", "bottom"), ("upper", "top")):
        for face in ("inside", "outside"):
            assert by_name[edge][face] == pytest.approx(curves[f"{face} {end} girth"], abs=0.01)


def farthest(points, ring):
    """The largest distance of a point from a closed chain of straight lines."""
    segments = shapely.linestrings(np.stack([ring, np.roll(ring, -1, axis=0)], axis=1))
    tree = shapely.STRtree(segments)
    _, distances = tree.query_nearest(shapely.points(points), return_distance=True, all_matches=False)
    return distances.max()


def contour(curves):
    """The line that is cut: at each rim the outermost of its faces' feet, or half-depth where they differ by less
    than 0.3 mm everywhere (the program's documented rule)."""
    rims = []
    for end, side in (("lower", -1), ("upper", 1)):
        inside, outside = curves[f"inside {end}"], curves[f"outside {end}"]
        rule = curves["neutral upper"] - curves["neutral lower"]
        up = np.einsum("ij,ij->i", outside - inside, rule) / np.linalg.norm(rule, axis=1)
        if abs(up).max() < 0.3:
            rims.append(curves[f"middle {end}"])
        else:
            rims.append(np.where((side * up > 0)[:, None], outside, inside))
    return np.vstack([rims[0], rims[1][::-1]])


def dxf_contour(folder, report, piece):
    """The piece's outline as the DXF has it, flattened far finer than it is held to."""
    [sheet] = report["sheets"]
    [path] = [p for p in sheet["files"] if p.endswith(".dxf")]
    drawing = ezdxf.readfile(folder.parent / path)
    assert not drawing.audit().has_errors
    outlines = [e for e in drawing.modelspace() if e.dxf.layer == "cut"]
    [outline] = outlines
    assert outline.is_closed
    if outline.dxftype() == "LWPOLYLINE":
        corners = [(x, y, b) for x, y, b in outline.get_points("xyb")]
    else:
        corners = [(v.dxf.location.x, v.dxf.location.y, v.get_dxf_attrib("bulge", 0.0)) for v in outline.vertices]
    points = []
    for (x, y, bulge), (x2, y2, _) in zip(corners, corners[1:] + corners[:1]):
        points.extend(arc(complex(x, y), complex(x2, y2), bulge))
    return np.array([(p.real, p.imag) for p in points])


def arc(a, b, bulge):
    """Points from `a` (with) to `b` (without) along a bulge: tan of a quarter of the arc's angle, positive to the left
    (DXF Reference, LWPOLYLINE group 42)."""
    if bulge == 0:
        return [a]
    centre = (a + b) / 2 + 1j * (b - a) * (1 - bulge**2) / (4 * bulge)
    sweep = 4 * math.atan(bulge)
    steps = max(2, math.ceil(abs(sweep) / 0.002))
    return [centre + (a - centre) * complex(math.cos(sweep * k / steps), math.sin(sweep * k / steps)) for k in range(steps)]


def registered(points, expected):
    """The outline turned and moved (never mirrored) onto the expected one: first by its corners, then by least
    squares on nearest points."""

    def corners(p):
        p = p[np.concatenate([[True], np.linalg.norm(np.diff(p, axis=0), axis=1) > 1e-9])]
        d = np.diff(np.vstack([p[-1:], p, p[:1]]), axis=0)
        a = np.arctan2(d[:, 1], d[:, 0])
        turn = np.abs((np.diff(a) + np.pi) % (2 * np.pi) - np.pi)
        return p[np.sort(np.argsort(turn)[-4:])]

    def fit(a, b):
        ca, cb = a.mean(axis=0), b.mean(axis=0)
        u, _, vt = np.linalg.svd((a - ca).T @ (b - cb))
        r = vt.T @ np.diag([1, np.linalg.det(vt.T @ u.T)]) @ u.T
        return r, cb - r @ ca

    here, there = corners(points), corners(expected)
    assert len(here) == len(there) == 4
    tries = []
    for k in range(4):
        r, t = fit(np.roll(here, k, axis=0), there)
        # Corners alone do not tell an outline from itself turned by half a turn where both rims are of one length.
        tries.append((farthest(points @ r.T + t, expected), r, t))
    _, r, t = min(tries, key=lambda x: x[0])
    moved = points @ r.T + t
    # A few hundred even places are enough to settle three numbers, and all of them would take minutes.
    # (Both rims with their ends: a corner left out would pull the rest askew.)
    half = len(expected) // 2
    line = shapely.LineString(np.vstack([expected[:half:20], expected[half::20], expected[:1]]))
    for _ in range(6):
        ring = shapely.LineString(np.vstack([moved, moved[:1]]))
        even = shapely.get_coordinates(shapely.line_interpolate_point(ring, np.linspace(0, ring.length, 400)))
        on_line = shapely.line_interpolate_point(line, shapely.line_locate_point(line, shapely.points(even)))
        r, t = fit(even, shapely.get_coordinates(on_line))
        moved = moved @ r.T + t
    return moved
