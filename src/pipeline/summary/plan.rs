//! What the plan found, in a few lines: mass, finishes, contents, hanging, limits, cautions.

use std::fmt::Write as _;

use crate::emit::number::length;
use crate::emit::shopping;
use crate::eval::say;
use crate::geom::Vec3;
use crate::ledger::{DEFER, Held, Ledger, Limit, Signal};
use crate::solid::Show;
use crate::units::{Dim, Quantity};

/// Most names that stand in one line.
const NAMES: usize = 6;

/// Mass, what is carried, finishes, questions, limits.
pub(super) fn account(out: &mut String, ledger: &Ledger, show: Show) {
    weight(out, ledger, show);
    for c in &ledger.contents {
        let each = if c.count > 1 { " each" } else { "" };
        let mass = c.mass.map_or_else(String::new, |m| format!(", {}{each}", grams(m)));
        let _ = writeln!(out, "    carries {}{mass} in {}", times(&c.name, c.count), c.within);
    }
    for c in &ledger.coatings {
        let area = say::quantity(Quantity::new(rounded(c.area, 100.0), Dim::AREA).unwrap_or_else(none));
        let takes = c.volume.map_or_else(String::new, |v| format!(", {:.0} ml", (v / 1000.0).max(1.0)));
        let dry = c.dry.filter(|d| *d > 0.0).and_then(|d| Quantity::new(d, Dim::TIME));
        let dry = dry.map_or_else(String::new, |d| format!(", {} to dry each", say::quantity(d)));
        let coats = if c.coats == 1 { "1 coat".to_owned() } else { format!("{} coats", c.coats) };
        let _ = writeln!(out, "    {}: {coats} of {} on {area}{takes}{dry}", c.name, c.of);
    }
    for h in &ledger.hangs {
        let _ = writeln!(out, "    {}: how it hangs on {} is not reckoned yet", h.name, listed(&h.on));
    }
    for l in &ledger.limits {
        limit(out, l, show);
    }
    if let Some((head, lines)) = ledger.shopping.as_ref().and_then(|s| shopping::told(s, show)) {
        let _ = writeln!(out, "    {head}:");
        for line in lines {
            let _ = writeln!(out, "        {line}");
        }
    }
    let work = &ledger.work;
    if let Some(day) = &work.deadline {
        let _ = writeln!(out, "    to be ready by {day}: how long the work takes is not reckoned yet");
    }
}

fn none() -> Quantity {
    Quantity::new(0.0, Dim::NONE).expect("nothing is finite")
}

fn rounded(x: f64, step: f64) -> f64 {
    (x / step).round() * step
}

fn times(name: &str, count: usize) -> String {
    if count > 1 { format!("{count} of {name}") } else { name.to_owned() }
}

/// Names in one line, the last of many counted only.
fn listed(names: &[String]) -> String {
    match names.len() {
        n if n > NAMES => format!("{} and {} more", names[..NAMES].join(", "), n - NAMES),
        _ => names.join(", "),
    }
}

fn grams(g: f64) -> String {
    if g >= 10_000.0 {
        format!("{:.1} kg", g / 1000.0)
    } else if g < 10.0 {
        format!("{g:.1} g")
    } else {
        format!("{g:.0} g")
    }
}

fn weight(out: &mut String, ledger: &Ledger, show: Show) {
    let (empty, full) = (&ledger.empty, &ledger.full);
    let open = &full.missing;
    let open = if open.is_empty() { String::new() } else { format!("; not weighed: {}", listed(open)) };
    if full.centre.is_none() {
        if !open.is_empty() {
            let _ = writeln!(out, "    nothing is weighed{open}");
        }
        return;
    }
    if ledger.contents.is_empty() {
        let _ = writeln!(out, "    weighs {}{open}", grams(full.mass));
    } else {
        let _ = writeln!(out, "    weighs {} empty, {} full{open}", grams(empty.mass), grams(full.mass));
    }
    let at = |p: Vec3| {
        let way = |x: f64, ahead: &str, behind: &str| {
            let x = rounded(x, 1.0);
            (x != 0.0).then(|| format!("{} {}", length(x.abs(), show), if x > 0.0 { ahead } else { behind }))
        };
        let ways = [way(p.x, "to the front", "to the back"), way(p.y, "to the left", "to the right")];
        let ways = ways.into_iter().chain([way(p.z, "up", "down")]).flatten().collect::<Vec<_>>();
        if ways.is_empty() { "in the middle".to_owned() } else { ways.join(", ") }
    };
    let shown = |w: &crate::ledger::Weight| w.centre.map(at).unwrap_or_default();
    let (one, other) = (shown(empty), shown(full));
    if one == other || one.is_empty() {
        let _ = writeln!(out, "    centre of mass from the prop's origin: {other}");
    } else {
        let _ = writeln!(out, "    centre of mass from the prop's origin: {one} (empty); {other} (full)");
    }
}

fn limit(out: &mut String, l: &Limit, show: Show) {
    let of = |h: &Held, x: f64| if h.what == "mass" { grams(x) } else { length(x, show) };
    let sizes = |h: &Held, s: &[f64]| s.iter().map(|x| of(h, *x)).collect::<Vec<_>>().join(" by ");
    let mut held: Vec<String> =
        l.held.iter().map(|h| format!("{} {} of {}", h.what, sizes(h, &h.found), sizes(h, &h.allowed))).collect();
    if !l.without.is_empty() {
        let words: Vec<&str> = l.without.iter().map(|w| w.word).collect();
        held.push(format!("without {}", words.join(", ")));
    }
    if !held.is_empty() {
        let proven = l.held.iter().all(|h| h.missing.is_empty());
        let kept = if proven { "kept" } else { "kept by what is weighed" };
        let _ = writeln!(out, "    {}: {kept}: {}", l.name, held.join("; "));
    }
}

/// A line a signal word, and what comes before all of them.
pub(super) fn cautions(out: &mut String, ledger: &Ledger) {
    for signal in [Signal::Warning, Signal::Caution, Signal::Notice] {
        let titles: Vec<&str> = ledger.cautions.iter().filter(|c| c.signal == signal).map(|c| c.title).collect();
        if !titles.is_empty() {
            let _ = writeln!(out, "    {}: {}", signal.word(), titles.join(", "));
        }
    }
    if !ledger.cautions.is_empty() {
        let _ = writeln!(out, "    {DEFER}");
    }
}
