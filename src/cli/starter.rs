//! The prop that `tasset new` writes: it builds as it stands, and every line says what it is for.

use tasset::schema;

/// The starter, named after its file.
pub fn text(stem: &str) -> String {
    TEXT.replace("NAME", &name(stem)).replace("TITLE", &title(stem))
}

/// What the starter itself speaks of; a prop of such a name would stand in the way.
const SPOKEN_OF: &[&str] = &["body", "base", "drain", "tall", "girth", "foam5", "a4"];

/// A name of the language from a file's name: letters, digits and `_`, no digit in front, no word that is taken.
fn name(stem: &str) -> String {
    let mut name: String =
        stem.chars().map(|c| if c.is_ascii_alphanumeric() { c.to_ascii_lowercase() } else { '_' }).collect();
    if name.is_empty() || name.starts_with(|c: char| c.is_ascii_digit()) {
        name.insert_str(0, "prop_");
    }
    let word = name.as_str();
    let constants = || schema::CONSTANTS.iter().chain(schema::STANDINS).map(|c| c.word);
    let spoken_for = SPOKEN_OF.iter().copied().chain(constants()).any(|t| t == word);
    if spoken_for || schema::is_reserved(word) || schema::place_word(word).is_some() {
        name.push_str("_prop");
    }
    name
}

fn title(stem: &str) -> String {
    let words: String = stem.chars().map(|c| if c.is_alphanumeric() { c } else { ' ' }).collect();
    let words = words.split_whitespace().collect::<Vec<_>>().join(" ");
    if words.is_empty() { "My first prop".to_owned() } else { words }
}

const TEXT: &str = r##"# What this prop is. Change a line, then build it again; everything after a # is a note for people.

prop NAME {
    title: "TITLE"
    of: foam5  # the sheet it is made of: 5 mm foam, from the built-in shelf
    paper: a4
}

# Two sizes that are easy to change, here or with --set girth="34 cm"
setting tall = 240 mm "height of the wall"
setting girth = 32 cm "a tape laid round the top, outside"

# The wall: what it measures at the bottom and at the top. In between it runs straight.
shell body {
    at 0 mm: circle(across: 80 mm)  # 80 mm wide at the bottom
    at tall: circle(around: girth)
    seam: butt(facing: back)  # where the wall is glued to itself
}

# A disc that closes the bottom, inside the wall.
cap base on body.bottom { fit: inset }

# A hole in it, so that rain runs out.
opening drain on base { shape: circle(across: 8 mm) }

require girth > 20 cm "a hand has to get in"
"##;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn any_file_name_gives_a_usable_name() {
        for (stem, expected) in [
            ("Tide Lamp-2", "tide_lamp_2"),
            ("2nd", "prop_2nd"),
            ("", "prop_"),
            ("body", "body_prop"),
            ("über", "_ber"),
        ] {
            assert_eq!(name(stem), expected);
        }
    }
}
