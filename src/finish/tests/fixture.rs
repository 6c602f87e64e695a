//! Flats built by hand: a frustum's wall from its two true arcs, a disc, an oblique four-sided panel.

use crate::flat::{Allowance, Bevel, Edge, Flat, Hole, Long, Notch, Panel, Ruling};
use crate::geom::path::{Path, Seg};
use crate::geom::section::Section;
use crate::geom::strip::{Rule, Strip};
use crate::geom::{Vec2, left_of, unit};
use crate::ids::{FileId, JointId, PanelId, PartId, ThingId};
use crate::num::{self, PI, TAU};
use crate::solid::{
    Body, Contact, EdgeName, EdgeRef, Frame, Goods, Grain, Joint, Layer, Part, Plate, Rim, Ring, Seam, Solid, Stock,
    Wall,
};
use crate::span::Span;

pub fn span() -> Span {
    Span::new(FileId::new(0), 0, 4)
}

/// A cone's wall: neutral radii at the rims' heights, height, thickness (neutral in the middle).
#[derive(Clone, Copy, Debug)]
pub struct Frustum {
    pub r0: f64,
    pub r1: f64,
    pub tall: f64,
    pub thick: f64,
}

impl Frustum {
    pub fn slant(&self) -> f64 {
        (self.tall * self.tall + (self.r1 - self.r0).powi(2)).sqrt()
    }

    fn alpha(&self) -> f64 {
        num::atan((self.r1 - self.r0) / self.tall)
    }

    /// Distances of the rims from the apex on the flat, and the whole turn.
    pub fn sector(&self) -> (f64, f64, f64) {
        let s = num::sin(self.alpha());
        (self.r0 / s, self.r1 / s, TAU * s)
    }

    /// The panel: flares upward (`r1 > r0`).
    pub fn panel(&self, allowance: Allowance) -> Panel {
        let (lo, hi, turn) = self.sector();
        let apex = Vec2::new(0.0, -lo);
        let at = |r: f64, t: f64| apex + unit(PI * 0.5 - t) * r;
        let half = turn * 0.5;
        let bulge = num::tan(turn / 8.0);
        // Each rim in two arcs.
        let lower = |r: f64| Path {
            segs: vec![
                Seg { a: at(r, -half), b: at(r, 0.0), bulge: -bulge },
                Seg { a: at(r, 0.0), b: at(r, half), bulge: -bulge },
            ],
        };
        let upper = |r: f64| lower(r).reversed();
        let a = self.alpha();
        let shift = 0.5 * self.thick * num::tan(a);
        let bevel = |sign: f64| Bevel { least: sign * a, most: sign * a, shift: 2.0 * shift };
        let long = |r: f64, d: f64| Long { inside: TAU * (r - d), neutral: TAU * r, outside: TAU * (r + d) };
        let d = 0.5 * self.thick;
        let side = |from: f64, to: f64, t: f64| Path { segs: vec![Seg::line(at(from, t), at(to, t))] };
        let side_edge = |name, path: fn(f64, f64) -> (f64, f64), t: f64| {
            let make = |s0: f64, s1: f64| {
                let (p, q) = path(lo + s0, hi + s1);
                side(p, q, t)
            };
            Edge {
                name,
                inside: make(-shift, -shift),
                middle: make(0.0, 0.0),
                outside: make(shift, shift),
                widest: make(-shift, shift),
                narrowest: make(shift, -shift),
                bevel: Bevel::SQUARE,
                long: Long { inside: self.slant(), neutral: self.slant(), outside: self.slant() },
                joints: vec![JointId::new(0)],
                notches: [0.3, 0.62]
                    .iter()
                    .enumerate()
                    .map(|(number, s)| Notch {
                        joint: JointId::new(0),
                        number,
                        at: at(lo + (hi - lo) * s, t),
                        inward: left_of(unit(PI * 0.5 - t)) * if name == EdgeName::End { 1.0 } else { -1.0 },
                    })
                    .collect(),
                allowance: if name == EdgeName::End { allowance } else { Allowance::None },
                turn: None,
            }
        };
        let rim_notches = |r: f64, inward: f64| {
            [0.13, 0.5, 0.71]
                .iter()
                .enumerate()
                .map(|(number, s)| {
                    let t = -half + turn * s;
                    Notch { joint: JointId::new(1), number, at: at(r, t), inward: unit(PI * 0.5 - t) * inward }
                })
                .collect::<Vec<_>>()
        };
        let edges = vec![
            Edge {
                name: EdgeName::Lower,
                inside: lower(lo - shift),
                middle: lower(lo),
                outside: lower(lo + shift),
                widest: lower(lo - shift),
                narrowest: lower(lo + shift),
                bevel: bevel(-1.0),
                long: long(self.r0, d / num::cos(a)),
                joints: vec![JointId::new(1)],
                notches: rim_notches(lo, 1.0),
                allowance: Allowance::None,
                turn: None,
            },
            side_edge(EdgeName::End, |a, b| (a, b), half),
            Edge {
                name: EdgeName::Upper,
                inside: upper(hi - shift),
                middle: upper(hi),
                outside: upper(hi + shift),
                widest: upper(hi + shift),
                narrowest: upper(hi - shift),
                bevel: bevel(1.0),
                long: long(self.r1, d / num::cos(a)),
                joints: Vec::new(),
                notches: Vec::new(),
                allowance: Allowance::None,
                turn: None,
            },
            side_edge(EdgeName::Begin, |a, b| (b, a), -half),
        ];
        let rulings = (0..=64)
            .map(|i| {
                let s = f64::from(i) / 64.0;
                let t = -half + turn * s;
                let rule = Rule::new(PI + TAU * s, (self.r0, 0.0), (self.r1, 0.0), (0.0, self.tall));
                Ruling { strip: 0, rule, foot: at(lo, t), head: at(hi, t) }
            })
            .collect();
        Panel {
            id: PanelId::new(0),
            part: PartId::new(0),
            ring: 0,
            layer: 0,
            rulings,
            edges,
            holes: Vec::new(),
            places: Vec::new(),
            traces: Vec::new(),
            area: PI * (self.r0 + self.r1) * self.slant(),
            turn,
            tightest: None,
            rules: Some((self.slant(), self.slant())),
        }
    }

    pub fn strip(&self) -> Strip {
        Strip::new(&Section::circle(self.r0), 0.0, &Section::circle(self.r1), self.tall).expect("a cone")
    }
}

pub fn circle(c: Vec2, r: f64) -> Path {
    let (a, b) = (c + Vec2::X * r, c - Vec2::X * r);
    Path { segs: vec![Seg { a, b, bulge: 1.0 }, Seg { a: b, b: a, bulge: 1.0 }] }
}

pub fn hole(c: Vec2, r: f64, name: &str) -> Hole {
    Hole { hole: 0, name: name.into(), outline: circle(c, r), centre: c }
}

/// A disc whose edge is bevelled by `shift`.
pub fn disc(r: f64, shift: f64) -> Panel {
    let ring = |r: f64| circle(Vec2::ZERO, r);
    let edge = Edge {
        name: EdgeName::Outline,
        inside: ring(r - 0.5 * shift),
        middle: ring(r),
        outside: ring(r + 0.5 * shift),
        widest: ring(r + 0.5 * shift),
        narrowest: ring(r - 0.5 * shift),
        bevel: Bevel { least: num::atan(shift / 5.0), most: num::atan(shift / 5.0), shift },
        long: Long { inside: TAU * (r - 0.5 * shift), neutral: TAU * r, outside: TAU * (r + 0.5 * shift) },
        joints: vec![JointId::new(1)],
        notches: [0.4, 1.9, 4.4]
            .iter()
            .enumerate()
            .map(|(number, t)| Notch { joint: JointId::new(1), number, at: unit(*t) * r, inward: -unit(*t) })
            .collect(),
        allowance: Allowance::None,
        turn: None,
    };
    Panel {
        id: PanelId::new(1),
        part: PartId::new(1),
        ring: 0,
        layer: 0,
        rulings: Vec::new(),
        edges: vec![edge],
        holes: Vec::new(),
        places: Vec::new(),
        traces: Vec::new(),
        area: PI * r * r,
        turn: 0.0,
        tightest: None,
        rules: None,
    }
}

pub fn foam(size: Vec2) -> Stock {
    Stock {
        thing: ThingId::new(0),
        name: "foam5".into(),
        sort: "foam",
        thick: 5.0,
        size: Goods::Sheet(size),
        area_mass: Some(5e-4),
        grain: Grain::None,
        reversible: true,
        tightest: 15.0,
        tightest_warm: 7.5,
        leave: Default::default(),
        have: 0.0,
        offcuts: Vec::new(),
        price: None,
        cautions: Vec::new(),
    }
}

fn layer() -> Layer {
    Layer { stock: 0, inner: -5.0, neutral: -2.5, outer: 0.0, square: false }
}

/// A wall and, when there is a second panel, its base.
pub fn solid(f: &Frustum, stock: Stock) -> Solid {
    let part = |id: usize, name: &str, body| Part {
        id: PartId::new(id),
        thing: ThingId::new(id),
        name: name.into(),
        origin: span(),
        pair: false,
        layers: vec![layer()],
        body,
        place: Frame::WORLD,
        split: true,
    };
    let wall = Body::Wall(Wall::plain(
        vec![f.strip()],
        vec![Ring { strips: 0..1, lower: Rim::Level, upper: Rim::Level }],
        PI,
        Seam::Butt,
    ));
    let plate = Body::Plate(Plate {
        strip: f.strip(),
        depth: 0.0,
        show: 0.0,
        hidden: 5.0,
        holes: Vec::new(),
        sided: false,
        upright: false,
    });
    let edge = |part: usize, edge| EdgeRef { part: PartId::new(part), ring: 0, edge };
    let joints = vec![
        Joint {
            id: JointId::new(0),
            letter: "A".into(),
            a: edge(0, EdgeName::Begin),
            b: edge(0, EdgeName::End),
            contact: Contact::Along { part: PartId::new(0), ring: 0, depth: -2.5 },
            notches: vec![],
            what: "seam".into(),
        },
        Joint {
            id: JointId::new(1),
            letter: "B".into(),
            a: edge(0, EdgeName::Lower),
            b: edge(1, EdgeName::Outline),
            contact: Contact::Round { part: PartId::new(0), strip: 0, z: 0.0, depth: -5.0 },
            notches: vec![],
            what: "base inset".into(),
        },
    ];
    Solid {
        stocks: vec![stock],
        parts: vec![part(0, "body", wall), part(1, "base", plate)],
        joints,
        ..Solid::default()
    }
}

pub fn flat(panels: Vec<Panel>) -> Flat {
    Flat { panels }
}
