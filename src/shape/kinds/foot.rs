//! `foot` of a shell: how it meets what it stands on, where it does not simply end there. A flange is a part of its own
//! (`super::flange`), tabs are folded out of the wall's own sheet (`super::tabs`).

use super::super::errors;
use super::place::Ground;
use crate::design::Value;
use crate::eval::{Fields, Stop};
use crate::solid::{Rim, Seam, Wall};
use crate::span::Span;

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Sort {
    Flange,
    Tabs,
}

/// What reaches out round a foot.
#[derive(Clone, Copy, Debug)]
pub(super) struct Foot {
    pub sort: Sort,
    pub wide: f64,
    pub span: Span,
}

impl Foot {
    /// As a message has it: "a flange at the foot of …", "tabs at the foot of …".
    fn said(&self) -> &'static str {
        match self.sort {
            Sort::Flange => "a flange",
            Sort::Tabs => "tabs",
        }
    }
}

pub(super) fn read(fields: &mut Fields<'_>) -> Result<Option<Foot>, Stop> {
    let Some(Value::Made(made)) = fields.maybe("foot")? else { return Ok(None) };
    let sort = match made.name {
        "flange" => Sort::Flange,
        "tabs" => Sort::Tabs,
        _ => return Ok(None),
    };
    let span = fields.span("foot");
    Ok(made.number("wide").map(|wide| Foot { sort, wide, span }))
}

/// A shell of a form whose foot only ends yet is not built with another one.
pub(super) fn none(foot: Option<Foot>, what: &str) -> Result<(), Stop> {
    foot.map_or(Ok(()), |f| {
        let what = format!("{} at the foot of {what}", f.said());
        Err(errors::not_built_yet(&what, f.span).into())
    })
}

/// What neither a flange nor tabs are built round yet.
pub(super) fn may_reach_out(foot: &Foot, ground: Ground, wall: &Wall) -> Result<(), Stop> {
    if !matches!(ground, Ground::Free | Ground::Cap { .. } | Ground::Beside { .. }) {
        return none(Some(*foot), "what does not stand on a cap or by itself");
    }
    if matches!(wall.seam, Seam::Open(_)) {
        return none(Some(*foot), "an open wall");
    }
    if !matches!(wall.rings.first().map(|r| r.lower), Some(Rim::Level | Rim::Square)) {
        return none(Some(*foot), "a wall that begins with a point or is cut sloping");
    }
    Ok(())
}
