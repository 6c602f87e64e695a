//! `report.json`: every figure of a build, exact where the drawings are rounded for people. The form of the file is
//! said by `report.schema.json` beside this module; a change of it changes `FORMAT`.
//!
//! Lengths mm, areas mm², masses g, angles degrees; figures are rounded to six decimals, so that the last bits of a
//! processor cannot show. Maps keep the order of the parts list.

mod cut;
mod fitted;
mod plan;
mod sliding;

use std::collections::BTreeMap;
use std::path::Path;

use serde::Serialize;

use super::dxf::Manifest;
use super::number::report as figure;
use super::print::PageFile;
use super::print::report::{Printed, printed as printed_of};
use crate::design::Face;
use crate::diag::{Diagnostic, Diagnostics, Severity};
use crate::fitted::Passage;
use crate::geom::walk::Walk;
use crate::geom::{Vec2, Vec3};
use crate::ledger::Ledger;
use crate::page::Pages;
use crate::piece::{Piece, Pieces};
use crate::sheet::{Ended, Layout, Sheet, Use, to_buy};
use crate::solid::{Body, Goods, Grain, Part, Solid, Trace};
use crate::span::Sources;
use crate::verdict::Verdict;

/// The number of the report's form.
pub const FORMAT: u32 = 7;

#[derive(Debug, Serialize)]
struct Report<'a> {
    format: u32,
    tool: &'static str,
    version: &'static str,
    units: BTreeMap<&'static str, &'static str>,
    prop: Prop<'a>,
    settings: Vec<Setting<'a>>,
    stocks: Vec<Stock<'a>>,
    parts: Vec<PartOf<'a>>,
    pieces: Vec<cut::PieceOf<'a>>,
    joints: Vec<JointOf<'a>>,
    sheets: Vec<cut::SheetOf<'a>>,
    runs: Vec<fitted::RunOf<'a>>,
    lumps: Vec<fitted::LumpOf<'a>>,
    lacings: Vec<fitted::LacingOf<'a>>,
    marks: Vec<MarkOf<'a>>,
    articulations: Vec<sliding::SlidingOf<'a>>,
    cores: Vec<fitted::CoreOf<'a>>,
    keels: Vec<fitted::KeelOf<'a>>,
    passages: Vec<PassageOf<'a>>,
    #[serde(flatten)]
    plan: plan::Sections<'a>,
    print: Option<Printed<'a>>,
    audit: Audit<'a>,
    not_built: &'a [String],
    messages: Vec<Message<'a>>,
    files: &'a [String],
}

#[derive(Debug, Serialize)]
struct Prop<'a> {
    name: &'a str,
    title: &'a str,
    wearer: Option<&'a str>,
    cutter: Option<&'a str>,
    /// None of the prop itself.
    mock_up: Option<MockUpOf<'a>>,
}

#[derive(Debug, Serialize)]
struct MockUpOf<'a> {
    scale: &'a str,
    /// Its lengths for one of the prop's.
    ratio: f64,
    card: &'a str,
    without: &'a [String],
}

#[derive(Debug, Serialize)]
struct Setting<'a> {
    name: &'a str,
    value: &'a str,
}

#[derive(Debug, Serialize)]
struct Stock<'a> {
    name: &'a str,
    sort: &'static str,
    thick: f64,
    /// Width and length of a sheet; of a roll its width alone.
    size: Vec<f64>,
    grain: &'static str,
    offcuts: Vec<[f64; 2]>,
    /// Whole sheets in the cupboard, and how many are to be bought besides; none of a roll.
    have: f64,
    buy: Option<f64>,
    sheets: usize,
    pieces: usize,
    area: f64,
    /// None where no piece is cut from it.
    layout: Option<LayoutOf>,
}

#[derive(Debug, Serialize)]
struct LayoutOf {
    /// Whole sheets cut into.
    whole: usize,
    /// Share of all its sheets that is piece.
    used: f64,
    sheets: usize,
    top: f64,
    left: Option<[f64; 2]>,
    one_pass: ExtentOf,
    steps: u64,
    ended: &'static str,
}

#[derive(Debug, Serialize)]
struct ExtentOf {
    sheets: usize,
    top: f64,
}

#[derive(Debug, Serialize)]
struct PartOf<'a> {
    name: &'a str,
    pair: bool,
    place: PlaceOf,
    layers: Vec<LayerOf<'a>>,
    /// Girths of a wall at its ends and where its slope changes.
    girths: Vec<Girth>,
}

/// Where a part stands in the prop, x to the front, y to the left, z up: the middle of its foot, and the directions of
/// its front and of its axis. Of a pair the left one; the right one's y is the other way.
#[derive(Debug, Serialize)]
struct PlaceOf {
    at: [f64; 3],
    front: [f64; 3],
    axis: [f64; 3],
}

/// A girth that gets through.
#[derive(Debug, Serialize)]
struct PassageOf<'a> {
    name: &'a str,
    girth: f64,
    /// The girth inside where it is narrowest, and at which height of its part.
    narrowest: f64,
    level: f64,
    /// How far apart the sides of its open seam are drawn for it.
    apart: Option<f64>,
}

/// A line of a mark on one part.
#[derive(Debug, Serialize)]
struct MarkOf<'a> {
    name: &'a str,
    on: &'a str,
    /// Of a mirrored pair: the other one has it too.
    pair: bool,
    sort: &'static str,
    face: &'static str,
    deep: Option<f64>,
    /// On its face, holes not taken off.
    length: f64,
    fold: Option<cut::CreaseOf>,
    formed: Option<cut::StretchedOf>,
}

#[derive(Debug, Serialize)]
struct LayerOf<'a> {
    stock: &'a str,
    /// Depths from the measured face along the outward normal.
    inner: f64,
    neutral: f64,
    outer: f64,
}

#[derive(Debug, Serialize)]
struct Girth {
    level: f64,
    inside: f64,
    measured: f64,
    outside: f64,
}

#[derive(Debug, Serialize)]
struct JointOf<'a> {
    letter: &'a str,
    what: &'a str,
    between: Vec<&'a str>,
    /// Arc lengths of the notches from the joint's start.
    notches: Vec<f64>,
}

#[derive(Debug, Serialize)]
struct Audit<'a> {
    passed: bool,
    checked: BTreeMap<&'static str, usize>,
    worst: Vec<Figure<'a>>,
    breaches: Vec<Figure<'a>>,
}

#[derive(Debug, Serialize)]
struct Figure<'a> {
    check: &'static str,
    unit: &'static str,
    piece: Option<&'a str>,
    what: &'a str,
    off: f64,
    allowed: f64,
}

#[derive(Debug, Serialize)]
struct Message<'a> {
    code: &'static str,
    severity: &'static str,
    message: &'a str,
    file: Option<&'a str>,
    line: Option<usize>,
    column: Option<usize>,
    help: Option<&'a str>,
    note: Option<&'a str>,
}

/// What the report speaks of besides the forms.
#[derive(Clone, Copy, Debug)]
pub struct Told<'a> {
    pub solid: &'a Solid,
    pub pieces: &'a Pieces,
    pub layout: &'a Layout,
    /// None where the pages would be too many, or the prop names no paper.
    pub pages: Option<&'a Pages>,
    pub verdict: &'a Verdict,
    pub ledger: &'a Ledger,
    pub diagnostics: &'a Diagnostics,
    pub sources: &'a Sources,
}

/// One sheet's files and what is in its DXF.
#[derive(Clone, Debug)]
pub struct SheetFiles {
    pub files: Vec<String>,
    pub entities: Manifest,
}

/// The report's bytes. `files` is every file of the build in the order of writing; `sheets` runs along the layout.
#[must_use]
pub fn report(told: &Told<'_>, sheets: &[SheetFiles], printed: &[PageFile], files: &[String]) -> Vec<u8> {
    let Told { solid, pieces, layout, .. } = *told;
    let job = &solid.job;
    let report = Report {
        format: FORMAT,
        tool: env!("CARGO_PKG_NAME"),
        version: env!("CARGO_PKG_VERSION"),
        units: [("length", "mm"), ("area", "mm2"), ("mass", "g"), ("angle", "deg")].into_iter().collect(),
        prop: Prop {
            name: &job.name,
            title: &job.title,
            wearer: job.wearer.as_deref(),
            cutter: job.cutter.as_ref().map(|c| c.name.as_str()),
            mock_up: job.mock_up.as_ref().map(|m| MockUpOf {
                scale: &m.scale,
                ratio: figure(m.ratio),
                card: &m.card,
                without: &m.without,
            }),
        },
        settings: job.settings.iter().map(|(name, value)| Setting { name, value }).collect(),
        stocks: (0..solid.stocks.len()).map(|i| stock(told, i)).collect(),
        parts: solid.parts.iter().map(|p| part(solid, p)).collect(),
        pieces: pieces.pieces.iter().map(|p| cut::piece(told, sheets, p)).collect(),
        joints: solid.joints.iter().map(|j| joint(solid, j)).collect(),
        sheets: layout.sheets.iter().zip(sheets).map(|(s, f)| cut::sheet(told, s, f)).collect(),
        runs: solid.fitted.runs.iter().map(|r| fitted::run(solid, r)).collect(),
        lumps: solid.fitted.lumps.iter().map(|l| fitted::lump(solid, l)).collect(),
        lacings: solid.fitted.lacings.iter().map(|l| fitted::lacing(solid, l)).collect(),
        marks: solid.traces.iter().map(|t| mark(solid, t)).collect(),
        articulations: solid.fitted.slidings.iter().map(|s| sliding::sliding(solid, s)).collect(),
        cores: solid.fitted.cores.iter().map(|c| fitted::core(solid, c)).collect(),
        keels: solid.fitted.ridges.iter().map(|k| fitted::keel(solid, k)).collect(),
        passages: solid.passages.iter().map(passage).collect(),
        plan: plan::sections(told.ledger),
        print: told.pages.map(|pages| printed_of(pieces, pages, printed, files)),
        audit: audit(told),
        not_built: &job.unbuilt,
        messages: told.diagnostics.iter().map(|d| message(told.sources, d)).collect(),
        files,
    };
    let mut bytes = serde_json::to_vec_pretty(&report).expect("a report holds text and finite numbers only");
    bytes.push(b'\n');
    bytes
}

fn pair(v: Vec2) -> [f64; 2] {
    [figure(v.x), figure(v.y)]
}

fn mark<'a>(solid: &'a Solid, trace: &'a Trace) -> MarkOf<'a> {
    let part = &solid.parts[trace.part.index()];
    MarkOf {
        name: &trace.name,
        on: &part.name,
        pair: part.pair,
        sort: trace.stroke.word(),
        face: if trace.face == Face::Inside { "inside" } else { "outside" },
        deep: trace.deep.map(figure),
        length: figure(trace.long),
        fold: trace.crease(part).map(cut::crease),
        formed: trace.stretched(part).map(cut::stretched),
    }
}

fn stock<'a>(told: &Told<'a>, index: usize) -> Stock<'a> {
    let stock = &told.solid.stocks[index];
    let own: Vec<&Piece> = told.pieces.pieces.iter().filter(|p| p.stock == index).collect();
    let layout = told.layout.uses.iter().find(|u| u.stock == index);
    Stock {
        name: &stock.name,
        sort: stock.sort,
        thick: figure(stock.thick),
        size: match stock.size {
            Goods::Sheet(size) => pair(size).to_vec(),
            Goods::Roll(wide) => vec![figure(wide)],
        },
        grain: match stock.grain {
            Grain::None => "none",
            Grain::Along => "along",
            Grain::Either => "either",
        },
        offcuts: stock.offcuts.iter().map(|&o| pair(o)).collect(),
        have: figure(stock.have),
        buy: layout.filter(|_| matches!(stock.size, Goods::Sheet(_))).map(|u| figure(to_buy(stock, u))),
        sheets: told.layout.sheets.iter().filter(|s| s.stock == index).count(),
        pieces: own.len(),
        area: figure(own.iter().map(|p| p.area).sum()),
        layout: layout.map(|u| layout_of(told, u)),
    }
}

fn layout_of(told: &Told<'_>, of: &Use) -> LayoutOf {
    let sheets = || told.layout.sheets.iter().filter(|s| s.stock == of.stock);
    let area = |s: &Sheet| s.size.x * s.size.y;
    let whole: f64 = sheets().map(area).sum();
    LayoutOf {
        whole: of.whole,
        used: figure(sheets().map(|s| s.used * area(s)).sum::<f64>() / whole),
        sheets: of.kept.sheets,
        top: figure(of.kept.top),
        left: of.left.map(pair),
        one_pass: ExtentOf { sheets: of.plain.sheets, top: figure(of.plain.top) },
        steps: of.steps,
        ended: match of.ended {
            Ended::Best => "best",
            Ended::Tried => "tried",
            Ended::Steps => "steps",
            Ended::Plain => "one pass",
            Ended::Stopped => "stopped",
        },
    }
}

fn part<'a>(solid: &'a Solid, part: &'a Part) -> PartOf<'a> {
    let faces = part.layers.first().zip(part.layers.last()).map(|(a, b)| (a.inner, b.outer));
    let mut girths = Vec::new();
    if let (Body::Wall(wall), Some((inside, outside))) = (&part.body, faces) {
        for (i, strip) in wall.strips.iter().enumerate() {
            let walk = Walk::new(strip);
            let (z0, z1) = strip.heights();
            let levels = if i == 0 { vec![z0, z1] } else { vec![z1] };
            girths.extend(levels.into_iter().map(|z| Girth {
                level: figure(z),
                inside: figure(walk.around(z, inside)),
                measured: figure(walk.around(z, 0.0)),
                outside: figure(walk.around(z, outside)),
            }));
        }
    }
    let layers = part
        .layers
        .iter()
        .map(|l| LayerOf {
            stock: &solid.stocks[l.stock].name,
            inner: figure(l.inner),
            neutral: figure(l.neutral),
            outer: figure(l.outer),
        })
        .collect();
    let three = |v: Vec3| v.to_array().map(figure);
    let place = PlaceOf { at: three(part.place.origin), front: three(part.place.x), axis: three(part.place.z) };
    PartOf { name: &part.name, pair: part.pair, place, layers, girths }
}

fn passage(p: &Passage) -> PassageOf<'_> {
    PassageOf {
        name: &p.name,
        girth: figure(p.girth),
        narrowest: figure(p.narrowest),
        level: figure(p.level),
        apart: p.apart.map(figure),
    }
}

fn joint<'a>(solid: &'a Solid, joint: &'a crate::solid::Joint) -> JointOf<'a> {
    JointOf {
        letter: &joint.letter,
        what: &joint.what,
        between: [joint.a, joint.b].map(|e| solid.parts[e.part.index()].name.as_str()).to_vec(),
        notches: joint.notches.iter().map(|n| figure(*n)).collect(),
    }
}

fn audit<'a>(told: &Told<'a>) -> Audit<'a> {
    let verdict = told.verdict;
    let name = |id: Option<crate::ids::PieceId>| id.map(|i| told.pieces.pieces[i.index()].name.as_str());
    let c = verdict.checked;
    Audit {
        passed: verdict.passed(),
        checked: [
            ("pieces", c.pieces),
            ("edges", c.edges),
            ("holes", c.holes),
            ("notches", c.notches),
            ("marks", c.marks),
            ("claims", c.claims),
            ("placed", c.placed),
            ("pages", c.pages),
        ]
        .into_iter()
        .collect(),
        worst: verdict
            .worst
            .iter()
            .map(|(check, w)| Figure {
                check: check.name(),
                unit: check.unit(),
                piece: name(w.piece),
                what: &w.what,
                off: figure(w.off),
                allowed: figure(w.allowed),
            })
            .collect(),
        breaches: verdict
            .breaches
            .iter()
            .map(|b| Figure {
                check: b.check.name(),
                unit: b.check.unit(),
                piece: name(b.piece),
                what: &b.what,
                off: figure(b.off),
                allowed: figure(b.allowed),
            })
            .collect(),
    }
}

/// A file's name as seen from the prop's own folder (the prop's file is the first of a run): where a prop was built
/// does not show in its report.
fn from_prop<'a>(sources: &Sources, name: &'a str) -> &'a str {
    let folder = sources.iter().next().and_then(|(_, own)| Path::new(&own.name).parent());
    folder.and_then(|f| Path::new(name).strip_prefix(f).ok()).and_then(Path::to_str).unwrap_or(name)
}

fn message<'a>(sources: &'a Sources, d: &'a Diagnostic) -> Message<'a> {
    let place = d.span().filter(|s| s.file.index() < sources.iter().count());
    let at = place.map(|s| sources.line_column(s.file, s.start));
    Message {
        code: d.code.name(),
        severity: match d.severity {
            Severity::Error => "error",
            Severity::Warning => "warning",
            Severity::Note => "note",
        },
        message: &d.message,
        file: place.map(|s| from_prop(sources, &sources.get(s.file).name)),
        line: at.map(|a| a.0),
        column: at.map(|a| a.1),
        help: d.help.as_deref(),
        note: d.note.as_deref(),
    }
}
