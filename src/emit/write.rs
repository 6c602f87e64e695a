//! What the SVG emitters share: path data, words that are safe in XML, and text of a known size. The crate `svg`
//! builds the document; every number is written by [`super::number`].

use svg::node::element::Text;

use super::lines::Form;
use super::number::{COORDINATE, RADIUS, fixed, mm, put};
use super::style::{Style, dashes};
use crate::geom::Vec2;
use crate::geom::path::Path;

/// Where a drawing with y up comes to lie on a page with y down.
#[derive(Clone, Copy, Debug)]
pub struct Onto {
    /// The page's point of the drawing's origin.
    pub origin: Vec2,
}

impl Onto {
    #[must_use]
    pub fn point(&self, p: Vec2) -> Vec2 {
        Vec2::new(self.origin.x + p.x, self.origin.y - p.y)
    }

    fn pair(&self, text: &mut String, p: Vec2) {
        let q = self.point(p);
        put(text, q.x, COORDINATE);
        text.push(' ');
        put(text, q.y, COORDINATE);
    }

    /// Path data. A turn to the left with y up is one to the left on the page, which SVG calls sweep 0.
    #[must_use]
    pub fn data(&self, form: &Form) -> String {
        let mut d = String::new();
        match form {
            Form::Open(path) => self.chain(&mut d, path),
            Form::Closed(path) => {
                self.chain(&mut d, path);
                d.push_str(" Z");
            }
            Form::Circle { centre, radius } => {
                let (a, b) = (*centre + Vec2::X * *radius, *centre - Vec2::X * *radius);
                let r = fixed(*radius, RADIUS);
                d.push('M');
                self.pair(&mut d, a);
                for p in [b, a] {
                    d.push_str(&format!(" A{r} {r} 0 0 0 "));
                    self.pair(&mut d, p);
                }
                d.push_str(" Z");
            }
        }
        d
    }

    fn chain(&self, d: &mut String, path: &Path) {
        if let Some(p) = path.start() {
            d.push('M');
            self.pair(d, p);
        }
        for s in &path.segs {
            if s.bulge == 0.0 {
                d.push_str(" L");
            } else {
                d.push_str(" A");
                let from = d.len();
                put(d, s.radius(), RADIUS);
                let r = from..d.len();
                d.push(' ');
                d.extend_from_within(r);
                d.push_str(if s.bulge.abs() > 1.0 { " 0 1" } else { " 0 0" });
                d.push_str(if s.bulge < 0.0 { " 1 " } else { " 0 " });
            }
            self.pair(d, s.b);
        }
    }
}

/// `stroke-dasharray` of a style.
#[must_use]
pub fn dash_array(style: &Style) -> Option<String> {
    let dashes = dashes(style);
    (!dashes.is_empty()).then(|| dashes.iter().map(|d| mm(*d)).collect::<Vec<_>>().join(" "))
}

/// Words of a maker made fit for one line of XML: escapes shown, no breaks, no characters that XML forbids.
#[must_use]
pub fn clean(text: &str) -> String {
    crate::diag::shown(text)
        .chars()
        .map(|c| match c {
            '\n' | '\t' => ' ',
            '\u{fffe}' | '\u{ffff}' => '\u{fffd}',
            c => c,
        })
        .collect()
}

/// How wide a line of text comes out at most, mm: sans-serif letters are on average 0.55 of the size wide (measured on
/// common faces; no source).
#[must_use]
#[expect(clippy::cast_precision_loss, reason = "a line of text is short")]
pub fn wide(text: &str, size: f64) -> f64 {
    text.chars().count() as f64 * size * 0.55
}

/// Text of `size` mm, its baseline beginning at `at` (page coordinates).
#[must_use]
pub fn text(at: Vec2, size: f64, words: &str) -> Text {
    Text::new(clean(words)).set("x", mm(at.x)).set("y", mm(at.y)).set("font-size", mm(size))
}

/// `words` in lines no wider than `room`, broken at blanks.
#[must_use]
pub fn wrapped(words: &str, size: f64, room: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    // A no-break space holds.
    for word in words.split(|c: char| c.is_whitespace() && c != '\u{a0}').filter(|w| !w.is_empty()) {
        match lines.last_mut() {
            Some(line) if wide(line, size) + wide(word, size) + size * 0.55 <= room => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::path::Seg;

    #[test]
    fn a_left_turn_stays_a_left_turn_on_the_page() {
        let quarter =
            Path { segs: vec![Seg { a: Vec2::new(10.0, 0.0), b: Vec2::new(0.0, 10.0), bulge: 0.414_213_562_373_095 }] };
        let d = Onto { origin: Vec2::new(0.0, 100.0) }.data(&Form::Open(quarter));
        assert_eq!(d, "M10 100 A10 10 0 0 0 0 90");
    }

    #[test]
    fn words_cannot_break_the_file() {
        assert_eq!(clean("bell\u{7} and\nline"), "bell\\u{7} and line");
        assert!(!clean("a\u{202e}b\u{ffff}").contains(['\u{202e}', '\u{ffff}']));
    }

    #[test]
    fn lines_are_broken_at_blanks() {
        assert_eq!(wrapped("one two three", 2.0, 9.0), ["one two", "three"]);
    }
}
