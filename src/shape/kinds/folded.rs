//! Shells with sharp corners made of one strip: its faces side by side, grooved and folded at the corners between them.
//!
//! Conventions chosen here, where the language leaves room:
//! - the seam stands where its `facing` says, as on every wall: in the middle of the side that faces there, else in the
//!   corner between two sides. A strip has one fold fewer than the wall has corners when it stands in one;
//! - a groove is cut into the face on which its corner is hollow, down to a skin; its two faces lean by half of the turn
//!   each and meet when it is folded, so that what is folded is what mitred panels would be;
//! - `skin` is a fifth of the sheet, 0.5 mm at least; where less than a millimetre is left for a groove, and in card of any
//!   thickness, the strip is scored and bent through all of its thickness (common practice, no source);
//! - the skin bends about the groove's own corner, so its allowance is that of a bend of no inside radius: turn × (0 + k·skin),
//!   k being the stock's own `neutral`, of several that of the tightest bend.

use super::super::known::{FoldedOf, Panelled};
use super::super::seam::Joined;
use super::super::wall::Stationed;
use super::super::{Shaper, errors, joints};
use super::panels::{self, Sheeted};
use super::passes;
use super::place::{self, Ground};
use super::shell::Spec;
use crate::eval::Stop;
use crate::geom::facets::{Facet, Meet, Style};
use crate::geom::{Vec3, left_of, unit};
use crate::ids::ThingId;
use crate::num::{self, PI, TAU};
use crate::solid::{Body, Contact, Course, EdgeName, EdgeRef, Faced, Fold, Folded, Part, Plate, Seam, Stroke, Trace};

/// What is left under a groove: this share of the sheet, this much at least, mm; and the least groove that is worth
/// cutting.
const SKIN: f64 = 0.2;
const SKIN_LEAST: f64 = 0.5;
const GROOVE_LEAST: f64 = 1.0;
/// A blade leans by 75 degrees at most, so a corner that is grooved turns by twice that at most (common practice, no source).
const SHARPEST: f64 = 150.0;
/// A score goes so far into the sheet, as a share of it: as a mark's (common practice, no source).
const SCORE: f64 = 1.0 / 3.0;
/// Two sides that turn by less than this are one, radians: nothing is folded there.
const STRAIGHT: f64 = 1e-6;

/// Builds the strip of a shell whose sections have sharp corners.
///
/// # Errors
/// When it cannot be built as it is written.
pub(super) fn lower(
    shaper: &mut Shaper<'_>,
    id: ThingId,
    ground: Ground,
    spec: &Spec,
    (placed, joined, foot): (Vec<Stationed>, &Joined, f64),
) -> Result<(), Stop> {
    let made = spec.made.map_or(spec.head, |m| m.2);
    let Sheeted { thick, inner, outer, strips, facets } = panels::sheeted(shaper, ground, spec, &placed)?;
    if let Some(second) = strips.get(1) {
        let z = second.heights().0;
        let at = placed.iter().position(|s| (s.z - z).abs() < 1e-6).and_then(|i| spec.stations.get(i));
        let what = "a folded wall that bends at a station between its ends: of more than one strip";
        return Err(errors::not_built_yet(what, at.map_or(spec.head, |s| s.section)).into());
    }
    if spec.of.len() > 1 {
        return Err(errors::not_built_yet("a folded wall of several layers", spec.of_span).into());
    }
    if let Some(i) = placed.iter().position(|s| s.point) {
        let at = spec.stations.get(i).map_or(spec.head, |s| s.section);
        return Err(errors::not_built_yet("a folded wall that closes to a point", at).into());
    }
    if facets.iter().any(|f| !f.meets.contains(&Meet::Lower) || !f.meets.contains(&Meet::Upper)) {
        let at = spec.stations.last().map_or(spec.head, |s| s.section);
        let what = "a folded wall between sections of which one has more corners, or other sides,";
        return Err(errors::not_built_yet(what, at).into());
    }
    let cut = from_seam(&facets, joined.facing);
    let whole: Vec<Facet> = cut.iter().map(|c| c.1.clone()).collect();
    let (skin, sort) = skin(shaper, spec, thick)?;
    let ends = panels::ends(shaper, id, ground, spec, &facets);
    let mut folds = Vec::with_capacity(whole.len());
    // Bent to no radius: the share of the skin that keeps its length.
    let share = shaper.layers(&spec.of, inner, 0.0).first().map_or(0.5, |l| (l.neutral - l.inner) / thick);
    for (i, facet) in whole.iter().enumerate().take(whole.len() - 1) {
        let next = &whole[i + 1];
        let (low, up) = facet.edge(right(facet));
        let across = facet.normal.cross(next.normal);
        let turn = num::atan2(across.dot((up - low).normalize_or_zero()), facet.normal.dot(next.normal));
        if skin < thick && turn.abs().to_degrees() > SHARPEST {
            let direction = facet.phi + 0.5 * (num::wrap(next.phi - facet.phi + PI, TAU) - PI);
            return Err(errors::fold_too_sharp(&spec.name, turn.abs(), direction, SHARPEST, made).into());
        }
        folds.push(Fold { turn, skin, share: if turn >= 0.0 { share } else { 1.0 - share } });
    }
    let slabs = panels::slabs(spec, &placed, &whole, (Style::Mitred, ends), [inner, outer])?;
    let scored = skin >= thick;
    match joined.seam {
        Seam::Butt => {}
        Seam::Tabs(_) if scored || cut[0].0 == cut[cut.len() - 1].0 => {}
        Seam::Tabs(_) => {
            let what = "tabs on a corner of sheet that is mitred there; in the middle of a side they are";
            return Err(errors::not_built_yet(what, joined.span).into());
        }
        Seam::Lap(_) => return Err(errors::not_built_yet("a lapped seam of a folded wall", joined.span).into()),
        Seam::Backed(_) => return Err(errors::not_built_yet("a backed seam of a folded wall", joined.span).into()),
        Seam::Open(_) => return Err(errors::not_built_yet("an open seam of a folded wall", joined.span).into()),
    }
    let reach = panels::reach(spec, &slabs);
    let level = spec.level.unwrap_or(0.0) + foot;
    let frame = place::frame(shaper, ground, level, (spec.facing, spec.gap), reach)?;
    let tall = placed.last().map_or(0.0, |s| s.z);
    let faces = whole.iter().zip(&slabs).map(|(facet, slab)| Faced {
        frame: slab.frame,
        plate: Plate::standing(slab.strip.clone(), [inner, outer]),
        rims: [Meet::Lower, Meet::Upper].map(|end| facet.meets.iter().position(|m| *m == end)),
        left: facet.meets.len() - 1,
        right: right(facet),
    });
    let body = Folded { faces: faces.collect(), folds, holes: Vec::new(), seam: joined.seam };
    let part = shaper.next_part();
    let mut layers = shaper.layers(&spec.of, inner, f64::INFINITY);
    // Card is cut with an upright knife.
    layers.iter_mut().for_each(|l| l.square = sort == "card");
    traces(shaper, (id, made), &body, &whole);
    shaper.solid.parts.push(Part {
        id: part,
        thing: id,
        name: spec.name.clone(),
        origin: spec.head,
        pair: spec.pair,
        layers,
        body: Body::Folded(body),
        place: frame,
        split: spec.split,
    });
    let (up, low) = whole[0].edge(whole[0].meets.len() - 1);
    let edge = |edge: EdgeName| EdgeRef { part, ring: 0, edge };
    shaper.joints.push(joints::Draft {
        a: edge(EdgeName::Begin),
        b: edge(EdgeName::End),
        contact: Contact::Line { from: frame.apply(low), to: frame.apply(up), lapped: false },
        what: "seam".to_owned(),
    });
    panels::claims(shaper, part, spec, &placed, (thick, frame));
    shaper.known.frames.insert(id, frame);
    let point = |s: Option<&Stationed>| s.is_some_and(|s| s.point);
    let panelled = Panelled {
        parts: vec![part; facets.len()],
        tall,
        inner,
        outer,
        level,
        closed: [point(placed.first()), point(placed.last())],
        facets,
        strips,
        folded: Some(FoldedOf { part, faces: whole, of: cut.iter().map(|c| c.0).collect() }),
    };
    passes::ask(shaper, id, spec.passes, vec![part]);
    shaper.known.panelled.insert(id, panelled);
    Ok(())
}

/// The side of a facet toward the next one.
fn right(facet: &Facet) -> usize {
    usize::from(facet.meets[0] == Meet::Lower)
}

/// What is left at a fold, all of the sheet where it is scored, and the sort of its stock.
fn skin(shaper: &Shaper<'_>, spec: &Spec, thick: f64) -> Result<(f64, &'static str), Stop> {
    let stock = spec.of.first().and_then(|of| shaper.known.sheets.get(&of.thing)).ok_or(Stop::Skip)?;
    let made = spec.made.map_or(spec.head, |m| m.2);
    let (name, sort) = (&stock.stock.name, stock.stock.sort);
    if let Some(skin) = spec.skin {
        if skin > thick + 1e-9 {
            return Err(errors::skin_too_thick(&spec.name, skin, (name, thick), made).into());
        }
        return Ok((if skin > thick - 1e-9 { thick } else { skin }, sort));
    }
    let usual = (SKIN * thick).max(SKIN_LEAST);
    Ok((if sort == "card" || thick - usual < GROOVE_LEAST { thick } else { usual }, sort))
}

/// The facets in order from the seam on, each with its place among all: the one in whose middle the seam stands is there
/// twice, one half at either end.
fn from_seam(all: &[Facet], facing: f64) -> Vec<(usize, Facet)> {
    let n = all.len();
    let out = unit(facing);
    let off = |a: f64, b: f64| num::wrap(a - b + PI, TAU) - PI;
    let reach = |f: &Facet| f.corners.iter().map(|c| c.truncate().dot(out)).fold(f64::NEG_INFINITY, f64::max);
    let faces = |i: &usize| off(all[*i].phi, facing).abs() < STRAIGHT;
    let side = (0..n).filter(faces).max_by(|a, b| reach(&all[*a]).total_cmp(&reach(&all[*b])));
    let mut out: Vec<(usize, Facet)> = Vec::with_capacity(n + 1);
    if let Some(side) = side {
        let [before, after] = halves(&all[side]);
        out.push((side, after));
        out.extend((1..n).map(|i| ((side + i) % n, all[(side + i) % n].clone())));
        out.push((side, before));
    } else {
        let between = |i: &usize| {
            let (a, b) = (all[*i].phi, all[(i + 1) % n].phi);
            let turn = num::wrap(b - a, TAU);
            turn < PI && num::wrap(facing - a, TAU) < turn
        };
        let corner = |i: &usize| all[*i].edge(right(&all[*i])).0.truncate().dot(unit(facing));
        let first = (0..n).filter(between).max_by(|a, b| corner(a).total_cmp(&corner(b))).map_or(0, |i| i + 1);
        out.extend((0..n).map(|i| ((first + i) % n, all[(first + i) % n].clone())));
    }
    let n = out.len();
    let ends: Vec<(usize, usize)> = out.iter().map(|(_, f)| (f.meets.len() - 1, right(f))).collect();
    for i in 0..n {
        let (before, after) = ((i + n - 1) % n, (i + 1) % n);
        let meets = &mut out[i].1.meets;
        meets[ends[i].0] = Meet::Facet { facet: before, edge: ends[before].1 };
        meets[ends[i].1] = Meet::Facet { facet: after, edge: ends[after].0 };
    }
    out
}

/// A facet cut in two along the line up its middle: the part before it on the way round, and the one behind it.
fn halves(facet: &Facet) -> [Facet; 2] {
    let foot = facet.meets[0] == Meet::Lower;
    let head = facet.meets.contains(&Meet::Upper);
    let c = &facet.corners;
    let (low, far) = (c[0], c[usize::from(foot)]);
    let (up_far, up) = (c[1 + usize::from(foot)], c[c.len() - 1]);
    let up_far = if head || !foot { up_far } else { up };
    let (low_middle, up_middle) = (low.midpoint(far), up.midpoint(up_far));
    let half = |low: Vec3, far: Vec3, up_far: Vec3, up: Vec3| {
        let mut corners = vec![low];
        if foot {
            corners.push(far);
        }
        corners.push(up_far);
        if head {
            corners.push(up);
        }
        Facet { corners, ..facet.clone() }
    };
    [half(low, low_middle, up_middle, up), half(low_middle, far, up_far, up_middle)]
}

/// What is done along each fold.
fn traces(shaper: &mut Shaper<'_>, (id, made): (ThingId, crate::span::Span), body: &Folded, faces: &[Facet]) {
    let part = shaper.next_part();
    let (inner, outer) = body.faces_at();
    let all = (0..body.folds.len()).filter(|i| body.folds[*i].turn.abs() > STRAIGHT);
    let all: Vec<usize> = all.collect();
    for (number, fold) in all.into_iter().enumerate() {
        let one = body.folds[fold];
        let scored = body.is_scored(fold);
        let (low, up) = faces[fold].edge(right(&faces[fold]));
        shaper.solid.traces.push(Trace {
            part,
            thing: id,
            name: format!("fold {}", number + 1),
            origin: made,
            stroke: if scored { Stroke::Score } else { Stroke::Groove },
            deep: Some(if scored { SCORE * (outer - inner) } else { outer - inner - one.skin }),
            face: body.marked(fold),
            course: Course::Fold(fold),
            long: low.distance(up),
        });
    }
}

/// The face of a strip on which a point of the measured face lies, that faces a direction: of one cut in two by the seam
/// the half it lies on.
pub(super) fn face_at(of: &FoldedOf, phi: f64, at: Vec3) -> Option<usize> {
    let lies = |f: &Facet| {
        let turn = num::wrap(f.phi - phi + PI, TAU) - PI;
        turn.abs() < 1e-7 && (at - f.corners[0]).dot(f.normal).abs() < 1e-6
    };
    let beyond = |f: &Facet| {
        let way = left_of(unit(f.phi)).extend(0.0);
        let middle = f.corners.iter().copied().sum::<Vec3>() / f.corners.len() as f64;
        (at - middle).dot(way).abs()
    };
    let all = of.faces.iter().enumerate().filter(|(_, f)| lies(f));
    all.min_by(|a, b| beyond(a.1).total_cmp(&beyond(b.1))).map(|(i, _)| i)
}
