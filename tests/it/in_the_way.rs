//! What stands in a floor, on a flange or round a hole: told where it is in the way, and not where it is clear.

use crate::placing::{built, deep, made, near};

/// What stands on the ground within a tube stands in the floor that is let into its bottom, by that floor's thickness.
#[test]
fn what_stands_in_a_floor_is_told() {
    let in_floor = |level: f64| {
        format!(
            "shell a {{ at 0 mm to 100 mm: circle(across: 90 mm) }}
            cap base on a.bottom {{ fit: inset }}
            shell cup in a {{ level: {level} mm, at 0 mm to 50 mm: circle(across: 40 mm) }}"
        )
    };
    near(deep(&in_floor(0.0)), 5.0, 0.1);
    assert_eq!(made(&in_floor(5.0)).codes(), Vec::<&str>::new());
}

/// A hollow foot stands round a hole within its bore, and over one that reaches under its wall; a floor of its own closes it.
#[test]
fn a_hollow_foot_stands_round_a_hole() {
    let over = |across: f64, last: &str| {
        let text = format!(
            "shell a {{ at 0 mm to 100 mm: circle(across: 140 mm) }}
            cap roof on a.top {{ fit: flush }}
            opening way on roof {{ shape: circle(across: {across} mm) }}
            shell chimney on roof {{ at 0 mm to 50 mm: circle(across: 60 mm) }}\n{last}"
        );
        let built = built(&text);
        built.diagnostics.iter().map(|d| d.code.name()).filter(|c| *c == "places-overlap").count()
    };
    assert_eq!(over(30.0, ""), 0);
    assert_eq!(over(52.0, ""), 1);
    assert_eq!(over(30.0, "cap floor on chimney.bottom { fit: inset }"), 1);
}

/// A flange is as much in the way as the wall in it: the gap is from its edge, and what stands in it is told.
#[test]
fn a_flange_stands_in_the_way() {
    let flange = "shell a { at 0 mm to 100 mm: circle(across: 90 mm), foot: flange(wide: 20 mm) }\n";
    let beside = |shift: f64| {
        made(&format!(
            "{flange}shell b beside a {{ at 0 mm to 60 mm: circle(across: 40 mm), foot: flange(wide: 7 mm), facing: left, gap: 3 mm, shift: toward(right: {shift} mm) }}"
        ))
    };
    let clear = beside(0.0);
    assert_eq!(clear.codes(), Vec::<&str>::new());
    // 45 + 20 + 3 + 7 + 20.
    near(clear.part("b").place.origin.y, 95.0, 1e-9);
    assert_eq!(beside(10.0).codes(), ["parts-collide"], "the flanges by 7");
    assert_eq!(beside(2.0).codes(), Vec::<&str>::new(), "1 apart");
    let low = "shell a { at 0 mm to 4 mm: circle(across: 90 mm), foot: flange(wide: 20 mm) }";
    assert_eq!(made(low).codes(), ["wall-too-short"]);
    for lies in [
        "stock felt { as: cloth, thick: 2 mm, wide: 1400 mm, density: 300 g/m2 }\ncover hide on a { of: felt }",
        "border hoop on a.bottom { as: band, of: foam2, wide: 15 mm }",
        "edge hem on a.bottom { as: scallops, count: 8, rise: 6 mm }",
    ] {
        assert_eq!(made(&format!("{flange}{lies}")).codes(), ["caps-collide"], "{lies}");
    }
    assert_eq!(
        made(&format!("{flange}border hoop on a.top {{ as: band, of: foam2, wide: 15 mm }}")).codes(),
        Vec::<&str>::new()
    );
}
