//! Walls of every section: polygons over flats or corners, sharp, folded and rounded, full ovals, outlines of lines
//! and arcs that bulge or are hollow, and girths against widths.

use super::words::Draft;
use tasset::num::{self, PI, TAU};

pub fn prop(number: usize) -> String {
    let mut draft = Draft::new("profile", number, &[0.4, 0.5, 1.0, 2.0, 3.0, 4.0, 5.0, 6.0]);
    let d = &mut draft;
    let thick = d.thick;
    let wide = d.chance.scaled((12.0 * thick).max(30.0), 260.0);
    let tall = d.chance.scaled(40.0, 420.0);
    let above = wide * d.between(0.75, 1.25);
    let sort = number % 8;
    let mut made = "";
    // Sharp corners and hollow outlines are drawn again at another scale; others may change their form.
    let (low, high) = match sort {
        0 | 1 => {
            let sides = 3 + d.chance.below(6);
            made = if sort == 1 { ", made: folded" } else { "" };
            let word = d.one(&["across", "across_corners"]);
            (polygon(sides, word, wide, 0.0), polygon(sides, word, above, 0.0))
        }
        2 => {
            let word = d.one(&["across", "across_corners"]);
            let sides = [3 + d.chance.below(7), 3 + d.chance.below(7)];
            let corner = d.between(3.0 * thick, 10.0 * thick);
            let at = |n: usize, w: f64| polygon(n, word, w, corner.min(0.2 * w).max(1.3 * thick));
            (at(sides[0], wide), at(sides[1], above))
        }
        3 => (full(d, wide), full(d, above)),
        4 => (bulging(d, wide), bulging(d, above)),
        5 => {
            let same = hollow(d, (3.0 * thick / wide).max(0.02));
            // As a maker writes a copy: every size times one number.
            let share = (above / wide * 100.0).round() / 100.0;
            d.say(&format!("let share = {share}"));
            (outline(&same, wide, ""), outline(&same, wide, "share * "))
        }
        6 => (trusted(d, wide), trusted(d, above)),
        _ => {
            let sides = 3 + d.chance.below(6);
            let low = polygon(sides, "across", wide, 0.25 * wide);
            let high = match d.chance.below(3) {
                0 => "point".to_owned(),
                1 => format!("circle(across: {above:.1} mm)"),
                _ => full(d, above),
            };
            (low, high)
        }
    };
    let pointed = high == "point";
    let stations = if sort < 3 && d.percent(30.0) {
        format!("at 0 mm to {tall:.1} mm: {low}")
    } else {
        format!("at 0 mm: {low}\n    at {tall:.1} mm: {high}")
    };
    let seam = if sort < 2 { String::new() } else { d.seam(2.6 * wide.min(above) * if pointed { 0.3 } else { 1.0 }) };
    // Of folded strips one layer is built.
    let more = if made.is_empty() { d.make_wall(8.0) } else { d.make(8.0) };
    d.say(&format!("shell wall {{\n    {stations}\n    rim: level{seam}{made}{more}\n}}").replace("rim: level, ", ""));
    if d.percent(35.0) {
        d.cap("base", "wall.bottom", tall);
    }
    if !pointed && d.percent(25.0) {
        d.cap("lid", "wall.top", tall);
    }
    if d.percent(30.0) {
        let share = if sort == 5 { 0.1 } else { 0.2 };
        let shape = d.shape(share * wide, 0.2 * tall);
        let level = d.between(0.4, 0.6) * tall;
        d.say(&format!("opening port on wall {{ shape: {shape}, level: {level:.1} mm, facing: front }}"));
    }
    if d.percent(20.0) {
        let (how, level) = (d.one(&["line", "groove"]), d.between(0.1, 0.3) * tall);
        d.say(&format!("mark hoop on wall {{ as: {how}, level: {level:.1} mm }}"));
    }
    draft.text
}

pub fn polygon(sides: usize, word: &str, wide: f64, corner: f64) -> String {
    let corner = if corner > 0.0 { format!(", corner: {corner:.1} mm") } else { String::new() };
    format!("polygon(sides: {sides}, {word}: {wide:.1} mm{corner})")
}

fn full(d: &mut Draft, wide: f64) -> String {
    let fullness = d.between(2.0, 4.0);
    if d.percent(50.0) {
        let deep = wide * d.between(0.6, 1.3);
        format!("oval(across: {wide:.1} mm by {deep:.1} mm, fullness: {fullness:.2})")
    } else {
        let ratio = d.between(0.6, 1.6);
        format!("oval(around: {:.1} mm, ratio: {ratio:.2}, fullness: {fullness:.2})", 3.0 * wide)
    }
}

/// Two or three straights and as many arcs, in sizes of the whole.
fn bulging(d: &mut Draft, wide: f64) -> String {
    let mm = |x: f64| format!("{:.1} mm", x * wide);
    let deep = d.between(0.5, 1.0);
    match d.chance.below(4) {
        // A box whose front is a half round and whose corners are quarter rounds, drawn as arcs.
        0 => {
            let (a, r, h) = (0.35 * wide, (0.08 * wide).round(), (0.5 * deep * wide).round());
            // Reckoned by the text: with a rounded rise the arc and its sides would meet in a corner.
            let quarter = format!("{r:.4} mm * (1 - cos(45 deg))");
            let corner = |x: f64, y: f64| format!("arc(end: {x:.4} mm by {y:.4} mm, rise: {quarter})");
            format!(
                "outline(points: [{:.4} mm by 0 mm, {:.4} mm by 0 mm, {}, {a:.4} mm by {h:.4} mm, \
                 arc(end: {:.4} mm by {h:.4} mm, rise: {a:.4} mm), {:.4} mm by {r:.4} mm, {}])",
                r - a,
                a - r,
                corner(a, r),
                -a,
                -a,
                corner(r - a, 0.0)
            )
        }
        // Two straights and two half rounds.
        1 => {
            let r = 0.3 * deep;
            format!(
                "outline(points: [{a} by {lo}, {b} by {lo}, arc(end: {b} by {hi}, rise: {hi}), {a} by {hi}, arc(end: {a} by {lo}, rise: {hi})])",
                a = mm(-0.25),
                b = mm(0.25),
                lo = mm(-r),
                hi = mm(r)
            )
        }
        // A triangle or more with round corners, one half of it drawn.
        2 => format!(
            "outline(points: [{z} by {lo}, {a} by {lo}, {b} by {hi}, {z} by {top}], mirror: yes, corner: {c})",
            z = mm(0.0),
            lo = mm(-0.4),
            a = mm(0.35),
            b = mm(d.between(0.3, 0.5)),
            hi = mm(0.25),
            top = mm(d.between(0.3, 0.55)),
            c = mm(d.between(0.05, 0.12))
        ),
        // Corners on a circle, at shares of the turn.
        _ => {
            let n = 4 + d.chance.below(4);
            let at: Vec<String> = (0..n)
                .map(|i| {
                    let a = TAU * (i as f64 + d.between(-0.2, 0.2)) / n as f64;
                    format!("{} by {}", mm(0.5 * num::cos(a)), mm(0.5 * deep * num::sin(a)))
                })
                .collect();
            format!("outline(points: [{}], corner: {})", at.join(", "), mm(d.between(0.04, 0.08)))
        }
    }
}

/// An angle, a cross or a trough, of points at a width of 1, with round corners.
fn hollow(d: &mut Draft, corner: f64) -> (Vec<(f64, f64)>, f64) {
    let t = d.between(0.3, 0.45);
    let points = match d.chance.below(3) {
        0 => vec![(0.0, 0.0), (1.0, 0.0), (1.0, t), (t, t), (t, 1.0), (0.0, 1.0)],
        1 => vec![(0.0, 0.0), (1.0, 0.0), (1.0, 0.8), (0.75, 0.8), (0.6, t), (0.4, t), (0.25, 0.8), (0.0, 0.8)],
        _ => vec![(0.0, 0.0), (0.5, 0.2), (1.0, 0.0), (0.8, 0.9), (0.2, 0.9)],
    };
    (points, corner.min(0.09))
}

fn outline((points, corner): &(Vec<(f64, f64)>, f64), wide: f64, times: &str) -> String {
    let mm = |x: f64| format!("{times}{:.1} mm", x * wide);
    let at: Vec<String> = points.iter().map(|(x, y)| format!("{} by {}", mm(*x), mm(*y))).collect();
    format!("outline(points: [{}], corner: {})", at.join(", "), mm(*corner))
}

/// A girth and widths that need not agree.
fn trusted(d: &mut Draft, wide: f64) -> String {
    let trust = d.one(&["around", "across"]);
    let girth = PI * wide * d.between(0.95, 1.08);
    if d.percent(30.0) {
        return format!("circle(around: {girth:.1} mm, across: {wide:.1} mm, trust: {trust})");
    }
    let deep = wide * d.between(0.7, 1.2);
    let girth = girth * 0.5 * (1.0 + deep / wide);
    let fullness = d.between(2.0, 3.0);
    format!(
        "oval(around: {girth:.1} mm, across: {wide:.1} mm by {deep:.1} mm, fullness: {fullness:.1}, trust: {trust})"
    )
}
