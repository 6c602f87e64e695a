//! One page as SVG in true millimetres, a group a pen. Everything is strokes; the title is the only text.

use svg::node::Text as Words;
use svg::node::element::{Description, Group, Path as SvgPath, Rectangle, Title};
use svg::{Document, Node};

use super::ink::{Ink, Leaf, Pen};
use crate::emit::number::mm;
use crate::emit::write::{Onto, clean};
use crate::geom::Vec2;

/// The file's bytes.
#[must_use]
pub fn svg(leaf: &Leaf) -> Vec<u8> {
    let onto = Onto { origin: Vec2::new(0.0, leaf.size.y) };
    let mut document = Document::new()
        .set("width", format!("{}mm", mm(leaf.size.x)))
        .set("height", format!("{}mm", mm(leaf.size.y)))
        .set("viewBox", format!("0 0 {} {}", mm(leaf.size.x), mm(leaf.size.y)))
        .set("role", "img")
        .add(Title::new(clean(&leaf.title)))
        .add(Description::new().add(Words::new("Full size: one unit is one millimetre. Print at 100 %.")))
        .add(Rectangle::new().set("id", "paper").set("width", "100%").set("height", "100%").set("fill", "#ffffff"));
    let mut pens: Vec<Pen> = leaf.inks.iter().map(|i| i.pen).collect();
    pens.sort_by_key(|p| super::layer_order(*p));
    pens.dedup();
    for pen in pens {
        document.append(group(pen, leaf.inks.iter().filter(|i| i.pen == pen), onto));
    }
    let mut bytes = b"<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n".to_vec();
    bytes.extend(document.to_string().into_bytes());
    bytes.push(b'\n');
    bytes
}

fn group<'a>(pen: Pen, inks: impl Iterator<Item = &'a Ink>, onto: Onto) -> Group {
    let look = pen.look();
    let mut group = Group::new().set("id", look.layer);
    if look.width == 0.0 {
        group = group.set("fill", look.colour);
    } else {
        group = group
            .set("fill", "none")
            .set("stroke", look.colour)
            .set("stroke-width", mm(look.width))
            .set("stroke-linejoin", "round");
    }
    if look.round {
        group = group.set("stroke-linecap", "round");
    }
    if !look.dashes.is_empty() {
        group = group.set("stroke-dasharray", look.dashes.iter().map(|d| mm(*d)).collect::<Vec<_>>().join(" "));
    }
    for ink in inks {
        let mut path = SvgPath::new().set("d", onto.data(&ink.form));
        if !ink.about.is_empty() {
            path = path.set("data-about", clean(&ink.about));
        }
        group.append(path);
    }
    group
}
