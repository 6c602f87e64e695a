//! What a printed page holds: lines, each drawn with one of a few pens. Page coordinates: mm, y up, the paper's corner
//! at the origin. Both page writers draw from this list, so the PDF and the SVG show the same.

use crate::emit::lines::Form;
use crate::emit::number::rounded;
use crate::emit::style::{dashes, style};
use crate::geom::Vec2;
use crate::geom::lettering;
use crate::geom::path::{Motion, Path, Seg};
use crate::piece::Operation;

/// What a line is drawn with, in the order of drawing: later ones lie on top.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Pen {
    /// Filled: this page on the map.
    Here,
    /// Pieces on the map.
    Small,
    Map,
    /// The line at which a page is trimmed, or to which another is laid.
    Trim,
    Of(Operation),
    /// Crosses and letters where pages join.
    Join,
    /// Points to measure between.
    Target,
    /// Bars and square to measure before cutting.
    Measure,
    Words,
    Bold,
}

/// How a pen looks.
#[derive(Clone, Debug, PartialEq)]
pub struct Look {
    /// Group of the SVG.
    pub layer: &'static str,
    /// mm; 0 when it fills.
    pub width: f64,
    /// As `#rrggbb`.
    pub colour: &'static str,
    pub dashes: Vec<f64>,
    /// Round ends and corners: lettering.
    pub round: bool,
}

impl Pen {
    #[must_use]
    pub fn look(self) -> Look {
        let plain = |layer, width, round| Look { layer, width, colour: "#000000", dashes: Vec::new(), round };
        match self {
            Self::Here => Look { colour: "#c8c8c8", ..plain("map-here", 0.0, false) },
            Self::Small => Look { colour: "#808080", ..plain("map-pieces", 0.25, false) },
            Self::Map => plain("map", 0.18, false),
            Self::Trim => {
                let s = style(Operation::Sheet);
                Look { dashes: dashes(&s), ..plain("trim", s.width, false) }
            }
            Self::Of(operation) => {
                let s = style(operation);
                let round = operation == Operation::Letter;
                Look { layer: s.layer, width: s.width, colour: s.colour.hex(), dashes: dashes(&s), round }
            }
            Self::Join => plain("join", 0.3, true),
            Self::Target => plain("diagonal", 0.25, true),
            Self::Measure => plain("measure", 0.25, false),
            Self::Words => plain("words", 0.3, true),
            Self::Bold => plain("words-bold", 0.5, true),
        }
    }
}

/// One line.
#[derive(Clone, Debug, PartialEq)]
pub struct Ink {
    pub pen: Pen,
    pub form: Form,
    /// What it belongs to: a piece's name, a join's letter.
    pub about: String,
}

/// One page, drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct Leaf {
    pub size: Vec2,
    /// The corners of what the printer reaches.
    pub printed: (Vec2, Vec2),
    pub title: String,
    pub inks: Vec<Ink>,
}

impl Leaf {
    pub fn draw(&mut self, pen: Pen, form: Form) {
        self.draw_about(pen, form, "");
    }

    pub fn draw_about(&mut self, pen: Pen, form: Form, about: &str) {
        let form = tidy(form);
        self.inks.push(Ink { pen, form, about: about.to_owned() });
    }

    pub fn line(&mut self, pen: Pen, a: Vec2, b: Vec2) {
        self.draw(pen, Form::Open(Path::polyline(&[a, b])));
    }

    pub fn rectangle(&mut self, pen: Pen, lo: Vec2, hi: Vec2) {
        let corners = [lo, Vec2::new(hi.x, lo.y), hi, Vec2::new(lo.x, hi.y)];
        self.draw(pen, Form::Closed(Path::polygon(&corners)));
    }

    /// A line of lettering that starts at `at` on its base line.
    pub fn words(&mut self, pen: Pen, at: Vec2, tall: f64, text: &str) {
        let place = Motion { shift: at, ..Motion::STAY };
        for stroke in lettering::strokes(text, tall) {
            self.draw(pen, Form::Open(stroke.moved(&place)));
        }
    }

    /// A line of lettering with its middle at `at`, written along `turn`.
    pub fn centred(&mut self, pen: Pen, at: Vec2, tall: f64, turn: f64, text: &str, about: &str) {
        for stroke in lettering::centred(text, tall, at, turn) {
            self.draw_about(pen, Form::Open(stroke), about);
        }
    }

    pub fn circle(&mut self, pen: Pen, centre: Vec2, radius: f64, about: &str) {
        self.draw_about(pen, Form::Circle { centre, radius }, about);
    }
}

/// Coordinates as they are written, and no segments that vanish.
fn tidy(form: Form) -> Form {
    let round = |p: Vec2| Vec2::new(rounded(p.x), rounded(p.y));
    let path = |p: Path| {
        let segs = p.segs.into_iter().map(|s| Seg { a: round(s.a), b: round(s.b), ..s });
        Path { segs: segs.filter(|s| s.a != s.b).collect() }
    };
    match form {
        Form::Open(p) => Form::Open(path(p)),
        Form::Closed(p) => Form::Closed(path(p)),
        Form::Circle { centre, radius } => Form::Circle { centre: round(centre), radius: rounded(radius) },
    }
}
