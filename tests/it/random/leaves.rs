//! Plates: outlines, layers, bevels, bent ones, pairs, on walls and by themselves; marks on plates, caps and walls.

use super::words::Draft;

pub fn prop(number: usize) -> String {
    let mut draft = Draft::new("plate", number, &[0.5, 1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 10.0]);
    let d = &mut draft;
    let thick = d.thick;
    let w = d.chance.scaled((8.0 * thick).max(30.0), 260.0);
    let h = w * d.between(0.5, 2.5);
    let layers = if d.percent(25.0) { ", of: [sheet, sheet]" } else { "" };
    let whole = if layers.is_empty() { thick } else { 2.0 * thick };
    let sort = number % 5;
    let shape = d.shape(w, h);
    let least = w.min(h);
    let bevel = match d.chance.below(6) {
        0 => format!(", bevel: {:.0} deg", d.between(5.0, 40.0)),
        1 => format!(", bevel: {:.0} deg", -d.between(5.0, 25.0)),
        2 => format!(", bevel: wedge(wide: {:.1} mm)", d.between(0.05, 0.12) * least),
        3 => format!(", bevel: diamond(wide: {:.1} mm)", d.between(0.05, 0.12) * least),
        _ => String::new(),
    };
    let more = d.make(20.0);
    match sort {
        // Flat, by itself.
        0 | 1 => {
            let spin =
                if d.percent(30.0) { format!(", spin: {:.0} deg", d.between(-180.0, 180.0)) } else { String::new() };
            let face = d.facing();
            d.say(&format!("plate fin {{ shape: {shape}, facing: {face}{layers}{bevel}{spin}{more} }}"));
        }
        // Bent about its up.
        2 => {
            let radius = (w * d.between(0.35, 2.0)).max(8.0 * whole);
            let bevel = if bevel.contains("deg") || bevel.is_empty() { bevel } else { String::new() };
            d.say(&format!("plate fin {{ shape: {shape}, bent: {radius:.1} mm{layers}{bevel}{more} }}"));
        }
        // On a wall, bent as it is or flat against it.
        _ => {
            let across = w * d.between(1.2, 2.5);
            let tall = 1.5 * h;
            let above = if d.percent(50.0) { across } else { across * d.between(0.85, 1.15) };
            let section = |x: f64, oval: bool| {
                if oval {
                    format!("oval(across: {x:.1} mm by {:.1} mm)", 0.8 * x)
                } else {
                    format!("circle(across: {x:.1} mm)")
                }
            };
            let oval = d.percent(30.0);
            let (a, b) = (section(across, oval), section(above, oval));
            d.say(&format!("shell wall {{ at 0 mm: {a}, at {tall:.1} mm: {b} }}"));
            let made = if d.percent(25.0) { ", made: flat" } else { "" };
            let gap = if d.percent(15.0) { ", gap: 1 mm" } else { "" };
            let face = d.one(&["front", "left", "right"]);
            let on = d.one(&["on", "on", "on", "in"]);
            d.say(&format!("plate fin {on} wall {{ shape: {shape}, facing: {face}{layers}{bevel}{made}{gap}{more} }}"));
        }
    }
    holes_and_marks(d, sort, (w, h));
    if d.percent(40.0) {
        fitting(d, "fin", (w, h));
    }
    draft.text
}

/// A fitting on a flat of this width and height.
pub fn fitting(d: &mut Draft, on: &str, (w, h): (f64, f64)) {
    let (wide, long) = (0.12 * w, 0.12 * h);
    d.say(&format!("supply clip {{ as: hook, wide: {wide:.1} mm, long: {long:.1} mm, thick: 3 mm, mass: 4 g }}"));
    let spin = if d.percent(40.0) { format!(", spin: {:.0} deg", d.between(-90.0, 90.0)) } else { String::new() };
    let backing = if d.percent(40.0) {
        format!(", backing: {:.1} mm by {:.1} mm", 1.2 * wide, 1.2 * long)
    } else {
        String::new()
    };
    let aside = d.between(-0.2, 0.2) * w;
    let at = if d.percent(30.0) {
        format!("count: 2, spread: along, ends: {:.1} mm", 0.3 * h)
    } else {
        format!("level: {:.1} mm", d.between(0.3, 0.7) * h)
    };
    d.say(&format!(
        "attachment tag on {on} {{ as: hook, of: clip, {at}, shift: toward(left: {aside:.1} mm){spin}{backing} }}"
    ));
}

fn holes_and_marks(d: &mut Draft, sort: usize, (w, h): (f64, f64)) {
    let sorts = ["line", "line", "groove", "score"];
    if d.percent(35.0) {
        let shape = d.shape(0.15 * w, 0.15 * h);
        d.say(&format!("opening eye on fin {{ shape: {shape} }}"));
    }
    if d.percent(35.0) {
        let how = d.one(&sorts);
        let margin = d.between(0.08, 0.15) * w.min(h);
        let at = match d.chance.below(3) {
            0 => format!("margin: {margin:.1} mm"),
            1 => "count: 2, ends: 30 %".replace("30 %", &format!("{:.1} mm", 0.3 * h)),
            _ => format!("path: [{:.1} mm by 0 mm, 0 mm by {:.1} mm, {:.1} mm by 0 mm]", -0.2 * w, 0.15 * h, 0.2 * w),
        };
        d.say(&format!("mark line on fin {{ as: {how}, {at} }}"));
    }
    if sort < 3 || !d.percent(60.0) {
        return;
    }
    let how = d.one(&sorts);
    let face = if d.percent(25.0) { ", face: inside" } else { "" };
    let at = match d.chance.below(3) {
        0 => format!("level: {:.1} mm", d.between(0.1, 0.9) * h),
        1 => format!("count: {}, ends: {:.1} mm", 2 + d.chance.below(3), 0.2 * h),
        _ => {
            format!("path: [front by {:.1} mm, left + 20 deg by {:.1} mm, back by {:.1} mm]", 0.1 * h, 0.5 * h, 1.2 * h)
        }
    };
    d.say(&format!("mark hoops on wall {{ as: {how}{face}, {at} }}"));
    if d.percent(30.0) {
        d.say("cap base on wall.bottom { }");
        let margin = d.between(0.1, 0.2) * w;
        d.say(&format!("mark ring on base {{ as: line, margin: {margin:.1} mm }}"));
    }
}
