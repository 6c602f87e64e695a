//! What is folded over: folds, widths, and the cuts that make up for what a tab has too much or too little of.

use super::Made;
use super::harm::{Case, each_mark, frame, on_piece, shifted};
use super::wrong::misled;
use tasset::design::Face;
use tasset::geom::path::{Path, Seg};
use tasset::piece::{About, Mark, Operation, Run};
use tasset::solid::Onto;
use tasset::verdict::Check;

const TURN: &[Check] = &[Check::Turn];

fn fold(m: &Mark) -> bool {
    matches!(m.about, About::Turn(_)) && m.operation == Operation::Fold
}

fn slit(m: &Mark) -> bool {
    matches!(m.about, About::Turn(_)) && m.operation == Operation::Slit
}

pub fn narrow(made: &Made) -> Vec<Case> {
    misled(made, TURN, |s| s.turns.iter_mut().filter(|t| t.wide > 2.0).for_each(|t| t.wide -= 1.0))
}

/// The first line of each V.
fn cuts(run: &Run) -> Vec<usize> {
    let segs = &run.path.segs;
    let line = |s: &Seg| s.bulge == 0.0 && s.length() > 4.0;
    let back = |i: &usize| {
        let (a, b) = (&segs[*i], &segs[*i + 1]);
        line(a) && line(b) && a.direction(0.0).dot(b.direction(0.0)) < -0.5
    };
    (0..segs.len().saturating_sub(1)).filter(back).collect()
}

fn each_cut(made: &Made, spoil: fn(&mut Run, usize)) -> Vec<Case> {
    let mut cases = Vec::new();
    for (i, piece) in made.pieces.pieces.iter().enumerate() {
        for (k, run) in piece.contour.iter().enumerate().filter(|(_, r)| r.turn.is_some()) {
            for at in cuts(run) {
                let mut one = on_piece(made, i, TURN, "folded over", move |p| spoil(&mut p.contour[k], at));
                one.on += &format!(", {:?}, cut at {at}", run.turn);
                cases.push(one);
            }
        }
    }
    cases
}

pub fn cut_lost(made: &Made) -> Vec<Case> {
    each_cut(made, |run, i| {
        let whole = Seg::line(run.path.segs[i].a, run.path.segs[i + 1].b);
        run.path.segs.splice(i..=i + 1, [whole]);
    })
}

pub fn cut_deep(made: &Made) -> Vec<Case> {
    each_cut(made, |run, i| {
        let way = run.path.segs[i].direction(0.0);
        run.path.segs[i].b += way * 3.0;
        run.path.segs[i + 1].a += way * 3.0;
    })
}

pub fn slit_lost(made: &Made) -> Vec<Case> {
    each_mark(made, TURN, "folded over", slit, |p, k| drop(p.marks.remove(k)))
}

/// A slit that goes on past the fold, into the wall.
pub fn slit_deep(made: &Made) -> Vec<Case> {
    each_mark(made, TURN, "slit past the fold", slit, |p, k| stretched(&mut p.marks[k].path, 3.0))
}

/// One that begins too far from the fold.
pub fn slit_short(made: &Made) -> Vec<Case> {
    each_mark(made, TURN, "slit short of the fold", slit, |p, k| stretched(&mut p.marks[k].path, -2.5))
}

/// A slit is drawn from the free edge to the fold.
fn stretched(path: &mut Path, by: f64) {
    let last = path.segs.len() - 1;
    let way = path.segs[last].direction(1.0).normalize();
    path.segs[last].b += way * by;
}

pub fn fold_moved(made: &Made) -> Vec<Case> {
    each_mark(made, &[Check::Landing], "", fold, |p, k| {
        let (_, left) = frame(&p.marks[k].path);
        shifted(&mut p.marks[k].path, left * 0.3);
    })
}

pub fn fold_lost(made: &Made) -> Vec<Case> {
    each_mark(made, &[Check::Coverage], "", fold, |p, k| drop(p.marks.remove(k)))
}

/// The cloth of a cover made as if it lay on its host's other face.
pub fn other_face(made: &Made) -> Vec<Case> {
    misled(made, &[Check::Landing, Check::Claim], |s| {
        let backs: Vec<_> = s.turns.iter().filter_map(|t| Some((t.at.part, through(t.onto)?))).collect();
        for part in &mut s.parts {
            let Some((_, by)) = backs.iter().find(|b| b.0 == part.id) else { continue };
            for l in &mut part.layers {
                l.inner += by;
                l.neutral += by;
                l.outer += by;
            }
        }
    })
}

fn through(onto: Onto) -> Option<f64> {
    if let Onto::Back { near, far } = onto { Some(far - near) } else { None }
}

/// Cuts for a turn that goes across the end where it goes back along the other face.
pub fn other_way(made: &Made) -> Vec<Case> {
    misled(made, TURN, |s| {
        for t in &mut s.turns {
            if through(t.onto).is_some() {
                t.onto = Onto::Across;
            }
        }
    })
}

pub fn no_relief(made: &Made) -> Vec<Case> {
    misled(made, TURN, |s| s.turns.iter_mut().for_each(|t| t.relief = false))
}

/// Pieces cut level where something is folded over.
pub fn none(made: &Made) -> Vec<Case> {
    misled(made, &[Check::Coverage], |s| s.turns.retain(|t| matches!(t.onto, Onto::Not(_))))
}

/// Tabs of card glued to the other side of what bounds a plate, or turned to the other side of a foot.
pub fn other_side(made: &Made) -> Vec<Case> {
    misled(made, TURN, |s| {
        for t in &mut s.turns {
            match t.onto {
                Onto::Bore => t.onto = Onto::Side,
                Onto::Side if t.glued.is_some() => t.onto = Onto::Bore,
                Onto::Ground { outward, on } => t.onto = Onto::Ground { outward: !outward, on },
                _ => {}
            }
        }
    })
}

/// Tabs made for the ring they stand on, and not for the next.
pub fn own_ring(made: &Made) -> Vec<Case> {
    misled(made, TURN, |s| {
        for t in &mut s.turns {
            if let Onto::Next { strip, .. } = &mut t.onto {
                *strip -= 1;
            }
        }
    })
}

/// Tabs behind the next ring or another part's wall made as if they lay in the rim's plane.
pub fn next_across(made: &Made) -> Vec<Case> {
    misled(made, TURN, |s| {
        for t in &mut s.turns {
            if matches!(t.onto, Onto::Next { .. } | Onto::Beyond { .. }) {
                t.onto = Onto::Across;
            }
        }
    })
}

/// Glue told for the other face of the tabs.
pub fn glue(made: &Made) -> Vec<Case> {
    misled(made, TURN, |s| {
        for t in &mut s.turns {
            t.glued = t.glued.map(|f| if f == Face::Inside { Face::Outside } else { Face::Inside });
        }
    })
}

pub fn note(made: &Made) -> Vec<Case> {
    let mut cases = Vec::new();
    for (i, piece) in made.pieces.pieces.iter().enumerate() {
        for (k, note) in piece.edges.iter().enumerate().filter(|(_, n)| n.bevel.ends_with(" cuts")) {
            let mut one = on_piece(made, i, TURN, "in the key", move |p| {
                p.edges[k].bevel = p.edges[k].bevel.replace(" cuts", "0 cuts");
            });
            one.on += &format!(", {}", note.name);
            cases.push(one);
        }
    }
    cases
}
