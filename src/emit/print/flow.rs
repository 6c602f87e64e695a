//! Words and drawings going down one column, page after page.

use super::head;
use super::ink::{Leaf, Pen};
use crate::geom::{Vec2, lettering};
use crate::page::Frame;

/// Height of words, mm, and from line to line as a share of it.
pub(super) const TALL: f64 = 3.2;
const LEADING: f64 = 1.75;
/// From line to line at that height, mm.
pub(super) const LINE: f64 = TALL * LEADING;
/// How far the second line of a paragraph is set in.
const HANG: f64 = 5.0;

/// A place on a page of words.
pub(super) struct Flow<'a> {
    frame: Frame,
    begin: &'a dyn Fn(usize) -> Leaf,
    pub pages: Vec<Leaf>,
    /// The top of what comes next.
    pub y: f64,
}

impl<'a> Flow<'a> {
    /// `begin` gives an empty page by its index.
    pub(super) fn new(frame: Frame, begin: &'a dyn Fn(usize) -> Leaf) -> Self {
        let mut flow = Self { frame, begin, pages: Vec::new(), y: 0.0 };
        flow.turn();
        flow
    }

    fn turn(&mut self) {
        self.pages.push((self.begin)(self.pages.len()));
        self.y = self.frame.window().1.y - 2.0;
    }

    /// Left side and width of the column.
    pub(super) fn column(&self) -> (f64, f64) {
        let (lo, hi) = self.frame.window();
        (lo.x + 2.0, hi.x - lo.x - 2.0)
    }

    /// Begins a page when less than this is left; what is taller than a page begins one too.
    pub(super) fn need(&mut self, tall: f64) {
        let (lo, hi) = self.frame.window();
        if self.y - tall < lo.y && self.y < hi.y - 2.5 {
            self.turn();
        }
    }

    pub(super) fn leaf(&mut self) -> &mut Leaf {
        self.pages.last_mut().expect("a flow begins with a page")
    }

    /// A paragraph, its later lines set in.
    pub(super) fn words(&mut self, pen: Pen, tall: f64, indent: f64, text: &str) {
        let (x, wide) = self.column();
        for (i, line) in wrapped(text, tall, wide - indent - HANG).iter().enumerate() {
            self.need(tall * LEADING);
            let at = Vec2::new(x + indent + if i == 0 { 0.0 } else { HANG }, self.y - tall);
            self.leaf().words(pen, at, tall, line);
            self.y -= tall * LEADING;
        }
    }

    pub(super) fn gap(&mut self, tall: f64) {
        self.y -= tall;
    }

    /// A heading, on one page with what follows it: so much of that at least.
    pub(super) fn heading(&mut self, text: &str, follows: f64) {
        self.gap(2.5);
        self.need(10.0 + follows);
        self.words(Pen::Bold, 4.0, 0.0, text);
        self.gap(0.8);
    }
}

/// `text` in lines no longer than `room`, broken at blanks, and within a word that is longer than a line.
pub(super) fn wrapped(text: &str, tall: f64, room: f64) -> Vec<String> {
    let blank = lettering::width(" ", tall);
    let mut lines: Vec<(String, f64)> = Vec::new();
    for word in unbroken(text) {
        let word = lettering::drawable(&word);
        let wide = lettering::width(&word, tall);
        match lines.last_mut() {
            Some((line, long)) if *long + blank + wide <= room => {
                line.push(' ');
                line.push_str(&word);
                *long += blank + wide;
            }
            _ if wide <= room => lines.push((word, wide)),
            _ => {
                let mut part = (String::new(), 0.0);
                for c in word.chars() {
                    let w = lettering::width(c.encode_utf8(&mut [0; 4]), tall);
                    if part.1 + w > room && !part.0.is_empty() {
                        lines.push(core::mem::take(&mut part));
                    }
                    part.0.push(c);
                    part.1 += w;
                }
                lines.push(part);
            }
        }
    }
    lines.into_iter().map(|l| l.0).collect()
}

/// The words of a text; a unit or a fraction stays with the figure before it.
fn unbroken(text: &str) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    for word in text.split(' ').filter(|w| !w.is_empty()) {
        let figure = |w: &str| w.ends_with(|c: char| c.is_ascii_digit());
        let unit = word.starts_with("mm") || word.trim_end_matches([',', ';', '.', ':']) == "in" || word.contains('/');
        match words.last_mut() {
            Some(last) if unit && figure(last) => {
                last.push('\u{a0}');
                last.push_str(word);
            }
            _ => words.push(word.to_owned()),
        }
    }
    words
}

/// The least words may be.
const _: () = assert!(TALL >= head::LEAST);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_figure_is_not_broken_from_its_unit() {
        assert_eq!(unbroken("long 12 3/4 in, or 5 mm"), ["long", "12\u{a0}3/4\u{a0}in,", "or", "5\u{a0}mm"]);
    }

    #[test]
    fn lines_are_no_longer_than_their_room() {
        let text = format!("seam right side meets {}, 385.5 mm", "w".repeat(90));
        let lines = wrapped(&text, TALL, 60.0);
        assert!(lines.len() > 3 && lines.iter().all(|l| lettering::width(l, TALL) <= 60.0 + 1e-9), "{lines:?}");
        assert_eq!(lines.concat().replace(' ', ""), text.replace(' ', ""));
    }
}
