//! Cuts of turns whose lengths are closed forms.

use super::*;
use crate::num::TAU;

/// The places of a circle of radius `r` on the flat, folded so that at the distance `x` it lies on one of radius `to(x)`,
/// which grows evenly.
fn circle(r: f64, wide: f64, to: impl Fn(f64) -> f64) -> Vec<Spot> {
    let spot = |i: i32| {
        let n = crate::geom::unit(TAU * f64::from(i) / 4000.0);
        let ends = [0.0, wide].map(|x| (n * to(x)).extend(0.0));
        Spot { fold: n * r, out: n, ends, over: wide + 1e-9, back: n * to(wide), inward: -n }
    };
    (0..=4000).map(spot).collect()
}

#[test]
fn cloth_on_a_disc_s_edge_is_carried_away_by_its_parallel() {
    // Flat 2π(r + x), on the edge 2πr: at 15 mm it has 2π · 15 = 94.2 too much (closed form).
    let spots = circle(40.0, 15.0, |_| 40.0);
    let outs = distances(15.0, &spots, false);
    let all = lengths(&spots, &outs).unwrap();
    let last = &all.over[outs.len() - 1];
    assert!((last[last.len() - 1] - TAU * 15.0).abs() < 1e-3);
    let (cuts, _) = relief(&all, &outs, 15.0, Ends::None, None).unwrap();
    let carried: f64 = cuts.iter().flat_map(|c| c.mouth).sum();
    assert!((carried - TAU * 15.0).abs() < 1e-3, "{carried}");
    // Up to where a V begins nothing is carried: n · 0.95 ≥ 2π · 2.
    assert_eq!(cuts.len(), (TAU * 2.0 / PLANNED).ceil() as usize);
}

#[test]
fn what_lies_on_a_longer_way_is_slit() {
    let spots = circle(40.0, 12.0, |x| 40.0 + 2.0 * x);
    let outs = distances(12.0, &spots, false);
    let all = lengths(&spots, &outs).unwrap();
    let (cuts, _) = relief(&all, &outs, 12.0, Ends::None, None).unwrap();
    assert!(cuts.iter().all(|c| c.mouth == [0.0; 2]));
    assert_eq!(cuts.len(), (TAU * 12.0 / PLANNED).ceil() as usize);
}

#[test]
fn what_fits_is_not_cut() {
    let spots = circle(40.0, 12.0, |x| 40.0 + x);
    let outs = distances(12.0, &spots, false);
    let all = lengths(&spots, &outs).unwrap();
    assert!(relief(&all, &outs, 12.0, Ends::None, None).unwrap().0.is_empty());
}

#[test]
fn a_disc_turned_in_past_its_middle_leaves_no_tab() {
    let spots = circle(20.0, 25.0, |x| 20.0 - x);
    let outs = distances(25.0, &spots, false);
    let all = lengths(&spots, &outs).unwrap();
    assert!(relief(&all, &outs, 25.0, Ends::None, None).is_err());
}

#[test]
fn what_spreads_is_slit_as_often_as_its_fold_bends() {
    // Turned out flat round a circle of 40 a tab's fold is a chord: with n tabs it stands off the circle by 40 (1 - cos(pi/n)),
    // and no more than 0.95 of half a millimetre: n is 21 (closed form). Nothing is carried away.
    let spots = circle(40.0, 10.0, |x| 40.0 + 3.0 * x);
    let outs = distances(10.0, &spots, true);
    let all = lengths(&spots, &outs).unwrap();
    let (cuts, _) = relief(&all, &outs, 10.0, Ends::None, Some(&Spread(&spots))).unwrap();
    assert!(cuts.iter().all(|c| c.mouth == [0.0; 2] && (c.from - 0.5).abs() < 1e-12));
    assert_eq!(cuts.len(), (crate::num::PI / crate::num::acos(1.0 - 0.95 * 0.5 / 40.0)).ceil() as usize);
}
