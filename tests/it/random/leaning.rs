//! Walls whose stations lean between the ends, and walls of sections that change along a bend.

use super::words::Draft;

pub fn prop(number: usize) -> String {
    let mut draft = Draft::new("leaning", number, &[0.4, 0.5, 1.0, 2.0, 3.0]);
    let d = &mut draft;
    let wide = d.chance.scaled((20.0 * d.thick).max(30.0), 140.0);
    let mut stations: Vec<String> = Vec::new();
    let mut more = String::new();
    if number.is_multiple_of(2) {
        // A straight axis.
        let count = 3 + d.chance.below(3);
        let mut at = 0.0;
        for i in 0..count {
            let inner = i > 0 && i + 1 < count;
            let size = wide * d.between(0.7, 1.1);
            let mut placed = Vec::new();
            if inner && (i == 1 || d.percent(60.0)) {
                let (way, side) = (d.one(&["front", "back"]), d.one(&["left", "right"]));
                let (a, b) = (d.between(3.0, 22.0), d.between(2.0, 12.0));
                placed.push(match d.chance.below(3) {
                    0 => format!("tilt: toward({way}: {a:.0} deg)"),
                    1 => format!("tilt: toward({side}: {a:.0} deg)"),
                    _ => format!("tilt: toward({way}: {a:.0} deg, {side}: {b:.0} deg)"),
                });
            }
            if inner && d.percent(30.0) {
                placed.push(format!("shift: toward(left: {:.1} mm)", wide * d.between(-0.1, 0.1)));
            }
            if d.percent(25.0) {
                placed.push(format!("spin: {:.0} deg", d.between(5.0, 60.0)));
            }
            let closes = i + 1 == count && d.percent(15.0);
            let section = if closes { "point".to_owned() } else { section(d, size, &placed) };
            stations.push(format!("at {at:.1} mm: {section}"));
            at += wide * d.between(0.9, 1.6);
        }
    } else {
        let (joints, facing) = (1 + d.chance.below(4), d.facing());
        let angle = d.between(10.0, 22.0) * joints as f64;
        let radius = wide * d.between(1.6, 3.5);
        more = format!(
            "    spine: [bend(angle: {angle:.0} deg, radius: {radius:.1} mm, facing: {facing}, joints: {joints})]\n"
        );
        let (low, high) = (section(d, wide, &[]), section(d, wide * narrows(number), &[]));
        stations.push(format!("at bottom: {low}"));
        if d.percent(35.0) {
            let middle = section(d, wide * 0.85, &[]);
            stations.push(format!("at middle: {middle}"));
        }
        stations.push(format!("at top: {high}"));
    }
    let (rim, seam) = (d.one(&["level", "square"]), d.seam(0.6 * wide));
    let make = d.make_wall(8.0);
    d.say(&format!("shell wall {{\n    {}\n{more}    rim: {rim}{seam}{make}\n}}", stations.join("\n    ")));
    draft.text
}

/// How much narrower it ends.
fn narrows(number: usize) -> f64 {
    [0.55, 0.7, 0.85, 1.0][number / 2 % 4]
}

fn section(d: &mut Draft, wide: f64, placed: &[String]) -> String {
    let deep = wide * d.between(0.75, 1.2);
    let placed: String = placed.iter().map(|p| format!(", {p}")).collect();
    match d.chance.below(4) {
        0 => format!("circle(across: {wide:.1} mm{placed})"),
        1 => format!("oval(across: {wide:.1} mm by {deep:.1} mm{placed})"),
        2 => format!("oval(across: {wide:.1} mm by {deep:.1} mm, fullness: {:.1}{placed})", d.between(2.1, 2.8)),
        _ => format!("rectangle(across: {wide:.1} mm by {deep:.1} mm, corner: {:.1} mm{placed})", 0.3 * wide.min(deep)),
    }
}
