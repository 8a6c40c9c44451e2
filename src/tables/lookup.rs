//! Finds a row by its name, and the nearest name when there is none.

use thiserror::Error;

/// Something with a name and perhaps other names.
pub trait Named {
    /// Its name.
    fn name(&self) -> &str;

    /// Its other names.
    fn also(&self) -> &[String] {
        &[]
    }
}

/// A name that no row of the table has.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error("no {what} is called “{typed}”{}; known: {}", meant(.nearest), .known.join(", "))]
pub struct UnknownName {
    /// What was looked for: `mould`, `freezer` …
    pub what: &'static str,
    /// What was typed.
    pub typed: String,
    /// The nearest name, if one is near.
    pub nearest: Option<String>,
    /// Every name of the table.
    pub known: Vec<String>,
}

fn meant(nearest: &Option<String>) -> String {
    nearest.as_ref().map(|name| format!(" (did you mean “{name}”?)")).unwrap_or_default()
}

/// The row of that name or other name, in whatever case, with hyphens or without.
pub fn called<'a, Row: Named>(rows: &'a [Row], typed: &str) -> Option<&'a Row> {
    let wanted = plain(typed);
    rows.iter().find(|row| names(*row).any(|name| plain(name) == wanted))
}

/// The row of that name or other name.
pub(super) fn find<'a, Row: Named>(
    rows: &'a [Row],
    what: &'static str,
    typed: &str,
) -> Result<&'a Row, UnknownName> {
    called(rows, typed).ok_or_else(|| UnknownName {
        what,
        typed: typed.to_owned(),
        nearest: nearest(typed, rows.iter().flat_map(|row| names(row))).map(str::to_owned),
        known: rows.iter().map(|row| row.name().to_owned()).collect(),
    })
}

/// No name that people give is longer, in bytes.
const LONGEST_NAME: usize = 200;

/// Nearer than another word with one letter changed (`done`).
const WITHIN: f64 = 0.9;

/// Letters that a word has at the least to count as standing in a name.
const WORD: usize = 4;

/// The name most like the one typed, when any is like it at all.
///
/// Likeness is the Jaro-Winkler similarity; below 0.75 two names have
/// nothing to do with each other (chosen here on short English words). A word that
/// stands whole in a name, as `zone` in `timezone`, is nearly as like as the same word.
///
/// Comparing costs the product of both lengths, so what is longer than any name
/// is not compared.
pub fn nearest<'a>(typed: &str, names: impl Iterator<Item = &'a str>) -> Option<&'a str> {
    if typed.len() > LONGEST_NAME {
        return None;
    }
    let wanted = plain(typed);
    let likeness = |name: &str| {
        let within = wanted.len() >= WORD && name.contains(&wanted);
        strsim::jaro_winkler(&wanted, name).max(if within { WITHIN } else { 0.0 })
    };
    names
        .filter(|name| name.len() <= LONGEST_NAME)
        .map(|name| (likeness(&plain(name)), name))
        .filter(|(likeness, _)| *likeness >= 0.75)
        // Of two that are as like, the plainer.
        .max_by(|a, b| a.0.total_cmp(&b.0).then(b.1.len().cmp(&a.1.len())))
        .map(|(_, name)| name)
}

fn names<Row: Named>(row: &Row) -> impl Iterator<Item = &str> {
    std::iter::once(row.name()).chain(row.also().iter().map(String::as_str))
}

/// Lower case, and one space for any hyphen, underscore or run of spaces.
pub(super) fn plain(name: &str) -> String {
    name.to_lowercase()
        .split([' ', '-', '_'])
        .filter(|word| !word.is_empty())
        .collect::<Vec<_>>()
        .join(" ")
}

#[cfg(test)]
mod tests {
    use crate::tables;

    #[test]
    fn finds_by_any_spelling_and_by_other_names() {
        for (typed, name) in [
            ("fox", "fox"),
            ("Muffin-Cup", "muffin cup"),
            ("  bunny ", "hare"),
            ("FIR_tree", "tree"),
        ] {
            assert_eq!(tables::mould(typed).map(tables::Mould::name), Ok(name), "{typed}");
        }
        assert_eq!(tables::wall("aluminum").map(tables::Wall::name), Ok("aluminium"));
    }

    #[test]
    fn an_unknown_name_says_what_may_be_meant() {
        for (typed, meant) in
            [("snowflak", "snowflake"), ("hart", "heart"), ("mufin cup", "muffin cup")]
        {
            let error = tables::mould(typed).expect_err(typed);
            assert_eq!(error.nearest.as_deref(), Some(meant), "{typed}");
            assert!(error.to_string().contains(meant), "{error}");
        }
        assert_eq!(super::nearest("zone", ["done", "timezone"].into_iter()), Some("timezone"));
        assert_eq!(tables::mould("zzzz").expect_err("no such").nearest, None);
        assert_eq!(tables::mould("").expect_err("empty").nearest, None);
    }
}
