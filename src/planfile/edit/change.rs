//! What can be changed in a plan file, and where.

use super::Setting;

/// A kind of thing that a plan file lists.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Kind {
    /// Groups of children.
    Group,
    /// Freezers.
    Freezer,
    /// Ovens.
    Oven,
    /// Moulds.
    Mould,
    /// Ice activities.
    Ice,
    /// Batches of ornaments.
    Ornament,
    /// Titles over activities.
    Theme,
}

impl Kind {
    /// All kinds, in the order of a plan file.
    pub const ALL: [Self; 7] = [
        Self::Group,
        Self::Freezer,
        Self::Oven,
        Self::Mould,
        Self::Ice,
        Self::Ornament,
        Self::Theme,
    ];

    /// Its name in the file.
    pub fn word(self) -> &'static str {
        match self {
            Self::Group => "group",
            Self::Freezer => "freezer",
            Self::Oven => "oven",
            Self::Mould => "mould",
            Self::Ice => "ice",
            Self::Ornament => "ornament",
            Self::Theme => "theme",
        }
    }
}

/// A list of tables in a plan file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum List {
    /// Things of a kind.
    Things(Kind),
    /// The sessions of an ice activity, by its position.
    Sessions(usize),
}

/// A table with one name.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Section {
    /// When hands are free.
    Hours,
    /// Hands that stay in a place.
    Hands,
    /// The air at home.
    Room,
}

impl Section {
    /// All sections, in the order of a plan file.
    pub const ALL: [Self; 3] = [Self::Hours, Self::Hands, Self::Room];

    /// Its name in the file.
    pub fn word(self) -> &'static str {
        match self {
            Self::Hours => "hours",
            Self::Hands => "hands",
            Self::Room => "room",
        }
    }
}

/// A table of a plan file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Entry {
    /// The file itself: title, timezone, units.
    Plan,
    /// A table with one name.
    Section(Section),
    /// A table of a list, by its position.
    Of(List, usize),
}

/// One change to a plan file. Positions are those after all changes before it.
#[derive(Debug, Clone, PartialEq)]
pub enum Change {
    /// A key gets a value; it is added where it is not there.
    Set {
        /// In which table.
        entry: Entry,
        /// The key.
        key: String,
        /// Its new value.
        to: Setting,
    },
    /// A key goes.
    Unset {
        /// From which table.
        entry: Entry,
        /// The key.
        key: String,
    },
    /// A thing or a session more, at the end of its list.
    Add {
        /// To which list.
        list: List,
        /// Its keys.
        keys: Vec<(String, Setting)>,
    },
    /// A thing or a session goes.
    Remove {
        /// From which list.
        list: List,
        /// Its position.
        index: usize,
    },
    /// A thing gets another name, also where others refer to it.
    Rename {
        /// The kind of thing.
        kind: Kind,
        /// Its position.
        index: usize,
        /// The new name.
        to: String,
    },
}
