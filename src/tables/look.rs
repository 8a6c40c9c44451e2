//! What ready looks like.

use serde::Deserialize;

use super::{lookup::Named, step::Step};

/// What to look at before a step that waits for something which ends by itself.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Look {
    /// Its name in the table.
    pub name: String,
    /// The step that waits.
    pub step: Step,
    /// What ready looks like.
    pub see: String,
    /// The same in a few words.
    pub short: String,
    /// What a scale says then, where one does, with the weights left open: `{wet}`, `{firm}`,
    /// `{dry}` and that of a piece that is ready here.
    pub weighed: Option<String>,
    /// The same in a few words.
    pub short_weighed: Option<String>,
    /// What to do where it is not ready.
    pub if_not: String,
    /// What to do where a further stretch in the oven is planned for those.
    pub if_again: Option<String>,
    /// The few words then.
    pub short_again: Option<String>,
    /// The id of its source.
    pub source: String,
}

impl Named for Look {
    fn name(&self) -> &str {
        &self.name
    }
}
