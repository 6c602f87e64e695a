//! The same text gives the same bytes: again, elsewhere, in every time zone, in other tongues, with other tools round
//! it.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use super::command::{all, code, folder, run, tasset, text};

/// The flag case with its two imports, in a folder of its own; it has notes with places, which the report repeats.
fn flag_case(to: &Path) -> String {
    fs::create_dir_all(to).unwrap();
    let from = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/flag-case");
    for name in ["flag-case.prop", "crew.prop", "workshop.prop"] {
        fs::copy(from.join(name), to.join(name)).unwrap();
    }
    text(to.join("flag-case.prop"))
}

#[test]
fn the_same_text_gives_the_same_bytes() {
    let dir = tempfile::tempdir().unwrap();
    let prop = flag_case(&dir.path().join("here"));
    let elsewhere = flag_case(&dir.path().join("far away/über"));
    for version in ["r2000", "r12"] {
        let out = |name: &str| text(dir.path().join(format!("{version} {name}/deep")));
        let first = out("first");
        assert_eq!(code(&run(&["build", &prop, "--out", &first, "--also", "stl", "--dxf", version])), 0);
        let expected = all(&first);
        // Two cut files of each of four sheets, picture, solid and report, and the full-size pages.
        let pages = expected.iter().filter(|(path, _)| path.components().any(|c| c.as_os_str() == "print")).count();
        assert!(pages > 5 && expected.len() == 11 + pages, "{pages} of {}", expected.len());
        let none: &[(&str, Option<&str>)] = &[];
        for (name, folder, file, settings) in [
            ("again", dir.path(), prop.as_str(), none),
            ("elsewhere", dir.path(), elsewhere.as_str(), none),
            ("from its folder", &dir.path().join("here"), "flag-case.prop", none),
            ("by a dot", &dir.path().join("here"), "./flag-case.prop", none),
            ("by a way round", &dir.path().join("here"), "../far away/../here/flag-case.prop", none),
            ("German", dir.path(), &prop, &[("LANG", Some("de_DE.UTF-8")), ("LC_ALL", Some("de_DE.UTF-8"))]),
            ("Turkish", dir.path(), &prop, &[("LC_ALL", Some("tr_TR.UTF-8")), ("LANGUAGE", Some("tr"))]),
            ("Arabic", dir.path(), &prop, &[("LC_ALL", Some("ar_EG.UTF-8")), ("LC_NUMERIC", Some("ar_EG.UTF-8"))]),
            ("plain C", dir.path(), &prop, &[("LANG", Some("C")), ("LC_ALL", Some("C"))]),
            ("homeless", dir.path(), &prop, &[("HOME", None), ("USER", None), ("PATH", None), ("TMPDIR", None)]),
            ("many hands", dir.path(), &prop, &[("RAYON_NUM_THREADS", Some("7")), ("TOKIO_WORKER_THREADS", Some("3"))]),
            ("one hand", dir.path(), &prop, &[("RAYON_NUM_THREADS", Some("1")), ("OMP_NUM_THREADS", Some("1"))]),
            ("narrow", dir.path(), &prop, &[("COLUMNS", Some("40")), ("NO_COLOR", Some("1"))]),
            ("another day", dir.path(), &prop, &[("SOURCE_DATE_EPOCH", Some("1")), ("TZ", Some("Asia/Kathmandu"))]),
        ] {
            let again = out(name);
            let mut command = tasset(&["build", file, "--out", &again, "--also", "stl", "--dxf", version]);
            command.current_dir(folder);
            for (key, value) in settings {
                match value {
                    Some(value) => command.env(key, value),
                    None => command.env_remove(key),
                };
            }
            let done = command.output().unwrap();
            assert_eq!(code(&done), 0, "{done:?}");
            assert!(all(&again) == expected, "{name}");
        }
    }
}

#[test]
fn a_build_does_not_say_where_it_was_made() {
    let dir = tempfile::tempdir().unwrap();
    let prop = flag_case(&dir.path().join("secret-place"));
    let out = text(dir.path().join("secret-out"));
    assert_eq!(code(&run(&["build", &prop, "--out", &out, "--also", "stl"])), 0);
    for (path, bytes) in all(&out) {
        assert!(!String::from_utf8_lossy(&bytes).contains("secret-"), "{}", path.display());
    }
    let report = fs::read_to_string(format!("{out}/flag_case/report.json")).unwrap();
    assert!(report.contains("\"file\": \"flag-case.prop\""), "messages name the file as it stands in its folder");
}

/// Every time zone of the system (package tzdata), each different one once; the zones' own days and nights begin at
/// other moments, and one of them had no single midnight on 1 January 1900.
#[cfg(target_os = "linux")]
#[test]
fn every_time_zone_gives_the_same_bytes() {
    let mut zones: Vec<PathBuf> = Vec::new();
    let mut waiting = vec![PathBuf::from("/usr/share/zoneinfo")];
    let mut seen = BTreeSet::new();
    while let Some(at) = waiting.pop() {
        let entries = fs::read_dir(&at).expect("the system's time zones (package tzdata)");
        let mut paths: Vec<PathBuf> = entries.map(|e| e.unwrap().path()).collect();
        paths.sort();
        for path in paths {
            if path.is_dir() {
                waiting.push(path);
            } else if let Ok(bytes) = fs::read(&path)
                && bytes.starts_with(b"TZif")
                && seen.insert(bytes)
            {
                zones.push(path);
            }
        }
    }
    assert!(zones.len() > 200, "only {} zones found", zones.len());
    // By name too, as people set it.
    for name in ["Europe/Stockholm", "Europe/Berlin", "America/St_Johns", "UTC"] {
        assert!(Path::new("/usr/share/zoneinfo").join(name).exists(), "{name}");
        zones.push(PathBuf::from(name));
    }
    println!("{} time zones", zones.len());
    // Every sort of file, and little in them: a plate on one page.
    let (_dir, prop, out) = folder(
        "prop token { title: \"Token\", paper: a0, of: foam3 }\nplate tag { shape: rectangle(across: 40 mm by 30 mm) }\n",
    );
    for version in ["r2000", "r12"] {
        let first = format!("{out}-{version}");
        assert_eq!(code(&run(&["build", &prop, "--out", &first, "--dxf", version])), 0);
        let expected = all(&first);
        // The old form is written by the same lines of code: the zones known for trouble are enough.
        let zones: Vec<&PathBuf> = match version {
            "r12" => zones.iter().filter(|z| !z.is_absolute()).collect(),
            _ => zones.iter().collect(),
        };
        std::thread::scope(|scope| {
            for (n, zones) in zones.chunks(zones.len().div_ceil(2)).enumerate() {
                let (prop, out, expected) = (&prop, format!("{out}-{version}-{n}"), &expected);
                scope.spawn(move || {
                    for zone in zones {
                        let done = tasset(&["build", prop, "--out", &out, "--dxf", version]).env("TZ", zone).output();
                        assert_eq!(code(&done.unwrap()), 0, "{}", zone.display());
                        assert!(all(&out) == *expected, "{}", zone.display());
                        fs::remove_dir_all(&out).unwrap();
                    }
                });
            }
        });
    }
}
