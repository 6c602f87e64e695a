"""Covers against a development that shares nothing with the program (`unroll.py`): the folds lie on the rims' lines of the
wall at the cover's own depth, the turn is as wide as asked (shapely's distance), and every tab between two cuts is, at
every distance from the fold, within 1 mm as long as what it is turned in onto: shapely's parallel of the inner face's own
development."""

import math

import ezdxf
import numpy as np
import pytest
import shapely

from test_coordinates import arc, oval
from unroll import Ellipse, flatten, parallel, rules

FOAM, CLOTH, TURN = 5.0, 0.4, 18.0

CASES = {
    # The flag case of the language brief.
    "flag case": (Ellipse(35, 52.5), oval(420, 1.5), "oval(across: 105 mm by 70 mm)", "oval(around: 42 cm, ratio: 3:2)", 385, 180),
    "tube": (Ellipse(55, 55), Ellipse(55, 55), "circle(across: 110 mm)", "circle(across: 110 mm)", 120, 40),
    # A cone with a flare of 20°: turned in at the narrow end, cloth has too little.
    "flare": (Ellipse(40, 40), Ellipse(84, 84), "circle(across: 80 mm)", "circle(across: 168 mm)", 121, 0),
}


def lines(folder, report, name):
    """Closed and open lines of one piece by layer."""
    [sheet] = [s for s in report["sheets"] if s["stock"] == "twill"]
    [path] = [p for p in sheet["files"] if p.endswith(".dxf")]
    found = {"cut": [], "fold": [], "slit": []}
    for e in ezdxf.readfile(folder.parent / path).modelspace():
        layer = e.dxf.layer
        if layer not in ("cut", "fold", "slit"):
            continue
        if e.dxftype() == "LINE":
            points = [(e.dxf.start.x, e.dxf.start.y), (e.dxf.end.x, e.dxf.end.y)]
            closed = False
        elif e.dxftype() == "ARC":
            points = [(p.x, p.y) for p in e.flattening(1e-5)]
            closed = False
        else:
            corners = list(e.get_points("xyb"))
            closed = e.is_closed
            pairs = zip(corners, corners[1:] + (corners[:1] if closed else []))
            points = [(p.real, p.imag) for (x, y, b), (u, v, _) in pairs for p in arc(complex(x, y), complex(u, v), b)]
            if not closed:
                points.append(corners[-1][:2])
        found[layer].append(np.array(points))
    return found


def onto(points, target):
    """The motion (no mirror) that takes points onto a target by least squares."""
    ca, cb = points.mean(axis=0), target.mean(axis=0)
    u, _, vt = np.linalg.svd((points - ca).T @ (target - cb))
    r = vt.T @ np.diag([1, np.linalg.det(vt.T @ u.T)]) @ u.T
    return lambda p: (p - ca) @ r.T + cb


@pytest.mark.parametrize("name", CASES)
def test_cover_lies_on_the_outside_development(built, name):
    lower, upper, below, above, tall, facing = CASES[name]
    folder, report = built(
        f"""
prop case {{ title: "Case" }}
stock sheet {{ as: foam, thick: {FOAM} mm, size: 1500 mm by 1500 mm, density: 100 kg/m3 }}
shell wall {{ of: sheet, at 0 mm: {below}, at {tall} mm: {above}, seam: butt(facing: {facing} deg), rim: level }}
cover hide on wall {{ of: twill, turn: {TURN} mm }}
"""
    )
    a, b, normal = rules(lower, upper, tall, math.radians(facing), 4001)

    def face(depth):
        """Both rims of the wall at a depth."""
        return parallel(a, b, normal, tall, depth)[:2]

    outside, inside = face(CLOTH / 2), face(-FOAM - CLOTH / 2)
    middle, inner = flatten(*outside), flatten(*inside)
    # Over a level rim's end face.
    over = [np.linalg.norm(p - q, axis=1).mean() for p, q in zip(outside, inside)]
    drawn = lines(folder, report, "hide")
    [outline] = drawn["cut"]
    assert len(drawn["fold"]) == 2
    # The folds run as the contour does: the lower one with the walk, the upper one against it.
    expected = [middle[0], middle[1][::-1]]
    ends = np.array([e[k] for e in expected for k in (0, -1)])
    tries = []
    for first in (0, 1):
        here = np.array([drawn["fold"][i][k] for i in (first, 1 - first) for k in (0, -1)])
        move = onto(here, ends)
        tries.append((np.linalg.norm(move(here) - ends), first, move))
    off, first, move = min(tries, key=lambda t: t[0])
    assert off < 0.02
    folds = [move(drawn["fold"][i]) for i in (first, 1 - first)]
    for fold, line in zip(folds, expected):
        reach = shapely.distance(shapely.LineString(line), shapely.points(fold))
        assert reach.max() <= 0.006, reach.max()
        assert shapely.LineString(fold).length == pytest.approx(shapely.LineString(line).length, abs=0.01)

    piece = shapely.Polygon(move(outline))
    assert piece.is_valid
    core = shapely.Polygon(np.vstack([folds[0], folds[1]]))
    band = piece.difference(core.buffer(1e-6))
    # A little beyond their ends, which are rounded as the outline is.
    slits = [shapely.LineString([q + 1.01 * (p - q), p + 1.01 * (q - p)]).buffer(1e-4) for p, q in map(move, drawn["slit"])]
    counted = 0
    for rim, fold in enumerate(folds):
        line = shapely.LineString(fold)
        here = band.intersection(line.buffer(TURN + 1.0))
        corners = shapely.get_coordinates(here)
        assert shapely.distance(line, shapely.points(corners)).max() == pytest.approx(TURN, abs=0.02)
        tabs = here.difference(line.buffer(2.05)).difference(shapely.union_all(slits))
        tabs = [t for t in shapely.get_parts(tabs) if t.area > 1.0]
        counted += len(tabs) - 1
        worst = check(tabs, line, expected[rim], inner[0] if rim == 0 else inner[1][::-1], over[rim])
        assert worst <= 1.02, worst
    said = sum(int(e["bevel"].split(", ")[1].split()[0]) for p in report["pieces"] for e in p["edges"] if " cut" in e["bevel"].split(";")[-1])
    assert counted == said


def check(tabs, line, rim, face, over):
    """The most that a tab differs from what it lies on, at distances beyond the end face."""
    worst = 0.0
    stations = shapely.line_locate_point(shapely.LineString(rim), shapely.points(rim))
    order = []
    for tab in tabs:
        roots = shapely.line_locate_point(line, shapely.points(shapely.get_coordinates(tab.intersection(line.buffer(2.2)))))
        order.append((roots.min(), roots.max(), tab))
    order.sort(key=lambda t: t[0])
    middles = [0.5 * (p[1] + q[0]) for p, q in zip(order, order[1:])]
    bounds = [0.0, *middles, line.length]
    for x in (8.0, 12.0, 15.0, TURN - 0.01):
        # The piece lies to the left of its contour, the turn to its right.
        free = line.offset_curve(-x)
        for (_, _, tab), s0, s1 in zip(order, bounds, bounds[1:]):
            i, j = np.searchsorted(stations, [s0, s1])
            part = face[max(i - 1, 0) : j + 1]
            if len(part) < 2:
                continue
            lies = shapely.LineString(part).offset_curve(x - over).length
            # Exactly from bound to bound.
            lies *= (s1 - s0) / (stations[min(j, len(stations) - 1)] - stations[max(i - 1, 0)])
            worst = max(worst, abs(free.intersection(tab).length - lies))
    return worst
