//! Rims cut to figures, from the solid alone: lengths along the measured face's rim are summed over chords, the cut lies
//! its fall from the rim along the generatrix, and the end face is square to the sheet there. What is written is folded
//! and its falls are measured again: how far from the highest to the lowest, how many times, and where.

use crate::geom::Vec3;
use crate::geom::figure::{Figure, Form, Part};
use crate::num;
use crate::piece::Piece;
use crate::solid::{EdgeName, Seam, Station};
use crate::verdict::Check;

use super::laid::Laid;
use super::report::{FIT, Report};
use super::space::Round;

/// Lengths are kept at so many places of each span.
const NODES: usize = 64;
/// What a length may be off, mm.
const LENGTH: f64 = 1e-7;
/// Nearer than this two lengths are one, mm.
const SAME: f64 = 1e-6;
/// Beside a place where the cut goes along a generatrix.
const BESIDE: f64 = 1e-9;

/// A figure along a rim.
#[derive(Clone, Debug)]
pub struct Course {
    /// It falls down the wall from its station.
    falls: bool,
    /// Height of the station.
    z: f64,
    /// How far all of it lies beyond its falls.
    down: f64,
    /// The length along it up to each node.
    nodes: Vec<f64>,
    parts: Vec<Part>,
    /// The places at which parts end, but the last's.
    bounds: Vec<f64>,
}

/// How far the cut lies from the rim at a length along it.
fn fall(form: &Form, s: f64) -> f64 {
    match *form {
        Form::Line { at, fall, slope } => fall + slope * (s - at),
        // rise · sin² of half the angle.
        Form::Wave { crest, pitch, rise } => {
            let sine = num::sin(num::PI * (s - crest) / pitch);
            rise * sine * sine
        }
        // The sagitta of the chord of twice the distance from the tip.
        Form::Round { tip, radius } => {
            let angle = num::asin(((s - tip) / radius).clamp(-1.0, 1.0));
            radius * (1.0 - num::cos(angle))
        }
        Form::Cubic { at, fall, rates: [a, b, c] } => {
            let x = s - at;
            fall + a * x + b * x * x + c * x * x * x
        }
    }
}

impl Course {
    pub fn new(figure: &Figure, round: &Round) -> Self {
        let z = figure.z;
        let n = NODES * round.end() as usize;
        let at = |w: f64| round.generatrix(w).at(z, 0.0);
        let mut sum = num::Sum::new();
        let mut nodes = vec![0.0];
        for i in 1..=n {
            let place = |i: usize| i as f64 / NODES as f64;
            sum.add(round.length(place(i - 1), place(i), LENGTH, &at));
            nodes.push(sum.value());
        }
        let (falls, down) = (figure.falls, figure.down);
        let mut course = Self { falls, z, down, nodes, parts: figure.parts.clone(), bounds: Vec::new() };
        let ends = course.parts.iter().map(|p| p.to).take(course.parts.len().saturating_sub(1));
        course.bounds = ends.map(|s| course.place(round, s)).collect();
        course
    }

    /// The length along the rim up to a place.
    fn along(&self, round: &Round, w: f64) -> f64 {
        let i = ((w * NODES as f64).floor().max(0.0) as usize).min(self.nodes.len() - 1);
        let at = |w: f64| round.generatrix(w).at(self.z, 0.0);
        self.nodes[i] + round.length(i as f64 / NODES as f64, w, LENGTH, &at)
    }

    /// The place a length along the rim; where a straight side comes to nothing there, half-way between its ends.
    fn place(&self, round: &Round, s: f64) -> f64 {
        let at = |s: f64| {
            let i = self.nodes.partition_point(|n| *n < s).clamp(1, self.nodes.len() - 1);
            let node = |i: usize| i as f64 / NODES as f64;
            num::bisect(node(i - 1), node(i), 1e-13, |w| self.along(round, w) - s).unwrap_or(node(i))
        };
        0.5 * (at(s - SAME) + at(s + SAME))
    }

    /// Where the cut lies at a place, on the measured face.
    pub fn point(&self, round: &Round, w: f64) -> Vec3 {
        let part = self.bounds.partition_point(|b| *b <= w).min(self.parts.len() - 1);
        let g = round.generatrix(w);
        let fall = self.down + fall(&self.parts[part].form, self.along(round, w));
        g.at(self.z, 0.0) - g.along * if self.falls { fall } else { -fall }
    }

    /// Places at which the figure goes on as another one, from either side.
    pub fn stops(&self) -> impl Iterator<Item = f64> {
        self.bounds.iter().flat_map(|b| [b - BESIDE, b + BESIDE])
    }

    /// Points along a curve that follows it, with the lines along generatrices where it jumps.
    pub fn points(&self, round: &Round, tol: f64, f: &dyn Fn(f64) -> Vec3) -> Vec<(f64, Vec3)> {
        let mut ends = vec![0.0];
        ends.extend(self.stops().filter(|w| *w > 0.0 && *w < round.end()));
        ends.push(round.end());
        let mut out = Vec::new();
        for pair in ends.chunks(2) {
            if let [from, to] = pair {
                out.extend(round.points(*from, *to, tol, f));
            }
        }
        out
    }
}

/// What a figure is asked to be.
pub struct Asked {
    pub upper: bool,
    pub count: usize,
    pub rise: f64,
    pub crest: Option<f64>,
    pub station: Station,
}

/// How far the cut lies from its station along the generatrices, piece by piece as they follow each other round, each
/// with its place.
fn falls(laid: &Laid<'_>, group: &[&Piece], upper: bool, from: Station) -> Vec<(f64, f64)> {
    let name = if upper { EdgeName::Upper } else { EdgeName::Lower };
    let line = if upper { laid.cut.1 } else { laid.cut.0 };
    let round = &laid.view.rounds[laid.ring.strips.start + laid.rim_strip(upper)];
    let mut paths: Vec<Vec<(f64, f64)>> = Vec::new();
    for piece in group {
        for path in super::turn::edge_paths(piece, name) {
            let fallen = laid.landed_rim(&piece.from_flat, path, upper, line).into_iter().map(|(_, l)| {
                let g = round.generatrix(l.w);
                let up = (g.at(from.z, 0.0) - (l.space - g.normal * laid.layer.neutral)).dot(g.along);
                (l.w, if from.falls { up - from.down } else { -up - from.down })
            });
            let mut list: Vec<_> = fallen.collect();
            // By most of its steps: what lies on the seam may be found on either side of it.
            let back = list.windows(2).filter(|p| p[1].0 < p[0].0).count();
            if 2 * back > list.len() {
                list.reverse();
            }
            paths.push(list);
        }
    }
    let start = |p: &[(f64, f64)]| p.first().map_or(0.0, |p| p.0);
    paths.sort_by(|a, b| start(a).total_cmp(&start(b)));
    paths.into_iter().flatten().collect()
}

/// How far the outermost place of a folded cut lies from its station.
pub fn outermost(laid: &Laid<'_>, group: &[&Piece], upper: bool) -> f64 {
    let round = &laid.view.rounds[laid.ring.strips.start + laid.rim_strip(upper)];
    let station = Station { z: if upper { round.heights.1 } else { round.heights.0 }, falls: upper, down: 0.0 };
    falls(laid, group, upper, station).iter().map(|p| p.1).fold(f64::INFINITY, f64::min)
}

/// What of them lies between two places, with those.
fn between(all: &[(f64, f64)], (from, to): (f64, f64)) -> Vec<(f64, f64)> {
    let mut out: Vec<(f64, f64)> = Vec::with_capacity(all.len());
    for (i, &(w, fall)) in all.iter().enumerate() {
        if let Some(&(before, last)) = i.checked_sub(1).and_then(|i| all.get(i)) {
            for end in [from, to].into_iter().filter(|end| before < *end && *end < w) {
                out.push((end, last + (fall - last) * (end - before) / (w - before)));
            }
        }
        if (from..=to).contains(&w) {
            out.push((w, fall));
        }
    }
    out
}

/// A figure measured on the pieces of one panel: the folded cut against the section of its station, `within` where it is
/// laid out. An open gap of one length leaves a layer farther out more of the way round: there it goes on as it ended.
pub fn claim(laid: &Laid<'_>, group: &[&Piece], asked: &Asked, within: (f64, f64), what: &str, r: &mut Report) -> bool {
    let upper = asked.upper;
    let round = &laid.view.rounds[laid.ring.strips.start + laid.rim_strip(upper)];
    let hands: std::collections::BTreeSet<_> = group.iter().map(|p| p.hand).collect();
    let mut any = false;
    for hand in hands {
        let own: Vec<&Piece> = group.iter().filter(|p| p.hand == hand).copied().collect();
        let all = between(&falls(laid, &own, upper, asked.station), within);
        if all.is_empty() {
            return false;
        }
        any = true;
        let (least, most) = all.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |m, p| (m.0.min(p.1), m.1.max(p.1)));
        let place = format!("{least:.3} mm from the rim at the highest");
        r.figure(Check::Claim, &format!("{what}, highest on the rim"), place, least.abs(), FIT);
        let place = format!("{:.3} mm for {:.3}", most - least, asked.rise);
        r.figure(Check::Claim, &format!("{what}, rise"), place, (most - least - asked.rise).abs(), FIT);
        // Crests: stretches nearer to the rim than half-way. What lies just there, as all of a side that comes to nothing
        // may, goes with what came before it.
        let mut is_high = all[0].1 < 0.5 * asked.rise;
        let turns = |p: &(f64, f64)| {
            let (near, far) = (0.49 * asked.rise, 0.51 * asked.rise);
            is_high = if is_high { p.1 < far } else { p.1 < near };
            is_high
        };
        let high: Vec<bool> = all.iter().map(turns).collect();
        let rises = high.windows(2).filter(|w| !w[0] && w[1]).count();
        let open = matches!(laid.view.wall.seam, Seam::Open(_));
        let joins = !open && high.last() == Some(&true);
        let count = rises + usize::from(high[0] && !joins);
        // One that never falls below half-way, and goes round, is one all the same.
        let count = if count == 0 && high[0] { 1 } else { count };
        // A slope is not counted.
        if asked.count > 0 {
            r.count(&format!("{what}, times"), count, asked.count);
        }
        if let Some(w) = asked.crest.and_then(|phi| round.facing(phi)) {
            // Between the nearest two: what lies on the seam may be found on either side of it.
            let at = |w: f64| {
                let pairs = all.windows(2).filter(|p| p[0].0 <= w && w <= p[1].0);
                let nearest = pairs.min_by(|a, b| (a[1].0 - a[0].0).total_cmp(&(b[1].0 - b[0].0)));
                nearest.map(|p| {
                    let step = p[1].0 - p[0].0;
                    if step > 0.0 { p[0].1 + (p[1].1 - p[0].1) * (w - p[0].0) / step } else { p[0].1 }
                })
            };
            let seam = [all.first(), all.last()].into_iter().flatten().map(|p| p.1).fold(f64::INFINITY, f64::min);
            let (first, last) = round.one_place(w, asked.station.z);
            let within = all.iter().filter(|p| first <= p.0 && p.0 <= last).map(|p| p.1);
            let least = [first, last].into_iter().filter_map(at).chain(within).fold(f64::INFINITY, f64::min);
            let off = if least.is_finite() { least } else { seam };
            let place = format!("{off:.3} mm from the rim where its crest is asked for");
            r.figure(Check::Claim, &format!("{what}, crest"), place, off.abs(), FIT);
        }
    }
    any
}
