//! A lace along the disc of a cap: sewn to the edge that the disc closes, or run in and out along the disc alone.
//!
//! The wall's row is set out as any row is. Each hole of the disc faces one of the wall's: it lies `margin` from the
//! disc's edge, square to it, beside the point of that edge that is nearest to the wall's hole. So pairs lie straight
//! across the corner wherever that is round, and their pitch along the disc is even where the wall's is drawn in evenly.
//! The edge is that of the innermost layer at half depth.
//!
//! On the outside the lace lies on both sheets, over the corner between: straight on the two unfolded, with the mean of
//! the pitches along both edges where it slants. On the inside it runs straight through the corner.

use super::super::{Shaper, errors, goods};
use super::cap::Fit;
use super::lace::{self, At, Course, Face, Legs};
use super::lace_edges::On;
use super::lace_tied::{self, Tied};
use super::lacing::{self, Drafted, Spec};
use crate::design::Kind;
use crate::eval::Stop;
use crate::fitted::{EdgeOf, Row};
use crate::geom::walk::{Place, Walk};
use crate::geom::{Vec2, Vec3, left_of};
use crate::ids::{PartId, ThingId};
use crate::num;
use crate::solid::{Body, Claim, EdgeName, Frame, Layer, Part, Plate, PlateHole, Rim, Size, Wall};

/// How many parts of a leg the edge is looked at in.
const PARTS: u32 = 96;

/// A disc with the walk round it.
struct Disc<'a> {
    plate: &'a Plate,
    layers: &'a [Layer],
    frame: Frame,
    walk: Walk,
    /// The height of its edge.
    middle: f64,
}

/// A hole of a disc.
#[derive(Clone, Copy, Debug)]
struct Punched {
    /// Its centre and the point of the edge beside it, in the plate's plane.
    at: Vec2,
    foot: Place,
    along: f64,
    beyond: f64,
    /// From the nearest edge of any layer.
    near: f64,
}

impl<'a> Disc<'a> {
    fn new(part: &'a Part) -> Option<Self> {
        let Body::Plate(plate) = &part.body else { return None };
        let (first, last) = (part.layers.first()?, part.layers.last()?);
        let share = (first.middle() - first.inner) / (last.outer - first.inner);
        let middle = plate.hidden + (plate.show - plate.hidden) * share;
        Some(Self { plate, layers: &part.layers, frame: part.place, walk: Walk::new(&plate.strip), middle })
    }

    /// A point of its bounding surface at a height.
    fn on(&self, at: Place, z: f64) -> Vec3 {
        self.walk.rule(at).point(z, self.plate.depth)
    }

    /// How far that surface stands from the axis there, at a height and depth.
    fn out(&self, at: Place, z: f64, depth: f64) -> f64 {
        self.walk.rule(at).support_at(z, depth).0
    }

    fn along(&self, at: Place) -> f64 {
        self.walk.length(at, self.middle, self.plate.depth)
            - self.walk.length(self.walk.ends().0, self.middle, self.plate.depth)
    }

    fn long(&self) -> f64 {
        self.walk.around(self.middle, self.plate.depth)
    }

    fn thick(&self) -> f64 {
        self.layers.iter().map(|l| l.outer - l.inner).sum()
    }

    fn looks(&self) -> impl Iterator<Item = Place> {
        (0..self.walk.legs().len())
            .flat_map(|leg| (0..=PARTS).map(move |i| Place { leg, t: f64::from(i) / f64::from(PARTS) }))
    }

    /// The place of its edge that is nearest to a point.
    fn nearest(&self, p: Vec2) -> Place {
        let off = |at: Place| self.on(at, self.middle).truncate().distance(p);
        let first = self.walk.ends().0;
        let (best, _) =
            self.looks().fold((first, off(first)), |a, at| if off(at) < a.1 - 1e-9 { (at, off(at)) } else { a });
        let beside = 1.0 / f64::from(PARTS);
        let miss = |t: f64| {
            let at = Place { leg: best.leg, t };
            (self.on(at, self.middle).truncate() - p).dot(left_of(self.walk.rule(at).facing))
        };
        let t = num::root((best.t - beside).max(0.0), (best.t + beside).min(1.0), 1e-13, miss).unwrap_or(best.t);
        Place { leg: best.leg, t }
    }

    /// The hole beside a place of its edge.
    fn hole(&self, foot: Place, margin: f64) -> Punched {
        let edge = self.on(foot, self.middle).truncate();
        let at = edge - self.walk.rule(foot).facing * margin;
        let along = self.along(foot);
        Punched { at, foot, along, beyond: self.long() - along, near: self.near(at) }
    }

    /// How far a point lies from the nearest edge of its faces.
    fn near(&self, p: Vec2) -> f64 {
        let chain = |z: f64| {
            let points: Vec<Vec2> = self.looks().map(|at| self.on(at, z).truncate()).collect();
            super::super::laid::distance(&points, p)
        };
        [self.plate.show, self.middle, self.plate.hidden].into_iter().map(chain).fold(f64::INFINITY, f64::min)
    }
}

/// Laces a disc to the wall's edge it closes, or along its own.
pub(super) fn lace_up(
    shaper: &mut Shaper<'_>,
    id: ThingId,
    spec: &Spec,
    (wall, disc): (Option<&On>, &On),
) -> Result<(), Stop> {
    let row = match wall {
        Some(on) => lacing::rows(shaper, spec, &[*on])?.pop(),
        None => None,
    };
    let punched = punch(shaper, spec, disc.part, row.as_ref())?;
    room(shaper, spec, (disc, &punched))?;
    let mut gap = None;
    if let (Some(on), Some(row)) = (wall, &row) {
        lacing::room(shaper, spec, row, on)?;
        gap = Some(comes_out(shaper, spec, (row, disc, &punched))?);
    }
    let cloth = covered(shaper, disc.host);
    let through: Vec<f64> = match (wall, &row) {
        (Some(on), Some(row)) => lacing::lying(shaper, on, row).iter().map(|l| l.0 + l.1).collect(),
        _ => Vec::new(),
    };
    let Some(course) = Corner::new(shaper, disc, (row.as_ref(), &punched), (&through, cloth)) else {
        return Err(Stop::Skip);
    };
    let way = lace::way(spec, (punched.len(), row.is_some(), true), &course);
    let rows = 0..if row.is_some() { 2 } else { 1 };
    let at =
        rows.flat_map(|r| (0..punched.len()).map(move |i| (r, i))).map(|at| course.point(at, Face::Outside)).collect();
    let part = &shaper.solid.parts[disc.part.index()];
    let (pair, long) = (part.pair, Disc::new(part).map_or(0.0, |d| d.long()));
    #[expect(clippy::cast_precision_loss, reason = "a thousand holes at most")]
    let pitch = long / punched.len().max(1) as f64;
    let first = row.as_ref().map_or(pitch, |r| r.pitch);
    let two = row.is_some();
    let mut listed = match row {
        Some(row) => lacing::cut(shaper, id, spec, &[row], &["a"])?,
        None => Vec::new(),
    };
    listed.push(cut(shaper, (id, spec), disc.part, (&punched, pitch), if two { "b" } else { "" })?);
    lace_tied::keep(shaper, id, spec, Tied { way, gap, pitch: first, at, pair, listed })
}

/// The holes of a disc: one facing each hole of the wall's row, or evenly along its edge.
fn punch(shaper: &Shaper<'_>, spec: &Spec, part: PartId, row: Option<&Drafted>) -> Result<Vec<Punched>, Stop> {
    let disc = Disc::new(&shaper.solid.parts[part.index()]).ok_or(Stop::Skip)?;
    let feet: Vec<Place> = match row {
        Some(row) => {
            let beside = |h: &lacing::Holed| h.edge.point(disc.plate.depth).truncate();
            row.holes.iter().map(|h| disc.nearest(beside(h))).collect()
        }
        None => {
            let long = disc.long();
            let n = spec.holes_round(long)?;
            let start = disc.walk.length(disc.walk.ends().0, disc.middle, disc.plate.depth);
            let mut at = Vec::new();
            let mut k = 0.5;
            while k < n {
                at.push(disc.walk.at_length(start + long * k / n, disc.middle, disc.plate.depth));
                k += 1.0;
            }
            at
        }
    };
    Ok(feet.into_iter().map(|foot| disc.hole(foot, spec.margin)).collect())
}

/// What is left round the holes of a disc, as of a wall's.
fn room(shaper: &mut Shaper<'_>, spec: &Spec, (on, punched): (&On, &[Punched])) -> Result<(), Stop> {
    let part = &shaper.solid.parts[on.part.index()];
    let sorts = part.layers.iter().map(|l| shaper.solid.stocks[l.stock].sort);
    let (foam, sheet) = (sorts.clone().any(|s| s == "foam"), sorts.clone().next().unwrap_or("sheet"));
    let advised = (2.0 * spec.hole).max(if foam { 10.0 } else { 0.0 });
    let near = punched.iter().map(|h| h.near).fold(f64::INFINITY, f64::min);
    let torn = errors::Torn {
        hole: spec.hole,
        centre: near,
        left: near - 0.5 * spec.hole,
        advised,
        sheet,
        field: Some(("margin", spec.margin)),
        across: None,
    };
    if torn.left < spec.hole - lacing::NEAR {
        // Past the middle of the disc more is less.
        return Err(if near < spec.margin - 0.5 * spec.hole && spec.margin >= advised {
            errors::margin_past_the_wall(spec.margin, spec.hole, None, spec.margin_span).into()
        } else {
            errors::tears_out(&torn, spec.margin_span).into()
        });
    }
    let next = punched.iter().cycle().skip(1);
    let least = punched.iter().zip(next).map(|(a, b)| a.at.distance(b.at)).fold(f64::INFINITY, f64::min);
    if punched.len() > 1 && least < 2.0 * spec.hole {
        return Err(errors::holes_too_close(least, spec.hole, spec.every_span, spec.count.is_some()).into());
    }
    if near < advised - lacing::NEAR && covered(shaper, on.host) == 0.0 {
        shaper.faults.push(errors::near_the_edge(&torn, spec.margin_span));
    }
    Ok(())
}

/// How thick what covers a cap is, on both its faces. A lace passes through it.
fn covered(shaper: &mut Shaper<'_>, cap: ThingId) -> f64 {
    let design = shaper.design;
    let covers = shaper.raised.get(&cap).cloned().unwrap_or_default();
    let mut sum = 0.0;
    for id in covers.into_iter().filter(|id| design.thing(*id).kind == Kind::Cover) {
        let thick = shaper.read(id, None, |fields| {
            let both = fields.maybe_word("face")? == Some("both");
            Ok(goods::stands(design, fields, "of")? * if both { 2.0 } else { 1.0 })
        });
        // What is wrong with it is said where it is built.
        sum += thick.unwrap_or(0.0);
    }
    sum
}

/// That no hole is closed by what its sheet lies on: a disc's by the end of the wall below it, a wall's by the disc in
/// its bore. Gives how far the two edges are apart.
fn comes_out(shaper: &Shaper<'_>, spec: &Spec, (row, on, punched): (&Drafted, &On, &[Punched])) -> Result<f64, Stop> {
    let cap = shaper.known.caps.get(&on.host).ok_or(Stop::Skip)?;
    let disc = Disc::new(&shaper.solid.parts[on.part.index()]).ok_or(Stop::Skip)?;
    let part = &shaper.solid.parts[row.part.index()];
    let (wall, layer) = lacing::wall_of(part).ok_or(Stop::Skip)?;
    let outer = part.layers.last().map_or(layer.outer, |l| l.outer);
    let radius = 0.5 * spec.hole;
    let inward = (disc.plate.hidden - disc.plate.show).signum();
    let mut short = 0.0f64;
    let mut gap = f64::INFINITY;
    for (hole, punched) in row.holes.iter().zip(punched) {
        let end = |depth: f64| end_of(wall, row.edge, hole, depth);
        if cap.fit == Fit::Inset {
            let rise = hole.spot.rule.secant();
            let nearest = hole.spot.point(layer.inner).z - inward * radius / rise;
            short = short.max((disc.plate.hidden - nearest) * inward * rise);
            gap = gap.min(end(layer.inner).distance(disc.on(punched.foot, disc.plate.show)));
        } else {
            let under = disc.out(punched.foot, disc.middle, disc.plate.depth)
                - disc.out(punched.foot, disc.plate.hidden, layer.inner);
            short = short.max(under + radius - spec.margin);
            gap = gap.min(end(outer).distance(disc.on(punched.foot, disc.plate.hidden)));
        }
    }
    if short > lacing::NEAR {
        let closed = if cap.fit == Fit::Inset {
            "the wall's holes open beside the disc or before it"
        } else {
            "the disc's holes open onto the end of the wall"
        };
        return Err(errors::lace_blocked(closed, spec.margin, spec.margin + short, spec.margin_span, cap.head).into());
    }
    Ok(if gap < 1e-6 { 0.0 } else { gap })
}

/// A corner of a wall's end beside a hole, at a depth.
fn end_of(wall: &Wall, edge: EdgeOf, hole: &lacing::Holed, depth: f64) -> Vec3 {
    let (strip, rim) = if edge == EdgeOf::Top {
        (wall.strips.last(), wall.rings.last().map(|r| r.upper))
    } else {
        (wall.strips.first(), wall.rings.first().map(|r| r.lower))
    };
    let level = strip.map(|s| if edge == EdgeOf::Top { s.heights().1 } else { s.heights().0 });
    match (rim, level) {
        (Some(Rim::Level), Some(z)) => hole.edge.rule.point(z, depth),
        _ => hole.edge.point(depth),
    }
}

/// The holes of a disc, and of the wall's end it closes.
struct Corner<'a> {
    wall: Option<Legs<'a>>,
    /// Of each hole of the disc its two faces, inside and outside.
    holes: Vec<[Vec3; 2]>,
    edges: Vec<[Vec3; 2]>,
    /// Beside each pair the corners of the wall's end and of the disc, over which the lace lies.
    corners: Vec<[Vec3; 2]>,
    thick: f64,
}

impl<'a> Corner<'a> {
    /// `through` is how thick what lies on the wall is at each hole, `cloth` what lies on the disc.
    fn new(
        shaper: &'a Shaper<'_>,
        on: &On,
        (row, punched): (Option<&'a Drafted>, &[Punched]),
        (through, cloth): (&[f64], f64),
    ) -> Option<Self> {
        let inset = shaper.known.caps.get(&on.host)?.fit == Fit::Inset;
        let disc = Disc::new(&shaper.solid.parts[on.part.index()])?;
        let (show, hidden) = (disc.plate.show, disc.plate.hidden);
        let place = |p: Vec3| disc.frame.apply(p);
        let wall = match row {
            Some(row) => {
                let lying: Vec<(f64, f64)> = through.iter().map(|t| (0.0, *t)).collect();
                Some(Legs::new(&shaper.solid, core::slice::from_ref(row), core::slice::from_ref(&lying))?)
            }
            None => None,
        };
        let holes = punched.iter().map(|h| [hidden, show].map(|z| place(h.at.extend(z)))).collect();
        let edges = punched.iter().map(|h| [hidden, show].map(|z| place(disc.on(h.foot, z)))).collect();
        let mut corners = Vec::new();
        if let Some(row) = row {
            let part = &shaper.solid.parts[row.part.index()];
            let (body, layer) = lacing::wall_of(part)?;
            let outer = part.layers.last()?.outer;
            for (h, p) in row.holes.iter().zip(punched) {
                let first = part.place.apply(end_of(body, row.edge, h, outer));
                let second = if inset {
                    part.place.apply(end_of(body, row.edge, h, layer.inner))
                } else {
                    place(disc.on(p.foot, show))
                };
                corners.push([first, second]);
            }
        }
        Some(Self { wall, holes, edges, corners, thick: disc.thick() + cloth })
    }

    /// The wall's row, when it is that one.
    fn walled(&self, at: At) -> Option<&Legs<'a>> {
        self.wall.as_ref().filter(|_| at.0 == 0)
    }
}

impl Course for Corner<'_> {
    fn thick(&self, at: At) -> f64 {
        self.walled(at).map_or(self.thick, |w| w.thick(at))
    }

    fn point(&self, at: At, face: Face) -> Vec3 {
        self.walled(at).map_or_else(|| self.holes[at.1][face as usize], |w| w.point(at, face))
    }

    fn edge(&self, at: At, face: Face) -> Vec3 {
        self.walled(at).map_or_else(|| self.edges[at.1][face as usize], |w| w.edge(at, face))
    }

    fn leg(&self, from: At, over_edge: bool, to: At, face: Face) -> (f64, Vec<Vec3>) {
        let (p, q) = (self.point(from, face), self.point(to, face));
        if from.0 == to.0 {
            return match self.walled(from) {
                Some(wall) => wall.leg(from, over_edge, to, face),
                None => (p.distance(q), vec![p, q]),
            };
        }
        if face == Face::Inside {
            return (p.distance(q), vec![p, q]);
        }
        // From the wall's hole over both corners to the disc's.
        let (low, high) = if from.0 == 0 { (from.1, to.1) } else { (to.1, from.1) };
        let (wall, disc) = if from.0 == 0 { (p, q) } else { (q, p) };
        let (a, b) = (self.corners[low], self.corners[high]);
        let (first, last) = (wall.distance(a[0]), disc.distance(b[1]));
        let over = 0.5 * (a[0].distance(a[1]) + b[0].distance(b[1]));
        let aside = 0.5 * (a[0].distance(b[0]) + a[1].distance(b[1]));
        let across = first + over + last;
        let share = |s: f64| s / across.max(f64::MIN_POSITIVE);
        let mut points =
            vec![wall, a[0] + (b[0] - a[0]) * share(first), a[1] + (b[1] - a[1]) * share(first + over), disc];
        if from.0 != 0 {
            points.reverse();
        }
        (num::hypot(across, aside), points)
    }
}

/// Cuts the holes of a disc, with what is claimed of each.
fn cut(
    shaper: &mut Shaper<'_>,
    (id, spec): (ThingId, &Spec),
    part: PartId,
    (punched, pitch): (&[Punched], f64),
    letter: &str,
) -> Result<Row, Stop> {
    let mut holes = Vec::with_capacity(punched.len());
    let Body::Plate(plate) = &mut shaper.solid.parts[part.index()].body else { return Err(Stop::Skip) };
    for (i, h) in punched.iter().enumerate() {
        let hole = plate.holes.len();
        let (along, beyond) = (h.along, h.beyond);
        let size = Size::Row { hole, edge: EdgeName::Outline, across: spec.hole, margin: spec.margin, along, beyond };
        shaper.solid.claims.push(Claim { part, origin: spec.head, size });
        plate.holes.push(PlateHole {
            thing: id,
            name: format!("{} {}{letter}", spec.name, i + 1),
            origin: spec.head,
            outline: lacing::round_hole(spec.hole, h.at),
            number: Some(i + 1),
        });
        holes.push((hole, along));
    }
    Ok(Row { part, edge: EdgeOf::Disc, pitch, holes })
}
