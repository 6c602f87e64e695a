//! What the faces of a part come to: the area of any depth of its sheet and where the middle of that area lies, exact
//! from the solid. Rank 6: knows the form `solid` and the kernel, no phase; `shape` coats faces with it, `plan` weighs.
//!
//! A wall's surface at depth `d` has the element `ρ sec α dφ dz` (`geom::strip`: `P_φ = ρ T`, `P_z = u n + w T + e_z`,
//! whose cross product is `ρ (n − u e_z)`, of length `ρ sec α`). Along one rule `ρ` and the point are linear in `z`, so
//! two Gauss places are exact there; over the rules `geom::series` goes to full precision. What is cut square to the
//! sheet (holes, an open seam's sides) has the same outline on the neutral flat at every depth, and an element of the
//! flat is `1 + κ (d − n)` as large at depth `d`, `κ` the curvature of the neutral surface: the other curvature of a
//! developable is nothing.

mod extent;
mod hole;
pub mod leaf;
pub mod tabs;
#[cfg(test)]
mod tests;

pub use extent::{Corners, corners};

use crate::geom::path::{Motion, Seg};
use crate::geom::rim::{Cut, Rim, spans};
use crate::geom::series::Series;
use crate::geom::strip::Rule;
use crate::geom::unroll::Unrolled;
use crate::geom::walk::{Leg, Place, Stop, Walk};
use crate::geom::{Vec2, Vec3, onepiece, parallel, scallop};
use crate::num::{PI, Sum};
use crate::solid::{self, Frame, Gap, Layer, Plate, Ring, Seam, Wall};

/// An area and its first moment, in the part's frame, mm² and mm³.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Skin {
    pub area: f64,
    pub moment: Vec3,
}

impl Skin {
    /// The middle of the area; the origin of nothing.
    #[must_use]
    pub fn centre(&self) -> Vec3 {
        if self.area.abs() > 0.0 { self.moment / self.area } else { Vec3::ZERO }
    }

    /// Both together.
    #[must_use]
    pub fn and(self, other: Self) -> Self {
        Self { area: self.area + other.area, moment: self.moment + other.moment }
    }

    /// The same where its frame is given in another one.
    #[must_use]
    pub fn placed(self, frame: &Frame) -> Self {
        let moment = frame.origin * self.area + frame.direction(self.moment);
        Self { area: self.area, moment }
    }

    fn scaled(self, by: f64) -> Self {
        Self { area: self.area * by, moment: self.moment * by }
    }
}

/// Depths from the measured face that a measurement is made at.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Depths {
    /// The surface that is laid flat.
    pub neutral: f64,
    /// Whose rims bound it.
    pub edge: f64,
    /// Whose area counts.
    pub area: f64,
    /// Where its points lie.
    pub point: f64,
}

impl Depths {
    /// The sheet of a layer: as much of it as lies flat, in the middle of its thickness.
    #[must_use]
    pub fn sheet(layer: &Layer) -> Self {
        let middle = layer.middle();
        Self { neutral: layer.neutral, edge: middle, area: layer.neutral, point: middle }
    }

    /// A face of a layer.
    #[must_use]
    pub fn face(layer: &Layer, depth: f64) -> Self {
        Self { neutral: layer.neutral, edge: depth, area: depth, point: depth }
    }
}

/// How a ring's rims are cut.
#[must_use]
pub fn cuts(wall: &Wall, ring: &Ring) -> (Cut, Cut) {
    let (first, last) = (&wall.strips[ring.strips.start], &wall.strips[ring.strips.end - 1]);
    (cut(wall, ring.lower, first.heights().0), cut(wall, ring.upper, last.heights().1))
}

/// How a rim of a wall at the station at height `z` is cut.
#[must_use]
pub fn cut(wall: &Wall, rim: solid::Rim, z: f64) -> Cut {
    match rim {
        solid::Rim::Level => Cut::Level(z),
        solid::Rim::Square => Cut::Square(z),
        solid::Rim::At(z) => Cut::Square(z),
        solid::Rim::Mitre(other) => Cut::Mitre(z, wall.strips[other].clone()),
        solid::Rim::Closed(z) => Cut::Closed(z),
        solid::Rim::Plane(plane) => Cut::Plane(plane),
        solid::Rim::PlaneSquare(plane) => Cut::PlaneSquare(plane),
        // A rim without the figure that it names is cut as it stands.
        solid::Rim::Shaped { upper } => wall.figure(upper).cloned().map_or(Cut::Square(z), Cut::Shaped),
    }
}

/// The height at which a cut meets the measured face (closed: the neutral surface; a plane: that of its own point).
#[must_use]
pub fn height(cut: &Cut) -> f64 {
    match cut {
        Cut::Level(z) | Cut::Square(z) | Cut::Mitre(z, _) | Cut::Closed(z) => *z,
        Cut::Plane(plane) | Cut::PlaneSquare(plane) => plane.at.z,
        Cut::Shaped(figure) => figure.side,
    }
}

/// A rim of a ring, on the flat of depth `depth`.
pub fn on_rim<T>(wall: &Wall, ring: &Ring, upper: bool, depth: f64, f: impl FnOnce(&Rim<'_>) -> T) -> T {
    let (low, up) = cuts(wall, ring);
    let (cut, strip) = if upper { (up, ring.strips.end - 1) } else { (low, ring.strips.start) };
    let walk = Walk::with_cuts(&wall.strips[strip], &cut.stops());
    let flat = Unrolled::new(&walk, depth);
    f(&Rim::new(&flat, &cut))
}

/// Where an open (or closed) seam leaves a rim at height `z`, by the girth of the neutral surface: its first and last
/// place.
#[must_use]
pub fn leaves(walk: &Walk, seam: Seam, z: f64, neutral: f64) -> (Place, Place) {
    let (start, end) = walk.ends();
    let by_length_at = |gap: f64, depth: f64| {
        let around = walk.around(z, depth);
        (walk.at_length(0.5 * gap, z, depth), walk.at_length(around - 0.5 * gap, z, depth))
    };
    let by_length = |gap: f64| by_length_at(gap, neutral);
    match seam {
        Seam::Butt | Seam::Lap(_) | Seam::Tabs(_) | Seam::Backed(_) => (start, end),
        Seam::Open(Gap::Length(mm)) => by_length(mm),
        Seam::Open(Gap::Share(share)) => by_length(share * walk.around(z, neutral)),
        Seam::Open(Gap::Over { depth, length, share }) => by_length_at(length + share * walk.around(z, depth), depth),
        Seam::Open(Gap::Leaves(mm)) => walk.about(walk.rule(start).phi + PI, mm, z, neutral).unwrap_or((start, end)),
        Seam::Open(Gap::Angle(angle)) => {
            let phi = walk.rule(start).phi;
            // The middle of a side that faces there.
            let at = |phi: f64, fallback: Place| {
                walk.side_middle(phi).or(walk.at_normal(phi).first().copied()).unwrap_or(fallback)
            };
            (at(phi + 0.5 * angle, start), at(phi - 0.5 * angle, end))
        }
    }
}

/// What an integral's tail may be: mm² and mm³, less than a millionth of anything that is cut.
const TAIL: f64 = 1e-3;

/// One ring of a wall at these depths, its holes taken out; `middle` is the depth at which an open seam's sides are
/// cut straight (the layer's half).
#[must_use]
pub fn wall(wall: &Wall, ring: &Ring, middle: f64, at: Depths) -> Skin {
    let (low_cut, up_cut) = cuts(wall, ring);
    let walks = walks(wall, ring);
    let flats = laid(&walks, at.neutral);
    let lower = Rim::new(&flats[0], &low_cut);
    let upper = Rim::new(&flats[flats.len() - 1], &up_cut);
    let sides = matches!(wall.seam, Seam::Open(_)).then(|| {
        let low = leaves(lower.flat().walk(), wall.seam, height(&low_cut), at.neutral);
        let up = leaves(upper.flat().walk(), wall.seam, height(&up_cut), at.neutral);
        let side = |a: Place, b: Place| (lower.point(a, middle).0, upper.point(b, middle).0);
        Sides { low, up, begin: side(low.0, up.0), end: side(low.1, up.1) }
    });
    let mut all = Skin::default();
    // What is cut away between a rim and its tongues.
    for (rim, cut, is_upper) in [(&lower, &low_cut, false), (&upper, &up_cut, true)] {
        let index = wall.rings.iter().position(|r| r == ring);
        let Some(row) = index.and_then(|i| wall.scalloped(i, is_upper)) else { continue };
        let ends = leaves(rim.flat().walk(), wall.seam, height(cut), at.neutral);
        let straight = sides.as_ref().map(|s| (Seg::line(s.begin.0, s.begin.1), Seg::line(s.end.0, s.end.1)));
        let wanted = scallop::Wanted { upper: is_upper, count: row.count, rise: row.rise };
        for (outline, near) in scallop::row(rim, ends, straight, wanted).waste(rim) {
            all = all.and(hole::cut_out(rim.flat(), near, &outline, at).scaled(-1.0));
        }
    }
    for (i, flat) in flats.iter().enumerate() {
        let bounds = Bounds { lower: (i == 0).then_some(&lower), upper: (i + 1 == flats.len()).then_some(&upper), at };
        all = all.and(strip(flat, &bounds, sides.as_ref()));
        for one in wall.holes.iter().filter(|h| h.strip == ring.strips.start + i) {
            all = all.and(hole::of_wall(flat, one, at).scaled(-1.0));
        }
    }
    all
}

/// The walks of a ring's strips, cut where one of its rims has a stop.
#[must_use]
pub fn walks(wall: &Wall, ring: &Ring) -> Vec<Walk> {
    let (lower, upper) = cuts(wall, ring);
    let stops: Vec<Stop> = lower.stops().into_iter().chain(upper.stops()).collect();
    wall.strips[ring.strips.clone()].iter().map(|strip| Walk::with_cuts(strip, &stops)).collect()
}

/// The walks of a ring unrolled at one depth, one flat: level in the middle of the first, the others laid on it.
#[must_use]
pub fn laid(walks: &[Walk], depth: f64) -> Vec<Unrolled<'_>> {
    let mut flats: Vec<Unrolled> = Vec::with_capacity(walks.len());
    for walk in walks {
        let flat = Unrolled::new(walk, depth);
        let motion = match flats.last() {
            None => Motion { mirror: false, turn: 0.5 * walk.whole_turn(), shift: Vec2::ZERO },
            Some(below) => onepiece::fit(below, &flat).0,
        };
        flats.push(flat.moved(&motion));
    }
    flats
}

/// What an open seam leaves: places on the rims, and the straight sides between them on the flat.
struct Sides {
    low: (Place, Place),
    up: (Place, Place),
    begin: (Vec2, Vec2),
    end: (Vec2, Vec2),
}

/// Which rims bound a strip; between the strips of a ring the station does.
struct Bounds<'a> {
    lower: Option<&'a Rim<'a>>,
    upper: Option<&'a Rim<'a>>,
    at: Depths,
}

fn strip(flat: &Unrolled<'_>, bounds: &Bounds<'_>, sides: Option<&Sides>) -> Skin {
    let walk = flat.walk();
    let (start, end) = walk.ends();
    let mut stops: Vec<Place> = Vec::new();
    if let Some(s) = sides {
        stops.extend(bounds.lower.iter().flat_map(|_| [s.low.0, s.low.1]));
        stops.extend(bounds.upper.iter().flat_map(|_| [s.up.0, s.up.1]));
    }
    // Either side is told by its own half of the way round, so that a flat that turns far is not cut twice.
    let (z0, z1) = walk.strip().heights();
    let z = if walk.around(z0, 0.0) > walk.around(z1, 0.0) { z0 } else { z1 };
    let half = walk.at_length(0.5 * walk.around(z, 0.0), z, 0.0);
    stops.extend([start, half, end]);
    stops.sort_by(|a, b| (a.leg, a.t).partial_cmp(&(b.leg, b.t)).unwrap_or(core::cmp::Ordering::Equal));
    let (mut area, mut moment) = (Sum::new(), [Sum::new(); 3]);
    for pair in stops.windows(2) {
        for (leg, t0, t1) in spans(pair[0], pair[1]) {
            let total = Series::<4>::new(TAIL, |x| {
                let place = Place { leg, t: t0 + (t1 - t0) * x };
                let clip = sides.map(|s| if pair[1] <= half { (s.begin, -1.0) } else { (s.end, 1.0) });
                on_rule(flat, place, bounds, clip).map(|v| v * (t1 - t0))
            })
            .total();
            area.add(total[0]);
            for (sum, v) in moment.iter_mut().zip(&total[1..]) {
                sum.add(*v);
            }
        }
    }
    let [x, y, z] = moment.map(Sum::value);
    Skin { area: area.value(), moment: Vec3::new(x, y, z) }
}

/// Area and moment a share of a leg along one rule, from rim to rim, of which a straight side leaves one side.
fn on_rule(flat: &Unrolled<'_>, place: Place, bounds: &Bounds<'_>, clip: Option<((Vec2, Vec2), f64)>) -> [f64; 4] {
    let walk = flat.walk();
    let (z0, z1) = walk.strip().heights();
    let at = bounds.at;
    let mut from = bounds.lower.map_or(z0, |rim| rim.foot(place, at.edge).0);
    let mut to = bounds.upper.map_or(z1, |rim| rim.foot(place, at.edge).0);
    if let Some(((a, b), keep)) = clip {
        let laid = flat.at(place);
        let side = |z: f64| keep * (b - a).perp_dot(laid.point((z - z0) / (z1 - z0)) - a);
        let (low, high) = (side(from), side(to));
        let cross = || from + (to - from) * low / (low - high);
        match (low >= 0.0, high >= 0.0) {
            (true, true) => {}
            (false, false) => return [0.0; 4],
            (true, false) => to = cross(),
            (false, true) => from = cross(),
        }
    }
    along(walk, place, &walk.rule(place), (from, to), at)
}

/// How far the section at height `z` of the surface at depth `d` runs for a share of the walk.
fn run(walk: &Walk, place: Place, rule: &Rule, z: f64, d: f64) -> f64 {
    match &walk.legs()[place.leg] {
        Leg::Side { first, last } => last.support_at(z, d).1 - first.support_at(z, d).1,
        Leg::Turn { .. } => parallel::radius_on(walk, place, rule, z, d) * walk.turning(place),
    }
}

/// Area and moment a share of a leg along one rule between two heights.
fn along(walk: &Walk, place: Place, rule: &Rule, (from, to): (f64, f64), at: Depths) -> [f64; 4] {
    let (sine, secant) = (rule.sine(), rule.secant());
    let mut out = [0.0; 4];
    // Two places of the Gauss-Legendre rule: exact for the quadratic along a rule.
    for x in [-1.0, 1.0].map(|s| 0.5 + 0.5 * s / 3f64.sqrt()) {
        let z = from + (to - from) * x;
        let wide = z - (at.area - at.neutral) * sine;
        let element = 0.5 * (to - from) * run(walk, place, rule, wide, at.area) * secant;
        if !element.is_finite() {
            continue;
        }
        let p = rule.point(z - (at.point - at.neutral) * sine, at.point);
        for (sum, v) in out.iter_mut().zip([1.0, p.x, p.y, p.z]) {
            *sum += element * v;
        }
    }
    out
}

/// A plate's section at height `z`, its holes taken out: `½ ∮ h ds` and `⅓ ∮ p h ds` (triangles from the origin).
#[must_use]
pub fn plate(plate: &Plate, z: f64) -> Skin {
    let walk = Walk::new(&plate.strip);
    let (mut area, mut x, mut y) = (Sum::new(), Sum::new(), Sum::new());
    for (leg, one) in walk.legs().iter().enumerate() {
        let total = Series::<3>::new(TAIL, |t| {
            let place = Place { leg, t };
            let rule = walk.rule(place);
            let run = match one {
                Leg::Side { first, last } => last.support_at(z, plate.depth).1 - first.support_at(z, plate.depth).1,
                Leg::Turn { .. } => parallel::radius(&walk, place, z, plate.depth) * walk.turning(place),
            };
            let element = rule.support_at(z, plate.depth).0 * run;
            let element = if element.is_finite() { element } else { 0.0 };
            let p = rule.point(z, plate.depth);
            [0.5 * element, p.x * element / 3.0, p.y * element / 3.0]
        })
        .total();
        area.add(total[0]);
        x.add(total[1]);
        y.add(total[2]);
    }
    let whole = Skin { area: area.value(), moment: Vec3::new(x.value(), y.value(), area.value() * z) };
    let holes = plate.holes.iter().map(|h| {
        let (area, middle) = hole::flat(&h.outline);
        Skin { area, moment: Vec3::new(middle.x, middle.y, area * z) }.scaled(-1.0)
    });
    holes.fold(whole, Skin::and)
}

/// The height at which a layer of a plate lies, half-way between its faces: layers are counted from the show face
/// inwards as their depths are.
#[must_use]
pub fn layer_height(plate: &Plate, layers: &[Layer], layer: &Layer) -> f64 {
    let (Some(first), Some(last)) = (layers.first(), layers.last()) else { return plate.show };
    let share = (layer.middle() - first.inner) / (last.outer - first.inner);
    plate.hidden + (plate.show - plate.hidden) * share
}
