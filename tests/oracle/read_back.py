"""Reads a build back with readers that are not ours, and says every difference.

    python read_back.py OUT/NAME [OUT/NAME ...]

For each folder with a report.json: the report by its schema; every DXF by ezdxf (strict reader, then its audit: no error, no fix), its entities
against the report's counts, closed contours, true arcs, millimetres; every SVG by svgelements in millimetres; both
against each other and against the report (area and perimeter within 1e-6); the layout by shapely (no overlap, gap and
border kept). Exits with 1 when anything is off. Needs: ezdxf 1.4, svgelements 1.9, shapely 2,
jsonschema 4.
"""

import json
import math
import sys
import xml.etree.ElementTree
from pathlib import Path

import ezdxf
import jsonschema
import shapely
import svgelements

CHORD = 0.001  # mm: flattening for shapely
RELATIVE = 1e-6  # two outputs of one piece agree in area and perimeter
NEAR = 0.002  # mm: what rounding may take from a gap or border

faults = []


def expect(true, what):
    if not true:
        faults.append(what)


class Ring:
    """A closed line of lines and arcs: (x, y, bulge) each, bulge = tan(angle / 4)."""

    def __init__(self, points):
        self.points = points

    def sides(self):
        return zip(self.points, self.points[1:] + self.points[:1])

    def area(self):
        """Shoelace sum and the circular segments r^2 (t - sin t) / 2."""
        total = 0.0
        x0, y0, _ = self.points[0]
        for (ax, ay, b), (bx, by, _) in self.sides():
            total += ((ax - x0) * (by - y0) - (bx - x0) * (ay - y0)) / 2
            if b:
                t, r = 4 * math.atan(b), radius(ax, ay, bx, by, b)
                total += r * r * (t - math.sin(t)) / 2
        return total

    def perimeter(self):
        total = 0.0
        for (ax, ay, b), (bx, by, _) in self.sides():
            chord = math.hypot(bx - ax, by - ay)
            total += chord if not b else radius(ax, ay, bx, by, b) * abs(4 * math.atan(b))
        return total


def radius(ax, ay, bx, by, b):
    return math.hypot(bx - ax, by - ay) * (1 + b * b) / (4 * abs(b))


def dxf_rings(path, sheet, name):
    """Closed rings by layer; everything else is checked on the way."""
    document = ezdxf.readfile(path)
    auditor = document.audit()
    expect(not auditor.errors, f"{name}: ezdxf finds {[e.message for e in auditor.errors][:3]}")
    expect(not auditor.fixes, f"{name}: ezdxf repairs {[f.message for f in auditor.fixes][:3]}")
    expect(document.units == 4, f"{name}: units {document.units}, not millimetres")
    counts, rings = {}, {}
    for entity in document.modelspace():
        layer, sort = entity.dxf.layer, entity.dxftype()
        counts.setdefault(layer, {}).setdefault(sort, 0)
        counts[layer][sort] += 1
        expect(layer in document.layers, f"{name}: layer {layer} is not defined")
        if sort == "CIRCLE":
            c, r = entity.dxf.center, entity.dxf.radius
            ring = Ring([(c.x + r, c.y, 1.0), (c.x - r, c.y, 1.0)])
        elif sort == "LWPOLYLINE":
            if not entity.closed:
                expect(layer not in ("cut", "cut-inner"), f"{name}: an open contour on {layer}")
                continue
            ring = Ring([(x, y, b) for x, y, b in entity.get_points("xyb")])
        elif sort == "POLYLINE":
            if not entity.is_closed:
                expect(layer not in ("cut", "cut-inner"), f"{name}: an open contour on {layer}")
                continue
            ring = Ring([(v.dxf.location.x, v.dxf.location.y, v.dxf.get("bulge", 0)) for v in entity.vertices])
            expect(all(v.dxf.layer == layer for v in entity.vertices), f"{name}: vertices on another layer")
        else:
            expect(False, f"{name}: a {sort}")
            continue
        rings.setdefault(layer, []).append(ring)
    expect(counts == sheet["entities"], f"{name}: holds {counts}, the report says {sheet['entities']}")
    return rings


def svg_rings(path, name):
    """Closed rings by group, y turned up, in millimetres."""
    root = xml.etree.ElementTree.parse(path).getroot()
    _, _, wide, tall = root.get("viewBox").split()
    expect(root.get("width") == wide + "mm" and root.get("height") == tall + "mm", f"{name}: not in true millimetres")
    # svgelements holds a millimetre for 0.0393701 in, 0.5e-6 too much: its width of the page says what it took.
    drawing = svgelements.SVG.parse(path)
    mm = float(wide) / drawing.width
    rings = {}
    for group in drawing.select(lambda e: isinstance(e, svgelements.Group) and "data-operation" in e.values["attributes"]):
        layer = group.values["attributes"]["data-operation"]
        if layer != group.id:
            continue
        for shape in group.select(lambda e: isinstance(e, svgelements.Path)):
            segments = [s for s in shape if not isinstance(s, (svgelements.Move, svgelements.Close))]
            if not isinstance(shape[-1], svgelements.Close):
                expect(layer not in ("cut", "cut-inner"), f"{name}: an open contour in {layer}")
                continue
            points = []
            for s in segments:
                # svgelements turns clockwise with y down, as seen: a turn to the right.
                bulge = -math.tan(s.sweep / 4) if isinstance(s, svgelements.Arc) else 0.0
                points.append((s.start.x * mm, -s.start.y * mm, bulge))
            end = segments[-1].end
            if math.hypot(end.x * mm - points[0][0], -end.y * mm - points[0][1]) > 1e-6:
                points.append((end.x * mm, -end.y * mm, 0.0))
            rings.setdefault(layer, []).append(Ring(points))
    return rings


def polygon(ring):
    """The ring as shapely's polygon, every arc in chords that lie on it. (ezdxf's own flattening goes through cubic
    curves and can lay two points of a flat arc the wrong way round, which shapely takes for a crossing.)"""
    points = []
    for (x, y, bulge), (x2, y2, _) in zip(ring.points, ring.points[1:] + ring.points[:1]):
        a, b = complex(x, y), complex(x2, y2)
        if bulge == 0:
            points.append(a)
            continue
        centre = (a + b) / 2 + 1j * (b - a) * (1 - bulge**2) / (4 * bulge)
        sweep = 4 * math.atan(bulge)
        sag = max(1e-12, 1 - CHORD / abs(a - centre)) if abs(a - centre) > CHORD else 0.0
        steps = max(1, math.ceil(abs(sweep) / (2 * math.acos(min(sag, 1 - 1e-12)))))
        points += [centre + (a - centre) * complex(math.cos(sweep * k / steps), math.sin(sweep * k / steps)) for k in range(steps)]
    return shapely.Polygon([(p.real, p.imag) for p in points])


def check_layout(rings, sheet, name):
    wide, tall = sheet["size"]
    margin, gap = sheet["margin"] - NEAR, sheet["gap"] - NEAR
    inner = shapely.box(margin, margin, wide - margin, tall - margin)
    pieces = [polygon(ring) for ring in rings.get("cut", [])]
    for i, a in enumerate(pieces):
        expect(a.is_valid, f"{name}: contour {i} crosses itself")
        expect(inner.covers(a), f"{name}: piece {i} reaches into the border")
        for j, b in enumerate(pieces[i + 1 :], i + 1):
            expect(a.distance(b) >= gap, f"{name}: pieces {i} and {j} are {a.distance(b):.4f} mm apart")
    for hole in (polygon(ring) for ring in rings.get("cut-inner", [])):
        expect(any(p.covers(hole) for p in pieces), f"{name}: a hole lies on no piece")


def near(a, b, relative=RELATIVE):
    return abs(a - b) <= relative * max(abs(a), abs(b))


SCHEMA = Path(__file__).parent.parent.parent / "src" / "emit" / "report.schema.json"


def check(folder):
    report = json.loads((folder / "report.json").read_text(encoding="utf-8"))
    validator = jsonschema.Draft202012Validator(json.loads(SCHEMA.read_text(encoding="utf-8")))
    for error in validator.iter_errors(report):
        expect(False, f"{folder.name}: report.json {error.json_path}: {error.message}")
    for listed in report["files"]:
        expect((folder.parent / listed).is_file(), f"{listed} is missing")
    by_name = {p["name"]: p for p in report["pieces"]}
    lying = [p["piece"] for s in report["sheets"] for p in s["placed"]]
    expect(sorted(lying) == sorted(by_name), f"{folder}: pieces on sheets are not those of the report")
    arcs = 0
    for sheet in report["sheets"]:
        dxf, svg = sheet["files"]
        drawn = dxf_rings(folder.parent / dxf, sheet, dxf)
        page = svg_rings(folder.parent / svg, svg)
        closed = {layer: len(rings) for layer, rings in drawn.items()}
        expect(closed == {k: len(v) for k, v in page.items()}, f"{svg}: other rings than the DXF")
        shift = None
        for layer, rings in drawn.items():
            for a, b in zip(rings, page.get(layer, [])):
                arcs += sum(1 for p in a.points if p[2])
                expect(near(a.area(), b.area()), f"{svg}: {layer} area {b.area()}, DXF {a.area()}")
                expect(near(a.perimeter(), b.perimeter()), f"{svg}: {layer} perimeter {b.perimeter()}, DXF {a.perimeter()}")
                # One shift takes every ring of the page to the drawing: same places, not just same shapes.
                d = (b.points[0][0] - a.points[0][0], b.points[0][1] - a.points[0][1])
                shift = shift or d
                expect(math.dist(d, shift) < 1e-3, f"{svg}: {layer} lies elsewhere than in the DXF")
        holes = sum(len(by_name[p["piece"]]["holes"]) for p in sheet["placed"])
        expect(len(drawn.get("cut-inner", [])) == holes, f"{dxf}: not {holes} holes")
        for placed, ring in zip(sheet["placed"], drawn.get("cut", [])):
            piece = by_name[placed["piece"]]
            whole = piece["area"] + sum(h["area"] for h in piece["holes"])
            expect(near(ring.area(), whole, 1e-5), f"{dxf}: {piece['name']} has {ring.area()} mm2, not {whole}")
            expect(near(ring.perimeter(), piece["perimeter"], 1e-5), f"{dxf}: {piece['name']} perimeter")
        check_layout(drawn, sheet, dxf)
    print(f"{folder.name}: {len(report['sheets'])} sheets, {len(lying)} pieces, {arcs} arcs read back")


if __name__ == "__main__":
    for argument in sys.argv[1:]:
        check(Path(argument))
    for fault in faults:
        print("FAULT", fault)
    sys.exit(1 if faults or len(sys.argv) < 2 else 0)
