"""A development that shares nothing with the program: points in space on a great many generatrices, flattened as a
strip of triangles from their true side lengths. Any triangle strip flattens exactly, so what this adds is the right
joining (equal outward normals, found here from the convex sections themselves) and the right offset of thickness."""

import numpy as np


class Ellipse:
    """Half-axes `a` along x and `b` along y, by its support function."""

    def __init__(self, a, b):
        self.a, self.b = a, b

    def point(self, phi):
        """The point whose outward normal is at `phi`: ((a^2 cos, b^2 sin) / h)."""
        c, s = np.cos(phi), np.sin(phi)
        h = np.sqrt((self.a * c) ** 2 + (self.b * s) ** 2)
        return np.stack([self.a**2 * c / h, self.b**2 * s / h], axis=-1)


def rules(lower, upper, rise, facing, count=40001):
    """Once round from `facing`: for every normal direction the two rim points and the wall's outward unit normal."""
    phi = np.linspace(facing, facing + 2 * np.pi, count)
    zero, one = np.zeros(count), np.full(count, float(rise))
    a = np.column_stack([lower.point(phi), zero])
    b = np.column_stack([upper.point(phi), one])
    tangent = np.column_stack([-np.sin(phi), np.cos(phi), zero])
    normal = np.cross(tangent, b - a)
    normal /= np.linalg.norm(normal, axis=1)[:, None]
    return a, b, normal


def parallel(a, b, normal, rise, depth):
    """The rules of the parallel surface at `depth`, cut again by the planes z = 0 and z = rise: every rule keeps its
    direction, so the moved rule is followed to the planes."""
    direction = (b - a) / np.linalg.norm(b - a, axis=1)[:, None]
    p = a + depth * normal
    lower = p - direction * (p[:, 2] / direction[:, 2])[:, None]
    upper = p + direction * ((rise - p[:, 2]) / direction[:, 2])[:, None]
    return lower, upper, direction


def flatten(a, b):
    """Lower and upper rim on the flat, the first rule upright at the origin."""

    def angle(u, v):
        """Between vectors, by atan2 (acos loses digits over many slivers)."""
        return np.arctan2(np.linalg.norm(np.cross(u, v), axis=1), np.einsum("ij,ij->i", u, v))

    rule = b - a
    step = a[1:] - a[:-1]
    beta = angle(rule[:-1], step)
    # The quad a_i, b_i, b_i+1, a_i+1 is two triangles; at a_i+1 both of them add up.
    diagonal = b[:-1] - a[1:]
    gamma = angle(diagonal, -step) + angle(rule[1:], diagonal)
    turn = np.concatenate([[0.0], np.cumsum(np.pi - beta - gamma)])
    theta = np.pi / 2 + turn
    along = theta[:-1] - beta
    length = np.linalg.norm(step, axis=1)
    lower = np.concatenate([[[0.0, 0.0]], np.cumsum(length[:, None] * np.column_stack([np.cos(along), np.sin(along)]), axis=0)])
    tall = np.linalg.norm(rule, axis=1)
    upper = lower + tall[:, None] * np.column_stack([np.cos(theta), np.sin(theta)])
    return lower, upper


def neutral_feet(lower, upper, rise, facing, thickness, neutral=0.5, count=40001):
    """The neutral flat of a wall whose sections are on the outside face, with the feet of the end faces' inside and
    outside edges (rims level): a dict of curves on the flat."""
    a, b, normal = rules(lower, upper, rise, facing, count)
    depth = -(1.0 - neutral) * thickness
    na, nb, direction = parallel(a, b, normal, rise, depth)
    flat_a, flat_b = flatten(na, nb)
    flat_rule = (flat_b - flat_a) / np.linalg.norm(flat_b - flat_a, axis=1)[:, None]
    curves = {"neutral lower": flat_a, "neutral upper": flat_b}
    for face, at in (("inside", -thickness), ("middle", -0.5 * thickness), ("outside", 0.0)):
        fa, fb, _ = parallel(a, b, normal, rise, at)
        for name, edge, base in (("lower", fa, na), ("upper", fb, na)):
            foot = edge - (at - depth) * normal
            along = np.einsum("ij,ij->i", foot - base, direction)
            curves[f"{face} {name}"] = flat_a + along[:, None] * flat_rule
            curves[f"{face} {name} girth"] = np.linalg.norm(np.diff(edge, axis=0), axis=1).sum()
    curves["neutral area"] = 0.5 * abs(cross_area(np.vstack([flat_a, flat_b[::-1]])))
    curves["turn"] = np.arctan2(flat_rule[-1, 1], flat_rule[-1, 0]) - np.arctan2(flat_rule[0, 1], flat_rule[0, 0])
    curves["rules"] = np.linalg.norm(nb - na, axis=1)
    return curves


def cross_area(points):
    x, y = points[:, 0], points[:, 1]
    return np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))


if __name__ == "__main__":
    # The flag case: bottom 105 by 70 (left to right by front to back), top 420 round in the ratio 3:2, 385 tall.
    from scipy.special import ellipe

    unit = 4 * 1.5 * ellipe(1 - 1 / 2.25)
    half = 420 / unit
    c = neutral_feet(Ellipse(35, 52.5), Ellipse(half, 1.5 * half), 385, np.pi, 5.0)
    print("top axes", 3 * half, 2 * half)
    for key in c:
        if "girth" in key or key in ("neutral area",):
            print(key, c[key])
    print("turn", np.degrees(c["turn"]), "rules", c["rules"].min(), c["rules"].max())
