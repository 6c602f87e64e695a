//! `strap`: a sling from ring to ring, or a band round a part.
//!
//! Conventions chosen here, where the language leaves room:
//! - a strap is cut to its finished length, its tail, and a fold at each end;
//! - a sling's `long` is its whole way from bar to bar. How it lies in space is a picture of a loop and no more: it
//!   hangs as its wearer stands;
//! - a band lies half its thickness off what it goes round, so its own middle is a little longer than the girth there:
//!   `around` is the girth, and it is cut to the longer;
//! - covers and borders under a band count; tabs and patches, which do not go all round, do not;
//! - a slider named in `of` beside the strap is bought and weighed.

use super::super::known::Strap;
use super::super::{Shaper, errors, measure};
use super::border::rows::Foot;
use super::border::skin::Skin;
use super::border::stack;
use super::spread::Spread;
use super::{lid, place};
use crate::design::{Anchor, Kind};
use crate::eval::{Fields, Stop};
use crate::fitted::{GoodsOf, Lump, Run};
use crate::geom::strip::Strip;
use crate::geom::walk::{Leg, Walk};
use crate::geom::{Vec2, Vec3, rect, unit};
use crate::ids::ThingId;
use crate::num::{PI, TAU};
use crate::span::Span;

/// Points along a strap, for the eye: a turn of a twenty-fourth of a half turn between two.
const POINTS: usize = 48;

struct Spec {
    spread: Spread,
    of: Vec<Anchor>,
    of_span: Span,
    long: Option<f64>,
    long_span: Span,
    around: Option<f64>,
    tail: f64,
    fold: f64,
    via: Vec<Anchor>,
    via_span: Span,
    several: Option<Span>,
}

fn read(fields: &mut Fields<'_>) -> Result<Spec, Stop> {
    let spread = Spread::read(fields)?;
    let several = spread.count > 1.0 || spread.every.is_some();
    Ok(Spec {
        of: fields.things("of")?,
        of_span: fields.span("of"),
        long: fields.maybe_number("long")?,
        long_span: fields.span("long"),
        around: fields.maybe_number("around")?,
        tail: fields.length("tail")?,
        fold: fields.length("fold")?,
        via: if fields.written("via") { fields.things("via")? } else { Vec::new() },
        via_span: fields.span("via"),
        several: several.then(|| if fields.written("count") { fields.span("count") } else { fields.span("every") }),
        spread,
    })
}

/// What a strap is cut from: the goods, its width where it is known, and its thickness.
struct Cloth {
    goods: GoodsOf,
    wide: f64,
    thick: f64,
}

/// Builds a strap.
///
/// # Errors
/// When it cannot run as it is written.
pub(in super::super) fn lower(shaper: &mut Shaper<'_>, id: ThingId) -> Result<(), Stop> {
    let thing = shaper.design.thing(id);
    let target = thing.target.as_ref().ok_or(Stop::Skip)?;
    let sort = shaper.read(id, None, |f| f.word("as"))?;
    if sort == "sling" { sling(shaper, id, &target.anchors, target.span) } else { band(shaper, id, target.span) }
}

/// The strip a strap is of: a supply as wide as it is, or sheet cut as wide as `inside`.
fn cloth(shaper: &mut Shaper<'_>, spec: &Spec, inside: Option<f64>) -> Result<Cloth, Stop> {
    let of = spec.of.first().ok_or(Stop::Skip)?;
    let thing = shaper.design.thing(of.thing);
    if thing.kind == Kind::Stock {
        let thick = shaper.thickness(std::slice::from_ref(of), spec.of_span)?;
        let Some(wide) = inside else {
            return Err(errors::not_built_yet("a band of sheet", spec.of_span).into());
        };
        let layers = shaper.layers(std::slice::from_ref(of), 0.0, f64::INFINITY);
        let stock = layers.first().ok_or(Stop::Skip)?.stock;
        // Widths are below 20 m: far fewer hundredths than a u32 holds.
        let hundredths = (wide * 100.0).round().clamp(0.0, 1e9) as u32;
        return Ok(Cloth { goods: GoodsOf::Strip { stock, wide: hundredths }, wide, thick });
    }
    let index = shaper.supplied(of.thing).ok_or(Stop::Skip)?;
    let own = &shaper.solid.fitted.supplies[index];
    let wants = ["webbing", "elastic", "tape", "lace", "cord"];
    if !wants.contains(&own.sort) {
        return Err(errors::wrong_goods(&own.name, own.sort, &wants, spec.of_span).into());
    }
    let thick = own.thick.or(own.across).unwrap_or(0.0);
    // A cord is as wide as it is thick.
    let wide = own.wide.or(own.across).or(if own.sort == "cord" { own.thick } else { None });
    let wide = wide.ok_or_else(|| Stop::from(errors::no_supply_size(&own.name, "wide", spec.of_span)))?;
    Ok(Cloth { goods: GoodsOf::Supply(index), wide, thick })
}

/// Sliders and the like that `of` names beside the strap.
fn threaded(shaper: &mut Shaper<'_>, id: ThingId, spec: &Spec, at: Vec3, pair: bool, wide: f64) -> Result<(), Stop> {
    for anchor in spec.of.iter().skip(1) {
        let thing = shaper.design.thing(anchor.thing);
        if thing.kind != Kind::Supply {
            let name = thing.name.to_string();
            return Err(errors::wrong_goods(&name, "a stock", &["buckle"], spec.of_span).into());
        }
        let index = shaper.supplied(anchor.thing).ok_or(Stop::Skip)?;
        let own = shaper.solid.fitted.supplies[index].clone();
        if !matches!(own.sort, "buckle" | "ring" | "hook") {
            return Err(errors::wrong_goods(&own.name, own.sort, &["buckle", "ring", "hook"], spec.of_span).into());
        }
        if let Some(inside) = own.wide.or(own.across)
            && wide > inside + 1e-9
        {
            let name = &spec.spread.name;
            return Err(errors::strap_too_wide(name, wide, &own.name, inside, spec.of_span, None).into());
        }
        shaper.solid.fitted.lumps.push(Lump {
            thing: id,
            name: format!("{} {}", spec.spread.name, own.sort),
            origin: spec.spread.head,
            supply: Some(index),
            mass: own.mass,
            at: vec![at],
            spacing: None,
            pair,
            contents: false,
        });
    }
    Ok(())
}

/// What holds the strap at one of its ends or on its way.
fn holder(shaper: &Shaper<'_>, spec: &Spec, anchor: &Anchor, span: Span) -> Result<(Vec3, Vec3, f64, bool), Stop> {
    let thing = shaper.design.thing(anchor.thing);
    let (strap, name) = (&spec.spread.name, thing.name.to_string());
    if anchor.hand.is_some() {
        return Err(errors::not_built_yet("a strap on one of a pair only", span).into());
    }
    if thing.kind != Kind::Attachment {
        let what = with_article(thing.kind);
        return Err(errors::holds_no_strap(strap, &name, &what, span).into());
    }
    let known = shaper.known.attachments.get(&anchor.thing).ok_or(Stop::Skip)?;
    let Some(inside) = known.takes else {
        let what = format!("`as: {}`, which takes no strap", known.sort);
        return Err(errors::holds_no_strap(strap, &name, &what, span).into());
    };
    match known.at.as_slice() {
        [(at, out)] => Ok((*at, *out, inside, known.pair)),
        [] => Err(Stop::Skip),
        several => Err(errors::which_ring(strap, &name, several.len(), span).into()),
    }
}

/// "a shell", "an opening".
fn with_article(kind: Kind) -> String {
    let word = crate::schema::kind_of(kind).word;
    let article = if word.starts_with(['a', 'e', 'i', 'o', 'u']) { "an" } else { "a" };
    format!("{article} {word}")
}

fn sling(shaper: &mut Shaper<'_>, id: ThingId, anchors: &[Anchor], span: Span) -> Result<(), Stop> {
    let spec = shaper.read(id, None, read)?;
    if let Some(span) = spec.several {
        return Err(errors::not_built_yet("several slings under one name", span).into());
    }
    if anchors.len() < 2 {
        return Err(errors::one_end(&spec.spread.name, span).into());
    }
    let mut ends = Vec::new();
    for anchor in anchors {
        ends.push((holder(shaper, &spec, anchor, span)?, anchor.thing));
    }
    let least = ends.iter().map(|e| e.0.2).fold(f64::INFINITY, f64::min);
    let cloth = cloth(shaper, &spec, Some(least))?;
    let mut through = ends.clone();
    for anchor in &spec.via {
        through.push((holder(shaper, &spec, anchor, spec.via_span)?, anchor.thing));
    }
    for ((_, _, inside, _), thing) in &through {
        if cloth.wide > inside + 1e-9 {
            let thing = shaper.design.thing(*thing);
            let name = thing.name.to_string();
            let own = &spec.spread.name;
            let d = errors::strap_too_wide(own, cloth.wide, &name, *inside, spec.of_span, Some(thing.head));
            return Err(d.into());
        }
    }
    let long = spec.long.ok_or(Stop::Skip)?;
    let apart: f64 = ends.windows(2).map(|w| w[0].0.0.distance(w[1].0.0)).sum();
    if long < apart - 1e-9 {
        return Err(errors::sling_too_short(&spec.spread.name, long, apart, spec.long_span).into());
    }
    let pair = ends.iter().any(|e| e.0.3);
    let mut line: Vec<Vec3> = Vec::new();
    for w in ends.windows(2) {
        let ((a, out_a, ..), (b, out_b, ..)) = (w[0].0, w[1].0);
        line.extend(looped(a, b, out_a + out_b));
    }
    let middle = line[line.len() / 2];
    threaded(shaper, id, &spec, middle, pair, cloth.wide)?;
    shaper.known.straps.insert(id, Strap { long, around: None });
    run(shaper, id, &spec, cloth.goods, spec.spread.name.clone(), line, long, pair);
    Ok(())
}

fn run(
    shaper: &mut Shaper<'_>,
    thing: ThingId,
    spec: &Spec,
    goods: GoodsOf,
    name: String,
    line: Vec<Vec3>,
    along: f64,
    pair: bool,
) {
    let spare = spec.tail + 2.0 * spec.fold;
    let origin = spec.spread.head;
    shaper.solid.fitted.runs.push(Run { thing, name, origin, goods, rows: 1, line, along, spare, pair });
}

/// A loop from `a` to `b` that stands out from the part, for the eye: half an ellipse as deep as half its width.
fn looped(a: Vec3, b: Vec3, out: Vec3) -> Vec<Vec3> {
    let chord = b - a;
    let wide = chord.length();
    let along = chord.normalize_or_zero();
    let square = |v: Vec3| (v - along * v.dot(along)).normalize_or_zero();
    let mut way = square(out);
    if out.length() < 0.5 || way == Vec3::ZERO {
        way = square(Vec3::Z);
    }
    let middle = (a + b) * 0.5;
    let at = |i: usize| {
        let t = unit(PI * i as f64 / POINTS as f64);
        middle - along * (0.5 * wide * t.x) + way * (0.5 * wide * t.y)
    };
    (0..=POINTS).map(at).collect()
}

fn band(shaper: &mut Shaper<'_>, id: ThingId, span: Span) -> Result<(), Stop> {
    let thing = shaper.design.thing(id);
    let anchors = thing.target.as_ref().map(|t| t.anchors.clone()).unwrap_or_default();
    for anchor in &anchors {
        let target = shaper.design.thing(anchor.thing);
        if target.kind != Kind::Shell || anchor.edge.is_some() {
            let words = match anchor.edge {
                Some(edge) => format!("a band round `{edge}`"),
                None => format!("a band round {}", with_article(target.kind)),
            };
            return Err(errors::not_built_yet(&words, span).into());
        }
        let host = place::built(shaper, anchor, span)?;
        let (shell, wall) = place::host_wall(shaper, host)?;
        let (tall, outer, wall) = (shell.tall, shell.outer, wall.clone());
        let part = &shaper.solid.parts[shell.part.index()];
        let (frame, pair) = (part.place, part.pair);
        let spec = shaper.read(id, Some([0.0, 0.5 * tall, tall]), read)?;
        // Several lie one above the other.
        let spread = Spread { along: spec.several.is_some(), facing: wall.facing, ..spec.spread };
        let spec = Spec { spread, ..spec };
        let cloth = cloth(shaper, &spec, None)?;
        let found = spec.spread.on_wall(&wall, tall)?;
        let skin = Skin::of_shell(shaper, host)?;
        let lying: Vec<Foot> = stack::on_wall(shaper, &skin, None).into_iter().map(|(_, foot)| foot).collect();
        for (i, (strip, _, z)) in found.iter().enumerate() {
            let half = 0.5 * cloth.wide;
            let depth = outer + lid::proud(&lying, (z - half, z + half));
            let surface = &wall.strips[*strip];
            let lies = round(surface, *z, depth);
            let around = spec.around.unwrap_or(lies);
            let name =
                if found.len() > 1 { format!("{} {}", spec.spread.name, i + 1) } else { spec.spread.name.clone() };
            // A closed line that runs half a thickness outside another is longer by that much of a turn.
            let along = around + PI * cloth.thick;
            let mut line: Vec<Vec3> = (0..=2 * POINTS)
                .filter_map(|k| measure::facing(surface, wall.facing + TAU * k as f64 / (2 * POINTS) as f64))
                .map(|rule| frame.apply(rule.point(*z, depth + 0.5 * cloth.thick)))
                .collect();
            line.extend(line.first().copied().filter(|p| line.last().is_some_and(|q| q.distance(*p) > 1e-9)));
            let first = line.first().copied().unwrap_or(frame.origin);
            threaded(shaper, id, &spec, first, pair, cloth.wide)?;
            shaper.known.straps.entry(id).or_insert(Strap { long: along, around: Some(around) });
            run(shaper, id, &spec, cloth.goods, name, line, along, pair);
        }
    }
    Ok(())
}

/// The length of a tape round a wall at a height and depth, pulled straight over hollow sides.
fn round(strip: &Strip, z: f64, depth: f64) -> f64 {
    let walk = Walk::new(strip);
    let hollow = walk.legs().iter().any(|l| matches!(l, Leg::Turn { from, to, .. } if to < from));
    if !hollow {
        return walk.around(z, depth);
    }
    let whole = walk.around(z, depth);
    let points: Vec<Vec2> = (0..7200)
        .map(|i| walk.rule(walk.at_length(whole * f64::from(i) / 7200.0, z, depth)).point(z, depth).truncate())
        .collect();
    let hull = rect::hull(&points);
    (0..hull.len()).map(|i| hull[i].distance(hull[(i + 1) % hull.len()])).sum()
}
