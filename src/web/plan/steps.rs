//! The plan laid out: the calendar of steps, the calendar file, the sheet to print.

use std::sync::Arc;

use http::{StatusCode, header};
use minijinja::{Value, context};

use crate::{
    planfile,
    prep::schedule::Schedule,
    report::{
        calendar::{self, Options},
        notes,
        sheet::{self, SheetOptions},
    },
    web::{
        Buffer,
        asked::{Asked, PageError},
        look,
        reply::Reply,
    },
};

/// The sheet brings its style with it and nothing else.
const SHEET_POLICY: &str = "default-src 'none'; style-src 'unsafe-inline'; frame-ancestors 'none'";

/// The calendar of steps.
pub fn steps(asked: &Asked) -> Result<Reply, PageError> {
    if asked.query.get("again").is_some() {
        asked.site.workspace.change(|open| open.as_mut().map(Buffer::forget));
    }
    with_laid(asked, |open, schedule| show(asked, open, schedule))
}

fn show(asked: &Asked, open: &Buffer, schedule: &Schedule) -> Result<Reply, PageError> {
    let days = match sheet::days(schedule, &SheetOptions::default()) {
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
        any => calendar::write(schedule, &Options::default()).is_some(),
    };
    look::page(asked, "Calendar of steps", include_str!("steps.html"), values)
}

/// The calendar file.
pub fn calendar(asked: &Asked) -> Result<Reply, PageError> {
    with_laid(asked, |open, schedule| match calendar::write(schedule, &Options::default()) {
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
    with_laid(asked, |open, schedule| match sheet::write(schedule, &SheetOptions::default()) {
        Ok(page) => Ok(to_print(asked, open, "sheet", page)),
        Err(error) => look::trouble(asked, StatusCode::INTERNAL_SERVER_ERROR, &error.to_string()),
    })
}

/// Slips and cards for families, to be looked at and printed.
pub fn notes(asked: &Asked) -> Result<Reply, PageError> {
    with_laid(asked, |open, schedule| {
        let Ok(plan) = planfile::read(&open.text) else {
            return Ok(Reply::see(asked.link("plan")));
        };
        match notes::write(&plan, schedule) {
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

/// The page made of the open plan and its schedule, or the one that says why there is none.
fn with_laid(
    asked: &Asked,
    page: impl FnOnce(&Buffer, &Schedule) -> Result<Reply, PageError>,
) -> Result<Reply, PageError> {
    let (site, now) = (asked.site, asked.now);
    let Some(open) = site.workspace.look() else { return Ok(Reply::see(asked.link("plan"))) };
    if let Some(schedule) = open.laid(now) {
        return page(&open, &schedule);
    }
    let Ok(plan) = planfile::read(&open.text) else { return Ok(Reply::see(asked.link("plan"))) };
    let schedule = match site.cache.heavy(|| site.commands.lay_out(plan)) {
        Ok(schedule) => Arc::new(schedule),
        Err(refusal) => {
            return look::trouble(asked, StatusCode::UNPROCESSABLE_ENTITY, &refusal.words());
        }
    };
    site.workspace.change(|current| {
        if let Some(current) = current.as_mut().filter(|current| current.text == open.text) {
            current.keep(now, schedule.clone());
        }
    });
    page(&open, &schedule)
}
