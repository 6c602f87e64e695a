//! What stands at the head and at the left of every page: the title, what the page is, two bars at right angles and a
//! square to measure before anything is cut.

use super::Set;
use super::ink::{Leaf, Pen};
use crate::emit::number::{INCH, length};
use crate::geom::{Vec2, lettering};
use crate::num;
use crate::page::Frame;
use crate::solid::{Job, Show};

/// Height of words, mm: the title's, the second line's, and the least on paper.
const TITLE: f64 = 4.2;
const SECOND: f64 = 3.4;
pub(super) const LEAST: f64 = 3.0;
/// From the top of a line's capitals to the next line's.
const LINES: [f64; 5] = [0.0, 6.6, 12.0, 16.9, 21.8];
/// The bars' corner, from the left of what is printed and up from the window.
const CORNER: Vec2 = Vec2::new(5.5, 3.6);
/// Half of a bar's end ticks.
const TICK: f64 = 1.8;
/// Room for a map of the pages, and between it and the square.
const MAP: Vec2 = Vec2::new(38.0, 21.0);
const BETWEEN: f64 = 4.0;
/// How far words stand from a bar's end, and what they take at most.
const LABEL: f64 = 2.5;
const LABEL_LONG: f64 = 16.0;

/// The two bars and the square, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Rule {
    pub bar: f64,
    pub square: f64,
}

/// The longest bars that fit a paper both ways: 100 mm or 4 in on all but small ones.
pub(super) fn rule(set: &Set<'_>) -> Rule {
    let (bars, square) = match set.solid.job.show {
        Show::Millimetres => ([100.0, 50.0, 20.0], 20.0),
        Show::Inches => ([4.0 * INCH, 2.0 * INCH, INCH], 0.75 * INCH),
    };
    let room = Frame::ways(&set.pages.paper).iter().fold(f64::INFINITY, |room, frame| {
        let (lo, hi) = frame.printed();
        let beside = if frame.stacked() { 0.0 } else { taken(square) };
        let across = hi.x - lo.x - beside - CORNER.x - LABEL - LABEL_LONG;
        room.min(across).min(frame.shown().y + CORNER.y - TICK)
    });
    Rule { bar: bars.into_iter().find(|b| *b <= room).unwrap_or(bars[2]), square }
}

/// What map and square take at the right of a wide page.
fn taken(square: f64) -> f64 {
    MAP.x + BETWEEN + square + BETWEEN
}

/// Draws the head; gives the corners of the place for a map.
pub(super) fn head(leaf: &mut Leaf, set: &Set<'_>, frame: &Frame, lines: &[String; 3]) -> (Vec2, Vec2) {
    let (lo, hi) = frame.printed();
    let rule = rule(set);
    let wide = hi.x - lo.x;
    // The foot of capitals and of letters that hang below them keeps to the page.
    let top = hi.y - 0.3;
    let room = if frame.stacked() { wide } else { wide - taken(rule.square) };
    let title = title(&set.solid.job);
    let heights = [TITLE, SECOND, LEAST, LEAST, LEAST];
    let mut texts = vec![title];
    texts.extend(lines.iter().cloned());
    // What to do with the bars stands beside them where there is room.
    if frame.stacked() {
        texts.push("Measure before you cut.".to_owned());
    }
    for (i, text) in texts.iter().enumerate() {
        let (tall, text) = fitted(text, heights[i], room);
        let pen = if i < 2 { Pen::Bold } else { Pen::Words };
        leaf.words(pen, Vec2::new(lo.x + 0.3, top - LINES[i] - tall), tall, &text);
    }
    let corner = frame.window().1.y;
    let corner = Vec2::new(lo.x + CORNER.x, corner + CORNER.y);
    let words = length(rule.bar, set.solid.job.show);
    let ends = [corner + Vec2::X * rule.bar, corner - Vec2::Y * rule.bar];
    for (end, across) in [(ends[0], Vec2::Y), (ends[1], Vec2::X)] {
        leaf.line(Pen::Measure, corner, end);
        for p in [corner, end] {
            leaf.line(Pen::Measure, p - across * TICK, p + across * TICK);
        }
    }
    let more = if frame.stacked() { "" } else { ": measure before you cut" };
    leaf.words(Pen::Words, ends[0] + Vec2::new(LABEL, -0.5 * LEAST), LEAST, &format!("{words}{more}"));
    let beside = Vec2::new(lo.x + 0.3 + 0.5 * LEAST, corner.y - 0.5 * rule.bar);
    leaf.centred(Pen::Words, beside, LEAST, num::FRAC_PI_2, &words, "");
    // Square and map: at the right of the words, or under them on narrow paper.
    let right = hi.x - 0.5;
    let (square, map) = if frame.stacked() {
        let foot = top - LINES[4] - LEAST - 2.5 - rule.square;
        // Clear of the words beside the bar.
        let map = (Vec2::new(right - MAP.x, foot + 2.5), Vec2::new(right, foot + rule.square));
        (Vec2::new(lo.x + CORNER.x, foot), map)
    } else {
        let map = (Vec2::new(right - MAP.x, top - MAP.y), Vec2::new(right, top));
        (Vec2::new(hi.x - taken(rule.square) + BETWEEN, top - rule.square), map)
    };
    leaf.rectangle(Pen::Measure, square, square + Vec2::splat(rule.square));
    let side = length(rule.square, set.solid.job.show);
    leaf.centred(Pen::Words, square + Vec2::splat(0.5 * rule.square), LEAST, 0.0, &side, "");
    map
}

/// A title in one line.
pub(super) fn title(job: &Job) -> String {
    lettering::drawable(&job.title)
}

/// Words made to fit: smaller first, then cut off.
fn fitted(text: &str, tall: f64, room: f64) -> (f64, String) {
    let text = lettering::drawable(text);
    let wide = lettering::width(&text, tall);
    if wide <= room {
        return (tall, text);
    }
    let smaller = tall * room / wide;
    if smaller >= LEAST {
        return (smaller, text);
    }
    let mut kept = String::new();
    let dots = lettering::width("...", LEAST);
    let mut long = 0.0;
    for c in text.chars() {
        long += lettering::width(c.encode_utf8(&mut [0; 4]), LEAST);
        if long + dots > room {
            break;
        }
        kept.push(c);
    }
    (LEAST, if kept.len() < text.len() { format!("{}...", kept.trim_end()) } else { text })
}

/// Who it is for, behind something else.
pub(super) fn whom(job: &Job) -> String {
    job.wearer.as_ref().map_or_else(String::new, |w| format!(", for {w}"))
}
