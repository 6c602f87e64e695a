//! The command as a maker meets it: exit codes, settings and wearers, several files in one call.

use std::fs;
use std::path::Path;

use super::command::{GOOD, all, code, errors, folder, for_two, listed, names, printed, run, script, text};

#[test]
fn a_good_build_writes_what_its_report_lists() {
    let (_dir, prop, out) = folder(GOOD);
    let done = run(&["build", &prop, "--out", &out, "--also", "stl"]);
    assert_eq!(code(&done), 0, "{done:?}");
    assert_eq!(listed(format!("{out}/jar/report.json")), names(&out));
    assert!(names(&out).contains(&"jar/jar.stl".to_owned()));
}

#[test]
fn faults_of_the_prop_end_with_1_and_write_nothing() {
    let (_dir, prop, out) = folder(GOOD.replace("70 mm", "70"));
    let done = run(&["build", &prop, "--out", &out]);
    assert_eq!(code(&done), 1);
    assert!(errors(&done).contains("bare-number"), "{}", errors(&done));
    assert!(errors(&done).ends_with("case.prop: 1 error; nothing was written\n"), "{}", errors(&done));
    assert!(!Path::new(&out).exists());
    assert_eq!(code(&run(&["check", &prop])), 1);
}

#[test]
fn older_files_stay_when_a_build_finds_faults() {
    let (_dir, prop, out) = folder(GOOD);
    assert_eq!(code(&run(&["build", &prop, "--out", &out])), 0);
    let before = all(&out);
    fs::write(&prop, GOOD.replace("70 mm", "70")).unwrap();
    assert_eq!(code(&run(&["build", &prop, "--out", &out])), 1);
    assert!(all(&out) == before);
}

#[test]
fn wrong_usage_ends_with_2() {
    let (dir, prop, out) = folder(GOOD);
    let shelf = text(dir.path());
    for arguments in [
        &["build"][..],
        &["bild", &prop],
        &["build", &prop, "--no-such-flag"],
        &["build", &prop, "--format", "loud"],
        &["reference", "--markdown", "shell"],
        &["completions", "teapot"],
    ] {
        let done = run(arguments);
        assert_eq!(code(&done), 2, "{arguments:?}: {done:?}");
        assert!(errors(&done).starts_with("error: ") && errors(&done).contains("--help"), "{}", errors(&done));
    }
    for (arguments, expected) in [
        (&["build", "no/such/file.prop", "--out", &out][..], "there is no file `no/such/file.prop`"),
        (&["check", &shelf], "is no ordinary file"),
        (&["fmt", "no/such/file.prop"], "there is no file `no/such/file.prop`"),
        (&["build", &prop, "--out", &out, "--set", "tall"], "write NAME=VALUE"),
        (&["build", &prop, "--out", &out, "--set", "=3 mm"], "stands before the `=`"),
        (&["build", &prop, "--out", &out, "--set", "two words=3 mm"], "stands before the `=`"),
        (&["build", &prop, "--out", &out, "--set", "tall= "], "a value is missing"),
        (&["check", &prop, "--set", "a=3 mm", "--set", "a=4 mm"], "already has a value"),
        (&["build", &prop, "--out", &out, "--set", "tall=3 mm"], "no setting called `tall`"),
        (&["build", &prop, "--out", &out, "--wearer", "joe"], "no wearer called `joe`"),
        (&["explain", "bare-numbr"], "did you mean `bare-number`?"),
        (&["explain", "zzzzzz"], "`tasset explain` lists them"),
        (&["reference", "shel"], "did you mean `shell`?"),
        (&["reference", "zzzzzz"], "no word `zzzzzz`"),
        (&["new", &prop], "is already there; it stays as it is"),
        (&["new", "no/such/folder/lamp"], "there is no folder no/such/folder"),
        (&["new", "/"], "no name for a file"),
    ] {
        let done = run(arguments);
        assert_eq!(code(&done), 2, "{arguments:?}: {done:?}");
        assert!(errors(&done).contains(expected), "{arguments:?}: {}", errors(&done));
        assert_eq!(printed(&done), "", "{arguments:?}");
        assert!(!errors(&done).contains("no-prop"), "nothing is said of a file that was not read: {}", errors(&done));
        let ours = errors(&done).starts_with("tasset: ");
        assert!(!ours || errors(&done).lines().count() == 1, "one line: {}", errors(&done));
    }
    assert!(!Path::new(&out).exists());
    assert_eq!(fs::read_to_string(prop).unwrap(), GOOD);
}

#[test]
fn a_call_without_a_command_shows_the_help_and_ends_with_2() {
    let done = run(&[]);
    assert_eq!(code(&done), 2);
    assert!(errors(&done).contains("tasset new lantern"));
    for arguments in [&["--help"][..], &["help"], &["help", "build"], &["build", "-h"], &["--version"]] {
        let done = run(arguments);
        assert_eq!(code(&done), 0, "{arguments:?}");
        assert!(!printed(&done).is_empty() && errors(&done).is_empty(), "{arguments:?}");
    }
}

#[test]
fn the_help_names_what_there_is() {
    let help = printed(&run(&["--help"]));
    for word in ["build", "check", "fmt", "new", "explain", "reference", "completions", "manual", "Exit codes: 0 good"]
    {
        assert!(help.contains(word), "{word}");
    }
    let help = printed(&run(&["build", "--help"]));
    for word in ["NAME-WEARER", "--out", "--set", "--wearer", "--also", "--dxf", "--format", "--colour", "report.json"]
    {
        assert!(help.contains(word), "{word}");
    }
}

#[cfg(unix)]
#[test]
fn a_machine_that_fails_ends_with_3_and_one_clear_line() {
    let (dir, prop, _) = folder(GOOD);
    let file = dir.path().join("in-the-way");
    fs::write(&file, "").unwrap();
    let blocked = dir.path().join("blocked");
    fs::create_dir_all(blocked.join("jar/report.json")).unwrap();
    for (out, expected) in [
        (text(&file), "a file stands where a folder has to be"),
        (text(file.join("deeper")), "a file stands where a folder has to be"),
        (text(&blocked), "a folder of that name is in the way"),
        ("/dev/null".to_owned(), "a file stands where a folder has to be"),
    ] {
        let done = run(&["build", &prop, "--out", &out, "--format", "plain"]);
        assert_eq!(code(&done), 3, "{done:?}");
        assert_eq!(errors(&done).lines().count(), 1, "{}", errors(&done));
        assert!(errors(&done).starts_with("tasset: cannot ") && errors(&done).contains(expected), "{}", errors(&done));
    }
    assert_eq!(names(&blocked), Vec::<String>::new(), "nothing of a failed build stays");
    assert!(!blocked.join("jar/cut").exists());
}

/// `/dev/full` fails every write as a full disk does (full(4) of the Linux manual).
#[cfg(target_os = "linux")]
#[test]
fn output_that_cannot_be_printed_ends_with_3() {
    for arguments in [&["--help"][..], &["--version"], &["explain"], &["reference", "shell"], &["manual"]] {
        let done = script("exec \"$0\" \"$@\" > /dev/full", arguments);
        assert_eq!(code(&done), 3, "{arguments:?}: {done:?}");
        assert_eq!(errors(&done), "tasset: cannot write to standard output: the disk is full\n");
    }
}

/// Reading the memory of a process at 0 fails (proc_pid_mem(5)): an ordinary file that the machine cannot read.
#[cfg(target_os = "linux")]
#[test]
fn a_file_that_the_machine_cannot_read_ends_with_3() {
    for command in ["build", "check", "fmt"] {
        let done = run(&[command, "/proc/self/mem"]);
        assert_eq!(code(&done), 3, "{command}: {done:?}");
        assert!(errors(&done).contains("`/proc/self/mem` cannot be read"), "{}", errors(&done));
        assert_eq!(errors(&done).lines().count(), 1, "{}", errors(&done));
    }
}

#[cfg(unix)]
#[test]
fn a_reader_that_goes_away_is_no_fault() {
    let (_dir, prop, out) = folder(GOOD);
    for arguments in [
        &["reference", "--markdown"][..],
        &["explain"],
        &["manual"],
        &["completions", "zsh"],
        &["build", &prop, "--out", &out],
        &["check", &prop, "--format", "json"],
        &["--help"],
    ] {
        let done = script("{ \"$0\" \"$@\"; echo \"ended with $?\" >&2; } | head -n 1", arguments);
        assert!(errors(&done).ends_with("ended with 0\n"), "{arguments:?}: {}", errors(&done));
        assert!(!errors(&done).contains("panicked"), "{}", errors(&done));
        // The reader is gone before the first line.
        let done = script("{ sleep 0.2; \"$0\" \"$@\"; echo \"ended with $?\" >&2; } | true", arguments);
        assert!(errors(&done).ends_with("ended with 0\n"), "{arguments:?}: {}", errors(&done));
        // Nobody listens at all.
        let done = script("\"$0\" \"$@\" >&- 2>&-; echo \"ended with $?\" >&2", arguments);
        assert!(errors(&done).ends_with("ended with 0\n"), "{arguments:?}: {}", errors(&done));
    }
}

#[test]
fn settings_come_from_the_command_line() {
    let (_dir, prop, out) = folder(for_two(190));
    assert_eq!(code(&run(&["build", &prop, "--out", &out, "--set", "tall=3 in"])), 0);
    let tall = |folder: &str| {
        let report: serde_json::Value =
            serde_json::from_slice(&fs::read(format!("{out}/{folder}/report.json")).unwrap()).unwrap();
        assert_eq!(report["settings"][0]["name"], "tall");
        let size = report["pieces"][0]["size"].as_array().unwrap();
        size.iter().map(|v| v.as_f64().unwrap()).fold(f64::INFINITY, f64::min)
    };
    // 3 in = 76.2 mm (the inch is 25.4 mm: NIST SP 811, appendix B.8).
    assert!((tall("jar-ann") - 76.2).abs() < 1e-6 && (tall("jar-bo") - 76.2).abs() < 1e-6);
}

#[test]
fn a_setting_takes_one_value_of_its_own_kind() {
    let (_dir, prop, _) = folder(for_two(190));
    for (set, expected) in [
        ("tall=3 in, 4 in", "error"),
        ("tall=1 in\nlet x = 2 in", "not-one-value"),
        ("tall=3", "bare-number"),
        ("tall=)", "stray-bracket"),
        ("high=3 mm", "unknown-setting"),
    ] {
        let done = run(&["check", &prop, "--set", set]);
        assert_eq!(code(&done), 2, "the command is wrong, not the prop: {set}: {done:?}");
        assert!(errors(&done).contains(expected), "{set}: {}", errors(&done));
        assert_eq!(errors(&done).matches(": error ").count(), 1, "said once for both wearers: {}", errors(&done));
    }
    // A value that is well written and does not suit the prop is the prop's fault.
    assert_eq!(code(&run(&["check", &prop, "--set", "tall=0 mm"])), 1);
}

#[test]
fn a_prop_with_two_wearers_is_built_for_each_in_a_folder_of_its_own() {
    let (_dir, prop, out) = folder(for_two(190));
    let done = run(&["build", &prop, "--out", &out]);
    assert_eq!(code(&done), 0, "{done:?}");
    for (wearer, other) in [("ann", "bo"), ("bo", "ann")] {
        assert!(printed(&done).contains(&format!("jar: Jar, for {wearer}\n")), "{}", printed(&done));
        let report = format!("{out}/jar-{wearer}/report.json");
        assert!(fs::read_to_string(&report).unwrap().contains(&format!("\"wearer\": \"{wearer}\"")));
        assert!(listed(report).iter().all(|f| f.starts_with(&format!("jar-{wearer}/"))));
        // One alone gives the same files, and none for the other.
        let alone = format!("{out}-{wearer}");
        assert_eq!(code(&run(&["build", &prop, "--out", &alone, "--wearer", wearer])), 0);
        assert!(all(format!("{alone}/jar-{wearer}")) == all(format!("{out}/jar-{wearer}")));
        assert!(!Path::new(&format!("{alone}/jar-{other}")).exists());
    }
    assert_ne!(
        fs::read(format!("{out}/jar-ann/cut/foam3-1.dxf")).unwrap(),
        fs::read(format!("{out}/jar-bo/cut/foam3-1.dxf")).unwrap()
    );
}

#[test]
fn a_fault_for_one_wearer_is_found_and_keeps_the_other_whole() {
    let (_dir, prop, out) = folder(for_two(180));
    for command in [&["check", &prop][..], &["build", &prop, "--out", &out]] {
        let done = run(command);
        assert_eq!(code(&done), 1, "{done:?}");
        assert_eq!(errors(&done).matches("requirement-fails").count(), 1, "{}", errors(&done));
        assert!(errors(&done).contains("case.prop, for bo: 1 error"), "{}", errors(&done));
    }
    assert!(Path::new(&format!("{out}/jar-ann/report.json")).exists());
    assert!(!Path::new(&format!("{out}/jar-bo")).exists());
    assert_eq!(code(&run(&["check", &prop, "--wearer", "ann"])), 0);
}

#[test]
fn an_unknown_wearer_is_told_who_there_is() {
    let (_dir, prop, out) = folder(for_two(190));
    for (asked, expected) in [("joe", "the wearers are ann and bo"), ("an", "`--wearer ann`")] {
        let done = run(&["build", &prop, "--out", &out, "--wearer", asked]);
        assert_eq!(code(&done), 2);
        assert!(errors(&done).contains("unknown-wearer") && errors(&done).contains(expected), "{}", errors(&done));
    }
    assert!(!Path::new(&out).exists());
}

#[test]
fn two_props_of_one_name_do_not_overwrite_each_other() {
    let (dir, prop, out) = folder(GOOD);
    let other = text(dir.path().join("other.prop"));
    fs::write(&other, GOOD.replace("70 mm", "80 mm")).unwrap();
    assert_eq!(code(&run(&["build", &prop, "--out", &out])), 0);
    let first = all(&out);
    let done = run(&["build", &prop, &other, "--out", &out]);
    assert_eq!(code(&done), 2);
    assert!(errors(&done).contains("give the prop a name of its own"), "{}", errors(&done));
    assert!(all(&out) == first);
}

#[test]
fn several_files_are_each_built_and_the_worst_end_counts() {
    let (dir, prop, out) = folder(GOOD);
    let bad = text(dir.path().join("bad.prop"));
    let lid = text(dir.path().join("lid.prop"));
    fs::write(&bad, GOOD.replace("70 mm", "70")).unwrap();
    fs::write(&lid, GOOD.replace("prop jar", "prop lid")).unwrap();
    for (files, expected) in
        [(vec![&bad, &prop, &lid], 1), (vec![&prop, &bad, &lid], 1), (vec![&prop, &"absent.prop".to_owned(), &lid], 2)]
    {
        let _ = fs::remove_dir_all(&out);
        let arguments: Vec<&str> =
            ["build", "--out", &out].into_iter().chain(files.iter().map(|f| f.as_str())).collect();
        assert_eq!(code(&run(&arguments)), expected, "{files:?}");
        for name in ["jar", "lid"] {
            assert!(Path::new(&format!("{out}/{name}/report.json")).exists(), "{name} of {files:?}");
        }
    }
}
