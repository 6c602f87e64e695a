//! The sheets: every piece lies on one sheet of its stock, once, turned but not mirrored, clear of the border and of
//! its neighbours, with its grain as the stock asks. Plain distances between samples and segments; nothing of the
//! arranger's grid.

use std::collections::{BTreeMap, BTreeSet};

use crate::geom::path::Path;
use crate::geom::{Vec2, tol};
use crate::num;
use crate::piece::{Piece, Pieces, SHEET_BORDER};
use crate::sheet::{Layout, Sheet};
use crate::solid::{Goods, Grain, Solid};
use crate::verdict::Check;

use super::measure;
use super::report::Report;

/// Slack for sampling and rounding, mm.
const SLACK: f64 = 0.01;
/// Grain may stand off by this much, degrees.
const GRAIN: f64 = 0.01;

/// Pieces lie no nearer to each other than this, mm: room for a knife's slip and a kerf (common practice, no source).
const APART: f64 = 5.0;

/// Whether a sheet is one of its goods, and of what the cutter takes at once; goods too thick for it are cut by hand.
fn bounded(solid: &Solid, sheet: &Sheet) -> bool {
    let Some(stock) = solid.stocks.get(sheet.stock) else { return false };
    let goods = match stock.size {
        Goods::Sheet(s) => sheet.size.x <= s.x && sheet.size.y <= s.y,
        Goods::Roll(wide) => sheet.size.x <= wide,
    };
    let Some(cutter) = solid.job.cutter.as_ref().filter(|c| c.sort != "hand") else { return goods };
    let thin = cutter.deepest.is_none_or(|d| stock.thick <= d + 1e-9);
    let (bed, size) = (cutter.size, sheet.size);
    let lies = size.max_element() <= bed.max_element() && size.min_element() <= bed.min_element();
    goods && thin == sheet.by_hand.is_none() && (!thin || lies)
}

/// A piece where it lies.
pub(super) struct Lying<'a> {
    piece: &'a Piece,
    pub contour: Path,
    pub holes: Vec<Path>,
    pub samples: Vec<Vec2>,
    pub lo: Vec2,
    pub hi: Vec2,
}

/// Checks a layout.
pub fn check(solid: &Solid, pieces: &Pieces, layout: &Layout, report: &mut Report) {
    let mut times: BTreeMap<usize, usize> = BTreeMap::new();
    let mut numbers: BTreeSet<(usize, usize)> = BTreeSet::new();
    for sheet in &layout.sheets {
        report.piece = None;
        let what = format!("sheet {}", sheet.number);
        report.holds(Check::Placing, &what, "has a number of its own", numbers.insert((sheet.stock, sheet.number)));
        report.holds(Check::Placing, &what, "is no larger than its goods and the cutter's bed", bounded(solid, sheet));
        report.holds(Check::Margin, &what, "keeps its border", sheet.margin >= SHEET_BORDER);
        report.holds(Check::Overlap, &what, "keeps its pieces apart", sheet.gap >= APART);
        let mut lying: Vec<Lying<'_>> = Vec::with_capacity(sheet.placed.len());
        for placed in &sheet.placed {
            report.verdict.checked.placed += 1;
            report.piece = Some(placed.piece);
            let Some(piece) = pieces.pieces.iter().find(|p| p.id == placed.piece) else {
                report.holds(Check::Placing, "a placed piece", "exists", false);
                continue;
            };
            *times.entry(placed.piece.index()).or_default() += 1;
            report.holds(Check::Placing, &piece.name, "lies on a sheet of its stock", sheet.stock == piece.stock);
            report.holds(Check::Placing, &piece.name, "is not mirrored", !placed.motion.mirror);
            grain(solid, sheet, piece, placed.motion.apply_direction(piece.grain.unwrap_or_default()), report);
            let lies = Lying::new(piece, placed.motion);
            border(sheet, &lies, report);
            lying.push(lies);
        }
        for (i, a) in lying.iter().enumerate() {
            for b in &lying[i + 1..] {
                report.piece = Some(a.piece.id);
                apart(sheet.gap, &format!("sheet {}", sheet.number), a, b, report);
            }
        }
    }
    for piece in &pieces.pieces {
        report.piece = Some(piece.id);
        let n = times.get(&piece.id.index()).copied().unwrap_or(0);
        report.holds(Check::Placing, &piece.name, &format!("lies on {n} sheets for 1"), n == 1);
    }
}

impl<'a> Lying<'a> {
    pub(super) fn new(piece: &'a Piece, motion: crate::geom::path::Motion) -> Self {
        let segs = piece.contour.iter().flat_map(|r| &r.path.segs).map(|s| s.moved(&motion)).collect();
        let contour = Path { segs };
        let samples = measure::samples(&contour, 1.0, 1e-3);
        let lo = samples.iter().fold(Vec2::INFINITY, |a, &p| a.min(p));
        let hi = samples.iter().fold(Vec2::NEG_INFINITY, |a, &p| a.max(p));
        let holes = piece.holes.iter().map(|h| h.outline.moved(&motion)).collect();
        Self { piece, contour, holes, samples, lo, hi }
    }
}

fn grain(solid: &Solid, sheet: &Sheet, piece: &Piece, lies: Vec2, report: &mut Report) {
    let asked = solid.stocks.get(sheet.stock).map_or(Grain::None, |s| s.grain);
    if asked == Grain::None {
        return;
    }
    // The grain of goods runs along the sheet's y.
    let along = num::atan2(lies.x.abs(), lies.y.abs());
    let off = match asked {
        Grain::Along | Grain::None => along,
        Grain::Either => along.min(num::FRAC_PI_2 - along),
    };
    let off = if piece.grain.is_some() { off } else { f64::NAN };
    report.figure(Check::Grain, &piece.name, "against the sheet's".to_string(), off.to_degrees(), GRAIN);
}

fn border(sheet: &Sheet, lies: &Lying<'_>, report: &mut Report) {
    let free = (lies.lo.x - sheet.margin)
        .min(lies.lo.y - sheet.margin)
        .min(sheet.size.x - sheet.margin - lies.hi.x)
        .min(sheet.size.y - sheet.margin - lies.hi.y);
    let place = format!("sheet {}", sheet.number);
    report.figure(Check::Margin, &lies.piece.name, place, (-free).max(0.0), SLACK);
}

/// Two pieces of one sheet or page lie apart.
pub(super) fn apart(gap: f64, place: &str, a: &Lying<'_>, b: &Lying<'_>, report: &mut Report) {
    let reach = Vec2::splat(gap + SLACK);
    if (a.lo - reach).cmpgt(b.hi).any() || (b.lo - reach).cmpgt(a.hi).any() {
        return;
    }
    let mut near = f64::INFINITY;
    let mut inside = 0.0f64;
    for (p, q) in [(a, b), (b, a)] {
        let (lo, hi) = (q.lo - reach, q.hi + reach);
        for &s in &p.samples {
            if s.cmplt(lo).any() || s.cmpgt(hi).any() {
                continue;
            }
            let mut d = measure::to_path(s, &q.contour);
            d = q.holes.iter().map(|h| measure::to_path(s, h)).fold(d, f64::min);
            near = near.min(d);
            if measure::encloses(&q.contour, s) && !q.holes.iter().any(|h| measure::encloses(h, s)) {
                inside = inside.max(d);
            }
        }
    }
    let what = format!("{} and {}", a.piece.name, b.piece.name);
    report.figure(Check::Overlap, &what, place.to_owned(), inside, SLACK);
    report.figure(Check::Overlap, &what, place.to_owned(), (gap - near).max(0.0), SLACK + tol::ROUNDING);
}
