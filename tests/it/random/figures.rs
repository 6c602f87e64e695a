//! Edges cut to a figure: slopes, points, scallops, crenels, waves and curves, with bands, cords and bindings at them.

use super::words::Draft;
use tasset::num::PI;

pub fn prop(number: usize) -> String {
    let mut draft = Draft::new("edge", number, &[0.4, 0.5, 1.0, 2.0, 3.0, 4.0, 5.0]);
    let d = &mut draft;
    let wide = d.chance.scaled((22.0 * d.thick).max(60.0), 260.0);
    let tall = d.chance.scaled(60.0, 260.0);
    let above = wide * d.between(0.85, 1.2);
    let section = |d: &mut Draft, x: f64| {
        let deep = x * d.between(0.75, 1.25);
        match d.chance.below(4) {
            0 | 1 => format!("circle(across: {x:.1} mm)"),
            2 => format!("oval(across: {x:.1} mm by {deep:.1} mm)"),
            _ => format!("rectangle(across: {x:.1} mm by {deep:.1} mm, corner: {:.1} mm)", 0.3 * x.min(deep)),
        }
    };
    let low = section(d, wide);
    let high = if d.percent(60.0) { low.clone() } else { section(d, above) };
    let open = d.percent(35.0);
    let seam = if open {
        let gap = match d.chance.below(3) {
            0 => format!("{:.0} mm", 0.4 * wide),
            1 => format!("{:.0} %", d.between(10.0, 50.0)),
            _ => format!("{:.0} deg", d.between(40.0, 180.0)),
        };
        format!(", seam: open(facing: back, gap: {gap})")
    } else {
        d.one(&["", ", seam: butt(facing: back)", ", seam: lap(overlap: 12 mm, facing: back)"]).to_owned()
    };
    let more = d.make_wall(10.0);
    d.say(&format!("shell wall {{\n    at 0 mm: {low}\n    at {tall:.1} mm: {high}\n    rim: square{seam}{more}\n}}"));
    let end = d.one(&["top", "top", "bottom"]);
    let girth = 0.5 * PI * wide;
    let rise = d.between(0.08, 0.35) * tall;
    let count = 2 + d.chance.below(9);
    // A figure's steepness: what lies beside it bends with it.
    let rise_of = |count: usize| rise.min(1.2 * girth / count as f64);
    let sort = number % 6;
    let figure = match sort {
        0 => {
            let facing = if open { "front".to_owned() } else { d.facing() };
            format!("as: slope, rise: {rise:.1} mm, facing: {facing}")
        }
        1 => {
            let n = if d.percent(40.0) { 1 } else { count };
            format!("as: point, count: {n}, rise: {:.1} mm", rise_of(n))
        }
        2 => format!("as: scallops, count: {count}, rise: {:.1} mm", rise_of(count).min(0.6 * girth / count as f64)),
        3 => format!("as: crenels, count: {count}, rise: {:.1} mm", rise_of(count)),
        4 => format!("as: wave, count: {count}, rise: {:.1} mm", rise_of(2 * count)),
        _ => {
            let (a, b) = (0.8 * rise, d.between(0.3, 1.0) * rise);
            if open {
                format!("as: curve, path: [left by {a:.1} mm, front by 0 mm, right by {a:.1} mm]")
            } else {
                format!("as: curve, path: [front by 0 mm, left by {a:.1} mm, back by {b:.1} mm, right by {a:.1} mm]")
            }
        }
    };
    d.say(&format!("edge rim on wall.{end} {{ {figure} }}"));
    // Smooth figures take cords, all take a binding; the other end takes a band.
    let trimmed = d.percent(45.0);
    if trimmed {
        let smooth = matches!(sort, 0 | 4 | 5);
        let border = if smooth {
            d.one(&[
                "as: cord, of: cord3",
                "as: cord, of: cord2, count: 2",
                "as: piping, of: [cord2, twill]",
                "as: binding, of: twill, wide: 6 mm",
            ])
        } else {
            d.one(&["as: binding, of: twill, wide: 6 mm", "as: binding, of: twill, wide: 10 mm"])
        };
        d.say(&format!("border trim on wall.{end} {{ {border} }}"));
    }
    if d.percent(35.0) {
        let other = if end == "top" { "bottom" } else { "top" };
        let band = d.one(&[
            "as: band, wide: 15 mm, of: foam2",
            "as: cord, of: cord4",
            "as: band, wide: 20 mm, rise: 3 mm, of: foam2",
        ]);
        d.say(&format!("border foot on wall.{other} {{ {band} }}"));
    }
    // What follows the edge as it is cut: rows of tongues all but teeth.
    if !trimmed && d.percent(70.0) {
        let band =
            d.one(&["as: band, wide: 24 mm", "as: band, wide: 28 mm, rise: 4 mm", "as: band, wide: 18 mm, count: 2"]);
        let tongues =
            d.one(&["as: scallops, wide: 20 mm, every: 17 mm", "as: scallops, wide: 24 mm, every: 30 mm, rise: 8 mm"]);
        let strip = if sort != 3 && d.percent(40.0) { tongues } else { band };
        d.say(&format!("border strip on wall.{end} {{ {strip}, of: foam2 }}"));
    }
    draft.text
}
