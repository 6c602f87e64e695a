//! Nested lames that slide on straps, in loops, and parts that stand on, in, over and beside each other, turned,
//! leaning and moved.

use super::words::Draft;
use tasset::num::{PI, TAU};

pub fn prop(number: usize) -> String {
    let mut draft = Draft::new("nest", number, &[1.0, 2.0, 3.0, 4.0, 5.0]);
    if number.is_multiple_of(2) {
        lames(&mut draft);
    } else {
        placed(&mut draft);
    }
    draft.text
}

fn lames(d: &mut Draft) {
    let thick = d.thick;
    let count = 2 + d.chance.below(4);
    let girth = d.between(260.0, 620.0);
    let wide = d.between(40.0, 90.0);
    let overlap = (wide * d.between(0.35, 0.6)).round();
    let gap = d.between(1.0, 2.0);
    let on = d.one(&["over", "over", "in"]);
    let grown = (count - 1) as f64 * (gap + thick);
    let radius = if on == "over" { girth / TAU + thick + grown } else { girth / TAU + thick };
    // Each joint slides by the arc; 8 mm of the overlap are left.
    let most = (overlap - 8.5).max(1.0) / radius * 180.0 / PI * (count - 1) as f64;
    let angle = most * d.between(0.4, 0.85);
    let open = d.between(150.0, 220.0);
    let facing = d.one(&["front", "left", "back", "right"]);
    // What others copy is round, or upright with round corners.
    let section = if d.percent(25.0) {
        let across = girth / 3.6;
        format!("rectangle(across: {across:.0} mm by {:.0} mm, corner: {:.0} mm)", 0.9 * across, 0.3 * across)
    } else {
        format!("circle(around: {girth:.0} mm)")
    };
    d.say(&format!(
        "shell lame[1] {{ at 0 mm to {wide:.0} mm: {section}, seam: open(facing: {facing}, gap: {open:.0} deg), measured: inside }}"
    ));
    let wide = wide.round();
    d.say(&format!("for i in 2 to {count} {{"));
    d.say(&format!("    shell lame[i] {on} lame[i - 1] {{ gap: {gap:.1} mm, level: {:.0} mm }}", wide - overlap));
    d.say("}");
    let upper = if on == "in" { ", upper: inside" } else { "" };
    let straps = d.one(&["webbing20", "[hide2, rivet8]", "webbing38", "[webbing25, rivet8]"]);
    let each = 2 + d.chance.below(2);
    d.say(&format!(
        "articulation slide on lame {{ of: {straps}, angle: {angle:.0} deg, overlap: {overlap:.0} mm, count: {each}{upper} }}"
    ));
    if d.percent(30.0) {
        d.say("for i in 1 to 2 {\n    mark line[i] on lame[i] { level: 12 mm }\n}");
    }
}

fn placed(d: &mut Draft) {
    let thick = d.thick;
    let wide = d.chance.scaled((30.0 * thick).max(80.0), 240.0);
    let tall = d.between(60.0, 260.0);
    let above = wide * d.between(0.9, 1.1);
    let section = |d: &mut Draft, x: f64| {
        let deep = x * d.between(0.8, 1.2);
        match d.chance.below(3) {
            0 => format!("circle(across: {x:.1} mm)"),
            1 => format!("oval(across: {x:.1} mm by {deep:.1} mm)"),
            _ => format!("rectangle(across: {x:.1} mm by {deep:.1} mm, corner: {:.1} mm)", 0.3 * x.min(deep)),
        }
    };
    let base = section(d, wide);
    let high = if d.percent(50.0) { base.clone() } else { section(d, above) };
    let more = d.make(0.0);
    d.say(&format!("shell body {{ at 0 mm: {base}, at {tall:.1} mm: {high}{more} }}"));
    let turned = turned(d);
    match d.chance.below(6) {
        // On its edge, with the section that stands there.
        0 => {
            let next = section(d, above * 0.8);
            let far = d.between(30.0, 160.0);
            d.say(&format!("shell neck on body.top {{ at 0 mm: {high}, at {far:.1} mm: {next}{more} }}"));
        }
        // On a cap, in the middle or aside.
        1 => {
            let fit = d.one(&["", "fit: flush"]);
            d.say(&format!("cap lid on body.top {{ {fit} }}"));
            let small = section(d, (0.3 * wide).max(18.0 * thick));
            let aside = if d.percent(40.0) {
                format!(", level: {:.1} mm, facing: {}", 0.12 * wide, d.facing())
            } else {
                String::new()
            };
            d.say(&format!("shell spout on lid {{ at 0 mm to {:.1} mm: {small}{turned}{aside} }}", 0.4 * tall));
        }
        // A liner or a sleeve of the same form.
        2 if high.starts_with("circle") && base.starts_with("circle") => {
            let on = d.one(&["in", "over"]);
            let gap = d.between(0.5, 3.0);
            d.say(&format!("shell sleeve {on} body {{ gap: {gap:.1} mm }}"));
        }
        2 | 3 => {
            let on = d.one(&["in", "over"]);
            let across = if on == "in" { 0.6 * wide } else { 1.6 * wide };
            let small = section(d, across);
            let level = if d.percent(50.0) { format!(", level: {:.1} mm", 0.1 * tall) } else { String::new() };
            let shift = if turned.contains("tilt") { String::new() } else { turned };
            d.say(&format!("shell core_wall {on} body {{ at 0 mm to {:.1} mm: {small}{level}{shift} }}", 0.7 * tall));
        }
        _ => {
            let other = section(d, (0.6 * wide).max(18.0 * thick));
            let facing = d.facing();
            let gap = d.between(10.0, 80.0);
            let pair = if d.percent(20.0) { ", pair: mirrored" } else { "" };
            d.say(&format!(
                "shell post beside body {{ at 0 mm to {:.1} mm: {other}, facing: {facing}, gap: {gap:.0} mm{turned}{pair} }}",
                0.8 * tall
            ));
        }
    }
    // Some of the same, in a loop.
    if d.percent(25.0) {
        let count = 2 + d.chance.below(3);
        let step = 40.0 + wide;
        d.say(&format!("for i in 1 to {count} {{"));
        d.say(&format!("    shell cup[i] beside body {{ facing: left, gap: {step:.0} mm * i, at 0 mm to 30 mm + i * 8 mm: circle(across: {:.0} mm) }}", (20.0 * thick).max(40.0)));
        d.say("    cap floor[i] on cup[i].bottom { }\n}");
    }
}

fn turned(d: &mut Draft) -> String {
    let mut out = String::new();
    if d.percent(35.0) {
        out.push_str(&format!(", spin: {:.0} deg", d.between(-180.0, 180.0)));
    }
    if d.percent(30.0) {
        let way = d.one(&["front", "left", "back", "right"]);
        out.push_str(&format!(", tilt: toward({way}: {:.0} deg)", d.between(2.0, 15.0)));
    }
    if d.percent(25.0) {
        let way = d.one(&["front", "left", "back", "right"]);
        out.push_str(&format!(", shift: toward({way}: {:.0} mm)", d.between(1.0, 8.0)));
    }
    out
}
