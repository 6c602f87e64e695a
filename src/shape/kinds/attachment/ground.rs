//! Where attachments go: on a wall round or of flat sides, a cap or a plate, each with its place in the part and in the prop.

use super::super::spread::Spread;
use super::super::{panels, place};
use crate::design::{Anchor, Kind};
use crate::eval::Stop;
use crate::fitted::Ground;
use crate::geom::strip::{Rule, Strip};
use crate::geom::{Vec2, Vec3, left_of, unit};
use crate::ids::PartId;
use crate::shape::known::{Bent, BentRing, Panelled};
use crate::shape::{Shaper, errors, measure};
use crate::skin::leaf::Formed;
use crate::solid::{Body, Frame, Leaf, Part, Plate, Wall};
use crate::span::Span;

/// The direction up a leaf is that of a chord so long to either side, mm.
const STEP: f64 = 0.01;

/// A part that things are fitted to, or all of a wall of flat sides.
#[derive(Clone, Debug)]
pub(super) struct Site {
    /// Whose sheet it is.
    pub part: PartId,
    pub pair: bool,
    pub frame: Frame,
    pub face: Surface,
    /// Depths of its inner and outer face; of a cap of its hidden and show face along the way out.
    pub inner: f64,
    pub outer: f64,
    /// Its foot and its top along the axis.
    pub tall: Option<f64>,
}

#[derive(Clone, Debug)]
pub(super) enum Surface {
    Wall(Wall),
    Plate(Flat),
    Leaf(Leaf),
    /// A wall of flat sides, and each of them.
    Sides(Box<Panelled>, Vec<Flat>),
    /// Those of a bent shell.
    Rings(Vec<Rolled>),
}

/// A ring of a bent shell.
#[derive(Clone, Debug)]
pub(super) struct Rolled {
    part: PartId,
    frame: Frame,
    wall: Wall,
    along: BentRing,
}

/// A plate: a cap, or a flat side of a wall.
#[derive(Clone, Debug)]
pub(super) struct Flat {
    pub part: PartId,
    /// Of a wall that is folded from one strip.
    pub face: Option<usize>,
    /// In the prop.
    pub frame: Frame,
    pub plate: Plate,
}

/// One place on a site.
#[derive(Clone, Debug)]
pub(super) struct Found {
    pub name: String,
    pub part: PartId,
    pub ground: Ground,
    /// How far along the part it lies.
    pub level: f64,
    /// How its up stands turned from the flat's own.
    pub turn: f64,
    /// Its point on the outer face, in the prop, with the directions to the right and up as seen from outside, and
    /// out.
    pub at: Vec3,
    pub right: Vec3,
    pub up: Vec3,
    pub out: Vec3,
}

impl Found {
    pub(super) fn point(&self, x: f64, y: f64, out: f64) -> Vec3 {
        self.at + self.right * x + self.up * y + self.out * out
    }
}

impl Found {
    /// Turned on its face, left about as seen on it.
    fn turn_by(&mut self, spin: f64) {
        if spin == 0.0 {
            return;
        }
        let (s, c) = crate::num::sin_cos(spin);
        (self.right, self.up) = (self.right * c + self.up * s, self.up * c - self.right * s);
        self.turn += spin;
    }
}

impl Site {
    /// All that an anchor names: of a plate as many as it has.
    pub(super) fn all(shaper: &Shaper<'_>, anchor: &Anchor, span: Span) -> Result<Vec<Self>, Stop> {
        if anchor.hand.is_some() {
            let d = errors::not_built_yet("an attachment on one of a pair only", span);
            return Err(d.with_help("name the pair: each of the two gets one").into());
        }
        if anchor.edge.is_some() {
            let d = errors::not_built_yet("an attachment on an edge", span);
            return Err(d.with_help("name the part, and say how far from its edge: `level: top - 20 mm`").into());
        }
        if let Some(plates) = shaper.known.plates.get(&anchor.thing) {
            let leaf = |id: &PartId| Self::of_leaf(&shaper.solid.parts[id.index()]);
            return plates.parts.iter().map(|id| leaf(id).ok_or(Stop::Skip)).collect();
        }
        if shaper.design.thing(anchor.thing).kind == Kind::Cap {
            let cap = shaper.known.caps.get(&anchor.thing).ok_or(Stop::Skip)?;
            let part = &shaper.solid.parts[cap.plate.index()];
            let Body::Plate(plate) = &part.body else { return Err(Stop::Skip) };
            let (inner, outer) = (0.0, (plate.show - plate.hidden).abs());
            let face = Surface::Plate(Flat { part: part.id, face: None, frame: part.place, plate: plate.clone() });
            return Ok(vec![Self {
                part: cap.plate,
                pair: part.pair,
                frame: part.place,
                face,
                inner,
                outer,
                tall: None,
            }]);
        }
        if let Some(shell) = shaper.known.panelled.get(&anchor.thing) {
            return Ok(vec![Self::of_sides(shaper, shell).ok_or(Stop::Skip)?]);
        }
        if let Some(bent) = shaper.known.bent.get(&anchor.thing) {
            return Ok(vec![Self::of_bent(shaper, bent).ok_or(Stop::Skip)?]);
        }
        let host = place::built(shaper, anchor, span)?;
        let (shell, wall) = place::host_wall(shaper, host)?;
        let part = &shaper.solid.parts[shell.part.index()];
        Ok(vec![Self {
            part: shell.part,
            pair: part.pair,
            frame: part.place,
            face: Surface::Wall(wall.clone()),
            inner: shell.inner,
            outer: shell.outer,
            tall: Some(shell.tall),
        }])
    }

    fn of_leaf(part: &Part) -> Option<Self> {
        let Body::Leaf(leaf) = &part.body else { return None };
        let (inner, outer) = (part.layers.first()?.inner, part.layers.last()?.outer);
        let (low, high) = leaf.outline.bounds()?;
        let (face, tall) = (Surface::Leaf(leaf.clone()), Some(high.y - low.y));
        Some(Self { part: part.id, pair: part.pair, frame: part.place, face, inner, outer, tall })
    }

    fn of_sides(shaper: &Shaper<'_>, shell: &Panelled) -> Option<Self> {
        let mut flats = Vec::new();
        for id in &shell.parts {
            let part = &shaper.solid.parts[id.index()];
            match &part.body {
                Body::Plate(plate) => {
                    flats.push(Flat { part: *id, face: None, frame: part.place, plate: plate.clone() });
                }
                Body::Folded(wall) => flats.extend(wall.faces.iter().enumerate().map(|(i, f)| Flat {
                    part: *id,
                    face: Some(i),
                    frame: part.place.of(&f.frame),
                    plate: f.plate.clone(),
                })),
                Body::Wall(_) | Body::Leaf(_) => return None,
            }
        }
        let first = &shaper.solid.parts[shell.parts.first()?.index()];
        Some(Self {
            part: first.id,
            pair: first.pair,
            frame: first.place,
            face: Surface::Sides(Box::new(shell.clone()), flats),
            inner: shell.inner,
            outer: shell.outer,
            tall: Some(shell.tall),
        })
    }

    fn of_bent(shaper: &Shaper<'_>, bent: &Bent) -> Option<Self> {
        let ring = |(id, along): (&PartId, &BentRing)| {
            let part = &shaper.solid.parts[id.index()];
            let Body::Wall(wall) = &part.body else { return None };
            Some(Rolled { part: *id, frame: part.place, wall: wall.clone(), along: *along })
        };
        let rings = bent.parts.iter().zip(&bent.rings).map(ring).collect::<Option<Vec<_>>>()?;
        let first = &shaper.solid.parts[bent.parts.first()?.index()];
        Some(Self {
            part: first.id,
            pair: first.pair,
            frame: first.place,
            face: Surface::Rings(rings),
            inner: bent.inner,
            outer: bent.outer,
            tall: Some(bent.long),
        })
    }

    pub(super) fn thick(&self) -> f64 {
        self.outer - self.inner
    }

    /// Where `bottom`, `middle` and `top` lie.
    pub(super) fn levels(&self) -> Option<[f64; 3]> {
        self.tall.map(|tall| [0.0, 0.5 * tall, tall])
    }

    /// The places that a thing's fields ask for.
    pub(super) fn found(&self, spread: &Spread) -> Result<Vec<Found>, Stop> {
        let mut all: Vec<Found> = match (&self.face, self.tall) {
            (Surface::Wall(wall), Some(tall)) => {
                let spots = spread.on_wall(wall, tall)?;
                spots.into_iter().map(|spot| self.on_wall((self.part, &self.frame), spot)).collect()
            }
            (Surface::Sides(shell, flats), Some(tall)) => {
                let spots = spread.on_wall(&panels::as_wall(shell), tall)?;
                let on = |spot: (usize, Rule, f64)| {
                    let (part, face, centre) = panels::side_of(shell, spot, spread)?;
                    let lies = |f: &&Flat| f.part == part && f.face.unwrap_or(0) == face;
                    let flat = flats.iter().find(lies).ok_or(Stop::Skip)?;
                    Ok(Found { level: spot.2, ..flat.found(centre, 0.0) })
                };
                spots.into_iter().map(on).collect::<Result<_, Stop>>()?
            }
            (Surface::Plate(flat), _) => {
                let turns = spread.on_plate(&flat.plate)?;
                turns.into_iter().map(|(centre, up)| flat.found(centre, up.unwrap_or(0.0))).collect()
            }
            (Surface::Leaf(leaf), _) => {
                let places = spread.on_leaf(leaf)?;
                let on = |(at, turn): (Vec2, f64)| {
                    let mut one = self.on_leaf(leaf, at).ok_or(Stop::Skip)?;
                    one.turn_by(turn);
                    Ok(one)
                };
                places.into_iter().map(on).collect::<Result<_, Stop>>()?
            }
            (Surface::Rings(rings), Some(tall)) => self.on_rings(rings, spread, tall)?,
            (Surface::Wall(_) | Surface::Sides(..) | Surface::Rings(_), None) => return Err(Stop::Skip),
        };
        for one in &mut all {
            one.turn_by(spread.spin);
        }
        Ok(all)
    }

    /// Places on the rings of a bent shell: levels go along its centre line, directions with it.
    fn on_rings(&self, rings: &[Rolled], spread: &Spread, tall: f64) -> Result<Vec<Found>, Stop> {
        let levels = if spread.along { spread.up(tall)? } else { vec![spread.level.unwrap_or(0.5 * tall)] };
        if let (Some(margin), None, false) = (spread.margin, spread.level, spread.along) {
            return Err(errors::margin_or_level(margin, spread.head).into());
        }
        let mut all = Vec::new();
        for level in levels {
            let level = level + spread.shift.z;
            if !(0.0..=tall).contains(&level) {
                return Err(errors::off_the_wall(&spread.name, level, tall, spread.level_span).into());
            }
            let Some(ring) = rings.iter().rev().find(|r| level >= r.along.from - 1e-9).or(rings.first()) else {
                continue;
            };
            let BentRing { from, z, turn, .. } = ring.along;
            // One round each level, where they go along.
            let (count, every) = if spread.along { (1.0, None) } else { (spread.count, spread.every) };
            let shift = turned(spread.shift.truncate(), turn).extend(0.0);
            let facing = spread.facing + turn;
            let own =
                Spread { level: Some(z + level - from), facing, count, every, along: false, shift, ..spread.clone() };
            for spot in own.on_wall(&ring.wall, f64::INFINITY)? {
                all.push(Found { level, ..self.on_wall((ring.part, &ring.frame), spot) });
            }
        }
        Ok(all)
    }

    fn on_wall(&self, (part, frame): (PartId, &Frame), (strip, rule, z): (usize, Rule, f64)) -> Found {
        let (normal, right) = (rule.normal(), rule.tangent());
        Found {
            name: String::new(),
            part,
            ground: Ground::Wall { strip, rule, z },
            level: z,
            turn: 0.0,
            at: frame.apply(rule.point(z, 0.0) + normal * self.outer),
            right: frame.direction(right),
            up: frame.direction(normal.cross(right)),
            out: frame.direction(normal),
        }
    }

    /// A place on a leaf, its point given on the measured face's flat.
    fn on_leaf(&self, leaf: &Leaf, at: Vec2) -> Option<Found> {
        let formed = Formed::new(leaf);
        let to = formed.to(self.outer)?;
        let [there, below, above] = [at, at - Vec2::Y * STEP, at + Vec2::Y * STEP].map(|p| to.in_space(p));
        let up = self.frame.direction((above? - below?).normalize_or_zero());
        let out = self.frame.direction(to.out(at)?);
        Some(Found {
            name: String::new(),
            part: self.part,
            ground: Ground::Leaf { at },
            level: leaf.level(at),
            turn: 0.0,
            at: self.frame.apply(there?),
            right: up.cross(out),
            up,
            out,
        })
    }

    /// The rule so far on round a strip, by a tape on the outer face.
    fn tape(&self, strip: &Strip, (rule, z): (Rule, f64), along: f64) -> Rule {
        let girth = measure::girth(strip, z, self.outer);
        let from = measure::along_to(strip, z, self.outer, &rule);
        measure::rule_along(strip, z, self.outer, crate::num::wrap(from + along, girth))
    }

    /// The place `along` the level from one on a wall, to the right as seen from outside, by a tape on the outer face.
    /// On a flat it lies straight beside it.
    pub(super) fn beside(&self, found: &Found, along: f64) -> Found {
        let there = match (&self.face, found.ground) {
            (Surface::Wall(wall), Ground::Wall { strip, rule, z }) => {
                let there = self.tape(&wall.strips[strip], (rule, z), along);
                Some(self.on_wall((self.part, &self.frame), (strip, there, z)))
            }
            (Surface::Rings(rings), Ground::Wall { strip, rule, z }) => {
                rings.iter().find(|r| r.part == found.part).map(|ring| {
                    let there = self.tape(&ring.wall.strips[strip], (rule, z), along);
                    self.on_wall((ring.part, &ring.frame), (strip, there, z))
                })
            }
            (Surface::Plate(flat), _) => flat.beside(found, along),
            (Surface::Sides(_, flats), _) => flats.iter().find_map(|flat| flat.beside(found, along)),
            (Surface::Leaf(leaf), Ground::Leaf { at }) => {
                Formed::new(leaf).beside(at, along, self.outer).and_then(|p| self.on_leaf(leaf, p))
            }
            _ => None,
        };
        there.map_or_else(|| found.clone(), |there| Found { name: found.name.clone(), level: found.level, ..there })
    }
}

fn turned(v: Vec2, by: f64) -> Vec2 {
    unit(by).rotate(v)
}

impl Flat {
    /// As the plate's flat lies: the front up the page, and from above the wearer's right on the right.
    fn above(&self) -> f64 {
        if self.plate.show >= self.plate.hidden { 1.0 } else { -1.0 }
    }

    /// A place whose up points to `facing` in the plate's section plane.
    fn found(&self, centre: Vec2, facing: f64) -> Found {
        let way = |v: Vec2| self.frame.direction(v.extend(0.0));
        let (above, up) = (self.above(), unit(facing));
        Found {
            name: String::new(),
            part: self.part,
            ground: self.face.map_or(Ground::Plate { centre }, |face| Ground::Face { face, centre }),
            level: self.plate.show,
            turn: above * facing,
            at: self.frame.apply(centre.extend(self.plate.show)),
            right: way(left_of(up) * -above),
            up: way(up),
            out: self.frame.z * above,
        }
    }

    /// The place beside one of its own.
    fn beside(&self, found: &Found, along: f64) -> Option<Found> {
        let centre = match (found.ground, self.face) {
            (Ground::Plate { centre }, None) if found.part == self.part => centre,
            (Ground::Face { face, centre }, Some(own)) if found.part == self.part && face == own => centre,
            _ => return None,
        };
        let above = self.above();
        let facing = above * found.turn;
        Some(self.found(centre - left_of(unit(facing)) * (above * along), facing))
    }
}
