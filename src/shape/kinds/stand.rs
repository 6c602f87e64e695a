//! Where a shell stands on the edge of another: the joint of the two rims, along the one curve that both have at some
//! depth of their sheets. Where they have none the two do not meet all round, which is told.

use super::super::joints::Draft;
use super::super::known::Cap;
use super::super::{Shaper, errors};
use super::cap::Fit;
use super::place::Ground;
use crate::design::Face;
use crate::diag::Diagnostic;
use crate::eval::Stop;
use crate::fitted::{self, Spot};
use crate::geom::path::{Motion, Path, Seg};
use crate::geom::rim;
use crate::geom::walk::Place;
use crate::geom::{Vec2, Vec3};
use crate::ids::{PartId, ThingId};
use crate::num;
use crate::skin::on_rim;
use crate::solid::{Body, Contact, EdgeName, EdgeRef, Frame, Part, Rim, Ring, Seam, Wall};
use crate::span::Span;

/// Two rims that lie this near to each other all round are one curve, mm: a quarter of what the audit allows.
pub(super) const MEET: f64 = 0.005;
/// Places on a leg at which one rim is held against the other.
const LOOKS: u32 = 12;

/// A rim of a wall, in the prop.
struct Edge<'a> {
    wall: &'a Wall,
    ring: &'a Ring,
    upper: bool,
    place: Frame,
    /// Depths of its inner and outer face.
    faces: [f64; 2],
}

impl Edge<'_> {
    fn on<T>(&self, depth: f64, f: impl FnOnce(&rim::Rim<'_>) -> T) -> T {
        on_rim(self.wall, self.ring, self.upper, depth, f)
    }

    fn girth(&self, depth: f64) -> f64 {
        self.on(depth, |rim| {
            let (from, to) = rim.flat().walk().ends();
            rim.length(from, to, depth)
        })
    }

    /// Points of the edge at a depth.
    fn points(&self, depth: f64) -> Vec<Vec3> {
        self.on(depth, |rim| {
            let (from, to) = rim.flat().walk().ends();
            let legs = rim::spans(from, to);
            let places = legs.flat_map(|(leg, t0, t1)| {
                (0..=LOOKS).map(move |i| Place { leg, t: t0 + (t1 - t0) * f64::from(i) / f64::from(LOOKS) })
            });
            places.map(|at| self.place.apply(rim.in_space(at, depth))).collect()
        })
    }

    /// The edge at a depth as a closed chain of points whose chords stand for it.
    fn fine(&self, depth: f64) -> Vec<Vec3> {
        let radius = self.girth(depth) / num::TAU;
        self.on(depth, |rim| {
            let mut points: Vec<Vec3> = Vec::new();
            let (from, to) = rim.flat().walk().ends();
            for (leg, t0, t1) in rim::spans(from, to) {
                let turn = rim.flat().walk().turning(Place { leg, t: 0.5 }).abs() * (t1 - t0);
                // A chord over the angle δ stands off by r δ²/8; sharp bends of a section have more of both.
                let n = (turn / (2.0 * FINE / radius.max(FINE)).sqrt()).ceil().clamp(1.0, 2000.0);
                let mut i = 0.0;
                while i < n {
                    points.push(self.place.apply(rim.in_space(Place { leg, t: t0 + (t1 - t0) * i / n }, depth)));
                    i += 1.0;
                }
            }
            points
        })
    }

    /// How far points lie off the edge at a depth at most; stops at the first that is farther than `enough`.
    fn off(&self, depth: f64, points: &[Vec3], enough: f64) -> f64 {
        self.on(depth, |rim| {
            let mut most = 0.0f64;
            for p in points {
                most = most.max(rim.nearest(self.place.seen(*p), depth).1);
                if most > enough {
                    break;
                }
            }
            most
        })
    }

    /// The depth at which the edge is as long as asked, within its sheet.
    fn depth_of(&self, girth: f64) -> Option<f64> {
        num::root(self.faces[0], self.faces[1], 1e-12, |d| self.girth(d) - girth)
    }
}

/// Depths on either rim at which they are one curve: at both outer faces before both inner ones, before any others.
fn common(a: &Edge<'_>, b: &Edge<'_>) -> Option<(f64, f64)> {
    let ([ai, ao], [bi, bo]) = (a.faces, b.faces);
    let fixed = [(Some(ao), Some(bo)), (Some(ai), Some(bi))];
    let found = [ao, ai].into_iter().map(|d| (Some(d), b.depth_of(a.girth(d))));
    let other = [bo, bi].into_iter().map(|d| (a.depth_of(b.girth(d)), Some(d)));
    let all = fixed.into_iter().chain(found).chain(other);
    let mut pairs = all.filter_map(|(x, y)| x.zip(y));
    pairs.find(|&(x, y)| a.off(x, &b.points(y), MEET) <= MEET && b.off(y, &a.points(x), MEET) <= MEET)
}

/// The joint of the first rim of a shell that stands on an edge with that edge, where they have one.
///
/// # Errors
/// When something else takes up that edge.
pub(super) fn joint(shaper: &mut Shaper<'_>, ground: Ground, own: &Part, outer: f64) -> Result<Option<Draft>, Stop> {
    let Ground::Edge { host, at_top } = ground else { return Ok(None) };
    let known = shaper.known.shells.get(&host).ok_or(Stop::Skip)?;
    let below = &shaper.solid.parts[known.part.index()];
    let (Body::Wall(upper), Body::Wall(lower)) = (&own.body, &below.body) else { return Ok(None) };
    let word = if at_top { "top" } else { "bottom" };
    let (name, head) = (own.name.clone(), own.origin);
    let edge = format!("{}.{word}", shaper.design.thing(host).name);
    let told = |shaper: &mut Shaper<'_>, d: Diagnostic| {
        shaper.faults.push(d);
        Ok(None)
    };
    if if at_top { known.closed_top } else { known.closed_bottom } {
        return told(shaper, errors::stands_on_a_point(&name, &edge, head));
    }
    let (Some(foot), Some(layer)) = (upper.rings.first(), own.layers.first()) else { return Ok(None) };
    if matches!(foot.lower, Rim::Closed(_)) {
        return told(shaper, errors::stands_on_its_point(&name, &edge, head));
    }
    if [upper.seam, lower.seam].iter().any(|s| matches!(s, Seam::Open(_))) {
        let what = "the joint of a wall that stands on another, of which one has an open seam,";
        return told(shaper, errors::not_built_yet(what, head));
    }
    let ring = if at_top { lower.rings.len() - 1 } else { 0 };
    let first = Edge {
        wall: lower,
        ring: &lower.rings[ring],
        upper: at_top,
        place: below.place,
        faces: [known.inner, known.outer],
    };
    let second = Edge { wall: upper, ring: foot, upper: false, place: own.place, faces: [layer.inner, outer] };
    let there = known.part;
    let Some((depth, other)) = common(&first, &second) else {
        let apart = first.off(known.outer, &second.points(outer), f64::INFINITY);
        return told(shaper, errors::foot_off_edge(&name, &edge, apart, head));
    };
    taken(shaper, (host, at_top), (&name, head))?;
    shaper.stood.insert((host, at_top), (name.clone(), head));
    let end = if at_top { EdgeName::Upper } else { EdgeName::Lower };
    Ok(Some(Draft {
        a: EdgeRef { part: there, ring, edge: end },
        b: EdgeRef { part: own.id, ring: 0, edge: EdgeName::Lower },
        contact: Contact::Rim { part: there, ring, upper: at_top, depth, other },
        what: format!("{name} on {edge}"),
    }))
}

/// Whether something stands on an edge already: a shell, or a cap on the wall's end.
fn taken(shaper: &Shaper<'_>, (host, at_top): (ThingId, bool), (name, head): (&str, Span)) -> Result<(), Stop> {
    if let Some((other, first)) = shaper.stood.get(&(host, at_top)) {
        return Err(errors::two_on_edge(name, head, other, *first).into());
    }
    let on_end = |c: &&Cap| c.at_top == at_top && c.fit != Fit::Inset;
    let ids = shaper.caps_of.get(&host).into_iter().flatten();
    let cap = ids.filter_map(|id| Some((*id, shaper.known.caps.get(id)?))).find(|(_, c)| on_end(c));
    match cap {
        Some((id, c)) => {
            let other = shaper.design.thing(id).name.to_string();
            Err(errors::edge_taken(name, head, &other, c.head).into())
        }
        None => Ok(()),
    }
}

/// Chords of a foot's outline that is no circle stand off it by this much at most, mm.
const FINE: f64 = 0.01;

/// How far the first rim of a wall that stands on a cap lies off that at most.
pub(super) fn off_face(shaper: &Shaper<'_>, ground: Ground, own: &Part) -> Option<f64> {
    let Ground::Cap { cap, .. } = ground else { return None };
    let below = &shaper.solid.parts[shaper.known.caps.get(&cap)?.plate.index()];
    let (Body::Wall(wall), Body::Plate(plate)) = (&own.body, &below.body) else { return None };
    let (ring, layer) = (wall.rings.first()?, own.layers.last()?);
    let edge = Edge { wall, ring, upper: false, place: own.place, faces: [layer.inner, layer.outer] };
    let points = edge.fine(layer.outer).into_iter().map(|p| below.place.seen(p));
    Some(points.map(|p| (p.z - plate.show).abs()).fold(0.0, f64::max))
}

/// Marks on a cap where the foot of what stands on it goes: its outer face's outline on the plane of the show face, or that of
/// its flange or its tabs, which is given with the shell's front up the page.
pub(super) fn mark(shaper: &mut Shaper<'_>, ground: Ground, part: PartId, collar: Option<&Path>) {
    let Ground::Cap { cap, .. } = ground else { return };
    let Some(known) = shaper.known.caps.get(&cap) else { return };
    let own = &shaper.solid.parts[part.index()];
    let below = &shaper.solid.parts[known.plate.index()];
    let (Body::Wall(wall), Body::Plate(plate)) = (&own.body, &below.body) else { return };
    let (Some(foot), Some(layer)) = (wall.rings.first(), own.layers.last()) else { return };
    let (name, head) = (own.name.clone(), own.origin);
    let edge = Edge { wall, ring: foot, upper: false, place: own.place, faces: [layer.inner, layer.outer] };
    let points: Vec<Vec3> = edge.fine(layer.outer).into_iter().map(|p| below.place.seen(p)).collect();
    let off = off_face(shaper, ground, own).unwrap_or(0.0);
    if matches!(foot.lower, Rim::Closed(_)) || off > MEET {
        let cap = shaper.design.thing(cap).name.to_string();
        shaper.faults.push(errors::foot_off_face(&name, &cap, off, head));
        return;
    }
    let above = if plate.show >= plate.hidden { 1.0 } else { -1.0 };
    let origin = below.place.seen(own.place.origin);
    let centre = Vec2::new(origin.x, origin.y);
    // As a plate's flat lies: the front up the page, and from above the wearer's right on the right.
    let laid = |p: &Vec3| Vec2::new(-above * (p.y - centre.y), p.x - centre.x);
    let flat: Vec<Vec2> = points.iter().map(laid).collect();
    // What lies within its bore it stands clear of, where no cap of its own closes that.
    let hollow = (!shaper.met.contains(&(own.thing, "bottom"))).then(|| {
        let inner = own.layers.first().map_or(layer.inner, |l| l.inner);
        let bore = edge.fine(inner).into_iter().map(|p| laid(&below.place.seen(p)));
        Path::polygon(&bore.collect::<Vec<_>>())
    });
    let radius = flat.first().map_or(0.0, |p| p.length());
    let front = below.place.direction_seen(own.place.x);
    let turn = num::atan2(front.x, -above * front.y) - num::FRAC_PI_2;
    let outline = if let Some(collar) = collar {
        collar.moved(&Motion { mirror: false, turn, shift: Vec2::ZERO })
    } else if flat.iter().all(|p| (p.length() - radius).abs() < 1e-9) {
        let (a, b) = (Vec2::new(radius, 0.0), Vec2::new(-radius, 0.0));
        Path { segs: vec![Seg { a, b, bulge: 1.0 }, Seg { a: b, b: a, bulge: 1.0 }] }
    } else {
        let path = Path::polygon(&flat);
        if path.area() < 0.0 { path.reversed() } else { path }
    };
    let spot = Spot {
        part: known.plate,
        over: Vec::new(),
        thing: own.thing,
        name,
        origin: head,
        face: Face::Outside,
        on: fitted::Ground::Plate { centre },
        outline,
        hollow,
    };
    shaper.solid.fitted.spots.push(spot);
}
