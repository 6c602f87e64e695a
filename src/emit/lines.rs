//! The lines of one sheet, laid and rounded once, in the order in which they are cut: all files of a sheet are
//! written from this list, so they agree to the last digit. Sheet coordinates: mm, y up, corner at the origin.
//!
//! Piece after piece; of each, marks and lettering first, then holes, then the contour, so that nothing is cut from a
//! piece that has come loose. Does not know any file format.

use crate::design::Hand;
use crate::emit::number::rounded;
use crate::geom::Vec2;
use crate::geom::lettering;
use crate::geom::path::{Motion, Path, Seg};
use crate::ids::PieceId;
use crate::piece::{Letter, Operation, Piece, Pieces};
use crate::sheet::{Placed, Sheet};

/// Height of a sheet's title, mm, and the least it may be drawn in to end with its sheet.
const TITLE: f64 = 8.0;
const LEAST_TITLE: f64 = 4.0;

/// One line.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    pub operation: Operation,
    /// The piece it lies on; none for the sheet's own.
    pub piece: Option<PieceId>,
    pub form: Form,
}

/// Its form; arcs turn through at most a quarter, so that rounded ends and radius say them well.
#[derive(Clone, Debug, PartialEq)]
pub enum Form {
    Open(Path),
    Closed(Path),
    Circle { centre: Vec2, radius: f64 },
}

impl Form {
    /// Whether every coordinate is a number.
    #[must_use]
    pub fn is_finite(&self) -> bool {
        match self {
            Self::Circle { centre, radius } => centre.is_finite() && radius.is_finite(),
            Self::Open(path) | Self::Closed(path) => {
                path.segs.iter().all(|s| s.a.is_finite() && s.b.is_finite() && s.bulge.is_finite())
            }
        }
    }
}

/// All lines of a sheet.
#[must_use]
pub fn lines(sheet: &Sheet, pieces: &Pieces) -> Vec<Line> {
    let corners = [Vec2::ZERO, Vec2::new(sheet.size.x, 0.0), sheet.size, Vec2::new(0.0, sheet.size.y)];
    let outline = Line {
        operation: Operation::Sheet,
        piece: None,
        form: Form::Closed(laid(&Path::polygon(&corners), &Motion::STAY)),
    };
    let mut all = vec![outline];
    all.extend(laid_out(&sheet.placed, pieces));
    all.extend(super::aside::names(&sheet.placed, pieces, (Vec2::ZERO, sheet.size)));
    all
}

/// All lines of pieces that lie somewhere. A mirrored one shows its hidden face: its lettering stays readable and
/// says so.
#[must_use]
pub fn laid_out(placed: &[Placed], pieces: &Pieces) -> Vec<Line> {
    let mut all = Vec::new();
    for placed in placed {
        let piece = &pieces.pieces[placed.piece.index()];
        let id = Some(placed.piece);
        let motion = &placed.motion;
        let open = |path: &Path| Form::Open(laid(path, motion));
        let mut marks: Vec<Line> = piece
            .marks
            .iter()
            .map(|m| {
                let form = if is_ring(&m.path) { closed(&m.path, motion) } else { open(&m.path) };
                Line { operation: m.operation, piece: id, form }
            })
            .collect();
        marks.sort_by_key(|l| l.operation);
        all.extend(marks.into_iter().filter(|l| !l.form.is_empty()));
        let strokes = piece.letters.iter().flat_map(|l| {
            let still = readable(l, motion);
            let strokes = if motion.mirror { hidden_face(l) } else { l.strokes.clone() };
            strokes.into_iter().map(move |path| Form::Open(laid(&path, &still)))
        });
        all.extend(
            strokes.map(|form| Line { operation: Operation::Letter, piece: id, form }).filter(|l| !l.form.is_empty()),
        );
        for hole in &piece.holes {
            all.push(Line { operation: Operation::CutInner, piece: id, form: closed(&hole.outline, motion) });
        }
        all.push(Line { operation: Operation::Cut, piece: id, form: closed(&contour(piece), motion) });
    }
    all
}

/// Lettering over a sheet, for files that carry no text of their own: on the sheet's layer, which no machine follows.
/// The lines, and how far up they reach.
#[must_use]
pub fn title(words: &str, size: Vec2) -> (Vec<Line>, f64) {
    let tall = (TITLE * size.x / lettering::width(words, TITLE).max(size.x)).max(LEAST_TITLE);
    let foot = Vec2::new(0.0, size.y + 0.75 * TITLE);
    let motion = Motion { shift: foot, ..Motion::STAY };
    let strokes = lettering::strokes(words, tall);
    let lines = strokes
        .iter()
        .map(|s| Line { operation: Operation::Sheet, piece: None, form: Form::Open(laid(s, &motion)) })
        .filter(|l| !l.form.is_empty())
        .collect();
    (lines, foot.y + 1.3 * tall)
}

/// The motion of a line of lettering: the piece's, but never mirrored, and with a half turn about its middle where it
/// would stand on its head.
fn readable(letter: &Letter, motion: &Motion) -> Motion {
    let way = motion.apply_direction(crate::geom::unit(letter.turn));
    let turn = crate::num::atan2(way.y, way.x);
    let quarter = crate::num::FRAC_PI_2 + 1e-6;
    let upright = (-quarter..=quarter).contains(&turn);
    if upright && !motion.mirror {
        return *motion;
    }
    let turn = if upright { turn } else { turn + crate::num::PI };
    let turned = Motion { mirror: false, turn: turn - letter.turn, shift: Vec2::ZERO };
    // The middle of the line stays where it is.
    Motion { shift: motion.apply(letter.at) - turned.apply(letter.at), ..turned }
}

/// Lettering as it reads on the hidden face: the other face lies up, and nothing is glued on this one.
fn hidden_face(letter: &Letter) -> Vec<Path> {
    match letter.text.as_str() {
        "glue" => Vec::new(),
        text if text.starts_with("outside up") => {
            let words = text.replacen("outside", "inside", 1);
            lettering::centred(&words, letter.tall, letter.at, letter.turn)
        }
        _ => letter.strokes.clone(),
    }
}

/// A piece's whole contour.
#[must_use]
pub fn contour(piece: &Piece) -> Path {
    Path { segs: piece.contour.iter().flat_map(|run| run.path.segs.iter().copied()).collect() }
}

/// `left`, `right`, or nothing.
#[must_use]
pub fn hand_word(hand: Option<Hand>) -> Option<&'static str> {
    hand.map(|h| match h {
        Hand::Left => "left",
        Hand::Right => "right",
    })
}

impl Form {
    pub(super) fn is_empty(&self) -> bool {
        match self {
            Self::Open(path) | Self::Closed(path) => path.is_empty(),
            Self::Circle { radius, .. } => *radius == 0.0,
        }
    }
}

fn is_ring(path: &Path) -> bool {
    path.segs.len() > 1
        && matches!((path.start(), path.end()), (Some(a), Some(b)) if (a - b).length() < crate::geom::tol::SAME)
}

/// A closed chain in place: a circle when it is one.
fn closed(path: &Path, motion: &Motion) -> Form {
    if let Some((centre, radius)) = circle(path) {
        let c = motion.apply(centre);
        return Form::Circle { centre: Vec2::new(rounded(c.x), rounded(c.y)), radius: rounded(radius) };
    }
    let mut ring = laid(path, motion);
    // A ring's last point is its first, whatever rounding made of it.
    if let (Some(first), Some(last)) = (ring.start(), ring.segs.last_mut()) {
        last.b = first;
    }
    ring.segs.retain(|s| s.a != s.b);
    Form::Closed(ring)
}

/// Centre and radius when the ring is arcs of one circle, once round.
fn circle(path: &Path) -> Option<(Vec2, f64)> {
    let first = path.segs.first()?;
    let (centre, radius) = (first.centre()?, first.radius());
    let near = 1e-3;
    let alike = path.segs.iter().all(|s| {
        s.bulge != 0.0
            && (s.bulge > 0.0) == (first.bulge > 0.0)
            && s.centre().is_some_and(|c| (c - centre).length() < near)
            && (s.radius() - radius).abs() < near
    });
    let turn: f64 = path.segs.iter().map(|s| s.sweep().abs()).sum();
    if !alike || (turn - crate::num::TAU).abs() > 1e-3 {
        return None;
    }
    // The middle of its bounds evens out the rounding of its points.
    let (lo, hi) = path.bounds()?;
    let size = hi - lo;
    ((size.x - size.y).abs() < near).then_some(((lo + hi) * 0.5, 0.25 * (size.x + size.y)))
}

/// A chain in place, its points rounded, its arcs no longer than a quarter turn, without segments that vanish.
pub(super) fn laid(path: &Path, motion: &Motion) -> Path {
    let place = |p: Vec2| {
        let q = motion.apply(p);
        Vec2::new(rounded(q.x), rounded(q.y))
    };
    let mut segs = Vec::with_capacity(path.segs.len());
    for s in &path.segs {
        let quarters = (s.sweep().abs() / (crate::num::FRAC_PI_2 + 1e-6)).ceil().clamp(1.0, 4.0);
        let turned = if motion.mirror { -s.sweep() } else { s.sweep() };
        let bulge = if s.bulge == 0.0 { 0.0 } else { crate::num::tan(turned / quarters / 4.0) };
        let mut a = place(s.a);
        let mut i = 1.0;
        while i <= quarters {
            let b = place(if i < quarters { s.at(i / quarters) } else { s.b });
            if a != b {
                segs.push(Seg { a, b, bulge });
            }
            a = b;
            i += 1.0;
        }
    }
    Path { segs }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::samples;

    fn sheet(turn: f64) -> Sheet {
        let motion = Motion { mirror: false, turn, shift: Vec2::new(400.0, 400.0) };
        Sheet {
            stock: 0,
            number: 1,
            from: crate::sheet::Source::Whole(1),
            size: Vec2::splat(900.0),
            margin: 5.0,
            gap: 5.0,
            by_hand: None,
            placed: vec![Placed { piece: PieceId::new(1), motion }],
            used: 0.1,
        }
    }

    #[test]
    fn a_round_hole_is_a_circle_in_its_place() {
        let all = lines(&sheet(crate::num::FRAC_PI_2), &samples::pieces());
        let inner: Vec<&Line> = all.iter().filter(|l| l.operation == Operation::CutInner).collect();
        let [Line { form: Form::Circle { centre, radius }, .. }] = inner[..] else { panic!("one circle: {inner:?}") };
        assert_eq!((*centre, *radius), (Vec2::new(400.0, 405.0), 4.0));
    }

    #[test]
    fn lettering_never_stands_on_its_head() {
        let mut pieces = samples::pieces();
        let at = Vec2::new(3.0, 15.0);
        let stroke = Path::polyline(&[at, at + Vec2::new(10.0, 0.0)]);
        pieces.pieces[1].letters[0] = Letter { text: String::new(), at, tall: 5.0, turn: 0.0, strokes: vec![stroke] };
        for (turn, right) in [(0.0, true), (3.0, true), (-2.0, true), (1.5, true)] {
            let all = lines(&sheet(turn), &pieces);
            let letter = all.iter().find(|l| l.operation == Operation::Letter).expect("a letter");
            let Form::Open(path) = &letter.form else { panic!("a stroke") };
            let written = path.end().expect("an end") - path.start().expect("a start");
            assert_eq!(written.x > 0.0, right, "{turn}");
            let middle = Motion { mirror: false, turn, shift: Vec2::new(400.0, 400.0) }.apply(at);
            assert!((path.start().expect("a start") - middle).length() < 1e-3, "turned about its middle");
        }
    }

    #[test]
    fn lettering_on_a_mirrored_piece_reads_and_names_the_other_face() {
        let at = Vec2::new(3.0, 15.0);
        let mut pieces = samples::pieces();
        let strokes = lettering::centred("outside up, LEFT", 5.0, at, 0.3);
        let text = "outside up, LEFT".to_owned();
        pieces.pieces[1].letters[0] = Letter { text, at, tall: 5.0, turn: 0.3, strokes };
        let motion = Motion { mirror: true, turn: 0.0, shift: Vec2::new(100.0, 50.0) };
        let letters: Vec<Line> = laid_out(&[Placed { piece: PieceId::new(1), motion }], &pieces)
            .into_iter()
            .filter(|l| l.operation == Operation::Letter)
            .collect();
        // What a pen would write there: not mirrored, along the mirrored line of writing.
        let wished = lettering::centred("inside up, LEFT", 5.0, motion.apply(at), -0.3);
        assert_eq!(letters.len(), wished.len());
        for (line, path) in letters.iter().zip(&wished) {
            let Form::Open(drawn) = &line.form else { panic!("a stroke") };
            let (a, b) = (drawn.start().expect("a start"), path.start().expect("a start"));
            assert!((a - b).length() < 1e-3, "{a} {b}");
        }
    }

    #[test]
    fn a_title_ends_with_its_sheet() {
        let (lines, top) = title(&"bell ringer's mask, sheet 1 of 2 ".repeat(2), Vec2::new(300.0, 200.0));
        let right = lines.iter().filter_map(|l| match &l.form {
            Form::Open(p) => p.bounds().map(|b| b.1),
            _ => None,
        });
        let far = right.fold(Vec2::ZERO, Vec2::max);
        assert!(far.x <= 301.0 && far.y <= top && far.x > 200.0, "{far}");
    }

    #[test]
    fn arcs_turn_through_a_quarter_at_most_and_keep_their_length() {
        let arc = Path { segs: vec![Seg { a: Vec2::new(50.0, 0.0), b: Vec2::new(-50.0, 0.0), bulge: 1.0 }] };
        let laid = laid(&arc, &Motion { mirror: true, turn: 0.4, shift: Vec2::new(7.0, 9.0) });
        assert_eq!(laid.segs.len(), 2);
        assert!((laid.length() - arc.length()).abs() < 1e-3);
        assert!(laid.segs.iter().all(|s| s.bulge < 0.0), "a mirror turns it round");
    }
}
