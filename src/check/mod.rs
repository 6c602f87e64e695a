//! From what was written to what was meant: names, types, units, loops, recipes, order. Rank 8.
//!
//! The phase runs in four turns, each linear in the file:
//! 1. `gather`: every name of every file enters one space; recipes, `for` and `if` are expanded, which reckons what
//!    decides how many things there are (no fact of the geometry may).
//! 2. `things`: every field, station and target is typed against the schema; the uses in it are noted.
//! 3. `order`: the graph of uses gives an order of reckoning, or the loop in it; what depends on a fault is
//!    poisoned, what depends on a thing that is not built is not built.
//! 4. `fold`: values that wait for nothing are reckoned and held against their ranges at once.
//!
//! The built-in shelf comes as one more file, marked: its things yield to things of the same name and enter the
//! design only when something speaks of them. Defaults of the schema are typed into the design, so that no later
//! phase reads their text. Nothing here knows any geometry.

mod constant;
mod errors;
mod fold;
mod gather;
mod made;
mod number;
mod order;
mod reference;
mod say;
mod scope;
mod state;
mod target;
mod things;
mod typed;
mod value;
mod words;

use crate::ast;
use crate::design::Design;
use crate::diag::Diagnostics;

/// One file of the run, read and parsed: the prop's own first, then what it uses, each once.
#[derive(Clone, Copy, Debug)]
pub struct Input<'a> {
    pub tree: &'a ast::File,
    /// The built-in shelf.
    pub shelf: bool,
}

/// `--set name=value`
#[derive(Clone, Debug)]
pub struct Override {
    pub name: String,
    /// The value, parsed from a source of its own, so that messages can show it.
    pub value: ast::Expr,
}

/// What the command line asks.
pub struct Options<'a> {
    pub sets: Vec<Override>,
    /// The wearer of this run, when the prop names several.
    pub wearer: Option<String>,
    /// The stock that a mock-up is cut from, when one is asked for.
    pub card: Option<ast::Name>,
    /// Parses a value of the language: for the defaults that stand in the schema as text.
    pub parse: &'a dyn Fn(&str) -> ast::Expr,
}

impl std::fmt::Debug for Options<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Options").field("sets", &self.sets).field("wearer", &self.wearer).finish_non_exhaustive()
    }
}

/// Checks the files of one run. A design always comes out; what is faulty in it is poisoned.
#[must_use]
pub fn check(files: &[Input<'_>], options: &Options<'_>) -> (Design, Diagnostics) {
    let mut checker = state::Checker::new(options);
    checker.gather(files);
    checker.find_prop();
    checker.find_card();
    checker.lower_all();
    checker.prove_card();
    checker.settle_order();
    checker.finish()
}
