//! Seams: how a wall closes, or what an open one leaves out.

use super::errors;
use super::measure;
use crate::design::{Anchor, Value};
use crate::eval::Stop;
use crate::geom::strip::Strip;
use crate::num::{PI, TAU};
use crate::solid::{Gap, Seam};
use crate::span::Span;
use crate::units::Dim;

/// A seam as read.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Joined {
    pub seam: Seam,
    pub facing: f64,
    /// What a backing strip is of; empty: the part's own.
    pub backing: Vec<Anchor>,
    /// How far each ring's seam is turned from the last.
    pub stagger: Stagger,
    pub span: Span,
}

/// How far a seam is turned from the one before it.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) enum Stagger {
    #[default]
    None,
    Angle(f64),
    /// Along the measured face.
    Length(f64),
}

/// Reads a seam's value where there are no rings whose seams could be turned from each other.
pub(super) fn read(value: Option<&Value>, span: Span) -> Result<Joined, Stop> {
    read_staggered(value, span)?.in_line()
}

impl Joined {
    /// Refuses a seam that is turned from ring to ring.
    pub(super) fn in_line(self) -> Result<Self, Stop> {
        if self.stagger == Stagger::None {
            return Ok(self);
        }
        let what = "turning each layer's or ring's seam from the last (`stagger`) on a wall that does not bend";
        Err(errors::not_built_yet(what, self.span).into())
    }
}

/// Reads a seam's value; a bare word has its schema's widths already.
pub(super) fn read_staggered(value: Option<&Value>, span: Span) -> Result<Joined, Stop> {
    let plain = Joined { seam: Seam::Butt, facing: PI, backing: Vec::new(), stagger: Stagger::None, span };
    let made = match value {
        None => return Ok(plain),
        Some(Value::Made(made)) => made,
        Some(other) => {
            return match other.word() {
                Some("butt") => Ok(plain),
                _ => Err(Stop::Skip),
            };
        }
    };
    let facing = made.direction("facing").unwrap_or(PI);
    let stagger = match made.part("stagger").and_then(Value::quantity) {
        Some(q) if q.value() == 0.0 => Stagger::None,
        Some(q) if q.dim() == Dim::LENGTH => Stagger::Length(q.value()),
        Some(q) => Stagger::Angle(q.value()),
        None => Stagger::None,
    };
    let number = |name: &str, usual: f64| made.number(name).unwrap_or(usual);
    let seam = match made.name {
        "butt" => Seam::Butt,
        "lap" => Seam::Lap(number("overlap", 12.0)),
        "tabs" => Seam::Tabs(number("wide", 10.0)),
        "backed" => Seam::Backed(number("wide", 25.0)),
        "open" => {
            let gap = made.part("gap").and_then(Value::quantity).ok_or(Stop::Skip)?;
            Seam::Open(match gap.dim() {
                Dim::LENGTH => Gap::Length(gap.value()),
                Dim::ANGLE => Gap::Angle(gap.value()),
                _ => Gap::Share(gap.value()),
            })
        }
        other => return Err(errors::not_built_yet(&format!("a `{other}` seam"), span).into()),
    };
    let backing = made.part("of").map(Value::things).unwrap_or_default();
    Ok(Joined { seam, facing, backing, stagger, span })
}

/// The least neutral girth among the rims that stay open; a station that is a point is drawn together.
fn least_girth(strips: &[Strip], neutral: f64) -> f64 {
    let ends = strips.iter().flat_map(|s| [(s, s.heights().0), (s, s.heights().1)]);
    let open = ends.filter(|(s, z)| measure::girth(s, *z, 0.0) > 1.0);
    open.map(|(s, z)| measure::girth(s, z, neutral)).fold(f64::INFINITY, f64::min)
}

/// A seam that takes more than the wall has is refused.
pub(super) fn check(joined: &Joined, strips: &[Strip], neutral: f64) -> Result<(), Stop> {
    let girth = least_girth(strips, neutral);
    let span = joined.span;
    match joined.seam {
        Seam::Butt => Ok(()),
        Seam::Lap(w) | Seam::Tabs(w) | Seam::Backed(w) => {
            // Where nothing is left of the wall itself, that is what will be told.
            if girth > 1.0 && w >= 0.5 * girth { Err(errors::seam_too_wide(w, girth, span).into()) } else { Ok(()) }
        }
        Seam::Open(Gap::Length(g)) if g >= girth => Err(errors::gap_too_large(g, girth, span).into()),
        Seam::Open(Gap::Angle(a)) if a >= TAU => Err(errors::gap_too_wide(a, span).into()),
        Seam::Open(Gap::Share(s)) if s >= 1.0 => Err(errors::gap_whole(s, span).into()),
        Seam::Open(_) => Ok(()),
    }
}
