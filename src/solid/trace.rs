//! Marks: lines that are drawn, grooved or scored on a face of a part.

use super::{Body, Crease, Part, Stretched};
use crate::design::Face;
use crate::geom::course::Leg;
use crate::geom::path::Path;
use crate::ids::{PartId, ThingId};
use crate::span::Span;

/// One line on one part. Where a hole goes through it, and beyond the edges of its face, it is not there.
#[derive(Clone, Debug, PartialEq)]
pub struct Trace {
    pub part: PartId,
    pub thing: ThingId,
    pub name: String,
    pub origin: Span,
    pub stroke: Stroke,
    /// How deep it goes into the layer that has its face, mm; of what is only drawn nothing.
    pub deep: Option<f64>,
    /// The outside (of a plate its show face) or the inside.
    pub face: Face,
    pub course: Course,
    /// How long it is on its face, holes not taken off, mm.
    pub long: f64,
}

impl Trace {
    /// How it is worked, where it is a fold of its part.
    #[must_use]
    pub fn crease(&self, part: &Part) -> Option<Crease> {
        match (&part.body, &self.course) {
            (Body::Folded(wall), Course::Fold(fold)) => wall.crease(*fold),
            _ => None,
        }
    }

    /// How much it is stretched, where its part is formed along it.
    #[must_use]
    pub fn stretched(&self, part: &Part) -> Option<Stretched> {
        match (&part.body, &self.course) {
            (Body::Wall(wall), Course::Form(station)) => wall.formed.as_ref()?.stations.get(*station).copied(),
            _ => None,
        }
    }

    /// The layer of its part that has its face.
    #[must_use]
    pub fn layer(&self, part: &Part) -> usize {
        if self.face == Face::Inside { 0 } else { part.layers.len().saturating_sub(1) }
    }
}

/// What is done along it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stroke {
    Score,
    Groove,
    Line,
    /// Along which a sheet is stretched or squeezed to its form.
    Form,
}

impl Stroke {
    /// As it is written.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Score => "score",
            Self::Groove => "groove",
            Self::Line => "line",
            Self::Form => "form line",
        }
    }
}

/// The way it runs.
#[derive(Clone, Debug, PartialEq)]
pub enum Course {
    /// On a wall, leg after leg; a leg lies on one strip and within one time round. Levels are those of the measured
    /// face, and the line lies over them along the normal.
    Wall(Vec<Leg>),
    /// On a plate in its section plane (x front, y left), on a leaf on its measured face laid flat. It may run on past
    /// the edge.
    Plate(Path),
    /// Along the edge of its face, so far in from it, as it is laid flat.
    Edge(f64),
    /// On a face of a wall that is folded from one strip, in that face's plane and no farther than it goes.
    Face(usize, Path),
    /// Along a fold of such a wall: both edges of its groove, or the score.
    Fold(usize),
    /// Once round a wall that is formed from one piece, through the station with this number.
    Form(usize),
}

impl Course {
    /// The same with every length `k` times as long.
    #[must_use]
    pub fn scaled(&self, k: f64) -> Self {
        match self {
            Self::Wall(legs) => Self::Wall(legs.iter().map(|l| l.scaled(k)).collect()),
            Self::Plate(path) => Self::Plate(path.scaled(k)),
            Self::Edge(margin) => Self::Edge(margin * k),
            Self::Face(face, path) => Self::Face(*face, path.scaled(k)),
            Self::Fold(fold) => Self::Fold(*fold),
            Self::Form(station) => Self::Form(*station),
        }
    }
}
