//! Files broken at random: whatever stands in a prop, it is checked and built without a panic, in bounded time.
//!
//! `TASSET_MUTATIONS` is how many, `TASSET_FIRST` the number of the first, `TASSET_TRACE` a file for the number of each as it begins,
//! `TASSET_TEXTS` a folder for their texts;
//! `tests/fuzz/mutate` takes a hundred thousand, in release and in 512 MiB.

use crate::chance::Chance;
use crate::memory::{Folder, OURS, build, check, errors, told};
use std::collections::BTreeMap;
use std::fs;
use std::io::Write as _;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::{Duration, Instant};

const FEW: usize = 2000;
/// One in so many is also built.
const BUILT: usize = 10;
/// The most an input may take: two seconds in release, and about fifteen times that at no optimisation.
const LONGEST: Duration = Duration::from_secs(if cfg!(debug_assertions) { 30 } else { 2 });

/// Every prop of the repository with the files beside it.
fn corpus() -> Vec<Folder> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut folders = vec![root.join("tests/cases"), root.join("examples"), root.join("src/schema/examples")];
    let mut all = Vec::new();
    while let Some(folder) = folders.pop() {
        let mut paths: Vec<PathBuf> = fs::read_dir(folder).unwrap().map(|e| e.unwrap().path()).collect();
        paths.sort();
        let beside: BTreeMap<String, String> = paths
            .iter()
            .filter(|p| p.ends_with("workshop.prop") || p.ends_with("crew.prop"))
            .map(|p| (p.file_name().unwrap().to_string_lossy().into_owned(), fs::read_to_string(p).unwrap()))
            .collect();
        for path in paths {
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|e| e == "prop") {
                let mut files = beside.clone();
                files.insert("prop.prop".to_owned(), fs::read_to_string(path).unwrap());
                all.push(Folder(files));
            }
        }
    }
    all
}

/// Words, numbers, texts and signs, each with the blanks behind it.
fn tokens(text: &str) -> Vec<&str> {
    let mut out = Vec::new();
    let mut start = 0;
    let mut last = ' ';
    for (i, c) in text.char_indices() {
        let word = |c: char| c.is_alphanumeric() || c == '_' || c == '.';
        if i > start && !(word(last) && word(c)) && !c.is_whitespace() {
            out.push(&text[start..i]);
            start = i;
        }
        last = c;
    }
    out.push(&text[start..]);
    out
}

const NUMBERS: [&str; 18] = [
    "0",
    "-1",
    "1e308",
    "1e-9",
    "0.000000001",
    "-0.001",
    "999999999999",
    "0.1",
    "1",
    "3",
    "10000",
    "1000000000000000",
    "-5",
    "1/2",
    "3:2",
    "0:1",
    "1 1/0",
    "99999999999999999999999999999999999999999999999999999999999999999999999999",
];
const UNITS: [&str; 16] =
    ["mm", "cm", "m", "in", "ft", "mm2", "ml", "deg", "s", "h", "kg", "g", "kg/m3", "g/m2", "%", "furlong"];

/// One change. A file of changes stays under what the command would read.
fn change(text: &str, others: &[Folder], chance: &mut Chance) -> String {
    let mut parts: Vec<String> = tokens(text).into_iter().map(str::to_owned).collect();
    let n = parts.len();
    let at = chance.below(n);
    let digit = |p: &String| p.starts_with(|c: char| c.is_ascii_digit());
    match chance.below(11) {
        0 => {
            let mut bytes = text.as_bytes().to_vec();
            if !bytes.is_empty() {
                let at = chance.below(bytes.len());
                bytes[at] ^= 1 << chance.below(8);
            }
            return String::from_utf8_lossy(&bytes).into_owned();
        }
        1 => parts.swap(at, chance.below(n)),
        2 => drop(parts.remove(at)),
        3 => {
            let again = parts[at].clone();
            parts.splice(at..at, std::iter::repeat_n(again, 1 + chance.below(8)));
        }
        4 | 5 => {
            let numbers: Vec<usize> = (0..n).filter(|i| digit(&parts[*i])).collect();
            if !numbers.is_empty() {
                parts[*chance.pick(&numbers)] = format!("{} ", chance.pick(&NUMBERS));
            }
        }
        6 => {
            let units: Vec<usize> = (0..n).filter(|i| UNITS.contains(&parts[*i].trim())).collect();
            if !units.is_empty() {
                parts[*chance.pick(&units)] = format!("{} ", chance.pick(&UNITS));
            }
        }
        7 => {
            let deep = 1 + chance.below(3000);
            let (open, close) =
                *chance.pick(&[("(", ")"), ("[", "]"), ("{", "}"), ("-", ""), ("not ", ""), ("sqrt(", ")")]);
            parts[at] = format!("{}{}{}", open.repeat(deep), parts[at], close.repeat(deep));
        }
        8 => {
            // A stretch of another file.
            let other = tokens(&others[chance.below(others.len())].0["prop.prop"])
                .into_iter()
                .map(str::to_owned)
                .collect::<Vec<_>>();
            let from = chance.below(other.len());
            let to = (from + 1 + chance.below(30)).min(other.len());
            parts.splice(at..at, other[from..to].iter().cloned());
        }
        9 => {
            let to = (at + 1 + chance.below(20)).min(n);
            drop(parts.drain(at..to));
        }
        _ => {
            let a = *chance.pick(&[
                "for i in 1 to 9999 { shell s[i] { at 0 mm to i * 1 mm: circle(across: 90 mm) } }\n",
                "let x = y let y = x\n",
                "use \"workshop.prop\"\n",
                "use \"prop.prop\"\n",
                "\u{202e}",
                "\0",
                "\u{feff}",
                "é",
                "\"",
                "#",
                "\\",
                "let f(x) = f(x)\n",
                "recipe r { r a { } }\nr b { }\n",
                ", count: 9999",
                "1 ^ 1 ^ 1000",
                "/ 0",
            ]);
            parts.insert(at, a.to_owned());
        }
    }
    parts.concat()
}

fn mutated(corpus: &[Folder], number: usize) -> Folder {
    let mut chance = Chance::new(number as u64);
    let mut folder = chance.pick(corpus).clone();
    let names: Vec<String> = folder.0.keys().cloned().collect();
    for _ in 0..1 + chance.below(4) {
        // The prop itself, or now and then a file it uses.
        let name = if chance.percent(85.0) { "prop.prop" } else { chance.pick(&names).as_str() };
        let new = change(&folder.0[name], corpus, &mut chance);
        if new.len() < tasset::parse::LONGEST_FILE {
            folder.0.insert(name.to_owned(), new);
        }
    }
    folder
}

/// What is wrong with one input, if anything.
fn fault(folder: &Folder, built: bool) -> Option<String> {
    let began = Instant::now();
    let done = catch_unwind(AssertUnwindSafe(|| {
        if built {
            let built = build(folder.clone());
            assert_eq!(built.files.is_empty(), built.diagnostics.has_errors(), "files or errors");
            tasset::diag::render::plain(&built.diagnostics, &built.sources).len()
        } else {
            let checked = check(folder.clone());
            tasset::diag::render::json(&[(checked.diagnostics, checked.sources)]).len()
        }
    }));
    let took = began.elapsed();
    match done {
        Err(_) => Some("panicked".to_owned()),
        Ok(_) if took > LONGEST => Some(format!("took {took:?}")),
        Ok(_) => None,
    }
}

#[test]
fn mutated_files_are_checked_and_built_without_a_panic_or_a_hang() {
    let count = std::env::var("TASSET_MUTATIONS").map_or(FEW, |n| n.parse().unwrap());
    let trace = std::env::var_os("TASSET_TRACE");
    let texts = std::env::var_os("TASSET_TEXTS");
    let first = std::env::var("TASSET_FIRST").map_or(0, |n| n.parse().unwrap());
    let corpus = corpus();
    assert!(corpus.len() > 250, "{} files", corpus.len());
    let next = AtomicUsize::new(first);
    let faults = Mutex::new(Vec::new());
    let slowest = Mutex::new((Duration::ZERO, 0));
    std::thread::scope(|scope| {
        for _ in 0..std::thread::available_parallelism().map_or(1, usize::from) {
            scope.spawn(|| {
                loop {
                    let number = next.fetch_add(1, Ordering::Relaxed);
                    if number >= count {
                        return;
                    }
                    if let Some(path) = &trace {
                        // Before it is run: what ends the whole process is the last line of some thread.
                        let mut file = fs::OpenOptions::new().create(true).append(true).open(path).unwrap();
                        writeln!(file, "{number}").unwrap();
                    }
                    let folder = mutated(&corpus, number);
                    if let Some(to) = &texts {
                        for (name, text) in &folder.0 {
                            fs::write(Path::new(to).join(format!("{number}-{name}")), text).unwrap();
                        }
                    }
                    let began = Instant::now();
                    if let Some(fault) = fault(&folder, number.is_multiple_of(BUILT)) {
                        faults.lock().unwrap().push((number, fault, folder));
                    }
                    let mut slowest = slowest.lock().unwrap();
                    *slowest = (*slowest).max((began.elapsed(), number));
                }
            });
        }
    });
    let faults = faults.into_inner().unwrap();
    if let Ok(folder) = std::env::var("TASSET_FAULTS") {
        for (number, _, files) in &faults {
            for (name, text) in &files.0 {
                fs::write(Path::new(&folder).join(format!("{number}-{name}")), text).unwrap();
            }
        }
    }
    println!("{count} mutated files, {} faults, slowest {:?}", faults.len(), slowest.into_inner().unwrap());
    let list: Vec<String> = faults.iter().map(|(n, fault, _)| format!("{n}: {fault}")).collect();
    assert!(list.is_empty(), "{}", list.join("\n"));
}

/// Files that once broke something, each the smallest that did: none is refused by the program's own check now.
#[test]
fn files_that_broke_something_are_mended() {
    let cases = crate::parse::cases("fixed");
    assert!(!cases.is_empty());
    for (path, text) in cases {
        assert_eq!(fault(&Folder::of(&text), true), None, "{}", path.display());
        let built = build(Folder::of(&text));
        let own = errors(&built).into_iter().find(|c| OURS.contains(c));
        assert_eq!(own, None, "{}\n{}", path.display(), told(&built));
    }
}
