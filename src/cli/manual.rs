//! `tasset manual`: the manual page, in the language of `man`; every command and its options in one page.

use clap::Command;
use clap_mangen::Man;

/// The page. Each command that is listed has a part of its own.
pub fn page(mut command: Command) -> String {
    command.build();
    let whole = Man::new(command.clone());
    let mut page: Vec<u8> = Vec::new();
    let wrote = |r: std::io::Result<()>| r.expect("memory takes every byte");
    wrote(whole.render_title(&mut page));
    wrote(whole.render_name_section(&mut page));
    wrote(whole.render_synopsis_section(&mut page));
    wrote(whole.render_description_section(&mut page));
    wrote(whole.render_options_section(&mut page));
    for sub in command.get_subcommands().filter(|s| s.get_name() != "help") {
        let mut part: Vec<u8> = Vec::new();
        let man = Man::new(sub.clone());
        wrote(man.render_synopsis_section(&mut part));
        wrote(man.render_description_section(&mut part));
        wrote(man.render_options_section(&mut part));
        let heading = format!(".SH \"TASSET {}\"\n", sub.get_name().to_uppercase());
        page.extend(heading.into_bytes());
        // Within a command's part the sections are of the second rank.
        page.extend(String::from_utf8_lossy(&part).replace(".SH ", ".SS ").into_bytes());
    }
    // Set line by line, as it is in the help.
    let after = command.get_after_help().map(ToString::to_string).unwrap_or_default();
    let after: String = after.lines().map(|l| format!("\\&{}\n", l.replace('\\', "\\e").replace('-', "\\-"))).collect();
    page.extend(format!(".SH \"TO BEGIN\"\n.nf\n{after}.fi\n").into_bytes());
    wrote(whole.render_version_section(&mut page));
    String::from_utf8_lossy(&page).into_owned()
}
