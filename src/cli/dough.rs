//! `solidby dough`: how long to bake or air-dry.

use super::{
    args::DoughArgs,
    context::Context,
    diary,
    failure::Failure,
    files, made,
    reply::{Reply, length, remark, reply, width},
};
use crate::{
    answers::dough::{DoughAndWays, Exact, answer, course, ways_out},
    report::{
        chart,
        dough::{Answered, Times, dough},
    },
    units::{hours, hours_between},
};

/// Answers `solidby dough`.
///
/// # Errors
/// An input failure for names no table knows, times that are none, and values
/// out of range.
pub fn run(args: &DoughArgs, context: Context) -> Result<Reply, Failure> {
    let host = context.host();
    let diary = diary::input(&args.learning, host);
    let inputs: Vec<_> = diary.as_deref().into_iter().collect();
    files::apart(host, &inputs, &[("chart", args.chart.as_deref())])?;
    let answered = answered(args, context)?;
    if let Some(out) = &args.chart {
        let course = course(&answered.question)?;
        if course.is_empty() {
            remark(&format!("it never dries, so {} was not written\n", files::shown(out)));
        } else {
            files::write_chart(context, out, &chart::dough(&answered, &course), args.force)?;
        }
    }
    reply(&answered.both, context, || dough(&answered, width(), length(args.more)))
}

/// The question answered, with what the diary knows.
pub fn answered(args: &DoughArgs, context: Context) -> Result<Answered, Failure> {
    let mut question = made::dough(&args.made, context)?;
    let exact = Exact { film: args.film, diffusivity: args.diffusivity };
    question.exact = args.exact.then_some(exact);
    let taught = diary::teach_dough(&args.learning, &args.made, &mut question, context)?;
    let (from, by) = context.span(args.at.as_deref(), args.by.as_deref(), context.now()?)?;
    let times = by.map(|by| Times { from, by });
    let said = made::oven_or_air(&args.made);
    let no_oven_said = said.is_err();
    if times.is_none() {
        said?;
    }
    let available = by.map(|by| hours(hours_between(from, by)));
    let answer = answer(&question);
    let mut answer = answer.map_err(|error| Failure::asked(&error, context.locale()))?;
    answer.notes.splice(0..0, taught);
    let ways = available.map(|time| ways_out(&question, Some(time))).transpose()?;
    let both = DoughAndWays { answer, ways };
    Ok(Answered { both, question, times, no_oven_said, locale: context.locale() })
}
