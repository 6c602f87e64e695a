//! What is held against the strip: its edges, notches, holes, areas, folds and marks as they are cut.

use super::{STRAIGHT, Strip, turned};
use crate::audit::laid;
use crate::audit::report::{AREA, CLOSURE, FIT, LANDING, Report, TRANSFER, TWIST};
use crate::audit::sided::{Lines, corners, lands};
use crate::audit::wall::{self, edge_name, outline_fits};
use crate::audit::{beyond, joints, marks, measure, traces as lines_of};
use crate::design::Face;
use crate::flat::Panel;
use crate::geom::path::{Path, Seg};
use crate::geom::{Vec2, left_of, tol};
use crate::ids::PartId;
use crate::piece::{About, Piece};
use crate::solid::{Contact, Course, EdgeName, EdgeRef, Frame, Seam, Solid, Stroke};
use crate::verdict::Check;

/// The strip's pieces of one hand; returns it as it lies on them.
pub fn pieces<'a>(
    solid: &Solid,
    part: PartId,
    strip: Strip<'a>,
    panel: &Panel,
    group: &[&Piece],
    report: &mut Report,
) -> Strip<'a> {
    let strip = strip.settled(group);
    for name in strip.names() {
        let Some((face, k, line)) = strip.line(name) else { continue };
        let what = match name {
            EdgeName::Foot(i) | EdgeName::Head(i) => format!("{} {}", edge_name(name), i + 1),
            _ => edge_name(name).to_owned(),
        };
        let own = |piece: &Piece| -> Vec<Path> {
            let cut = piece.contour.iter().filter(|r| r.edge == Some(name)).map(|r| r.path.clone());
            let tabs = piece.marks.iter().filter(|m| name == EdgeName::End && m.about == About::Lap);
            cut.chain(tabs.map(|m| m.path.clone())).filter(|p| !p.is_empty()).collect()
        };
        lands(&what, &line, group, &own, LANDING, report);
        let marks = |piece: &Piece| -> Vec<Path> {
            piece.marks.iter().filter(|m| m.about == About::Bevel(name)).map(|m| m.path.clone()).collect()
        };
        let sheet = &strip.faces[face];
        if sheet.is_square(k) {
            marks::no_bevel(group, name, report);
        } else {
            let over = sheet.sides()[k].over() > 0.0;
            let depth = if over { strip.layer.inner } else { strip.layer.outer };
            let mut lines = strip.bounded(face, depth);
            for (i, line) in lines.iter_mut().enumerate() {
                let folded = strip.folds(face).iter().any(|(side, fold)| *side == i && fold.is_some());
                if !folded && sheet.is_square(i) {
                    *line = strip.cut(face)[i];
                }
            }
            let (a, b) = strip.side(face, &lines, k);
            let asked = Path::polyline(&[a, b]);
            lands(&format!("bevel line of the {what}"), &asked, group, &marks, TRANSFER, report);
        }
        joined(solid, part, &strip, (name, face, k), &line, group, report);
    }
    match strip.wall.seam {
        Seam::Tabs(wide) => {
            if let Some((_, _, line)) = strip.line(EdgeName::End)
                && let Some(s) = line.segs.first()
            {
                let end = laid::Side { at: s.a, up: (s.b - s.a).normalize_or_zero() };
                beyond::tabs(&end, [0.0, s.length()], group, wide, report);
            }
        }
        _ => beyond::on_plate(group, report),
    }
    holes(&strip, group, report);
    sheet(solid, &strip, panel, group, report);
    folds(solid, &strip, group, report);
    strip
}

/// The notches of an edge at its joints, and its cut length.
fn joined(
    solid: &Solid,
    part: PartId,
    strip: &Strip<'_>,
    (edge, face, k): (EdgeName, usize, usize),
    line: &Path,
    group: &[&Piece],
    report: &mut Report,
) {
    let here = EdgeRef { part, ring: 0, edge };
    if !group.is_empty() {
        let is: f64 = strip.runs(edge, group).iter().flat_map(|p| &p.segs).map(Seg::length).sum();
        let place = format!("cut {is:.3} mm long for {:.3}", line.length());
        report.figure(Check::Partner, edge_name(edge), place, (is - line.length()).abs(), FIT);
    }
    for joint in joints::joints_at(solid, here) {
        let what = format!("{} at joint {}", edge_name(edge), joint.letter);
        let Contact::Line { from, to, .. } = joint.contact else {
            report.holds(Check::Coverage, &what, "meets along a line", false);
            continue;
        };
        let sheet = &strip.faces[face];
        let points = corners(&sheet.at(sheet.show()));
        let (a, b) = sheet.side_of(&points, k);
        // Ticks stand square to the edge: how far along it that is told the way the joint is walked.
        let own = (b - a).normalize_or_zero();
        let foot = sheet.place.seen(from).truncate();
        let way = sheet.place.direction_seen((to - from).normalize_or_zero()).truncate();
        let mut at = std::collections::BTreeMap::new();
        for (piece, mark, number) in joints::ticks(group, joint, edge) {
            report.verdict.checked.notches += 1;
            report.verdict.checked.marks += 1;
            let Some((middle, _)) = joints::tick_line(piece, &mark.path) else { continue };
            let s = (strip.unflat(face, middle) - foot).dot(own) / way.dot(own);
            report.holds(Check::Coverage, &what, "each notch once", at.insert(number, s).is_none());
        }
        joints::compare(joint, &what, &at, report);
    }
}

fn holes(strip: &Strip<'_>, group: &[&Piece], report: &mut Report) {
    let mut found = vec![0usize; strip.wall.holes.len()];
    for piece in group {
        for hole in &piece.holes {
            report.verdict.checked.holes += 1;
            let Some((face, asked)) = strip.wall.holes.get(hole.hole) else {
                report.holds(Check::Coverage, &format!("hole {}", hole.name), "asked for", false);
                continue;
            };
            found[hole.hole] += 1;
            report.holds(Check::Coverage, &format!("hole {}", asked.name), "goes by its name", hole.name == asked.name);
            let seg = |s: &Seg| Seg { a: strip.flat(*face, s.a), b: strip.flat(*face, s.b), ..*s };
            let outline = Path { segs: asked.outline.segs.iter().map(seg).collect() };
            let emitted = measure::path_undone(&piece.from_flat, &hole.outline);
            outline_fits(&emitted, &outline, Check::Landing, &format!("hole {}", asked.name), report);
        }
    }
    for (i, (_, hole)) in strip.wall.holes.iter().enumerate() {
        report.count(&format!("hole {}", hole.name), found[i], 1);
    }
}

/// Areas, masses and the ways up.
fn sheet(solid: &Solid, strip: &Strip<'_>, panel: &Panel, group: &[&Piece], report: &mut Report) {
    let (mut area, mut round, mut tabs) = (0.0, 0.0, 0.0);
    let face = &strip.onto[strip.faces.len() / 2];
    let middle = &strip.faces[strip.faces.len() / 2].place;
    let upright = face.direction_seen(middle.x).truncate();
    for piece in group {
        let contour: Vec<&Path> = piece.contour.iter().map(|r| &r.path).collect();
        area += measure::path_area(&contour);
        round += contour.iter().map(|p| p.length()).sum::<f64>();
        for run in piece.contour.iter().filter(|r| r.edge.is_none()) {
            let (Some(a), Some(b)) = (run.path.start(), run.path.end()) else { continue };
            let back = Path { segs: vec![Seg::line(b, a)] };
            tabs += measure::path_area(&[&run.path, &back]);
        }
        wall::own_area(piece, report);
        marks::arrows(piece, |_| Vec2::Y, report);
        let up = measure::undone(&piece.from_flat, piece.up) - measure::undone(&piece.from_flat, Vec2::ZERO);
        report.holds(Check::Hand, "way up", "as it stands in the prop", (up - upright).length() < 1e-4);
    }
    if group.is_empty() {
        return;
    }
    let asked = strip.area(&|i| strip.cut(i)) + tabs;
    let allowed = AREA * asked + tol::ROUNDING * round + bridged(strip);
    report.figure(Check::Area, "strip", format!("{area:.3} mm² for {asked:.3}"), (area - asked).abs(), allowed);
    let neutral = strip.area(&|i| {
        let mut lines = strip.faces[i].at(strip.layer.neutral);
        for (side, fold) in strip.folds(i) {
            if fold.is_some() {
                lines[side] = strip.cut(i)[side];
            }
        }
        lines
    });
    let place = format!("{:.3} mm² for {neutral:.3}", panel.area);
    report.figure(Check::Area, "panel's stated area", place, (panel.area - neutral).abs(), AREA * neutral);
    let band = 2.0 * (asked - tabs - strip.mean());
    wall::weighed(solid, strip.faces[0].stock(), group, band, report);
}

/// What the outline of a fold's skin may differ from a strip as wide as it bends: where two rims come to it at unlike heights.
fn bridged(strip: &Strip<'_>) -> f64 {
    let one = |(i, hinge): (usize, &super::Hinge)| {
        let gap = |upper: bool| {
            let (k, l) =
                (strip.wall.faces[i].rims[usize::from(upper)], strip.wall.faces[i + 1].rims[usize::from(upper)]);
            let (Some(k), Some(l)) = (k, l) else { return 0.0 };
            let (a, b) = strip.side(i, &strip.cut(i), k);
            let (c, d) = strip.side(i + 1, &strip.cut(i + 1), l);
            (if upper { a.distance(d) } else { b.distance(c) } - hinge.allowance).abs()
        };
        hinge.allowance * (gap(false) + gap(true))
    };
    strip.hinges.iter().enumerate().map(one).sum()
}

/// Each fold: marked on the face on which its corner is hollow if it is grooved, as wide and as deep as its turn and its skin
/// ask for, and where its faces end.
fn folds(solid: &Solid, strip: &Strip<'_>, group: &[&Piece], report: &mut Report) {
    let thick = strip.layer.outer - strip.layer.inner;
    for (i, hinge) in strip.hinges.iter().enumerate() {
        let what = format!("fold between faces {} and {}", i + 1, i + 2);
        let fold = &strip.wall.folds[i];
        // Folded about its own line by the turn between the planes, the next face comes to lie in its own.
        let (there, here) = (&strip.faces[i + 1].place, &strip.onto[i + 1]);
        report.figure(
            Check::Closure,
            &what,
            "the next face's plane".into(),
            (here.z - there.z).length() * 100.0 + here.z.dot(there.origin - here.origin).abs(),
            CLOSURE,
        );
        let said = (fold.turn - hinge.turn).abs().to_degrees();
        report.figure(Check::Transfer, &what, "turn between the planes".into(), said, TWIST);
        report.holds(Check::Claim, &what, "leaves a skin", fold.skin > 0.0 && fold.skin <= thick + 1e-9);
        let traced: Vec<_> =
            (solid.traces.iter()).filter(|t| t.part == strip.part.id && t.course == Course::Fold(i)).collect();
        report.count(&format!("marks of the {what}"), traced.len(), usize::from(hinge.turn.abs() > STRAIGHT));
        for note in group.iter().flat_map(|p| &p.traces).filter(|t| Some(t.trace) == strip.trace_of(solid, i)) {
            let said = note.fold.map_or([f64::NAN; 4], |f| [f.turn.to_degrees(), f.skin, f.wide, f.allowance]);
            let asked = [hinge.turn.abs().to_degrees(), fold.skin, hinge.wide, hinge.allowance];
            for (what_of, (is, want)) in ["turn", "skin", "width", "allowance"].iter().zip(said.iter().zip(asked)) {
                let place = format!("{what_of} said to be {is:.3} for {want:.3}");
                report.figure(Check::Claim, &format!("key of the {what}"), place, (is - want).abs(), 1e-3);
            }
            let scored = note.fold.is_some_and(|f| f.scored == hinge.scored);
            report.holds(Check::Claim, &format!("key of the {what}"), "scored or grooved", scored);
        }
        for trace in traced {
            let stroke = if hinge.scored { Stroke::Score } else { Stroke::Groove };
            let place =
                format!("a {} on the {}", stroke.word(), if hinge.face == Face::Inside { "inside" } else { "outside" });
            report.holds(Check::Coverage, &what, &place, trace.stroke == stroke && trace.face == hinge.face);
            if !hinge.scored {
                let deep = trace.deep.unwrap_or(f64::NAN);
                let place = format!("{deep:.3} mm deep for {:.3}", thick - fold.skin);
                report.figure(Check::Claim, &what, place, (deep - (thick - fold.skin)).abs(), 1e-6);
            }
        }
        if hinge.scored || group.is_empty() || hinge.turn.abs() <= STRAIGHT {
            continue;
        }
        let lines = strip.grooved(solid, i, group);
        report.holds(Check::Coverage, &what, "is marked", lines.is_some());
        let Some([a, b]) = lines.as_deref() else { continue };
        let way = (a[1] - a[0]).normalize_or_zero();
        for (p, q, end) in [(a[0], b[0], "foot"), (a[1], b[1], "head")] {
            let wide = (-left_of(way)).dot(q - p);
            let place = format!("groove {wide:.3} mm wide for {:.3} at its {end}", hinge.wide);
            report.figure(Check::Transfer, &what, place, (wide - hinge.wide).abs(), TRANSFER);
        }
    }
    closes(solid, strip, group, report);
}

/// Folded up as it is cut and marked, fold by fold, the strip's two ends meet on both faces.
fn closes(solid: &Solid, strip: &Strip<'_>, group: &[&Piece], report: &mut Report) {
    let what = "ends of the folded strip";
    let Some(cut) = strip.as_cut(solid, group) else {
        report.holds(Check::Coverage, what, "all of its faces", group.is_empty());
        return;
    };
    let mut frame = strip.onto[0];
    let (mut shortest, mut along) = (f64::INFINITY, 0.0);
    for (i, hinge) in strip.hinges.iter().enumerate() {
        let Some(marks) = strip.middle_of(solid, i, group) else {
            if hinge.turn.abs() <= STRAIGHT {
                continue;
            }
            report.holds(Check::Coverage, what, "every fold is marked", false);
            return;
        };
        let [low, up] = marks[..] else { continue };
        let way = (up - low).normalize_or_zero();
        let root = low + left_of(way) * (0.5 * hinge.allowance);
        shortest = low.distance(up).min(shortest);
        along +=
            marks[0].distance(strip.side(0, &strip.cut(0), strip.wall.faces[0].left).1) / strip.hinges.len() as f64;
        let axis = frame.apply(root.extend(hinge.root));
        let way = frame.direction(way.extend(0.0));
        frame = turned(&frame, (axis, way), frame.z, (hinge.turn, hinge.allowance));
    }
    let last = strip.faces.len() - 1;
    // A mark's ends are rounded: over so much of the strip that turns what follows by as much as over its own length.
    let allowed = TRANSFER + 4.0 * tol::ROUNDING * strip.hinges.len() as f64 * (1.0 + along / shortest);
    for (face, depth) in [("outer", strip.layer.outer), ("inner", strip.layer.inner)] {
        let side = |i: usize, k: usize, onto: &Frame| {
            let sheet = &strip.faces[i];
            let share = (depth - sheet.hidden()) / (sheet.show() - sheet.hidden());
            let own = sheet.sides().iter().zip(&cut[i]);
            let lines: Lines = own.map(|(s, f)| (s.phi, f.1 + (f.0 - f.1) * share)).collect();
            let (a, b) = strip.side(i, &lines, k);
            (onto.apply(a.extend(depth)), onto.apply(b.extend(depth)))
        };
        let (a, b) = side(0, strip.wall.faces[0].left, &strip.onto[0]);
        let (c, d) = side(last, strip.wall.faces[last].right, &frame);
        let off = a.distance(d).max(b.distance(c));
        report.figure(Check::Partner, what, format!("corners on the {face} face"), off, allowed);
    }
}

/// Its marks.
pub fn traces(solid: &Solid, layer: usize, strip: &Strip<'_>, group: &[&Piece], report: &mut Report) {
    let laid = |face: usize, path: &Path| {
        let seg = |s: &Seg| Seg { a: strip.flat(face, s.a), b: strip.flat(face, s.b), ..*s };
        Path { segs: path.segs.iter().map(seg).collect() }
    };
    let lines = |course: &Course| match course {
        Course::Face(face, path) if *face < strip.faces.len() => vec![laid(*face, path)],
        Course::Fold(fold) if *fold < strip.hinges.len() => strip.asked(*fold),
        _ => Vec::new(),
    };
    let holes: Vec<Path> = strip.wall.holes.iter().map(|(face, h)| laid(*face, &h.outline)).collect();
    let face = |face: Face| strip.outline(face);
    lines_of::on_strip(solid, (strip.part, layer), &lines, &face, &holes, group, report);
}

/// A hole as it is cut: its middle and widths in its face's plane.
pub fn hole(strip: &Strip<'_>, group: &[&Piece], hole: usize) -> Option<(Vec2, Vec2)> {
    let face = strip.wall.holes.get(hole)?.0;
    let mut all = group.iter().flat_map(|p| p.holes.iter().filter(|h| h.hole == hole).map(move |h| (p, h)));
    let (piece, found) = all.next()?;
    let flat = measure::path_undone(&piece.from_flat, &found.outline);
    let points = measure::samples(&flat, 0.5, 1e-3).into_iter().map(|p| strip.unflat(face, p));
    let (lo, hi) = points.fold((Vec2::INFINITY, Vec2::NEG_INFINITY), |(lo, hi), p| (lo.min(p), hi.max(p)));
    Some(((lo + hi) * 0.5, hi - lo))
}
