//! Shells in panels, mitred or lapped, upright or frusta, one folded strip, and keels along walls.

use super::leaves::fitting;
use super::profiles::polygon;
use super::words::Draft;

pub fn prop(number: usize) -> String {
    let mut draft = Draft::new("panel", number, &[0.5, 1.0, 2.0, 3.0, 4.0, 5.0, 6.0]);
    let d = &mut draft;
    let wide = d.chance.scaled((14.0 * d.thick).max(40.0), 300.0);
    let tall = d.chance.scaled(40.0, 400.0);
    let sort = number % 6;
    if sort == 5 {
        keel(d, wide, tall);
        return draft.text;
    }
    let sides = 3 + d.chance.below(6);
    let deep = wide * d.between(0.5, 1.4);
    let scale = d.between(0.7, 1.3);
    let (low, high) = match (sort, d.chance.below(4)) {
        // Lapped panels stand at right angles.
        (1, 0..=1) | (_, 0) => (rectangle(wide, deep), rectangle(scale * wide, scale * deep)),
        (1, _) => (polygon(4, "across", wide, 0.0), polygon(4, "across", scale * wide, 0.0)),
        (_, 1) => {
            let t = d.between(0.25, 0.45);
            let at = |w: f64| {
                let mm = |x: f64| format!("{:.3} mm", x * w);
                let (o, a, b) = (mm(0.0), mm(t), mm(1.0));
                format!("outline(points: [{o} by {o}, {b} by {o}, {b} by {a}, {a} by {a}, {a} by {b}, {o} by {b}])")
            };
            (at(wide), at(wide * if sort == 2 { scale } else { 1.0 }))
        }
        (_, 2) => (polygon(sides, "across_corners", wide, 0.0), polygon(sides, "across_corners", scale * wide, 0.0)),
        _ => (polygon(sides, "across", wide, 0.0), polygon(sides, "across", scale * wide, 0.0)),
    };
    let upright = sort == 1 || sort == 0 || d.percent(30.0);
    let stations = if upright {
        format!("at 0 mm to {tall:.1} mm: {low}")
    } else if sort == 2 && d.percent(25.0) && !low.starts_with("outline") {
        format!("at 0 mm: {low}\n    at {tall:.1} mm: point")
    } else {
        format!("at 0 mm: {low}\n    at {tall:.1} mm: {high}")
    };
    let made = match sort {
        0 => d.one(&["", ", made: panels"]).to_owned(),
        1 => ", made: panels(style: lapped)".to_owned(),
        2 => String::new(),
        3 => ", made: folded".to_owned(),
        _ => format!(", made: folded(skin: {:.1} mm)", d.between(0.2, 1.0) * d.thick),
    };
    let seam = if sort > 2 {
        // Tabs stand in the middle of a side.
        let facing = d.facing();
        if d.percent(40.0) {
            ", seam: tabs(wide: 8 mm, facing: front)".to_owned()
        } else {
            format!(", seam: butt(facing: {facing})")
        }
    } else {
        String::new()
    };
    let more = d.make(8.0);
    let rim = if sort < 3 { "" } else { d.one(&["", ", rim: level", ", rim: square"]) };
    d.say(&format!("shell box {{\n    {stations}\n    split: auto{made}{seam}{rim}{more}\n}}"));
    let pointed = stations.contains("point\n") || stations.ends_with("point");
    let mut has_base = false;
    for (name, edge) in [("base", "bottom"), ("lid", "top")] {
        if d.percent(35.0) && !(edge == "top" && pointed) {
            let fit = d.one(&["", "fit: flush", "fit: inset, sunk: 3 mm"]);
            d.say(&format!("cap {name} on box.{edge} {{ {fit} }}"));
            has_base |= name == "base";
        }
    }
    if d.percent(35.0) && !low.starts_with("outline") {
        let shape = d.shape(0.2 * wide.min(deep), 0.25 * tall);
        d.say(&format!("opening port on box {{ shape: {shape}, level: {:.1} mm, facing: front }}", 0.5 * tall));
    }
    if d.percent(25.0) && sort < 5 {
        let sort = d.one(&["line", "groove", "score"]);
        let level = d.between(0.15, 0.3) * tall;
        d.say(&format!("mark hoop on box {{ as: {sort}, level: {level:.1} mm }}"));
    }
    if d.percent(40.0) && !low.starts_with("outline") {
        let on = if has_base && d.percent(25.0) { "base" } else { "box" };
        let room = 0.3 * wide.min(deep);
        if on == "base" {
            d.say("supply stud { as: magnet, across: 6 mm, thick: 0.3 mm, mass: 1 g }");
            d.say("attachment tag on base { as: magnet, of: stud, count: 3, margin: 12 mm }");
        } else {
            fitting(d, on, (room, tall));
        }
    }
    draft.text
}

fn rectangle(wide: f64, deep: f64) -> String {
    format!("rectangle(across: {wide:.1} mm by {deep:.1} mm)")
}

/// A keel along a tube or a cone.
fn keel(d: &mut Draft, wide: f64, tall: f64) {
    let across = wide.max(24.0 * d.thick);
    let low = if d.percent(70.0) {
        format!("circle(across: {across:.1} mm)")
    } else {
        format!("oval(across: {across:.1} mm by {:.1} mm)", across * d.between(0.7, 1.4))
    };
    let stations = if d.percent(50.0) || low.starts_with("oval") {
        format!("at 0 mm to {tall:.1} mm: {low}")
    } else {
        format!("at 0 mm: {low}\n    at {tall:.1} mm: circle(across: {:.1} mm)", across * d.between(0.75, 1.25))
    };
    let facing = d.one(&["front", "left", "right"]);
    let seam = d.one(&["", ", seam: lap(overlap: 10 mm)", ", seam: open(gap: 90 deg)"]);
    d.say(&format!("shell wall {{\n    {stations}\n    rim: level{seam}\n}}"));
    let foot = across * d.between(0.2, 0.45);
    let rise = foot * d.between(0.4, 0.9);
    let long = if d.percent(50.0) {
        format!(", long: {:.0} mm, level: {:.0} mm", 0.6 * tall, 0.5 * tall)
    } else {
        String::new()
    };
    let more = d.make(0.0);
    d.say(&format!("keel ridge on wall {{ facing: {facing}, wide: {foot:.1} mm, rise: {rise:.1} mm{long}{more} }}"));
}
