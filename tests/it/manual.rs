//! The manual's examples, each built in memory from text to files.

use std::collections::BTreeMap;

use crate::memory::{Folder, build, build_for, told};
use tasset::diag::{Diagnostic, Severity};
use tasset::pipeline::Built;
use tasset::schema;

/// A text of the manual in a folder with the files it may use.
fn folder(text: &str) -> Folder {
    let files = schema::EXAMPLE_FILES.iter().map(|&(name, text)| (name.to_owned(), text.to_owned()));
    let mut all: BTreeMap<String, String> = files.collect();
    all.insert("prop.prop".to_owned(), text.to_owned());
    Folder(all)
}

/// That a text comes out as cut files for each of its wearers, and that nothing is said but what is not built, or not
/// answered, yet.
fn comes_out(name: &str, text: &str) -> Built {
    let mut built = build(folder(text));
    for wearer in built.wearers.clone().into_iter().skip(1) {
        files(name, &built);
        built = build_for(folder(text), &wearer);
    }
    files(name, &built);
    built
}

fn files(name: &str, built: &Built) {
    let open = |d: &Diagnostic| matches!(d.code.name(), "not-built-yet" | "not-answered-yet");
    let only = |d: &Diagnostic| open(d) && d.severity == Severity::Note;
    assert!(built.diagnostics.iter().all(only), "{name}\n{}", told(built));
    let paths: Vec<&str> = built.files.iter().map(|f| f.path.as_str()).collect();
    for end in [".dxf", ".svg", "picture.svg", "report.json"] {
        assert!(paths.iter().any(|p| p.ends_with(end)), "{name}: no {end} among {paths:?}");
    }
    assert!(built.files.iter().all(|f| !f.bytes.is_empty()), "{name}: an empty file");
}

#[test]
fn every_example_of_the_manual_is_built() {
    let kinds = schema::kinds().iter().map(|k| (k.word, k.example));
    let sentences = schema::SENTENCES.iter().map(|s| (s.word, s.example));
    for (word, text) in kinds.chain(sentences) {
        let built = comes_out(word, text);
        // A kind without a lowering is named as such, one with a lowering never.
        let left_out = built.diagnostics.iter().any(|d| d.message.contains(&format!("({word})")));
        let unbuilt = schema::kind(word).is_some_and(|k| k.built == schema::Built::NotYet);
        assert_eq!(left_out, unbuilt, "{word}\n{}", told(&built));
    }
}

/// The manual holds no code but those examples, the files they use, the shelf and one prop to open with.
#[test]
fn the_other_code_of_the_manual_is_built() {
    let manual = schema::reference::markdown();
    let kinds = schema::kinds().iter().map(|k| k.example);
    let sentences = schema::SENTENCES.iter().map(|s| s.example);
    let files = schema::EXAMPLE_FILES.iter().map(|f| f.1).chain([tasset::stock::SHELF]);
    let known: Vec<&str> = kinds.chain(sentences).chain(files).collect();
    let blocks = manual.split("```\n").skip(1).step_by(2);
    let others: Vec<&str> = blocks.filter(|b| !known.iter().any(|k| k.trim() == b.trim())).collect();
    assert_eq!(others.len(), 1, "{others:#?}");
    for text in others {
        assert_eq!(comes_out("the opening", text).diagnostics.iter().count(), 0);
    }
}
