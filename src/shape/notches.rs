//! Where a joint carries its notches: a pattern by arc length from the contact's start.
//!
//! Two edges that are pushed together agree at every notch, and a wrong pairing must show. So no turn or flip of a
//! closed edge maps its pattern on itself within [`APART`], nor on the pattern of another joint whose length is
//! within 5 % of its own; of an open edge, no flip.
//!
//! Closed edges get three notches or more: gaps of different lengths. If two cyclic orders of gaps differ by more
//! than twice `APART` somewhere, no turn brings the notches within `APART` of each other. An edge too short for that
//! gets one notch (its other mark is the seam), a tiny one none. Among very many joints of one length the patterns
//! run out; then, past [`COMPARED`] of them, only the letters tell joints apart.

use std::collections::BTreeMap;

/// Patterns nearer than this to each other count as the same, mm.
pub(super) const APART: f64 = 5.0;
/// Least distance of neighbouring notches and of a notch from the start, mm.
pub(super) const ROOM: f64 = 12.0;
/// How many other joints of like length a pattern is held against.
const COMPARED: usize = 48;

/// A contact curve.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Edge {
    pub long: f64,
    pub closed: bool,
}

/// The patterns given out so far, by length in thousandths of a millimetre.
#[derive(Clone, Debug, Default)]
pub(super) struct Patterns {
    closed: BTreeMap<u64, Vec<Vec<f64>>>,
    open: BTreeMap<u64, Vec<Vec<f64>>>,
}

fn key(long: f64) -> u64 {
    // Lengths are positive and far below 2⁵³.
    (long.max(0.0) * 1000.0) as u64
}

impl Patterns {
    /// The notches of the next joint, in the stretches of it that are `clear`.
    pub(super) fn next(&mut self, edge: Edge, clear: &[(f64, f64)]) -> Vec<f64> {
        let taken = if edge.closed { &mut self.closed } else { &mut self.open };
        let like: Vec<(f64, &Vec<f64>)> = taken
            .range(key(edge.long / 1.05)..=key(edge.long * 1.05))
            .flat_map(|(k, list)| list.iter().map(|p| (*k as f64 / 1000.0, p)))
            .take(COMPARED)
            .collect();
        let free = |p: &Vec<f64>| {
            like.iter().all(|(long, q)| {
                let scaled: Vec<f64> = q.iter().map(|x| x * edge.long / long).collect();
                !alike(p, &scaled, edge, false)
            })
        };
        let mut fallback = None;
        let mut chosen = None;
        // Once so many of one length are out, the search would be in vain.
        let given_up = like.len() >= COMPARED;
        for p in candidates(edge).filter_map(|p| moved(p, edge, clear)) {
            if alike(&p, &p, edge, true) {
                continue;
            }
            if given_up || free(&p) {
                chosen = Some(p);
                break;
            }
            fallback.get_or_insert(p);
        }
        let pattern = chosen.or(fallback).unwrap_or_else(|| small(edge, clear));
        taken.entry(key(edge.long)).or_default().push(pattern.clone());
        pattern
    }
}

/// What an edge gets that has no room for a whole pattern.
fn small(edge: Edge, clear: &[(f64, f64)]) -> Vec<f64> {
    if edge.long >= 2.5 * ROOM { nearest(0.4 * edge.long, clear).into_iter().collect() } else { Vec::new() }
}

/// A pattern with each notch at the nearest place that is clear; `None` when that leaves them no room.
fn moved(mut p: Vec<f64>, edge: Edge, clear: &[(f64, f64)]) -> Option<Vec<f64>> {
    if let [(from, to)] = clear
        && *from <= 0.0
        && *to >= edge.long
    {
        return Some(p);
    }
    let mut before = 0.0;
    for at in &mut p {
        *at = nearest(*at, clear)?;
        if *at - before < ROOM {
            return None;
        }
        before = *at;
    }
    (edge.long - before >= ROOM).then_some(p)
}

/// The nearest place in clear stretches, a millimetre from their ends.
fn nearest(at: f64, clear: &[(f64, f64)]) -> Option<f64> {
    let within = clear.iter().filter(|c| c.1 - c.0 > 2.0).map(|c| at.clamp(c.0 + 1.0, c.1 - 1.0));
    within.min_by(|a, b| (a - at).abs().total_cmp(&(b - at).abs()))
}

/// Patterns in the order in which they are tried: few notches before many. The gaps before each notch are the least
/// room and a share of what is left; the shares run through the multiples of the golden section, which never repeat.
fn candidates(edge: Edge) -> impl Iterator<Item = Vec<f64>> {
    let least = if edge.closed { 3usize } else { 1 };
    (least..least + 6).flat_map(move |n| {
        (0..24u32).filter_map(move |turn| {
            let gaps = n + 1;
            let free = edge.long - ROOM * gaps as f64;
            if free < ROOM {
                return None;
            }
            let golden = 0.618_033_988_749_894_9;
            let weight =
                |i: usize| 0.25 + ((i + 1) as f64 * golden * f64::from(turn + 1) + 0.13 * f64::from(turn)).fract();
            let whole: f64 = (0..gaps).map(weight).sum();
            let mut at = 0.0;
            Some(
                (0..n)
                    .map(|i| {
                        at += ROOM + free * weight(i) / whole;
                        at
                    })
                    .collect(),
            )
        })
    })
}

/// Whether a turn or flip (of an open edge: a flip) brings every notch of `q` within [`APART`] of its own notch of
/// `p`; of one pattern against itself, any but staying where it is.
fn alike(p: &[f64], q: &[f64], edge: Edge, itself: bool) -> bool {
    let n = p.len();
    if n != q.len() {
        return false;
    }
    let flipped: Vec<f64> = q.iter().rev().map(|x| edge.long - x).collect();
    if !edge.closed {
        let near = |r: &[f64]| p.iter().zip(r).all(|(a, b)| (a - b).abs() <= APART);
        return near(&flipped) || (!itself && near(q));
    }
    for (r, turned) in [(q, false), (flipped.as_slice(), true)] {
        for first in 0..n {
            if itself && !turned && first == 0 {
                continue;
            }
            // The turn that fits best leaves half the spread of the differences.
            let (mut lo, mut hi) = (f64::INFINITY, f64::NEG_INFINITY);
            for (i, at) in p.iter().enumerate() {
                let j = (i + first) % n;
                let over = if i + first >= n { edge.long } else { 0.0 };
                let d = at - (r[j] + over);
                lo = lo.min(d);
                hi = hi.max(d);
            }
            if 0.5 * (hi - lo) <= APART {
                return true;
            }
        }
    }
    false
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::num::wrap;

    fn closed(long: f64) -> Edge {
        Edge { long, closed: true }
    }

    /// Every turn by half millimetres and its flip, notch to nearest notch: the definition, tried out.
    fn maps(p: &[f64], q: &[f64], long: f64, skip_stay: bool) -> bool {
        let steps = (long / 0.5) as i32;
        (0..steps).any(|k| {
            let t = 0.5 * f64::from(k);
            [false, true].into_iter().any(|flip| {
                let stays = !flip && (t <= 2.0 * APART || t >= long - 2.0 * APART);
                if skip_stay && stays {
                    return false;
                }
                let near = |x: &f64| {
                    let x = wrap(if flip { t - x } else { t + x }, long);
                    q.iter().any(|y| {
                        let d = (x - y).abs();
                        d.min(long - d) <= APART - 0.5
                    })
                };
                p.len() == q.len() && p.iter().all(near)
            })
        })
    }

    #[test]
    fn no_turn_or_flip_maps_a_closed_pattern_on_itself() {
        for long in [120.0, 235.6, 277.6, 420.0, 1200.0] {
            let p = Patterns::default().next(closed(long), &[(0.0, long)]);
            assert!(p.len() >= 3, "{long}: {p:?}");
            assert!(!maps(&p, &p, long, true), "{long}: {p:?}");
        }
    }

    #[test]
    fn joints_of_like_length_have_unlike_patterns() {
        let mut all = Patterns::default();
        let lengths = [420.0, 423.0, 418.0, 420.0, 410.0];
        let patterns: Vec<Vec<f64>> = lengths.iter().map(|l| all.next(closed(*l), &[(0.0, *l)])).collect();
        for (i, p) in patterns.iter().enumerate() {
            for q in &patterns[..i] {
                assert!(!maps(p, q, 420.0, false), "{p:?} {q:?}");
            }
        }
    }

    #[test]
    fn an_open_edge_shows_when_it_is_turned_end_for_end() {
        let mut all = Patterns::default();
        let mut seen: Vec<Vec<f64>> = Vec::new();
        for _ in 0..6 {
            let edge = Edge { long: 385.0, closed: false };
            let p = all.next(edge, &[(0.0, edge.long)]);
            assert!(!p.is_empty() && p.windows(2).all(|w| w[1] - w[0] >= ROOM));
            assert!(!alike(&p, &p, edge, true));
            assert!(seen.iter().all(|q| !alike(&p, q, edge, false)));
            seen.push(p);
        }
    }

    #[test]
    fn notches_stand_where_there_is_a_place_for_them() {
        let clear = [(0.0, 40.0), (90.0, 150.0), (220.0, 300.0)];
        let p = Patterns::default().next(closed(420.0), &clear);
        assert!(p.len() >= 3, "{p:?}");
        assert!(p.iter().all(|x| clear.iter().any(|c| *x >= c.0 + 1.0 && *x <= c.1 - 1.0)), "{p:?}");
        assert!(!maps(&p, &p, 420.0, true), "{p:?}");
        assert_eq!(Patterns::default().next(closed(420.0), &[]), Vec::<f64>::new());
    }

    #[test]
    fn small_edges_get_fewer() {
        let mut all = Patterns::default();
        assert_eq!(all.next(closed(20.0), &[(0.0, 20.0)]), Vec::<f64>::new());
        assert_eq!(all.next(closed(40.0), &[(0.0, 40.0)]).len(), 1);
        assert_eq!(all.next(Edge { long: 10.0, closed: false }, &[(0.0, 10.0)]), Vec::<f64>::new());
        assert_eq!(all.next(Edge { long: 60.0, closed: false }, &[(0.0, 60.0)]).len(), 1);
    }
}
