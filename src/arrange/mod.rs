//! Pieces to sheets: a plain layout in one pass, then a search for one on fewer sheets, or that leaves more of the last
//! one. Frame: a sheet's corner is the origin, x across, y up (along the grain), mm.
//!
//! Rules, all fixed so that a layout can be told beforehand:
//! - goods without grain: a piece may lie in any turn; with grain `along` the piece's grain lies along the sheet's,
//!   either way up; `either`: along or across. Pieces are never mirrored.
//! - offcuts come first, in the order they are written; then whole sheets, from the cupboard before any is bought.
//! - a sheet of a stock that the cutter cuts is one load: the lesser of sheet and cutter, long side to long side, and
//!   as many loads are cut from a sheet as fit it in rows; a stock too thick for the cutter is laid out on its own size
//!   for cutting by hand, and the sheet says so.
//! - a roll is as wide as it is; its length is what the pieces need.
//! - a layout is better that takes fewer offcuts and sheets, and then one whose highest piece on the last sheet is
//!   lower: so what is left of it is one piece, as large as can be.
//!
//! The search counts its steps and looks at no clock: the same pieces lie the same way every time, unless whoever waits
//! asks for what there is. It tries no more than [`Effort`] says, ends at once where nothing can be gained, and what it
//! finds is used only when [`exact`] finds it good.
//!
//! Does not nest pieces in holes of others.

mod alone;
mod beds;
mod circles;
mod engine;
mod errors;
mod exact;
mod heap;
mod orientation;
mod plain;
mod search;
mod turned;

use crate::diag::Diagnostics;
use crate::geom::Vec2;
use crate::geom::path::{Motion, Path};
use crate::piece::{Piece, Pieces};
use crate::sheet::{Ended, Extent, Layout, Placed, Sheet, Source, Use};
use crate::solid::{Grain, Solid, Stock};
use beds::Beds;
use search::{Laid, Patience, Place, Watch};

/// Least distance between two pieces, mm: room for a knife's slip and a kerf (common practice, no source).
const GAP: f64 = 5.0;
/// Free border of a sheet, mm: edges of sheet goods are seldom straight (common practice, no source).
const MARGIN: f64 = 5.0;
/// More pieces or sheets of one stock than this are laid in one pass only: their pairs, and the beds made anew for every
/// attempt, would take long.
const MOST: usize = 400;
const MOST_BEDS: usize = 100;

/// How much work a layout is worth.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Effort {
    /// The plain layout only.
    Quick,
    #[default]
    Normal,
    Long,
}

impl Effort {
    /// A step takes some five millionths of a second (an optimised build on a desktop machine of 2026).
    fn patience(self) -> Patience {
        match self {
            Self::Quick => Patience { steps: 0, failures: 0 },
            Self::Normal => Patience { steps: 400_000, failures: 12 },
            Self::Long => Patience { steps: 8_000_000, failures: 60 },
        }
    }
}

/// How a search stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Moment<'a> {
    pub stock: &'a str,
    /// Steps taken, of so many at most.
    pub steps: u64,
    pub of: u64,
    /// The best layout so far.
    pub best: Extent,
    /// The search is over: nothing is asked any more.
    pub ended: bool,
}

/// How to lay out.
#[derive(Clone, Copy, Debug, Default)]
pub struct Options {
    pub effort: Effort,
    /// Called every now and then; a search ends with the best so far where it answers no.
    pub watch: Option<fn(&Moment<'_>) -> bool>,
}

impl Options {
    /// One pass, and nobody waits.
    pub const QUICK: Self = Self { effort: Effort::Quick, watch: None };
}

/// A sheet to be filled.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Bed {
    size: Vec2,
    from: Source,
}

/// Lays every piece on a sheet of its stock. Pieces keep their order within a sheet.
///
/// A piece that fits no sheet is a fault that `finish` has found; here it is reported again and left out.
#[must_use]
pub fn arrange(solid: &Solid, pieces: &Pieces, options: Options) -> (Layout, Diagnostics) {
    let mut layout = Layout::default();
    let mut diagnostics = Diagnostics::new();
    for (index, stock) in solid.stocks.iter().enumerate() {
        let all: Vec<&Piece> = pieces.pieces.iter().filter(|p| p.stock == index).collect();
        if all.is_empty() {
            continue;
        }
        let beds = Beds::of(solid, stock);
        let plain = plain::lay(&all, stock, &beds);
        let mut own: Vec<&Piece> = Vec::with_capacity(all.len());
        let mut places: Vec<Place> = Vec::with_capacity(all.len());
        for (piece, place) in all.into_iter().zip(plain.places) {
            match place {
                Some(place) => {
                    own.push(piece);
                    places.push(place);
                }
                None => diagnostics.push(errors::piece_too_large(piece, stock, beds.load)),
            }
        }
        if !own.is_empty() {
            Stocked { index, stock, beds, pieces: own }.lay(plain.beds, places, options, &mut layout);
        }
    }
    (layout, diagnostics)
}

/// One stock and the pieces cut from it.
struct Stocked<'a> {
    index: usize,
    stock: &'a Stock,
    beds: Beds,
    pieces: Vec<&'a Piece>,
}

impl Stocked<'_> {
    fn lay(&self, mut given: Vec<Bed>, mut places: Vec<Place>, options: Options, layout: &mut Layout) {
        let rings: Vec<Path> = self.pieces.iter().map(|p| contour(p)).collect();
        last_least(&rings, &mut places, &given, self.beds.offcuts.len());
        // A roll is as long as what lies on it.
        let tops: Vec<f64> = (0..given.len()).map(|k| top(&rings, &places, k)).collect();
        for (bed, top) in given.iter_mut().zip(tops).filter(|b| self.endless(b.0)) {
            bed.size.y = top + 2.0 * MARGIN;
        }
        let begun = laid(&rings, places, given.len());
        let plain = extent(&begun);
        let mut kept = begun.clone();
        let (mut steps, mut ended) = (0, Ended::Plain);
        if options.effort != Effort::Quick && rings.len() <= MOST && given.len() <= MOST_BEDS {
            let found = self.search(&rings, &given, begun, options);
            (kept, steps, ended) = found;
        }
        given.truncate(kept.beds);
        let found = extent(&kept);
        self.sheets(&rings, &given, &kept, layout);
        let own = || layout.sheets.iter().filter(|s| s.stock == self.index);
        let whole = own().filter_map(|s| if let Source::Whole(n) = s.from { Some(n) } else { None }).max();
        let left = own().next_back().filter(|s| s.from != Source::Roll).and_then(|s| {
            let far = rings
                .iter()
                .zip(&kept.places)
                .filter(|(_, p)| p.bed + 1 == kept.beds)
                .filter_map(|(r, p)| r.moved(&motion(p, MARGIN)).bounds());
            beds::left(s.size, far.fold(Vec2::ZERO, |a, b| a.max(b.1)))
        });
        layout.uses.push(Use { stock: self.index, whole: whole.unwrap_or(0), kept: found, plain, steps, ended, left });
    }

    /// Whether a bed is as long as what lies on it.
    fn endless(&self, bed: &Bed) -> bool {
        self.beds.endless && bed.from == Source::Roll
    }

    fn search(&self, rings: &[Path], given: &[Bed], begun: Laid, options: Options) -> (Laid, u64, Ended) {
        let rooms: Vec<Vec2> = given.iter().map(|b| beds::room(b.size)).collect();
        let items: Vec<turned::Item> = (rings.iter().zip(&self.pieces).zip(&begun.places))
            .map(|((ring, piece), place)| {
                let mut turns = orientation::angles(piece, self.stock);
                if turns.iter().all(|t| (t - place.turn).abs() > 1e-12) {
                    turns.push(place.turn);
                }
                turned::Item { ring: ring.clone(), turns, free: self.stock.grain == Grain::None }
            })
            .collect();
        let patience = options.effort.patience();
        let mut waiting = Waiting { stock: &self.stock.name, rings, rooms: &rooms, patience, options };
        match search::improve(&items, &rooms, begun.clone(), GAP, patience, &mut waiting) {
            Some(found) => {
                waiting.told(found.steps, &found.best, true);
                (found.best, found.steps, found.ended)
            }
            // An outline that the engine refuses: the plain layout stands.
            None => (begun, 0, Ended::Plain),
        }
    }

    /// The beds with anything on them, as sheets.
    fn sheets(&self, rings: &[Path], given: &[Bed], laid: &Laid, layout: &mut Layout) {
        let (mut number, mut whole) = (0, 0);
        for (k, bed) in given.iter().enumerate() {
            let on = || laid.places.iter().enumerate().filter(move |(_, p)| p.bed == k);
            let placed: Vec<Placed> =
                on().map(|(i, p)| Placed { piece: self.pieces[i].id, motion: motion(p, MARGIN) }).collect();
            if placed.is_empty() {
                continue;
            }
            number += 1;
            let mut from = bed.from;
            if !matches!(from, Source::Offcut(_)) {
                // Whole sheets are alike: where the search has emptied one, the next takes its number.
                from = self.beds.bed(self.beds.offcuts.len() + whole).from;
                whole += 1;
            }
            let mut size = bed.size;
            if self.endless(bed) {
                size.y = (top(rings, &laid.places, k) + 2.0 * MARGIN - 1e-9).ceil();
            }
            let area: f64 = on().map(|(i, _)| self.pieces[i].area).sum();
            layout.sheets.push(Sheet {
                stock: self.index,
                number,
                from,
                size,
                margin: MARGIN,
                gap: GAP,
                by_hand: self.beds.by_hand.clone(),
                placed,
                used: area / (size.x * size.y),
            });
        }
    }
}

/// Whoever waits for a search, and the judge of what it finds.
struct Waiting<'a> {
    stock: &'a str,
    rings: &'a [Path],
    rooms: &'a [Vec2],
    patience: Patience,
    options: Options,
}

impl Waiting<'_> {
    fn told(&self, steps: u64, best: &Laid, ended: bool) -> bool {
        let moment = Moment { stock: self.stock, steps, of: self.patience.steps, best: extent(best), ended };
        self.options.watch.is_none_or(|watch| watch(&moment))
    }
}

impl Watch for Waiting<'_> {
    fn go_on(&mut self, steps: u64, best: &Laid) -> bool {
        self.told(steps, best, false)
    }

    fn legal(&self, places: &[Place]) -> bool {
        exact::legal(self.rings.iter(), places, self.rooms, GAP)
    }
}

/// Of the whole sheets the one with the lowest top comes last: it is the one that something is left of.
fn last_least(rings: &[Path], places: &mut [Place], given: &[Bed], offcuts: usize) {
    let tops: Vec<f64> = (0..given.len()).map(|k| top(rings, places, k)).collect();
    let least = (offcuts..given.len()).rev().min_by(|&a, &b| tops[a].total_cmp(&tops[b]));
    if let Some(least) = least {
        let last = given.len() - 1;
        for place in places {
            place.bed = if place.bed == least {
                last
            } else if place.bed == last {
                least
            } else {
                place.bed
            };
        }
    }
}

/// Leaves out beds at the end that nothing lies on.
fn laid(rings: &[Path], places: Vec<Place>, given: usize) -> Laid {
    let beds = places.iter().map(|p| p.bed + 1).max().unwrap_or(0).min(given);
    let top = top(rings, &places, beds.saturating_sub(1));
    Laid { places, beds, top }
}

/// The highest point on a bed, from its border.
fn top(rings: &[Path], places: &[Place], bed: usize) -> f64 {
    let on = rings.iter().zip(places).filter(|(_, p)| p.bed == bed);
    on.filter_map(|(r, p)| r.moved(&motion(p, 0.0)).bounds()).map(|b| b.1.y).fold(0.0, f64::max)
}

fn extent(laid: &Laid) -> Extent {
    let mut beds: Vec<usize> = laid.places.iter().map(|p| p.bed).collect();
    beds.sort_unstable();
    beds.dedup();
    Extent { sheets: beds.len(), top: laid.top + MARGIN }
}

fn motion(place: &Place, border: f64) -> Motion {
    Motion { mirror: false, turn: place.turn, shift: place.shift + Vec2::splat(border) }
}

/// A piece's whole contour.
fn contour(piece: &Piece) -> Path {
    Path { segs: piece.contour.iter().flat_map(|run| run.path.segs.iter().copied()).collect() }
}

#[cfg(test)]
mod tests;
