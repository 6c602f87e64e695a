"""The printed pages, read by readers that are not ours: pypdf (boxes, drawing), pypdfium2 (pictures, measured in
pixels), svgelements and shapely (pages put together again give back the pieces of the cut file)."""

import math

import numpy
import pypdf
import pypdfium2
import pytest
import shapely
import shapely.affinity
import svgelements
import xml.etree.ElementTree

import read_back
from conftest import ROOT, build

POINT = 72 / 25.4
SIZES = {"a4": (210, 297), "a3": (297, 420), "a5": (148, 210), "letter": (215.9, 279.4), "chart": (300, 900)}
DPI = 600

PROP = """
prop ringer {{ title: "Bell ringer's hood", of: foam5, paper: {paper}, show: {show} }}
paper chart {{ size: 300 mm by 900 mm, margin: 8 mm, overlap: 15 mm }}
shell hood {{ at 0 mm: oval(around: 560 mm, ratio: 4:3), at 260 mm: oval(around: 700 mm, ratio: 4:3) }}
cap base on hood.bottom {{ fit: inset }}
shell cuff {{ pair: mirrored, seam: open(facing: right, gap: 30 mm)
    at 0 mm: circle(around: 190 mm)
    at 150 mm: oval(around: 260 mm, ratio: 4:3) }}
opening port on hood {{ shape: circle(across: 60 mm), level: 130 mm, facing: front }}
"""


def prop(paper="a4", show="mm"):
    return PROP.format(paper=paper, show=show)


def pdf_of(folder, report):
    return pypdf.PdfReader(folder.parent / report["print"]["file"])


@pytest.mark.parametrize("paper", SIZES)
def test_boxes_are_the_paper(built, paper):
    folder, report = built(prop(paper))
    reader = pdf_of(folder, report)
    pages = report["print"]["pages"]
    assert len(reader.pages) == len(pages)
    short, long = SIZES[paper]
    margin = report["print"]["margin"]
    for page, told in zip(reader.pages, pages):
        size = (long, short) if told["lying"] else (short, long)
        for name in ["/MediaBox", "/CropBox", "/BleedBox", "/TrimBox"]:
            box = [float(x) for x in page[name]]
            assert box[:2] == [0, 0] and numpy.allclose(box[2:], [s * POINT for s in size], atol=1e-3), name
        art = [float(x) / POINT for x in page["/ArtBox"]]
        assert numpy.allclose(art, [margin, margin, size[0] - margin, size[1] - margin], atol=1e-3)
        root = xml.etree.ElementTree.parse(folder.parent / told["file"]).getroot()
        assert [float(root.get(k).removesuffix("mm")) for k in ("width", "height")] == pytest.approx(size)
    assert reader.trailer["/Root"]["/ViewerPreferences"]["/PrintScaling"] == "/None"
    assert "/CreationDate" not in reader.metadata and "/ModDate" not in reader.metadata


def group(path, name):
    """The paths of a group of an SVG page, as svgelements gives them, in millimetres with y up from the paper's foot."""
    root = xml.etree.ElementTree.parse(path).getroot()
    tall = float(root.get("viewBox").split()[3])
    out = []
    for g in root.iter("{http://www.w3.org/2000/svg}g"):
        if g.get("id") == name:
            for p in g.iter("{http://www.w3.org/2000/svg}path"):
                out.append((svgelements.Path(p.get("d")), p.get("data-about")))
    return tall, out


def pixels(page):
    picture = page.render(scale=DPI / 72, grayscale=True).to_numpy()
    return picture.reshape(picture.shape[:2])


def ends(line):
    """The middles of the first and last dark run along a row of pixels, in millimetres."""
    dark = numpy.flatnonzero(line < 128)
    runs = numpy.split(dark, numpy.flatnonzero(numpy.diff(dark) > 1) + 1)
    middle = lambda run: (run[0] + run[-1] + 1) / 2 * 25.4 / DPI
    return middle(runs[0]), middle(runs[-1]), len(runs)


@pytest.mark.parametrize("show,long,square", [("mm", 100.0, 20.0), ("inches", 101.6, 19.05)])
@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_bars_measured_in_pixels(built, paper, show, long, square):
    """Every page of the PDF as a picture: both bars and the square within 0.1 mm."""
    folder, report = built(prop(paper, show))
    document = pypdfium2.PdfDocument(folder.parent / report["print"]["file"])
    margin = report["print"]["margin"]
    for page, told in zip(document, report["print"]["pages"]):
        picture = pixels(page)
        # The head is 27 mm tall on wide paper; the bars' corner is 5.5 mm right of the margin, 3.6 mm over the window.
        px = lambda mm: round(mm * DPI / 25.4)
        window_top = margin + 27.0
        corner = (margin + 5.5, window_top - 3.6)
        # A row of pixels 1.2 mm over the horizontal bar meets its two ticks, one at each end; likewise beside the other.
        row = picture[px(corner[1] - 1.2), px(corner[0] - 2) : px(corner[0] + long + 2)]
        a, b, runs = ends(row)
        assert runs == 2 and abs(b - a - long) < 0.1, (told["number"], b - a, runs)
        column = picture[px(corner[1] - 2) : px(corner[1] + long + 2), px(corner[0] + 1.2)]
        # First the horizontal bar itself, which is the corner, then the far tick.
        a, b, runs = ends(column)
        assert runs == 2 and abs(b - a - long) < 0.1, (told["number"], b - a, runs)
        # The square stands at the head, left of the map: 38 + 4 mm from the right.
        right = picture.shape[1] * 25.4 / DPI - margin - 42
        row = picture[px(margin + 3), px(right - square - 2) : px(right + 2)]
        a, b, runs = ends(row)
        assert abs(b - a - square) < 0.1, (told["number"], b - a)
        column = picture[px(margin - 1) : px(margin + square + 2), px(right - square + 3)]
        a, b, runs = ends(column)
        assert abs(b - a - square) < 0.1, (told["number"], b - a)


@pytest.mark.parametrize("paper", ["a4", "a5", "letter"])
def test_nothing_lies_in_the_margin(built, paper):
    folder, report = built(prop(paper))
    document = pypdfium2.PdfDocument(folder.parent / report["print"]["file"])
    margin = report["print"]["margin"]
    for page in document:
        picture = pixels(page)
        edge = math.floor(margin * DPI / 25.4) - 1
        whole, inner = (picture < 250).sum(), (picture[edge:-edge, edge:-edge] < 250).sum()
        assert whole == inner > 1000


def motion(turn, shift, mirror):
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    m = -1 if mirror else 1
    # x' = c (m x) - s y + dx, y' = s (m x) + c y + dy
    return [c * m, -s, s * m, c, *shift]


def undone(shape, turn, shift, mirror):
    a, b, d, e, x, y = motion(turn, shift, mirror)
    det = a * e - b * d
    inverse = [e / det, -b / det, -d / det, a / det]
    return shapely.affinity.affine_transform(
        shape, [*inverse, -(inverse[0] * x + inverse[1] * y), -(inverse[2] * x + inverse[3] * y)]
    )


def chords(path):
    """A path of lines and arcs as points; svgelements knows where an arc goes."""
    points = []
    for s in path:
        if isinstance(s, svgelements.Move):
            points.append((s.end.x, s.end.y))
        elif isinstance(s, svgelements.Arc):
            n = max(2, math.ceil(abs(s.sweep) / math.sqrt(8 * 0.0005 / max(s.rx, 1e-9))))
            points += [(p.x, p.y) for p in (s.point(k / n) for k in range(1, n + 1))]
        elif s.end is not None:
            points.append((s.end.x, s.end.y))
    return points


def lines_on_board(folder, told, name):
    """What a page shows of a layer, as lines on its board, piece by piece."""
    tall, paths = group(folder.parent / told["file"], name)
    (at, size, on) = told["window"]
    out = {}
    for path, about in paths:
        points = [(x - on[0] + at[0], tall - y - on[1] + at[1]) for x, y in chords(path)]
        out.setdefault(about, []).append(shapely.LineString(points))
    return out, shapely.box(at[0], at[1], at[0] + size[0], at[1] + size[1])


def cut_pieces(folder, report):
    """Every piece of the cut files in its own coordinates, as a polygon's outline with holes' outlines."""
    out = {}
    for sheet in report["sheets"]:
        rings = read_back.dxf_rings(folder.parent / sheet["files"][0], sheet, "sheet")
        inner = [read_back.polygon(r) for r in rings.get("cut-inner", [])]
        for placed, ring in zip(sheet["placed"], rings["cut"]):
            outline = read_back.polygon(ring)
            lines = [outline.exterior, *(h.exterior for h in inner if outline.covers(h))]
            out[placed["piece"]] = [undone(l, placed["turn"], placed["shift"], False) for l in lines]
    return out


@pytest.mark.parametrize("face", ["outside", "hidden"])
@pytest.mark.parametrize("paper", ["a4", "a5", "letter", "chart"])
def test_pages_put_together_give_back_the_pieces(built, paper, face):
    folder, report = built(prop(paper), "--template", face)
    assert report["print"]["face"] == face
    wanted = cut_pieces(folder, report)
    found, seen = {}, {}
    for told in report["print"]["pages"]:
        if told["window"] is None:
            continue
        placed = {p["piece"]: p for p in told["placed"]}
        for layer in ("cut", "cut-inner"):
            lines, window = lines_on_board(folder, told, layer)
            for name, parts in lines.items():
                p = placed[name]
                assert window.buffer(0.001).covers(shapely.MultiLineString(parts))
                found.setdefault(name, []).extend(undone(l, p["turn"], p["shift"], face == "hidden") for l in parts)
        for name, p in placed.items():
            seen.setdefault(name, []).append(undone(window, p["turn"], p["shift"], face == "hidden"))
    assert sorted(found) == sorted(wanted) == sorted(p["name"] for p in report["pieces"])
    for name, lines in wanted.items():
        cut, drawn = shapely.MultiLineString(lines), shapely.union_all(found[name])
        # Every point of the cut line is drawn, and nothing else is.
        assert shapely.hausdorff_distance(cut.segmentize(1), drawn.segmentize(1)) < 0.01 + 0.5, name
        assert max(drawn.distance(shapely.Point(c)) for l in lines for c in l.segmentize(2).coords) < 0.01, name
        parts = [c for l in found[name] for c in l.segmentize(2).coords]
        assert max(cut.distance(shapely.Point(c)) for c in parts) < 0.01, name
        whole = shapely.Polygon(lines[0])
        assert whole.difference(shapely.union_all(seen[name])).area < 0.01, name


def test_letters_and_crosses_meet_across_joined_edges(built):
    folder, report = built(prop("a4"))
    pages = {p["number"]: p for p in report["print"]["pages"]}
    joins = report["print"]["joins"]
    letters = [j["letter"] for j in joins]
    assert joins and len(set(letters)) == len(letters)
    shown = {}
    for number, told in pages.items():
        if told["window"]:
            tall, paths = group(folder.parent / told["file"], "join")
            at, _, on = told["window"]
            for path, letter in paths:
                box = path.bbox()
                middle = ((box[0] + box[2]) / 2 - on[0] + at[0], tall - (box[1] + box[3]) / 2 - on[1] + at[1])
                shown.setdefault((number, letter), []).append((box[2] - box[0], box[3] - box[1], *middle))
    for join in joins:
        over, under = shown[join["over"], join["letter"]], shown[join["under"], join["letter"]]
        at, size, _ = pages[join["over"]]["window"]
        edge = at[0] + size[0] if join["side"] == "right" else at[1]
        axis = 0 if join["side"] == "right" else 1
        # Rings: the one on the trimmed page before the line, its like behind it, as far off.
        rings = lambda items: sorted(i[2:] for i in items if abs(i[0] - 5.6) < 0.01 and abs(i[1] - 5.6) < 0.01)
        a, b = rings(over), rings(under)
        assert len(a) == len(b) == 2, join
        for p, q in zip(a, b):
            assert p[1 - axis] == pytest.approx(q[1 - axis], abs=1e-3)
            assert p[axis] + q[axis] == pytest.approx(2 * edge, abs=1e-3)
            assert (q[axis] > p[axis]) == (join["side"] == "right")
    # A page says on itself no letter that no join has.
    assert {letter for _, letter in shown} == set(letters)


def test_diagonals_are_what_a_rule_finds(built):
    folder, report = built(prop("a4"))
    pages = {p["number"]: p for p in report["print"]["pages"]}
    diagonals = report["print"]["diagonals"]
    assert len(diagonals) >= 2

    def point(number, name):
        told = pages[number]
        tall, paths = group(folder.parent / told["file"], "diagonal")
        at, _, on = told["window"]
        # Its ring is 4 mm across.
        [box] = [p.bbox() for p, about in paths if about == name and abs(p.bbox()[2] - p.bbox()[0] - 4) < 0.01]
        return (box[0] + box[2]) / 2 - on[0] + at[0], tall - (box[1] + box[3]) / 2 - on[1] + at[1]

    for d in diagonals:
        assert math.dist(point(*d["from"]), point(*d["to"])) == pytest.approx(d["long"], abs=0.01)


def test_pdf_draws_what_the_svg_pages_draw(built):
    """Ends of every stroke, page by page: the same places."""
    folder, report = built(prop("a4"))
    for page, told in zip(pdf_of(folder, report).pages, report["print"]["pages"]):
        pdf = []
        for operands, operator in pypdf.generic.ContentStream(page.get_contents(), page.pdf).operations:
            if operator in (b"m", b"l", b"c"):
                pdf.append(tuple(round(float(x), 2) for x in operands[-2:]))
        tall = float(page["/MediaBox"][3]) / POINT
        root = xml.etree.ElementTree.parse(folder.parent / told["file"]).getroot()
        svg = set()
        for p in root.iter("{http://www.w3.org/2000/svg}path"):
            for s in svgelements.Path(p.get("d")):
                if s.end is not None:
                    svg.add((s.end.x, tall - s.end.y))
        places = shapely.STRtree([shapely.Point(p) for p in pdf])
        nearest = places.query_nearest([shapely.Point(p) for p in sorted(svg)], return_distance=True, all_matches=False)
        assert len(svg) > 100 and nearest[1].max() < 0.02


@pytest.mark.parametrize("example", ["flag-case", "chart-case", "bracers", "sea-horns", "tide-shoulder", "pageant-drum"])
def test_same_bytes_twice(tmp_path, example):
    path = ROOT / "examples" / example / f"{example}.prop"
    folders = [build(path, tmp_path / name)[0] for name in ("one", "two")]
    first = sorted((folders[0] / "print").iterdir())
    assert any(f.suffix == ".pdf" for f in first)
    for file in first:
        assert file.read_bytes() == (folders[1] / "print" / file.name).read_bytes(), file.name
