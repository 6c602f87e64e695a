//! Single-stroke lettering: what a pen or a laser writes. The strokes are those of the NewStroke font (CC0), read
//! through the crate `vector-text-newstroke`; nothing else names it.
//!
//! Frame: the writing starts at the origin and runs along x, the base line is y = 0, capitals end at the height that
//! was asked for. Letters the font has not (and all from U+27FF on, where the crate's table ends) are written in the
//! nearest ASCII that is known here, or as `?`, so that nothing is dropped without a trace. It does not place text.

use super::Vec2;
use super::path::{Motion, Path};
use vector_text_core::{Point, Renderer};
use vector_text_newstroke::NewstrokeRenderer;

/// First code point past the crate's table.
const TABLE_END: u32 = 0x27FF;
/// Longest text that is drawn, in letters: a label, not a page.
const LONGEST: usize = 400;

/// The letters of `text` that can be drawn: others replaced, control characters left out.
#[must_use]
pub fn drawable(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars().take(LONGEST) {
        match c {
            '\n' | '\r' | '\t' => out.push(' '),
            c if c.is_control() => {}
            c if known(c) => out.push(c),
            _ => out.push_str(ascii(c)),
        }
    }
    out
}

/// Strokes of `text` with capitals `tall` high.
#[must_use]
pub fn strokes(text: &str, tall: f64) -> Vec<Path> {
    let (base, unit) = scale(tall);
    let mut pen_x = 0.0;
    let mut paths = Vec::new();
    let mut line: Vec<Vec2> = Vec::new();
    for c in drawable(text).chars() {
        for p in glyph(c) {
            let at = Vec2::new(pen_x + f64::from(p.x) * unit, (base - f64::from(p.y)) * unit);
            if !p.pen {
                finish_line(&mut line, &mut paths);
            }
            line.push(at);
        }
        finish_line(&mut line, &mut paths);
        pen_x += advance(c) * unit;
    }
    paths
}

/// How long `text` is written, from the first letter's left bound to the last one's right bound.
#[must_use]
pub fn width(text: &str, tall: f64) -> f64 {
    let (_, unit) = scale(tall);
    drawable(text).chars().map(|c| advance(c) * unit).sum()
}

/// Strokes of `text` with the middle of its line (half its width, half a capital's height) at `at`, written along
/// the direction `turn`.
#[must_use]
pub fn centred(text: &str, tall: f64, at: Vec2, turn: f64) -> Vec<Path> {
    let middle = Vec2::new(width(text, tall) * 0.5, tall * 0.5);
    let spin = Motion { mirror: false, turn, shift: Vec2::ZERO };
    let place = Motion { shift: at - spin.apply(middle), ..spin };
    strokes(text, tall).iter().map(|s| s.moved(&place)).collect()
}

fn finish_line(line: &mut Vec<Vec2>, paths: &mut Vec<Path>) {
    if line.len() > 1 {
        paths.push(Path::polyline(line));
    }
    line.clear();
}

/// One letter alone: the crate adds up positions in 16 bits, so long texts are never given to it whole.
fn glyph(c: char) -> Vec<Point> {
    let mut buffer = [0u8; 4];
    NewstrokeRenderer::render_text(c.encode_utf8(&mut buffer), ())
}

fn known(c: char) -> bool {
    // All of ASCII has strokes (a test looks).
    u32::from(c) < TABLE_END && (matches!(c, ' '..='~') || !glyph(c).is_empty())
}

/// How far a letter moves the next one, in font units: where an `I` stands behind it, less where it stands alone.
fn advance(c: char) -> f64 {
    let x = |text: &str| NewstrokeRenderer::render_text(text, ()).last().map_or(0.0, |p| f64::from(p.x));
    let behind: String = [c, 'I'].into_iter().collect();
    x(&behind) - x("I")
}

/// The base line in font units (y runs down there) and millimetres a unit, from the letter `H`.
fn scale(tall: f64) -> (f64, f64) {
    let ys = || glyph('H').into_iter().map(|p| f64::from(p.y));
    let (top, base) = (ys().fold(f64::INFINITY, f64::min), ys().fold(f64::NEG_INFINITY, f64::max));
    (base, tall / (base - top))
}

/// The nearest ASCII of letters that word processors put in.
fn ascii(c: char) -> &'static str {
    match c {
        '\u{2010}'..='\u{2015}' | '\u{2212}' => "-",
        '\u{2018}' | '\u{2019}' | '\u{2032}' => "'",
        '\u{201c}' | '\u{201d}' | '\u{2033}' => "\"",
        '\u{2026}' => "...",
        '\u{00a0}' | '\u{2000}'..='\u{200a}' | '\u{202f}' | '\u{3000}' => " ",
        '\u{00d7}' => "x",
        '\u{fb01}' => "fi",
        '\u{fb02}' => "fl",
        _ => "?",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn capitals_stand_on_the_base_line_and_have_the_height_asked_for() {
        for c in ["H", "E", "I"] {
            let all = Path { segs: strokes(c, 6.0).into_iter().flat_map(|p| p.segs).collect() };
            let (lo, hi) = all.bounds().expect("strokes");
            assert!(lo.y.abs() < 1e-9 && (hi.y - 6.0).abs() < 1e-9, "{c}: {lo} {hi}");
        }
    }

    #[test]
    fn strokes_stay_within_the_width() {
        let text = "body layer 1 inside 12° – 3";
        let w = width(text, 10.0);
        for p in strokes(text, 10.0) {
            let (lo, hi) = p.bounds().expect("strokes");
            assert!(lo.x > -1.0 && hi.x < w + 1.0);
        }
        assert!(w > 100.0 && w < 400.0);
    }

    #[test]
    fn letters_beyond_the_table_do_not_panic_and_leave_a_trace() {
        for code in (0..0x2900).chain([0x1F600, 0x10_FFFF]) {
            if let Some(c) = char::from_u32(code) {
                let _ = strokes(&c.to_string(), 5.0);
            }
        }
        assert_eq!(drawable("a\u{1F600}b\nc\u{7}"), "a?b c");
        assert_eq!(drawable("12° ± é ж"), "12° ± é ж");
        let _ = strokes(&"W".repeat(5000), 5.0);
    }

    #[test]
    fn all_of_ascii_has_strokes() {
        assert!(('!'..='~').all(|c| !glyph(c).is_empty()));
    }

    #[test]
    fn centred_text_has_its_middle_there() {
        let at = Vec2::new(20.0, -7.0);
        let all = Path { segs: centred("H", 8.0, at, 0.0).into_iter().flat_map(|p| p.segs).collect() };
        let (lo, hi) = all.bounds().expect("strokes");
        assert!(((lo + hi) * 0.5 - at).length() < 0.5);
    }
}
