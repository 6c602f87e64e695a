//! Covers, linings and heads of cloth, flanges, tabs at a foot, cores, formed walls, and girths that must get through.

use super::words::Draft;
use tasset::num::PI;

pub fn prop(number: usize) -> String {
    let mut draft = Draft::new("clad", number, &[1.0, 2.0, 3.0, 4.0, 5.0]);
    let d = &mut draft;
    let thick = d.thick;
    let wide = d.chance.scaled((24.0 * thick).max(70.0), 260.0);
    let tall = d.chance.scaled(60.0, 320.0);
    let above = wide * d.between(0.88, 1.12);
    match number % 6 {
        0 | 1 => covered(d, (wide, above, tall)),
        2 => head(d, (wide, above, tall)),
        3 => brim(d, (wide, above, tall)),
        4 => formed(d, (wide, tall)),
        _ => core_or_passes(d, (wide, above, tall)),
    }
    draft.text
}

fn section(d: &mut Draft, x: f64) -> String {
    let deep = x * d.between(0.8, 1.25);
    match d.chance.below(4) {
        0 | 1 => format!("circle(across: {x:.1} mm)"),
        2 => format!("oval(across: {x:.1} mm by {deep:.1} mm)"),
        _ => format!("rectangle(across: {x:.1} mm by {deep:.1} mm, corner: {:.1} mm)", 0.35 * x.min(deep)),
    }
}

fn wall(d: &mut Draft, (wide, above, tall): (f64, f64, f64), seam: &str) {
    let low = section(d, wide);
    let high = if d.percent(60.0) { low.clone() } else { section(d, above) };
    let more = d.make(8.0);
    d.say(&format!("shell wall {{\n    at 0 mm: {low}\n    at {tall:.1} mm: {high}\n    rim: level{seam}{more}\n}}"));
}

fn covered(d: &mut Draft, (wide, above, tall): (f64, f64, f64)) {
    let open = d.percent(30.0);
    let seam = if open { ", seam: open(facing: back, gap: 25 %)".to_owned() } else { d.seam(2.5 * wide) };
    wall(d, (wide, above, tall), &seam);
    let base = !open && d.percent(50.0);
    if base {
        let fit = d.one(&["", "fit: flush", "fit: inset, sunk: 6 mm"]);
        d.say(&format!("cap base on wall.bottom {{ {fit} }}"));
    }
    if d.percent(30.0) {
        let shape = d.shape(0.2 * wide, 0.2 * tall);
        d.say(&format!("opening port on wall {{ shape: {shape}, level: {:.1} mm, facing: front }}", 0.5 * tall));
    }
    let on = if base { "[wall, base]" } else { "wall" };
    let of = d.one(&["twill", "cotton", "felt"]);
    let turn = d.between(6.0, 18.0).min(0.2 * tall);
    let relief = if d.percent(20.0) { ", relief: none" } else { "" };
    let own = if open { "" } else { d.one(&["", "", ", seam: lap(overlap: 8 mm)", ", seam: butt(facing: left)"]) };
    d.say(&format!("cover hide on {on} {{ of: {of}, turn: {turn:.0} mm{own}{relief} }}"));
    if d.percent(30.0) {
        let turn = 8 * d.chance.below(2);
        d.say(&format!("cover lining on wall {{ of: cotton, face: inside, turn: {turn} mm }}"));
    }
}

fn head(d: &mut Draft, (wide, above, tall): (f64, f64, f64)) {
    wall(d, (wide, above, tall), "");
    let turn = d.between(8.0, 25.0).min(0.3 * tall);
    let of = d.one(&["twill", "felt", "hide2"]);
    d.say(&format!("cap head on wall.top {{ of: {of}, fit: flush, turn: {turn:.0} mm }}"));
    if d.percent(40.0) {
        d.say(&format!("border hoop on wall.top {{ as: band, wide: {:.0} mm }}", turn + 3.0));
    }
    if d.percent(30.0) {
        d.say("cover hide on wall { of: cotton, turn: 0 mm }");
    }
}

fn brim(d: &mut Draft, (wide, above, tall): (f64, f64, f64)) {
    let collar = d.between(8.0, 22.0);
    // Sheet of a millimetre folds.
    let foot = if d.thick <= 1.0 { d.one(&["tabs", "tabs", "flange"]) } else { "flange" }.to_owned();
    if d.percent(50.0) {
        let foot = format!(", foot: {foot}(wide: {collar:.0} mm)");
        wall(d, (wide, above, tall), &foot);
        return;
    }
    wall(d, (wide, above, tall), "");
    d.say("cap lid on wall.top { fit: flush }");
    let small = (0.3 * wide).max(16.0 * d.thick);
    let section = section(d, small);
    let room = (0.4 * (0.75 * wide - small)).clamp(4.0, collar);
    d.say(&format!(
        "shell spout on lid {{ at 0 mm to {:.1} mm: {section}, foot: {foot}(wide: {room:.0} mm) }}",
        0.3 * tall
    ));
}

fn formed(d: &mut Draft, (wide, tall): (f64, f64)) {
    let bulge = wide * d.between(0.97, 1.03);
    let sheet = d.thick;
    let stretch = d.between(10.0, 20.0);
    d.say(&format!(
        "stock pliant {{ as: foam, thick: {sheet:.2} mm, size: 1200 mm by 2400 mm, density: 95 kg/m3, stretch: {stretch:.0} % }}"
    ));
    let knee = tall * d.between(0.35, 0.65);
    let lean = d.between(0.9, 1.1);
    let seam = d.seam(2.5 * wide);
    let more = d.make(10.0);
    d.say(&format!(
        "shell wall {{\n    of: pliant, made: formed\n    at 0 mm: circle(across: {wide:.1} mm)\n    at {knee:.1} mm: circle(across: {:.1} mm)\n    \
         at {tall:.1} mm: circle(across: {:.1} mm)\n    rim: square{seam}{more}\n}}",
        bulge * 0.5 * (1.0 + lean),
        wide * lean
    ));
}

fn core_or_passes(d: &mut Draft, (wide, above, tall): (f64, f64, f64)) {
    if d.percent(50.0) {
        let girth = PI * 0.8 * (wide.min(above) - 2.0 * d.thick) * d.between(0.6, 1.0);
        let seam = d.one(&["", ", seam: open(gap: 30 mm)", ", seam: lap(overlap: 10 mm)"]);
        let passes = format!("{seam}, passes: {girth:.0} mm");
        wall(d, (wide, above, tall), &passes);
        return;
    }
    wall(d, (wide, above, tall), "");
    let base = d.percent(50.0);
    if base {
        d.say("cap base on wall.bottom { }");
    }
    let rod = d.one(&["dowel8", "dowel12"]);
    let long = tall * d.between(0.6, 1.6);
    let count = if d.percent(30.0) { ", count: 2" } else { "" };
    let gap = if d.percent(30.0) { ", gap: 2 mm" } else { "" };
    d.say(&format!("core pole in wall {{ of: {rod}, long: {long:.0} mm{count}{gap} }}"));
}
