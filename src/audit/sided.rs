//! Plates with corners: panels of a wall and what closes it. Their sides are straight on every face, so a piece is put
//! in its place in the prop without being bent; there panels must meet with both faces of their sheets, each edge leaning
//! by half of the turn between them, and all together have the sizes that the text gives.

use crate::design::Face;
use crate::flat::Panel;
use crate::geom::path::Path;
use crate::geom::{Vec2, Vec3, tol, unit};
use crate::ids::PartId;
use crate::num;
use crate::piece::{About, Piece};
use crate::solid::{Claim, Contact, EdgeName, EdgeRef, Frame, Joint, Layer, OfPanels, Part, Plate, Size, Solid};
use crate::verdict::Check;

use super::claims::Made;
use super::joints;
use super::key::{Bevel, Truth};
use super::measure;
use super::report::{AREA, FIT, LANDING, Most, Report, TRANSFER};
use super::space::Round;
use super::wall::{self, edge_name, fit, outline_fits};

/// One side of the solid's sheet: the direction out of it, and how far out its two faces' edges lie.
#[derive(Clone, Copy, Debug)]
pub struct Side {
    pub phi: f64,
    show: f64,
    hidden: f64,
}

impl Side {
    pub fn over(&self) -> f64 {
        self.show - self.hidden
    }
}

/// One layer of a plate with corners.
#[derive(Clone, Debug)]
pub struct Sheet<'a> {
    pub part: &'a Part,
    plate: &'a Plate,
    /// Where its plane lies in the prop.
    pub place: Frame,
    sides: Vec<Side>,
    /// Heights of the face toward the show side and of the other one.
    z: (f64, f64),
    neutral: f64,
    stock: usize,
    square: bool,
}

/// Lines of a figure as directions and distances.
pub type Lines = Vec<(f64, f64)>;

/// The corner before each side.
pub fn corners(lines: &[(f64, f64)]) -> Vec<Vec2> {
    let n = lines.len();
    (0..n)
        .map(|i| {
            let ((a, p), (b, q)) = (lines[(i + n - 1) % n], lines[i]);
            // On the line of `b`, as far along as the line of `a` cuts it.
            let (s, c) = num::sin_cos(b - a);
            unit(b) * q + crate::geom::left_of(unit(b)) * ((q * c - p) / s)
        })
        .collect()
}

impl<'a> Sheet<'a> {
    pub fn new(plate: &'a Plate, part: &'a Part, layer: &Layer) -> Self {
        Self::of(plate, part, layer, part.place)
    }

    /// One whose plane lies elsewhere than its part's.
    pub fn of(plate: &'a Plate, part: &'a Part, layer: &Layer, place: Frame) -> Self {
        let inner = part.layers.iter().map(|l| l.inner).fold(f64::INFINITY, f64::min);
        let outer = part.layers.iter().map(|l| l.outer).fold(f64::NEG_INFINITY, f64::max);
        let height = |d: f64| plate.hidden + (plate.show - plate.hidden) * (d - inner) / (outer - inner);
        let z = (height(layer.outer), height(layer.inner));
        let round = Round::new(&plate.strip);
        let mut sides = Vec::new();
        let mut w = 0.5;
        while w < round.end() {
            if round.is_side(w) {
                let g = round.generatrix(w);
                let out = unit(g.phi);
                let at = |z: f64| g.at(z, plate.depth).truncate().dot(out);
                sides.push(Side { phi: g.phi, show: at(z.0), hidden: at(z.1) });
            }
            w += 1.0;
        }
        Self { part, plate, place, sides, z, neutral: height(layer.neutral), stock: layer.stock, square: layer.square }
    }

    /// The heights between which it lies, of the plate's own.
    pub fn between(&self) -> (f64, f64) {
        (self.z.0.min(self.z.1), self.z.0.max(self.z.1))
    }

    pub fn count(&self) -> usize {
        self.sides.len()
    }

    pub fn sides(&self) -> &[Side] {
        &self.sides
    }

    pub fn stock(&self) -> usize {
        self.stock
    }

    /// The heights of its show and its hidden face.
    pub fn show(&self) -> f64 {
        self.z.0
    }

    pub fn hidden(&self) -> f64 {
        self.z.1
    }

    fn thick(&self) -> f64 {
        (self.z.0 - self.z.1).abs()
    }

    /// Whether a side is cut at half depth.
    pub fn is_square(&self, k: usize) -> bool {
        self.square || self.sides[k].over().abs() < tol::SQUARE_CUT
    }

    fn lines(&self, of: impl Fn(usize, &Side) -> f64) -> Lines {
        self.sides.iter().enumerate().map(|(k, s)| (s.phi, of(k, s))).collect()
    }

    /// Where it is cut.
    pub fn cut(&self) -> Lines {
        self.lines(|k, s| if self.is_square(k) { 0.5 * (s.show + s.hidden) } else { s.show.max(s.hidden) })
    }

    /// Where the other face's edges lie.
    fn narrow(&self) -> Lines {
        self.lines(|k, s| if self.is_square(k) { 0.5 * (s.show + s.hidden) } else { s.show.min(s.hidden) })
    }

    /// A share of the way from the hidden face to the other one, as it is cut.
    fn cut_at(&self, share: f64) -> Lines {
        self.lines(|k, s| if self.is_square(k) { 0.5 * (s.show + s.hidden) } else { s.hidden + s.over() * share })
    }

    /// At a height of the plate.
    pub fn at(&self, z: f64) -> Lines {
        let share = (z - self.z.1) / (self.z.0 - self.z.1);
        self.lines(|_, s| s.hidden + s.over() * share)
    }

    /// How far a point of the flat lies from the line along which a side is cut.
    pub fn off_side(&self, p: Vec2, k: usize) -> Option<f64> {
        let points: Vec<Vec2> = corners(&self.cut()).into_iter().map(|q| self.flat(q)).collect();
        (k < points.len()).then(|| measure::to_path(p, &self.line_of(&points, k)))
    }

    /// From the plate's plane to its flat: seen on the show face, its x up the page.
    pub fn flat(&self, p: Vec2) -> Vec2 {
        if self.plate.show < self.plate.hidden { Vec2::new(p.y, p.x) } else { Vec2::new(-p.y, p.x) }
    }

    fn unflat(&self, p: Vec2) -> Vec2 {
        if self.plate.show < self.plate.hidden { Vec2::new(p.y, p.x) } else { Vec2::new(p.y, -p.x) }
    }

    fn line_of(&self, points: &[Vec2], k: usize) -> Path {
        let (a, b) = self.side_of(points, k);
        Path::polyline(&[a, b])
    }

    pub fn side_of(&self, points: &[Vec2], k: usize) -> (Vec2, Vec2) {
        (points[k], points[(k + 1) % points.len()])
    }

    /// What the key ought to say of a side.
    pub fn truth(&self, k: usize) -> Truth {
        let long = |z: f64| {
            let (a, b) = self.side_of(&corners(&self.at(z)), k);
            Some(a.distance(b))
        };
        let lean = num::atan2(self.sides[k].over(), self.thick()).to_degrees();
        let bevel = if self.square { Bevel::SQUARE } else { Bevel::of((lean, lean), !self.is_square(k), self.thick()) };
        Truth { long: [self.z.1, self.neutral, self.z.0].map(long), bevel }
    }

    /// How far out the edges of a piece's faces lie as it is cut: show, hidden.
    pub fn as_cut(&self, group: &[&Piece]) -> Option<Vec<(f64, f64)>> {
        let out = |paths: &[Path], side: &Side| {
            let points: Vec<Vec2> = paths.iter().flat_map(|p| [p.start(), p.end()]).flatten().collect();
            let n = points.len() as f64;
            let sum: f64 = points.iter().map(|p| self.unflat(*p).dot(unit(side.phi))).sum();
            (n > 0.0).then(|| sum / n)
        };
        let one = |(k, side): (usize, &Side)| {
            let name = EdgeName::Side(k);
            let runs: Vec<Path> = group
                .iter()
                .flat_map(|p| {
                    let own = p.contour.iter().filter(|r| r.edge == Some(name));
                    own.map(|r| measure::path_undone(&p.from_flat, &r.path))
                })
                .collect();
            let marks: Vec<Path> = group
                .iter()
                .flat_map(|p| {
                    let own = p.marks.iter().filter(|m| m.about == About::Bevel(name));
                    own.map(|m| measure::path_undone(&p.from_flat, &m.path))
                })
                .collect();
            let cut = out(&runs, side)?;
            if self.is_square(k) {
                let half = 0.5 * side.over();
                return Some((cut + half, cut - half));
            }
            let other = out(&marks, side)?;
            Some(if side.over() > 0.0 { (cut, other) } else { (other, cut) })
        };
        self.sides.iter().enumerate().map(one).collect()
    }

    /// The corners in the prop of a face at a height of the plate, as the piece is cut.
    pub fn placed(&self, faces: &[(f64, f64)], z: f64) -> Vec<Vec3> {
        let share = (z - self.z.1) / (self.z.0 - self.z.1);
        let lines: Lines = self.sides.iter().zip(faces).map(|(s, f)| (s.phi, f.1 + (f.0 - f.1) * share)).collect();
        corners(&lines).into_iter().map(|p| self.place.apply(p.extend(z))).collect()
    }
}

/// All pieces of one hand of one layer.
pub fn pieces(solid: &Solid, part: PartId, sheet: &Sheet<'_>, panel: &Panel, group: &[&Piece], report: &mut Report) {
    let on_flat = |lines: &Lines| -> Vec<Vec2> { corners(lines).into_iter().map(|p| sheet.flat(p)).collect() };
    let (cut, narrow) = (on_flat(&sheet.cut()), on_flat(&sheet.narrow()));
    for k in 0..sheet.count() {
        let name = EdgeName::Side(k);
        let what = format!("{} {}", edge_name(name), k + 1);
        let runs = |piece: &Piece| -> Vec<Path> {
            piece.contour.iter().filter(|r| r.edge == Some(name)).map(|r| r.path.clone()).collect()
        };
        lands(&what, &sheet.line_of(&cut, k), group, &runs, LANDING, report);
        let marks = |piece: &Piece| -> Vec<Path> {
            piece.marks.iter().filter(|m| m.about == About::Bevel(name)).map(|m| m.path.clone()).collect()
        };
        if sheet.is_square(k) {
            super::marks::no_bevel(group, name, report);
        } else {
            lands(&format!("bevel line of the {what}"), &sheet.line_of(&narrow, k), group, &marks, TRANSFER, report);
        }
        joined(solid, part, sheet, (k, sheet.side_of(&cut, k)), group, report);
    }
    super::beyond::on_plate(group, report);
    let mut found = vec![0usize; sheet.plate.holes.len()];
    let (mut area, mut round) = (0.0, 0.0);
    for piece in group {
        for hole in &piece.holes {
            report.verdict.checked.holes += 1;
            let Some(asked) = sheet.plate.holes.get(hole.hole) else {
                report.holds(Check::Coverage, &format!("hole {}", hole.name), "asked for", false);
                continue;
            };
            found[hole.hole] += 1;
            let named = hole.name == asked.name;
            report.holds(Check::Coverage, &format!("hole {}", asked.name), "goes by its name", named);
            let mirrored = sheet.plate.show < sheet.plate.hidden;
            let seg = |s: &crate::geom::path::Seg| crate::geom::path::Seg {
                a: sheet.flat(s.a),
                b: sheet.flat(s.b),
                bulge: if mirrored { -s.bulge } else { s.bulge },
            };
            let outline = Path { segs: asked.outline.segs.iter().map(seg).collect() };
            let emitted = measure::path_undone(&piece.from_flat, &hole.outline);
            outline_fits(&emitted, &outline, Check::Landing, &format!("hole {}", asked.name), report);
        }
        let contour: Vec<&Path> = piece.contour.iter().map(|r| &r.path).collect();
        area += measure::path_area(&contour);
        round += contour.iter().map(|p| p.length()).sum::<f64>();
        wall::own_area(piece, report);
        super::marks::arrows(piece, |_| Vec2::Y, report);
        let up = measure::undone(&piece.from_flat, piece.up) - measure::undone(&piece.from_flat, Vec2::ZERO);
        report.holds(Check::Hand, "way up", "as it stands in the prop", (up - Vec2::Y).length() < 1e-6);
    }
    for (i, hole) in sheet.plate.holes.iter().enumerate() {
        report.count(&format!("hole {}", hole.name), found[i], 1);
    }
    if group.is_empty() {
        return;
    }
    let within = |lines: &Lines| measure::area(&corners(lines)).abs();
    let asked = within(&sheet.cut());
    let allowed = AREA * asked + tol::ROUNDING * round;
    report.figure(Check::Area, "plate", format!("{area:.3} mm² for {asked:.3}"), (area - asked).abs(), allowed);
    let (said, neutral) = (panel.area, within(&sheet.at(sheet.neutral)));
    let place = format!("{said:.3} mm² for {neutral:.3}");
    report.figure(Check::Area, "panel's stated area", place, (said - neutral).abs(), AREA * neutral);
    // Between faces whose sides move evenly an area is quadratic in the depth: its mean by Simpson's rule.
    let halved = group.iter().any(|p| p.split.is_some());
    let mean = (within(&sheet.cut_at(0.0)) + 4.0 * within(&sheet.cut_at(0.5)) + within(&sheet.cut_at(1.0))) / 6.0;
    let band = if halved { asked - within(&sheet.narrow()) } else { 2.0 * (asked - mean) };
    wall::weighed(solid, sheet.stock, group, band, report);
}

/// Lines of pieces on one line of the flat, from end to end.
pub fn lands(
    what: &str,
    asked: &Path,
    group: &[&Piece],
    paths: &dyn Fn(&Piece) -> Vec<Path>,
    allowed: f64,
    report: &mut Report,
) {
    let mut emitted = Path::default();
    let mut most = Most::default();
    for piece in group {
        for path in paths(piece) {
            let path = measure::path_undone(&piece.from_flat, &path);
            for p in measure::samples(&path, 1.0, 1e-3) {
                most.add(measure::to_path(p, asked), p);
            }
            emitted.segs.extend(path.segs);
            report.verdict.checked.edges += 1;
        }
    }
    report.holds(Check::Coverage, what, "present", most.any());
    if !most.any() {
        return;
    }
    for p in measure::samples(asked, 1.0, 1e-3) {
        most.add(measure::to_path(p, &emitted), p);
    }
    most.enter(report, Check::Landing, what, allowed);
}

/// The notches of a side at its joint, and its cut length.
fn joined(
    solid: &Solid,
    part: PartId,
    sheet: &Sheet<'_>,
    (k, (from, to)): (usize, (Vec2, Vec2)),
    group: &[&Piece],
    report: &mut Report,
) {
    let edge = EdgeName::Side(k);
    let here = EdgeRef { part, ring: 0, edge };
    let (is, asked) = (joints::run_length(group, edge), from.distance(to));
    if !group.is_empty() {
        let place = format!("cut {is:.3} mm long for {asked:.3}");
        report.figure(Check::Partner, edge_name(edge), place, (is - asked).abs(), FIT);
    }
    for joint in joints::joints_at(solid, here) {
        at_joint(sheet, (k, edge), joint, group, report);
    }
}

/// The notches of a side at one of its joints.
fn at_joint(sheet: &Sheet<'_>, (k, edge): (usize, EdgeName), joint: &Joint, group: &[&Piece], report: &mut Report) {
    let what = format!("{} {} at joint {}", edge_name(edge), k + 1, joint.letter);
    let Contact::Line { from, to, .. } = joint.contact else {
        report.holds(Check::Coverage, &what, "meets along a line", false);
        return;
    };
    let way = (to - from).normalize_or_zero();
    let mut at = std::collections::BTreeMap::new();
    for (piece, mark, number) in joints::ticks(group, joint, edge) {
        report.verdict.checked.notches += 1;
        report.verdict.checked.marks += 1;
        let Some((middle, _)) = joints::tick_line(piece, &mark.path) else { continue };
        // A tick stands square to its edge, and that runs along the joint.
        let p = sheet.place.apply(sheet.unflat(middle).extend(sheet.z.0));
        let foot = sheet.place.seen(from);
        let edge_way = sheet.place.direction_seen(way);
        let q = sheet.place.seen(p) - foot;
        let level = edge_way.truncate();
        let s = q.truncate().dot(level) / level.length_squared();
        report.holds(Check::Coverage, &what, "each notch once", at.insert(number, s).is_none());
    }
    joints::compare(joint, &what, &at, report);
}

/// A sheet, the number of a side of it, and how far out the edges of its two faces lie as it is cut.
type Sided<'a, 'b> = Option<(&'b Sheet<'a>, usize, Option<Vec<(f64, f64)>>)>;

/// The sheets of a part whose pieces were found that have an edge, as those of them are cut that are not mirrored.
fn sheets<'a, 'b>(made: &'b [Made<'a>], edge: EdgeRef) -> impl Iterator<Item = Sided<'a, 'b>> {
    let own = made.get(edge.part.index());
    let plates = own.into_iter().flat_map(|m| m.sheets.iter()).map(move |(sheet, group)| {
        let EdgeName::Side(k) = edge.edge else { return None };
        Some((sheet, k, sheet.as_cut(group)))
    });
    let strips = own.into_iter().flat_map(|m| m.strips.iter()).map(move |(strip, cut)| {
        let (face, k) = strip.side_named(edge.edge)?;
        Some((&strip.faces[face], k, cut.as_ref().map(|c| c[face].clone())))
    });
    plates.chain(strips)
}

/// Two plates with corners that meet along a side, as they are cut.
pub fn meet(joint: &Joint, made: &[Made<'_>], report: &mut Report) {
    let Contact::Line { lapped, .. } = joint.contact else { return };
    report.piece = None;
    let what = format!("plates that meet at joint {}", joint.letter);
    // What a strip's own ends do is looked at where it is folded.
    if joint.a.part == joint.b.part {
        return;
    }
    let mut any = false;
    for (a, b) in sheets(made, joint.a).zip(sheets(made, joint.b)) {
        let (Some((a, k, Some(cut))), Some((b, l, Some(other)))) = (a, b) else { continue };
        any = true;
        if lapped {
            let off = |of: &Sheet<'_>, faces: &[(f64, f64)], side: usize, on: &Sheet<'_>, z: f64| {
                let corners = [of.z.0, of.z.1].map(|z| of.placed(faces, z));
                let ends = corners.iter().flat_map(|p| [p[side], p[(side + 1) % p.len()]]);
                ends.map(|p| (on.place.seen(p).z - z).abs()).fold(0.0, f64::max)
            };
            // One ends level with the other's outer face, and that on its inner one; in a hollow corner, where the
            // other stands before this one's show face, the other way.
            let points = b.placed(&other, b.plate.hidden);
            let middle = points.iter().copied().sum::<Vec3>() / points.len() as f64;
            let stands = (a.place.seen(middle).z - a.plate.hidden) * (a.plate.show - a.plate.hidden);
            let (over, under) =
                if stands > 0.0 { (b.plate.hidden, a.plate.show) } else { (b.plate.show, a.plate.hidden) };
            let most = off(a, &cut, k, b, over).max(off(b, &other, l, a, under));
            report.figure(Check::Partner, &what, "one over the other".to_owned(), most, TRANSFER);
            continue;
        }
        if a.plate.upright && b.plate.upright {
            for (face, z, y) in [("outer", a.z.0, b.z.0), ("inner", a.z.1, b.z.1)] {
                let (p, q) = (a.placed(&cut, z), b.placed(&other, y));
                let next = |points: &[Vec3], k: usize| points[(k + 1) % points.len()];
                let off = (p[k] - next(&q, l)).length().max((next(&p, k) - q[l]).length());
                report.figure(Check::Partner, &what, format!("corners on the {face} face"), off, TRANSFER);
            }
            let (n, m) = (a.place.z, b.place.z);
            let half = 0.5 * num::atan2(n.cross(m).length(), n.dot(m));
            for (sheet, faces, k) in [(a, &cut, k), (b, &other, l)] {
                let over = (faces[k].0 - faces[k].1).abs();
                let asked = sheet.thick() * num::tan(half);
                let place = format!("bevelled by {over:.3} mm for {asked:.3}, half of the turn");
                report.figure(Check::Transfer, &what, place, (over - asked).abs(), TRANSFER);
            }
            continue;
        }
        // A cap: both edges of its side lie in one plane along the panel.
        let (cap, faces, side, panel) = if b.plate.upright { (a, &cut, k, b) } else { (b, &other, l, a) };
        let off = |z: f64| {
            let points = cap.placed(faces, z);
            let (p, q) = (points[side], points[(side + 1) % points.len()]);
            [p, q].map(|p| panel.place.seen(p).z)
        };
        let [p, q, r, s] = [off(cap.z.0), off(cap.z.1)].concat()[..] else { continue };
        let (lo, hi) = (p.min(q).min(r).min(s), p.max(q).max(r).max(s));
        report.figure(Check::Partner, &what, "along the panel".to_owned(), hi - lo, TRANSFER);
    }
    report.holds(Check::Coverage, &what, "both were cut", any);
}

/// A size of all panels of a thing together, as they are cut; false when nothing could be measured.
pub fn claim(solid: &Solid, claim: &Claim, what: &str, made: &[Made<'_>], r: &mut Report) -> bool {
    let Size::Panels { at, axis, depth, size } = claim.size else { return false };
    let Some(own) = made.get(claim.part.index()) else { return false };
    if let OfPanels::Sunk(mm) = size {
        let Some((sheet, _)) = own.sheets.last() else { return false };
        let show = sheet.place.apply(Vec3::new(0.0, 0.0, sheet.plate.show));
        fit(r, Check::Claim, what, (show - at).dot(axis), mm);
        return true;
    }
    // Of each panel the layer that has the depth, and where its edges cross the plane.
    let mut around = num::Sum::new();
    let (mut all, mut rise) = (Vec::new(), (f64::INFINITY, f64::NEG_INFINITY));
    for one in made.iter().filter(|m| m.part.thing == own.part.thing) {
        let holds = |s: &&(Sheet<'_>, Vec<&Piece>)| {
            let (lo, hi) = (s.0.z.0.min(s.0.z.1), s.0.z.0.max(s.0.z.1));
            s.0.plate.upright && depth >= lo - 1e-9 && depth <= hi + 1e-9
        };
        let mut faces: Vec<Vec<Vec3>> = Vec::new();
        if let Some((sheet, group)) = one.sheets.iter().find(holds) {
            let Some(cut) = sheet.as_cut(group) else { return false };
            faces.push(sheet.placed(&cut, depth));
        }
        for (strip, cut) in &one.strips {
            let Some(cut) = cut else { return false };
            faces.extend(strip.faces.iter().zip(cut).map(|(sheet, cut)| sheet.placed(cut, depth)));
        }
        for points in faces {
            let height = |p: Vec3| (p - at).dot(axis);
            for p in &points {
                rise = (rise.0.min(height(*p)), rise.1.max(height(*p)));
            }
            let mut here: Vec<Vec3> = Vec::new();
            for (i, p) in points.iter().enumerate() {
                let q = points[(i + 1) % points.len()];
                let (a, b) = (height(*p), height(q));
                // A corner that lies in the plane but for its rounding.
                if a.abs() <= TRANSFER {
                    here.push(*p);
                } else if b.abs() > TRANSFER && (a > 0.0) != (b > 0.0) {
                    here.push(*p + (q - *p) * (a / (a - b)));
                }
            }
            // Of two rings that meet there the lower one.
            let below = points.iter().map(|p| height(*p)).fold(f64::INFINITY, f64::min) < -TRANSFER;
            let far = here.iter().flat_map(|p| here.iter().map(move |q| p.distance(*q))).fold(0.0, f64::max);
            all.push((below, far, here));
        }
    }
    if all.is_empty() {
        return false;
    }
    let ours = |e: &EdgeRef| made.get(e.part.index()).is_some_and(|m| m.part.thing == own.part.thing);
    if solid.joints.iter().any(|j| matches!(j.contact, Contact::Line { lapped: true, .. }) && ours(&j.a)) {
        let thick = own.sheets.iter().map(|(s, _)| (s.z.1 - s.z.0).abs()).sum();
        if !to_corners(&mut all, thick) {
            return false;
        }
    }
    let lower = all.iter().any(|a| a.0 && !a.2.is_empty());
    for (below, far, _) in &all {
        if *below == lower {
            around.add(*far);
        }
    }
    match size {
        OfPanels::Around(mm) => fit(r, Check::Claim, what, around.value(), mm),
        OfPanels::Across { way, mm } => {
            let reach = all.iter().flat_map(|a| &a.2).map(|p| p.dot(way));
            let (lo, hi) = reach.fold((f64::INFINITY, f64::NEG_INFINITY), |(lo, hi), x| (lo.min(x), hi.max(x)));
            fit(r, Check::Claim, what, hi - lo, mm);
        }
        OfPanels::Tall(mm) => fit(r, Check::Claim, what, rise.1 - rise.0, mm),
        OfPanels::Sunk(_) => {}
    }
    true
}

/// Of what is lapped one panel runs on over the edge of the next, by as much as that is thick beyond the face that is
/// measured: sizes end where the faces of two panels meet, in the plane. False where one meets no other.
fn to_corners(all: &mut [(bool, f64, Vec<Vec3>)], thick: f64) -> bool {
    let ends = |here: &[Vec3]| {
        let pairs = here.iter().flat_map(|p| here.iter().map(move |q| (*p, *q)));
        pairs.max_by(|a, b| a.0.distance(a.1).total_cmp(&b.0.distance(b.1))).filter(|(p, q)| p.distance(*q) > TRANSFER)
    };
    let lines: Vec<_> = all.iter().map(|a| ends(&a.2)).collect();
    let near = thick + TRANSFER;
    // Where line `i`, from end to end, meets line `j`: where the plane through that and square to it, if they do.
    let meets = |i: (Vec3, Vec3), j: (Vec3, Vec3)| {
        let (u, v) = ((i.1 - i.0).normalize(), (j.1 - j.0).normalize());
        let across = u - v * u.dot(v);
        (across.length() > 0.1).then(|| i.0 + u * ((j.0 - i.0).dot(across) / u.dot(across)))
    };
    for (i, one) in all.iter_mut().enumerate() {
        let Some(line) = lines[i] else { continue };
        let corner = |end: Vec3| {
            let others = (0..lines.len()).filter(|&j| j != i).filter_map(|j| lines[j]);
            let there =
                others.filter_map(|o| meets(line, o).filter(|p| o.0.distance(*p).min(o.1.distance(*p)) <= near));
            there.filter(|p| p.distance(end) <= near).min_by(|a, b| a.distance(end).total_cmp(&b.distance(end)))
        };
        let (Some(p), Some(q)) = (corner(line.0), corner(line.1)) else { return false };
        one.1 = p.distance(q);
        one.2 = vec![p, q];
    }
    true
}

/// Its marks.
pub fn traces(solid: &Solid, layer: usize, sheet: &Sheet<'_>, group: &[&Piece], report: &mut Report) {
    let on_flat = |lines: &Lines| -> Vec<Vec2> { corners(lines).into_iter().map(|p| sheet.flat(p)).collect() };
    let of = |face: Face, s: &Side| if face == Face::Inside { s.hidden } else { s.show };
    let face = |face: Face| {
        let middle = |s: &Side| 0.5 * (s.show + s.hidden);
        Some(on_flat(&sheet.lines(|k, s| if sheet.is_square(k) { middle(s) } else { of(face, s) })))
    };
    let inset = |face: Face, by: f64| {
        let corners = on_flat(&sheet.lines(|_, s| of(face, s) - by));
        let long = corners.len();
        // Close enough that every point of a side has one near it.
        let side = |k: usize| {
            let (a, b) = (corners[k], corners[(k + 1) % long]);
            let steps = a.distance(b).ceil().max(1.0) as usize;
            (0..steps).map(move |i| a.lerp(b, i as f64 / steps as f64))
        };
        Some((0..long).flat_map(side).collect())
    };
    let holes: Vec<Path> = sheet.plate.holes.iter().map(|h| h.outline.clone()).collect();
    let flat = |p: Vec2| Some(sheet.flat(p));
    super::traces::on_plate(solid, (sheet.part, layer), &flat, &face, &inset, &holes, group, report);
}
