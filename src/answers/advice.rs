//! What would make an answer surer, and what would make it better.

use schemars::JsonSchema;
use serde::Serialize;

use crate::tables::Wording;
use crate::uncertainty::{Draw, Unknowns, finite_or_null};

/// Which unknown widens the band, and by what share of its variance.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Unsure {
    /// The unknown, in words.
    pub input: &'static str,
    /// Share of the spread it explains.
    pub share: f64,
    /// How to narrow it.
    #[schemars(with = "String")]
    pub narrow: &'static Wording,
}

/// A change and what it saves.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Help {
    /// What to do instead.
    pub change: String,
    /// Hours sooner at the central inputs; `null` when it turns never into some time.
    #[serde(serialize_with = "finite_or_null")]
    #[schemars(with = "Option<f64>")]
    pub saves_h: f64,
    /// The chance that it is ready in time then, where that is asked and not sure already.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub chance: Option<f64>,
}

/// What else is good to know of an answer.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(into = "String")]
pub struct Note {
    /// A sentence for every reader.
    pub words: String,
    /// The option that would leave what it tells of out of the answer.
    pub left_out_by: Option<&'static str>,
    /// Whether it has to be known before the answer is believed.
    pub first: bool,
}

impl From<String> for Note {
    fn from(words: String) -> Self {
        Self { words, left_out_by: None, first: false }
    }
}

impl From<Note> for String {
    /// For who types options.
    fn from(note: Note) -> Self {
        match note.left_out_by {
            Some(option) => {
                format!("{}; --{option} leaves it out.", note.words.trim_end_matches('.'))
            }
            None => note.words,
        }
    }
}

/// Which unknowns widen the outcomes, the widest first; shares below 2 % are left out.
pub(super) fn unsure(unknowns: &Unknowns, draws: &[Draw], outcomes: &[f64]) -> Vec<Unsure> {
    let shares = unknowns.shares(draws, outcomes).into_iter();
    shares
        .take_while(|(_, share)| *share >= 0.02)
        .map(|(prior, share)| Unsure { input: prior.about(), share, narrow: prior.narrow() })
        .collect()
}
