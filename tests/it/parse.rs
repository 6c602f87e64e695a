//! Parsing: every block of the language brief and every paper example reads clean.

use proptest::prelude::*;
use std::fmt::Write as _;
use std::fs;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};
use tasset::ast::File;
use tasset::diag::{Diagnostic, Diagnostics};
use tasset::ids::FileId;
use tasset::parse::{format, parse};

pub fn read(text: &str) -> (File, Diagnostics) {
    parse(text, FileId::new(0))
}

/// A diagnostic as plain text: code, what is underlined, message, labels, help, repair, note.
pub fn told(text: &str, d: &Diagnostic) -> String {
    let at = |s: tasset::span::Span| &text[s.start as usize..s.end as usize];
    let mut out = format!("{}: {}\n", d.code.name(), d.message);
    for l in &d.labels {
        let line = text[..l.span.start as usize].matches('\n').count() + 1;
        writeln!(out, "  {line}:`{}`  {}", at(l.span), l.text).unwrap();
    }
    for (word, part) in [("help", &d.help), ("repair", &d.repair), ("note", &d.note)] {
        if let Some(part) = part {
            writeln!(out, "  {word}: {part}").unwrap();
        }
    }
    out
}

pub fn all_told(text: &str) -> String {
    read(text).1.iter().map(|d| told(text, d)).collect()
}

pub fn cases(folder: &str) -> Vec<(PathBuf, String)> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/cases").join(folder);
    let mut all: Vec<PathBuf> = fs::read_dir(root).unwrap().map(|e| e.unwrap().path()).collect();
    all.retain(|p| p.extension().is_some_and(|e| e == "prop"));
    all.sort();
    all.into_iter().map(|p| (p.clone(), fs::read_to_string(p).unwrap())).collect()
}

/// The same tree without its places: what `parse` gives, written out.
fn shape(file: &File) -> String {
    let written = format!("{:?}", file.sentences);
    let mut parts = written.split("Span {");
    let mut out = parts.next().unwrap_or("").to_owned();
    for p in parts {
        out.push_str(p.split_once('}').expect("a span closes").1);
    }
    out
}

fn comments(text: &str) -> Vec<String> {
    let (file, _) = read(text);
    file.comments.iter().map(|c| text[c.span.start as usize..c.span.end as usize].trim_end().to_owned()).collect()
}

#[test]
fn the_language_briefs_blocks_and_the_paper_files_parse_clean() {
    let all = cases("parse");
    assert!(all.len() >= 6, "{}", all.len());
    for (path, text) in all {
        assert_eq!(all_told(&text), "", "{}", path.display());
        assert!(!read(&text).0.sentences.is_empty());
    }
}

/// Every bad file that cannot be read is told one thing, the one it is named for. Files of later phases read clean.
#[test]
fn each_bad_file_is_told_the_one_thing_it_is_named_for() {
    let mut seen = 0;
    let mut all = String::new();
    for (path, text) in cases("bad") {
        let name = path.file_stem().unwrap().to_str().unwrap().to_owned();
        let codes: Vec<&str> = read(&text).1.iter().map(|d| d.code.name()).collect();
        if codes.is_empty() {
            continue;
        }
        seen += 1;
        if name == "more-faults" {
            assert_eq!((codes.len(), codes[100]), (101, "more-faults"));
            continue;
        }
        assert_eq!(codes, [name.as_str()], "{}", all_told(&text));
        writeln!(all, "==== {name}\n{}", all_told(&text)).unwrap();
    }
    assert!(seen >= 45, "{seen}");
    insta::assert_snapshot!("syntax", all);
}

#[test]
fn good_files_parse_clean() {
    for (path, text) in cases("good") {
        assert_eq!(all_told(&text), "", "{}", path.display());
    }
}

/// Files with many faults: none hides another, and none is told twice.
#[test]
fn faults_do_not_hide_each_other() {
    let mut all = String::new();
    for (path, text) in cases("several") {
        writeln!(all, "==== {}\n{}", path.file_name().unwrap().display(), all_told(&text)).unwrap();
    }
    insta::assert_snapshot!("several", all);
}

#[test]
fn formatting_keeps_the_tree_and_the_comments_and_is_done_at_once() {
    for folder in ["parse", "good", "format"] {
        for (path, text) in cases(folder) {
            check_format(&text, &path.display().to_string());
        }
    }
}

fn check_format(text: &str, name: &str) {
    let once = format(text, FileId::new(0)).unwrap_or_else(|d| panic!("{name}: {d:?}"));
    assert_eq!(all_told(&once), "", "{name}\n{once}");
    assert_eq!(shape(&read(text).0), shape(&read(&once).0), "{name}\n{once}");
    assert_eq!(comments(text), comments(&once), "{name}");
    assert_eq!(format(&once, FileId::new(0)).unwrap(), once, "{name}");
    assert!(once.lines().all(|l| l.trim_end() == l), "{name}: a blank at a line end\n{once}");
}

#[test]
fn the_examples_are_laid_out_as_they_should_be() {
    let mut seen = 0;
    for folder in fs::read_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join("examples")).unwrap() {
        for path in fs::read_dir(folder.unwrap().path()).unwrap().map(|e| e.unwrap().path()) {
            if path.extension().is_some_and(|e| e == "prop") {
                let text = fs::read_to_string(&path).unwrap();
                assert_eq!(format(&text, FileId::new(0)).unwrap(), text, "{}", path.display());
                seen += 1;
            }
        }
    }
    assert!(seen >= 5, "{seen}");
    // The brief's own files: its fragments of every kind, the flag case and its workshop.
    for (path, text) in cases("parse").iter().filter(|(p, _)| p.to_string_lossy().contains("language-")) {
        assert_eq!(format(text, FileId::new(0)).unwrap(), *text, "{}", path.display());
    }
}

#[test]
fn the_canonical_layout() {
    for (path, text) in cases("format") {
        let name = path.file_stem().unwrap().to_str().unwrap().to_owned();
        insta::assert_snapshot!(format!("format-{name}"), format(&text, FileId::new(0)).unwrap());
    }
}

#[test]
fn a_file_may_have_a_megabyte_and_no_more() {
    let line = "# a long story of the tide\n";
    let full = line.repeat((1 << 20) / line.len());
    assert_eq!(all_told(&full), "");
    let (file, faults) = read(&(full + line));
    assert_eq!(faults.iter().map(|d| d.code.name()).collect::<Vec<_>>(), ["file-too-large"]);
    assert!(file.sentences.iter().all(|s| matches!(s, tasset::ast::Sentence::Bad(_))));
}

#[test]
fn a_file_with_faults_is_not_formatted() {
    let faults = format("let wide = 2,5 mm\n", FileId::new(0)).unwrap_err();
    assert_eq!(faults.iter().map(|d| d.code.name()).collect::<Vec<_>>(), ["decimal-comma"]);
}

/// Spans lie in the text, on character boundaries.
fn check_spans(text: &str) {
    let (file, faults) = read(text);
    let fine = |start: u32, end: u32| {
        let (start, end) = (start as usize, end as usize);
        assert!(start <= end && end <= text.len(), "{start}..{end} of {}", text.len());
        assert!(text.is_char_boundary(start) && text.is_char_boundary(end), "{start}..{end}");
    };
    for d in faults.iter() {
        assert!(!d.labels.is_empty(), "{} has no place", d.code.name());
        d.labels.iter().for_each(|l| fine(l.span.start, l.span.end));
    }
    let written = format!("{file:?}");
    for part in written.split("start: ").skip(1) {
        let (start, rest) = part.split_once(", end: ").unwrap();
        let end: String = rest.chars().take_while(char::is_ascii_digit).collect();
        fine(start.parse().unwrap(), end.parse().unwrap());
    }
}

/// Pieces of text that break things when put where they do not belong.
const SHARDS: &[&str] = &[
    "{",
    "}",
    "(",
    ")",
    "[",
    "]",
    "\"",
    "#",
    ",",
    ":",
    "=",
    "==",
    "-",
    "^",
    "/",
    ".",
    "*",
    "\n",
    "\r\n",
    " ",
    "\t",
    "at ",
    "to ",
    "if ",
    "then ",
    "else ",
    "for ",
    "in ",
    "on ",
    "by ",
    "not ",
    "per ",
    "and ",
    "let ",
    "use ",
    "require ",
    "setting ",
    "1",
    "1/2",
    "3:2",
    "2,5",
    ".5",
    "5.",
    "1e3",
    "mm",
    " mm",
    "\u{201c}",
    "\u{d7}",
    "\u{2212}",
    "\u{b0}",
    "\u{bd}",
    "\u{e9}",
    "\u{1f3ad}",
    "\u{0}",
    "\u{feff}",
    "\u{202e}",
    "{ }",
    "a: 1",
    "a b { }",
    "f(",
    "f(a: ",
    "[1, ",
];

fn mutated(text: &str, changes: &[(f64, usize, usize)]) -> String {
    let mut text = text.to_owned();
    for &(place, cut, shard) in changes {
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, clippy::cast_precision_loss)]
        let mut at = (place * text.len() as f64) as usize;
        while !text.is_char_boundary(at) {
            at -= 1;
        }
        let mut end = (at + cut).min(text.len());
        while !text.is_char_boundary(end) {
            end += 1;
        }
        text.replace_range(at..end, SHARDS[shard % SHARDS.len()]);
    }
    text
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1500, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_text_gives_a_tree(text in ".{0,200}") {
        check_spans(&text);
    }

    #[test]
    fn any_bytes_give_a_tree(bytes in proptest::collection::vec(any::<u8>(), 0..300)) {
        check_spans(&String::from_utf8_lossy(&bytes));
    }

    #[test]
    fn any_shards_give_a_tree(picks in proptest::collection::vec(0..SHARDS.len(), 0..60)) {
        let text: String = picks.iter().map(|&i| SHARDS[i]).collect();
        check_spans(&text);
    }

    /// Columns made and broken at random.
    #[test]
    fn blanks_anywhere_are_laid_out_at_once(
        file in 0_usize..40,
        blanks in proptest::collection::vec(0_usize..12, 1..60),
    ) {
        let mut all = cases("parse");
        all.extend(cases("format"));
        let mut more = blanks.iter().cycle();
        let wider = |c: char| match c {
            ' ' => " ".repeat(1 + more.next().expect("it goes round").saturating_sub(8) * 2),
            c => c.to_string(),
        };
        let (path, text) = &all[file % all.len()];
        let text: String = text.chars().map(wider).collect();
        check_format(&text, &path.display().to_string());
    }

    #[test]
    fn mutated_files_give_a_tree_and_format_alike(
        file in 0_usize..6,
        changes in proptest::collection::vec((0.0..1.0, 0_usize..6, 0_usize..1000), 1..4),
    ) {
        let all = cases("parse");
        let text = mutated(&all[file % all.len()].1, &changes);
        check_spans(&text);
        if !read(&text).1.has_errors() {
            check_format(&text, &text);
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 4000, failure_persistence: None, ..ProptestConfig::default() })]

    /// Whatever pest refuses has a reason of its own; the last resort is "`x` cannot stand here".
    #[test]
    fn every_fault_of_a_value_is_explained(
        picks in proptest::collection::vec(0..SHARDS.len(), 0..14),
        file in 0_usize..6,
        changes in proptest::collection::vec((0.0..1.0, 0_usize..6, 0_usize..1000), 1..6),
    ) {
        let value: String = picks.iter().map(|&i| SHARDS[i]).collect();
        let all = cases("parse");
        for text in [format!("let a = {value}"), mutated(&all[file % all.len()].1, &changes)] {
            let unexplained: Vec<String> =
                read(&text).1.iter().filter(|d| d.message.ends_with("cannot stand here")).map(|d| told(&text, d)).collect();
            prop_assert!(unexplained.is_empty(), "{text:?} {unexplained:?}");
        }
    }
}

/// The worst that fits in a file is read in a time that grows with its length only.
#[test]
fn time_grows_with_the_length_of_anything() {
    // An eighth of the limit: time is held to grow with the length only, so the rest follows.
    const LENGTH: usize = 1 << 17;
    let all = [
        "{",
        "}",
        "(",
        ")",
        "[",
        "]",
        "-",
        "^",
        "\"",
        "#",
        "7",
        "a.a.",
        "a",
        " ",
        "\n",
        ",",
        "=",
        ":",
        "/",
        "1/2",
        "1 ",
        "\u{201c}",
        "\u{d7}",
        "\u{e9}",
        "({",
        "([)",
        "{}",
        "a{",
        "a b{",
        "a b{}\n",
        "a:",
        "a: 1\n",
        "a: b c\n",
        "if ",
        "if a {} else ",
        "a,",
        "1,5",
        "let a = (\n",
        "\"a\n",
        "a +\n",
        "(\n",
        "x: 1 to ",
        "for i in ",
        "at ",
        "\r",
        "not ",
        "a[",
        "[1,",
        "f(a:",
        "{\n",
        "a b {\n",
        "{ a: [1, 2], ",
        "# x\n",
        "5\"",
        "mm ",
        "1 mm ",
        "1:1:",
        "a b { a: (1) }, ",
    ];
    let time = |head: &str, piece: &str, length: usize| {
        let mut text = head.to_owned();
        text.extend(core::iter::repeat_n(piece, (length - head.len()) / piece.len()));
        let start = Instant::now();
        let (_, faults) = read(&text);
        let neat = format(&text, FileId::new(0));
        let taken = start.elapsed();
        assert!(faults.iter().count() <= 101);
        assert_eq!(faults.has_errors(), neat.is_err());
        taken
    };
    for piece in all {
        for head in ["", "a b { c: f("] {
            if time(head, piece, LENGTH) < Duration::from_secs(1) {
                continue;
            }
            // Slow, or a busy machine: what grows with the square takes 64 times as long for eight times the length.
            let best = |length| (0..3).map(|_| time(head, piece, length)).min().unwrap();
            let (eighth, whole) = (best(LENGTH / 8), best(LENGTH));
            assert!(whole < eighth * 24, "{head:?} {piece:?}: {eighth:?}, then {whole:?}");
            assert!(whole < Duration::from_secs(10), "{head:?} {piece:?}: {whole:?}");
        }
    }
}
