"""Rings between sections whose planes lean, against the convex hull of points of both in space (scipy, Qhull): a wall that
touches both ends from outside is the side of their hull, and is as large; its rims are as long as the curves in space."""

import math

import numpy as np
import pytest
from scipy.spatial import ConvexHull

FILM = """prop p { title: "P", of: film }
stock film { as: card, thick: 0.001 mm, size: 4 m by 4 m, density: 900 kg/m3, neutral: 100 % }
"""
COUNT = 6000


def oval(across, by, centre=(0.0, 0.0)):
    """Points of an ellipse by the direction of its normal, `across` from left to right, `by` from front to back."""
    phi = np.linspace(0, 2 * math.pi, COUNT, endpoint=False)
    a, b = by / 2, across / 2
    c, s = np.cos(phi), np.sin(phi)
    h = np.hypot(a * c, b * s)
    return np.stack([a * a * c / h, b * b * s / h], axis=-1) + np.array(centre)


def rounded(across, by, corner):
    """Points of a rectangle with rounded corners, its sides by their ends."""
    phi = np.linspace(0, 2 * math.pi, COUNT, endpoint=False) + math.pi / COUNT
    c, s = np.cos(phi), np.sin(phi)
    return np.stack([np.sign(c) * (by / 2 - corner) + corner * c, np.sign(s) * (across / 2 - corner) + corner * s], axis=-1)


def lifted(points, z, front=0.0, left=0.0):
    """The section over a plane through the middle of its widths, lower to the front and left by these angles (degrees)."""
    middle = 0.5 * (points.max(axis=0) + points.min(axis=0))
    slope = -np.array([math.tan(math.radians(front)), math.tan(math.radians(left))])
    return np.column_stack([points, z + (points - middle) @ slope])


def length(ring):
    return np.linalg.norm(np.diff(np.vstack([ring, ring[:1]]), axis=0), axis=1).sum()


def face(ring):
    """The area of a plane ring in space."""
    return 0.5 * np.linalg.norm(np.cross(ring, np.roll(ring, -1, axis=0)).sum(axis=0))


def hold(pieces, rings):
    """Each piece is the side of the hull of its two rings."""
    assert len(pieces) == len(rings) - 1
    for piece, low, up in zip(pieces, rings, rings[1:]):
        hull = ConvexHull(np.vstack([low, up]))
        side = hull.area - face(low) - face(up)
        # What is written keeps an area within 1e-5 of itself.
        assert piece["area"] == pytest.approx(side, rel=1e-5), piece["name"]
        long = {e["name"]: e["neutral"] for e in piece["edges"]}
        for name, ring in (("bottom", low), ("top", up)):
            assert long[name] == pytest.approx(length(ring), abs=0.01), (piece["name"], name)


def pieces(built, text):
    _, report = built(FILM + text)
    return report["pieces"]


def test_stations_that_lean_between_level_ends(built):
    found = pieces(
        built,
        """shell body {
    at 0 mm: circle(across: 90 mm)
    at 80 mm: circle(across: 70 mm, tilt: toward(front: 20 deg))
    at 150 mm: oval(across: 60 mm by 40 mm)
}
""",
    )
    hold(found, [lifted(oval(90, 90), 0), lifted(oval(70, 70), 80, 20), lifted(oval(60, 40), 150)])


def test_stations_that_lean_both_ways_and_are_moved(built):
    found = pieces(
        built,
        """shell body {
    at 0 mm: rectangle(across: 90 mm by 70 mm, corner: 20 mm)
    at 80 mm: oval(across: 70 mm by 60 mm, tilt: toward(front: 20 deg, left: 5 deg), shift: toward(left: 6 mm))
    at 150 mm: circle(across: 50 mm, tilt: toward(back: 10 deg))
    at 240 mm: circle(across: 30 mm)
}
""",
    )
    rings = [
        lifted(rounded(90, 70, 20), 0),
        lifted(oval(70, 60, (0, 6)), 80, 20, 5),
        lifted(oval(50, 50), 150, -10),
        lifted(oval(30, 30), 240),
    ]
    hold(found, rings)


def test_an_oval_horn_about_a_bend(built):
    found = pieces(
        built,
        """shell horn {
    spine: [bend(angle: 60 deg, radius: 150 mm, joints: 3, facing: front)]
    at bottom: oval(across: 90 mm by 60 mm)
    at top: circle(across: 30 mm)
}
""",
    )
    # Three cuts of 20 degrees: half a piece, two whole ones, half a piece.
    half = 150 * math.tan(math.radians(10))
    places = np.array([0, half, 3 * half, 5 * half, 6 * half])
    share = places / places[-1]
    # Point by point of one normal, as a straight wall between the two would have it.
    sections = [oval(90, 60) * (1 - s) + oval(30, 30) * s for s in share]
    for i, piece in enumerate(found):
        first, last = i == 0, i == len(found) - 1
        # Seen from its own axis the spine bends toward the front behind it and came from the front before it.
        low = lifted(sections[i], 0, 0 if first else -10)
        up = lifted(sections[i + 1], places[i + 1] - places[i], 0 if last else 10)
        hold([piece], [low, up])
