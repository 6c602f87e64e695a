//! What is fitted: goods that run along a line, and single things.

use serde::Serialize;

use super::super::number::report as figure;
use crate::fitted::{GoodsOf, Lump, Run};
use crate::solid::Solid;

#[derive(Debug, Serialize)]
pub(super) struct RunOf<'a> {
    name: &'a str,
    /// The supply or stock it is of.
    goods: &'a str,
    sort: &'static str,
    /// The width of a strip that is cut from a stock.
    wide: Option<f64>,
    /// How many lie beside each other; a mirrored pair has as many again.
    rows: usize,
    pair: bool,
    along: f64,
    spare: f64,
    /// What one row is cut to: `along` and `spare`.
    long: f64,
    /// Of all rows; of a pair, of one.
    mass: Option<f64>,
}

#[derive(Debug, Serialize)]
pub(super) struct LumpOf<'a> {
    name: &'a str,
    /// The supply; contents have none.
    goods: Option<&'a str>,
    sort: Option<&'static str>,
    /// A mirrored pair has as many again.
    count: usize,
    pair: bool,
    /// From the middle of one to the next along their line, where they stand evenly in one.
    spacing: Option<f64>,
    contents: bool,
    /// Of all; of a pair, of one.
    mass: Option<f64>,
}

pub(super) fn run<'a>(solid: &'a Solid, run: &'a Run) -> RunOf<'a> {
    let (goods, sort, wide) = match run.goods {
        GoodsOf::Supply(i) => {
            let supply = &solid.fitted.supplies[i];
            (supply.name.as_str(), supply.sort, None)
        }
        GoodsOf::Strip { stock, wide } => {
            let stock = &solid.stocks[stock];
            (stock.name.as_str(), stock.sort, Some(figure(f64::from(wide) / 100.0)))
        }
    };
    RunOf {
        name: &run.name,
        goods,
        sort,
        wide,
        rows: run.rows,
        pair: run.pair,
        along: figure(run.along),
        spare: figure(run.spare),
        long: figure(run.long()),
        mass: solid.mass_of_run(run).map(figure),
    }
}

pub(super) fn lump<'a>(solid: &'a Solid, lump: &'a Lump) -> LumpOf<'a> {
    let supply = lump.supply.map(|i| &solid.fitted.supplies[i]);
    LumpOf {
        name: &lump.name,
        goods: supply.map(|s| s.name.as_str()),
        sort: supply.map(|s| s.sort),
        count: lump.at.len(),
        pair: lump.pair,
        spacing: lump.spacing.map(figure),
        contents: lump.contents,
        mass: solid.mass_of_lump(lump).map(figure),
    }
}
