//! What is written on a piece: its name, how many of what, which face and end is up, its hand, the letters of its
//! joints beside the edges, bevels along the bevelled edges, names of holes, arrows. Works on the rounded piece.
//!
//! Lettering shrinks before it leaves the piece; where not even the name fits, the piece carries its number, and
//! where that does not fit, nothing: whoever lays it out writes beside it.

use super::room::{Line, Patch, Room, Way, readable, upright};
use super::round;
use crate::geom::path::{Path, Seg};
use crate::geom::{Vec2, left_of, lettering, unit};
use crate::piece::{self, About, Letter, Mark, Operation, Piece, Run};
use crate::solid::EdgeName;

/// Lettering on foam, mm, where there is room for it.
const WISHED: f64 = 6.0;
/// The least lettering that is written, mm.
const LEAST: f64 = 3.0;
/// Smaller only where a piece would have no name otherwise, or no number, mm: two of the standard's nominal sizes (ISO
/// 3098-1:2015, table 1: 1.8, 2.5, 3.5 ...).
const FINE: [f64; 2] = [2.5, 1.8];
/// Heights that are read close to the piece, mm.
const SMALL: [f64; 3] = [5.0, 4.0, LEAST];
/// Blank between a hole and its number, mm.
const NUMBER: f64 = 1.2;
/// Blank between lines, as a share of the height.
const LEADING: f64 = 0.6;

/// What the label says besides the name.
#[derive(Debug)]
pub(super) struct Words {
    /// Under the name, a line each.
    pub lines: Vec<String>,
    /// Beside the arrow: "up", of a ring of a bent wall the next one it leads to, or "front" on a plate.
    pub arrow: String,
}

/// Letters `piece` in place; `spine` are lines up it, side by side.
pub(super) fn letter(piece: &mut Piece, words: &Words, spine: &[Line]) {
    let contour = Path { segs: piece.contour.iter().flat_map(|r| r.path.segs.iter().copied()).collect() };
    let holes: Vec<Path> = piece.holes.iter().map(|h| h.outline.clone()).collect();
    let marks: Vec<&Path> = piece.marks.iter().map(|m| &m.path).collect();
    let mut writer =
        Writer { room: Room::new(contour, holes, &marks, piece.up, spine), letters: Vec::new(), marks: Vec::new() };
    // Numbers have one place each; all else may stand elsewhere.
    for hole in &piece.holes {
        if let Some(number) = hole.number {
            writer.number(&number.to_string(), &hole.outline, piece.up);
        }
    }
    for note in &piece.edges {
        if let Some(letter) = &note.letter {
            writer.beside(piece, note.edge, letter, &[WISHED, 5.0, 4.0, LEAST]);
        }
    }
    let main = writer.name(piece, words);
    writer.arrow(words, main);
    for (i, note) in piece.edges.iter().enumerate() {
        // Of an edge with two joints once.
        let said = piece.edges[..i].iter().any(|n| n.edge == note.edge);
        if (note.bevel.contains("long") || note.bevel.contains("both faces")) && !said {
            writer.beside(piece, note.edge, &note.bevel, &[5.0, 4.0, LEAST]);
        }
    }
    if let Some(line) = seam_line(piece) {
        writer.along(&line.reversed(), "glue", &SMALL);
    }
    for hole in &piece.holes {
        if hole.number.is_none() {
            writer.hole(&hole.name, &hole.outline, piece.up);
        }
    }
    for place in &piece.places {
        writer.place(piece, place);
    }
    for trace in &piece.traces {
        writer.trace(piece, trace);
    }
    if let Some(grain) = piece.grain {
        writer.grain(grain);
    }
    piece.letters = writer.letters;
    piece.marks.extend(writer.marks);
}

struct Writer {
    room: Room,
    letters: Vec<Letter>,
    marks: Vec<Mark>,
}

impl Writer {
    fn write(&mut self, text: &str, tall: f64, at: Vec2, turn: f64) {
        let at = round::point(at);
        let placed = lettering::centred(text, tall, at, turn);
        let strokes = placed.iter().map(round::path).filter(|s| !s.is_empty()).collect();
        self.letters.push(Letter { text: lettering::drawable(text), at, tall, turn, strokes });
    }

    /// Writes beside an edge, on the piece's side of it.
    fn beside(&mut self, piece: &Piece, edge: EdgeName, text: &str, sizes: &[f64]) {
        let cut = edge == EdgeName::Cut;
        // The cut between halves is one straight line of no edge and no turn.
        let between =
            |r: &&Run| r.edge.is_none() && r.turn.is_none() && matches!(r.path.segs.as_slice(), [s] if s.bulge == 0.0);
        let runs = piece.contour.iter().filter(|r| r.edge == Some(edge) || (cut && between(r)));
        let back = piece.from_flat.mirror;
        // One that is folded over is named along its fold, which is walked as the contour is.
        let fold = |m: &&Mark| m.operation == Operation::Fold && m.about == About::Turn(edge);
        let folds = piece.marks.iter().filter(fold).map(|m| if back { m.path.reversed() } else { m.path.clone() });
        let lines = runs.map(|r| r.path.clone()).chain(folds);
        let longest = lines.max_by(|a, b| a.length().total_cmp(&b.length()));
        match (&longest, edge, seam_line(piece)) {
            // A side with a lap or tabs is named along its seam line.
            (_, EdgeName::End, Some(line)) => self.along(&line, text, sizes),
            (Some(path), ..) => self.along(path, text, sizes),
            _ => false,
        };
    }

    /// The first of `sizes` and places to the left of the line at which the text lies free; whether there is one.
    fn along(&mut self, line: &Path, text: &str, sizes: &[f64]) -> bool {
        for &tall in sizes {
            let half = patch_of(text, tall);
            for away in [1.5, 4.0, 7.0, 11.0] {
                for share in [0.5, 0.44, 0.56, 0.38, 0.62, 0.3, 0.7, 0.22, 0.78, 0.15, 0.85] {
                    let Some((at, way)) = line.at_length(line.length() * share) else { continue };
                    let inward = left_of(way);
                    let turn = readable(upright(inward));
                    let patch = Patch { at: at + inward * (half.y + away), half, turn };
                    if self.room.free(patch) {
                        self.room.take(patch);
                        self.write(text, tall, patch.at, turn);
                        return true;
                    }
                }
            }
        }
        false
    }

    /// The name with its lines, as large as there is room; else the name; else the number; else nothing.
    fn name(&mut self, piece: &Piece, words: &Words) -> Option<Patch> {
        let full: Vec<&str> =
            core::iter::once(piece.name.as_str()).chain(words.lines.iter().map(String::as_str)).collect();
        let number = piece.number.to_string();
        let sub = |tall: f64| (tall * 0.6).max(LEAST);
        let large: &[f64] = &[16.0, 13.0, 10.0, 8.0];
        // Upright before turned, unless that costs a size that can be read from the bench.
        let tries: [(&[&str], &[f64]); 6] = [
            (&full, large),
            (&full, &[WISHED]),
            (&full[..1], &[10.0, 8.0, WISHED]),
            (&full, &SMALL),
            (&full[..1], &SMALL),
            (&full[..1], &FINE[..1]),
        ];
        for (lines, sizes) in tries {
            for way in [Way::Upright, Way::Quarter] {
                for &tall in sizes {
                    if let Some(patch) = self.block(lines, tall, sub(tall), way) {
                        return Some(patch);
                    }
                }
            }
        }
        for tall in [10.0, 8.0, WISHED, 5.0, 4.0, LEAST].into_iter().chain(FINE) {
            for way in [Way::Upright, Way::Quarter] {
                if let Some(patch) = self.block(&[&number], tall, tall, way) {
                    return Some(patch);
                }
            }
        }
        None
    }

    /// Lines of writing under each other, the first `tall`, the others `sub` high.
    fn block(&mut self, lines: &[&str], tall: f64, sub: f64, way: Way) -> Option<Patch> {
        let height = |i: usize| if i == 0 { tall } else { sub };
        let wide = (0..lines.len()).map(|i| lettering::width(lines[i], height(i))).fold(0.0, f64::max);
        let row = |i: usize| height(i) * (1.0 + LEADING);
        // A number alone has no tails.
        let tails = lines.iter().any(|l| !l.bytes().all(|b| b.is_ascii_digit()));
        let deep: f64 = if tails { (0..lines.len()).map(row).sum() } else { height(0) };
        let (patch, _) = self.room.find(Vec2::new(wide * 0.5, deep * 0.5), None, way)?;
        self.room.take(patch);
        let down = -left_of(unit(patch.turn));
        let mut y = -0.5 * deep;
        for (i, line) in lines.iter().enumerate() {
            let row = if tails { row(i) } else { deep };
            self.write(line, height(i), patch.at + down * (y + row * 0.5), patch.turn);
            y += row;
        }
        Some(patch)
    }

    /// An arrow to the prop's upper end, its word beside it.
    fn arrow(&mut self, words: &Words, main: Option<Patch>) {
        for long in [24.0_f64, 18.0, 12.0, 8.0] {
            let tall = (long * 0.35).clamp(LEAST, WISHED);
            let text = lettering::width(&words.arrow, tall);
            let head = long * 0.3;
            let half = Vec2::new((head + 1.5 + text) * 0.5, long * 0.5);
            let shaft = |patch: Patch| patch.at - unit(patch.turn) * (half.x - head * 0.5);
            let fits = |patch: Patch, over: Vec2| self.room.is_up(over, shaft(patch));
            let found = self.room.find_where(half, main.map(|m| m.at), Way::Upright, fits);
            let Some((patch, over)) = found else { continue };
            let (up, right) = (left_of(unit(patch.turn)), unit(patch.turn));
            // A readable turn may have turned the patch on its head: the arrow still points up.
            let way = if up.dot(over) < 0.0 { -1.0 } else { 1.0 };
            self.room.take(patch);
            let foot = shaft(patch) - up * (half.y * way);
            let tip = foot + up * (long * way);
            let wing = |side: f64| tip - up * (head * way) + right * (head * 0.5 * side);
            self.stroke(&[foot, tip]);
            self.stroke(&[wing(-1.0), tip, wing(1.0)]);
            self.write(&words.arrow, tall, patch.at + right * (half.x - text * 0.5), patch.turn);
            return;
        }
    }

    fn hole(&mut self, name: &str, outline: &Path, up: Vec2) {
        let Some((lo, hi)) = outline.bounds() else { return };
        let (middle, reach) = ((lo + hi) * 0.5, (hi - lo) * 0.5);
        let turn = readable(upright(up));
        for tall in [5.0, 4.0, LEAST] {
            let half = patch_of(name, tall);
            // Patches may be turned against the axes: stand off by the larger reach.
            let off = reach.max_element() + half.y + 2.0;
            let side = reach.max_element() + half.x + 2.0;
            let (u, v) = (unit(turn), left_of(unit(turn)));
            for at in [middle - v * off, middle + v * off, middle + u * side, middle - u * side] {
                let patch = Patch { at, half, turn };
                if self.room.free(patch) {
                    self.room.take(patch);
                    self.write(name, tall, at, turn);
                    return;
                }
            }
        }
    }

    /// The number of a hole of a row, close beside it: on the side that has the most room, so that all of a row stand
    /// alike; small, and clear of all lines.
    fn number(&mut self, number: &str, outline: &Path, up: Vec2) {
        let Some((lo, hi)) = outline.bounds() else { return };
        let (middle, reach) = ((lo + hi) * 0.5, 0.5 * (hi - lo).max_element());
        let turn = readable(upright(up));
        for tall in [4.0, LEAST] {
            let half = patch_of(number, tall);
            let (u, v) = (unit(turn), left_of(unit(turn)));
            let (aside, off) = (u * (reach + half.x + NUMBER), v * (reach + half.y + NUMBER));
            let places = [middle + aside, middle - aside, middle - off, middle + off];
            let mut places = places.map(|at| (self.room.inland(at), at));
            places.sort_by(|a, b| b.0.total_cmp(&a.0));
            for (_, at) in places {
                let patch = Patch { at, half, turn };
                if self.room.free(patch) {
                    self.room.take(patch);
                    self.write(number, tall, at, turn);
                    return;
                }
            }
        }
    }

    /// The name of what is fitted, inside its outline or beside it; where there is no room, its number in the key.
    fn place(&mut self, piece: &Piece, place: &piece::Place) {
        let own = piece.marks.iter().filter(|m| m.about == About::Place(place.spot));
        // Of two stretches on either side of a seam the larger first; of crosses any.
        let mut parts: Vec<(Vec2, Vec2)> = own.filter_map(|m| m.path.bounds()).collect();
        let size = |b: &(Vec2, Vec2)| (b.1 - b.0).element_product();
        parts.sort_by(|a, b| size(b).total_cmp(&size(a)));
        let turn = readable(upright(piece.up));
        let (u, v) = (unit(turn), left_of(unit(turn)));
        let number = format!("P{}", place.number);
        let name = place_words(place);
        for (text, tall) in [name.as_str(), &number].iter().flat_map(|t| SMALL.map(|tall| (*t, tall))) {
            let half = patch_of(text, tall);
            for &(lo, hi) in &parts {
                let (middle, reach) = ((lo + hi) * 0.5, (hi - lo) * 0.5);
                // The writing's own box, and the place's, along its directions.
                let off = reach.x * v.x.abs() + reach.y * v.y.abs() + half.y + 1.5;
                let side = reach.x * u.x.abs() + reach.y * u.y.abs() + half.x + 1.5;
                let quarter = readable(turn + crate::num::FRAC_PI_2);
                let tries = [
                    (middle, turn),
                    (middle, quarter),
                    (middle - v * off, turn),
                    (middle + v * off, turn),
                    (middle + u * side, turn),
                    (middle - u * side, turn),
                ];
                for (at, turn) in tries {
                    let patch = Patch { at, half, turn };
                    if self.room.free(patch) {
                        self.room.take(patch);
                        self.write(text, tall, at, turn);
                        return;
                    }
                }
            }
        }
    }

    /// The name of a mark along it, on either side; where there is no room, its number in the key.
    fn trace(&mut self, piece: &Piece, trace: &piece::Trace) {
        let own = piece.marks.iter().filter(|m| m.about == About::Trace(trace.trace)).map(|m| &m.path);
        // Pricks are too short to write along: the name stands beside the middle one.
        let mut lines: Vec<&Path> = own.collect();
        if trace.hidden {
            let middle = lines.len() / 2;
            lines = lines.into_iter().skip(middle).take(1).collect();
        }
        lines.sort_by(|a, b| b.length().total_cmp(&a.length()));
        let number = format!("M{}", trace.number);
        for text in [trace_words(trace).as_str(), &number] {
            for line in lines.iter().take(3) {
                for way in [(*line).clone(), line.reversed()] {
                    if self.along(&way, text, &SMALL) {
                        return;
                    }
                }
            }
        }
    }

    /// A double arrow along the grain.
    fn grain(&mut self, grain: Vec2) {
        for long in [50.0_f64, 35.0, 25.0, 15.0, 10.0] {
            let head = (long * 0.12).max(1.5);
            let half = Vec2::new(long * 0.5, head * 0.6);
            let turn = crate::num::atan2(grain.y, grain.x);
            let Some((patch, _)) = self.room.find(half, None, Way::Turned(turn)) else { continue };
            self.room.take(patch);
            let (u, v) = (unit(turn), left_of(unit(turn)));
            let (a, b) = (patch.at - u * half.x, patch.at + u * half.x);
            self.stroke(&[a, b]);
            for (tip, way) in [(a, 1.0), (b, -1.0)] {
                let back = tip + u * (head * way);
                self.stroke(&[back + v * (head * 0.5), tip, back - v * (head * 0.5)]);
            }
            return;
        }
    }

    fn stroke(&mut self, points: &[Vec2]) {
        let path = round::path(&Path { segs: points.windows(2).map(|w| Seg::line(w[0], w[1])).collect() });
        if !path.is_empty() {
            self.marks.push(Mark { operation: Operation::Letter, path, about: About::Lettering });
        }
    }
}

/// The line at which a lap begins, or the middle one of the tabs, with the piece to its left.
fn seam_line(piece: &Piece) -> Option<Path> {
    let lines: Vec<&Path> = piece.marks.iter().filter(|m| m.about == About::Lap).map(|m| &m.path).collect();
    let line = *lines.get(lines.len() / 2)?;
    Some(if piece.from_flat.mirror { line.reversed() } else { line.clone() })
}

/// What is written by a place.
fn place_words(place: &piece::Place) -> String {
    if place.hidden { format!("{}, other face", place.name) } else { place.name.clone() }
}

/// What is written by a mark.
fn trace_words(trace: &piece::Trace) -> String {
    if trace.hidden { format!("{}, other face", trace.name) } else { trace.name.clone() }
}

/// Half lengths of a line of writing; strokes of letters with tails reach a third of the height below the line.
fn patch_of(text: &str, tall: f64) -> Vec2 {
    Vec2::new(lettering::width(text, tall) * 0.5, tall * 0.85)
}
