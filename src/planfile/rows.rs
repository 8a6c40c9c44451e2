//! The tables of the plan file: what is said of each, its keys, and which stand in which.

use super::{
    key::{Key, Table, Value::Openings},
    schema::{
        ACTIVITIES, FREEZER, GROUP, HOURS, ICE, MOULD, ORNAMENT, OVEN, OWN_HANDS, OWN_HOURS, PAN,
        PLAN, ROOM, SESSION, SESSIONS, SESSIONS_EXAMPLE, THEME, THINGS, WISHES,
    },
};

/// What is said of a table, and its rows.
#[derive(Debug)]
pub struct Rows {
    /// Its name in the file.
    pub name: &'static str,
    /// Most of them; one where it is no list.
    pub most: usize,
    /// One of them, on the page.
    pub one: &'static str,
    /// All of them, on the page.
    pub title: &'static str,
    /// What the page says of them.
    pub intro: &'static str,
    /// The button for one more.
    pub another: &'static str,
    /// The remark behind its header in the starter.
    pub remark: &'static str,
    /// Its keys, in the order of the page and the starter.
    pub keys: &'static [Key],
    /// What keys of the user's own are: names of places.
    pub own: Option<&'static Key>,
}

/// A table with one name, or a list of them.
const fn rows(name: &'static str, most: usize, title: &'static str, keys: &'static [Key]) -> Rows {
    Rows { name, most, one: title, title, intro: "", another: "", remark: "", keys, own: None }
}

static OF_PLAN: Rows = rows("plan", 1, "The plan", PLAN);
static OF_HOURS: Rows = Rows {
    own: Some(&OWN_HOURS),
    intro: "When hands are free. Freezing and drying go on outside these hours.",
    remark: "when hands are free; freezing and drying go on outside them",
    ..rows("hours", 1, "Hours", HOURS)
};
static OF_HANDS: Rows = Rows {
    own: Some(&OWN_HANDS),
    one: "Hands",
    intro: "Without this, one pair of hands goes from place to place.",
    remark: "hands that stay in one place; without this, one pair goes about",
    ..rows("hands", 1, "Hands that stay", &[])
};
static OF_ROOM: Rows = Rows {
    intro: "The air at home, where dough dries.",
    remark: "the air at home, where dough dries",
    ..rows("room", 1, "The room", ROOM)
};
static OF_WISHES: Rows = Rows {
    intro: "What makes a plan a good one for you; each may stay empty.",
    remark: "what makes a plan a good one for you; these values stand when not said",
    ..rows("wishes", 1, "Wishes", WISHES)
};
static OF_GROUP: Rows = Rows {
    one: "Group",
    another: "Another group",
    remark: "one for each group of children",
    ..rows("group", THINGS, "Groups", GROUP)
};
static OF_FREEZER: Rows = Rows {
    one: "Freezer",
    another: "Another freezer",
    ..rows("freezer", THINGS, "Freezers", FREEZER)
};
static OF_OVEN: Rows =
    Rows { one: "Oven", another: "Another oven", ..rows("oven", THINGS, "Ovens", OVEN) };
static OF_MOULD: Rows = Rows {
    one: "Mould",
    intro: "The pans that you have, and how many of each.",
    another: "Another mould",
    ..rows("mould", THINGS, "Moulds", MOULD)
};
static OF_ICE: Rows = Rows {
    intro: "What is done with the blocks, and when.",
    another: "Another ice activity",
    ..rows("ice", ACTIVITIES, "Ice", ICE)
};
static OF_SESSION: Rows = rows("session", SESSIONS, "Session", SESSION);
static OF_ORNAMENT: Rows = Rows {
    intro: "Batches of salt dough.",
    another: "Another batch of ornaments",
    ..rows("ornament", ACTIVITIES, "Ornaments", ORNAMENT)
};
static OF_THEME: Rows = Rows {
    one: "Theme",
    intro: "A title over some of the activities, if you like.",
    another: "Another theme",
    ..rows("theme", THINGS, "Themes", THEME)
};
static OF_PAN: Rows = rows("outline", 1, "", PAN);

impl Table {
    /// The lists of the file, in its order.
    pub const LISTS: [Self; 7] = [
        Self::Group,
        Self::Freezer,
        Self::Oven,
        Self::Mould,
        Self::Ice,
        Self::Ornament,
        Self::Theme,
    ];

    /// The tables with one name, in the order of the file.
    pub const SECTIONS: [Self; 4] = [Self::Hours, Self::Hands, Self::Room, Self::Wishes];

    /// Its rows and its words.
    pub fn rows(self) -> &'static Rows {
        match self {
            Self::Plan => &OF_PLAN,
            Self::Hours => &OF_HOURS,
            Self::Hands => &OF_HANDS,
            Self::Room => &OF_ROOM,
            Self::Wishes => &OF_WISHES,
            Self::Group => &OF_GROUP,
            Self::Freezer => &OF_FREEZER,
            Self::Oven => &OF_OVEN,
            Self::Mould => &OF_MOULD,
            Self::Ice => &OF_ICE,
            Self::Session => &OF_SESSION,
            Self::Ornament => &OF_ORNAMENT,
            Self::Theme => &OF_THEME,
            Self::Pan => &OF_PAN,
        }
    }

    /// The row of a key; for a key of the user's own, what such keys are.
    pub fn key(self, name: &str) -> Option<&'static Key> {
        let rows = self.rows();
        rows.keys.iter().find(|key| key.name == name).or(rows.own)
    }

    /// Its name in the file.
    pub fn word(self) -> &'static str {
        self.rows().name
    }

    /// The tables inside it.
    pub fn inner(self) -> Vec<Self> {
        match self {
            Self::Plan => [&Self::SECTIONS[..], &Self::LISTS].concat(),
            Self::Ice => vec![Self::Session],
            _ => Vec::new(),
        }
    }

    /// A valid list of it.
    pub fn example(self) -> String {
        match self {
            Self::Session => SESSIONS_EXAMPLE.to_owned(),
            _ => format!("… (begin a line with [[{}]])", self.word()),
        }
    }

    /// The table of a plan file that has a key, where one alone has it.
    pub fn with_key(key: &str) -> Option<Self> {
        let sections = Self::SECTIONS.into_iter().chain(Self::LISTS).chain([Self::Session]);
        let mut with = sections.filter(|table| {
            let named = |row: &Key| row.name == key && !matches!(row.value, Openings(_));
            table.rows().keys.iter().any(named)
        });
        with.next().filter(|_| with.next().is_none())
    }

    /// How it begins in a file: `[wishes]`, `[[ice]]`.
    pub fn begins(self) -> String {
        match Self::LISTS.contains(&self) {
            true => format!("[[{}]]", self.word()),
            false => format!("[{}]", self.word()),
        }
    }

    /// Whether a key of `[hours]` names a place.
    pub fn is_place(key: &str) -> bool {
        Self::Hours.key(key).is_some_and(|row| matches!(row.value, Openings(_)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Whoever typed `group = "Otters"` is shown how a group begins.
    #[test]
    fn a_list_is_shown_as_it_is_written() {
        assert!(Table::Group.example().contains("[[group]]"), "{}", Table::Group.example());
        let sessions = format!("session = {}", Table::Session.example());
        assert!(sessions.parse::<toml::Table>().is_ok(), "{sessions}");
    }
}
