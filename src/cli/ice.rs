//! `solidby ice`: will these blocks be solid by then.

use chrono::{DateTime, Timelike};

use super::{
    args::IceArgs,
    context::{Context, later},
    diary,
    failure::Failure,
    files, made,
    reply::{Reply, length, reply, width},
};
use crate::{
    answers::{
        Look,
        ice::{IceAnswer, LookAt, answer, answer_in_constant_films},
    },
    freezing::mesh::Resolution,
    report::{
        chart,
        faults::Wrong,
        ice::{Answered, Times, fill_by, ice},
    },
    units::{hours, hours_between, is_bare, read_past, read_start, read_time, zone::Zone},
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
    reply(&answered.answer, context, || ice(&answered, width(), length(args.more)))
}

/// The question answered, with what the diary knows.
pub fn answered(args: &IceArgs, context: Context) -> Result<Answered, Failure> {
    let times = times(args, context.now()?, context)?;
    let (now, filled) = (times.now, times.filled);
    let mut question = made::ice(&args.made, context)?;
    let taught = match args.film {
        Some(_) => None,
        None => diary::teach_ice(&args.learning, &args.made, &mut question, context)?,
    };
    question.by = times.by.map(|by| hours(hours_between(filled, by)));
    question.wet_for = times.wet_at.map(|at| hours(hours_between(filled, at)));
    let mut answer = match args.film {
        Some(films) => {
            let faces = [films.top, films.side, films.base];
            answer_in_constant_films(&question, faces, Resolution::Converged)
        }
        None => answer(&question),
    }
    .map_err(|error| Failure::asked(&error, context.locale()))?;
    answer.fill_by = fill_by(&answer, times).map(|at| at.to_rfc3339());
    if let Some(note) = taught {
        answer.notes.insert(0, note);
        answer.looks = looks(&answer, times.filled);
    }
    if filled < now && args.at.as_deref().is_some_and(is_bare) {
        let words = format!(
            "Taken as filled {}, which has passed.",
            context.locale().day_and_time(&filled)
        );
        answer.notes.push(words.into());
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

/// When it is filled, when it was still wet, when it is needed.
fn times(args: &IceArgs, now: DateTime<Zone>, context: Context) -> Result<Times, Failure> {
    let (at, by) = (args.at.as_deref(), args.by.as_deref());
    let Some(wet) = &args.wet_at else {
        let (filled, by) = context.span(at, by, now)?;
        return Ok(Times { now, filled, by, wet_at: None });
    };
    // What was seen is past; what was filled was filled before that.
    let wet = read_past(wet, now).map_err(context.timed("wet-at"))?;
    let filled = at.map_or(Ok(now), |at| read_start(at, now, Some(wet)));
    let filled = filled.map_err(context.timed("at"))?;
    if wet <= filled {
        return Err(Failure::of("wet-at", Wrong::NotAfter { other: "at" }));
    }
    let by = by.map(|by| read_time(by, now, wet)).transpose();
    let by = by.map_err(context.timed("by"))?;
    if by.is_some_and(|by| by <= wet) {
        return Err(Failure::of("by", Wrong::NotAfter { other: "wet-at" }));
    }
    Ok(Times { now, filled, by, wet_at: Some(wet) })
}
