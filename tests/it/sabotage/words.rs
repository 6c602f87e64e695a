//! Names, labels, keys, figures and whole pieces.

use super::Made;
use super::harm::{Case, case, each_piece, on_piece, part_of, shifted, wall_of};
use tasset::design::Hand;
use tasset::geom::Vec2;
use tasset::num;
use tasset::piece::{About, EdgeNote, Letter, Operation, Piece};
use tasset::solid::Body;
use tasset::verdict::Check;

const COUNT: &[Check] = &[Check::Coverage];
const HAND: &[Check] = &[Check::Hand];
const PARTNER: &[Check] = &[Check::Partner];

/// A case on every line of lettering that takes it.
fn each_letter(
    made: &Made,
    checks: &'static [Check],
    what: &str,
    fits: impl Fn(&Piece, &Letter) -> bool,
    spoil: fn(&mut Letter),
) -> Vec<Case> {
    let mut cases = Vec::new();
    for (i, piece) in made.pieces.pieces.iter().enumerate() {
        for (k, letter) in piece.letters.iter().enumerate().filter(|(_, l)| fits(piece, l)) {
            let mut one = on_piece(made, i, checks, what, move |p| spoil(&mut p.letters[k]));
            one.on += &format!(", \"{}\"", letter.text);
            cases.push(one);
        }
    }
    cases
}

/// A case on every line of the key that takes it.
fn each_note(
    made: &Made,
    checks: &'static [Check],
    what: &str,
    fits: impl Fn(&Piece, &EdgeNote) -> bool,
    spoil: fn(&mut EdgeNote),
) -> Vec<Case> {
    let mut cases = Vec::new();
    for (i, piece) in made.pieces.pieces.iter().enumerate() {
        for (k, note) in piece.edges.iter().enumerate().filter(|(_, n)| fits(piece, n)) {
            let mut one = on_piece(made, i, checks, what, move |p| spoil(&mut p.edges[k]));
            one.on += &format!(", {:?} ({})", note.edge, note.bevel);
            cases.push(one);
        }
    }
    cases
}

fn moved(l: &mut Letter, by: Vec2) {
    l.at += by;
    l.strokes.iter_mut().for_each(|s| shifted(s, by));
}

/// Rewrites a line where it stands.
fn rewritten(l: &mut Letter, text: &str) {
    l.text = text.to_owned();
    l.strokes = tasset::geom::lettering::centred(text, l.tall, l.at, l.turn);
}

pub fn strayed(made: &Made) -> Vec<Case> {
    each_letter(made, COUNT, "lettering", |p, l| p.letters[0].text == l.text, |l| moved(l, Vec2::new(3000.0, 0.0)))
}

/// The last line is moved over the middle of the longest edge.
pub fn over(made: &Made) -> Vec<Case> {
    each_piece(
        made,
        COUNT,
        "lettering",
        |p| !p.letters.is_empty(),
        |p| {
            let run = p.contour.iter().max_by(|a, b| a.path.length().total_cmp(&b.path.length())).expect("a contour");
            let at = run.path.segs[run.path.segs.len() / 2].at(0.5);
            let letter = p.letters.last_mut().expect("a line");
            let by = at - letter.at;
            moved(letter, by);
        },
    )
}

pub fn arrow(made: &Made) -> Vec<Case> {
    let arrowed = |p: &Piece| p.marks.iter().any(|m| m.about == About::Lettering);
    each_piece(
        made,
        HAND,
        "arrow",
        |p| arrowed(p) && p.grain.is_none(),
        |p| {
            let marks: Vec<usize> = (0..p.marks.len()).filter(|&i| p.marks[i].about == About::Lettering).collect();
            let (foot, tip) = {
                let path = &p.marks[marks[0]].path;
                (path.start().expect("a stroke"), path.end().expect("a stroke"))
            };
            let middle = (foot + tip) * 0.5;
            for i in marks {
                for s in &mut p.marks[i].path.segs {
                    s.a = middle * 2.0 - s.a;
                    s.b = middle * 2.0 - s.b;
                }
            }
        },
    )
}

fn written<'a>(text: &'a str) -> impl Fn(&Piece, &Letter) -> bool + 'a {
    move |_, l| l.text.contains(text)
}

pub fn name(made: &Made) -> Vec<Case> {
    each_letter(made, COUNT, "label", |p, l| l.text == p.name, |l| rewritten(l, "figurehead"))
}

pub fn face(made: &Made) -> Vec<Case> {
    each_letter(made, HAND, "label", written("outside up"), |l| {
        let text = l.text.replace("outside", "inside");
        rewritten(l, &text);
    })
}

pub fn hand(made: &Made) -> Vec<Case> {
    each_letter(
        made,
        HAND,
        "label",
        |p, l| p.hand.is_some() && l.text.contains("outside up"),
        |l| {
            let text =
                if l.text.contains("LEFT") { l.text.replace("LEFT", "RIGHT") } else { l.text.replace("RIGHT", "LEFT") };
            rewritten(l, &text);
        },
    )
}

pub fn joint_letter(made: &Made) -> Vec<Case> {
    let joint = |p: &Piece, l: &Letter| p.edges.iter().any(|e| e.letter.as_deref() == Some(l.text.as_str()));
    each_letter(made, COUNT, "label", joint, |l| rewritten(l, "Q"))
}

pub fn bevel_label(made: &Made) -> Vec<Case> {
    let bevel = |p: &Piece, l: &Letter| p.edges.iter().any(|e| e.bevel == l.text);
    each_letter(made, &[Check::Coverage, Check::Transfer], "", bevel, |l| {
        let text = turned(&l.text);
        rewritten(l, &text);
    })
}

pub fn hole_label(made: &Made) -> Vec<Case> {
    let hole = |p: &Piece, l: &Letter| p.holes.iter().any(|h| h.name == l.text);
    each_letter(made, COUNT, "label", hole, |l| rewritten(l, "hatch"))
}

pub fn number(made: &Made) -> Vec<Case> {
    // A piece may carry its own number too.
    let first = |p: &Piece, l: &Letter| p.holes.iter().any(|h| h.number == Some(1)) && l.text == "1" && p.number > 2;
    each_letter(made, &[Check::Partner], "label", first, |l| rewritten(l, "2"))
}

pub fn other_hand(made: &Made) -> Vec<Case> {
    each_piece(
        made,
        COUNT,
        "name",
        |p| p.hand.is_some(),
        |p| {
            let swapped = if p.name.contains(" left") {
                p.name.replace(" left", " right")
            } else {
                p.name.replace(" right", " left")
            };
            p.name = swapped + " ";
            p.name = p.name.trim_end().to_owned() + " (2)";
        },
    )
}

pub fn other_place(made: &Made) -> Vec<Case> {
    let several = |p: &Piece| p.name.contains(" ring ") || p.name.contains(" layer ") || p.name.contains(" half ");
    each_piece(made, COUNT, "name", several, |p| p.name = p.name.replace('1', "9").replace('2', "7"))
}

fn twins(made: &Made) -> bool {
    made.pieces.pieces.len() > 1
}

pub fn one_number(made: &Made) -> Vec<Case> {
    if !twins(made) {
        return Vec::new();
    }
    vec![case("piece 2", COUNT, "number", |m| m.pieces.pieces[1].number = m.pieces.pieces[0].number)]
}

pub fn one_id(made: &Made) -> Vec<Case> {
    if !twins(made) {
        return Vec::new();
    }
    vec![case("piece 2", &[Check::Coverage, Check::Placing], "", |m| m.pieces.pieces[1].id = m.pieces.pieces[0].id)]
}

pub fn wrong_hand(made: &Made) -> Vec<Case> {
    each_piece(
        made,
        &[Check::Hand, Check::Coverage],
        "",
        |_| true,
        |p| {
            p.hand = if p.hand == Some(Hand::Left) { Some(Hand::Right) } else { Some(Hand::Left) };
        },
    )
}

pub fn wrong_stock(made: &Made) -> Vec<Case> {
    each_piece(made, COUNT, "", |_| true, |p| p.stock += 1)
}

fn turned_way(v: Vec2, degrees: f64) -> Vec2 {
    let (s, c) = num::sin_cos(degrees.to_radians());
    Vec2::new(c * v.x - s * v.y, s * v.x + c * v.y)
}

pub fn up(made: &Made) -> Vec<Case> {
    each_piece(made, HAND, "way up", |_| true, |p| p.up = turned_way(p.up, 100.0))
}

pub fn grain(made: &Made) -> Vec<Case> {
    each_piece(made, &[Check::Grain], "", |p| p.grain.is_some(), |p| p.grain = p.grain.map(|g| turned_way(g, 5.0)))
}

pub fn mass(made: &Made) -> Vec<Case> {
    each_piece(made, &[Check::Area], "mass", |p| p.mass.is_some(), |p| p.mass = p.mass.map(|m| m * 1.02))
}

pub fn note_out(made: &Made) -> Vec<Case> {
    each_piece(made, COUNT, "key", |_| true, |p| drop(p.edges.pop()))
}

/// A bevel's text with its first number two greater.
fn turned(text: &str) -> String {
    let digits = text.chars().take_while(char::is_ascii_digit).count();
    let n: u32 = text[..digits].parse().expect("a bevel begins with a number");
    format!("{}{}", n + 2, &text[digits..])
}

fn bevelled(_: &Piece, n: &EdgeNote) -> bool {
    // Not what is told of glue tabs "along the wall's inside".
    n.bevel.contains("° long")
}

pub fn note_bevel(made: &Made) -> Vec<Case> {
    let mut cases = each_note(made, &[Check::Transfer], "bevel", bevelled, |n| n.bevel = turned(&n.bevel));
    let square = |_: &Piece, n: &EdgeNote| n.bevel == "square";
    cases.extend(each_note(made, &[Check::Transfer], "bevel", square, |n| n.bevel = "2° long outside".into()));
    cases.extend(each_note(made, &[Check::Transfer], "bevel", bevelled, |n| n.bevel = "square".into()));
    cases
}

pub fn note_face(made: &Made) -> Vec<Case> {
    let one = |p: &Piece, n: &EdgeNote| bevelled(p, n) && n.bevel.matches("long").count() == 1;
    each_note(made, &[Check::Transfer], "bevel", one, |n| {
        n.bevel = if n.bevel.contains("outside") {
            n.bevel.replace("outside", "inside")
        } else {
            n.bevel.replace("inside", "outside")
        };
    })
}

pub fn note_long(made: &Made) -> Vec<Case> {
    let mut cases = each_note(made, PARTNER, "length", |_, _| true, |n| n.long.inside += 0.2);
    cases.extend(each_note(made, PARTNER, "length", |_, _| true, |n| n.long.neutral -= 0.2));
    cases.extend(each_note(made, PARTNER, "length", |_, _| true, |n| n.long.outside -= 0.2));
    cases
}

pub fn note_notches(made: &Made) -> Vec<Case> {
    each_note(made, COUNT, "notch", |_, _| true, |n| n.notches += 1)
}

pub fn note_name(made: &Made) -> Vec<Case> {
    each_note(
        made,
        COUNT,
        "name",
        |_, _| true,
        |n| {
            n.name = match n.name.as_str() {
                "bottom" => "top",
                "seam left side" => "seam right side",
                "seam right side" => "seam left side",
                _ => "bottom",
            }
            .into();
        },
    )
}

pub fn note_meets(made: &Made) -> Vec<Case> {
    each_note(made, PARTNER, "", |_, n| n.meets.is_some(), |n| n.meets = Some("figurehead rim".into()))
}

pub fn note_letter(made: &Made) -> Vec<Case> {
    each_note(made, PARTNER, "", |_, n| n.letter.is_some(), |n| n.letter = Some("Q".into()))
}

pub fn offset(made: &Made) -> Vec<Case> {
    let mut cases = each_piece(
        made,
        &[Check::Landing],
        "offset",
        |p| !p.offsets.is_empty(),
        |p| {
            let rows = &mut p.offsets[0].rows;
            let i = rows.len() / 2;
            rows[i].1 += 0.2;
        },
    );
    cases.extend(each_piece(
        made,
        &[Check::Landing],
        "offset",
        |p| !p.offsets.is_empty(),
        |p| p.offsets[0].chord += 0.2,
    ));
    // A flat arc's rises say nothing of its radius.
    let high = |o: &tasset::piece::Offsets| o.rows.iter().any(|r| r.1.abs() > 2.0);
    let radius = |p: &Piece| p.offsets.first().is_some_and(|o| o.radius.is_some() && high(o));
    cases.extend(each_piece(made, &[Check::Landing], "offset", radius, |p| {
        p.offsets[0].radius = p.offsets[0].radius.map(|r| r * 1.1);
    }));
    cases
}

pub fn offset_out(made: &Made) -> Vec<Case> {
    each_piece(made, COUNT, "offset", |p| !p.offsets.is_empty(), |p| drop(p.offsets.pop()))
}

pub fn piece_out(made: &Made) -> Vec<Case> {
    (0..made.pieces.pieces.len())
        .map(|i| case(&made.pieces.pieces[i].name, COUNT, "", move |m| drop(m.pieces.pieces.remove(i))))
        .collect()
}

pub fn piece_twice(made: &Made) -> Vec<Case> {
    (0..made.pieces.pieces.len())
        .map(|i| {
            case(&made.pieces.pieces[i].name, COUNT, "", move |m| m.pieces.pieces.push(m.pieces.pieces[i].clone()))
        })
        .collect()
}

/// Every line of a piece mirrored, and walked the other way so that it still runs counter-clockwise.
pub fn turned_over(made: &Made) -> Vec<Case> {
    let lopsided = |p: &Piece| wall_of(made, p).is_some();
    each_piece(made, &[Check::Landing, Check::Hand, Check::Closure], "", lopsided, |p| {
        let go = |path: &mut tasset::geom::path::Path| {
            for s in &mut path.segs {
                (s.a.x, s.b.x, s.bulge) = (-s.a.x, -s.b.x, -s.bulge);
            }
        };
        for run in &mut p.contour {
            go(&mut run.path);
            run.path = run.path.reversed();
        }
        p.contour.reverse();
        for h in &mut p.holes {
            go(&mut h.outline);
            h.outline = h.outline.reversed();
        }
        p.marks.iter_mut().for_each(|m| go(&mut m.path));
    })
}

pub fn motion(made: &Made) -> Vec<Case> {
    each_piece(made, &[Check::Landing, Check::Hand], "", |_| true, |p| p.from_flat.shift += Vec2::new(0.3, 0.0))
}

/// A mark that is not lettered is never drawn by the lettering pen.
#[test]
fn plates_and_walls_are_both_spoilt() {
    let made = super::build("unlike");
    let plate = |p: &&Piece| matches!(part_of(&made, p).body, Body::Plate(_));
    assert_eq!(made.pieces.pieces.iter().filter(plate).count(), 2);
    assert!(made.pieces.pieces.iter().flat_map(|p| &p.marks).all(|m| m.operation != Operation::Cut));
}

pub fn note_tongues(made: &Made) -> Vec<Case> {
    let mut cases = Vec::new();
    for (i, piece) in made.pieces.pieces.iter().enumerate() {
        for (k, _) in piece.edges.iter().enumerate().filter(|(_, n)| n.bevel.contains(" tongues")) {
            cases.push(on_piece(made, i, &[Check::Claim], "key of", move |p| {
                p.edges[k].bevel = p.edges[k].bevel.replace("; ", "; 1");
            }));
        }
    }
    cases
}
