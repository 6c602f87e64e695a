//! Walls whose stations are shifted or spun, whose ends are cut sloping, or that run to a point: oblique cones.

use super::words::Draft;

pub fn prop(number: usize) -> String {
    let mut draft = Draft::new("end", number, &[0.4, 0.5, 1.0, 2.0, 3.0, 4.0, 5.0]);
    let d = &mut draft;
    let wide = d.chance.scaled((16.0 * d.thick).max(30.0), 220.0);
    let tall = wide * d.between(0.9, 3.0);
    let sort = number % 4;
    let (low, high, seam) = match sort {
        // A tube of any section, one or both ends sloping.
        0 => {
            let section = section(d, wide);
            let (a, b) = (tilt(d, true), tilt(d, false));
            (with(&section, &a), with(&section, &b), d.seam_or_gap(3.0 * wide))
        }
        // Shifted and spun.
        1 => {
            let (a, b) = (section(d, wide), section(d, wide * 1.1));
            let b = if d.percent(50.0) { a.clone() } else { b };
            let moved = format!("{}{}", shift(d, 0.25 * tall.min(wide)), spin(d));
            (with(&a, ""), with(&b, &moved), d.seam_or_gap(3.0 * wide))
        }
        // To a point that stands aside.
        2 => {
            let a = section(d, wide);
            let moved = shift(d, 0.45 * wide);
            let point = if moved.is_empty() { "point".to_owned() } else { format!("point({})", &moved[2..]) };
            (with(&a, ""), point, d.seam(1.0 * wide))
        }
        // A cone cut sloping, shifted a little or not.
        _ => {
            let ratio = d.between(0.7, 1.3);
            let moved = if d.percent(40.0) { shift(d, 0.1 * wide) } else { String::new() };
            let slope = tilt(d, true);
            let below = format!("circle(across: {wide:.1} mm)");
            let above = format!("circle(across: {:.1} mm)", ratio * wide);
            (with(&below, ""), with(&above, &format!("{moved}{slope}")), d.seam_or_gap(2.0 * wide))
        }
    };
    let upside = d.percent(20.0);
    let (low, high) = if upside { (high, low) } else { (low, high) };
    let more = d.make_wall(10.0);
    let rim = d.one(&["level", "square"]);
    d.say(&format!("shell wall {{\n    at 0 mm: {low}\n    at {tall:.1} mm: {high}\n    rim: {rim}{seam}{more}\n}}"));
    // What closes or pierces it; caps close level ends.
    for (name, section) in [("bottom", &low), ("top", &high)] {
        if !(section.starts_with("point") || section.contains("tilt") || seam.contains("open")) && d.percent(35.0) {
            d.cap(&format!("{name}_cap"), &format!("wall.{name}"), tall);
        }
    }
    if d.percent(20.0) && sort != 2 && !seam.contains("open") {
        let shape = d.shape(0.25 * wide, 0.15 * tall);
        d.say(&format!("opening port on wall {{ shape: {shape}, level: {:.1} mm, facing: front }}", 0.5 * tall));
    }
    draft.text
}

fn section(d: &mut Draft, wide: f64) -> String {
    let deep = wide * d.between(0.65, 1.4);
    match d.chance.below(4) {
        0 => format!("circle(across: {wide:.1} mm)"),
        1 => format!("oval(across: {wide:.1} mm by {deep:.1} mm)"),
        2 => format!("oval(across: {wide:.1} mm by {deep:.1} mm, fullness: {:.1})", d.between(2.1, 3.5)),
        _ => {
            let corner = d.between(0.15, 0.45) * wide.min(deep);
            format!("rectangle(across: {wide:.1} mm by {deep:.1} mm, corner: {corner:.1} mm)")
        }
    }
}

fn with(section: &str, more: &str) -> String {
    if more.is_empty() { section.to_owned() } else { format!("{}{more})", &section[..section.len() - 1]) }
}

fn tilt(d: &mut Draft, must: bool) -> String {
    if !must && d.percent(40.0) {
        return String::new();
    }
    let way = d.one(&["front", "left", "back", "right"]);
    let degrees = d.between(4.0, 22.0);
    if d.percent(20.0) {
        let other = if way == "front" || way == "back" { "left" } else { "front" };
        return format!(", tilt: toward({way}: {:.0} deg, {other}: {:.0} deg)", 0.7 * degrees, 0.5 * degrees + 1.0);
    }
    format!(", tilt: toward({way}: {degrees:.1} deg)")
}

fn shift(d: &mut Draft, most: f64) -> String {
    let way = d.one(&["front", "left", "back", "right"]);
    let far = d.between(0.1, 1.0) * most;
    match d.chance.below(3) {
        0 => String::new(),
        1 => format!(", shift: toward({way}: {far:.1} mm)"),
        _ => {
            let other = if way == "front" || way == "back" { "left" } else { "back" };
            format!(", shift: toward({way}: {far:.1} mm, {other}: {:.1} mm)", 0.5 * far)
        }
    }
}

fn spin(d: &mut Draft) -> String {
    if d.percent(30.0) { String::new() } else { format!(", spin: {:.0} deg", d.between(-50.0, 50.0)) }
}
