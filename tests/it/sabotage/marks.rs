//! Ticks, bevel lines, centre lines and seam lines.

use super::Made;
use super::harm::{Case, each_mark, each_piece, frame, said, shifted};
use tasset::ids::JointId;
use tasset::piece::{About, Mark, Operation, Piece};
use tasset::verdict::Check;

const NOTCH: &[Check] = &[Check::Notch];
const COUNT: &[Check] = &[Check::Coverage];
const LINE: &[Check] = &[Check::Landing];

fn notch(m: &Mark) -> bool {
    matches!(m.about, About::Notch { .. })
}

fn bevel(m: &Mark) -> bool {
    matches!(m.about, About::Bevel(_))
}

fn centre(m: &Mark) -> bool {
    m.about == About::Centre
}

fn lap(m: &Mark) -> bool {
    m.about == About::Lap
}

/// The first notch of each edge of each piece is enough.
fn first(m: &Mark) -> bool {
    matches!(m.about, About::Notch { number: 0, .. })
}

pub fn notch_along(made: &Made) -> Vec<Case> {
    each_mark(made, NOTCH, "", notch, |p, k| {
        let (_, left) = frame(&p.marks[k].path);
        shifted(&mut p.marks[k].path, left);
    })
}

pub fn notch_off(made: &Made) -> Vec<Case> {
    let mut cases = each_mark(made, NOTCH, "", first, |p, k| {
        let (along, _) = frame(&p.marks[k].path);
        shifted(&mut p.marks[k].path, along);
    });
    cases.extend(each_mark(made, NOTCH, "", first, |p, k| {
        let (along, _) = frame(&p.marks[k].path);
        shifted(&mut p.marks[k].path, -along);
    }));
    cases
}

pub fn notch_out(made: &Made) -> Vec<Case> {
    each_mark(made, NOTCH, "", first, |p, k| {
        let s = &mut p.marks[k].path.segs[0];
        s.b = s.a * 2.0 - s.b;
    })
}

pub fn notch_left(made: &Made) -> Vec<Case> {
    each_mark(made, COUNT, "notch", first, |p, k| drop(p.marks.remove(k)))
}

pub fn notch_stray(made: &Made) -> Vec<Case> {
    each_mark(made, COUNT, "notch", first, |p, k| {
        let mut mark = p.marks[k].clone();
        if let About::Notch { joint, .. } = &mut mark.about {
            *joint = JointId::new(joint.index() + 7);
        }
        p.marks.push(mark);
    })
}

pub fn notch_number(made: &Made) -> Vec<Case> {
    each_mark(made, &[Check::Coverage, Check::Notch], "", first, |p, k| {
        if let About::Notch { number, .. } = &mut p.marks[k].about {
            *number = 1;
        }
    })
}

pub fn bevel_moved(made: &Made) -> Vec<Case> {
    each_mark(made, LINE, "bevel line", bevel, |p, k| {
        let (_, left) = frame(&p.marks[k].path);
        shifted(&mut p.marks[k].path, left * 0.3);
    })
}

fn shorter(p: &mut Piece, k: usize) {
    let path = &mut p.marks[k].path;
    let mut rest = 5.0;
    while let Some(last) = path.segs.pop() {
        let long = last.length();
        if long > rest {
            path.segs.push(last.part(0.0, 1.0 - rest / long));
            return;
        }
        rest -= long;
    }
}

pub fn bevel_short(made: &Made) -> Vec<Case> {
    each_mark(made, LINE, "bevel line", bevel, shorter)
}

pub fn bevel_out(made: &Made) -> Vec<Case> {
    each_mark(made, COUNT, "bevel line", bevel, |p, k| drop(p.marks.remove(k)))
}

pub fn bevel_extra(made: &Made) -> Vec<Case> {
    let mut cases = Vec::new();
    for (i, piece) in made.pieces.pieces.iter().enumerate() {
        for run in &piece.contour {
            let Some(edge) = run.edge else { continue };
            if piece.marks.iter().any(|m| m.about == About::Bevel(edge)) {
                continue;
            }
            let path = run.path.clone();
            let mut one = super::harm::on_piece(made, i, COUNT, "bevel line", move |p| {
                let (_, left) = frame(&path);
                let mut line = path.clone();
                shifted(&mut line, left);
                p.marks.push(Mark { operation: Operation::Bevel, path: line, about: About::Bevel(edge) });
            });
            one.on += &format!(", {}", said(edge));
            cases.push(one);
        }
    }
    cases
}

pub fn centre_moved(made: &Made) -> Vec<Case> {
    each_mark(made, LINE, "centre line", centre, |p, k| {
        let (_, left) = frame(&p.marks[k].path);
        shifted(&mut p.marks[k].path, left * 0.3);
    })
}

pub fn centre_out(made: &Made) -> Vec<Case> {
    let has = |p: &Piece| p.marks.iter().any(centre);
    each_piece(made, &[Check::Coverage, Check::Landing], "centre line", has, |p| p.marks.retain(|m| !centre(m)))
}

pub fn centre_short(made: &Made) -> Vec<Case> {
    each_mark(made, &[Check::Coverage, Check::Landing], "centre line", centre, shorter)
}

pub fn lap_moved(made: &Made) -> Vec<Case> {
    each_mark(made, LINE, "seam side", lap, |p, k| {
        let (_, left) = frame(&p.marks[k].path);
        shifted(&mut p.marks[k].path, left * 0.3);
    })
}

pub fn lap_out(made: &Made) -> Vec<Case> {
    each_mark(made, &[Check::Coverage, Check::Landing], "seam side", lap, |p, k| drop(p.marks.remove(k)))
}

pub fn cut_through(made: &Made) -> Vec<Case> {
    each_mark(made, COUNT, "", |m| !notch(m) || first(m), |p, k| p.marks[k].operation = Operation::Cut)
}

pub fn lettered(made: &Made) -> Vec<Case> {
    let any = |m: &Mark| m.about != About::Lettering && (!notch(m) || first(m));
    each_mark(made, COUNT, "", any, |p, k| p.marks[k].operation = Operation::Letter)
}
