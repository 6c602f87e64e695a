//! Partners: rings that meet in a mitre, plates in walls, notches, knots, holes.

use super::edge;
use super::support::*;
use crate::diag::Code;
use crate::flat::Allowance;
use crate::geom::Vec2;
use crate::geom::path::{Path, Seg};
use crate::geom::section::Section;
use crate::ids::{JointId, PartId, ThingId};
use crate::num::PI;
use crate::solid::{Contact, EdgeName, EdgeRef, Hole, Joint, Seam, Solid};
use crate::span::Span;

fn joint(
    solid: &mut Solid,
    a: (usize, usize, EdgeName),
    b: (usize, usize, EdgeName),
    contact: Contact,
    notches: &[f64],
) {
    let side = |(part, ring, edge)| EdgeRef { part: PartId::new(part), ring, edge };
    let id = JointId::new(solid.joints.len());
    solid.joints.push(Joint {
        id,
        letter: "A".to_owned(),
        a: side(a),
        b: side(b),
        contact,
        notches: notches.to_vec(),
        what: "test".to_owned(),
    });
}

fn codes(solid: &Solid) -> Vec<Code> {
    run(solid).1.iter().map(|d| d.code).collect()
}

fn circle(centre: Vec2, r: f64) -> Path {
    let (a, b) = (centre + Vec2::new(r, 0.0), centre - Vec2::new(r, 0.0));
    Path { segs: vec![Seg { a, b, bulge: 1.0 }, Seg { a: b, b: a, bulge: 1.0 }] }
}

#[test]
fn rings_meet_in_half_their_angle_on_every_face() {
    let stations = [
        (0.0, Section::oval(50.0, 70.0, 2.0)),
        (100.0, Section::oval(60.0, 75.0, 2.0)),
        (180.0, Section::oval(45.0, 60.0, 2.0)),
    ];
    let mut solid = wall(&stations, FOAM);
    let contact = Contact::Round { part: PartId::new(0), strip: 0, z: 100.0, depth: 0.0 };
    joint(&mut solid, (0, 0, EdgeName::Upper), (0, 1, EdgeName::Lower), contact, &[30.0, 140.0, 310.0]);
    let (flat, diagnostics) = run(&solid);
    assert!(!diagnostics.has_errors());
    let (below, above) = (&flat.panels[0], &flat.panels[1]);
    let (up, low) = (edge(below, EdgeName::Upper), edge(above, EdgeName::Lower));
    // One curve in space, so one length; the second-order miss along the rim is far below the budget.
    for (a, b) in
        [(up.long.inside, low.long.inside), (up.long.neutral, low.long.neutral), (up.long.outside, low.long.outside)]
    {
        assert!((a - b).abs() < 0.01, "{a} {b}");
    }
    // Both lean by half the angle, to opposite sides of the same plane: outside longer on both.
    assert!((up.bevel.most - low.bevel.most).abs() < 1e-9 && (up.bevel.least - low.bevel.least).abs() < 1e-9);
    assert!(up.bevel.least > 0.0);
    // Same knots: as many segments on both.
    assert_eq!(up.middle.segs.len(), low.middle.segs.len());
    assert_eq!(up.joints, [JointId::new(0)]);
    // Notches at equal lengths from the seam on both, on the outside face where the contact lies.
    assert_eq!(up.notches.len(), 3);
    for (p, q) in up.notches.iter().zip(&low.notches) {
        let along = |path: &Path, at: Vec2, from_end: bool| {
            let (mut run, mut best) = (0.0, (f64::INFINITY, 0.0));
            for s in &path.segs {
                for i in 0..=400 {
                    let share = f64::from(i) / 400.0;
                    let away = (s.at(share) - at).length();
                    if away < best.0 {
                        best = (away, run + s.length() * share);
                    }
                }
                run += s.length();
            }
            if from_end { run - best.1 } else { best.1 }
        };
        let (a, b) = (along(&up.middle, p.at, true), along(&low.middle, q.at, false));
        assert!((a - b).abs() < 0.1, "{a} {b}");
        assert!(p.inward.y < 0.0 && q.inward.y > 0.0);
    }
}

#[test]
fn an_inset_plate_fits_the_wall_it_stands_in() {
    let mut solid = flag_case();
    let strip = the_wall(&mut solid).strips[0].clone();
    let mut cap = plate(&strip, -5.0, 0.0, 5.0, Sheet { inner: 0.0, neutral: 2.5, outer: 5.0 }).parts.remove(0);
    cap.id = PartId::new(1);
    solid.parts.push(cap);
    let contact = Contact::Round { part: PartId::new(0), strip: 0, z: 0.0, depth: -5.0 };
    joint(&mut solid, (0, 0, EdgeName::Lower), (1, 0, EdgeName::Outline), contact, &[20.0, 90.0, 200.0]);
    let (flat, diagnostics) = run(&solid);
    assert!(!diagnostics.has_errors());
    let base = &flat.panels[1];
    let outline = &base.edges[0];
    // Own derivation: inside axes of the flag case at 0 and 5 mm up, 94.9756 × 59.9891 and 95.6748 × 60.4553; girth of
    // the inside at the bottom 246.1739.
    let size = |p: &Path| p.bounds().map(|(lo, hi)| hi - lo).expect("an outline");
    assert!(
        (size(&outline.outside) - Vec2::new(94.9756, 59.9891)).abs().max_element() < 1e-3,
        "{}",
        size(&outline.outside)
    );
    assert!((size(&outline.inside) - Vec2::new(95.6748, 60.4553)).abs().max_element() < 1e-3);
    assert!((outline.long.outside - 246.1739).abs() < 1e-3);
    // A base shows downward: the hidden face, higher up in the flaring wall, is the longer one.
    assert!(outline.bevel.most < 0.0);
    assert!(outline.middle.area() > 0.0);
    assert_eq!(outline.middle.segs.len(), edge(&flat.panels[0], EdgeName::Lower).middle.segs.len());
    for n in &outline.notches {
        assert!(n.inward.dot(n.at) < 0.0, "inward points to the middle");
    }
    assert_eq!(outline.notches.len(), 3);
}

#[test]
fn seam_notches_and_allowances_sit_on_the_sides() {
    let mut solid = flag_case();
    seam(&mut solid, Seam::Lap(12.0));
    let contact = Contact::Along { part: PartId::new(0), ring: 0, depth: 0.0 };
    joint(&mut solid, (0, 0, EdgeName::Begin), (0, 0, EdgeName::End), contact, &[100.0, 250.0]);
    let panel = only(&solid);
    let (begin, end) = (edge(&panel, EdgeName::Begin), edge(&panel, EdgeName::End));
    assert_eq!((begin.allowance, end.allowance), (Allowance::None, Allowance::Lap(12.0)));
    for e in [begin, end] {
        assert_eq!(e.notches.len(), 2);
        let apart = (e.notches[1].at - e.notches[0].at).length();
        assert!((apart - 150.0).abs() < 1e-9);
    }
    assert!(begin.notches[0].inward.x > 0.9 && end.notches[0].inward.x < -0.9);
    assert!((begin.long.neutral - end.long.neutral).abs() < 1e-9);
}

fn with_holes(holes: &[(f64, f64, f64)]) -> Solid {
    let mut solid = flag_case();
    let wall = the_wall(&mut solid);
    let walk = crate::geom::walk::Walk::new(&wall.strips[0]);
    for (i, &(phi, z, r)) in holes.iter().enumerate() {
        let rule = walk.rule(walk.at_normal(phi)[0]);
        wall.holes.push(Hole {
            thing: ThingId::new(i),
            name: format!("hole{i}"),
            origin: Span { start: 10, end: 14, ..Span::new(crate::ids::FileId::new(0), 0, 0) },
            strip: 0,
            rule,
            z,
            outline: circle(Vec2::ZERO, r),
            number: None,
        });
    }
    solid
}

#[test]
fn a_hole_is_true_on_the_flat_at_its_rule() {
    let solid = with_holes(&[(0.0, 200.0, 15.0)]);
    let panel = only(&solid);
    let hole = &panel.holes[0];
    assert!((hole.outline.area() - PI * 225.0).abs() < 1e-9);
    // Facing front with the seam behind: in the middle of the panel, on its line of symmetry.
    let (low, high) = super::outline(&panel).bounds().expect("an outline");
    assert!((hole.centre.x - 0.5 * (low.x + high.x)).abs() < 1e-6);
    assert!(codes(&solid).is_empty());
}

#[test]
fn holes_that_do_not_fit_are_told() {
    assert_eq!(codes(&with_holes(&[(0.0, 10.0, 15.0)])), [Code::HoleCrossesEdge]);
    assert_eq!(codes(&with_holes(&[(PI - 0.02, 200.0, 15.0)])), [Code::HoleCrossesEdge]);
    assert_eq!(codes(&with_holes(&[(0.0, 200.0, 15.0), (0.0, 220.0, 15.0)])), [Code::HolesMeet]);
    assert_eq!(codes(&with_holes(&[(0.0, 200.0, 15.0), (0.0, 200.0, 15.0)])), [Code::HolesMeet]);
    assert_eq!(codes(&with_holes(&[(0.0, 200.0, 15.0), (0.0, 240.0, 15.0)])), []);
}

#[test]
fn bends_are_held_against_the_stock() {
    let tube = |r: f64| wall(&[(0.0, Section::circle(r)), (100.0, Section::circle(r))], FOAM);
    assert_eq!(codes(&tube(20.0)), []);
    assert_eq!(codes(&tube(18.0)), [Code::BendWarm]);
    assert_eq!(codes(&tube(12.0)), [Code::BendTooTight]);
    assert_eq!(codes(&tube(4.0)), [Code::CornerTooTight]);
    let repair = run(&tube(4.0)).1.iter().next().and_then(|d| d.repair.clone());
    assert_eq!(repair.as_deref(), Some("corner: 5 mm"));
}

#[test]
fn a_side_that_faces_a_round_is_trimmed_where_its_rim_would_cross_itself() {
    // A round foot under a rounded square: each flat side narrows to a point on the circle, and beyond it, on the
    // faces inside, past nothing.
    let stations = [(0.0, Section::circle(50.0)), (120.0, rectangle(140.0, 140.0, 12.0, Vec2::ZERO))];
    let panel = only(&wall(&stations, FOAM));
    for e in &panel.edges {
        for path in [&e.inside, &e.middle, &e.outside, &e.widest, &e.narrowest] {
            for w in path.segs.windows(2) {
                let turn = w[0].direction(1.0).dot(w[1].direction(0.0));
                assert!(turn > 0.9, "{:?} turns back at {:?}", e.name, w[0].b);
            }
        }
    }
    let low = edge(&panel, EdgeName::Lower);
    assert!((low.middle.length() - low.long.neutral).abs() < 0.05);
}
