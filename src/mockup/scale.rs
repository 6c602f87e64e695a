//! The scale of a mock-up as it is typed: a ratio or a share.

/// The mock-up's lengths for one of the prop's.
#[derive(Clone, Debug, PartialEq)]
pub struct Scale {
    ratio: f64,
    text: String,
}

/// The smallest and the largest scale there is: beyond them nothing is tried on or fitted together by hand (common
/// practice, no source).
const BOUNDS: (f64, f64) = (0.02, 2.0);

impl Scale {
    /// Full size.
    #[must_use]
    pub fn full() -> Self {
        Self { ratio: 1.0, text: "1:1".to_owned() }
    }

    /// Reads `1:2` or `50 %`.
    ///
    /// # Errors
    /// Why it is no scale, in a maker's words.
    pub fn read(text: &str) -> Result<Self, String> {
        let text = text.trim();
        let number = |s: &str| {
            let s = s.trim();
            let plain = !s.is_empty() && s.chars().all(|c| c.is_ascii_digit() || c == '.') && s.len() <= 12;
            s.parse::<f64>().ok().filter(|x| plain && x.is_finite())
        };
        let above = |x: f64| if x > 0.0 { Ok(x) } else { Err("nothing is left of a prop at a scale of 0".to_owned()) };
        let ratio = if let Some((a, b)) = text.split_once(':') {
            match (number(a), number(b)) {
                (Some(a), Some(b)) => above(a)? / above(b)?,
                _ => return Err(format!("{WANTED}: `1:2` is half the size")),
            }
        } else if let Some(share) = text.strip_suffix('%') {
            above(number(share).ok_or_else(|| format!("{WANTED}: `50 %` is half the size"))?)? / 100.0
        } else if let Some(bare) = number(text) {
            let bare = above(bare)?;
            // Below one it is a share; else it may be either.
            let guess = match bare {
                1.0 => "`1:1`".to_owned(),
                _ if bare < 1.0 => format!("`{}`, or `{} %`", said(bare), (bare * 1e8).round() / 1e6),
                _ => format!("`1:{bare}`, `{bare}:1` or `{bare} %`"),
            };
            return Err(format!("{WANTED}, and says which: {guess}?"));
        } else {
            return Err(format!("{WANTED}: `1:2`, `50 %`"));
        };
        if !(BOUNDS.0..=BOUNDS.1).contains(&ratio) {
            return Err("a mock-up is made between 1:50 and 2:1".to_owned());
        }
        Ok(Self { ratio, text: said(ratio) })
    }

    #[must_use]
    pub fn ratio(&self) -> f64 {
        self.ratio
    }

    /// As it is said: `1:2`, `3:2`, `37.3 %`. Two ways to write one scale are said alike.
    #[must_use]
    pub fn text(&self) -> &str {
        &self.text
    }
}

const WANTED: &str = "a scale is a ratio or a share";

/// The ratio of the smallest whole numbers that make it, or a share.
fn said(ratio: f64) -> String {
    let whole = |x: f64| (x - x.round()).abs() < 1e-9 * x.max(1.0);
    for below in 1..=50u8 {
        let above = ratio * f64::from(below);
        if above >= 1.0 - 1e-9 && whole(above) {
            return format!("{}:{below}", above.round());
        }
    }
    format!("{} %", (ratio * 1e8).round() / 1e6)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_scale_is_said_one_way() {
        let said = |t: &str| Scale::read(t).map(|s| (s.ratio(), s.text().to_owned()));
        let half = Ok((0.5, "1:2".to_owned()));
        for text in ["1:2", "50 %", "50%", "2:4", " 0.5 : 1 "] {
            assert_eq!(said(text), half, "{text}");
        }
        assert_eq!(said("3:2"), Ok((1.5, "3:2".to_owned())));
        assert_eq!(said("100 %").map(|s| s.1), Ok("1:1".to_owned()));
        assert_eq!(said("37.3 %").map(|s| s.1), Ok("37.3 %".to_owned()));
        assert_eq!(Scale::full().text(), "1:1");
    }

    #[test]
    fn what_is_no_scale_is_told_why() {
        let why = |t: &str| Scale::read(t).unwrap_err();
        assert!(why("0").contains("nothing is left"));
        assert!(why("0:3").contains("nothing is left"));
        assert!(why("1:0").contains("nothing is left"));
        assert!(why("cheese").contains("`1:2`"));
        assert!(why("2").contains("`1:2`, `2:1` or `2 %`"));
        assert!(why("1:1000").contains("between 1:50 and 2:1"));
        for text in ["-1:2", "1:-2", "nan %", "inf:1", "1e9:1", "1:2:3", ":", "%", ""] {
            assert!(why(text).contains("ratio"), "{text}");
        }
    }
}
