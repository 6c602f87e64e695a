//! What a build says when it is done: a few lines a maker reads at the terminal.

use std::fmt::Write as _;

use crate::emit::OutFile;
use crate::emit::number::length;
use crate::emit::report::Told;
use crate::fitted::GoodsOf;
use crate::page::Template;
use crate::solid::Solid;

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
        let _ = writeln!(
            out,
            "    {} sheet {}: {} by {}, {}, {:.0} % used{hand}",
            stock.name,
            sheet.number,
            length(sheet.size.x, show),
            length(sheet.size.y, show),
            counted(sheet.placed.len(), "piece"),
            100.0 * sheet.used
        );
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
    fitted(&mut out, solid);
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

/// What is fitted: to what each length is cut, and how many there are of what is counted.
fn fitted(out: &mut String, solid: &Solid) {
    let show = solid.job.show;
    for run in &solid.fitted.runs {
        let goods = match run.goods {
            GoodsOf::Supply(i) => solid.fitted.supplies[i].name.clone(),
            GoodsOf::Strip { stock, wide } => {
                let wide = length(f64::from(wide) / 100.0, show);
                format!("{}, a strip {wide} wide", solid.stocks[stock].name)
            }
        };
        let each = run.rows * if run.pair { 2 } else { 1 };
        let of = if each > 1 { format!("{each} of {goods}") } else { goods };
        let spare = if run.spare > 0.0 {
            format!(" ({} and {} spare)", length(run.along, show), length(run.spare, show))
        } else {
            String::new()
        };
        let _ = writeln!(out, "    {}: {of}, cut to {}{spare}", run.name, length(run.long(), show));
    }
    for lump in solid.fitted.lumps.iter().filter(|l| !l.contents) {
        let count = lump.at.len() * if lump.pair { 2 } else { 1 };
        let goods = lump.supply.map_or_else(String::new, |i| format!(" of {}", solid.fitted.supplies[i].name));
        let every = lump.spacing.map_or_else(String::new, |s| format!(", one every {}", length(s, show)));
        let _ = writeln!(out, "    {}: {count}{goods}{every}", lump.name);
    }
}

fn counted(n: usize, word: &str) -> String {
    match (n, word) {
        (1, _) => format!("1 {word}"),
        (_, "notch") => format!("{n} notches"),
        _ => format!("{n} {word}s"),
    }
}
