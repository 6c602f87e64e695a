//! The stations of a shell: places along it, in any order → sections at heights from the first one up.

use super::super::section::{self, Lowered};
use super::super::wall::Stationed;
use super::super::{errors, measure};
use crate::design::{Expr, Places};
use crate::eval::{Fields, Stop};
use crate::geom::strip::Strip;
use crate::num::PI;
use crate::span::Span;

/// A station as read: its place as written, its section.
#[derive(Clone, Debug)]
pub(super) struct Station {
    pub place: f64,
    pub lowered: Lowered,
    pub span: Span,
    /// What a message about its section underlines.
    pub section: Span,
}

/// Reads the stations, sorted by place. Two at one place, or only one, are refused.
pub(super) fn read(fields: &mut Fields<'_>) -> Result<Vec<Station>, Stop> {
    let thing = fields.thing();
    let mut list = Vec::with_capacity(thing.stations.len() + 1);
    for station in &thing.stations {
        let value = fields.reckon(&station.section)?;
        let lowered = section::lower(&value, station.section.span)?;
        let mut add = |fields: &mut Fields<'_>, place: &Expr| -> Result<(), Stop> {
            let at = fields.reckon(place)?.number().ok_or(Stop::Skip)?;
            let at = at + lowered.up;
            list.push(Station { place: at, lowered: lowered.clone(), span: place.span, section: station.section.span });
            Ok(())
        };
        match &station.place {
            Places::One(place) => add(fields, place)?,
            Places::Stretch(a, b) => {
                add(fields, a)?;
                add(fields, b)?;
            }
        }
    }
    list.sort_by(|a, b| a.place.total_cmp(&b.place));
    if let Some(w) = list.windows(2).find(|w| w[1].place - w[0].place < 0.01) {
        let (a, b) = if w[0].span.start <= w[1].span.start { (&w[0], &w[1]) } else { (&w[1], &w[0]) };
        return Err(errors::station_twice(w[0].place, a.span, b.span).into());
    }
    match list.as_slice() {
        [one] => Err(errors::one_station(&thing.name.to_string(), one.place, one.span).into()),
        _ => Ok(list),
    }
}

/// The stations at their heights along the axis; along the wall the heights are worked out so that the generatrix
/// opposite the seam has the lengths that were given.
pub(super) fn placed(list: &[Station], along_wall: bool, facing: f64) -> Result<Vec<Stationed>, Stop> {
    let Some(first) = list.first() else { return Ok(Vec::new()) };
    let at = |s: &Station, z: f64| Stationed {
        z,
        section: s.lowered.section.clone(),
        point: s.lowered.point,
        leans: s.lowered.leans,
    };
    let mut out = vec![at(first, 0.0)];
    let mut z = 0.0;
    for w in list.windows(2) {
        let asked = w[1].place - w[0].place;
        let rise = if along_wall { rise(&w[0], &w[1], asked, facing + PI)? } else { asked };
        z += rise;
        out.push(at(&w[1], z));
    }
    Ok(out)
}

/// The height that gives a generatrix the length `asked`: its sideways run does not depend on the height, so the
/// height is the other side of a right triangle.
fn rise(lower: &Station, upper: &Station, asked: f64, facing: f64) -> Result<f64, Stop> {
    let Ok(strip) = Strip::new(&lower.lowered.section, 0.0, &upper.lowered.section, 1.0) else {
        // What is wrong with the two sections is found when the wall is made.
        return Ok(asked);
    };
    let rule = measure::facing(&strip, facing).ok_or(Stop::Skip)?;
    let (h, k) = (rule.h1 - rule.h0, rule.k1 - rule.k0);
    let run = (h * h + k * k).sqrt();
    let rise = (asked * asked - run * run).max(0.0).sqrt();
    if rise < 0.01 { Err(errors::wall_too_short(asked, run, upper.span).into()) } else { Ok(rise) }
}
