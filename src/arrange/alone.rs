//! Items that cannot share a bed, whichever of their turns they lie in and wherever: proved, not tried. Two outlines meet
//! at every shift between them that keeps both within their room when, at each, a circle within one overlaps a circle
//! within the other; the shifts at which two circles overlap are a disc, so discs have to cover a rectangle.

use super::circles::Circles;
use super::search::SLACK;
use super::turned::Turns;
use crate::geom::Vec2;
use crate::geom::path::Motion;

/// Only the largest items are looked at, and those with few turns: with many, two that never fit are rare.
const LOOKED_AT: usize = 16;
const TURNS: usize = 4;
/// By so much circles have to overlap, mm: what rounding of places may take away, and of circles.
const SURELY: f64 = 0.05;
/// Pairs of circles looked at for one pair of turns.
const MOST: usize = 200_000;
/// How often a rectangle is halved.
const HALVINGS: u32 = 24;

/// Groups of items no two of which lie on one bed, each as large as is found by taking the largest items first.
pub(super) fn groups(turns: &Turns<'_>, rooms: &[Vec2]) -> Vec<Vec<usize>> {
    let few = |i: &usize| !turns.items[*i].free && turns.named[*i].len() <= TURNS;
    let mut large: Vec<usize> = (0..turns.items.len()).filter(few).collect();
    large.sort_by(|&a, &b| turns.least_areas[b].total_cmp(&turns.least_areas[a]).then(a.cmp(&b)));
    large.truncate(LOOKED_AT);
    let mut distinct: Vec<Vec2> = Vec::new();
    for room in rooms {
        if !distinct.contains(room) {
            distinct.push(*room);
        }
    }
    let n = large.len();
    let mut never = vec![false; n * n];
    for i in 0..n {
        for j in 0..i {
            let apart = distinct.iter().all(|room| never_together(turns, large[i], large[j], *room));
            (never[i * n + j], never[j * n + i]) = (apart, apart);
        }
    }
    let grown = |first: usize| {
        let mut group = vec![first];
        for k in 0..n {
            if k != first && group.iter().all(|&g| never[k * n + g]) {
                group.push(k);
            }
        }
        group.into_iter().map(|k| large[k]).collect::<Vec<_>>()
    };
    (0..n).map(grown).filter(|group| group.len() > 1).collect()
}

fn never_together(turns: &Turns<'_>, i: usize, j: usize, room: Vec2) -> bool {
    let circles = |item: usize, angle: f64| -> Circles {
        let motion = Motion { mirror: false, turn: angle, shift: Vec2::ZERO };
        turns.circles[item].iter().map(|&(c, r)| (motion.apply(c), r)).collect()
    };
    let slack = Vec2::splat(SLACK + 0.01);
    // Where an item may be shifted to within the room; none where it does not fit.
    let range = |(lo, hi): (Vec2, Vec2)| {
        let range = (-lo - slack, room - hi + slack);
        range.0.cmple(range.1).all().then_some(range)
    };
    let ways = |item: usize| {
        let each = turns.named[item].iter().zip(&turns.items[item].turns);
        each.filter_map(|(bounds, angle)| Some((range(*bounds)?, circles(item, *angle)))).collect::<Vec<_>>()
    };
    let (ours, theirs) = (ways(i), ways(j));
    ours.iter().all(|(a, of_a)| {
        theirs.iter().all(|(b, of_b)| {
            let shifts = (b.0 - a.1, b.1 - a.0);
            let discs: Vec<(Vec2, f64)> = of_a
                .iter()
                .flat_map(|&(p, r)| of_b.iter().map(move |&(q, s)| (p - q, r + s - SURELY)))
                .filter(|d| d.1 > 0.0)
                .collect();
            covered(&discs, shifts, &mut MOST.clone(), HALVINGS)
        })
    })
}

/// Whether discs cover a rectangle, as far as that is found with so many looks.
fn covered(discs: &[(Vec2, f64)], (lo, hi): (Vec2, Vec2), looks: &mut usize, halvings: u32) -> bool {
    if *looks < discs.len() || halvings == 0 {
        return false;
    }
    *looks -= discs.len();
    let (middle, half) = ((lo + hi) * 0.5, (hi - lo) * 0.5);
    let mut reached = false;
    for (c, r) in discs {
        let off = (middle - *c).abs();
        if (off + half).length_squared() < r * r {
            return true;
        }
        reached |= off.length_squared() < r * r;
    }
    if !reached {
        return false;
    }
    let split = if half.x >= half.y { Vec2::new(middle.x, hi.y) } else { Vec2::new(hi.x, middle.y) };
    let other = if half.x >= half.y { Vec2::new(middle.x, lo.y) } else { Vec2::new(lo.x, middle.y) };
    covered(discs, (lo, split), looks, halvings - 1) && covered(discs, (other, hi), looks, halvings - 1)
}

#[cfg(test)]
mod tests {
    use super::super::turned::Item;
    use super::*;
    use crate::geom::path::{Path, Seg};

    fn groups_of(items: &[Item], rooms: &[Vec2]) -> Vec<Vec<usize>> {
        let mut turns = Turns::new(items, 5.0).expect("sound");
        turns.stand_in(5.0);
        groups(&turns, rooms)
    }

    fn item(ring: Path, turns: &[f64]) -> Item {
        Item { ring, turns: turns.to_vec(), free: false }
    }

    fn disc(r: f64) -> Path {
        let (a, b) = (Vec2::new(r, 0.0), Vec2::new(-r, 0.0));
        Path { segs: vec![Seg { a, b, bulge: 1.0 }, Seg { a: b, b: a, bulge: 1.0 }] }
    }

    #[test]
    fn two_discs_share_a_square_where_its_diagonal_holds_them() {
        // Discs of radius 50 with 5 between them lie in opposite corners of a square of 100 + 105/√2 = 174.246.
        let items = [item(disc(50.0), &[0.0]), item(disc(50.0), &[0.0])];
        assert!(groups_of(&items, &[Vec2::splat(174.3)]).is_empty(), "they fit");
        assert_eq!(groups_of(&items, &[Vec2::splat(170.0)]), [[0, 1], [1, 0]]);
        assert!(
            groups_of(&items, &[Vec2::splat(170.0), Vec2::splat(174.3)]).is_empty(),
            "they fit in one of the rooms"
        );
    }

    #[test]
    fn slabs_lie_beside_each_other_in_the_one_turn_that_lets_them() {
        let slab = |x: f64, y: f64| Path::polygon(&[Vec2::ZERO, Vec2::new(x, 0.0), Vec2::new(x, y), Vec2::new(0.0, y)]);
        let quarter = crate::num::FRAC_PI_2;
        let room = [Vec2::new(205.0, 130.0)];
        let upright =
            [item(slab(120.0, 100.0), &[0.0]), item(slab(120.0, 100.0), &[0.0]), item(slab(20.0, 20.0), &[0.0])];
        assert_eq!(groups_of(&upright, &room), [[0, 1], [1, 0]]);
        let turned = [item(slab(120.0, 100.0), &[0.0, quarter]), item(slab(120.0, 100.0), &[0.0, quarter])];
        assert!(groups_of(&turned, &room).is_empty(), "100 + 5 + 100 is 205");
    }

    #[test]
    fn what_lies_in_the_bay_of_another_shares_its_bed() {
        let corners = [(0.0, 0.0), (200.0, 0.0), (200.0, 200.0), (150.0, 200.0), (150.0, 50.0), (0.0, 50.0)];
        let hook = Path::polygon(&corners.map(|(x, y)| Vec2::new(x, y)));
        let block = |s: f64| Path::polygon(&[(0.0, 0.0), (s, 0.0), (s, s), (0.0, s)].map(|(x, y)| Vec2::new(x, y)));
        let room = [Vec2::splat(201.0)];
        assert!(groups_of(&[item(hook.clone(), &[0.0]), item(block(140.0), &[0.0])], &room).is_empty());
        assert_eq!(groups_of(&[item(hook, &[0.0]), item(block(160.0), &[0.0])], &room).len(), 2);
    }
}
