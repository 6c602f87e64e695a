//! Places of what is fitted.

use super::Made;
use super::harm::{Case, each_mark, each_piece, frame, shifted};
use super::wrong::misled;
use tasset::design::Face;
use tasset::fitted::Ground;
use tasset::piece::{About, Mark, Piece};
use tasset::solid::{Body, Size};
use tasset::verdict::Check;

const COUNT: &[Check] = &[Check::Coverage];
const LINE: &[Check] = &[Check::Landing];

fn place(m: &Mark) -> bool {
    matches!(m.about, About::Place(_))
}

fn fitted(p: &Piece) -> bool {
    !p.places.is_empty()
}

pub fn moved(made: &Made) -> Vec<Case> {
    each_mark(made, LINE, "place of", place, |p, k| {
        let (along, left) = frame(&p.marks[k].path);
        shifted(&mut p.marks[k].path, (along + left) * 0.8);
    })
}

pub fn out(made: &Made) -> Vec<Case> {
    each_piece(made, COUNT, "place of", fitted, |p| {
        let spot = p.places[0].spot;
        p.marks.retain(|m| m.about != About::Place(spot));
    })
}

pub fn stretch_out(made: &Made) -> Vec<Case> {
    each_mark(made, &[Check::Coverage, Check::Landing], "place of", place, |p, k| drop(p.marks.remove(k)))
}

pub fn larger(made: &Made) -> Vec<Case> {
    let whole = |m: &Mark| place(m) && m.path.segs.len() > 1;
    each_mark(made, LINE, "place of", whole, |p, k| {
        let from = p.marks[k].path.segs[0].a;
        for s in &mut p.marks[k].path.segs {
            (s.a, s.b) = (from + (s.a - from) * 2.0, from + (s.b - from) * 2.0);
        }
    })
}

pub fn swapped(made: &Made) -> Vec<Case> {
    let several = |p: &Piece| p.places.len() > 1;
    each_piece(made, LINE, "place of", several, |p| {
        let (a, b) = (p.places[0].spot, p.places[1].spot);
        for m in &mut p.marks {
            match m.about {
                About::Place(i) if i == a => m.about = About::Place(b),
                About::Place(i) if i == b => m.about = About::Place(a),
                _ => {}
            }
        }
    })
}

pub fn name(made: &Made) -> Vec<Case> {
    each_piece(made, COUNT, "place of", fitted, |p| p.places[0].name.push('x'))
}

pub fn face(made: &Made) -> Vec<Case> {
    each_piece(made, COUNT, "place of", fitted, |p| p.places[0].hidden = !p.places[0].hidden)
}

pub fn from(made: &Made) -> Vec<Case> {
    let told = |p: &Piece| fitted(p) && !p.places[0].from.is_empty();
    each_piece(made, &[Check::Claim], "from its edges", told, |p| {
        for from in &mut p.places[0].from {
            from.1 += 0.5;
        }
    })
}

pub fn made_for_face(made: &Made) -> Vec<Case> {
    misled(made, COUNT, |s| {
        for spot in &mut s.fitted.spots {
            spot.face = if spot.face == Face::Inside { Face::Outside } else { Face::Inside };
        }
    })
}

pub fn made_for_level(made: &Made) -> Vec<Case> {
    misled(made, LINE, |s| {
        for spot in &mut s.fitted.spots {
            match &mut spot.on {
                Ground::Wall { z, .. } => *z += 1.0,
                Ground::Plate { centre } | Ground::Face { centre, .. } => centre.x += 1.0,
                Ground::Leaf { at } => at.y += 1.0,
            }
        }
    })
}

pub fn made_for_patch(made: &Made) -> Vec<Case> {
    misled(made, &[Check::Claim], |s| {
        let sized: Vec<usize> =
            s.claims.iter().filter(|c| matches!(c.size, Size::Patch { .. })).map(|c| c.part.index()).collect();
        for i in sized {
            if let Body::Plate(p) = &mut s.parts[i].body {
                p.depth += 0.5;
            }
        }
    })
}
