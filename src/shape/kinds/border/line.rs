//! Borders that run along a line: cords, bindings, pipings, beads on their wire, wraps. Their lengths are those of
//! the line their middle takes, over what lies below.

use super::super::super::{Shaper, errors, measure};
use super::cornered::Cornered;
use super::rows::Row;
use super::skin::{Line, Skin};
use super::spec::{Goods, Sort};
use super::up::{Up, up_the_seam};
use super::{Laid, stack, uneven};
use crate::eval::Stop;
use crate::fitted::{GoodsOf, Lump, Run};
use crate::geom::Vec3;
use crate::geom::strip::Rule;
use crate::geom::walk::Walk;
use crate::num::{self, FRAC_PI_2, PI};
use crate::solid::Wall;

/// What a wire has to spare at each end, to be twisted or turned in, mm (common practice, no source).
const TWIST: f64 = 30.0;

/// The most beads in a row: more than anyone strings.
const MOST: f64 = 2000.0;

/// Builds one row; gives the length of its way.
pub(super) fn build(shaper: &mut Shaper<'_>, laid: &Laid<'_>, row: Row) -> Result<f64, Stop> {
    match laid.spec.sort {
        Sort::Beads => beads(shaper, laid, row),
        Sort::Wrap => wrap(shaper, laid),
        Sort::Piping => {
            let (cord, strip) = laid.spec.piped(shaper)?;
            // The strip lies round the cord and is caught on both sides: round its own middle.
            let wide = 2.0 * laid.spec.wide + PI * (cord.thick + strip.thick);
            own_width(laid, &strip, wide)?;
            let below = below(laid, row, 1, 2.0 * strip.thick);
            let way = way(laid, row, laid.skin.outer + below + strip.thick, 0.0)?;
            let spare = if way.is_closed() { laid.spec.lap()? } else { 0.0 };
            let (long, drawn) = (way.long(), way.drawn());
            push(shaper, laid, (&cord, None, "cord"), (long, spare, &drawn));
            push(shaper, laid, (&strip, Some(wide), "strip"), (long, spare, &drawn));
            Ok(long)
        }
        Sort::Cord | Sort::Band | Sort::Scallops => {
            let goods = laid.spec.goods(shaper)?;
            let below = below(laid, row, 2, goods.thick);
            let depth = laid.skin.outer + below + 0.5 * goods.thick;
            let way = way(laid, row, depth, 0.5 * goods.thick)?;
            let spare = 2.0 * laid.spec.tuck + if way.is_closed() { laid.spec.lap()? } else { 0.0 };
            push(shaper, laid, (&goods, None, ""), (way.long(), spare, &way.drawn()));
            Ok(way.long())
        }
        Sort::Binding => {
            let goods = laid.spec.goods(shaper)?;
            let skin = laid.skin;
            let below = below(laid, row, 1, goods.thick);
            // Over both faces and the end between, round two corners.
            let over = skin.outer + below - skin.inner;
            let wide = 2.0 * laid.spec.wide + over + FRAC_PI_2 * goods.thick;
            own_width(laid, &goods, wide)?;
            let way = way(laid, row, skin.outer + below + 0.5 * goods.thick, 0.0)?;
            let spare = if way.is_closed() { laid.spec.lap()? } else { 0.0 };
            push(shaper, laid, (&goods, Some(wide), ""), (way.long(), spare, &way.drawn()));
            Ok(way.long())
        }
    }
}

/// What lies below a row of this rank that takes `half` of its thickness to either side.
fn below(laid: &Laid<'_>, row: Row, rank: u8, thick: f64) -> f64 {
    let skin = laid.skin;
    let range = match row {
        Row::Line { z, .. } => (skin.up(z, -0.5 * thick), skin.up(z, 0.5 * thick)),
        Row::Strip { from, to, .. } | Row::Along { from, to, .. } => (from, to),
        Row::Rim { upper, .. } => {
            let (edge, deepest) = (skin.edge(upper), skin.deepest(upper));
            (edge.min(deepest), edge.max(deepest))
        }
        Row::Up { .. } | Row::Whole => (skin.low, skin.high),
    };
    stack::below(laid.lying, rank, range)
}

/// The line beside a rim as it is cut, of goods that keep `half` of their thickness to either side of it; a piping stands half
/// its thickness past it.
fn beside(laid: &Laid<'_>, (upper, out): (bool, f64), depth: f64, half: f64) -> Result<Way, Stop> {
    let line = laid.skin.beside_rim(upper, depth, out);
    let line = line.ok_or_else(|| errors::no_bore(laid.name, laid.spec.head))?;
    let way = if out == 0.0 || uneven::is_smooth(laid.skin, upper) {
        line.keeps_a_radius().then(|| Way::Round(Box::new(line)))
    } else {
        Cornered::new(line, 2.0 * half.max(out)).map(|line| Way::Cornered(Box::new(line)))
    };
    way.ok_or_else(|| errors::borders::edge_bends_too_tightly(laid.name, out.abs(), laid.spec.head).into())
}

/// A line round the wall at a depth.
fn round(laid: &Laid<'_>, (z, level): (f64, bool), depth: f64) -> Result<Line, Stop> {
    laid.skin.line(z, level, depth).ok_or_else(|| {
        let (skin, head) = (laid.skin, laid.spec.head);
        if z < skin.low - 1e-9 || z > skin.high + 1e-9 {
            let help = "a cord beside the edge: `as: cord`";
            return errors::borders::not_carried_on(laid.name, &skin.name, help, head).into();
        }
        errors::no_bore(laid.name, head).into()
    })
}

/// The line that a row runs along.
enum Way {
    Round(Box<Line>),
    Cornered(Box<Cornered>),
    Up(Up),
}

impl Way {
    fn long(&self) -> f64 {
        match self {
            Self::Round(line) => line.long(),
            Self::Cornered(line) => line.long(),
            Self::Up(up) => up.long(),
        }
    }

    fn drawn(&self) -> Vec<Vec3> {
        match self {
            Self::Round(line) => line.drawn(),
            Self::Cornered(line) => line.drawn(),
            Self::Up(up) => up.drawn(),
        }
    }

    /// Whether it comes round to its start.
    fn is_closed(&self) -> bool {
        match self {
            Self::Round(line) => line.closed,
            Self::Cornered(line) => line.is_closed(),
            Self::Up(_) => false,
        }
    }

    /// Points that lie so far along it.
    fn at(&self, along: &[f64]) -> Vec<Vec3> {
        match self {
            Self::Round(line) => line.at(&line.places(along)),
            Self::Cornered(line) => line.at(along),
            Self::Up(up) => up.at(along),
        }
    }
}

/// The line of a row at a depth, of goods that keep `half` of their thickness to either side: up one side of a wall they are as
/// far from it.
fn way(laid: &Laid<'_>, row: Row, depth: f64, half: f64) -> Result<Way, Stop> {
    let (end, aside) = match row {
        Row::Rim { upper, out } => return beside(laid, (upper, out), depth, half),
        Row::Line { z, level } => return Ok(Way::Round(Box::new(round(laid, (z, level), depth)?))),
        Row::Up { end, aside } => (end, if end.is_some() { half + aside } else { aside }),
        Row::Strip { .. } | Row::Along { .. } | Row::Whole => return Err(Stop::Skip),
    };
    let up = up_the_seam(laid.skin, end, aside, depth).ok_or_else(|| errors::no_bore(laid.name, laid.spec.head))?;
    Ok(Way::Up(up))
}

/// Supplies have a width of their own: what is folded may be wider than it needs to be, what is wound may not.
fn own_width(laid: &Laid<'_>, goods: &Goods, needs: f64) -> Result<(), Stop> {
    let Some(own) = goods.wide.filter(|_| !goods.stock) else { return Ok(()) };
    let spec = laid.spec;
    let best = match spec.sort {
        Sort::Wrap if (own - needs).abs() > 1e-6 => own,
        // Both sides lose what is missing.
        Sort::Binding | Sort::Piping if own < needs - 1e-6 => spec.wide - 0.5 * (needs - own),
        _ => return Ok(()),
    };
    Err(errors::borders::own_width(&goods.name, own, needs, best, spec.wide_span).into())
}

/// A run of goods; a strip from a stock has its width, and what several runs make up is told apart by `what`.
fn push(
    shaper: &mut Shaper<'_>,
    laid: &Laid<'_>,
    (goods, wide, what): (&Goods, Option<f64>, &str),
    (along, spare, line): (f64, f64, &[Vec3]),
) {
    let of = if goods.stock {
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "within the schema's ranges")]
        let wide = (wide.unwrap_or(0.0) * 100.0).round().max(0.0) as u32;
        shaper.stock(goods.id).map(|stock| GoodsOf::Strip { stock, wide })
    } else {
        shaper.supplied(goods.id).map(GoodsOf::Supply)
    };
    // Goods with a fault of their own were told.
    let Some(goods) = of else { return };
    let name = if what.is_empty() { laid.name.to_owned() } else { format!("{} {what}", laid.name) };
    shaper.solid.fitted.runs.push(Run {
        thing: laid.id,
        name,
        origin: laid.spec.head,
        goods,
        rows: 1,
        line: line.to_vec(),
        along,
        spare,
        pair: laid.skin.pair,
    });
}

/// As many beads as keep their clear distance, evenly spread, and the wire through their middles.
fn beads(shaper: &mut Shaper<'_>, laid: &Laid<'_>, row: Row) -> Result<f64, Stop> {
    let (spec, goods) = (laid.spec, laid.spec.goods(shaper)?);
    let wire = spec.strung(shaper)?;
    let across = goods.thick;
    let below = below(laid, row, 2, across);
    let line = way(laid, row, laid.skin.outer + below + 0.5 * across, 0.5 * across)?;
    let long = line.long();
    let pitch = across + spec.gap;
    // Round the whole as many spaces as beads; from side to side the outer ones stand within the sides.
    let room = if line.is_closed() { long } else { long - across };
    let most = (room / pitch + 1e-9).floor() + if line.is_closed() { 0.0 } else { 1.0 };
    if most > MOST {
        return Err(errors::borders::too_many_beads(laid.name, most, MOST, spec.head).into());
    }
    let mut count = most;
    let (at, spacing) = loop {
        if count < 1.0 || room < 0.0 {
            return Err(errors::borders::beads_do_not_fit(laid.name, pitch, long, spec.gap_span).into());
        }
        let spaces = if line.is_closed() { count } else { count - 1.0 };
        let spacing = if spaces > 0.0 { room / spaces } else { 0.0 };
        let first = match (line.is_closed(), spaces > 0.0) {
            (true, _) => 0.5 * spacing,
            (false, true) => 0.5 * across,
            (false, false) => 0.5 * long,
        };
        let mut along = Vec::new();
        let mut i = 0.0;
        while i < count {
            along.push(first + i * spacing);
            i += 1.0;
        }
        let at = line.at(&along);
        // Beads stand as far apart as the straight way between them, which is shorter round a bend.
        let ends = line.is_closed().then(|| at.last().copied().zip(at.first().copied())).flatten();
        let neighbours = at.windows(2).map(|w| (w[0], w[1])).chain(ends.filter(|_| count > 1.0));
        let nearest = neighbours.map(|(a, b)| a.distance(b)).fold(f64::INFINITY, f64::min);
        if nearest >= pitch - 1e-6 {
            break (at, spacing);
        }
        // The next count down that could do.
        count = (count - 1.0).min((count * nearest / pitch).ceil());
    };
    let supply = shaper.supplied(goods.id).ok_or(Stop::Skip)?;
    shaper.solid.fitted.lumps.push(Lump {
        thing: laid.id,
        name: laid.name.to_owned(),
        origin: spec.head,
        supply: Some(supply),
        mass: goods.mass,
        at,
        spacing: (spacing > 0.0).then_some(spacing),
        pair: laid.skin.pair,
        contents: false,
    });
    push(shaper, laid, (&wire, None, "wire"), (long, 2.0 * TWIST, &line.drawn()));
    Ok(long)
}

/// A strip wound round a wall from edge to edge, turn beside turn: as long as its middle surface is large for its
/// width, and half a turn more at either end, where it is trimmed to the edge: where that is cut sloping or to a figure, all
/// that lies past it as well. On a taper that is what it takes when no turn laps the last.
fn wrap(shaper: &mut Shaper<'_>, laid: &Laid<'_>) -> Result<f64, Stop> {
    let (spec, skin, goods) = (laid.spec, laid.skin, laid.spec.goods(shaper)?);
    own_width(laid, &goods, spec.wide)?;
    let below = below(laid, Row::Whole, 1, goods.thick);
    let depth = skin.outer + below + 0.5 * goods.thick;
    let girth = |z: f64| measure::girth(&skin.wall.strips[skin.strip_at(z)], z, depth);
    let ends = [skin.low, skin.high].map(girth);
    let least = ends[0].min(ends[1]);
    if spec.wide > 0.5 * least {
        return Err(errors::borders::too_wide_to_wind(laid.name, spec.wide, least, spec.wide_span).into());
    }
    let area = |s: &crate::geom::strip::Strip| measure::area(s, s.heights().0, s.heights().1, depth);
    let whole = skin.wall.strips.iter().map(area).sum::<f64>() / spec.wide;
    let along = if skin.is_uneven(false) || skin.is_uneven(true) {
        measure::wall_area(&Wall { holes: Vec::new(), ..skin.wall.clone() }, skin.neutral, depth) / spec.wide
    } else {
        whole
    };
    // A turn leans: sin θ = wide/girth, so it is girth · sec θ long.
    let turn = |girth: f64| girth / (1.0 - (spec.wide / girth) * (spec.wide / girth)).sqrt();
    let spare = 0.5 * (turn(ends[0]) + turn(ends[1])) + (whole - along);
    let drawn = wound(skin, spec.wide, depth);
    push(shaper, laid, (&goods, Some(spec.wide), ""), (along, spare, &drawn));
    Ok(along)
}

/// A wound strip's middle line, for the eye.
fn wound(skin: &Skin, wide: f64, depth: f64) -> Vec<Vec3> {
    const EACH: f64 = PI / 18.0;
    const MOST: usize = 20_000;
    let mut out = Vec::new();
    let mut turned = 0.0;
    // Where it is trimmed it follows the edge.
    let rims = [false, true].map(|upper| if skin.is_uneven(upper) { skin.rim_line(upper, depth) } else { None });
    let trimmed = |mut p: Vec3, rule: &Rule| {
        for (line, upper) in rims.iter().zip([false, true]).filter_map(|(line, upper)| Some((line.as_ref()?, upper))) {
            let at = line.walk.find(rule);
            let edge = at.map(|at| line.with(|rim| rule.point(rim.height(at, depth).0, depth)));
            if let Some(edge) = edge.filter(|e| if upper { e.z < p.z } else { e.z > p.z }) {
                p = edge;
            }
        }
        p
    };
    for strip in &skin.wall.strips {
        let walk = Walk::new(strip);
        let (mut z, end) = strip.heights();
        let rate = skin.slope(strip).0;
        while z < end && out.len() < MOST {
            let around = walk.around(z, depth);
            let at = walk.at_length(num::wrap(turned, num::TAU) / num::TAU * around, z, depth);
            let rule = walk.rule(at);
            out.push(skin.frame.apply(trimmed(rule.point(z, depth), &rule)));
            let lead = wide / (1.0 - (wide / around) * (wide / around)).max(0.5).sqrt();
            z += lead / rate * EACH / num::TAU;
            turned += EACH;
        }
    }
    out
}
