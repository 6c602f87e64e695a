//! Leaves: what is drawn on the measured face is carried to each layer's neutral surface by generatrices in space. Two
//! neighbouring ones and what lies between are laid flat by their four distances, cell by cell, on both surfaces; a point
//! has the same place in its cell on either, moved along the normal. How far a bevel draws an outline in is found by
//! moving its sides and looking where neighbours cross. None of it knows an unrolling formula or an offset of a chain.

use crate::design::Face;
use crate::flat::Panel;
use crate::geom::path::{Path, Seg};
use crate::geom::{Vec2, Vec3, left_of, tol};
use crate::num;
use crate::piece::{About, Piece};
use crate::solid::{EdgeName, Form, Layer, Leaf, Size, Solid};
use crate::verdict::Check;

use super::fan::{Fan, Flat};
use super::joints;
use super::key::{self, Bevel, Truth};
use super::measure::{self, to_chain};
use super::outline;
use super::report::{AREA, FIT, LANDING, Report};
use super::wall::{self, fit};

/// How closely lines are sampled: step and sag, mm.
const STEP: (f64, f64) = (0.5, 5e-6);

/// One layer of a leaf.
#[derive(Debug)]
pub struct Sheet<'a> {
    leaf: &'a Leaf,
    layer: Layer,
    fan: Option<Fan>,
    measured: Option<Flat>,
    neutral: Option<Flat>,
}

/// A layer with its pieces, by hands.
#[derive(Debug)]
pub struct Cut<'a> {
    pub leaf: Sheet<'a>,
    pub groups: Vec<Vec<&'a Piece>>,
}

/// How the edge of a layer is cut.
#[derive(Clone, Copy, Debug)]
struct Edge {
    /// How far the line that is cut lies in from the outline.
    cut: f64,
    /// And the line it is bevelled to, where it is.
    bevel: Option<f64>,
    /// Both faces lean in.
    both: bool,
    /// The angle from square, positive where the outside is longer, and how far it moves the line.
    lean: f64,
    shift: f64,
}

/// How far in from its outline a leaf's edge lies at a depth.
fn drawn(leaf: &Leaf, depth: f64) -> f64 {
    let off = depth - leaf.taper.from;
    if off < 0.0 { -off * leaf.taper.inner } else { off * leaf.taper.outer }
}

impl<'a> Sheet<'a> {
    /// `None` where the wall it is bent to is not there.
    pub fn new(leaf: &'a Leaf, layer: &Layer) -> Option<Self> {
        let bent = matches!(leaf.form, Form::Bent { .. });
        let fan = if bent {
            let far = leaf.outline.segs.iter().flat_map(|s| [s.a, s.at(0.5), s.b]).map(|p| p.length());
            let reach = 1.2 * far.fold(0.0, f64::max) + 5.0;
            Some(Fan::new(&leaf.form, leaf.measured, reach)?)
        } else {
            None
        };
        let flat = |d: f64| fan.as_ref().map(|f| f.flat(d));
        let (measured, neutral) = (flat(leaf.measured), flat(layer.neutral));
        Some(Self { leaf, layer: *layer, fan, measured, neutral })
    }

    fn edge(&self) -> Edge {
        let (l, taper) = (&self.layer, &self.leaf.taper);
        let [inner, outer] = [l.inner, l.outer].map(|d| drawn(self.leaf, d));
        let middle = drawn(self.leaf, 0.5 * (l.inner + l.outer));
        let both = taper.from > l.inner + 1e-7 && taper.from < l.outer - 1e-7 && inner > 0.0 && outer > 0.0;
        let thick = l.outer - l.inner;
        let (shift, over) = if both { (outer, 0.5 * thick) } else { (inner - outer, thick) };
        let lean = num::atan2(shift, over).to_degrees();
        if l.square || shift.abs() < tol::SQUARE_CUT {
            return Edge { cut: middle, bevel: None, both, lean, shift: shift.abs() };
        }
        let cut = if both { 0.0 } else { inner.min(outer) };
        Edge { cut, bevel: Some(inner.max(outer)), both, lean, shift: shift.abs() }
    }

    /// A point of the measured face's flat on the layer's.
    pub fn laid(&self, p: Vec2) -> Option<Vec2> {
        match (&self.fan, &self.measured, &self.neutral) {
            (Some(fan), Some(from), Some(to)) => fan.carried(from, to, p),
            _ => Some(p),
        }
    }

    /// And back.
    fn back(&self, p: Vec2) -> Option<Vec2> {
        match (&self.fan, &self.measured, &self.neutral) {
            (Some(fan), Some(to), Some(from)) => fan.carried(from, to, p),
            _ => Some(p),
        }
    }

    /// The edge drawn in, on the layer's flat: a closed chain.
    fn line(&self, inset: f64) -> Option<Vec<Vec2>> {
        drawn_in(&self.leaf.outline, inset).into_iter().map(|p| self.laid(p)).collect()
    }

    /// How far a point of the layer's flat lies from the line that is cut.
    pub fn off_edge(&self, p: Vec2) -> Option<f64> {
        let line = self.line(self.edge().cut)?;
        Some(measure::to_path(p, &Path::polyline(&line)))
    }

    /// The mean area of all its depths, by so many slices that what is left out is a thousandth of a thousandth.
    fn mean(&self) -> Option<f64> {
        let slices = 64;
        let thick = self.layer.outer - self.layer.inner;
        let mut sum = num::Sum::new();
        for k in 0..slices {
            let depth = self.layer.inner + thick * (f64::from(k) + 0.5) / f64::from(slices);
            sum.add(measure::area(&self.line(drawn(self.leaf, depth))?).abs());
        }
        Some(sum.value() / f64::from(slices))
    }

    /// The length of the edge at a depth, on that depth's own surface.
    fn long(&self, depth: f64) -> Option<f64> {
        let line = drawn_in(&self.leaf.outline, drawn(self.leaf, depth));
        let there: Vec<Vec2> = match (&self.fan, &self.measured) {
            (Some(fan), Some(from)) => {
                let to = fan.flat(depth);
                line.into_iter().map(|p| fan.carried(from, &to, p)).collect::<Option<_>>()?
            }
            _ => line,
        };
        Some(there.windows(2).map(|w| w[0].distance(w[1])).sum())
    }
}

/// A closed outline moved in (below zero out) by one width, as points: each side is moved square to itself, and
/// neighbours end where they cross.
fn drawn_in(outline: &Path, by: f64) -> Vec<Vec2> {
    let n = outline.segs.len();
    let moved = |i: usize, s: f64| {
        let seg = &outline.segs[i];
        seg.at(s) + left_of(seg.direction(s)) * by
    };
    // Where each side ends and the next begins.
    let mut ends = vec![(0.0, 1.0); n];
    for i in 0..n {
        let j = (i + 1) % n;
        let (u, v) = (outline.segs[i].direction(1.0), outline.segs[j].direction(0.0));
        if u.perp_dot(v).abs() < 1e-5 && u.dot(v) > 0.0 {
            continue;
        }
        let (mut s, mut t) = (1.0, 0.0);
        for _ in 0..60 {
            let miss = moved(i, s) - moved(j, t);
            let h = 1e-6;
            let (du, dv) =
                ((moved(i, s + h) - moved(i, s - h)) / (2.0 * h), (moved(j, t + h) - moved(j, t - h)) / (2.0 * h));
            let det = -du.perp_dot(dv);
            if det.abs() < 1e-12 {
                break;
            }
            // du ds − dv dt = −miss.
            let ds = miss.perp_dot(dv) / det;
            let dt = miss.perp_dot(du) / det;
            (s, t) = (s + ds, t + dt);
            if ds.abs().max(dt.abs()) < 1e-13 {
                break;
            }
        }
        ends[i].1 = s;
        ends[j].0 = t;
    }
    let mut out: Vec<Vec2> = Vec::new();
    for (i, &(from, to)) in ends.iter().enumerate() {
        let seg = &outline.segs[i];
        let round = if seg.bulge == 0.0 { 0.0 } else { (seg.sweep() * (to - from)).abs() };
        let radius = if seg.bulge == 0.0 { 1.0 } else { seg.radius() + by.abs() };
        // Chords of an arc rise by r θ²/8.
        let fine = round / (8.0 * STEP.1 / radius).sqrt();
        let steps = (seg.length() / STEP.0).max(fine).ceil().clamp(1.0, 20_000.0) as usize;
        out.extend((0..steps).map(|k| moved(i, from + (to - from) * k as f64 / steps as f64)));
    }
    out.extend(out.first().copied());
    out
}

/// All pieces of one hand of one layer of a leaf.
pub fn pieces(solid: &Solid, leaf: &Sheet<'_>, panel: &Panel, group: &[&Piece], r: &mut Report) {
    let edge = leaf.edge();
    line(leaf, group, Some(edge.cut), false, r);
    match edge.bevel {
        Some(inset) => line(leaf, group, Some(inset), true, r),
        None => super::marks::no_bevel(group, EdgeName::Outline, r),
    }
    super::beyond::on_plate(group, r);
    holes(leaf, group, r);
    let mut area = 0.0;
    let mut round = 0.0;
    for piece in group {
        let contour: Vec<&Path> = piece.contour.iter().map(|run| &run.path).collect();
        area += measure::path_area(&contour);
        round += contour.iter().map(|p| p.length()).sum::<f64>();
        wall::own_area(piece, r);
        super::marks::arrows(piece, |_| Vec2::Y, r);
        let up = measure::undone(&piece.from_flat, piece.up) - measure::undone(&piece.from_flat, Vec2::ZERO);
        r.holds(Check::Hand, "way up", "its own up", (up - Vec2::Y).length() < 1e-6);
    }
    if group.is_empty() {
        return;
    }
    let of = |inset: f64| leaf.line(inset).map(|l| measure::area(&l).abs());
    let Some((cut, own)) = of(edge.cut).zip(of(drawn(leaf.leaf, leaf.layer.neutral))) else {
        r.holds(Check::Closure, "outline", "lies on what it is bent to", false);
        return;
    };
    let allowed = AREA * cut + tol::ROUNDING * round;
    r.figure(Check::Area, "leaf", format!("{area:.3} mm² for {cut:.3}"), (area - cut).abs(), allowed);
    let said = panel.area;
    r.figure(Check::Area, "panel's stated area", format!("{said:.3} mm² for {own:.3}"), (said - own).abs(), AREA * own);
    let (is, asked) = (
        joints::run_length(group, EdgeName::Outline),
        leaf.line(edge.cut).map_or(f64::NAN, |l| l.windows(2).map(|w| w[0].distance(w[1])).sum::<f64>()),
    );
    let place = format!("cut {is:.3} mm long for {asked:.3}");
    r.figure(Check::Partner, wall::edge_name(EdgeName::Outline), place, (is - asked).abs(), FIT);
    let band = edge.bevel.and_then(|_| leaf.mean()).map_or(0.0, |mean| 2.0 * (cut - mean));
    wall::weighed(solid, leaf.layer.stock, group, band, r);
    let thick = leaf.layer.outer - leaf.layer.inner;
    let bevel = if leaf.layer.square {
        Bevel::SQUARE
    } else {
        let over = if edge.both { 0.5 * thick } else { thick };
        Bevel { both: edge.both, ..Bevel::of((edge.lean, edge.lean), edge.bevel.is_some(), over) }
    };
    let truth = Truth { long: [leaf.layer.inner, leaf.layer.neutral, leaf.layer.outer].map(|d| leaf.long(d)), bevel };
    let wide = edge.bevel.map(|_| format!("; {} mm wide", (edge.shift * 10.0).round() / 10.0));
    key::on_leaf(solid, panel.part, truth, wide.as_deref(), group, r);
}

/// The line that is cut, or the one it is bevelled to, against where it ought to lie; both ways.
fn line(leaf: &Sheet<'_>, group: &[&Piece], inset: Option<f64>, bevel: bool, r: &mut Report) {
    let what = if bevel { "bevel line of the outline" } else { wall::edge_name(EdgeName::Outline) };
    let asked = inset.and_then(|i| leaf.line(i));
    r.holds(Check::Closure, what, "lies on what it is bent to", asked.is_some());
    let Some(asked) = asked else { return };
    let curve: Vec<Vec3> = asked.into_iter().map(|p| p.extend(0.0)).collect();
    outline::lands(group, bevel, &curve, (what, LANDING), r);
}

fn holes(leaf: &Sheet<'_>, group: &[&Piece], r: &mut Report) {
    let asked = &leaf.leaf.holes;
    let mut found = vec![0usize; asked.len()];
    for piece in group {
        for hole in &piece.holes {
            r.verdict.checked.holes += 1;
            let Some(own) = asked.get(hole.hole) else {
                r.holds(Check::Coverage, &format!("hole {}", hole.name), "asked for", false);
                continue;
            };
            found[hole.hole] += 1;
            let what = format!("hole {}", own.name);
            r.holds(Check::Coverage, &what, "goes by its name", hole.name == own.name);
            let emitted = measure::path_undone(&piece.from_flat, &hole.outline);
            let outline = if leaf.fan.is_some() {
                let points: Option<Vec<Vec2>> = drawn_in(&own.outline, 0.0).into_iter().map(|p| leaf.laid(p)).collect();
                r.holds(Check::Closure, &what, "lies on what it is bent to", points.is_some());
                let Some(points) = points else { continue };
                Path { segs: points.windows(2).map(|w| Seg::line(w[0], w[1])).collect() }
            } else {
                own.outline.clone()
            };
            wall::outline_fits(&emitted, &outline, Check::Landing, &what, r);
        }
    }
    for (hole, found) in asked.iter().zip(found) {
        r.count(&format!("hole {}", hole.name), found, 1);
    }
}

/// The outline of a hand's pieces as points of the measured face's flat.
fn contour(cut: &Cut<'_>, group: &[&Piece], bevel: bool) -> Option<Vec<Vec2>> {
    let mut out = Vec::new();
    for piece in group {
        let runs = piece.contour.iter().filter(|run| run.edge == Some(EdgeName::Outline)).map(|run| &run.path);
        let marks = piece.marks.iter().filter(|m| m.about == About::Bevel(EdgeName::Outline)).map(|m| &m.path);
        let paths: Vec<&Path> = if bevel { marks.collect() } else { runs.collect() };
        for path in paths {
            for p in measure::samples(&measure::path_undone(&piece.from_flat, path), 1.0, 5e-4) {
                out.push(cut.leaf.back(p)?);
            }
        }
    }
    Some(out)
}

/// The outline of a hand's pieces as it is cut, on the measured face's flat.
pub fn outline(cut: &Cut<'_>, group: &[&Piece]) -> Option<Vec<Vec2>> {
    contour(cut, group, false).filter(|p| !p.is_empty())
}

/// The same of one of its holes.
pub fn hole_of(cut: &Cut<'_>, group: &[&Piece], hole: usize) -> Option<Vec<Vec2>> {
    let holes = group.iter().flat_map(|p| p.holes.iter().filter(|h| h.hole == hole).map(move |h| (p, &h.outline)));
    let points = holes.flat_map(|(p, path)| measure::samples(&measure::path_undone(&p.from_flat, path), 1.0, 5e-4));
    points.map(|p| cut.leaf.back(p)).collect::<Option<Vec<_>>>().filter(|p| !p.is_empty())
}

/// How far points reach from side to side and up.
fn size(points: &[Vec2]) -> Vec2 {
    let all = |f: fn(Vec2, Vec2) -> Vec2| points.iter().copied().reduce(f).unwrap_or_default();
    all(Vec2::max) - all(Vec2::min)
}

/// A size of the text, measured on the pieces; false where nothing could be measured.
pub fn claim(leaves: &[Cut<'_>], asked: &Size, what: &str, r: &mut Report) -> bool {
    match *asked {
        Size::Outline { across, up } => {
            // On the layer whose cut lies nearest to the outline itself, and by how much that line is less wide.
            let off = |c: &&Cut<'_>| c.leaf.edge().cut.abs();
            let Some(cut) = leaves.iter().min_by(|a, b| off(a).total_cmp(&off(b))) else { return false };
            let drawn = |inset: f64| size(&drawn_in(&cut.leaf.leaf.outline, inset));
            let less = drawn(0.0) - drawn(cut.leaf.edge().cut);
            for group in &cut.groups {
                let Some(points) = contour(cut, group, false).filter(|p| !p.is_empty()) else { return false };
                let is = size(&points) + less;
                fit(r, Check::Claim, &format!("{what}, across"), is.x, across);
                fit(r, Check::Claim, &format!("{what}, up"), is.y, up);
            }
            true
        }
        Size::Bent { mm } => {
            let mut any = false;
            for cut in leaves {
                let (Some(fan), Some(flat)) = (&cut.leaf.fan, &cut.leaf.measured) else { return false };
                for group in &cut.groups {
                    let Some(points) = contour(cut, group, false) else { return false };
                    let ends = points
                        .iter()
                        .copied()
                        .reduce(|a, b| if b.x < a.x { b } else { a })
                        .zip(points.iter().copied().reduce(|a, b| if b.x > a.x { b } else { a }));
                    let Some((left, right)) = ends else { return false };
                    // Three points of one level, folded up: the circle through them.
                    let level = |x: f64| Vec2::new(x, 0.0);
                    let space = |p: Vec2| fan.space(flat, p);
                    let three = [left.x, 0.5 * (left.x + right.x), right.x].map(|x| space(level(x)));
                    let [Some(a), Some(b), Some(c)] = three else { return false };
                    let (u, v, w) = (b - a, c - b, a - c);
                    let is = u.length() * v.length() * w.length() / (2.0 * u.cross(v).length());
                    fit(r, Check::Claim, what, is, mm);
                    any = true;
                }
            }
            any
        }
        Size::Bevelled { mm, both } => {
            let mut any = false;
            let hands = leaves.first().map_or(0, |c| c.groups.len());
            for hand in 0..hands {
                let (mut inner, mut outer) = (0.0, 0.0);
                for cut in leaves {
                    let Some(group) = cut.groups.get(hand) else { return false };
                    let (Some(line), Some(mark)) = (contour(cut, group, false), contour(cut, group, true)) else {
                        return false;
                    };
                    if line.is_empty() || mark.is_empty() {
                        return false;
                    }
                    let chain: Vec<Vec3> = line.iter().chain(line.first()).map(|p| p.extend(0.0)).collect();
                    let mut hint = 0;
                    let mut off: Vec<f64> =
                        mark.iter().map(|p| to_chain(p.extend(0.0), &chain, &mut hint, 0.0)).collect();
                    off.sort_by(f64::total_cmp);
                    let wide = off[off.len() / 2];
                    let l = &cut.leaf.layer;
                    if cut.leaf.edge().both {
                        (inner, outer) = (inner + wide, outer + wide);
                    } else if 0.5 * (l.inner + l.outer) < cut.leaf.leaf.taper.from {
                        inner += wide;
                    } else {
                        outer += wide;
                    }
                }
                if both {
                    fit(r, Check::Claim, &format!("{what}, inside"), inner, mm);
                    fit(r, Check::Claim, &format!("{what}, outside"), outer, mm);
                } else {
                    fit(r, Check::Claim, what, inner + outer, mm);
                }
                any = true;
            }
            any
        }
        _ => false,
    }
}

/// A hole's centre and widths, on the measured face's flat.
pub fn hole(
    leaves: &[Cut<'_>],
    hole: usize,
    centre: Vec2,
    (across, by): (f64, f64),
    what: &str,
    r: &mut Report,
) -> bool {
    let mut any = false;
    for cut in leaves {
        for piece in cut.groups.iter().flatten() {
            for h in piece.holes.iter().filter(|h| h.hole == hole) {
                let flat = measure::samples(&measure::path_undone(&piece.from_flat, &h.outline), 0.5, 1e-4);
                let Some(points) = flat.into_iter().map(|p| cut.leaf.back(p)).collect::<Option<Vec<_>>>() else {
                    return false;
                };
                let Some(low) = points.iter().copied().reduce(Vec2::min) else { return false };
                let Some(high) = points.iter().copied().reduce(Vec2::max) else { return false };
                let at = (low + high) * 0.5;
                let place = format!("{:.3}, {:.3} on the plate", at.x, at.y);
                r.figure(Check::Claim, &format!("{what}, place"), place, (at - centre).length(), FIT);
                fit(r, Check::Claim, &format!("{what}, across"), high.x - low.x, across);
                fit(r, Check::Claim, &format!("{what}, up"), high.y - low.y, by);
                any = true;
            }
        }
    }
    any
}

/// Its marks.
pub fn traces(
    solid: &Solid,
    at: (&crate::solid::Part, usize),
    leaf: &Sheet<'_>,
    group: &[&Piece],
    report: &mut Report,
) {
    let depth = |face: Face| drawn(leaf.leaf, if face == Face::Inside { leaf.layer.inner } else { leaf.layer.outer });
    let edge = leaf.edge();
    let face = |face: Face| leaf.line(if edge.bevel.is_some() { depth(face) } else { edge.cut });
    let inset = |face: Face, by: f64| leaf.line(depth(face) + by);
    let holes: Vec<Path> = leaf.leaf.holes.iter().map(|h| h.outline.clone()).collect();
    super::traces::on_plate(solid, at, &|p| leaf.laid(p), &face, &inset, &holes, group, report);
}
