//! A finish: which faces of which parts are coated, and their exact areas.

use super::super::{Shaper, errors};
use crate::design::{Anchor, Face, Hand, Kind};
use crate::eval::{Fields, Stop};
use crate::fitted::{Coat, Coated};
use crate::geom::Vec3;
use crate::ids::{PartId, ThingId};
use crate::schema;
use crate::skin::leaf::Formed;
use crate::skin::{self, Depths, Skin};
use crate::solid::{Body, Frame, Gap, Part, Plate, Seam, Solid};
use crate::span::Span;

struct Spec {
    name: String,
    head: Span,
    of: Vec<Anchor>,
    coats: usize,
    faces: &'static [Face],
}

fn read(fields: &mut Fields<'_>) -> Result<Spec, Stop> {
    let faces: &[Face] = match fields.word("face")? {
        "inside" => &[Face::Inside],
        "both" => &[Face::Inside, Face::Outside],
        _ => &[Face::Outside],
    };
    let thing = fields.thing();
    Ok(Spec {
        name: thing.name.to_string(),
        head: thing.head,
        of: fields.things("of")?,
        coats: fields.number("coats")? as usize,
        faces,
    })
}

/// Coats the faces of parts.
///
/// # Errors
/// When it is no paint or sealer, and where what it goes on is not built yet.
pub(in super::super) fn lower(shaper: &mut Shaper<'_>, id: ThingId) -> Result<(), Stop> {
    let target = shaper.design.thing(id).target.as_ref().ok_or(Stop::Skip)?;
    let spec = shaper.read(id, None, read)?;
    let paint = spec.of.first().ok_or(Stop::Skip)?.thing;
    let sort = shaper.known.supplies.get(&paint).ok_or(Stop::Skip)?.sort;
    if !matches!(sort, "paint" | "sealer") {
        let span = shaper.design.thing(id).field("of").map_or(spec.head, |f| f.value.span);
        let name = shaper.design.thing(paint).name.to_string();
        return Err(errors::no_coat(&name, sort, span, shaper.design.thing(paint).head).into());
    }
    let mut faces: Vec<Coated> = Vec::new();
    for anchor in &target.anchors {
        if anchor.edge.is_some() {
            return Err(errors::not_built_yet("a finish on an edge", target.span).into());
        }
        let parts = parts(shaper, anchor);
        if parts.is_empty() {
            let kind = shaper.design.thing(anchor.thing).kind;
            // A part that is not there was left out, and whoever did so said why.
            return Err(match kind {
                Kind::Shell | Kind::Dome | Kind::Plate | Kind::Cap | Kind::Keel => Stop::Skip,
                _ => {
                    errors::not_built_yet(&format!("a finish on a {}", schema::kind_of(kind).word), target.span).into()
                }
            });
        }
        for part in parts {
            faces.extend(spec.faces.iter().map(|face| coated(&shaper.solid, part, *face, anchor.hand)));
        }
    }
    let supply = shaper.supplied(paint).ok_or(Stop::Skip)?;
    let coat = Coat { thing: id, name: spec.name, origin: spec.head, supply, coats: spec.coats, faces };
    shaper.known.finishes.insert(id, coat.area());
    shaper.solid.fitted.coats.push(coat);
    Ok(())
}

/// The parts of a thing that show: a seam's backing strip is behind one of them.
fn parts(shaper: &Shaper<'_>, anchor: &Anchor) -> Vec<PartId> {
    let own = shaper.solid.parts.iter().filter(|p| p.thing == anchor.thing && !is_backing(p));
    own.map(|p| p.id).collect()
}

fn is_backing(part: &Part) -> bool {
    matches!(&part.body, Body::Wall(w) if matches!(w.seam, Seam::Open(Gap::Leaves(_))))
}

fn coated(solid: &Solid, id: PartId, face: Face, hand: Option<Hand>) -> Coated {
    let (parts, part) = (&solid.parts, &solid.parts[id.index()]);
    let mut skin = of_face(part, face);
    if face == Face::Outside {
        // The inside of tabs that are folded out is glued down.
        skin = skin.and(skin::tabs::turned_out(solid, part));
    }
    if face == Face::Inside {
        // A backing strip hides as much of the inside as its outer face covers, and shows its own.
        for strip in parts.iter().filter(|p| p.thing == part.thing && p.id != id && is_backing(p)) {
            let hidden = of_face(strip, Face::Outside);
            let shown = of_face(strip, Face::Inside);
            skin.area += shown.area - hidden.area;
            skin.moment += shown.moment - hidden.moment;
        }
    }
    let mirrored = |p: Vec3| if hand == Some(Hand::Right) { Vec3::new(p.x, -p.y, p.z) } else { p };
    Coated {
        part: id,
        face,
        area: skin.area,
        middle: mirrored(part.place.apply(skin.centre())),
        pair: part.pair && hand.is_none(),
    }
}

/// The outer or inner face of a part, in its own frame.
fn of_face(part: &Part, face: Face) -> Skin {
    let layer = if face == Face::Outside { part.layers.last() } else { part.layers.first() };
    let Some(layer) = layer else { return Skin::default() };
    match &part.body {
        Body::Wall(wall) => {
            let at = Depths::face(layer, layer.face(face));
            wall.rings.iter().map(|r| skin::wall(wall, r, layer.middle(), at)).fold(Skin::default(), Skin::and)
        }
        Body::Leaf(leaf) => {
            let depth = layer.face(face);
            Formed::new(leaf).skin(depth, depth)
        }
        Body::Folded(wall) => {
            let of_one = |(frame, plate): (Frame, Plate)| {
                skin::plate(&plate, if face == Face::Outside { plate.show } else { plate.hidden }).placed(&frame)
            };
            wall.plates().map(of_one).fold(Skin::default(), Skin::and)
        }
        Body::Plate(plate) => skin::plate(plate, if face == Face::Outside { plate.show } else { plate.hidden }),
    }
}
