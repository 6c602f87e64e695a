//! What the targets share: a prop in memory. A file that is used is always the same shelf of a kitchen table.

use tasset::pipeline::{DxfVersion, LayoutOptions, Loaded, Loader, Options, Refusal, Template};

const WORKSHOP: &str = include_str!("../../../examples/flag-case/workshop.prop");
const CREW: &str = include_str!("../../../examples/flag-case/crew.prop");

/// One text, and the two files that the examples use.
pub struct Memory<'a>(pub &'a str);

impl Loader for Memory<'_> {
    fn load(&mut self, _: Option<&str>, path: &str) -> Result<Loaded, Refusal> {
        let text = match path {
            "prop.prop" => self.0,
            "workshop.prop" => WORKSHOP,
            "crew.prop" => CREW,
            _ => return Err(Refusal::NotThere),
        };
        Ok(Loaded { name: path.to_owned(), text: text.to_owned() })
    }
}

/// A run as the command makes it with no flags but `--effort quick`: a search for a better layout takes long, and what
/// it may find is judged by the same audit.
#[must_use]
pub fn options() -> Options {
    Options { sets: Vec::new(), wearer: None, stl: false, dxf: DxfVersion::R2000, template: Template::Outside, mock_up: None, layout: LayoutOptions::QUICK }
}
