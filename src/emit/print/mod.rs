//! The print set as bytes: pages of words first (what to do, which line is what, how pages join, which edge meets
//! which), then the pages of pieces at full size, as one PDF and as an SVG each. Where pieces lie is settled (`page`);
//! here words are set and lines drawn.
//!
//! All lettering is strokes, 3 mm tall or more. Nothing is drawn outside what the printer reaches.

mod cautions;
mod flow;
mod head;
mod ink;
mod map;
mod pdf;
pub mod report;
mod sheet;
mod svg;
mod words;

use crate::emit::OutFile;
use crate::emit::style::ALL;
use crate::ledger::Ledger;
use crate::page::Pages;
use crate::piece::Pieces;
use crate::solid::Solid;
use ink::{Leaf, Pen};

/// What the pages are made from.
#[derive(Clone, Copy, Debug)]
pub(super) struct Set<'a> {
    pub solid: &'a Solid,
    pub pieces: &'a Pieces,
    pub pages: &'a Pages,
    pub ledger: &'a Ledger,
}

/// A page that was written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PageFile {
    /// From 1, as printed on it.
    pub number: usize,
    pub file: String,
    /// The index in `Pages::pages`; `None` for a page of words.
    pub page: Option<usize>,
}

/// The files of the print set below `folder`: every page, then all of them in one.
pub(super) fn print(set: Set<'_>, folder: &str) -> (Vec<OutFile>, Vec<PageFile>) {
    let words = words::pages(set);
    let before = words.len();
    let mut leaves = words;
    leaves.extend((0..set.pages.pages.len()).map(|k| sheet::page(set, k, before)));
    let digits = leaves.len().to_string().len();
    let mut out = Vec::with_capacity(leaves.len() + 1);
    let mut files = Vec::with_capacity(leaves.len());
    for (k, leaf) in leaves.iter().enumerate() {
        let number = k + 1;
        let file = format!("{folder}/print/page-{number:0digits$}.svg");
        out.push(OutFile { path: file.clone(), bytes: svg::svg(leaf) });
        files.push(PageFile { number, file, page: k.checked_sub(before) });
    }
    out.push(OutFile { path: format!("{folder}/print/pages.pdf"), bytes: pdf::pdf(&set.solid.job.title, &leaves) });
    (out, files)
}

/// Pens in the order of drawing: what is cut lies over other lines of a piece, words over all.
fn layer_order(pen: Pen) -> usize {
    match pen {
        Pen::Here => 0,
        Pen::Small => 1,
        Pen::Map => 2,
        Pen::Trim => 3,
        Pen::Of(operation) => 4 + ALL.iter().rev().position(|o| *o == operation).unwrap_or(0),
        Pen::Join => 20,
        Pen::Target => 21,
        Pen::Measure => 22,
        Pen::Words => 23,
        Pen::Bold => 24,
    }
}

/// An empty page.
fn leaf(frame: &crate::page::Frame, title: String) -> Leaf {
    Leaf { size: frame.size(), printed: frame.printed(), title, inks: Vec::new() }
}
