//! The corpus: `tests/cases/bad/CODE.prop` earns exactly CODE, its near miss `tests/cases/good/CODE.prop` nothing.
//!
//! Codes that only a later phase or the command line can earn have their cases where those are tested.

use crate::memory::{self, Folder, build};
use crate::parse::cases;
use crate::support::{Checked, checked_with};
use std::path::Path;
use tasset::diag::Severity;

fn stem(path: &Path) -> String {
    path.file_stem().unwrap().to_string_lossy().into_owned()
}

/// Checks a case; its first line may be `# with --set NAME=VALUE` or `# with --wearer NAME`.
fn run(text: &str) -> Checked {
    let first = text.lines().next().unwrap_or_default();
    let set = first.strip_prefix("# with --set ").and_then(|s| s.split_once('='));
    checked_with(&[text], set.as_slice(), first.strip_prefix("# with --wearer "))
}

#[test]
fn every_near_miss_is_clean() {
    for (path, text) in cases("good") {
        let c = run(&text);
        assert_eq!(c.told(), "", "{}", path.display());
    }
}

/// The codes whose bad file the check (or the parse before it) must catch: all that have a file, less those of later
/// phases, which `pipeline` runs.
#[test]
fn every_bad_file_earns_its_code_and_no_other_error() {
    let mut seen = 0;
    let mut odd = String::new();
    for (path, text) in cases("bad") {
        let code = stem(&path);
        let c = run(&text);
        let known = tasset::diag::Code::ALL.iter().any(|k| k.name() == code);
        assert!(known, "{} is named for no code", path.display());
        if c.diagnostics.iter().all(|d| d.severity == Severity::Note && d.code.name() != code) {
            // Clean here: a later phase finds it.
            continue;
        }
        seen += 1;
        let errors = c.errors();
        let told = c.diagnostics.iter().any(|d| d.code.name() == code);
        // `more-faults` counts what is too much to show: it cannot stand alone.
        let alone = code != "more-faults";
        if !told || alone && !(errors.is_empty() || errors == [code.as_str()]) {
            odd += &format!("{}: {}", path.display(), c.all());
        }
    }
    assert_eq!(odd, "");
    assert!(seen >= 44, "only {seen} bad files were caught by the check");
}

/// Whole builds: what a later phase finds comes alone as well.
#[test]
fn every_bad_file_built_earns_its_code_and_no_other_error() {
    let mut odd = String::new();
    let mut errors = 0;
    for (path, text) in cases("bad") {
        let code = stem(&path);
        // Too many faults stand with those they are too many of; a setting or a wearer comes from the command line.
        if code == "more-faults" || text.starts_with("# with --") || text.contains("\nuse ") || text.starts_with("use ")
        {
            continue;
        }
        let built = build(Folder::of(&text));
        let found: Vec<&str> = memory::errors(&built);
        let told = built.diagnostics.iter().any(|d| d.code.name() == code);
        errors += usize::from(!found.is_empty());
        if !told || !(found.is_empty() || found == [code.as_str()]) {
            odd += &format!("{}: {found:?} {}\n", path.display(), memory::told(&built));
        }
    }
    assert_eq!(odd, "");
    assert!(errors >= 100, "only {errors} bad files end in an error");
}
