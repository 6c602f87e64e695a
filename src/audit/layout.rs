//! The sheets: every piece lies on one sheet of its stock, once, turned but not mirrored, clear of the border and of
//! its neighbours, with its grain as the stock asks. Plain distances between samples and segments; nothing of the
//! arranger's grid.

use std::collections::{BTreeMap, BTreeSet};

use crate::geom::path::Path;
use crate::geom::{Vec2, tol};
use crate::num;
use crate::piece::{Piece, Pieces, SHEET_BORDER};
use crate::sheet::{Layout, Sheet, Source};
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
    let goods = match (sheet.from, stock.size) {
        (Source::Offcut(i), _) => stock.offcuts.get(i).is_some_and(|o| sheet.size.cmple(*o).all()),
        (Source::Whole(n), Goods::Sheet(s)) => n > 0 && sheet.size.cmple(s).all(),
        (Source::Roll, Goods::Roll(wide)) => sheet.size.x <= wide,
        (Source::Whole(_), Goods::Roll(_)) | (Source::Roll, Goods::Sheet(_)) => false,
    };
    let Some(cutter) = solid.job.cutter.as_ref().filter(|c| c.sort != "hand") else { return goods };
    let thin = cutter.deepest.is_none_or(|d| stock.thick <= d + 1e-9);
    let (bed, size) = (cutter.size, sheet.size);
    let lies = size.max_element() <= bed.max_element() && size.min_element() <= bed.min_element();
    goods && thin == sheet.by_hand.is_none() && (!thin || lies)
}

/// Whether the loads of every whole sheet are cut from it, and every offcut is laid on once. Loads of one size lie in
/// rows and columns.
fn taken(solid: &Solid, layout: &Layout, report: &mut Report) {
    let mut loads: BTreeMap<(usize, bool, usize), Vec<Vec2>> = BTreeMap::new();
    for sheet in &layout.sheets {
        match sheet.from {
            Source::Offcut(i) => loads.entry((sheet.stock, true, i)).or_default().push(sheet.size),
            Source::Whole(n) => loads.entry((sheet.stock, false, n)).or_default().push(sheet.size),
            Source::Roll => {}
        }
    }
    for ((stock, offcut, number), sizes) in loads {
        let most = match solid.stocks.get(stock).map(|s| s.size) {
            _ if offcut => 1.0,
            Some(Goods::Sheet(whole)) => {
                let one = sizes.iter().fold(Vec2::ZERO, |a, &b| a.max(b));
                (whole / one + Vec2::splat(1e-9)).floor().element_product()
            }
            _ => f64::INFINITY,
        };
        let what = format!("{} {}", if offcut { "offcut" } else { "whole sheet" }, number + usize::from(offcut));
        #[expect(clippy::cast_precision_loss, reason = "few loads")]
        let all = sizes.len() as f64;
        report.holds(Check::Placing, &what, "is cut into no more loads than it holds", all <= most);
    }
}

/// What the layout says of a stock as a whole is what its sheets show.
fn told(layout: &Layout, report: &mut Report) {
    for of in &layout.uses {
        let own = || layout.sheets.iter().filter(|s| s.stock == of.stock);
        let whole = own().filter_map(|s| if let Source::Whole(n) = s.from { Some(n) } else { None }).max();
        let what = format!("stock {}", of.stock + 1);
        report.holds(Check::Placing, &what, "counts its whole sheets", whole.unwrap_or(0) == of.whole);
        report.holds(Check::Placing, &what, "counts its sheets", own().count() == of.kept.sheets);
    }
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
    report.piece = None;
    taken(solid, layout, report);
    told(layout, report);
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
