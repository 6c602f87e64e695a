//! Lengths on a turn, and on what it lies on.

use super::super::measure::right_of;
use super::{Folded, Under};
use crate::num;

/// Lengths along a turn, by arc length of the fold: on the flat at one distance from it, and of what it lies on there.
pub(super) struct Lengths {
    s: Vec<f64>,
    flat: Vec<f64>,
    lies: Vec<f64>,
    round: bool,
}

/// What a turn lies on, place by place along its fold, and how far the corner's line has turned toward it.
pub(super) struct Ground {
    pub(super) under: Vec<Under>,
    turned: Vec<f64>,
}

impl Ground {
    pub(super) fn new(folded: &Folded<'_>, space: &dyn Fn(f64) -> Under) -> Self {
        let under: Vec<Under> = folded.spots.iter().map(|s| space(s.w)).collect();
        // How the corner's line stands to the level line: nothing where the edge is level.
        let mut leans = vec![0.0; under.len()];
        for i in 1..under.len() {
            let (a, b) = (&under[i - 1], &under[i]);
            let chord = b.corner - a.corner;
            let (t, u) = (a.tangent + b.tangent, a.up + b.up);
            leans[i] = if chord.length() > 1e-3 {
                let sense = if chord.dot(t) < 0.0 { -1.0 } else { 1.0 };
                num::atan2(sense * chord.dot(u), sense * chord.dot(t))
            } else {
                leans[i - 1]
            };
        }
        if leans.len() > 1 {
            leans[0] = leans[1];
        }
        let mut turned = vec![0.0; under.len()];
        for i in 1..under.len() {
            let (a, b) = (&under[i - 1], &under[i]);
            let step = num::wrap(b.phi - a.phi + num::PI, num::TAU) - num::PI;
            // As it turns left for one who walks as the fold runs; `left` is where the turn lies for one who walks with
            // the normal's angle, which an upper rim's fold does not. Walked back, a line turns the other way and what lay
            // to the left lies to the right, so only `left` counts.
            let ahead = (b.from - a.from).dot(a.tangent + b.tangent) >= 0.0;
            let grown = 0.5 * (a.turning + b.turning) * step + leans[i] - leans[i - 1];
            let grown = if ahead { grown } else { -grown };
            turned[i] = turned[i - 1] + if a.left { grown } else { -grown };
        }
        Self { under, turned }
    }
}

impl Lengths {
    pub(super) fn new(folded: &Folded<'_>, x: f64, ground: &Ground) -> Self {
        let spots = &folded.spots;
        let mut out = Self { s: vec![0.0], flat: vec![0.0], lies: vec![0.0], round: folded.round };
        let (mut flat, mut lies) = (num::Sum::new(), num::Sum::new());
        for i in 1..spots.len() {
            let (a, b) = (&spots[i - 1], &spots[i]);
            let chord = b.at + b.out * x - a.at - a.out * x;
            let along = -right_of(a.out + b.out);
            flat.add(chord.length() * if chord.dot(along) < 0.0 { -1.0 } else { 1.0 });
            let (p, q) = (&ground.under[i - 1], &ground.under[i]);
            let over = p.over().max(q.over());
            if x < over {
                let at = |u: &Under| u.from + (u.corner - u.from) * (x / u.over().max(1e-12)).min(1.0);
                let chord = at(q) - at(p);
                lies.add(chord.length() * if chord.dot(q.from - p.from) < 0.0 { -1.0 } else { 1.0 });
            } else {
                // A parallel on a face without stretch: shorter by the distance times the turn toward it.
                let beyond = x - 0.5 * (p.over() + q.over());
                lies.add((q.corner - p.corner).length() - beyond * (ground.turned[i] - ground.turned[i - 1]));
            }
            out.s.push(b.s);
            out.flat.push(flat.value());
            out.lies.push(lies.value());
        }
        out
    }

    fn of(&self, list: &[f64], s: f64) -> f64 {
        let long = self.s[self.s.len() - 1];
        let turns = if self.round && long > 0.0 { (s / long).floor() } else { 0.0 };
        let s = (s - turns * long).clamp(0.0, long);
        let i = self.s.partition_point(|x| *x < s).clamp(1, self.s.len() - 1);
        let step = self.s[i] - self.s[i - 1];
        let share = if step > 0.0 { (s - self.s[i - 1]) / step } else { 1.0 };
        turns * list[list.len() - 1] + list[i - 1] + (list[i] - list[i - 1]) * share
    }

    pub(super) fn flat(&self, s: f64) -> f64 {
        self.of(&self.flat, s)
    }

    pub(super) fn lies(&self, s: f64) -> f64 {
        self.of(&self.lies, s)
    }
}
