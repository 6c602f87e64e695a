//! Running the program as a maker does: what the tests of the command line share.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Output;
use std::time::Duration;

use assert_cmd::Command;
use tempfile::TempDir;

pub const PROGRAM: &str = env!("CARGO_BIN_EXE_tasset");

pub const GOOD: &str = "prop jar { title: \"Jar\", of: foam3 }\nshell wall { at 0 mm to 60 mm: circle(across: 70 mm) }\n\
                        cap base on wall.bottom { fit: inset }\n";

/// A prop for two wearers that is wrong for the second when `widest` is under 190 mm.
pub fn for_two(widest: u32) -> String {
    format!(
        "prop jar {{ title: \"Jar\", of: foam3, wearer: [ann, bo] }}\nwearer ann {{ wrist_around: 160 mm }}\n\
         wearer bo {{ wrist_around: 190 mm }}\nsetting tall = 60 mm \"height\"\n\
         require wearer.wrist_around <= {widest} mm \"the wrist is too thick\"\n\
         shell wall {{ at 0 mm to tall: circle(around: wearer.wrist_around + 60 mm), measured: inside }}\n"
    )
}

/// The program; one that hangs is ended, and the test fails.
pub fn tasset(arguments: &[&str]) -> Command {
    let mut command = Command::new(PROGRAM);
    command.args(arguments).timeout(Duration::from_secs(120));
    command
}

pub fn run(arguments: &[&str]) -> Output {
    tasset(arguments).output().unwrap()
}

/// A script of the shell; `$0` is the program, `$1` … the arguments.
pub fn script(text: &str, arguments: &[&str]) -> Output {
    Command::new("sh").args(["-c", text, PROGRAM]).args(arguments).timeout(Duration::from_secs(120)).output().unwrap()
}

pub fn code(output: &Output) -> i32 {
    output.status.code().unwrap_or_else(|| panic!("ended by a signal: {output:?}"))
}

pub fn errors(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

pub fn printed(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

pub fn text(path: impl AsRef<Path>) -> String {
    path.as_ref().to_str().unwrap().to_owned()
}

/// A folder with `case.prop` in it; the file's path, and that of an output folder that is not there yet.
pub fn folder(prop: impl AsRef<[u8]>) -> (TempDir, String, String) {
    let dir = tempfile::tempdir().unwrap();
    let file = dir.path().join("case.prop");
    fs::write(&file, prop).unwrap();
    let out = dir.path().join("out");
    (dir, text(file), text(out))
}

/// Every file below a folder with its bytes; none where there is no folder.
pub fn all(below: impl AsRef<Path>) -> Vec<(PathBuf, Vec<u8>)> {
    let below = below.as_ref();
    let mut found = Vec::new();
    let mut waiting = vec![below.to_path_buf()];
    while let Some(at) = waiting.pop() {
        let Ok(entries) = fs::read_dir(at) else { continue };
        for entry in entries {
            let path = entry.unwrap().path();
            if path.is_dir() {
                waiting.push(path);
            } else {
                found.push((path.strip_prefix(below).unwrap().to_path_buf(), fs::read(&path).unwrap()));
            }
        }
    }
    found.sort();
    found
}

/// The names of `all`.
pub fn names(below: impl AsRef<Path>) -> Vec<String> {
    all(below).into_iter().map(|(p, _)| text(p)).collect()
}

/// The files that a report lists, sorted.
pub fn listed(report: impl AsRef<Path>) -> Vec<String> {
    let report: serde_json::Value = serde_json::from_slice(&fs::read(report).unwrap()).unwrap();
    let mut listed: Vec<String> =
        report["files"].as_array().unwrap().iter().map(|f| f.as_str().unwrap().to_owned()).collect();
    listed.sort();
    listed
}
