//! Words of care beside the steps they belong to, and the sources of all values.

use serde::Deserialize;

use super::{lookup::Named, step::Step};
use crate::units::{Locale, System};

/// Whom a caution is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Ages {
    /// Any group.
    All,
    /// A group with a child younger than three.
    #[serde(rename = "under-3")]
    Under3,
    /// The adult who does the step.
    Adults,
}

/// How pieces were dried, where a caution hangs on it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Dried {
    /// In the room.
    Air,
    /// In an oven.
    Oven,
}

/// A short, general word of care. It never replaces the programme's own rules.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Caution {
    /// Its name in answers.
    pub id: String,
    /// What it is about, in a few words.
    pub title: String,
    /// The only way of drying it holds for, if there is one.
    pub dried: Option<Dried>,
    /// The steps it belongs to.
    pub steps: Vec<Step>,
    /// Whom it is about.
    pub ages: Ages,
    /// The act that is wanted, in one short line.
    pub short: String,
    /// One to three short sentences.
    pub text: String,
    /// The same for who measures in US units, where it has units.
    pub text_us: Option<String>,
    /// The id of its source.
    pub source: String,
}

impl Caution {
    /// Whether it belongs to a step done for a group with a child so young.
    pub fn applies(&self, step: Step, youngest_years: f64) -> bool {
        self.steps.contains(&step) && (self.ages != Ages::Under3 || youngest_years < 3.0)
    }

    /// The short line as its reader spells it.
    pub fn short_in(&self, locale: Locale) -> String {
        locale.spelled(&self.short)
    }

    /// The text in its reader's units and spelling.
    pub fn text_in(&self, locale: Locale) -> String {
        let us = self.text_us.as_ref().filter(|_| locale.units == System::Us);
        locale.spelled(us.unwrap_or(&self.text))
    }

    /// Title of its source; the bare id should the source be missing.
    pub fn source_title(&self) -> &str {
        super::source(&self.source).map_or(&self.source, |source| &source.title)
    }
}

impl Named for Caution {
    fn name(&self) -> &str {
        &self.id
    }
}

/// What kind of source stands behind a value.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
pub enum SourceKind {
    /// The value was seen in print.
    #[serde(rename = "printed")]
    Printed,
    /// Worked out for this project from stated inputs.
    #[serde(rename = "computed")]
    Computed,
    /// What kitchens and classrooms usually do.
    #[serde(rename = "common practice, no source")]
    CommonPractice,
    /// Remembered from the named work, not checked against it.
    #[serde(rename = "from memory")]
    FromMemory,
}

/// Where a value comes from.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Source {
    /// Its name in the other tables.
    pub id: String,
    /// Author, year and work, or what was done.
    pub title: String,
    /// How far it can be relied on.
    pub kind: SourceKind,
    /// What it states, and how it was seen.
    pub note: String,
}

impl Named for Source {
    fn name(&self) -> &str {
        &self.id
    }
}

#[cfg(test)]
mod tests {
    use crate::tables::{self, SourceKind, Step};

    #[test]
    fn each_step_has_a_caution() {
        for step in Step::ALL {
            assert!(tables::cautions_at(*step, 2.0).next().is_some(), "{step:?} has no caution");
        }
    }

    #[test]
    fn ages_choose() {
        let has = |years| tables::cautions_at(Step::Roll, years).any(|of| of.id == "small-parts");
        assert!(has(2.0) && has(2.9) && !has(3.0));
    }

    #[test]
    fn the_texts_are_short() {
        for caution in tables::cautions() {
            assert!(caution.text.ends_with('.'), "{}", caution.id);
            let words = caution.text.split_whitespace().count();
            assert!(words <= 45, "{}: {words} words", caution.id);
            let letters = caution.short.chars().count();
            assert!(letters <= 80 && caution.short.ends_with('.'), "{}: {letters}", caution.id);
        }
    }

    #[test]
    fn the_id_of_a_source_tells_its_kind() {
        for source in tables::sources() {
            let told = match source.id.as_str() {
                "common-practice" => SourceKind::CommonPractice,
                id if id.starts_with("from-memory-") => SourceKind::FromMemory,
                id if id.starts_with("computed-") => SourceKind::Computed,
                _ => continue,
            };
            assert_eq!(source.kind, told, "{}", source.id);
        }
    }
}
