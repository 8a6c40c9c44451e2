//! One change touches only its own bytes.

use super::*;
use crate::planfile;

pub const STARTER: &str = include_str!("../../../tests/data/starter.toml");

/// The same plan in other forms of TOML.
pub const BRACES: &str = r#"# my plan
title = "Forest"  # the title
timezone = 'America/Denver'
room.temperature = "68 F"   # dotted
hours = { home = ["daily 18:30-21:30"], class = ["Mon-Fri 08:00-12:30"] }
group = [
    # the first
    { name = "Otters", days = "Mon Wed Fri", children = 11 }, # eleven of them
    { name = "Wrens", days = "Tue Thu", children = 9 } # nine
    # and no more
]
[[freezer]]
name = "kitchen"
kind = "fridge-freezer"
[[mould]]
name = "fox"
volume = "310 mL"
depth = "35 mm"
own = 4
# the fox is orange

[[ice]]
name = "Paint on ice"
mould = "fox"
freezer = "kitchen"
[[ice.session]] # one
group = "Otters"
at = 2026-12-09T09:30:00
[[ice.session]]
group = "Wrens"
at = 2026-12-10T09:30:00"#;

pub fn texts<T: Into<String>>(texts: impl IntoIterator<Item = T>) -> Value {
    Value::Array(texts.into_iter().map(|text| Value::String(text.into())).collect())
}

pub fn things(kind: Table, n: usize) -> Entry {
    Entry::Of(List::Things(kind), n)
}

pub fn set_to(entry: Entry, key: &str, to: Value) -> Change {
    Change::Set { entry, key: key.to_owned(), to }
}

/// The lines that only one of two texts has.
fn differing<'t>(old: &'t str, new: &'t str) -> (Vec<&'t str>, Vec<&'t str>) {
    let (old, new): (Vec<&str>, Vec<&str>) = (old.lines().collect(), new.lines().collect());
    let head = old.iter().zip(&new).take_while(|(a, b)| a == b).count();
    let most = old.len().min(new.len()) - head;
    let tail = old.iter().rev().zip(new.iter().rev()).take_while(|(a, b)| a == b).count().min(most);
    (old[head..old.len() - tail].to_vec(), new[head..new.len() - tail].to_vec())
}

/// A change, with the lines that go for it and those that come.
type Case = (Change, &'static [&'static str], &'static [&'static str]);

fn one_line_each<const N: usize>(cases: [Case; N]) {
    for (change, gone, new) in cases {
        for text in [STARTER.to_owned(), STARTER.replace('\n', "\r\n")] {
            let edited = edit(&text, std::slice::from_ref(&change)).unwrap();
            assert_eq!(differing(&text, &edited), (gone.to_vec(), new.to_vec()), "{change:?}");
            assert_eq!(edited.matches("\r\n").count() > 0, text.contains('\r'), "{change:?}");
            let bare = edited.matches('\n').count() - edited.matches("\r\n").count();
            assert!(bare == 0 || !text.contains('\r'), "{change:?}");
        }
    }
}

#[test]
fn one_value_one_line() {
    one_line_each([
        (
            set_to(Entry::One(Table::Plan), "title", Value::from("Snow \"week\"")),
            &["title = \"Forest fortnight\""],
            &["title = 'Snow \"week\"'"],
        ),
        (
            set_to(Entry::One(Table::Plan), "timezone", Value::from("Europe/Vienna")),
            &[
                "timezone = \"America/Denver\"      # an IANA name: America/New_York, Europe/Vienna ...",
            ],
            &[
                "timezone = \"Europe/Vienna\"      # an IANA name: America/New_York, Europe/Vienna ...",
            ],
        ),
        (
            set_to(things(Table::Group, 0), "children", Value::from(12)),
            &["children = 11"],
            &["children = 12"],
        ),
        (
            set_to(
                Entry::One(Table::Hours),
                "home",
                texts(["daily 06:15-07:15", "daily 19:00-21:30", "Sat-Sun 09:00-21:30"]),
            ),
            &["home   = [\"daily 06:15-07:15\", \"daily 18:30-21:30\", \"Sat-Sun 09:00-21:30\"]"],
            &["home   = [\"daily 06:15-07:15\", \"daily 19:00-21:30\", \"Sat-Sun 09:00-21:30\"]"],
        ),
        (
            set_to(
                Entry::One(Table::Hours),
                "closed",
                texts(["2026-12-21 to 2027-01-01", "2026-12-08"]),
            ),
            &["closed = [\"2026-12-21 to 2027-01-01\"]   # the class rests; hands at home go on"],
            &[
                "closed = [\"2026-12-21 to 2027-01-01\", \"2026-12-08\"]   # the class rests; hands at home go on",
            ],
        ),
        (
            set_to(Entry::One(Table::Room), "altitude", Value::from("10 ft")),
            &["altitude = \"5200 ft\""],
            &["altitude = \"10 ft\""],
        ),
    ]);
}

#[test]
fn one_key_or_table_one_place() {
    one_line_each([
        (
            Change::Unset { entry: things(Table::Freezer, 0), key: "rated".to_owned() },
            &["rated = \"3 kg/day\"               # the freezing capacity on its plate"],
            &[],
        ),
        (set_to(things(Table::Mould, 0), "fill", Value::from("30 mm")), &[], &["fill = \"30 mm\""]),
        (
            set_to(Entry::Of(List::Sessions(0), 0), "spare", Value::from(2)),
            &[
                "  { group = \"Otters\", at = 2026-12-09T09:30:00 },   # spare = 0 here holds for this session alone",
            ],
            &[
                "  { group = \"Otters\", at = 2026-12-09T09:30:00, spare = 2 },   # spare = 0 here holds for this session alone",
            ],
        ),
        (
            Change::Add {
                list: List::Sessions(0),
                keys: vec![("group".to_owned(), Value::from("Otters"))],
            },
            &[],
            &["  { group = \"Otters\" },"],
        ),
        (
            Change::Add {
                list: List::Things(Table::Group),
                keys: vec![
                    ("name".to_owned(), Value::from("Wrens")),
                    ("children".to_owned(), Value::from(9)),
                ],
            },
            &[],
            &["[[group]]", "name = \"Wrens\"", "children = 9", ""],
        ),
        (
            Change::Add {
                list: List::Things(Table::Theme),
                keys: vec![("name".to_owned(), Value::from("Winter"))],
            },
            &[],
            &["", "[[theme]]", "name = \"Winter\""],
        ),
        (
            set_to(Entry::One(Table::Hands), "class", Value::from(2)),
            &[],
            &["[hands]", "class = 2", ""],
        ),
        (
            set_to(things(Table::Ornament, 0), "finish", texts(["paint", "seal", "wrap"])),
            &["finish = [\"paint\", \"photo\", \"seal\", \"wrap\"]"],
            &["finish = [\"paint\", \"seal\", \"wrap\"]"],
        ),
    ]);
}

fn in_braces<const N: usize>(cases: [Case; N]) {
    for (change, gone, new) in cases {
        let edited = edit(BRACES, std::slice::from_ref(&change)).unwrap();
        assert_eq!(
            differing(BRACES, &edited),
            (gone.to_vec(), new.to_vec()),
            "{change:?}\n{edited}"
        );
        assert!(written(&edited).is_some(), "{change:?}\n{edited}");
    }
}

#[test]
fn keys_with_dots_and_tables_in_braces() {
    let group = |n| Change::Remove { list: List::Things(Table::Group), index: n };
    let keys = vec![("name".to_owned(), Value::from("Finches"))];
    in_braces([
        (
            set_to(Entry::One(Table::Room), "humidity", Value::from("50 %")),
            &[],
            &["room.humidity = \"50 %\""],
        ),
        (
            set_to(Entry::One(Table::Hours), "closed", texts(["2026-12-21"])),
            &["hours = { home = [\"daily 18:30-21:30\"], class = [\"Mon-Fri 08:00-12:30\"] }"],
            &[
                "hours = { home = [\"daily 18:30-21:30\"], class = [\"Mon-Fri 08:00-12:30\"], closed = [\"2026-12-21\"] }",
            ],
        ),
        (
            group(0),
            &["    { name = \"Otters\", days = \"Mon Wed Fri\", children = 11 }, # eleven of them"],
            &[],
        ),
        (group(1), &["    { name = \"Wrens\", days = \"Tue Thu\", children = 9 } # nine"], &[]),
        (
            Change::Add { list: List::Things(Table::Group), keys },
            &["    { name = \"Wrens\", days = \"Tue Thu\", children = 9 } # nine"],
            &[
                "    { name = \"Wrens\", days = \"Tue Thu\", children = 9 }, # nine",
                "    { name = \"Finches\" },",
            ],
        ),
    ]);
}

#[test]
fn sessions_and_things_under_headers() {
    in_braces([
        (
            Change::Remove { list: List::Sessions(0), index: 0 },
            &["[[ice.session]] # one", "group = \"Otters\"", "at = 2026-12-09T09:30:00"],
            &[],
        ),
        (
            Change::Add {
                list: List::Sessions(0),
                keys: vec![("group".to_owned(), Value::from("Wrens"))],
            },
            &[],
            &["", "[[ice.session]]", "group = \"Wrens\""],
        ),
        (
            Change::Add {
                list: List::Things(Table::Mould),
                keys: vec![("own".to_owned(), Value::from(2))],
            },
            &[],
            &["[[mould]]", "own = 2", ""],
        ),
        (
            Change::Remove { list: List::Things(Table::Ice), index: 0 },
            &[
                "",
                "[[ice]]",
                "name = \"Paint on ice\"",
                "mould = \"fox\"",
                "freezer = \"kitchen\"",
                "[[ice.session]] # one",
                "group = \"Otters\"",
                "at = 2026-12-09T09:30:00",
                "[[ice.session]]",
                "group = \"Wrens\"",
                "at = 2026-12-10T09:30:00",
            ],
            &[],
        ),
    ]);
}

#[test]
fn a_new_name_is_new_everywhere() {
    let rename = |kind, to: &str| Change::Rename { kind, index: 0, to: to.to_owned() };
    let changes = [
        rename(Table::Group, "Foxes"),
        rename(Table::Freezer, "cellar"),
        rename(Table::Oven, "big"),
        rename(Table::Mould, "my fox"),
    ];
    let edited = edit(STARTER, &changes).unwrap();
    let plan = planfile::read(&edited).unwrap();
    assert_eq!((&*plan.groups[0].name, &*plan.freezers[0].name), ("Foxes", "cellar"));
    assert_eq!(plan.moulds[0].shape, planfile::read(STARTER).unwrap().moulds[0].shape);
    // A name that is taken, by mistake, does not mix up the two; and it can be mended.
    let fortnight = include_str!("../../../demo/forest-fortnight.toml");
    let second = |to: &str| Change::Rename { kind: Table::Group, index: 1, to: to.to_owned() };
    assert_eq!(edit(fortnight, &[second("Otters"), second("Wrens")]).unwrap(), fortnight);
    // Two of one name: nobody knows which of them the others mean.
    let two = Change::Add {
        list: List::Things(Table::Group),
        keys: vec![("name".to_owned(), Value::from("Otters"))],
    };
    let edited = edit(STARTER, &[two, rename(Table::Group, "Foxes")]).unwrap();
    assert!(edited.contains("{ group = \"Otters\","));
}

#[test]
fn removing_keeps_what_others_wrote_around() {
    let gone = Change::Remove { list: List::Things(Table::Oven), index: 0 };
    let edited = edit(STARTER, &[gone]).unwrap();
    let (old, new) = differing(STARTER, &edited);
    assert_eq!((old.len(), new.len()), (6, 0), "{old:?}");
    let remark = STARTER.replace("[[oven]]", "# the old one\n[[oven]]");
    let edited =
        edit(&remark, &[Change::Remove { list: List::Things(Table::Oven), index: 0 }]).unwrap();
    assert!(edited.contains("# the old one\n"));
}

#[test]
fn what_is_not_there_is_said() {
    let change = |entry| set_to(entry, "name", Value::from("x"));
    assert_eq!(edit("a = [", &[change(Entry::One(Table::Plan))]), Err(EditError::NotToml));
    let far = edit(STARTER, &[change(things(Table::Oven, 7))]);
    assert_eq!(far, Err(EditError::Missing("entry")));
    let gone = Change::Remove { list: List::Sessions(3), index: 0 };
    assert_eq!(edit(STARTER, &[gone]), Err(EditError::Missing("list")));
}

/// Why the editor is our own: a document of `toml_edit` that is read and written again is
/// another text, though nothing was changed in it.
#[test]
fn what_is_not_named_is_not_written() {
    let texts = [
        // It moves keys of one table together, over the lines between them.
        "room.temperature = \"68 F\"\ntitle = \"x\"\nroom.humidity = \"45 %\"\n",
        // It ends all lines alike, and the last one too.
        "title = \"x\"\r\nunits = \"us\"\nroom = { humidity = \"45 %\" }\r\n",
        "units = \"us\"\ntitle = \"x\"",
        // It leaves the byte order mark out.
        "\u{feff}title = \"x\"\n",
    ];
    for text in texts {
        assert_ne!(text.parse::<toml_edit::DocumentMut>().unwrap().to_string(), text);
        let change = set_to(Entry::One(Table::Plan), "title", Value::from("y"));
        assert_eq!(edit(text, &[change]).unwrap(), text.replace("\"x\"", "\"y\""));
    }
    // A table that goes takes the remark of the one above with it.
    let text = "[[mould]]\nown = 4\n# the fox is orange\n\n[[oven]]\ntrays = 2\n";
    let mut anew = text.parse::<toml_edit::DocumentMut>().unwrap();
    anew.remove("oven");
    assert!(!anew.to_string().contains("orange"));
    let gone = Change::Remove { list: List::Things(Table::Oven), index: 0 };
    assert_eq!(edit(text, &[gone]).unwrap(), "[[mould]]\nown = 4\n# the fox is orange\n");
}

#[test]
fn the_american_spelling_is_kept() {
    let american = BRACES.replace("[[mould]]", "[[mold]]").replace("mould = ", "mold = ");
    for change in [
        set_to(things(Table::Mould, 0), "own", Value::from(5)),
        set_to(things(Table::Ice, 0), "mould", Value::from("bear")),
        Change::Rename { kind: Table::Mould, index: 0, to: "vixen".to_owned() },
        Change::Add {
            list: List::Things(Table::Mould),
            keys: vec![("name".to_owned(), Value::from("bear"))],
        },
        Change::Remove { list: List::Things(Table::Mould), index: 0 },
    ] {
        let change = [change];
        let ours = edit(BRACES, &change).unwrap();
        let theirs = edit(&american, &change).unwrap();
        assert_ne!(ours, BRACES, "{change:?}");
        assert_eq!(
            theirs,
            ours.replace("[[mould]]", "[[mold]]").replace("mould = ", "mold = "),
            "{change:?}"
        );
    }
}
