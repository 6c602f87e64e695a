//! Random props of every sort of section, end, spine, leaning ring, panel, plate, edge, nest and cladding that is built.
//!
//! `TASSET_FORMS` is how many, `TASSET_FIRST_FORM` the number of the first, `TASSET_SORTS` names some sorts alone;
//! `TASSET_REFUSALS` and `TASSET_FAULTS` name files that take the text and the messages of each that is refused, or
//! ends in a fault of ours. `tests/nightly` takes 5,000.
//!
//! Of the first 500 472 are built and 28 refused (5.6 %); of 5,000 4,709 and 291 (5.8 %).
//!
//! | sort | built | refused | most often for |
//! |---|---|---|---|
//! | profiles | 54 | 2 (3.6 %) | `no-room-inside`, `corner-too-tight` |
//! | ends | 56 | 0 | |
//! | spines | 52 | 4 (7.1 %) | what is not built yet |
//! | faces | 51 | 5 (8.9 %) | `hole-crosses-edge`, what is not built yet |
//! | leaves | 46 | 10 (17.9 %) | `off-the-wall` |
//! | figures | 54 | 1 (1.8 %) | `scallops-too-tall` |
//! | nests | 54 | 1 (1.8 %) | `no-room-there` |
//! | clad | 51 | 4 (7.3 %) | `turn-too-wide` |
//! | leaning | 54 | 1 (1.8 %) | `tabs-too-wide` |

use super::{End, clad, ends, faces, figures, judge, leaning, leaves, nests, over_cores, profiles, spines};
use std::collections::BTreeMap;
use std::fmt::{self, Write as _};
use std::ops::Range;
use std::time::{Duration, Instant};

/// A tenth of what `tests/nightly` takes.
const FEW: usize = 500;

pub type Maker = fn(usize) -> String;

pub const SORTS: [(&str, Maker); 9] = [
    ("profiles", profiles::prop),
    ("ends", ends::prop),
    ("spines", spines::prop),
    ("faces", faces::prop),
    ("leaves", leaves::prop),
    ("figures", figures::prop),
    ("nests", nests::prop),
    ("clad", clad::prop),
    ("leaning", leaning::prop),
];

/// What became of the props of one sort.
#[derive(Debug, Default)]
pub struct Tally {
    pub built: usize,
    pub refused: usize,
    pub faulty: usize,
    pub by_code: BTreeMap<&'static str, usize>,
    /// The longest that one took, and its number.
    pub longest: (Duration, usize),
    pub refusals: String,
    pub faults: String,
}

impl Tally {
    fn all(&self) -> usize {
        self.built + self.refused + self.faulty
    }

    fn share(&self) -> f64 {
        100.0 * self.refused as f64 / self.all().max(1) as f64
    }
}

impl fmt::Display for Tally {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (built, refused, faulty, share) = (self.built, self.refused, self.faulty, self.share());
        let (longest, number) = self.longest;
        write!(f, "{built} built, {refused} refused ({share:.1} %), {faulty} faults; ")?;
        write!(f, "longest {:.1} s, of {number}; {:?}", longest.as_secs_f64(), self.by_code)
    }
}

/// Props of these numbers, sort by sort in turn, so that the first hundred are of every sort.
pub fn tallies(numbers: Range<usize>, sorts: &[(&'static str, Maker)]) -> BTreeMap<&'static str, Tally> {
    let mut all: BTreeMap<&str, Tally> = BTreeMap::new();
    let made = over_cores(numbers, |n| {
        let text = sorts[n % sorts.len()].1(n / sorts.len());
        let begun = Instant::now();
        let end = judge(&text);
        (text, end, begun.elapsed())
    });
    for (n, (text, end, took)) in made {
        let (sort, number) = (sorts[n % sorts.len()].0, n / sorts.len());
        let one = all.entry(sort).or_default();
        one.longest = one.longest.max((took, number));
        match end {
            End::Built => one.built += 1,
            End::Refused { codes, told } => {
                one.refused += 1;
                for code in codes {
                    *one.by_code.entry(code).or_default() += 1;
                }
                writeln!(one.refusals, "# {sort} {number}\n{text}\n{told}\n").unwrap();
            }
            End::Fault(told) => {
                one.faulty += 1;
                writeln!(one.faults, "# {sort} {number}\n{text}\n{told}\n").unwrap();
            }
        }
    }
    all
}

#[test]
fn random_forms_are_built_and_audited_or_refused_with_a_code() {
    let named = std::env::var("TASSET_SORTS").unwrap_or_default();
    let sorts: Vec<_> = SORTS.into_iter().filter(|s| named.is_empty() || named.split(',').any(|n| n == s.0)).collect();
    let count = std::env::var("TASSET_FORMS").map_or(FEW, |n| n.parse().unwrap());
    let first = std::env::var("TASSET_FIRST_FORM").map_or(0, |n| n.parse().unwrap());
    let all = tallies(first..first + count, &sorts);
    for (sort, one) in &all {
        println!("{sort}: {one}");
    }
    let texts = |of: fn(&Tally) -> &str| all.values().map(of).collect::<String>();
    for (name, text) in [("TASSET_REFUSALS", texts(|t| &t.refusals)), ("TASSET_FAULTS", texts(|t| &t.faults))] {
        if let Ok(path) = std::env::var(name) {
            std::fs::write(path, text).unwrap();
        }
    }
    let faulty: usize = all.values().map(|t| t.faulty).sum();
    assert!(faulty == 0, "{faulty} faults of the program's own:\n{}", texts(|t| &t.faults));
    // Of a few of a sort one more or less says nothing.
    for (sort, one) in all.iter().filter(|(_, t)| t.all() >= 50) {
        assert!(one.share() < 25.0, "{sort}: {one}");
    }
}
