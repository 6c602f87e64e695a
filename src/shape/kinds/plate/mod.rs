//! `plate`: a piece of any outline, flat, bent to a radius, or bent as the wall it lies on. Whatever it is, its outline is
//! true on the measured face laid flat; its edge is square to the sheet, or leans as its bevel says.

mod site;
mod spec;

use super::super::known;
use super::super::{Shaper, errors, goods, wall};
use crate::eval::Stop;
use crate::geom::inset;
use crate::geom::section::Section;
use crate::geom::strip::{Rule, Strip};
use crate::geom::walk::Walk;
use crate::geom::{Vec3, tol};
use crate::ids::ThingId;
use crate::num::PI;
use crate::skin::leaf::{Formed, To};
use crate::solid::{Body, Claim, Form, Frame, Layer, Leaf, Part, Size, Taper};

use site::Onto;
pub(in super::super) use spec::Bevel;
use spec::Spec;

/// Builds a plate, as many as are asked for.
///
/// # Errors
/// When it cannot be built as it is written.
pub(in super::super) fn lower(shaper: &mut Shaper<'_>, id: ThingId) -> Result<(), Stop> {
    let grounds = site::grounds(shaper, id)?;
    let mut made = Vec::new();
    for ground in &grounds {
        let levels = ground.levels(shaper);
        let spec = shaper.read(id, levels, spec::read)?;
        let thick = shaper.thickness(&spec.of, spec.of_span)?;
        let sites = site::sites(shaper, ground, &spec, thick)?;
        made.extend(sites.into_iter().map(|s| (s, spec.clone(), thick)));
    }
    let several = made.len() > 1;
    let mut parts = Vec::new();
    let (mut level, mut depths) = (0.0, (0.0, 0.0));
    for (i, (site, spec, thick)) in made.into_iter().enumerate() {
        let name = if several { format!("{} {}", spec.name, i + 1) } else { spec.name.clone() };
        let (inner, leaf, frame) = formed(&spec, &site.onto, thick)?;
        let layers = layers(shaper, &spec, inner, &leaf)?;
        bevel_fits(&spec, &leaf, &layers)?;
        within(&spec, &leaf, &layers, &site.onto)?;
        let part = shaper.next_part();
        claims(shaper, part, &spec, thick, &layers);
        shaper.solid.parts.push(Part {
            id: part,
            thing: id,
            name,
            origin: spec.head,
            pair: spec.pair || site.pair,
            layers,
            body: Body::Leaf(leaf),
            place: frame,
            split: true,
        });
        if i == 0 {
            (level, depths) = (site.level, (inner, inner + thick));
        }
        parts.push(part);
    }
    shaper.known.plates.insert(id, known::Plated { parts, inner: depths.0, outer: depths.1, level });
    Ok(())
}

/// The depth of its inner face, what it is in space, and its frame.
fn formed(spec: &Spec, onto: &Onto, thick: f64) -> Result<(f64, Leaf, Frame), Stop> {
    let own = goods::inner_depth(thick, spec.measured);
    let (inner, form, frame) = match onto {
        // The site's frame stands on what the plate lies on.
        Onto::Plane { frame, inner_at } => {
            let moved = |x: f64| Frame { origin: frame.apply(Vec3::new(x, 0.0, 0.0)), ..*frame };
            match spec.bent {
                None => (own, Form::Flat, moved(inner_at.unwrap_or(own) - own)),
                Some((radius, span)) => {
                    let (strip, rule) = rolled(spec, radius).ok_or_else(|| errors::plate_bend(&spec.name, span))?;
                    if !wall::exists_at(&strip, 0.0, own) || !wall::exists_at(&strip, 0.0, own + thick) {
                        return Err(errors::plate_bend(&spec.name, span).into());
                    }
                    (own, Form::Bent { strip, rule, z: 0.0 }, moved(inner_at.unwrap_or(own) - own - radius))
                }
            }
        }
        Onto::Surface { strip, rule, z, inner, frame, .. } => {
            let strip = stretched(spec, strip, rule, *z).ok_or_else(|| off(spec))?;
            // The same generatrix, from plane to plane of what was carried on.
            let (z0, z1) = strip.heights();
            let rule = rule.between_planes((z0, z1));
            (*inner, Form::Bent { strip, rule, z: *z }, *frame)
        }
    };
    let taper = taper(spec, (inner, thick), inner - own);
    Ok((inner, Leaf { form, measured: inner - own, outline: spec.shape.path.clone(), taper, holes: Vec::new() }, frame))
}

fn off(spec: &Spec) -> Stop {
    errors::plate_off_wall(&spec.name, None, spec.head).into()
}

/// How the edge stands; `inner` is the depth of the inner face, `measured` that of the face with the true outline.
fn taper(spec: &Spec, (inner, thick): (f64, f64), measured: f64) -> Taper {
    match spec.bevel {
        Bevel::Lean(angle) => {
            let slope = crate::num::tan(angle);
            Taper { from: measured, inner: -slope, outer: slope }
        }
        Bevel::Wedge(wide) => Taper { from: inner, inner: 0.0, outer: wide / thick },
        Bevel::Diamond(wide) => {
            let slope = 2.0 * wide / thick;
            Taper { from: inner + 0.5 * thick, inner: slope, outer: slope }
        }
    }
}

/// How far its outline reaches up and down and to the sides from its middle, the bevel of its hidden face counted in.
fn reach(spec: &Spec) -> (f64, f64, f64) {
    let (lo, hi) = spec.shape.path.bounds().unwrap_or_default();
    (lo.y, hi.y, hi.x.max(-lo.x))
}

/// A tube of a radius on the measured face, upright, that a plate is bent to, and its rule in front.
fn rolled(spec: &Spec, radius: f64) -> Option<(Strip, Rule)> {
    let (low, high, wide) = reach(spec);
    let more = 1.0 + 0.25 * wide;
    let round = Section::circle(radius);
    let strip = Strip::new(&round, low - more, &round, high + more).ok()?.begun_at(PI)?;
    let walk = Walk::new(&strip);
    let rule = walk.rule(walk.at_length(0.5 * walk.around(0.0, 0.0), 0.0, 0.0));
    Some((strip, rule))
}

/// The host's surface between planes that hold all of the plate, walked from opposite it.
fn stretched(spec: &Spec, strip: &Strip, rule: &Rule, z: f64) -> Option<Strip> {
    let (low, high, wide) = reach(spec);
    let (z0, z1) = strip.heights();
    // Where the generatrices fan out the sides of a plate lie higher or lower than its middle.
    let fan = rule.flare().abs().min(1.0) * wide + 1.0;
    let (from, to) = ((z + low - fan).min(z0), (z + high + fan).max(z1));
    let even = (rule.h1 - rule.h0).abs() < tol::SAME;
    let strip = if even || (from, to) == (z0, z1) { strip.between(from, to)? } else { carried_on(strip, from, to)? };
    strip.begun_at(rule.phi + PI)
}

/// Carried on past its planes as far as its surface is there.
fn carried_on(strip: &Strip, from: f64, to: f64) -> Option<Strip> {
    let (z0, z1) = strip.heights();
    let there = |z: f64| wall::exists_at(strip, z, 0.0);
    let reach = |from: f64, to: f64| {
        if there(to) {
            return to;
        }
        let (mut good, mut bad) = (from, to);
        for _ in 0..20 {
            let middle = 0.5 * (good + bad);
            if there(middle) { good = middle } else { bad = middle }
        }
        good
    };
    strip.between(reach(z0, from), reach(z1, to))
}

/// Its layers, their neutral depths those of the bend it has.
fn layers(shaper: &mut Shaper<'_>, spec: &Spec, inner: f64, leaf: &Leaf) -> Result<Vec<Layer>, Stop> {
    let bend = match &leaf.form {
        Form::Flat => f64::INFINITY,
        // The mean of its own stretch, as a wall's is of its girth.
        Form::Bent { .. } => {
            let bent = Formed::new(leaf);
            let (low, high) = leaf.outline.bounds().unwrap_or_default();
            let turned = match bent.to(leaf.measured) {
                Some(to @ To::Bent(_)) => {
                    let y = 0.5 * (low.y + high.y);
                    let at = |x: f64| to.turned(crate::geom::Vec2::new(x, y));
                    (at(high.x) - at(low.x)).abs()
                }
                _ => 0.0,
            };
            if turned > 1e-9 { (high.x - low.x) / turned + inner - leaf.measured } else { f64::INFINITY }
        }
    };
    let layers = shaper.layers(&spec.of, inner, bend.max(0.0));
    if let (Bevel::Diamond(wide), false) = (spec.bevel, layers.is_empty()) {
        let from = leaf.taper.from;
        let alike = |l: &Layer| {
            let aside = from <= l.inner + tol::SAME || from >= l.outer - tol::SAME;
            aside || (l.middle() - from).abs() < tol::SAME
        };
        if wide > 0.0 && !layers.iter().all(alike) {
            let what = "a diamond whose edge lies in a layer but not in its middle";
            return Err(errors::not_built_yet(what, spec.bevel_span).into());
        }
    }
    Ok(layers)
}

/// Whether the sides of a bevel leave each other room, and grow to no spike.
fn bevel_fits(spec: &Spec, leaf: &Leaf, layers: &[Layer]) -> Result<(), Stop> {
    let depths = layers.iter().flat_map(|l| [l.inner, l.middle(), l.neutral, l.outer]);
    let insets: Vec<f64> = depths.map(|d| leaf.taper.inset(d)).collect();
    let most = insets.iter().copied().fold(0.0, f64::max);
    if insets.iter().any(|&i| inset::inset(&leaf.outline, i).is_none()) {
        let fits = inset::furthest(&leaf.outline, most.clamp(0.0, 1e4));
        return Err(errors::bevels_meet(spec.bevel, &spec.name, fits, most, spec.bevel_span).into());
    }
    Ok(())
}

/// Whether all of it lies on what it is bent to: not too far round, and not past a station where that bends.
fn within(spec: &Spec, leaf: &Leaf, layers: &[Layer], onto: &Onto) -> Result<(), Stop> {
    let Form::Bent { z, .. } = &leaf.form else { return Ok(()) };
    let bent = Formed::new(leaf);
    let Some(walk) = bent.walk() else { return Ok(()) };
    let girth = walk.around(*z, leaf.measured);
    let wide = 2.0 * reach(spec).2;
    if wide > 0.95 * girth {
        return Err(errors::plate_off_wall(&spec.name, Some((wide, 0.95 * girth)), spec.shape_span).into());
    }
    for depth in layers.iter().flat_map(|l| [l.inner, l.neutral, l.outer]) {
        let (z0, z1) = walk.strip().heights();
        if ![z0, z1].iter().all(|&z| wall::exists_at(walk.strip(), z, depth)) {
            return Err(off(spec));
        }
        let (Some(line), Some(To::Bent(carry))) = (bent.line(depth), bent.to(depth)) else { return Err(off(spec)) };
        for p in line.flattened(0.5) {
            let (place, at) = carry.from.find(p).ok_or_else(|| off(spec))?;
            let level = at + leaf.measured * walk.rule(place).sine();
            if let Onto::Surface { stations: (low, high), .. } = onto
                && (level < low - 1e-6 || level > high + 1e-6)
            {
                return Err(
                    errors::plate_past_station(&spec.name, if level < *low { *low } else { *high }, spec.head).into()
                );
            }
        }
    }
    Ok(())
}

fn claims(shaper: &mut Shaper<'_>, part: crate::ids::PartId, spec: &Spec, thick: f64, layers: &[Layer]) {
    let mut claim = |origin, size| shaper.solid.claims.push(Claim { part, origin, size });
    claim(spec.of_span, Size::Thick { mm: thick });
    claim(spec.shape_span, Size::Outline { across: spec.shape.across, up: spec.shape.up });
    if let Some((mm, span)) = spec.bent {
        claim(span, Size::Bent { mm });
    }
    // What is cut square shows no bevel to be measured.
    let shows = |wide: f64, over: f64| {
        let own = |l: &Layer| wide * ((l.outer - l.inner) / over).min(1.0);
        wide > 0.0 && layers.iter().all(|l| own(l) >= tol::SQUARE_CUT)
    };
    match spec.bevel {
        Bevel::Lean(angle) => {
            let wide = thick * crate::num::tan(angle).abs();
            if shows(wide, thick) {
                claim(spec.bevel_span, Size::Bevelled { mm: wide, both: false });
            }
        }
        Bevel::Wedge(wide) => {
            if shows(wide, thick) {
                claim(spec.bevel_span, Size::Bevelled { mm: wide, both: false });
            }
        }
        Bevel::Diamond(wide) => {
            if shows(wide, 0.5 * thick) {
                claim(spec.bevel_span, Size::Bevelled { mm: wide, both: true });
            }
        }
    }
}
