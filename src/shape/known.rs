//! What has been reckoned and built so far, and the measured facts that later values read from it.
//!
//! Facts speak of the measured face (depth 0); `.inside`, `.middle` and `.outside` pick the inner face, half-way
//! through all layers, the outer face.

mod flats;
mod panelled;
mod seams;

pub(super) use panelled::{FoldedOf, Panelled};

use std::collections::BTreeMap;

use super::goods::Sheet;
use super::kinds::border::rows::Foot;
use super::kinds::cap;
use super::seam::Joined;
use super::wall::Stationed;
use super::{errors, mass, measure};
use crate::design::{Anchor, Design, Face, Kind, Place, Value};
use crate::eval::{Answer, Facts, Stop};
use crate::fitted::Supply;
use crate::geom::Vec3;
use crate::geom::strip::Strip;
use crate::ids::{LetId, PartId, ThingId};
use crate::num::FRAC_PI_2;
use crate::schema;
use crate::skin::tabs;
use crate::solid::{Body, Frame, Leaf, Part, Plate, Solid, Stock, Wall};
use crate::span::Span;
use crate::units::{Dim, Quantity};

/// A shell that was built.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Shell {
    pub part: PartId,
    /// The height of its last station; its first stands at 0.
    pub tall: f64,
    /// Depths of its inner and outer face.
    pub inner: f64,
    pub outer: f64,
    /// How far along its target its foot lies.
    pub level: f64,
    /// Its stations from the first (at height 0) up, on the measured face.
    pub stations: Vec<Stationed>,
    /// Its seam, as a shell copied from it takes it over.
    pub seam: Joined,
    pub closed_bottom: bool,
    pub closed_top: bool,
    /// The collar round its foot, or its tabs.
    pub brim: Option<Brim>,
}

/// What lies flat round the foot of a shell: a collar, or tabs of its own sheet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Brim {
    /// The part that is the collar.
    pub collar: Option<PartId>,
    /// How far it reaches from the wall's surface at a depth, as that lies at a height.
    pub wide: f64,
    pub depth: f64,
    pub z: f64,
    pub thick: f64,
}

impl Shell {
    /// Whether tabs are folded out round its foot.
    pub(super) fn tabbed(&self) -> bool {
        self.brim.is_some_and(|b| b.collar.is_none())
    }

    pub(super) fn depth(&self, face: Option<Face>) -> f64 {
        match face {
            None => 0.0,
            Some(Face::Inside) => self.inner,
            Some(Face::Middle) => 0.5 * (self.inner + self.outer),
            Some(Face::Outside) => self.outer,
        }
    }
}

/// A shell on a spine that bends: a part a ring.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Bent {
    pub parts: Vec<PartId>,
    /// How each lies along the centre line.
    pub rings: Vec<BentRing>,
    /// The length of its centre line.
    pub long: f64,
    pub inner: f64,
    pub outer: f64,
    pub level: f64,
}

/// A ring of a bent shell: from where on the centre line it reaches how far, the height there in its own part's frame, and
/// by how much its directions are turned from those of the spine.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct BentRing {
    pub from: f64,
    pub long: f64,
    pub z: f64,
    pub turn: f64,
}

/// A cap that was built.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Cap {
    /// The shell it closes, and whether at its top.
    pub host: ThingId,
    pub at_top: bool,
    pub fit: cap::Fit,
    pub plate: PartId,
    pub rim: Option<PartId>,
    /// The heights it takes up inside the host's bore, when it does.
    pub inside: Option<(f64, f64)>,
    pub head: Span,
}

/// A plate that was built: all of it, where there are several.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Plated {
    pub parts: Vec<PartId>,
    /// Depths of the first one's inner and outer face.
    pub inner: f64,
    pub outer: f64,
    pub level: f64,
}

/// An opening that was built.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Opening {
    pub around: f64,
    pub across: f64,
    pub long: f64,
    pub area: f64,
    pub level: f64,
}

/// A lacing that was built.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Laced {
    pub across: f64,
}

/// An attachment that was built.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Attachment {
    pub sort: &'static str,
    /// The width of the strap it takes, when it takes one.
    pub takes: Option<f64>,
    /// Where each of it is fixed, on the outer face, and the way out there, in the prop.
    pub at: Vec<(Vec3, Vec3)>,
    pub level: Option<f64>,
    pub pair: bool,
}

/// A strap that was built.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Strap {
    pub long: f64,
    pub around: Option<f64>,
}

/// A core that was read.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Cored {
    pub long: f64,
    /// Of all its lengths, where its rod has a density.
    pub mass: Option<f64>,
    pub thick: f64,
}

/// A keel that was built.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Keeled {
    pub parts: Vec<PartId>,
    pub long: f64,
    pub level: f64,
    /// Depths of its flanks' inner and outer face.
    pub inner: f64,
    pub outer: f64,
}

/// A border that was built.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Border {
    /// The length of its first row, without what is tucked in.
    pub long: f64,
    /// How far it stands proud.
    pub thick: f64,
    pub level: f64,
    /// The room it takes, on which part.
    pub feet: Vec<(PartId, Foot)>,
}

/// A cover that was read.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Cover {
    /// Of the faces it lies on, openings and all.
    pub area: f64,
    pub thick: f64,
}

/// Everything reckoned and built so far.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Known {
    pub(super) lets: Vec<Option<Value>>,
    pub(super) sheets: BTreeMap<ThingId, Sheet>,
    pub(super) supplies: BTreeMap<ThingId, Supply>,
    pub(super) shells: BTreeMap<ThingId, Shell>,
    pub(super) bent: BTreeMap<ThingId, Bent>,
    pub(super) panelled: BTreeMap<ThingId, Panelled>,
    pub(super) caps: BTreeMap<ThingId, Cap>,
    pub(super) plates: BTreeMap<ThingId, Plated>,
    pub(super) openings: BTreeMap<ThingId, Opening>,
    pub(super) laces: BTreeMap<ThingId, Laced>,
    pub(super) attachments: BTreeMap<ThingId, Attachment>,
    pub(super) straps: BTreeMap<ThingId, Strap>,
    pub(super) borders: BTreeMap<ThingId, Border>,
    /// The area of one coat of each finish, mm².
    pub(super) finishes: BTreeMap<ThingId, f64>,
    /// How far along its part the middle of contents lies.
    pub(super) contents: BTreeMap<ThingId, f64>,
    pub(super) covers: BTreeMap<ThingId, Cover>,
    /// The length and the level of marks: of one line, and of the first.
    pub(super) marks: BTreeMap<ThingId, (f64, f64)>,
    /// How far all joints of each articulation can turn together, radians.
    pub(super) articulations: BTreeMap<ThingId, f64>,
    pub(super) cores: BTreeMap<ThingId, Cored>,
    pub(super) keels: BTreeMap<ThingId, Keeled>,
    /// The lengths of shaped edges on the measured face, mm.
    pub(super) edges: BTreeMap<ThingId, f64>,
    /// Where each part's frame stands in the prop.
    pub(super) frames: BTreeMap<ThingId, Frame>,
}

impl Known {
    /// A stock as it was read, at its true size.
    #[must_use]
    pub fn stock(&self, id: ThingId) -> Option<&Stock> {
        self.sheets.get(&id).map(|s| &s.stock)
    }

    /// The value of a `let` or setting, once reckoned.
    #[must_use]
    pub fn value(&self, id: LetId) -> Option<&Value> {
        self.lets.get(id.index())?.as_ref()
    }
}

/// The facts of the solid, as values ask for them.
#[derive(Clone, Copy, Debug)]
pub struct View<'a> {
    pub design: &'a Design,
    pub known: &'a Known,
    pub solid: &'a Solid,
    /// Where `bottom`, `middle` and `top` lie for the thing that is being reckoned.
    pub place: Option<[f64; 3]>,
}

impl Facts for View<'_> {
    fn place(&self, place: Place, span: Span) -> Answer {
        let places = self.place.ok_or_else(|| Stop::from(errors::no_such_place(span)))?;
        length(match place {
            Place::Bottom => places[0],
            Place::Middle => places[1],
            Place::Top => places[2],
        })
    }

    fn fact(&self, of: &Anchor, face: Option<Face>, name: &'static str, span: Span) -> Answer {
        let thing = self.design.thing(of.thing);
        // What is known only after the plan is asked of the plan.
        let made = |f: &schema::Fact| f.stage == schema::Stage::Made;
        if of.edge.is_none() && schema::kind_of(thing.kind).fact(name).is_some_and(made) {
            return Err(Stop::Skip);
        }
        let found = match thing.kind {
            Kind::Shell => self.shell(of, face, name),
            Kind::Cap => self.cap(of, face, name),
            Kind::Plate => self.plate(of, face, name),
            Kind::Opening => self.opening(of, name),
            Kind::Lacing => self.lacing(of, name),
            Kind::Attachment => {
                let one = self.known.attachments.get(&of.thing).ok_or(Stop::Skip)?;
                Ok(if name == "level" { one.level.map(length) } else { None })
            }
            Kind::Strap => {
                let one = self.known.straps.get(&of.thing).ok_or(Stop::Skip)?;
                Ok(match name {
                    "long" => Some(length(one.long)),
                    "around" => one.around.map(length),
                    _ => None,
                })
            }
            Kind::Border => self.border(of, name),
            Kind::Finish => self.known.finishes.get(&of.thing).ok_or(Stop::Skip).map(|a| Some(self::of(*a, Dim::AREA))),
            Kind::Contents => self.known.contents.get(&of.thing).ok_or(Stop::Skip).map(|l| Some(length(*l))),
            Kind::Cover => self.cover(of, name),
            Kind::Mark => {
                let (long, level) = self.known.marks.get(&of.thing).ok_or(Stop::Skip)?;
                Ok(Some(length(if name == "level" { *level } else { *long })))
            }
            Kind::Articulation => {
                let most = self.known.articulations.get(&of.thing).ok_or(Stop::Skip)?;
                Ok((name == "angle").then(|| self::of(*most, Dim::ANGLE)))
            }

            Kind::Keel => self.keel(of, face, name),
            Kind::Core => {
                let one = self.known.cores.get(&of.thing).ok_or(Stop::Skip)?;
                Ok(match name {
                    "long" => Some(length(one.long)),
                    "thick" => Some(length(one.thick)),
                    "mass" => one.mass.map(|m| self::of(m, Dim::MASS)),
                    _ => None,
                })
            }
            Kind::Edge => self.known.edges.get(&of.thing).ok_or(Stop::Skip).map(|l| Some(length(*l))),
            _ => return Err(Stop::Skip),
        };
        match found? {
            Some(v) => v,
            None if name == "mass" => Err(errors::no_density(&thing.name.to_string(), span).into()),
            None => Err(errors::not_built_yet(&format!("the fact `{name}` of this part"), span).into()),
        }
    }

    fn value(&self, id: LetId) -> Answer {
        self.known.value(id).cloned().ok_or(Stop::Skip)
    }
}

type Found = Result<Option<Answer>, Stop>;

fn length(x: f64) -> Answer {
    of(x, Dim::LENGTH)
}

fn of(x: f64, dim: Dim) -> Answer {
    Quantity::new(x, dim).map(Value::Quantity).ok_or(Stop::Skip)
}

impl View<'_> {
    fn part(&self, id: PartId) -> &Part {
        &self.solid.parts[id.index()]
    }

    fn shell(&self, of_: &Anchor, face: Option<Face>, name: &str) -> Found {
        if let Some(bent) = self.known.bent.get(&of_.thing) {
            return Ok(self.bent(bent, of_, face, name));
        }
        if let Some(panelled) = self.known.panelled.get(&of_.thing) {
            return Ok(self.panelled(panelled, of_, face, name));
        }
        let shell = self.known.shells.get(&of_.thing).ok_or(Stop::Skip)?;
        let part = self.part(shell.part);
        let Body::Wall(wall) = &part.body else { return Err(Stop::Skip) };
        let d = shell.depth(face);
        let edge = match of_.edge {
            None => return Ok(self.whole_shell(shell, part, wall, d, name)),
            Some("bottom") => 0.0,
            Some("top") => shell.tall,
            Some("seam") => return Ok(seams::seam_fact(shell, wall, d, name)),
            Some(_) => return Ok(None),
        };
        let strip = strip_at(wall, edge).ok_or(Stop::Skip)?;
        Ok(match name {
            "around" | "long" => {
                let neutral = part.layers.first().map_or(0.0, |l| l.neutral);
                let sloped = measure::sloped_girth(wall, of_.edge == Some("top"), neutral, d);
                Some(length(sloped.unwrap_or_else(|| seams::open_girth(wall, part, strip, edge, d))))
            }
            "across" => Some(length(measure::width(strip, edge, d, FRAC_PI_2))),
            "level" => Some(length(edge)),
            _ => None,
        })
    }

    /// Facts of a bent shell: of its ends, or of all its rings together.
    fn bent(&self, bent: &Bent, of_: &Anchor, face: Option<Face>, name: &str) -> Option<Answer> {
        let d = match face {
            None => 0.0,
            Some(Face::Inside) => bent.inner,
            Some(Face::Middle) => 0.5 * (bent.inner + bent.outer),
            Some(Face::Outside) => bent.outer,
        };
        let walls = || {
            bent.parts.iter().map(|id| self.part(*id)).filter_map(|p| match &p.body {
                Body::Wall(wall) => Some((p, wall)),
                Body::Plate(_) | Body::Leaf(_) | Body::Folded(_) => None,
            })
        };
        let at_end = |at_top: bool| {
            let (part, wall) = if at_top { walls().next_back()? } else { walls().next()? };
            let strip = wall.strips.first()?;
            let (z0, z1) = strip.heights();
            let z = if at_top { z1 } else { z0 };
            let neutral = part.layers.first().map_or(0.0, |l| l.neutral);
            let around = measure::sloped_girth(wall, at_top, neutral, d);
            let around = around.unwrap_or_else(|| measure::girth(strip, z, d));
            Some((around, measure::width(strip, z, d, FRAC_PI_2)))
        };
        let both = |pick: fn((f64, f64)) -> f64| Some(pick(at_end(false)?).max(pick(at_end(true)?)));
        match (of_.edge, name) {
            (Some("bottom" | "top"), _) => {
                let top = of_.edge == Some("top");
                let (around, across) = at_end(top)?;
                match name {
                    "around" | "long" => Some(length(around)),
                    "across" => Some(length(across)),
                    "level" => Some(length(if top { bent.long } else { 0.0 })),
                    _ => None,
                }
            }
            (Some("seam"), "long" | "around") => {
                let over = |wall: &Wall| {
                    wall.rings.iter().filter_map(|ring| measure::seam_over(wall, ring, ring.strips.start)).sum::<f64>()
                };
                Some(length(walls().map(|(_, wall)| over(wall)).sum()))
            }
            (Some(_), _) => None,
            (None, "long") => Some(length(bent.long)),
            (None, "around") => both(|e| e.0).map(length),
            (None, "across") => both(|e| e.1).map(length),
            (None, "level") => Some(length(bent.level)),
            (None, "thick") => Some(length(bent.outer - bent.inner)),
            (None, "area") => {
                let of_one = |(part, wall): (&Part, &Wall)| {
                    measure::wall_area(wall, part.layers.first().map_or(0.0, |l| l.neutral), d)
                };
                Some(of(walls().map(of_one).sum(), Dim::AREA))
            }
            (None, "mass") => {
                let all: Option<f64> = walls().map(|(part, _)| mass::of_wall(self.solid, part)).sum();
                all.map(|m| of(m, Dim::MASS))
            }
            _ => None,
        }
    }

    /// Facts of a shell in panels: of its ends, or of all its panels together.
    fn panelled(&self, shell: &Panelled, of_: &Anchor, face: Option<Face>, name: &str) -> Option<Answer> {
        let d = match face {
            None => 0.0,
            Some(Face::Inside) => shell.inner,
            Some(Face::Middle) => 0.5 * (shell.inner + shell.outer),
            Some(Face::Outside) => shell.outer,
        };
        let end = match of_.edge {
            Some("bottom") => Some(0.0),
            Some("top") => Some(shell.tall),
            Some(_) => return None,
            None => None,
        };
        let plates = || -> Vec<(&Part, Plate)> {
            let parts =
                shell.parts.iter().map(|id| self.part(*id)).take(if shell.folded.is_some() { 1 } else { usize::MAX });
            parts
                .flat_map(|p| match &p.body {
                    Body::Plate(plate) => vec![(p, plate.clone())],
                    Body::Folded(wall) => wall.plates().map(|(_, plate)| (p, plate)).collect(),
                    Body::Wall(_) | Body::Leaf(_) => Vec::new(),
                })
                .collect()
        };
        let stations = || shell.strips.iter().flat_map(|s| [s.heights().0, s.heights().1]);
        match (end, name) {
            (Some(z), "around" | "long") => Some(length(shell.around(z, d))),
            (Some(z), "across") => Some(length(shell.across(z, d))),
            (Some(z), "level") => Some(length(z)),
            (Some(_), _) => None,
            (None, "long") => Some(length(shell.tall)),
            (None, "around") => Some(length(stations().map(|z| shell.around(z, d)).fold(0.0, f64::max))),
            (None, "across") => Some(length(stations().map(|z| shell.across(z, d)).fold(0.0, f64::max))),
            (None, "level") => Some(length(shell.level)),
            (None, "thick") => Some(length(shell.outer - shell.inner)),
            (None, "area") => {
                // Openings and all, as of a rolled wall.
                let one = |(_, plate): (&Part, Plate)| measure::enclosed(&plate.strip, d, 0.0);
                Some(of(plates().into_iter().map(one).sum(), Dim::AREA))
            }
            (None, "mass") => {
                let one = |(part, plate): (&Part, Plate)| mass::of_plate(self.solid, part, &plate);
                let all: Option<f64> = plates().into_iter().map(one).sum();
                all.map(|m| of(m, Dim::MASS))
            }
            _ => None,
        }
    }

    fn whole_shell(&self, shell: &Shell, part: &Part, wall: &Wall, d: f64, name: &str) -> Option<Answer> {
        let ends = || wall.strips.iter().flat_map(|s| [(s, s.heights().0), (s, s.heights().1)]);
        let greatest = |f: &dyn Fn(&Strip, f64) -> f64| ends().map(|(s, z)| f(s, z)).fold(0.0, f64::max);
        match name {
            "long" => Some(length(shell.tall)),
            "around" => Some(length(greatest(&|s, z| seams::open_girth(wall, part, s, z, d)))),
            "across" => Some(length(greatest(&|s, z| measure::width(s, z, d, FRAC_PI_2)))),
            "level" => Some(length(shell.level)),
            "thick" => Some(length(shell.outer - shell.inner)),
            "area" => {
                let neutral = part.layers.first().map_or(0.0, |l| l.neutral);
                // All faces of a collar are cut alike.
                let collar = self.collar(shell).map_or(0.0, |(_, leaf)| {
                    leaf.outline.area() - leaf.holes.iter().map(|h| h.outline.area()).sum::<f64>()
                });
                let tabs = tabs::turned_out(self.solid, part).area;
                Some(of(measure::wall_area(wall, neutral, d) + collar + tabs, Dim::AREA))
            }
            "mass" => {
                let own = mass::of_wall(self.solid, part)?;
                let collar = match self.collar(shell) {
                    Some((part, leaf)) => mass::of_leaf(self.solid, part, leaf)?,
                    None => 0.0,
                };
                Some(of(own + collar, Dim::MASS))
            }
            _ => None,
        }
    }

    fn collar(&self, shell: &Shell) -> Option<(&Part, &Leaf)> {
        let part = self.part(shell.brim?.collar?);
        match &part.body {
            Body::Leaf(leaf) => Some((part, leaf)),
            _ => None,
        }
    }

    fn cap(&self, of_: &Anchor, face: Option<Face>, name: &str) -> Found {
        let cap = self.known.caps.get(&of_.thing).ok_or(Stop::Skip)?;
        let part = self.part(cap.plate);
        let Body::Plate(plate) = &part.body else { return Err(Stop::Skip) };
        // The outer face of a cap is its show face.
        let z = match (of_.edge, face) {
            (None | Some("top"), None | Some(Face::Outside)) => plate.show,
            (None | Some("top"), Some(Face::Middle)) => 0.5 * (plate.show + plate.hidden),
            (None | Some("top"), Some(Face::Inside)) | (Some("bottom"), _) => plate.hidden,
            (Some(_), _) => return Ok(None),
        };
        if of_.edge == Some("bottom") && cap.rim.is_some() {
            return Ok(None);
        }
        Ok(match name {
            "around" | "long" => Some(length(measure::girth(&plate.strip, z, plate.depth))),
            "across" => Some(length(measure::width(&plate.strip, z, plate.depth, FRAC_PI_2))),
            "area" => Some(of(mass::area_of_plate(plate, z), Dim::AREA)),
            "level" => Some(length(z)),
            "thick" => Some(length((plate.show - plate.hidden).abs())),
            "mass" => {
                let disc = mass::of_plate(self.solid, part, plate);
                let rim = cap.rim.map_or(Some(0.0), |r| mass::of_wall(self.solid, self.part(r)));
                disc.zip(rim).map(|(a, b)| of(a + b, Dim::MASS))
            }
            _ => None,
        })
    }

    fn lacing(&self, of_: &Anchor, name: &str) -> Found {
        let laced = self.known.laces.get(&of_.thing).ok_or(Stop::Skip)?;
        Ok((name == "across").then(|| length(laced.across)))
    }

    fn border(&self, of_: &Anchor, name: &str) -> Found {
        let b = self.known.borders.get(&of_.thing).ok_or(Stop::Skip)?;
        Ok(match name {
            _ if of_.edge.is_some() => None,
            "long" => Some(length(b.long)),
            "thick" => Some(length(b.thick)),
            "level" => Some(length(b.level)),
            _ => None,
        })
    }

    fn cover(&self, of_: &Anchor, name: &str) -> Found {
        let c = self.known.covers.get(&of_.thing).ok_or(Stop::Skip)?;
        Ok(match (of_.edge, name) {
            (None, "area") => Some(of(c.area, Dim::AREA)),
            (None, "thick") => Some(length(c.thick)),
            _ => None,
        })
    }

    fn opening(&self, of_: &Anchor, name: &str) -> Found {
        let o = self.known.openings.get(&of_.thing).ok_or(Stop::Skip)?;
        Ok(match name {
            "around" => Some(length(o.around)),
            "across" => Some(length(o.across)),
            "long" => Some(length(o.long)),
            "area" => Some(of(o.area, Dim::AREA)),
            "level" => Some(length(o.level)),
            _ => None,
        })
    }
}

/// The strip of a wall at a height; at a station the lower one, at the foot the first.
pub(super) fn strip_at(wall: &Wall, z: f64) -> Option<&Strip> {
    wall.strips.iter().find(|s| z <= s.heights().1 + 1e-9).or(wall.strips.last())
}
