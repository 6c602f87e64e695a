//! The area of a panel as its wall's surface: summed over the flat cells between its generatrices, with nothing of the
//! formulas that its maker used.

use crate::geom::{Vec2, Vec3};
use crate::num;
use crate::solid::Seam;

use super::laid::Laid;
use super::lines::Line;
use super::measure;

/// How far a panel's area reaches.
#[derive(Clone, Copy, Debug)]
pub enum Reach {
    /// To the lines along which the rims are cut.
    Cut,
    /// To the rims' neutral edges.
    Neutral,
}

/// A generatrix between the rims, as far as both sides leave it.
type Bar = (Vec3, Vec3);

/// So much of a panel's area may a cell's sum be off before it is divided further.
const FINE: f64 = 1e-9;

/// How often at most.
const DEPTH: u32 = 20;

impl Laid<'_> {
    /// The neutral surface's area between both rims and the panel's sides.
    pub fn area(&self, reach: Reach) -> f64 {
        let mut sum = num::Sum::new();
        let open = matches!(self.view.wall.seam, Seam::Open(_));
        for (i, folded) in self.strips.iter().enumerate() {
            let round = &self.view.rounds[self.ring.strips.start + i];
            let ends = |w: f64| self.bar_ends(i, reach, w);
            let sides = self.sides_of(i, reach);
            let within = |at_end: bool, w: f64, p: Vec3| {
                self.within_side(if at_end { sides.1 } else { sides.0 }, at_end, w, folded.flat(w, p))
            };
            let bar = |w: f64| {
                let (low, high) = ends(w);
                if !open {
                    return (low, high);
                }
                // What both sides leave of the bar.
                let (mut from, mut to) = (0.0, 1.0);
                for at_end in [false, true] {
                    let (a, b) = (within(at_end, w, low), within(at_end, w, high));
                    match (a >= 0.0, b >= 0.0) {
                        (true, true) => {}
                        (false, false) => return (low, low),
                        (true, false) => to = f64::min(to, a / (a - b)),
                        (false, true) => from = f64::max(from, a / (a - b)),
                    }
                }
                let at = |share: f64| low + (high - low) * share;
                if from < to { (at(from), at(to)) } else { (low, low) }
            };
            // Enough to fold by is a larger share of a small piece's area: it is summed in some hundreds of parts.
            let least = 256u32.div_ceil(u32::try_from(folded.cells.len().max(1)).unwrap_or(256)).min(8);
            let mut before: Option<(f64, Bar)> = None;
            for c in &folded.cells {
                let mut stops = Vec::new();
                let mut parts = least;
                for upper in [false, true] {
                    if let Some(course) = self.view.course(self.ring, upper).filter(|_| self.rim_strip(upper) == i) {
                        stops.extend(course.stops().filter(|w| *w > c.w0 && *w < c.w1));
                        parts = if round.is_side(0.5 * (c.w0 + c.w1)) { 64 } else { 8 };
                    }
                }
                // Where a side crosses a rim within a cell, the cell is cut on both sides of the crossing: a side that
                // runs along a generatrix lets the whole bar in at once.
                if open {
                    for (upper, at_end) in [(false, false), (false, true), (true, false), (true, true)] {
                        let f = |w: f64| {
                            let (low, high) = ends(w);
                            within(at_end, w, if upper { high } else { low })
                        };
                        if let Some(w) = num::bisect(c.w0, c.w1, 0.0, f) {
                            stops.extend([w.next_down(), w.next_up()]);
                        }
                    }
                    stops.retain(|w| *w > c.w0 && *w < c.w1);
                }
                stops.sort_by(f64::total_cmp);
                let normal = round.generatrix(c.w1).normal;
                let cell = Cell { bar: &bar, normal, off: FINE * self.panel.area };
                let mut last = before.filter(|b| b.0 == c.w0).unwrap_or_else(|| (c.w0, bar(c.w0)));
                for to in stops.into_iter().chain([c.w1]) {
                    let from = last.0;
                    for j in 1..=parts {
                        let w = from + (to - from) * f64::from(j) / f64::from(parts);
                        let next = (w, bar(w));
                        cell.add(&mut sum, last, next, DEPTH);
                        last = next;
                    }
                }
                before = Some(last);
            }
        }
        if self.strips.len() > 1 {
            sum.add(self.between_strips(reach));
        }
        sum.value()
    }

    /// The ends of a strip's whole generatrix: on the ring's rims, or at the station to the next strip.
    fn bar_ends(&self, strip: usize, reach: Reach, w: f64) -> Bar {
        let (folded, round) = (&self.strips[strip], &self.view.rounds[self.ring.strips.start + strip]);
        let g = round.generatrix(w);
        let end = |upper: bool, line: Line, z: f64| match reach {
            _ if self.rim_strip(upper) != strip => g.at(z, folded.depth),
            Reach::Cut => self.view.line(self.ring, upper, line, w, &self.layer).foot,
            Reach::Neutral => self.view.edge(self.ring, upper, w, folded.depth, folded.depth).foot,
        };
        (end(false, self.cut.0, round.heights.0), end(true, self.cut.1, round.heights.1))
    }

    /// What strips of one flat leave between them, and between their own seams' lines and the one straight side of all:
    /// walls that all but go on straight are one piece, and their flats agree but for hundredths of a millimetre.
    fn between_strips(&self, reach: Reach) -> f64 {
        let mut sum = num::Sum::new();
        let open = matches!(self.view.wall.seam, Seam::Open(_));
        let (mut begin, mut end) = (Vec::new(), Vec::new());
        let mut below: Vec<Vec2> = Vec::new();
        for (i, folded) in self.strips.iter().enumerate() {
            let sides = self.sides_of(i, reach);
            let (mut feet, mut heads) = (Vec::new(), Vec::new());
            for w in folded.cells.iter().map(|c| c.w0).chain([folded.reach().1]) {
                let (low, high) = self.bar_ends(i, reach, w);
                for (p, line) in [(low, &mut feet), (high, &mut heads)] {
                    let p = folded.flat(w, p);
                    let within = |at_end: bool| self.within_side(if at_end { sides.1 } else { sides.0 }, at_end, w, p);
                    if !open || (within(false) >= 0.0 && within(true) >= 0.0) {
                        line.push(p);
                    }
                }
            }
            begin.extend(feet.first().into_iter().chain(heads.first()).copied());
            end.extend(feet.last().into_iter().chain(heads.last()).copied());
            if i > 0 {
                below.extend(feet.into_iter().rev());
                sum.add(measure::area(&below));
            }
            below = heads;
        }
        // The sides of an open seam are cut straight, whatever the generatrices beside them.
        if !open {
            sum.add(measure::area(&begin) - measure::area(&end));
        }
        sum.value()
    }
}

/// A part of a strip in which bars follow each other without a jump.
struct Cell<'a> {
    bar: &'a dyn Fn(f64) -> Bar,
    normal: Vec3,
    /// What its sum may be off, mm².
    off: f64,
}

impl Cell<'_> {
    /// The area between two bars: that between them and a third one half-way, and what is still missing then
    /// (Richardson, 1911). Beside a flat place of a section the ends of bars run far while their place hardly moves, so it
    /// is divided until halving it changes nothing.
    fn add(&self, sum: &mut num::Sum, a: (f64, Bar), b: (f64, Bar), depth: u32) {
        let w = 0.5 * (a.0 + b.0);
        let m = (w, (self.bar)(w));
        let (one, two) = (self.between(a.1, b.1), self.between(a.1, m.1) + self.between(m.1, b.1));
        if depth == 0 || (two - one).abs() <= self.off || w <= a.0 || w >= b.0 || (two - one).is_nan() {
            sum.add(two + (two - one) / 3.0);
            return;
        }
        self.add(sum, a, m, depth - 1);
        self.add(sum, m, b, depth - 1);
    }

    fn between(&self, (a, b): Bar, (p, q): Bar) -> f64 {
        // On a side that runs back at one end a triangle is turned over, and counts as taken away.
        let doubles = [(p - a).cross(q - a), (q - a).cross(b - a)];
        doubles.iter().map(|d| 0.5 * d.length() * d.dot(self.normal).signum()).sum()
    }
}
