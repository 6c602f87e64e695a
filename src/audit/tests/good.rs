//! What is right passes.

use super::fixture;
use crate::audit::audit;
use crate::solid::Solid;
use crate::verdict::{Check, Verdict};

fn judged(solid: &Solid) -> Verdict {
    let (flat, pieces) = fixture::make(solid);
    audit(solid, &flat, &pieces, None)
}

fn passes(name: &str, solid: &Solid) {
    let verdict = judged(solid);
    for (check, w) in &verdict.worst {
        println!("{name}: {:>20} {:>12.6} of {} ({})", check.name(), w.off, w.allowed, w.what);
    }
    println!("{name}: {:?}", verdict.checked);
    assert!(verdict.passed(), "{:#?}", verdict.breaches);
}

#[test]
fn a_frustum_passes() {
    passes("flag case", &fixture::flag_case());
}

#[test]
fn a_flared_frustum_passes() {
    passes("flared", &fixture::flared());
}

#[test]
fn an_oval_pair_passes() {
    let solid = fixture::oval(true);
    passes("oval", &solid);
    let counts = judged(&solid).checked;
    assert_eq!((counts.pieces, counts.holes, counts.notches), (4, 4, 2 * 2 * 2 + 2 * 2 * 3));
}

#[test]
fn worst_figures_are_kept_for_every_check_made() {
    let verdict = judged(&fixture::oval(false));
    for check in [
        Check::Closure,
        Check::Landing,
        Check::Transfer,
        Check::Twist,
        Check::Hand,
        Check::Claim,
        Check::Partner,
        Check::Notch,
        Check::Area,
        Check::Coverage,
    ] {
        assert!(verdict.worst.contains_key(&check), "{}", check.name());
    }
}
