//! The layout as bytes: cut files, a picture, a solid, a report. Writes nothing to disk and reads no clock: `main`
//! does the one, and the other would change the bytes.
//!
//! A build of prop NAME gives, in this order:
//! - `NAME/cut/STOCK-n.dxf` and `NAME/cut/STOCK-n.svg`, one of each a sheet or load;
//! - `NAME/picture.svg`, the prop put together;
//! - `NAME/print/page-n.svg` and `NAME/print/pages.pdf`, full-size pages on the prop's paper;
//! - `NAME/NAME.stl` when asked for;
//! - `NAME/report.json`, last, so that a report says that all else is there.
//!
//! Names become file names by the rule of [`filename`].

pub mod body;
mod carried;
pub mod dxf;
mod dxf_repair;
mod errors;
pub mod filename;
pub mod gear;
pub mod key;
pub mod lines;
pub mod number;
pub mod picture;
pub mod print;
pub mod report;
pub mod stl;
pub mod style;
pub mod svg;
pub mod twins;
pub mod view;
pub mod write;

use crate::diag::Diagnostic;
use crate::geom::Vec2;
use crate::solid::Job;
use dxf::Version;
use report::{SheetFiles, Told};

/// A file to write: its path within the output folder, `/` between its parts, and its bytes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OutFile {
    pub path: String,
    pub bytes: Vec<u8>,
}

/// What is written besides and in which form.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Options {
    pub dxf: Version,
    pub stl: bool,
}

/// Height of a face of the picture, mm: small enough to be drawn in order of depth.
const PICTURE_FACE: f64 = 30.0;

/// The folder of a build: the prop's name, and the wearer's behind it when the prop names several (no name holds a
/// `-`, so no two builds share a folder). A mock-up has `-mock-up` behind that, and its scale where it is not full size:
/// `lantern-mock-up-1-2`.
#[must_use]
pub fn folder(job: &Job) -> String {
    let mut name = filename::file_name(&job.name, 0);
    if let (Some(wearer), true) = (&job.wearer, job.one_of_several) {
        name = format!("{name}-{}", filename::file_name(wearer, 0));
    }
    match &job.mock_up {
        Some(mock) if mock.ratio == 1.0 => format!("{name}-mock-up"),
        Some(mock) => {
            let scale = mock.scale.replace(':', "-").replace('.', "_").replace(" %", "-percent");
            format!("{name}-mock-up-{scale}")
        }
        None => name,
    }
}

/// Every file of a build. The same forms give the same bytes.
///
/// # Errors
/// When a coordinate is no number, or the drawing crate cannot work in the local time zone; nothing is to be written
/// then.
#[allow(clippy::result_large_err, reason = "a fault ends the build; it is made once")]
pub fn emit(told: &Told<'_>, options: Options) -> Result<Vec<OutFile>, Diagnostic> {
    let Told { solid, pieces, layout, .. } = *told;
    let folder = folder(&solid.job);
    let mut out: Vec<OutFile> = Vec::new();
    let mut sheets = Vec::with_capacity(layout.sheets.len());
    for sheet in &layout.sheets {
        let lines = lines::lines(sheet, pieces);
        if let Some(line) = lines.iter().find(|l| !l.form.is_finite()) {
            return Err(errors::not_a_number(line.piece.map(|id| &pieces.pieces[id.index()])));
        }
        let stem = filename::file_name(&solid.stocks[sheet.stock].name, sheet.stock);
        let path = |ending: &str| format!("{folder}/cut/{stem}-{}.{ending}", sheet.number);
        let of = layout.sheets.iter().filter(|s| s.stock == sheet.stock).count();
        let title = svg::title(solid, sheet, of);
        let (lettered, top) = lines::title(&title, sheet.size);
        let all: Vec<lines::Line> = lines.iter().cloned().chain(lettered).collect();
        let within = Vec2::new(sheet.size.x, top);
        let (bytes, entities) = dxf::dxf(&all, within, options.dxf).map_err(errors::dxf_fault)?;
        out.push(OutFile { path: path("dxf"), bytes });
        out.push(OutFile { path: path("svg"), bytes: svg::svg(solid, pieces, sheet, of, &lines) });
        sheets.push(SheetFiles { files: vec![path("dxf"), path("svg")], entities });
    }
    let mut coarse = body::bodies(solid, PICTURE_FACE);
    coarse.extend(gear::gear(solid));
    let coarse = twins::both(coarse);
    out.push(OutFile { path: format!("{folder}/picture.svg"), bytes: picture::picture(solid, &coarse) });
    let mut printed = Vec::new();
    if let Some(pages) = told.pages {
        let (files, made) = print::print(print::Set { solid, pieces, pages, ledger: told.ledger }, &folder);
        out.extend(files);
        printed = made;
    }
    if options.stl {
        let whole = twins::both(body::bodies(solid, f64::INFINITY));
        out.push(OutFile { path: format!("{folder}/{folder}.stl"), bytes: stl::stl(&whole.bodies) });
    }
    let path = format!("{folder}/report.json");
    let files: Vec<String> = out.iter().map(|f| f.path.clone()).chain([path.clone()]).collect();
    out.push(OutFile { path, bytes: report::report(told, &sheets, &printed, &files) });
    Ok(out)
}

#[cfg(test)]
mod tests;
