//! Place marks: what is fitted stands in outline where the solid says, on the layer whose face it touches, with its
//! name; what goes on the hidden face is pricked through at its corners. On the flat each layer is folded by, an
//! outline keeps its form; its point and direction come from the fold.

use std::cell::RefCell;
use std::collections::BTreeSet;

use crate::design::Face;
use crate::fitted::{Ground, Spot};
use crate::geom::Vec2;
use crate::geom::path::Path;
use crate::num;
use crate::piece::{About, Piece};
use crate::solid::{EdgeName, Part, Seam, Solid};
use crate::verdict::Check;

use super::folded::Strip;
use super::laid::{Hints, Laid, Side};
use super::leaf::Sheet;
use super::measure::{self, right_of};
use super::plate::Plane;
use super::report::{FIT, LANDING, Most, Report};
use super::sided;
use super::wall::{Frame, hole_frame};

/// How often a round outline is pricked through.
const ROUND: usize = 4;

/// Whether a layer of a part has the face that a spot lies on.
fn shows(solid: &Solid, spot: &Spot, part: &Part, layer: usize) -> bool {
    let here = spot.part == part.id || spot.over.iter().any(|over| over.part == part.id);
    let depth = |i: usize| part.layers[i].middle();
    let all = 0..part.layers.len();
    let face = match spot.face {
        Face::Inside => all.min_by(|a, b| depth(*a).total_cmp(&depth(*b))),
        Face::Middle | Face::Outside => all.max_by(|a, b| depth(*a).total_cmp(&depth(*b))),
    };
    here && face == Some(layer) && solid.parts.iter().any(|p| p.id == part.id)
}

/// The places of one layer of one ring of a wall.
pub fn on_wall(solid: &Solid, laid: &Laid<'_>, group: &[&Piece], report: &mut Report) {
    let Some(part) = solid.parts.get(laid.panel.part.index()) else { return };
    let mut asked = BTreeSet::new();
    for (i, spot) in solid.fitted.spots.iter().enumerate() {
        let Ground::Wall { strip, rule, z } = &spot.on else { continue };
        let over = spot.over.iter().find(|o| o.part == part.id && spot.part != part.id);
        let strip = over.map_or(*strip, |o| o.strip);
        if !shows(solid, spot, part, laid.panel.layer) || !laid.ring.strips.contains(&strip) {
            continue;
        }
        asked.insert(i);
        let rule = over.and_then(|o| o.rule).unwrap_or(*rule);
        let Some(frame) = hole_frame(laid, strip, &rule, *z) else { continue };
        let hints = RefCell::new(Hints::default());
        let within = |p: Vec2| laid.off_sides(p, &mut hints.borrow_mut());
        let mut frames = vec![frame];
        let reach = spot.outline.segs.iter().map(|s| s.a.length() + s.length()).fold(0.0, f64::max);
        let near = within(frame.at) <= reach + 1.0;
        if near && !matches!(laid.view.wall.seam, Seam::Open(_)) {
            // A closed wall goes on beyond its seam as it begins again.
            let (begin, end) = laid.sides[strip - laid.ring.strips.start];
            frames.extend([(begin, end), (end, begin)].map(|(from, to)| carried(frame, from, to)));
        }
        let within = |p: Vec2| if near { within(p) } else { f64::INFINITY };
        let outlines: Vec<Path> = frames.iter().map(|f| f.placed(&spot.outline)).collect();
        let at: Vec<Vec2> = frames.iter().map(|f| f.at).collect();
        one(spot, i, &at, &outlines, &within, group, report);
        let from = |edge: EdgeName| from_edge(laid, frame.at, edge);
        lengths(spot, i, &from, group, report);
    }
    others(&asked, group, report);
}

/// How far a point of the flat lies from the line along which an edge of its panel is cut.
fn from_edge(laid: &Laid<'_>, at: Vec2, edge: EdgeName) -> Option<f64> {
    let side = |end: bool| {
        let corners = [false, true].map(|upper| super::scallops::corner(laid, upper, end));
        Some(measure::to_path(at, &Path::polyline(&corners)))
    };
    let upper = match edge {
        EdgeName::Begin => return side(false),
        EdgeName::End => return side(true),
        EdgeName::Lower => false,
        EdgeName::Upper => true,
        EdgeName::Outline | EdgeName::Side(_) | EdgeName::Foot(_) | EdgeName::Head(_) | EdgeName::Cut => return None,
    };
    if let Some(row) = super::scallops::expected(laid, upper) {
        return Some(measure::to_path(at, &row.path));
    }
    let folded = &laid.strips[laid.rim_strip(upper)];
    let cut = if upper { laid.cut.1 } else { laid.cut.0 };
    let line = laid.expected(upper, cut);
    let points: Vec<Vec2> =
        line.iter().filter(|(w, p)| laid.holds(upper, *w, *p)).map(|(w, p)| folded.flat(*w, *p)).collect();
    let mut path = points;
    path.insert(0, laid.corner(upper, cut, false));
    path.push(laid.corner(upper, cut, true));
    Some(measure::to_path(at, &Path::polyline(&path)))
}

/// The lengths that the key gives from edges, against the solid's own.
fn lengths(spot: &Spot, index: usize, from: &dyn Fn(EdgeName) -> Option<f64>, group: &[&Piece], report: &mut Report) {
    let what = format!("place of {}, from its edges", spot.name);
    for piece in group {
        let over = piece.from_flat.mirror;
        for (name, mm) in piece.places.iter().filter(|p| p.spot == index).flat_map(|p| &p.from) {
            let asked = named(name, over).and_then(from);
            report.holds(Check::Coverage, &what, &format!("the {name} is one of its edges"), asked.is_some());
            if let Some(asked) = asked {
                let place = format!("{mm:.3} mm from the {name} for {asked:.3}");
                report.figure(Check::Claim, &what, place, (mm - asked).abs(), FIT);
            }
        }
    }
}

/// The edge that the key calls so; `over` on a piece that lies mirrored.
fn named(name: &str, over: bool) -> Option<EdgeName> {
    let number = |text: &str| text.parse::<usize>().ok()?.checked_sub(1);
    Some(match (name, over) {
        ("bottom", _) => EdgeName::Lower,
        ("top", _) => EdgeName::Upper,
        ("rim", _) => EdgeName::Outline,
        ("seam left side", false) | ("seam right side", true) => EdgeName::Begin,
        ("seam left side", true) | ("seam right side", false) => EdgeName::End,
        _ => {
            let after = |word: &str| name.strip_prefix(word).and_then(number);
            let side = after("side ").map(EdgeName::Side);
            let foot = || after("bottom of face ").map(EdgeName::Foot);
            side.or_else(foot).or_else(|| after("top of face ").map(EdgeName::Head))?
        }
    })
}

/// A frame carried from one line of the flat onto another.
fn carried(frame: Frame, from: Side, to: Side) -> Frame {
    let way = |v: Vec2| to.up * v.dot(from.up) + right_of(to.up) * v.dot(right_of(from.up));
    Frame { at: to.at + way(frame.at - from.at), x: way(frame.x), y: way(frame.y) }
}

/// What is known of the panels of a part that is no wall: where a place's point and directions lie on its flat, and how far a
/// point of that lies from the line along which an edge is cut.
struct Seen<'a> {
    frame: &'a dyn Fn(&Ground) -> Option<Frame>,
    off: &'a dyn Fn(Vec2, EdgeName) -> Option<f64>,
}

/// The places of one layer of a plate.
pub fn on_plate(solid: &Solid, at: (&Part, usize), plane: &Plane<'_>, group: &[&Piece], report: &mut Report) {
    let frame = |on: &Ground| match on {
        Ground::Plate { centre } => Some(Frame { at: plane.flat(*centre), x: Vec2::X, y: Vec2::Y }),
        _ => None,
    };
    let off = |p: Vec2, edge: EdgeName| (edge == EdgeName::Outline).then(|| plane.off_edge(p));
    on_flat(solid, at, &Seen { frame: &frame, off: &off }, group, report);
}

/// The places of one layer of a plate with corners.
pub fn on_sided(solid: &Solid, at: (&Part, usize), sheet: &sided::Sheet<'_>, group: &[&Piece], report: &mut Report) {
    let frame = |on: &Ground| match on {
        Ground::Plate { centre } => Some(Frame { at: sheet.flat(*centre), x: Vec2::X, y: Vec2::Y }),
        _ => None,
    };
    let off = |p: Vec2, edge: EdgeName| if let EdgeName::Side(k) = edge { sheet.off_side(p, k) } else { None };
    on_flat(solid, at, &Seen { frame: &frame, off: &off }, group, report);
}

/// The places of a wall that is folded from one strip.
pub fn on_folded(solid: &Solid, at: (&Part, usize), strip: &Strip<'_>, group: &[&Piece], report: &mut Report) {
    let frame = |on: &Ground| match on {
        Ground::Face { face, centre } => {
            let [at, left, y] = strip.frame(*face, *centre)?;
            Some(Frame { at, x: -left, y })
        }
        _ => None,
    };
    let off = |p: Vec2, edge: EdgeName| strip.off_edge(p, edge);
    on_flat(solid, at, &Seen { frame: &frame, off: &off }, group, report);
}

/// The places of one layer of a leaf: an outline keeps its form, and turns as what leads up its measured face does.
pub fn on_leaf(solid: &Solid, at: (&Part, usize), leaf: &Sheet<'_>, group: &[&Piece], report: &mut Report) {
    let frame = |on: &Ground| match on {
        Ground::Leaf { at } => {
            let [at, below, above] = [*at, *at - Vec2::Y, *at + Vec2::Y].map(|p| leaf.laid(p));
            let y = (above? - below?).normalize_or_zero();
            Some(Frame { at: at?, x: right_of(y), y })
        }
        _ => None,
    };
    let off = |p: Vec2, edge: EdgeName| if edge == EdgeName::Outline { leaf.off_edge(p) } else { None };
    on_flat(solid, at, &Seen { frame: &frame, off: &off }, group, report);
}

fn on_flat(solid: &Solid, (part, layer): (&Part, usize), seen: &Seen<'_>, group: &[&Piece], report: &mut Report) {
    let mut asked = BTreeSet::new();
    for (i, spot) in solid.fitted.spots.iter().enumerate() {
        if !shows(solid, spot, part, layer) {
            continue;
        }
        asked.insert(i);
        let frame = (seen.frame)(&spot.on);
        report.holds(Check::Closure, &format!("place of {}", spot.name), "lies on its part", frame.is_some());
        let Some(frame) = frame else { continue };
        one(spot, i, &[frame.at], &[frame.placed(&spot.outline)], &|_| f64::INFINITY, group, report);
        let from = |edge: EdgeName| (seen.off)(frame.at, edge);
        lengths(spot, i, &from, group, report);
    }
    others(&asked, group, report);
}

/// One place against the marks of a panel's pieces. `outlines` is where it lies on the flat, once for each side of
/// the seam, `at` its point; `within` how far a point lies on the panel's side of its seam.
fn one(
    spot: &Spot,
    index: usize,
    at: &[Vec2],
    outlines: &[Path],
    within: &dyn Fn(Vec2) -> f64,
    group: &[&Piece],
    report: &mut Report,
) {
    let what = format!("place of {}", spot.name);
    let mut chains: Vec<Path> = Vec::new();
    for piece in group {
        let own: Vec<Path> = piece
            .marks
            .iter()
            .filter(|m| m.about == About::Place(index))
            .map(|m| measure::path_undone(&piece.from_flat, &m.path))
            .collect();
        report.verdict.checked.marks += own.len();
        let noted: Vec<_> = piece.places.iter().filter(|p| p.spot == index).collect();
        report.count(&format!("{what} in the key"), noted.len(), usize::from(!own.is_empty()));
        for note in noted {
            let true_name = note.name == spot.name && note.hidden == (spot.face == Face::Inside);
            report.holds(Check::Coverage, &what, "goes by its name, on its face", true_name);
        }
        chains.extend(own);
    }
    report.holds(Check::Coverage, &what, "drawn", !chains.is_empty());
    if spot.face == Face::Inside {
        let corners: Vec<Vec2> = outlines.iter().flat_map(corners).collect();
        pricks(&what, &corners, within, &chains, report);
        return;
    }
    if spot.outline.segs.iter().all(|s| s.bulge != 0.0) {
        // A round one has its middle marked too.
        let straight = |c: &Path| c.segs.iter().all(|s| s.bulge == 0.0);
        let (crosses, round): (Vec<Path>, Vec<Path>) = chains.into_iter().partition(straight);
        let middles: Vec<Vec2> = at.iter().copied().filter(|p| within(*p) > -LANDING).collect();
        pricks(&format!("middle of the {what}"), &middles, within, &crosses, report);
        chains = round;
    }
    lines(&what, outlines, within, &chains, report);
}

fn lines(what: &str, outlines: &[Path], within: &dyn Fn(Vec2) -> f64, chains: &[Path], report: &mut Report) {
    let near = |p: Vec2, paths: &[Path]| paths.iter().map(|c| measure::to_path(p, c)).fold(f64::INFINITY, f64::min);
    let mut most = Most::default();
    for chain in chains {
        for p in measure::samples(chain, 1.0, 1e-3) {
            most.add(near(p, outlines).max(-within(p)), p);
        }
    }
    for p in outlines.iter().flat_map(|o| measure::samples(o, 1.0, 1e-3)) {
        if within(p) > LANDING {
            most.add(near(p, chains), p);
        }
    }
    most.enter(report, Check::Landing, what, LANDING);
    if let [chain] = chains
        && outlines.iter().filter(|o| measure::samples(o, 1.0, 1e-3).iter().all(|p| within(*p) > LANDING)).count() == 1
    {
        let open = chain.start().zip(chain.end()).map_or(f64::INFINITY, |(a, b)| (b - a).length());
        report.figure(Check::Coverage, what, "closed".to_owned(), open, 0.0);
        report.holds(Check::Hand, what, "has an area", measure::path_area(&[chain]).abs() > 0.0);
    }
}

/// Two strokes across each other at every corner.
fn pricks(what: &str, corners: &[Vec2], within: &dyn Fn(Vec2) -> f64, chains: &[Path], report: &mut Report) {
    let asked: Vec<Vec2> = corners.iter().copied().filter(|p| within(*p) > -LANDING).collect();
    let mut strokes: Vec<Vec<Vec2>> = vec![Vec::new(); asked.len()];
    for chain in chains {
        let [s] = chain.segs.as_slice() else {
            report.holds(Check::Coverage, what, "one straight stroke", false);
            continue;
        };
        let middle = (s.a + s.b) * 0.5;
        let off = |p: &Vec2| (*p - middle).length();
        let nearest = (0..asked.len()).min_by(|a, b| off(&asked[*a]).total_cmp(&off(&asked[*b])));
        let by = nearest.map_or(f64::INFINITY, |i| off(&asked[i]));
        report.figure(Check::Landing, what, "a corner's cross".to_owned(), by, LANDING);
        if let Some(i) = nearest {
            strokes[i].push((s.b - s.a).normalize_or_zero());
        }
    }
    for (p, ways) in asked.iter().zip(&strokes) {
        // On the seam itself either side may have it.
        if ways.is_empty() && within(*p) <= LANDING {
            continue;
        }
        let square = matches!(ways.as_slice(), [a, b] if a.dot(*b).abs() < 0.1);
        report.holds(Check::Coverage, what, "two strokes at every corner", square);
    }
}

/// The corners of an outline: where its way turns by an eighth of a right angle and more; of a round one quarters.
fn corners(outline: &Path) -> Vec<Vec2> {
    let n = outline.segs.len();
    let way = |s: &crate::geom::path::Seg, end: bool| {
        // A chord stands off its arc's ends by half the turn: twice the arc tangent of the bulge.
        let chord = s.b - s.a;
        let turn = 2.0 * num::atan(s.bulge) * if end { 1.0 } else { -1.0 };
        num::atan2(chord.y, chord.x) + turn
    };
    let mut out = Vec::new();
    for i in 0..n {
        let (a, b) = (&outline.segs[i], &outline.segs[(i + 1) % n]);
        let by = num::wrap(way(b, false) - way(a, true) + num::PI, num::TAU) - num::PI;
        if by.abs() > 0.2 {
            out.push(a.b);
        }
    }
    if out.is_empty() {
        let long = outline.length();
        let at = |i: usize| outline.at_length(long * i as f64 / ROUND as f64).map(|p| p.0);
        out.extend((0..ROUND).filter_map(at));
    }
    out
}

/// Marks and notes of places that this panel has not.
fn others(asked: &BTreeSet<usize>, group: &[&Piece], report: &mut Report) {
    for piece in group {
        let marked = piece.marks.iter().filter_map(|m| if let About::Place(i) = m.about { Some(i) } else { None });
        let strange = marked.chain(piece.places.iter().map(|p| p.spot)).filter(|i| !asked.contains(i)).count();
        report.count("places of other faces", strange, 0);
        let numbers: BTreeSet<usize> = piece.places.iter().map(|p| p.number).collect();
        report.count("numbers of places", numbers.len(), piece.places.len());
    }
}
