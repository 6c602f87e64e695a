//! `edge`: cuts a shell's bottom or top to a figure.
//!
//! A figure is measured on the measured face as a maker draws it: a tape along the straight edge, and from there down
//! the wall along its straight lines (`geom::figure`). Its outermost places lie on the straight edge. A `slope` is a plane
//! cut instead: it leans away from where it faces, touches the straight edge at its outermost place, and lies
//! `rise` down the wall at its deepest. Everything is cut square to the sheet, so all layers and faces have one line.
//!
//! Round a closed wall figures follow each other by equal lengths, one of them with its middle where it faces. On an open
//! wall they stand from side to side, low at both sides; a single point may face anywhere between.

mod curve;

use super::super::{Shaper, errors, measure};
use super::{place, sloped};
use crate::design::{Anchor, Kind, Node, Value};
use crate::eval::{Fields, Stop};
use crate::geom::Vec3;
use crate::geom::figure::{self, Figure, Form, Named, Part};
use crate::geom::plane::Plane;
use crate::geom::rim::{self, Cut};
use crate::geom::strip::{Rule, Strip};
use crate::geom::unit;
use crate::geom::unroll::Unrolled;
use crate::geom::walk::{Place, Walk};
use crate::ids::ThingId;
use crate::num;
use crate::skin::{cuts, leaves};
use crate::solid::{Body, Claim, Rim, Seam, Size, Station, Wall};
use crate::span::Span;
use crate::units::Dim;

/// The narrowest figure that is cut cleanly, mm, and in kerfs or in a trailing tip's offsets (common practice, no
/// source).
const NARROWEST: f64 = 5.0;
const KERFS: f64 = 8.0;
/// More than anyone cuts in a row.
const MOST: f64 = 1000.0;
/// The tallest tongue, as a share of its width: the notch is 25 degrees then.
const TALLEST: f64 = 0.4;
/// A tooth's side stands at least so far from the seam, mm.
const CLEAR: f64 = 1.0;
/// Places on each leg of a walk that are looked at.
const LOOKS: u32 = 48;
/// The steepest slope, as the tangent of its angle.
const STEEPEST: f64 = 5.0;

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Sort {
    Slope,
    Point,
    Scallops,
    Crenels,
    Wave,
    Curve,
}

impl Sort {
    /// One, and several.
    fn named(self) -> (&'static str, &'static str) {
        match self {
            Self::Slope => ("slope", "slopes"),
            Self::Point => ("point", "points"),
            Self::Scallops => ("tongue", "tongues"),
            Self::Crenels => ("tooth", "teeth"),
            Self::Wave => ("wave", "waves"),
            Self::Curve => ("curve", "curves"),
        }
    }
}

/// The fields of an edge, reckoned.
struct Spec {
    name: String,
    head: Span,
    sort: Sort,
    count: f64,
    count_span: Span,
    every: Option<f64>,
    every_span: Span,
    rise: f64,
    rise_span: Span,
    facing: Option<f64>,
    facing_span: Span,
    /// Of a curve.
    spots: Vec<Spot>,
}

/// A spot of a curve: which way it faces, and how far from the straight edge it lies.
#[derive(Clone, Copy, Debug)]
struct Spot {
    facing: f64,
    fall: f64,
    span: Span,
}

fn read(fields: &mut Fields<'_>) -> Result<Spec, Stop> {
    let sort = match fields.maybe_word("as")? {
        Some("slope") => Sort::Slope,
        Some("point") => Sort::Point,
        Some("scallops") => Sort::Scallops,
        Some("crenels") => Sort::Crenels,
        Some("wave") => Sort::Wave,
        Some("curve") => Sort::Curve,
        _ => return Err(Stop::Skip),
    };
    let spots = if sort == Sort::Curve { spots(fields)? } else { Vec::new() };
    let rise = match sort {
        Sort::Curve => spots.iter().map(|s| s.fall).fold(0.0, f64::max),
        _ => fields.maybe_number("rise")?.ok_or(Stop::Skip)?,
    };
    let thing = fields.thing();
    Ok(Spec {
        name: thing.name.to_string(),
        head: thing.head,
        sort,
        count: fields.maybe_number("count")?.unwrap_or(1.0),
        count_span: fields.span("count"),
        every: if fields.written("every") { fields.maybe_number("every")? } else { None },
        every_span: fields.span("every"),
        rise,
        rise_span: fields.span(if sort == Sort::Curve { "path" } else { "rise" }),
        facing: if fields.written("facing") { fields.maybe_direction("facing")? } else { None },
        facing_span: fields.span("facing"),
        spots,
    })
}

/// The spots of a curve: two or more, none beyond the straight edge and one on it.
fn spots(fields: &mut Fields<'_>) -> Result<Vec<Spot>, Stop> {
    let name = fields.thing().name.to_string();
    let whole = fields.span("path");
    let spans: Vec<Span> = match fields.expr("path").map(|e| &e.node) {
        Some(Node::List(items)) => items.iter().map(|i| i.span).collect(),
        _ => Vec::new(),
    };
    let Some(Value::List(items)) = fields.maybe("path")? else { return Err(Stop::Skip) };
    let mut out = Vec::with_capacity(items.len());
    for (i, item) in items.iter().enumerate() {
        let span = spans.get(i).copied().unwrap_or(whole);
        let Value::By(parts) = item else { return Err(Stop::Skip) };
        let [facing, fall] = parts.as_slice() else { return Err(Stop::Skip) };
        if facing.dim() != Dim::ANGLE {
            return Err(errors::spot_by_direction(&name, span).into());
        }
        out.push(Spot { facing: facing.value(), fall: fall.value(), span });
    }
    if out.len() < 2 {
        return Err(errors::curve_too_short(&name, whole).into());
    }
    let highest = out.iter().map(|s| s.fall).fold(f64::INFINITY, f64::min);
    let worst = out.iter().find(|s| s.fall == highest).map_or(whole, |s| s.span);
    if highest.abs() > 1e-9 {
        return Err(errors::curve_off_edge(&name, highest, if highest < 0.0 { worst } else { whole }).into());
    }
    if out.iter().all(|s| s.fall < 1e-9) {
        return Err(errors::curve_is_straight(&name, whole).into());
    }
    Ok(out)
}

/// Shapes the edges that a thing names.
///
/// # Errors
/// When one of them cannot be cut so.
pub(in super::super) fn lower(shaper: &mut Shaper<'_>, id: ThingId) -> Result<(), Stop> {
    let target = shaper.design.thing(id).target.as_ref().ok_or(Stop::Skip)?;
    let spec = shaper.read(id, None, read)?;
    for anchor in &target.anchors {
        let long = on(shaper, &spec, anchor, target.span)?;
        shaper.known.edges.entry(id).or_insert(long);
    }
    Ok(())
}

/// The end of a wall that is shaped.
struct End<'a> {
    spec: &'a Spec,
    upper: bool,
    strip: &'a Strip,
    /// Height of its station.
    z: f64,
    seam: Seam,
    neutral: f64,
}

fn on(shaper: &mut Shaper<'_>, spec: &Spec, anchor: &Anchor, span: Span) -> Result<f64, Stop> {
    let (host, upper) = free(shaper, spec, anchor, span)?;
    let id = shaper.known.shells.get(&host).ok_or(Stop::Skip)?.part;
    let part = &shaper.solid.parts[id.index()];
    let Body::Wall(wall) = &part.body else { return Err(Stop::Skip) };
    let ring = if upper { wall.rings.len() - 1 } else { 0 };
    let strip = if upper { wall.strips.last() } else { wall.strips.first() }.ok_or(Stop::Skip)?;
    let (z0, z1) = strip.heights();
    let neutral = part.layers.first().map_or(0.0, |l| l.neutral);
    let end = End { spec, upper, strip, z: if upper { z1 } else { z0 }, seam: wall.seam, neutral };
    let mut cut = wall.clone();
    let mut sizes = Vec::new();
    let station = Station { z: end.z, falls: upper, down: 0.0 };
    let rim = if spec.sort == Sort::Slope {
        let plane = end.plane()?;
        sizes.push(Size::Faces { ring, upper, normal: plane.normal });
        sizes.push(Size::Shaped { ring, upper, count: 0, rise: spec.rise, crest: None, station });
        Rim::PlaneSquare(plane)
    } else {
        let narrowest = shaper.solid.job.cutter.as_ref().map_or(0.0, |c| KERFS * c.kerf.max(c.offset)).max(NARROWEST);
        let (figure, crest) = match spec.sort {
            Sort::Curve => curve::figure(&end, &spec.spots, narrowest)?,
            _ => end.figure(narrowest)?,
        };
        let Named { count, rise, .. } = figure.named;
        sizes.push(Size::Shaped { ring, upper, count, rise, crest, station });
        cut.figures[usize::from(upper)] = Some(Box::new(figure));
        Rim::Shaped { upper }
    };
    let own = &mut cut.rings[ring];
    if upper {
        own.upper = rim
    } else {
        own.lower = rim
    }
    left(&cut, ring, &end)?;
    let depths: Vec<f64> = part.layers.iter().flat_map(|l| [l.inner, l.neutral, l.outer]).collect();
    let (low, high) = cuts(&cut, &cut.rings[ring]);
    if (if upper { high } else { low }).exists(strip, &depths).is_err() {
        return Err(errors::figure_too_steep(&spec.name, spec.rise_span).into());
    }
    let long = measure::sloped_girth(&cut, upper, neutral, 0.0).ok_or(Stop::Skip)?;
    shaper.solid.parts[id.index()].body = Body::Wall(cut);
    shaper.solid.claims.extend(sizes.into_iter().map(|size| Claim { part: id, origin: spec.head, size }));
    Ok(long)
}

/// The shell and the end that an anchor names, when it may be shaped.
fn free(shaper: &Shaper<'_>, spec: &Spec, anchor: &Anchor, span: Span) -> Result<(ThingId, bool), Stop> {
    let host = anchor.thing;
    let thing = shaper.design.thing(host);
    let upper = match (thing.kind, anchor.edge) {
        (Kind::Shell, Some("top")) => true,
        (Kind::Shell, Some("bottom")) => false,
        (Kind::Shell, _) => return Err(errors::not_built_yet("a shaped side of a seam", span).into()),
        (kind, _) => {
            let what = format!("a shaped edge of a {}", crate::schema::kind_of(kind).word);
            return Err(errors::not_built_yet(&what, span).into());
        }
    };
    let host = place::built(shaper, anchor, span)?;
    let (shell, wall) = place::host_wall(shaper, host)?;
    let name = thing.name.to_string();
    if if upper { shell.closed_top } else { shell.closed_bottom } {
        return Err(errors::edge_of_a_point(&spec.name, &name, span).into());
    }
    let edge = if upper { "top" } else { "bottom" };
    if shaper.met.contains(&(host, edge)) {
        let stands = shaper.design.things.iter().find(|t| {
            matches!(t.kind, Kind::Cap | Kind::Shell | Kind::Dome | Kind::Plate)
                && t.target.iter().flat_map(|t| &t.anchors).any(|a| a.thing == host && a.edge == Some(edge))
        });
        let (other, head) = stands.map_or((name.clone(), span), |t| (t.name.to_string(), t.head));
        return Err(errors::edge_is_met(&spec.name, &other, head, span).into());
    }
    if let (false, true, Some(tabs)) = (upper, shell.tabbed(), shaper.solid.turned_out(shell.part)) {
        return Err(errors::edge_has_tabs(&spec.name, &name, tabs.origin, span).into());
    }
    let rim = if upper { wall.rings.last().map(|r| r.upper) } else { wall.rings.first().map(|r| r.lower) };
    match rim {
        Some(Rim::Square) => {}
        Some(Rim::Level) => {
            return Err(errors::not_built_yet("a shaped edge of a wall whose rims are cut level", span).into());
        }
        Some(Rim::Plane(_) | Rim::PlaneSquare(_) | Rim::Shaped { .. }) => {
            return Err(errors::edge_cut_already(&spec.name, "it is cut to something else already", span).into());
        }
        Some(Rim::Mitre(_) | Rim::At(_) | Rim::Closed(_)) | None => return Err(Stop::Skip),
    }
    if let Seam::Backed(_) = wall.seam {
        return Err(errors::not_built_yet("a shaped edge of a wall with a strip behind its seam", span).into());
    }
    let lies = shaper.raised.get(&host).into_iter().flatten().find(|id| shaper.known.borders.contains_key(id));
    if let Some(other) = lies {
        let other = shaper.design.thing(*other);
        let said = errors::edge_reads_what_lies_there(&spec.name, &other.name.to_string(), spec.head, span);
        return Err(said.into());
    }
    Ok((host, upper))
}

/// What a figure leaves of its wall.
fn left(wall: &Wall, ring: usize, end: &End<'_>) -> Result<(), Stop> {
    let spec = end.spec;
    let (low, high) = cuts(wall, &wall.rings[ring]);
    let one = wall.rings[ring].strips.len() == 1;
    let (z0, z1) = end.strip.heights();
    // Up to the next station, or to what the other end of the same strip is cut to.
    let (low, high) = match (one, end.upper) {
        (true, _) => (low, high),
        (false, true) => (Cut::Level(z0), high),
        (false, false) => (low, Cut::Level(z1)),
    };
    let walk = Walk::with_cuts(end.strip, &[low.stops(), high.stops()].concat());
    let flat = Unrolled::new(&walk, 0.0);
    let (lower, upper) = (rim::Rim::new(&flat, &low), rim::Rim::new(&flat, &high));
    let length = |at: Place| {
        let rule = walk.rule(at);
        (upper.height(at, 0.0).0 - lower.height(at, 0.0).0) * way(&rule)
    };
    let left = -most(walk.ends(), &|at| -length(at));
    if left >= sloped::LEAST - 1e-9 {
        return Ok(());
    }
    let fits = Some(spec.rise - (sloped::LEAST - left)).filter(|rise| *rise >= 1.0 && spec.sort != Sort::Curve);
    Err(errors::figure_too_tall(&spec.name, left, sloped::LEAST, fits, !one, spec.rise_span).into())
}

/// How long a rule is for one of its height.
fn way(rule: &Rule) -> f64 {
    measure::slant(rule) / rule.rise()
}

/// The most that a figure comes to between two places.
fn most((from, to): (Place, Place), f: &dyn Fn(Place) -> f64) -> f64 {
    let mut best = (f64::NEG_INFINITY, from.leg, 0.0, 0.0);
    for (leg, t0, t1) in rim::spans(from, to) {
        let step = (t1 - t0) / f64::from(LOOKS);
        for i in 0..=LOOKS {
            let t = t0 + step * f64::from(i);
            let is = f(Place { leg, t });
            if is > best.0 {
                best = (is, leg, (t - step).max(t0), (t + step).min(t1));
            }
        }
    }
    let (is, leg, low, high) = best;
    num::peak(low, high, |t| f(Place { leg, t })).1.max(is)
}

impl End<'_> {
    /// Into the wall.
    fn inward(&self) -> f64 {
        if self.upper { -1.0 } else { 1.0 }
    }

    /// The plane of a slope: so steep that it lies `rise` from the rim at its lowest place, along the generatrix there,
    /// and so high that it touches the rim at its highest.
    fn plane(&self) -> Result<Plane, Stop> {
        let spec = self.spec;
        let walk = Walk::new(self.strip);
        let facing = unit(spec.facing.unwrap_or(0.0)) * -self.inward();
        let seam = walk.rule(walk.ends().0);
        // Its own point stands on the seam's rule, where an open wall's gap is measured.
        let of = |steep: f64, axis: f64| {
            let normal = Vec3::new(-facing.x * steep, -facing.y * steep, 1.0).normalize();
            let plane = Plane { at: Vec3::new(0.0, 0.0, axis), normal };
            Plane { at: seam.point(plane.height(&seam, 0.0), 0.0), normal }
        };
        let fall = |plane: &Plane, at: Place| {
            let rule = walk.rule(at);
            if plane.rises(&rule) < 1e-3 {
                return f64::INFINITY;
            }
            (plane.height(&rule, 0.0) - self.z) * self.inward() * way(&rule)
        };
        let there = |plane: &Plane| leaves(&walk, self.seam, plane.at.z, self.neutral);
        let highest = |plane: &Plane| -most(there(plane), &|at| -fall(plane, at));
        let lowest = |plane: &Plane| most(there(plane), &|at| fall(plane, at));
        let reach = (0..4u8).map(|i| walk.reach(f64::from(i) * num::FRAC_PI_2, self.z, 0.0).abs()).fold(1.0, f64::max);
        let touching = |steep: f64| {
            let room = 4.0 * (1.0 + steep) * reach + spec.rise;
            num::bisect(self.z - room, self.z + room, 1e-12, |axis| highest(&of(steep, axis)))
                .map(|axis| of(steep, axis))
        };
        let steep = num::bisect(0.0, STEEPEST, 1e-13, |steep| {
            touching(steep).map_or(f64::INFINITY, |plane| lowest(&plane) - spec.rise)
        });
        let steep = steep.filter(|s| *s < STEEPEST - 1e-6);
        steep.and_then(touching).ok_or_else(|| errors::figure_too_steep(&spec.name, spec.rise_span).into())
    }

    /// A figure that repeats, and the direction of one of its crests where that is said.
    fn figure(&self, narrowest: f64) -> Result<(Figure, Option<f64>), Stop> {
        let spec = self.spec;
        let rise = spec.rise;
        let walk = Walk::new(self.strip);
        let open = matches!(self.seam, Seam::Open(_));
        let around = walk.around(self.z, 0.0);
        // On an open wall a row is low at both sides; those leave the rim there.
        let seam = walk.rule(walk.ends().0);
        let side = if open { self.z + self.inward() * rise / way(&seam) } else { self.z };
        let along = |at: Place| walk.length(at, self.z, 0.0);
        let (from, to) = leaves(&walk, self.seam, side, self.neutral);
        let (start, end) = (along(from), along(to));
        let long = end - start;
        let (one, several) = spec.sort.named();
        let count = match spec.every {
            Some(every) => (long / every - 1e-9).ceil().max(1.0),
            None => spec.count,
        };
        let pitch = long / count;
        let share = if spec.sort == Sort::Crenels { 0.5 } else { 1.0 };
        let span = if spec.every.is_some() { spec.every_span } else { spec.count_span };
        if share * pitch < narrowest || count > MOST {
            let least = narrowest.max(share * long / MOST);
            let many = ((share * long / least).floor(), spec.every.is_some());
            let said = errors::figure_too_small(&spec.name, several, share * pitch, least / share, many, span);
            return Err(said.into());
        }
        if spec.sort == Sort::Scallops && rise > TALLEST * pitch + 1e-9 {
            let said = errors::borders::scallops_too_steep(
                &spec.name,
                rise,
                (pitch, TALLEST),
                (long, spec.every.is_none()),
                spec.rise_span,
            );
            return Err(said.into());
        }
        let facing = spec.facing.unwrap_or(0.0);
        let crest = measure::facing(self.strip, facing).and_then(|rule| walk.find(&rule)).map_or(0.0, along);
        // A single point faces anywhere; of several on an open wall the row is even from side to side.
        let alone = open && count == 1.0 && spec.sort == Sort::Point && spec.facing.is_some();
        if open && spec.facing.is_some() && !alone {
            return Err(errors::faces_past_the_sides(&spec.name, count > 1.0, spec.facing_span).into());
        }
        if alone && !(crest - start > narrowest && end - crest > narrowest) {
            return Err(errors::faces_past_the_sides(&spec.name, false, spec.facing_span).into());
        }
        let first = if open { start + 0.5 * pitch } else { crest };
        let mut parts: Vec<Part> = Vec::new();
        let mut i = 0.0;
        while i < count {
            let middle = first + i * pitch;
            let reach = if alone { (start, crest, end) } else { (middle - 0.5 * pitch, middle, middle + 0.5 * pitch) };
            one_of(spec.sort, reach, rise, &mut parts);
            i += 1.0;
        }
        let parts = if open { beside(parts, (start, end), around, rise) } else { wrapped(&parts, around) };
        let parts = merged(parts);
        if !open {
            let off = from_seam(&parts, around);
            if off < CLEAR {
                // A quarter of a pitch on.
                let turn = 0.25 * pitch / around * 360.0 + facing.to_degrees();
                return Err(errors::tooth_at_seam(&spec.name, off, turn, spec.facing_span).into());
            }
        }
        let breaks = figure::breaks(&walk, self.z, &parts);
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "at most a thousand")]
        let count = count as usize;
        let named = Named { one, several, count, rise };
        let faced = (!open || alone).then_some(facing);
        Ok((Figure { falls: self.upper, z: self.z, down: 0.0, side, parts, breaks, named }, faced))
    }
}

/// One figure from its lowest place over its crest to its lowest place again.
fn one_of(sort: Sort, (from, crest, to): (f64, f64, f64), rise: f64, parts: &mut Vec<Part>) {
    let level = |fall: f64| Form::Line { at: crest, fall, slope: 0.0 };
    match sort {
        Sort::Slope | Sort::Curve => {}
        Sort::Point => {
            let line = |slope: f64| Form::Line { at: crest, fall: 0.0, slope };
            parts.push(Part { from, to: crest, form: line(-rise / (crest - from)) });
            parts.push(Part { from: crest, to, form: line(rise / (to - crest)) });
        }
        Sort::Scallops => {
            let half = 0.5 * (to - from);
            let form = Form::Round { tip: crest, radius: 0.5 * (half * half + rise * rise) / rise };
            parts.push(Part { from, to, form });
        }
        Sort::Crenels => {
            let (up, down) = (0.5 * (from + crest), 0.5 * (crest + to));
            parts.push(Part { from, to: up, form: level(rise) });
            parts.push(Part { from: up, to: down, form: level(0.0) });
            parts.push(Part { from: down, to, form: level(rise) });
        }
        Sort::Wave => {
            let form = Form::Wave { crest, pitch: to - from, rise };
            parts.push(Part { from, to: crest, form });
            parts.push(Part { from: crest, to, form });
        }
    }
}

/// The figure of a wall on the same wall begun at another rule, as a cover's seam may stand elsewhere, or between other planes,
/// as a band stands.
///
/// # Errors
/// When a figure's side would stand on that seam.
pub(super) fn begun(figure: &Figure, from: &Strip, to: &Strip, name: &str, span: Span) -> Result<Figure, Stop> {
    let walk = Walk::new(from);
    let own = Walk::new(to);
    let start = own.rule(own.ends().0).between_planes(from.heights());
    let shift = walk.find(&start).map_or(0.0, |at| walk.length(at, figure.z, 0.0));
    let around = walk.around(figure.z, 0.0);
    if shift < 1e-6 || shift > around - 1e-6 {
        let breaks = figure::breaks(&own, figure.z, &figure.parts);
        return Ok(Figure { breaks, ..figure.clone() });
    }
    let moved = |p: &Part| Part { from: p.from - shift, to: p.to - shift, form: p.form.shifted(-shift) };
    let parts = merged(wrapped(&figure.parts.iter().map(moved).collect::<Vec<_>>(), around));
    let off = from_seam(&parts, around);
    if off < CLEAR {
        return Err(errors::seam_at_tooth(name, off, span).into());
    }
    let breaks = figure::breaks(&own, figure.z, &parts);
    Ok(Figure { parts, breaks, ..figure.clone() })
}

/// How far from the seam the nearest place stands at which a row goes up or down along a generatrix.
fn from_seam(parts: &[Part], around: f64) -> f64 {
    let jumps = |p: &[Part]| (p[0].form.fall(p[0].to).0 - p[1].form.fall(p[1].from).0).abs() > 1e-6;
    let near = parts.windows(2).filter(|p| jumps(p)).map(|p| p[0].to.min(around - p[0].to));
    let ends = parts.first().zip(parts.last());
    if ends.is_some_and(|(a, b)| (a.form.fall(a.from).0 - b.form.fall(b.to).0).abs() > 1e-6) {
        return 0.0;
    }
    near.fold(f64::INFINITY, f64::min)
}

/// A row that goes round, from the seam on.
fn wrapped(parts: &[Part], around: f64) -> Vec<Part> {
    let mut out: Vec<Part> = Vec::new();
    for part in parts {
        let turns = (part.from / around).floor();
        for turn in [turns, turns + 1.0] {
            let by = -turn * around;
            let (from, to) = ((part.from + by).max(0.0), (part.to + by).min(around));
            if to - from > 1e-9 {
                out.push(Part { from, to, form: part.form.shifted(by) });
            }
        }
    }
    out.sort_by(|a, b| a.from.total_cmp(&b.from));
    out
}

/// A row on an open wall: it is low beyond the sides, wherever those lie on other faces.
fn beside(mut parts: Vec<Part>, (start, end): (f64, f64), around: f64, rise: f64) -> Vec<Part> {
    let low = Form::Line { at: start, fall: rise, slope: 0.0 };
    parts.insert(0, Part { from: 0.0, to: start, form: low });
    parts.push(Part { from: end, to: around, form: low });
    parts
}

/// Level parts of one height that follow each other are one.
fn merged(parts: Vec<Part>) -> Vec<Part> {
    let mut out: Vec<Part> = Vec::with_capacity(parts.len());
    for part in parts {
        if let Some(last) = out.last_mut()
            && last.form.is_even()
            && part.form.is_even()
            && (last.form.fall(0.0).0 - part.form.fall(0.0).0).abs() < 1e-9
        {
            last.to = part.to;
            continue;
        }
        out.push(part);
    }
    // Neighbours end where the next begins, to the last digit.
    for i in 1..out.len() {
        out[i].from = out[i - 1].to;
    }
    out
}
