//! Plates that slide over one another, measured again as they stand: which of two lies outside, how far they are apart
//! and lie over each other, how far the arc takes them, and the straps from mark to mark.

use crate::fitted::sliding::{Sliding, Strap};
use crate::fitted::{GoodsOf, Ground};
use crate::geom::{Vec3, unit};
use crate::num::{self, FRAC_PI_2};
use crate::solid::{Part, Size, Solid};
use crate::verdict::Check;

use super::lines::View;
use super::report::{FIT, Report};
use super::space::Round;
use super::wall::fit;

/// What the text's overlap may differ from how the plates stand, mm: messages give tenths.
const SAID: f64 = 0.1;
/// Directions in which two plates are held against each other, besides those where their sections change.
const WAYS: u32 = 256;

/// Checks everything that slides.
pub fn all(solid: &Solid, views: &[Option<View<'_>>], report: &mut Report) {
    report.piece = None;
    for sliding in &solid.fitted.slidings {
        let lames: Vec<Lame<'_>> = sliding.plates.iter().filter_map(|p| lame(solid, views, p.index())).collect();
        let whole = lames.len() == sliding.plates.len() && sliding.joints.len() + 1 == lames.len();
        report.holds(Check::Coverage, &sliding.name, "all its plates are walls of one stretch", whole);
        if !whole {
            continue;
        }
        for i in 0..sliding.joints.len() {
            report.verdict.checked.claims += 1;
            joint(sliding, i, &lames, report);
        }
        for strap in &sliding.straps {
            report.verdict.checked.claims += 1;
            one(solid, sliding, strap, &lames, report);
        }
    }
}

struct Lame<'a> {
    part: &'a Part,
    round: &'a Round,
    inner: f64,
    outer: f64,
}

fn lame<'a>(solid: &'a Solid, views: &'a [Option<View<'a>>], i: usize) -> Option<Lame<'a>> {
    let (part, view) = (solid.parts.get(i)?, views.get(i)?.as_ref()?);
    let [round] = view.rounds.as_slice() else { return None };
    let inner = part.layers.iter().map(|l| l.inner).fold(f64::INFINITY, f64::min);
    let outer = part.layers.iter().map(|l| l.outer).fold(f64::NEG_INFINITY, f64::max);
    Some(Lame { part, round, inner, outer })
}

impl Lame<'_> {
    /// How far a place of its outside lies from the line about which plates turn, toward the crown, at its wider end.
    fn off_line(&self, w: f64, crown: f64) -> f64 {
        let way = unit(crown);
        let of = |z: f64| {
            let at = |w: f64| self.round.generatrix(w).at(z, self.outer).truncate().dot(way);
            let side = |turn: f64| self.round.facing(crown + turn).map_or(f64::NAN, at);
            at(w) - 0.5 * (side(FRAC_PI_2) + side(-FRAC_PI_2))
        };
        let (z0, z1) = self.round.heights;
        let (a, b) = (of(z0), of(z1));
        if a.abs() > b.abs() { a } else { b }
    }
}

fn joint(sliding: &Sliding, i: usize, lames: &[Lame<'_>], r: &mut Report) {
    let (lower, upper) = (&lames[i], &lames[i + 1]);
    let (inner, outer) = if sliding.outside { (lower, upper) } else { (upper, lower) };
    let (name, under) = (&upper.part.name, &lower.part.name);
    let stands = lower.part.place.seen(upper.part.place.origin);
    let leans = lower.part.place.z.cross(upper.part.place.z).length();
    let place = format!("{:.3} mm aside", stands.truncate().length());
    r.figure(Check::Claim, &format!("{name} in line with {under}"), place, stands.truncate().length(), FIT);
    r.holds(Check::Claim, &format!("{name} in line with {under}"), "along one axis", leans < 1e-9);

    // How far over each other, along the sheet opposite the seam.
    let up = stands.z;
    let (from, to) = (up + upper.round.heights.0, lower.round.heights.1);
    let slope = lower.round.facing(sliding.crown).map_or(f64::NAN, |w| {
        let g = lower.round.generatrix(w);
        (g.head - g.foot).length() / (g.head.z - g.foot.z)
    });
    let over = (to - from) * slope;
    let place = format!("{over:.3} mm for {:.3}", sliding.overlap);
    let what = format!("overlap of {name} over {under}");
    r.figure(Check::Claim, &what, place, (over - sliding.overlap).abs(), SAID);

    // Which lies outside, and how far off.
    let mut clear = f64::INFINITY;
    let even = (0..WAYS).map(|i| num::TAU * f64::from(i) / f64::from(WAYS));
    let foot = |lame: &Lame<'_>| if core::ptr::eq(lame, upper) { up } else { 0.0 };
    for phi in even.chain(inner.round.normals()).chain(outer.round.normals()) {
        for z in [from, to] {
            let (bore, cosine) = outer.round.reaches(phi, z - foot(outer), outer.inner);
            let skin = inner.round.reaches(phi, z - foot(inner), inner.outer).0;
            clear = clear.min((bore - skin) * cosine);
        }
    }
    let side = if sliding.outside { "outside" } else { "inside" };
    let what = format!("{name} {side} {under}");
    r.holds(Check::Claim, &what, &format!("{up:.3} mm above it"), up > 0.0);
    r.holds(Check::Claim, &what, &format!("{clear:.3} mm off it"), clear > 0.0);
    let told = &sliding.joints[i];
    fit(r, Check::Claim, &format!("way between {name} and {under}"), clear, told.clear);

    // How far the arc takes them, and what is left of the overlap then.
    let radius = inner.round.facing(sliding.crown).map_or(f64::NAN, |w| inner.off_line(w, sliding.crown));
    fit(r, Check::Claim, &format!("radius of {name} on {under}"), told.radius, radius);
    let slide = radius * sliding.each();
    fit(r, Check::Claim, &format!("slide of {name} on {under}"), told.slide, slide);
    let lacks = (sliding.keep + slide - over).max(0.0);
    let place = format!("{over:.3} mm for {slide:.3} and {:.3} kept", sliding.keep);
    r.figure(Check::Claim, &format!("movement of {name} on {under}"), place, lacks, SAID + FIT);
}

fn one(solid: &Solid, sliding: &Sliding, strap: &Strap, lames: &[Lame<'_>], r: &mut Report) {
    let fitted = &solid.fitted;
    let what = |of: &str| format!("{of} {}", strap.name);
    r.count(&what("places of"), strap.holds.len(), lames.len());
    r.count(&what("lengths of"), strap.free.len() + 1, lames.len());
    let run = strap.run.and_then(|i| fitted.runs.get(i));
    let own = strap.part.and_then(|p| solid.parts.get(p.index()));
    let thick = match (run.map(|r| r.goods), own) {
        (Some(GoodsOf::Supply(i)), None) => fitted.supplies.get(i).and_then(|s| s.thick).unwrap_or(0.0),
        (None, Some(part)) => part.layers.iter().map(|l| l.outer - l.inner).sum(),
        _ => {
            r.holds(Check::Coverage, &what("goods of"), "one length or one piece", false);
            return;
        }
    };
    // Where it is fixed on each plate, first and last, in the prop, and how far that is from the line about which they turn.
    let mut at: Vec<(Vec3, Vec3, f64)> = Vec::new();
    for (lame, hold) in lames.iter().zip(&strap.holds) {
        let spot = fitted.spots.get(hold.spot).filter(|s| s.part == lame.part.id);
        let Some((rule, z)) = spot.and_then(|s| match s.on {
            Ground::Wall { rule, z, .. } => Some((rule, z)),
            Ground::Plate { .. } | Ground::Face { .. } | Ground::Leaf { .. } => None,
        }) else {
            r.holds(Check::Coverage, &what("place of"), &lame.part.name, false);
            return;
        };
        let (w, _) = lame.round.locate(&rule, 0.0);
        let g = lame.round.generatrix(w);
        let p = g.at(z, lame.inner) - g.normal * (0.5 * thick);
        let half = g.along * (0.5 * hold.long);
        let [low, high] = [p - half, p + half].map(|p| lame.part.place.apply(p));
        at.push((low, high, lame.off_line(w, sliding.crown)));
    }
    let axis = lames[0].part.place.z;
    for (i, free) in strap.free.iter().enumerate().take(at.len().saturating_sub(1)) {
        let (a, b, held) = (&at[i], &at[i + 1], &strap.holds[i..=i + 1]);
        let way = b.0 - a.1;
        let up = way.dot(axis);
        let aside = (way - axis * up).length();
        let slide = if sliding.outside { a.2 } else { b.2 } * sliding.each();
        let glued = 0.5 * (held[0].long + held[1].long);
        let drawn = num::hypot(up + slide, aside);
        fit(r, Check::Claim, &what("free length of"), free.drawn, drawn);
        fit(r, Check::Claim, &what("closed length of"), free.closed, way.length());
        fit(r, Check::Claim, &what("marks on"), held[1].at - held[0].at, drawn + glued);
    }
    let (Some(first), Some(last)) = (strap.holds.first(), strap.holds.last()) else { return };
    let (before, after) = (first.at - 0.5 * first.long, strap.long - last.at - 0.5 * last.long);
    r.holds(
        Check::Claim,
        &what("ends of"),
        "alike, and beyond its fastenings",
        (before - after).abs() < FIT && before > -FIT,
    );
    if let Some(run) = run {
        fit(r, Check::Claim, &what("length of"), run.along + run.spare, strap.long);
    }
    if let Some(part) = own {
        let asked = solid.claims.iter().find_map(|c| match c.size {
            Size::Patch { across, up } if c.part == part.id => Some((across, up)),
            _ => None,
        });
        let (across, up) = asked.unwrap_or((f64::NAN, f64::NAN));
        fit(r, Check::Claim, &what("length of"), up, strap.long);
        fit(r, Check::Claim, &what("width of"), across, strap.wide);
        // Its own marks, by the names they carry on the plates.
        for hold in &strap.holds {
            let name = &fitted.spots[hold.spot].name;
            let mark = fitted.spots.iter().find(|s| s.part == part.id && s.name == *name);
            let is = match mark.map(|s| s.on) {
                Some(Ground::Plate { centre }) => centre.x + 0.5 * strap.long,
                _ => f64::NAN,
            };
            fit(r, Check::Claim, &what("marks on"), is, hold.at);
        }
    }
}
