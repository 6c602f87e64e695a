//! Where the cuts of a turn stand, and how wide they are: as few as leave every tab what it may keep.

use super::spread::{self, Spread};
use super::{BESIDE, LEAST, Lengths, MOST, NARROW, NoTab, PLANNED, at, begins, place_at};
use crate::flat::Relief;

/// How the ends of an edge are cut.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Ends {
    /// It runs round.
    None,
    /// At a seam: each side takes half of a cut there.
    Seam,
    /// At a side; nothing is carried away there.
    Side,
}

/// What both sides of each cut carry away at the free edge: what a tab has too much there, by the cuts on either side of it, at
/// an end that is not cut by the other one alone.
fn shared(over: &[f64], cuts: &[f64], ends: Ends) -> Vec<[f64; 2]> {
    let n = cuts.len() - 1;
    let mut halves = vec![[0.0; 2]; n + 1];
    for i in 0..n {
        let too_much = (at(over, cuts[i + 1]) - at(over, cuts[i])).max(0.0);
        let sides = [i > 0 || ends != Ends::Side, i + 1 < n || ends != Ends::Side];
        let share = too_much / sides.iter().filter(|s| **s).count().max(1) as f64;
        halves[i][1] = if sides[0] { share } else { 0.0 };
        halves[i + 1][0] = if sides[1] { share } else { 0.0 };
    }
    halves
}

/// The cuts of a turn, and how much those at its ends carry away there. Of one that spreads `spread` says what its fold asks for.
pub(super) fn relief(
    all: &Lengths<'_>,
    outs: &[f64],
    wide: f64,
    ends: Ends,
    spread: Option<&Spread<'_>>,
) -> Result<Cuts, NoTab> {
    // What there is to make up, from the start on, at the worst distance from place to place.
    let mut sum = vec![0.0];
    for i in 1..all.fold.len() {
        let most = || all.over.iter().map(|o| (o[i] - o[i - 1]).abs()).fold(0.0, f64::max);
        sum.push(sum[i - 1] + spread.map_or_else(most, |s| PLANNED * s.bends(i)));
    }
    if sum[sum.len() - 1] <= PLANNED {
        return Ok((Vec::new(), [0.0; 2]));
    }
    // No cut stands in a corner of the fold: which of its tabs has what the corner turns by would be left to how it is drawn.
    let corners = (1..all.spots.len()).filter(|i| all.spots[i - 1].turns(&all.spots[*i])).map(|i| i as f64 - 0.5);
    let asked = Asked { all, outs, from: begins(wide, spread.is_some()), ends, spread, corners: corners.collect() };
    let fewest = spread.and_then(Spread::fewest);
    let least = fewest.as_ref().map_or(1, Vec::len);
    (least..=MOST)
        .find_map(|n| {
            let even = asked.cut(asked.evenly(&sum, n));
            // As many, each as long as its fold lets it be.
            even.or_else(|| asked.cut(fewest.clone().filter(|cuts| cuts.len() == n)?))
        })
        .ok_or(NoTab)
}

/// Cuts, and how much those at the ends carry away.
type Cuts = (Vec<Relief>, [f64; 2]);

/// What cuts have to keep to.
struct Asked<'a> {
    all: &'a Lengths<'a>,
    outs: &'a [f64],
    /// How far from the fold they begin.
    from: f64,
    ends: Ends,
    spread: Option<&'a Spread<'a>>,
    /// Where the fold has corners.
    corners: Vec<f64>,
}

impl Asked<'_> {
    /// The places at which `n` tabs begin, evenly by what there is to make up.
    fn evenly(&self, sum: &[f64], n: usize) -> Vec<f64> {
        let all = self.all;
        let (whole, last) = (sum[sum.len() - 1], self.outs.len() - 1);
        // Where the edge on the other face has a corner, as a square rim has over the tip of a flat side, much stands in one
        // place: there is one cut in its middle.
        let grows = |list: &[f64], p: f64, q: f64| at(list, q) - at(list, p);
        // Round a hollow what spreads has less and less room as well.
        let lies = |p: f64, q: f64| grows(&all.flat[last], p, q) - grows(&all.over[last], p, q);
        let apart = |p: f64, q: f64| grows(&all.fold, p, q) >= LEAST && (self.spread.is_none() || lies(p, q) >= LEAST);
        let end = (sum.len() - 1) as f64;
        let mut cuts: Vec<f64> = vec![place_at(sum, 0.0)];
        let mut first = cuts[0];
        for k in 1..n {
            let cut = place_at(sum, whole * k as f64 / n as f64);
            if !apart(cuts[0], cut) || !apart(cut, end) {
                continue;
            }
            if apart(first, cut) {
                cuts.push(cut);
                first = cut;
            } else if let Some(last) = cuts.last_mut() {
                *last = 0.5 * (first + cut);
            }
        }
        cuts
    }

    /// A place beside a corner of the fold, where it is in one.
    fn beside(&self, cut: f64) -> f64 {
        let fold = &self.all.fold;
        let s = at(fold, cut);
        let corner = self.corners.iter().copied().find(|c| (at(fold, *c) - s).abs() < BESIDE);
        corner.map_or(cut, |c| place_at(fold, at(fold, c) + if cut < c { -BESIDE } else { BESIDE }))
    }

    /// The cuts between tabs that begin at these places, where every tab lies.
    fn cut(&self, mut cuts: Vec<f64>) -> Option<Cuts> {
        let (all, outs, from, ends) = (self.all, self.outs, self.from, self.ends);
        cuts.iter_mut().skip(1).for_each(|cut| *cut = self.beside(*cut));
        cuts.push((all.fold.len() - 1) as f64);
        let (n, last) = (cuts.len() - 1, outs.len() - 1);
        let between = |list: &[f64], i: usize| at(list, cuts[i + 1]) - at(list, cuts[i]);
        let mut halves = match self.spread {
            Some(_) => spread::halves(all, &cuts, ends),
            None => shared(&all.over[last], &cuts, ends),
        };
        if ends == Ends::None {
            // What runs round begins with the cut with which it ends.
            halves[0][0] = halves[n][0];
            halves[n][1] = halves[0][1];
        }
        for half in &mut halves {
            let mouth = if ends == Ends::Seam && (half[0] == 0.0 || half[1] == 0.0) { 2.0 } else { 1.0 };
            if mouth * (half[0] + half[1]) < NARROW {
                *half = [0.0; 2];
            }
        }
        // Too little is nothing to make up where slits may open.
        let counts = |kept: f64| if self.spread.is_some() { kept } else { kept.abs() };
        let fits = |i: usize| {
            let room = between(&all.flat[last], i) - halves[i][1] - halves[i + 1][0] >= LEAST;
            if !room || self.spread.is_some_and(|s| !s.keeps([cuts[i], cuts[i + 1]])) {
                return false;
            }
            let keeps = |j: usize, sides: [f64; 2]| {
                let kept = at(&all.flat[j], sides[1]) - at(&all.flat[j], sides[0]);
                let lies = between(&all.flat[j], i) - between(&all.over[j], i);
                counts(kept - lies) <= PLANNED
            };
            // Up to where the cuts begin without looking for their sides.
            let near = outs.iter().take_while(|x| **x <= from).count();
            if !(0..near).all(|j| keeps(j, [cuts[i], cuts[i + 1]])) {
                return false;
            }
            let sides =
                [all.side(cuts[i], halves[i][1], from, outs), all.side(cuts[i + 1], -halves[i + 1][0], from, outs)];
            (near..=last).all(|j| keeps(j, [sides[0][j], sides[1][j]]))
        };
        if !(0..n).all(fits) {
            return None;
        }
        let inner = if ends == Ends::None { 0..n } else { 1..n };
        let cut =
            |k: usize| Relief { at: at(&all.fold, cuts[k]), fold: all.point(cuts[k], 0.0), from, mouth: halves[k] };
        Some((inner.map(cut).collect(), [halves[0][1], halves[n][0]]))
    }
}
