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

mod aside;
pub mod body;
mod carried;
pub mod dxf;
mod dxf_repair;
mod errors;
pub mod filename;
mod folded;
pub mod gear;
pub mod key;
mod leaf;
pub mod lines;
mod marks;
pub mod number;
pub mod picture;
pub mod print;
pub mod report;
pub mod shopping;
pub mod sliding;
pub mod stl;
pub mod style;
pub mod svg;
mod tabs;
pub mod twins;
pub mod view;
pub mod write;

use crate::diag::Diagnostic;
use crate::geom::Vec2;
use crate::ledger::Ledger;
use crate::page::Pages;
use crate::piece::Pieces;
use crate::sheet::{Layout, Sheet};
use crate::solid::{Job, Solid};
use crate::threads;
use dxf::Version;
use lines::Line;
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

/// What files are made from; what came of checking them is in the report alone.
#[derive(Clone, Copy, Debug)]
pub struct Made<'a> {
    pub solid: &'a Solid,
    pub pieces: &'a Pieces,
    pub layout: &'a Layout,
    pub pages: Option<&'a Pages>,
    pub ledger: &'a Ledger,
}

/// Every file but the report, and what the report says of them.
#[derive(Debug)]
pub struct Files {
    out: Vec<OutFile>,
    sheets: Vec<SheetFiles>,
    printed: Vec<print::PageFile>,
}

/// Every file but the report. The same forms give the same bytes.
///
/// # Errors
/// When a coordinate is no number, or the drawing crate cannot work in the local time zone; nothing is to be written
/// then.
#[allow(clippy::result_large_err, reason = "a fault ends the build; it is made once")]
pub fn files(made: Made<'_>, options: Options) -> Result<Files, Diagnostic> {
    let Made { solid, pieces, layout, pages, ledger } = made;
    // Nothing is drawn of what is no number.
    let lines: Vec<Vec<Line>> = layout.sheets.iter().map(|s| lines::lines(s, pieces)).collect();
    if let Some(line) = lines.iter().flatten().find(|l| !l.form.is_finite()) {
        return Err(errors::not_a_number(line.piece.map(|id| &pieces.pieces[id.index()])));
    }
    let sheets: Vec<(&Sheet, Vec<Line>)> = layout.sheets.iter().zip(lines).collect();
    let folder = folder(&solid.job);
    let print = || pages.map(|pages| print::print(print::Set { solid, pieces, pages, ledger }, &folder));
    let (printed, (cut, picture)) = threads::both(print, || {
        let picture = || {
            let mut coarse = body::bodies(solid, PICTURE_FACE);
            coarse.extend(gear::gear(solid));
            picture::picture(solid, &twins::both(coarse))
        };
        let cut = || threads::each(&sheets, |(sheet, lines)| cut(made, sheet, lines, options.dxf, &folder));
        let (picture, cut) = threads::both(picture, cut);
        (cut, picture)
    });
    let mut out: Vec<OutFile> = Vec::new();
    let mut said = Vec::with_capacity(sheets.len());
    for sheet in cut {
        let (files, of_sheet) = sheet?;
        out.extend(files);
        said.push(of_sheet);
    }
    out.push(OutFile { path: format!("{folder}/picture.svg"), bytes: picture });
    let (files, printed) = printed.unwrap_or_default();
    out.extend(files);
    if options.stl {
        let whole = twins::both(body::bodies(solid, f64::INFINITY));
        out.push(OutFile { path: format!("{folder}/{folder}.stl"), bytes: stl::stl(&whole.bodies) });
    }
    Ok(Files { out, sheets: said, printed })
}

/// The cut files of one sheet, and what the report says of them.
#[allow(clippy::result_large_err, reason = "a fault ends the build; it is made once")]
fn cut(
    made: Made<'_>,
    sheet: &Sheet,
    lines: &[Line],
    version: Version,
    folder: &str,
) -> Result<([OutFile; 2], SheetFiles), Diagnostic> {
    let Made { solid, pieces, layout, .. } = made;
    let stem = filename::file_name(&solid.stocks[sheet.stock].name, sheet.stock);
    let path = |ending: &str| format!("{folder}/cut/{stem}-{}.{ending}", sheet.number);
    let of = layout.sheets.iter().filter(|s| s.stock == sheet.stock).count();
    let title = svg::title(solid, sheet, of);
    let (lettered, top) = lines::title(&title, sheet.size);
    let all: Vec<Line> = lines.iter().cloned().chain(lettered).collect();
    let within = Vec2::new(sheet.size.x, top);
    let (bytes, entities) = dxf::dxf(&all, within, version).map_err(errors::dxf_fault)?;
    let files = [
        OutFile { path: path("dxf"), bytes },
        OutFile { path: path("svg"), bytes: svg::svg(solid, pieces, sheet, of, lines) },
    ];
    Ok((files, SheetFiles { files: vec![path("dxf"), path("svg")], entities }))
}

impl Files {
    /// All files, the report last.
    #[must_use]
    pub fn with_report(self, told: &Told<'_>) -> Vec<OutFile> {
        let Self { mut out, sheets, printed } = self;
        let path = format!("{}/report.json", folder(&told.solid.job));
        let files: Vec<String> = out.iter().map(|f| f.path.clone()).chain([path.clone()]).collect();
        out.push(OutFile { path, bytes: report::report(told, &sheets, &printed, &files) });
        out
    }
}

/// Every file of a build. The same forms give the same bytes.
///
/// # Errors
/// As [`files`] has them.
#[allow(clippy::result_large_err, reason = "a fault ends the build; it is made once")]
pub fn emit(told: &Told<'_>, options: Options) -> Result<Vec<OutFile>, Diagnostic> {
    let Told { solid, pieces, layout, pages, ledger, .. } = *told;
    Ok(files(Made { solid, pieces, layout, pages, ledger }, options)?.with_report(told))
}

#[cfg(test)]
mod tests;
