//! The plan laid out: the calendar of steps, the calendar file, the sheet to print.

use http::{StatusCode, header};
use minijinja::{Value, context};

use super::save;
use crate::{
    planfile::{self, edit},
    report::{
        calendar::{self, Options},
        notes, sheet,
    },
    web::{
        Buffer, Laid,
        asked::{Asked, PageError},
        laid::{problems, verdict, ways, with_laid},
        look,
        reply::Reply,
    },
};

/// The sheet brings its style with it and nothing else.
const SHEET_POLICY: &str =
    "default-src 'none'; style-src 'unsafe-inline'; font-src data:; frame-ancestors 'none'";

/// The calendar of steps.
pub fn steps(asked: &Asked) -> Result<Reply, PageError> {
    if asked.query.get("again").is_some() {
        asked.site.workspace.change(|open| open.as_mut().map(Buffer::forget));
    }
    with_laid(asked, |open, laid| show(asked, open, laid))
}

fn show(asked: &Asked, open: &Buffer, laid: &Laid) -> Result<Reply, PageError> {
    let schedule = &laid.schedule;
    let days = match sheet::days(schedule) {
        Ok(days) => Value::from_safe_string(days),
        Err(error) => {
            return look::trouble(asked, StatusCode::INTERNAL_SERVER_ERROR, &error.to_string());
        }
    };
    let values = context! {
        days,
        title => &schedule.title,
        file => &open.path,
        saved => open.is_saved(),
        verdict => verdict(schedule),
        problems => problems(schedule),
        one_change => ways(schedule, &schedule.one_change),
        worked_out => schedule.locale.day_and_time(&schedule.computed.with_timezone(&schedule.timezone)),
        zone => schedule.timezone.name(),
        changed => asked.query.get("said") == Some("changed"),
        revision => open.revision,
        followed => laid.kept.is_some(),
        can_follow => asked.site.in_pocket() || open.is_saved() && open.path.is_some(),
        any => calendar::write(schedule, &Options::default()).is_some(),
    };
    look::page(asked, "Calendar of steps", include_str!("steps.html"), values)
}

/// A way out was tapped: the plan is changed by it, and laid out again.
pub fn way(asked: &Asked) -> Result<Reply, PageError> {
    with_laid(asked, |_, laid| {
        let field = |name| asked.form.get(name);
        let number = |value: &str| value.parse::<usize>().ok();
        // Without a problem it is a change that makes several things possible.
        let ways = match field("problem") {
            Some(problem) => {
                let problem = number(problem).and_then(|n| laid.schedule.problems.get(n));
                problem.map(|problem| &problem.ways)
            }
            None => Some(&laid.schedule.one_change),
        };
        let way = field("way").and_then(number);
        let way = ways.zip(way).and_then(|(ways, n)| ways.in_file.get(n));
        let Some(Some(changes)) = way else { return Ok(Reply::see(asked.link("plan/steps"))) };
        match save::take(asked, |open| edit::edit(&open.text, changes)) {
            Ok(_) => Ok(Reply::see(asked.link_with("plan/steps", "said", "changed"))),
            Err(reply) => reply,
        }
    })
}

/// The calendar file.
pub fn calendar(asked: &Asked) -> Result<Reply, PageError> {
    with_laid(asked, |open, laid| match calendar::write(&laid.schedule, &Options::default()) {
        Some(text) => {
            let name = format!("{}.ics", open.stem());
            Ok(Reply::download("text/calendar; charset=utf-8", &name, text))
        }
        None => {
            look::trouble(asked, StatusCode::NOT_FOUND, "No step is left to put into a calendar.")
        }
    })
}

/// The sheet, to be looked at and printed.
pub fn sheet(asked: &Asked) -> Result<Reply, PageError> {
    with_laid(asked, |open, laid| match sheet::write(&laid.schedule, false) {
        Ok(page) => Ok(to_print(asked, open, "sheet", page)),
        Err(error) => look::trouble(asked, StatusCode::INTERNAL_SERVER_ERROR, &error.to_string()),
    })
}

/// Slips and cards for families, to be looked at and printed.
pub fn notes(asked: &Asked) -> Result<Reply, PageError> {
    with_laid(asked, |open, laid| {
        let Ok(plan) = planfile::read(&open.text) else {
            return Ok(Reply::see(asked.link("plan")));
        };
        match notes::write(&plan, &laid.schedule) {
            Ok(Some(page)) => Ok(to_print(asked, open, "notes", page)),
            Ok(None) => look::trouble(asked, StatusCode::NOT_FOUND, "The plan has no gifts."),
            Err(error) => {
                look::trouble(asked, StatusCode::INTERNAL_SERVER_ERROR, &error.to_string())
            }
        }
    })
}

/// A page that brings its style with it: to be looked at, in the pocket a file.
fn to_print(asked: &Asked, open: &Buffer, what: &str, page: String) -> Reply {
    if asked.site.in_pocket() {
        let name = format!("{}-{what}.html", open.stem());
        return Reply::download("text/html; charset=utf-8", &name, page);
    }
    Reply::html(page).with(header::CONTENT_SECURITY_POLICY, SHEET_POLICY.to_owned())
}
