//! How each operation is drawn, in every file alike: layer, line, width, colour, and what is done along it. No two
//! operations share both line and width, so a grey print is enough.
//!
//! Line numbers are those of ISO 128-2 (01 continuous; wide : narrow = 2 : 1 in the series .25 .35 .5 .7: Manual of
//! Engineering Drawing, chapter on ISO 128). From memory of the standard's tables: the numbers 02, 03, 04, 05, 07, 08
//! and 09 and the lengths of their elements in line widths (dash 12, gap 3, wide gap 18, long dash 24, short dash 6);
//! a dot is drawn one width long, twice the standard's, so that it shows on foam.

use crate::piece::Operation;

/// How one operation looks.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Style {
    /// DXF layer and SVG group.
    pub layer: &'static str,
    /// ISO 128-2 number of the line.
    pub line: u8,
    /// mm.
    pub width: f64,
    pub colour: Colour,
    /// What it says: the legend's words.
    pub words: &'static str,
    pub by: By,
}

/// Who follows a line when a machine cuts the sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum By {
    Cuts,
    Scores,
    Draws,
    Nobody,
}

/// The Okabe–Ito set (2008), which colour-blind eyes tell apart, with grey.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Colour {
    Black,
    Vermillion,
    Blue,
    Green,
    Grey,
}

impl Colour {
    #[must_use]
    pub fn hex(self) -> &'static str {
        match self {
            Self::Black => "#000000",
            Self::Vermillion => "#d55e00",
            Self::Blue => "#0072b2",
            Self::Green => "#009e73",
            Self::Grey => "#808080",
        }
    }

    /// The nearest index colour by distance in RGB, by the table of ezdxf 1.4.5 (`aci2rgb`); black is 7, which
    /// viewers show black on white and white on black.
    #[must_use]
    pub fn index(self) -> u8 {
        match self {
            Self::Black => 7,
            Self::Vermillion => 32,
            Self::Blue => 142,
            Self::Green => 122,
            Self::Grey => 8,
        }
    }
}

/// Every operation, in the order of the legend.
pub const ALL: [Operation; 14] = [
    Operation::Cut,
    Operation::CutInner,
    Operation::Slit,
    Operation::Bevel,
    Operation::Score,
    Operation::Groove,
    Operation::Line,
    Operation::Form,
    Operation::Fold,
    Operation::Centre,
    Operation::Place,
    Operation::Notch,
    Operation::Letter,
    Operation::Sheet,
];

/// How `operation` is drawn.
#[must_use]
pub fn style(operation: Operation) -> Style {
    let s = |layer, line, width, colour, words, by| Style { layer, line, width, colour, words, by };
    match operation {
        Operation::Cut => s("cut", 1, 0.7, Colour::Black, "cut through: outline of a piece", By::Cuts),
        Operation::CutInner => s("cut-inner", 1, 0.5, Colour::Black, "cut through: hole in a piece", By::Cuts),
        Operation::Slit => s("slit", 1, 1.0, Colour::Black, "cut through: a slit", By::Cuts),
        Operation::Bevel => s("bevel", 9, 0.35, Colour::Vermillion, "bevel from the cut to this line", By::Draws),
        Operation::Score => s("score", 2, 0.35, Colour::Blue, "score: cut part of the way", By::Scores),
        Operation::Groove => s("groove", 2, 0.7, Colour::Blue, "groove: press or carve a channel", By::Draws),
        Operation::Line => s("line", 8, 0.35, Colour::Blue, "draw this line: it stays to be seen", By::Draws),
        Operation::Form => {
            s("form", 6, 0.35, Colour::Blue, "form: stretch or squeeze the warm sheet along this", By::Draws)
        }
        Operation::Fold => s("fold", 5, 0.35, Colour::Blue, "fold or turn here", By::Draws),
        Operation::Centre => s("centre", 4, 0.35, Colour::Grey, "centre line", By::Draws),
        Operation::Place => s("place", 3, 0.35, Colour::Green, "another part comes here", By::Draws),
        Operation::Notch => s("notch", 1, 0.35, Colour::Black, "notch: meets the partner's notch", By::Draws),
        Operation::Letter => s("letter", 1, 0.25, Colour::Grey, "lettering", By::Draws),
        Operation::Sheet => s("sheet", 7, 0.35, Colour::Grey, "edge of the sheet", By::Nobody),
    }
}

/// The elements of a line, drawn and blank in turn, mm; empty for a continuous one.
#[must_use]
pub fn dashes(style: &Style) -> Vec<f64> {
    let widths: &[f64] = match style.line {
        2 => &[12.0, 3.0],
        3 => &[12.0, 18.0],
        4 => &[24.0, 3.0, 1.0, 3.0],
        5 => &[24.0, 3.0, 1.0, 3.0, 1.0, 3.0],
        6 => &[24.0, 3.0, 1.0, 3.0, 1.0, 3.0, 1.0, 3.0],
        7 => &[1.0, 3.0],
        8 => &[24.0, 3.0, 6.0, 3.0],
        9 => &[24.0, 3.0, 6.0, 3.0, 6.0, 3.0],
        _ => &[],
    };
    widths.iter().map(|w| w * style.width).collect()
}

/// What a line's elements are called.
#[must_use]
pub fn line_words(line: u8) -> &'static str {
    match line {
        2 => "dashed",
        3 => "dashed, wide gaps",
        4 => "long dash, dot",
        5 => "long dash, two dots",
        6 => "long dash, three dots",
        7 => "dotted",
        8 => "long dash, short dash",
        9 => "long dash, two short dashes",
        _ => "continuous",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_operation_is_told_apart_in_grey() {
        for (i, a) in ALL.iter().enumerate() {
            for b in &ALL[i + 1..] {
                let (a, b) = (style(*a), style(*b));
                assert!(a.line != b.line || a.width / b.width > 1.3 || b.width / a.width > 1.3, "{a:?} {b:?}");
                assert_ne!(a.layer, b.layer);
            }
        }
    }
}
