//! Every key of the plan file, said once: reader, editor, form, starter and defaults
//! are made from these tables.
//!
//! # To add a key
//! 1. One row in the table it belongs to: its name, the kind of its value, whether it
//!    is needed or what stands for it, an example, and what the page calls it. With the
//!    row, a wrong value is told with the example, a key that is nearly right is told
//!    with the nearest, the page asks for it and the editor writes it.
//! 2. What it means: a field of the checked [`Plan`](super::Plan), filled in
//!    [`things`](super::things) or [`sessions`](super::sessions) by `reader.get("key")?`.
//!
//! A kind of value that is new needs a line in [`Value`], a reading in
//! [`values`](super::values) and a way to ask for it in `web::plan::form`; the compiler
//! names these places. A row with a remark stands in the starter: see
//! [`starter`](super::starter).

use super::key::{
    Key, Need,
    Need::{Beside, Default, Needed, Optional, Unless, With},
    Table, Value,
    Value::{
        Absences, Age, Count, CountOrShare, Dates, Day, DayCount, Days, EachOrCount, Hour, Moment,
        Name, Openings, Place, Points, Shape, Sides, Steps, Text, Thing, Things, Within, Word,
        Words, YesNo, Zone,
    },
    key,
};
use super::{HOME, MOST_AHEAD};
use crate::tables;

/// Most groups, freezers, ovens, moulds, places and themes of a plan.
pub const THINGS: usize = 100;

/// Most ice activities, and most batches of ornaments.
pub const ACTIVITIES: usize = 400;

/// Most sessions of one activity: every class day of two years.
pub const SESSIONS: usize = 400;

/// Most groups of a batch, and most activities of a theme.
const SHARERS: usize = 100;

/// Most entries of one place's hours, and most closed times.
const OPENINGS: usize = 100;

/// Most steps done.
const DONE: usize = 5_000;

/// Most steps that finish a batch.
const FINISHES: usize = 10;

/// Who says a default that no table states.
const PRACTICE: &str = "common practice, no source";

pub const PLAN: &[Key] = &[
    key("title", Text, Needed, "\"Forest fortnight\"", "Title"),
    key("timezone", Zone, Needed, "\"America/Denver\"", "Time zone")
        .hint("as in America/Denver or Europe/Vienna")
        .remark("an IANA name: America/New_York, Europe/Vienna ..."),
    key("units", Word(systems), Default("\"metric\"", "the SI"), "\"us\"", "Units in the plan")
        .remark("or \"metric\""),
    key("done", Steps(DONE), Default("[]", "nothing is"), DONE_BEFORE, "")
        .hidden("steps done already, and when"),
];

const DONE_BEFORE: &str = "[\"photo-ornaments-mix@2026-12-05T20:00\"]";

pub const HOURS: &[Key] = &[
    key("home", Openings(OPENINGS), Optional, EVENINGS, "Hands free at home")
        .hint(OPEN)
        .starts("[\"daily 06:15-07:15\", \"daily 18:30-21:30\", \"Sat-Sun 09:00-21:30\"]"),
    key("class", Openings(OPENINGS), Optional, "[\"Mon-Fri 08:00-12:30\"]", "Class")
        .hint("one row each, as in Mon-Fri 08:00-12:30"),
    key("closed", Dates(OPENINGS), Optional, CLOSED, "Days without class")
        .hint("one row each, as in 2026-12-21 or 2026-12-21 to 2027-01-01")
        .remark("the class rests; hands at home go on"),
    key("away", Absences(OPENINGS), Optional, AWAY, "Days when you are away")
        .hint("one row each, as in 2026-12-09 to 2026-12-10 or 2026-12-11 morning")
        .hidden("no hands anywhere; what goes on by itself goes on"),
];

const CLOSED: &str = "[\"2026-12-21 to 2027-01-01\"]";
const AWAY: &str = "[\"2026-12-09 to 2026-12-10\", \"2026-12-11 morning\"]";

pub const WISHES: &[Key] = &[
    key("clock", Word(clocks), Optional, "\"12\"", "Clock")
        .hint("of 12 hours where units are us, of 24 otherwise")
        .hidden("or \"24\"; as `units` has it when not said"),
    key(
        "ahead",
        DayCount(0, MOST_AHEAD),
        Default("\"3 days\"", PRACTICE),
        "\"3 days\"",
        "Ice made ahead",
    )
    .hint("at most so many days, {}")
    .hidden("ice is filled at most so long before its session"),
    key("buffer", DayCount(0, 10), Default("\"1 day\"", PRACTICE), "\"1 day\"", "Gifts ready")
        .hint("so many class days before they are given, {}")
        .hidden("gifts are finished so many class days before"),
    key("earliest", Hour, Default("\"06:30\"", PRACTICE), "\"06:30\"", "No work before")
        .hint("{}")
        .hidden("no work with hands before, unless nothing else does"),
    key("latest", Hour, Default("\"21:30\"", PRACTICE), "\"21:30\"", "No work after")
        .hint("{}")
        .hidden("nor after"),
    key("sureness", SURE, Default("\"95 %\"", PRACTICE), "\"95 %\"", "How sure it must be")
        .hint("the chance that every promise holds, {}")
        .hidden("the chance that every promise of the plan holds"),
];

const SURE: Value = Within("50 %", "99 %", "a plan can be sure of its promises by 50 % to 99 %");

/// Hours as an example for a place: evenings at home, mornings elsewhere.
pub fn hours_example(place: &str) -> &'static str {
    if place == HOME { "daily 18:30-21:30" } else { "Mon-Fri 08:30-12:00" }
}

const EVENINGS: &str = "[\"daily 18:30-21:30\"]";

const OPEN: &str = "one row each, as in daily 18:30-21:30 or Sat-Sun 09:00-17:00";

pub const OWN_HOURS: Key =
    key("", Openings(OPENINGS), Optional, EVENINGS, "Hands free at “{}”").hint(OPEN);

pub const OWN_HANDS: Key =
    key("class", Count(1, 20), Optional, "2", "People who stay in “{}”").hint("a number");

pub const ROOM: &[Key] = &[
    key("temperature", ROOM_AIR, Default("\"20 C\"", PRACTICE), "\"68 F\"", "Temperature")
        .metric("\"20 C\"")
        .hint("{}"),
    key("humidity", MOIST, Default("\"50 %\"", PRACTICE), "\"45 %\"", "Humidity").hint("{}"),
    key("altitude", HIGH, Default("\"0 m\"", PRACTICE), "\"5200 ft\"", "Height above the sea")
        .metric("\"1600 m\"")
        .hint("{}"),
];

const ROOM_AIR: Value = Within("0 C", "45 C", "a room is between 0 °C (32 °F) and 45 °C (113 °F)");
const MOIST: Value = Within("1 %", "100 %", "relative humidity is between 1 % and 100 %");
const HIGH: Value = Within("-430 m", "6000 m", "people live between −430 m and 6000 m");

pub const GROUP: &[Key] = &[
    key("name", Name, Needed, "\"Otters\"", "Name"),
    key("days", Days, Needed, "\"Mon Wed Fri\"", "Days"),
    key("children", Count(1, 100), Needed, "11", "Children").first("10"),
    key("youngest", Age, Optional, "\"2 years\"", "Age of the youngest")
        .hint("as in 2 years or 30 months")
        .first("\"2 years\""),
    key("from", Hour, Optional, "\"12:30\"", "There from")
        .hint("if only for a part of the class hours")
        .hidden("for a group that is there for only a part of the class hours"),
    key("until", Hour, Optional, "\"15:30\"", "Until").hint("as in 15:30").hidden("and until when"),
    key("room", Place, Default("\"class\"", "where children are"), "\"class\"", "Where")
        .not_in_starter(),
];

pub const FREEZER: &[Key] = &[
    key("name", Name, Needed, "\"kitchen\"", "Name"),
    key("kind", Word(freezers), Needed, "\"fridge-freezer\"", "Kind")
        .remark("solidby tables freezers lists the kinds"),
    key("air", FREEZING_AIR, Optional, "\"0 F\"", "Temperature in it")
        .metric("\"-18 C\"")
        .hint("{}, if you know")
        .remark("leave out what you do not know: the answer gets less sure"),
    key("rated", RATED, Optional, "\"3 kg/day\"", "Freezing capacity")
        .hint("from its plate, {}")
        .remark("the freezing capacity on its plate"),
    key("holds", Count(1, 500), Optional, "8", "Moulds at once")
        .hint("places for the largest of them, a tin as one; empty: as its kind usually has")
        .remark("moulds at once; leave it out, and its kind says how many find room"),
    key("place", Place, Default("\"home\"", "a kitchen's"), "\"home\"", "Where").not_in_starter(),
];

const FREEZING_AIR: Value = Within(
    "-45 C",
    "-3 C",
    "water freezes to a firm block in air between −45 °C (−49 °F) and −3 °C (27 °F)",
);
const RATED: Value = Within(
    "0.1 kg/day",
    "200 kg/day",
    "a household freezer's plate says between 0.1 and 200 kg/day",
);

pub const OVEN: &[Key] = &[
    key("name", Name, Needed, "\"kitchen\"", "Name"),
    key("kind", Word(ovens), Default("\"still\"", "the slower one"), "\"still\"", "Kind")
        .first("\"still\"")
        .remark("or \"fan\""),
    key("trays", Count(1, 20), Default("1", "the least"), "2", "Trays at once").first("1"),
    key("tray", Sides, Needed, "\"13 x 18 in\"", "Size of a tray")
        .metric("\"33 x 46 cm\"")
        .hint("{}"),
    key("place", Place, Default("\"home\"", "a kitchen's"), "\"home\"", "Where").not_in_starter(),
];

pub const MOULD: &[Key] = &[
    key("name", Name, Needed, "\"fox\"", "Name"),
    key("volume", MOULD_VOLUME, Unless("shape"), "\"310 mL\"", "Holds")
        .us("\"1 1/3 cup\"")
        .hint("fill one and measure, {}")
        .remark("fill one to the mark and pour it into a measuring cup"),
    key("depth", MOULD_DEPTH, Beside("outline"), "\"35 mm\"", "Depth")
        .us("\"1 3/8 in\"")
        .hint("{}"),
    key("fill", MOULD_DEPTH, Optional, "\"35 mm\"", "Depth of the water")
        .us("\"1 3/8 in\"")
        .hint("where it is not full")
        .not_in_starter(),
    key("wall", Word(walls), Default("\"plastic\"", PRACTICE), "\"silicone\"", "Made of")
        .first("\"silicone\"")
        .remark("silicone, plastic, aluminium, steel, glass, paper"),
    key("stand", Word(stands), Optional, "\"shelf\"", "Stands on")
        .hint("leave it out where you do not know")
        .not_in_starter(),
    key("covered", YesNo, Default("false", PRACTICE), "true", "").not_in_starter(),
    key("own", Count(1, 200), Needed, "4", "How many you have"),
    key("cups", CUPS, Default("1", "a mould by itself"), "12", "Moulds in one tin")
        .hint("then you have so many tins")
        .hidden("moulds in one tin; `own` then counts tins"),
    key("shape", Shape, Optional, "\"round 75 mm\"", "Shape")
        .hint("as in star 4 in, round 75 mm or box 10 x 8 x 4 cm")
        .not_in_starter(),
    key("outline", Points, Optional, OUTLINE, "").not_in_starter(),
];

const CUPS: Value = Count(1, 100);

const MOULD_VOLUME: Value = Within("1 mL", "20 L", "a mould takes between 1 mL and 20 L");
const MOULD_DEPTH: Value = Within("3 mm", "400 mm", "a mould is between 3 mm and 400 mm deep");

/// A valid list of points.
pub const OUTLINE: &str = "[[0, 0], [9, 0], [9, 6], [0, 6]]";

pub const ICE: &[Key] = &[
    key("name", Name, Needed, "\"Paint on ice\"", "Name"),
    key("mould", Thing(Table::Mould), Needed, "\"fox\"", "Mould"),
    key("freezer", Thing(Table::Freezer), Needed, "\"kitchen\"", "Freezer"),
    key("blocks", EachOrCount(1, 200), Default("\"each\"", PRACTICE), "\"each\"", "Blocks")
        .hint("each: one for a child; or a number for the table")
        .first("\"each\"")
        .remark("one a child, or a number for the table"),
    key("spare", Count(0, 100), NO_SPARE, "1", "Spare blocks"),
    key(
        "travel",
        TRAVEL,
        Default("\"0 min\"", "no other ice says one"),
        "\"25 min\"",
        "Way to class",
    )
    .hint("{}"),
    key("turn", TURN, Optional, "\"8 min\"", "A child's turn at a shared block")
        .hint("{}")
        .hidden("how long a child paints, where blocks are shared"),
    key("at_once", Count(1, 10), ONE_CHILD, "1", "Children at one block")
        .hint("at the same time")
        .hidden("children at one block"),
];

const ONE_CHILD: Need = Default("1", "one child at a block");
const NO_SPARE: Need = Default("0", "none is asked for");
const TURN: Value = Within("1 min", "2 h", "a child's turn takes between 1 min and 2 h");

/// A valid list of sessions.
pub const SESSIONS_EXAMPLE: &str = "[{ group = \"Otters\", at = 2026-12-09T09:30:00 }]";

const TRAVEL: Value = Within("0 min", "12 h", "a way to class takes between 0 min and 12 h");

pub const SESSION: &[Key] = &[
    key("group", Thing(Table::Group), Needed, "\"Otters\"", "Group"),
    key("at", Moment, Needed, "2026-12-09T09:30:00", "Begins"),
    key("spare", Count(0, 100), Optional, "0", "Spare blocks this time")
        .hint("if not as usual")
        .hidden("holds for this session alone"),
];

pub const ORNAMENT: &[Key] = &[
    key("name", Name, Needed, "\"Photo ornaments\"", "Name"),
    key("shape", Shape, Needed, "\"round 75 mm\"", "Shape and size across")
        .us("\"star 3 in\"")
        .hint("{}"),
    key("thickness", ROLLED, Needed, "\"1/4 in\"", "Thickness").metric("\"6 mm\"").hint("{}"),
    key("recipe", Word(recipes), Needed, "\"two-one-one\"", "Recipe")
        .hint("flour, salt, water by volume")
        .remark("solidby tables recipes lists them"),
    key("groups", Things(&[Table::Group], SHARERS), Needed, "[\"Otters\"]", "For"),
    key("each", Count(1, 50), Default("1", "one gift a child"), "1", "Pieces for a child")
        .first("1"),
    key("spare", CountOrShare(0, 200), NO_SPARE, "\"10 %\"", "Spare pieces")
        .hint("a number, or {}"),
    key("opening", WINDOW, Optional, "\"1 1/2 in\"", "Window for the photo")
        .metric("\"40 mm\"")
        .hint("across, {}")
        .hidden("the window for the photo"),
    key("method", Word(methods), Needed, "\"oven\"", "Dried")
        .remark("or \"air\", \"oven then air\", \"any\": the plan chooses"),
    key("oven", Thing(Table::Oven), With("method", BAKED), "\"kitchen\"", "Oven")
        .hint("where it is dried in one"),
    key("at", SETTING, With("method", BAKED), "\"200 F\"", "Oven set to")
        .metric("\"95 C\"")
        .hint("{}")
        .says_unit(),
    key("finish", Words(finishes, FINISHES), BARE, FINISHED, "Finished with")
        .first("[\"paint\", \"seal\"]"),
    key("give", Day, Needed, "2026-12-18", "Given on, at the latest"),
];

const ROLLED: Value = Within("1 mm", "50 mm", "dough is rolled between 1 mm and 50 mm");
const WINDOW: Value = Within("3 mm", "390 mm", "a window is between 3 mm and 390 mm across");

/// The ways of drying that may use an oven; the first one must.
const BAKED: &[&str] = &["oven", "oven then air", "any"];

const SETTING: Value =
    Within("40 C", "200 C", "dough is dried between 40 °C (104 °F) and 200 °C (392 °F)");
const BARE: Need = Default("[]", "none is asked for");
const FINISHED: &str = "[\"paint\", \"photo\", \"seal\", \"wrap\"]";

pub const THEME: &[Key] = &[
    key("name", Name, Needed, "\"Winter animals\"", "Name").not_in_starter(),
    key("activities", ACTIVITY, Needed, "[\"Paint on ice\"]", "Over").not_in_starter(),
];

const ACTIVITY: Value = Things(&[Table::Ice, Table::Ornament], SHARERS);

pub const PAN: &[Key] = &[
    key("points", Points, Needed, OUTLINE, ""),
    key("size", ACROSS, Needed, "\"9 cm\"", ""),
    key("depth", MOULD_DEPTH, Needed, "\"35 mm\"", ""),
    key("volume", MOULD_VOLUME, Optional, "\"310 mL\"", ""),
];

const ACROSS: Value = Within("5 mm", "2 m", "a pan is between 5 mm and 2 m across");

fn systems() -> Vec<(&'static str, &'static str)> {
    vec![("us", "US: inches, °F, cups"), ("metric", "metric: mm, °C, g")]
}

fn ovens() -> Vec<(&'static str, &'static str)> {
    [tables::Oven::still(), tables::Oven::fan()].map(|kind| (kind.name(), kind.words())).to_vec()
}

fn methods() -> Vec<(&'static str, &'static str)> {
    vec![
        ("oven", "in an oven"),
        ("air", "in the room"),
        ("oven then air", "in an oven, then in the room"),
        ("any", "as the plan chooses"),
    ]
}

fn clocks() -> Vec<(&'static str, &'static str)> {
    vec![("12", "8:00 pm"), ("24", "20:00")]
}

fn finishes() -> Vec<(&'static str, &'static str)> {
    vec![
        ("paint", "paint"),
        ("photo", "photo glued in"),
        ("seal", "clear sealer"),
        ("wrap", "wrapping"),
    ]
}

fn freezers() -> Vec<(&'static str, &'static str)> {
    tables::freezers().iter().map(|kind| (kind.name(), kind.words())).collect()
}

/// What moulds stand on.
fn stands() -> Vec<(&'static str, &'static str)> {
    tables::stands().iter().map(|stand| (stand.name(), stand.words())).collect()
}

fn walls() -> Vec<(&'static str, &'static str)> {
    tables::walls().iter().map(|wall| (wall.name(), wall.words())).collect()
}

fn recipes() -> Vec<(&'static str, &'static str)> {
    tables::recipes().iter().map(|recipe| (recipe.name(), recipe.words())).collect()
}
