//! What is broken is caught, and by the check that watches for it. Faults of development are made by laying a
//! tampered solid flat and judging by the true one, faults of finishing by tampering with the pieces.

use super::fixture::{self, Strips, flatten, make, make_from};
use crate::audit::audit;
use crate::flat::Flat;
use crate::geom::path::{Motion, Path, Seg};
use crate::geom::section::Section;
use crate::geom::strip::{Rule, Strip};
use crate::geom::{Vec2, left_of, unit};
use crate::num::{self, PI};
use crate::piece::{About, Piece, Pieces};
use crate::solid::{Body, EdgeName, Layer, Solid, Wall};
use crate::verdict::{Check, Verdict};

fn judged(solid: &Solid, flat: &Flat, pieces: &Pieces) -> Verdict {
    audit(solid, flat, pieces, None)
}

/// Breaks the pieces of a good build; the check must name it.
fn broken(solid: &Solid, checks: &[Check], what: &str, harm: impl Fn(&mut Pieces)) {
    let (flat, mut pieces) = make(solid);
    assert!(judged(solid, &flat, &pieces).passed(), "the good build passes");
    harm(&mut pieces);
    caught(&judged(solid, &flat, &pieces), checks, what);
}

/// Lays a tampered solid flat and judges by the true one.
fn misled(solid: &Solid, checks: &[Check], harm: impl Fn(&mut Solid)) {
    let mut tampered = solid.clone();
    harm(&mut tampered);
    let (flat, pieces) = make(&tampered);
    caught(&judged(solid, &flat, &pieces), checks, "");
}

fn caught(verdict: &Verdict, checks: &[Check], what: &str) {
    assert!(!verdict.passed(), "not caught");
    for &check in checks {
        let named = verdict.breaches.iter().any(|b| b.check == check && b.what.contains(what));
        assert!(named, "no breach of {} about {what:?}: {:#?}", check.name(), verdict.breaches);
    }
}

fn the_wall(solid: &mut Solid) -> &mut Wall {
    match &mut solid.parts[0].body {
        Body::Wall(w) => w,
        Body::Plate(_) | Body::Leaf(_) | Body::Folded(_) => unreachable!("the first part is a wall"),
    }
}

fn each_point(piece: &mut Piece, f: &dyn Fn(Vec2) -> Vec2, mirror: bool) {
    let go = |path: &mut Path| {
        for s in &mut path.segs {
            *s = Seg { a: f(s.a), b: f(s.b), bulge: if mirror { -s.bulge } else { s.bulge } };
        }
        if mirror {
            *path = path.reversed();
        }
    };
    piece.contour.iter_mut().for_each(|r| go(&mut r.path));
    if mirror {
        piece.contour.reverse();
    }
    piece.holes.iter_mut().for_each(|h| go(&mut h.outline));
    piece.marks.iter_mut().for_each(|m| go(&mut m.path));
    let holes: f64 = piece.holes.iter().map(|h| h.outline.area()).sum();
    piece.area = Path { segs: piece.contour.iter().flat_map(|r| r.path.segs.clone()).collect() }.area() - holes;
}

fn solids() -> [Solid; 2] {
    [fixture::oval(false), fixture::flared()]
}

#[test]
fn one_vertex_moved_by_a_fifth_of_a_millimetre_is_caught() {
    for solid in solids() {
        broken(&solid, &[Check::Landing], "lower edge", |p| {
            let segs = &mut p.pieces[0].contour[0].path.segs;
            let off = Vec2::new(0.12, 0.16);
            let i = segs.len() / 3;
            segs[i].b += off;
            segs[i + 1].a += off;
        });
    }
}

#[test]
fn a_scale_of_one_in_a_thousand_is_caught() {
    for solid in solids() {
        broken(&solid, &[Check::Landing, Check::Partner, Check::Area], "", |p| {
            for piece in &mut p.pieces {
                each_point(piece, &|v| v * 1.001, false);
                piece.from_flat.shift *= 1.001;
            }
        });
    }
}

#[test]
fn a_neutral_surface_a_tenth_of_a_millimetre_off_is_caught() {
    for solid in solids() {
        misled(&solid, &[Check::Landing, Check::Claim, Check::Area], |s| s.parts[0].layers[0].neutral += 0.1);
    }
}

#[test]
fn the_wrong_face_is_caught() {
    for solid in solids() {
        // Measured inside where the text says outside.
        misled(&solid, &[Check::Landing, Check::Claim], |s| {
            for part in &mut s.parts[..1] {
                part.layers[0] = Layer { inner: 0.0, neutral: 2.5, outer: 5.0, ..part.layers[0] };
            }
        });
    }
}

#[test]
fn a_piece_drawn_as_seen_from_inside_is_caught() {
    for solid in solids() {
        let (mut flat, mut pieces) = make(&solid);
        let over = |v: Vec2| Vec2::new(-v.x, v.y);
        for r in &mut flat.panels[0].rulings {
            (r.foot, r.head) = (over(r.foot), over(r.head));
        }
        let piece = &mut pieces.pieces[0];
        let back = piece.from_flat;
        each_point(piece, &|v| back.apply(over(super::super::measure::undone(&back, v))), true);
        caught(&judged(&solid, &flat, &pieces), &[Check::Hand], "");
    }
}

#[test]
fn a_mirrored_piece_is_caught() {
    let turned = |p: &mut Pieces| each_point(&mut p.pieces[0], &|v| Vec2::new(-v.x, v.y), true);
    for solid in solids() {
        // Coordinates alone: nothing lands.
        broken(&solid, &[Check::Landing], "", turned);
        // With a motion to match: the hand is wrong.
        broken(&solid, &[Check::Hand], "piece", |p| {
            turned(p);
            let m = p.pieces[0].from_flat;
            // Mirror after a turn and a move is a mirror, the opposite turn and the mirrored move.
            p.pieces[0].from_flat = Motion { mirror: true, turn: -m.turn, shift: Vec2::new(-m.shift.x, m.shift.y) };
        });
    }
}

#[test]
fn a_right_hand_piece_that_is_a_second_left_one_is_caught() {
    broken(&fixture::oval(true), &[Check::Hand], "piece", |p| {
        let left = p.pieces[0].clone();
        let right = &mut p.pieces[1];
        *right = Piece { id: right.id, name: right.name.clone(), hand: right.hand, number: right.number, ..left };
    });
}

#[test]
fn swapped_partners_are_caught() {
    for solid in solids() {
        broken(&solid, &[Check::Partner, Check::Coverage], "", |p| {
            for piece in &mut p.pieces {
                for note in &mut piece.edges {
                    if let Some(j) = note.joint.as_mut() {
                        *j = crate::ids::JointId::new(1 - j.index());
                    }
                }
                for mark in &mut piece.marks {
                    if let About::Notch { joint, .. } = &mut mark.about {
                        *joint = crate::ids::JointId::new(1 - joint.index());
                    }
                }
            }
        });
    }
}

#[test]
fn a_dropped_hole_is_caught() {
    for solid in solids() {
        broken(&solid, &[Check::Coverage], "hole port", |p| drop(p.pieces[0].holes.pop()));
    }
}

#[test]
fn a_hole_moved_by_a_third_of_a_millimetre_is_caught() {
    for solid in solids() {
        broken(&solid, &[Check::Landing, Check::Claim], "hole", |p| {
            for s in &mut p.pieces[0].holes[0].outline.segs {
                s.a.x += 0.3;
                s.b.x += 0.3;
            }
        });
    }
}

#[test]
fn a_hole_on_the_wrong_side_is_caught() {
    for solid in solids() {
        misled(&solid, &[Check::Landing, Check::Claim], |s| {
            let wall = the_wall(s);
            let facing = wall.facing;
            let phi = 2.0 * facing + 2.0 * PI - wall.holes[0].rule.phi;
            let strip = &wall.strips[0];
            let i = strip.stretches().iter().position(|s| s.from <= phi && phi < s.to).expect("a direction");
            wall.holes[0].rule = strip.rule(i, phi);
        });
    }
}

#[test]
fn a_notch_moved_by_a_millimetre_is_caught() {
    for solid in solids() {
        for edge in [EdgeName::Lower, EdgeName::Begin, EdgeName::Outline] {
            broken(&solid, &[Check::Notch], "joint", |p| {
                let marks = p.pieces.iter_mut().flat_map(|p| &mut p.marks);
                let is = |a: About| matches!(a, About::Notch { edge: e, number: 0, .. } if e == edge);
                for m in marks.filter(|m| is(m.about)) {
                    let along = left_of((m.path.segs[0].b - m.path.segs[0].a).normalize());
                    m.path.segs[0].a += along;
                    m.path.segs[0].b += along;
                }
            });
        }
    }
}

#[test]
fn rules_joined_by_an_ovals_parameter_are_caught() {
    // A thin wall between two ovals, so that the wrong surface needs no thickness to be laid flat exactly.
    let thin = Layer { stock: 0, inner: -0.5, neutral: 0.0, outer: 0.5, square: false };
    let ((a0, b0), (a1, b1)) = ((90.0, 60.0), (60.0, 75.0));
    let (lower, upper) = (Section::oval(a0, b0, 2.0), Section::oval(a1, b1, 2.0));
    let mut solid = fixture::solid(&lower, &upper, 120.0, thin, (1.4 * PI, 70.0), false);
    the_wall(&mut solid).rings[0].lower = crate::solid::Rim::Square;
    the_wall(&mut solid).rings[0].upper = crate::solid::Rim::Square;
    let count = 9600;
    let rules: Vec<Rule> = (0..=count)
        .map(|i| {
            let t = PI + num::TAU * f64::from(i) / f64::from(count);
            let (s, c) = num::sin_cos(t);
            let (p, q) = (Vec2::new(a0 * c, b0 * s), Vec2::new(a1 * c, b1 * s));
            let turns = num::TAU * ((t - PI) / num::TAU + 0.5).floor();
            let phi = PI + turns + num::atan2(-a0 * s, -b0 * c);
            let (n, along) = (unit(phi), left_of(unit(phi)));
            Rule::new(phi, (p.dot(n), p.dot(along)), (q.dot(n), q.dot(along)), (0.0, 120.0))
        })
        .collect();
    let pairs: Vec<_> = rules.iter().map(|r| (r.point(0.0, 0.0), r.point(120.0, 0.0))).collect();
    let flat = flatten(&pairs);
    // Both rims keep their lengths, so lengths prove nothing.
    let long = |f: &dyn Fn(&(Vec2, Vec2)) -> Vec2| flat.windows(2).map(|w| (f(&w[1]) - f(&w[0])).length()).sum::<f64>();
    assert!((long(&|p| p.0) - lower.girth()).abs() < 0.001 && (long(&|p| p.1) - upper.girth()).abs() < 0.001);
    let phi = the_wall(&mut solid).holes[0].rule.phi;
    let near = rules.iter().min_by(|a, b| (a.phi - phi).abs().total_cmp(&(b.phi - phi).abs())).expect("rules");
    let mut tampered = solid.clone();
    the_wall(&mut tampered).holes[0].rule = *near;
    let (flat, pieces) = make_from(&tampered, vec![Some(Strips { rules, flat }), None]);
    let verdict = judged(&solid, &flat, &pieces);
    caught(&verdict, &[Check::Twist, Check::Landing], "");
    assert!(verdict.worst[&Check::Landing].off > 5.0, "{:?}", verdict.worst[&Check::Landing]);
}

#[test]
fn thickness_taken_horizontally_is_caught() {
    // Each section grown by the depth itself and not by its share along the normal: 0.16 mm of radius at 20°.
    misled(&fixture::flared(), &[Check::Landing, Check::Claim], |s| {
        let rise = 90.0;
        let d = -2.5;
        let r1 = 50.0 + rise * num::tan(20f64.to_radians());
        let strip = Strip::new(&Section::circle(50.0 + d), 0.0, &Section::circle(r1 + d), rise).expect("a wall");
        let wall = the_wall(s);
        let phi = wall.holes[0].rule.phi;
        wall.strips[0] = strip.begun_at(PI).expect("convex");
        let i = wall.strips[0].stretches().iter().position(|s| s.from <= phi && phi < s.to).expect("a direction");
        wall.holes[0].rule = wall.strips[0].rule(i, phi);
        s.parts[0].layers[0] = Layer { stock: 0, inner: -2.5, neutral: 0.0, outer: 2.5, square: false };
    });
}

#[test]
fn a_wall_short_of_its_last_millimetre_is_caught() {
    for solid in solids() {
        broken(&solid, &[Check::Landing, Check::Claim, Check::Area], "", |p| {
            let piece = &mut p.pieces[0];
            let up = piece.up;
            let upper = piece.contour.iter().position(|r| r.edge == Some(EdgeName::Upper)).expect("an upper edge");
            let n = piece.contour.len();
            let path = &mut piece.contour[upper].path;
            // Down along the panel, square to the edge.
            for s in &mut path.segs {
                s.a -= up;
                s.b -= up;
            }
            let (start, end) = (path.segs[0].a, path.segs[path.segs.len() - 1].b);
            piece.contour[(upper + n - 1) % n].path.segs.last_mut().expect("a side").b = start;
            piece.contour[(upper + 1) % n].path.segs[0].a = end;
            each_point(piece, &|v| v, false);
        });
    }
}

#[test]
fn a_swapped_station_is_caught() {
    for solid in solids() {
        misled(&solid, &[Check::Landing, Check::Claim], |s| {
            let wall = the_wall(s);
            let st = wall.strips[0].stretches().to_vec();
            let (z0, z1) = wall.strips[0].heights();
            let section = |curve: fn(&crate::geom::strip::Stretch) -> crate::geom::section::Curve| {
                let e = st.iter().map(|s| crate::geom::section::Element { from: s.from, to: s.to, curve: curve(s) });
                Section::new(e.collect()).expect("a section")
            };
            let (lower, upper) = (section(|s| s.lower), section(|s| s.upper));
            let strip = Strip::new(&upper, z0, &lower, z1).expect("a wall").begun_at(wall.facing).expect("convex");
            let phi = wall.holes[0].rule.phi;
            let i = strip.stretches().iter().position(|s| s.from <= phi && phi < s.to).expect("a direction");
            wall.holes[0].rule = strip.rule(i, phi);
            wall.strips[0] = strip;
        });
    }
}

#[test]
fn a_piece_left_out_or_cut_twice_is_caught() {
    for solid in solids() {
        broken(&solid, &[Check::Coverage], "body", |p| drop(p.pieces.remove(0)));
        broken(&solid, &[Check::Coverage], "", |p| p.pieces.push(p.pieces[1].clone()));
    }
}

#[test]
fn a_dropped_notch_or_bevel_line_is_caught() {
    let solid = fixture::flared();
    broken(&solid, &[Check::Coverage], "notches", |p| {
        p.pieces[0].marks.retain(|m| !matches!(m.about, About::Notch { number: 1, edge: EdgeName::Lower, .. }));
    });
    broken(&solid, &[Check::Coverage], "bevel line of the upper edge", |p| {
        p.pieces[0].marks.retain(|m| m.about != About::Bevel(EdgeName::Upper));
    });
}

#[test]
fn what_a_failed_audit_says_names_the_pieces_and_what_is_off() {
    let solid = solids().into_iter().next().expect("there is a fixture");
    let (flat, mut pieces) = make(&solid);
    for piece in &mut pieces.pieces {
        each_point(piece, &|p| p * 1.001, false);
    }
    let verdict = judged(&solid, &flat, &pieces);
    let said = crate::audit::audit_failed(&verdict, &pieces);
    assert_eq!((said.code.name(), said.severity), ("audit-failed", crate::diag::Severity::Error));
    let note = said.note.expect("a failed audit says why");
    assert!(note.contains(&pieces.pieces[0].name) && note.contains(", off by "), "{note}");
    assert!(note.lines().count() <= 13, "the list is cut: {note}");
}
