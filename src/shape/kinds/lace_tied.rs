//! What is kept of a lace whose holes are cut: its length, its holes and its eyelets.

use super::super::Shaper;
use super::super::known::Laced;
use super::lace::Way;
use super::lacing::Spec;
use crate::eval::Stop;
use crate::fitted::{GoodsOf, Lacing, Lump, Row, Run};
use crate::geom::Vec3;
use crate::ids::ThingId;

/// A lace whose holes are cut.
pub(super) struct Tied {
    pub way: Way,
    pub gap: Option<f64>,
    pub pitch: f64,
    /// Where its holes are, for eyelets.
    pub at: Vec<Vec3>,
    pub pair: bool,
    pub listed: Vec<Row>,
}

/// Remembers a lace and its eyelets.
pub(super) fn keep(shaper: &mut Shaper<'_>, id: ThingId, spec: &Spec, tied: Tied) -> Result<(), Stop> {
    let Tied { way, gap, pitch, at, pair, listed } = tied;
    if let Some((eyelet, _)) = spec.eyelets {
        let supply = shaper.supplied(eyelet).ok_or(Stop::Skip)?;
        let mass = shaper.solid.fitted.supplies[supply].mass;
        shaper.solid.fitted.lumps.push(Lump {
            thing: id,
            name: format!("{} eyelets", spec.name),
            origin: spec.head,
            supply: Some(supply),
            mass,
            at,
            spacing: Some(pitch),
            pair,
            contents: false,
        });
    }
    let supply = shaper.supplied(spec.of).ok_or(Stop::Skip)?;
    let fitted = &mut shaper.solid.fitted;
    fitted.runs.push(Run {
        thing: id,
        name: spec.name.clone(),
        origin: spec.head,
        goods: GoodsOf::Supply(supply),
        rows: 1,
        line: way.line,
        along: way.over + way.through,
        spare: 2.0 * spec.tail,
        pair,
    });
    fitted.lacings.push(Lacing {
        thing: id,
        name: spec.name.clone(),
        origin: spec.head,
        sort: spec.sort,
        run: fitted.runs.len() - 1,
        hole: spec.hole,
        margin: spec.margin,
        gap,
        rows: listed,
        over: way.over,
        through: way.through,
    });
    shaper.known.laces.entry(id).or_insert(Laced { across: gap.unwrap_or(0.0) });
    Ok(())
}
