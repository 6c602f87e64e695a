//! A source text with everything that is not plainly visible written out, and the way from its own bytes to the
//! bytes shown.

use std::borrow::Cow;

use crate::diag::shown;

/// A text as shown.
pub struct Escaped<'a> {
    pub text: Cow<'a, str>,
    /// (byte in the source, byte as shown) behind every character that was written out; empty when none was.
    steps: Vec<(usize, usize)>,
}

impl<'a> Escaped<'a> {
    pub fn new(text: &'a str) -> Self {
        let hidden = |c: char| {
            let mut one = [0u8; 4];
            let s: &str = c.encode_utf8(&mut one);
            shown(s) != s
        };
        if text.bytes().all(|b| (b' '..0x7f).contains(&b) || b == b'\n' || b == b'\t') || !text.chars().any(hidden) {
            return Self { text: Cow::Borrowed(text), steps: Vec::new() };
        }
        let mut out = String::with_capacity(text.len() + 16);
        let mut steps = Vec::new();
        for (at, c) in text.char_indices() {
            if c == '\r' && text[at + 1..].starts_with('\n') {
                // The line end of a CRLF file: shown as the line end it is.
                steps.push((at + 1, out.len()));
            } else if hidden(c) {
                out.extend(c.escape_unicode());
                steps.push((at + c.len_utf8(), out.len()));
            } else {
                out.push(c);
            }
        }
        Self { text: Cow::Owned(out), steps }
    }

    /// The byte shown for a byte of the source.
    pub fn at(&self, byte: usize) -> usize {
        match self.steps.partition_point(|&(source, _)| source <= byte) {
            0 => byte,
            n => {
                let (source, shown) = self.steps[n - 1];
                shown + (byte - source)
            }
        }
        .min(self.text.len())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn plain_text_is_not_copied() {
        assert!(matches!(Escaped::new("shell é { }\n\t# ½").text, Cow::Borrowed(_)));
    }

    #[test]
    fn escapes_and_direction_controls_are_written_out_and_bytes_follow() {
        let source = "a\u{1b}[31mb\u{202e}c\r\nd";
        let e = Escaped::new(source);
        assert_eq!(e.text, "a\\u{1b}[31mb\\u{202e}c\nd");
        for c in ['b', 'c', 'd'] {
            let (from, to) = (source.rfind(c).expect("there"), e.text.rfind(c).expect("there"));
            assert_eq!(e.at(from), to, "{c}");
        }
    }
}
