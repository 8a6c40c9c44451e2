//! The open plan laid out, for the pages that show it.

use std::sync::Arc;

use http::StatusCode;
use minijinja::{Value, context};

use super::{
    Buffer, Laid,
    asked::{Asked, PageError},
    look,
    reply::Reply,
};
use crate::{
    planfile::{self, kept_beside},
    prep::schedule::{Attention, Problem, Schedule, Ways},
    report::{
        in_the_way::{InTheWay, undone},
        phrase,
    },
};

/// The page made of the open plan and its schedule, or the one that says why there is none.
pub fn with_laid(
    asked: &Asked,
    page: impl FnOnce(&Buffer, &Laid) -> Result<Reply, PageError>,
) -> Result<Reply, PageError> {
    let (site, now) = (asked.site, asked.now);
    let Some(open) = site.workspace.look() else { return Ok(Reply::see(asked.link("plan"))) };
    let file = open.file(&site.setting);
    let kept = file.as_deref().and_then(|file| site.host.version(&kept_beside(file)));
    if let Some(laid) = open.laid(now, kept.as_deref()) {
        return page(&open, &laid);
    }
    let Ok(plan) = planfile::read(&open.text) else { return Ok(Reply::see(asked.link("plan"))) };
    let laid = match site.cache.heavy(|| site.commands.lay_out(plan, file.as_deref())) {
        Ok(laid) => Arc::new(laid),
        Err(refusal) => {
            return look::trouble(asked, StatusCode::UNPROCESSABLE_ENTITY, &refusal.words());
        }
    };
    site.workspace.change(|current| {
        if let Some(current) = current.as_mut().filter(|current| current.text == open.text) {
            current.keep(now, kept, laid.clone());
        }
    });
    page(&open, &laid)
}

/// What stands in the way of a plan, with the ways out; those that can be written into its
/// file have a button. Then what its sessions go without.
pub fn problems(schedule: &Schedule) -> Vec<Value> {
    let spelled = |words: &String| schedule.spelling.words(words);
    let problem = |problem: &Problem| {
        let told = InTheWay::of(problem);
        context! {
            headings => told.headings.iter().map(spelled).collect::<Vec<_>>(),
            reason => told.reason,
            no_ways => told.no_ways,
            because => problem.because.iter().map(spelled).collect::<Vec<_>>(),
            ways => ways(schedule, &problem.ways),
        }
    };
    let without = schedule.without.iter().map(|words| context! { headings => [spelled(words)] });
    schedule.problems.iter().map(problem).chain(without).collect()
}

/// Changes of the plan, each with whether it can be written into the file.
pub fn ways(schedule: &Schedule, ways: &Ways) -> Vec<Value> {
    let way = |(n, words): (usize, &String)| {
        let button = ways.in_file.get(n).is_some_and(Option::is_some);
        context! { words => schedule.spelling.words(words), button }
    };
    ways.words.iter().enumerate().map(way).collect()
}

/// Whether all is in time, in one line, and the shape of its sign.
pub fn verdict(schedule: &Schedule) -> Value {
    let chance = schedule.promise.chance.as_ref().map(|chance| phrase::chance(chance.all));
    let problems = schedule.problems.len();
    let nothing = schedule.steps.iter().all(|step| step.attention == Attention::None);
    let (shape, words) = match (schedule.feasible, chance) {
        (true, _) if nothing => ("yes", "Nothing is left to do".to_owned()),
        (false, _) => ("no", phrase::capital(&undone(&schedule.problems))),
        (true, Some(chance)) if problems > 0 => ("unsure", format!("All in time: {chance}")),
        (true, Some(chance)) => ("yes", format!("All in time: {chance}")),
        (true, None) => ("yes", "All in time".to_owned()),
    };
    context! { shape, words }
}
