//! Stocks, cutters, papers and the job: what the prop is made of, with and for.

use super::errors;
use crate::design::{Design, Face, Kind, Thing, Value};
use crate::eval::{Fields, Stop, say};
use crate::fitted::{Price, Supply};
use crate::geom::Vec2;
use crate::ids::ThingId;
use crate::page::Frame;
use crate::solid::{Cutter, Goods, Grain, Leave, Paper, Show, Stock};
use crate::units::Dim;

/// A stock as read, with what the solid's form does not keep.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Sheet {
    pub stock: Stock,
    pub neutral: Neutral,
    /// The index in `Solid::stocks`, once a part is made of it.
    pub index: Option<usize>,
}

/// How deep the surface lies that keeps its length, as a share from the inner face.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Neutral {
    Share(f64),
    /// By the inside radius of the bend, mm: sorted by radius.
    Bent(Vec<(f64, f64)>),
}

impl Neutral {
    /// The share at an inside bend radius: in proportion between two that were given, the nearest one's beyond them.
    pub(super) fn at(&self, radius: f64) -> f64 {
        let list = match self {
            Self::Share(s) => return *s,
            Self::Bent(list) => list,
        };
        let Some(&first) = list.first() else { return 0.5 };
        let mut before = first;
        for &(r, share) in list {
            if radius <= r {
                let span = r - before.0;
                return if span > 0.0 { before.1 + (share - before.1) * (radius - before.0) / span } else { share };
            }
            before = (r, share);
        }
        before.1
    }
}

/// Reads a stock.
pub(super) fn stock(fields: &mut Fields<'_>) -> Result<Sheet, Stop> {
    let thing = fields.thing();
    let sort = fields.word("as")?;
    let thick = fields.length("thick")?;
    let size = match fields.maybe("size")?.and_then(|v| v.size()) {
        Some(s) => {
            let (w, h) = pair(&s).ok_or(Stop::Skip)?;
            Goods::Sheet(Vec2::new(w, h))
        }
        None => match fields.maybe_number("wide")? {
            Some(w) => Goods::Roll(w),
            None => return Err(errors::no_sheet_size(&thing.name.to_string(), thing.head).into()),
        },
    };
    let area_mass = fields.maybe_quantity("density")?.map(|q| match q.dim() {
        Dim::DENSITY => q.value() * thick,
        _ => q.value(),
    });
    let neutral = match fields.maybe("neutral")? {
        Some(Value::List(items)) => {
            let mut list: Vec<(f64, f64)> = items
                .iter()
                .filter_map(|v| match v {
                    Value::Made(m) => Some((m.number("radius")?, m.number("depth")?)),
                    _ => None,
                })
                .collect();
            list.sort_by(|a, b| a.0.total_cmp(&b.0));
            Neutral::Bent(list)
        }
        Some(v) => Neutral::Share(v.number().ok_or(Stop::Skip)?),
        None => Neutral::Share(0.5),
    };
    let grain = match fields.maybe_word("grain")? {
        Some("along") => Grain::Along,
        Some("either") => Grain::Either,
        _ => Grain::None,
    };
    let price = price(fields)?;
    let reversible = !matches!(fields.maybe("reversible")?, Some(Value::Bool(false)));
    // Three times the thickness cold and one and a half warmed: common practice, no source.
    let tightest = fields.maybe_number("tightest")?.unwrap_or(3.0 * thick);
    let tightest_warm = fields.maybe_number("tightest_warm")?.unwrap_or(1.5 * thick);
    let stretch = fields.maybe_number("stretch")?.unwrap_or(0.0);
    // Half of it to be squeezed: common practice, no source.
    let squeeze = fields.maybe_number("squeeze")?.unwrap_or(0.5 * stretch);
    let have = fields.maybe_number("have")?.unwrap_or(0.0);
    let offcuts = fields.maybe("offcuts")?;
    let sizes = offcuts.iter().flat_map(Value::items).filter_map(Value::size);
    let offcuts = sizes.filter_map(|s| pair(&s)).map(|(w, h)| Vec2::new(w, h)).collect();
    let stock = Stock {
        thing: thing.id,
        name: thing.name.to_string(),
        sort,
        thick,
        size,
        area_mass,
        grain,
        reversible,
        tightest,
        tightest_warm,
        leave: Leave { stretch, squeeze },
        have,
        offcuts,
        price,
        cautions: warned(fields)?,
    };
    Ok(Sheet { stock, neutral, index: None })
}

/// What goods cost.
fn price(fields: &mut Fields<'_>) -> Result<Option<Price>, Stop> {
    Ok(fields.maybe("price")?.and_then(|v| match v {
        Value::Price(money, per) => Some(Price { money, per: Some(per) }),
        other => other.number().map(|money| Price { money, per: None }),
    }))
}

/// What goods warn of.
fn warned(fields: &mut Fields<'_>) -> Result<Vec<&'static str>, Stop> {
    Ok(fields.maybe("cautions")?.map_or(Vec::new(), |v| v.items().iter().filter_map(Value::word).collect()))
}

/// Reads a supply.
pub(super) fn supply(fields: &mut Fields<'_>) -> Result<Supply, Stop> {
    let thing = fields.thing();
    let mut number = |name: &str| fields.maybe_number(name);
    let (across, wide, thick, long) = (number("across")?, number("wide")?, number("thick")?, number("long")?);
    let (mass, dry, open_time, cure) = (number("mass")?, number("dry")?, number("open_time")?, number("cure")?);
    let (covers, strength) = (number("covers")?, number("strength")?);
    let price = price(fields)?;
    Ok(Supply {
        thing: thing.id,
        name: thing.name.to_string(),
        sort: fields.word("as")?,
        across,
        wide,
        thick,
        long,
        mass,
        density: fields.maybe_quantity("density")?,
        price,
        have: fields.maybe_quantity("have")?,
        sold: fields.maybe_quantity("sold")?,
        dry,
        open_time,
        cure,
        covers,
        strength,
        cautions: warned(fields)?,
    })
}

fn pair(s: &[f64]) -> Option<(f64, f64)> {
    match s {
        [w, h] => Some((*w, *h)),
        [w] => Some((*w, *w)),
        _ => None,
    }
}

/// Reads a cutter.
pub(super) fn cutter(fields: &mut Fields<'_>) -> Result<Cutter, Stop> {
    let (w, h) = pair(&fields.size("size")?).ok_or(Stop::Skip)?;
    Ok(Cutter {
        name: fields.thing().name.to_string(),
        sort: fields.word("as")?,
        size: Vec2::new(w, h),
        deepest: fields.maybe_number("deepest")?,
        kerf: fields.maybe_number("kerf")?.unwrap_or(0.0),
        offset: fields.maybe_number("offset")?.unwrap_or(0.0),
        overcut: fields.maybe_number("overcut")?.unwrap_or(1.0),
        compass: fields.maybe_number("compass")?.unwrap_or(500.0),
        writes_dxf: fields.maybe_word("writes")?.unwrap_or("dxf") == "dxf",
    })
}

/// Reads a paper.
pub(super) fn paper(fields: &mut Fields<'_>) -> Result<Paper, Stop> {
    let (w, h) = pair(&fields.size("size")?).ok_or(Stop::Skip)?;
    let margin = fields.maybe_number("margin")?.unwrap_or(6.5);
    let overlap = fields.maybe_number("overlap")?.unwrap_or(12.0);
    let paper = Paper { name: fields.thing().name.to_string(), size: Vec2::new(w, h), margin, overlap };
    if Frame::ways(&paper).is_empty() {
        return Err(errors::paper_too_small(&fields.thing().name.to_string(), w.min(h), fields.span("size")).into());
    }
    Ok(paper)
}

/// The units a prop's `show` asks for.
pub(super) fn show(word: Option<&str>) -> Show {
    if word == Some("inches") { Show::Inches } else { Show::Millimetres }
}

/// How far a thing's material stands off the face it lies on: its stocks' or supply's thickness, or what is as wide
/// as it is thick.
pub(super) fn stands(design: &Design, fields: &mut Fields<'_>, field: &str) -> Result<f64, Stop> {
    let mut sum = 0.0;
    for anchor in fields.things(field)? {
        for name in ["thick", "across"] {
            if let Some(e) = design.field(anchor.thing, name) {
                sum += fields.reckon(e)?.number().unwrap_or(0.0);
                break;
            }
        }
    }
    Ok(sum)
}

/// The depth of the inner face of a wall of this thickness.
pub(super) fn inner_depth(whole: f64, measured: Face) -> f64 {
    match measured {
        Face::Inside => 0.0,
        Face::Middle => -0.5 * whole,
        Face::Outside => -whole,
    }
}

/// Settings and their values in force, in the order of the design.
pub(super) fn settings(design: &Design, values: &[Option<Value>]) -> Vec<(String, String)> {
    design
        .lets
        .iter()
        .zip(values)
        .filter(|(l, _)| l.setting.is_some())
        .filter_map(|(l, v)| Some((l.name.value.clone(), said(v.as_ref()?))))
        .collect()
}

fn said(value: &Value) -> String {
    match value {
        Value::Quantity(q) => say::quantity(*q),
        Value::Price(p, per) => format!("{} per {}", say::number(*p), say::quantity(*per)),
        Value::Text(t) => format!("\"{t}\""),
        Value::Bool(b) => if *b { "yes" } else { "no" }.to_owned(),
        Value::Word(w) => (*w).to_owned(),
        Value::By(q) => q.iter().map(|q| say::quantity(*q)).collect::<Vec<_>>().join(" by "),
        Value::List(items) => format!("[{}]", items.iter().map(said).collect::<Vec<_>>().join(", ")),
        Value::Made(_) | Value::Things(_) => say::kind_of(value),
    }
}

/// The stock, cutter or paper that a field of a thing names.
pub(super) fn named(design: &Design, id: ThingId, field: &str, kind: Kind) -> Option<ThingId> {
    let e = design.field(id, field)?;
    match &e.node {
        crate::design::Node::Things(anchors) => {
            anchors.first().map(|a| a.thing).filter(|t| design.thing(*t).kind == kind)
        }
        _ => None,
    }
}

/// Whether a thing is one that stands proud of the faces it lies on: a cap does where it is turned down over them.
pub(super) fn is_raised(thing: &Thing) -> bool {
    matches!(thing.kind, Kind::Border | Kind::Cover) || thing.kind == Kind::Cap && thing.fields.contains_key("turn")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_neutral_list_is_read_in_proportion() {
        let n = Neutral::Bent(vec![(20.0, 0.6), (60.0, 0.5)]);
        assert_eq!(n.at(10.0), 0.6);
        assert!((n.at(40.0) - 0.55).abs() < 1e-12);
        assert_eq!(n.at(900.0), 0.5);
    }

    #[test]
    fn the_inner_face_follows_the_measured_one() {
        let at = |face| inner_depth(8.0, face);
        assert_eq!([at(Face::Inside), at(Face::Middle), at(Face::Outside)], [0.0, -4.0, -8.0]);
    }
}
