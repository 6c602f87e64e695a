//! What is to be bought, what it costs, and whether that keeps within the prop's budget.
//!
//! Conventions chosen here, where the language leaves room:
//! - sheets are bought whole, less those in the cupboard; what is laid on offcuts costs nothing;
//! - a roll is bought by the length its pieces are laid on, to the next 100 mm (common practice, no source). Loads of a
//!   cutter lie side by side on it as many as its width takes. How much of a roll is in the cupboard `have` cannot say;
//! - strips (bindings, wraps) are cut side by side along a sheet, joined when it is shorter, from what is left of the
//!   last sheet when all of a stock's strips find room there, else from whole sheets of their own; of a roll across it;
//! - goods off a reel are bought as `Supply::purchase` says of laces: by the length they are sold in, the longest wanted
//!   first, each length whole where it can be; else each to the next 100 mm. A length in the cupboard is cut first;
//! - lengths of a core are cut from the rods they are sold in, the longest first, offcuts and the cupboard's before any is
//!   bought. What the saw takes is not counted: two lengths of half a rod come from one;
//! - a fluid is bought by the tin it is sold in, else to the next millilitre;
//! - each line's price is rounded to a cent (a hundredth of the prop's money), and the cents are added. Nothing is
//!   reckoned for what is in the cupboard, nor for cuts of a reel that are left over;
//! - glue is reckoned by the faces that meet (`glue`) and how far it goes, where its `covers` says so and the maker's files
//!   describe one glue: no field says which of several goes where.

use std::collections::BTreeMap;

use super::{Given, errors, glue, used};
use crate::diag::Diagnostic;
use crate::fitted::{GoodsOf, Price, Supply};
use crate::ids::ThingId;
use crate::ledger::{Bought, Measure, Packs, Shopping};
use crate::num::Sum;
use crate::sheet::{Layout, Source, to_buy};
use crate::solid::{Goods, Stock};
use crate::span::Span;
use crate::units::Dim;

/// What is cut off a roll or reel is cut to the next of these, mm, and less than a hair's breadth is not another one.
const STEP: f64 = 100.0;
const HAIR: f64 = 1e-6;
/// A millilitre, mm³.
const ML: f64 = 1000.0;

/// Everything to buy. `None` while nothing is laid out: sheets are not counted then.
pub(super) fn shopping(given: &Given<'_>, unbuilt: &[String], currency: Option<String>) -> Option<Shopping> {
    let layout = given.layout?;
    let solid = given.solid;
    let mut lines: Vec<Bought> = Vec::new();
    for (i, stock) in solid.stocks.iter().enumerate() {
        lines.extend(of_stock(given, layout, i, stock));
    }
    for (i, supply) in solid.fitted.supplies.iter().enumerate() {
        lines.extend(of_supply(given, i, supply));
    }
    // What a thing names that this version does not make is to be bought all the same.
    if solid.job.mock_up.is_none() {
        let name = |id: ThingId| given.design.thing(id).name.to_string();
        for (goods, by) in used::goods(given) {
            let open = by.iter().map(|t| format!("{} (not built yet)", name(*t))).any(|n| unbuilt.contains(&n));
            if open && lines.iter().all(|l| l.thing != goods) {
                lines.push(Bought {
                    thing: goods,
                    name: name(goods),
                    measure: Measure::Pieces,
                    need: 0.0,
                    have: 0.0,
                    buy: 0.0,
                    packs: None,
                    cents: Err("what it is for is not built yet"),
                    note: None,
                });
            }
        }
    }
    let total = lines.iter().filter_map(|l| l.cents.ok()).fold(0, i64::saturating_add);
    Some(Shopping { lines, total, budget: None, currency })
}

/// Holds it to a budget.
pub(super) fn hold(shopping: &mut Shopping, budget: f64, span: Span) -> Option<Diagnostic> {
    let budget = cents(budget);
    shopping.budget = Some(budget);
    if shopping.total > budget {
        return Some(errors::over_budget(shopping, budget, span));
    }
    let mut lines = shopping.lines.iter().filter(|l| l.cents != Ok(0)).peekable();
    let nothing_priced = lines.peek().is_some() && lines.all(|l| l.cents.is_err());
    nothing_priced.then(|| errors::budget_not_proven(shopping, span))
}

/// Money in whole cents.
#[expect(clippy::cast_possible_truncation, reason = "a cast of this kind stops at the largest number")]
pub(super) fn cents(money: f64) -> i64 {
    (money * 100.0 + HAIR).round() as i64
}

/// The next whole number of steps.
fn up(x: f64, step: f64) -> f64 {
    (x / step - HAIR).ceil().max(0.0) * step
}

/// One line, once it is known how much is needed, taken from the cupboard and bought.
struct Amount {
    measure: Measure,
    need: f64,
    have: f64,
    buy: f64,
    packs: Option<Packs>,
}

impl Amount {
    /// With its price: `whole` is what one purchase costs that has a price of its own, `per` how much of a dimension
    /// is bought.
    fn line(
        self,
        (thing, name): (ThingId, &str),
        price: Option<Price>,
        whole: Result<f64, &'static str>,
        per: impl Fn(Dim) -> Option<f64>,
    ) -> Bought {
        let money = match price {
            _ if self.buy <= 0.0 => Ok(0.0),
            None => Err("it has no price"),
            Some(Price { money, per: None }) => whole.map(|n| n * money),
            Some(Price { money, per: Some(q) }) => {
                per(q.dim()).map(|n| n / q.value() * money).ok_or("its price is per a measure that is not known of it")
            }
        };
        let Self { measure, need, have, buy, packs } = self;
        Bought { thing, name: name.to_owned(), measure, need, have, buy, packs, cents: money.map(cents), note: None }
    }
}

/// The strips that are cut from a stock: width, length, how many.
fn strips(given: &Given<'_>, index: usize) -> Vec<(f64, f64, usize)> {
    let runs = given.solid.fitted.runs.iter();
    let mut out: Vec<_> = runs
        .filter_map(|r| match r.goods {
            GoodsOf::Strip { stock, wide } if stock == index => {
                Some((f64::from(wide) / 100.0, r.long(), r.rows * if r.pair { 2 } else { 1 }))
            }
            _ => None,
        })
        .collect();
    out.sort_by(|a, b| b.0.total_cmp(&a.0).then(b.1.total_cmp(&a.1)));
    out
}

/// The width that strips take side by side on something so long: a strip that is longer is joined of several.
fn lanes(strips: &[(f64, f64, usize)], long: f64) -> f64 {
    strips.iter().map(|(wide, each, count)| wide * *count as f64 * up(*each / long, 1.0).max(1.0)).sum()
}

/// Lengths of rod, cut from what is left over, from the cupboard, then from what is bought.
fn of_rod(given: &Given<'_>, index: usize, stock: &Stock) -> Option<Bought> {
    let runs = given.solid.fitted.runs.iter().filter(|r| r.goods == GoodsOf::Rod(index));
    let lengths: Vec<(f64, usize)> = runs.map(|r| (r.long(), r.rows * if r.pair { 2 } else { 1 })).collect();
    if lengths.is_empty() {
        return None;
    }
    let each = stock.rod_long();
    let mut shelf = Shelf::default();
    for left in &stock.offcuts {
        *shelf.cut.entry(left.max_element().to_bits()).or_insert(0.0) += 1.0;
    }
    shelf.whole.extend(each.map(|each| (each, stock.have)));
    let section = 0.25 * crate::num::PI * stock.thick * stock.thick;
    let whole = "how long a whole rod is is not said: give it a `size`, or a price `per m`";
    let (amount, buy) = cut(lengths, each, shelf);
    let whole = amount.packs.map(|p| p.count).ok_or(whole);
    Some(amount.line((stock.thing, &stock.name), stock.price, whole, |dim| match dim {
        Dim::LENGTH => Some(buy),
        Dim::VOLUME => Some(buy * section),
        Dim::MASS => Some(buy * stock.line_mass()?),
        _ => None,
    }))
}

fn of_stock(given: &Given<'_>, layout: &Layout, index: usize, stock: &Stock) -> Option<Bought> {
    if stock.sort == "rod" {
        return of_rod(given, index, stock);
    }
    let strips = strips(given, index);
    let of = layout.uses.iter().find(|u| u.stock == index);
    if of.is_none() && strips.is_empty() {
        return None;
    }
    let whose = (stock.thing, stock.name.as_str());
    match stock.size {
        Goods::Sheet(size) => {
            let (whole, left) = of.map_or((0, None), |u| (u.whole, u.left));
            let fits = |room: crate::geom::Vec2| {
                [(room.x, room.y), (room.y, room.x)].iter().any(|(wide, long)| lanes(&strips, *long) <= *wide + HAIR)
            };
            let more = if strips.is_empty() || left.is_some_and(fits) { 0.0 } else { sheets(&strips, size.x, size.y) };
            let need = whole as f64 + more;
            let buy = of.map_or(0.0, |u| to_buy(stock, u)) + more;
            // Sheets for strips come from the cupboard too, when pieces leave some there.
            let buy = if of.is_some_and(|u| u.whole as f64 >= stock.have) { buy } else { (need - stock.have).max(0.0) };
            let amount = Amount { measure: Measure::Sheets, need, have: need - buy, buy, packs: None };
            let area = buy * size.x * size.y;
            Some(amount.line(whose, stock.price, Ok(buy), |dim| match dim {
                Dim::LENGTH => Some(buy * size.y),
                Dim::AREA => Some(area),
                Dim::VOLUME => Some(area * stock.thick),
                Dim::MASS => Some(area * stock.area_mass?),
                _ => None,
            }))
        }
        Goods::Roll(wide) => {
            let need = laid(layout, index, wide) + lanes(&strips, wide);
            let buy = up(need, STEP);
            let amount = Amount { measure: Measure::Length, need, have: 0.0, buy, packs: None };
            let none = Err("how much a whole roll holds is not said: give it a price `per m`");
            Some(amount.line(whose, stock.price, none, |dim| match dim {
                Dim::LENGTH => Some(buy),
                Dim::AREA => Some(buy * wide),
                Dim::VOLUME => Some(buy * wide * stock.thick),
                Dim::MASS => Some(buy * wide * stock.area_mass?),
                _ => None,
            }))
        }
    }
}

/// How many sheets of a size strips take, cut side by side along it, the widest first.
fn sheets(strips: &[(f64, f64, usize)], wide: f64, long: f64) -> f64 {
    let (mut count, mut free) = (0.0, 0.0);
    for &(strip, each, of) in strips {
        let mut lanes = of as f64 * up(each / long, 1.0).max(1.0);
        let here = (free / strip + HAIR).floor().min(lanes);
        lanes -= here;
        free -= here * strip;
        if lanes > 0.0 {
            // A strip wider than the sheet is refused where it is made.
            let holds = (wide / strip + HAIR).floor().max(1.0);
            let more = (lanes / holds - HAIR).ceil();
            count += more;
            free = wide - (lanes - (more - 1.0) * holds) * strip;
        }
    }
    count
}

/// The length of a roll that its loads take: as many side by side as it is wide.
fn laid(layout: &Layout, index: usize, wide: f64) -> f64 {
    let loads: Vec<_> = layout.sheets.iter().filter(|s| s.stock == index && s.from == Source::Roll).collect();
    let (mut long, mut row, mut used) = (0.0, 0.0f64, 0.0);
    for load in loads {
        if used + load.size.x > wide + HAIR {
            long += row;
            (row, used) = (0.0, 0.0);
        }
        row = row.max(load.size.y);
        used += load.size.x;
    }
    long + row
}

fn of_supply(given: &Given<'_>, index: usize, supply: &Supply) -> Option<Bought> {
    let fitted = &given.solid.fitted;
    let whose = (supply.thing, supply.name.as_str());
    let twins = |pair: bool| if pair { 2 } else { 1 };
    let runs = fitted.runs.iter().filter(|r| r.goods == GoodsOf::Supply(index));
    let lengths: Vec<(f64, usize)> = runs.map(|r| (r.long(), r.rows * twins(r.pair))).collect();
    if !lengths.is_empty() {
        return Some(by_length(supply, lengths));
    }
    let lumps = fitted.lumps.iter().filter(|l| l.supply == Some(index));
    let pieces: usize = lumps.map(|l| l.at.len() * twins(l.pair)).sum();
    if pieces > 0 {
        let need = pieces as f64;
        let have = supply.have.filter(|h| h.dim() == Dim::NONE).map_or(0.0, |h| h.value().floor()).min(need);
        let sold = supply.sold.filter(|s| s.dim() == Dim::NONE).map(|s| s.value());
        let (buy, packs) = packed(need - have, sold);
        let amount = Amount { measure: Measure::Pieces, need, have, buy, packs };
        return Some(amount.line(whose, supply.price, Ok(packs.map_or(buy, |p| p.count)), |dim| match dim {
            Dim::LENGTH => Some(buy * supply.long?),
            Dim::MASS => Some(buy * supply.mass?),
            _ => None,
        }));
    }
    let fluid = matches!(supply.sort, "paint" | "sealer" | "adhesive");
    if !fluid {
        return None;
    }
    let coats: Vec<f64> =
        fitted.coats.iter().filter(|c| c.supply == index).map(|c| c.area() * c.coats as f64).collect();
    let unknown = |why| Bought {
        thing: supply.thing,
        name: supply.name.clone(),
        measure: Measure::Volume,
        need: 0.0,
        have: 0.0,
        buy: 0.0,
        packs: None,
        cents: Err(why),
        note: None,
    };
    let glue = supply.sort == "adhesive";
    let area = if glue {
        if fitted.supplies.iter().filter(|s| s.sort == "adhesive").count() > 1 {
            return Some(unknown("which of several glues goes where is not said"));
        }
        glue::coated(given)
    } else {
        coats.iter().sum::<f64>()
    };
    let Some(covers) = supply.covers else {
        let why = if glue {
            "how far it goes is not said: give it `covers`, as its label has it"
        } else {
            "how far it goes is not said: give it `covers`"
        };
        return Some(unknown(why));
    };
    let need = area / covers;
    let have = supply.have.filter(|h| h.dim() == Dim::VOLUME).map_or(0.0, |h| h.value()).min(need);
    let sold = supply.sold.filter(|s| s.dim() == Dim::VOLUME).map(|s| s.value());
    let (buy, packs) = if sold.is_some() { packed(need - have, sold) } else { (up(need - have, ML), None) };
    let whole = packs.map(|p| p.count).ok_or("how much one purchase holds is not said: give it `sold`");
    let amount = Amount { measure: Measure::Volume, need, have, buy, packs };
    let line = amount.line(whose, supply.price, whole, |dim| match (dim, supply.density) {
        (Dim::VOLUME, _) => Some(buy),
        (Dim::MASS, Some(d)) if d.dim() == Dim::DENSITY => Some(buy * d.value()),
        _ => None,
    });
    Some(Bought { note: glue.then_some(BOTH_FACES), ..line })
}

/// How glue is reckoned, said beside it.
const BOTH_FACES: &str = "one coat on both faces of what is glued; its label comes first";

/// So much in whole purchases, and how many they are.
fn packed(need: f64, sold: Option<f64>) -> (f64, Option<Packs>) {
    match sold.filter(|s| *s > 0.0) {
        Some(each) => {
            let count = up(need / each, 1.0);
            (count * each, Some(Packs { count, each }))
        }
        None => (need, None),
    }
}

fn by_length(supply: &Supply, lengths: Vec<(f64, usize)>) -> Bought {
    let of_length = |q: Option<crate::units::Quantity>| q.filter(|q| q.dim() == Dim::LENGTH).map(|q| q.value());
    let each = of_length(supply.sold).or(supply.long).filter(|s| *s > 0.0);
    // From the cupboard: one length, or so many as it is sold in.
    let counted = supply.have.filter(|h| h.dim() == Dim::NONE).map_or(0.0, |h| h.value().floor());
    let mut shelf = Shelf::default();
    shelf.whole.extend(of_length(supply.have).map(|l| (l, 1.0)));
    shelf.whole.extend(each.map(|each| (each, counted)));
    let (amount, buy) = cut(lengths, each, shelf);
    let whole = amount
        .packs
        .map(|p| p.count)
        .ok_or("how much one purchase holds is not said: give it `sold` or a price `per m`");
    amount.line((supply.thing, &supply.name), supply.price, whole, |dim| match dim {
        Dim::LENGTH => Some(buy),
        Dim::AREA => Some(buy * supply.wide?),
        Dim::MASS => Some(buy * supply.line_mass()?),
        _ => None,
    })
}

/// Lengths cut from what is on the shelf and then from what is bought in lengths of `each`, or off a reel; and how much
/// that is.
fn cut(mut lengths: Vec<(f64, usize)>, each: Option<f64>, mut shelf: Shelf) -> (Amount, f64) {
    lengths.sort_by(|a, b| b.0.total_cmp(&a.0));
    let need: f64 = lengths.iter().map(|(long, count)| long * *count as f64).collect::<Sum>().value();
    let mut bought = Shelf::default();
    let (mut have, mut buy, mut count) = (0.0, 0.0, 0.0);
    for (long, of) in lengths {
        let mut left = of as f64;
        let taken = shelf.take(long, left);
        have += taken * long;
        left -= taken;
        match each {
            None => buy += left * up(long, STEP).max(STEP),
            Some(each) if long > each + HAIR => count += left * up(long / each, 1.0),
            Some(each) => {
                left -= bought.take(long, left);
                if left > 0.0 {
                    let more = (left / holds(each, long) - HAIR).ceil();
                    count += more;
                    bought.whole.push((each, more));
                    bought.take(long, left);
                }
            }
        }
    }
    let packs = each.map(|each| Packs { count, each });
    let buy = packs.map_or(buy, |p| p.count * p.each);
    (Amount { measure: Measure::Length, need, have, buy, packs }, buy)
}

/// How many of a length are cut from a longer one.
fn holds(each: f64, long: f64) -> f64 {
    (each / long.max(1e-3) + HAIR).floor()
}

/// Lengths to cut from.
#[derive(Default)]
struct Shelf {
    /// Uncut: how long, how many.
    whole: Vec<(f64, f64)>,
    /// What is left of those that were cut, by its bits (of numbers above nought these keep their order), and how many
    /// there are of it.
    cut: BTreeMap<u64, f64>,
}

impl Shelf {
    /// Cuts at most `wanted` pieces so long, from what is cut already first; how many there were.
    fn take(&mut self, long: f64, wanted: f64) -> f64 {
        let mut got = 0.0;
        while got < wanted {
            let least = (long - HAIR).max(0.0).to_bits();
            if let Some((&bits, &count)) = self.cut.range(least..).next() {
                self.cut.remove(&bits);
                got += self.cut_up(f64::from_bits(bits), count, long, wanted - got);
            } else if let Some(i) = self.whole.iter().position(|(each, n)| *each >= long - HAIR && *n > 0.0) {
                let (each, count) = self.whole.remove(i);
                got += self.cut_up(each, count, long, wanted - got);
            } else {
                break;
            }
        }
        got
    }

    /// Cuts up to `wanted` from `count` lengths, and puts the rest of them back.
    fn cut_up(&mut self, each: f64, count: f64, long: f64, wanted: f64) -> f64 {
        let holds = holds(each, long).max(1.0);
        let full = (wanted / holds + HAIR).floor().min(count);
        let over = if full < count { wanted - full * holds } else { 0.0 };
        let some = if over > 0.0 { 1.0 } else { 0.0 };
        let mut back = |left: f64, n: f64| {
            if n > 0.0 && left > HAIR {
                *self.cut.entry(left.to_bits()).or_insert(0.0) += n;
            }
        };
        back(each - holds * long, full);
        back(each - over * long, some);
        back(each, count - full - some);
        full * holds + over
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::samples;
    use crate::units::Quantity;

    fn cord(sold: Option<f64>, have: Option<Quantity>, price: f64, per: Option<f64>) -> Supply {
        let length = |x: f64| Quantity::new(x, Dim::LENGTH).unwrap();
        let price = Some(Price { money: price, per: per.map(length) });
        Supply { sold: sold.map(length), have, price, ..samples::supply("cord", "cord") }
    }

    /// Bought in all, how many purchases, what it costs.
    fn of(supply: &Supply, lengths: &[(f64, usize)]) -> (f64, Option<f64>, Result<i64, &'static str>) {
        let line = by_length(supply, lengths.to_vec());
        (line.buy, line.packs.map(|p| p.count), line.cents)
    }

    #[test]
    fn a_reel_is_cut_to_the_next_tenth_of_a_metre() {
        // 330 and twice 1251.5: 400 + 2 × 1300 mm at 0.80 a metre.
        assert_eq!(of(&cord(None, None, 0.8, Some(1000.0)), &[(330.0, 1), (1251.5, 2)]), (3000.0, None, Ok(240)));
        let (_, _, why) = of(&cord(None, None, 0.8, None), &[(330.0, 1)]);
        assert!(why.is_err());
    }

    #[test]
    fn lengths_are_cut_from_what_is_sold_longest_first() {
        // By hand: 5 m takes 3 + 2; the next 3 + 1 + 1; three of 1 m in two of 5 m, none joined.
        let sold = cord(Some(5000.0), None, 2.5, None);
        assert_eq!(of(&sold, &[(1000.0, 2), (3000.0, 2), (2000.0, 1)]), (10_000.0, Some(2.0), Ok(500)));
        // As for laces: of one length so many as one holds; joined where none is long enough.
        assert_eq!(of(&cord(Some(2500.0), None, 1.0, None), &[(1234.6, 3)]).1, Some(2.0));
        assert_eq!(of(&cord(Some(1000.0), None, 1.0, None), &[(2400.0, 2)]).1, Some(6.0));
    }

    #[test]
    fn the_cupboard_is_cut_first() {
        let have = Quantity::new(1300.0, Dim::LENGTH);
        let line = by_length(&cord(None, have, 1.0, Some(1000.0)), vec![(1251.5, 2), (40.0, 1)]);
        assert_eq!((line.have, line.buy, line.cents), (1291.5, 1300.0, Ok(130)));
        // Two lengths of 5 m are there: nothing is bought.
        let have = Quantity::new(2.0, Dim::NONE);
        assert_eq!(of(&cord(Some(5000.0), have, 1.0, None), &[(3000.0, 2), (2000.0, 2)]).2, Ok(0));
        assert_eq!(of(&cord(Some(5000.0), have, 1.0, None), &[(3000.0, 2), (2001.0, 2)]).2, Ok(100));
    }

    #[test]
    fn strips_lie_side_by_side_on_sheets() {
        // 300 by 600: 35 wide lies 8 abreast; three of 1300 mm are three lanes each, 9 lanes: two sheets; 20 wide then
        // has 300 - 35 = 265 left of the second.
        assert_eq!(sheets(&[(35.0, 1300.0, 3)], 300.0, 600.0), 2.0);
        assert_eq!(sheets(&[(35.0, 1300.0, 3), (20.0, 600.0, 13)], 300.0, 600.0), 2.0);
        assert_eq!(sheets(&[(35.0, 1300.0, 3), (20.0, 600.0, 14)], 300.0, 600.0), 3.0);
        assert_eq!(lanes(&[(35.0, 1300.0, 3)], 1400.0), 105.0);
    }

    #[test]
    fn cents_are_whole() {
        assert_eq!(cents(0.1 + 0.2), 30);
        assert_eq!(cents(1.005), 101);
        assert_eq!(cents(1e300), i64::MAX);
    }
}
