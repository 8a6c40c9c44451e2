//! Wrong plan files: exit code 2, the line, what is wrong and what would be
//! right; never a panic.

use std::{ffi::OsStr, fs, path::Path};

use crate::run::Run;

const GOOD: &str = include_str!("../../demo/forest-fortnight.toml");

/// One change to the good plan, and what the message must say.
struct Case {
    from: &'static str,
    to: &'static str,
    says: &'static str,
}

const fn case(from: &'static str, to: &'static str, says: &'static str) -> Case {
    Case { from, to, says }
}

/// What would be right is said with her own number.
#[test]
fn days_without_their_word_are_told_with_it() {
    for (wish, right) in
        [("ahead = 2", "`ahead = \"2 days\"`"), ("buffer = 1", "`buffer = \"1 day\"`")]
    {
        let text = GOOD.replacen("[room]", &format!("[wishes]\n{wish}\n[room]"), 1);
        let faults = solidby::planfile::read(&text).expect_err("a fault");
        let help = faults.first().and_then(|fault| fault.help()).expect("help");
        assert!(help.contains(right), "{help}");
    }
}

/// Faults that hang on no other are all told at once.
#[test]
fn faults_hide_no_others() {
    let several: [&[(&str, &str)]; 3] = [
        &[("\"68 F\"", "\"680 F\""), ("\"45 %\"", "\"wet\""), ("\"5200 ft\"", "\"5200\"")],
        &[
            ("method = \"oven\"", "method = \"bake\""),
            ("oven = \"kitchen\"", "oven = \"attic\""),
            ("at = \"200 F\"", "at = \"200\""),
        ],
        &[
            ("blocks = \"each\"", "blocks = 1\nturn = \"60 min\""),
            ("mould = \"fox\"\n", "mould = \"fix\"\n"),
            ("travel = \"25 min\"", "travel = \"25\""),
        ],
    ];
    for changes in several {
        let with = |changes: &[(&str, &str)]| {
            let text = changes.iter().fold(GOOD.to_owned(), |text, (from, to)| {
                assert!(text.contains(from), "{from}");
                text.replacen(from, to, 1)
            });
            let faults = solidby::planfile::read(&text).expect_err("faults");
            faults.iter().map(|fault| fault.message()).collect::<Vec<_>>()
        };
        let together = with(changes);
        for change in changes {
            for fault in with(&[*change]) {
                assert!(together.contains(&fault), "{fault} is hidden: {together:?}");
            }
        }
    }
}

const CASES: &[Case] = &[
    case("temperature = \"68 F\"", "temperature = \"68\"", "has no unit"),
    case("temperature = \"68 F\"", "temperature = 68", "is a bare number, and must be text"),
    case("name = \"Wrens\"", "name = \"otters!\"", "one name in the names of their steps"),
    case("temperature = \"68 F\"", "temperature = true", "is true or false, and must be"),
    case("temperature = \"68 F\"", "temperature = [\"68 F\"]", "is a list, and must be"),
    case("temperature = \"68 F\"", "temperature = 2026-12-01", "is a date, and must be"),
    case("temperature = \"68 F\"", "temperature = { F = 68 }", "is a table, and must be"),
    case("children = 11", "children = \"eleven\"", "is text, and must be a whole number"),
    case("temperature = \"68 F\"", "temperature = \"68 mL\"", "not a unit of a temperature"),
    case("temperature = \"68 F\"", "temperature = \"NaN F\"", "does not begin with a number"),
    case("humidity = \"45 %\"", "humidity = \"-45 %\"", "out of range"),
    case("humidity = \"45 %\"", "humidity = \"145 %\"", "out of range"),
    case("altitude = \"5200 ft\"", "altitude = \"1e300 ft\"", "out of all range"),
    case("altitude = \"5200 ft\"", "altitude = \"52000 ft\"", "out of range"),
    case("[room]", "[rooom]", "no key `rooom`"),
    case("closed = [", "home2 = [", "not hours"),
    case("\"daily 06:15-07:15\"", "\"daily 06:15\"", "not hours"),
    case("\"daily 06:15-07:15\"", "\"daily 07:15-06:15\"", "ends before it starts"),
    case("\"daily 06:15-07:15\"", "\"Mox 06:15-07:15\"", "not a day"),
    case("2026-12-21 to 2027-01-01", "2026-12-21 to 2026-12-01", "not a range of days"),
    case("America/Denver", "America/Denvar", "no zone"),
    case("units = \"us\"", "units = \"imperial\"", "not known"),
    case("days = \"Mon Wed Fri\"", "days = \"Mon Wodn\"", "not a day"),
    case("children = 11", "children = 0", "out of range"),
    case("children = 11", "children = -3", "out of range"),
    case("children = 11", "children = 11.5", "a whole number"),
    case("children = 11", "childs = 11", "no key `childs`"),
    case("youngest = \"2 years\"", "youngest = \"two\"", "not an age"),
    case("kind = \"fridge-freezer\"", "kind = \"fridge-frezer\"", "did you mean “fridge-freezer”"),
    case("air = \"0 F\"", "air = \"3 C\"", "out of range"),
    case("rated = \"3 kg/day\"", "rated = \"3 kg\"", "not a unit of a freezing capacity"),
    case("holds = 8", "holds = 0", "out of range"),
    case("kind = \"still\"", "kind = \"gas\"", "not known"),
    case("trays = 2", "trays = \"two\"", "a whole number"),
    case("tray = \"13 x 18 in\"", "tray = \"13 in\"", "not the two sides of a tray"),
    case("tray = \"13 x 18 in\"", "tray = \"13 x 0.5 in\"", "not the two sides of a tray"),
    case("tray = \"13 x 18 in\"", "tray = \"13 x 180 in\"", "not the two sides of a tray"),
    case("volume = \"310 mL\"", "volume = \"310\"", "has no unit"),
    case("volume = \"310 mL\"", "volume = \"0 mL\"", "out of range"),
    case("depth = \"35 mm\"", "depth = \"35 mm\"\nfill = \"40 mm\"", "deeper than the mould"),
    case("depth = \"35 mm\"", "outline = [[0, 0], [9, 0], [4, 7]]", "has no `depth`"),
    case("depth = \"35 mm\"", "shape = \"half ball\"\ndepth = \"60 mm\"", "more than a half ball"),
    case("wall = \"silicone\"", "wall = \"wood\"", "not known"),
    case("wall = \"silicone\"", "outline = [[0, 0], [1, 1], [1, 0], [0, 1]]", "touches itself"),
    case("wall = \"silicone\"", "outline = [[0, 0], [1, inf], [1, 0]]", "out of range"),
    case("wall = \"silicone\"", "shape = \"star\"\noutline = [[0, 0], [9, 0], [4, 7]]", "not both"),
    case("own = 4", "own = 0", "out of range"),
    case("mould = \"fox\"", "mould = \"foxx\"", "did you mean “fox”"),
    case("freezer = \"kitchen\"", "freezer = \"cellar\"", "not known"),
    case("blocks = \"each\"", "blocks = \"some\"", "not known"),
    case("travel = \"25 min\"", "travel = \"25\"", "has no unit"),
    case("travel = \"25 min\"", "travel = \"25 days\"", "out of range"),
    case("{ group = \"Otters\", at", "{ group = \"Foxes\", at", "not known"),
    case("2026-12-09T09:30:00", "2026-12-10T09:30:00", "does not meet on Thursday"),
    case("2026-12-09T09:30:00", "2026-12-21T09:30:00", "closed on 2026-12-21"),
    case("2026-12-09T09:30:00", "2026-12-09T15:30:00", "outside the hours"),
    case("2026-12-09T09:30:00", "2026-12-09T12:30:00", "12:30 is outside the hours of class"),
    case("2026-12-09T09:30:00", "2026-12-09T07:59:00", "outside the hours"),
    case("2026-12-09T09:30:00", "2026-12-09", "needs a day and a time"),
    case("2026-12-09T09:30:00", "\"2026-12-09\"", "a date without quotes"),
    case("2026-12-09T09:30:00", "2026-02-30T09:30:00", ""),
    case("shape = \"round 75 mm\"", "shape = \"round\"", "not a shape and its size"),
    case("thickness = \"1/4 in\"", "thickness = \"1/0 in\"", "out of all range"),
    case("thickness = \"1/4 in\"", "thickness = \"4 in\"", "out of range"),
    case("recipe = \"two-one-one\"", "recipe = \"two-one\"", "not known"),
    case("groups = [\"Otters\", \"Wrens\"]", "groups = []", "is empty"),
    case("method = \"oven\"", "method = \"sun\"", "not known"),
    case("method = \"oven\"", "method = \"air\"", "belongs to method “oven”"),
    case("at = \"200 F\"", "at = \"200\"", "has no unit"),
    case("at = \"200 F\"", "at = \"900 F\"", "out of range"),
    case("finish = [\"paint\"", "finish = [\"pant\"", "did you mean “paint”"),
    case("give = 2026-12-18", "give = 2026-12-25", "closed on 2026-12-25"),
    case("spare = \"10 %\"", "spare = \"10\"", "has no unit"),
    case("title = \"Forest fortnight\"", "", "has no `title`"),
    case("title = \"Forest fortnight\"", "title = \"Forest", ""),
    case("name = \"Wrens\"", "name = \"Otters\"", "two [[group]]"),
    case("[room]", "[hands]\nclas = 2\n[room]", "did you mean “class”"),
    case("[room]", "[hands]\nclass = 0\n[room]", "out of range"),
    case("T09:30:00 }", "T09:30:00, spare = -1 }", "out of range"),
    case("2026-12-21 to 2027-01-01", "2026-12-12 to 2026-12-17", "no class in the week"),
    case("closed = [", "away = [\"2026-12-09\"]\nclosed = [", "2026-12-09 is a day, or a part"),
    case("closed = [", "away = [\"2026-12-09 morning\"]\nclosed = [", "that is under `away`"),
    case("closed = [", "away = [\"2026-12-18\"]\nclosed = [", "2026-12-18 is a day, or a part"),
    case("closed = [", "away = [\"2026-12-09 noon\"]\nclosed = [", "2026-12-11 morning"),
    case("\"daily 06:15-07:15\"", "\"daily 6:15-7:15\"", "may mean 06:15-07:15 or 18:15-19:15"),
    case("\"daily 18:30-21:30\"", "\"daily 6:30-9:30 pm\"", "may mean 6:30 am-9:30 pm or 6:30 pm"),
    case("[room]", "[wishes]\nahead = \"3\"\n[room]", "not a number of days"),
    case("[room]", "[wishes]\nahead = \"9 days\"\n[room]", "from 0 to 7 days"),
    case("[room]", "[wishes]\nbuffer = 1\n[room]", "is a bare number, and must be text"),
    case("[room]", "[wishes]\nearliest = \"25:00\"\n[room]", "not a time of day"),
    case("[room]", "[wishes]\nlatest = \"6:00 am\"\n[room]", "`latest` is not after `earliest`"),
    case("[room]", "[wishes]\nclock = \"13\"\n[room]", "it is one of 12 (8:00 pm), 24 (20:00)"),
    case("[room]", "[wishes]\nsureness = \"100 %\"\n[room]", "out of range"),
    case("[room]", "[wishes]\nsurenes = \"95 %\"\n[room]", "did you mean `sureness`"),
    // Alike in its letters, and not what is meant.
    case("holds = 8", "holds = 8\nat = \"class\"", "name, kind, air, rated, holds, place"),
    case("own = 4", "own = 4\ncups = 0", "out of range"),
    case("own = 4", "own = 4\ncups = \"12\"", "is text, and must be a whole number"),
    case("mould = \"fox\"", "mould = \"fox\"\nmold = \"fox\"", "spells `mould` in two ways"),
    case("spare = 1", "spare = 1\nturn = \"8 min\"", "goes with blocks that are shared"),
    case("spare = 1", "spare = 1\nat_once = 2", "goes with blocks that are shared"),
    case(
        "blocks = \"each\"",
        "blocks = 1\nturn = \"17 min\"",
        "take 187 min in turns, and class is open for 180 min",
    ),
    case("blocks = \"each\"", "blocks = 1\nturn = \"3 h\"", "out of range"),
    case("thickness = \"1/4 in\"", "opening = \"70 mm\"\nthickness = \"1/4 in\"", "leaves no rim"),
    case("thickness = \"1/4 in\"", "opening = \"1 mm\"\nthickness = \"1/4 in\"", "out of range"),
    case("shape = \"round 75 mm\"", "shape = \"round 390 mm\"", "is larger than the tray"),
    case("temperature = \"68 F\"", "temperature = \"110 F\"", "room"),
    case("at = \"200 F\"", "at = \"400 F\"", "200 °C (392 °F)"),
    case("method = \"oven\"\noven = \"kitchen\"", "method = \"any\"", "has no `oven`"),
    case("oven = \"kitchen\"\nat = \"200 F\"", "method_ = 1", "no key `method_`"),
];

fn check(path: &Path) -> (i32, String) {
    let ran = Run::of(&[OsStr::new("check"), path.as_os_str()]).ends();
    assert!(ran.stdout.is_empty(), "nothing on stdout when the file is wrong");
    (ran.code.unwrap_or(-1), ran.stderr)
}

#[test]
fn each_wrong_plan_is_told_with_its_line() {
    assert!(CASES.len() >= 40);
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("plan.toml");
    for Case { from, to, says } in CASES {
        assert!(GOOD.contains(from), "the demo no longer has {from}");
        fs::write(&path, GOOD.replacen(from, to, 1)).unwrap();
        let (code, message) = check(&path);
        assert_eq!(code, 2, "{from} -> {to}: {message}");
        assert!(message.contains(says), "{from} -> {to} must say “{says}”: {message}");
        assert!(message.contains("plan.toml:"), "{from} -> {to} must name the place: {message}");
        assert!(!message.contains("panicked"), "{from} -> {to}: {message}");
    }
}

#[test]
fn the_line_is_that_of_the_fault() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("plan.toml");
    let text = GOOD.replacen("children = 11", "children = 0", 1);
    let line = 1 + text.lines().position(|line| line == "children = 0").unwrap();
    fs::write(&path, &text).unwrap();
    let (_, message) = check(&path);
    assert!(message.contains(&format!("plan.toml:{line}:12")), "{message}");
    assert!(message.contains("children = 0"), "shows the text itself: {message}");
    assert!(message.contains("from 1 to 100"), "says what would be right: {message}");
}

#[test]
fn every_fault_is_told_at_once() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("plan.toml");
    let text = GOOD.replacen("children = 11", "children = 0", 1).replacen("own = 4", "own = 0", 1);
    fs::write(&path, text).unwrap();
    let (_, message) = check(&path);
    assert!(message.contains("2 things to mend"), "{message}");
}

#[test]
fn files_that_are_no_plan() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("plan.toml");
    for (bytes, says) in [
        (Vec::new(), "has no `title`"),
        (vec![b'#'; 10 << 20], "at most"),
        (b"title = \"\xff\xfe\"".to_vec(), "line 1: not UTF-8"),
        (vec![0; 64], ""),
        (b"[[ice]]\n".repeat(40_000), ""),
    ] {
        fs::write(&path, &bytes).unwrap();
        let (code, message) = check(&path);
        assert_eq!(code, 2, "{message}");
        assert!(message.contains(says), "must say “{says}”: {message}");
    }
    let (code, message) = check(folder.path());
    assert_eq!(code, 2);
    assert!(message.contains("is a folder"), "{message}");
    let (code, _) = check(&folder.path().join("missing.toml"));
    assert_eq!(code, 2);
}
