//! What the plan page asks of the program: plan files, and a plan laid out.

use crate::{planfile::Plan, prep::schedule::Schedule, web::Refusal};

/// Plan files on this computer, and the answers of `solidby plan`.
pub trait Planner {
    /// The text of a plan file; none where there is no such file.
    ///
    /// # Errors
    /// When it is there and cannot be read, is too long, or is no text.
    fn read_plan(&self, path: &str) -> Result<Option<String>, Refusal>;

    /// Writes a plan file whole or not at all.
    ///
    /// # Errors
    /// When it cannot be written.
    fn write_plan(&self, path: &str, text: &str) -> Result<(), Refusal>;

    /// Names of the plan files in the folder where the program was started.
    fn plan_files(&self) -> Vec<String>;

    /// A plan file to begin from, with remarks.
    fn starter(&self) -> &'static str;

    /// The plan laid out, as `solidby plan` does.
    ///
    /// # Errors
    /// When it cannot be laid out at all.
    fn lay_out(&self, plan: Plan) -> Result<Schedule, Refusal>;

    /// The reminders, as `solidby plan --ics` writes them; none when no step is left.
    fn calendar(&self, schedule: &Schedule) -> Option<String>;

    /// The sheet to print, as `solidby plan --sheet` writes it.
    ///
    /// # Errors
    /// A fault of its template.
    fn sheet(&self, schedule: &Schedule) -> Result<String, Refusal>;
}
