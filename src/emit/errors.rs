//! What can keep files from being made: never the prop, always a fault of ours or of the surroundings.

use super::dxf::DxfFault;
use crate::diag::{Code, Diagnostic};
use crate::piece::Piece;

/// A coordinate that is no number reached the files: a fault of the compiler, caught before it costs material.
pub(super) fn not_a_number(piece: Option<&Piece>) -> Diagnostic {
    let name = piece.map_or("the sheet", |p| p.name.as_str());
    let fault = Diagnostic::error(Code::CannotDraw, format!("a line of `{name}` has a coordinate that is no number"));
    let fault = match piece {
        Some(p) => fault.with_label(p.origin, "this part makes the piece"),
        None => fault,
    };
    fault
        .with_help("change a size of the part a little and build again, and report this")
        .with_note("a fault of the compiler, not of the prop; no file was written")
}

/// The drawing could not be written.
pub(super) fn dxf_fault(fault: DxfFault) -> Diagnostic {
    match fault {
        DxfFault::Zone => Diagnostic::error(Code::CannotDraw, "no DXF can be written in the local time zone")
            .with_help("set the environment variable TZ to UTC and build again")
            .with_note(
                "the drawing library reckons its dates from midnight of 1 January 1900, which is no single moment here",
            ),
        DxfFault::Writer(why) => Diagnostic::error(Code::CannotDraw, format!("the DXF could not be written: {why}"))
            .with_help("report this with the prop file")
            .with_note("a fault of the compiler, not of the prop; no file was written"),
    }
}
