//! Sizes given in the text, measured again on the folded pieces: girths and widths on the folded generatrices, moved
//! to the face the size is given on; heights, gaps, laps and holes on the outlines about to be cut.

use crate::geom::{Vec3, unit};
use crate::ids::PartId;
use crate::num;
use crate::piece::Piece;
use crate::solid::{Body, Claim, Gap, OfKeel, OfPanels, OfSeen, Part, Rim, Seam, Size, Solid};
use crate::verdict::Check;

use super::folded::{self, Strip};
use super::laid::Laid;
use super::leaf;
use super::lines::{Line, View};
use super::measure;
use super::pierced;
use super::plate::Plane;
use super::report::{FIT, Report, TWIST};
use super::rows;
use super::scallops;
use super::sided::Sheet;
use super::wall::{self, fit};

/// Everything of one part that was folded, with the pieces of each panel.
#[derive(Debug)]
pub struct Made<'a> {
    pub part: &'a Part,
    pub laid: Vec<Laid<'a>>,
    /// For each of `laid`, pieces of every hand.
    pub groups: Vec<Vec<&'a Piece>>,
    /// Pieces of a plate's layers.
    pub plates: Vec<&'a Piece>,
    /// The layers of a plate, with their pieces.
    pub planes: Vec<(Plane<'a>, Vec<&'a Piece>)>,
    /// The layers of a leaf with their pieces.
    pub leaves: Vec<leaf::Cut<'a>>,
    /// The layers of a plate with corners, each with its pieces that are not mirrored.
    pub sheets: Vec<(Sheet<'a>, Vec<&'a Piece>)>,
    /// The layers of a wall that is folded from one strip, with their faces' sides as they are cut.
    pub strips: Vec<(Strip<'a>, Option<folded::AsCut>)>,
}

impl<'a> Made<'a> {
    /// Of which nothing is folded yet.
    pub fn of(part: &'a Part) -> Self {
        Self {
            part,
            laid: Vec::new(),
            groups: Vec::new(),
            plates: Vec::new(),
            planes: Vec::new(),
            leaves: Vec::new(),
            sheets: Vec::new(),
            strips: Vec::new(),
        }
    }
}

/// Checks every claim.
pub fn all(solid: &Solid, all_made: &[Made<'_>], views: &[Option<View<'_>>], report: &mut Report) {
    for claim in &solid.claims {
        report.verdict.checked.claims += 1;
        report.piece = None;
        let Some(made) = all_made.get(claim.part.index()) else {
            report.holds(Check::Claim, "a declared size", "its part exists", false);
            continue;
        };
        let measured = match claim.size {
            Size::Turned { from, angle } => turned(claim, all_made, (from, angle), report),
            Size::Panels { .. } => {
                let what = format!("{} of {}", name(&claim.size), made.part.name);
                super::sided::claim(solid, claim, &what, all_made, report)
            }
            Size::Keel { .. } => {
                let what = format!("{} of {}", name(&claim.size), made.part.name);
                super::keel::claim(solid, claim, &what, all_made, report)
            }
            _ => one(solid, claim, made, views, report),
        };
        report.holds(Check::Coverage, &format!("{} of {}", name(&claim.size), made.part.name), "measured", measured);
    }
}

fn name(size: &Size) -> &'static str {
    match size {
        Size::Around { .. } => "girth",
        Size::Across { .. } => "width",
        Size::Tall { .. } => "height",
        Size::Panels { size: OfPanels::Around(_), .. } => "girth of all panels",
        Size::Panels { size: OfPanels::Across { .. }, .. } => "width of all panels",
        Size::Panels { size: OfPanels::Tall(_), .. } => "height of all panels",
        Size::Panels { size: OfPanels::Sunk(_), .. } => "depth below the edge",
        Size::Keel { size: OfKeel::Wide(_), .. } => "width of the foot",
        Size::Keel { size: OfKeel::Rise(_), .. } => "height of the ridge",
        Size::Keel { size: OfKeel::Long(_), .. } => "length along the part",
        Size::Keel { size: OfKeel::Stands { .. }, .. } => "foot on the wall",
        Size::Faces { .. } => "tilt of an end",
        Size::Seen { size: OfSeen::Around(_), .. } => "girth seen along the axis",
        Size::Seen { size: OfSeen::Across { .. }, .. } => "width seen along the axis",
        Size::Turned { .. } => "turn from the ring before",
        Size::Wide { .. } => "width along the wall",
        Size::Thick { .. } => "thickness",
        Size::Gap(_) => "gap",
        Size::Allowance { .. } => "lap or tab",
        Size::Hole { .. } => "hole",
        Size::PlateHole { .. } => "hole in the plate",
        Size::Sunk { .. } => "depth below the edge",
        Size::Clearance { .. } => "clearance",
        Size::RimLong { .. } => "length of the rim",
        Size::Row { .. } => "hole of a row",
        Size::Scallops { .. } => "scallops",
        Size::Shaped { .. } => "shaped edge",
        Size::Patch { .. } => "size of the patch",
        Size::Outline { .. } => "widths of the outline",
        Size::Flange { .. } => "flange",
        Size::Tabs { .. } => "tabs",
        Size::Bent { .. } => "radius of the bend",
        Size::Bevelled { .. } => "width of the bevel",
        Size::Passes { .. } => "way through",
        Size::Through { .. } => "way through its opening",
        Size::Formed { size, .. } => super::formed::size(size),
    }
}

/// How far the axis of a folded ring is turned from that of another, in the prop.
fn turned(claim: &Claim, made: &[Made<'_>], (from, angle): (PartId, f64), r: &mut Report) -> bool {
    let axis = |part: PartId| {
        let made = made.get(part.index())?;
        let a = made.laid.first()?.strips.first()?.axis();
        let place = &made.part.place;
        Some(place.x * a.x + place.y * a.y + place.z * a.z)
    };
    let (Some(a), Some(b)) = (axis(from), axis(claim.part)) else { return false };
    let is = num::atan2(a.cross(b).length(), a.dot(b));
    let place = format!("{:.3}° for {:.3}°", is.to_degrees(), angle.to_degrees());
    let what = format!("{} of {}", name(&claim.size), made[claim.part.index()].part.name);
    r.figure(Check::Claim, &what, place, (is - angle).abs().to_degrees(), TWIST);
    true
}

/// One claim; false when nothing could be measured.
fn one(solid: &Solid, claim: &Claim, made: &Made<'_>, views: &[Option<View<'_>>], r: &mut Report) -> bool {
    let what = format!("{} of {}", name(&claim.size), made.part.name);
    match claim.size {
        Size::Around { z, depth, mm } => level(made, z, depth, |points| {
            fit(r, Check::Claim, &what, measure::smooth_length(points), mm);
        }),
        Size::Across { z, depth, direction, mm } => level(made, z, depth, |points| {
            let along = unit(direction).extend(0.0);
            let reach = points
                .iter()
                .map(|p| p.dot(along))
                .fold((f64::INFINITY, f64::NEG_INFINITY), |(lo, hi), x| (f64::min(lo, x), f64::max(hi, x)));
            fit(r, Check::Claim, &what, reach.1 - reach.0, mm);
        }),
        Size::Passes { z, depth, narrow, mm, spread } => level(made, z, depth, |points| {
            let is = measure::smooth_length(points);
            fit(r, Check::Claim, &what, is, narrow);
            let place = format!("{is:.3} mm and {spread:.3} mm for {mm:.3}");
            r.figure(Check::Claim, &what, place, (mm - is - spread).max(0.0), FIT);
        }),
        Size::Through { hole, narrow, mm } => pierced::way(made, hole, (narrow, mm), &what, r),
        Size::Faces { ring, upper, normal } => {
            let mut any = false;
            for (laid, group) in made.laid.iter().zip(&made.groups).filter(|(l, _)| l.panel.ring == ring) {
                let Some(is) = facing_way(laid, group, upper) else { return false };
                let off = is.cross(normal).length().min(1.0);
                r.figure(Check::Claim, &what, format!("faces {is:.4}"), num::asin(off).to_degrees(), TWIST);
                r.holds(Check::Claim, &what, "faces up the wall", is.dot(normal) > 0.0);
                any = true;
            }
            any
        }
        Size::Seen { plane, size } => super::seen::claim(made, (plane.at, plane.normal), size, &what, r),
        // Of several parts: `turned`, `sided::claim` and `keel::claim` measure them.
        Size::Turned { .. } | Size::Panels { .. } | Size::Keel { .. } => false,
        Size::Tall { mm } | Size::RimLong { mm } => {
            if made.laid.is_empty() {
                return false;
            }
            fit(r, Check::Claim, &what, tall(made), mm);
            true
        }
        Size::Wide { facing, depth, mm } => {
            for (laid, group) in made.laid.iter().zip(&made.groups) {
                let Some(is) = wide(laid, group, facing, depth) else { return false };
                fit(r, Check::Claim, &what, is, mm);
            }
            !made.laid.is_empty()
        }
        Size::Thick { mm } => {
            let layers = &made.part.layers;
            let thick: f64 = layers.iter().map(|l| l.outer - l.inner).sum();
            fit(r, Check::Claim, &what, thick, mm);
            for l in layers {
                let stock = solid.stocks.get(l.stock).map_or(f64::NAN, |s| s.thick);
                fit(r, Check::Claim, &what, l.outer - l.inner, stock);
            }
            !layers.is_empty()
        }
        Size::Formed { station, size } => super::formed::claim(solid, made, (station, size), &what, r),
        Size::Gap(gap) => {
            for laid in &made.laid {
                open(laid, gap, &what, r);
            }
            !made.laid.is_empty()
        }
        Size::Allowance { mm } => {
            for (laid, group) in made.laid.iter().zip(&made.groups) {
                fit(r, Check::Claim, &what, super::beyond::reach(laid, group), mm);
            }
            !made.laid.is_empty()
        }
        Size::Hole { hole, level, facing, across, up } => {
            wall_hole(made, hole, (level, facing), (across, up), &what, r)
        }
        Size::Tabs { wide } => super::turn::claim(made, wide, &what, r),
        Size::Flange { round, wide } => super::flange::claim(solid, made, views, (round, wide), &what, r),
        Size::Outline { .. } | Size::Bent { .. } | Size::Bevelled { .. } => {
            leaf::claim(&made.leaves, &claim.size, &what, r)
        }
        Size::PlateHole { hole, centre, across, by } => {
            if !made.leaves.is_empty() {
                return leaf::hole(&made.leaves, hole, centre, (across, by), &what, r);
            }
            if let Some((strip, _)) = made.strips.first() {
                return folded_hole(strip, made, (hole, centre), (across, by), &what, r);
            }
            let Body::Plate(plate) = &made.part.body else { return false };
            pierced::hole(plate, made, (hole, centre), (across, by), &what, r)
        }
        Size::Scallops { count, rise, wide, facing, depth } => {
            let asked = scallops::Asked { count, rise, wide, facing, depth };
            let mut any = false;
            for (laid, group) in made.laid.iter().zip(&made.groups) {
                any |= match scallops::claim(laid, group, &asked, &what, r) {
                    Some(measured) => measured,
                    None => continue,
                };
            }
            any
        }
        Size::Shaped { ring, upper, count, rise, crest, station } => {
            let asked = super::figure::Asked { upper, count, rise, crest, station };
            let mut any = false;
            let first = made.laid.iter().find(|l| l.panel.ring == ring && l.panel.layer == 0);
            let within = first.map_or((0.0, f64::INFINITY), |l| if upper { l.upper } else { l.lower });
            for (laid, group) in made.laid.iter().zip(&made.groups).filter(|(l, _)| l.panel.ring == ring) {
                any |= super::figure::claim(laid, group, &asked, within, &what, r);
            }
            any
        }
        Size::Patch { across, up } => {
            for piece in &made.plates {
                let paths: Vec<_> =
                    piece.contour.iter().map(|run| measure::path_undone(&piece.from_flat, &run.path)).collect();
                let points = || paths.iter().flat_map(|p| &p.segs).map(|s| s.a);
                let reach = |f: fn(crate::geom::Vec2) -> f64| {
                    let (lo, hi) = points()
                        .map(f)
                        .fold((f64::INFINITY, f64::NEG_INFINITY), |(lo, hi), x| (f64::min(lo, x), f64::max(hi, x)));
                    hi - lo
                };
                fit(r, Check::Claim, &what, reach(|p| p.x), across);
                fit(r, Check::Claim, &what, reach(|p| p.y), up);
                let square = |s: &crate::geom::path::Seg| {
                    s.bulge == 0.0 && (s.b - s.a).abs().min_element() <= 2.0 * crate::geom::tol::ROUNDING
                };
                let all = paths.iter().flat_map(|p| &p.segs).all(square);
                r.holds(Check::Claim, &what, "straight on all four sides", all);
            }
            !made.plates.is_empty()
        }
        Size::Sunk { mm } => {
            let Body::Plate(plate) = &made.part.body else { return false };
            let (z0, z1) = plate.strip.heights();
            let bottom = plate.show < plate.hidden;
            fit(r, Check::Claim, &what, if bottom { plate.show - z0 } else { z1 - plate.show }, mm);
            true
        }
        Size::Clearance { mm, over } => clearance(made, views, solid, (mm, over), &what, r),
        Size::Row { hole, edge, across, margin, along, beyond } => {
            rows::hole(made, &rows::Asked { hole, edge, across, margin, along, beyond }, &what, r)
        }
    }
}

/// The folded generatrices of every panel that holds height `z`, moved to `depth` and cut there: a chain once round,
/// filled over an open seam from the wall itself.
fn level(made: &Made<'_>, z: f64, depth: f64, mut measure: impl FnMut(&[Vec3])) -> bool {
    // The layer the depth belongs to, or the nearest.
    let off = |l: &crate::solid::Layer| (l.inner - depth).max(depth - l.outer).max(0.0);
    let nearest = made.laid.iter().map(|l| off(&l.layer)).fold(f64::INFINITY, f64::min);
    let mut any = false;
    for laid in made.laid.iter().filter(|l| off(&l.layer) <= nearest + 1e-9) {
        for (i, folded) in laid.strips.iter().enumerate() {
            let round = &laid.view.rounds[laid.ring.strips.start + i];
            if z < round.heights.0 - 1e-6 || z > round.heights.1 + 1e-6 {
                continue;
            }
            let mut points: Vec<Vec3> = (0..folded.cells.len()).map(|c| folded.crossing(c, z, depth)).collect();
            points.push(folded.last(z, depth));
            let (from, to) = folded.reach();
            let at = |w: f64| round.generatrix(w).at(z, depth);
            points.extend(round.points(to, round.end(), 1e-4, &at).into_iter().skip(1).map(|p| p.1));
            points.extend(round.points(0.0, from, 1e-4, &at).into_iter().skip(1).map(|p| p.1));
            measure(&points);
            any = true;
        }
    }
    any
}

/// From the lowest to the highest station along the axis: each ring's folded rims, less what its bevel and thickness
/// move them by.
fn tall(made: &Made<'_>) -> f64 {
    let neutral = made.laid[0].layer.neutral;
    let mut sum = num::Sum::new();
    for (laid, group) in made.laid.iter().zip(&made.groups) {
        if (laid.layer.neutral - neutral).abs() > 1e-12 {
            continue;
        }
        for upper in [false, true] {
            let name = if upper { crate::solid::EdgeName::Upper } else { crate::solid::EdgeName::Lower };
            let line = if upper { laid.cut.1 } else { laid.cut.0 };
            let heights = laid.view.rounds[laid.ring.strips.start + laid.rim_strip(upper)].heights;
            let rim = if upper { laid.ring.upper } else { laid.ring.lower };
            let station = match rim {
                Rim::At(z) => z,
                _ if upper => heights.1,
                _ => heights.0,
            };
            // A figure touches its station at its outermost places.
            if laid.view.course(laid.ring, upper).is_some() {
                let least = super::figure::outermost(laid, group, upper);
                sum.add(if upper { station - least } else { -(station + least) });
                continue;
            }
            let mut off = (0.0, 0.0f64);
            for piece in group {
                for path in super::turn::edge_paths(piece, name) {
                    for (_, l) in laid.landed_rim(&piece.from_flat, path, upper, line) {
                        let foot = laid.view.line(laid.ring, upper, line, l.w, &laid.layer).foot;
                        off = (off.0 + l.space.z - foot.z, off.1 + 1.0);
                    }
                }
            }
            let z = station + if off.1 > 0.0 { off.0 / off.1 } else { 0.0 };
            sum.add(if upper { z } else { -z });
        }
    }
    sum.value()
}

/// The way the plane of a folded rim faces: each point of the cut is moved along the folded normal to the depth whose
/// edge lies in the plane, and the area vector of the chain so found is square to it.
fn facing_way(laid: &Laid<'_>, group: &[&Piece], upper: bool) -> Option<Vec3> {
    let name = if upper { crate::solid::EdgeName::Upper } else { crate::solid::EdgeName::Lower };
    let line = if upper { laid.cut.1 } else { laid.cut.0 };
    let rim = if upper { laid.ring.upper } else { laid.ring.lower };
    let mut points: Vec<(f64, Vec3)> = Vec::new();
    for piece in group {
        for path in super::turn::edge_paths(piece, name) {
            for (_, l) in laid.landed_rim(&piece.from_flat, path, upper, line) {
                let depth = match rim {
                    // Cut square, what lies on the measured face does.
                    Rim::PlaneSquare(_) => 0.0,
                    _ => laid.view.line(laid.ring, upper, line, l.w, &laid.layer).depth,
                };
                points.push((l.w, l.space + l.normal * (depth - laid.layer.neutral)));
            }
        }
    }
    points.sort_by(|a, b| a.0.total_cmp(&b.0));
    let origin = points.first()?.1;
    let vector: Vec3 = points.windows(2).map(|w| (w[0].1 - origin).cross(w[1].1 - origin)).sum();
    (vector.length() > 0.0).then(|| vector.normalize())
}

/// Along the generatrix that faces a direction, between the edges at a depth, each moved up the wall by as much as the
/// pieces' folded rim lies off it.
fn wide(laid: &Laid<'_>, group: &[&Piece], facing: f64, depth: f64) -> Option<f64> {
    let end = |upper: bool| {
        let round = &laid.view.rounds[laid.ring.strips.start + laid.rim_strip(upper)];
        let w = round.facing(facing)?;
        let g = round.generatrix(w);
        let edge = laid.view.edge(laid.ring, upper, w, depth, laid.layer.neutral).point;
        let name = if upper { crate::solid::EdgeName::Upper } else { crate::solid::EdgeName::Lower };
        let line = if upper { laid.cut.1 } else { laid.cut.0 };
        let mut off = (0.0, 0.0f64);
        for piece in group {
            for run in piece.contour.iter().filter(|run| run.edge == Some(name)) {
                for (_, l) in laid.landed_rim(&piece.from_flat, &run.path, upper, line) {
                    let foot = laid.view.line(laid.ring, upper, line, l.w, &laid.layer).foot;
                    off = (off.0 + (l.space - foot).dot(round.generatrix(l.w).along), off.1 + 1.0);
                }
            }
        }
        (off.1 > 0.0).then(|| edge + g.along * (off.0 / off.1))
    };
    Some((end(true)? - end(false)?).length())
}

fn open(laid: &Laid<'_>, gap: Gap, what: &str, r: &mut Report) {
    if !matches!(laid.view.wall.seam, Seam::Open(_)) {
        r.holds(Check::Claim, what, "the seam is open", false);
        return;
    }
    for upper in [false, true] {
        let rim = if upper { laid.ring.upper } else { laid.ring.lower };
        if matches!((gap, rim), (Gap::Angle(_), Rim::Closed(_))) {
            // Where the wall is drawn together every normal stands in one place.
            continue;
        }
        let strip = laid.rim_strip(upper);
        let round = &laid.view.rounds[laid.ring.strips.start + strip];
        let (from, to) = laid.corner_places(upper, Line::Middle);
        let z = laid.view.station(laid.ring, upper);
        let foot = |w: f64| match gap {
            Gap::Over { depth, .. } => round.generatrix(w).at(z, depth),
            _ => laid.view.neutral(laid.ring, upper, w, &laid.layer),
        };
        let whole = round.length(0.0, round.end(), 1e-5, &foot);
        let left = whole - round.length(from, to, 1e-5, &foot);
        match gap {
            Gap::Length(mm) => fit(r, Check::Claim, what, left, mm),
            Gap::Share(share) => fit(r, Check::Claim, what, left, share * whole),
            Gap::Over { length, share, .. } => fit(r, Check::Claim, what, left, length + share * whole),
            Gap::Leaves(mm) => fit(r, Check::Claim, what, whole - left, mm),
            Gap::Angle(angle) => {
                let turn = round.generatrix(round.end()).phi - round.generatrix(0.0).phi;
                let is = turn - (round.generatrix(to).phi - round.generatrix(from).phi);
                let place = format!("{:.3}° for {:.3}", is.to_degrees(), angle.to_degrees());
                let off = (is - angle).abs().to_degrees() / TWIST * FIT;
                r.figure(Check::Claim, what, place, off, FIT);
            }
        }
    }
}

fn wall_hole(
    made: &Made<'_>,
    hole: usize,
    (level, facing): (f64, f64),
    (across, up): (f64, f64),
    what: &str,
    r: &mut Report,
) -> bool {
    let Body::Wall(body) = &made.part.body else { return false };
    let Some(asked) = body.holes.get(hole) else { return false };
    let Some((lo, hi)) = asked.outline.bounds() else { return false };
    let mut any = false;
    for (laid, group) in made.laid.iter().zip(&made.groups) {
        if !laid.ring.strips.contains(&asked.strip) {
            continue;
        }
        let round = &laid.view.rounds[asked.strip];
        // Where the text puts it: that direction, that level. On a side, where the solid says along it.
        let here = super::space::Gen::of(&asked.rule).at(level, 0.0);
        let Some(w) = round.nearest(facing, here, 0.0, false) else { continue };
        let frame = wall::frame_at(laid, asked.strip, w, level);
        for piece in group {
            for h in piece.holes.iter().filter(|h| h.hole == hole) {
                let flat = measure::path_undone(&piece.from_flat, &h.outline);
                let points = measure::samples(&flat, 0.5, 1e-3).into_iter().map(|p| frame.local(p));
                let (a, b) = points
                    .fold((crate::geom::Vec2::INFINITY, crate::geom::Vec2::NEG_INFINITY), |(a, b), p| {
                        (a.min(p), b.max(p))
                    });
                let (size, centre) = (b - a, (a + b) * 0.5 - (lo + hi) * 0.5);
                fit(r, Check::Claim, &format!("{what}, across"), size.x, across);
                fit(r, Check::Claim, &format!("{what}, up"), size.y, up);
                r.figure(
                    Check::Claim,
                    &format!("{what}, place"),
                    format!("{:.3} mm aside, {:.3} mm up", centre.x, centre.y),
                    centre.length(),
                    FIT,
                );
                any = true;
            }
        }
    }
    any
}

fn folded_hole(
    strip: &Strip<'_>,
    made: &Made<'_>,
    (hole, centre): (usize, crate::geom::Vec2),
    (across, up): (f64, f64),
    what: &str,
    r: &mut Report,
) -> bool {
    let Some((middle, size)) = folded::hole(strip, &made.plates, hole) else { return false };
    let Body::Folded(wall) = &made.part.body else { return false };
    let Some((lo, hi)) = wall.holes.get(hole).and_then(|h| h.1.outline.bounds()) else { return false };
    let off = middle - centre - ((lo + hi) * 0.5 - centre);
    r.figure(
        Check::Claim,
        &format!("{what}, place"),
        format!("{:.3}, {:.3} in the face", off.x, off.y),
        off.length(),
        FIT,
    );
    fit(r, Check::Claim, &format!("{what}, across"), size.y, across);
    fit(r, Check::Claim, &format!("{what}, by"), size.x, up);
    true
}

fn outermost(part: &Part) -> f64 {
    part.layers.iter().map(|l| l.outer).fold(f64::NEG_INFINITY, f64::max)
}

/// How far a rim's inside stands clear of the walls it slides over, square to the rim's sheet: the least distance of
/// the two tangents of one direction at one height, wherever both are.
fn clearance(
    made: &Made<'_>,
    views: &[Option<View<'_>>],
    solid: &Solid,
    (mm, over): (f64, PartId),
    what: &str,
    r: &mut Report,
) -> bool {
    let Some(Some(rim)) = views.get(made.part.id.index()) else { return false };
    let inner = made.part.layers.iter().map(|l| l.inner).fold(f64::INFINITY, f64::min);
    // From the wall it slides over, and from whatever else lies within it.
    let (mut least, mut any) = (f64::INFINITY, f64::INFINITY);
    for (part, view) in solid.parts.iter().zip(views) {
        let Some(view) = view else { continue };
        let own = super::formed::standing(part);
        let view = own.as_ref().unwrap_or(view);
        let (here, there) = (made.part.place, part.place);
        let alike = (here.x - there.x).length() + (here.z - there.z).length() < 1e-9;
        let beside = (here.origin - there.origin).truncate().length() > 1e-9;
        if part.id == made.part.id || !alike || beside {
            continue;
        }
        let up = there.origin.z - here.origin.z;
        let outer = outermost(part);
        for a in &rim.rounds {
            for b in &view.rounds {
                let z = (a.heights.0.max(b.heights.0 + up), a.heights.1.min(b.heights.1 + up));
                if z.1 - z.0 <= 1e-6 {
                    continue;
                }
                let even = (0..=256).map(|i| num::TAU * f64::from(i) / 256.0);
                for phi in even.chain(a.normals()).chain(b.normals()) {
                    for z in [z.0, z.1] {
                        let (bore, slope) = a.reaches(phi, z, inner);
                        let under = b.reaches(phi, z - up, outer).0;
                        // A wall that lies about the rim is none it slides over.
                        if under < a.reaches(phi, z, outermost(made.part)).0 {
                            let clear = (bore - under) * slope;
                            any = any.min(clear);
                            if part.id == over {
                                least = least.min(clear);
                            }
                        }
                    }
                }
            }
        }
    }
    let place = format!("{least:.3} mm clear for {mm:.3}");
    r.figure(Check::Claim, what, place, (mm - least).abs(), FIT);
    r.holds(Check::Claim, what, &format!("{any:.3} mm clear of all it slides over"), any >= -FIT);
    least.is_finite()
}
