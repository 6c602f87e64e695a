//! File names from names of things, by a rule that can be undone, so that two names never share a file, on systems
//! that fold case too:
//!
//! - `a`–`z`, `0`–`9` and `_` stay;
//! - a space becomes `-`;
//! - a capital `A`–`Z` becomes `=` and its small letter (`Case` is `=case`);
//! - any other character becomes `=` and its code point in six hexadecimal digits (`é` is `=0000e9`);
//! - a name that some systems keep for a device (`con`, `nul`, `com1` …) has its last character written in that
//!   form too (`co=00006e`), and the empty name is a lone `=`;
//! - a name that comes out longer than 80 bytes keeps its first 60 and ends in `==` and its place in its list,
//!   which is the one case that cannot be undone by itself (the report has the whole name).

/// The longest name made from a thing's name, in bytes.
const LONGEST: usize = 80;
/// What a longer one keeps.
const KEPT: usize = 60;

/// The file name of `name`; `index` is its place in the list its names must differ in.
#[must_use]
pub fn file_name(name: &str, index: usize) -> String {
    let mut parts: Vec<String> = name.chars().map(written).collect();
    if reserved(&parts.concat())
        && let (Some(part), Some(last)) = (parts.last_mut(), name.chars().last())
    {
        *part = escaped(last);
    }
    let text = parts.concat();
    if text.is_empty() {
        return "=".to_owned();
    }
    if text.len() <= LONGEST {
        return text;
    }
    let mut short = String::new();
    for part in &parts {
        if short.len() + part.len() > KEPT {
            break;
        }
        short.push_str(part);
    }
    format!("{short}=={index}")
}

/// The name that a file name was made of; `None` when no name makes it, or when it was cut.
#[must_use]
pub fn name_of(file: &str) -> Option<String> {
    if file == "=" {
        return Some(String::new());
    }
    let mut name = String::new();
    let mut chars = file.chars();
    while let Some(c) = chars.next() {
        match c {
            'a'..='z' | '0'..='9' | '_' => name.push(c),
            '-' => name.push(' '),
            '=' => {
                let rest = chars.as_str();
                let first = rest.chars().next()?;
                if first.is_ascii_lowercase() {
                    name.push(first.to_ascii_uppercase());
                    chars.next();
                } else {
                    let digits = rest.get(..6)?;
                    name.push(char::from_u32(u32::from_str_radix(digits, 16).ok()?)?);
                    chars = rest[6..].chars();
                }
            }
            _ => return None,
        }
    }
    (file_name(&name, 0) == file).then_some(name)
}

fn written(c: char) -> String {
    match c {
        'a'..='z' | '0'..='9' | '_' => c.to_string(),
        ' ' => "-".to_owned(),
        'A'..='Z' => format!("={}", c.to_ascii_lowercase()),
        _ => escaped(c),
    }
}

fn escaped(c: char) -> String {
    format!("={:06x}", u32::from(c))
}

/// Names that Windows keeps for devices, whatever follows a point (published naming rules for its files).
fn reserved(name: &str) -> bool {
    matches!(name, "con" | "prn" | "aux" | "nul")
        || (name.len() == 4
            && (name.starts_with("com") || name.starts_with("lpt"))
            && name.ends_with(|c: char| c.is_ascii_digit()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn plain_names_stay_readable() {
        assert_eq!(file_name("flag_case", 0), "flag_case");
        assert_eq!(file_name("body ring 2", 0), "body-ring-2");
        assert_eq!(file_name("Foam5", 0), "=foam5");
    }

    #[test]
    fn nothing_leaves_the_folder_or_names_a_device() {
        assert_eq!(file_name("../etc", 0), "=00002e=00002e=00002fetc");
        assert_eq!(file_name("con", 0), "co=00006e");
        assert_eq!(file_name("com1", 0), "com=000031");
        assert_eq!(file_name("NUL", 0), "=n=u=l");
        assert_eq!(file_name("", 0), "=");
    }

    #[test]
    fn long_names_are_cut_and_numbered() {
        let (a, b) = (file_name(&"é".repeat(300), 3), file_name(&"é".repeat(301), 4));
        assert!(a.len() <= LONGEST && a != b);
    }

    proptest! {
        #[test]
        fn the_rule_can_be_undone(name in "\\PC{0,11}") {
            let file = file_name(&name, 0);
            prop_assert!(file.len() > LONGEST || name_of(&file).as_deref() == Some(name.as_str()));
            prop_assert!(file.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b"_-=".contains(&b)));
        }
    }
}
