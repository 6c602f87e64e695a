//! Every code a diagnostic can carry, in one list: a line each, `Variant "kebab-name" "what it means, why, and
//! what to write instead";`. `tasset explain` prints the last; every code has `tests/cases/bad/NAME.prop` and a near miss
//! `tests/cases/good/NAME.prop` (tidy checks it). Keep one line a code: the file merges by union.

macro_rules! codes {
    ($($variant:ident $name:literal $explain:literal;)+) => {
        /// The code of a diagnostic.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Code {
            $($variant,)+
        }

        impl Code {
            /// Every code.
            pub const ALL: &'static [Code] = &[$(Code::$variant,)+];

            /// The code as written and typed: `bare-number`.
            #[must_use]
            pub fn name(self) -> &'static str {
                match self {
                    $(Code::$variant => $name,)+
                }
            }

            /// What it means, why, and what to write instead.
            #[must_use]
            pub fn explanation(self) -> &'static str {
                match self {
                    $(Code::$variant => $explain,)+
                }
            }
        }
    };
}

codes! {
    BareNumber "bare-number" "A number stands where a length, an angle or a mass belongs, and it has no unit. 90 what? Millimetres, centimetres and inches give very different props, so the file has to say. Write the unit right after the number: `90 mm`.";
    CallsTooDeep "calls-too-deep" "Values that call functions that call functions are followed a fixed way down, so that a file can never hang the compiler. Write the value with fewer functions inside functions.";
    DividesByZero "divides-by-zero" "Something is divided by a value that came out as zero, and no number is the answer. Look at what the divisor is reckoned from.";
    MixedUnits "mixed-units" "Values of different kinds were added, compared or put side by side: a length and a mass, an angle and a number. Only like can be added to like. Two lengths in different units are fine: `2 in + 3 cm`.";
    NoAnswer "no-answer" "This sum has no answer: the root of a negative number, a number too large to hold, a step of zero, the median of nothing. Look at the values that go into it.";
    OutOfRange "out-of-range" "The value is of the right kind but no prop can be made with it: a negative width, a count of zero, a thickness of a metre. The message names the range.";
    TooMuchReckoning "too-much-reckoning" "All values of a file together may take 1,000,000 steps of reckoning, far more than any prop needs, so that a file can never hang the compiler. Look for functions that call each other many times over.";
    NotBuiltYet "not-built-yet" "This kind or form is part of the language and was checked in full, but this version does not turn it into pieces yet. Everything else in the file is produced.";
}
