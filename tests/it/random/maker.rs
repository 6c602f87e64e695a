//! Writes props as a maker might: one shell with what stands on it, in sizes that are made from sheet.
//!
//! Everything follows from the number of the shell, so a refusal can be looked at again by its number. The sections
//! of the first two stations go through every pair; the rest is left to chance. A maker knows some things, and so
//! does this: nobody rolls 8 mm foam round a pencil, most walls lean less than 25 degrees, a cap stands on a closed
//! shell, and a hole is a fraction of the wall it is in.

use super::sections::{KINDS, Kind, Station};
use crate::chance::Chance;
use std::fmt::Write as _;
use tasset::num::{self, PI, TAU};

/// Shells go through the pairs of sections this many at a time.
const PAIRS: usize = KINDS.len() * KINDS.len();

/// The prop of this number.
pub fn prop(number: usize) -> String {
    let mut c = Chance::new(number as u64);
    let chance = &mut c;
    let thick = *chance.pick(&[0.3, 0.5, 0.8, 1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0]);
    let laminated = thick > 0.9 && chance.percent(15.0);
    let whole = if laminated { 1.6 * thick } else { thick };
    let stations = stations(chance, number, whole);
    let first = &stations[0];
    let last = &stations[stations.len() - 1];
    let tall = last.at;
    let least = stations.iter().map(|s| s.girth).filter(|g| *g > 0.0).fold(f64::INFINITY, f64::min);
    let point = [first, last].map(|s| s.kind == Kind::Point);
    let pointed = point[0] || point[1];

    let mut text = String::new();
    let line = &mut text;
    writeln!(line, "prop p {{ title: \"Shell {number}\", of: sheet }}").unwrap();
    stock(chance, line, "sheet", thick);
    stock(chance, line, "facing", 0.6 * thick);
    writeln!(line, "shell wall {{").unwrap();
    for s in &stations {
        writeln!(line, "    at {}: {}", length(chance, s.at), s.text).unwrap();
    }
    let (seam, face, open) = seam(chance, least, pointed);
    writeln!(line, "    seam: {seam}").unwrap();
    if laminated {
        writeln!(line, "    of: [sheet, facing]").unwrap();
    }
    if let Some(face) = chance.pick(&[None, Some("outside"), Some("inside"), Some("middle")]) {
        writeln!(line, "    measured: {face}").unwrap();
    }
    if chance.percent(12.0) && stations.windows(2).all(|w| (w[0].girth - w[1].girth).abs() < 2.0 * (w[1].at - w[0].at))
    {
        writeln!(line, "    along: wall").unwrap();
    }
    if chance.percent(30.0) {
        writeln!(line, "    rim: {}", chance.pick(&["level", "square"])).unwrap();
    }
    if chance.percent(12.0) {
        writeln!(line, "    pair: mirrored").unwrap();
    }
    writeln!(line, "}}").unwrap();

    if !open {
        for (name, edge, closed) in [("base", "bottom", point[0]), ("lid", "top", point[1])] {
            if !closed && chance.percent(45.0) {
                cap(chance, line, (name, edge), tall, least);
            }
        }
    }
    if chance.percent(25.0) {
        hole(chance, line, least, (tall, whole), (face, pointed));
    }
    text
}

pub(super) fn stock(chance: &mut Chance, line: &mut String, name: &str, thick: f64) {
    let size = chance.pick(&["500 mm by 1000 mm", "1000 mm by 2000 mm", "1200 mm by 1500 mm"]);
    let neutral = chance.pick(&["", "", ", neutral: 50 %, stretch: 8 %", ", neutral: 40 %"]);
    let sort = if thick < 1.0 { "card" } else { "foam" };
    writeln!(line, "stock {name} {{ as: {sort}, thick: {thick:.2} mm, size: {size}, density: 95 kg/m3{neutral} }}")
        .unwrap();
}

/// Two to four, the first two of the pair whose turn it is.
fn stations(chance: &mut Chance, number: usize, thick: f64) -> Vec<Station> {
    let pair = number % PAIRS;
    let (mut lower, mut upper) = (KINDS[pair / KINDS.len()], KINDS[pair % KINDS.len()]);
    if lower == Kind::Point && upper == Kind::Point {
        (lower, upper) = (Kind::Circle, Kind::Circle);
    }
    let count = if upper == Kind::Point { 2 } else { *chance.pick(&[2, 2, 2, 3, 3, 4]) };
    let mut kinds = vec![lower, upper];
    while kinds.len() < count {
        // A point closes a shell, so it stands last.
        let last = kinds.len() + 1 == count;
        let kind = *chance.pick(&KINDS);
        if kind != Kind::Point || last && lower != Kind::Point {
            kinds.push(kind);
        }
    }
    // What a sheet can be rolled to: an inside radius of about three thicknesses, and no less than a wrist's quarter.
    let least = (26.0 * thick).max(60.0);
    let mut girth = chance.scaled(least, 900.0);
    let mut at = 0.0;
    let mut out: Vec<Station> = Vec::new();
    let tall = chance.scaled(40.0, 600.0);
    for (i, kind) in kinds.iter().enumerate() {
        if i > 0 {
            let step = tall / (count - 1) as f64 * chance.between(0.7, 1.3);
            let steepest = if chance.percent(85.0) { 25.0 } else { 45.0 };
            let lean: f64 = chance.between(-steepest, steepest) * PI / 180.0;
            // Of round sections: the girth grows by a turn of what the radius does.
            girth = (girth + TAU * step * num::sin(lean) / num::cos(lean)).clamp(least, 1200.0);
            at += step;
        }
        let last = out.last().cloned();
        out.push(Station::new(chance, *kind, (at, girth), thick, last.as_ref()));
    }
    out
}

/// A seam's text, the way it faces in degrees, and whether it is open.
fn seam(chance: &mut Chance, least: f64, pointed: bool) -> (String, f64, bool) {
    let least = if least.is_finite() { least } else { 60.0 };
    // What goes to a point leaves no room for much beside its seam.
    let wide = |chance: &mut Chance, lo: f64, hi: f64| {
        let most = if pointed { 0.15 } else { 0.2 } * least;
        chance.between(lo, hi).min(most).round().max(3.0)
    };
    let words = [("front", 0.0), ("back", 180.0), ("left", 90.0), ("right", 270.0), ("left + 20 deg", 110.0)];
    let (facing, face) = if chance.percent(30.0) {
        let (word, face) = *chance.pick(&words);
        (word.to_owned(), face)
    } else {
        let face = chance.between(-180.0, 180.0).round();
        (format!("{face:.0} deg"), face)
    };
    let w = wide(chance, 8.0, 20.0);
    match chance.below(6) {
        0 => ("butt".to_owned(), 180.0, false),
        1 => (format!("butt(facing: {facing})"), face, false),
        2 => (format!("lap(overlap: {w} mm, facing: {facing})"), face, false),
        3 => (format!("tabs(wide: {w} mm, facing: {facing})"), face, false),
        4 => (format!("backed(wide: {} mm, facing: {facing})", wide(chance, 15.0, 40.0)), face, false),
        _ => {
            let gap = match chance.below(3) {
                0 => format!("{:.0} deg", chance.between(20.0, 200.0)),
                1 => format!("{:.0} mm", least * chance.between(0.1, 0.5)),
                _ => format!("{:.0} %", chance.between(10.0, 60.0)),
            };
            (format!("open(gap: {gap}, facing: {facing})"), face, true)
        }
    }
}

fn cap(chance: &mut Chance, line: &mut String, (name, edge): (&str, &str), tall: f64, least: f64) {
    let fit = match chance.below(4) {
        0 => String::new(),
        1 => format!("fit: inset, sunk: {:.0} mm", chance.between(1.0, 0.2 * tall)),
        2 => "fit: flush".to_owned(),
        _ => format!("fit: overlay, rim: {:.0} mm, loose: yes", chance.between(10.0, 40.0).min(0.4 * tall)),
    };
    writeln!(line, "cap {name} on wall.{edge} {{ {fit} }}").unwrap();
    if chance.percent(30.0) {
        let across = (least / TAU * chance.between(0.1, 0.5)).max(2.0);
        let shape = chance.pick(&["circle(across: W mm)", "rectangle(across: W mm by W mm, corner: 1 mm)"]);
        let shape = shape.replace('W', &format!("{across:.1}"));
        writeln!(line, "opening {name}_hole on {name} {{ shape: {shape} }}").unwrap();
    }
}

/// A hole in the wall: a fraction of its height and girth, on the other side than the seam.
fn hole(chance: &mut Chance, line: &mut String, least: f64, (tall, thick): (f64, f64), (face, pointed): (f64, bool)) {
    let (w, h) = (chance.between(0.04, 0.15) * least, chance.between(0.05, 0.25) * tall);
    let (w, h) = (w.max(2.0), h.max(2.0));
    let r = (0.3 * w.min(h)).min(6.0);
    let shape = match chance.below(4) {
        0 => format!("circle(across: {:.1} mm)", w.min(h)),
        1 => format!("oval(across: {w:.1} mm by {h:.1} mm)"),
        2 => format!("rectangle(across: {w:.1} mm by {h:.1} mm, corner: {r:.1} mm)"),
        _ => format!(
            "outline(points: [0 mm by 0 mm, {w:.1} mm by 0 mm, arc(end: {w:.1} mm by {h:.1} mm, rise: {:.1} mm), \
             0 mm by {:.1} mm])",
            0.2 * h,
            0.8 * h
        ),
    };
    let middle = if pointed { (0.4, 0.6) } else { (0.35, 0.65) };
    let level = (tall * chance.between(middle.0, middle.1)).max(thick);
    let facing = face + 180.0 + chance.between(-70.0, 70.0).round();
    writeln!(line, "opening port on wall {{ shape: {shape}, level: {level:.1} mm, facing: {facing:.0} deg }}").unwrap();
}

/// A length as makers write them.
fn length(chance: &mut Chance, mm: f64) -> String {
    match chance.below(4) {
        0 => format!("{:.2} cm", mm / 10.0),
        1 => format!("{:.3} in", mm / 25.4),
        _ => format!("{mm:.1} mm"),
    }
}
