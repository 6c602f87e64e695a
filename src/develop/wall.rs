//! One layer of one ring of a wall, laid flat.

use crate::diag::Diagnostics;
use crate::flat::{Allowance, Edge, Long, Panel, Ruling};
use crate::geom::parallel::{self, ParallelFault};
use crate::geom::path::Seg;
use crate::geom::rim::{Cut, Rim, spans};
use crate::geom::unroll::Unrolled;
use crate::geom::walk::{Leg, Place, Stop, Walk};
use crate::geom::{Vec2, enclose, scallop, tol};
use crate::ids::PanelId;
use crate::num::{self, TAU};
use crate::skin::height;
pub(super) use crate::skin::{cuts, laid, leaves};
use crate::solid::{self, Body, EdgeName, Gap, Onto, Part, Ring, Seam, Solid, Wall};

use super::edges::{self, Side};
use super::{Fault, Knots, Made, errors, holes, notches, places, round_joint, traces, turn, turn_of};

/// How far a flat cell between two rulings may stand off the true surface, mm: a tenth of what the audit allows.
const CELL: f64 = 0.002;
/// Most rulings on one leg of a wall.
const RULINGS: f64 = 1500.0;

/// The walks of a ring's strips. Turns are cut where a neighbour's stretches end and where a rim's lean turns over.
pub(super) fn walks(wall: &Wall, ring: &Ring) -> Vec<Walk> {
    let (lower, upper) = cuts(wall, ring);
    let last = ring.strips.len() - 1;
    ring.strips
        .clone()
        .enumerate()
        .map(|(i, strip)| {
            let rims: Vec<&Cut> =
                [(i == 0).then_some(&lower), (i == last).then_some(&upper)].into_iter().flatten().collect();
            let mut at: Vec<Stop> = Vec::new();
            for cut in &rims {
                at.extend(cut.stops());
            }
            let strip = &wall.strips[strip];
            let walk = Walk::with_cuts(strip, &at);
            let flat = Unrolled::new(&walk, 0.0);
            let turnovers = rims.iter().flat_map(|cut| Rim::new(&flat, cut).turnovers());
            let turnovers: Vec<Stop> = turnovers.map(Stop::Normal).collect();
            if turnovers.is_empty() {
                return walk;
            }
            at.extend(turnovers);
            Walk::with_cuts(strip, &at)
        })
        .collect()
}

/// Whether every layer's faces and neutral surface exist up to the rims; says what does not.
pub(super) fn exists(part: &Part, wall: &Wall, diagnostics: &mut Diagnostics) -> bool {
    let mut worst: Option<(f64, ParallelFault)> = None;
    for ring in &wall.rings {
        let (lower, upper) = cuts(wall, ring);
        let ends = [(ring.strips.start, lower), (ring.strips.end - 1, upper)];
        for (strip, cut) in &ends {
            let walk = Walk::new(&wall.strips[*strip]);
            let depths: Vec<f64> = part.layers.iter().flat_map(|l| [l.inner, l.neutral, l.outer]).collect();
            if let Err((_, fault)) = cut.exists(&wall.strips[*strip], &depths) {
                let badness = match fault {
                    ParallelFault::Corner { more, .. } => more,
                    ParallelFault::Side { length, .. } => -length,
                };
                if worst.is_none_or(|w| badness > w.0) {
                    worst = Some((badness, fault));
                }
            }
            let gap = match wall.seam {
                Seam::Open(gap) => gap,
                Seam::Butt | Seam::Lap(_) | Seam::Tabs(_) | Seam::Backed(_) => continue,
            };
            if let Cut::Closed(_) = cut {
                match gap {
                    Gap::Share(_) | Gap::Angle(_) => continue,
                    Gap::Over { length: 0.0, .. } => continue,
                    // A backing strip ends short of the point: `shape` sees to it.
                    Gap::Length(mm) | Gap::Leaves(mm) | Gap::Over { length: mm, .. } => {
                        diagnostics.push(errors::gap_to_a_point(part, mm));
                    }
                }
                return false;
            }
            let neutral = part.layers.first().map_or(0.0, |l| l.neutral);
            let z = height(cut);
            let around = walk.around(z, neutral);
            let taken = match gap {
                Gap::Length(mm) => mm,
                Gap::Share(share) => share * around,
                Gap::Angle(angle) => angle / TAU * around,
                Gap::Leaves(mm) => around - mm,
                Gap::Over { depth, length, share } => {
                    let there = walk.around(z, depth);
                    (length + share * there) / there * around
                }
            };
            if taken >= around - 1.0 {
                diagnostics.push(errors::gap_too_wide(part, taken, around));
                return false;
            }
        }
    }
    match worst {
        None => true,
        Some((_, ParallelFault::Corner { phi, z, depth, radius, .. })) => {
            let outer = part.layers.iter().map(|l| l.outer).fold(f64::NEG_INFINITY, f64::max);
            // Along the normal the radius of a bend grows by the depth: what it is on the outside face.
            let outside = radius + (outer - depth);
            diagnostics.push(errors::corner_too_tight(part, phi, z, outside, outer - depth));
            false
        }
        Some((_, ParallelFault::Side { phi, z, length, .. })) => {
            diagnostics.push(errors::side_too_short(part, phi, z, -length));
            false
        }
    }
}

/// A panel that was made with knots of its own, and whether its lower and its upper edge keep them: what does not depend on
/// knots is not reckoned again.
#[derive(Clone, Copy)]
pub(super) struct Kept<'a> {
    pub made: &'a Made,
    pub edges: [bool; 2],
}

impl Kept<'_> {
    /// An edge as it was with its knots. Where anything is folded over, edges are made together.
    fn edge(&self, name: EdgeName) -> Option<(Edge, Vec<f64>)> {
        let keeps = self.edges[usize::from(name == EdgeName::Upper)];
        let edges = &self.made.panel.edges;
        if !keeps || edges.iter().any(|e| e.turn.is_some()) || !self.made.faults.is_empty() {
            return None;
        }
        let edge = edges.iter().find(|e| e.name == name)?;
        let knots = self.made.knots.iter().find(|k| k.0 == name)?;
        Some((edge.clone(), knots.1.clone()))
    }
}

/// Lays one layer of one ring flat.
pub(super) fn panel(
    solid: &Solid,
    part: &Part,
    wall: &Wall,
    (ring, layer): (usize, usize),
    knots: &Knots,
    kept: Option<Kept<'_>>,
) -> Made {
    let this = &wall.rings[ring];
    let sheet = &part.layers[layer];
    let (low_cut, up_cut) = cuts(wall, this);
    let walks = walks(wall, this);
    let flats = laid(&walks, sheet.neutral);
    let lower = Rim::new(&flats[0], &low_cut);
    let upper = Rim::new(&flats[flats.len() - 1], &up_cut);
    let low = leaves(lower.flat().walk(), wall.seam, height(&low_cut), sheet.neutral);
    let up = leaves(upper.flat().walk(), wall.seam, height(&up_cut), sheet.neutral);
    let forced = |edge: EdgeName| {
        round_joint(solid, part.id, ring, edge).and_then(|j| knots.get(&j.id)).map_or(&[][..], Vec::as_slice)
    };
    // An open seam's sides run straight from rim to rim, at half depth.
    let sides = matches!(wall.seam, Seam::Open(_)).then(|| {
        let side =
            |low: Place, up: Place| Seg::line(lower.point(low, sheet.middle()).0, upper.point(up, sheet.middle()).0);
        (side(low.0, up.0), side(low.1, up.1))
    });
    let as_it_was = [EdgeName::Lower, EdgeName::Upper].map(|name| kept.and_then(|k| k.edge(name)));
    let is_new = as_it_was.each_ref().map(Option::is_none);
    let [was_low, was_up] = as_it_was;
    let mut faults = Vec::new();
    let (mut low_edge, low_knots, low_span) = was_low.map_or_else(
        || {
            let cut = edges::of_rim(EdgeName::Lower, Side::Lower, &lower, low, sides, sheet, forced(EdgeName::Lower));
            faults.extend(cut.off.map(Fault::RunsOff));
            (cut.edge, cut.knots, Some(cut.span))
        },
        |(edge, knots)| (edge, knots, None),
    );
    let (mut up_edge, up_knots, up_span) = was_up.map_or_else(
        || {
            let cut = edges::of_rim(EdgeName::Upper, Side::Upper, &upper, up, sides, sheet, forced(EdgeName::Upper));
            faults.extend(cut.off.map(Fault::RunsOff));
            (cut.edge, cut.knots, Some(cut.span))
        },
        |(edge, knots)| (edge, knots, None),
    );
    // A scalloped rim's edge are its tongues, cut square.
    let mut tongues = None;
    for (edge, rim, span, upper) in [(&mut low_edge, &lower, low, false), (&mut up_edge, &upper, up, true)] {
        let Some(row) = wall.scalloped(ring, upper) else { continue };
        let wanted = scallop::Wanted { upper, count: row.count, rise: row.rise };
        let path = scallop::row(rim, span, sides, wanted).path();
        edges::cut_to(edge, if upper { path.reversed() } else { path.clone() });
        tongues = Some((path, upper, row.rise));
    }
    // A rim that is drawn together to one point has no curve: the sides meet there.
    let point = |rim: &Rim, at: Place| [rim.point(at, sheet.neutral).0; 5];
    let drawn = |edge: &Edge| edge.middle.is_empty();
    let corner = |edge: &Edge, rim: &Rim, at: Place, last: bool| match (drawn(edge), last) {
        (true, _) => point(rim, at),
        (false, true) => edges::ends(edge),
        (false, false) => edges::starts(edge),
    };
    let (a, b) = (corner(&low_edge, &lower, low.0, false), corner(&low_edge, &lower, low.1, true));
    let (c, d) = (corner(&up_edge, &upper, up.1, false), corner(&up_edge, &upper, up.0, true));
    let mut end = edges::straight(EdgeName::End, |_| b, c, &low_edge);
    let mut begin = edges::straight(EdgeName::Begin, |_| d, a, &low_edge);
    end.allowance = match wall.seam {
        Seam::Lap(width) => Allowance::Lap(width),
        Seam::Tabs(width) => Allowance::Tabs(width),
        Seam::Butt | Seam::Backed(_) | Seam::Open(_) => Allowance::None,
    };
    end.long = side_long(&lower, low.1, &upper, up.1, sheet);
    begin.long = side_long(&lower, low.0, &upper, up.0, sheet);
    if let Some((.., rise)) = tongues {
        for long in [&mut begin.long, &mut end.long] {
            *long = Long { inside: long.inside - rise, neutral: long.neutral - rise, outside: long.outside - rise };
        }
    }

    if let (Seam::Open(Gap::Leaves(wide)), Some(sides)) = (wall.seam, sides)
        && !has_corners([(&lower, low), (&upper, up)], sides, sheet)
    {
        faults.push(Fault::NoCorner(wide));
    }
    let edges: [&mut Edge; 4] = [&mut low_edge, &mut end, &mut up_edge, &mut begin];
    let rims = [(&lower, &low_cut, low), (&upper, &up_cut, up)];
    folded(solid, (part, ring, sheet), rims, edges, &mut faults);

    let rims = notches::Rims { lower: &lower, low, upper: &upper, up };
    let [new_low, new_up] = is_new;
    for (edge, is_new) in [(&mut low_edge, new_low), (&mut end, true), (&mut up_edge, new_up), (&mut begin, true)] {
        if is_new {
            notches::place(solid, part, ring, sheet, &rims, edge);
        }
    }
    let mut knots = Vec::new();
    for (edge, found) in [(&low_edge, low_knots), (&up_edge, up_knots)] {
        knots.push((edge.name, found));
    }
    let edges = [low_edge, end, up_edge, begin].into_iter().filter(|e| !drawn(e)).collect();

    if let Some(Kept { made, .. }) = kept {
        return Made { panel: Panel { edges, ..made.panel.clone() }, knots, faults };
    }
    let spans = (low_span.unwrap_or(low), up_span.unwrap_or(up));
    let rulings = rulings(&flats, this, [&lower, &upper], spans.0, spans.1);
    let panel = Panel {
        id: PanelId::new(0),
        part: part.id,
        ring,
        layer,
        edges,
        holes: holes::lay(wall, this, &flats),
        places: places::on_wall(solid, part, wall, this, layer, &flats, &rulings),
        traces: traces::on_wall(solid, part, this, layer, &flats),
        area: match &tongues {
            None => enclose::area(&lower, low, &upper, up),
            Some((path, true, _)) => enclose::area_to(&lower, low, path, true),
            Some((path, false, _)) => enclose::area_to(&upper, up, path, false),
        },
        turn: flats[0].walk().turn(low.1) - flats[0].walk().turn(low.0),
        tightest: tightest(&lower, low, &upper, up, sheet.inner),
        rules: lengths(&lower, low, &upper, &flats[0]),
        rulings,
    };
    Made { panel, knots, faults }
}

/// Whether a strip has its corners: on a wide cone the wall may turn so far within its width that a bevelled rim comes round
/// beside the straight side, and never meets it.
fn has_corners(rims: [(&Rim, (Place, Place)); 2], sides: (Seg, Seg), sheet: &solid::Layer) -> bool {
    let meets = |rim: &Rim, at: Place, side: &Seg| {
        let [inner, outer] = [sheet.inner, sheet.outer].map(|d| rim.point(at, d).0);
        // What is cut square is cut at half depth, where the sides themselves end.
        let square = sheet.square || inner.distance(outer) < tol::SQUARE_CUT;
        square || [sheet.inner, sheet.outer].iter().all(|d| edges::meets(rim, at, *d, side))
    };
    rims.into_iter().all(|(rim, ends)| meets(rim, ends.0, &sides.0) && meets(rim, ends.1, &sides.1))
}

/// What is folded over the edges, which are given in order round the panel. An edge that is turned over has no bevel.
fn folded(
    solid: &Solid,
    (part, ring, sheet): (&Part, usize, &solid::Layer),
    [(lower, low_cut, low), (upper, up_cut, up)]: [(&Rim, &Cut, (Place, Place)); 2],
    edges: [&mut Edge; 4],
    faults: &mut Vec<Fault>,
) {
    let names = [EdgeName::Lower, EdgeName::End, EdgeName::Upper, EdgeName::Begin];
    let asked = names.map(|edge| turn_of(solid, part.id, ring, edge));
    if asked.iter().all(Option::is_none) {
        return;
    }
    let Body::Wall(wall) = &part.body else { return };
    let wall = wall.cut();
    let open = matches!(wall.seam, Seam::Open(_));
    let middle = sheet.middle();
    // The strip at a rim, and the one of the next ring on which its turn goes on.
    let beside = |turn: &solid::Turn, at_top: bool| {
        let strips = &wall.rings[ring].strips;
        let own = &wall.strips[if at_top { strips.end - 1 } else { strips.start }];
        let next = if let Onto::Next { strip, .. } = turn.onto { wall.strips.get(strip) } else { None };
        (own, next)
    };
    // The angle within the panel at each edge's end, between it and the next, where both are turned over.
    let corner = |i: usize| {
        let j = (i + 1) % 4;
        (asked[i].is_some() && asked[j].is_some()).then(|| {
            let way = |e: &Edge, end: bool| {
                let long = e.middle.length();
                e.middle.at_length(if end { long } else { 0.0 }).map_or(Vec2::ZERO, |p| p.1)
            };
            let (a, b) = (-way(&*edges[i], true), way(&*edges[j], false));
            num::atan2(a.perp_dot(b), a.dot(b)).abs()
        })
    };
    let after = [0, 1, 2, 3].map(corner);
    for (i, edge) in edges.into_iter().enumerate() {
        let Some(turn) = asked[i] else { continue };
        // Of a side the rims are the edges before and after it.
        let rim = |k: usize| asked[k].map_or(0.0, |t| t.wide);
        let before = (i + 3) % 4;
        let corners =
            [after[before].map(|angle| (angle, rim(before))), after[i].map(|angle| (angle, rim((i + 1) % 4)))];
        let make = |wide: f64| {
            let turn = solid::Turn { wide, ..*turn };
            match names[i] {
                EdgeName::Lower | EdgeName::Upper if matches!(turn.onto, Onto::Beyond { .. }) => {
                    let (rim, span) = if names[i] == EdgeName::Upper { (upper, up) } else { (lower, low) };
                    turn::of_joint(solid, part, &turn, rim, span, middle)
                }
                EdgeName::Lower => turn::of_rim(&turn, beside(&turn, false), (lower, low_cut), low, middle, !open),
                EdgeName::Upper => turn::of_rim(&turn, beside(&turn, true), (upper, up_cut), up, middle, !open),
                _ => turn::of_side(&turn, edge, middle, corners),
            }
        };
        match make(turn.wide) {
            Ok(made) => edge.turn = Some(made),
            Err(turn::NoTab) => faults.push(Fault::NoTab(*turn, turn::fits(turn.wide, make))),
        }
        edge.bevel = crate::flat::Bevel::SQUARE;
    }
}

/// Rules that face as alike as this, and lie together, are one.
const ALIKE: f64 = 1e-3;

/// True lengths of a side. Along one rule it is as long on each face as its ends stand apart there; where an open
/// seam's side crosses the rules it is a straight line of the neutral surface, and counts as that.
fn side_long(lower: &Rim, low: Place, upper: &Rim, up: Place, sheet: &solid::Layer) -> Long {
    let (one, other) = (lower.flat().walk().rule(low), upper.flat().walk().rule(up));
    // Where a section is flat rules that face alike to many digits may lie far apart, and at a cusp ones that face
    // apart lie together.
    let apart = |z: f64| (one.point(z, 0.0) - other.point(z, 0.0)).length();
    let same =
        (one.phi - other.phi).abs() < ALIKE && apart(other.z0) < tol::ONE_PIECE && apart(other.z1) < tol::ONE_PIECE;
    let flat = |d: f64| (upper.point(up, d).0 - lower.point(low, d).0).length();
    if same {
        Long { inside: flat(sheet.inner), neutral: flat(sheet.neutral), outside: flat(sheet.outer) }
    } else {
        let neutral = flat(sheet.neutral);
        Long { inside: neutral, neutral, outside: neutral }
    }
}

/// Generatrices strip by strip, close enough that a flat cell between two stands off the surface by `CELL` at most:
/// over a chord `s` that turns by `Δφ` the surface rises `s Δφ/8`.
fn rulings(
    flats: &[Unrolled],
    ring: &Ring,
    [lower, upper]: [&Rim; 2],
    low: (Place, Place),
    up: (Place, Place),
) -> Vec<Ruling> {
    // A sloped rim may lie far beyond its strip's plane.
    let beyond = |rim: &Rim, span: (Place, Place), z: f64| {
        let there = rim.is_sloped().then(|| edges::range(span, &|at| rim.height(at, 0.0).0));
        there.map_or([z; 2], |(a, b)| [a, b])
    };
    let mut out: Vec<Ruling> = Vec::new();
    for (flat, strip) in flats.iter().zip(ring.strips.clone()) {
        let walk = flat.walk();
        let (z0, z1) = walk.strip().heights();
        let foot = if strip == ring.strips.start { beyond(lower, low, z0) } else { [z0; 2] };
        let head = if strip + 1 == ring.strips.end { beyond(upper, up, z1) } else { [z1; 2] };
        // What an open seam leaves of both rims; strips between them are cut as the nearest rim is.
        let (from, to) = if flats.len() == 1 {
            (edges::before(low.0, up.0), edges::after(low.1, up.1))
        } else if strip + 1 == ring.strips.end {
            up
        } else if strip == ring.strips.start {
            low
        } else {
            let phi = |p: Place| flats[0].walk().rule(p).phi;
            let at = |p: Place, fallback: Place| walk.at_normal(phi(p)).first().copied().unwrap_or(fallback);
            let (start, end) = walk.ends();
            if low == flats[0].walk().ends() { (start, end) } else { (at(low.0, start), at(low.1, end)) }
        };
        // The centre line is one of them.
        let behind = walk.at_normal(walk.rule(walk.ends().0).phi + num::PI);
        for (leg, t0, t1) in spans(from, to) {
            let n = match walk.legs()[leg] {
                Leg::Side { .. } => 1.0,
                Leg::Turn { .. } => {
                    let mut need: f64 = 1.0;
                    for i in 0..24u8 {
                        let at = Place { leg, t: t0 + (t1 - t0) * (f64::from(i) + 0.5) / 24.0 };
                        let turning = walk.turning(at).abs() * (t1 - t0);
                        let radius = |z: &f64| parallel::radius(walk, at, *z, flat.depth()).abs();
                        let speed = foot.iter().chain(&head).map(radius).fold(0.0, f64::max) * turning;
                        need = need.max((speed * turning / (8.0 * CELL)).sqrt());
                    }
                    (1.15 * need).ceil().clamp(2.0, RULINGS)
                }
            };
            let mut shares = vec![t0];
            let mut i = 1.0;
            while i <= n {
                shares.push(t0 + (t1 - t0) * i / n);
                i += 1.0;
            }
            shares.extend(behind.iter().filter(|p| p.leg == leg && p.t > t0 && p.t < t1).map(|p| p.t));
            shares.sort_by(f64::total_cmp);
            for t in shares {
                let laid = flat.at(Place { leg, t });
                let next = Ruling { strip, rule: laid.rule, foot: laid.foot, head: laid.point(1.0) };
                let repeats = out.last().is_some_and(|r| {
                    r.strip == strip
                        && (r.rule.phi - next.rule.phi).abs() < 1e-12
                        && (r.rule.k0 - next.rule.k0).abs().max((r.rule.k1 - next.rule.k1).abs()) < tol::SAME
                });
                if !repeats {
                    out.push(next);
                }
            }
        }
    }
    out
}

/// The tightest bend of the inside face at the rims; a rim drawn together to a point is not one.
fn tightest(lower: &Rim, low: (Place, Place), upper: &Rim, up: (Place, Place), inner: f64) -> Option<(f64, Vec2)> {
    let mut best: Option<(f64, Vec2)> = None;
    let ends = [lower.flat().walk().strip().heights().0, upper.flat().walk().strip().heights().1];
    let reach = |rim: &Rim, range: (Place, Place), z: f64| {
        if !rim.is_sloped() {
            return vec![(range, z)];
        }
        let (least, most) = edges::range(range, &|at| rim.height(at, inner).0);
        vec![(range, least), (range, most)]
    };
    let looked = [(lower, reach(lower, low, ends[0])), (upper, reach(upper, up, ends[1]))];
    for (rim, (range, z)) in looked.into_iter().flat_map(|(rim, all)| all.into_iter().map(move |one| (rim, one))) {
        if rim.is_closed() {
            continue;
        }
        if let Some((r, at)) = parallel::tightest(rim.flat().walk(), range, z, inner)
            && best.is_none_or(|b| r < b.0)
        {
            best = Some((r, rim.point(at, inner).0));
        }
    }
    best
}

/// Shortest and longest generatrix between the neutral rims.
fn lengths(lower: &Rim, low: (Place, Place), upper: &Rim, flat: &Unrolled) -> Option<(f64, f64)> {
    let depth = flat.depth();
    let (walk, above) = (flat.walk(), upper.flat().walk());
    let single = core::ptr::eq(walk, above);
    let mut best: Option<(f64, f64)> = None;
    for (leg, t0, t1) in spans(low.0, low.1) {
        for i in 0..=64u8 {
            let at = Place { leg, t: t0 + (t1 - t0) * f64::from(i) / 64.0 };
            let rule = walk.rule(at);
            let there =
                if single { Some(at) } else { notches::same_rule(walk, at, above, (walk.strip().heights().1, 0.0)) };
            let Some(there) = there else { continue };
            let rise = upper.foot(there, depth).0 - lower.foot(at, depth).0;
            let long = flat.at(at).rise.length() * rise / rule.rise();
            best = Some(best.map_or((long, long), |(a, b)| (a.min(long), b.max(long))));
        }
    }
    best
}
