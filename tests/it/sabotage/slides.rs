//! Plates that slide over one another, and their straps: the pieces are right, and something stands or is told wrongly.

use super::Made;
use super::harm::{Case, case};
use tasset::fitted::Ground;
use tasset::fitted::sliding::{Sliding, Strap};
use tasset::verdict::Check;

const CLAIM: &[Check] = &[Check::Claim];

/// The names of every two plates that follow each other, the upper one first, with their places among the parts.
fn pairs(made: &Made) -> Vec<(String, String, usize, usize)> {
    let name = |i: usize| made.solid.parts[i].name.clone();
    let plates = made.solid.fitted.slidings.iter().flat_map(|s| s.plates.windows(2));
    plates.map(|w| (w[0].index(), w[1].index())).map(|(a, b)| (name(b), name(a), a, b)).collect()
}

/// The larger one goes below the smaller, or is as small as that one's inside would be.
pub fn wrong_side(made: &Made) -> Vec<Case> {
    let mut out = Vec::new();
    for (upper, lower, a, b) in pairs(made) {
        let named = format!("{upper} outside {lower}");
        out.push(case(&upper, CLAIM, &named, move |m| {
            let place = m.solid.parts[a].place;
            m.solid.parts[a].place = m.solid.parts[b].place;
            m.solid.parts[b].place = place;
        }));
        out.push(case(&upper, CLAIM, &named, move |m| {
            let body = m.solid.parts[a].body.clone();
            m.solid.parts[a].body = m.solid.parts[b].body.clone();
            m.solid.parts[b].body = body;
        }));
    }
    out
}

fn moved(made: &Made, what: &str, by: [f64; 3]) -> Vec<Case> {
    let cases = pairs(made).into_iter().map(|(upper, lower, _, b)| {
        let named = what.replace("UPPER", &upper).replace("LOWER", &lower);
        case(&upper, CLAIM, &named, move |m| {
            let place = &mut m.solid.parts[b].place;
            place.origin += place.x * by[0] + place.y * by[1] + place.z * by[2];
        })
    });
    cases.collect()
}

pub fn overlap(made: &Made) -> Vec<Case> {
    moved(made, "overlap of UPPER over LOWER", [0.0, 0.0, 1.0])
}

pub fn aside(made: &Made) -> Vec<Case> {
    moved(made, "UPPER in line with LOWER", [0.3, 0.0, 0.0])
}

pub fn too_far(made: &Made) -> Vec<Case> {
    let any = !made.solid.fitted.slidings.is_empty();
    any.then(|| case("all", CLAIM, "movement of", |m| m.solid.fitted.slidings.iter_mut().for_each(farther)))
        .into_iter()
        .collect()
}

fn farther(sliding: &mut Sliding) {
    sliding.angle *= 2.0;
}

fn each_strap(made: &Made, what: &str, spoil: fn(&mut Strap)) -> Vec<Case> {
    let straps = made.solid.fitted.slidings.iter().enumerate();
    let all = straps.flat_map(|(i, s)| s.straps.iter().enumerate().map(move |(k, strap)| (i, k, strap.name.clone())));
    all.map(|(i, k, name)| {
        case(&name, CLAIM, &format!("{what} {name}"), move |m| spoil(&mut m.solid.fitted.slidings[i].straps[k]))
    })
    .collect()
}

pub fn free_length(made: &Made) -> Vec<Case> {
    each_strap(made, "free length of", |s| s.free[0].drawn += 1.0)
}

pub fn closed_length(made: &Made) -> Vec<Case> {
    each_strap(made, "closed length of", |s| s.free[0].closed += 1.0)
}

pub fn strap_mark(made: &Made) -> Vec<Case> {
    each_strap(made, "marks on", |s| s.holds[1].at += 1.0)
}

pub fn strap_length(made: &Made) -> Vec<Case> {
    each_strap(made, "length of", |s| s.long += 1.0)
}

/// Where a strap is fixed on a plate the solid itself has wrongly: only the lengths between tell.
pub fn strap_place(made: &Made) -> Vec<Case> {
    let straps = made.solid.fitted.slidings.iter().flat_map(|s| &s.straps);
    let moved = |spot: usize| {
        move |m: &mut Made| {
            let mut solid = m.solid.clone();
            if let Ground::Wall { z, .. } = &mut solid.fitted.spots[spot].on {
                *z -= 1.0;
            }
            *m = Made::of(solid).expect("it can be made");
        }
    };
    straps.map(|s| case(&s.name, CLAIM, &format!("free length of {}", s.name), moved(s.holds[1].spot))).collect()
}
