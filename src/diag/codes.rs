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
    AuditFailed "audit-failed" "Before anything is written, tasset folds the pieces it is about to cut in reckoning and holds every edge, hole, notch, size and count against the prop as you described it. Something did not fit. This is a fault of tasset and not of your text: do not cut, and report the file.";
    BareNumber "bare-number" "A number stands where a length, an angle or a mass belongs, and it has no unit. 90 what? Millimetres, centimetres and inches give very different props, so the file has to say. Write the unit right after the number: `90 mm`.";
    CallsTooDeep "calls-too-deep" "Values that call functions that call functions are followed a fixed way down, so that a file can never hang the compiler. Write the value with fewer functions inside functions.";
    BendsTooTightly "bends-too-tightly" "A cord, a piping or beads run beside a sloped or shaped edge, so far in or out that the edge bends more tightly than they lie off it. They would cross themselves there. Take thinner goods or fewer rows, or let the edge bend more gently.";
    CurveOffEdge "curve-off-edge" "The spots of a curved edge say how far down the wall from its straight edge the cut lies. None can lie beyond that edge, where there is no sheet; one at least lies on it, or the wall would be taller than what is left of it; and one at least off it.";
    DividesByZero "divides-by-zero" "Something is divided by a value that came out as zero, and no number is the answer. Look at what the divisor is reckoned from.";
    MixedUnits "mixed-units" "Values of different kinds were added, compared or put side by side: a length and a mass, an angle and a number. Only like can be added to like. Two lengths in different units are fine: `2 in + 3 cm`.";
    NoAnswer "no-answer" "This sum has no answer: the root of a negative number, a number too large to hold, a step of zero, the median of nothing. Look at the values that go into it.";
    OutOfRange "out-of-range" "The value is of the right kind but no prop can be made with it: a negative width, a count of zero, a thickness of a metre. The message names the range.";
    TooMuchReckoning "too-much-reckoning" "All values of a file together may take 1,000,000 steps of reckoning, far more than any prop needs, so that a file can never hang the compiler. Look for functions that call each other many times over.";
    BadDate "bad-date" "A date is a text of the form `\"2031-06-14\"`: year, month, day, and a day that the month has.";
    CallsItself "calls-itself" "A function or recipe comes back to itself, directly or through others, and would never end. Write the value as one sum, or repeat with `for`.";
    DividedLength "divided-length" "`1 / 2 in`, with blanks, divides one by two inches, which is no length. A fraction of an inch is glued: `1/2 in`.";
    FactDecides "fact-decides-count" "What decides how many things there are (a `for`, an `if` block, a number in brackets) is settled before anything has a shape, so it cannot read a measured fact. Reckon it from settings, values and the wearer's measures; a value (`if … then … else`) may read facts.";
    FieldTwice "field-twice" "The same field stands twice in one thing, and the two could differ. Keep one of them.";
    GoesRound "goes-round" "These values need each other in a circle, so none can be reckoned first. The message shows every step. Give one of them a figure of its own.";
    Misplaced "misplaced" "This sentence, field or station stands where it has no meaning: a thing within a thing, a station in a cap, a field outside its braces. Move it to where it belongs.";
    MisplacedWord "misplaced-word" "A word of place stands where it says nothing: `top` is a place along something and belongs in `level` or at a station, `inside` is a face.";
    MockUpTooSmall "mock-up-too-small" "A mock-up is held together by glue tabs, and a tab narrower than about 3 mm can be neither folded nor glued. At this scale some part is too small for its tabs. Ask for a larger scale; the message names one.";
    NotCard "not-card" "A mock-up is cut from card: from the stock called `card`, the built-in shelf's or one of yours of that name, or from the stock that `--card` names. What was named is not there, or is another sort of sheet.";
    MarkNearlyThrough "mark-nearly-through" "A score or groove leaves less than a fifth of the sheet, and that tears when it is folded, opened or leant on. A third of the thickness is what `mark` takes when nothing is said.";
    MarkOffPart "mark-off-part" "A mark, or a spot of its path, lies beyond its part, in the gap of an open wall, or so near an edge that it is lost with the cut. Levels count up the part from its bottom; on a cap or a plate spots count from the middle of the face.";
    MarkTooDeep "mark-too-deep" "A score or groove is as deep as the sheet or deeper, and would go through it. Make it shallower; what is to go through is an `opening`.";
    MarkTwoWays "mark-two-ways" "Where a mark runs is said once: a ring at a `level`, a line a `margin` in from the edge of a cap or plate, or a line through the spots of a `path`. Here it is said twice, in a way that does not go together, or not at all.";
    PathEitherWay "path-either-way" "Two spots of a path lie opposite each other, so the line could as well go round one way as the other. Put a spot between them.";
    PathTooShort "path-too-short" "A path runs from one spot to another: it has two spots or more, and no two that follow each other are one.";
    SpotWrongSort "spot-wrong-sort" "On a wall a spot says which way it faces and how far up it lies, `left by 60 mm`; on a cap or a plate how far across and up from the middle of the face, `-20 mm by 15 mm`.";
    MissingField "missing-field" "This kind of thing cannot be made without this field.";
    MissingPart "missing-part" "This constructor needs this part: a circle its width or its girth, a polygon its sides.";
    MissingTarget "missing-target" "This kind of thing stands on something else: a cap on an edge, a lacing on a seam. Say which, between its name and its brace: `cap base on body.bottom { … }`.";
    NameTaken "name-taken" "All files of a prop share one space of names, so that a name means one thing wherever it stands. Rename one of the two.";
    NoProp "no-prop" "A file that is built has one `prop` in it, which says what the whole is called and what holds for all its parts.";
    NoStock "no-stock" "A part is cut from some stock. Name it in the part with `of`, or once for all parts in the prop.";
    NoWearer "no-wearer" "A value asks for a measure of the wearer, but the prop names none. Write `wearer: NAME` in the prop, and the wearer's measures in a `wearer` of that name.";
    NotAPair "not-a-pair" "`.left` and `.right` pick one of a mirrored pair. Only a part with `pair: mirrored`, and what stands on it, has two.";
    NotGiven "not-given" "A value asks for a measure that was never written down. Measure it (the message says how) and write it where the second label points.";
    OtherSort "other-sort" "This field belongs to another sort of the same kind: a cord has a `tuck`, a band has a `rise`.";
    TooDeep "too-deep" "A value stands too deep within other values to be followed. Name some of them with `let`.";
    TooFewStations "too-few-stations" "A shell is a wall between stations: one stretch (`at 0 mm to 90 mm:`), or two places and more. In or over another shell it may have none, and copies that one.";
    TooLate "too-late" "What shapes or places a thing is settled before the pieces are laid out and weighed. A fact that is known only then (whole mass, sheets, price, lace to buy) may stand in `require`, `limit` and `hang`, and in the `mass` of `contents`.";
    TooManyThings "too-many-things" "A prop may hold 10,000 things after all loops, one attachment may be fitted 1,000 times, one mark drawn as often, a build makes at most 1,000 pieces, and more than 1,000 parts may need 1,000 square metres of sheet in all: far more than anyone can cut out, so that a file can never fill the machine. What is cut again and again by one pattern is one prop; a larger work is several props, each in a file of its own that uses what they share.";
    TwoProps "two-props" "One run builds one prop. Keep one, or put the other in a file of its own.";
    EdgeNotFree "edge-not-free" "An edge is cut to a figure where nothing meets it all round and no tabs are folded along it: a cap, a lid or a shell that stands on it lies in one plane, and a shaped edge would leave gaps. A wall that is drawn together to a point has no edge there, and an edge has one figure only.";
    FigureTooTall "figure-too-tall" "A shaped edge is cut out of the wall between its straight edge and the wall's next station or other edge, and some of the wall must be left at its lowest place. Take a smaller `rise`, or a taller wall.";
    FigureTooSmall "figure-too-small" "So many points, teeth or waves along one edge come out narrower than a knife or a machine cuts cleanly. Take fewer.";
    FigureAndSeam "figure-and-seam" "A row of figures and a wall's seam must agree: round a closed wall no tooth has its side on the seam, where a sliver would tear off, and on an open wall the row stands evenly from side to side. Turn it with `facing`, or leave `facing` out.";
    TurnOverFigure "turn-over-figure" "A cover is folded over an edge that runs straight round the wall. Over a sloped edge, or one cut to points, teeth or waves, it is cut level with the edge: write `turn: 0 mm`, and bind the edge or glue the cloth down there.";
    UnknownEdge "unknown-edge" "Each kind of part has its edges: a shell bottom, top and seam. The message lists those of this one.";
    UnknownFact "unknown-fact" "Each kind of thing has its measured facts and its fields; this is neither. The message lists those of this one.";
    UnknownField "unknown-field" "This kind of thing has no such field. The message names the nearest, or lists them.";
    UnknownKind "unknown-kind" "A thing starts with its kind, such as `shell` or `cap`, or with the name of a recipe.";
    UnknownName "unknown-name" "Nothing in this file, the files it uses or the built-in shelf has this name.";
    UnknownPart "unknown-part" "This constructor has no part of this name. The message names the nearest, or lists them.";
    UnknownSetting "unknown-setting" "The command line set a value that no `setting` line of the prop offers.";
    UnknownWearer "unknown-wearer" "The command line asked for a wearer that the files do not describe.";
    UnknownWord "unknown-word" "Here one word of a few is wanted, and this is none of them. The message lists them.";
    UnnamedPart "unnamed-part" "The parts of a constructor are all named, so that a reader need not know their order: `circle(across: 90 mm)`.";
    WhichOne "which-one" "This name stands for several things, and a fact belongs to one of them. Say which: `lame[2].top.around`.";
    WordTaken "word-taken" "Words of place and of the language's own sentences mean the same everywhere, so they cannot be names of yours.";
    WrongArguments "wrong-arguments" "A function takes a certain number of values, in order and without names.";
    WrongTarget "wrong-target" "This kind of thing cannot stand there: a cap stands on an edge, a border on a part or an edge, a hang on a strap.";
    WrongValue "wrong-value" "The value is of another kind than what belongs here: a text for a length, a list for a yes or no.";
    NoSuchFile "no-such-file" "A `use` names a file that is not there (or cannot be read). The name is looked for beside the file that uses it, with capital letters as they are in the folder.";
    OutsideFolder "outside-folder" "A prop may use files of its own folder and the folders in it only, so that it can be handed on as one folder and reads nothing it should not. Copy the file in.";
    NotAFile "not-a-file" "A `use` names a folder or a device, not a text.";
    FileTooLarge "file-too-large" "A file of a prop has at most a megabyte. It is a text of a few pages; a larger one is most likely the wrong file.";
    NotText "not-text" "The file holds bytes that are no text in UTF-8. Save it again as plain text.";
    TooManyFiles "too-many-files" "A prop may use at most 64 files, its own included.";
    NotOneValue "not-one-value" "A setting given on the command line takes one value, written as in the file: `--set tall=\"300 mm\"`.";
    NotAnsweredYet "not-answered-yet" "This question (by which day, in which hours at the bench, how it hangs) is checked in full and stands in the report as it is asked, but this version does not answer it yet. Everything in the file is made.";
    NotBuiltYet "not-built-yet" "This kind or form is part of the language and was checked in full, but this version does not turn it into pieces yet. Everything else in the file is produced.";
    DecimalComma "decimal-comma" "A comma ends a field or a part, so a number cannot have one inside. Decimals take a point: `2.5 mm`, not `2,5 mm`. Thousands are written without any sign: `1200 mm`.";
    UnclosedBracket "unclosed-bracket" "A bracket or brace was opened and nothing closes it. Every `(`, `[` and `{` needs its partner. Inside `(` and `[` a line may only be broken after the opening bracket, a comma or an operator, so the closing one is looked for up to there.";
    StrayBracket "stray-bracket" "A closing bracket or brace stands here, but none of its kind is open. Delete it, or add the opening one.";
    MissingColon "missing-colon" "A field is its word, a colon and its value: `wide: 30 mm`. A station is `at`, its place, a colon and its section: `at 0 mm: circle(across: 90 mm)`.";
    EqualsForColon "equals-for-colon" "`:` describes a thing and its parts, `=` names a value in `let` and `setting`. Inside braces and round brackets write `wide: 30 mm`. Two values are compared with `==`.";
    ColonForEquals "colon-for-equals" "`let` and `setting` name a value, and that is written with `=`: `let tall = 520 mm`. The colon belongs to the fields inside braces.";
    MissingEquals "missing-equals" "`let` and `setting` are followed by a name, `=` and a value: `let tall = 520 mm`.";
    MissingLet "missing-let" "A value is given a name by `let`, or by `setting` when it may be changed from outside: `let tall = 520 mm`. Without the word the line cannot be told from a slip.";
    ReservedWord "reserved-word" "These words build sentences and values and are never names, fields or units: use let setting require for if then else at to by per on in over beside and or not. Take another name.";
    UnclosedText "unclosed-text" "A text stands between two quotation marks on one line: `\"Storm lantern\"`. The second one is missing. A text cannot hold a quotation mark.";
    UnknownUnit "unknown-unit" "The word behind a number is its unit, and this is not one. Units: mm cm m in ft, mm2 cm2 m2, ml l, deg, s min h day, g kg oz lb, kg/m3 g/m2 g/m m2/l N/mm, %.";
    MissingUnit "missing-unit" "`per` is followed by the unit the price is for: `9.40 per m`. A price a sheet or a piece is the bare number.";
    UnitAfterName "unit-after-name" "A unit follows a written number and nothing else, since a named value has its unit already: write `flag`, not `flag mm`. If the value was named without a unit, give the unit where it is named.";
    SpacedRatio "spaced-ratio" "A ratio is glued: `3:2`. With blanks the colon would be that of a field.";
    RatioWithUnit "ratio-with-unit" "A ratio such as `3:2` says how one size stands to another and has no unit of its own. A size of two figures is built with `by`: `3 cm by 2 cm`.";
    FractionWithoutUnit "fraction-without-unit" "A mixed fraction is one number only with its unit: `1 1/2 in`. Without one, `1` and `1/2` are two values side by side. Write the unit, or a decimal such as `1.5`.";
    OddNumber "odd-number" "Numbers are plain digits with at most one point and a digit on each side of it: `0.5`, `12`, `1500`. No `.5`, `5.`, `1_500` or `1e3`.";
    NumberTooLarge "number-too-large" "The number has more than a hundred digits, more than any measure of a prop.";
    DividedByNothing "divided-by-nothing" "A fraction or ratio with nothing below the line has no value.";
    UnknownSentence "unknown-sentence" "A line is one of these: `use \"file.prop\"`, `setting name = value`, `let name = value`, `require value \"message\"`, `for name in a to b { … }`, `if value { … }`, or a thing: `kind name on target { … }`. Inside braces it may also be a field, `key: value`, or a station, `at place: section`.";
    FieldOutside "field-outside" "A field or station describes the thing whose braces it stands in. Outside all braces it describes nothing: move it into the braces of its thing, or name a value with `let`.";
    MissingTo "missing-to" "A stretch is written with `to` between its two ends, and both are in it: `at 0 mm to 60 mm:`, `for i in 2 to 4 { … }`.";
    MissingThen "missing-then" "A value that depends on something is written `if … then … else …`, all three words.";
    MissingElse "missing-else" "A value always has to be one or the other: `if wearer.age < 14 then 4 mm else 6 mm`. To leave a whole thing out, use a block: `if wearer.age < 14 { … }`.";
    BareIf "bare-if" "`if … then … else …` reaches to the end of its value. Inside a longer reckoning it stands in round brackets: `20 mm + (if small then 4 mm else 6 mm)`.";
    HyphenInName "hyphen-in-name" "`-` is always minus. Names are joined with `_`: `back_lace`, not `back-lace`.";
    OddName "odd-name" "A name begins with a letter from a to z or `_`, and goes on with letters, digits and `_`: `back_lace`, `strap2`. Titles and messages, between quotation marks, may have any letters.";
    MissingName "missing-name" "A thing has a kind and a name of its own, so that others can stand on it: `shell body { … }`. `let` and `setting` name their value.";
    MissingBlock "missing-block" "A thing, a `for` and an `if` end with their braces, and the opening one stands on the same line: `cap base on body.bottom { fit: inset }`. With nothing to say the braces are empty: `{ }`.";
    MisplacedBrace "misplaced-brace" "Braces belong to things, `for`, `if` and `else`. The parts of a value stand in round brackets: `fill: pane(of: clear05)`.";
    OddTarget "odd-target" "What a thing stands on is named behind `on`, `in`, `over` or `beside`: one part or edge, `on body.top`, or a list in square brackets, `on [body, base]`.";
    ExtraWords "extra-words" "The sentence is complete before these words, and nothing can follow it on its line but a comma and the next one.";
    MissingText "missing-text" "`use` needs a file name and `require` a message, both in quotation marks: `use \"workshop.prop\"`, `require gap >= 1 mm \"the lid must slide\"`.";
    MissingValue "missing-value" "A value is missing here: a number with its unit, a text, a name, a call such as `circle(across: 90 mm)`, a list or a reckoning of them.";
    MissingComma "missing-comma" "The parts of a call, the values of a list and fields on one line are kept apart by commas.";
    MixedParts "mixed-parts" "A constructor names all its parts, `oval(around: 42 cm, ratio: 3:2)`; a function names none, `min(a, b)`. The two are never mixed, so that no part can be taken for another.";
    TwoValues "two-values" "Two values stand side by side with nothing between them. Put an operator or a comma between, or join them to one: `120 cm` for `1 m 20 cm`. Only `5 ft 3 in` and `1 h 30 min` are one number in two parts.";
    BrokenLine "broken-line" "A line may be broken after an opening bracket, a comma in brackets, an operator or `then`, and before `else`, nowhere else: the line before must show that more is to come.";
    RunOn "run-on" "A new sentence or field begins behind a closing brace. Put a line end or a comma between them.";
    StrayWord "stray-word" "This word joins the parts of a sentence (`then` and `else` follow an `if`, `to` builds a stretch, `on` and `in` name a target) and has nothing to join here.";
    OddSign "odd-sign" "This does not stand in values in this way. A colon follows the word of a field or part, a comma keeps parts apart in brackets, a point asks a name for a fact (`body.top`), and powers are written `^`.";
    OddLoop "odd-loop" "A loop is `for`, a name, `in` and what it runs over: `for i in 2 to 4 { … }` or `for side in [left, right] { … }`.";
    PastedCharacter "pasted-character" "Word processors and web pages put typeset signs where a keyboard has plain ones. Type quotation marks as `\"`, times as `*`, minus as `-`, degrees as `deg`, feet and inches as `ft` and `in`, a half as `1/2`, and plain blanks.";
    UnknownCharacter "unknown-character" "This character has no meaning outside a text or a comment.";
    ControlCharacter "control-character" "An invisible control character stands in the file, most often from a bad copy or a wrong encoding. It could hide what the line really says, so it is not let through. Delete it.";
    NestedTooDeep "nested-too-deep" "Brackets, braces, `if`s and powers may stand in each other 64 deep. Give the inner values names with `let`.";
    ValueTooLong "value-too-long" "One value may have 1,000 operators. Give parts of it names with `let`.";
    MoreFaults "more-faults" "Only the first hundred mistakes of a file are shown. Mend those and look again: many of the rest often go with them.";
    PieceTooLarge "piece-too-large" "The flat of this part does not fit on a sheet of its stock (or on the cutter's bed), and it may not be cut in two, or half of it does not fit either. Allow a cut with `split: auto`, give the stock a larger `size`, or make the part smaller.";
    PieceSplit "piece-split" "The flat of this part is larger than its sheet, so it comes as two pieces with one straight butt joint between them, clear of holes and notches. Glue them edge to edge before anything else. A larger sheet keeps it whole; `split: never` makes this an error.";
    TabsTooWide "tabs-too-wide" "Glue tabs narrow at 60 degrees towards their free side; on a seam this short a tab this wide would come to a point. Write narrower tabs, or join the seam edge to edge.";
    BrokenOutline "broken-outline" "A piece is cut along one closed line that nowhere touches itself. The flat of this part does not give one: usually a corner of its section runs to nothing on one of its faces. Make the sheet thinner, round the corner, or leave a few millimetres of flat side.";
    CornerTooTight "corner-too-tight" "A corner's outside radius is smaller than the sheet is thick, so the inside face would have to cross itself. A sheet bent round its own thickness has an inside radius that is smaller than the outside one by the thickness. Give the corner at least the radius that the message names.";
    EdgeRunsOff "edge-runs-off" "Where a side of one section faces a corner of the other, the edge of the flat crosses itself, and the piece is cut from one part of it straight to the other. The faces of a thick sheet do so each in another place, so that what is cut stands a little off the body's edge. Less than what joined edges may differ by, a twentieth of a millimetre, is built; where it comes to more, round the corner more, make the two sections more alike or the wall between them taller, or take a thinner sheet.";
    SideTooShort "side-too-short" "A straight side of a section is shorter than the thickness of the leaning sheet takes away from it on the other face. Lengthen it, round its corners, or take a thinner sheet.";
    GapTooWide "gap-too-wide" "An open seam leaves out as much as the wall is around, so that nothing is left of it. Make the gap smaller than the girth at every station.";
    BendWarm "bend-warm" "The sheet is bent more tightly than it can be rolled cold (`tightest` of its stock), but not more tightly than it takes warmed (`tightest_warm`). Warm it with a heat gun before rolling, or make the prop wider there.";
    BendTooTight "bend-too-tight" "The sheet is bent more tightly than it takes even warmed (`tightest_warm` of its stock). Score or carve its inside there, take a thinner sheet, or make the prop wider there.";
    HoleCrossesEdge "hole-crosses-edge" "A hole runs over a rim or the seam of the piece it is cut in. A hole lies whole within one flat piece. Move it away from the edge, make it smaller, or turn the seam to another side.";
    UnderTheSeam "under-the-seam" "A lap, glue tabs or the strip behind a seam lie on the wall beside it, and a hole there is cut in the wall alone: glued, the seam would close it. Turn the seam to another side, move the hole, or cut through both once the seam is dry.";
    HolesMeet "holes-meet" "Two holes of one piece run into each other. Move one of them, or make them smaller, so that some sheet is left between them.";
    CannotDraw "cannot-draw" "The files could not be made though nothing is wrong with the prop: a coordinate came out as no number, or the surroundings of the program keep the drawing from being written. No file is written then. The message says what to try; please report it.";
    RequirementFails "requirement-fails" "A `require` of the file does not hold with the values in force. The message is the file's own; both sides are shown in figures. Change what they are reckoned from, or the requirement.";
    NoSize "no-size" "A section, hole or sheet has no size, or one that is too small to cut. A circle takes `across` or `around`, an oval `across: A by B` or `around` with `ratio`.";
    FlatsAndCorners "flats-and-corners" "A polygon's width over its flats fixes the one over its corners, so giving both leaves open which of them holds where they differ. Keep one of them.";
    GirthAndWidth "girth-and-width" "A girth fixes the width and a width the girth, so a body of which both were measured fits a section only where the two agree, to a millimetre of tape. Where they differ, say which rules: `trust: around` or `trust: across`. A `trust` where only one of them is given, and a `ratio` beside widths that have another, is told too.";
    CornerTooLarge "corner-too-large" "A rounded corner takes length off both sides that meet in it, and these sides are too short for that, or one of them is an arc. Give a smaller `corner`.";
    OutlinePoints "outline-points" "The points of an outline do not make one: too few or too many, two in one place, or an arc with no point before it.";
    OutlineCrosses "outline-crosses" "The sides of an outline cross, touch or lie on each other, so no sheet has this edge. List the points in the order in which a knife goes round.";
    PaperTooSmall "paper-too-small" "The margins and the overlap of the paper leave nothing to print on. Give a larger size, or smaller margins.";
    TooManyPages "too-many-pages" "Full-size pages of this prop on this paper would come out in such a pile that nobody would tape it together, so none are written. Name a larger `paper` in the prop (`paper: a0`, or one of your own size that a print shop has), or cut from the sheets' files.";
    RodForSheet "rod-for-sheet" "Walls and caps are cut from sheet goods, and the stock named is a rod. Name one of foam, cloth, leather, card or clear sheet.";
    NoDensity "no-density" "A mass was asked for, and the stock says nothing of its density. Give the stock one: `density: 95 kg/m3`.";
    NoSuchPlace "no-such-place" "`bottom`, `middle` and `top` are places along what a thing stands on. Where there is no such thing, or its length is not known yet, a place is written as a length.";
    StationTwice "station-twice" "Two stations of a shell stand at the same place, so the wall between them has no height. Move one of them; a step needs two shells.";
    WallTooShort "wall-too-short" "Counted along the wall, two stations cannot be nearer than their sections differ sideways. Give more wall, or count along the axis. A wall with a flange is no lower than the sheet of the flange is thick.";
    SharpCorner "sharp-corner" "A sheet that is rolled bends over a radius; a sharp corner takes two panels that meet in a bevel. Round the corner (`corner: 20 mm`) or make the wall in panels.";
    OnACorner "on-a-corner" "A shell in panels has a joint at each of its corners, and a hole there would be cut from the edges of two pieces, on a fold. Give it the direction of a side.";
    HollowUnlike "hollow-unlike" "Between two bulging sections a sheet always bends without stretching. A hollow section has such a wall only to a scaled copy of itself, or to a point.";
    PointWithin "point-within" "A point closes a shell, so it stands first or last, and not next to another point.";
    SeamTooWide "seam-too-wide" "The lap, tabs or backing of a seam take more than half of the wall's girth, or laid flat they would lie on the other side of the wall, which comes nearly all the way round. Give a narrower one, or a butt seam.";
    TooWide "too-wide" "A shell that grows from a wall may not be wider than the wall is there, or its edge would hang in the air. Make it narrower, or stand it on the edge.";
    NoRoomInside "no-room-inside" "Nothing is left of this part: what it stands in or follows is too narrow for its sheet and its gap. Or a cap has no edge that is flush: its edge goes on along the wall, and past an end where flat sides run out to nothing the wall, drawn on, crosses itself; set such a cap in, or lay it over the end.";
    CapOnOpen "cap-on-open" "A cap fills a closed outline, and this shell is open along its side. Close its seam, or leave the cap out.";
    NoTabsThere "no-tabs-there" "In a mock-up butt edges get glue tabs: along seams, where a wall bends at a station, round caps, at the foot of what stands on an edge or a cap. Where neither side has room for them, and at rims that are cut sloping, the edges get their letter and notches and no tabs: tape holds them.";
    PartsCollide "parts-collide" "Two parts of the prop take up the same place by a thickness of their sheet or more, as they stand in space: each can be cut, and they cannot be put together. Move one of them, or cut an opening in one for the other to go through. Parts that touch, nest in each other or stand on each other's edge are as they should be.";
    CannotLean "cannot-lean" "A part leans about its foot toward a side: its axis is tilted to the front, the back, the left or the right. Up and down lie along the axis, and what is cut into a sheet or lies flat on it has no axis of its own to tilt. `spin` turns a part on its place.";
    FootOffEdge "foot-off-edge" "A part that stands on an edge is glued to it all round, so its foot and the edge must be one line: the same section, at the same place. Where they are not, the two get no letter and no notches and nothing holds their lengths against each other. Begin the part with the section the edge has, and leave `tilt` and `shift` out or make up for them.";
    CapOnPoint "cap-on-point" "The shell ends in a point, so there is no opening to close.";
    CapsCollide "caps-collide" "Two caps fill the same part of a bore, or cover the same end; or something lies on a wall where the flange of its foot is glued to it, or takes up the edge over which its tabs are folded. Sink or move one of them, or take one out.";
    TooThickToTurn "too-thick-to-turn" "Tabs at a foot are cut with the wall, from its own sheet, and folded out along the edge. One sheet of at most 1 mm folds along a line: card, cloth, thin leather, clear sheet. Foam breaks there or springs back, and of several layers the outer ones are in the way of the inner. Write `foot: flange(wide: 15 mm)`, a collar that is cut by itself and glued round the foot, or let the wall stand on its end (`foot: butt`).";
    SunkTooDeep "sunk-too-deep" "The cap is sunk so deep that it leaves the shell at the other end.";
    RimStandsOff "rim-stands-off" "The rim of a lid is one upright strip that passes the widest place it slides over. Where the wall changes its form under the rim, it stands off elsewhere, and the lid may sit loose.";
    RimTooLong "rim-too-long" "The rim of a lid slides over the shell and cannot be longer than it.";
    CoverOverGap "cover-over-gap" "A cover lies on the wall it covers. An open wall has a gap along its side, so its cover ends at both sides of the gap and is turned over them; a seam of its own would hang in the gap. Take out the cover's `seam`.";
    TurnShortened "turn-shortened" "What is turned over an edge lies first on the sheet's end and then on its other face. Something is in the way there before the turn has its width (a cap in the bore, the other end of the wall), so it is cut as wide as there is room. Write a smaller `turn`, or sink the cap deeper.";
    TurnTooWide "turn-too-wide" "What is turned over an edge is cut into tabs that lie side by side when they are folded. Round a tight corner, or toward the middle of a small end, there is less and less room the farther in they reach, until none is left. Tabs that are turned out at a foot come together round its hollows. Write a smaller `turn` or narrower tabs, or round the corner more.";
    TurnWithoutEdge "turn-without-edge" "A cover is turned over free edges. The edges of what this one lies on all lie in a bore or are closed by another part, so there is nothing to turn it over, and it is cut level with them.";
    PlateOffWall "plate-off-wall" "A plate on a wall is bent as the wall is, and all of it has to lie on one stretch of it that bends one way: not past a station where the wall changes its slope, not nearly all the way round, not past the point of a cone. Make it smaller, move it, or leave it flat (`made: flat`), so that it stands tangent to the wall.";
    BevelsMeet "bevels-meet" "A bevel draws the outline of one face in. Further in than half of the narrowest place of the outline the bevels of both sides run into each other, and past the radius of a rounding that is used up; drawn out, a hollow outline closes. Make the bevel narrower; a ridge left flat by a millimetre is taken off with sandpaper.";
    FlatAndBent "flat-and-bent" "A plate that is `made: flat` is not bent, and one with a radius in `bent` is. Keep the one you mean.";
    OffTheWall "off-the-wall" "A level runs along the wall from its first station to its last; this one lies past its end.";
    NeedsLevel "needs-level" "The place of a hole is not said: on a wall by `level` and `facing`, on a cap by `facing` and `margin`, the distance of its middle from the edge, on a plate by its `level` or, along the edge, by a `margin`.";
    WrongGoods "wrong-goods" "What is named here is goods of another sort than this is made with: a band is cut from a stock, a cord is a cord, beads are strung on a wire, a ring is bought as a ring, a tab is webbing or sheet. Name goods of the sort that the message gives, from the file or from the built-in shelf.";
    DoesNotPass "does-not-pass" "Something goes through something else and is too wide or too short for it: a strap or tab through its ring, a rivet through its sheet, a sling from ring to ring, a hand or a head through a closed wall (`passes`). Take another size of one of the two.";
    HoldsNoStrap "holds-no-strap" "A sling runs from ring to ring, and what it is fixed to here is no ring, buckle, hook or loop, or is several of them under one name. Name two attachments that take a strap.";
    NoRoomThere "no-room-there" "What is fitted to a part needs the whole of its place on one piece: this place reaches past a rim, into the gap of an open seam, or over a step where the wall is two pieces. Move it, or take a smaller one.";
    PlacesOverlap "places-overlap" "Two fittings, or a fitting and a hole, share some of their ground. Both are made as written; move one of them unless it is meant so.";
    OwnWidth "own-width" "Tape and webbing are as wide as they are sold. A binding goes over both faces and the edge between and takes twice its `wide`, the sheet's thickness and its own bends; a wrap is exactly as wide as its strip. Change `wide`, or name other goods: a strip cut from a stock has any width.";
    PastTheEdge "past-the-edge" "What lies on a wall has to lie on it: this is wider, or has more rows, than the wall is long there. A band may pass the edge it stands on, by its `rise`, where the wall can be carried on straight without crossing itself.";
    HangsFree "hangs-free" "`rise` is how far a band stands past the edge it is on. What is past the edge is held by what lies on the wall, so some of the band has to; and a band at a level has no edge to rise past.";
    WrongCourse "wrong-course" "A binding or a piping follows an edge that is there, a wrap goes round a whole closed wall from edge to edge, and the ends of a cord meet or lap: this border is asked to go where its sort cannot.";
    BeadsDoNotFit "beads-do-not-fit" "Not one bead with its clear distance has room on the way it is to lie on. Take smaller beads, a smaller `gap`, or a wider place. Or thousands of them have: that many nobody strings.";
    ScallopsTooSmall "scallops-too-small" "The tongues of a scalloped border come out so narrow that a blade or a beam leaves nothing of their notches, or there are more of them than anyone cuts. Give them a wider pitch with `every`.";
    BandFallsApart "band-falls-apart" "A band along a shaped edge is that edge, moved down the wall by as much as it is wide. Where the edge is steep it is narrower across than up the wall, and beside the upright side of a tooth only as wide as it is wider than the tooth is tall. It has to be as wide there as its sheet is thick. Write a larger `wide`, or let the edge be gentler.";
    ScallopsTooTall "scallops-too-tall" "The tongues of a scalloped border need some strip to hang from, room between them for a blade to turn, and a wall without a knee to lie on. Make them lower (`rise`), wider (`every`), or the strip wider (`wide`).";
    BackedByItsPart "backed-by-its-part" "A strip behind a seam holds sides that have nothing else behind them. A cover or a band lies on a part, all over: the part is behind its seam already, and a strip between them would stand out as a ridge. Let its sides meet (`butt`), or one lie over the other (`lap`).";
    BordersMeet "borders-meet" "Two bands, or two cords or rows of beads, lie over each other on one wall. A cord lies on a band, and a band on a cover, but things of one sort lie side by side. Both are made as they are written; move one of them, or make it narrower.";
    TooManyHoles "too-many-holes" "A pitch this narrow makes more holes than anyone cuts. Give a wider one.";
    TearsOut "tears-out" "A lace pulls its holes toward the edge. With less sheet between hole and edge than the hole is wide, it tears out. Twice the hole and, in foam, 10 mm from centre to edge are common practice.";
    NearTheEdge "near-the-edge" "A lace pulls its holes toward the edge. Common practice is twice the hole from its centre to the edge, and 10 mm in foam; nearer, foam alone may tear. Cloth glued over it holds the hole, so under a cover nothing is said.";
    NotLaced "not-laced" "A lace draws two edges together (cross, ladder, spiral, zigzag) or goes along one (running, whip). A seam whose sides lap or stand on a strip is glued and has no edges to draw together.";
    LaceUnfit "lace-unfit" "The lace has to go through its holes, and an eyelet into them: a lace is a cord, lace, wire, webbing, elastic or tape no thicker than the hole, an eyelet one whose clear width is no wider than the hole.";
    LaceBlocked "lace-blocked" "A disc that is laced to its wall lies against it, and a hole that opens onto the other sheet lets no lace out: a disc's onto the end of the wall it lies on, a wall's onto the edge of the disc in its bore. A `margin` that takes the holes past that does.";
    NoCoat "no-coat" "A finish is a coat of paint or sealer, and this supply is neither. Name one that is `as: paint` or `as: sealer`.";
    NothingToForm "nothing-to-form" "A wall is formed, warmed and stretched over a form, where its stations do not lie on one plain cone. Those of this one do: it is rolled from its flat without any stretching. Leave `made: formed` out, or give it the station that makes it bulge or flare.";
    StretchesTooFar "stretches-too-far" "A wall that is kept in one piece over several stations is cut as a plain cone, and its sheet is stretched where the wall is wider than that cone and squeezed where it is narrower. The stock says how far it lets itself be stretched and squeezed (`stretch`, `squeeze`), and this asks for more. Cut its rings one by one (leave `made: formed` out), bring the stations nearer to one cone, or take goods that give more.";
    FoldUnfit "fold-unfit" "A wall that is folded from one strip is grooved, or scored, at its sharp corners. It needs such corners; a groove leaves a skin of the sheet that is thinner than the sheet; and its faces lean by half of what the corner turns, which a blade can only do so far. Write sections without `corner`, another `skin`, or `made: panels`.";
    KeelUnfit "keel-unfit" "A keel is two flat flanks that lean together over a line of a wall. Each is cut from flat sheet, so it can only stand where the wall has straight lines beside each other or toward one point, where the wall is as wide as its foot, and it has to be high and wide enough for the sheet's thickness to leave it an inside.";
    CoreNeedsRod "core-needs-rod" "A core is a dowel, tube or stick in a part. Its `of` names a stock that is `as: rod`; `thick` is its diameter and `size` has its length. Sheet goods are not to be had as a core.";
    CoreTooLong "core-too-long" "A core comes apart into `count` lengths, all alike. With so few of them each is longer than the rod is sold, or than `longest` allows. Leave `count` out and it is as many as it takes.";
    CoreJoined "core-joined" "The rod is sold shorter than the core is long, so it is joined of several lengths. That is done, and told because a joint in a pole has to be held: by a sleeve, a screw or the part around it.";
    CoreDoesNotFit "core-does-not-fit" "A core in a part is held against the inner face of its wall, over the whole length that it stands in it. Here the wall stands in the rod, or less is clear beside it than `gap` asks for, or it does not lie in the part at all.";
    CoreMeetsSheet "core-meets-sheet" "A core goes through a cap or a wall where no opening lets it through. The opening that would do is offered: round, and a millimetre wider than what it takes. A core without a `level` stands on the cap that is let into the bottom.";
    ContentsDoNotFit "contents-do-not-fit" "Contents whose `size` is given are held against the bore of what they lie in, as an upright box about their middle. Here the wall or a cap stands in the box. It may be given a little askew and still go in: that is yours to judge.";
    OverBudget "over-budget" "The prop says what everything to buy for it may cost (`budget`), and it comes to more. Sheets are counted whole as they are laid out, cord and cloth to the next tenth of a metre, other goods as they are `sold`, less what is in the cupboard (`have`, `offcuts`). What has no price is not in the sum.";
    PastLimit "past-limit" "A `limit` says what the prop, or some of its parts, must not pass. This one is passed; the message says by how much, and what the limit would have to be.";
    CautionForbidden "caution-forbidden" "A `limit` says which cautions nothing in the prop may have (`without`), and something it is made of carries one of them. Take another stock or supply, or allow it.";
    LimitNotProven "limit-not-proven" "A limit on the mass can be held against what is weighed only, and the mass of something here is not known. Give its stock or supply a `density` or a `mass`. A budget is held against what has a price: give what is bought one.";
    LimitsNothing "limits-nothing" "A `limit` without a figure, or with nothing but `spare`, limits nothing.";
    NotWeighed "not-weighed" "A value asks for a mass, and something that belongs to it has none: its stock has no `density`, its supply no `mass` or `density`.";
    TiltedStation "tilted-station" "The `tilt` of a station leans the plane along which the wall is cut there, toward the front, back, left or right and by no more than 80 degrees. A wall cannot be cut along itself, a point has no plane, `up` and `down` are no ways for a plane to lean, and a cut of the spine leans by itself.";
    PlanesMeet "planes-meet" "A wall is cut off at both ends along planes, and those of its ends, or of two stations that lean, may not meet within it: there would be nothing of it left on one side. The message says how long the wall is on its short side and which tilt would just do, or how far one plane reaches past the other.";
    OffTheSpine "off-the-spine" "The stations of a shell with a spine stand along that spine, from its start to its end. Stations that end before it or go on behind it leave the rest without a size. `at bottom to top` means all of it; one `straight` may be left without a length and takes what remains.";
    SpineAlone "spine-alone" "A `ring` closes on itself and a `path` says where the whole axis goes, so neither can be one stretch of several.";
    JointTooSharp "joint-too-sharp" "Each joint of a bend is a slanting cut at half of what it turns by. Past a right angle the cut runs along the tube rather than across it, and its edge is too slanting to be bevelled. Use more joints, or turn less.";
    PathPoints "path-points" "A path needs points that stand apart: between two points a straight ring has to be made.";
    RingsMeet "rings-meet" "Each ring of a bent wall is cut along a plane at either end. Where the spine bends more tightly than half the width of the wall those planes meet within the ring: on the inner side there would be nothing to cut. The message says how much is missing, and the radius that would do.";
    BendNeedsRound "bend-needs-round" "A bend that is cut from one straight tube and put together with every second piece turned half round (`style: flipped`) needs a tube or cone that is round: a slanting cut fits itself again nowhere else. A mitred bend may have any sections, but a spine that closes on itself has one section all the way.";
    JointStep "joint-step" "Two pieces of a wall that bends or leans are cut along one plane, in which their measured faces meet. Where one flares and the other does not, the thickness of their sheet reaches unlike far past that face, and the other faces stand off each other by a step. It is told from half a millimetre on, to be sanded away.";
    NotLames "not-lames" "Plates that slide over one another stand one behind the other on one axis, with their seams in one direction, and each lies over a part of the next. Stand each over the last: `shell lame[i] over lame[i - 1] { gap: 1 mm, level: 20 mm }`.";
    WrongSide "wrong-side" "`upper` says on which face of the plate below it each plate lies, and one of them lies on the other. The straps, which run inside, and the way rain and blows glance off depend on it. Write the side on which it lies, or grow the plates the other way: `over` the last outward, `in` the last inward.";
    TooTight "too-tight" "Two plates that are to slide over one another touch, or stand nearer than half a millimetre with what lies between them. Give each a `gap` to the last, 1 mm in bare foam, and as much more as a lining, a cover or a binding between them is thick.";
    OverlapDiffers "overlap-differs" "The plates of an articulation stand in the text as they lie closed, so how far each lies over the next is settled by their places and widths: this `overlap` is another. Write the one they have, or move them: each plate's `level` over the last is its width less the overlap.";
    CannotMove "cannot-move" "Plates that turn slide over one another by the arc: the radius times the angle of each joint, and of their overlap 8 mm must be left. The message has the sum. Take a larger overlap, which brings the plates closer together, more plates, or a smaller angle.";
    LamesPinch "lames-pinch" "Plates turn about a line across the limb. In front of it they spread, behind it they draw together, and here so far that the edge of one runs past its neighbour's other edge and pinches what is between. Leave them open there (`seam: open(gap: 180 deg)`), or let them overlap less.";
}
