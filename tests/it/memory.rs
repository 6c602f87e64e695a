//! Props built from texts in memory.

use std::collections::BTreeMap;
use tasset::diag::Severity;
use tasset::pipeline::{self, Built, Checked, DxfVersion, LayoutOptions, Loaded, Loader, Options, Refusal, Template};

/// A folder in memory: the prop is `prop.prop`, the others what it may use.
#[derive(Clone, Debug, Default)]
pub struct Folder(pub BTreeMap<String, String>);

impl Folder {
    pub fn of(text: &str) -> Self {
        Self(BTreeMap::from([("prop.prop".to_owned(), text.to_owned())]))
    }
}

impl Loader for Folder {
    fn load(&mut self, _: Option<&str>, path: &str) -> Result<Loaded, Refusal> {
        match self.0.get(path) {
            Some(text) => Ok(Loaded { name: path.to_owned(), text: text.clone() }),
            None => Err(Refusal::NotThere),
        }
    }
}

/// Faults of the program, not of the prop: whatever a maker writes, these may not come.
pub const OURS: [&str; 3] = ["audit-failed", "broken-outline", "cannot-draw"];

fn options() -> Options {
    Options {
        sets: Vec::new(),
        wearer: None,
        stl: false,
        dxf: DxfVersion::R2000,
        template: Template::Outside,
        mock_up: None,
        layout: LayoutOptions::QUICK,
    }
}

pub fn build(mut folder: Folder) -> Built {
    pipeline::build(&mut folder, "prop.prop", &options())
}

/// A build for one of a prop's wearers.
pub fn build_for(mut folder: Folder, wearer: &str) -> Built {
    pipeline::build(&mut folder, "prop.prop", &Options { wearer: Some(wearer.to_owned()), ..options() })
}

/// A mock-up, at a scale.
pub fn mock_up(mut folder: Folder, scale: &str, card: Option<&str>) -> Built {
    let scale = pipeline::Scale::read(scale).unwrap();
    let mock_up = Some(pipeline::MockUp { scale, card: card.map(str::to_owned) });
    pipeline::build(&mut folder, "prop.prop", &Options { mock_up, ..options() })
}

pub fn check(mut folder: Folder) -> Checked {
    pipeline::check_only(&mut folder, "prop.prop", &options())
}

/// Builds a text about which there is nothing to say.
#[track_caller]
pub fn clean(text: &str) -> Built {
    let built = build(Folder::of(text));
    assert_eq!(told(&built), "", "{text}");
    built
}

/// The codes of the errors of a build, in order of place.
pub fn errors(built: &Built) -> Vec<&'static str> {
    built.diagnostics.iter().filter(|d| d.severity == Severity::Error).map(|d| d.code.name()).collect()
}

/// Everything a build has to say, as plain text.
pub fn told(built: &Built) -> String {
    tasset::diag::render::plain(&built.diagnostics, &built.sources)
}
