//! The way of a lace through its holes, hole by hole, and its length.
//!
//! Where both rows are edges of one wall, and along one edge, the lace lies on the wall: from hole to hole by the
//! straight line on the flat of the face it runs on, over stations by the shortest way (`knees`), an open seam's gap left
//! open between the sides. Stiff goods and
//! what is worn inside hold it out so; straight through the air it would be a little shorter. From one part to
//! another it runs straight in space, on the face it comes out of. Through each hole it takes the thickness of the sheet
//! and of the covers, linings and bands that lie there; its stretches are those on the sheet's own faces, from which
//! cloth lifts it by less than a lace is drawn tight. Its own thickness is not counted.

use super::super::laid::{Laid, Spot, on_flat};
use super::knees::Knees;
use super::lacing::{Drafted, Spec, wall_of};
use crate::fitted::EdgeOf;
use crate::geom::{Vec2, Vec3};
use crate::solid::{Part, Solid, Wall};

/// A hole: its row, and its place there.
pub(super) type At = (usize, usize);

/// How long a lace is and where it runs.
pub(super) struct Way {
    /// From hole to hole, and through the sheet.
    pub over: f64,
    pub through: f64,
    /// In the prop.
    pub line: Vec<Vec3>,
}

/// Which face the lace lies on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Face {
    Inside,
    Outside,
}

impl Face {
    fn other(self) -> Self {
        match self {
            Self::Inside => Self::Outside,
            Self::Outside => Self::Inside,
        }
    }
}

/// What a lace is measured on.
pub(super) trait Course {
    /// Of all that a hole goes through.
    fn thick(&self, at: At) -> f64;
    /// Where a hole comes out on a face, in the prop.
    fn point(&self, at: At, face: Face) -> Vec3;
    /// The point of a hole's edge beside it on a face.
    fn edge(&self, at: At, face: Face) -> Vec3;
    /// A stretch on a face from a hole (or from the edge beside it) to another: its length, and points on its way.
    fn leg(&self, from: At, over_edge: bool, to: At, face: Face) -> (f64, Vec<Vec3>);
}

/// How many parts a stretch on the wall is drawn in.
pub(super) const PARTS: u32 = 6;

/// What the legs of a lace are measured on.
pub(super) struct Legs<'a> {
    rows: Vec<Placed<'a>>,
    /// Of two rims of one wall with stations between them: the way over those, inside and outside.
    knees: Option<[Option<Knees>; 2]>,
}

/// One row on both faces of its part.
pub(super) struct Placed<'a> {
    pub part: &'a Part,
    pub wall: &'a Wall,
    pub row: &'a Drafted,
    /// Of all that a hole goes through.
    thick: Vec<f64>,
    /// Inside, outside.
    pub faces: [OnFace; 2],
}

/// A row's holes and their feet on its edge, on the flat of one face as seen from the seam.
pub(super) struct OnFace {
    pub depth: f64,
    /// Where each ring's lower rim lies up the seam.
    rings: Vec<Vec2>,
    holes: Vec<Vec2>,
    edges: Vec<Vec2>,
    /// The first hole as seen from the walk's end: where a row goes on that is closed.
    again: Vec2,
}

impl<'a> Legs<'a> {
    /// `None` when a row has no wall.
    /// `lying` says for each hole of each row how thick what lies inside and outside on the wall is there.
    pub(super) fn new(solid: &'a Solid, rows: &'a [Drafted], lying: &[Vec<(f64, f64)>]) -> Option<Self> {
        let placed = |(row, lying): (&'a Drafted, &Vec<(f64, f64)>)| {
            let part = &solid.parts[row.part.index()];
            let (wall, _) = wall_of(part)?;
            let (inner, outer) = (part.layers.first()?.inner, part.layers.last()?.outer);
            let faces = [on_face(part, wall, row, inner)?, on_face(part, wall, row, outer)?];
            let thick = lying.iter().map(|(inside, outside)| outer - inner + inside + outside).collect();
            Some(Placed { part, wall, row, thick, faces })
        };
        let rows: Vec<Placed<'a>> = rows.iter().zip(lying).map(placed).collect::<Option<_>>()?;
        let knees = match rows.as_slice() {
            [one, other] if one.part.id == other.part.id => {
                let rings = [one, other].map(|r| r.row.holes.first().map_or(0, |h| h.spot.ring));
                let rims = [one, other].iter().all(|r| matches!(r.row.edge, EdgeOf::Bottom | EdgeOf::Top));
                (rims && rings[0] != rings[1]).then(|| [0, 1].map(|face| Knees::new(one, other, face)))
            }
            _ => None,
        };
        Some(Self { rows, knees })
    }

    /// Whether its stretches pass stations over which no way was found.
    pub(super) fn are_cut_off(&self) -> bool {
        self.knees.as_ref().is_some_and(|k| k.iter().any(Option::is_none))
    }
}

impl Course for Legs<'_> {
    fn thick(&self, at: At) -> f64 {
        self.rows[at.0].thick[at.1]
    }

    fn point(&self, at: At, face: Face) -> Vec3 {
        let row = &self.rows[at.0];
        row.out(&row.row.holes[at.1].spot, face)
    }

    fn edge(&self, at: At, face: Face) -> Vec3 {
        let row = &self.rows[at.0];
        row.out(&row.row.holes[at.1].edge, face)
    }

    fn leg(&self, from: At, over_edge: bool, to: At, face: Face) -> (f64, Vec<Vec3>) {
        let (a, b) = (&self.rows[from.0], &self.rows[to.0]);
        let (start, end) = (&a.faces[face as usize], &b.faces[face as usize]);
        if a.part.id != b.part.id {
            let p = if over_edge { self.edge(from, face) } else { self.point(from, face) };
            let q = self.point(to, face);
            return (p.distance(q), vec![p, q]);
        }
        if let (true, Some(knees)) = (from.0 != to.0, &self.knees)
            && let Some(knees) = &knees[face as usize]
        {
            return knees.leg(a, from, over_edge, to);
        }
        let p = if over_edge { start.edges[from.1] } else { start.holes[from.1] };
        // Round a closed edge the last hole's neighbour is the first, beyond the seam.
        let goes_round = a.row.closed && from.1 + 1 == start.holes.len() && to.1 == 0 && start.holes.len() > 1;
        let q = if goes_round { end.again } else { end.holes[to.1] };
        let points = (0..=PARTS).map(|i| p + (q - p) * (f64::from(i) / f64::from(PARTS))).collect();
        (p.distance(q), a.line(face, points, goes_round))
    }
}

/// A row on the face at depth `d`, from the seam.
fn on_face(part: &Part, wall: &Wall, row: &Drafted, d: f64) -> Option<OnFace> {
    let layer = part.layers.first()?;
    let first = row.holes.first()?;
    let mut rings = Vec::new();
    let (mut holes, mut edges) = (vec![Vec2::ZERO; row.holes.len()], vec![Vec2::ZERO; row.holes.len()]);
    let mut again = Vec2::ZERO;
    let mut foot = Vec2::ZERO;
    for ring in 0..wall.rings.len() {
        rings.push(foot);
        let head = on_flat(wall, ring, layer, d, |laid| {
            for (i, hole) in row.holes.iter().enumerate().filter(|(_, h)| h.spot.ring == ring) {
                let end = row.edge == EdgeOf::SeamEnd;
                let side = |spot: &Spot| Some(foot + laid.seen_from_seam(laid.point(spot)?, end));
                holes[i] = side(&hole.spot)?;
                edges[i] = side(&hole.edge)?;
            }
            if first.spot.ring == ring && row.closed {
                again = beyond(laid, foot, &first.spot, &holes)?;
            }
            Some(laid.head())
        })?;
        foot += head;
    }
    Some(OnFace { depth: d, rings, holes, edges, again })
}

/// The first hole of a closed row as seen from the last one's side of the seam: the flat laid on once more, at
/// whichever end of the walk the last hole is nearer to.
fn beyond(laid: &Laid<'_>, foot: Vec2, first: &Spot, holes: &[Vec2]) -> Option<Vec2> {
    let p = laid.point(first)?;
    let last = *holes.last()?;
    // Carried from the walk's start to its end, or the other way.
    let on = foot + laid.seen_from_seam(laid.laid_from_seam(laid.seen_from_seam(p, false), true), false);
    let back = foot + laid.seen_from_seam(laid.laid_from_seam(laid.seen_from_seam(p, true), false), false);
    Some(if on.distance(last) < back.distance(last) { on } else { back })
}

impl Placed<'_> {
    fn out(&self, spot: &Spot, face: Face) -> Vec3 {
        self.part.place.apply(spot.point(self.faces[face as usize].depth))
    }

    /// Points on the flat of a face (as seen from the seam) as points of the prop.
    fn line(&self, face: Face, points: Vec<Vec2>, goes_round: bool) -> Vec<Vec3> {
        let on = &self.faces[face as usize];
        let Some(layer) = self.part.layers.first() else { return Vec::new() };
        let mut out = vec![None; points.len()];
        let rim = matches!(self.row.edge, EdgeOf::Bottom | EdgeOf::Top);
        for (ring, foot) in on.rings.iter().enumerate() {
            let above = on.rings.get(ring + 1).map_or(f64::INFINITY, |f| f.y);
            let alone = rim && self.row.holes.first().is_some_and(|h| h.spot.ring != ring);
            let here = |p: &Vec2| (rim || (ring == 0 || p.y >= foot.y) && p.y < above) && !alone;
            if !points.iter().any(here) {
                continue;
            }
            on_flat(self.wall, ring, layer, on.depth, |laid| {
                for (p, slot) in points.iter().zip(&mut out) {
                    if !here(p) {
                        continue;
                    }
                    let q = *p - *foot;
                    // Left of the seam lies the walk's end.
                    let late = !rim && q.x < 0.0;
                    let at = laid.laid_from_seam(q, late);
                    let found = laid.spot(at, late || rim && goes_round);
                    // A closed row's last stretch passes the seam: beyond it the flat begins again.
                    let carried = || laid.spot(laid.laid_from_seam(laid.seen_from_seam(at, true), false), false);
                    let spot = if rim && goes_round { found.or_else(carried) } else { found };
                    *slot = spot.map(|s| self.part.place.apply(s.point(on.depth)));
                }
            });
        }
        out.into_iter().flatten().collect()
    }
}

/// A lace on its way.
struct Drawn<'a> {
    legs: &'a dyn Course,
    over: f64,
    through: f64,
    line: Vec<Vec3>,
}

impl Drawn<'_> {
    /// Through a hole, to come out on `face`.
    fn pass(&mut self, at: At, face: Face) {
        self.through += self.legs.thick(at);
        self.line.extend([self.legs.point(at, face.other()), self.legs.point(at, face)]);
    }

    /// On a face from hole to hole.
    fn run(&mut self, from: At, to: At, face: Face) {
        let (long, points) = self.legs.leg(from, false, to, face);
        self.over += long;
        self.line.extend(points);
    }
}

/// The way of a lace through its rows, one or `two` of `n` holes each, which may run all the way round.
pub(super) fn way(spec: &Spec, (n, two, closed): (usize, bool, bool), legs: &dyn Course) -> Way {
    let mut lace = Drawn { legs, over: 0.0, through: 0.0, line: Vec::new() };
    match spec.sort {
        "ladder" => ladder(&mut lace, n),
        "spiral" => spiral(&mut lace, n),
        "zigzag" => zigzag(&mut lace, n, closed, spec.margin),
        "running" => running(&mut lace, n, closed),
        "whip" if two => sewn(&mut lace, n, closed),
        "whip" => whip(&mut lace, n, closed, spec.margin),
        _ => cross(&mut lace, n),
    }
    let Drawn { over, through, mut line, .. } = lace;
    line.dedup_by(|a, b| a.distance(*b) < 1e-6);
    Way { over, through, line }
}

/// Its middle straight across the first pair, both ends crossing from pair to pair, on either face by turns; the faces
/// are such that both come out at the last pair.
fn cross(lace: &mut Drawn<'_>, n: usize) {
    let mut face = if n.is_multiple_of(2) { Face::Outside } else { Face::Inside };
    // The line is drawn as one lace: down one end, over the bar, up the other.
    let mut ends: [Vec<Vec3>; 2] = [Vec::new(), Vec::new()];
    let bar = lace.legs.leg((0, 0), false, (1, 0), face);
    for i in 0..n {
        face = face.other();
        for (end, drawn) in ends.iter_mut().enumerate() {
            // One end is on its own side at every other pair.
            let at = ((end + i) % 2, i);
            lace.line.clear();
            lace.pass(at, face);
            if i + 1 < n {
                lace.run(at, ((end + i + 1) % 2, i + 1), face);
            }
            drawn.append(&mut lace.line);
        }
    }
    lace.over += bar.0;
    let [mut first, second] = ends;
    first.reverse();
    lace.line = first;
    lace.line.extend(bar.1);
    lace.line.extend(second);
}

/// Rungs straight across on the outside; on the inside up to the next pair, on one side and the other by turns.
fn ladder(lace: &mut Drawn<'_>, n: usize) {
    for i in 0..n {
        let (from, to) = (i % 2, (i + 1) % 2);
        lace.pass((from, i), Face::Outside);
        lace.run((from, i), (to, i), Face::Outside);
        lace.pass((to, i), Face::Inside);
        if i + 1 < n {
            lace.run((to, i), (to, i + 1), Face::Inside);
        }
    }
}

/// Straight across on the outside, on the inside slanting back to the first row's next hole.
fn spiral(lace: &mut Drawn<'_>, n: usize) {
    for i in 0..n {
        lace.pass((0, i), Face::Outside);
        lace.run((0, i), (1, i), Face::Outside);
        lace.pass((1, i), Face::Inside);
        if i + 1 < n {
            lace.run((1, i), (0, i + 1), Face::Inside);
        }
    }
}

/// Over the corner in which two edges meet, on the outside; on the inside slanting back to the first row's next hole,
/// and round to where it began.
fn sewn(lace: &mut Drawn<'_>, n: usize, closed: bool) {
    spiral(lace, n);
    if closed && n > 1 {
        lace.run((1, n - 1), (0, 0), Face::Inside);
    }
}

/// On the outside to and fro; into each hole, and out again round the edge beside it.
fn zigzag(lace: &mut Drawn<'_>, n: usize, closed: bool, margin: f64) {
    let mut order: Vec<At> = (0..n).flat_map(|i| [(0, i), (1, i)]).collect();
    if closed {
        order.push((0, 0));
    }
    let Some(&first) = order.first() else { return };
    lace.pass(first, Face::Outside);
    for (k, w) in order.windows(2).enumerate() {
        let (from, to) = (w[0], w[1]);
        if k > 0 {
            // On the inside to the edge and over it.
            lace.over += margin;
            lace.through += lace.legs.thick(from);
            lace.line.extend([lace.legs.edge(from, Face::Inside), lace.legs.edge(from, Face::Outside)]);
        }
        let (long, points) = lace.legs.leg(from, k > 0, to, Face::Outside);
        lace.over += long;
        lace.line.extend(points);
        lace.pass(to, Face::Inside);
    }
}

/// Out of one hole and into the next; round a closed edge back to the first, and in there.
fn running(lace: &mut Drawn<'_>, n: usize, closed: bool) {
    let mut face = Face::Inside;
    for i in 0..n {
        face = face.other();
        lace.pass((0, i), face);
        if i + 1 < n {
            lace.run((0, i), (0, i + 1), face);
        } else if closed {
            lace.run((0, i), (0, 0), face);
            if face == Face::Outside {
                lace.pass((0, 0), Face::Inside);
            }
        }
    }
}

/// Out of each hole, over the edge, and on the inside to the next: straight on the sheet unfolded about its edge.
fn whip(lace: &mut Drawn<'_>, n: usize, closed: bool, margin: f64) {
    for i in 0..n {
        lace.pass((0, i), Face::Outside);
        let next = if i + 1 < n {
            i + 1
        } else if closed {
            0
        } else {
            break;
        };
        let (from, to) = ((0, i), (0, next));
        let pitch =
            0.5 * (lace.legs.leg(from, false, to, Face::Inside).0 + lace.legs.leg(from, false, to, Face::Outside).0);
        let up = 2.0 * margin + lace.legs.thick(from);
        lace.over += (pitch * pitch + up * up).sqrt();
        let (a, b) = (lace.legs.edge(from, Face::Outside), lace.legs.edge(to, Face::Outside));
        let (c, d) = (lace.legs.edge(from, Face::Inside), lace.legs.edge(to, Face::Inside));
        lace.line.extend([(a + b) * 0.5, (c + d) * 0.5, lace.legs.point(to, Face::Inside)]);
    }
}
