//! What is cut: the pieces and the sheets they lie on.

use serde::Serialize;

use super::super::dxf::Manifest;
use super::super::lines;
use super::super::number::report as figure;
use super::{SheetFiles, Told, pair};
use crate::fitted::Ground;
use crate::geom::Vec2;
use crate::num;
use crate::piece::{self, Piece};
use crate::sheet::{Sheet, Source};
use crate::solid::{Body, Crease, Stretched};

#[derive(Debug, Serialize)]
pub(super) struct PieceOf<'a> {
    name: &'a str,
    number: usize,
    part: &'a str,
    count: usize,
    hand: Option<&'static str>,
    stock: &'a str,
    face_up: &'static str,
    /// Where it is cut: its sheet's first file.
    sheet: Option<&'a str>,
    area: f64,
    perimeter: f64,
    mass: Option<f64>,
    size: [f64; 2],
    edges: Vec<EdgeOf<'a>>,
    holes: Vec<HoleOf<'a>>,
    places: Vec<PlaceOf<'a>>,
    marks: Vec<MarkOf<'a>>,
    offsets: Vec<OffsetsOf<'a>>,
    /// None of what is not formed.
    formed: Option<FormingOf<'a>>,
}

#[derive(Debug, Serialize)]
struct EdgeOf<'a> {
    name: &'a str,
    letter: Option<&'a str>,
    meets: Option<&'a str>,
    inside: f64,
    neutral: f64,
    outside: f64,
    notches: usize,
    bevel: &'a str,
    formed: Option<StretchedOf>,
}

#[derive(Debug, Serialize)]
struct HoleOf<'a> {
    name: &'a str,
    across: f64,
    up: f64,
    area: f64,
}

#[derive(Debug, Serialize)]
struct PlaceOf<'a> {
    name: &'a str,
    number: usize,
    face: &'static str,
    /// The part it is fixed to; a cover shows it too.
    on: &'a str,
    /// Of a place on a wall: how far up it and which way its point lies.
    level: Option<f64>,
    facing: Option<f64>,
    across: f64,
    up: f64,
    from: Vec<FromOf<'a>>,
}

/// A mark as far as it is on the piece.
#[derive(Debug, Serialize)]
struct MarkOf<'a> {
    name: &'a str,
    number: usize,
    sort: &'static str,
    face: &'static str,
    deep: Option<f64>,
    length: f64,
    fold: Option<CreaseOf>,
    formed: Option<StretchedOf>,
}

/// How much a line is stretched when its piece is formed; a share less than 0 is squeezed.
#[derive(Debug, Serialize)]
pub(super) struct StretchedOf {
    along: f64,
    cut: f64,
    formed: f64,
    share: f64,
}

pub(super) fn stretched(of: Stretched) -> StretchedOf {
    StretchedOf { along: figure(of.along), cut: figure(of.cut), formed: figure(of.formed), share: figure(of.share()) }
}

/// Where a piece is stretched and squeezed most, and what its stock allows.
#[derive(Debug, Serialize)]
struct FormingOf<'a> {
    heat: bool,
    stretched: Option<MostOf<'a>>,
    squeezed: Option<MostOf<'a>>,
    may_stretch: f64,
    may_squeeze: f64,
}

#[derive(Debug, Serialize)]
struct MostOf<'a> {
    at: &'a str,
    share: f64,
}

fn most(at: &Option<(String, f64)>) -> Option<MostOf<'_>> {
    at.as_ref().map(|(at, share)| MostOf { at, share: figure(*share) })
}

fn forming(of: &piece::Forming) -> FormingOf<'_> {
    FormingOf {
        heat: true,
        stretched: most(&of.stretched),
        squeezed: most(&of.squeezed),
        may_stretch: figure(of.leave.stretch),
        may_squeeze: figure(of.leave.squeeze),
    }
}

/// How a fold is worked.
#[derive(Debug, Serialize)]
pub(super) struct CreaseOf {
    turn: f64,
    skin: f64,
    wide: Option<f64>,
    allowance: f64,
}

pub(super) fn crease(fold: Crease) -> CreaseOf {
    CreaseOf {
        turn: figure(fold.turn.to_degrees()),
        skin: figure(fold.skin),
        wide: (!fold.scored).then(|| figure(fold.wide)),
        allowance: figure(fold.allowance),
    }
}

#[derive(Debug, Serialize)]
struct FromOf<'a> {
    edge: &'a str,
    length: f64,
}

#[derive(Debug, Serialize)]
struct OffsetsOf<'a> {
    edge: &'a str,
    radius: Option<f64>,
    chord: f64,
    /// Distance along the chord, rise above it.
    rows: Vec<[f64; 2]>,
}

#[derive(Debug, Serialize)]
pub(super) struct SheetOf<'a> {
    stock: &'a str,
    number: usize,
    /// `offcut`, `sheet` or `roll`, and the number of the offcut in the text's order or of the whole sheet.
    from: &'static str,
    from_number: Option<usize>,
    files: &'a [String],
    size: [f64; 2],
    margin: f64,
    gap: f64,
    by_hand: Option<&'a str>,
    used: f64,
    placed: Vec<PlacedOf<'a>>,
    /// Layer → sort of entity → how many: what a reader of the DXF must find.
    entities: &'a Manifest,
}

#[derive(Debug, Serialize)]
struct PlacedOf<'a> {
    piece: &'a str,
    turn: f64,
    shift: [f64; 2],
}

pub(super) fn piece<'a>(told: &Told<'a>, sheets: &'a [SheetFiles], piece: &'a Piece) -> PieceOf<'a> {
    let contour = lines::contour(piece);
    let size = contour.bounds().map_or(Vec2::ZERO, |(lo, hi)| hi - lo);
    let on = told.layout.sheets.iter().position(|s| s.placed.iter().any(|p| p.piece == piece.id));
    PieceOf {
        name: &piece.name,
        number: piece.number,
        part: &told.solid.parts[piece.part.index()].name,
        count: 1,
        hand: lines::hand_word(piece.hand),
        stock: &told.solid.stocks[piece.stock].name,
        face_up: "outside",
        sheet: on.and_then(|i| sheets.get(i)).and_then(|s| s.files.first()).map(String::as_str),
        area: figure(piece.area),
        perimeter: figure(contour.length()),
        mass: piece.mass.map(figure),
        size: pair(size),
        edges: piece
            .edges
            .iter()
            .map(|e| EdgeOf {
                name: &e.name,
                letter: e.letter.as_deref(),
                meets: e.meets.as_deref(),
                inside: figure(e.long.inside),
                neutral: figure(e.long.neutral),
                outside: figure(e.long.outside),
                notches: e.notches,
                bevel: &e.bevel,
                formed: e.formed.map(stretched),
            })
            .collect(),
        holes: piece
            .holes
            .iter()
            .map(|h| {
                let size = h.outline.bounds().map_or(Vec2::ZERO, |(lo, hi)| hi - lo);
                HoleOf { name: &h.name, across: figure(size.x), up: figure(size.y), area: figure(h.outline.area()) }
            })
            .collect(),
        places: piece.places.iter().filter_map(|p| place(told, p)).collect(),
        marks: piece
            .traces
            .iter()
            .map(|t| MarkOf {
                name: &t.name,
                number: t.number,
                sort: t.stroke.word(),
                face: if t.hidden { "inside" } else { "outside" },
                deep: t.deep.map(figure),
                length: figure(t.long),
                fold: t.fold.map(crease),
                formed: t.formed.map(stretched),
            })
            .collect(),
        formed: piece.formed.as_ref().map(forming),
        offsets: piece
            .offsets
            .iter()
            .map(|o| OffsetsOf {
                edge: piece.edges.iter().find(|e| e.edge == o.edge).map_or("", |e| e.name.as_str()),
                radius: o.radius.map(figure),
                chord: figure(o.chord),
                rows: o.rows.iter().map(|&(a, b)| pair(Vec2::new(a, b))).collect(),
            })
            .collect(),
    }
}

fn place<'a>(told: &Told<'a>, place: &'a piece::Place) -> Option<PlaceOf<'a>> {
    let spot = told.solid.fitted.spots.get(place.spot)?;
    let part = &told.solid.parts[spot.part.index()];
    let (level, facing) = match (spot.on, &part.body) {
        (Ground::Wall { rule, z, .. }, _) => {
            (Some(figure(z)), Some(figure(num::wrap(rule.phi, num::TAU).to_degrees())))
        }
        (Ground::Leaf { at }, Body::Leaf(leaf)) => (Some(figure(leaf.level(at))), None),
        _ => (None, None),
    };
    let size = spot.outline.bounds().map_or(Vec2::ZERO, |(lo, hi)| hi - lo);
    let from = place.from.iter().map(|(edge, mm)| FromOf { edge, length: figure(*mm) });
    Some(PlaceOf {
        name: &place.name,
        number: place.number,
        face: if place.hidden { "inside" } else { "outside" },
        on: &part.name,
        level,
        facing,
        across: figure(size.x),
        up: figure(size.y),
        from: from.collect(),
    })
}

pub(super) fn sheet<'a>(told: &Told<'a>, sheet: &'a Sheet, files: &'a SheetFiles) -> SheetOf<'a> {
    SheetOf {
        stock: &told.solid.stocks[sheet.stock].name,
        number: sheet.number,
        from: match sheet.from {
            Source::Offcut(_) => "offcut",
            Source::Whole(_) => "sheet",
            Source::Roll => "roll",
        },
        from_number: match sheet.from {
            Source::Offcut(index) => Some(index + 1),
            Source::Whole(number) => Some(number),
            Source::Roll => None,
        },
        files: &files.files,
        size: pair(sheet.size),
        margin: figure(sheet.margin),
        gap: figure(sheet.gap),
        by_hand: sheet.by_hand.as_deref(),
        used: figure(sheet.used),
        placed: sheet
            .placed
            .iter()
            .map(|p| PlacedOf {
                piece: &told.pieces.pieces[p.piece.index()].name,
                turn: figure(p.motion.turn.to_degrees()),
                shift: pair(p.motion.shift),
            })
            .collect(),
        entities: &files.entities,
    }
}
