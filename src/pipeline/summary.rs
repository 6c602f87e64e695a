//! What a build says when it is done: a few lines a maker reads at the terminal.

mod plan;

use std::fmt::Write as _;

use crate::design::Face;
use crate::emit::OutFile;
use crate::emit::number::{length, thickness};
use crate::emit::report::Told;
use crate::emit::sliding;
use crate::fitted::{GoodsOf, Lacing};
use crate::page::Template;
use crate::sheet::{Ended, Source, Use, to_buy};
use crate::solid::{Body, Part, Show, Solid, Stroke, Wall};

/// Title, pieces, sheets, mass, and what the audit looked at.
pub fn summary(told: &Told<'_>, files: &[OutFile]) -> String {
    let Told { solid, pieces, layout, verdict, .. } = *told;
    let show = solid.job.show;
    let mut out = String::new();
    let job = &solid.job;
    let whom = job.wearer.as_ref().map_or_else(String::new, |w| format!(", for {w}"));
    let _ = writeln!(out, "{}: {}{whom}", job.name, job.title);
    if let Some(mock) = &job.mock_up {
        let _ = writeln!(out, "    a mock-up at {}, of {}: do not cut foam from these files", mock.scale, mock.card);
        if !mock.without.is_empty() {
            let _ = writeln!(out, "    made without: {}", mock.without.join(", "));
        }
    }
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
        let size = if job.mock_up.is_some() { "100 %" } else { "full size" };
        let _ = writeln!(
            out,
            "    to print at {size}: {} on {}{template}, {words} of them to read first",
            counted(printed, "page"),
            pages.paper.name
        );
    }
    fitted(&mut out, solid);
    plan::account(&mut out, told.ledger, show);
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
    plan::cautions(&mut out, told.ledger);
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
            GoodsOf::Rod(stock) => solid.stocks[stock].name.clone(),
        };
        let each = run.rows * if run.pair { 2 } else { 1 };
        let of = if each > 1 { format!("{each} of {goods}") } else { goods };
        let spare = if run.spare > 0.0 {
            format!(" ({} and {} spare)", length(run.along, show), length(run.spare, show))
        } else {
            String::new()
        };
        let meet = match (run.goods, run.rows) {
            (GoodsOf::Rod(_), 2..) => {
                let whole: f64 = run.line.windows(2).map(|w| w[0].distance(w[1])).sum();
                format!(", end to end: {} in all", length(whole, show))
            }
            _ => String::new(),
        };
        let _ = writeln!(out, "    {}: {of}, cut to {}{spare}{meet}", run.name, length(run.long(), show));
    }
    for ridge in &solid.fitted.ridges {
        let each = ridge.flanks.iter().map(|f| f.0).fold(0.0, f64::max);
        let _ = writeln!(
            out,
            "    {}: flanks {} wide that meet at {:.1} deg; {:.1} cm2 of their ends are glued to {}",
            ridge.name,
            length(each, show),
            ridge.between.to_degrees(),
            ridge.glued * if ridge.pair { 0.02 } else { 0.01 },
            ridge.on.1
        );
    }
    for p in &solid.passages {
        let how = match p.apart {
            // No less than it takes, to the half millimetre.
            Some(apart) => {
                let apart = (apart * 2.0 - 1e-6).ceil() / 2.0;
                format!("where the sides of its seam are drawn {} apart", length(apart, show))
            }
            None => format!("inside it is {} round at its narrowest", length(p.narrowest, show)),
        };
        let _ = writeln!(out, "    {}: {} round gets through, {how}", p.name, length(p.girth, show));
    }
    for lacing in &solid.fitted.lacings {
        let _ = writeln!(out, "    {}: {}", lacing.name, laced(solid, lacing));
    }
    marks(out, solid);
    for sliding in &solid.fitted.slidings {
        let (head, lines) = sliding::told(solid, sliding);
        let _ = writeln!(out, "    {head}");
        for line in lines {
            let _ = writeln!(out, "      {line}");
        }
    }
    for lump in solid.fitted.lumps.iter().filter(|l| !l.contents) {
        let count = lump.at.len() * if lump.pair { 2 } else { 1 };
        let goods = lump.supply.map_or_else(String::new, |i| format!(" of {}", solid.fitted.supplies[i].name));
        let every = lump.spacing.map_or_else(String::new, |s| format!(", one every {}", length(s, show)));
        let _ = writeln!(out, "    {}: {count}{goods}{every}", lump.name);
    }
}

/// Marks, those of one thing that are alike together: "hoops: 3 grooves, 2 mm deep, 2.3 m of them".
fn marks(out: &mut String, solid: &Solid) {
    let show = solid.job.show;
    let mut done: Vec<usize> = Vec::new();
    for (i, trace) in solid.traces.iter().enumerate() {
        if done.contains(&i) {
            continue;
        }
        let alike = |t: &crate::solid::Trace| t.thing == trace.thing && t.deep == trace.deep && t.face == trace.face;
        let all: Vec<usize> = (i..solid.traces.len()).filter(|j| alike(&solid.traces[*j])).collect();
        let twins = |t: &crate::solid::Trace| if solid.parts[t.part.index()].pair { 2 } else { 1 };
        // On a wall in panels one ring has a line on each of them.
        let mut names: Vec<(&str, usize)> =
            all.iter().map(|j| (solid.traces[*j].name.as_str(), twins(&solid.traces[*j]))).collect();
        names.dedup();
        names.sort_unstable();
        names.dedup();
        let count: usize = names.iter().map(|n| n.1).sum();
        let long: f64 = all.iter().map(|j| solid.traces[*j].long * twins(&solid.traces[*j]) as f64).sum();
        let deep = trace.deep.map_or_else(String::new, |d| format!(", {} deep", length(d, show)));
        let face = if trace.face == Face::Inside { " on the inside" } else { "" };
        // Of several on several parts the number at the end of the first's name is its own.
        let name = trace.name.strip_suffix(" 1").unwrap_or(&trace.name);
        let part = &solid.parts[trace.part.index()];
        if let Some(crease) = trace.crease(part) {
            // How deep a score goes matters less than that it does not go through.
            let deep = trace.deep.filter(|_| !crease.scored);
            let deep = deep.map_or_else(String::new, |d| format!(", {} deep", thickness(d, show)));
            let how = if crease.scored { "scored" } else { "grooved" };
            let what = counted(count, "fold");
            let _ = writeln!(out, "    {}: {what}, {how}{face}{deep}, {} long in all", part.name, length(long, show));
            done.extend(all);
            continue;
        }
        if trace.stroke == Stroke::Form {
            let _ = writeln!(out, "    {}", formed(part));
            done.extend(all);
            continue;
        }
        let what = counted(count, trace.stroke.word());
        let _ = writeln!(out, "    {name}: {what}{face}{deep}, {} long in all", length(long, show));
        done.extend(all);
    }
}

/// "cuff: one piece, warmed and formed: stretched by 6 % at most (top), squeezed by 3 % at most (form line 1)".
fn formed(part: &Part) -> String {
    let Body::Wall(Wall { formed: Some(formed), .. }) = &part.body else { return part.name.clone() };
    let how = formed.most().into_iter().zip(["stretched", "squeezed"]).filter_map(|(at, how)| {
        let at = at?;
        let share = (formed.stations[at].share().abs() * 1000.0).round() / 10.0;
        Some(format!("{how} by {share} % at most ({})", formed.name(at)))
    });
    format!("{}: one piece, warmed and formed: {}", part.name, how.collect::<Vec<_>>().join(", "))
}

/// "6 pairs of 6 mm holes, one every 33 mm; buy 2 laces of 1.5 m".
fn laced(solid: &Solid, lacing: &Lacing) -> String {
    let show = solid.job.show;
    let Some(row) = lacing.rows.first() else { return String::new() };
    let what = if lacing.rows.len() > 1 { "pairs of holes" } else { "holes" };
    let holes = format!(
        "{} {what}, {} wide, one every {}",
        row.holes.len(),
        length(lacing.hole, show),
        length(row.pitch, show)
    );
    let run = &solid.fitted.runs[lacing.run];
    let GoodsOf::Supply(supply) = run.goods else { return holes };
    let supply = &solid.fitted.supplies[supply];
    let bought = supply.purchase(run.long(), if run.pair { 2 } else { 1 });
    let each = match show {
        Show::Millimetres => format!("{} m", (bought.each / 10.0).round() / 100.0),
        Show::Inches => length(bought.each, show),
    };
    let word = if supply.sort == "lace" { "lace" } else { "length" };
    let joined = if bought.joined > 1 { format!(", {} joined to one", bought.joined) } else { String::new() };
    format!("{holes}; buy {} of {each}{joined}", counted(bought.count, word))
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
