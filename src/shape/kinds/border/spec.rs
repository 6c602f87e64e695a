//! What a border says of itself: its sort, what it is of and its sizes, held against what its sort can be made of.

use super::super::super::seam::{self, Joined};
use super::super::super::{Shaper, errors};
use super::super::shell::face;
use crate::design::{Anchor, Face, Kind};
use crate::eval::{Fields, Stop};
use crate::ids::ThingId;
use crate::solid::Seam;
use crate::span::Span;

/// The sorts that are built.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Sort {
    Band,
    Cord,
    Binding,
    Piping,
    Beads,
    Scallops,
    Wrap,
}

impl Sort {
    fn of(word: &str) -> Option<Self> {
        Some(match word {
            "band" => Self::Band,
            "cord" => Self::Cord,
            "binding" => Self::Binding,
            "piping" => Self::Piping,
            "beads" => Self::Beads,
            "scallops" => Self::Scallops,
            "wrap" => Self::Wrap,
            _ => return None,
        })
    }

    /// As a message calls it.
    pub(super) fn said(self) -> &'static str {
        match self {
            Self::Band => "a band",
            Self::Cord => "a cord",
            Self::Binding => "a binding",
            Self::Piping => "a piping",
            Self::Beads => "a row of beads",
            Self::Scallops => "a row of scallops",
            Self::Wrap => "a wrap",
        }
    }

    /// The sorts of stock and of supply it can be made of.
    fn takes(self) -> (&'static [&'static str], &'static [&'static str]) {
        match self {
            Self::Band | Self::Scallops => (&["foam", "cloth", "leather", "card", "clear"], &[]),
            Self::Cord => (&[], &["cord", "lace", "wire", "elastic"]),
            Self::Binding => (&["cloth", "leather"], &["tape", "webbing", "elastic"]),
            Self::Piping => (&["cloth", "leather"], &["tape"]),
            Self::Beads => (&[], &["beads"]),
            Self::Wrap => (&["foam", "cloth", "leather"], &["tape", "webbing", "lace", "elastic", "cord"]),
        }
    }
}

/// What beads may be strung on, and what a piping may have in it.
const STRINGS: &[&str] = &["wire", "cord", "lace", "elastic"];

/// One kind of goods.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Goods {
    pub id: ThingId,
    /// A stock, from which a strip is cut; else a supply.
    pub stock: bool,
    pub name: String,
    /// Thickness, or diameter.
    pub thick: f64,
    /// The width a supply has of its own.
    pub wide: Option<f64>,
    pub mass: Option<f64>,
}

/// A border's fields, reckoned.
#[derive(Clone, Debug)]
pub(super) struct Spec {
    pub name: String,
    pub head: Span,
    pub sort: Sort,
    pub of: Vec<Anchor>,
    pub of_span: Span,
    pub measured: Face,
    pub paired: Option<Span>,
    pub level: Option<f64>,
    pub level_span: Span,
    pub seam: Joined,
    /// Where its seam is written, when it is.
    pub seam_written: Option<Span>,
    pub rows: usize,
    pub rows_span: Span,
    pub wide: f64,
    pub wide_span: Span,
    /// How far a band stands past its edge.
    pub rise: f64,
    pub rise_span: Span,
    /// Of scallops: pitch, and from notch to tip.
    pub every: f64,
    pub every_span: Span,
    pub tongue: Option<f64>,
    pub tuck: f64,
    pub gap: f64,
    pub gap_span: Span,
    pub wire: Option<Anchor>,
    pub wire_span: Span,
}

/// Reads a border; what is not built of it has been said by the check.
pub(super) fn read(fields: &mut Fields<'_>) -> Result<Spec, Stop> {
    let thing = fields.thing();
    let sort = fields.maybe_word("as")?.and_then(Sort::of).ok_or(Stop::Skip)?;
    let seam_span = fields.span("seam");
    let seam = fields.maybe("seam")?;
    let number =
        |fields: &mut Fields<'_>, name: &str| -> Result<f64, Stop> { Ok(fields.maybe_number(name)?.unwrap_or(0.0)) };
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "the check holds it to 1 to 10,000")]
    let rows = fields.maybe_number("count")?.unwrap_or(1.0).max(1.0) as usize;
    Ok(Spec {
        name: thing.name.to_string(),
        head: thing.head,
        sort,
        of: fields.things("of")?,
        of_span: fields.span("of"),
        measured: face(fields.maybe("measured")?.as_ref()),
        paired: fields.maybe_word("pair")?.map(|_| fields.span("pair")),
        level: if fields.written("level") { fields.maybe_number("level")? } else { None },
        level_span: fields.span("level"),
        seam: seam::read(seam.as_ref(), seam_span)?,
        seam_written: fields.written("seam").then_some(seam_span),
        rows,
        rows_span: fields.span("count"),
        wide: number(fields, "wide")?,
        wide_span: fields.span("wide"),
        rise: if sort == Sort::Band { number(fields, "rise")? } else { 0.0 },
        rise_span: fields.span("rise"),
        every: number(fields, "every")?,
        every_span: fields.span("every"),
        tongue: if sort == Sort::Scallops { fields.maybe_number("rise")? } else { None },
        tuck: number(fields, "tuck")?,
        gap: number(fields, "gap")?,
        gap_span: fields.span("gap"),
        wire: fields.things("wire")?.first().cloned(),
        wire_span: fields.span("wire"),
    })
}

impl Spec {
    /// The sheets of a band, proved to be sheets.
    pub(super) fn sheets(&self, shaper: &Shaper<'_>) -> Result<Vec<Anchor>, Stop> {
        for anchor in &self.of {
            goods(shaper, self, anchor, self.sort.takes(), "a stock of foam, cloth, leather, card or clear sheet")?;
        }
        Ok(self.of.clone())
    }

    /// What a border other than a band is of.
    pub(super) fn goods(&self, shaper: &Shaper<'_>) -> Result<Goods, Stop> {
        let [anchor] = self.of.as_slice() else {
            // What nothing is said of, the check has reported.
            return if self.of.is_empty() {
                Err(Stop::Skip)
            } else {
                Err(errors::borders::one_of_goods(self.sort.said(), self.of_span).into())
            };
        };
        let wants = match self.sort {
            Sort::Cord => "a supply of cord, lace, wire or elastic",
            Sort::Binding => "a supply of tape, webbing or elastic, or a stock of cloth or leather",
            Sort::Beads => "a supply of beads",
            Sort::Wrap => "a supply of tape, webbing, lace, elastic or cord, or a stock of foam, cloth or leather",
            Sort::Band | Sort::Scallops | Sort::Piping => "another",
        };
        goods(shaper, self, anchor, self.sort.takes(), wants)
    }

    /// The cord of a piping, and the strip round it.
    pub(super) fn piped(&self, shaper: &Shaper<'_>) -> Result<(Goods, Goods), Stop> {
        let [cord, strip] = self.of.as_slice() else {
            return if self.of.is_empty() {
                Err(Stop::Skip)
            } else {
                Err(errors::borders::piping_of_two(self.of_span).into())
            };
        };
        let cord = goods(shaper, self, cord, (&[], STRINGS), "first a supply of cord, then the strip round it")?;
        let wants = "behind the cord a stock of cloth or leather, or a supply of tape";
        let strip = goods(shaper, self, strip, Sort::Piping.takes(), wants)?;
        Ok((cord, strip))
    }

    /// What beads are strung on.
    pub(super) fn strung(&self, shaper: &Shaper<'_>) -> Result<Goods, Stop> {
        let anchor = self.wire.as_ref().ok_or(Stop::Skip)?;
        let spec = Self { of_span: self.wire_span, ..self.clone() };
        goods(shaper, &spec, anchor, (&[], STRINGS), "a supply of wire, cord, lace or elastic")
    }

    /// How far it stands proud of what it lies on.
    pub(super) fn thick(&self, shaper: &Shaper<'_>) -> Result<f64, Stop> {
        Ok(match self.sort {
            Sort::Band | Sort::Scallops => {
                self.sheets(shaper)?;
                shaper.thickness(&self.of, self.of_span)?
            }
            Sort::Piping => {
                let (cord, strip) = self.piped(shaper)?;
                cord.thick + 2.0 * strip.thick
            }
            Sort::Cord | Sort::Binding | Sort::Beads | Sort::Wrap => self.goods(shaper)?.thick,
        })
    }

    /// What a run is longer than its way by, where its ends meet; a wall's open seam is looked at elsewhere.
    pub(super) fn lap(&self) -> Result<f64, Stop> {
        match self.seam.seam {
            Seam::Butt => Ok(0.0),
            Seam::Lap(mm) => Ok(mm),
            Seam::Tabs(_) | Seam::Backed(_) | Seam::Open(_) => {
                Err(errors::borders::seam_of_a_line(self.sort.said(), self.seam.span).into())
            }
        }
    }
}

/// One kind of goods, which must be of one of these sorts of stock or of supply and say how thick it is.
fn goods(
    shaper: &Shaper<'_>,
    spec: &Spec,
    anchor: &Anchor,
    (stocks, supplies): (&[&str], &[&str]),
    wants: &str,
) -> Result<Goods, Stop> {
    let thing = shaper.design.thing(anchor.thing);
    let wrong = |name: &str, sort: &str| -> Stop {
        errors::borders::wrong_goods(spec.sort.said(), name, sort, wants, spec.of_span).into()
    };
    if thing.kind == Kind::Stock {
        let stock = &shaper.known.sheets.get(&anchor.thing).ok_or(Stop::Skip)?.stock;
        if !stocks.contains(&stock.sort) {
            return Err(wrong(&stock.name, stock.sort));
        }
        let name = stock.name.clone();
        return Ok(Goods { id: anchor.thing, stock: true, name, thick: stock.thick, wide: None, mass: None });
    }
    let supply = shaper.known.supplies.get(&anchor.thing).ok_or(Stop::Skip)?;
    if !supplies.contains(&supply.sort) {
        return Err(wrong(&supply.name, supply.sort));
    }
    let (size, word) = if supply.sort == "beads" {
        (supply.across, "`across`, their diameter")
    } else {
        (supply.thick.or(supply.across), "`thick`")
    };
    let thick = size.ok_or_else(|| errors::borders::goods_of_no_size(&supply.name, word, spec.of_span))?;
    Ok(Goods { id: anchor.thing, stock: false, name: supply.name.clone(), thick, wide: supply.wide, mass: supply.mass })
}
