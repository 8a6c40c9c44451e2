//! The sheet for the fridge door: one HTML file that needs no script, no other file and no network.
//!
//! The words and numbers are made in `view` and `band`; the templates and style
//! files only place them. The templates escape every value, and the file's own
//! content policy forbids script and requests should anything slip through.

mod band;
mod brief;
mod curve;
pub mod palette;
mod row;
mod view;
mod weeks;

use minijinja::{
    AutoEscape, Environment, UndefinedBehavior, context, syntax::SyntaxConfig, value::Serde,
};

use crate::prep::schedule::Schedule;
use crate::report::clean;
use brief::Brief;
use view::View;

/// Why a sheet could not be written: a mistake in the template, not in the plan.
#[derive(Debug, thiserror::Error)]
#[error("the sheet's template does not fit its values: {0}")]
pub struct SheetError(#[from] minijinja::Error);

/// The writer's name in every sheet.
const GENERATOR: &str = "solidby prep sheet";
/// The pattern of a bar that is watched.
const HATCH: &str = include_str!("hatch.html");
const FRAME: &str = include_str!("frame.css");
const BRIEF: &str = include_str!("brief.css");
const PRINT: &str = include_str!("print.css");

/// The narrow face in which two weeks fit on one side: `@font-face` rules with their letters.
pub const NARROW: &str = include_str!("narrow/narrow.css");

/// The style of the days.
pub const DAYS: &str = include_str!("days.css");

/// The plan as one HTML file: its face, which is two weeks on one side of paper, and behind
/// it, where the `full` sheet is asked for, today, the other days, shopping, notes, cautions.
///
/// # Errors
/// [`SheetError`] when the template asks for a value that is not there.
pub fn write(schedule: &Schedule, full: bool) -> Result<String, SheetError> {
    let view = View::of(schedule);
    let (css, days) = match full {
        true => ([FRAME, DAYS, PRINT, NARROW, BRIEF].concat(), in_days(&view, true)?),
        false => ([FRAME, DAYS, NARROW, BRIEF].concat(), String::new()),
    };
    let css = palette::css() + &css;
    let brief = context! { brief => Serde(Brief::of(schedule)) };
    let brief = render("brief.html", include_str!("brief.html"), brief)?;
    let values = context! {
        css, problems => problems(&view)?, brief, days, full, verdict => verdict(&view)?, hatch => HATCH,
        view => Serde(view), generator => GENERATOR,
    };
    Ok(schedule.spelling.words(&render("sheet.html", include_str!("sheet.html"), values)?))
}

/// The picture and the days as a piece of HTML for another page, each day folded, without boxes
/// to tick, the verdict and what stands in the way; it is to be shown with [`DAYS`].
///
/// # Errors
/// As [`write()`].
pub fn days(schedule: &Schedule) -> Result<String, SheetError> {
    let view = View::of(schedule);
    let days = in_days(&view, false)?;
    let weeks = weeks::weeks(schedule);
    let weeks =
        render("weeks.html", include_str!("weeks.html"), context! { weeks => Serde(weeks) })?;
    let days = [HATCH, &weeks, &days].concat();
    Ok(schedule.spelling.words(&days))
}

/// Whether everything fits, in a line.
fn verdict(view: &View<'_>) -> Result<String, SheetError> {
    render("verdict.html", include_str!("verdict.html"), context! { view => Serde(view) })
}

/// What stands in the way.
fn problems(view: &View<'_>) -> Result<String, SheetError> {
    render("problems.html", include_str!("problems.html"), context! { view => Serde(view) })
}

/// The days, shopping, notes, cautions: on paper with boxes to tick, else folded.
fn in_days(view: &View<'_>, paper: bool) -> Result<String, SheetError> {
    let values = context! { view => Serde(view), paper };
    render("days.html", include_str!("days.html"), values)
}

fn render(name: &str, source: &str, values: minijinja::Value) -> Result<String, SheetError> {
    Ok(environment()?.template_from_named_str(name, source)?.render(values)?)
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
    page.add_filter("clean", |text: &str| clean::clean(text));
    page.add_filter("line", |text: &str| clean::one_line(text));
    page.add_filter("named", |text: &str| clean::named(text));
    page.set_syntax(SyntaxConfig::builder().trim_blocks(true).lstrip_blocks(true).build()?);
    Ok(page)
}
