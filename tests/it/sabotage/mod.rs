//! Sabotage: props of every sort are made as a maker would, one thing on their pieces is spoilt, and the audit must
//! name it. A table: props on one side, harms on the other; what a harm does not apply to is left out, and every
//! harm must apply somewhere.

mod harm;
mod lines;
mod marks;
mod places;
mod props;
mod sheets;
mod slides;
mod traces;
mod turns;
mod words;
mod wrong;

use crate::support::checked;
use harm::{Case, Harm};
use std::fmt::Write as _;
use tasset::arrange::{Options, arrange};
use tasset::audit::audit;
use tasset::develop::develop;
use tasset::finish::finish;
use tasset::flat::Flat;
use tasset::piece::Pieces;
use tasset::shape::shape;
use tasset::sheet::Layout;
use tasset::solid::Solid;
use tasset::verdict::Verdict;

/// All that the audit reads.
#[derive(Clone)]
pub struct Made {
    pub solid: Solid,
    pub flat: Flat,
    pub pieces: Pieces,
    pub layout: Layout,
}

impl Made {
    /// Lays a solid flat and makes its pieces.
    pub fn of(solid: Solid) -> Option<Self> {
        let (flat, found) = develop(&solid);
        if found.has_errors() {
            return None;
        }
        let (pieces, found) = finish(&solid, &flat);
        if found.has_errors() {
            return None;
        }
        let (layout, found) = arrange(&solid, &pieces, Options::QUICK);
        (!found.has_errors()).then_some(Self { solid, flat, pieces, layout })
    }

    fn judged(&self) -> Verdict {
        audit(&self.solid, &self.flat, &self.pieces, Some(&self.layout))
    }
}

fn build(prop: &str) -> Made {
    let text = props::text(prop);
    // What is called so is made of card.
    let solid = if prop.starts_with("mocked") {
        crate::mockup::solid(&text, "1:1", "card")
    } else {
        let checked = checked(&text);
        assert!(checked.errors().is_empty(), "{}", checked.told());
        let shaped = shape(&checked.design);
        assert!(!shaped.diagnostics.has_errors(), "{:#?}", shaped.diagnostics);
        shaped.solid
    };
    Made::of(solid).expect("it can be made")
}

/// Whether a breach is of the check and about what a case says.
fn named(verdict: &Verdict, case: &Case) -> bool {
    verdict.breaches.iter().any(|b| case.checks.contains(&b.check) && b.what.contains(case.what.as_str()))
}

/// Cases of one harm that are tried on one prop, the first and the last; `TASSET_SABOTAGE=all` tries every one.
const TRIED: usize = 2;

fn sample(cases: Vec<Case>) -> Vec<Case> {
    let all = cases.len();
    if all <= TRIED || std::env::var("TASSET_SABOTAGE").is_ok_and(|v| v == "all") {
        return cases;
    }
    let chosen: Vec<usize> = (0..TRIED).map(|i| i * (all - 1) / (TRIED - 1)).collect();
    cases.into_iter().enumerate().filter(|(i, _)| chosen.contains(i)).map(|(_, c)| c).collect()
}

/// Every harm on one prop; the faults that the audit let pass are listed together.
fn every_harm(prop: &str) {
    let made = build(prop);
    let verdict = made.judged();
    assert!(verdict.passed(), "{prop} as it is: {:#?}", verdict.breaches);
    let mut missed = String::new();
    let only = std::env::var("TASSET_HARM").unwrap_or_default();
    for harm in harm::ALL.iter().filter(|h| h.name.contains(&only)) {
        let (mut caught, mut all) = (0, 0);
        for case in sample((harm.cases)(&made)) {
            let mut spoilt = made.clone();
            (case.spoil)(&mut spoilt);
            let verdict = spoilt.judged();
            all += 1;
            if named(&verdict, &case) {
                caught += 1;
                continue;
            }
            let said: Vec<_> = verdict.breaches.iter().map(|b| format!("{} of {}", b.check.name(), b.what)).collect();
            writeln!(missed, "{prop}: {} ({}): {said:?}", harm.name, case.on).unwrap();
        }
        println!("{prop:>10} | {:<44} | {caught} of {all}", harm.name);
    }
    assert!(missed.is_empty(), "not caught by name:\n{missed}");
}

/// The props on which a harm can be done.
fn harmed(harm: &Harm, made: &[(&str, Made)]) -> bool {
    made.iter().any(|(_, m)| !(harm.cases)(m).is_empty())
}

#[test]
fn every_harm_can_be_done_to_some_prop() {
    let made: Vec<(&str, Made)> = props::ALL.iter().map(|p| (p.0, build(p.0))).collect();
    let idle: Vec<&str> = harm::ALL.iter().filter(|h| !harmed(h, &made)).map(|h| h.name).collect();
    assert!(idle.is_empty(), "{idle:?}");
}

macro_rules! on {
    ($($test:ident: $prop:literal,)*) => {
        $(#[test] fn $test() { every_harm($prop); })*
        #[test]
        fn every_prop_is_spoilt() {
            let spoilt = [$($prop),*];
            assert!(props::ALL.iter().all(|p| spoilt.contains(&p.0)) && spoilt.len() == props::ALL.len());
        }
    };
}

on! {
    harms_of_a_lap_at_a_point_are_caught: "tip",
    harms_of_a_mock_up_are_caught: "mocked",
    harms_of_a_mock_up_of_unlike_sections_are_caught: "mocked oval",
    harms_of_a_mock_up_of_feet_are_caught: "mocked feet",
    harms_of_a_flange_are_caught: "flange",
    harms_of_tabs_turned_out_are_caught: "turned out",
    harms_of_unlike_sections_are_caught: "unlike",
    harms_of_mitred_rings_are_caught: "rings",
    harms_of_leaning_rings_are_caught: "leaning",
    harms_of_a_drum_are_caught: "drum",
    harms_of_a_fin_are_caught: "fin",
    harms_of_studs_are_caught: "studs",
    harms_of_a_blade_are_caught: "blade",
    harms_of_a_cone_are_caught: "cone",
    harms_of_a_lap_are_caught: "lap",
    harms_of_tabs_are_caught: "tabs",
    harms_of_a_backed_seam_are_caught: "backed",
    harms_of_a_gap_by_length_are_caught: "gap",
    harms_of_a_gap_by_angle_are_caught: "angle",
    harms_of_a_laced_pair_are_caught: "laced",
    harms_of_rows_on_rings_are_caught: "whipped",
    harms_of_a_gap_by_share_are_caught: "share",
    harms_of_an_overlay_are_caught: "overlay",
    harms_of_layers_are_caught: "layers",
    harms_of_a_pair_are_caught: "pair",
    harms_of_halves_are_caught: "halves",
    harms_of_a_band_are_caught: "band",
    harms_of_scallops_are_caught: "scallops",
    harms_of_a_formed_wall_are_caught: "formed",
    harms_of_grain_are_caught: "grain",
    harms_of_marks_are_caught: "marked",
    harms_of_marks_on_flats_are_caught: "marked flats",
    harms_of_what_is_fitted_are_caught: "fitted",
    harms_of_a_cover_are_caught: "cover",
    harms_of_a_lining_are_caught: "lining",
    harms_of_sloped_ends_are_caught: "sloped",
    harms_of_an_elbow_are_caught: "elbow",
    harms_of_a_flipped_cone_are_caught: "flipped",
    harms_of_lames_are_caught: "lames",
}
