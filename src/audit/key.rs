//! What a piece's key says of its edges, against the solid: their names, whom they meet, their letters, how many
//! notches they carry, how long they are on each face and how they are bevelled. Lengths are quadratures along the
//! edges in space, bevels the angles between the end face and a square cut.

use crate::design::Hand;
use crate::geom::{Vec3, tol};
use crate::ids::PartId;
use crate::num;
use crate::piece::{About, EdgeNote, Piece};
use crate::solid::{Body, EdgeName, EdgeRef, Gap, Joint, Rim, Seam, Solid};
use crate::verdict::Check;

use super::laid::Laid;
use super::lines::Line;
use super::measure;
use super::plate::Plane;
use super::report::{FIT, Report};
use super::wall::edge_name;

/// Bevels are written in half degrees: half of that, and a little for angles between samples.
const HALF: f64 = 0.35;
/// The same for a bevel that is only told, in tenths.
const TENTH: f64 = 0.06;
/// A bevel that moves the line by less than this is none.
const NONE: f64 = 0.011;

/// What the key ought to say of an edge.
#[derive(Clone, Copy, Debug)]
pub struct Truth {
    /// On the inside, neutral and outside face; where a wall is drawn together to a point its faces have no edge.
    pub long: [Option<f64>; 3],
    pub bevel: Bevel,
}

/// How an edge leans: least and most angle between its end face and a square cut, positive where the outside is
/// longer, degrees; how far that moves the line at most; whether it is cut bevelled; the sheet's thickness.
#[derive(Clone, Copy, Debug)]
pub struct Bevel {
    pub least: f64,
    pub most: f64,
    pub shift: f64,
    pub cut: bool,
    pub thick: f64,
    /// Both faces lean in to an edge half-way between them.
    pub both: bool,
}

impl Bevel {
    pub const SQUARE: Self = Self { least: 0.0, most: 0.0, shift: 0.0, cut: false, thick: 0.0, both: false };

    /// Of its least and most angle, degrees.
    pub fn of((least, most): (f64, f64), cut: bool, thick: f64) -> Self {
        let shift = thick * num::tan(least.abs().max(most.abs()).to_radians());
        Self { least, most, shift, cut, thick, both: false }
    }
}

/// The key of a wall's pieces.
pub fn on_wall(solid: &Solid, laid: &Laid<'_>, group: &[&Piece], r: &mut Report) {
    let ring = laid.panel.ring;
    for edge in [EdgeName::Lower, EdgeName::End, EdgeName::Upper, EdgeName::Begin] {
        let here = EdgeRef { part: laid.panel.part, ring, edge };
        let truth = match edge {
            EdgeName::Lower | EdgeName::Upper => rim(laid, edge == EdgeName::Upper),
            _ => {
                let less = super::scallops::rise(laid, false) + super::scallops::rise(laid, true);
                Truth { long: side(laid, edge == EdgeName::End).map(|l| Some(l - less)), bevel: Bevel::SQUARE }
            }
        };
        let upper = edge == EdgeName::Upper;
        let row = matches!(edge, EdgeName::Lower | EdgeName::Upper)
            .then(|| laid.view.wall.scalloped(ring, upper).zip(super::scallops::expected(laid, upper)))
            .flatten();
        if let Some((asked, row)) = row {
            // As long as it is cut, on whichever face.
            let long: f64 = row.path.segs.iter().map(crate::geom::path::Seg::length).sum();
            let truth = Truth { long: [Some(long); 3], bevel: Bevel::SQUARE };
            let tall = (asked.rise * 10.0).round() / 10.0;
            let said = format!("; {} tongues, {tall} mm from notch to tip", asked.count);
            edge_of(solid, here, truth, Some(&said), group, r);
            continue;
        }
        let turned = laid.view.noted(ring, edge).map(super::turn::said);
        let truth = if laid.view.turn(ring, edge).is_some() { Truth { bevel: Bevel::SQUARE, ..truth } } else { truth };
        let allowance = match laid.view.wall.seam {
            _ if turned.is_some() => turned,
            Seam::Lap(mm) if edge == EdgeName::End => Some(format!("; laps {mm} mm ")),
            Seam::Tabs(mm) if edge == EdgeName::End => Some(format!("; glue tabs {mm} mm")),
            Seam::Open(Gap::Leaves(_)) => short_of_point(laid, edge),
            _ => None,
        };
        let allowance = match (shaped(laid, edge), allowance) {
            (Some(figure), more) => Some(figure + &more.unwrap_or_default()),
            (None, allowance) => allowance,
        };
        edge_of(solid, here, truth, allowance.as_deref(), group, r);
    }
    cut_in_two(solid, group, r);
}

/// What is said of a rim that is cut to a figure.
fn shaped(laid: &Laid<'_>, edge: EdgeName) -> Option<String> {
    let rim = match edge {
        EdgeName::Lower => laid.ring.lower,
        EdgeName::Upper => laid.ring.upper,
        _ => return None,
    };
    let Rim::Shaped { upper } = rim else { return None };
    let named = laid.view.wall.figure(upper)?.named;
    let times = match named.count {
        _ if named.several.is_empty() => "a curve".to_owned(),
        1 => format!("1 {}", named.one),
        n => format!("{n} {}", named.several),
    };
    let tall = (named.rise * 10.0).round() / 10.0;
    Some(format!("; {times}, {tall} mm deep"))
}

/// What is said of a backing strip's end that is cut before the wall's point.
fn short_of_point(laid: &Laid<'_>, edge: EdgeName) -> Option<String> {
    let (upper, rim) = match edge {
        EdgeName::Lower => (false, laid.ring.lower),
        EdgeName::Upper => (true, laid.ring.upper),
        _ => return None,
    };
    let Rim::At(z) = rim else { return None };
    let (bottom, top) = laid.view.rounds[laid.ring.strips.start + laid.rim_strip(upper)].heights;
    let by = if upper { top - z } else { z - bottom };
    Some(format!("; ends {by:.1} mm short of the point"))
}

/// The key of a plate's pieces.
pub fn on_plate(solid: &Solid, part: PartId, plane: &Plane<'_>, group: &[&Piece], r: &mut Report) {
    let here = EdgeRef { part, ring: 0, edge: EdgeName::Outline };
    let turned = plane.turn.as_ref().map(super::turn::said);
    let truth = plane.truth();
    let truth = if plane.turn().is_some() { Truth { bevel: Bevel::SQUARE, ..truth } } else { truth };
    edge_of(solid, here, truth, turned.as_deref(), group, r);
    cut_in_two(solid, group, r);
}

/// The key of a leaf's pieces.
pub fn on_leaf(solid: &Solid, part: PartId, truth: Truth, wide: Option<&str>, group: &[&Piece], r: &mut Report) {
    let here = EdgeRef { part, ring: 0, edge: EdgeName::Outline };
    edge_of(solid, here, truth, wide, group, r);
}

/// The key of the pieces of a plate with corners.
pub fn on_sided(solid: &Solid, part: PartId, sheet: &super::sided::Sheet<'_>, group: &[&Piece], r: &mut Report) {
    for k in 0..sheet.count() {
        edge_of(solid, EdgeRef { part, ring: 0, edge: EdgeName::Side(k) }, sheet.truth(k), None, group, r);
    }
    cut_in_two(solid, group, r);
}

/// The key of the pieces of a wall that is folded from one strip.
pub fn on_folded(solid: &Solid, part: PartId, strip: &super::folded::Strip<'_>, group: &[&Piece], r: &mut Report) {
    for (edge, truth) in strip.truths() {
        edge_of(solid, EdgeRef { part, ring: 0, edge }, truth, strip.said(edge).as_deref(), group, r);
    }
    cut_in_two(solid, group, r);
}

/// A rim's lengths and bevel between the panel's sides.
fn rim(laid: &Laid<'_>, upper: bool) -> Truth {
    let (view, ring, layer) = (laid.view, laid.ring, &laid.layer);
    let round = &view.rounds[laid.ring.strips.start + laid.rim_strip(upper)];
    let edge = |w: f64, d: f64| view.edge(ring, upper, w, d, layer.neutral).point;
    let long = [layer.inner, layer.neutral, layer.outer].map(|d| laid.edge_length(upper, d));
    let thick = layer.outer - layer.inner;
    let closed = matches!(if upper { ring.upper } else { ring.lower }, Rim::Closed(_));
    let long = if closed { [None, Some(long[1]), None] } else { long.map(Some) };
    if closed || thick <= 0.0 || layer.square {
        return Truth { long, bevel: Bevel::SQUARE };
    }
    let angle = |w: f64| {
        let g = round.generatrix(w);
        let e = edge(w, layer.outer) - edge(w, layer.inner);
        let up = g.normal.cross(view.runs(ring, upper, w));
        let lean = num::atan2(e.dot(up), e.dot(g.normal)).to_degrees();
        if upper { lean } else { -lean }
    };
    let cut = (if upper { laid.cut.1 } else { laid.cut.0 }) == Line::Widest;
    // A bevelled rim of an open seam ends at another generatrix on every face.
    let end = |at_end: bool| [layer.inner, layer.outer].map(|d| laid.rim_end(upper, at_end, d));
    let ((a, b), (c, d)) = (end(false).into(), end(true).into());
    Truth { long, bevel: Bevel::of(measure::range((f64::min(a, b), f64::max(c, d)), &angle), cut, thick) }
}

/// A side's lengths: on each face along one generatrix; an open seam's side that crosses generatrices is a straight
/// line of the neutral surface laid flat.
fn side(laid: &Laid<'_>, end: bool) -> [f64; 3] {
    let (view, ring, layer) = (laid.view, laid.ring, &laid.layer);
    let pick = |(from, to): (f64, f64)| if end { to } else { from };
    let w = [pick(laid.lower), pick(laid.upper)];
    let point = |upper: bool, d: f64| view.edge(ring, upper, w[usize::from(upper)], d, layer.neutral);
    let rule = |upper: bool| view.rounds[ring.strips.start + laid.rim_strip(upper)].generatrix(w[usize::from(upper)]);
    // On a flat side every generatrix has one normal: a side that crosses it is none of them.
    let (low, up) = (rule(false), rule(true));
    let apart = |z: f64| (low.at(z, 0.0) - up.at(z, 0.0)).length();
    let together = apart(up.foot.z).max(apart(up.head.z)) < tol::ONE_PIECE;
    if (low.phi - up.phi).abs() < 1e-3 && together {
        return [layer.inner, layer.neutral, layer.outer]
            .map(|d| (point(true, d).point - point(false, d).point).length());
    }
    let flat = |upper: bool| {
        let foot: Vec3 = point(upper, layer.neutral).foot;
        laid.strips[laid.rim_strip(upper)].flat(w[usize::from(upper)], foot)
    };
    [(flat(true) - flat(false)).length(); 3]
}

/// An edge as a maker calls it; sides by where they lie on the piece as it is seen, which is turned over for a right
/// hand.
fn plain(edge: EdgeName, hand: Option<Hand>) -> String {
    let left_begins = hand != Some(Hand::Right);
    let word = match edge {
        EdgeName::Side(k) => return format!("side {}", k + 1),
        EdgeName::Foot(k) => return format!("bottom of face {}", k + 1),
        EdgeName::Head(k) => return format!("top of face {}", k + 1),
        EdgeName::Lower => "bottom",
        EdgeName::Upper => "top",
        EdgeName::Begin if left_begins => "seam left side",
        EdgeName::End if left_begins => "seam right side",
        EdgeName::Begin => "seam right side",
        EdgeName::End => "seam left side",
        EdgeName::Outline => "rim",
        EdgeName::Cut => "cut in two",
    };
    word.to_owned()
}

/// Whom an edge meets, in words.
fn meets(solid: &Solid, here: EdgeRef, there: EdgeRef, hand: Option<Hand>) -> String {
    let edge = plain(there.edge, hand);
    if (here.part, here.ring) == (there.part, there.ring) {
        return format!("its own {edge}");
    }
    let Some(part) = solid.parts.get(there.part.index()) else { return String::new() };
    match &part.body {
        Body::Wall(w) if w.cut().rings.len() > 1 => format!("{} ring {} {edge}", part.name, there.ring + 1),
        _ => format!("{} {edge}", part.name),
    }
}

/// Whether a piece has a share of an edge: some of its contour, or the seam line under a lap.
fn shares(piece: &Piece, edge: EdgeName) -> bool {
    super::turn::edge_paths(piece, edge).any(|p| !p.is_empty())
        || (edge == EdgeName::End && piece.marks.iter().any(|m| m.about == About::Lap))
}

/// An edge has a note for each of its joints, or one when it has none; all of them but the first repeat what is said of
/// the edge itself.
fn edge_of(solid: &Solid, here: EdgeRef, truth: Truth, allowance: Option<&str>, group: &[&Piece], r: &mut Report) {
    let edge = here.edge;
    let joints: Vec<&Joint> = super::joints::joints_at(solid, here).collect();
    let mut any = false;
    let each = if joints.is_empty() { vec![None] } else { joints.into_iter().map(Some).collect() };
    for joint in each {
        let mut long = [0.0; 3];
        for piece in group {
            let id = joint.map(|j| j.id);
            let of = |n: &&EdgeNote| n.edge == edge && n.joint == id;
            let notes: Vec<&EdgeNote> = piece.edges.iter().filter(of).collect();
            let what = format!("key of the {}", edge_name(edge));
            r.count(&what, notes.len(), usize::from(shares(piece, edge)));
            for note in notes {
                any = true;
                r.holds(Check::Coverage, &format!("{what}, name"), &note.name, note.name == plain(edge, piece.hand));
                let met = joint.map(|j| meets(solid, here, if j.a == here { j.b } else { j.a }, piece.hand));
                let said = note.meets.clone().unwrap_or_default();
                r.holds(Check::Partner, &format!("{what}, whom it meets"), &said, note.meets == met);
                ticks(piece, note, &what, r);
                bevel(note, truth.bevel, allowance, &what, r);
                for (sum, l) in long.iter_mut().zip([note.long.inside, note.long.neutral, note.long.outside]) {
                    *sum += l;
                }
            }
        }
        if !any {
            return;
        }
        for (face, (is, asked)) in ["inside", "neutral", "outside"].iter().zip(long.iter().zip(truth.long)) {
            let Some(asked) = asked else { continue };
            let what = format!("key's length of the {}, {face}", edge_name(edge));
            r.figure(Check::Partner, &what, format!("{is:.3} mm for {asked:.3}"), (is - asked).abs(), FIT);
        }
    }
    // And none for a joint that it is not part of.
    for piece in group {
        let said = piece.edges.iter().filter(|n| n.edge == edge).count();
        let asked = super::joints::joints_at(solid, here).count().max(1) * usize::from(shares(piece, edge));
        r.count(&format!("all of the key of the {}", edge_name(edge)), said, asked);
    }
}

fn ticks(piece: &Piece, note: &EdgeNote, what: &str, r: &mut Report) {
    let of = |a: About| matches!(a, About::Notch { edge, joint, .. } if edge == note.edge && note.joint.is_none_or(|j| j == joint));
    let is = piece.marks.iter().filter(|m| of(m.about)).count();
    r.count(&format!("{what}, notches"), note.notches, is);
}

/// What a bevel's text says.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Said {
    Square,
    /// Cut square though it leans: degrees, and how far that moves the line.
    Let(f64, f64),
    /// Least and most degrees, positive where the outside is long.
    Long(f64, f64),
    /// Degrees on either face.
    Both(f64),
}

fn said(text: &str) -> Option<Said> {
    let degrees = |t: &str| t.trim().parse::<f64>().ok();
    if text == "square" {
        return Some(Said::Square);
    }
    if let Some(rest) = text.strip_prefix("cut square (a bevel of ") {
        let (angle, rest) = rest.split_once("° moves the line ")?;
        return Some(Said::Let(degrees(angle)?, degrees(rest.strip_suffix(" mm)")?)?));
    }
    if let Some(figures) = text.strip_suffix("° from both faces") {
        return Some(Said::Both(degrees(figures)?));
    }
    if let Some((low, high)) = text.split_once(" to ") {
        let low = degrees(low.strip_suffix("° long inside")?)?;
        return Some(Said::Long(-low, degrees(high.strip_suffix("° long outside")?)?));
    }
    let (figures, outside) = match text.strip_suffix("° long outside") {
        Some(f) => (f, true),
        None => (text.strip_suffix("° long inside")?, false),
    };
    let (low, high) = figures.split_once('–').unwrap_or((figures, figures));
    let (low, high) = (degrees(low)?, degrees(high)?);
    Some(if outside { Said::Long(low, high) } else { Said::Long(-high, -low) })
}

fn bevel(note: &EdgeNote, truth: Bevel, allowance: Option<&str>, what: &str, r: &mut Report) {
    let what = format!("{what}, bevel");
    let (text, rest) = note.bevel.split_at(note.bevel.find(';').unwrap_or(note.bevel.len()));
    let added = allowance.map_or(rest.is_empty(), |a| rest.starts_with(a));
    r.holds(Check::Claim, &format!("{what}, lap or tabs"), &note.bevel, added);
    let place = format!("\"{text}\" for {:.1}° to {:.1}°", truth.least, truth.most);
    let mm = |degrees: f64| truth.thick * num::tan(degrees.abs().min(89.0).to_radians());
    let (off, allowed) = match said(text) {
        None => (f64::NAN, 0.0),
        Some(Said::Square) => (truth.shift, NONE),
        Some(_) if truth.thick <= 0.0 => (f64::NAN, 0.0),
        Some(Said::Let(..)) if truth.cut => (f64::NAN, 0.0),
        Some(Said::Let(angle, moves)) => {
            let steepest = truth.least.abs().max(truth.most.abs());
            // No less than a tenth is written.
            let shift = (moves - truth.shift.max(0.1)).abs() - 0.05;
            (mm(angle - steepest).max(shift), mm(TENTH))
        }
        Some(Said::Long(..)) if !truth.cut || truth.both => (f64::NAN, 0.0),
        Some(Said::Both(_)) if !truth.cut || !truth.both => (f64::NAN, 0.0),
        Some(Said::Both(angle)) => (mm(angle - truth.most), mm(HALF)),
        Some(Said::Long(low, high)) => (mm(low - truth.least).max(mm(high - truth.most)), mm(HALF)),
    };
    r.figure(Check::Transfer, &what, place, off, allowed);
}

/// The cut between the halves of a panel: one letter of its own, each the other's partner, ticks in the same places.
fn cut_in_two(solid: &Solid, group: &[&Piece], r: &mut Report) {
    let what = format!("key of the {}", edge_name(EdgeName::Cut));
    let mut letters: Vec<(&str, usize)> = Vec::new();
    for piece in group {
        let notes: Vec<&EdgeNote> = piece.edges.iter().filter(|n| n.edge == EdgeName::Cut).collect();
        r.count(&what, notes.len(), usize::from(piece.split.is_some()));
        let Some(split) = piece.split else { continue };
        for note in notes {
            let letter = note.letter.as_deref().unwrap_or_default();
            let taken = letter.is_empty() || solid.joints.iter().any(|j| j.letter == letter || j.id == split.joint);
            r.holds(Check::Partner, &format!("{what}, letter"), letter, !taken && note.joint == Some(split.joint));
            letters.push((letter, split.joint.index()));
            let other = format!("half {}", 3 - split.half.min(3));
            let said = note.meets.clone().unwrap_or_default();
            r.holds(Check::Partner, &format!("{what}, whom it meets"), &said, said == other);
            r.holds(Check::Coverage, &format!("{what}, name"), &note.name, note.name == plain(EdgeName::Cut, None));
            ticks(piece, note, &what, r);
            bevel(note, Bevel::SQUARE, None, &what, r);
            let is: f64 = super::beyond::cut_runs(piece).map(|run| run.path.length()).sum();
            for (face, said) in
                [("inside", note.long.inside), ("neutral", note.long.neutral), ("outside", note.long.outside)]
            {
                let what = format!("key's length of the {}, {face}", edge_name(EdgeName::Cut));
                r.figure(Check::Partner, &what, format!("{said:.3} mm for {is:.3}"), (said - is).abs(), FIT);
            }
        }
    }
    r.holds(
        Check::Partner,
        &format!("{what}, letter"),
        "both halves' is one",
        letters.windows(2).all(|l| l[0] == l[1]),
    );
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bevels_are_read_with_their_face() {
        assert_eq!(said("square"), Some(Said::Square));
        assert_eq!(said("12° long outside"), Some(Said::Long(12.0, 12.0)));
        assert_eq!(said("3–9° long inside"), Some(Said::Long(-9.0, -3.0)));
        assert_eq!(said("4° long inside to 6° long outside"), Some(Said::Long(-4.0, 6.0)));
        assert_eq!(said("cut square (a bevel of 1.1° moves the line 0.1 mm)"), Some(Said::Let(1.1, 0.1)));
        assert_eq!(said("63.5° from both faces"), Some(Said::Both(63.5)));
        assert_eq!(said("21–22.5° long outside"), Some(Said::Long(21.0, 22.5)));
        assert_eq!(said("slanted"), None);
    }
}
