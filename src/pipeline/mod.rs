//! The phases in order. Rank 9: it alone knows which phase follows which; it gathers what they find and stops where
//! going on would pretend.
//!
//! It reads no file: a [`Loader`] does, and whoever calls decides what may be read.

mod errors;
mod read;
mod summary;

pub use errors::unreadable;
pub use read::{CARD_SOURCE, Loaded, Loader, Refusal};

use crate::design::Design;
use crate::diag::{Code, Diagnostic, Diagnostics, Severity};
use crate::emit::report::Told;
use crate::eval::Budget;
use crate::ledger::Ledger;
use crate::piece::Pieces;
use crate::sheet::Layout;
use crate::solid::Solid;
use crate::span::{Sources, Span};
use crate::{arrange, audit, check, develop, emit, finish, flat, mockup, paginate, plan, shape, threads};

pub use crate::arrange::{Effort, Moment, Options as LayoutOptions};
pub use crate::emit::OutFile;
pub use crate::emit::dxf::Version as DxfVersion;
pub use crate::mockup::Scale;
pub use crate::page::Template;

/// What a run is asked for.
#[derive(Clone, Debug)]
pub struct Options {
    /// `--set`: a setting's name and its value as it would be written in the file.
    pub sets: Vec<(String, String)>,
    /// `--wearer`: which of the prop's wearers.
    pub wearer: Option<String>,
    /// `--also stl`
    pub stl: bool,
    pub dxf: DxfVersion,
    /// `--template`: which face of the goods the printed pages are laid on.
    pub template: Template,
    /// `--mock-up`: not the prop but its mock-up of card.
    pub mock_up: Option<MockUp>,
    /// `--effort`, and who waits for the layout.
    pub layout: arrange::Options,
}

/// A mock-up that is asked for.
#[derive(Clone, Debug)]
pub struct MockUp {
    pub scale: Scale,
    /// `--card`: the name of its stock; the usual one's when it is not given.
    pub card: Option<String>,
}

/// The stock of a mock-up of which nothing is said: the shelf's, or a maker's own of that name.
pub const CARD: &str = "card";

/// The texts of a run and what was found in them.
#[derive(Debug)]
pub struct Checked {
    pub sources: Sources,
    pub diagnostics: Diagnostics,
    /// Every wearer of the prop; a run is for one.
    pub wearers: Vec<String>,
}

/// A build: its files when nothing was wrong.
#[derive(Debug)]
pub struct Built {
    pub sources: Sources,
    pub diagnostics: Diagnostics,
    /// Every wearer of the prop; a run is for one.
    pub wearers: Vec<String>,
    /// The folder the files lie in, below the output folder.
    pub folder: String,
    /// In the order of writing, the report last; empty when there were errors.
    pub files: Vec<OutFile>,
    /// A few lines for the maker.
    pub summary: String,
}

/// Looks for every mistake that can be found without laying the pieces out. They come in order of place.
pub fn check_only(loader: &mut dyn Loader, path: &str, options: &Options) -> Checked {
    let (sources, design, mut diagnostics) = read_and_check(loader, path, options);
    if !too_many(&diagnostics) {
        let mut formed = form(&design, finish::unlettered);
        diagnostics.extend(std::mem::take(&mut formed.diagnostics));
        if let Some(many) = formed.unlaid {
            diagnostics.push(errors::too_many_pieces(Severity::Warning, many, MOST_PIECES));
        }
        // What is asked of the whole prop is answered where nothing is missing from it.
        if !diagnostics.has_errors() && formed.unlaid.is_none() && plan::asked(&design) {
            diagnostics.extend(formed.plan(&design, None, false).1);
        }
    }
    Checked { sources, diagnostics: diagnostics.sorted(), wearers: design.wearers }
}

/// Every phase. The files come out only when no error was found and the audit passed; what was found comes in order
/// of place.
pub fn build(loader: &mut dyn Loader, path: &str, options: &Options) -> Built {
    let mut built = through_all(loader, path, options);
    built.diagnostics = built.diagnostics.sorted();
    built
}

fn through_all(loader: &mut dyn Loader, path: &str, options: &Options) -> Built {
    let (sources, design, diagnostics) = read_and_check(loader, path, options);
    let mut built = Built {
        sources,
        diagnostics,
        wearers: design.wearers.clone(),
        folder: String::new(),
        files: Vec::new(),
        summary: String::new(),
    };
    if too_many(&built.diagnostics) {
        return built;
    }
    let (mut formed, design) = match &options.mock_up {
        Some(asked) => mocked(design, asked, built.diagnostics.has_errors()),
        None => (form(&design, finish::finish), design),
    };
    built.diagnostics.extend(std::mem::take(&mut formed.diagnostics));
    if let Some(many) = formed.unlaid {
        built.diagnostics.push(errors::too_many_pieces(Severity::Error, many, MOST_PIECES));
    }
    if built.diagnostics.has_errors() {
        return built;
    }
    let job = &formed.solid.job;
    if let (true, false, Some(prop)) = (formed.pieces.pieces.is_empty(), job.unbuilt.is_empty(), design.prop) {
        built.diagnostics.push(errors::nothing_is_made(&job.name, &job.unbuilt, design.thing(prop).head));
    }
    let (layout, found) = arrange::arrange(&formed.solid, &formed.pieces, options.layout);
    // Sheets that are not all there are not counted; everything else is held and told all the same.
    let whole = (!found.has_errors()).then_some(&layout);
    built.diagnostics.extend(found);
    let (ledger, found) = formed.plan(&design, whole, true);
    built.diagnostics.extend(found);
    if built.diagnostics.has_errors() {
        return built;
    }
    let Formed { solid, flat, pieces, .. } = formed;
    // Files are drawn while the pieces are checked: both only read, and what does not pass is not given out.
    let folded = || audit::audit(&solid, &flat, &pieces, Some(&layout));
    let drawn = || {
        let (pages, found) = paginate::paginate(&solid, &pieces, options.template);
        let made =
            emit::Made { solid: &solid, pieces: &pieces, layout: &layout, pages: pages.as_ref(), ledger: &ledger };
        let files = emit::files(made, emit::Options { dxf: options.dxf, stl: options.stl });
        (pages, found, files)
    };
    let (mut verdict, (pages, found, files)) = threads::both(folded, drawn);
    built.diagnostics.extend(found);
    if let Some(pages) = &pages {
        audit::pages(&pieces, pages, &mut verdict);
    }
    if !verdict.passed() {
        built.diagnostics.push(audit::audit_failed(&verdict, &pieces));
        return built;
    }
    built.diagnostics = std::mem::take(&mut built.diagnostics).sorted();
    let told = Told {
        solid: &solid,
        pieces: &pieces,
        layout: &layout,
        pages: pages.as_ref(),
        verdict: &verdict,
        ledger: &ledger,
        diagnostics: &built.diagnostics,
        sources: &built.sources,
    };
    match files {
        Ok(files) => {
            let files = files.with_report(&told);
            built.folder = emit::folder(&solid.job);
            built.summary = summary::summary(&told, &files);
            built.files = files;
        }
        Err(fault) => built.diagnostics.push(fault),
    }
    built
}

/// Reads the prop file `path` with everything it uses, and checks it. No geometry yet.
fn read_and_check(loader: &mut dyn Loader, path: &str, options: &Options) -> (Sources, Design, Diagnostics) {
    let mut run = read::read(loader, path, &options.sets);
    let card = options.mock_up.as_ref().map(|m| run.card(m.card.as_deref()));
    let inputs: Vec<check::Input<'_>> =
        run.files.iter().map(|f| check::Input { tree: &f.tree, shelf: f.shelf }).collect();
    let wearer = options.wearer.clone();
    let asked = check::Options { sets: run.sets, wearer, card, parse: &read::value };
    let (design, found) = check::check(&inputs, &asked);
    let mut diagnostics = run.diagnostics;
    // Where the prop's own file could not be read, that is all there is to say.
    if run.files.iter().any(|f| !f.shelf) {
        diagnostics.extend(found);
    }
    (run.sources, design, diagnostics)
}

/// Whether the files make more things than a prop may have: the geometry of so many is not begun.
fn too_many(diagnostics: &Diagnostics) -> bool {
    diagnostics.iter().any(|d| d.code == Code::TooManyThings)
}

/// The most pieces that a prop is laid flat in: each takes some 20 ms and a megabyte of a build until its files are
/// written. Of a prop of more, `check` looks at everything in space, and says that it goes no further.
const MOST_PIECES: usize = 1_000;

/// How many pieces a prop is cut in when they are more than [`MOST_PIECES`], and the part with which they are.
type Many = (usize, Span);

fn many_pieces(solid: &Solid) -> Option<Many> {
    let all = solid.parts.iter().map(crate::solid::Part::pieces).sum();
    let mut count = 0;
    let past = solid.parts.iter().find(|p| {
        count += p.pieces();
        count > MOST_PIECES
    });
    past.map(|p| (all, p.origin))
}

/// What the geometry makes of a design.
struct Formed {
    solid: Solid,
    flat: flat::Flat,
    pieces: Pieces,
    /// What was reckoned on the way, for the plan to ask.
    known: shape::Known,
    budget: Budget,
    diagnostics: Diagnostics,
    /// The pieces are so many that nothing was laid flat.
    unlaid: Option<Many>,
}

impl Formed {
    /// Weighed, coated, held to its limits; on the layout where there is one. Unless the ledger is told, it is not reckoned
    /// where the weight lies.
    fn plan(&mut self, design: &Design, layout: Option<&Layout>, told: bool) -> (Ledger, Diagnostics) {
        let facts = shape::View { design, known: &self.known, solid: &self.solid, place: None };
        let (flat, pieces, middles) = (&self.flat, &self.pieces, told);
        let given = plan::Given { design, solid: &self.solid, flat, pieces, layout, middles };
        plan::plan(given, &facts, &mut self.budget)
    }
}

/// In space, laid flat, and as pieces. A thing with a fault is left out and the others go on.
fn form(design: &Design, finish: Finish) -> Formed {
    go_on(shape::shape(design), finish)
}

/// How pieces are finished: with their lettering, or without where nobody will see it.
type Finish = fn(&Solid, &flat::Flat) -> (Pieces, Diagnostics);

/// The mock-up of a prop that has no fault of its own, and the design it was made from. Else the prop itself, so that its
/// faults are told as they are without a mock-up.
fn mocked(design: Design, asked: &MockUp, faulty: bool) -> (Formed, Design) {
    let prop = shape::shape(&design);
    let card = design.card.and_then(|id| prop.known.stock(id).cloned());
    let (false, Some(card)) = (faulty || prop.diagnostics.has_errors(), card) else {
        return (go_on(prop, finish::finish), design);
    };
    let facts = shape::View { design: &design, known: &prop.known, solid: &prop.solid, place: None };
    let mut drawn = mockup::drawn(&design, &facts, card.thing, asked.scale.ratio());
    let mut shaped = shape::shape(&drawn);
    let settings = prop.solid.job.settings;
    let without = mockup::without(&design, &mut drawn, &shaped.solid);
    let (solid, found) = mockup::made(std::mem::take(&mut shaped.solid), &asked.scale, settings, without, &card);
    shaped.solid = solid;
    // What is worth knowing of how the prop is built is told when the prop is built.
    let faults = shaped.diagnostics.into_iter().filter(|d| d.severity == Severity::Error);
    let mut faults: Vec<Diagnostic> = faults.chain(found).collect();
    shaped.diagnostics = Diagnostics::new();
    let mut formed = go_on(shaped, finish::finish);
    // Tabs at a foot that cannot be cut are made narrower, or left off; all else is as it is.
    while let Some((solid, found)) = mockup::narrower(&formed.solid, &formed.diagnostics) {
        faults.extend(found);
        let Formed { known, budget, .. } = formed;
        let bare = shape::Shaped { solid, known, budget, diagnostics: Diagnostics::new() };
        formed = go_on(bare, finish::finish);
    }
    let all = faults.into_iter().chain(std::mem::take(&mut formed.diagnostics));
    for fault in all {
        formed.diagnostics.push(errors::of_the_mock_up(fault, &asked.scale));
    }
    (formed, drawn)
}

fn go_on(shaped: shape::Shaped, finish: Finish) -> Formed {
    let mut diagnostics = shaped.diagnostics;
    // Of too much, nothing is laid flat.
    let unlaid = many_pieces(&shaped.solid);
    let solid = if unlaid.is_some() || too_many(&diagnostics) { Solid::default() } else { shaped.solid };
    let (flat, found) = develop::develop(&solid);
    diagnostics.extend(found);
    // What is refused is written to no file: nobody reads what stands on its pieces.
    let finish = if diagnostics.has_errors() { finish::unlettered } else { finish };
    let (pieces, found) = finish(&solid, &flat);
    diagnostics.extend(found);
    Formed { solid, flat, pieces, known: shaped.known, budget: shaped.budget, diagnostics, unlaid }
}
