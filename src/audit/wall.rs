//! The pieces of one wall panel: every edge, hole and mark folded and laid against its curve in space.

use crate::geom::path::Path;
use crate::geom::{Vec2, Vec3, tol};
use crate::num;
use crate::piece::{About, Operation, Piece};
use crate::solid::{EdgeName, EdgeRef, Rim, Seam, Solid};
use crate::verdict::Check;

use super::area::Reach;
use super::joints;
use super::laid::{Hints, Laid};
use super::lines::{Line, View};
use super::measure::{self, right_of, to_chain};
use super::report::{AREA, CLOSURE, FIT, LANDING, Most, Report, TRANSFER, TWIST};

/// A way up may stand off the generatrix in the middle by this much, degrees.
const UP: f64 = 1.0;
/// A mass, as a share: bevelled bands are taken between two drawn lines.
const MASS: f64 = 2e-3;

/// In a maker's words.
pub fn edge_name(edge: EdgeName) -> &'static str {
    match edge {
        EdgeName::Lower => "lower edge",
        EdgeName::Upper => "upper edge",
        EdgeName::Begin => "seam side where the wall begins",
        EdgeName::End => "seam side where the wall ends",
        EdgeName::Outline => "outline",
        EdgeName::Side(_) => "side of a plate",
        EdgeName::Foot(_) => "bottom of a face",
        EdgeName::Head(_) => "top of a face",
        EdgeName::Cut => "cut between halves",
    }
}

/// What the fold itself shows: closure, twist, and the side it is seen from.
pub fn fold(laid: &Laid<'_>, report: &mut Report) {
    for f in &laid.strips {
        let place = |w: f64| format!("{w:.3} of the way round");
        report.figure(Check::Closure, "last generatrix", place(f.reach().1), f.closure, CLOSURE);
        report.figure(Check::Twist, "generatrix", place(f.twist.1), f.twist.0.to_degrees(), TWIST);
        // Ends of one generatrix that are no places of one normal: the angle their distance makes over its length is
        // a lower bound of the twist.
        let round = &laid.view.rounds[laid.ring.strips.start];
        let long = (round.heights.1 - round.heights.0).max(1.0);
        report.figure(
            Check::Twist,
            "ends of a generatrix",
            place(f.strayed.1),
            (f.strayed.0 / long).to_degrees(),
            TWIST,
        );
        report.holds(Check::Hand, "panel seen on its outside", "generatrices run on", f.backward == 0);
    }
}

/// All pieces of one hand that make up the panel.
pub fn pieces((solid, views): (&Solid, &[Option<View<'_>>]), laid: &Laid<'_>, group: &[&Piece], report: &mut Report) {
    for upper in [false, true] {
        rim(laid, group, upper, report);
        bevel(laid, group, upper, report);
    }
    for end in [false, true] {
        side(laid, group, end, report);
    }
    marks(laid, group, report);
    super::marks::centre(laid, group, report);
    super::beyond::on_wall(laid, group, report);
    super::turn::on_wall((solid, views), laid, group, report);
    holes(laid, group, report);
    super::places::on_wall(solid, laid, group, report);
    super::traces::on_wall(solid, laid, group, report);
    area(laid, group, report);
    for piece in group {
        super::marks::arrows(piece, |p| laid.up_at(p), report);
        way_up(laid, piece, report);
    }
}

/// A piece's way up is that of the generatrix in the panel's middle.
fn way_up(laid: &Laid<'_>, piece: &Piece, report: &mut Report) {
    let at_rest = Vec2::ZERO;
    let way = measure::undone(&piece.from_flat, piece.up) - measure::undone(&piece.from_flat, at_rest);
    let up = laid.middle_up();
    let off = crate::num::atan2(up.perp_dot(way), up.dot(way)).abs().to_degrees();
    report.holds(Check::Hand, "way up", &format!("{off:.2}° off"), off <= UP);
}

/// The cut length of every edge that no joint measures.
pub fn lengths(solid: &Solid, laid: &Laid<'_>, group: &[&Piece], report: &mut Report) {
    for edge in [EdgeName::Lower, EdgeName::End, EdgeName::Upper, EdgeName::Begin] {
        let here = EdgeRef { part: laid.panel.part, ring: laid.panel.ring, edge };
        if solid.joints.iter().any(|j| j.a == here || j.b == here) {
            continue;
        }
        let Some((is, asked)) = joints::edge_length(laid, group, edge) else { continue };
        let place = format!("cut {is:.3} mm long for {asked:.3}");
        report.figure(Check::Partner, edge_name(edge), place, (is - asked).abs(), FIT);
    }
}

/// What all pieces of a panel weigh: the sheet's mass on their area less half of the bands that bevels take.
pub fn mass(solid: &Solid, laid: &Laid<'_>, group: &[&Piece], report: &mut Report) {
    let mut band = num::Sum::new();
    for upper in [false, true] {
        if (if upper { laid.cut.1 } else { laid.cut.0 }) != Line::Widest {
            continue;
        }
        // Along the cut line from side to side, and back along the other face's.
        let along = |line: Line| {
            let strip = &laid.strips[laid.rim_strip(upper)];
            let held = laid.expected(upper, line).iter().filter(|(w, p)| laid.holds(upper, *w, *p));
            let mut points = vec![laid.corner(upper, line, false)];
            points.extend(held.map(|(w, p)| strip.flat(*w, *p)));
            points.push(laid.corner(upper, line, true));
            points
        };
        let mut outline = along(Line::Widest);
        outline.extend(along(Line::Narrowest).into_iter().rev());
        band.add(measure::area(&outline).abs());
    }
    weighed(solid, laid.layer.stock, group, band.value(), report);
}

/// Masses of the pieces of one panel against their area, given the area of the bevelled bands on them.
pub fn weighed(solid: &Solid, stock: usize, group: &[&Piece], band: f64, report: &mut Report) {
    let each = solid.stocks.get(stock).and_then(|s| s.area_mass);
    let known = group.iter().all(|p| p.mass.is_some() == each.is_some());
    report.holds(Check::Coverage, "mass", "known where the stock's density is", known);
    let (Some(each), false) = (each, group.is_empty()) else { return };
    let area: f64 = group.iter().map(|p| p.area).sum();
    let is = group.iter().filter_map(|p| p.mass).sum::<f64>() / each;
    let asked = area - 0.5 * band;
    report.figure(Check::Area, "mass", format!("of {is:.1} mm² for {asked:.1}"), (is - asked).abs(), MASS * area);
    for piece in group {
        let is = piece.mass.unwrap_or_default() / each;
        let within = is <= piece.area * (1.0 + MASS) && is >= (piece.area - 0.5 * band) * (1.0 - MASS);
        report.holds(Check::Area, "mass", &piece.name, within);
    }
}

/// The chains of a rim that the pieces have, as they are cut and folded, for a line in space to be held against.
struct Chains(Vec<(Vec<Vec3>, Vec<Vec3>)>);

impl Chains {
    fn against(&self, laid: &Laid<'_>, upper: bool, line: Line) -> Most {
        let expected = laid.expected(upper, line);
        let mut most = Most::default();
        let mut hints = vec![0; self.0.len()];
        let mut crossings = None;
        for &(w, p) in expected {
            if !laid.holds(upper, w, p) {
                continue;
            }
            let mut near = f64::INFINITY;
            for ((_, chain), hint) in self.0.iter().zip(&mut hints) {
                near = near.min(to_chain(p, chain, hint, LANDING));
            }
            let flat = laid.strips[laid.rim_strip(upper)].flat(w, p);
            if near > LANDING {
                let crossings = crossings.get_or_insert_with(|| laid.crossings(upper, line));
                if crossings.goes_over(w) {
                    if near <= FIT {
                        continue;
                    }
                } else if crossings.is_beside(laid, upper, flat) {
                    // Of what is cut there it is chance on which of the generatrices that cross it lands.
                    let to_cut = |(cut, _): &(Vec<Vec3>, _)| to_chain(flat.extend(0.0), cut, &mut 0, 0.0);
                    near = self.0.iter().map(to_cut).fold(near, f64::min);
                }
            }
            most.add(near, flat);
        }
        most
    }
}

fn rim(laid: &Laid<'_>, group: &[&Piece], upper: bool, report: &mut Report) {
    let name = if upper { EdgeName::Upper } else { EdgeName::Lower };
    if let Some(row) = super::scallops::expected(laid, upper) {
        super::scallops::rim(&row, group, upper, report);
        return;
    }
    let what = edge_name(name);
    let line = if upper { laid.cut.1 } else { laid.cut.0 };
    let curve: Vec<Vec3> = laid.expected(upper, line).iter().map(|(_, p)| *p).collect();
    let long: f64 = curve.windows(2).map(|c| (c[1] - c[0]).length()).sum();
    let closed = matches!(if upper { laid.ring.upper } else { laid.ring.lower }, Rim::Closed(_));
    if closed && long < 0.01 {
        return;
    }
    let (mut landing, mut transfer) = (Most::default(), Most::default());
    let mut chains = Chains(Vec::new());
    let mut crossings = None;
    for piece in group {
        for path in super::turn::edge_paths(piece, name) {
            let path = laid.landed_rim(&piece.from_flat, path, upper, line);
            report.verdict.checked.edges += 1;
            let mut hint = 0;
            let mut landed: (Vec<Vec3>, Vec<Vec3>) = Default::default();
            for (p, l) in &path {
                let mut space = l.space;
                let mut off = to_chain(l.space, &curve, &mut hint, LANDING);
                let mut aside = off_face(laid, upper, line, l.w, l.space, l.normal);
                // Beside a place where the line crosses itself its generatrices do so too, and the piece lies on
                // either; in space the line ends elsewhere on every face.
                if (off > LANDING || aside > TRANSFER)
                    && let Some(there) =
                        crossings.get_or_insert_with(|| laid.crossings(upper, line)).land(laid, upper, *p)
                {
                    if there.off < off {
                        (off, space) = (there.off, there.space);
                    }
                    aside = aside.min(off_face(laid, upper, line, there.w, there.space, there.normal));
                }
                landing.add(off, *p);
                transfer.add(aside, *p);
                landed.0.push(p.extend(0.0));
                landed.1.push(space);
            }
            chains.0.push(landed);
        }
    }
    report.holds(Check::Coverage, what, "present", landing.any());
    landing.enter(report, Check::Landing, what, LANDING);
    transfer.enter(report, Check::Transfer, what, TRANSFER);
    chains.against(laid, upper, line).enter(report, Check::Landing, &format!("{what}, all along"), LANDING);
}

/// How far a folded point, moved to the face it belongs to, stands off that face's edge, across it.
fn off_face(laid: &Laid<'_>, upper: bool, line: Line, w: f64, p: Vec3, normal: Vec3) -> f64 {
    // A figure is cut square to the sheet: its faces' lines lie over the line of the flat.
    if laid.view.course(laid.ring, upper).is_some() {
        return 0.0;
    }
    let edge = laid.view.line(laid.ring, upper, line, w, &laid.layer);
    let q = p + normal * (edge.depth - laid.layer.neutral);
    let at = |w: f64| laid.view.edge(laid.ring, upper, w, edge.depth, laid.layer.neutral).point;
    const STEP: f64 = 1e-5;
    let along = (at(w + STEP) - at((w - STEP).max(0.0))).normalize_or_zero();
    let off = q - edge.point;
    (off - along * off.dot(along)).length()
}

/// The line of the other face on a bevelled rim.
fn bevel(laid: &Laid<'_>, group: &[&Piece], upper: bool, report: &mut Report) {
    let name = if upper { EdgeName::Upper } else { EdgeName::Lower };
    if (if upper { laid.cut.1 } else { laid.cut.0 }) != Line::Widest {
        super::marks::no_bevel(group, name, report);
        return;
    }
    let what = format!("bevel line of the {}", edge_name(name));
    let curve: Vec<Vec3> = laid.expected(upper, Line::Narrowest).iter().map(|(_, p)| *p).collect();
    let mut chains = Chains(Vec::new());
    let mut most = Most::default();
    for piece in group {
        for mark in piece.marks.iter().filter(|m| m.about == About::Bevel(name)) {
            report.verdict.checked.marks += 1;
            let path = laid.landed_path(&piece.from_flat, &mark.path);
            let mut hint = 0;
            for (p, l) in &path {
                most.add(to_chain(l.space, &curve, &mut hint, LANDING), *p);
            }
            chains.0.push(path.into_iter().map(|(p, l)| (p.extend(0.0), l.space)).unzip());
        }
    }
    report.holds(Check::Coverage, &what, "present", most.any());
    most.enter(report, Check::Landing, &what, LANDING);
    if most.any() {
        chains.against(laid, upper, Line::Narrowest).enter(report, Check::Landing, &what, LANDING);
    }
}

/// A seam's side: its runs and, under a lap or tabs, the marks that stand for the seam line.
fn side(laid: &Laid<'_>, group: &[&Piece], end: bool, report: &mut Report) {
    let name = if end { EdgeName::End } else { EdgeName::Begin };
    let what = edge_name(name);
    let (from, to) = (super::scallops::corner(laid, false, end), super::scallops::corner(laid, true, end));
    let up = (to - from).normalize_or_zero();
    let open = matches!(laid.view.wall.seam, Seam::Open(_));
    let (mut straight, mut landing) = (Most::default(), Most::default());
    let mut parts: Vec<(f64, f64)> = Vec::new();
    for piece in group {
        let runs = super::turn::edge_paths(piece, name);
        let marks = piece.marks.iter().filter(|m| end && m.about == About::Lap).map(|m| &m.path);
        for path in runs.chain(marks) {
            report.verdict.checked.edges += 1;
            let flat = measure::path_undone(&piece.from_flat, path);
            let mut hints = Hints::default();
            let mut reach = (f64::INFINITY, f64::NEG_INFINITY);
            for p in measure::samples(&flat, 4.0, 5e-4) {
                straight.add((p - from).dot(right_of(up)).abs(), p);
                let t = (p - from).dot(up);
                reach = (reach.0.min(t), reach.1.max(t));
                if !open {
                    landing.add(off_seam(laid, p, &mut hints, end), p);
                }
            }
            parts.push(reach);
        }
    }
    report.holds(Check::Coverage, what, "present", straight.any());
    super::marks::no_bevel(group, name, report);
    straight.enter(report, Check::Landing, what, LANDING);
    landing.enter(report, Check::Closure, what, CLOSURE);
    parts.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut reached = 0.0;
    let mut missing = 0.0f64;
    let long = (to - from).length();
    for (a, b) in parts {
        missing = missing.max(a - reached).max(b - long).max(-a);
        reached = f64::max(reached, b);
    }
    missing = missing.max(long - reached);
    report.figure(Check::Landing, &format!("{what}, from rim to rim"), format!("{long:.3} mm long"), missing, LANDING);
}

/// Distance of a folded point of a side from the seam's generatrix.
fn off_seam(laid: &Laid<'_>, p: Vec2, hints: &mut Hints, end: bool) -> f64 {
    let folded = laid.fold_side(p, hints, end);
    let round = &laid.view.rounds[laid.ring.strips.start + folded.strip];
    // Once round, the last generatrix is the first again.
    let g = round.generatrix(0.0);
    let from = g.at(round.heights.0, laid.layer.neutral);
    let off = folded.space - from;
    (off - g.along * off.dot(g.along)).length()
}

fn marks(laid: &Laid<'_>, group: &[&Piece], report: &mut Report) {
    for piece in group {
        for mark in &piece.marks {
            match mark.about {
                About::Centre => {
                    report.verdict.checked.marks += 1;
                    centre(laid, piece, &mark.path, report);
                }
                About::Lap | About::Turn(_) => report.verdict.checked.marks += 1,
                About::Bevel(_) | About::Notch { .. } | About::Place(_) | About::Trace(_) | About::Lettering => {}
            }
            if mark.operation == Operation::Bevel && !matches!(mark.about, About::Bevel(_)) {
                report.holds(Check::Coverage, "bevel line", "without an edge", false);
            }
        }
    }
}

/// The centre line lies along the generatrix opposite the seam.
fn centre(laid: &Laid<'_>, piece: &Piece, path: &Path, report: &mut Report) {
    let mut most = Most::default();
    for (p, l) in laid.landed_path(&piece.from_flat, path) {
        let round = &laid.view.rounds[laid.ring.strips.start + l.strip];
        let g = round.generatrix(round.opposite());
        let off = l.space - g.at(round.heights.0, laid.layer.neutral);
        most.add((off - g.along * off.dot(g.along)).length(), p);
    }
    most.enter(report, Check::Landing, "centre line", LANDING);
}

/// Holes: their outline, true on the neutral flat, about the folded place of their centre.
fn holes(laid: &Laid<'_>, group: &[&Piece], report: &mut Report) {
    let mut found = vec![0usize; laid.view.wall.holes.len()];
    for piece in group {
        for hole in &piece.holes {
            report.verdict.checked.holes += 1;
            let Some(asked) = laid.view.wall.holes.get(hole.hole) else {
                report.holds(Check::Coverage, &format!("hole {}", hole.name), "asked for", false);
                continue;
            };
            found[hole.hole] += 1;
            let what = format!("hole {}", asked.name);
            report.holds(Check::Coverage, &what, "goes by its name", hole.name == asked.name);
            let emitted = measure::path_undone(&piece.from_flat, &hole.outline);
            let Some(frame) = hole_frame(laid, asked.strip, &asked.rule, asked.z) else {
                report.holds(Check::Coverage, &what, "in this ring", false);
                continue;
            };
            let outline = frame.placed(&asked.outline);
            outline_fits(&emitted, &outline, Check::Landing, &what, report);
        }
    }
    for (i, hole) in laid.view.wall.holes.iter().enumerate() {
        let asked = usize::from(laid.ring.strips.contains(&hole.strip));
        report.count(&format!("hole {}", hole.name), found[i], asked);
    }
}

/// Both ways between two closed outlines, and their areas.
pub fn outline_fits(emitted: &Path, asked: &Path, check: Check, what: &str, report: &mut Report) {
    let mut most = Most::default();
    for p in measure::samples(emitted, 1.0, 1e-3) {
        most.add(measure::to_path(p, asked), p);
    }
    for p in measure::samples(asked, 1.0, 1e-3) {
        most.add(measure::to_path(p, emitted), p);
    }
    report.holds(Check::Coverage, what, "has an outline", most.any());
    most.enter(report, check, what, LANDING);
    let (is, want) = (measure::path_area(&[emitted]).abs(), measure::path_area(&[asked]).abs());
    let allowed = AREA * want + tol::ROUNDING * asked.length();
    report.figure(Check::Area, what, format!("{is:.3} mm² for {want:.3}"), (is - want).abs(), allowed);
}

/// A right-handed frame on the flat.
#[derive(Clone, Copy, Debug)]
pub struct Frame {
    pub at: Vec2,
    pub x: Vec2,
    pub y: Vec2,
}

impl Frame {
    pub fn placed(&self, path: &Path) -> Path {
        let go = |p: Vec2| self.at + self.x * p.x + self.y * p.y;
        Path { segs: path.segs.iter().map(|s| crate::geom::path::Seg { a: go(s.a), b: go(s.b), ..*s }).collect() }
    }

    /// A point in this frame.
    pub fn local(&self, p: Vec2) -> Vec2 {
        let q = p - self.at;
        Vec2::new(q.dot(self.x), q.dot(self.y))
    }
}

/// Where a hole's centre and directions lie on the flat: the foot of the measured face's point at height `z` on the
/// generatrix, and the horizontal there.
pub fn hole_frame(laid: &Laid<'_>, strip: usize, rule: &crate::geom::strip::Rule, z: f64) -> Option<Frame> {
    let round = laid.view.rounds.get(strip)?;
    if !laid.ring.strips.contains(&strip) {
        return None;
    }
    let (w, _) = round.locate(rule, 0.0);
    Some(frame_at(laid, strip, w, z))
}

/// The frame of a hole centred at place `w` of a strip.
pub fn frame_at(laid: &Laid<'_>, strip: usize, w: f64, z: f64) -> Frame {
    let g = laid.view.rounds[strip].generatrix(w);
    let folded = &laid.strips[strip - laid.ring.strips.start];
    let at = folded.flat(w, g.at(z, 0.0) + g.normal * folded.depth);
    let x = folded.flat_direction(w, g.tangent);
    Frame { at, x, y: crate::geom::left_of(x) }
}

fn area(laid: &Laid<'_>, group: &[&Piece], report: &mut Report) {
    let mut core = 0.0;
    let mut round = 0.0;
    for piece in group {
        let paths = seam_to_seam(piece);
        core += measure::path_area(&paths.iter().collect::<Vec<_>>());
        round += paths.iter().map(Path::length).sum::<f64>();
        own_area(piece, report);
    }
    if group.is_empty() {
        return;
    }
    let waste = super::scallops::waste(laid);
    let asked = laid.area(Reach::Cut) - waste;
    let allowed = AREA * asked + tol::ROUNDING * round;
    report.figure(Check::Area, "panel", format!("{core:.3} mm² for {asked:.3}"), (core - asked).abs(), allowed);
    let (said, asked) = (laid.panel.area, laid.area(Reach::Neutral) - waste);
    let place = format!("{said:.3} mm² for {asked:.3}");
    report.figure(Check::Area, "panel's stated area", place, (said - asked).abs(), AREA * asked);
}

/// A piece's stated area is that of its outline less its holes.
pub fn own_area(piece: &Piece, report: &mut Report) {
    let contour: Vec<&Path> = piece.contour.iter().map(|r| &r.path).collect();
    let holes: f64 = piece.holes.iter().map(|h| measure::path_area(&[&h.outline])).sum();
    let is = measure::path_area(&contour) - holes;
    let off = (piece.area - is).abs();
    report.figure(Check::Area, "stated area", format!("{:.3} mm² for {is:.3}", piece.area), off, AREA * is.abs());
}

/// The contour with laps, tabs and turns left away: each chain of runs that belongs to no edge becomes its chord, the
/// outline of a turn its fold.
pub fn seam_to_seam(piece: &Piece) -> Vec<Path> {
    let runs = &piece.contour;
    let start = runs.iter().position(|r| r.edge.is_some() || r.turn.is_some()).unwrap_or(0);
    let mut out: Vec<Path> = Vec::with_capacity(runs.len());
    let mut end: Option<Vec2> = None;
    // A cut between halves that goes through a lap or a tab leaves the seam where the seam's own line ends on it.
    let seam = super::beyond::seam_at_cut(piece);
    // Runs of a lap or tabs, and of the cut, since the last that belongs to an edge.
    let (mut added, mut cut) = (false, false);
    for i in 0..runs.len() {
        let run = &runs[(start + i) % runs.len()];
        let paths = match (run.edge, run.turn) {
            (Some(_), _) => vec![run.path.clone()],
            (None, Some(edge)) => super::turn::folds_in_order(piece, edge),
            (None, None) => {
                let is_cut = super::beyond::is_cut(piece, run);
                (added, cut) = (added || !is_cut, cut || is_cut);
                continue;
            }
        };
        for path in paths {
            if let (Some(a), Some(b)) = (end, path.start())
                && a != b
            {
                out.push(chord(a, b, seam.filter(|_| added && cut)));
            }
            (added, cut) = (false, false);
            end = path.end();
            out.push(path);
        }
    }
    if let (Some(a), Some(b)) = (end, out.first().and_then(Path::start))
        && a != b
    {
        out.push(chord(a, b, seam.filter(|_| added && cut)));
    }
    out
}

/// Straight from one point to another, by way of a third if there is one.
fn chord(a: Vec2, b: Vec2, by: Option<Vec2>) -> Path {
    match by {
        Some(by) => Path::polyline(&[a, by, b]),
        None => Path::polyline(&[a, b]),
    }
}

/// A figure of fit.
pub fn fit(report: &mut Report, check: Check, what: &str, is: f64, asked: f64) {
    report.figure(check, what, format!("{is:.3} mm for {asked:.3}"), (is - asked).abs(), FIT);
}
