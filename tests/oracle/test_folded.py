"""Walls folded from one strip, folded up again with numpy and scipy: the outline and the pricked grooves as ezdxf reads them
from the cut file, the turns from the planes of the frustum's own faces. Each face is carried about the line in which the
faces of its groove meet; the corners it so comes to are those of the frustum, laid on them by the best rigid motion."""

import math

import ezdxf
import numpy as np
import pytest
from scipy.spatial.transform import Rotation

HEAD = """
prop case {{ title: "Case", of: sheet }}
stock sheet {{ as: foam, thick: {thick} mm, size: 3 m by 3 m, density: 100 kg/m3, neutral: {neutral} % }}
"""


def polygon(sides, across, z):
    """The corners of a regular polygon on a circle of this width, the middle of a side to the front."""
    radius = 0.5 * across
    turns = [(2 * i + 1) * math.pi / sides for i in range(sides)]
    return np.array([[radius * math.cos(t), radius * math.sin(t), z] for t in turns])


def read(folder, report):
    """The outline's corners, and the pricks of the other face, of the only sheet."""
    [sheet] = report["sheets"]
    [name] = [f for f in sheet["files"] if f.endswith(".dxf")]
    space = ezdxf.readfile(folder.parent / name).modelspace()
    [outline] = space.query('LWPOLYLINE[layer=="cut"]')
    assert all(bulge == 0 for *_, bulge in outline.get_points("xyb"))
    pricks = []
    for line in space.query('*[layer=="place"]'):
        parts = line.virtual_entities() if line.dxftype() == "LWPOLYLINE" else [line]
        for part in parts:
            pricks.append(0.5 * (np.array(part.dxf.start)[:2] + np.array(part.dxf.end)[:2]))
    unique = []
    for p in pricks:
        if all(np.linalg.norm(p - q) > 0.01 for q in unique):
            unique.append(p)
    return np.array(outline.get_points("xy")), np.array(unique)


def lines(points, step):
    """Points that stand a step apart belong to one line: each line as its two ends, all leading one way."""
    left = list(range(len(points)))
    out = []
    while left:
        group = [left.pop()]
        for i in group:
            near = [j for j in left if abs(np.linalg.norm(points[i] - points[j]) - step) < 0.02]
            group += near
            left = [j for j in left if j not in near]
        ends = points[group]
        far = max(((a, b) for a in ends for b in ends), key=lambda e: np.linalg.norm(e[1] - e[0]))
        out.append(far)
    return out


def cross(p, d, q, e):
    """Where the lines through p along d and through q along e meet."""
    s, _ = np.linalg.solve(np.array([d, -e]).T, q - p)
    return p + s * d


def right(v):
    return np.array([v[1], -v[0]])


def faces_of(outline, grooves, up, long):
    """The strip's faces from left to right, each by its sides from bottom to top: its ends are as long as its folds."""
    way = right(up)
    grooves = sorted(((a, b) if (b - a) @ up > 0 else (b, a) for a, b in grooves), key=lambda g: 0.5 * (g[0] + g[1]) @ way)
    ends = []
    n = len(outline)
    for i in range(n):
        a, b = outline[i], outline[(i + 1) % n]
        if abs(np.linalg.norm(b - a) - long) < 3:
            ends.append((a, b) if (b - a) @ up > 0 else (b, a))
    ends = sorted(ends, key=lambda g: 0.5 * (g[0] + g[1]) @ way)
    assert len(ends) == 2, ends
    sides = [ends[0], *grooves, ends[1]]
    return [(sides[2 * i], sides[2 * i + 1]) for i in range(len(sides) // 2)]


def rim(outline, middle, up, lower):
    """The outline's edge below or above a place: a point of it and its way."""
    best = None
    n = len(outline)
    for i in range(n):
        a, b = outline[i], outline[(i + 1) % n]
        d = b - a
        if abs(right(up) @ d) < 1e-9:
            continue
        s = right(up) @ (middle - a) / (right(up) @ d)
        if not 0 <= s <= 1:
            continue
        p = a + s * d
        beyond = (p - middle) @ up * (-1 if lower else 1)
        if beyond > 0 and (best is None or beyond > best[0]):
            best = (beyond, a, d)
    assert best is not None
    return best[1], best[2]


@pytest.mark.parametrize(
    ("sides", "low", "top", "tall", "thick", "skin", "neutral"),
    [(4, 120, 120, 90, 6, 1.2, 50), (6, 160, 160, 120, 6, 2.0, 30), (5, 100, 150, 110, 5, 1.0, 50), (7, 220, 150, 70, 4, 0.8, 60)],
)
def test_a_strip_comes_to_the_frustum_s_own_corners(built, sides, low, top, tall, thick, skin, neutral):
    facing = 180 + 180 / sides if sides % 2 == 0 else 180
    folder, report = built(
        HEAD.format(thick=thick, neutral=neutral)
        + f"shell body {{ made: folded(skin: {skin} mm), seam: butt(facing: {facing} deg), rim: square\n"
        f"    at 0 mm: polygon(sides: {sides}, across_corners: {low} mm), at {tall} mm: polygon(sides: {sides}, across_corners: {top} mm) }}\n"
    )
    bottom, head = polygon(sides, low, 0), polygon(sides, top, tall)
    # The turn between two faces' planes, by their normals.
    normals = []
    for i in range(sides):
        j = (i + 1) % sides
        n = np.cross(bottom[j] - bottom[i], head[i] - bottom[i])
        normals.append(n / np.linalg.norm(n))
    turn = math.acos(normals[0] @ normals[1])
    allowance = turn * skin * neutral / 100
    lean = (thick - skin) * math.tan(0.5 * turn)
    wide = 2 * lean + allowance
    marks = report["pieces"][0]["marks"]
    assert len(marks) == sides - 1
    for mark in marks:
        assert mark["fold"]["turn"] == pytest.approx(math.degrees(turn), abs=1e-5)
        assert mark["fold"]["wide"] == pytest.approx(wide, abs=1e-5)
        assert mark["fold"]["allowance"] == pytest.approx(allowance, abs=1e-5)
    outline, pricks = read(folder, report)
    long = marks[0]["length"] / 2
    grooves = lines(pricks, long / math.ceil(long / 20 - 1e-6))
    assert len(grooves) == 2 * (sides - 1)
    middle = np.mean([g[0] + g[1] for g in grooves], axis=0) / 2
    nearest = min(grooves, key=lambda g: np.linalg.norm(0.5 * (g[0] + g[1]) - middle))
    first = nearest[1] - nearest[0]
    best = math.inf
    for up in (first / np.linalg.norm(first), -first / np.linalg.norm(first)):
        flats = faces_of(outline, grooves, up, long)
        # The turn and shift that the folds before a face have made, and what it is set back by.
        carry, shift = np.eye(3), np.zeros(3)
        found = []
        for i, (begin, end) in enumerate(flats):
            def side(line, out, off):
                d = (line[1] - line[0]) / np.linalg.norm(line[1] - line[0])
                return line[0] + right(d) * out * off, d

            # From a groove's edge on the hidden face to where its faces meet, and on to the sharp corner outside.
            sharp = lean + skin * math.tan(0.5 * turn)
            corners = []
            for line, out, folded in ((begin, -1, i > 0), (end, 1, i + 1 < len(flats))):
                p, d = side(line, out, sharp if folded else 0.0)
                own = begin[1] - begin[0] + end[1] - end[0]
                for lower in (True, False):
                    middle = 0.25 * (begin[0] + begin[1] + end[0] + end[1])
                    q, e = rim(outline, middle, own / np.linalg.norm(own), lower)
                    corners.append(cross(p, d, q, e))
            found += [carry @ np.array([*c, 0.0]) + shift for c in corners]
            if i + 1 == len(flats):
                break
            # The groove's width as it is pricked is the one the planes ask for.
            following = flats[i + 1][0]
            d = (end[1] - end[0]) / np.linalg.norm(end[1] - end[0])
            for a, b in zip(end, following):
                assert (b - a) @ right(d) == pytest.approx(wide, abs=0.02)
            # Turned about the line in which its faces meet, a skin's depth below the outside.
            p, d = side(end, 1, lean)
            axis, at = carry @ np.array([*d, 0.0]), carry @ np.array([*p, -skin]) + shift
            # As seen on the outside the next face turns away: about the fold's way up.
            turned = Rotation.from_rotvec(axis * turn).as_matrix()
            back = carry @ np.array([*(right(d) * allowance), 0.0])
            carry, shift = turned @ carry, turned @ (shift - back - at) + at
        found = np.array(found)
        for start in range(sides):
            asked = []
            for k in range(len(flats)):
                i = (start + k) % sides
                j = (i + 1) % sides
                asked += [bottom[i], head[i], bottom[j], head[j]]
            asked = np.array(asked)
            spin, _ = Rotation.align_vectors(asked - asked.mean(0), found - found.mean(0))
            best = min(best, np.abs(spin.apply(found - found.mean(0)) - (asked - asked.mean(0))).max())
    assert best < 0.02
