//! The rim of a wall as a curve on the neutral flat, for each depth of the sheet: where, rule by rule, the cut meets
//! that depth, brought to the neutral surface along the normal.
//!
//! With the measured face's rim at height `z`, an edge point at depth `d` stands at the height
//! - level: `z`;
//! - square: `z − d sin α`, the foot of the normal through the measured rim;
//! - mitre: `z − d sin α + d tan θ cos α`, `θ = (α − α')/2` with the neighbour's slope α'. Derivation: the two tangent
//!   planes at depth `d` meet at `d (N + N')/(1 + N·N')` from the measured rim, on the bisector of the normals; along
//!   the wall that is `d tan θ`. `θ = α` gives the level cut, `θ = 0` the square one;
//! - closed: the neutral surface's closing height, moved square to the sheet;
//! - plane: where the parallel surface meets the plane (`geom::plane`); square to the sheet, the foot of the normal
//!   through the measured face's rim there.
//!
//! Its foot on the neutral surface (depth `m`) is `(d − m) sin α` higher.

mod shaped;

use core::cell::Cell;

use super::figure::Figure;
use super::fit::Run;
use super::parallel::{self, Looked, ParallelFault, on_one_axis};
use super::plane::Plane;
use super::section::Curve;
use super::series;
use super::strip::{Rule, Strip};
use super::unroll::{Laid, Unrolled};
use super::walk::{Leg, Place, Stop, Walk};
use super::{Vec2, tol};
use crate::num::{self, PI, TAU};

/// How a rim is cut; heights are those of the measured face's rim (closed: of the neutral surface's).
#[derive(Clone, Debug, PartialEq)]
pub enum Cut {
    Level(f64),
    Square(f64),
    /// Half of the angle to the neighbouring wall.
    Mitre(f64, Strip),
    Closed(f64),
    /// The end face lies in this plane.
    Plane(Plane),
    /// At right angles to the sheet, through the measured face's rim in this plane.
    PlaneSquare(Plane),
    /// At right angles to the sheet, through this line of the measured face.
    Shaped(Figure),
}

impl Cut {
    /// Where a walk has to be cut for it: where the neighbour's stretches begin, and a figure's parts.
    #[must_use]
    pub fn stops(&self) -> Vec<Stop> {
        match self {
            Self::Mitre(_, other) => other.stretches().iter().map(|s| Stop::Normal(s.from)).collect(),
            Self::Shaped(figure) => figure.breaks.iter().copied().map(Stop::Rule).collect(),
            Self::Level(_) | Self::Square(_) | Self::Closed(_) | Self::Plane(_) | Self::PlaneSquare(_) => Vec::new(),
        }
    }

    /// Whether the surface at each depth exists all along this rim of a strip.
    ///
    /// # Errors
    /// The first fault, with the depth's place in the list.
    pub fn exists(&self, strip: &Strip, depths: &[f64]) -> Result<(), (usize, ParallelFault)> {
        let walk = Walk::with_cuts(strip, &self.stops());
        let flat = Unrolled::new(&walk, 0.0);
        let rim = Rim::new(&flat, self);
        let closely = matches!(self, Self::Mitre(..) | Self::Plane(_) | Self::PlaneSquare(_) | Self::Shaped(_));
        let looked = if closely { Looked::closely(&walk) } else { Looked::new(&walk) };
        depths.iter().enumerate().try_for_each(|(i, &d)| rim.exists(&looked, d).map_err(|fault| (i, fault)))
    }
}

/// A rim of an unrolled wall.
#[derive(Clone, Debug)]
pub struct Rim<'a> {
    flat: &'a Unrolled<'a>,
    cut: &'a Cut,
    /// For a mitre: the neighbour's stretch that each leg faces, and what to add to φ there.
    faces: Vec<(usize, f64)>,
    /// Of a figure the part that each leg lies in.
    parts: Vec<usize>,
}

/// What the tail of an integral may be, mm.
const LENGTH: f64 = 1e-9;

/// A height along the rim and its derivative by φ.
type Height = (f64, f64);

/// A part of a leg, from one share to another.
type Span = (usize, f64, f64);

impl<'a> Rim<'a> {
    #[must_use]
    pub fn new(flat: &'a Unrolled<'a>, cut: &'a Cut) -> Self {
        let faces = match cut {
            Cut::Mitre(_, other) => {
                (0..flat.walk().legs().len()).map(|leg| neighbour(flat.walk(), leg, other)).collect()
            }
            Cut::Level(_) | Cut::Square(_) | Cut::Closed(_) | Cut::Plane(_) | Cut::PlaneSquare(_) | Cut::Shaped(_) => {
                Vec::new()
            }
        };
        let parts = match cut {
            Cut::Shaped(figure) => figure.parts_of(flat.walk()),
            _ => Vec::new(),
        };
        Self { flat, cut, faces, parts }
    }

    #[must_use]
    pub fn flat(&self) -> &'a Unrolled<'a> {
        self.flat
    }

    /// Whether it is drawn together to a point.
    #[must_use]
    pub fn is_closed(&self) -> bool {
        matches!(self.cut, Cut::Closed(_))
    }

    /// Whether it is cut along a plane that may lean, or to a figure: its height is not the same all round.
    #[must_use]
    pub fn is_sloped(&self) -> bool {
        matches!(self.cut, Cut::Plane(_) | Cut::PlaneSquare(_) | Cut::Shaped(_))
    }

    /// Whether it is cut to a figure.
    #[must_use]
    pub fn is_shaped(&self) -> bool {
        matches!(self.cut, Cut::Shaped(_))
    }

    /// The form of its figure on a leg.
    fn form(&self, leg: usize) -> Option<&super::figure::Form> {
        let Cut::Shaped(figure) = self.cut else { return None };
        figure.parts.get(*self.parts.get(leg)?).map(|p| &p.form)
    }

    /// From the end of a leg to the start of the next, where a figure goes on along the generatrix there.
    fn jump(&self, leg: usize, d: f64) -> Option<(Vec2, Vec2)> {
        if !self.is_shaped() || leg + 1 >= self.flat.walk().legs().len() {
            return None;
        }
        let (a, b) = (self.point(Place { leg, t: 1.0 }, d).0, self.point(Place { leg: leg + 1, t: 0.0 }, d).0);
        ((b - a).length() > tol::SAME).then_some((a, b))
    }

    /// The jumps within a stretch of the walk, leg by leg.
    pub(super) fn jumps(&self, from: Place, to: Place, d: f64) -> impl Iterator<Item = (usize, (Vec2, Vec2))> {
        (from.leg..to.leg).filter_map(move |leg| Some((leg, self.jump(leg, d)?)))
    }

    /// Whether the surface at depth `d` exists all along the rim as it is cut; what lies beyond the closing height of a
    /// wall that is drawn together is cut off.
    ///
    /// # Errors
    /// The worst fault round the wall.
    fn exists(&self, looked: &Looked, d: f64) -> Result<(), ParallelFault> {
        if self.is_closed() {
            return Ok(());
        }
        // Of a side the rule that comes along is that of its start.
        looked.along(d, |at, rule| if self.on_side(at) { self.height(at, d).0 } else { self.height_on(at, rule, d).0 })
    }

    fn other_rule(&self, at: Place, phi: f64) -> Option<(&Strip, Rule)> {
        let Cut::Mitre(_, other) = self.cut else { return None };
        let (stretch, shift) = self.faces[at.leg];
        Some((other, other.rule(stretch, phi + shift)))
    }

    /// The angle between the end face and a square cut: positive where greater depths reach higher.
    #[must_use]
    pub fn lean(&self, at: Place) -> f64 {
        if let Cut::Square(_) | Cut::Closed(_) | Cut::PlaneSquare(_) | Cut::Shaped(_) = self.cut {
            return 0.0;
        }
        let rule = self.flat.walk().rule(at);
        let alpha = num::atan(rule.flare());
        match self.cut {
            Cut::Level(_) => alpha,
            Cut::Square(_) | Cut::Closed(_) | Cut::PlaneSquare(_) | Cut::Shaped(_) => 0.0,
            Cut::Plane(plane) => plane.lean(&rule),
            Cut::Mitre(..) => {
                let (_, other) = self.other_rule(at, rule.phi).expect("a mitre has a neighbour");
                0.5 * (alpha - num::atan(other.flare()))
            }
        }
    }

    /// Height of the edge in space at depth `d`.
    #[must_use]
    pub fn height(&self, at: Place, d: f64) -> Height {
        match self.cut {
            Cut::Level(z) => (*z, 0.0),
            _ => self.height_on(at, &self.flat.walk().rule(at), d),
        }
    }

    /// The same where the rule at the place is known.
    fn height_on(&self, at: Place, rule: &Rule, d: f64) -> Height {
        let (sine, turn) = (rule.sine(), sine_turn(rule));
        match self.cut {
            Cut::Level(z) => (*z, 0.0),
            Cut::Square(z) => (z - d * sine, -d * turn),
            Cut::Plane(plane) => plane.height_on(self.flat.walk(), at, rule, d),
            Cut::PlaneSquare(plane) => {
                let (z, dz) = plane.height_on(self.flat.walk(), at, rule, 0.0);
                (z - d * sine, dz - d * turn)
            }
            Cut::Shaped(figure) => {
                let (z, dz) = figure.height_on(self.flat.walk(), at, rule, self.parts[at.leg]);
                (z - d * sine, if self.on_side(at) { dz } else { dz - d * turn })
            }
            Cut::Closed(z) => {
                let d = d - self.flat.depth();
                (z - d * sine, -d * turn)
            }
            Cut::Mitre(z, _) => {
                let (_, other) = self.other_rule(at, rule.phi).expect("a mitre has a neighbour");
                let (alpha, beta) = (num::atan(rule.flare()), num::atan(other.flare()));
                let (slope, other_slope) = (slope_turn(rule), slope_turn(&other));
                let theta = 0.5 * (alpha - beta);
                let (tan, cos) = (num::tan(theta), 1.0 / rule.secant());
                let along = d * tan * cos;
                let turned = d * ((1.0 + tan * tan) * 0.5 * (slope - other_slope) * cos - tan * sine * slope);
                (z - d * sine + along, -d * turn + turned)
            }
        }
    }

    /// Height of the foot on the neutral surface of the edge at depth `d`.
    #[must_use]
    pub fn foot(&self, at: Place, d: f64) -> Height {
        self.foot_on(at, &self.flat.walk().rule(at), d)
    }

    /// The same where the rule at the place is known.
    #[must_use]
    pub fn foot_on(&self, at: Place, rule: &Rule, d: f64) -> Height {
        let (z, dz) = self.height_on(at, rule, d);
        let over = d - self.flat.depth();
        let turn = if self.on_side(at) { 0.0 } else { sine_turn(rule) };
        (z + over * rule.sine(), dz + over * turn)
    }

    fn on_side(&self, at: Place) -> bool {
        matches!(self.flat.walk().legs()[at.leg], Leg::Side { .. })
    }

    /// The share up the strip at which the edge at depth `d` has its foot.
    #[must_use]
    pub fn share(&self, at: Place, d: f64) -> f64 {
        let (z0, z1) = self.flat.walk().strip().heights();
        (self.foot(at, d).0 - z0) / (z1 - z0)
    }

    /// The edge at depth `d` on the flat: its point, and its velocity by the share of the leg.
    #[must_use]
    pub fn point(&self, at: Place, d: f64) -> (Vec2, Vec2) {
        let walk = self.flat.walk();
        let laid = self.flat.at(at);
        let (z0, z1) = walk.strip().heights();
        let (z, dz) = self.foot_on(at, &laid.rule, d);
        let v = (z - z0) / (z1 - z0);
        let point = laid.point(v);
        let velocity = match &walk.legs()[at.leg] {
            Leg::Side { first, last } if self.is_shaped() => {
                let run = last.support_at(z, self.flat.depth()).1 - first.support_at(z, self.flat.depth()).1;
                laid.tau * run + laid.rise * (dz / (z1 - z0))
            }
            Leg::Side { first, last } => {
                let run = |d: f64| last.support_at(z, d).1 - first.support_at(z, d).1;
                self.ahead(&laid) * run(self.flat.depth())
            }
            Leg::Turn { from, to, .. } => {
                let rate = walk.turning(at);
                let radius = parallel::radius_on(walk, at, &laid.rule, z, self.flat.depth());
                let velocity = (laid.tau * radius + laid.rise * (dz / (z1 - z0))) * rate;
                // At the flat place of a full oval the radius is infinite: only the direction counts there, a figure's beside it.
                match velocity.is_finite() {
                    true => velocity,
                    false if self.is_shaped() && at.t.fract() == 0.0 => {
                        self.point(Place { t: at.t.clamp(1e-6, 1.0 - 1e-6), ..at }, d).1
                    }
                    false => self.ahead(&laid) * (to - from).signum(),
                }
            }
        };
        (point, velocity)
    }

    /// How fast the edge at depth `d` runs along the rim and climbs, by the share of the leg. Where an oval is flat its
    /// radius is past any number, but what is run by the share is not: it is read off beside the place.
    fn moves(&self, at: Place, rule: &Rule, (z, dz): Height, d: f64) -> (f64, f64) {
        let walk = self.flat.walk();
        let rate = walk.turning(at);
        let run = (parallel::radius_on(walk, at, rule, z, d) + dz * (rule.k1 - rule.k0) / rule.rise()) * rate;
        let climb = dz * rate;
        if run.is_finite() && climb.is_finite() {
            return (run, climb);
        }
        const BESIDE: f64 = 1e-4;
        let (a, b) = ((at.t - BESIDE).max(0.0), (at.t + BESIDE).min(1.0));
        let there = |t: f64| {
            let at = Place { t, ..at };
            let z = self.height(at, d).0;
            (walk.rule(at).support_at(z, d).1, z)
        };
        let ((k0, z0), (k1, z1)) = (there(a), there(b));
        let step = b - a;
        ((k1 - k0) / step + rule.support_at(z, d).0 * rate, (z1 - z0) / step)
    }

    /// The height of the edge at the flat's own depth, where it is its own foot, and how fast it climbs by the share of the
    /// leg.
    #[must_use]
    pub fn climbs(&self, at: Place, rule: &Rule) -> (f64, f64) {
        let d = self.flat.depth();
        let (z, dz) = self.height_on(at, rule, d);
        let climb = dz * self.flat.walk().turning(at);
        (z, if climb.is_finite() { climb } else { self.moves(at, rule, (z, dz), d).1 })
    }

    /// The way along the rim on the flat, for one along the section at one height.
    fn ahead(&self, laid: &Laid) -> Vec2 {
        match self.cut {
            Cut::Plane(plane) | Cut::PlaneSquare(plane) => {
                laid.tau + laid.rise * (plane.ahead(&laid.rule).z / laid.rule.rise())
            }
            Cut::Level(_) | Cut::Square(_) | Cut::Mitre(..) | Cut::Closed(_) | Cut::Shaped(_) => laid.tau,
        }
    }

    /// True length in space of the edge at depth `d`, between two places: `∫ √(P² + Q²) dφ` with `P` along the rim and
    /// `Q = z' sec α` up the wall, taken as `[k] + ∫ h dφ` for `P` and the small rest by quadrature. Where a face is
    /// pinched, `P` runs back and counts all the same.
    #[must_use]
    pub fn length(&self, from: Place, to: Place, d: f64) -> f64 {
        let walk = self.flat.walk();
        if let Cut::Level(z) = self.cut {
            let ahead = walk.length(to, *z, d) - walk.length(from, *z, d);
            return ahead + 2.0 * spans(from, to).map(|span| self.pinched(span, d)).sum::<f64>();
        }
        let mut long = num::Sum::new();
        if self.is_shaped() {
            self.jumps(from, to, d).for_each(|(_, (a, b))| long.add((b - a).length()));
        }
        for span in spans(from, to) {
            let (run, back) = self.run_length(span, d);
            long.add(run);
            long.add(2.0 * back);
        }
        long.value()
    }

    /// How far along the rim the edge at depth `d` runs back on a leg.
    fn pinched(&self, (leg, t0, t1): Span, d: f64) -> f64 {
        if let Leg::Side { first, last } = &self.flat.walk().legs()[leg] {
            let z = self.height(Place { leg, t: t0 }, d).0;
            return ((first.support_at(z, d).1 - last.support_at(z, d).1) * (t1 - t0)).max(0.0);
        }
        let looks = looks(t0, t1);
        let middle = |i: f64| t0 + (t1 - t0) * (i + 0.5) / looks;
        let mut i = 0.0;
        while i < looks {
            if self.rate(Place { leg, t: middle(i) }, d) < 0.0 {
                return self.runs_back((leg, t0, t1), d);
            }
            i += 1.0;
        }
        0.0
    }

    /// How fast the edge at depth `d` runs along the rim by the share of a leg that turns.
    fn rate(&self, at: Place, d: f64) -> f64 {
        let walk = self.flat.walk();
        let rule = walk.rule(at);
        let (z, dz) = self.height_on(at, &rule, d);
        // On a hollow arc radius and turn are both negative.
        let p = parallel::radius_on(walk, at, &rule, z, d) + dz * (rule.k1 - rule.k0) / rule.rise();
        p * walk.turning(at)
    }

    /// How far it runs back on a leg that turns, of which it was seen to do so.
    fn runs_back(&self, (leg, t0, t1): Span, d: f64) -> f64 {
        const STEPS: u32 = 1024;
        let each = (t1 - t0) / f64::from(STEPS);
        let mut back = num::Sum::new();
        for i in 0..STEPS {
            let at = Place { leg, t: t0 + each * (f64::from(i) + 0.5) };
            back.add((-self.rate(at, d)).max(0.0) * each);
        }
        back.value()
    }

    /// How far the edge at depth `d` runs on a leg, whichever way, and how far it runs back.
    fn run_length(&self, (leg, t0, t1): Span, d: f64) -> (f64, f64) {
        let walk = self.flat.walk();
        let end = |t: f64| {
            let at = Place { leg, t };
            let rule = walk.rule(at);
            let z = self.height_on(at, &rule, d).0;
            (rule.support_at(z, d).1, z * rule.secant())
        };
        let (from, to) = (end(t0), end(t1));
        match &walk.legs()[leg] {
            Leg::Side { first, last } if self.is_shaped() => {
                let long = series::integral(LENGTH, t0, t1, |t| {
                    let at = Place { leg, t };
                    let rule = walk.rule(at);
                    let (z, dz) = self.height_on(at, &rule, d);
                    let run = last.support_at(z, d).1 - first.support_at(z, d).1;
                    let along = run + dz * (rule.k1 - rule.k0) / rule.rise();
                    let up = dz * rule.secant();
                    (along * along + up * up).sqrt()
                });
                (long, self.pinched((leg, t0, t1), d))
            }
            Leg::Side { .. } => {
                // A straight line on a flat side, which may climb it.
                let (run, climb) = (to.0 - from.0, to.1 - from.1);
                let more = (Vec2::new(run, climb).length() - run.abs()) * run.signum();
                (run + more, self.pinched((leg, t0, t1), d))
            }
            Leg::Turn { .. } => {
                // No nearer to its ends than a look: what runs back in less than that counts as it does where it is cut
                // away (`trim`), less what it runs on before and behind.
                let (back, end) = (Cell::new(false), 0.5 * (t1 - t0) / looks(t0, t1));
                let rest = series::integral(LENGTH, t0, t1, |t| {
                    let at = Place { leg, t };
                    let rule = walk.rule(at);
                    let height = self.height_on(at, &rule, d);
                    let z = height.0;
                    let (p, climb) = self.moves(at, &rule, height, d);
                    back.set(back.get() || p < 0.0 && (t - t0).min(t1 - t) >= end);
                    let q = climb * rule.secant();
                    let rest = q * q / (p.abs() + (p * p + q * q).sqrt()).max(f64::MIN_POSITIVE);
                    let rest = if rest.is_finite() { rest } else { 0.0 };
                    rule.support_at(z, d).0 * walk.turning(at) + rest
                });
                let back = if back.get() { self.runs_back((leg, t0, t1), d) } else { 0.0 };
                (to.0 - from.0 + rest, back)
            }
        }
    }

    /// The rim between two places as runs for fitting: straight sides, exact arcs where both sections (and the
    /// neighbour's) are circles on one axis, and free stretches.
    #[must_use]
    pub fn runs(&self, from: Place, to: Place) -> Vec<Run> {
        if self.is_shaped() {
            return self.shaped_runs(from, to);
        }
        let walk = self.flat.walk();
        let mut runs: Vec<Run> = Vec::new();
        let mut last_round: Option<(Curve, Curve)> = None;
        for (leg, t0, t1) in spans(from, to) {
            let (a, b) = (Place { leg, t: t0 }, Place { leg, t: t1 });
            match walk.curves(leg) {
                None => {
                    runs.push(Run::Line { from: a, to: b });
                    last_round = None;
                }
                Some(pair) if on_one_axis(pair) && self.neighbour_on_axis(leg) => {
                    let sweep = -(walk.turn(b) - walk.turn(a));
                    match runs.last_mut() {
                        Some(Run::Arc { to, sweep: so_far, .. }) if last_round == Some(pair) => {
                            *to = b;
                            *so_far += sweep;
                        }
                        _ => runs.push(Run::Arc { from: a, to: b, sweep, half: None }),
                    }
                    last_round = Some(pair);
                }
                Some(_) => {
                    runs.push(Run::Free { from: a, to: b });
                    last_round = None;
                }
            }
        }
        for run in &mut runs {
            if let Run::Arc { from, to, sweep, half } = run
                && sweep.abs() > PI
            {
                *half = Some(halfway(walk, *from, *to));
            }
        }
        runs
    }

    fn neighbour_on_axis(&self, leg: usize) -> bool {
        match self.cut {
            Cut::Mitre(_, other) => {
                let s = &other.stretches()[self.faces[leg].0];
                on_one_axis((s.lower, s.upper))
            }
            Cut::Plane(plane) | Cut::PlaneSquare(plane) => plane.normal.truncate().length() < tol::SAME_ANGLE,
            Cut::Level(_) | Cut::Square(_) | Cut::Closed(_) | Cut::Shaped(_) => true,
        }
    }

    /// Normals at which the lean changes its sign: inside and outside change places there.
    #[must_use]
    pub fn turnovers(&self) -> Vec<f64> {
        let walk = self.flat.walk();
        let mut out = Vec::new();
        for (leg, one) in walk.legs().iter().enumerate() {
            let Leg::Turn { .. } = one else { continue };
            let lean = |t: f64| self.lean(Place { leg, t });
            let n = 24;
            let mut last = lean(0.0);
            for i in 1..=n {
                let (a, b) = (f64::from(i - 1) / f64::from(n), f64::from(i) / f64::from(n));
                let next = lean(b);
                if last.abs() > tol::SAME_ANGLE
                    && next.abs() > tol::SAME_ANGLE
                    && (last > 0.0) != (next > 0.0)
                    && let Some(t) = num::bisect(a, b, 1e-15, lean)
                {
                    out.push(walk.rule(Place { leg, t }).phi);
                }
                if next.abs() > tol::SAME_ANGLE || i == n {
                    last = next;
                }
            }
        }
        out
    }
}

/// How often a leg that turns is looked at for where a rim runs back; a part of one as closely.
fn looks(t0: f64, t1: f64) -> f64 {
    const LOOKS: f64 = 32.0;
    (LOOKS * (t1 - t0).abs()).ceil().clamp(2.0, LOOKS)
}

/// The spans of legs between two places, without empty ones.
pub fn spans(from: Place, to: Place) -> impl Iterator<Item = Span> {
    (from.leg..=to.leg).filter_map(move |leg| {
        let t0 = if leg == from.leg { from.t } else { 0.0 };
        let t1 = if leg == to.leg { to.t } else { 1.0 };
        (t1 > t0).then_some((leg, t0, t1))
    })
}

/// `(sin α)' = cos³α u'`.
fn sine_turn(rule: &Rule) -> f64 {
    let sec = rule.secant();
    (rule.k1 - rule.k0) / (rule.rise() * sec * sec * sec)
}

/// `α' = cos²α u'`.
fn slope_turn(rule: &Rule) -> f64 {
    let sec = rule.secant();
    (rule.k1 - rule.k0) / (rule.rise() * sec * sec)
}

/// The place at which half of the normal's way between two places is done.
pub(crate) fn halfway(walk: &Walk, from: Place, to: Place) -> Place {
    let (a, b) = (walk.rule(from).phi, walk.rule(to).phi);
    let middle = 0.5 * (a + b);
    for (leg, t0, t1) in spans(from, to) {
        let (p, q) = (walk.rule(Place { leg, t: t0 }).phi, walk.rule(Place { leg, t: t1 }).phi);
        if (middle - p) * (middle - q) <= 0.0 && p != q {
            return Place { leg, t: t0 + (t1 - t0) * (middle - p) / (q - p) };
        }
    }
    to
}

/// The stretch of `other` that leg `leg` faces, and what to add to φ there.
fn neighbour(walk: &Walk, leg: usize, other: &Strip) -> (usize, f64) {
    let (stretch, phi) = match &walk.legs()[leg] {
        Leg::Turn { stretch, from, to, .. } => (*stretch, 0.5 * (from + to)),
        Leg::Side { first, .. } => (0, first.phi),
    };
    let stretches = other.stretches();
    let convex = stretches.iter().all(|s| s.to >= s.from);
    if !convex {
        // Hollow walls are joined element to element, so both have the same chain.
        let s = &stretches[stretch.min(stretches.len() - 1)];
        return (stretch.min(stretches.len() - 1), nearest_turn(phi, s.from, s.to));
    }
    let mut best = (0, 0.0, f64::INFINITY);
    for (i, s) in stretches.iter().enumerate() {
        let shift = nearest_turn(phi, s.from, s.to);
        let out = (s.from - phi - shift).max(phi + shift - s.to).max(0.0);
        if out < best.2 {
            best = (i, shift, out);
        }
    }
    (best.0, best.1)
}

/// The multiple of a turn that brings `phi` nearest to the middle of `from..to`.
fn nearest_turn(phi: f64, from: f64, to: f64) -> f64 {
    ((0.5 * (from + to) - phi) / TAU).round() * TAU
}
