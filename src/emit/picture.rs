//! The prop put together, as a still picture: a view from the front left and above, light on its faces, crisp rims,
//! seams and holes, the parts' names and the overall sizes. It shows what the pieces become; it is not to scale and
//! nothing is measured from it.

use std::collections::BTreeMap;

use svg::Document;
use svg::Node;
use svg::node::element::{Group, Path as SvgPath, Rectangle, Title};

use super::body::Shown;
use super::carried;
use super::number::{fixed, measured};
use super::twins::Twins;
use super::view::{Scene, Seen, View};
use super::write::{clean, text, wide, wrapped};
use crate::fitted::Run;
use crate::geom::{Vec2, Vec3};
use crate::num;
use crate::solid::{Solid, Stroke};

/// The page, mm.
const PAGE: Vec2 = Vec2::new(210.0, 230.0);
/// Room for the prop itself: middle and size, mm.
const MIDDLE: Vec2 = Vec2::new(105.0, 122.0);
const ROOM: Vec2 = Vec2::new(96.0, 150.0);
const SIZE: f64 = 4.5;
/// Room at the left for the words of a height, mm.
const WORDS: f64 = 46.0;
/// Least distance of two names, mm.
const STEP: f64 = 7.0;

/// Puts the scene's screen onto the page.
struct Fit {
    middle: Vec2,
    scale: f64,
}

impl Fit {
    fn point(&self, p: Vec2) -> Vec2 {
        let q = (p - self.middle) * self.scale;
        Vec2::new(MIDDLE.x + q.x, MIDDLE.y - q.y)
    }

    fn data(&self, line: &[Vec2], close: bool) -> String {
        let mut d = String::new();
        for (i, &p) in line.iter().enumerate() {
            let q = self.point(p);
            let verb = if i == 0 { "M" } else { " L" };
            d.push_str(&format!("{verb}{} {}", fixed(q.x, 2), fixed(q.y, 2)));
        }
        if close { d + " Z" } else { d }
    }
}

/// The picture's bytes.
#[must_use]
pub fn picture(solid: &Solid, twins: &Twins) -> Vec<u8> {
    let bodies = &twins.bodies[..];
    let view = View::new(num::PI * 35.0 / 180.0, num::PI * 24.0 / 180.0);
    let scene = Scene::new(view, bodies);
    let carried = carried::boxes(solid);
    let corners = carried.iter().flat_map(|c| c.1).map(|p| view.screen(p));
    let (low, high) = corners.fold(scene.bounds(), |(low, high), p| (low.min(p), high.max(p)));
    let size = (high - low).max(Vec2::splat(1e-6));
    let fit = Fit { middle: (low + high) * 0.5, scale: (ROOM / size).min_element() };
    // Of what leans or bends far, or is open above, sizes stand far beside what is drawn: then it is drawn smaller.
    let sized = sized_at(&bodies[..twins.in_place]).map(|p| view.screen(p));
    let beyond = |p: &Vec2| fit.point(*p).y > PAGE.y - 14.0 || fit.point(*p).x < WORDS;
    let fit = if sized.iter().any(beyond) {
        let (low, high) = sized.iter().fold((low, high), |(low, high), p| (low.min(*p), high.max(*p)));
        Fit { middle: (low + high) * 0.5, scale: (ROOM / (high - low)).min_element() }
    } else {
        fit
    };
    let title = format!("{}, put together", solid.job.title);
    let mut document = Document::new()
        .set("width", format!("{}mm", PAGE.x))
        .set("height", format!("{}mm", PAGE.y))
        .set("viewBox", format!("0 0 {} {}", PAGE.x, PAGE.y))
        .set("role", "img")
        .set("font-family", "sans-serif")
        .add(Title::new(clean(&title)))
        .add(Rectangle::new().set("width", "100%").set("height", "100%").set("fill", "#ffffff"))
        .add(faces(&scene, &fit))
        .add(lines(&scene, &fit, bodies))
        .add(carried::draw(&carried, |p| fit.point(view.screen(p))));
    let mut notes = Group::new().set("id", "notes").set("fill", "#000000");
    let mut y = 12.0;
    for line in wrapped(&title, 6.0, PAGE.x - 20.0).iter().take(3) {
        notes.append(text(Vec2::new(10.0, y), 6.0, line).set("font-weight", "bold"));
        y += 7.5;
    }
    notes.append(text(Vec2::new(10.0, y - 0.5), SIZE, "Seen from the front left and above; not to scale."));
    let mut down = y;
    let mut note = |words: &str| {
        down += 5.5;
        notes.append(text(Vec2::new(10.0, down), SIZE, words));
    };
    if !carried.is_empty() {
        let names: Vec<&str> = carried.iter().map(|c| c.0).collect();
        let words = format!("Dashed: {}, as carried.", clean(&names.join(", ")));
        wrapped(&words, SIZE, PAGE.x - 20.0).iter().take(2).for_each(|line| note(line));
    }
    if solid.fitted.runs.iter().any(hangs) {
        note("A sling hangs as its wearer stands; its loop here is a sign for it.");
    }
    if twins.in_place < bodies.len() {
        note("Left and right ones stand beside each other here; sizes are those of the left.");
    }
    let (lines, taken) = sizes(&bodies[..twins.in_place], &scene, &view, &fit, &mut notes);
    document.append(lines);
    let (leaders, longer) = names(bodies, &scene, &fit, &taken, &mut notes);
    document.append(leaders);
    document.append(notes);
    let tall = PAGE.y + longer;
    let document = document.set("height", format!("{tall}mm")).set("viewBox", format!("0 0 {} {tall}", PAGE.x));
    let mut bytes = b"<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n".to_vec();
    bytes.extend(document.to_string().into_bytes());
    bytes.push(b'\n');
    bytes
}

/// A run that is shown far shorter than it is: a sling.
fn hangs(run: &Run) -> bool {
    let shown: f64 = run.line.windows(2).map(|w| w[0].distance(w[1])).sum();
    run.along > 100.0 && shown < 0.9 * run.along
}

/// Faces far to near, each in the grey that its light gives; a hairline of the same grey closes the joints between.
fn faces(scene: &Scene, fit: &Fit) -> Group {
    let mut group = Group::new().set("id", "faces").set("stroke-width", "0.15").set("stroke-linejoin", "round");
    for face in &scene.faces {
        let grey = grey(face);
        let d = fit.data(&face.corners, true);
        group.append(SvgPath::new().set("d", d).set("fill", grey.clone()).set("stroke", grey));
    }
    group
}

fn grey(face: &Seen) -> String {
    let value = 96.0 + 154.0 * face.light * face.light;
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped to a byte")]
    let byte = value.round().clamp(0.0, 255.0) as u8;
    format!("#{byte:02x}{byte:02x}{byte:02x}")
}

fn lines(scene: &Scene, fit: &Fit, bodies: &[Shown]) -> Group {
    let mut group = Group::new()
        .set("id", "lines")
        .set("fill", "none")
        .set("stroke", "#000000")
        .set("stroke-linecap", "round")
        .set("stroke-linejoin", "round");
    let mut add = |line: &[Vec3], width: &str, id: &str| {
        let seen: Vec<String> = scene.seen_of(line).iter().map(|s| fit.data(s, false)).collect();
        if !seen.is_empty() {
            group.append(SvgPath::new().set("d", seen.join(" ")).set("stroke-width", width).set("data-line", id));
        }
    };
    for shown in bodies {
        for line in &shown.lines {
            add(line, "0.35", "rim");
        }
        for seam in &shown.seams {
            add(seam, "0.25", "seam");
        }
    }
    for place in bodies.iter().flat_map(|b| &b.places) {
        add(place, "0.25", "place");
    }
    for (stroke, mark) in bodies.iter().flat_map(|b| &b.marks) {
        // A groove is seen as it is: wider than a line.
        add(mark, if *stroke == Stroke::Groove { "0.7" } else { "0.25" }, stroke.word());
    }
    for side in scene.silhouettes(bodies) {
        add(&side, "0.5", "outline");
    }
    for hole in bodies.iter().flat_map(|b| &b.holes) {
        let seen = scene.seen_of(hole);
        // A hole wholly on the near side is dark within.
        if let [whole] = &seen[..]
            && whole.first().zip(whole.last()).is_some_and(|(a, b)| a.distance(*b) < 1e-6)
        {
            let d = fit.data(whole, true);
            group.append(
                SvgPath::new().set("d", d).set("fill", "#404040").set("stroke-width", "0.35").set("data-line", "hole"),
            );
        } else {
            for s in &seen {
                let d = fit.data(s, false);
                group.append(SvgPath::new().set("d", d).set("stroke-width", "0.35").set("data-line", "hole"));
            }
        }
    }
    group
}

/// A box on the page: its corner of least coordinates, and the other.
type Area = (Vec2, Vec2);

/// Whether a line passes through a box: what the box leaves of it, side by side (J. D. Foley et al., "Computer
/// Graphics", the Liang-Barsky clip).
fn passes((a, b): (Vec2, Vec2), (low, high): Area) -> bool {
    let d = b - a;
    let (mut from, mut to) = (0.0f64, 1.0f64);
    for (p, q) in [(-d.x, a.x - low.x), (d.x, high.x - a.x), (-d.y, a.y - low.y), (d.y, high.y - a.y)] {
        if p == 0.0 {
            if q < 0.0 {
                return false;
            }
        } else if p < 0.0 {
            from = from.max(q / p);
        } else {
            to = to.min(q / p);
        }
    }
    from < to
}

/// The box round bodies: its least and its greatest corner.
fn boxed(bodies: &[Shown]) -> (Vec3, Vec3) {
    let points = bodies.iter().flat_map(|b| b.mesh.points.iter().copied());
    points.fold((Vec3::splat(f64::INFINITY), Vec3::splat(f64::NEG_INFINITY)), |(lo, hi), p| (lo.min(p), hi.max(p)))
}

/// The corners between which sizes stand; none of what has no points.
fn sized_at(bodies: &[Shown]) -> [Vec3; 4] {
    let (lo, hi) = boxed(bodies);
    if lo.x > hi.x {
        return [Vec3::ZERO; 4];
    }
    [Vec3::new(hi.x, lo.y, lo.z), Vec3::new(hi.x, lo.y, hi.z), Vec3::new(hi.x, hi.y, lo.z), Vec3::new(lo.x, hi.y, lo.z)]
}

/// Height and both widths over all, along the sides of the box round the prop; and where their words stand. What hangs
/// beside the prop (a sling) may pass there: then the words go where it does not.
fn sizes(bodies: &[Shown], scene: &Scene, view: &View, fit: &Fit, notes: &mut Group) -> (Group, Vec<Area>) {
    let drawn: Vec<(Vec2, Vec2)> = bodies
        .iter()
        .flat_map(|b| &b.lines)
        .flat_map(|line| scene.seen_of(line))
        .flat_map(|s| s.windows(2).map(|w| (fit.point(w[0]), fit.point(w[1]))).collect::<Vec<_>>())
        .collect();
    let mut taken: Vec<Area> = Vec::new();
    let mut group =
        Group::new().set("id", "sizes").set("stroke", "#000000").set("stroke-width", "0.25").set("fill", "none");
    let (lo, hi) = boxed(bodies);
    if lo.x > hi.x {
        return (group, taken);
    }
    // All that is drawn, a right one beside its left one too.
    let leftmost = fit.point(scene.bounds().0).x;
    let page = |p: Vec3| fit.point(view.screen(p));
    let middle = page((lo + hi) * 0.5);
    let sides = [
        // Left upright side, the lower front sides to its right.
        (Vec3::new(hi.x, lo.y, lo.z), Vec3::new(hi.x, lo.y, hi.z), "tall"),
        (Vec3::new(hi.x, lo.y, lo.z), Vec3::new(hi.x, hi.y, lo.z), "side to side"),
        (Vec3::new(hi.x, hi.y, lo.z), Vec3::new(lo.x, hi.y, lo.z), "front to back"),
    ];
    for (a, b, words) in sides {
        let (p, q) = (page(a), page(b));
        let along = (q - p).normalize_or_zero();
        if along == Vec2::ZERO {
            continue;
        }
        let across = Vec2::new(-along.y, along.x);
        let out = if ((p + q) * 0.5 - middle).dot(across) < 0.0 { -across } else { across };
        let off = if words == "tall" { 7.0 + (p.x - leftmost).max(0.0) } else { 7.0 };
        let (p1, q1) = (p + out * off, q + out * off);
        let mut line = |from: Vec2, to: Vec2| {
            let d = format!("M{} {} L{} {}", fixed(from.x, 2), fixed(from.y, 2), fixed(to.x, 2), fixed(to.y, 2));
            group.append(SvgPath::new().set("d", d));
        };
        line(p1, q1);
        for far in [p1, q1] {
            line(far - out * 5.5, far + out * 1.5);
            // A tick across the end, as on a drawing board.
            let tick = (along + out) * 1.2;
            line(far - tick, far + tick);
        }
        let label = format!("{} mm {words}", measured((b - a).length()));
        let room = wide(&label, SIZE);
        let anchor = if words == "tall" || out.x < 0.0 { "end" } else { "start" };
        let down = if words == "tall" { 1.5 } else { 3.0 };
        let placed = |share: f64, away: f64| {
            let at = p1 + (q1 - p1) * share + out * away + Vec2::new(0.0, down);
            // Never off the page.
            let x = if anchor == "end" { at.x.max(room + 2.0) } else { at.x.min(PAGE.x - room - 2.0) };
            let left = if anchor == "end" { x - room } else { x };
            let area = (Vec2::new(left - 1.0, at.y - SIZE), Vec2::new(left + room + 1.0, at.y + 0.3 * SIZE));
            (Vec2::new(x, at.y), area)
        };
        // Beside the middle, or where nothing that is drawn passes; farther out when there is no such place.
        let shares = [0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.1, 0.9];
        let places = [2.0, 6.0, 12.0].into_iter().flat_map(|away| shares.map(|share| placed(share, away)));
        let apart = |a: &Area, b: &Area| a.1.x < b.0.x || b.1.x < a.0.x || a.1.y < b.0.y || b.1.y < a.0.y;
        let clear =
            |area: &Area| taken.iter().all(|t| apart(t, area)) && drawn.iter().all(|line| !passes(*line, *area));
        let (at, area) = places.into_iter().find(|p| clear(&p.1)).unwrap_or_else(|| placed(0.5, 2.0));
        taken.push(area);
        notes.append(text(at, SIZE, &label).set("text-anchor", anchor));
    }
    (group, taken)
}

/// Each part's name beside the prop, a line leading to where the part is seen; parts wholly inside are named below, and
/// the page is by so much longer as they take more than a line.
fn names(bodies: &[Shown], scene: &Scene, fit: &Fit, taken: &[Area], notes: &mut Group) -> (Group, f64) {
    let mut group =
        Group::new().set("id", "leaders").set("stroke", "#000000").set("stroke-width", "0.25").set("fill", "none");
    let mut right: Vec<(Vec2, String)> = Vec::new();
    let mut hidden: Vec<String> = Vec::new();
    let mut clear: Vec<Vec<&Seen>> = vec![Vec::new(); bodies.len()];
    for face in scene.faces.iter().filter(|f| f.clear) {
        clear[face.body].push(face);
    }
    let around = Around::new(scene, APART / fit.scale);
    for (i, (shown, own)) in bodies.iter().zip(&clear).enumerate().filter(|(_, (b, _))| !b.name.is_empty()) {
        let words = shown.name.clone();
        match anchor(own, &|p| around.is_alone(i, p)).or_else(|| beside(scene, shown)) {
            Some(at) => right.push((fit.point(at), words)),
            None => hidden.push(words),
        }
    }
    right.sort_by(|a, b| a.0.y.total_cmp(&b.0.y));
    let column = MIDDLE.x + 0.5 * ROOM.x + 12.0;
    let mut y = 36.0;
    let mut left = right.len();
    let mut crowded = false;
    for (at, words) in right {
        // Level with its part where there is room, and room left for those below.
        #[expect(clippy::cast_precision_loss, reason = "few parts")]
        let lowest = PAGE.y - 40.0 - STEP * left as f64;
        y = at.y.min(lowest.max(y)).max(y);
        left -= 1;
        let lines = wrapped(&held(&words), SIZE, PAGE.x - column - 2.0);
        // Not over the words of a size.
        #[expect(clippy::cast_precision_loss, reason = "few lines")]
        let tall = 5.5 * lines.len().saturating_sub(1) as f64;
        for area in taken.iter().filter(|a| a.1.x > column) {
            if y - SIZE < area.1.y && y + tall + 0.3 * SIZE > area.0.y {
                y = area.1.y + SIZE + 0.5;
            }
        }
        if y > PAGE.y - 14.0 {
            hidden.push(words);
            crowded = true;
            continue;
        }
        let d = format!("M{} {} L{} {}", fixed(at.x, 2), fixed(at.y, 2), fixed(column - 1.5, 2), fixed(y - 1.5, 2));
        group.append(SvgPath::new().set("d", d));
        let dot = format!("M{} {} h0.01", fixed(at.x, 2), fixed(at.y, 2));
        group.append(SvgPath::new().set("d", dot).set("stroke-width", "1.4").set("stroke-linecap", "round"));
        for line in lines {
            notes.append(text(Vec2::new(column, y), SIZE, &line.replace('\u{a0}', " ")));
            y += 5.5;
        }
        y += STEP - 5.5;
    }
    let mut y = PAGE.y - 6.0;
    if !hidden.is_empty() {
        let words = format!("Not seen from here, or no room for their names: {}.", hidden.join(", "));
        let words = if crowded { words } else { words.replacen(", or no room for their names", "", 1) };
        for (i, line) in wrapped(&words, SIZE, PAGE.x - 20.0).iter().enumerate() {
            y += if i == 0 { 0.0 } else { 5.5 };
            notes.append(text(Vec2::new(10.0, y), SIZE, line));
        }
    }
    (group, y - (PAGE.y - 6.0))
}

/// A name whose numbers stay with the word before them when it is broken, and what is in brackets together.
fn held(name: &str) -> String {
    let mut out = String::new();
    for (i, word) in name.split(' ').enumerate() {
        let within = out.matches('(').count() > out.matches(')').count();
        let number = word.starts_with(|c: char| c.is_ascii_digit());
        if i > 0 {
            out.push(if number || within { '\u{a0}' } else { ' ' });
        }
        out.push_str(word);
    }
    out
}

/// Of what has no faces, the middle of the longest stretch of it that is seen.
fn beside(scene: &Scene, shown: &Shown) -> Option<Vec2> {
    if !shown.mesh.faces.is_empty() {
        return None;
    }
    let long = |s: &[Vec2]| s.windows(2).map(|w| w[0].distance(w[1])).sum::<f64>();
    let seen = shown.lines.iter().flat_map(|l| scene.seen_of(l));
    let longest = seen.max_by(|a, b| long(a).total_cmp(&long(b)))?;
    longest.get(longest.len() / 2).copied()
}

/// How far off its neighbours a name points to a part where it can, mm of the page.
const APART: f64 = 5.0;

/// The seen faces of all bodies by the square of the picture that their middles lie in.
struct Around {
    wide: f64,
    squares: BTreeMap<(i64, i64), Vec<(usize, Vec2)>>,
}

impl Around {
    fn new(scene: &Scene, wide: f64) -> Self {
        let mut squares: BTreeMap<(i64, i64), Vec<(usize, Vec2)>> = BTreeMap::new();
        for face in scene.faces.iter().filter(|f| f.clear) {
            squares.entry(Self::square(face.middle, wide)).or_default().push((face.body, face.middle));
        }
        Self { wide, squares }
    }

    #[expect(clippy::cast_possible_truncation, reason = "a picture is some hundred squares wide")]
    fn square(p: Vec2, wide: f64) -> (i64, i64) {
        ((p.x / wide).floor() as i64, (p.y / wide).floor() as i64)
    }

    /// Whether no other body's face lies beside a point.
    fn is_alone(&self, body: usize, p: Vec2) -> bool {
        let (x, y) = Self::square(p, self.wide);
        let beside = (x - 1..=x + 1).flat_map(|x| (y - 1..=y + 1).filter_map(move |y| self.squares.get(&(x, y))));
        beside.flatten().all(|(other, at)| *other == body || at.distance(p) >= self.wide)
    }
}

/// The middle of a seen face of a body that lies nearest to the middle of all of those, and is alone where one does.
fn anchor(seen: &[&Seen], is_alone: &dyn Fn(Vec2) -> bool) -> Option<Vec2> {
    let whole: f64 = seen.iter().map(|f| f.area).sum();
    let mean = seen.iter().map(|f| f.middle * f.area).sum::<Vec2>() / whole;
    let largest = seen.iter().map(|f| f.area).fold(0.0, f64::max);
    // Faces seen edge on are poor places to point at.
    let mut places: Vec<Vec2> = seen.iter().filter(|f| f.area > 0.3 * largest).map(|f| f.middle).collect();
    places.sort_by(|a, b| a.distance_squared(mean).total_cmp(&b.distance_squared(mean)));
    places.iter().find(|p| is_alone(**p)).or(places.first()).copied()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_stays_with_its_word() {
        let broken = |name: &str| wrapped(&held(name), 10.0, 95.0);
        assert_eq!(broken("head ring 3 panel 4"), ["head ring\u{a0}3", "panel\u{a0}4"]);
        assert_eq!(broken("limb 5 (right one)"), ["limb\u{a0}5", "(right\u{a0}one)"]);
    }
}
