//! `articulation`: plates that nest in each other and slide, on straps that hold them.
//!
//! Conventions chosen here, where the language leaves room:
//! - the plates are the shells named, from the lowest up along their common axis. They stand in the text as they lie
//!   closed: drawn together as far as they go;
//! - they turn toward the seam's side: about a line across the axis, through the widest place of the sheet's section
//!   square to the direction opposite the seam (of a round plate through the axis itself). What lies farthest off that
//!   line slides by the arc, `radius * angle`; how sheets bear on each other as they tilt is left to the give of foam;
//! - the radius of a joint is that of the face on which the outer plate slides, the outside of the inner one. Nested
//!   plates are wider from one to the next, so the widest joint decides;
//! - each joint takes an equal share of the angle, and keeps [`KEEP`] of its overlap when it is drawn out;
//! - the overlap is measured along the sheet, opposite the seam;
//! - plates are loose enough from [`CLEAR`] on, linings and covers between them taken off.

mod straps;

use super::super::{Shaper, errors, goods, measure};
use super::border::rows::Foot;
use super::border::skin::Skin;
use super::border::stack;
use super::{lid, place};
use crate::design::{Anchor, Kind};
use crate::diag::{Code, Diagnostic};
use crate::eval::{Fields, Stop};
use crate::fitted::sliding::{Slide, Sliding};
use crate::geom::strip::{Rule, Strip};
use crate::geom::walk::Walk;
use crate::geom::{Vec3, unit};
use crate::ids::{PartId, ThingId};
use crate::num::{self, FRAC_PI_2, PI, TAU};
use crate::skin::leaves;
use crate::solid::{Frame, Seam};
use crate::span::Span;

/// What a joint keeps of its overlap when it is drawn out, mm (the language's own figure; common practice, no source).
const KEEP: f64 = 8.0;
/// Sheets that slide on each other stand so far apart, mm (as a lid's rim does; common practice, no source).
const CLEAR: f64 = 0.5;
/// What an overlap may differ from how far the plates lie over each other, mm: messages give tenths.
const SAME: f64 = 0.1;
/// Directions in which plates are held against each other.
const WAYS: u32 = 360;
/// Plates that a refusal proposes at most.
const MOST_PLATES: usize = 40;

/// The fields of an articulation, reckoned.
struct Spec {
    name: String,
    head: Span,
    angle: f64,
    angle_span: Span,
    overlap: f64,
    overlap_span: Span,
    of: Vec<Anchor>,
    of_span: Span,
    count: f64,
    count_span: Span,
    outside: bool,
    upper_span: Span,
}

fn read(fields: &mut Fields<'_>) -> Result<Spec, Stop> {
    let thing = fields.thing();
    Ok(Spec {
        name: thing.name.to_string(),
        head: thing.head,
        angle: fields.maybe_number("angle")?.ok_or(Stop::Skip)?,
        angle_span: fields.span("angle"),
        overlap: fields.length("overlap")?,
        overlap_span: fields.span("overlap"),
        of: fields.things("of")?,
        of_span: fields.span("of"),
        count: fields.maybe_number("count")?.unwrap_or(3.0),
        count_span: if fields.written("count") { fields.span("count") } else { thing.head },
        outside: fields.maybe_word("upper")? != Some("inside"),
        upper_span: if fields.written("upper") { fields.span("upper") } else { thing.head },
    })
}

/// One plate.
struct Lame {
    thing: ThingId,
    name: String,
    head: Span,
    part: PartId,
    frame: Frame,
    pair: bool,
    strip: Strip,
    seam: Seam,
    /// The direction of its seam.
    facing: f64,
    inner: f64,
    outer: f64,
    neutral: f64,
    tall: f64,
    /// Height of its foot along the common axis.
    foot: f64,
}

impl Lame {
    fn top(&self) -> f64 {
        self.foot + self.tall
    }

    /// The rule opposite its seam.
    fn crown(&self) -> Option<Rule> {
        measure::facing(&self.strip, self.facing + PI)
    }

    /// How much of the sheet a millimetre of the axis takes up along a rule.
    fn slope(&self, rule: &Rule) -> f64 {
        measure::slant(rule) / rule.rise()
    }

    /// Its width along the sheet, opposite the seam.
    fn wide(&self) -> f64 {
        self.crown().map_or(self.tall, |rule| self.tall * self.slope(&rule))
    }
}

/// Two plates that follow each other, the lower one first.
struct Pair<'a> {
    lower: &'a Lame,
    upper: &'a Lame,
    outside: bool,
}

impl Pair<'_> {
    /// The heights along the axis between which they lie over each other.
    fn zone(&self) -> (f64, f64) {
        (self.upper.foot, self.lower.top())
    }

    /// How far that is along the sheet, opposite the seam.
    fn overlap(&self) -> f64 {
        let (from, to) = self.zone();
        self.lower.crown().map_or(to - from, |rule| (to - from) * self.lower.slope(&rule))
    }

    fn inner(&self) -> &Lame {
        if self.outside { self.lower } else { self.upper }
    }

    fn outer(&self) -> &Lame {
        if self.outside { self.upper } else { self.lower }
    }

    /// The least distance of the sheet of `over` from that of `under` where both are, square to the sheet; below
    /// nothing where `over` does not lie outside all round.
    fn clear(&self, over: &Lame, under: &Lame) -> f64 {
        let (from, to) = self.zone();
        let mut least = f64::INFINITY;
        let ways = (0..WAYS).map(|i| TAU * f64::from(i) / f64::from(WAYS));
        for phi in ways.chain([over.facing, over.facing + PI]) {
            let (Some(a), Some(b)) = (measure::facing(&over.strip, phi), measure::facing(&under.strip, phi)) else {
                continue;
            };
            for z in [from, to] {
                let bore = a.support_at(z - over.foot, over.inner).0;
                let skin = b.support_at(z - under.foot, under.outer).0;
                least = least.min((bore - skin) / a.secant());
            }
        }
        least
    }

    /// How far a rule of the inner plate lies from the line about which they turn, toward the crown, on the face on
    /// which the other slides.
    fn off_line(&self, rule: &Rule) -> f64 {
        let lame = self.inner();
        let crown = unit(lame.facing + PI);
        let at = |rule: &Rule, z: f64| rule.point(z, lame.outer).truncate().dot(crown);
        let side = |turn: f64| measure::facing(&lame.strip, lame.facing + turn);
        let of = |z: f64| {
            let line = match (side(FRAC_PI_2), side(-FRAC_PI_2)) {
                (Some(a), Some(b)) => 0.5 * (at(&a, z) + at(&b, z)),
                _ => 0.0,
            };
            at(rule, z) - line
        };
        // The wider end, on either side of the line.
        let (a, b) = (of(0.0), of(lame.tall));
        if a.abs() > b.abs() { a } else { b }
    }

    /// How far behind that line the inner plate reaches.
    fn behind(&self) -> f64 {
        let lame = self.inner();
        let walk = Walk::new(&lame.strip);
        let (start, end) = leaves(&walk, lame.seam, 0.5 * lame.tall, lame.neutral);
        let (z, d) = (0.5 * lame.tall, lame.outer);
        let (from, to) = (walk.length(start, z, d), walk.length(end, z, d));
        let within = (0..=WAYS).map(|i| walk.at_length(from + (to - from) * f64::from(i) / f64::from(WAYS), z, d));
        [start, end].into_iter().chain(within).map(|p| -self.off_line(&walk.rule(p))).fold(0.0, f64::max)
    }
}

/// Builds an articulation.
///
/// # Errors
/// When its plates cannot move as it is written.
pub(in super::super) fn lower(shaper: &mut Shaper<'_>, id: ThingId) -> Result<(), Stop> {
    let thing = shaper.design.thing(id);
    let target = thing.target.as_ref().ok_or(Stop::Skip)?;
    let spec = shaper.read(id, None, read)?;
    let mut lames = Vec::new();
    for anchor in &target.anchors {
        lames.push(lame(shaper, anchor, target.span)?);
    }
    let lames = in_line(lames, target.span)?;
    let goods = straps::goods(shaper, &spec, &lames)?;
    let pairs: Vec<Pair<'_>> =
        lames.windows(2).map(|w| Pair { lower: &w[0], upper: &w[1], outside: spec.outside }).collect();
    let each = spec.angle / pairs.len() as f64;

    // What is wrong is told all at once, the first of each sort.
    let mut faults = Vec::new();
    let mut joints = Vec::with_capacity(pairs.len());
    for pair in &pairs {
        let clear = pair.clear(pair.outer(), pair.inner());
        let crown = pair.inner().crown().ok_or(Stop::Skip)?;
        let radius = pair.off_line(&crown);
        joints.push(Slide { radius, slide: radius * each, clear, closes: pair.behind() * each });
    }
    let nested = nesting(shaper, &spec, &pairs, &joints)?;
    // How far those on the wrong side would slide is another sum.
    let sided = nested.as_ref().is_none_or(|d| d.code != Code::WrongSide);
    let sound = nested.is_none();
    faults.extend(nested);
    if sound {
        let apart = pairs.iter().find(|p| (p.overlap() - spec.overlap).abs() > SAME);
        faults.extend(apart.map(|p| differs(&spec, p)));
    }
    let widest = joints.iter().map(|j| j.radius).fold(0.0, f64::max);
    let gives = (spec.overlap - KEEP).max(0.0);
    let most = pairs.len() as f64 * gives / widest;
    // A hair's breadth is no slide.
    if sided && widest * each > gives + 1e-6 {
        faults.push(cannot_move(&spec, &pairs, &joints, (widest, most), goods.least_shown()));
    }
    let mut faults = faults.into_iter();
    if let Some(first) = faults.next() {
        for more in faults {
            shaper.faults.push(more);
        }
        return Err(first.into());
    }
    for (pair, joint) in pairs.iter().zip(&joints) {
        let least = pair.lower.wide().min(pair.upper.wide());
        let past = pair.overlap() + joint.closes - least;
        if past > 0.05 {
            let names = (pair.upper.name.as_str(), pair.lower.name.as_str());
            shaper.faults.push(errors::lames_pinch(names, (joint.closes, past), spec.head));
            break;
        }
    }
    let straps = straps::fix(shaper, id, &spec, &goods, &pairs, each)?;
    let lowest = &lames[0];
    shaper.known.articulations.insert(id, most);
    shaper.solid.fitted.slidings.push(Sliding {
        thing: id,
        name: spec.name.clone(),
        origin: spec.head,
        angle: spec.angle,
        most,
        overlap: spec.overlap,
        keep: KEEP,
        outside: spec.outside,
        crown: num::wrap(lowest.facing + PI, TAU),
        plates: lames.iter().map(|l| l.part).collect(),
        joints,
        straps,
        pair: lowest.pair,
    });
    Ok(())
}

/// A plate that slides: so far one stretch of wall that stands upright or slopes.
fn lame(shaper: &Shaper<'_>, anchor: &Anchor, span: Span) -> Result<Lame, Stop> {
    let thing = shaper.design.thing(anchor.thing);
    if anchor.hand.is_some() {
        return Err(errors::not_built_yet("an articulation on one of a pair only", span).into());
    }
    if thing.kind != Kind::Shell {
        let word = crate::schema::kind_of(thing.kind).word;
        return Err(errors::not_built_yet(&format!("an articulation on a {word}"), span).into());
    }
    let host = place::built(shaper, anchor, span)?;
    let (shell, wall) = place::host_wall(shaper, host)?;
    let part = &shaper.solid.parts[shell.part.index()];
    let [strip] = wall.strips.as_slice() else {
        return Err(errors::not_built_yet("an articulation on a wall that bends at a station", span).into());
    };
    let name = thing.name.to_string();
    if shell.closed_bottom || shell.closed_top {
        let why = format!("{name} is drawn together to a point");
        return Err(errors::not_lames(&why, "let it end with an opening", span).into());
    }
    Ok(Lame {
        thing: host,
        name,
        head: thing.head,
        part: shell.part,
        frame: part.place,
        pair: part.pair,
        strip: strip.clone(),
        seam: wall.seam,
        facing: wall.facing,
        inner: shell.inner,
        outer: shell.outer,
        neutral: part.layers.first().map_or(0.0, |l| l.neutral),
        tall: shell.tall,
        foot: 0.0,
    })
}

/// The plates from the lowest up, when they stand in one line and each reaches over the next.
fn in_line(mut lames: Vec<Lame>, span: Span) -> Result<Vec<Lame>, Stop> {
    let fault = |why: &str, help: &str| -> Stop { errors::not_lames(why, help, span).into() };
    let step = "stand each over the last: `shell lame[i] over lame[i - 1] { gap: 1 mm, level: 20 mm }`";
    let Some(first) = lames.first() else { return Err(Stop::Skip) };
    if lames.len() < 2 {
        return Err(fault(&format!("{} is one plate, and slides over none", first.name), step));
    }
    let (base, facing, pair, name) = (first.frame, first.facing, first.pair, first.name.clone());
    for lame in &mut lames {
        let at = base.seen(lame.frame.origin);
        let square = base.z.dot(lame.frame.z) > 1.0 - 1e-9 && base.x.dot(lame.frame.x) > 1.0 - 1e-9;
        if !square || at.truncate().length() > 1e-6 {
            return Err(fault(&format!("{name} and {} do not stand in one line", lame.name), step));
        }
        if num::wrap(lame.facing - facing + PI, TAU) - PI > 1e-9
            || num::wrap(facing - lame.facing + PI, TAU) - PI > 1e-9
        {
            let why = format!("the seams of {name} and {} face different ways", lame.name);
            return Err(fault(&why, "give all of them a `seam` with one `facing`: they turn toward it"));
        }
        if lame.pair != pair {
            return Err(errors::not_built_yet("an articulation between one of a pair and what is none", span).into());
        }
        lame.foot = at.z;
    }
    lames.sort_by(|a, b| a.foot.total_cmp(&b.foot));
    for w in lames.windows(2) {
        let (a, b) = (&w[0], &w[1]);
        let names = format!("{} and {}", a.name, b.name);
        if b.foot - a.foot < 1e-6 || b.top() - a.top() < 1e-6 {
            return Err(fault(&format!("neither of {names} reaches past the other at both ends"), step));
        }
        if a.top() - b.foot < 1e-6 {
            return Err(fault(&format!("{names} do not lie over each other"), step));
        }
    }
    Ok(lames)
}

/// What lies between two plates that slide: covers and borders on the inner one, the lining of the outer one.
fn between(shaper: &mut Shaper<'_>, pair: &Pair<'_>) -> Result<f64, Stop> {
    let (from, to) = pair.zone();
    let (inner, outer) = (pair.inner(), pair.outer());
    let skin = Skin::of_shell(shaper, inner.thing)?;
    let lying: Vec<Foot> = stack::on_wall(shaper, &skin, None).into_iter().map(|(_, foot)| foot).collect();
    let mut thick = lid::proud(&lying, (from - inner.foot, to - inner.foot));
    let design = shaper.design;
    for id in shaper.raised.get(&outer.thing).cloned().unwrap_or_default() {
        let thing = design.thing(id);
        if thing.poisoned {
            continue;
        }
        let wraps = thing.kind == Kind::Border && matches!(thing.sort, Some("binding" | "wrap"));
        thick += shaper.read(id, Some([0.0, 0.5 * outer.tall, outer.tall]), |fields| {
            let within = wraps || thing.kind == Kind::Cover && fields.maybe_word("face")? != Some("outside");
            if within { goods::stands(design, fields, "of") } else { Ok(0.0) }
        })?;
    }
    Ok(thick)
}

/// A plate on the wrong side of its neighbour, or too close to it to slide.
fn nesting(
    shaper: &mut Shaper<'_>,
    spec: &Spec,
    pairs: &[Pair<'_>],
    joints: &[Slide],
) -> Result<Option<Diagnostic>, Stop> {
    for (pair, joint) in pairs.iter().zip(joints) {
        let names = (pair.upper.name.as_str(), pair.lower.name.as_str());
        if joint.clear < 0.0 && pair.clear(pair.inner(), pair.outer()) >= 0.0 {
            return Ok(Some(errors::wrong_side(names, spec.outside, (spec.upper_span, pair.upper.head))));
        }
        let taken = between(shaper, pair)?;
        if joint.clear - taken < CLEAR - 1e-6 {
            let outer = pair.outer();
            let told = errors::too_tight(names, (joint.clear, taken, CLEAR), (spec.head, outer.head));
            return Ok(Some(told));
        }
    }
    Ok(None)
}

/// The overlap that is asked for is not the one with which the plates stand.
fn differs(spec: &Spec, pair: &Pair<'_>) -> Diagnostic {
    let slope = pair.lower.crown().map_or(1.0, |rule| pair.lower.slope(&rule));
    let level = pair.lower.tall - spec.overlap / slope;
    let names = (pair.upper.name.as_str(), pair.lower.name.as_str());
    errors::overlap_differs(names, (pair.overlap(), spec.overlap, level), (spec.overlap_span, pair.upper.head))
}

/// The refusal, with what would do.
fn cannot_move(
    spec: &Spec,
    pairs: &[Pair<'_>],
    joints: &[Slide],
    (widest, most): (f64, f64),
    least_shown: f64,
) -> Diagnostic {
    let lames = || pairs.iter().map(|p| p.lower).chain(pairs.last().map(|p| p.upper));
    let wide = lames().map(Lame::wide).fold(f64::INFINITY, f64::min);
    // To whole millimetres, as a maker marks it.
    let needs = |n: usize, radius: f64| (KEEP + radius * spec.angle / n as f64 - 1e-6).ceil();
    let fits = |overlap: f64| overlap <= wide - least_shown + 1e-9;
    // From one joint to the next the plates grow outward by so much; inward the first stays the widest.
    let grows = match joints {
        [first, .., last] => (last.radius - first.radius) / (joints.len() - 1) as f64,
        _ => pairs.first().map_or(0.0, |p| p.outer().outer - p.outer().inner + joints[0].clear),
    };
    let grows = if spec.outside { grows.max(0.0) } else { 0.0 };
    let radius = |n: usize| widest + grows * (n - pairs.len()) as f64;
    let more = (pairs.len() + 1)..=MOST_PLATES;
    let slope = pairs[0].lower.crown().map_or(1.0, |rule| pairs[0].lower.slope(&rule));
    let level = |overlap: f64| pairs[0].lower.tall - overlap / slope;
    let same = needs(pairs.len(), widest);
    let with = |n: usize| more.clone().find(|&m| m >= n && fits(needs(m, radius(m))));
    let proposal =
        if fits(same) { Some((pairs.len(), same)) } else { with(pairs.len() + 1).map(|n| (n, needs(n, radius(n)))) };
    let as_it_lies = more.clone().find(|&n| needs(n, radius(n)) <= spec.overlap + 1e-6);
    let told = errors::Cannot {
        joints: pairs.len(),
        angle: spec.angle,
        radius: widest,
        overlap: spec.overlap,
        keep: KEEP,
        most,
        needs: KEEP + widest * spec.angle / pairs.len() as f64,
        wide,
        proposal: proposal.map(|(n, overlap)| (n + 1, overlap, level(overlap))),
        more: as_it_lies.map(|n| n + 1),
    };
    errors::cannot_move(&told, (spec.overlap_span, spec.angle_span))
}

/// A point of the common frame, in the prop.
fn point(lame: &Lame, rule: &Rule, z: f64, depth: f64) -> Vec3 {
    lame.frame.apply(rule.point(z, depth))
}
