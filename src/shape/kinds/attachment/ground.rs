//! Where attachments go: on a wall or a cap, each with its place in the part and in the prop.

use super::super::place;
use super::super::spread::Spread;
use crate::design::{Anchor, Kind};
use crate::eval::Stop;
use crate::fitted::Ground;
use crate::geom::strip::Rule;
use crate::geom::{Vec2, Vec3, left_of, unit};
use crate::ids::PartId;
use crate::shape::{Shaper, errors, measure};
use crate::solid::{Body, Frame, Plate, Wall};
use crate::span::Span;

/// A part that things are fitted to.
#[derive(Clone, Debug)]
pub(super) struct Site {
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
    Plate(Plate),
}

/// One place on a site.
#[derive(Clone, Debug)]
pub(super) struct Found {
    pub name: String,
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
    pub(super) fn of(shaper: &Shaper<'_>, anchor: &Anchor, span: Span) -> Result<Self, Stop> {
        if anchor.hand.is_some() {
            return Err(errors::not_built_yet("an attachment on one of a pair only", span).into());
        }
        if anchor.edge.is_some() {
            return Err(errors::not_built_yet("an attachment on an edge", span).into());
        }
        if shaper.design.thing(anchor.thing).kind == Kind::Cap {
            let cap = shaper.known.caps.get(&anchor.thing).ok_or(Stop::Skip)?;
            let part = &shaper.solid.parts[cap.plate.index()];
            let Body::Plate(plate) = &part.body else { return Err(Stop::Skip) };
            let (inner, outer) = (0.0, (plate.show - plate.hidden).abs());
            let face = Surface::Plate(plate.clone());
            return Ok(Self { part: cap.plate, pair: part.pair, frame: part.place, face, inner, outer, tall: None });
        }
        let host = place::built(shaper, anchor, span)?;
        let (shell, wall) = place::host_wall(shaper, host)?;
        let part = &shaper.solid.parts[shell.part.index()];
        Ok(Self {
            part: shell.part,
            pair: part.pair,
            frame: part.place,
            face: Surface::Wall(wall.clone()),
            inner: shell.inner,
            outer: shell.outer,
            tall: Some(shell.tall),
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
        let mut all = match (&self.face, self.tall) {
            (Surface::Wall(wall), Some(tall)) => {
                let spots = spread.on_wall(wall, tall)?;
                spots.iter().map(|(strip, rule, z)| self.on_wall(*strip, *rule, *z)).collect()
            }
            (Surface::Plate(plate), _) => {
                let turns = spread.on_plate(plate)?;
                turns
                    .into_iter()
                    .map(|(centre, up)| self.on_plate(plate, centre, up.unwrap_or(0.0)))
                    .collect::<Vec<Found>>()
            }
            (Surface::Wall(_), None) => return Err(Stop::Skip),
        };
        let several = all.len() > 1;
        for (i, one) in all.iter_mut().enumerate() {
            one.name = if several { format!("{} {}", spread.name, i + 1) } else { spread.name.clone() };
            one.turn_by(spread.spin);
        }
        Ok(all)
    }

    fn on_wall(&self, strip: usize, rule: Rule, z: f64) -> Found {
        let way = |v: Vec3| self.frame.x * v.x + self.frame.y * v.y + self.frame.z * v.z;
        let (normal, right) = (rule.normal(), rule.tangent());
        Found {
            name: String::new(),
            ground: Ground::Wall { strip, rule, z },
            level: z,
            turn: 0.0,
            at: self.frame.apply(rule.point(z, 0.0) + normal * self.outer),
            right: way(right),
            up: way(normal.cross(right)),
            out: way(normal),
        }
    }

    /// A place on a plate whose up points to `facing` in the plate's section plane.
    fn on_plate(&self, plate: &Plate, centre: Vec2, facing: f64) -> Found {
        let way = |v: Vec2| self.frame.x * v.x + self.frame.y * v.y;
        // As the plate's flat lies: the front up the page, and from above the wearer's right on the right.
        let above = if plate.show >= plate.hidden { 1.0 } else { -1.0 };
        let up = unit(facing);
        Found {
            name: String::new(),
            ground: Ground::Plate { centre },
            level: plate.show,
            turn: above * facing,
            at: self.frame.apply(Vec3::new(centre.x, centre.y, plate.show)),
            right: way(left_of(up) * -above),
            up: way(up),
            out: self.frame.z * above,
        }
    }

    /// The place `along` the level from one on a wall, to the right as seen from outside, by a tape on the outer face.
    /// On a cap it lies straight beside it.
    pub(super) fn beside(&self, found: &Found, along: f64) -> Found {
        match (&self.face, &found.ground) {
            (Surface::Wall(wall), Ground::Wall { strip, rule, z }) => {
                let surface = &wall.strips[*strip];
                let girth = measure::girth(surface, *z, self.outer);
                let from = measure::along_to(surface, *z, self.outer, rule);
                let there = measure::rule_along(surface, *z, self.outer, crate::num::wrap(from + along, girth));
                Found { name: found.name.clone(), ..self.on_wall(*strip, there, *z) }
            }
            (Surface::Plate(plate), Ground::Plate { centre }) => {
                let above = if plate.show >= plate.hidden { 1.0 } else { -1.0 };
                let facing = above * found.turn;
                let there = *centre - left_of(unit(facing)) * (above * along);
                Found { name: found.name.clone(), ..self.on_plate(plate, there, facing) }
            }
            _ => found.clone(),
        }
    }
}
