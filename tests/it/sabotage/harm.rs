//! What can go wrong on the way from the solid to the sheet, one thing at a time.

use super::{Made, lines, marks, places, sheets, slides, traces, turns, words, wrong};
use tasset::geom::path::{Path, Seg};
use tasset::geom::{Vec2, left_of};
use tasset::piece::{Mark, Piece};
use tasset::solid::{Body, EdgeName, Part, Wall};
use tasset::verdict::Check;

/// One spoilt thing: what it is done to, and the breaches of which one must be named.
pub struct Case {
    pub on: String,
    pub checks: &'static [Check],
    /// What the breach must speak of.
    pub what: String,
    pub spoil: Box<dyn Fn(&mut Made)>,
}

pub struct Harm {
    pub name: &'static str,
    pub cases: fn(&Made) -> Vec<Case>,
}

pub fn case(on: &str, checks: &'static [Check], what: &str, spoil: impl Fn(&mut Made) + 'static) -> Case {
    Case { on: on.to_owned(), checks, what: what.to_owned(), spoil: Box::new(spoil) }
}

/// A case on piece `i`.
pub fn on_piece(
    made: &Made,
    i: usize,
    checks: &'static [Check],
    what: &str,
    spoil: impl Fn(&mut Piece) + 'static,
) -> Case {
    case(&made.pieces.pieces[i].name, checks, what, move |m| spoil(&mut m.pieces.pieces[i]))
}

/// A case on every piece that takes it.
pub fn each_piece(
    made: &Made,
    checks: &'static [Check],
    what: &str,
    fits: impl Fn(&Piece) -> bool,
    spoil: fn(&mut Piece),
) -> Vec<Case> {
    let pieces = made.pieces.pieces.iter().enumerate().filter(|(_, p)| fits(p));
    pieces.map(|(i, _)| on_piece(made, i, checks, what, spoil)).collect()
}

/// A case on every mark that takes it.
pub fn each_mark(
    made: &Made,
    checks: &'static [Check],
    what: &str,
    fits: impl Fn(&Mark) -> bool,
    spoil: fn(&mut Piece, usize),
) -> Vec<Case> {
    let mut cases = Vec::new();
    for (i, piece) in made.pieces.pieces.iter().enumerate() {
        for (k, mark) in piece.marks.iter().enumerate().filter(|(_, m)| fits(m)) {
            let mut one = on_piece(made, i, checks, what, move |p| spoil(p, k));
            one.on += &format!(", {:?}", mark.about);
            cases.push(one);
        }
    }
    cases
}

pub fn shifted(path: &mut Path, by: Vec2) {
    for s in &mut path.segs {
        s.a += by;
        s.b += by;
    }
}

/// The direction of a path at its start and square to it.
pub fn frame(path: &Path) -> (Vec2, Vec2) {
    let along = path.segs[0].direction(0.0).normalize();
    (along, left_of(along))
}

pub fn part_of<'a>(made: &'a Made, piece: &Piece) -> &'a Part {
    &made.solid.parts[piece.part.index()]
}

pub fn wall_of<'a>(made: &'a Made, piece: &Piece) -> Option<&'a Wall> {
    match &part_of(made, piece).body {
        Body::Wall(w) => Some(w.cut()),
        Body::Plate(_) | Body::Leaf(_) | Body::Folded(_) => None,
    }
}

/// What the audit calls an edge.
pub fn said(edge: EdgeName) -> &'static str {
    match edge {
        EdgeName::Lower => "lower edge",
        EdgeName::Upper => "upper edge",
        EdgeName::Begin => "seam side where the wall begins",
        EdgeName::End => "seam side where the wall ends",
        EdgeName::Outline => "outline",
        EdgeName::Side(_) => "side of a plate",
        EdgeName::Foot(_) => "bottom of a face",
        EdgeName::Head(_) => "top of a face",
        EdgeName::Cut => "cut between halves",
    }
}

/// A segment in two, its middle moved by `off` to the left.
pub fn kinked(s: &Seg, off: f64) -> [Seg; 2] {
    let (mut a, mut b) = (s.part(0.0, 0.5), s.part(0.5, 1.0));
    let at = a.b + left_of(s.direction(0.5)) * off;
    (a.a, a.b, b.a, b.b) = (s.a, at, at, s.b);
    [a, b]
}

pub const ALL: &[Harm] = &[
    Harm { name: "a corner of a contour moved by 0.2 mm", cases: lines::vertex },
    Harm { name: "an arc 0.1 mm too full", cases: lines::bulge },
    Harm { name: "an edge a tenth too long in fine teeth", cases: lines::teeth },
    Harm { name: "a spur beyond the outline", cases: lines::spur },
    Harm { name: "the sides of a gap 0.25 mm out", cases: lines::gap },
    Harm { name: "a lap 1 mm too narrow", cases: lines::narrow_lap },
    Harm { name: "a lap too narrow at one end", cases: lines::skewed_lap },
    Harm { name: "a lap's own rim 0.3 mm out", cases: lines::lap_rim },
    Harm { name: "one tab 1 mm too narrow", cases: lines::narrow_tab },
    Harm { name: "one tab left out", cases: lines::tab_out },
    Harm { name: "one tab cut to a point", cases: lines::tab_pointed },
    Harm { name: "a stated area a thousandth out", cases: lines::area },
    Harm { name: "a panel's stated area a thousandth out", cases: lines::panel_area },
    Harm { name: "a hole moved by 0.3 mm", cases: lines::hole_moved },
    Harm { name: "a hole 0.3 mm too wide", cases: lines::hole_wide },
    Harm { name: "a hole left out", cases: lines::hole_out },
    Harm { name: "a hole cut twice", cases: lines::hole_twice },
    Harm { name: "a hole named for another", cases: lines::hole_name },
    Harm { name: "a hole of a row moved by 0.3 mm", cases: lines::row_moved },
    Harm { name: "a hole of a row dropped", cases: lines::row_dropped },
    Harm { name: "a hole's number beside another hole", cases: words::number },
    Harm { name: "a notch moved by 1 mm along its edge", cases: marks::notch_along },
    Harm { name: "a notch moved by 1 mm off its edge", cases: marks::notch_off },
    Harm { name: "a notch that leads out of the piece", cases: marks::notch_out },
    Harm { name: "a notch left out", cases: marks::notch_left },
    Harm { name: "a notch of a joint that is not here", cases: marks::notch_stray },
    Harm { name: "a notch given another's number", cases: marks::notch_number },
    Harm { name: "a bevel line moved by 0.3 mm", cases: marks::bevel_moved },
    Harm { name: "a bevel line 5 mm short", cases: marks::bevel_short },
    Harm { name: "a bevel line left out", cases: marks::bevel_out },
    Harm { name: "a bevel line on a square edge", cases: marks::bevel_extra },
    Harm { name: "a centre line moved by 0.3 mm", cases: marks::centre_moved },
    Harm { name: "a centre line left out", cases: marks::centre_out },
    Harm { name: "a centre line 5 mm short", cases: marks::centre_short },
    Harm { name: "a seam line of a lap or tab moved by 0.3 mm", cases: marks::lap_moved },
    Harm { name: "a seam line of a lap or tab left out", cases: marks::lap_out },
    Harm { name: "a mark that is cut through", cases: marks::cut_through },
    Harm { name: "a mark that is not cut at all", cases: marks::lettered },
    Harm { name: "a mark of the text moved by 0.5 mm", cases: traces::moved },
    Harm { name: "a mark of the text left out", cases: traces::out },
    Harm { name: "a tenth of a mark of the text left out", cases: traces::half_out },
    Harm { name: "a mark of the text said to be on the other face", cases: traces::other_face },
    Harm { name: "a mark of the text done otherwise", cases: traces::operation },
    Harm { name: "a mark of the text named for another", cases: traces::name },
    Harm { name: "a mark of the text said to be 0.5 mm deeper", cases: traces::deeper },
    Harm { name: "a mark of the text said to be 2 mm longer", cases: traces::longer },
    Harm { name: "made for marks on the other face", cases: traces::made_for_face },
    Harm { name: "made for marks 0.5 mm higher", cases: traces::made_for_level },
    Harm { name: "made for marks that miss each other at a knee", cases: traces::made_beside },
    Harm { name: "a place moved by 1 mm", cases: places::moved },
    Harm { name: "a place left out", cases: places::out },
    Harm { name: "a stretch of a place left out", cases: places::stretch_out },
    Harm { name: "a place drawn twice as large", cases: places::larger },
    Harm { name: "a place that is another's", cases: places::swapped },
    Harm { name: "a place named for another", cases: places::name },
    Harm { name: "a place said to be on the other face", cases: places::face },
    Harm { name: "a place 0.5 mm farther from its edge in the key", cases: places::from },
    Harm { name: "made for places on the other face", cases: places::made_for_face },
    Harm { name: "made for places 1 mm higher", cases: places::made_for_level },
    Harm { name: "made for a patch 1 mm wider", cases: places::made_for_patch },
    Harm { name: "a fold moved by 0.3 mm", cases: turns::fold_moved },
    Harm { name: "a fold left out", cases: turns::fold_lost },
    Harm { name: "a relief cut left out", cases: turns::cut_lost },
    Harm { name: "a relief cut past the fold", cases: turns::cut_deep },
    Harm { name: "a slit left out", cases: turns::slit_lost },
    Harm { name: "a slit past the fold", cases: turns::slit_deep },
    Harm { name: "a slit short of the fold", cases: turns::slit_short },
    Harm { name: "a key that counts other cuts", cases: turns::note },
    Harm { name: "a cover made for the other face", cases: turns::other_face },
    Harm { name: "made for a turn 1 mm narrower", cases: turns::narrow },
    Harm { name: "made for a turn that goes another way", cases: turns::other_way },
    Harm { name: "cut level where it is folded over", cases: turns::none },
    Harm { name: "tabs made for the other side of a plate's bound or of a foot", cases: turns::other_side },
    Harm { name: "tabs made for their own ring", cases: turns::own_ring },
    Harm { name: "tabs behind the next wall made for the rim's plane", cases: turns::next_across },
    Harm { name: "tabs with glue on the other face", cases: turns::glue },
    Harm { name: "made without relief", cases: turns::no_relief },
    Harm { name: "lettering off the piece", cases: words::strayed },
    Harm { name: "lettering over the edge", cases: words::over },
    Harm { name: "an arrow that points down", cases: words::arrow },
    Harm { name: "a label with another piece's name", cases: words::name },
    Harm { name: "a label that says the other face is up", cases: words::face },
    Harm { name: "a label for the other hand", cases: words::hand },
    Harm { name: "a joint's letter on the wrong edge", cases: words::joint_letter },
    Harm { name: "a bevel written 2 degrees off", cases: words::bevel_label },
    Harm { name: "a hole's name left off", cases: words::hole_label },
    Harm { name: "a piece named for the other hand", cases: words::other_hand },
    Harm { name: "a piece named for another ring or layer", cases: words::other_place },
    Harm { name: "two pieces with one number", cases: words::one_number },
    Harm { name: "two pieces with one identity", cases: words::one_id },
    Harm { name: "a piece of the wrong hand", cases: words::wrong_hand },
    Harm { name: "a piece cut from other goods", cases: words::wrong_stock },
    Harm { name: "a piece's way up turned by 100 degrees", cases: words::up },
    Harm { name: "a piece's grain turned by 5 degrees", cases: words::grain },
    Harm { name: "a mass 2 % out", cases: words::mass },
    Harm { name: "a key without one edge", cases: words::note_out },
    Harm { name: "a key whose bevel is 2 degrees off", cases: words::note_bevel },
    Harm { name: "a key whose bevel is long on the other face", cases: words::note_face },
    Harm { name: "a key whose length is 0.2 mm off", cases: words::note_long },
    Harm { name: "a key that counts a notch too many", cases: words::note_notches },
    Harm { name: "a key that calls an edge by another's name", cases: words::note_name },
    Harm { name: "a key that has an edge meet another", cases: words::note_meets },
    Harm { name: "a key with another joint's letter", cases: words::note_letter },
    Harm { name: "an offset 0.2 mm too high", cases: words::offset },
    Harm { name: "a table of offsets left out", cases: words::offset_out },
    Harm { name: "a piece left out", cases: words::piece_out },
    Harm { name: "a piece cut twice", cases: words::piece_twice },
    Harm { name: "a piece turned over", cases: words::turned_over },
    Harm { name: "a piece's motion forgotten", cases: words::motion },
    Harm { name: "made for a neutral surface 0.1 mm off", cases: wrong::neutral },
    Harm { name: "made for a sheet 0.2 mm thicker", cases: wrong::thick },
    Harm { name: "made for the other face", cases: wrong::face },
    Harm { name: "made for a gap 0.5 mm wider", cases: wrong::gap },
    Harm { name: "made for a lap 1 mm wider", cases: wrong::allowance },
    Harm { name: "made for square rims", cases: wrong::square },
    Harm { name: "made for level rims", cases: wrong::level },
    Harm { name: "made for cuts half a degree off", cases: wrong::slope },
    Harm { name: "a ring turned about its axis", cases: wrong::ring_turned },
    Harm { name: "a ring of a flipped cone not turned over", cases: wrong::not_flipped },
    Harm { name: "made for a point 0.5 mm higher", cases: wrong::point },
    Harm { name: "made for holes 0.3 mm higher", cases: wrong::hole },
    Harm { name: "a row set out 0.3 mm wrong", cases: wrong::row },
    Harm { name: "made for notches 1 mm farther on", cases: wrong::notch },
    Harm { name: "made for a plate 0.2 mm larger", cases: wrong::plate },
    Harm { name: "made for a plate 0.5 mm higher", cases: wrong::plate_height },
    Harm { name: "made for a plate that shows its other face", cases: wrong::plate_over },
    Harm { name: "made for a plate bent 0.1 mm nearer its other face", cases: wrong::leaf_allowance },
    Harm { name: "made for a plate without its bevel", cases: wrong::leaf_square },
    Harm { name: "made for a plate with a layer 0.4 mm thicker", cases: wrong::leaf_thick },
    Harm { name: "made for a plate measured on another face", cases: wrong::leaf_face },
    Harm { name: "made for a plate bent to 1 mm more", cases: wrong::leaf_flatter },
    Harm { name: "made for another seam", cases: wrong::seam },
    Harm { name: "made for a tongue more", cases: wrong::tongue_more },
    Harm { name: "made for tongues 0.3 mm taller", cases: wrong::tongue_taller },
    Harm { name: "made for tongues on the other rim", cases: wrong::tongue_over },
    Harm { name: "made without tongues", cases: wrong::tongues_out },
    Harm { name: "a key that counts a tongue too few", cases: words::note_tongues },
    Harm { name: "a sheet larger than its stock", cases: sheets::size },
    Harm { name: "a sheet without its border", cases: sheets::border },
    Harm { name: "pieces without a gap", cases: sheets::gap },
    Harm { name: "two pieces on one place", cases: sheets::overlap },
    Harm { name: "a piece mirrored on its sheet", cases: sheets::mirrored },
    Harm { name: "a piece on no sheet", cases: sheets::left },
    Harm { name: "a piece across the grain", cases: sheets::across },
    Harm { name: "two sheets with one number", cases: sheets::number },
    Harm { name: "a lame on the wrong side of its neighbour", cases: slides::wrong_side },
    Harm { name: "a lame 1 mm too far from its neighbour", cases: slides::overlap },
    Harm { name: "a lame aside of its neighbour", cases: slides::aside },
    Harm { name: "lames that are to turn twice as far", cases: slides::too_far },
    Harm { name: "a strap 1 mm too long between two lames", cases: slides::free_length },
    Harm { name: "a closed strap told 1 mm too long", cases: slides::closed_length },
    Harm { name: "a strap's own mark moved by 1 mm", cases: slides::strap_mark },
    Harm { name: "a strap cut 1 mm too long", cases: slides::strap_length },
    Harm { name: "a strap fixed 1 mm too low", cases: slides::strap_place },
];
