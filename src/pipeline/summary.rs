//! What a build says when it is done: a few lines a maker reads at the terminal.

use std::fmt::Write as _;

use crate::emit::OutFile;
use crate::emit::number::length;
use crate::emit::report::Told;
use crate::page::Template;
use crate::sheet::{Ended, Source, Use, to_buy};

/// Title, pieces, sheets, mass, and what the audit looked at.
pub fn summary(told: &Told<'_>, files: &[OutFile]) -> String {
    let Told { solid, pieces, layout, verdict, .. } = *told;
    let show = solid.job.show;
    let mut out = String::new();
    let job = &solid.job;
    let whom = job.wearer.as_ref().map_or_else(String::new, |w| format!(", for {w}"));
    let _ = writeln!(out, "{}: {}{whom}", job.name, job.title);
    let mass: Option<f64> = pieces.pieces.iter().map(|p| p.mass).sum();
    let mass = mass.filter(|m| *m > 0.0).map_or_else(String::new, |m| format!(", {m:.0} g of sheet"));
    let _ = writeln!(out, "    {}{mass}", counted(pieces.pieces.len(), "piece"));
    for sheet in &layout.sheets {
        let stock = &solid.stocks[sheet.stock];
        let hand = sheet.by_hand.as_ref().map_or_else(String::new, |why| format!("; by hand: {why}"));
        let offcut = if matches!(sheet.from, Source::Offcut(_)) { " (an offcut)" } else { "" };
        let _ = writeln!(
            out,
            "    {} sheet {}{offcut}: {} by {}, {}, {:.0} % used{hand}",
            stock.name,
            sheet.number,
            length(sheet.size.x, show),
            length(sheet.size.y, show),
            counted(sheet.placed.len(), "piece"),
            100.0 * sheet.used
        );
    }
    for of in &layout.uses {
        let _ = writeln!(out, "    {}", stock_line(told, of));
    }
    if let Some(pages) = told.pages {
        let printed = files.iter().filter(|f| f.path.contains("/print/") && f.path.ends_with(".svg")).count();
        let template = match pages.template {
            Template::Outside => "",
            Template::Hidden => ", mirrored for the hidden face",
        };
        let words = printed - pages.pages.len();
        let _ = writeln!(
            out,
            "    to print at full size: {} on {}{template}, {words} of them to read first",
            counted(printed, "page"),
            pages.paper.name
        );
    }
    let checked = &verdict.checked;
    let _ = writeln!(
        out,
        "    checked by folding it up again: {}, {}, {}, {}, {}",
        counted(checked.pieces, "piece"),
        counted(checked.edges, "edge"),
        counted(checked.holes, "hole"),
        counted(checked.notches, "notch"),
        counted(checked.claims, "size")
    );
    out
}

/// Of one stock: what is there, what is to be bought, what is left, and whether the layout was cut short.
fn stock_line(told: &Told<'_>, of: &Use) -> String {
    let stock = &told.solid.stocks[of.stock];
    let show = told.solid.job.show;
    let mut says: Vec<String> = Vec::new();
    if of.whole > 0 {
        let buy = to_buy(stock, of);
        let cupboard = if stock.have > 0.0 { format!(", {:.0} in the cupboard", stock.have) } else { String::new() };
        let bought = if buy > 0.0 { format!("{buy:.0} to buy") } else { "none to buy".to_owned() };
        says.push(format!("{} needed{cupboard}, {bought}", counted(of.whole, "whole sheet")));
    }
    if let Some(left) = of.left {
        says.push(format!("{} by {} left of the last", length(left.x, show), length(left.y, show)));
    }
    let saved = of.plain.sheets.saturating_sub(of.kept.sheets);
    let lower = of.plain.top - of.kept.top;
    match of.ended {
        _ if saved > 0 => says.push(format!("the search saved {}", counted(saved, "sheet"))),
        _ if lower >= 1.0 => says.push(format!("the search saved {}", length(lower, show))),
        _ => {}
    }
    if of.ended == Ended::Stopped {
        says.push("the layout was cut short".to_owned());
    }
    format!(
        "{}: {}",
        stock.name,
        if says.is_empty() { "nothing left worth keeping".to_owned() } else { says.join("; ") }
    )
}

fn counted(n: usize, word: &str) -> String {
    match (n, word) {
        (1, _) => format!("1 {word}"),
        (_, "notch") => format!("{n} notches"),
        _ => format!("{n} {word}s"),
    }
}
