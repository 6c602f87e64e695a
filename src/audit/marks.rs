//! Marks: each is done as what it is about asks, ticks stand on their edge and lead into the piece, the centre line
//! runs from rim to rim, and arrows point up the wall.

use crate::design::Face;
use crate::geom::Vec2;
use crate::geom::path::Path;
use crate::ids::PartId;
use crate::num;
use crate::piece::{About, Mark, Operation, Piece};
use crate::solid::{EdgeName, EdgeRef, Seam, Solid, Stroke};
use crate::verdict::Check;

use super::laid::Laid;
use super::measure;
use super::report::{FIT, LANDING, Most, Report};
use super::wall::edge_name;

/// A tick is no longer than this, mm; it is seen from 1 mm on.
const TICK: (f64, f64) = (1.0, 6.0);
/// A tick may stand off square to its edge by this much, degrees: it is square to the edge at half depth, and where a wall
/// twists the face that is cut runs otherwise, 10.2 degrees on a thousand walls of chance.
const ASKEW: f64 = 15.0;
/// An arrow may stand off the wall's way up by this much, degrees: it is read, not measured.
const POINTS: f64 = 60.0;

/// What is done along a mark follows from what it is about.
pub fn operations(solid: &Solid, piece: &Piece, seam: Option<Seam>, r: &mut Report) {
    for mark in &piece.marks {
        let asked = match mark.about {
            About::Bevel(_) => Operation::Bevel,
            About::Notch { .. } => Operation::Notch,
            About::Lap if matches!(seam, Some(Seam::Tabs(_))) => Operation::Fold,
            About::Lap => Operation::Place,
            // A fold, or a slit into what is folded.
            About::Turn(_) if mark.operation == Operation::Slit => Operation::Slit,
            About::Turn(_) => Operation::Fold,
            About::Centre => Operation::Centre,
            About::Place(_) => Operation::Place,
            About::Trace(i) => match solid.traces.get(i).map(|t| (t.face, t.stroke)) {
                Some((Face::Inside, _)) | None => Operation::Place,
                Some((_, Stroke::Score)) => Operation::Score,
                Some((_, Stroke::Groove)) => Operation::Groove,
                Some((_, Stroke::Line)) => Operation::Line,
                Some((_, Stroke::Form)) => Operation::Form,
            },
            About::Lettering => Operation::Letter,
        };
        let what = match mark.about {
            About::Bevel(edge) => format!("bevel line of the {}", edge_name(edge)),
            About::Notch { edge, .. } => format!("notch of the {}", edge_name(edge)),
            About::Lap => "seam line of the lap or tabs".into(),
            About::Turn(edge) => format!("fold or slit of the turn of the {}", edge_name(edge)),
            About::Centre => "centre line".into(),
            About::Place(_) => "place of a fitting".into(),
            About::Trace(i) => format!("mark {}", solid.traces.get(i).map_or("", |t| t.name.as_str())),
            About::Lettering => "lettering".into(),
        };
        r.holds(Check::Coverage, &what, &format!("is a {asked:?} line"), mark.operation == asked);
    }
    let seam_line = piece.marks.iter().any(|m| m.about == About::Lap);
    let asked = matches!(seam, Some(Seam::Lap(_) | Seam::Tabs(_)));
    r.holds(Check::Coverage, "seam line of the lap or tabs", "has a lap or tabs", asked || !seam_line);
}

/// Every tick belongs to a joint of its edge, begins on that edge and leads into the piece, square to the edge.
pub fn ticks(solid: &Solid, piece: &Piece, part: PartId, ring: usize, r: &mut Report) {
    let ground = measure::Ground::of(piece);
    for mark in &piece.marks {
        let About::Notch { joint, edge, .. } = mark.about else { continue };
        let here = EdgeRef { part, ring, edge };
        let met = match piece.split {
            Some(split) if edge == EdgeName::Cut => split.joint == joint,
            _ => solid.joints.iter().any(|j| j.id == joint && (j.a == here || j.b == here)),
        };
        let what = format!("notch of the {}", edge_name(edge));
        r.holds(Check::Coverage, &what, "is one of a joint of this edge", met);
        let (Some(a), Some(b)) = (mark.path.start(), mark.path.end()) else {
            r.holds(Check::Coverage, &what, "has a line", false);
            continue;
        };
        let lines = lines_of(piece, edge).flat_map(|(p, over)| p.segs.iter().map(move |s| (s, over)));
        let near = lines.map(|(s, over)| (measure::to_seg(a, s), s, over));
        let nearest = near.min_by(|p, q| p.0.total_cmp(&q.0));
        let off = nearest.map_or(f64::INFINITY, |n| n.0);
        r.figure(Check::Notch, &what, format!("begins {off:.3} mm off its edge"), off, FIT);
        let way = nearest.map_or(Vec2::ZERO, |n| direction_near(n.1, a));
        // Beside a lap there is sheet on both sides of the seam line: the piece lies to the left of its contour.
        let leads = nearest.is_some_and(|n| way.perp_dot(b - a) * if n.2 { -1.0 } else { 1.0 } > 0.0);
        let inside = leads && ground.holds((a + b) * 0.5) && ground.holds(b);
        r.holds(Check::Notch, &what, "leads into the piece", inside);
        let long = (b - a).length();
        // One is shorter only where there is no more than that again of the piece behind it.
        let least = if ground.holds(a + (b - a) * 2.1) { TICK.0 } else { 0.0 };
        r.holds(Check::Notch, &what, &format!("{long:.2} mm long"), (least..=TICK.1).contains(&long));
        let askew = num::asin(way.dot((b - a).normalize_or_zero()).clamp(-1.0, 1.0)).abs().to_degrees();
        // At a corner the nearest line may be either side's.
        let place = format!("{askew:.1}° off square to its edge");
        r.holds(Check::Notch, &what, &place, askew <= ASKEW);
    }
}

/// The direction of a line or arc at the place nearest to `p`.
fn direction_near(s: &crate::geom::path::Seg, p: Vec2) -> Vec2 {
    match s.centre() {
        Some(c) => crate::geom::left_of(p - c).normalize_or_zero() * s.bulge.signum(),
        None => (s.b - s.a).normalize_or_zero(),
    }
}

/// The lines on which an edge's ticks stand, and whether the piece lies to their right: marks of a piece that is turned
/// over are not walked the other way round.
fn lines_of(piece: &Piece, edge: EdgeName) -> impl Iterator<Item = (&Path, bool)> {
    let over = piece.from_flat.mirror;
    let runs = piece
        .contour
        .iter()
        .filter(move |r| r.edge == Some(edge) || (edge == EdgeName::Cut && r.edge.is_none()))
        .map(|r| (&r.path, false));
    // Of an edge that is folded over the fold; its ticks stand on that.
    let fold = move |m: &Mark| m.about == About::Turn(edge) && m.operation == Operation::Fold;
    let seam = move |m: &&Mark| edge == EdgeName::End && m.about == About::Lap || fold(m);
    runs.chain(piece.marks.iter().filter(seam).map(move |m| (&m.path, over)))
}

/// The bevel lines of an edge that is cut square: none.
pub fn no_bevel(group: &[&Piece], edge: EdgeName, r: &mut Report) {
    let of = |m: &&Mark| m.about == About::Bevel(edge);
    let is = group.iter().flat_map(|p| &p.marks).filter(of).count();
    r.count(&format!("bevel line of the {}", edge_name(edge)), is, 0);
}

/// The centre line, all along the generatrix opposite the seam from rim to rim, but for holes.
pub fn centre(laid: &Laid<'_>, group: &[&Piece], r: &mut Report) {
    let mut lines: Vec<Path> = Vec::new();
    let mut holes: Vec<Path> = Vec::new();
    for piece in group {
        let marks = piece.marks.iter().filter(|m| m.about == About::Centre);
        // A cut between halves that runs along it stands for it.
        let cuts = super::beyond::cut_runs(piece).map(|r| &r.path);
        lines.extend(marks.map(|m| &m.path).chain(cuts).map(|p| measure::path_undone(&piece.from_flat, p)));
        holes.extend(piece.holes.iter().map(|h| measure::path_undone(&piece.from_flat, &h.outline)));
    }
    let mut most = Most::default();
    for (i, folded) in laid.strips.iter().enumerate() {
        let round = &laid.view.rounds[laid.ring.strips.start + i];
        let w = round.opposite();
        let g = round.generatrix(w);
        let end = |upper: bool| {
            let line = if upper { laid.cut.1 } else { laid.cut.0 };
            let rim = laid.rim_strip(upper) == i;
            let z = if upper { round.heights.1 } else { round.heights.0 };
            if rim { laid.view.line(laid.ring, upper, line, w, &laid.layer).foot } else { g.at(z, folded.depth) }
        };
        let (low, high) = (folded.flat(w, end(false)), folded.flat(w, end(true)));
        // Tongues end short of the rim, but for their tips.
        let ends_at = |upper: bool, from: Vec2, within: Vec2| {
            if laid.rim_strip(upper) == i { super::scallops::met(laid, upper, from, within) } else { from }
        };
        let (low, high) = (ends_at(false, low, high), ends_at(true, high, low));
        let steps = ((high - low).length() / 1.0).ceil().clamp(1.0, 5000.0) as usize;
        for k in 0..=steps {
            let p = low + (high - low) * (k as f64 / steps as f64);
            let open = |h: &Path| measure::encloses(h, p) || measure::to_path(p, h) <= LANDING;
            if holes.iter().any(open) {
                continue;
            }
            most.add(lines.iter().map(|l| measure::to_path(p, l)).fold(f64::INFINITY, f64::min), p);
        }
    }
    most.enter(r, Check::Landing, "centre line, from rim to rim", FIT);
}

/// Arrows: a shaft with one head points up; one with two lies along the grain.
pub fn arrows(piece: &Piece, up: impl Fn(Vec2) -> Vec2, r: &mut Report) {
    let strokes = || piece.marks.iter().filter(|m| m.about == About::Lettering);
    let heads: Vec<(Vec2, Vec2)> = strokes()
        .filter_map(|m| match m.path.segs.as_slice() {
            [a, b] => Some((a.b, a.b - (a.a + b.b) * 0.5)),
            _ => None,
        })
        .collect();
    let mut used = 0;
    let mut arrows = 0;
    for shaft in strokes() {
        let [s] = shaft.path.segs.as_slice() else { continue };
        let at = |p: Vec2, way: Vec2| heads.iter().any(|(tip, to)| (*tip - p).length() < 0.01 && to.dot(way) > 0.0);
        let (there, back) = (at(s.b, s.b - s.a), at(s.a, s.a - s.b));
        used += usize::from(there) + usize::from(back);
        let way = if there { s.b - s.a } else { s.a - s.b };
        let turn = |a: Vec2, b: Vec2| num::atan2(a.perp_dot(b), a.dot(b)).abs().to_degrees();
        match (there, back) {
            (true, true) => {
                let off = piece.grain.map_or(f64::NAN, |g| turn(way, g).min(turn(-way, g)));
                r.figure(Check::Grain, "arrow of the grain", "on the piece".into(), off, 0.1);
            }
            (false, false) => r.holds(Check::Hand, "arrow", "has a head", false),
            _ => {
                arrows += 1;
                let middle = measure::undone(&piece.from_flat, (s.a + s.b) * 0.5);
                let local = piece.from_flat.apply_direction(up(middle));
                // On a wide sector the wall's ways up differ: that of the piece, or that of the place.
                let off = turn(way, local).min(turn(way, piece.up));
                r.holds(Check::Hand, "arrow", &format!("{off:.1}° from the way up"), off <= POINTS);
            }
        }
    }
    r.holds(Check::Hand, "arrow", "each head on its shaft, and one arrow", used == heads.len() && arrows <= 1);
}
