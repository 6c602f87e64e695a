//! The cautions at the head of the first page: under each signal word what may happen and what to do, beside the safety
//! alert symbol where it is injury that is spoken of (ANSI Z535.4-2007 4.1 and 4.14: NOTICE carries none).

use super::Set;
use super::flow::{Flow, LINE, TALL};
use super::ink::{Leaf, Pen};
use crate::geom::Vec2;
use crate::ledger::{Caution, DEFER, Signal};

/// Height of a signal word, and side of the symbol beside it, mm.
const WORD: f64 = 4.0;
const SYMBOL: f64 = 6.0;
/// Reasons named with a caution; the report has them all.
const REASONS: usize = 3;

/// The block, when there is anything to beware of.
pub(super) fn block(flow: &mut Flow<'_>, set: Set<'_>) {
    let all = &set.ledger.cautions;
    if all.is_empty() {
        return;
    }
    flow.heading("Before you begin", 3.0 * LINE);
    flow.words(Pen::Bold, TALL, 0.0, DEFER);
    for signal in [Signal::Warning, Signal::Caution, Signal::Notice] {
        let own: Vec<&Caution> = all.iter().filter(|c| c.signal == signal).collect();
        if own.is_empty() {
            continue;
        }
        // A signal word stands on the page of what it speaks of.
        flow.gap(1.2);
        flow.need(SYMBOL + 3.0 * LINE);
        let (x, _) = flow.column();
        let top = flow.y;
        let mut beside = x;
        if signal.alerts() {
            alert(flow.leaf(), Vec2::new(x, top - SYMBOL));
            beside += SYMBOL + 2.0;
        }
        let foot = top - 0.5 * (SYMBOL + WORD);
        flow.leaf().words(Pen::Bold, Vec2::new(beside, foot), WORD, signal.word());
        flow.y = top - SYMBOL - 1.4;
        for c in own {
            flow.words(Pen::Words, TALL, 4.0, &format!("{} ({})", c.text, reasons(&c.because)));
        }
    }
    flow.gap(1.0);
}

fn reasons(names: &[String]) -> String {
    match names.len() {
        n if n > REASONS => format!("{} and {} more", names[..REASONS].join(", "), n - REASONS),
        _ => names.join(", "),
    }
}

/// The safety alert symbol, its lower left corner at `at`: an exclamation mark in an equilateral triangle.
fn alert(leaf: &mut Leaf, at: Vec2) {
    // The triangle's height is the symbol's; its side is 2/√3 of it.
    let side = SYMBOL * 2.0 / 3f64.sqrt();
    let corner = |x: f64, y: f64| at + Vec2::new(x * side, y * SYMBOL);
    let (a, b, c) = (corner(0.0, 0.0), corner(1.0, 0.0), corner(0.5, 1.0));
    leaf.line(Pen::Bold, a, b);
    leaf.line(Pen::Bold, b, c);
    leaf.line(Pen::Bold, c, a);
    leaf.line(Pen::Bold, corner(0.5, 0.7), corner(0.5, 0.36));
    leaf.line(Pen::Bold, corner(0.5, 0.2), corner(0.5, 0.17));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_a_few_reasons_are_named() {
        let names: Vec<String> = ["a", "b", "c", "d", "e"].map(str::to_owned).to_vec();
        assert_eq!(reasons(&names), "a, b, c and 2 more");
        assert_eq!(reasons(&names[..2]), "a, b");
    }
}
