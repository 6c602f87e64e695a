//! Walls along a spine: straight, bent in mitred or flipped rings, narrowing, closed to a ring, and along a path.

use super::words::Draft;

pub fn prop(number: usize) -> String {
    let mut draft = Draft::new("spine", number, &[0.4, 0.5, 1.0, 2.0, 3.0, 4.0]);
    let d = &mut draft;
    let wide = d.chance.scaled((16.0 * d.thick).max(24.0), 160.0);
    let joints = 1 + d.chance.below(6);
    let angle = d.between(12.0, 28.0) * joints as f64;
    let facing = d.facing();
    // On the inner side of a bend some wall must be left.
    let radius = wide * d.between(0.75, 2.5);
    let before =
        if d.percent(60.0) { format!("straight(long: {:.1} mm), ", wide * d.between(0.5, 2.0)) } else { String::new() };
    let after =
        if d.percent(40.0) { format!(", straight(long: {:.1} mm)", wide * d.between(0.4, 1.5)) } else { String::new() };
    let mut low = round(d, wide);
    let mut high = low.clone();
    let sort = number % 6;
    let spine = match sort {
        // One section, whatever it is.
        0 => {
            low = any(d, wide);
            high = low.clone();
            let second = if d.percent(30.0) {
                let other = d.facing();
                let turn = d.between(10.0, 40.0);
                format!(", bend(angle: {turn:.0} deg, radius: {radius:.1} mm, facing: {other}, joints: 2)")
            } else {
                String::new()
            };
            format!(
                "[{before}bend(angle: {angle:.0} deg, radius: {radius:.1} mm, facing: {facing}, joints: {joints}){second}{after}]"
            )
        }
        // Round and narrowing.
        1 => {
            high = round(d, wide * 0.6);
            let long = (angle.to_radians() * radius).max(1.2 * wide);
            let size = if d.percent(50.0) {
                format!("long: {:.1} mm", 1.3 * long)
            } else {
                format!("radius: {:.1} mm", 1.3 * radius)
            };
            format!("[{before}bend(angle: {angle:.0} deg, {size}, facing: {facing}, joints: {joints}){after}]")
        }
        2 => {
            if d.percent(60.0) {
                high = round(d, wide * 0.7);
            }
            format!(
                "[bend(angle: {angle:.0} deg, radius: {:.1} mm, facing: {facing}, joints: {joints}, style: flipped)]",
                1.4 * radius
            )
        }
        3 => {
            low = any(d, wide);
            high = low.clone();
            format!("[ring(radius: {:.1} mm, joints: {})]", wide * d.between(0.9, 3.0), 6 + d.chance.below(14))
        }
        4 => {
            low = if d.percent(50.0) { any(d, wide) } else { low };
            high = if d.percent(40.0) && low.starts_with("circle") { round(d, 0.8 * wide) } else { low.clone() };
            let step = wide * d.between(1.6, 3.0);
            let side = |d: &mut Draft| step * d.between(-0.35, 0.35);
            let mut points = vec!["0 mm by 0 mm by 0 mm".to_owned()];
            for i in 1..3 + d.chance.below(2) {
                points.push(format!("{:.1} mm by {:.1} mm by {:.1} mm", side(d), side(d), step * i as f64));
            }
            format!("[path(points: [{}], joints: {})]", points.join(", "), 1 + d.chance.below(3))
        }
        _ => {
            high = any(d, wide);
            if d.percent(50.0) { "[straight]".to_owned() } else { format!("[straight(long: {:.1} mm)]", 2.0 * wide) }
        }
    };
    let stations = if low == high && d.percent(70.0) {
        format!("at bottom to top: {low}")
    } else if spine == "[straight]" {
        format!("at 0 mm: {low}\n    at {:.1} mm: {high}", 1.8 * wide)
    } else {
        format!("at bottom: {low}\n    at top: {high}")
    };
    // A bent wall is closed.
    let mut seam = if sort == 5 { d.seam_or_gap(0.6 * wide) } else { d.seam(0.6 * wide) };
    if seam.ends_with(')') && sort != 5 && d.percent(40.0) {
        seam = format!("{}, stagger: {:.0} deg)", &seam[..seam.len() - 1], d.between(20.0, 180.0));
    }
    let rim = d.one(&["level", "square"]);
    let more = d.make_wall(10.0);
    d.say(&format!("shell wall {{\n    {stations}\n    spine: {spine}\n    rim: {rim}{seam}{more}\n}}"));
    // A bent wall has no caps yet.
    if sort == 5 && !seam.contains("open") && d.percent(50.0) {
        let end = d.one(&["bottom", "top"]);
        d.cap("lid", &format!("wall.{end}"), wide);
    }
    if d.percent(30.0) {
        let (level, facing) = (0.4 * wide, d.facing());
        d.say("supply clip { as: hook, wide: 6 mm, long: 8 mm, thick: 2 mm, mass: 2 g }");
        d.say(&format!(
            "attachment tag on wall {{ as: hook, of: clip, level: bottom + {level:.1} mm, facing: {facing} }}"
        ));
    }
    draft.text
}

fn round(d: &mut Draft, wide: f64) -> String {
    let wide = wide * d.between(0.9, 1.1);
    format!("circle(across: {wide:.1} mm)")
}

fn any(d: &mut Draft, wide: f64) -> String {
    let deep = wide * d.between(0.7, 1.3);
    match d.chance.below(4) {
        0 => round(d, wide),
        1 => format!("oval(across: {wide:.1} mm by {deep:.1} mm)"),
        2 => format!("oval(across: {wide:.1} mm by {deep:.1} mm, fullness: {:.1})", d.between(2.2, 3.5)),
        _ => format!("rectangle(across: {wide:.1} mm by {deep:.1} mm, corner: {:.1} mm)", 0.3 * wide.min(deep)),
    }
}
