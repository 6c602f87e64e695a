//! Where the pieces lie.

use super::Made;
use super::harm::{Case, case};
use tasset::geom::Vec2;
use tasset::num::FRAC_PI_2;
use tasset::verdict::Check;

const PLACE: &[Check] = &[Check::Placing];

fn sheets(made: &Made, least: usize) -> Vec<usize> {
    (0..made.layout.sheets.len()).filter(|&i| made.layout.sheets[i].placed.len() >= least).collect()
}

fn each(made: &Made, least: usize, checks: &'static [Check], spoil: fn(&mut tasset::sheet::Sheet)) -> Vec<Case> {
    let all = sheets(made, least).into_iter();
    all.map(|i| case(&format!("sheet {i}"), checks, "", move |m| spoil(&mut m.layout.sheets[i]))).collect()
}

pub fn size(made: &Made) -> Vec<Case> {
    each(made, 1, &[Check::Placing, Check::Margin], |s| s.size += Vec2::new(50.0, 0.0))
}

pub fn border(made: &Made) -> Vec<Case> {
    each(made, 1, &[Check::Placing, Check::Margin], |s| {
        s.margin = 0.0;
        for p in &mut s.placed {
            p.motion.shift -= Vec2::splat(4.0);
        }
    })
}

pub fn gap(made: &Made) -> Vec<Case> {
    each(made, 2, &[Check::Placing, Check::Overlap], |s| s.gap = 0.0)
}

pub fn overlap(made: &Made) -> Vec<Case> {
    each(made, 2, &[Check::Overlap], |s| s.placed[1].motion = s.placed[0].motion)
}

pub fn mirrored(made: &Made) -> Vec<Case> {
    each(made, 1, PLACE, |s| s.placed[0].motion.mirror = true)
}

pub fn left(made: &Made) -> Vec<Case> {
    each(made, 1, PLACE, |s| s.placed.truncate(s.placed.len() - 1))
}

pub fn across(made: &Made) -> Vec<Case> {
    let grained = |i: &usize| {
        let first = made.layout.sheets[*i].placed.first();
        first.is_some_and(|p| made.pieces.pieces[p.piece.index()].grain.is_some())
    };
    let turn = |i: usize| {
        case(&format!("sheet {i}"), &[Check::Grain], "", move |m| {
            m.layout.sheets[i].placed[0].motion.turn += FRAC_PI_2;
        })
    };
    sheets(made, 1).into_iter().filter(grained).map(turn).collect()
}

pub fn number(made: &Made) -> Vec<Case> {
    if made.layout.sheets.is_empty() {
        return Vec::new();
    }
    vec![case("sheets", PLACE, "", |m| {
        let mut twin = m.layout.sheets[0].clone();
        twin.placed.clear();
        m.layout.sheets.push(twin);
    })]
}
