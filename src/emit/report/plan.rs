//! What it comes to: masses and their centre, finishes, contents, how it is to hang, limits, cautions.

use serde::Serialize;

use super::super::number::report as figure;
use crate::geom::Vec3;
use crate::ledger::{
    Bought, Caution, Coating, Contents, DEFER, Entry, Hang, Held, Ledger, Limit, Measure, Shopping, Weight, Without,
};

/// The sections of the plan, in the report's own list.
#[derive(Debug, Serialize)]
pub(super) struct Sections<'a> {
    masses: Masses<'a>,
    centre: Centre,
    finishes: Vec<FinishOf<'a>>,
    contents: Vec<ContentsOf<'a>>,
    hang: Vec<HangOf<'a>>,
    limits: Vec<LimitOf<'a>>,
    shopping: Option<ShoppingOf<'a>>,
    work: WorkOf<'a>,
    cautions: Cautions<'a>,
}

/// What is to be bought. Money is in the prop's own currency.
#[derive(Debug, Serialize)]
struct ShoppingOf<'a> {
    currency: Option<&'a str>,
    lines: Vec<BoughtOf<'a>>,
    total: f64,
    budget: Option<f64>,
    /// What has no price, by name, and so is not in the total.
    not_priced: Vec<&'a str>,
}

#[derive(Debug, Serialize)]
struct BoughtOf<'a> {
    goods: &'a str,
    /// What the next three count: `sheets`, `mm`, `pieces`, `ml`.
    unit: &'static str,
    need: f64,
    have: f64,
    buy: f64,
    packs: Option<PacksOf>,
    cost: Option<f64>,
    /// Why it has no cost.
    why: Option<&'static str>,
}

#[derive(Debug, Serialize)]
struct PacksOf {
    count: f64,
    each: f64,
}

#[derive(Debug, Serialize)]
struct WorkOf<'a> {
    deadline: Option<&'a str>,
    /// s
    bench: Option<f64>,
    /// How long the work takes is not reckoned yet.
    answer: Option<()>,
}

#[derive(Debug, Serialize)]
struct Masses<'a> {
    /// Without what it carries, and with it.
    empty: f64,
    full: f64,
    /// By name, what neither sum holds.
    not_weighed: &'a [String],
    entries: Vec<EntryOf<'a>>,
}

#[derive(Debug, Serialize)]
struct EntryOf<'a> {
    name: &'a str,
    /// `sheet`, `run`, `lump`, `coat`, `contents`.
    what: &'static str,
    count: usize,
    /// Of all of them.
    mass: Option<f64>,
    centre: Option<[f64; 3]>,
}

/// Where the masses lie, in the prop's frame; nothing where nothing is weighed.
#[derive(Debug, Serialize)]
struct Centre {
    empty: Option<[f64; 3]>,
    full: Option<[f64; 3]>,
}

#[derive(Debug, Serialize)]
struct FinishOf<'a> {
    name: &'a str,
    of: &'a str,
    coats: usize,
    /// Of one coat.
    area: f64,
    faces: Vec<FaceOf<'a>>,
    /// Of all coats, ml.
    volume: Option<f64>,
    mass: Option<f64>,
    /// Wait after each coat, s.
    dry: Option<f64>,
}

#[derive(Debug, Serialize)]
struct FaceOf<'a> {
    part: &'a str,
    side: &'static str,
    area: f64,
}

#[derive(Debug, Serialize)]
struct ContentsOf<'a> {
    name: &'a str,
    within: &'a str,
    count: usize,
    /// Of one.
    mass: Option<f64>,
    /// Across, deep, up: left to right, front to back.
    size: Option<[f64; 3]>,
    /// Of its middle along the part.
    level: f64,
    centre: [f64; 3],
}

#[derive(Debug, Serialize)]
struct HangOf<'a> {
    name: &'a str,
    on: &'a [String],
    over: &'static str,
    slide: f64,
    /// Degrees.
    steepest: Option<f64>,
    /// How it hangs is not reckoned yet.
    answer: Option<()>,
}

#[derive(Debug, Serialize)]
struct LimitOf<'a> {
    name: &'a str,
    /// Empty for the whole prop.
    on: &'a [String],
    held: Vec<HeldOf<'a>>,
    without: Vec<WithoutOf<'a>>,
}

#[derive(Debug, Serialize)]
struct HeldOf<'a> {
    what: &'static str,
    allowed: Vec<f64>,
    spare: f64,
    found: Vec<f64>,
    kept: bool,
    not_weighed: &'a [String],
}

#[derive(Debug, Serialize)]
struct WithoutOf<'a> {
    caution: &'static str,
    had_by: &'a [String],
}

#[derive(Debug, Serialize)]
struct Cautions<'a> {
    /// What comes before all of them.
    first: &'static str,
    list: Vec<CautionOf<'a>>,
}

#[derive(Debug, Serialize)]
struct CautionOf<'a> {
    signal: &'static str,
    key: &'static str,
    title: &'static str,
    text: &'static str,
    because: &'a [String],
}

fn point(p: Vec3) -> [f64; 3] {
    [p.x, p.y, p.z].map(figure)
}

pub(super) fn sections(ledger: &Ledger) -> Sections<'_> {
    Sections {
        masses: masses(ledger),
        centre: Centre { empty: centre(&ledger.empty), full: centre(&ledger.full) },
        finishes: ledger.coatings.iter().map(finish).collect(),
        contents: ledger.contents.iter().map(contents).collect(),
        hang: ledger.hangs.iter().map(hang).collect(),
        limits: ledger.limits.iter().map(limit).collect(),
        shopping: ledger.shopping.as_ref().map(shopping),
        work: WorkOf { deadline: ledger.work.deadline.as_deref(), bench: ledger.work.bench.map(figure), answer: None },
        cautions: Cautions { first: DEFER, list: ledger.cautions.iter().map(caution).collect() },
    }
}

fn centre(weight: &Weight) -> Option<[f64; 3]> {
    weight.centre.map(point)
}

fn masses(ledger: &Ledger) -> Masses<'_> {
    let entry = |e: &'_ Entry| e.mass.map(|_| point(e.centre));
    Masses {
        empty: figure(ledger.empty.mass),
        full: figure(ledger.full.mass),
        not_weighed: &ledger.full.missing,
        entries: ledger
            .entries
            .iter()
            .map(|e| EntryOf {
                name: &e.name,
                what: e.what.word(),
                count: e.count,
                mass: e.mass.map(figure),
                centre: entry(e),
            })
            .collect(),
    }
}

fn finish(c: &Coating) -> FinishOf<'_> {
    FinishOf {
        name: &c.name,
        of: &c.of,
        coats: c.coats,
        area: figure(c.area),
        faces: c.faces.iter().map(|f| FaceOf { part: &f.part, side: f.side, area: figure(f.area) }).collect(),
        // A millilitre is 1000 mm³.
        volume: c.volume.map(|v| figure(v / 1000.0)),
        mass: c.mass.map(figure),
        dry: c.dry.map(figure),
    }
}

fn contents(c: &Contents) -> ContentsOf<'_> {
    ContentsOf {
        name: &c.name,
        within: &c.within,
        count: c.count,
        mass: c.mass.map(figure),
        size: c.size.map(|s| [s.y, s.x, s.z].map(figure)),
        level: figure(c.level),
        centre: point(c.centre),
    }
}

fn hang(h: &Hang) -> HangOf<'_> {
    HangOf {
        name: &h.name,
        on: &h.on,
        over: h.over,
        slide: figure(h.slide),
        steepest: h.steepest.map(|a| figure(a.to_degrees())),
        answer: None,
    }
}

#[expect(clippy::cast_precision_loss, reason = "more cents than anyone has are rounded")]
fn money(cents: i64) -> f64 {
    figure(cents as f64 / 100.0)
}

fn shopping(s: &Shopping) -> ShoppingOf<'_> {
    ShoppingOf {
        currency: s.currency.as_deref(),
        lines: s.lines.iter().map(bought).collect(),
        total: money(s.total),
        budget: s.budget.map(money),
        not_priced: s.open().map(|(name, _)| name).collect(),
    }
}

fn bought(b: &Bought) -> BoughtOf<'_> {
    // A millilitre is 1000 mm³.
    let (unit, of) = match b.measure {
        Measure::Sheets => ("sheets", 1.0),
        Measure::Length => ("mm", 1.0),
        Measure::Pieces => ("pieces", 1.0),
        Measure::Volume => ("ml", 1000.0),
    };
    let amount = |x: f64| figure(x / of);
    BoughtOf {
        goods: &b.name,
        unit,
        need: amount(b.need),
        have: amount(b.have),
        buy: amount(b.buy),
        packs: b.packs.map(|p| PacksOf { count: figure(p.count), each: amount(p.each) }),
        cost: b.cents.ok().map(money),
        why: b.cents.err(),
    }
}

fn limit(l: &Limit) -> LimitOf<'_> {
    let held =
        |h: &'_ Held| (h.allowed.iter().map(|x| figure(*x)).collect(), h.found.iter().map(|x| figure(*x)).collect());
    LimitOf {
        name: &l.name,
        on: &l.on,
        held: l
            .held
            .iter()
            .map(|h| {
                let (allowed, found) = held(h);
                HeldOf { what: h.what, allowed, spare: figure(h.spare), found, kept: h.kept, not_weighed: &h.missing }
            })
            .collect(),
        without: l.without.iter().map(|w: &Without| WithoutOf { caution: w.word, had_by: &w.had_by }).collect(),
    }
}

fn caution(c: &Caution) -> CautionOf<'_> {
    CautionOf { signal: c.signal.word(), key: c.key, title: c.title, text: c.text, because: &c.because }
}
