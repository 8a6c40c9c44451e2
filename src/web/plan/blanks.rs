//! What each table of a plan file may have, and how the page asks for it.

use crate::{
    planfile::edit::{Entry, Kind, List, Section, Setting, Written},
    tables,
};

/// One key of a table as a blank of the form.
pub struct Blank {
    /// The key in the file.
    pub key: String,
    /// What the form calls it.
    pub label: String,
    /// An example, or what it means; may be empty.
    pub hint: &'static str,
    /// How it is asked for.
    pub way: Way,
}

/// How a value is asked for.
#[derive(Debug, Clone, Copy)]
pub enum Way {
    /// The name of a thing, which others may refer to.
    Name,
    /// Text on one line.
    Text,
    /// The name of a time zone.
    Zone,
    /// A whole number; anything else stays the text that was typed.
    Number,
    /// Days of the week.
    Days,
    /// Texts, one a line.
    Lines,
    /// A day and a time.
    When,
    /// A day.
    Day,
    /// One of some words, each with what the form calls it.
    Pick(fn() -> Vec<(&'static str, &'static str)>),
    /// The name of another thing.
    Refer(Kind),
    /// Names of other things.
    Refers(&'static [Kind]),
    /// Some of some words, in their order.
    Ticks(&'static [&'static str]),
    /// The name of a place that `[hours]` has.
    Place,
}

impl Way {
    /// Whether several values may be chosen.
    pub fn is_list(self) -> bool {
        matches!(self, Self::Lines | Self::Refers(_) | Self::Ticks(_))
    }
}

fn blank(key: &str, label: &str, hint: &'static str, way: Way) -> Blank {
    Blank { key: key.to_owned(), label: label.to_owned(), hint, way }
}

fn freezers() -> Vec<(&'static str, &'static str)> {
    tables::freezers().iter().map(|kind| (kind.name(), kind.name())).collect()
}

fn walls() -> Vec<(&'static str, &'static str)> {
    tables::walls().iter().map(|wall| (wall.name(), wall.name())).collect()
}

fn recipes() -> Vec<(&'static str, &'static str)> {
    tables::recipes().iter().map(|recipe| (recipe.name(), recipe.name())).collect()
}

fn units() -> Vec<(&'static str, &'static str)> {
    vec![("us", "US: inches, °F, cups"), ("metric", "metric: mm, °C, g")]
}

fn ovens() -> Vec<(&'static str, &'static str)> {
    vec![("still", "top and bottom heat"), ("fan", "with a fan")]
}

fn methods() -> Vec<(&'static str, &'static str)> {
    vec![("oven", "in an oven"), ("air", "in the room")]
}

/// The blanks of a table; `all` are the tables of the file.
pub fn blanks(entry: Entry, all: &[Written]) -> Vec<Blank> {
    match entry {
        Entry::Plan => vec![
            blank("title", "Title", "", Way::Text),
            blank("timezone", "Time zone", "as in America/Denver or Europe/Vienna", Way::Zone),
            blank("units", "Units in the plan", "", Way::Pick(units)),
        ],
        Entry::Section(Section::Hours) => hours(all),
        Entry::Section(Section::Hands) => {
            let stay = |place: String| {
                let label = format!("People who stay in “{place}”");
                Blank { key: place, label, hint: "a number", way: Way::Number }
            };
            places(all).into_iter().map(stay).collect()
        }
        Entry::Section(Section::Room) => vec![
            blank("temperature", "Temperature", "as in 68 F or 20 C", Way::Text),
            blank("humidity", "Humidity", "as in 45 %", Way::Text),
            blank("altitude", "Height above the sea", "as in 5200 ft or 1600 m", Way::Text),
        ],
        Entry::Of(List::Sessions(_), _) => vec![
            blank("group", "Group", "", Way::Refer(Kind::Group)),
            blank("at", "Begins", "", Way::When),
            blank("spare", "Spare blocks this time", "if not as usual", Way::Number),
        ],
        Entry::Of(List::Things(kind), _) => things(kind),
    }
}

/// Home, class and closed days, and places of the user's own.
fn hours(all: &[Written]) -> Vec<Blank> {
    let open = "one line each, as in daily 18:30-21:30 or Sat-Sun 09:00-17:00";
    let mut blanks = vec![
        blank("home", "Hands free at home", open, Way::Lines),
        blank("class", "Class", "one line each, as in Mon-Fri 08:00-12:30", Way::Lines),
    ];
    let own = places(all).into_iter().filter(|place| place != "home" && place != "class");
    blanks.extend(own.map(|place| {
        let label = format!("Hands free at “{place}”");
        Blank { key: place, label, hint: open, way: Way::Lines }
    }));
    let closed = "one line each, as in 2026-12-21 or 2026-12-21 to 2027-01-01";
    blanks.push(blank("closed", "Days without class", closed, Way::Lines));
    blanks
}

/// The places that `[hours]` has.
pub fn places(all: &[Written]) -> Vec<String> {
    let hours = all.iter().find(|table| table.entry == Entry::Section(Section::Hours));
    let keys = hours.into_iter().flat_map(|hours| &hours.keys);
    keys.map(|key| key.name.clone()).filter(|name| name != "closed").collect()
}

fn things(kind: Kind) -> Vec<Blank> {
    match kind {
        Kind::Group => vec![
            blank("name", "Name", "", Way::Name),
            blank("days", "Days", "", Way::Days),
            blank("children", "Children", "", Way::Number),
            blank("youngest", "Age of the youngest", "as in 2 years", Way::Text),
            blank("room", "Where", "", Way::Place),
        ],
        Kind::Freezer => vec![
            blank("name", "Name", "", Way::Name),
            blank("kind", "Kind", "", Way::Pick(freezers)),
            blank("air", "Temperature in it", "as in 0 F or -18 C, if you know", Way::Text),
            blank("rated", "Freezing capacity", "from its plate, as in 3 kg/day", Way::Text),
            blank("holds", "Moulds at once", "", Way::Number),
            blank("place", "Where", "", Way::Place),
        ],
        Kind::Oven => vec![
            blank("name", "Name", "", Way::Name),
            blank("kind", "Kind", "", Way::Pick(ovens)),
            blank("trays", "Trays at once", "", Way::Number),
            blank("tray", "Size of a tray", "as in 13 x 18 in or 33 x 46 cm", Way::Text),
            blank("place", "Where", "", Way::Place),
        ],
        Kind::Mould => vec![
            blank("name", "Name", "", Way::Name),
            blank("volume", "Holds", "fill one and measure, as in 310 mL or 1 1/3 cup", Way::Text),
            blank("depth", "Depth", "as in 35 mm or 1 3/8 in", Way::Text),
            blank("fill", "Depth of the water", "where it is not full", Way::Text),
            blank("wall", "Made of", "", Way::Pick(walls)),
            blank("own", "How many you have", "", Way::Number),
            blank("shape", "Shape", "as in star, round 75 mm or box 10 x 8 cm", Way::Text),
        ],
        Kind::Ice => vec![
            blank("name", "Name", "", Way::Name),
            blank("mould", "Mould", "", Way::Refer(Kind::Mould)),
            blank("freezer", "Freezer", "", Way::Refer(Kind::Freezer)),
            blank(
                "blocks",
                "Blocks",
                "each: one for a child; or a number for the table",
                Way::Number,
            ),
            blank("spare", "Spare blocks", "", Way::Number),
            blank("travel", "Way to class", "as in 25 min", Way::Text),
        ],
        Kind::Ornament => vec![
            blank("name", "Name", "", Way::Name),
            blank("groups", "For", "", Way::Refers(&[Kind::Group])),
            blank("give", "Given on, at the latest", "", Way::Day),
            blank("shape", "Shape and size across", "as in round 75 mm or star 3 in", Way::Text),
            blank("thickness", "Thickness", "as in 1/4 in or 6 mm", Way::Text),
            blank("recipe", "Recipe", "flour, salt, water by volume", Way::Pick(recipes)),
            blank("each", "Pieces for a child", "", Way::Number),
            blank("spare", "Spare pieces", "a number, or as in 10 %", Way::Number),
            blank("method", "Dried", "", Way::Pick(methods)),
            blank("oven", "Oven", "where it is dried in one", Way::Refer(Kind::Oven)),
            blank("at", "Oven set to", "as in 200 F or 95 C", Way::Text),
            blank("finish", "Finished with", "", Way::Ticks(&["paint", "photo", "seal", "wrap"])),
        ],
        Kind::Theme => vec![
            blank("name", "Name", "", Way::Name),
            blank("activities", "Over", "", Way::Refers(&[Kind::Ice, Kind::Ornament])),
        ],
    }
}

/// What stands for a table in names of fields: `group.0`, `session.0.1`, `room`.
pub fn code(entry: Entry) -> String {
    match entry {
        Entry::Plan => "plan".to_owned(),
        Entry::Section(section) => section.word().to_owned(),
        Entry::Of(list, n) => format!("{}.{n}", list_code(list)),
    }
}

/// What stands for a list: `group`, `session.0`.
pub fn list_code(list: List) -> String {
    match list {
        List::Things(kind) => kind.word().to_owned(),
        List::Sessions(ice) => format!("session.{ice}"),
    }
}

/// The list of a code.
pub fn list_of(code: &str) -> Option<List> {
    if let Some(ice) = code.strip_prefix("session.") {
        return ice.parse().ok().map(List::Sessions);
    }
    Kind::ALL.into_iter().find(|kind| kind.word() == code).map(List::Things)
}

/// The names of things of a kind, in the order of the file.
pub fn names(kind: Kind, all: &[Written]) -> Vec<String> {
    let things = all
        .iter()
        .filter(|table| matches!(table.entry, Entry::Of(List::Things(other), _) if other == kind));
    things
        .filter_map(|thing| match thing.get("name") {
            Some(Setting::Text(name)) => Some(name.clone()),
            _ => None,
        })
        .collect()
}

/// A value as the form shows it: one text, or one a list's entry.
pub fn shown(value: &Setting) -> Vec<String> {
    let one_line = |text: &str| text.replace(['\r', '\n'], " ").trim().to_owned();
    match value {
        Setting::Text(text) => vec![one_line(text)],
        Setting::Number(number) => vec![number.to_string()],
        Setting::When(at) => vec![at.to_string()],
        Setting::List(entries) => entries.iter().flat_map(shown).collect(),
        Setting::Table(_) => Vec::new(),
        Setting::Other(raw) => vec![raw.clone()],
    }
}
