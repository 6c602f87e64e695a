//! `tasset build` and `tasset check`.

use std::collections::{BTreeSet, HashSet};
use std::fs;
use std::io::Read as _;
use std::path::Path;

use tasset::diag::{Code, Diagnostic, Diagnostics, Severity, render, shown};
use tasset::pipeline::{self, OutFile};
use tasset::span::Sources;

use super::args::{Also, Build, Check, Dxf, Effort, Reading, Template};
use super::tell::Teller;
use super::terminal::{print, say};
use super::{End, laying, load, stop, write};

/// The largest report that is looked through for the files of an earlier build.
const LARGEST_REPORT: u64 = 1 << 28;

/// Builds every file; faults in one do not keep the others from being built.
pub fn build(arguments: &Build) -> End {
    let dxf = match arguments.dxf {
        Dxf::R2000 => pipeline::DxfVersion::R2000,
        Dxf::R12 => pipeline::DxfVersion::R12,
    };
    let template = match arguments.template {
        Template::Outside => pipeline::Template::Outside,
        Template::Hidden => pipeline::Template::Hidden,
    };
    let effort = match arguments.effort {
        Effort::Quick => pipeline::Effort::Quick,
        Effort::Normal => pipeline::Effort::Normal,
        Effort::Long => pipeline::Effort::Long,
    };
    let layout = pipeline::LayoutOptions { effort, watch: Some(laying::watch) };
    let card = arguments.card.clone();
    let mock_up = arguments.mock_up.clone().map(|scale| pipeline::MockUp { scale, card });
    let stl = arguments.also.contains(&Also::Stl);
    let mut written = BTreeSet::new();
    each(&arguments.files, &arguments.reading, |prop, options| {
        let options = pipeline::Options { stl, dxf, template, layout, mock_up: mock_up.clone(), ..options.clone() };
        let built = pipeline::build(&mut prop.folder, &prop.path, &options);
        prop.wearers = built.wearers;
        let (end, tally) = prop.tell(built.diagnostics, built.sources, &options);
        if end != End::Good {
            prop.line(tally.map(|t| format!("{t}; nothing was written")));
            return end;
        }
        if !written.insert(built.folder.clone()) {
            say(&format!(
                "tasset: {}: this run already wrote {}; give the prop a name of its own, or another --out",
                shown(&prop.path),
                shown(&arguments.out.join(&built.folder).display().to_string())
            ));
            return End::Usage;
        }
        if let Err(failure) = deliver(&arguments.out, &built.folder, &built.files) {
            return failure.into();
        }
        if !prop.teller.json() {
            print(&built.summary);
            let folder = arguments.out.join(&built.folder);
            print(&format!("    {} files in {}\n", built.files.len(), shown(&folder.display().to_string())));
        }
        End::Good
    })
}

/// Looks for mistakes in every file.
pub fn check(arguments: &Check) -> End {
    each(&arguments.files, &arguments.reading, |prop, options| {
        let checked = pipeline::check_only(&mut prop.folder, &prop.path, options);
        prop.wearers = checked.wearers;
        let (end, tally) = prop.tell(checked.diagnostics, checked.sources, options);
        prop.line(if end == End::Good { Some(tally.unwrap_or_else(|| "no mistakes found".to_owned())) } else { tally });
        end
    })
}

/// One prop file of a command, while its runs last.
struct Prop<'a> {
    /// As shown in messages.
    path: String,
    folder: load::Folder,
    /// Every wearer the prop lists; known after the first run.
    wearers: Vec<String>,
    /// Whom this run is for.
    wearer: Option<String>,
    /// What earlier runs, for other wearers, have said.
    told: HashSet<Diagnostic>,
    teller: &'a mut Teller,
}

impl Prop<'_> {
    /// Shows what a run found and no earlier one said; gives what the run ends with, and the count of what it found.
    /// There is no count where the file could not be read: the message says it all.
    fn tell(
        &mut self,
        diagnostics: Diagnostics,
        sources: Sources,
        options: &pipeline::Options,
    ) -> (End, Option<String>) {
        let end = self.ending(&diagnostics, &sources, options);
        let unread = self.folder.absent || (self.folder.machine && sources.iter().count() <= 1);
        let tally = if unread { None } else { render::tally(&diagnostics) };
        let mut fresh = Diagnostics::new();
        for diagnostic in diagnostics {
            if self.told.insert(diagnostic.clone()) {
                fresh.push(diagnostic);
            }
        }
        self.teller.show(fresh, sources);
        (end, tally)
    }

    /// The last line about a run.
    fn line(&self, text: Option<String>) {
        if let Some(text) = text {
            let several = self.wearers.len() > 1;
            let whom = self.wearer.as_ref().or_else(|| self.wearers.first()).filter(|_| several);
            let whom = whom.map_or_else(String::new, |w| format!(", for {w}"));
            self.teller.line(&format!("{}{whom}: {text}", shown(&self.path)));
        }
    }

    /// What a run ends with: where a mistake stands in the command, the usage is wrong and not the prop.
    fn ending(&self, diagnostics: &Diagnostics, sources: &Sources, options: &pipeline::Options) -> End {
        let errors = || diagnostics.iter().filter(|d| d.severity == Severity::Error);
        let in_command = |d: &Diagnostic| {
            let set =
                d.span().is_some_and(|s| options.sets.iter().any(|(n, _)| sources.get(s.file).name == set_name(n)));
            let card = d.span().is_some_and(|s| sources.get(s.file).name == pipeline::CARD_SOURCE);
            set || card || d.code == Code::UnknownWearer
        };
        match (self.folder.machine, self.folder.absent) {
            (true, _) => End::Machine,
            (_, true) => End::Usage,
            _ if errors().any(in_command) => End::Usage,
            _ if errors().next().is_some() => End::Faults,
            _ => End::Good,
        }
    }
}

/// What the pipeline calls the text of a `--set`.
fn set_name(setting: &str) -> String {
    format!("--set {setting}")
}

/// Runs every file once, or once for each of its wearers when none is picked.
fn each(
    files: &[std::path::PathBuf],
    reading: &Reading,
    mut run: impl FnMut(&mut Prop<'_>, &pipeline::Options) -> End,
) -> End {
    let mut options = match options(reading) {
        Ok(options) => options,
        Err(end) => return end,
    };
    let mut teller = Teller::new(reading.showing);
    let mut end = End::Good;
    for file in files {
        options.wearer.clone_from(&reading.wearer);
        let mut prop = Prop {
            path: file.to_string_lossy().into_owned(),
            folder: load::Folder::of(file),
            wearers: Vec::new(),
            wearer: options.wearer.clone(),
            told: HashSet::new(),
            teller: &mut teller,
        };
        end = end.max(run(&mut prop, &options));
        let others = if reading.wearer.is_none() { prop.wearers.clone() } else { Vec::new() };
        for wearer in others.into_iter().skip(1) {
            if stop::asked() {
                return End::Interrupted;
            }
            options.wearer = Some(wearer.clone());
            prop.wearer = Some(wearer);
            end = end.max(run(&mut prop, &options));
        }
        if stop::asked() {
            return End::Interrupted;
        }
    }
    teller.end();
    end
}

fn options(reading: &Reading) -> Result<pipeline::Options, End> {
    let mut options = pipeline::Options {
        sets: Vec::new(),
        wearer: reading.wearer.clone(),
        stl: false,
        dxf: pipeline::DxfVersion::R2000,
        template: pipeline::Template::Outside,
        mock_up: None,
        layout: pipeline::LayoutOptions::default(),
    };
    for set in &reading.sets {
        let wrong = |why: &str| {
            say(&format!("tasset: --set {}: {why}", shown(set)));
            Err(End::Usage)
        };
        let Some((name, value)) = set.split_once('=').map(|(n, v)| (n.trim(), v.trim())) else {
            return wrong("write NAME=VALUE, as in --set tall=\"300 mm\"");
        };
        if name.is_empty() || !name.chars().all(|c| c.is_alphanumeric() || c == '_') {
            return wrong("the name of a setting stands before the `=`, as in --set tall=\"300 mm\"");
        }
        if value.is_empty() {
            return wrong(&format!("a value is missing behind the `=`, as in --set {name}=\"300 mm\""));
        }
        if options.sets.iter().any(|(n, _)| n == name) {
            return wrong(&format!("`{name}` already has a value in this command"));
        }
        options.sets.push((name.to_owned(), value.to_owned()));
    }
    Ok(options)
}

/// Writes a build's files and removes what an earlier one left.
fn deliver(out: &Path, folder: &str, files: &[OutFile]) -> Result<(), write::Failure> {
    let before = listed(out, folder);
    let files: Vec<(&str, &[u8])> = files.iter().map(|f| (f.path.as_str(), f.bytes.as_slice())).collect();
    write::write_all(out, &files, &before)
}

/// The files that an earlier build of this prop says it wrote into `out/folder`, as paths below `out`.
fn listed(out: &Path, folder: &str) -> Vec<String> {
    let own = out.join(folder);
    let report = own.join("report.json");
    let plain = |path: &Path, folder: bool| {
        fs::symlink_metadata(path).is_ok_and(|m| if folder { m.is_dir() } else { m.is_file() })
    };
    if !plain(&own, true) || !plain(&report, false) {
        return Vec::new();
    }
    let mut text = Vec::new();
    let read = fs::File::open(report).and_then(|f| f.take(LARGEST_REPORT).read_to_end(&mut text));
    let Ok(report) = read.map(|_| serde_json::from_slice::<serde_json::Value>(&text).unwrap_or_default()) else {
        return Vec::new();
    };
    let names = report["files"].as_array().into_iter().flatten().filter_map(serde_json::Value::as_str);
    // A report speaks for its own folder only.
    names.filter(|n| Path::new(n).starts_with(folder)).map(str::to_owned).collect()
}
