//! The corpus: `tests/cases/bad/CODE.prop` earns exactly CODE, its near miss `tests/cases/good/CODE.prop` nothing.
//!
//! Codes that only a later phase or the command line can earn have their cases where those are tested.

use crate::parse::cases;
use crate::support::checked;
use std::path::Path;
use tasset::diag::Severity;

fn stem(path: &Path) -> String {
    path.file_stem().unwrap().to_string_lossy().into_owned()
}

#[test]
fn every_near_miss_is_clean() {
    for (path, text) in cases("good") {
        let c = checked(&text);
        assert_eq!(c.told(), "", "{}", path.display());
    }
}

/// The codes whose bad file the check (or the parse before it) must catch: all that have a file, less those of later
/// phases, which `pipeline` runs.
#[test]
fn every_bad_file_earns_its_code_and_no_other_error() {
    let mut seen = 0;
    for (path, text) in cases("bad") {
        let code = stem(&path);
        let c = checked(&text);
        let known = tasset::diag::Code::ALL.iter().any(|k| k.name() == code);
        assert!(known, "{} is named for no code", path.display());
        if c.diagnostics.iter().all(|d| d.severity == Severity::Note && d.code.name() != code) {
            // Clean here: a later phase finds it.
            continue;
        }
        seen += 1;
        assert!(c.diagnostics.iter().any(|d| d.code.name() == code), "{}: {}", path.display(), c.all());
        let errors = c.errors();
        assert!(errors.is_empty() || errors == [code.as_str()], "{}: {}", path.display(), c.told());
    }
    assert!(seen >= 44, "only {seen} bad files were caught by the check");
}
