//! Random shells: each is built and passes the audit, or is refused with a code that its maker can act on.
//!
//! `TASSET_SHELLS` is how many, `TASSET_FIRST_SHELL` the number of the first; `TASSET_REFUSALS` names a file that takes
//! the text and the messages of every refusal, to be read.
//!
//! Refusals that were read by hand: all 58 of the numbers up to 392. Where one offers a repair, it was applied and the text
//! checked again.
//!
//! | code | numbers | verdict |
//! |---|---|---|
//! | `hole-crosses-edge` | 16 81 126 160 186 214 242 273 340 376 | true; moved as said, each is clean |
//! | `gap-too-wide` | 22 69 203 270 313 | true: one width at a point; `gap: 25 %` is clean |
//! | `tabs-too-wide` | 10 296 298 | true; the width that is named is clean (1 mm of tab, 296, holds little) |
//! | `side-too-short` | 19 48 259 262 316 348 375 | true; the other face and the sheet that are offered do |
//! | `side-too-short` | 211 | true; its wall runs to a point, so no face is tried first; on the outside its gap there is refused |
//! | `side-too-short` | 21 | true; the face that was offered was refused too: now the one that does is |
//! | `side-too-short` | 25 64 75 285 303 344 | true; no face does, and one was offered: now the thickest sheet is named |
//! | `side-too-short` | 219 | true of an overlay cap's disc; its help spoke of sides of a circle: now it says `fit: inset`, clean |
//! | `side-too-short` | 321 392 | true; a taller wall, as said, is clean |
//! | `no-room-inside` | 171 190 206 312 346 | said that nothing is left: now that no edge is flush, and `fit: inset` |
//! | `corner-too-tight` | 26 87 170 255 268 277 381 382 | true: the wall's slope changes quickly; taller, as said, is clean |
//! | `corner-too-tight` | 1 355 | true; it asked an oval for a radius: now for a size or likeness of its widths |
//! | `corner-too-tight` | 15 322 | true; it asked for a radius that the section has: now it speaks of the slope |
//! | `piece-too-large` | 122 123 256 | true: half of each is larger than its sheet |
//! | `seam-too-wide` | 389 | true; edge to edge and with a lap, as said, it is clean |
//! | `wall-too-short` | 78 | true; a length above the one that is named reaches, and the next station asks for its own |

mod clad;
mod ends;
mod faces;
mod figures;
pub mod forms;
mod leaning;
mod leaves;
pub mod maker;
mod nests;
mod profiles;
mod sections;
mod spines;
mod words;

use crate::memory::{Folder, OURS, build, errors, told};
use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::ops::Range;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::mpsc;
use std::time::Duration;
use tasset::diag::Severity;

/// As many in the normal run as take a minute at no optimisation.
const FEW: usize = 108;

/// A build that takes longer is a fault, whatever comes of it: the longest takes a second or two, but a machine may have
/// much else to do beside unoptimised tests.
const LONGEST: Duration = Duration::from_secs(if cfg!(debug_assertions) { 120 } else { 10 });

/// How a prop ended.
#[derive(Debug)]
pub enum End {
    Built,
    Refused { codes: Vec<&'static str>, told: String },
    Fault(String),
}

/// Builds a text, and judges whether what is wrong with it is ours or its maker's.
pub fn judge(text: &str) -> End {
    let folder = Folder::of(text);
    let (done, over) = mpsc::channel();
    std::thread::spawn(move || {
        // Whoever waited too long hears no more of it.
        let _ = done.send(catch_unwind(AssertUnwindSafe(|| build(folder))));
    });
    let Ok(built) = over.recv_timeout(LONGEST) else { return End::Fault(format!("takes more than {LONGEST:?}")) };
    let Ok(built) = built else { return End::Fault("panicked".to_owned()) };
    let mut codes = errors(&built);
    codes.dedup();
    let mut told = told(&built);
    // What goes no further with something that the text asks for is a refusal too.
    codes.extend(built.diagnostics.iter().map(|d| d.code.name()).filter(|c| *c == "not-built-yet"));
    let written = !built.files.is_empty();
    let mute =
        built.diagnostics.iter().find(|d| d.severity == Severity::Error && d.help.is_none() && d.repair.is_none());
    if codes.iter().any(|c| OURS.contains(c)) || built.diagnostics.has_errors() == written {
        End::Fault(told)
    } else if let Some(mute) = mute {
        write!(told, "says nothing of what to do: {}", mute.message).unwrap();
        End::Fault(told)
    } else if codes.is_empty() {
        End::Built
    } else {
        End::Refused { codes, told }
    }
}

/// What is made of each number, in order, over as many threads as there are cores.
pub fn over_cores<T: Send>(numbers: Range<usize>, make: impl Fn(usize) -> T + Sync) -> BTreeMap<usize, T> {
    let threads = std::thread::available_parallelism().map_or(1, usize::from);
    std::thread::scope(|scope| {
        let hands: Vec<_> = (0..threads)
            .map(|t| {
                let (make, numbers) = (&make, numbers.clone());
                scope.spawn(move || numbers.skip(t).step_by(threads).map(|n| (n, make(n))).collect::<Vec<_>>())
            })
            .collect();
        hands.into_iter().flat_map(|h| h.join().unwrap()).collect()
    })
}

fn end(number: usize) -> (String, End) {
    let text = maker::prop(number);
    let end = judge(&text);
    (text, end)
}

#[test]
fn random_shells_are_built_and_audited_or_refused_with_a_code() {
    let count = std::env::var("TASSET_SHELLS").map_or(FEW, |n| n.parse().unwrap());
    let first = std::env::var("TASSET_FIRST_SHELL").map_or(0, |n| n.parse().unwrap());
    let mut by_code: BTreeMap<&str, usize> = BTreeMap::new();
    let (mut refused, mut own, mut faults, mut refusals) = (0, 0, String::new(), String::new());
    for (number, (text, end)) in over_cores(first..first + count, end) {
        match end {
            End::Built => {}
            End::Refused { codes, told } => {
                refused += 1;
                for code in codes {
                    *by_code.entry(code).or_default() += 1;
                }
                writeln!(refusals, "# {number}\n{text}\n{told}\n").unwrap();
            }
            End::Fault(told) => {
                own += 1;
                writeln!(faults, "# {number}\n{text}\n{told}\n").unwrap();
            }
        }
    }
    let share = 100.0 * refused as f64 / count as f64;
    println!("{count} random shells: {refused} refused ({share:.1} %) {by_code:?}");
    if let Ok(path) = std::env::var("TASSET_REFUSALS") {
        std::fs::write(path, &refusals).unwrap();
    }
    if let Ok(path) = std::env::var("TASSET_FAULTS") {
        std::fs::write(path, &faults).unwrap();
    }
    println!("{own} end in a fault of the program's own");
    assert!(!faults.contains("\npanicked\n"), "{faults}");
    assert!(own == 0, "{own} faults of the program's own:\n{faults}");
    assert!(share < 20.0, "{share:.1} % refused: {by_code:?}");
}

/// Where a wall's slope changes so quickly that its sheet would be folded over, its rims may run on all the same: the
/// bend is what counts, however round the section's own corner is.
#[test]
fn a_wall_that_turns_over_too_quickly_is_refused() {
    for number in [268, 891] {
        let (text, End::Refused { codes, told }) = end(number) else { panic!("shell {number} is not refused") };
        assert_eq!(codes, ["corner-too-tight"], "{text}");
        assert!(told.contains("the wall's slope changes quickly round it"), "{told}");
    }
}

/// Where a rim crosses itself on the flat elsewhere than on the faces of its sheet, its edge stands off the body by what the
/// program reckons beforehand: what it lets pass its own check finds true.
#[test]
fn a_rim_that_runs_off_its_body_is_refused_before_the_check_finds_it() {
    let (text, End::Refused { codes, told }) = end(1534) else { panic!("shell 1534 is not refused") };
    assert_eq!(codes, ["edge-runs-off"], "{text}");
    assert!(told.contains("stands 0.070 mm off the body"), "{told}");
    let mut ends = [0, 0];
    for corner in 0..16u8 {
        let corner = format!("corner: {} mm)\n    at 2.187 in", 7.9 + 0.25 * f64::from(corner));
        match judge(&text.replace("corner: 7.8630 mm)\n    at 2.187 in", &corner)) {
            End::Built => ends[0] += 1,
            End::Refused { codes, .. } => {
                assert_eq!(codes, ["edge-runs-off"], "{corner}");
                ends[1] += 1;
            }
            End::Fault(told) => panic!("{corner}: {told}"),
        }
    }
    assert!(ends[0] > 3 && ends[1] > 3, "{ends:?} built and refused");
}

/// The text of a refused shell with the repair that its message offers, and what comes of that.
fn repaired(number: usize) -> Option<(String, Vec<&'static str>)> {
    let text = maker::prop(number);
    let built = build(Folder::of(&text));
    let fault = built.diagnostics.iter().find(|d| d.severity == Severity::Error)?;
    let repair = fault.repair.as_ref()?;
    // It stands in the sentence that the first label points into, in place of the field of its name.
    let at = fault.labels.first()?.span.start as usize;
    let from = text[..at].rfind("\nshell ").max(text[..at].rfind("\ncap ")).map_or(at, |i| i + 1);
    let from = if text[at..].starts_with("cap ") || text[at..].starts_with("shell ") { at } else { from };
    let to = from + text[from..].find("}\n")?;
    let field = repair.split(':').next()?;
    let sentence = &text[from..to];
    let mended = match sentence.find(&format!("{field}: ")) {
        Some(i) => {
            let rest = &sentence[i..];
            let end = rest.find([',', '\n', ')']).unwrap_or_else(|| rest.trim_end().len());
            format!("{}{repair}{}", &sentence[..i], &rest[end..])
        }
        None => format!("{sentence}    {repair}\n"),
    };
    let mended = format!("{}{mended}{}", &text[..from], &text[to..]);
    let built = build(Folder::of(&mended));
    Some((mended, errors(&built)))
}

/// What a message offers was tried before it is offered: a face that the sizes may belong to, a cap set in.
#[test]
fn what_a_refusal_offers_is_built() {
    for number in [190, 206, 312, 171] {
        let (text, found) = repaired(number).unwrap_or_else(|| panic!("{number} has no repair"));
        assert!(text.contains("fit: inset") && !found.contains(&"no-room-inside"), "{number}: {found:?}\n{text}");
    }
    // No face would do: the thickest sheet is named, and does.
    for number in [21, 25] {
        let (text, End::Refused { codes, told }) = end(number) else { panic!("shell {number} is not refused") };
        assert_eq!(codes, ["side-too-short"], "{told}");
        if let Some((mended, found)) = repaired(number) {
            assert!(!found.contains(&"side-too-short"), "{number}: {found:?}\n{mended}");
            continue;
        }
        let most = told.split("at most ").nth(1).and_then(|t| t.split(" mm").next()).expect("a thickness");
        let most: f64 = most.parse().unwrap();
        // All sheets of the wall are made thinner alike.
        let thicks = |text: &str| -> Vec<f64> {
            let all = text.split("thick: ").skip(1).map(|t| t.split(" mm").next().unwrap().parse().unwrap());
            all.take(if text.contains("of: [sheet, facing]") { 2 } else { 1 }).collect()
        };
        let each = thicks(&text);
        let share = most / each.iter().sum::<f64>();
        let mut mended = text.clone();
        for t in each {
            mended = mended.replace(&format!("thick: {t:.2} mm"), &format!("thick: {:.6} mm", t * share));
        }
        let found = errors(&build(Folder::of(&mended)));
        assert!(!found.contains(&"side-too-short"), "{number}: {found:?}\n{mended}");
    }
}
