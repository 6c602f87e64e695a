//! `border`: what runs along an edge or round a part. A band is a wall of its own over what lies below; a cord, a
//! binding, a piping and a wrap are goods cut to length; beads are counted and strung.

mod band;
mod cornered;
mod line;
pub(in super::super) mod rows;
mod scallops;
pub(in super::super) mod skin;
mod spec;
pub(in super::super) mod stack;
mod uneven;
mod up;

pub(in super::super) use band::{pierce, shows};

use super::super::known::Border;
use super::super::{Shaper, errors};
use crate::design::Anchor;
use crate::eval::Stop;
use crate::ids::ThingId;
use crate::span::Span;
use rows::{Foot, Row};
use skin::Skin;
use spec::{Sort, Spec};

/// Builds a border on each of its targets.
///
/// # Errors
/// When it cannot go there, or not be made of that.
pub(in super::super) fn lower(shaper: &mut Shaper<'_>, id: ThingId) -> Result<(), Stop> {
    let target = shaper.design.thing(id).target.as_ref().ok_or(Stop::Skip)?;
    let mut made = Vec::new();
    for anchor in &target.anchors {
        made.extend(on(shaper, id, anchor, target.span)?);
    }
    let rows = made.iter().map(|m| m.rows.len()).sum::<usize>();
    let mut border = Border::default();
    let mut number = 0;
    for one in &made {
        shaper.known.borders.entry(id).or_default();
        stack::meeting(shaper, &one.spec, one.skin.part, &one.feet);
        border.feet.extend(one.feet.iter().map(|f| (one.skin.part, *f)));
        for row in &one.rows {
            number += 1;
            let name = if rows > 1 { format!("{} {number}", one.spec.name) } else { one.spec.name.clone() };
            let course = Laid { id, name: &name, spec: &one.spec, skin: &one.skin, lying: &one.lying };
            let long = match one.spec.sort {
                Sort::Band | Sort::Scallops => band::build(shaper, &course, *row)?,
                Sort::Cord | Sort::Binding | Sort::Piping | Sort::Beads | Sort::Wrap => {
                    line::build(shaper, &course, *row)?
                }
            };
            if number == 1 {
                border.long = long;
                border.thick = one.spec.thick(shaper)?;
                let levels = one.rows.iter().map(|row| one.skin.level(middle(*row, &one.skin)));
                border.level = levels.sum::<f64>() / one.rows.len() as f64;
            }
        }
    }
    shaper.known.borders.insert(id, border);
    Ok(())
}

/// A border on one course, proved to go there, and all else that lies on that wall.
struct OnCourse {
    spec: Spec,
    skin: Skin,
    rows: Vec<Row>,
    feet: Vec<Foot>,
    lying: Vec<(ThingId, Foot)>,
}

/// One row that is being made.
struct Laid<'a> {
    id: ThingId,
    name: &'a str,
    spec: &'a Spec,
    skin: &'a Skin,
    lying: &'a [(ThingId, Foot)],
}

fn on(shaper: &mut Shaper<'_>, id: ThingId, anchor: &Anchor, span: Span) -> Result<Vec<OnCourse>, Stop> {
    let skin = Skin::of(shaper, anchor, span)?;
    let tall = skin.tall();
    let spec = shaper.read(id, Some([0.0, 0.5 * tall, tall]), spec::read)?;
    if let (Some(paired), false) = (spec.paired, skin.pair) {
        let what = "a mirrored border on a part that is no pair";
        return Err(errors::not_built_yet(what, paired).into());
    }
    if let (Some(seam), true) = (spec.seam_written, skin.is_open()) {
        return Err(errors::borders::seam_of_an_open_wall(&spec.name, &skin.name, seam, skin.seam_span).into());
    }
    let thick = spec.thick(shaper)?;
    let lying = stack::on_wall(shaper, &skin, Some(id));
    let covers = stack::below(&lying, 1, (skin.low, skin.high));
    let mut out = Vec::new();
    for course in skin.courses(anchor.edge)? {
        let rows = rows::rows(&spec, &skin, course, (thick, covers))?;
        let feet = stack::of_rows(shaper, &spec, &skin, &rows)?;
        out.push(OnCourse { spec: spec.clone(), skin: skin.clone(), rows, feet, lying: lying.clone() });
    }
    Ok(out)
}

/// The height of a row's middle.
fn middle(row: Row, skin: &Skin) -> f64 {
    match row {
        Row::Strip { from, to, .. } | Row::Along { from, to, .. } => 0.5 * (from + to),
        Row::Line { z, .. } => z,
        Row::Rim { upper, .. } => skin.edge(upper),
        Row::Up { .. } | Row::Whole => 0.5 * (skin.low + skin.high),
    }
}
