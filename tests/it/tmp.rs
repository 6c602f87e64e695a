//! tmp
#[test]
fn dump() {
    use tasset::geom::walk::{Leg, Place};
    let text = std::fs::read_to_string(std::env::var("F").unwrap()).unwrap();
    let c = crate::support::checked(&text);
    let shaped = tasset::shape::shape(&c.design);
    for part in &shaped.solid.parts {
        let tasset::solid::Body::Wall(wall) = &part.body else { continue };
        for (r, ring) in wall.rings.iter().enumerate() {
            let (walks, cuts) = tasset::develop::probe(wall, ring);
            for (side, cut, walk) in [("lower", &cuts.0, &walks[0]), ("upper", &cuts.1, &walks[walks.len() - 1])] {
                for layer in &part.layers {
                    let flat = tasset::geom::unroll::Unrolled::new(walk, layer.neutral);
                    let rim = tasset::geom::rim::Rim::new(&flat, cut);
                    for (l, leg) in walk.legs().iter().enumerate() {
                        let Leg::Turn { from, to, .. } = leg else { continue };
                        let lean = |i: i32| rim.lean(Place { leg: l, t: f64::from(i) / 4000.0 });
                        let mut last = 0.0;
                        for i in 1..4000 {
                            let x = lean(i);
                            if x * last < 0.0 {
                                println!(
                                    "ring {r} {side} leg {l} {from:.5}..{to:.5} turns over at t {:.5} phi {:.6} amp {:.2e}",
                                    f64::from(i) / 4000.0,
                                    walk.rule(Place { leg: l, t: f64::from(i) / 4000.0 }).phi,
                                    (0..4000).map(|j| lean(j).abs()).fold(0.0, f64::max)
                                );
                            }
                            last = x;
                        }
                        println!(
                            "ring {r} {side} leg {l} {from:.5}..{to:.5} lean {:.3} {:.3} {:.3} {:.3} {:.3}",
                            lean(0),
                            lean(1000),
                            lean(2000),
                            lean(3000),
                            lean(4000)
                        );
                    }
                    for (n, d) in
                        [("mid", layer.middle()), ("in", layer.inner), ("neutral", layer.neutral), ("out", layer.outer)]
                    {
                        for (l, leg) in walk.legs().iter().enumerate() {
                            match leg {
                                Leg::Side { first, last } => {
                                    let z = rim.height(Place { leg: l, t: 0.5 }, d).0;
                                    let len = last.support_at(z, d).1 - first.support_at(z, d).1;
                                    if len < 0.0 {
                                        println!(
                                            "{} ring {r} {side} {n}: side leg {l} phi {:.4} len {len:.4} k0 {:.3} k1 {:.3}",
                                            part.name,
                                            first.phi,
                                            last.k0 - first.k0,
                                            last.k1 - first.k1
                                        );
                                    }
                                }
                                Leg::Turn { from, to, .. } => {
                                    let m = 400;
                                    let (mut back, mut fwd) = (0.0, 0.0);
                                    let (mut a, mut b) = (f64::NAN, f64::NAN);
                                    for i in 0..m {
                                        let t = (f64::from(i) + 0.5) / f64::from(m);
                                        let at = Place { leg: l, t };
                                        let v = rim.point(at, d).1;
                                        let tau = flat.at(at).tau;
                                        let p = v.dot(tau) / f64::from(m);
                                        if p < 0.0 {
                                            back -= p;
                                            if a.is_nan() {
                                                a = walk.rule(at).phi;
                                            }
                                            b = walk.rule(at).phi;
                                        } else {
                                            fwd += p;
                                        }
                                    }
                                    if back > 0.0 {
                                        println!(
                                            "{} ring {r} {side} {n}: turn leg {l} {from:.5}..{to:.5} back {back:.4} fwd {fwd:.4} in {a:.5}..{b:.5}",
                                            part.name
                                        );
                                    }
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}
#[test]
fn flat() {
    let text = std::fs::read_to_string(std::env::var("F").unwrap()).unwrap();
    let c = crate::support::checked(&text);
    let shaped = tasset::shape::shape(&c.design);
    let (flat, d) = tasset::develop::develop(&shaped.solid);
    println!("{:?}", d.iter().map(|d| d.message.clone()).collect::<Vec<_>>());
    for p in &flat.panels {
        let name = &shaped.solid.parts[p.part.index()].name;
        for e in &p.edges {
            println!("== {name} ring {} layer {} {:?} bevel {:?} long {:?}", p.ring, p.layer, e.name, e.bevel, e.long);
            for (n, path) in [
                ("in", &e.inside),
                ("mid", &e.middle),
                ("out", &e.outside),
                ("wide", &e.widest),
                ("narrow", &e.narrowest),
            ] {
                println!("  {n}: {} segs {:.4}", path.segs.len(), path.length());
                let k = path.segs.len();
                for (i, s) in path.segs.iter().enumerate() {
                    if std::env::var("ALL").is_ok() || i < 2 || i + 2 >= k {
                        println!(
                            "     {i} {:.4},{:.4} -> {:.4},{:.4} b {:.5} len {:.4}",
                            s.a.x,
                            s.a.y,
                            s.b.x,
                            s.b.y,
                            s.bulge,
                            s.length()
                        );
                    }
                }
            }
        }
    }
}
#[test]
fn piece() {
    let text = std::fs::read_to_string(std::env::var("F").unwrap()).unwrap();
    let x: f64 = std::env::var("X").unwrap().parse().unwrap();
    let c = crate::support::checked(&text);
    let shaped = tasset::shape::shape(&c.design);
    let (flat, _) = tasset::develop::develop(&shaped.solid);
    let (pieces, _) = tasset::finish::finish(&shaped.solid, &flat);
    for p in &pieces.pieces {
        println!("== {} {:?}", p.name, p.from_flat);
        for r in &p.contour {
            for s in &r.path.segs {
                let m = &p.from_flat;
                let q = |v: tasset::geom::Vec2| {
                    let q = v - m.shift;
                    let (s, c) = (m.turn.sin(), m.turn.cos());
                    tasset::geom::Vec2::new(c * q.x + s * q.y, c * q.y - s * q.x)
                };
                let a = q(s.a);
                let b = q(s.b);
                if (a.x - x).abs() < 6.0 {
                    println!("{:?} {:.4},{:.4} -> {:.4},{:.4} b {:.5}", r.edge, a.x, a.y, b.x, b.y, s.bulge);
                }
            }
        }
    }
}
