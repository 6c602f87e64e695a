//! `attachment`: hardware fixed to a part, with the tabs and patches that hold it and the marks where they go.
//!
//! Conventions chosen here, where the language leaves room:
//! - the `level` of a ring or buckle is that of its bar, where its load hangs; its tab runs down the wall from there.
//!   A backing patch lies with its middle behind the bar; everything else lies with its middle at its level;
//! - a tab is folded once round the bar, both legs on each other, one of them glued or sewn to the part;
//! - a loop's or keeper's strip stands upright, so that a strap runs round the part below it; it is longer than its place
//!   by what it climbs over the strap, on both sides, where that strap is known;
//! - a rivet's hole is punched through the middle of its place once all layers are glued, and not cut before;
//! - a magnet is let into the outer face.

mod beads;
mod ground;

use super::super::known::Attachment;
use super::super::{Shaper, errors, goods};
use super::patch;
use super::spread::{MOST_FITTED, Spread};
use crate::design::{Anchor, Face, Kind};
use crate::eval::{Fields, Stop};
use crate::fitted::{GoodsOf, Lump, Run, Spot, Supply};
use crate::geom::path::{Motion, Path, Seg};
use crate::geom::{Vec2, Vec3};
use crate::ids::ThingId;
use crate::num::PI;
use crate::solid::Frame;
use crate::span::Span;

use ground::{Found, Site};

/// A tab is glued or sewn down along so much, and no less than it is wide, mm (common practice, no source).
const GLUED: f64 = 25.0;
/// Either end of a loop's strip that is glued or sewn down, mm (common practice, no source).
const LOOP_END: f64 = 20.0;
/// How wide a loop's strip is cut from sheet, mm (common practice, no source).
const LOOP_WIDE: f64 = 20.0;
/// How much wider a loop is inside than the strap that runs through it, mm (the language's default).
const LOOP_SPARE: f64 = 2.0;
/// The bar of a buckle is no thicker than this, however deep its frame is, mm (common practice, no source).
const BAR: f64 = 4.0;

/// The fields of an attachment, reckoned.
struct Spec {
    spread: Spread,
    head: Span,
    sort: &'static str,
    of: Vec<Anchor>,
    of_span: Span,
    backing: Option<(f64, f64)>,
    backing_span: Span,
    tab: Option<Anchor>,
    tab_span: Span,
    wide: Option<f64>,
    long: Option<f64>,
    sag: Option<f64>,
    gap: f64,
    wire: Option<Anchor>,
    wire_span: Span,
}

fn read(fields: &mut Fields<'_>) -> Result<Spec, Stop> {
    let sort = fields.word("as")?;
    let strung = matches!(sort, "drop" | "swag");
    let gap = fields.maybe_number("gap")?.unwrap_or(0.0);
    if !strung && gap > 0.0 {
        return Err(errors::not_built_yet("an attachment that keeps clear of the wall", fields.span("gap")).into());
    }
    let backing = fields.maybe("backing")?.and_then(|v| v.size()).and_then(|s| match s.as_slice() {
        [a] => Some((*a, *a)),
        [a, b] => Some((*a, *b)),
        _ => None,
    });
    Ok(Spec {
        spread: Spread::read(fields)?,
        head: fields.thing().head,
        sort,
        of: fields.things("of")?,
        of_span: fields.span("of"),
        backing,
        backing_span: fields.span("backing"),
        tab: fields.maybe("tab")?.and_then(|v| v.things().into_iter().next()),
        tab_span: fields.span("tab"),
        wide: fields.maybe_number("wide")?,
        long: fields.maybe_number("long")?,
        sag: fields.maybe_number("sag")?,
        gap,
        wire: fields.maybe("wire")?.and_then(|v| v.things().into_iter().next()),
        wire_span: fields.span("wire"),
    })
}

/// Builds an attachment on each of its targets.
///
/// # Errors
/// When it cannot be fixed there as it is written.
pub(in super::super) fn lower(shaper: &mut Shaper<'_>, id: ThingId) -> Result<(), Stop> {
    let thing = shaper.design.thing(id);
    let target = thing.target.as_ref().ok_or(Stop::Skip)?;
    let mut known = Attachment::default();
    let mut all = 0.0;
    for anchor in &target.anchors {
        let mut made = Vec::new();
        for site in Site::all(shaper, anchor, target.span)? {
            let spec = shaper.read(id, site.levels(), read)?;
            let found = site.found(&spec.spread)?;
            all += found.len() as f64;
            if all > MOST_FITTED {
                return Err(errors::too_many_fitted(all, MOST_FITTED, thing.head).into());
            }
            made.push((site, spec, found));
        }
        // Several are numbered through.
        let named = made.iter_mut().flat_map(|(_, spec, found)| found.iter_mut().map(|f| (f, &spec.spread.name)));
        let named: Vec<_> = named.collect();
        let several = named.len() > 1;
        for (i, (one, name)) in named.into_iter().enumerate() {
            one.name = if several { format!("{name} {}", i + 1) } else { name.clone() };
        }
        for (site, spec, found) in made {
            known.sort = spec.sort;
            known.pair = site.pair;
            let mut one = Fitter { shaper, id, spec, site };
            known.takes = one.fit(&found)?;
            known.at.extend(found.iter().map(|f| (f.at, f.out)));
            known.level = known.level.or(found.first().map(|f| f.level));
        }
    }
    shaper.known.attachments.insert(id, known);
    Ok(())
}

/// One attachment on one target.
struct Fitter<'a, 'b> {
    shaper: &'a mut Shaper<'b>,
    id: ThingId,
    spec: Spec,
    site: Site,
}

/// A rectangle between these places, counter-clockwise.
fn rectangle(x: (f64, f64), y: (f64, f64)) -> Path {
    Path::polygon(&[Vec2::new(x.0, y.0), Vec2::new(x.1, y.0), Vec2::new(x.1, y.1), Vec2::new(x.0, y.1)])
}

/// A rectangle about the point itself.
fn centred(across: f64, up: f64) -> Path {
    rectangle((-0.5 * across, 0.5 * across), (-0.5 * up, 0.5 * up))
}

fn circle(across: f64) -> Path {
    let (a, b) = (Vec2::new(0.5 * across, 0.0), Vec2::new(-0.5 * across, 0.0));
    Path { segs: vec![Seg { a, b, bulge: 1.0 }, Seg { a: b, b: a, bulge: 1.0 }] }
}

/// A strip: what it is of, its width and thickness, and where its neutral surface lies in it when it is folded.
struct Band {
    of: Anchor,
    stock: bool,
    wide: f64,
    thick: f64,
    neutral: f64,
}

impl Fitter<'_, '_> {
    /// Fits it in all its places; the width of the strap it takes.
    fn fit(&mut self, found: &[Found]) -> Result<Option<f64>, Stop> {
        let takes = match self.spec.sort {
            "ring" => Some(self.held(found, "ring")?),
            "buckle" => Some(self.held(found, "buckle")?),
            "loop" | "keeper" => Some(self.looped(found)?),
            "hook" => {
                let (supply, own) = self.supply("hook")?;
                let wide = self.size(&own, "wide", own.wide.or(own.across))?;
                let long = self.size(&own, "long", own.long)?;
                self.spots(found, Face::Outside, &centred(wide, long));
                self.lump(supply, &own, found, 0.5 * own.thick.unwrap_or(0.0));
                Some(wide)
            }
            "rivet" => {
                let (supply, own) = self.supply("rivet")?;
                let across = self.size(&own, "across", own.across)?;
                if let Some(long) = own.long
                    && long < self.site.thick() - 1e-9
                {
                    return Err(errors::rivet_too_short(&own.name, long, self.site.thick(), self.spec.of_span).into());
                }
                self.spots(found, Face::Outside, &circle(across));
                self.lump(supply, &own, found, -0.5 * self.site.thick());
                None
            }
            "magnet" => {
                let (supply, own) = self.supply("magnet")?;
                let shape = match (own.across, own.wide, own.long) {
                    (Some(across), ..) => circle(across),
                    (None, Some(wide), Some(long)) => centred(long, wide),
                    _ => return Err(errors::no_supply_size(&own.name, "across", self.spec.of_span).into()),
                };
                let deep = self.size(&own, "thick", own.thick)?;
                if deep > self.site.thick() + 1e-9 {
                    return Err(errors::let_in_too_deep(&own.name, deep, self.site.thick(), self.spec.of_span).into());
                }
                self.spots(found, Face::Outside, &shape);
                self.lump(supply, &own, found, -0.5 * deep);
                None
            }
            "hook_loop" => {
                let (supply, own) = self.supply("hook_loop")?;
                let wide = self.size(&own, "wide", own.wide)?;
                let long = self.spec.long.ok_or(Stop::Skip)?;
                self.spots(found, Face::Outside, &centred(long, wide));
                for f in found {
                    let line = vec![f.point(-0.5 * long, 0.0, 0.0), f.point(0.5 * long, 0.0, 0.0)];
                    self.run(f.name.clone(), GoodsOf::Supply(supply), line, (long, 0.0));
                }
                None
            }
            "drop" => {
                self.spec.spread.no_spin()?;
                beads::drop(self, found)?;
                None
            }
            "swag" => {
                self.spec.spread.no_spin()?;
                beads::swag(self, found)?;
                None
            }
            other => return Err(errors::not_built_yet(&format!("`as: {other}`"), self.spec.head).into()),
        };
        self.backed(found)?;
        Ok(takes)
    }

    /// What it is of first, when that is a supply of the sort.
    fn supply(&mut self, sort: &str) -> Result<(usize, Supply), Stop> {
        let first = self.spec.of.first().cloned().ok_or(Stop::Skip)?;
        self.named(&first, &[sort], self.spec.of_span)
    }

    fn named(&mut self, anchor: &Anchor, sorts: &[&str], span: Span) -> Result<(usize, Supply), Stop> {
        let thing = self.shaper.design.thing(anchor.thing);
        if thing.kind != Kind::Supply {
            return Err(errors::wrong_goods(&thing.name.to_string(), "a stock", sorts, span).into());
        }
        let index = self.shaper.supplied(anchor.thing).ok_or(Stop::Skip)?;
        let own = self.shaper.solid.fitted.supplies[index].clone();
        if !sorts.contains(&own.sort) {
            return Err(errors::wrong_goods(&own.name, own.sort, sorts, span).into());
        }
        Ok((index, own))
    }

    /// A size that the supply must have.
    fn size(&self, own: &Supply, field: &str, size: Option<f64>) -> Result<f64, Stop> {
        size.ok_or_else(|| errors::no_supply_size(&own.name, field, self.spec.of_span).into())
    }

    /// The strip that goods make: of a supply as wide as it is, of sheet as wide as asked.
    fn band(&mut self, of: &Anchor, span: Span, wide: f64, bend: f64) -> Result<Band, Stop> {
        if self.shaper.design.thing(of.thing).kind == Kind::Stock {
            let thick = self.shaper.thickness(std::slice::from_ref(of), span)?;
            let neutral = self.shaper.known.sheets.get(&of.thing).ok_or(Stop::Skip)?.neutral.at(bend) * thick;
            return Ok(Band { of: of.clone(), stock: true, wide, thick, neutral });
        }
        let (_, own) = self.named(of, &["webbing", "elastic", "tape", "lace"], span)?;
        let own_wide = own.wide.or(own.across);
        let wide = own_wide.ok_or_else(|| Stop::from(errors::no_supply_size(&own.name, "wide", span)))?;
        let thick = own.thick.unwrap_or(0.0);
        Ok(Band { of: of.clone(), stock: false, wide, thick, neutral: 0.5 * thick })
    }

    /// A ring or buckle on a tab: the strap it takes.
    fn held(&mut self, found: &[Found], sort: &str) -> Result<f64, Stop> {
        let (supply, own) = self.supply(sort)?;
        let inside = self.size(&own, "wide", own.wide.or(own.across))?;
        let bar = own.thick.unwrap_or(0.0);
        let bar = if sort == "buckle" { bar.min(BAR) } else { bar };
        let tab = self.spec.tab.clone().ok_or(Stop::Skip)?;
        let band = self.band(&tab, self.spec.tab_span, inside, 0.5 * bar)?;
        if band.wide > inside + 1e-9 {
            let tab = self.shaper.design.thing(tab.thing).name.to_string();
            let d = errors::tab_too_wide(&tab, band.wide, &own.name, inside, self.spec.tab_span, self.spec.of_span);
            return Err(d.into());
        }
        let glued = GLUED.max(band.wide);
        // Both legs, and half a turn round the bar on the strip's own neutral surface.
        let long = 2.0 * glued + PI * (0.5 * bar + band.neutral);
        let place = rectangle((-0.5 * band.wide, 0.5 * band.wide), (-glued, 0.0));
        self.spots(found, Face::Outside, &place);
        for f in found {
            let leg = vec![f.point(0.0, 0.0, band.thick), f.point(0.0, -glued, band.thick)];
            let middle = f.point(0.0, -0.5 * glued, 0.0);
            self.strip(f, &format!("{} tab", f.name), &band, (long, self.spec.tab_span), (middle, leg))?;
        }
        self.lump(supply, &own, found, 0.5 * bar);
        Ok(inside)
    }

    /// A loop or keeper: the strap it takes.
    fn looped(&mut self, found: &[Found]) -> Result<f64, Stop> {
        let of = self.spec.of.first().cloned().ok_or(Stop::Skip)?;
        let strap = self.strap_through();
        let inside = match self.spec.wide {
            Some(wide) => wide,
            None => match &strap {
                Some((wide, _)) => wide + LOOP_SPARE,
                None => return Err(errors::how_wide(&self.spec.spread.name, self.spec.head).into()),
            },
        };
        let band = self.band(&of, self.spec.of_span, LOOP_WIDE, inside)?;
        let place = inside + 2.0 * LOOP_END;
        // Up one side of the strap and down the other.
        let long = place + 2.0 * strap.map_or(0.0, |(_, thick)| thick);
        self.spots(found, Face::Outside, &centred(band.wide, place));
        for f in found {
            let line = vec![f.point(0.0, -0.5 * long, band.thick), f.point(0.0, 0.5 * long, band.thick)];
            let of_span = self.spec.of_span;
            self.strip(f, &f.name, &band, (long, of_span), (f.at, line))?;
        }
        Ok(inside)
    }

    /// Width and thickness of the strap that runs through this.
    fn strap_through(&mut self) -> Option<(f64, f64)> {
        let design = self.shaper.design;
        for strap in design.things.iter().filter(|t| t.kind == Kind::Strap && !t.poisoned) {
            let through =
                self.shaper.read(strap.id, None, |f| if f.written("via") { f.things("via") } else { Ok(vec![]) });
            let on = strap.target.iter().flat_map(|t| &t.anchors);
            if !on.chain(through.iter().flatten()).any(|a| a.thing == self.id) {
                continue;
            }
            // What cannot be read yet has to be said in the loop itself.
            let of = self.shaper.read(strap.id, None, |f| f.things("of")).unwrap_or_default();
            let first = of.first().filter(|a| design.thing(a.thing).kind == Kind::Supply).map(|a| a.thing);
            let own = first.and_then(|first| self.shaper.read(first, None, goods::supply).ok());
            if let Some(sizes) = own.and_then(|own| Some((own.wide.or(own.across)?, own.thick.unwrap_or(0.0)))) {
                return Some(sizes);
            }
        }
        None
    }

    /// A strip in place: a length of a supply, or a piece of sheet.
    fn strip(
        &mut self,
        found: &Found,
        name: &str,
        band: &Band,
        (long, span): (f64, Span),
        (middle, line): (Vec3, Vec<Vec3>),
    ) -> Result<(), Stop> {
        if band.stock {
            return self.patch(found, name, &band.of, (band.wide, long), span, middle);
        }
        let supply = self.shaper.supplied(band.of.thing).ok_or(Stop::Skip)?;
        self.run(name.to_owned(), GoodsOf::Supply(supply), line, (long, 0.0));
        Ok(())
    }

    /// The patch behind each, on the hidden face: of the sheet that `of` names beside the fitting, or of the part's
    /// own innermost.
    fn backed(&mut self, found: &[Found]) -> Result<(), Stop> {
        let Some((across, up)) = self.spec.backing else { return Ok(()) };
        let design = self.shaper.design;
        let sheet = self.spec.of.iter().find(|a| design.thing(a.thing).kind == Kind::Stock).cloned();
        let sheet = match sheet.filter(|_| !matches!(self.spec.sort, "loop" | "keeper")) {
            Some(sheet) => sheet,
            None => {
                let layer = self.shaper.solid.parts[self.site.part.index()].layers.first().ok_or(Stop::Skip)?;
                let thing = self.shaper.solid.stocks[layer.stock].thing;
                Anchor { thing, ..self.spec.of[0].clone() }
            }
        };
        let thick = self.shaper.thickness(std::slice::from_ref(&sheet), self.spec.backing_span)?;
        let outline = centred(across, up);
        for f in found {
            let name = format!("{} backing", f.name);
            let middle = f.point(0.0, 0.0, -self.site.thick() - thick);
            self.spot(name.clone(), f, Face::Inside, &outline);
            self.patch(f, &name, &sheet, (across, up), self.spec.backing_span, middle)?;
        }
        Ok(())
    }

    fn spots(&mut self, found: &[Found], face: Face, outline: &Path) {
        for f in found {
            self.spot(f.name.clone(), f, face, outline);
        }
    }

    fn spot(&mut self, name: String, found: &Found, face: Face, outline: &Path) {
        let (part, thing, origin) = (found.part, self.id, self.spec.head);
        let outline = outline.moved(&Motion { turn: found.turn, ..Motion::STAY });
        let spot = Spot { part, over: Vec::new(), thing, name, origin, face, on: found.ground, outline, hollow: None };
        self.shaper.solid.fitted.spots.push(spot);
    }

    fn lump(&mut self, supply: usize, own: &Supply, found: &[Found], out: f64) {
        let at = found.iter().map(|f| f.point(0.0, 0.0, out)).collect();
        self.lumps(self.spec.spread.name.clone(), (supply, own), at, None);
    }

    fn lumps(&mut self, name: String, (supply, own): (usize, &Supply), at: Vec<Vec3>, spacing: Option<f64>) {
        self.shaper.solid.fitted.lumps.push(Lump {
            thing: self.id,
            name,
            origin: self.spec.head,
            supply: Some(supply),
            mass: own.mass,
            at,
            spacing,
            pair: self.site.pair,
            contents: false,
        });
    }

    fn run(&mut self, name: String, goods: GoodsOf, line: Vec<Vec3>, (along, spare): (f64, f64)) {
        let (thing, origin, pair) = (self.id, self.spec.head, self.site.pair);
        self.shaper.solid.fitted.runs.push(Run { thing, name, origin, goods, rows: 1, line, along, spare, pair });
    }

    /// A rectangle of sheet, `across` by `up` on the flat, as a plate that stands where it goes.
    fn patch(
        &mut self,
        found: &Found,
        name: &str,
        of: &Anchor,
        (across, up): (f64, f64),
        span: Span,
        middle: Vec3,
    ) -> Result<(), Stop> {
        let frame = Frame { origin: middle, x: found.up, y: -found.right, z: found.out };
        let made = patch::Patch {
            thing: self.id,
            name: name.to_owned(),
            origin: self.spec.head,
            of: of.clone(),
            size: (across, up),
            span,
            frame,
            pair: self.site.pair,
        };
        patch::add(self.shaper, made)?;
        Ok(())
    }
}
