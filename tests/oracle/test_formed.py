"""Walls formed from one piece, with numpy and scipy: the neutral profile by crossing lines, the cone that asks least of its
stock as a linear programme (scipy's HiGHS, its slack brought to nothing by Brent's method), and the arcs that ezdxf reads from
the cut file held against both. What is stretched is length formed over length cut, less one (engineering strain, as in any
handbook)."""

import math

import ezdxf
import ezdxf.math
import numpy as np
import pytest
from scipy.optimize import brentq, linprog

HEAD = """
prop case {{ title: "Case", of: soft }}
stock soft {{ as: foam, thick: {thick} mm, size: 3 m by 3 m, density: 95 kg/m3, neutral: {neutral} %, stretch: {stretch} %, squeeze: {squeeze} % }}
"""
# Thickness, neutral depth in percent, stretch and squeeze in percent, measured face, (height, girth) of the stations.
CASES = {
    "cuff": (4, 50, 8, 4, "inside", [(0, 236), (45, 228), (120, 262), (165, 306)]),
    "pot": (6, 40, 30, 5, "outside", [(0, 300), (30, 360), (70, 380), (110, 340)]),
    "bell": (3, 60, 25, 12, "middle", [(0, 260), (15, 290), (60, 300), (85, 320), (100, 390)]),
}


def neutral(stations, face, thick, share):
    """Distances from the axis and heights of the stations on the neutral surface."""
    points = np.array([[girth / (2 * math.pi), z] for z, girth in stations])
    inner = {"inside": 0.0, "outside": -thick, "middle": -0.5 * thick}[face]
    depth = inner + share / 100 * thick
    ways = np.diff(points, axis=0)
    ways /= np.linalg.norm(ways, axis=1)[:, None]
    normals = np.column_stack([ways[:, 1], -ways[:, 0]])
    moved = [points[0] + depth * normals[0]]
    for i in range(len(ways) - 1):
        # The point whose distance from both lines, along their normals, is the depth.
        moved.append(np.linalg.solve(normals[i : i + 2], normals[i : i + 2] @ points[i + 1] + depth))
    moved.append(points[-1] + depth * normals[-1])
    return np.array(moved)


def cone(along, girth, stretch, squeeze):
    """The straight line of girths that asks the least of the stock, and how many times its leave it takes."""

    def slack(t):
        low, high = girth / (1 + t * stretch), girth / (1 - t * squeeze)
        ones = np.ones_like(along)
        rows = np.vstack([np.column_stack([-ones, -along, ones]), np.column_stack([ones, along, ones])])
        found = linprog([0, 0, -1], A_ub=rows, b_ub=np.concatenate([-low, high]), bounds=[(None, None)] * 3, method="highs")
        assert found.success
        return found.x

    takes = brentq(lambda t: slack(t)[2], 0, 0.999 / squeeze, xtol=1e-12)
    foot, slope, _ = slack(takes)
    return foot + slope * along, takes


def arcs(line):
    """The pieces of a polyline: radius (none of a straight one), centre, length, ends."""
    points = list(line.get_points("xyb"))
    if line.closed:
        points.append(points[0])
    out = []
    for (ax, ay, bulge), (bx, by, _) in zip(points, points[1:]):
        a, b = np.array([ax, ay]), np.array([bx, by])
        chord = np.linalg.norm(b - a)
        if bulge == 0:
            out.append((None, None, chord, a, b))
            continue
        centre, _, _, radius = ezdxf.math.bulge_to_arc((ax, ay), (bx, by), bulge)
        out.append((radius, np.array([centre.x, centre.y]), radius * 4 * abs(math.atan(bulge)), a, b))
    return out


@pytest.mark.parametrize("name", CASES)
def test_a_formed_wall_is_cut_as_the_cone_that_asks_least_of_its_stock(built, name):
    thick, share, stretch, squeeze, face, stations = CASES[name]
    text = HEAD.format(thick=thick, neutral=share, stretch=stretch, squeeze=squeeze)
    where = ", ".join(f"at {z} mm: circle(around: {g} mm)" for z, g in stations)
    folder, report = built(f"{text}shell wall {{ made: formed, measured: {face}, {where} }}\n")
    profile = neutral(stations, face, thick, share)
    slants = np.linalg.norm(np.diff(profile, axis=0), axis=1)
    along = np.concatenate([[0], np.cumsum(slants)])
    girth = 2 * math.pi * profile[:, 0]
    cut, takes = cone(along, girth, stretch / 100, squeeze / 100)
    assert takes <= 1
    strain = girth / cut - 1

    # What the report says.
    [piece] = report["pieces"]
    rims = {e["name"]: e["formed"] for e in piece["edges"]}
    lines = [m["formed"] for m in sorted(piece["marks"], key=lambda m: m["name"])]
    told = [rims["bottom"], *lines, rims["top"]]
    assert [t["share"] for t in told] == pytest.approx(list(strain), abs=2e-6)
    assert [t["formed"] for t in told] == pytest.approx(list(girth), abs=1e-5)
    assert [t["cut"] for t in told] == pytest.approx(list(cut), abs=2e-4)
    assert [t["along"] for t in told] == pytest.approx(list(along), abs=1e-5)
    assert piece["formed"]["stretched"]["share"] == pytest.approx(max(strain), abs=2e-6)
    assert piece["formed"]["squeezed"]["share"] == pytest.approx(min(strain), abs=2e-6)

    # What is cut: arcs about one centre, as long as that, and as far apart as the wall's own slants.
    [sheet] = report["sheets"]
    [file] = [f for f in sheet["files"] if f.endswith(".dxf")]
    space = ezdxf.readfile(folder.parent / file).modelspace()
    [outline] = space.query('LWPOLYLINE[layer=="cut"]')
    rounds = [arcs(line) for line in space.query('LWPOLYLINE[layer=="form"]')]
    sides = [a for a in arcs(outline) if a[0] is None]
    assert len(sides) == 2
    assert [s[2] for s in sides] == pytest.approx([along[-1]] * 2, abs=0.01)
    rim = [a for a in arcs(outline) if a[0] is not None]
    middle = 0.5 * (min(a[0] for a in rim) + max(a[0] for a in rim))
    rounds += [[a for a in rim if a[0] < middle], [a for a in rim if a[0] > middle]]
    centre = np.mean([a[1] for line in rounds for a in line], axis=0)
    found = []
    for line in rounds:
        ends = np.array([p for a in line for p in a[3:]])
        found.append((np.linalg.norm(ends - centre, axis=1).mean(), sum(a[2] for a in line)))
    found.sort()
    asked = sorted(zip(abs(cut[0] / (cut[-1] - cut[0]) * along[-1] + along), cut), key=lambda f: f[1])
    assert [f[1] for f in found] == pytest.approx([g for _, g in asked], abs=0.02)
    radii = np.array([f[0] for f in found])
    assert list(np.diff(radii)) == pytest.approx(list(np.diff([r for r, _ in asked])), abs=0.05)

    # The mass is that of what is cut, and its middle lies where the evenly cut sheet comes to lie.
    area = np.sum(slants * 0.5 * (cut[1:] + cut[:-1]))
    assert piece["mass"] == pytest.approx(area * thick * 95e-6, rel=1e-5)
    t = np.linspace(0, along[-1], 200_001)
    weight = np.interp(t, along, cut)
    height = np.interp(t, along, profile[:, 1])
    assert report["centre"]["empty"][2] == pytest.approx(np.trapezoid(weight * height, t) / np.trapezoid(weight, t), abs=1e-3)
