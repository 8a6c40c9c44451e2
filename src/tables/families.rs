//! Words for families, before and with the gift.

use serde::Deserialize;

use super::lookup::Named;

/// What a sentence stands on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Paper {
    /// The slip that goes home before.
    Slip,
    /// The card that goes with the gift.
    Card,
}

/// What a gift has.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Needs {
    /// A photo glued in.
    Photo,
}

/// A sentence for families.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ForFamilies {
    /// Its name.
    pub name: String,
    /// What it stands on.
    pub on: Paper,
    /// The id of the caution that it says.
    pub caution: Option<String>,
    /// What gifts it is for have, where it is not for all.
    pub needs: Option<Needs>,
    /// The sentence, with names in braces to be filled in.
    pub text: String,
    /// The id of its source.
    pub source: String,
}

impl Named for ForFamilies {
    fn name(&self) -> &str {
        &self.name
    }
}

#[cfg(test)]
mod tests {
    use crate::tables;

    #[test]
    fn each_says_a_caution_that_there_is_by_its_source() {
        for row in tables::families() {
            assert!(tables::source(&row.source).is_ok(), "{}", row.name);
            let Some(id) = &row.caution else { continue };
            let caution = tables::caution(id).unwrap_or_else(|_| panic!("{}: {id}", row.name));
            assert_eq!(caution.source, row.source, "{}", row.name);
        }
    }

    /// Every caution of the giving, but for what is settled before, is on the card.
    #[test]
    fn the_card_says_every_caution_of_the_giving() {
        let settled = ["families-photos", "not-food"];
        for caution in tables::cautions_at(tables::Step::Give, 2.0) {
            let said =
                tables::families().iter().any(|row| row.caution.as_ref() == Some(&caution.id));
            assert!(said || settled.contains(&caution.id.as_str()), "{}", caution.id);
        }
    }
}
