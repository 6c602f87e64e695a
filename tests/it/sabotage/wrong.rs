//! Faults of development: a solid that was changed is laid flat and judged by the true one.

use super::Made;
use super::harm::{Case, case};
use super::lines::has_rim;
use tasset::num;
use tasset::solid::{Body, Contact, Form, Gap, Layer, Leaf, Part, Rim, Seam, Size, Solid, Taper, Wall};
use tasset::verdict::Check;

/// A case on the whole prop, when the changed solid differs and can be made.
pub fn misled(made: &Made, checks: &'static [Check], change: fn(&mut Solid)) -> Vec<Case> {
    let mut changed = made.solid.clone();
    change(&mut changed);
    if changed == made.solid {
        return Vec::new();
    }
    let Some(other) = Made::of(changed) else { return Vec::new() };
    vec![case("all", checks, "", move |m| *m = Made { solid: m.solid.clone(), ..other.clone() })]
}

/// Walls as they are cut.
fn walls(solid: &mut Solid) -> impl Iterator<Item = &mut Wall> {
    solid.parts.iter_mut().filter_map(|p| match &mut p.body {
        Body::Wall(Wall { formed: Some(formed), .. }) => Some(&mut formed.cone),
        Body::Wall(w) => Some(w),
        Body::Plate(_) | Body::Leaf(_) | Body::Folded(_) => None,
    })
}

/// Plates that bound a wall; tabs and patches are cut by their own measures.
fn plates(solid: &mut Solid) -> impl Iterator<Item = &mut tasset::solid::Plate> {
    let patches = solid.fitted.patches.clone();
    solid.parts.iter_mut().filter_map(move |p| match &mut p.body {
        Body::Plate(_) if patches.contains(&p.id) => None,
        Body::Plate(p) => Some(p),
        Body::Wall(_) | Body::Leaf(_) | Body::Folded(_) => None,
    })
}

fn leaves(solid: &mut Solid) -> impl Iterator<Item = (&mut Leaf, &mut Vec<Layer>)> {
    solid.parts.iter_mut().filter_map(|p| match &mut p.body {
        Body::Leaf(l) => Some((l, &mut p.layers)),
        Body::Wall(_) | Body::Plate(_) | Body::Folded(_) => None,
    })
}

/// The neutral surface of what is bent lies elsewhere: its pieces come out too wide.
pub fn leaf_allowance(made: &Made) -> Vec<Case> {
    misled(made, &[Check::Landing], |s| {
        for (_, layers) in leaves(s).filter(|(l, _)| l.form != Form::Flat) {
            layers.iter_mut().for_each(|l| l.neutral += 0.1);
        }
    })
}

pub fn leaf_square(made: &Made) -> Vec<Case> {
    misled(made, &[Check::Landing, Check::Coverage], |s| {
        for (leaf, _) in leaves(s).filter(|(l, _)| l.taper.outer.abs() > 0.1) {
            leaf.taper = Taper { from: leaf.taper.from, inner: 0.0, outer: 0.0 };
        }
    })
}

/// Where the edge leans a thicker sheet shows it; where what is bent is thicker its neutral surface lies farther out.
pub fn leaf_thick(made: &Made) -> Vec<Case> {
    misled(made, &[Check::Landing], |s| {
        for (leaf, layers) in leaves(s) {
            let bevelled = leaf.taper.outer.abs() > 0.1;
            if let Some(last) = layers.last_mut().filter(|_| bevelled || leaf.form != Form::Flat) {
                last.outer += 0.4;
                last.neutral += 0.2;
            }
        }
    })
}

pub fn leaf_face(made: &Made) -> Vec<Case> {
    misled(made, &[Check::Landing], |s| {
        for (leaf, layers) in leaves(s).filter(|(l, _)| l.form != Form::Flat) {
            let (inner, outer) = (layers[0].inner, layers[layers.len() - 1].outer);
            leaf.measured = if leaf.measured == outer { inner } else { outer };
        }
    })
}

/// On a wide bend a small piece lands all but where it ought to; its area tells.
pub fn leaf_flatter(made: &Made) -> Vec<Case> {
    misled(made, &[Check::Landing, Check::Claim, Check::Area], |s| {
        for (leaf, layers) in leaves(s) {
            let by = 1.0;
            // The same surface, farther in: all depths of the sheet are 1 mm more.
            if let Form::Bent { .. } = leaf.form {
                leaf.measured += by;
                leaf.taper.from += by;
                for l in layers.iter_mut() {
                    (l.inner, l.neutral, l.outer) = (l.inner + by, l.neutral + by, l.outer + by);
                }
            }
        }
    })
}

fn wall_parts(solid: &mut Solid) -> impl Iterator<Item = &mut Part> {
    solid.parts.iter_mut().filter(|p| matches!(p.body, Body::Wall(_)))
}

pub fn neutral(made: &Made) -> Vec<Case> {
    misled(made, &[Check::Landing], |s| wall_parts(s).for_each(|p| p.layers[0].neutral += 0.1))
}

pub fn thick(made: &Made) -> Vec<Case> {
    let bevelled = made.pieces.pieces.iter().any(|p| {
        super::harm::wall_of(made, p).is_some()
            && p.marks.iter().any(|m| matches!(m.about, tasset::piece::About::Bevel(_)))
    });
    if !bevelled {
        return Vec::new();
    }
    misled(made, &[Check::Landing], |s| wall_parts(s).for_each(|p| p.layers[0].outer += 0.2))
}

pub fn face(made: &Made) -> Vec<Case> {
    misled(made, &[Check::Landing], |s| {
        for p in wall_parts(s) {
            let by = if p.layers[0].inner == 0.0 { -5.0 } else { 5.0 };
            for l in &mut p.layers {
                (l.inner, l.neutral, l.outer) = (l.inner + by, l.neutral + by, l.outer + by);
            }
        }
    })
}

pub fn gap(made: &Made) -> Vec<Case> {
    misled(made, &[Check::Landing, Check::Closure], |s| {
        for w in walls(s) {
            let wider = match w.seam {
                Seam::Open(Gap::Length(mm)) => Gap::Length(mm + 0.5),
                Seam::Open(Gap::Leaves(mm)) => Gap::Leaves(mm - 0.5),
                Seam::Open(Gap::Angle(a)) => Gap::Angle(a + 0.01),
                Seam::Open(Gap::Share(a)) => Gap::Share(a + 0.001),
                Seam::Open(Gap::Over { depth, length, share }) => Gap::Over { depth, length: length + 0.5, share },
                Seam::Butt | Seam::Lap(_) | Seam::Tabs(_) | Seam::Backed(_) => continue,
            };
            w.seam = Seam::Open(wider);
        }
    })
}

pub fn allowance(made: &Made) -> Vec<Case> {
    misled(made, &[Check::Claim], |s| {
        for w in walls(s) {
            match &mut w.seam {
                Seam::Lap(mm) | Seam::Tabs(mm) => *mm += 1.0,
                Seam::Butt | Seam::Backed(_) | Seam::Open(_) => {}
            }
        }
    })
}

/// Whether walls slope so that how a rim is cut shows.
fn slopes(made: &Made) -> bool {
    made.pieces.pieces.iter().flat_map(|p| &p.edges).any(|e| e.bevel.contains("° long"))
}

pub fn square(made: &Made) -> Vec<Case> {
    if !slopes(made) || !has_rim(made, |r| matches!(r, Rim::Level)) {
        return Vec::new();
    }
    misled(made, &[Check::Landing, Check::Coverage], |s| {
        for r in walls(s).flat_map(|w| &mut w.rings) {
            for rim in [&mut r.lower, &mut r.upper] {
                if *rim == Rim::Level {
                    *rim = Rim::Square;
                }
            }
        }
    })
}

pub fn level(made: &Made) -> Vec<Case> {
    // On card the two lie nearer than the folded edge is looked at: there the sheet's area tells.
    misled(made, &[Check::Landing, Check::Coverage, Check::Area], |s| {
        for r in walls(s).flat_map(|w| &mut w.rings) {
            for rim in [&mut r.lower, &mut r.upper] {
                if matches!(*rim, Rim::Mitre(_)) {
                    *rim = Rim::Level;
                }
            }
        }
    })
}

pub fn slope(made: &Made) -> Vec<Case> {
    if !has_rim(made, |r| r.plane().is_some()) {
        return Vec::new();
    }
    misled(made, &[Check::Landing], |s| {
        for r in walls(s).flat_map(|w| &mut w.rings) {
            for rim in [&mut r.lower, &mut r.upper] {
                if let Rim::Plane(plane) | Rim::PlaneSquare(plane) = rim {
                    plane.normal = (plane.normal + tasset::geom::Vec3::X * 0.0087).normalize();
                }
            }
        }
    })
}

/// Parts that are joined along a rim of both.
fn ringed(made: &Made) -> Vec<usize> {
    let rims = made.solid.joints.iter().filter(|j| matches!(j.contact, Contact::Rim { .. }));
    rims.map(|j| j.b.part.index()).collect()
}

/// The pieces are right, and one of them stands turned in the prop.
pub fn ring_turned(made: &Made) -> Vec<Case> {
    let turned = |i: usize| {
        move |m: &mut Made| {
            let place = &mut m.solid.parts[i].place;
            let (s, c) = num::sin_cos(0.03);
            (place.x, place.y) = (place.x * c + place.y * s, place.y * c - place.x * s);
        }
    };
    ringed(made)
        .into_iter()
        .map(|i| case(&made.solid.parts[i].name, &[Check::Partner], "rings that meet", turned(i)))
        .collect()
}

/// Rings that follow each other on the straight cone fit as well; only the bend that was asked for tells.
pub fn not_flipped(made: &Made) -> Vec<Case> {
    let straight = |i: usize| move |m: &mut Made| m.solid.parts[i].place = m.solid.parts[i - 1].place;
    let cone = |w: &Wall| w.strips[0].heights().0 > 1.0 && !w.strips[0].is_between_leaning();
    let flipped = |i: usize| matches!(&made.solid.parts[i].body, Body::Wall(w) if cone(w));
    ringed(made)
        .into_iter()
        .filter(|i| *i > 0 && flipped(*i))
        .map(|i| case(&made.solid.parts[i].name, &[Check::Claim], "turn from the ring before", straight(i)))
        .collect()
}

pub fn point(made: &Made) -> Vec<Case> {
    misled(made, &[Check::Landing], |s| {
        for r in walls(s).flat_map(|w| &mut w.rings) {
            for rim in [&mut r.lower, &mut r.upper] {
                if let Rim::Closed(z) = rim {
                    *z -= 0.5;
                }
            }
        }
    })
}

pub fn hole(made: &Made) -> Vec<Case> {
    misled(made, &[Check::Landing], |s| walls(s).flat_map(|w| &mut w.holes).for_each(|h| h.z += 0.3))
}

/// The solid itself has the holes in the wrong place: only what the text asks for tells.
pub fn row(made: &Made) -> Vec<Case> {
    let rows = made.solid.claims.iter().any(|c| matches!(c.size, Size::Row { .. }));
    if !rows {
        return Vec::new();
    }
    let spoil = |m: &mut Made| {
        let mut solid = m.solid.clone();
        walls(&mut solid).flat_map(|w| &mut w.holes).filter(|h| h.number.is_some()).for_each(|h| h.z += 0.3);
        *m = Made::of(solid).expect("it can be made");
    };
    vec![case("the solid", &[Check::Claim], "hole of a row", spoil)]
}

pub fn notch(made: &Made) -> Vec<Case> {
    misled(made, &[Check::Notch], |s| s.joints.iter_mut().flat_map(|j| &mut j.notches).for_each(|n| *n += 1.0))
}

pub fn plate(made: &Made) -> Vec<Case> {
    misled(made, &[Check::Landing], |s| plates(s).for_each(|p| p.depth += 0.2))
}

pub fn plate_height(made: &Made) -> Vec<Case> {
    if !slopes(made) {
        return Vec::new();
    }
    misled(made, &[Check::Landing], |s| {
        for p in plates(s) {
            p.show += 0.5;
            p.hidden += 0.5;
        }
    })
}

pub fn plate_over(made: &Made) -> Vec<Case> {
    if !slopes(made) {
        return Vec::new();
    }
    misled(made, &[Check::Landing, Check::Notch], |s| {
        plates(s).for_each(|p| (p.show, p.hidden) = (p.hidden, p.show));
    })
}

pub fn seam(made: &Made) -> Vec<Case> {
    misled(made, &[Check::Coverage, Check::Landing, Check::Claim], |s| {
        for w in walls(s) {
            w.seam = match w.seam {
                Seam::Butt | Seam::Backed(_) => Seam::Lap(9.0),
                Seam::Lap(_) => Seam::Tabs(9.0),
                Seam::Tabs(_) => Seam::Butt,
                Seam::Open(_) => continue,
            };
        }
    })
}

/// With what a row of tongues is changed to.
fn tongues(made: &Made, change: fn(&mut Wall)) -> Vec<Case> {
    const CHECKS: &[Check] = &[Check::Landing, Check::Claim, Check::Coverage];
    let any = made.solid.parts.iter().any(|p| matches!(&p.body, Body::Wall(w) if w.scallops.is_some()));
    let Some(other) = any.then(|| {
        let mut changed = made.solid.clone();
        walls(&mut changed).filter(|w| w.scallops.is_some()).for_each(change);
        Made::of(changed)
    }) else {
        return Vec::new();
    };
    let Some(other) = other else { return Vec::new() };
    vec![case("all", CHECKS, "", move |m| *m = Made { solid: m.solid.clone(), ..other.clone() })]
}

pub fn tongue_more(made: &Made) -> Vec<Case> {
    tongues(made, |w| w.scallops.iter_mut().for_each(|s| s.count += 1))
}

pub fn tongue_taller(made: &Made) -> Vec<Case> {
    tongues(made, |w| w.scallops.iter_mut().for_each(|s| s.rise += 0.3))
}

pub fn tongue_over(made: &Made) -> Vec<Case> {
    tongues(made, |w| w.scallops.iter_mut().for_each(|s| s.upper = !s.upper))
}

pub fn tongues_out(made: &Made) -> Vec<Case> {
    tongues(made, |w| w.scallops = None)
}
