//! What is said when a check fails.

use crate::diag::{Code, Diagnostic};
use crate::piece::Pieces;
use crate::verdict::{Check, Verdict};

/// The most breaches that are listed; the rest are counted.
const LISTED: usize = 12;

/// The pieces made do not stand the independent check. A fault of the program, never of the text: it lists what is
/// off, and nothing is written.
pub fn audit_failed(verdict: &Verdict, pieces: &Pieces) -> Diagnostic {
    let mut lines: Vec<String> = Vec::new();
    let mut span = None;
    for b in verdict.breaches.iter().take(LISTED) {
        let piece = b.piece.and_then(|id| pieces.pieces.iter().find(|p| p.id == id));
        if span.is_none() {
            span = piece.map(|p| p.origin);
        }
        let name = piece.map_or(String::new(), |p| format!("{}: ", p.name));
        let figure = match b.check {
            Check::Hand | Check::Coverage | Check::Placing => String::new(),
            c => format!(", off by {:.4} {u} where {:.4} {u} is allowed", b.off, b.allowed, u = c.unit()),
        };
        lines.push(format!("{name}{} of {} ({}){figure}", b.check.name(), b.what, b.place));
    }
    if verdict.breaches.len() > LISTED {
        lines.push(format!("and {} more", verdict.breaches.len() - LISTED));
    }
    let mut d = Diagnostic::error(Code::AuditFailed, "tasset's own check failed: do not cut")
        .with_help("nothing was written; please report this file, the fault is in tasset and not in your text")
        .with_note(lines.join("\n"));
    if let Some(span) = span {
        d = d.with_label(span, "the first piece that fails is made from this");
    }
    d
}
