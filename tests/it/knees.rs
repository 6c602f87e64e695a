//! Laces from rim to rim over the knees of a wall: as long as the shortest way, by closed forms of cones and tubes.

use crate::lacing::{figure, lace, made, near};
use tasset::num;

/// The least of a function that falls and then rises, by thirds.
fn least(mut low: f64, mut high: f64, f: impl Fn(f64) -> f64) -> f64 {
    for _ in 0..200 {
        let third = (high - low) / 3.0;
        if f(low + third) < f(high - third) {
            high -= third;
        } else {
            low += third;
        }
    }
    f(0.5 * (low + high))
}

/// On a cone's flat: from a point `r` from its tip to one `s` from it, `turn` of the wall's way round apart.
fn on_cone(r: f64, s: f64, turn: f64, sine: f64) -> f64 {
    (r * r + s * s - 2.0 * r * s * num::cos(turn * sine)).sqrt()
}

#[test]
fn from_rim_to_rim_a_lace_goes_the_shortest_way_over_a_knee() {
    // Two cones, 50 in radius at their rims and 70 where they meet, 80 high: slant 82.462 (from 80 and 20). On the outside
    // a place is its radius times the slant over 20 from its cone's tip; a hole 10 mm from the rim. The inside lies 5
    // deeper, which is 5 over the tangent of the cone's half angle (20 / 80) nearer to its own tip; both insides meet
    // 5 over its cosine (80 / 82.462) within the knee.
    let slant = num::hypot(80.0, 20.0);
    let (sine, far) = (20.0 / slant, slant / 20.0);
    let (rim, knee) = (50.0 * far, 70.0 * far);
    let (rim_in, knee_in) = (rim - 20.0, (70.0 - 5.0 * slant / 80.0) * far);
    let shell = "shell drum { at 0 mm: circle(across: 100 mm), at 80 mm: circle(across: 140 mm), at 160 mm: circle(across: 100 mm) }";
    let of = |what: &str| {
        let report = made(&format!(
            "{shell}\nlacing l on drum.edges {{ {what}, of: cord2, holes: 4 mm, margin: 10 mm, tail: 0 mm }}"
        ));
        let lace = lace(&report, "l")["lace"].clone();
        (figure(&lace["over"]), figure(&lace["through"]))
    };
    // Rungs straight up outside; slants on the inside a sixth of the way round apart, over the knee half-way.
    let slants = 2.0 * on_cone(rim_in + 10.0, knee_in, std::f64::consts::PI / 6.0, sine);
    let (over, through) = of("as: spiral, count: 6");
    near(over, 6.0 * 2.0 * (knee - rim - 10.0) + 5.0 * slants, 2e-3, "spiral");
    near(through, 12.0 * 5.0, 1e-9, "through");
    // To and fro all the way round, the last stretch past the seam as all others: from the edge to the hole opposite half
    // a pitch on, over the knee where that is shortest.
    let half = std::f64::consts::PI / 10.0;
    let from =
        |start: f64| least(0.0, half, |x| on_cone(start, knee, x, sine) + on_cone(rim + 10.0, knee, half - x, sine));
    let (over, through) = of("as: zigzag, count: 10");
    near(over, from(rim + 10.0) + 19.0 * (from(rim) + 10.0), 5e-3, "zigzag");
    near(through, (1.0 + 19.0 * 2.0 + 1.0) * 5.0, 1e-9, "through");
}

#[test]
fn from_rim_to_rim_over_two_knees() {
    // A cone, a tube of 70 in radius and 40 long, a cone: over both knees as far from the middle as is shortest. Inside the
    // tube is 65 in radius and, half of the angle between them (atan 20/60) lost at either end, shorter by 5 times
    // the tangent of half of it.
    let slant = num::hypot(60.0, 20.0);
    let (sine, far) = (20.0 / slant, slant / 20.0);
    let lost = 5.0 * num::tan(0.5 * num::atan2(20.0, 60.0));
    let (rim, knee) = (50.0 * far - 5.0 * 60.0 / 20.0, 65.0 * far);
    let tube = 40.0 - 2.0 * lost;
    let turn = std::f64::consts::TAU / 6.0;
    let slants = least(0.0, 0.5 * turn, |x| {
        2.0 * on_cone(rim + 10.0, knee, x, sine) + num::hypot(tube, 65.0 * (turn - 2.0 * x))
    });
    let rungs = 2.0 * (70.0 * far - 50.0 * far - 10.0) + 40.0;
    let report = made(
        "shell drum { at 0 mm: circle(across: 100 mm), at 60 mm: circle(across: 140 mm), at 100 mm: circle(across: 140 mm), at 160 mm: circle(across: 100 mm) }
         lacing l on drum.edges { as: spiral, of: cord2, holes: 4 mm, count: 6, margin: 10 mm, tail: 0 mm }",
    );
    near(figure(&lace(&report, "l")["lace"]["over"]), 6.0 * rungs + 5.0 * slants, 5e-3, "spiral");
}
