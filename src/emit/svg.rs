//! One sheet as a picture that can be cut from: true millimetres, a group an operation, and round the sheet what the
//! maker needs to know: title, a bar to measure, what each line means and who follows it, and which edge meets which.
//!
//! Page coordinates: mm, y down, one unit a millimetre. The notes are text; everything to be cut is strokes.

use svg::node::Text as Words;
use svg::node::element::{Description, Group, Line as Stroke, Path as SvgPath, Rectangle, Title};
use svg::{Document, Node};

use super::key;
use super::lines::Line;
use super::number::{length, mm, thickness};
use super::style::{ALL, By, style};
use super::write::{Onto, clean, dash_array, text, wide, wrapped};
use crate::geom::Vec2;
use crate::piece::{Operation, Pieces};
use crate::sheet::{Sheet, Source};
use crate::solid::{Goods, Solid};

/// White border of the page, mm.
const BORDER: f64 = 12.0;
/// Size of text, mm: capitals come out 3.6 mm tall.
const SIZE: f64 = 5.0;
/// From baseline to baseline, mm.
const STEP: f64 = 7.0;
/// Least width of the notes, mm.
const LEAST: f64 = 240.0;

/// A sheet's title in one line, for files without notes; `of` is how many sheets its stock has.
#[must_use]
pub fn title(solid: &Solid, sheet: &Sheet, of: usize) -> String {
    let stock = &solid.stocks[sheet.stock];
    let hand = sheet.by_hand.as_ref().map(|reason| format!(", by hand: {reason}")).unwrap_or_default();
    format!("{}: {}, sheet {} of {of}{hand}", solid.job.title, stock.name, sheet.number)
}

/// The page of one sheet; `of` is how many sheets its stock has.
#[must_use]
pub fn svg(solid: &Solid, pieces: &Pieces, sheet: &Sheet, of: usize, lines: &[Line]) -> Vec<u8> {
    let width = sheet.size.x.max(LEAST);
    let stock = &solid.stocks[sheet.stock];
    let title = format!("{}: {}, sheet {} of {of}", solid.job.title, stock.name, sheet.number);
    let mut notes = Notes {
        group: Group::new().set("id", "notes").set("fill", "#000000"),
        y: BORDER + 5.0,
        x: BORDER,
        room: width,
    };
    heading(&mut notes, solid, sheet, &title);
    let onto = Onto { origin: Vec2::new(BORDER, notes.y + sheet.size.y) };
    let below = onto.origin.y + 12.0;
    let legend = legend(solid, sheet, lines, Vec2::new(BORDER, below));
    // The key stands beside the legend where the page is wide enough, else below it.
    let beside = width - legend.wide - 15.0 >= LEAST;
    notes.y = if beside { below } else { legend.bottom + 8.0 };
    if beside {
        notes.x = BORDER + legend.wide + 15.0;
        notes.room = width - legend.wide - 15.0;
    }
    key(&mut notes, solid, pieces, sheet);
    let page = Vec2::new(width + 2.0 * BORDER, (notes.y.max(legend.bottom) + BORDER).ceil());
    let mut document = Document::new()
        .set("width", format!("{}mm", mm(page.x)))
        .set("height", format!("{}mm", mm(page.y)))
        .set("viewBox", format!("0 0 {} {}", mm(page.x), mm(page.y)))
        .set("role", "img")
        .set("font-family", "sans-serif")
        .add(Title::new(clean(&title)))
        .add(Description::new().add(Words::new(
            "Cut file in true millimetres: one unit is one millimetre. Groups are named for what is done.",
        )))
        .add(Rectangle::new().set("id", "paper").set("width", "100%").set("height", "100%").set("fill", "#ffffff"));
    // What is cut lies on top, so that a bevel line a hair beside it does not hide it.
    for operation in ALL.into_iter().rev() {
        let group = drawn(operation, lines, pieces, onto);
        if let Some(group) = group {
            document.append(group);
        }
    }
    document.append(legend.group);
    document.append(notes.group);
    let mut bytes = b"<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n".to_vec();
    bytes.extend(document.to_string().into_bytes());
    bytes.push(b'\n');
    bytes
}

/// The group of one operation; none when the sheet has none of it.
fn drawn(operation: Operation, lines: &[Line], pieces: &Pieces, onto: Onto) -> Option<Group> {
    let s = style(operation);
    let mut group = Group::new()
        .set("id", s.layer)
        .set("data-operation", s.layer)
        .set("fill", "none")
        .set("stroke", s.colour.hex())
        .set("stroke-width", mm(s.width))
        .set("stroke-linejoin", "round");
    if let Some(dashes) = dash_array(&s) {
        group = group.set("stroke-dasharray", dashes);
    } else if operation == Operation::Letter {
        group = group.set("stroke-linecap", "round");
    }
    let mut any = false;
    for line in lines.iter().filter(|l| l.operation == operation) {
        let mut path = SvgPath::new().set("d", onto.data(&line.form));
        if let Some(id) = line.piece {
            path = path.set("data-piece", clean(&pieces.pieces[id.index()].name));
        }
        group.append(path);
        any = true;
    }
    any.then_some(group)
}

/// Lines of text going down a column.
struct Notes {
    group: Group,
    x: f64,
    y: f64,
    room: f64,
}

impl Notes {
    fn line(&mut self, indent: f64, words: &str, bold: bool) {
        let room = (self.room - indent).max(60.0);
        for (i, line) in wrapped(words, SIZE, room).iter().enumerate() {
            let hang = if i == 0 { 0.0 } else { 6.0 };
            let mut node = text(Vec2::new(self.x + indent + hang, self.y), SIZE, line);
            if bold {
                node = node.set("font-weight", "bold");
            }
            self.group.append(node);
            self.y += STEP;
        }
    }
}

/// Title, what the sheet is, which face is up, and the bar to measure.
fn heading(notes: &mut Notes, solid: &Solid, sheet: &Sheet, title: &str) {
    for line in wrapped(title, 8.0, notes.room) {
        notes.group.append(text(Vec2::new(notes.x, notes.y), 8.0, &line).set("font-weight", "bold"));
        notes.y += 10.0;
    }
    let stock = &solid.stocks[sheet.stock];
    let show = solid.job.show;
    let by = |size: Vec2| format!("{} by {}", length(size.x, show), length(size.y, show));
    let size = by(sheet.size);
    let goods = match (sheet.from, stock.size) {
        (Source::Offcut(i), _) => match stock.offcuts.get(i) {
            Some(&offcut) if offcut != sheet.size => format!("load {size}, cut from the offcut of {}", by(offcut)),
            _ => format!("offcut {size}"),
        },
        (_, Goods::Sheet(whole)) if whole == sheet.size => format!("sheet {size}"),
        (Source::Whole(n), Goods::Sheet(whole)) => format!("load {size}, cut from whole sheet {n} of {}", by(whole)),
        (_, Goods::Sheet(whole)) => format!("load {size}, cut from a sheet of {}", by(whole)),
        (_, Goods::Roll(_)) => format!("length of a roll, {size}"),
    };
    notes.line(
        0.0,
        &format!("{} ({}), {} thick, {goods}.", stock.name, stock.sort, thickness(stock.thick, show)),
        false,
    );
    if let Some(mock) = &solid.job.mock_up {
        notes.line(0.0, &format!("MOCK-UP of card at {}: do not cut foam from this.", mock.scale), true);
    }
    if let Some(wearer) = &solid.job.wearer {
        notes.line(0.0, &format!("Made for {wearer}."), false);
    }
    if let Some(reason) = &sheet.by_hand {
        notes.line(0.0, &format!("By hand: {reason}."), true);
    }
    notes.line(0.0, "Each piece is drawn as seen on its outside (show) face: that face lies up. Do not mirror.", false);
    let (y, x) = (notes.y + 1.0, notes.x + 0.5);
    let bar = |a: Vec2, b: Vec2| {
        Stroke::new()
            .set("x1", mm(a.x))
            .set("y1", mm(a.y))
            .set("x2", mm(b.x))
            .set("y2", mm(b.y))
            .set("stroke", "#000000")
            .set("stroke-width", "0.35")
    };
    notes.group.append(bar(Vec2::new(x, y), Vec2::new(x + 100.0, y)));
    for k in [0.0, 100.0] {
        notes.group.append(bar(Vec2::new(x + k, y - 2.5), Vec2::new(x + k, y + 2.5)));
    }
    notes.group.append(text(Vec2::new(x + 104.0, y + 1.8), SIZE, "100 mm: measure before you cut"));
    notes.y = y + 10.0;
}

struct Legend {
    group: Group,
    wide: f64,
    bottom: f64,
}

/// What each line on this sheet means, and who follows it.
fn legend(solid: &Solid, sheet: &Sheet, lines: &[Line], at: Vec2) -> Legend {
    let cutter = solid.job.cutter.as_ref().filter(|c| sheet.by_hand.is_none() && c.sort != "hand");
    let who = cutter.map_or_else(|| "by hand".to_owned(), |c| format!("machine: {}", c.name));
    let pen = cutter.is_some_and(|c| c.sort == "pen");
    let does = |by: By| match (cutter.is_some(), by) {
        (true, By::Nobody) => "leaves out",
        (true, _) if pen => "draws",
        (true, By::Cuts) => "cuts",
        (true, By::Scores) => "scores",
        (true, By::Draws) => "draws",
        (false, By::Cuts) => "cut with the knife",
        (false, By::Scores) => "score, half deep",
        (false, By::Draws) => "draw, do not cut",
        (false, By::Nobody) => "do not cut",
    };
    let mut group = Group::new().set("id", "legend").set("fill", "#000000");
    let (sample, words_at) = (30.0, 36.0);
    let does_at = words_at + ALL.iter().map(|o| wide(style(*o).words, SIZE)).fold(0.0, f64::max) + 4.0;
    let mut y = at.y + SIZE;
    for (x, words) in [(0.0, "line"), (words_at, "what it says"), (does_at, who.as_str())] {
        group.append(text(Vec2::new(at.x + x, y), SIZE, words).set("font-weight", "bold"));
    }
    y += STEP;
    for operation in ALL {
        if lines.iter().all(|l| l.operation != operation) {
            continue;
        }
        let s = style(operation);
        let level = mm(y - 1.6);
        let mut line = Stroke::new()
            .set("x1", mm(at.x))
            .set("y1", level.clone())
            .set("x2", mm(at.x + sample))
            .set("y2", level)
            .set("stroke", s.colour.hex())
            .set("stroke-width", mm(s.width));
        if let Some(dashes) = dash_array(&s) {
            line = line.set("stroke-dasharray", dashes);
        }
        group.append(line);
        group.append(text(Vec2::new(at.x + words_at, y), SIZE, s.words));
        group.append(text(Vec2::new(at.x + does_at, y), SIZE, does(s.by)));
        y += STEP;
    }
    Legend { group, wide: does_at + wide(&who, SIZE).max(wide("cut with the knife", SIZE)), bottom: y }
}

/// Which pieces lie here and what their edges meet.
fn key(notes: &mut Notes, solid: &Solid, pieces: &Pieces, sheet: &Sheet) {
    notes.y += SIZE;
    notes.line(0.0, "Pieces on this sheet, and what their edges meet", true);
    for placed in &sheet.placed {
        let piece = &pieces.pieces[placed.piece.index()];
        notes.line(0.0, &key::heading(piece), true);
        for line in key::lines(piece, solid.job.show) {
            notes.line(6.0, &line, false);
        }
        notes.y += 2.0;
    }
}
