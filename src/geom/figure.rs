//! What a rim is cut to when it is not cut along a line of its own: by the length along the measured face's rim, from
//! the walk's start, how far the cut lies from that rim along the generatrix. So a maker draws it: a tape laid along the
//! rim, and at each mark of it another one down the wall. The end face is square to the sheet through that line.
//!
//! Along a generatrix of way `W = u n + v t + e_z` for one of height (`u = tan α`, `v = (k1 − k0)/H`) a fall `y` is the
//! height `y/w`, `w = |W| = √(1 + u² + v²)`. With φ the place runs by `ρ dφ` along the rim, and since `u' = v` and
//! `v' = (ρ1 − ρ0)/H − u` it is `w' = v (ρ1 − ρ0)/(H w)`. Along a straight side `u` stays and `v` grows evenly.

use super::Vec2;
use super::fit;
use super::parallel;
use super::path::Seg;
use super::strip::Rule;
use super::walk::{Leg, Place, Walk};
use crate::num::{self, PI};

/// A rim's figure. Its parts follow each other along the rim; where two do not meet the cut goes along the generatrix
/// from one to the other.
#[derive(Clone, Debug, PartialEq)]
pub struct Figure {
    /// It falls down the wall from its station; else up.
    pub falls: bool,
    /// Height of the station.
    pub z: f64,
    /// How far along the generatrices all of it lies beyond its falls: below zero past the station.
    pub down: f64,
    /// Height at which an open seam's sides leave the cut; else the station's.
    pub side: f64,
    pub parts: Vec<Part>,
    /// The rules at the ends of parts but the first's start and the last's end: walks are cut there.
    pub breaks: Vec<Rule>,
    pub named: Named,
}

/// What a figure is, as a maker reads it: `9 teeth, 24 mm deep`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Named {
    /// One, and several; nothing where it is not counted.
    pub one: &'static str,
    pub several: &'static str,
    pub count: usize,
    /// From the outermost place to the deepest, along the generatrices.
    pub rise: f64,
}

/// A stretch of a figure, mm along the rim.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Part {
    pub from: f64,
    pub to: f64,
    pub form: Form,
}

/// How far the cut lies from the rim, by the length along it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Form {
    /// Straight: `fall` at the length `at`, and so much more for one of length.
    Line { at: f64, fall: f64, slope: f64 },
    /// A cosine with a crest on the rim at `crest`, and troughs half a pitch from it.
    Wave { crest: f64, pitch: f64, rise: f64 },
    /// The arc of a circle that touches the rim at `tip`.
    Round { tip: f64, radius: f64 },
    /// A cubic: `fall` at `at` and its coefficients.
    Cubic { at: f64, fall: f64, rates: [f64; 3] },
}

impl Form {
    /// How far the cut lies from the rim at a length along it, and how fast it leaves.
    #[must_use]
    pub fn fall(&self, s: f64) -> (f64, f64) {
        match *self {
            Self::Line { at, fall, slope } => (fall + slope * (s - at), slope),
            Self::Wave { crest, pitch, rise } => {
                let rate = 2.0 * PI / pitch;
                let (sine, cosine) = num::sin_cos(rate * (s - crest));
                (0.5 * rise * (1.0 - cosine), 0.5 * rise * rate * sine)
            }
            Self::Round { tip, radius } => {
                let x = (s - tip).clamp(-radius, radius);
                let root = (radius * radius - x * x).sqrt();
                (radius - root, x / root.max(f64::MIN_POSITIVE))
            }
            Self::Cubic { at, fall, rates: [a, b, c] } => {
                let x = s - at;
                (fall + x * (a + x * (b + x * c)), a + x * (2.0 * b + x * 3.0 * c))
            }
        }
    }

    /// The same figure with every length `k` times as long.
    #[must_use]
    pub fn scaled(&self, k: f64) -> Self {
        match *self {
            Self::Line { at, fall, slope } => Self::Line { at: at * k, fall: fall * k, slope },
            Self::Wave { crest, pitch, rise } => Self::Wave { crest: crest * k, pitch: pitch * k, rise: rise * k },
            Self::Round { tip, radius } => Self::Round { tip: tip * k, radius: radius * k },
            Self::Cubic { at, fall, rates: [a, b, c] } => {
                Self::Cubic { at: at * k, fall: fall * k, rates: [a, b / k, c / (k * k)] }
            }
        }
    }

    /// The same moved along the rim.
    #[must_use]
    pub fn shifted(&self, by: f64) -> Self {
        match *self {
            Self::Line { at, fall, slope } => Self::Line { at: at + by, fall, slope },
            Self::Wave { crest, pitch, rise } => Self::Wave { crest: crest + by, pitch, rise },
            Self::Round { tip, radius } => Self::Round { tip: tip + by, radius },
            Self::Cubic { at, fall, rates } => Self::Cubic { at: at + by, fall, rates },
        }
    }

    /// Whether it is a straight line on a straight rim.
    #[must_use]
    pub fn is_straight(&self) -> bool {
        matches!(self, Self::Line { .. })
    }

    /// Whether it keeps its distance from the rim.
    #[must_use]
    pub fn is_even(&self) -> bool {
        matches!(self, Self::Line { slope: 0.0, .. })
    }
}

/// The rules at which each of these parts but the last ends. Where a straight side comes to nothing on the rim all of its
/// rules end in one place of it: the cut goes from one part to the next in its middle.
#[must_use]
pub fn breaks(walk: &Walk, z: f64, parts: &[Part]) -> Vec<Rule> {
    let off = |at: Place, s: f64| (walk.length(at, z, 0.0) - s).abs();
    let at = |s: f64| {
        let fans = |leg: &usize| {
            matches!(walk.legs()[*leg], Leg::Side { .. })
                && [0.0, 1.0].iter().all(|&t| off(Place { leg: *leg, t }, s) < NEAR)
        };
        match (0..walk.legs().len()).find(fans) {
            Some(leg) => walk.rule(Place { leg, t: 0.5 }),
            None => walk.rule(walk.at_length(s, z, 0.0)),
        }
    };
    parts.iter().take(parts.len().saturating_sub(1)).map(|p| at(p.to)).collect()
}

impl Figure {
    /// The part that each leg of a walk lies in, which is cut where parts end; of a leg that comes to nothing on the rim
    /// the length says nothing where one ends there.
    #[must_use]
    pub fn parts_of(&self, walk: &Walk) -> Vec<usize> {
        let long = |leg: usize, t: f64| walk.length(Place { leg, t }, self.z, 0.0);
        let part = |leg: usize| {
            let s = long(leg, 0.5);
            let fans = matches!(walk.legs()[leg], Leg::Side { .. }) && (long(leg, 1.0) - long(leg, 0.0)).abs() < NEAR;
            let ends = self.parts.iter().zip(&self.breaks).position(|(p, _)| fans && (p.to - s).abs() < NEAR);
            let Some(i) = ends else { return self.part_at(s) };
            let behind = walk.find(&self.breaks[i]).is_some_and(|end| end < Place { leg, t: 0.5 });
            i + usize::from(behind)
        };
        (0..walk.legs().len()).map(part).collect()
    }

    /// The part at a length along the rim; beyond either end the one there.
    #[must_use]
    pub fn part_at(&self, s: f64) -> usize {
        self.parts.iter().position(|p| s < p.to).unwrap_or(self.parts.len() - 1)
    }

    /// The height of the cut on the measured face at a place, and how it changes with φ; along a straight side with the
    /// share of it. `part` is the part that its leg lies in.
    #[must_use]
    pub fn height_on(&self, walk: &Walk, at: Place, rule: &Rule, part: usize) -> (f64, f64) {
        let s = walk.length(at, self.z, 0.0);
        let near = |p: &Part| s > p.from - NEAR && s < p.to + NEAR;
        let part = if self.parts.get(part).is_some_and(near) { part } else { self.part_at(s) };
        let (fall, slope) = self.parts[part].form.fall(s);
        let fall = fall + self.down;
        let (u, v) = (rule.flare(), (rule.k1 - rule.k0) / rule.rise());
        let way = (1.0 + u * u + v * v).sqrt();
        let out = if self.falls { -1.0 } else { 1.0 };
        let (run, longer) = match &walk.legs()[at.leg] {
            Leg::Side { first, last } => {
                let run = last.support_at(self.z, 0.0).1 - first.support_at(self.z, 0.0).1;
                (run, v * ((last.k1 - last.k0) - (first.k1 - first.k0)) / (rule.rise() * way))
            }
            Leg::Turn { .. } => {
                let (r0, r1) = walk.radii(at);
                let longer = if v == 0.0 { 0.0 } else { v * (r1 - r0) / (rule.rise() * way) };
                (parallel::radius_on(walk, at, rule, self.z, 0.0), longer)
            }
        };
        // Nothing times what is past any number is nothing: a level stretch goes on level over the flat of an oval.
        let moved = if slope == 0.0 { 0.0 } else { slope * run / way };
        let leant = if fall == 0.0 || longer == 0.0 { 0.0 } else { fall * longer / (way * way) };
        (self.z + out * fall / way, out * (moved - leant))
    }

    /// The tallest step along a generatrix from one part to the next, from the last to the first where it goes round, mm.
    #[must_use]
    pub fn step(&self, round: bool) -> f64 {
        let closing = self.parts.last().zip(self.parts.first()).filter(|_| round);
        let pairs = self.parts.windows(2).map(|p| (&p[0], &p[1])).chain(closing);
        pairs.map(|(a, b)| (a.form.fall(a.to).0 - b.form.fall(b.from).0).abs()).fold(0.0, f64::max)
    }

    /// Between the figure and itself `wide` farther down the narrowest place, mm: as it is drawn, by lengths along the rim and
    /// falls.
    #[must_use]
    pub fn narrowest(&self, wide: f64) -> f64 {
        const LOOKS: u32 = 16;
        let mut line: Vec<Vec2> = Vec::new();
        for part in &self.parts {
            let at = |i: u32| part.from + (part.to - part.from) * f64::from(i) / f64::from(LOOKS);
            let points = (0..=LOOKS).map(|i| Vec2::new(at(i), part.form.fall(at(i)).0));
            let (Some(&last), Some(first)) = (line.last(), points.clone().next()) else {
                line.extend(points);
                continue;
            };
            // From one part to the next it goes straight down or up.
            line.extend((1..LOOKS).map(|i| last.lerp(first, f64::from(i) / f64::from(LOOKS))));
            line.extend(points);
        }
        let below = |p: Vec2| Vec2::new(p.x, p.y + wide);
        let mut least = wide;
        let mut start = 0;
        for p in &line {
            while start + 1 < line.len() && line[start + 1].x < p.x - least {
                start += 1;
            }
            let near = line[start..].windows(2).take_while(|step| step[0].x <= p.x + least);
            least =
                near.map(|step| fit::distance(&Seg::line(below(step[0]), below(step[1])), *p)).fold(least, f64::min);
        }
        least
    }

    /// The same figure with every length `k` times as long.
    #[must_use]
    pub fn scaled(&self, k: f64) -> Self {
        let part = |p: &Part| Part { from: p.from * k, to: p.to * k, form: p.form.scaled(k) };
        Self {
            falls: self.falls,
            z: self.z * k,
            down: self.down * k,
            side: self.side * k,
            parts: self.parts.iter().map(part).collect(),
            breaks: self.breaks.iter().map(|r| r.scaled(k)).collect(),
            named: Named { rise: self.named.rise * k, ..self.named },
        }
    }
}

/// How far a place may lie beyond its part by rounding, mm.
const NEAR: f64 = 1e-6;
