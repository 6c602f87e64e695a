//! The catalogue of forms: each is built to files, audited, and says nothing but the warnings its comment names.

use crate::memory::{Folder, build, told};
use std::fs;
use tasset::diag::Severity;

/// What stands after `Expected:` in a comment of the file.
fn expected(text: &str) -> Vec<&str> {
    let lines = text.lines().filter_map(|l| l.strip_prefix("# Expected: "));
    lines.flat_map(|l| l.split(", ")).collect()
}

#[test]
fn every_form_is_built_whole_and_says_only_what_it_should() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/examples/forms");
    let mut paths: Vec<_> = fs::read_dir(folder).unwrap().map(|e| e.unwrap().path()).collect();
    paths.retain(|p| p.extension().is_some_and(|e| e == "prop"));
    paths.sort();
    assert!(paths.len() >= 12, "{} forms", paths.len());
    for path in paths {
        let text = fs::read_to_string(&path).unwrap();
        let built = build(Folder::of(&text));
        let name = path.display();
        let mut said: Vec<&str> = built.diagnostics.iter().map(|d| d.code.name()).collect();
        said.sort_unstable();
        said.dedup();
        assert_eq!(said, expected(&text), "{name}\n{}", told(&built));
        assert!(built.diagnostics.iter().all(|d| d.severity == Severity::Warning), "{name}\n{}", told(&built));
        for end in [".dxf", "picture.svg", "report.json"] {
            assert!(built.files.iter().any(|f| f.path.ends_with(end)), "{name}: no {end}");
        }
    }
}
