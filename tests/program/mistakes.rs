//! Mistakes that people make, each mended at the first try by what the message says.

use crate::run::Run;

const DEMO: &str = include_str!("../../demo/forest-fortnight.toml");

/// In the demo `right` is written as `wrong`; the message has `mend`, and with it in the
/// place of `wrong` the file is sound.
fn mended(right: &str, wrong: &str, mend: &str) {
    mended_in(right, (wrong, wrong), mend);
}

/// The same, where of what is written only a part is mended.
fn mended_in(right: &str, (written, wrong): (&str, &str), mend: &str) {
    let text = DEMO.replacen(right, written, 1);
    assert_ne!(text, DEMO, "{right} is not in the demo");
    let said = Run::of(&["check", "plan.toml"]).file("plan.toml", &text).exits(2).stderr;
    assert!(said.contains(mend), "{wrong}: no “{mend}” in\n{said}");
    let text = text.replacen(wrong, mend, 1);
    Run::of(&["check", "plan.toml"]).file("plan.toml", &text).succeeds();
}

#[test]
fn a_list_typed_with_commas() {
    mended(
        "groups = [\"Otters\", \"Wrens\"]",
        "groups = \"Otters, Wrens\"",
        "groups = [\"Otters\", \"Wrens\"]",
    );
}

#[test]
fn two_names_in_one() {
    mended("\"Otters\", \"Wrens\"", "\"Otters, Wrens\"", "\"Otters\", \"Wrens\"");
}

#[test]
fn a_list_of_one_without_brackets() {
    mended(
        "closed = [\"2026-12-21 to 2027-01-01\"]",
        "closed = \"Dec 21 to Jan 1\"",
        "closed = [\"Dec 21 to Jan 1\"]",
    );
}

#[test]
fn seventeen_children_in_words() {
    mended("children = 11", "children = \"17 children\"", "children = 17");
}

#[test]
fn a_day_as_people_say_it() {
    mended("give = 2026-12-18", "give = \"Dec 17\"", "give = 2026-12-17");
}

#[test]
fn a_session_as_people_say_it() {
    mended("at = 2026-12-09T09:30:00", "at = \"Dec 9 10:30 am\"", "at = 2026-12-09T10:30:00");
}

#[test]
fn a_session_without_its_time() {
    mended("at = 2026-12-09T09:30:00", "at = 2026-12-09", "at = 2026-12-09T09:30:00");
}

#[test]
fn hours_without_their_end() {
    mended("\"daily 06:15-07:15\"", "\"5pm\"", "\"daily 18:30-21:30\"");
}

#[test]
fn a_temperature_without_its_unit() {
    mended("at = \"200 F\"", "at = 200", "at = \"200 F\"");
}

#[test]
fn a_group_misspelled() {
    mended_in("{ group = \"Otters\"", ("{ group = \"Oters\"", "Oters"), "Otters");
}

#[test]
fn how_much_where_how_many_is_asked() {
    mended_in("own = 4", ("own = 4\ncups = \"1/2 cup\"", "cups = \"1/2 cup\""), "cups = 12");
}

#[test]
fn curly_quotes_are_named() {
    let text = DEMO.replace("title = \"Forest fortnight\"", "title = “Forest fortnight”");
    let said = Run::of(&["check", "plan.toml"]).file("plan.toml", &text).exits(2).stderr;
    assert!(said.contains("curly") && said.contains("title = \"Forest fortnight\""), "{said}");
    let inches = DEMO.replace("thickness = \"1/4 in\"", "thickness = \"1/4”\"");
    Run::of(&["check", "plan.toml"]).file("plan.toml", &inches).succeeds();
}

#[test]
fn two_things_of_one_name() {
    let text = DEMO.replace("name = \"Wrens\"", "name = \"Otters\"");
    let said = Run::of(&["check", "plan.toml"]).file("plan.toml", &text).exits(2).stderr;
    assert!(said.contains("two [[group]] are called “Otters”"), "{said}");
    assert!(said.contains("for example “Otters 2”"), "{said}");
}

#[test]
fn hours_as_people_say_them_are_read() {
    let hours =
        "home = [\"Mon-Fri 6 pm to 9 pm\", \"daily 6:15am-7:15am\", \"Sat and Sun 9am until 9pm\"]";
    let line = DEMO.lines().find(|line| line.starts_with("home ")).unwrap();
    let text = DEMO.replace(line, hours);
    Run::of(&["check", "plan.toml"]).file("plan.toml", &text).succeeds();
}

#[test]
fn times_on_the_command_line() {
    let ice = |by: &str| {
        Run::of(&["ice", "--mold", "fox", "--no-diary", "--by", by]).now("2026-12-06T18:00:00")
    };
    let said = ice("Dec 9").exits(2).stderr;
    assert!(said.contains("“Dec 9 9:30 am”"), "{said}");
    for by in ["Dec 9 9:30 am", "5pm", "“tomorrow 07:00”", "tonight 11:00"] {
        ice(by).succeeds();
    }
}

#[test]
fn a_number_of_blocks_in_words() {
    let ice = |count: &str| Run::of(&["ice", "--mould", "fox", "--no-diary", "--count", count]);
    let said = ice("6 blocks").exits(2).stderr;
    assert!(said.contains("for example 6"), "{said}");
    ice("6").succeeds();
}

#[test]
fn how_cold_a_freezer_is_where_its_kind_is_asked() {
    let ice = |told: &[&str]| Run::of(&["ice", "--mold", "fox", "--no-diary"]).with(told);
    let said = ice(&["--freezer=-1 F"]).exits(2).stderr;
    assert!(said.contains("--air=\"-1 F\""), "{said}");
    ice(&["--air=-1 F"]).succeeds();
    let said = ice(&["--air", "31 F"]).exits(2).stderr;
    assert!(said.contains("not -0.6 °C (in °F between -49 and 30, not 31)"), "{said}");
}

#[test]
fn neither_oven_nor_room() {
    let dough =
        |told: &[&str]| Run::of(&["dough", "--thickness", "1/4 in", "--no-diary"]).with(told);
    let said = dough(&[]).exits(2).stderr;
    assert!(said.contains("--oven \"200 F\"") && said.contains("--air-dry"), "{said}");
    dough(&["--oven", "200 F"]).succeeds();
    dough(&["--air-dry"]).succeeds();
}

#[test]
fn other_names_of_things_are_known_in_a_file_too() {
    let class = include_str!("../data/classes/two-tins.toml");
    let kind = "kind = \"fridge-freezer\"";
    assert!(class.contains(kind), "{class}");
    for name in ["icebox", "Ice box", "combination", "Chest"] {
        let text = class.replace(kind, &format!("kind = \"{name}\""));
        Run::of(&["check", "class.toml"])
            .now("2026-11-30T08:00:00")
            .file("class.toml", &text)
            .succeeds();
    }
}

#[test]
fn a_day_without_quotes_is_a_day() {
    let all = "closed = [\"2026-12-21 to 2027-01-01\"]";
    let check = |days: &str, give: &str| {
        let text = DEMO.replacen(all, days, 1).replacen("give = 2026-12-18", give, 1);
        Run::of(&["check", "plan.toml"]).file("plan.toml", &text)
    };
    let closed = check("closed = [2026-12-21, 2026-12-25]", "give = 2026-12-25").exits(2).stderr;
    assert!(closed.contains("closed on 2026-12-25"), "{closed}");
    check("closed = [2026-12-21]\naway = [2026-12-13]", "give = 2026-12-18").succeeds();
}

#[test]
fn an_example_is_in_the_units_of_the_file() {
    let check = |units: &str| {
        let text = DEMO.replacen("units = \"us\"", units, 1);
        let text = text.replacen("thickness = \"1/4 in\"", "thickness = \"thin\"", 1);
        Run::of(&["check", "plan.toml"]).file("plan.toml", &text).exits(2).stderr
    };
    assert!(check("units = \"us\"").contains("for example `thickness = \"1/4 in\"`"));
    assert!(check("units = \"metric\"").contains("for example `thickness = \"6 mm\"`"));
}

#[test]
fn a_folder_where_a_file_should_be() {
    let folder = tempfile::tempdir().unwrap();
    for words in [&["starter"][..], &["starter", "--force"]] {
        let ran = Run::of(words).with(&[folder.path().to_str().unwrap()]).exits(2);
        assert!(ran.stderr.contains("is a folder"), "{words:?}: {}", ran.stderr);
        assert!(!ran.stderr.contains("add --force"), "{words:?}: {}", ran.stderr);
    }
}

#[test]
fn a_page_of_the_manual_has_one_version() {
    for words in [&["man"][..], &["completions", "bash"]] {
        let ran = Run::of(words).with(&["--json"]).succeeds();
        assert_eq!(ran.stdout.matches("\n  \"schema\"").count(), 1, "{words:?}");
    }
}

#[test]
fn a_place_by_another_name() {
    let text = DEMO.replacen("\nhome ", "\nhom ", 1);
    let said = Run::of(&["check", "plan.toml"]).file("plan.toml", &text).exits(2).stderr;
    assert!(said.contains("write `home` in the place of `hom` under [hours]"), "{said}");
}

#[test]
fn a_share_of_the_blocks() {
    mended_in("\nspare = 1\n", ("\nspare = \"10 %\"\n", "spare = \"10 %\""), "spare = 1");
}

/// Wrapped, sealed and then painted, all of it was planned so.
#[test]
fn finishes_in_an_order_that_cannot_be() {
    let finishes = "finish = [\"paint\", \"photo\", \"seal\", \"wrap\"]";
    assert!(DEMO.contains(finishes));
    let check = |finish: &str| {
        Run::of(&["check", "plan.toml"]).file("plan.toml", &DEMO.replacen(finishes, finish, 1))
    };
    let said = check("finish = [\"wrap\", \"seal\", \"paint\"]").exits(2).stderr;
    assert!(said.contains("`finish` has “wrap” before “seal”"), "{said}");
    assert!(said.contains("in this order: paint and photo, seal, wrap"), "{said}");
    check("finish = [\"photo\", \"paint\", \"wrap\"]").succeeds();
}

#[test]
fn one_session_written_twice() {
    let session = DEMO.lines().find(|line| line.contains("{ group =")).unwrap();
    let text = DEMO.replacen(session, &format!("{session}\n{session}"), 1);
    let said = Run::of(&["check", "plan.toml"]).file("plan.toml", &text).exits(2).stderr;
    assert!(said.contains("have a session then already"), "{said}");
}

/// In the demo `right` is written as `wrong`: what `check` says, and of how many faults.
fn told(right: &str, wrong: &str) -> (String, usize) {
    let text = DEMO.replacen(right, wrong, 1);
    assert_ne!(text, DEMO, "{right} is not in the demo");
    let said = Run::of(&["check", "plan.toml"]).file("plan.toml", &text).exits(2).stderr;
    let faults = said.lines().filter(|line| line.starts_with("error")).count();
    (said, faults)
}

/// Each has one fault, and a line that says what would be right.
#[test]
fn one_mistake_has_one_fault_and_its_help() {
    for (right, wrong, help) in [
        ("[room]", "buffer = 2\n[room]", "`buffer` belongs under [wishes]"),
        ("[room]", "ahead = \"2 days\"\n[room]", "`ahead` belongs under [wishes]"),
        ("units = \"us\"", "units = \"us\"\nclosed = [\"2026-12-14\"]", "[hours] has `closed`"),
        ("own = 4", "own = 4\nblocks = 3", "[[ice]] has `blocks`"),
        ("\"fridge-freezer\"", "\"fridge\"", "did you mean “fridge-freezer”?"),
        ("\"fridge-freezer\"", "\"freezer\"", "did you mean “fridge-freezer”?"),
        ("own = 4", "own = four", "a number has digits, as in 4"),
        ("own = 4", "own = nine", "a number has digits, as in 4"),
        ("2026-12-09T09:30:00", "2026-12-9T9:30", "have two digits, as in 2026-12-09T09:30:00"),
        ("2026-12-09T09:30:00", "2026-12-09T9:30", "have two digits, as in 2026-12-09T09:30:00"),
        ("name = \"fox\"", "name = \"fox", "ends with the quote that it begins with"),
        ("[[freezer]]", "[freezer]", "begin a line with [[freezer]]"),
        ("\"Mon-Fri 08:00-12:30\"", "\"Mon-Fri 8-12\"", "for example \"Mon-Fri 08:30-12:00\""),
        ("\"daily 18:30-21:30\"", "\"daily 18:30-06:00\"", "one until 24:00 and one from 00:00"),
    ] {
        let (said, faults) = told(right, wrong);
        assert!(said.contains(help) && faults == 1, "{wrong}: {faults} faults\n{said}");
    }
}

/// Hands that are free over midnight, written as the message says.
#[test]
fn hours_end_at_midnight() {
    let home = "\"daily 18:30-21:30\"";
    for night in [
        "\"daily 18:30-24:00\", \"daily 00:00-05:00\"",
        "\"daily 18:30-00:00\", \"daily 0:00-5:00\"",
        "\"daily 6:30pm-12am\", \"daily 12am-5am\"",
    ] {
        let text = DEMO.replacen(home, night, 1);
        assert_ne!(text, DEMO);
        Run::of(&["check", "plan.toml"]).file("plan.toml", &text).succeeds();
    }
}
