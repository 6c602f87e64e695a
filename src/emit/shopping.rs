//! What is to be bought and what it costs, in lines for the terminal and the first printed pages.

use super::number::length;
use crate::ledger::{Measure, Shopping, money};
use crate::solid::Show;

/// What it comes to, and under it a line for each of the goods and one for what has no price. Nothing where no goods have a
/// price and no budget asks for one.
#[must_use]
pub fn told(s: &Shopping, show: Show) -> Option<(String, Vec<String>)> {
    let bought = || s.lines.iter().filter(|l| l.cents != Ok(0));
    if s.budget.is_none() && bought().all(|l| l.cents.is_err()) {
        return None;
    }
    let of = s.currency.as_ref().map_or_else(String::new, |c| format!(" {c}"));
    let budget = s.budget.map_or_else(String::new, |b| format!(", of a budget of {}", money(b)));
    let head = format!("to buy for {}{of}{budget}", money(s.total));
    let amount = |measure: Measure, x: f64| match (measure, show) {
        (Measure::Sheets, _) => format!("{x:.0} sheet{}", if x == 1.0 { "" } else { "s" }),
        (Measure::Pieces, _) => format!("{x:.0}"),
        (Measure::Length, Show::Millimetres) => format!("{} m", (x / 10.0).round() / 100.0),
        (Measure::Length, Show::Inches) => length(x, show),
        (Measure::Volume, _) => format!("{:.0} ml", x / 1000.0),
    };
    let mut lines: Vec<String> = Vec::new();
    for line in bought() {
        let Ok(cents) = line.cents else { continue };
        let amount = match line.packs {
            Some(p) => format!("{:.0} of {}", p.count, amount(line.measure, p.each)),
            None => amount(line.measure, line.buy),
        };
        let note = line.note.map_or_else(String::new, |n| format!(" ({n})"));
        lines.push(format!("{}, {amount}: {}{note}", line.name, money(cents)));
    }
    // How much it takes is worth to know where its price is not.
    let takes = |name: &str| {
        let line = s.lines.iter().find(|l| l.name == name && l.note.is_some() && l.buy > 0.0);
        line.map_or_else(String::new, |l| format!(", {}", amount(l.measure, l.buy)))
    };
    let note = |name: &str| {
        let line = s.lines.iter().find(|l| l.name == name).and_then(|l| l.note);
        line.map_or_else(String::new, |n| format!("; {n}"))
    };
    let said = |(name, why): (&str, &str)| format!("{name}{} ({why}{})", takes(name), note(name));
    let open: Vec<String> = s.open().map(said).collect();
    if !open.is_empty() {
        lines.push(format!("not priced: {}", open.join(", ")));
    }
    Some((head, lines))
}
