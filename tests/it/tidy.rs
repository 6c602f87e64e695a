//! The tree itself: layers, sizes, names, and what the documents promise.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

use tasset::diag::Code;

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// Every `.rs` file below a folder.
fn rust_files(below: &str) -> Vec<PathBuf> {
    let mut found = Vec::new();
    let mut waiting = vec![root().join(below)];
    while let Some(folder) = waiting.pop() {
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                // What the fuzz targets are built into is no source.
                if !path.ends_with("target") {
                    waiting.push(path);
                }
            } else if path.extension().is_some_and(|e| e == "rs") {
                found.push(path);
            }
        }
    }
    found.sort();
    found
}

/// The rank of every top-level module; a module imports strictly lower ranks (the table in DEVELOPERS.md).
fn ranks() -> BTreeMap<&'static str, u8> {
    let table: [(u8, &[&str]); 10] = [
        (0, &["ids", "num", "threads"]),
        (1, &["units", "span"]),
        (2, &["diag"]),
        (3, &["geom"]),
        (4, &["stock"]),
        (5, &["ast", "design", "fitted", "solid", "flat", "piece", "sheet", "page", "verdict", "ledger"]),
        (6, &["eval", "skin"]),
        (7, &["schema"]),
        (
            8,
            &["parse", "check", "mockup", "shape", "develop", "finish", "arrange", "paginate", "plan", "audit", "emit"],
        ),
        (9, &["pipeline", "lib"]),
    ];
    table.iter().flat_map(|(rank, names)| names.iter().map(|n| (*n, *rank))).collect()
}

/// The forms may speak of each other: they are one rank of plain data, and `solid` comes before `flat`.
fn allowed_between_forms(from: &str, to: &str) -> bool {
    let order = ["ast", "design", "fitted", "solid", "flat", "piece", "sheet", "page", "verdict", "ledger"];
    let place = |n: &str| order.iter().position(|o| *o == n);
    matches!((place(from), place(to)), (Some(a), Some(b)) if b < a)
}

#[test]
fn modules_import_strictly_lower_ranks() {
    let ranks = ranks();
    let mut faults = Vec::new();
    for file in rust_files("src") {
        let inner = file.strip_prefix(root().join("src")).unwrap();
        let module =
            inner.components().next().unwrap().as_os_str().to_string_lossy().trim_end_matches(".rs").to_owned();
        if module == "main" || module == "cli" || module == "samples" {
            continue;
        }
        let rank = *ranks.get(module.as_str()).unwrap_or_else(|| panic!("{module} has no rank"));
        let text = fs::read_to_string(&file).unwrap();
        // Tests of a module may use what they like.
        let text = text.split("#[cfg(test)]\nmod tests {").next().unwrap();
        if inner.file_name().unwrap() == "tests.rs" || inner.iter().any(|p| p == "tests") {
            continue;
        }
        for line in text.lines().filter(|l| !l.trim_start().starts_with("//")) {
            for (at, _) in line.match_indices("crate::") {
                let rest = &line[at + 7..];
                let names: Vec<String> = if let Some(list) = rest.strip_prefix('{') {
                    list.split(',')
                        .map(|n| n.trim_matches(|c: char| !c.is_alphanumeric() && c != '_' && c != ':').to_owned())
                        .collect()
                } else {
                    vec![rest.to_owned()]
                };
                for name in names {
                    let name: String = name.chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect();
                    let Some(&other) = ranks.get(name.as_str()) else { continue };
                    if name != module && other >= rank && !allowed_between_forms(&module, &name) {
                        faults.push(format!("{}: rank {rank} imports {name} of rank {other}", inner.display()));
                    }
                }
            }
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

/// What the audit may take from the kernel and from the library's floor: forms of points, paths, rules, sections and lines
/// on a wall, tolerances, the alphabet, arithmetic. Nothing that unrolls, walks, cuts, fits or integrates a wall: it has its own.
const AUDIT_TAKES: &[&str] = &[
    "geom::Vec2",
    "geom::Vec3",
    "geom::course::End",
    "geom::course::Leg",
    "geom::left_of",
    "geom::unit",
    "geom::tol",
    "geom::figure::Figure",
    "geom::figure::Form",
    "geom::figure::Part",
    "geom::path::Motion",
    "geom::path::Path",
    "geom::path::Seg",
    "geom::section::Curve",
    "geom::section::Section",
    "geom::section::Support",
    "geom::strip::Rule",
    "geom::strip::Strip",
    "geom::lettering::drawable",
];

/// The paths below `crate::` that a line names; of a list each.
fn named(line: &str) -> Vec<String> {
    let word = |c: char| c.is_alphanumeric() || c == '_' || c == ':';
    let mut out = Vec::new();
    for (at, _) in line.match_indices("crate::") {
        let rest = &line[at + 7..];
        let head: String = rest.chars().take_while(|c| word(*c)).collect();
        match rest[head.len()..].strip_prefix('{').and_then(|list| list.split('}').next()) {
            Some(list) => out.extend(list.split(',').map(|name| format!("{head}{}", name.trim()))),
            None => out.push(head.trim_end_matches(':').to_owned()),
        }
    }
    out
}

#[test]
fn the_audit_takes_nothing_from_what_it_judges() {
    let mut faults = Vec::new();
    for file in rust_files("src/audit") {
        if file.ends_with("audit/tests.rs") || file.iter().any(|p| p == "tests") {
            continue;
        }
        let text = fs::read_to_string(&file).unwrap();
        let text = text.split("#[cfg(test)]\nmod tests {").next().unwrap();
        for line in text.lines().filter(|l| !l.trim_start().starts_with("//")) {
            for name in named(line) {
                let takes = |t: &&str| name == **t || name.starts_with(&format!("{t}::"));
                let kernel = name.starts_with("geom") && !AUDIT_TAKES.iter().any(takes);
                let phase = ["shape", "develop", "finish", "arrange", "paginate", "plan", "emit", "skin", "eval"]
                    .iter()
                    .any(|p| name == *p || name.starts_with(&format!("{p}::")));
                if kernel || phase {
                    faults.push(format!("{} takes {name}", file.display()));
                }
            }
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn a_list_of_imports_is_read_whole() {
    assert_eq!(named("use crate::geom::{Vec2, Vec3};"), ["geom::Vec2", "geom::Vec3"]);
    assert_eq!(named("let a = crate::geom::rim::Rim::new(x);"), ["geom::rim::Rim::new"]);
    assert_eq!(named("use crate::{geom, num};"), ["geom", "num"]);
}

#[test]
fn only_the_drawing_of_diagnostics_names_miette() {
    for file in rust_files("src") {
        let text = fs::read_to_string(&file).unwrap();
        let names = text.lines().any(|l| l.contains("miette::") && !l.trim_start().starts_with("//"));
        assert!(!names || file.ends_with("diag/render/drawn.rs"), "{} names miette", file.display());
    }
}

#[test]
fn files_are_one_thing_each() {
    let long: Vec<String> = rust_files("src")
        .into_iter()
        .chain(rust_files("tests"))
        .filter_map(|f| {
            let lines = fs::read_to_string(&f).unwrap().lines().count();
            (lines > 600).then(|| format!("{}: {lines}", f.display()))
        })
        .collect();
    assert!(long.is_empty(), "over 600 lines:\n{}", long.join("\n"));
}

#[test]
fn every_module_says_what_it_is() {
    for file in rust_files("src") {
        let text = fs::read_to_string(&file).unwrap();
        assert!(text.starts_with("//!"), "{} opens without `//!`", file.display());
    }
}

#[test]
fn every_code_has_a_bad_file_and_a_near_miss() {
    // Faults of the file system and of the machine cannot stand in a file of the corpus; `tests/it/cli_files.rs` makes them.
    let elsewhere = BTreeSet::from([
        "audit-failed",
        "no-such-file",
        "outside-folder",
        "not-a-file",
        "file-too-large",
        "not-text",
        "too-many-files",
        "not-one-value",
        // No prop can cause it: made in `src/emit/tests.rs`.
        "cannot-draw",
    ]);
    let mut names = BTreeSet::new();
    let mut missing = Vec::new();
    for code in Code::ALL {
        assert!(names.insert(code.name()), "{} stands twice", code.name());
        assert!(code.explanation().len() > 40, "{} explains nothing", code.name());
        assert!(code.name().chars().all(|c| c.is_ascii_lowercase() || c == '-'), "{} is no kebab", code.name());
        if elsewhere.contains(code.name()) {
            continue;
        }
        for folder in ["bad", "good"] {
            let file = root().join("tests/cases").join(folder).join(format!("{}.prop", code.name()));
            if !file.exists() {
                missing.push(format!("tests/cases/{folder}/{}.prop", code.name()));
            }
        }
    }
    assert!(missing.is_empty(), "missing:\n{}", missing.join("\n"));
    let mut tests = String::new();
    for file in rust_files("src").into_iter().chain(rust_files("tests")) {
        let name = file.to_string_lossy().into_owned();
        if name.contains("tests") && !name.ends_with("tidy.rs") && !name.ends_with("random.rs") {
            tests.push_str(&fs::read_to_string(&file).unwrap());
        }
    }
    for code in elsewhere {
        let named = [format!("\"{code}\""), format!("error {code}: ")].iter().any(|n| tests.contains(n));
        assert!(named, "no test makes `{code}`");
    }
}

#[test]
fn every_path_the_guide_names_exists() {
    for document in ["DEVELOPERS.md", "README.md"] {
        let text = fs::read_to_string(root().join(document)).unwrap();
        for word in text.split(|c: char| !(c.is_alphanumeric() || "/._-".contains(c))) {
            let word = word.trim_end_matches(['.', '/']);
            if ["src/", "tests/", "grammar/", "examples/", ".ci/"].iter().any(|p| word.starts_with(p))
                && !word.contains("NAME")
                && !word.contains("CODE")
            {
                assert!(root().join(word).exists(), "{document} names {word}");
            }
        }
    }
}

#[test]
fn every_promise_names_a_test_or_command_that_exists() {
    let promises = fs::read_to_string(root().join("tests/promises.md")).unwrap();
    let mut tests = String::new();
    for file in rust_files("src").into_iter().chain(rust_files("tests")) {
        tests.push_str(&fs::read_to_string(file).unwrap());
    }
    for folder in ["tests/oracle", "tests/benches", "tests/fuzz"] {
        for entry in fs::read_dir(root().join(folder)).unwrap() {
            let path = entry.unwrap().path();
            if path.is_file() {
                tests.push_str(&fs::read_to_string(path).unwrap_or_default());
            }
        }
    }
    for line in promises.lines().filter(|l| l.starts_with("| ") && !l.starts_with("| promise")) {
        let held = line.split('|').nth(2).unwrap_or_default();
        let named: Vec<&str> = held.split('`').skip(1).step_by(2).collect();
        assert!(!named.is_empty(), "nothing holds: {line}");
        for name in named {
            let last = name.rsplit("::").next().unwrap();
            let known = tests.contains(&format!("fn {last}("))
                || tests.contains(&format!("def {last}("))
                || root().join(name.split(' ').next_back().unwrap()).exists();
            assert!(known, "`{name}` is neither a test nor a file: {line}");
        }
    }
}

/// A case that a property test finds is kept as a test of its own, not beside the sources.
#[test]
fn nothing_but_what_belongs_there_stands_at_the_top() {
    let out = std::process::Command::new("git").args(["ls-files"]).current_dir(env!("CARGO_MANIFEST_DIR")).output();
    // A copy without its history has nothing to look at.
    let Ok(out) = out else { return };
    let listed = String::from_utf8_lossy(&out.stdout).into_owned();
    let tops: std::collections::BTreeSet<&str> = listed.lines().filter_map(|l| l.split('/').next()).collect();
    let known =
        ["Cargo.toml", "Cargo.lock", "README.md", "DEVELOPERS.md", "LICENSE", "grammar", "src", "examples", "tests"];
    let odd: Vec<&&str> = tops.iter().filter(|t| !t.starts_with('.') && !known.contains(*t)).collect();
    assert!(odd.is_empty(), "{odd:?}");
}
