//! One sheet as a DXF drawing: true arcs, millimetres, a layer an operation. The crate `dxf` builds and writes the
//! drawing; [`super::dxf_repair`] makes of it a file that strict readers take without a fix.
//!
//! Closed lines are closed polylines with bulges (LWPOLYLINE; in R12 POLYLINE with its vertices), whole circles are
//! CIRCLE. Lettering is strokes, so no text of a maker can become an entity. The y axis points up, the sheet's
//! corner is the origin.

use std::collections::BTreeMap;

use dxf::entities::{Circle, Entity, EntityType, LwPolyline, Polyline, Vertex};
use dxf::enums::{AcadVersion, DrawingUnits, Units};
use dxf::tables::{Layer, LineType};
use dxf::{Color, Drawing, LwPolylineVertex, Point};

use super::dxf_repair;
use super::lines::{Form, Line};
use super::style::{self, style};
use crate::geom::Vec2;
use crate::geom::path::Path;
use crate::piece::Operation;

/// The format's own line type.
const CONTINUOUS: &str = "CONTINUOUS";

/// Which edition of the format is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Version {
    /// AC1015, the first with units and light polylines.
    #[default]
    R2000,
    /// AC1009, for old machines; no units in the published header, written all the same.
    R12,
}

/// What is in a drawing: layer → sort of entity → how many. A reader must find exactly these.
pub type Manifest = BTreeMap<&'static str, BTreeMap<&'static str, usize>>;

/// Why a drawing cannot be written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum DxfFault {
    /// The drawing crate reckons dates from midnight of 1 January 1900 in the local zone, and here that moment
    /// does not exist or exists twice. `main` sets `TZ=UTC`, so only a user of the library can meet this.
    Zone,
    /// The writer failed.
    Writer(String),
}

/// The drawing of a sheet's lines, which lie within `size` from the origin, and what is in it. Same lines, same bytes.
///
/// # Errors
/// See [`DxfFault`].
pub fn dxf(lines: &[Line], size: Vec2, version: Version) -> Result<(Vec<u8>, Manifest), DxfFault> {
    if !zone_is_usable() {
        return Err(DxfFault::Zone);
    }
    let mut drawing = Drawing::new();
    drawing.header.version = match version {
        Version::R2000 => AcadVersion::R2000,
        Version::R12 => AcadVersion::R12,
    };
    drawing.header.handles_enabled = true;
    drawing.header.default_drawing_units = Units::Millimeters;
    drawing.header.drawing_units = DrawingUnits::Metric;
    drawing.header.minimum_drawing_extents = Point::new(0.0, 0.0, 0.0);
    drawing.header.maximum_drawing_extents = Point::new(size.x, size.y, 0.0);
    drawing.header.minimum_drawing_limits = Point::new(0.0, 0.0, 0.0);
    drawing.header.maximum_drawing_limits = Point::new(size.x, size.y, 0.0);
    add_tables(&mut drawing);
    let mut manifest = Manifest::new();
    for line in lines {
        let layer = style(line.operation).layer;
        let specific = match &line.form {
            Form::Circle { centre, radius } => {
                let center = Point::new(centre.x, centre.y, 0.0);
                EntityType::Circle(Circle { center, radius: *radius, ..Circle::default() })
            }
            Form::Open(path) => chain(&mut drawing, path, false, version),
            Form::Closed(path) => chain(&mut drawing, path, true, version),
        };
        let sort = match specific {
            EntityType::Circle(_) => "CIRCLE",
            EntityType::LwPolyline(_) => "LWPOLYLINE",
            _ => "POLYLINE",
        };
        let mut entity = Entity::new(specific);
        layer.clone_into(&mut entity.common.layer);
        if line.operation == Operation::Sheet && matches!(line.form, Form::Open(_)) {
            // The sheet's title: letters of dots could not be read.
            CONTINUOUS.clone_into(&mut entity.common.line_type_name);
        }
        drawing.add_entity(entity);
        *manifest.entry(layer).or_default().entry(sort).or_insert(0) += 1;
    }
    let mut raw = Vec::new();
    drawing.save(&mut raw).map_err(|e| DxfFault::Writer(e.to_string()))?;
    let text = String::from_utf8(raw).map_err(|e| DxfFault::Writer(e.to_string()))?;
    let repaired = dxf_repair::repaired(&text, version).map_err(DxfFault::Writer)?;
    Ok((repaired.into_bytes(), manifest))
}

/// Layers and line types. `CONTINUOUS` is the format's own; the others are named for the standard's number and, as
/// their lengths go by the line's width, the width.
fn add_tables(drawing: &mut Drawing) {
    for operation in style::ALL {
        let s = style(operation);
        let dashes = style::dashes(&s);
        let line_type_name = line_type(&s);
        if !dashes.is_empty() && drawing.line_types().all(|t| t.name != line_type_name) {
            drawing.add_line_type(LineType {
                name: line_type_name.clone(),
                description: style::line_words(s.line).to_owned(),
                element_count: i32::try_from(dashes.len()).unwrap_or(0),
                total_pattern_length: dashes.iter().sum(),
                // A blank is written as a negative length (DXF Reference, LTYPE group 49).
                dash_dot_space_lengths: dashes
                    .iter()
                    .enumerate()
                    .map(|(i, d)| if i % 2 == 0 { *d } else { -*d })
                    .collect(),
                ..LineType::default()
            });
        }
        drawing.add_layer(Layer {
            name: s.layer.to_owned(),
            color: Color::from_index(s.colour.index()),
            line_type_name,
            ..Layer::default()
        });
    }
}

/// The line type of a style.
fn line_type(s: &style::Style) -> String {
    if s.line == 1 {
        return CONTINUOUS.to_owned();
    }
    format!("ISO128-{:02}-W{:03.0}", s.line, s.width * 100.0)
}

fn chain(drawing: &mut Drawing, path: &Path, closed: bool, version: Version) -> EntityType {
    let mut points: Vec<(Vec2, f64)> = path.segs.iter().map(|s| (s.a, s.bulge)).collect();
    if let (false, Some(end)) = (closed, path.end()) {
        points.push((end, 0.0));
    }
    let flags = i32::from(closed);
    match version {
        Version::R2000 => EntityType::LwPolyline(LwPolyline {
            flags,
            vertices: points
                .iter()
                .map(|&(p, bulge)| LwPolylineVertex { x: p.x, y: p.y, bulge, ..LwPolylineVertex::default() })
                .collect(),
            ..LwPolyline::default()
        }),
        Version::R12 => {
            let mut polyline = Polyline { flags, ..Polyline::default() };
            for (p, bulge) in points {
                let location = Point::new(p.x, p.y, 0.0);
                polyline.add_vertex(drawing, Vertex { location, bulge, ..Vertex::default() });
            }
            EntityType::Polyline(polyline)
        }
    }
}

/// Whether midnight of 1 January 1900 is one moment in the local zone.
fn zone_is_usable() -> bool {
    use chrono::TimeZone as _;
    chrono::Local.with_ymd_and_hms(1900, 1, 1, 0, 0, 0).single().is_some()
}
