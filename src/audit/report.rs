//! Figures on their way into the verdict, with the piece and place they belong to.

use crate::geom::Vec2;
use crate::ids::PieceId;
use crate::verdict::{Breach, Check, Verdict};

/// Folded ends and the solid's, mm.
pub const CLOSURE: f64 = 0.02;
/// Folded lines and their curves in space, mm.
pub const LANDING: f64 = 0.02;
/// The same on the faces of the sheet, mm.
pub const TRANSFER: f64 = 0.05;
/// The normal along one generatrix, degrees.
pub const TWIST: f64 = 0.05;
/// Partners' lengths and notches, and declared sizes, mm.
pub const FIT: f64 = 0.05;
/// Area, as a share.
pub const AREA: f64 = 1e-5;

/// A verdict being written.
#[derive(Debug, Default)]
pub struct Report {
    pub verdict: Verdict,
    pub piece: Option<PieceId>,
}

impl Report {
    /// A figure, with the place where it was taken in words.
    pub fn figure(&mut self, check: Check, what: &str, place: String, off: f64, allowed: f64) {
        let piece = self.piece;
        self.verdict.measured(Breach { check, piece, what: what.to_string(), place, off, allowed });
    }

    /// A count that must match.
    pub fn count(&mut self, what: &str, is: usize, asked: usize) {
        let place = format!("{is} of {asked}");
        self.figure(Check::Coverage, what, place, is.abs_diff(asked) as f64, 0.0);
    }

    /// A statement that must hold.
    pub fn holds(&mut self, check: Check, what: &str, place: &str, holds: bool) {
        self.figure(check, what, place.to_string(), if holds { 0.0 } else { 1.0 }, 0.0);
    }
}

/// The worst of many figures of one kind, so that a bad line is one breach.
#[derive(Clone, Copy, Debug, Default)]
pub struct Most {
    pub off: f64,
    at: Option<Vec2>,
}

impl Most {
    /// One more figure, taken at a place of the flat.
    pub fn add(&mut self, off: f64, at: Vec2) {
        if self.at.is_none() || off > self.off || off.is_nan() {
            *self = Self { off, at: Some(at) };
        }
    }

    /// Whether anything was measured.
    pub fn any(&self) -> bool {
        self.at.is_some()
    }

    /// Enters it.
    pub fn enter(&self, report: &mut Report, check: Check, what: &str, allowed: f64) {
        if let Some(at) = self.at {
            report.figure(check, what, format!("{:.3}, {:.3} on the flat", at.x, at.y), self.off, allowed);
        }
    }
}
