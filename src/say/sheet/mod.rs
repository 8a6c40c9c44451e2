//! The sheet for the fridge door: one HTML file that needs no script, no other file and no network.
//!
//! The words and numbers are made in `view` and `band`; `sheet.html` and
//! `sheet.css` only place them. The template escapes every value, and the file's
//! own content policy forbids script and requests should anything slip through.

mod band;
mod curve;
pub mod palette;
mod row;
mod view;

use minijinja::{
    AutoEscape, Environment, UndefinedBehavior, context, syntax::SyntaxConfig, value::Serde,
};

use crate::plan::schedule::Schedule;
use view::View;

/// Why a sheet could not be written: a mistake in the template, not in the plan.
#[derive(Debug, thiserror::Error)]
#[error("the sheet's template does not fit its values: {0}")]
pub struct SheetError(#[from] minijinja::Error);

/// What the reader of the sheet may choose.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SheetOptions {
    /// Whether each step says why it is where it is; without, the sheet is shorter.
    pub reasons: bool,
}

impl Default for SheetOptions {
    /// With reasons.
    fn default() -> Self {
        Self { reasons: true }
    }
}

/// The writer's name in every sheet.
const GENERATOR: &str = "solidby prep sheet";
const TEMPLATE: &str = "sheet.html";

/// The whole plan as one HTML file: today, the other days, shopping, notes.
///
/// # Errors
/// [`SheetError`] when the template asks for a value that is not there.
pub fn write(schedule: &Schedule, options: &SheetOptions) -> Result<String, SheetError> {
    let page = environment()?;
    let page = page.template_from_named_str(TEMPLATE, include_str!("sheet.html"))?;
    let css = format!("{}{}", palette::css(), include_str!("sheet.css"));
    let view = Serde(View::of(schedule));
    Ok(page.render(context! { css, view, generator => GENERATOR, reasons => options.reasons })?)
}

/// Whether a file is a sheet that this program wrote, so that it may be replaced.
pub fn is_ours(file: &str) -> bool {
    let marker = format!("<meta name=\"generator\" content=\"{GENERATOR}\">");
    file.split("</head>").next().is_some_and(|head| head.contains(&marker))
}

/// A value that is missing is an error, and every value is escaped.
pub(crate) fn environment() -> Result<Environment<'static>, minijinja::Error> {
    let mut page = Environment::new();
    page.set_undefined_behavior(UndefinedBehavior::Strict);
    page.set_auto_escape_callback(|_| AutoEscape::Html);
    page.set_syntax(SyntaxConfig::builder().trim_blocks(true).lstrip_blocks(true).build()?);
    Ok(page)
}
