//! `solidby ice`: will these blocks be solid by then.

use chrono::{DateTime, Timelike};

use super::{
    args::IceArgs,
    context::{Context, hours_between, later, span},
    diary,
    failure::Failure,
    files, made,
    reply::{Reply, reply, width},
};
use crate::{
    answers::{
        Look,
        ice::{IceAnswer, LookAt, answer, answer_in_constant_films},
    },
    freezing::mesh::Resolution,
    report::{
        chart,
        ice::{Answered, Times, ice},
    },
    units::{hours, is_bare, zone::Zone},
};

/// Hours of the day in which somebody may look (common practice, no source).
const UP: std::ops::Range<u32> = 6..23;

/// Answers `solidby ice`.
///
/// # Errors
/// An input failure for names no table knows, times that are none, and values
/// out of range.
pub fn run(args: &IceArgs, context: Context) -> Result<Reply, Failure> {
    let host = context.host();
    let diary = diary::input(&args.learning, host);
    let inputs = [diary.as_deref(), args.made.shape.file()].into_iter().flatten();
    files::apart(host, &inputs.collect::<Vec<_>>(), &[("chart", args.chart.as_deref())])?;
    let answered = answered(args, context)?;
    if let Some(out) = &args.chart {
        files::write_chart(context, out, &chart::ice(&answered), args.force)?;
    }
    reply(&answered.answer, context, || ice(&answered, width()))
}

/// The question answered, with what the diary knows.
pub fn answered(args: &IceArgs, context: Context) -> Result<Answered, Failure> {
    let now = context.now()?;
    let (filled, by) = span(args.at.as_deref(), args.by.as_deref(), now)?;
    let times = Times { filled, by };
    let mut question = made::ice(&args.made, context)?;
    let taught = match args.film {
        Some(_) => None,
        None => diary::teach_ice(&args.learning, &args.made, &mut question, context)?,
    };
    question.by = times.by.map(|by| hours(hours_between(times.filled, by)));
    let mut answer = match args.film {
        Some(films) => {
            let faces = [films.top, films.side, films.base];
            answer_in_constant_films(&question, faces, Resolution::Converged)
        }
        None => answer(&question),
    }?;
    answer.fill_by = fill_by(&answer, times.by);
    if let Some(note) = taught {
        answer.notes.insert(0, note);
        answer.looks = looks(&answer, times.filled);
    }
    if filled < now && args.at.as_deref().is_some_and(is_bare) {
        let words = format!("Filled {}, which has passed.", context.locale().day_and_time(&filled));
        answer.notes.insert(0, words.into());
    }
    Ok(Answered { answer, question, times, locale: context.locale() })
}

/// When to open the door, among the quarter hours in which people are up.
fn looks(answer: &IceAnswer, filled: DateTime<Zone>) -> Vec<LookAt> {
    let up = |h: &f64| UP.contains(&later(filled, hours(*h)).hour());
    let times: Vec<f64> = (1..200).map(|quarter| 0.25 * f64::from(quarter)).filter(up).collect();
    let said = |look: Look| LookAt { at: later(filled, hours(look.after_h)).to_rfc3339(), look };
    answer.teaching.looks(&times).into_iter().map(said).collect()
}

/// The latest time to fill for a chance of 0.95.
fn fill_by(answer: &IceAnswer, by: Option<DateTime<Zone>>) -> Option<String> {
    let (by, lead) = (by?, answer.lead()?);
    Some(later(by, -lead).to_rfc3339())
}
