//! Marks of the text: moved, on the wrong face, left out.

use super::Made;
use super::harm::{Case, each_mark, each_piece, frame, shifted};
use super::wrong::misled;
use tasset::design::Face;
use tasset::geom::course::End;
use tasset::piece::{About, Mark, Operation, Piece};
use tasset::solid::Course;
use tasset::verdict::Check;

const COUNT: &[Check] = &[Check::Coverage];
const LINE: &[Check] = &[Check::Landing];

fn trace(m: &Mark) -> bool {
    matches!(m.about, About::Trace(_))
}

fn marked(p: &Piece) -> bool {
    !p.traces.is_empty()
}

pub fn moved(made: &Made) -> Vec<Case> {
    each_mark(made, LINE, "mark ", trace, |p, k| {
        let (_, left) = frame(&p.marks[k].path);
        shifted(&mut p.marks[k].path, left * 0.5);
    })
}

pub fn out(made: &Made) -> Vec<Case> {
    each_piece(made, COUNT, "mark ", marked, |p| {
        let index = p.traces[0].trace;
        p.marks.retain(|m| m.about != About::Trace(index));
        p.traces.remove(0);
    })
}

pub fn half_out(made: &Made) -> Vec<Case> {
    let line = |m: &Mark| trace(m) && m.operation != Operation::Place;
    each_mark(made, LINE, "mark ", line, |p, k| {
        let long = p.marks[k].path.length();
        p.marks[k].path = p.marks[k].path.part(0.0, 0.9 * long);
    })
}

pub fn other_face(made: &Made) -> Vec<Case> {
    each_piece(made, COUNT, "mark ", marked, |p| p.traces[0].hidden = !p.traces[0].hidden)
}

pub fn operation(made: &Made) -> Vec<Case> {
    each_mark(made, COUNT, "mark ", trace, |p, k| {
        let is = &mut p.marks[k].operation;
        *is = if *is == Operation::Score { Operation::Groove } else { Operation::Score };
    })
}

pub fn name(made: &Made) -> Vec<Case> {
    each_piece(made, COUNT, "mark ", marked, |p| p.traces[0].name.push('x'))
}

pub fn deeper(made: &Made) -> Vec<Case> {
    each_piece(made, &[Check::Claim], "mark ", marked, |p| {
        p.traces[0].deep = Some(p.traces[0].deep.unwrap_or(0.0) + 0.5);
    })
}

pub fn longer(made: &Made) -> Vec<Case> {
    each_piece(made, &[Check::Claim], "mark ", marked, |p| p.traces[0].long += 2.0)
}

pub fn made_for_face(made: &Made) -> Vec<Case> {
    misled(made, COUNT, |s| {
        for t in &mut s.traces {
            t.face = if t.face == Face::Inside { Face::Outside } else { Face::Inside };
        }
    })
}

pub fn made_for_level(made: &Made) -> Vec<Case> {
    misled(made, LINE, |s| {
        for t in &mut s.traces {
            if let Course::Wall(legs) = &mut t.course {
                for leg in legs {
                    let up = |e: End| End { z: e.z + 0.5, ..e };
                    (leg.from, leg.to) = (up(leg.from), up(leg.to));
                }
            }
        }
    })
}

/// One of two rings' marks is drawn for a wall turned by half a millimetre: they miss each other at the knee.
pub fn made_beside(made: &Made) -> Vec<Case> {
    misled(made, LINE, |s| {
        for t in &mut s.traces {
            if let Course::Wall(legs) = &mut t.course {
                for leg in legs.iter_mut().filter(|l| l.strip == 1 && l.from.z != l.to.z) {
                    let on = |e: End| End { share: (e.share + 0.002).min(1.0), ..e };
                    (leg.from, leg.to) = (on(leg.from), on(leg.to));
                }
            }
        }
    })
}
