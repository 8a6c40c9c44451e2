//! What can be changed in a plan file, and where.

use toml::Value;

use crate::planfile::Table;

/// A list of tables in a plan file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum List {
    /// Things of a kind.
    Things(Table),
    /// The sessions of an ice activity, by its position.
    Sessions(usize),
}

/// A table of a plan file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Entry {
    /// The file itself, or a table with one name.
    One(Table),
    /// A table of a list, by its position.
    Of(List, usize),
}

impl List {
    /// What its tables are.
    pub fn table(self) -> Table {
        match self {
            Self::Things(table) => table,
            Self::Sessions(_) => Table::Session,
        }
    }
}

impl Entry {
    /// What table it is.
    pub fn table(self) -> Table {
        match self {
            Self::One(table) => table,
            Self::Of(list, _) => list.table(),
        }
    }

    /// Its position in the list of things of a kind.
    pub fn nth(self, kind: Table) -> Option<usize> {
        match self {
            Self::Of(List::Things(table), n) if table == kind => Some(n),
            _ => None,
        }
    }
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
        to: Value,
    },
    /// A list gets a value more at its end; one value alone becomes a list.
    Append {
        /// In which table.
        entry: Entry,
        /// The key.
        key: String,
        /// The value.
        to: Value,
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
        keys: Vec<(String, Value)>,
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
        kind: Table,
        /// Its position.
        index: usize,
        /// The new name.
        to: String,
    },
}
