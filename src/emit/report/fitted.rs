//! What is fitted: goods that run along a line, and single things.

use serde::Serialize;

use super::super::number::report as figure;
use crate::fitted::{Core, GoodsOf, Lacing, Lump, Ridge, Row, Run};
use crate::solid::{Body, Solid};

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

/// A rod: its lengths, where they meet, and where it stands.
#[derive(Debug, Serialize)]
pub(super) struct CoreOf<'a> {
    name: &'a str,
    goods: &'a str,
    across: f64,
    long: f64,
    /// How many lengths, and how long each is.
    count: usize,
    each: f64,
    /// How far from its lower end they meet.
    joins: Vec<f64>,
    from: [f64; 3],
    to: [f64; 3],
    /// What it stands in, on or beside.
    host: Option<&'a str>,
    /// The least distance to the wall it stands in; below nought it does not go in.
    clear: Option<f64>,
    pair: bool,
}

/// A ridge of two flanks.
#[derive(Debug, Serialize)]
pub(super) struct KeelOf<'a> {
    name: &'a str,
    /// The part it stands on.
    on: &'a str,
    wide: f64,
    rise: f64,
    long: f64,
    level: f64,
    /// Between the flanks inside the ridge, degrees.
    between: f64,
    flanks: Vec<FlankOf<'a>>,
    /// The area of both flanks' ends on the wall; of a pair, of one.
    glued: f64,
    pair: bool,
}

#[derive(Debug, Serialize)]
struct FlankOf<'a> {
    part: &'a str,
    /// From foot to ridge.
    wide: f64,
    /// Of the end of its sheet on the wall.
    lands: f64,
    /// Between its outer face and the wall beside it, degrees.
    meets: f64,
    /// How far an edge of that end stands off the wall at most.
    off: f64,
}

pub(super) fn keel<'a>(solid: &'a Solid, ridge: &'a Ridge) -> KeelOf<'a> {
    let flank = |(part, &(wide, lands, meets, off)): (&crate::ids::PartId, &(f64, f64, f64, f64))| FlankOf {
        part: &solid.parts[part.index()].name,
        wide: figure(wide),
        lands: figure(lands),
        meets: figure(meets.to_degrees()),
        off: figure(off),
    };
    KeelOf {
        name: &ridge.name,
        on: &ridge.on.1,
        wide: figure(ridge.wide),
        rise: figure(ridge.rise),
        long: figure(ridge.long),
        level: figure(ridge.level),
        between: figure(ridge.between.to_degrees()),
        flanks: ridge.parts.iter().zip(&ridge.flanks).map(flank).collect(),
        glued: figure(ridge.glued),
        pair: ridge.pair,
    }
}

/// Rows of holes and their lace.
#[derive(Debug, Serialize)]
pub(super) struct LacingOf<'a> {
    name: &'a str,
    sort: &'static str,
    /// Width of a hole, and its centre's distance from its edge.
    hole: f64,
    margin: f64,
    gap: Option<f64>,
    pair: bool,
    rows: Vec<RowOf<'a>>,
    lace: LaceOf<'a>,
}

#[derive(Debug, Serialize)]
struct RowOf<'a> {
    part: &'a str,
    edge: &'static str,
    pitch: f64,
    /// In order of their numbers.
    holes: Vec<NumberedOf<'a>>,
}

#[derive(Debug, Serialize)]
struct NumberedOf<'a> {
    number: usize,
    name: &'a str,
    /// Along the edge from its start.
    along: f64,
}

#[derive(Debug, Serialize)]
struct LaceOf<'a> {
    goods: &'a str,
    /// From hole to hole; through the sheet; both tails.
    over: f64,
    through: f64,
    tails: f64,
    long: f64,
    /// How many laces of that length.
    count: usize,
    buy: BuyOf,
}

#[derive(Debug, Serialize)]
struct BuyOf {
    count: usize,
    each: f64,
    /// Of how many of them one lace is joined.
    joined: usize,
}

pub(super) fn lacing<'a>(solid: &'a Solid, lacing: &'a Lacing) -> LacingOf<'a> {
    let run = &solid.fitted.runs[lacing.run];
    let count = if run.pair { 2 } else { 1 };
    let supply = match run.goods {
        GoodsOf::Supply(i) => &solid.fitted.supplies[i],
        GoodsOf::Strip { .. } | GoodsOf::Rod(_) => unreachable!("a lace is a supply"),
    };
    let bought = supply.purchase(run.long(), count);
    let row = |row: &'a Row| {
        let part = &solid.parts[row.part.index()];
        let numbered = |&(i, along): &(usize, f64)| {
            let (number, name) = match &part.body {
                Body::Wall(wall) => wall.holes.get(i).map(|h| (h.number, &h.name))?,
                Body::Plate(plate) => plate.holes.get(i).map(|h| (h.number, &h.name))?,
                Body::Leaf(leaf) => leaf.holes.get(i).map(|h| (h.number, &h.name))?,
                Body::Folded(wall) => wall.holes.get(i).map(|h| (h.1.number, &h.1.name))?,
            };
            Some(NumberedOf { number: number.unwrap_or(0), name, along: figure(along) })
        };
        RowOf {
            part: &part.name,
            edge: row.edge.name(),
            pitch: figure(row.pitch),
            holes: row.holes.iter().filter_map(numbered).collect(),
        }
    };
    LacingOf {
        name: &lacing.name,
        sort: lacing.sort,
        hole: figure(lacing.hole),
        margin: figure(lacing.margin),
        gap: lacing.gap.map(figure),
        pair: run.pair,
        rows: lacing.rows.iter().map(row).collect(),
        lace: LaceOf {
            goods: &supply.name,
            over: figure(lacing.over),
            through: figure(lacing.through),
            tails: figure(run.spare),
            long: figure(run.long()),
            count,
            buy: BuyOf { count: bought.count, each: figure(bought.each), joined: bought.joined },
        },
    }
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
        GoodsOf::Rod(stock) => {
            let stock = &solid.stocks[stock];
            (stock.name.as_str(), stock.sort, None)
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

pub(super) fn core<'a>(solid: &'a Solid, core: &'a Core) -> CoreOf<'a> {
    let run = &solid.fitted.runs[core.run];
    let goods = match run.goods {
        GoodsOf::Rod(stock) => &solid.stocks[stock].name,
        GoodsOf::Supply(_) | GoodsOf::Strip { .. } => unreachable!("a core is of rod"),
    };
    let at = |p: crate::geom::Vec3| [figure(p.x), figure(p.y), figure(p.z)];
    #[expect(clippy::cast_precision_loss, reason = "few lengths")]
    let joins = (1..run.rows).map(|i| figure(run.along * i as f64)).collect();
    CoreOf {
        name: &core.name,
        goods,
        across: figure(core.across),
        long: figure(core.ends[0].distance(core.ends[1])),
        count: run.rows,
        each: figure(run.along),
        joins,
        from: at(core.ends[0]),
        to: at(core.ends[1]),
        host: core.host.as_ref().map(|h| h.1.as_str()),
        clear: core.clear.map(figure),
        pair: run.pair,
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
