//! Words: what a maker may have meant by another, what a field measures, numbers in letters.

use crate::units::Dim;

/// Other words for the language's own, each with what it says: (theirs, ours, what ours is).
const SYNONYMS: &[(&str, &str, &str)] = &[
    ("girth", "around", "the length of a tape laid round it"),
    ("circumference", "around", "the length of a tape laid round it"),
    ("perimeter", "around", "the length of a tape laid round it"),
    ("diameter", "across", "the width from side to side"),
    ("dia", "across", "the width from side to side"),
    ("width", "wide", "the width of a strip"),
    ("width", "across", "the width from side to side"),
    ("size", "across", "the width from side to side"),
    ("breadth", "across", "the width from side to side"),
    ("wide", "across", "the width from side to side"),
    ("across", "wide", "the width of a strip"),
    ("height", "rise", "how far it stands proud"),
    ("height", "long", "its length"),
    ("tall", "long", "its length"),
    ("length", "long", "its length"),
    ("long", "size", "the size of one sheet, or the length of one rod"),
    ("length", "size", "the size of one sheet, or the length of one rod"),
    ("distance", "gap", "the clear distance"),
    ("thickness", "thick", "the thickness"),
    ("depth", "deep", "the depth"),
    ("weight", "mass", "the mass"),
    ("material", "of", "what it is made of"),
    ("stock", "of", "what it is made of"),
    ("type", "as", "the sort it is of"),
    ("kind", "as", "the sort it is of"),
    ("sort", "as", "the sort it is of"),
    ("style", "as", "the sort it is of"),
    ("position", "level", "where it lies along its target"),
    ("direction", "facing", "which way round it lies"),
    ("angle", "facing", "which way round it lies"),
    ("clearance", "gap", "the clear distance"),
    ("pitch", "every", "the largest pitch"),
    ("spacing", "every", "the largest pitch"),
    ("number", "count", "how many"),
    ("layers", "coats", "how many coats"),
    ("allowance", "turn", "what is folded over an edge"),
    ("name", "title", "what it is called"),
    ("fillet", "corner", "the radius of its corners"),
    ("cost", "price", "the price"),
    ("fabric", "cloth", "what is woven or knitted"),
    ("textile", "cloth", "what is woven or knitted"),
    ("felt", "cloth", "what is woven or knitted"),
    ("hide", "leather", "what is tanned"),
    ("suede", "leather", "what is tanned"),
    ("cardboard", "card", "stiff paper"),
    ("paper", "card", "stiff paper"),
    ("plastic", "clear", "what light shines through"),
    ("film", "clear", "what light shines through"),
    ("dowel", "rod", "a stiff rod"),
    ("stick", "rod", "a stiff rod"),
    ("rope", "cord", "what is round and bends"),
    ("string", "cord", "what is round and bends"),
    ("ribbon", "tape", "a flat strip sold by its length"),
    ("teeth", "crenels", "square teeth and gaps"),
    ("battlements", "crenels", "square teeth and gaps"),
    ("tongues", "scallops", "round tongues side by side"),
    ("scalloped", "scallops", "round tongues side by side"),
    ("sine", "wave", "a cosine"),
    ("spikes", "point", "points, straight on both sides"),
    ("zigzag", "point", "points, straight on both sides"),
    ("strip", "band", "a strip lying on the skin"),
    ("trim", "band", "a strip lying on the skin"),
    ("edging", "binding", "a strip folded over the edge"),
];

/// The word of `known` that another stands for, and what it is.
pub(super) fn synonym(word: &str, known: &[&'static str]) -> Option<(&'static str, &'static str)> {
    let (_, ours, what) = SYNONYMS.iter().find(|(theirs, ours, _)| *theirs == word && known.contains(ours))?;
    Some((ours, what))
}

/// The word of `known` that a misspelt other word stands for.
pub(super) fn near_synonym(word: &str, known: &[&'static str]) -> Option<&'static str> {
    let theirs = SYNONYMS.iter().filter(|(_, ours, _)| known.contains(ours)).map(|(theirs, ..)| *theirs);
    let near = crate::diag::nearest(word, theirs)?;
    synonym(near, known).map(|(ours, _)| ours)
}

/// The names of `known` that share a part with a word, when they are few: `arm_around` and `arm_long` for `arm`.
pub(super) fn kin<'a>(word: &str, known: &[&'a str]) -> Vec<&'a str> {
    let parts: Vec<&str> = word.split('_').filter(|p| p.len() > 2).collect();
    let alike = |name: &&&str| name.split('_').any(|p| parts.contains(&p));
    let kin: Vec<&str> = known.iter().filter(alike).copied().collect();
    if kin.len() <= 8 { kin } else { Vec::new() }
}

/// `a, b and c`, or where to look when they are too many to read.
pub(super) fn listed(words: &[&str], kind: &str) -> String {
    if words.len() <= 24 { all(words) } else { format!("those of `tasset reference {kind}`") }
}

/// What a field measures, with its article: "a width".
pub(super) fn measure(field: &str, dims: &[Dim]) -> String {
    let word = match field {
        "across" | "across_corners" | "wide" => "a width",
        "around" | "body" => "a girth",
        "long" | "longest" => "a length",
        "thick" | "cloth" | "pad" => "a thickness",
        "rise" => "a rise",
        "at" | "level" => "a level",
        "radius" | "corner" | "bent" => "a radius",
        "deep" | "deepest" => "a depth",
        "every" => "a pitch",
        "turn" => "a turn-over",
        "gap" => "a gap",
        "margin" => "a margin",
        "overlap" => "an overlap",
        "facing" => "a direction",
        "size" | "backing" | "packed" => "a size",
        "density" => "a density",
        "ratio" => "a ratio",
        f if f.ends_with("_around") => "a girth",
        _ => match dims {
            [one] => return one.to_string(),
            [a, b] => return format!("{a} or {b}"),
            many => {
                let all: Vec<String> = many.iter().map(ToString::to_string).collect();
                return all.join(" or ");
            }
        },
    };
    word.to_owned()
}

/// A small whole number in letters.
pub(super) fn count(n: f64) -> String {
    const WORDS: [&str; 13] =
        ["no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"];
    if n.fract() == 0.0 && (0.0..13.0).contains(&n) {
        return WORDS[n as usize].to_owned();
    }
    crate::eval::say::number(n)
}

/// A unit in letters, for so many of it.
pub(super) fn unit(word: &str, n: f64) -> &str {
    let one = n == 1.0;
    match word {
        "mm" if one => "millimetre",
        "mm" => "millimetres",
        "cm" if one => "centimetre",
        "cm" => "centimetres",
        "m" if one => "metre",
        "m" => "metres",
        "in" if one => "inch",
        "in" => "inches",
        "ft" if one => "foot",
        "ft" => "feet",
        other => other,
    }
}

/// `a, b and c`
pub(super) fn all(words: &[&str]) -> String {
    match words {
        [] => "none".to_owned(),
        [one] => (*one).to_owned(),
        [init @ .., last] => format!("{} and {last}", init.join(", ")),
    }
}

/// `` `a`, `b` or `c` ``
pub(super) fn any(words: &[&str]) -> String {
    let quoted: Vec<String> = words.iter().map(|w| format!("`{w}`")).collect();
    match quoted.as_slice() {
        [] => "nothing".to_owned(),
        [one] => one.clone(),
        [init @ .., last] => format!("{} or {last}", init.join(", ")),
    }
}

/// "a cap", "an opening".
pub(super) fn with_article(word: &str) -> String {
    let vowel = word.starts_with(['a', 'e', 'i', 'o', 'u']);
    format!("{} {word}", if vowel { "an" } else { "a" })
}
