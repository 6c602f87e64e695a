//! Partners: both edges of a joint held against the one curve in space along which they meet, in length and at every
//! notch. Each is measured on its own folded piece, so two edges that agree with the curve agree with each other.

use std::collections::BTreeMap;

use crate::geom::path::Path;
use crate::geom::{Vec2, Vec3};
use crate::ids::PartId;
use crate::num;
use crate::piece::{About, Mark, Piece};
use crate::solid::{Body, Contact, EdgeName, EdgeRef, Joint, Seam, Solid};
use crate::verdict::Check;

use super::laid::{Hints, Laid};
use super::lines::{Line, View};
use super::measure;
use super::plate::Plane;
use super::report::{FIT, LANDING, Report};
use super::space::{Gen, Round};
use super::wall::edge_name;

/// A joint's curve in space and arc lengths along it.
pub struct Curve<'a> {
    solid: &'a Solid,
    views: &'a [Option<View<'a>>],
    contact: &'a Contact,
}

impl<'a> Curve<'a> {
    pub fn new(solid: &'a Solid, views: &'a [Option<View<'a>>], contact: &'a Contact) -> Self {
        Self { solid, views, contact }
    }

    fn view(&self, part: PartId) -> Option<&'a View<'a>> {
        self.views.get(part.index())?.as_ref()
    }

    /// The way round a strip of a wall, or the strip that bounds a plate.
    fn round(&self, part: PartId, strip: usize) -> Option<Round> {
        match &self.solid.parts.get(part.index())?.body {
            Body::Wall(_) => self.view(part)?.rounds.get(strip).cloned(),
            Body::Plate(plate) => Some(Round::new(&plate.strip)),
            Body::Leaf(_) | Body::Folded(_) => None,
        }
    }

    /// The length of a round contact from its start to the generatrix of a place on another strip with the same
    /// normals. `late`: on the seam itself, the end of the way round and not its start.
    pub fn to(&self, g: &Gen, late: bool) -> Option<f64> {
        let &Contact::Round { part, strip, z, depth } = self.contact else { return None };
        let round = self.round(part, strip)?;
        let w = round.nearest(g.phi, g.at(z, depth), depth, late)?;
        let start = self.reach(&round, part, strip, z).0;
        Some(round.length(start, w, 1e-5, &|w| round.generatrix(w).at(z, depth)))
    }

    /// Its whole length.
    pub fn length(&self) -> Option<f64> {
        match *self.contact {
            Contact::Round { part, strip, z, depth } => {
                let round = self.round(part, strip)?;
                let (a, b) = self.reach(&round, part, strip, z);
                Some(round.length(a, b, 1e-5, &|w| round.generatrix(w).at(z, depth)))
            }
            Contact::Rim { .. } => Some(self.chain()?.last()?.0),
            Contact::Line { from, to, .. } => Some((to - from).length()),
            Contact::Along { part, ring, depth } => {
                let view = self.view(part)?;
                let ring = view.wall.rings.get(ring)?;
                let end = |upper| view.edge(ring, upper, 0.0, depth, depth).point;
                Some((end(true) - end(false)).length())
            }
        }
    }

    /// A rim's contact in the prop, so close that its chords stand for it: lengths from its start, and points.
    fn chain(&self) -> Option<Vec<(f64, Vec3)>> {
        let &Contact::Rim { part, ring, upper, depth, .. } = self.contact else { return None };
        let place = self.solid.parts.get(part.index())?.place;
        let points = edge_points(self.view(part)?, ring, upper, depth)?;
        let mut long = num::Sum::new();
        let mut last = points.first()?.1;
        let mut chain = Vec::with_capacity(points.len());
        for (_, p) in points {
            long.add((p - last).length());
            last = p;
            chain.push((long.value(), place.apply(p)));
        }
        Some(chain)
    }

    /// The length along a rim's contact to the place nearest to a point of the prop, and how far that is.
    pub fn to_point(&self, p: Vec3) -> Option<(f64, f64)> {
        let chain = self.chain()?;
        let near = |w: &[(f64, Vec3)]| {
            let run = w[1].1 - w[0].1;
            let s = ((p - w[0].1).dot(run) / run.length_squared().max(f64::MIN_POSITIVE)).clamp(0.0, 1.0);
            (w[0].0 + (w[1].0 - w[0].0) * s, (p - w[0].1 - run * s).length())
        };
        chain.windows(2).map(near).min_by(|a, b| a.1.total_cmp(&b.1))
    }

    /// Where a round contact begins and ends: at the seam's rule, or at an open seam's sides.
    fn reach(&self, round: &Round, part: PartId, strip: usize, z: f64) -> (f64, f64) {
        let whole = (0.0, round.end());
        let Some(view) = self.view(part) else { return whole };
        let ring = view.wall.rings.iter().find(|r| r.strips.contains(&strip));
        let (Some(ring), Some(layer)) = (ring, self.solid.parts[part.index()].layers.first()) else { return whole };
        if !matches!(view.wall.seam, Seam::Open(_)) {
            return whole;
        }
        let upper = (z - round.heights.1).abs() < (z - round.heights.0).abs();
        view.span(ring, upper, layer)
    }

    /// The point from which a contact along the seam is measured, and its direction. A layer that is drawn together to
    /// a point closes where its own neutral surface does.
    pub fn seam(&self, neutral: f64) -> Option<(Vec3, Vec3)> {
        let &Contact::Along { part, ring, depth } = self.contact else { return None };
        let view = self.view(part)?;
        let ring = view.wall.rings.get(ring)?;
        let round = view.rounds.get(ring.strips.start)?;
        Some((view.edge(ring, false, 0.0, depth, neutral).point, round.generatrix(0.0).along))
    }
}

/// The edge of a ring's rim at a depth, point by point in its part's frame, each with its place.
fn edge_points(view: &View<'_>, ring: usize, upper: bool, depth: f64) -> Option<Vec<(f64, Vec3)>> {
    let ring = view.wall.rings.get(ring)?;
    let round = view.rounds.get(View::strip_at(ring, upper))?;
    Some(round.points(0.0, round.end(), 2e-5, &|w| view.edge(ring, upper, w, depth, depth).point))
}

/// Two rings that meet along a rim of both: their edges at the contact's depths lie on each other all round, and are of
/// one length.
pub fn meet(solid: &Solid, views: &[Option<View<'_>>], joint: &Joint, report: &mut Report) {
    let Contact::Rim { part, depth, other, .. } = joint.contact else { return };
    let edge = |e: EdgeRef| -> Option<Vec<Vec3>> {
        let depth = if e.part == part { depth } else { other };
        let place = solid.parts.get(e.part.index())?.place;
        let points = edge_points(views.get(e.part.index())?.as_ref()?, e.ring, e.edge == EdgeName::Upper, depth)?;
        Some(points.into_iter().map(|(_, p)| place.apply(p)).collect())
    };
    let what = format!("rings that meet at joint {}", joint.letter);
    let (Some(a), Some(b)) = (edge(joint.a), edge(joint.b)) else {
        report.holds(Check::Coverage, &what, "both edges", false);
        return;
    };
    let off = |from: &[Vec3], to: &[Vec3]| {
        let mut hint = 0;
        from.iter().map(|p| measure::to_chain(*p, to, &mut hint, 1e-3)).fold(0.0, f64::max)
    };
    report.figure(Check::Partner, &what, "in the prop".to_owned(), off(&a, &b).max(off(&b, &a)), LANDING);
    let long = |c: &[Vec3]| c.windows(2).map(|w| (w[1] - w[0]).length()).sum::<f64>();
    let (one, other) = (long(&a), long(&b));
    report.figure(Check::Partner, &what, format!("{one:.3} mm and {other:.3} mm long"), (one - other).abs(), FIT);
}

/// The joints of an edge.
pub fn joints_at(solid: &Solid, here: EdgeRef) -> impl Iterator<Item = &Joint> {
    solid.joints.iter().filter(move |j| j.a == here || j.b == here)
}

/// What a piece says of its edges: joint and letter are those of the solid.
pub fn notes(solid: &Solid, piece: &Piece, ring: usize, report: &mut Report) {
    for note in &piece.edges {
        let here = EdgeRef { part: piece.part, ring, edge: note.edge };
        let what = edge_name(note.edge);
        let joint = joints_at(solid, here).next();
        let said = note.joint.and_then(|id| solid.joints.iter().find(|j| j.id == id));
        let fits = match (joint, said) {
            (_, Some(s)) => s.a == here || s.b == here,
            (None, None) => true,
            (Some(_), None) => false,
        };
        report.holds(Check::Partner, what, "meets the edge it says", fits);
        if let Some(s) = said {
            let letter = note.letter.as_deref();
            report.holds(Check::Partner, what, "carries its joint's letter", letter == Some(s.letter.as_str()));
        }
    }
}

/// The notch marks of a panel's pieces, by joint and edge.
pub(super) fn ticks<'a>(group: &[&'a Piece], joint: &Joint, edge: EdgeName) -> Vec<(&'a Piece, &'a Mark, usize)> {
    let mut out = Vec::new();
    for piece in group {
        for mark in &piece.marks {
            if let About::Notch { joint: j, number, edge: e } = mark.about
                && j == joint.id
                && e == edge
            {
                out.push((*piece, mark, number));
            }
        }
    }
    out
}

/// The middle of a tick and its direction, on the flat.
pub(super) fn tick_line(piece: &Piece, path: &Path) -> Option<(Vec2, Vec2)> {
    let flat = measure::path_undone(&piece.from_flat, path);
    let (a, b) = (flat.start()?, flat.end()?);
    Some(((a + b) * 0.5, (b - a).normalize_or_zero()))
}

/// A joint's edge on a wall.
pub fn on_wall(curve: &Curve<'_>, joint: &Joint, edge: EdgeName, laid: &Laid<'_>, group: &[&Piece], r: &mut Report) {
    let what = format!("{} at joint {}", edge_name(edge), joint.letter);
    let mut at: BTreeMap<usize, f64> = BTreeMap::new();
    for (piece, mark, number) in ticks(group, joint, edge) {
        r.verdict.checked.notches += 1;
        r.verdict.checked.marks += 1;
        let Some((middle, way)) = tick_line(piece, &mark.path) else { continue };
        let s = match edge {
            EdgeName::Lower | EdgeName::Upper => {
                let upper = edge == EdgeName::Upper;
                let (strip, w) = on_rim(laid, upper, middle, way);
                let g = laid.view.rounds[strip].generatrix(w);
                match *curve.contact {
                    Contact::Rim { part, depth, other, .. } => {
                        let depth = if laid.panel.part == part { depth } else { other };
                        let place = curve.solid.parts.get(laid.panel.part.index()).map(|p| p.place);
                        let p = laid.view.edge(laid.ring, upper, w, depth, laid.layer.neutral).point;
                        place.and_then(|f| curve.to_point(f.apply(p))).map(|(s, _)| s)
                    }
                    Contact::Round { .. } | Contact::Along { .. } | Contact::Line { .. } => {
                        curve.to(&g, w > 0.5 * laid.view.rounds[strip].end())
                    }
                }
            }
            EdgeName::Begin | EdgeName::End => along_seam(curve, laid, middle, way, edge == EdgeName::End),
            EdgeName::Outline | EdgeName::Side(_) | EdgeName::Foot(_) | EdgeName::Head(_) | EdgeName::Cut => None,
        };
        let twice = at.insert(number, s.unwrap_or(f64::NAN)).is_some();
        r.holds(Check::Coverage, &what, "each notch once", !twice);
    }
    compare(joint, &what, &at, r);
    lengths(curve, edge_length(laid, group, edge), &what, r);
}

/// The cut length of a wall's edge, and what it should be.
pub fn edge_length(laid: &Laid<'_>, group: &[&Piece], edge: EdgeName) -> Option<(f64, f64)> {
    match edge {
        EdgeName::Lower | EdgeName::Upper => rim_length(laid, group, edge),
        EdgeName::Begin | EdgeName::End => side_length(laid, group, edge),
        EdgeName::Outline | EdgeName::Side(_) | EdgeName::Foot(_) | EdgeName::Head(_) | EdgeName::Cut => None,
    }
}

pub(super) fn compare(joint: &Joint, what: &str, at: &BTreeMap<usize, f64>, r: &mut Report) {
    r.count(&format!("notches of the {what}"), at.len(), joint.notches.len());
    let numbered = at.keys().all(|i| *i < joint.notches.len());
    r.holds(Check::Coverage, &format!("notches of the {what}"), "each has its number", numbered);
    for (i, &asked) in joint.notches.iter().enumerate() {
        let Some(&is) = at.get(&i) else { continue };
        let place = format!("notch {} at {is:.3} mm for {asked:.3}", i + 1);
        r.figure(Check::Notch, what, place, (is - asked).abs(), FIT);
    }
}

fn lengths(curve: &Curve<'_>, is: Option<(f64, f64)>, what: &str, r: &mut Report) {
    if let Some((is, asked)) = is {
        r.figure(Check::Partner, what, format!("cut {is:.3} mm long for {asked:.3}"), (is - asked).abs(), FIT);
    }
    r.holds(Check::Coverage, what, "its curve in space exists", curve.length().is_some_and(f64::is_finite));
}

/// The place at which a tick's line crosses a rim's middle line.
fn on_rim(laid: &Laid<'_>, upper: bool, middle: Vec2, way: Vec2) -> (usize, f64) {
    let strip = laid.rim_strip(upper);
    let mut hints = Hints::default();
    let (mut p, mut w) = (middle, 0.0);
    // The tick stands square to the line, so stepping along it by the offset along it converges at once.
    for _ in 0..6 {
        w = laid.land(p, &mut hints).w;
        let foot = laid.view.line(laid.ring, upper, Line::Middle, w, &laid.layer).foot;
        let m = laid.strips[strip].flat(w, foot);
        p += way * (m - p).dot(way);
    }
    // Within a cell places go with the normal, lengths may not: where an oval is flat, the line is met by bisection.
    let cells = &laid.strips[strip].cells;
    let i = cells.partition_point(|c| c.w1 < w).min(cells.len() - 1);
    let (low, high) = (cells[i.saturating_sub(1)].w0, cells[(i + 1).min(cells.len() - 1)].w1);
    let across = measure::right_of(way);
    let off = |w: f64| {
        let foot = laid.view.line(laid.ring, upper, Line::Middle, w, &laid.layer).foot;
        (laid.strips[strip].flat(w, foot) - middle).dot(across)
    };
    (laid.ring.strips.start + strip, num::bisect(low, high, 1e-15, off).unwrap_or(w))
}

/// The arc length along the seam at which a tick on a side stands.
fn along_seam(curve: &Curve<'_>, laid: &Laid<'_>, middle: Vec2, way: Vec2, end: bool) -> Option<f64> {
    let (from, up) = curve.seam(laid.layer.neutral)?;
    let side = if end { laid.sides[0].1 } else { laid.sides[0].0 };
    let out = measure::right_of(side.up);
    let step = (side.at - middle).dot(out) / way.dot(out);
    let p = middle + way * step;
    let landed = laid.fold_side(p, &mut Hints::default(), end);
    let g = laid.view.rounds[laid.ring.strips.start].generatrix(0.0);
    let depth = match *curve.contact {
        Contact::Along { depth, .. } | Contact::Round { depth, .. } | Contact::Rim { depth, .. } => depth,
        Contact::Line { .. } => return None,
    };
    Some((landed.space + g.normal * (depth - laid.layer.neutral) - from).dot(up))
}

/// The summed length of a rim's emitted runs, and of its own curve in space.
fn rim_length(laid: &Laid<'_>, group: &[&Piece], edge: EdgeName) -> Option<(f64, f64)> {
    let upper = edge == EdgeName::Upper;
    let line = if upper { laid.cut.1 } else { laid.cut.0 };
    let asked = match super::scallops::expected(laid, upper) {
        Some(row) => row.path.segs.iter().map(crate::geom::path::Seg::length).sum(),
        None => laid.line_length(upper, line),
    };
    Some((run_length(group, edge), asked))
}

fn side_length(laid: &Laid<'_>, group: &[&Piece], edge: EdgeName) -> Option<(f64, f64)> {
    let lapped = edge == EdgeName::End && matches!(laid.view.wall.seam, Seam::Lap(_) | Seam::Tabs(_));
    if lapped {
        return None;
    }
    let less = super::scallops::rise(laid, false) + super::scallops::rise(laid, true);
    if matches!(laid.view.wall.seam, Seam::Open(_)) {
        let end = edge == EdgeName::End;
        let corners = [(false, laid.cut.0), (true, laid.cut.1)].map(|(upper, line)| laid.corner(upper, line, end));
        return Some((run_length(group, edge), (corners[1] - corners[0]).length() - less));
    }
    let end = |upper: bool| {
        let line = if upper { laid.cut.1 } else { laid.cut.0 };
        laid.view.line(laid.ring, upper, line, 0.0, &laid.layer).foot
    };
    Some((run_length(group, edge), (end(true) - end(false)).length() - less))
}

pub fn run_length(group: &[&Piece], edge: EdgeName) -> f64 {
    let paths = group.iter().flat_map(|p| super::turn::edge_paths(p, edge));
    paths.flat_map(|p| &p.segs).map(crate::geom::path::Seg::length).collect::<crate::num::Sum>().value()
}

/// A joint's edge on a plate: its outline.
pub fn on_plate(curve: &Curve<'_>, joint: &Joint, plane: &Plane<'_>, group: &[&Piece], r: &mut Report) {
    let what = format!("outline at joint {}", joint.letter);
    let mut at: BTreeMap<usize, f64> = BTreeMap::new();
    for (piece, mark, number) in ticks(group, joint, EdgeName::Outline) {
        r.verdict.checked.notches += 1;
        r.verdict.checked.marks += 1;
        let Some((middle, way)) = tick_line(piece, &mark.path) else { continue };
        let s = plane.place(middle, way).and_then(|(g, late)| curve.to(&g, late));
        let twice = at.insert(number, s.unwrap_or(f64::NAN)).is_some();
        r.holds(Check::Coverage, &what, "each notch once", !twice);
    }
    compare(joint, &what, &at, r);
    let length = Some((run_length(group, EdgeName::Outline), plane.length()));
    lengths(curve, length, &what, r);
}
