//! `tasset build` and `tasset check`.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use tasset::diag::render;
use tasset::pipeline::{self, Built, Options};

use super::args::{Also, Build, Check, Dxf, Format, Reading};
use super::fmt::show;
use super::terminal::{print, say};
use super::{End, load, write};

/// Builds every file; faults in one do not keep the others from being built.
pub fn build(arguments: &Build) -> End {
    let mut options = match options(&arguments.reading) {
        Ok(options) => options,
        Err(end) => return end,
    };
    options.stl = arguments.also.contains(&Also::Stl);
    options.dxf = match arguments.dxf {
        Dxf::R2000 => pipeline::DxfVersion::R2000,
        Dxf::R12 => pipeline::DxfVersion::R12,
    };
    let mut written = BTreeSet::new();
    let mut end = End::Good;
    for file in &arguments.files {
        end = end.max(each_wearer(file, &options, |built, path| deliver(built, path, arguments, &mut written)));
    }
    end
}

/// Looks for mistakes in every file.
pub fn check(arguments: &Check) -> End {
    let options = match options(&arguments.reading) {
        Ok(options) => options,
        Err(end) => return end,
    };
    let mut end = End::Good;
    for file in &arguments.files {
        let mut folder = load::Folder::default();
        let checked = pipeline::check_only(&mut folder, &file.to_string_lossy(), &options);
        let faults = checked.diagnostics.has_errors();
        let tally = render::tally(&checked.diagnostics);
        show(checked.diagnostics, &checked.sources, arguments.reading.showing);
        if arguments.reading.showing.format != Format::Json {
            let name = tasset::diag::shown(&file.display().to_string());
            say(&format!("{name}: {}", tally.unwrap_or_else(|| "no mistakes found".to_owned())));
        }
        end = end.max(ending(&folder, faults));
    }
    end
}

/// What a run ends with, given what the reader met.
fn ending(folder: &load::Folder, faults: bool) -> End {
    match (folder.machine, folder.absent, faults) {
        (true, ..) => End::Machine,
        (_, true, _) => End::Usage,
        (.., true) => End::Faults,
        _ => End::Good,
    }
}

fn options(reading: &Reading) -> Result<Options, End> {
    let mut options =
        Options { sets: Vec::new(), wearer: reading.wearer.clone(), stl: false, dxf: pipeline::DxfVersion::R2000 };
    for set in &reading.sets {
        let Some((name, value)) = set.split_once('=') else {
            say(&format!("tasset: --set {}: write NAME=VALUE, as in --set tall=\"300 mm\"", tasset::diag::shown(set)));
            return Err(End::Usage);
        };
        options.sets.push((name.trim().to_owned(), value.trim().to_owned()));
    }
    Ok(options)
}

/// Runs a prop once, or once for each of its wearers when none is picked.
fn each_wearer(file: &Path, options: &Options, mut deliver: impl FnMut(Built, &Path) -> End) -> End {
    let run = |options: &Options| {
        let mut folder = load::Folder::default();
        let built = pipeline::build(&mut folder, &file.to_string_lossy(), options);
        let end = ending(&folder, built.diagnostics.has_errors());
        (built, end)
    };
    let (first, end) = run(options);
    let wearers = first.wearers.clone();
    let mut worst = end.max(deliver(first, file));
    if options.wearer.is_none() {
        for wearer in wearers.iter().skip(1) {
            let (built, end) = run(&Options { wearer: Some(wearer.clone()), ..options.clone() });
            worst = worst.max(end).max(deliver(built, file));
        }
    }
    worst
}

/// Shows what was found, writes the files when there is nothing wrong, and sums up.
fn deliver(built: Built, file: &Path, arguments: &Build, written: &mut BTreeSet<String>) -> End {
    let showing = arguments.reading.showing;
    let faults = built.diagnostics.has_errors();
    let tally = render::tally(&built.diagnostics);
    show(built.diagnostics, &built.sources, showing);
    let name = tasset::diag::shown(&file.display().to_string());
    if faults {
        say(&format!("{name}: {}; nothing was written", tally.unwrap_or_default()));
        return End::Faults;
    }
    if !written.insert(built.folder.clone()) {
        say(&format!(
            "tasset: {name}: another file of this run already wrote `{}`; give the prop its own name",
            built.folder
        ));
        return End::Usage;
    }
    let before = listed(&arguments.out.join(&built.folder).join("report.json"));
    let files: Vec<(&str, &[u8])> = built.files.iter().map(|f| (f.path.as_str(), f.bytes.as_slice())).collect();
    if let Err(failure) = write::write_all(&arguments.out, &files, &before) {
        return failure.into();
    }
    if showing.format != Format::Json {
        print(&built.summary);
        let folder = arguments.out.join(&built.folder);
        print(&format!("    {} files in {}\n", files.len(), tasset::diag::shown(&folder.display().to_string())));
    }
    End::Good
}

/// The files that an earlier build of this prop says it wrote, as paths below the output folder.
fn listed(report: &Path) -> Vec<String> {
    let Ok(text) = fs::read(report) else { return Vec::new() };
    let Ok(report) = serde_json::from_slice::<serde_json::Value>(&text) else { return Vec::new() };
    let names = report["files"].as_array().into_iter().flatten().filter_map(serde_json::Value::as_str);
    names.map(str::to_owned).collect()
}
