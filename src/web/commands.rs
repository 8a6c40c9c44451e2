//! What the pages ask of the commands.

pub use crate::report::faults::Refusal;

use std::path::Path;

use chrono::DateTime;

use crate::{
    answers::{cool::CoolAnswer, thaw::ThawAnswer},
    planfile::{Kept, Plan},
    prep::schedule::Schedule,
    report::{diary::Shown, did::Answered, dough, ice},
    units::{System, zone::Zone},
};

/// The commands behind the pages. Arguments are those of the command line, without the
/// program's name.
pub trait Commands: Send + Sync {
    /// Now, or what `--now` says, in the zone of the questions.
    ///
    /// # Errors
    /// A clock that is centuries wrong, or a zone that does not exist.
    fn now(&self) -> Result<DateTime<Zone>, Refusal>;

    /// Units where the address names none.
    fn units(&self) -> System;

    /// All that answers depend on besides their arguments: the minute, and the
    /// state of the diary. While it stays the same, so do they.
    fn state(&self) -> String;

    /// The answer of `solidby ice`.
    ///
    /// # Errors
    /// What is wrong with the arguments.
    fn ice(&self, arguments: &[String]) -> Result<ice::Answered, Refusal>;

    /// The answer of `solidby dough`.
    ///
    /// # Errors
    /// As [`Self::ice`].
    fn dough(&self, arguments: &[String]) -> Result<dough::Answered, Refusal>;

    /// The answer of `solidby thaw`.
    ///
    /// # Errors
    /// As [`Self::ice`].
    fn thaw(&self, arguments: &[String]) -> Result<ThawAnswer, Refusal>;

    /// The answer of `solidby cool`.
    ///
    /// # Errors
    /// As [`Self::ice`].
    fn cool(&self, arguments: &[String]) -> Result<CoolAnswer, Refusal>;

    /// The diary, as `solidby diary show` has it.
    ///
    /// # Errors
    /// When it cannot be read.
    fn diary(&self) -> Result<Shown, Refusal>;

    /// Adds to the diary: `add ice …`, `add dough …` or `look …`.
    ///
    /// # Errors
    /// As [`Self::ice`], and when it cannot be written.
    fn note(&self, arguments: &[String]) -> Result<(), Refusal>;

    /// The plan laid out, as `solidby plan` does; what is kept beside its file is followed.
    ///
    /// # Errors
    /// When it cannot be laid out at all.
    fn lay_out(&self, plan: Plan, file: Option<&Path>) -> Result<Laid, Refusal>;

    /// Keeps a plan to be followed, as `solidby plan --keep` does.
    ///
    /// # Errors
    /// When it cannot be kept there.
    fn keep(&self, laid: &Laid, file: &Path) -> Result<(), Refusal>;

    /// Tells what happened of a plan that is kept: the arguments of `solidby did` behind the
    /// plan file's name.
    ///
    /// # Errors
    /// What is wrong with the arguments, and when it cannot be kept.
    fn did(&self, plan: Plan, file: &Path, arguments: &[String]) -> Result<Answered, Refusal>;
}

/// A plan that is laid out, and what is kept of it.
#[derive(Debug, Clone)]
pub struct Laid {
    /// Its steps from now on.
    pub schedule: Schedule,
    /// What is kept of it, where it is followed.
    pub kept: Option<Kept>,
}
