//! The command as a maker meets it: exit codes, files, imports, formats.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

use tempfile::TempDir;

const GOOD: &str = "prop jar { title: \"Jar\", of: foam3 }\nshell wall { at 0 mm to 60 mm: circle(across: 70 mm) }\n\
                    cap base on wall.bottom { fit: inset }\n";

fn tasset(arguments: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_tasset"));
    command.args(arguments).stdin(Stdio::null());
    command
}

fn run(arguments: &[&str]) -> Output {
    tasset(arguments).output().unwrap()
}

fn code(output: &Output) -> i32 {
    output.status.code().unwrap_or_else(|| panic!("ended by a signal: {output:?}"))
}

fn errors(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

fn printed(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

/// A folder with `case.prop` in it.
fn folder(text: impl AsRef<[u8]>) -> (TempDir, String, String) {
    let dir = tempfile::tempdir().unwrap();
    let prop = dir.path().join("case.prop");
    fs::write(&prop, text).unwrap();
    let out = dir.path().join("out");
    let text = |p: PathBuf| p.to_str().unwrap().to_owned();
    (dir, text(prop), text(out))
}

/// Every file below a folder with its bytes.
fn all(below: &Path) -> Vec<(PathBuf, Vec<u8>)> {
    let mut found = Vec::new();
    let mut waiting = vec![below.to_path_buf()];
    while let Some(at) = waiting.pop() {
        for entry in fs::read_dir(at).unwrap() {
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

#[test]
fn a_good_build_writes_what_its_report_lists() {
    let (_dir, prop, out) = folder(GOOD);
    let done = run(&["build", &prop, "--out", &out, "--also", "stl"]);
    assert_eq!(code(&done), 0, "{done:?}");
    let report: serde_json::Value =
        serde_json::from_slice(&fs::read(format!("{out}/jar/report.json")).unwrap()).unwrap();
    let mut listed: Vec<String> =
        report["files"].as_array().unwrap().iter().map(|f| f.as_str().unwrap().to_owned()).collect();
    listed.sort();
    let mut written: Vec<String> =
        all(Path::new(&out)).into_iter().map(|(p, _)| p.to_str().unwrap().to_owned()).collect();
    written.sort();
    assert_eq!(listed, written);
    assert!(written.contains(&"jar/jar.stl".to_owned()));
}

#[test]
fn faults_of_the_prop_end_with_1_and_write_nothing() {
    let (_dir, prop, out) = folder(GOOD.replace("70 mm", "70"));
    let done = run(&["build", &prop, "--out", &out]);
    assert_eq!(code(&done), 1);
    assert!(errors(&done).contains("bare-number"), "{}", errors(&done));
    assert!(!Path::new(&out).exists());
    assert_eq!(code(&run(&["check", &prop])), 1);
}

#[test]
fn wrong_usage_ends_with_2() {
    let (_dir, prop, out) = folder(GOOD);
    for arguments in [
        &["build"][..],
        &["bild", &prop],
        &["build", &prop, "--no-such-flag"],
        &["build", "no/such/file.prop", "--out", &out],
        &["build", &prop, "--out", &out, "--set", "tall"],
        &["explain", "no-such-code"],
        &["reference", "zzzzzz"],
        &["fmt", "no/such/file.prop"],
    ] {
        let done = run(arguments);
        assert_eq!(code(&done), 2, "{arguments:?}: {done:?}");
        assert!(!errors(&done).is_empty());
    }
    assert!(!Path::new(&out).exists());
}

#[test]
fn a_machine_that_fails_ends_with_3_and_one_clear_line() {
    let (dir, prop, _) = folder(GOOD);
    let file = dir.path().join("in-the-way");
    fs::write(&file, "").unwrap();
    for out in [file.to_str().unwrap(), "/proc/nowhere"] {
        let done = run(&["build", &prop, "--out", out, "--format", "plain"]);
        assert_eq!(code(&done), 3, "{done:?}");
        assert_eq!(errors(&done).lines().count(), 1, "{}", errors(&done));
    }
}

#[cfg(target_os = "linux")]
#[test]
fn a_disk_that_fills_up_leaves_the_older_build() {
    let (_dir, prop, out) = folder(GOOD);
    assert_eq!(code(&run(&["build", &prop, "--out", &out])), 0);
    let before = all(Path::new(&out));
    fs::write(&prop, GOOD.replace("70 mm", "71 mm")).unwrap();
    // No file may pass one block: as on a full disk, a write fails half-way.
    let script =
        format!("ulimit -f 1; trap '' XFSZ; exec '{}' build '{prop}' --out '{out}'", env!("CARGO_BIN_EXE_tasset"));
    let done = Command::new("sh").args(["-c", &script]).output().unwrap();
    assert_eq!(code(&done), 3, "{done:?}");
    assert!(all(Path::new(&out)) == before, "an older good build survives, whole");
}

#[test]
fn sheets_of_an_earlier_build_do_not_stay() {
    let two =
        GOOD.replace("cap base on wall.bottom { fit: inset }", "cap base on wall.bottom { of: foam5, fit: inset }");
    let (_dir, prop, out) = folder(two);
    assert_eq!(code(&run(&["build", &prop, "--out", &out])), 0);
    assert!(Path::new(&format!("{out}/jar/cut/foam5-1.dxf")).exists());
    fs::write(format!("{out}/jar/cut/mine.txt"), "a note of the maker's").unwrap();
    fs::write(&prop, GOOD).unwrap();
    assert_eq!(code(&run(&["build", &prop, "--out", &out])), 0);
    assert!(!Path::new(&format!("{out}/jar/cut/foam5-1.dxf")).exists());
    assert!(Path::new(&format!("{out}/jar/cut/mine.txt")).exists(), "what the build did not write stays");
}

#[cfg(unix)]
#[test]
fn imports_stay_in_the_folder_and_are_ordinary_files() {
    use std::os::unix::fs::symlink;
    let (dir, prop, out) = folder("");
    let away = tempfile::tempdir().unwrap();
    let secret = away.path().join("secret.prop");
    fs::write(&secret, "stock s { as: foam, thick: 3 mm }").unwrap();
    symlink(&secret, dir.path().join("link.prop")).unwrap();
    fs::create_dir(dir.path().join("shelf")).unwrap();
    fs::write(dir.path().join("large.prop"), "#".repeat(1 << 21)).unwrap();
    fs::write(dir.path().join("bytes.prop"), b"\xff\xfe").unwrap();
    assert!(Command::new("mkfifo").arg(dir.path().join("pipe.prop")).status().unwrap().success());
    for (path, expected) in [
        ("../secret.prop", "outside-folder no-such-file"),
        (secret.to_str().unwrap(), "outside-folder"),
        ("link.prop", "outside-folder"),
        ("pipe.prop", "not-a-file"),
        ("shelf", "not-a-file"),
        ("/dev/zero", "outside-folder"),
        ("large.prop", "file-too-large"),
        ("bytes.prop", "not-text"),
        ("absent.prop", "no-such-file"),
    ] {
        fs::write(&prop, format!("use \"{path}\"\n{GOOD}")).unwrap();
        let done = run(&["build", &prop, "--out", &out]);
        assert_eq!(code(&done), 1, "{path}: {done:?}");
        assert!(expected.split(' ').any(|e| errors(&done).contains(e)), "{path}: {}", errors(&done));
    }
    fs::write(&prop, b"\xff").unwrap();
    assert!(errors(&run(&["check", &prop])).contains("not-text"));
}

#[test]
fn imports_may_go_round_and_are_read_once() {
    let (dir, prop, out) = folder(format!("use \"a.prop\"\n{GOOD}"));
    fs::write(dir.path().join("a.prop"), "use \"case.prop\"\nuse \"./a.prop\"\nlet unused = 3 mm\n").unwrap();
    let done = run(&["build", &prop, "--out", &out]);
    assert_eq!(code(&done), 0, "{done:?}");
}

#[test]
fn at_most_64_files_are_read() {
    let (dir, prop, _) = folder(format!("use \"f1.prop\"\n{GOOD}"));
    for i in 1..70 {
        fs::write(dir.path().join(format!("f{i}.prop")), format!("use \"f{}.prop\"\n", i + 1)).unwrap();
    }
    let done = run(&["check", &prop]);
    assert_eq!(code(&done), 1);
    assert!(errors(&done).contains("too-many-files"), "{}", errors(&done));
}

#[test]
fn settings_and_wearers_come_from_the_command_line() {
    let text = "prop jar { title: \"Jar\", of: foam3, wearer: [ann, bo] }\nwearer ann { wrist_around: 160 mm }\n\
                wearer bo { wrist_around: 190 mm }\nsetting tall = 60 mm \"height\"\n\
                shell wall { at 0 mm to tall: circle(around: wearer.wrist_around + 60 mm), measured: inside }\n";
    let (_dir, prop, out) = folder(text);
    assert_eq!(code(&run(&["build", &prop, "--out", &out, "--set", "tall=3 in"])), 0);
    let tall = |folder: &str| {
        let report: serde_json::Value =
            serde_json::from_slice(&fs::read(format!("{out}/{folder}/report.json")).unwrap()).unwrap();
        assert_eq!(report["settings"][0]["name"], "tall");
        report["pieces"][0]["size"]
            .as_array()
            .unwrap()
            .iter()
            .map(|v| v.as_f64().unwrap())
            .fold(f64::INFINITY, f64::min)
    };
    assert!((tall("jar-ann") - 76.2).abs() < 1e-6 && (tall("jar-bo") - 76.2).abs() < 1e-6);
    let done = run(&["build", &prop, "--out", &out, "--wearer", "joe"]);
    assert_eq!(code(&done), 1);
    assert!(errors(&done).contains("unknown-wearer"));
    let done = run(&["check", &prop, "--set", "tall=3 in, 4 in"]);
    assert_eq!(code(&done), 1, "{done:?}");
    let done = run(&["check", &prop, "--set", "tall=1 in\nlet x = 2 in"]);
    assert!(errors(&done).contains("not-one-value"), "{}", errors(&done));
}

#[test]
fn two_props_of_one_name_do_not_overwrite_each_other() {
    let (dir, prop, out) = folder(GOOD);
    let other = dir.path().join("other.prop");
    fs::write(&other, GOOD.replace("70 mm", "80 mm")).unwrap();
    let done = run(&["build", &prop, other.to_str().unwrap(), "--out", &out]);
    assert_eq!(code(&done), 2);
    assert!(errors(&done).contains("give the prop its own name"));
}

#[test]
fn json_places_count_bytes_and_characters() {
    let (_dir, prop, _) =
        folder("# é\r\nprop jar { title: \"é\", of: foam3 }\r\nshell w { at 0 mm to 9 cm: circle(across: 70) }\r\n");
    let done = run(&["check", &prop, "--format", "json"]);
    assert_eq!(code(&done), 1);
    let document: serde_json::Value = serde_json::from_str(&printed(&done)).unwrap();
    let label = &document["diagnostics"][0]["labels"][0];
    assert_eq!(label["start"]["line"], 3);
    assert_eq!(label["start"]["column"], 43);
    assert_eq!(label["start"]["byte"], 85, "{label}");
    assert_eq!(document["diagnostics"][0]["code"], "bare-number");
}

#[test]
fn plain_messages_hold_no_drawing_and_colour_is_as_asked() {
    let (_dir, prop, _) = folder(GOOD.replace("70 mm", "70"));
    let plain = errors(&run(&["check", &prop]));
    assert!(plain.is_ascii() || !plain.contains(['│', '╭', '\u{1b}']), "{plain}");
    let drawn = errors(&run(&["check", &prop, "--format", "drawn", "--colour", "always"]));
    assert!(drawn.contains('\u{1b}') && drawn.contains('╭'), "{drawn}");
    let drawn = errors(&run(&["check", &prop, "--format", "drawn"]));
    assert!(!drawn.contains('\u{1b}'), "{drawn}");
}

#[test]
fn fmt_lays_out_checks_and_leaves_the_faulty_alone() {
    let (dir, prop, _) = folder("prop  jar{title:\"Jar\",of:foam3}\n");
    let bad = dir.path().join("bad.prop");
    fs::write(&bad, "shell {{{").unwrap();
    assert_eq!(code(&run(&["fmt", "--check", &prop])), 1);
    assert_eq!(code(&run(&["fmt", bad.to_str().unwrap(), &prop])), 1);
    assert_eq!(fs::read_to_string(&bad).unwrap(), "shell {{{");
    assert_eq!(fs::read_to_string(&prop).unwrap(), "prop jar { title: \"Jar\", of: foam3 }\n");
    assert_eq!(code(&run(&["fmt", "--check", &prop])), 0);
}

#[cfg(unix)]
#[test]
fn fmt_keeps_permissions_and_links() {
    use std::os::unix::fs::{PermissionsExt as _, symlink};
    let (dir, prop, _) = folder("prop  jar{title:\"Jar\",of:foam3}\n");
    fs::set_permissions(&prop, fs::Permissions::from_mode(0o640)).unwrap();
    let link = dir.path().join("link.prop");
    symlink(&prop, &link).unwrap();
    assert_eq!(code(&run(&["fmt", link.to_str().unwrap()])), 0);
    assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
    assert_eq!(fs::metadata(&prop).unwrap().permissions().mode() & 0o777, 0o640);
    assert!(fs::read_to_string(&prop).unwrap().starts_with("prop jar {"));
}

#[test]
fn a_new_prop_builds_as_it_stands_and_is_never_overwritten() {
    let dir = tempfile::tempdir().unwrap();
    for name in ["lantern", "2 lamps.prop", "body"] {
        let path = dir.path().join(name);
        assert_eq!(code(&run(&["new", path.to_str().unwrap()])), 0);
        let prop = path.with_extension("prop");
        let prop = prop.to_str().unwrap();
        let before = fs::read(prop).unwrap();
        assert_ne!(code(&run(&["new", prop])), 0);
        assert_eq!(fs::read(prop).unwrap(), before);
        let done = run(&["build", prop, "--out", dir.path().join("out").to_str().unwrap()]);
        assert_eq!(code(&done), 0, "{name}: {done:?}");
        assert_eq!(code(&run(&["fmt", "--check", prop])), 0, "{name} is laid out as fmt would");
    }
}

#[test]
fn everything_can_be_looked_up() {
    let codes = printed(&run(&["explain"]));
    assert!(codes.lines().count() > 80);
    let done = run(&["explain", "bare-number"]);
    assert!(code(&done) == 0 && printed(&done).contains("90 mm"));
    let done = run(&["reference", "shell"]);
    assert!(code(&done) == 0 && printed(&done).contains("seam"));
    assert!(printed(&run(&["reference", "--markdown"])).contains("## "));
    for shell in ["bash", "zsh", "fish", "elvish", "powershell"] {
        assert!(printed(&run(&["completions", shell])).contains("tasset"), "{shell}");
    }
    assert!(printed(&run(&["manual"])).starts_with(".ie"));
    assert!(printed(&run(&["--version"])).starts_with("tasset 0."));
}

#[test]
fn a_reader_that_goes_away_is_no_fault() {
    let script = format!("'{}' reference --markdown | head -n 1", env!("CARGO_BIN_EXE_tasset"));
    let done = Command::new("sh").args(["-c", &script]).output().unwrap();
    assert!(!errors(&done).contains("panicked"), "{}", errors(&done));
}

/// The same text gives the same bytes: again, elsewhere, in other places and tongues of the world.
#[test]
fn the_same_text_gives_the_same_bytes() {
    let (dir, prop, out) = folder(GOOD);
    for version in ["r2000", "r12"] {
        let first = format!("{out}-{version}");
        assert_eq!(code(&run(&["build", &prop, "--out", &first, "--also", "stl", "--dxf", version])), 0);
        let expected = all(Path::new(&first));
        for (i, (key, value)) in [
            ("LANG", "de_DE.UTF-8"),
            ("LC_ALL", "tr_TR.UTF-8"),
            ("HOME", ""),
            ("RAYON_NUM_THREADS", "7"),
            ("TZ", "Asia/Kathmandu"),
        ]
        .into_iter()
        .enumerate()
        {
            let again = format!("{out}-{version}-{i}");
            let done = tasset(&["build", "case.prop", "--out", &again, "--also", "stl", "--dxf", version])
                .env(key, value)
                .current_dir(dir.path())
                .output()
                .unwrap();
            assert_eq!(code(&done), 0, "{done:?}");
            let strip = |files: Vec<(PathBuf, Vec<u8>)>| {
                files.into_iter().filter(|(p, _)| !p.ends_with("report.json")).collect::<Vec<_>>()
            };
            assert!(strip(all(Path::new(&again))) == strip(expected.clone()), "{key}={value}");
        }
    }
}

#[cfg(target_os = "linux")]
#[test]
fn every_time_zone_gives_the_same_bytes() {
    let mut zones = Vec::new();
    let mut waiting = vec![PathBuf::from("/usr/share/zoneinfo")];
    let mut seen = std::collections::BTreeSet::new();
    while let Some(at) = waiting.pop() {
        for entry in fs::read_dir(&at).expect("the system's time zones (package tzdata)") {
            let path = entry.unwrap().path();
            if path.is_dir() {
                // `posix` and `right` hold the same places again.
                if !path.ends_with("posix") && !path.ends_with("right") {
                    waiting.push(path);
                }
            } else if let Ok(bytes) = fs::read(&path)
                && bytes.starts_with(b"TZif")
                && seen.insert(bytes)
            {
                zones.push(path);
            }
        }
    }
    assert!(zones.len() > 200, "only {} zones found", zones.len());
    assert!(
        zones.iter().any(|z| z.ends_with("Europe/Stockholm")) || zones.iter().any(|z| z.ends_with("Europe/Berlin"))
    );
    zones.push(PathBuf::from("/usr/share/zoneinfo/Europe/Stockholm"));
    let (_dir, prop, out) =
        folder("prop jar { title: \"Jar\", of: card }\nshell wall { at 0 mm to 60 mm: circle(across: 70 mm) }\n");
    assert_eq!(code(&run(&["build", &prop, "--out", &out])), 0);
    let expected = all(Path::new(&out));
    std::thread::scope(|scope| {
        for (n, zones) in zones.chunks(zones.len().div_ceil(2)).enumerate() {
            let (prop, out, expected) = (&prop, format!("{out}-{n}"), &expected);
            scope.spawn(move || {
                for zone in zones {
                    let done = tasset(&["build", prop, "--out", &out]).env("TZ", zone).output().unwrap();
                    assert_eq!(code(&done), 0, "{}: {done:?}", zone.display());
                    assert!(all(Path::new(&out)) == *expected, "{}", zone.display());
                }
            });
        }
    });
}

#[cfg(unix)]
#[test]
fn an_interrupted_build_leaves_nothing_torn() {
    let (_dir, prop, out) = folder(GOOD);
    for wait in [2, 5, 10, 20, 30, 40, 60, 90] {
        let child =
            tasset(&["build", &prop, "--out", &out]).stdout(Stdio::null()).stderr(Stdio::null()).spawn().unwrap();
        std::thread::sleep(std::time::Duration::from_millis(wait));
        let _ = Command::new("kill").args(["-INT", &child.id().to_string()]).status();
        let _ = child.wait_with_output().unwrap();
        if !Path::new(&out).exists() {
            continue;
        }
        let files = all(Path::new(&out));
        assert!(files.iter().all(|(p, _)| !p.to_str().unwrap().contains(".part")), "{files:?}");
        if let Some((_, report)) = files.iter().find(|(p, _)| p.ends_with("report.json")) {
            let report: serde_json::Value = serde_json::from_slice(report).unwrap();
            for name in report["files"].as_array().unwrap() {
                assert!(Path::new(&out).join(name.as_str().unwrap()).exists());
            }
        }
    }
}
