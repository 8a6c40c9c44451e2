//! The plan laid out: the calendar of steps, the calendar file, the sheet to print.

use std::sync::Arc;

use hyper::{StatusCode, header};
use minijinja::{Value, context};

use crate::{
    planfile,
    prep::schedule::Schedule,
    report::{
        calendar::{self, Options},
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
    let (open, schedule) = match laid(asked) {
        Ok(found) => found,
        Err(reply) => return reply,
    };
    let days = match sheet::days(&schedule, &SheetOptions::default()) {
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
        any => calendar::write(&schedule, &Options::default()).is_some(),
    };
    look::page(asked, "Calendar of steps", include_str!("steps.html"), values)
}

/// The calendar file.
pub fn calendar(asked: &Asked) -> Result<Reply, PageError> {
    let (open, schedule) = match laid(asked) {
        Ok(found) => found,
        Err(reply) => return reply,
    };
    match calendar::write(&schedule, &Options::default()) {
        Some(text) => {
            let name = format!("{}.ics", stem(&open));
            Ok(Reply::download("text/calendar; charset=utf-8", &name, text))
        }
        None => {
            look::trouble(asked, StatusCode::NOT_FOUND, "No step is left to put into a calendar.")
        }
    }
}

/// The sheet, to be looked at and printed.
pub fn sheet(asked: &Asked) -> Result<Reply, PageError> {
    let (_, schedule) = match laid(asked) {
        Ok(found) => found,
        Err(reply) => return reply,
    };
    match sheet::write(&schedule, &SheetOptions::default()) {
        Ok(page) => {
            Ok(Reply::html(page).with(header::CONTENT_SECURITY_POLICY, SHEET_POLICY.to_owned()))
        }
        Err(error) => look::trouble(asked, StatusCode::INTERNAL_SERVER_ERROR, &error.to_string()),
    }
}

/// The open plan with its schedule, or the page that says why there is none.
fn laid(asked: &Asked) -> Result<(Buffer, Arc<Schedule>), Result<Reply, PageError>> {
    let site = asked.site;
    let Some(open) = site.workspace.look() else { return Err(Ok(Reply::see(asked.link("plan")))) };
    let now = asked.now;
    if let Some(schedule) = open.laid(now) {
        return Ok((open, schedule));
    }
    let Ok(plan) = planfile::read(&open.text) else {
        return Err(Ok(Reply::see(asked.link("plan"))));
    };
    let laid = site.cache.heavy(|| site.commands.lay_out(plan)).map(Arc::new);
    let schedule = laid.map_err(|refusal| {
        look::trouble(asked, StatusCode::UNPROCESSABLE_ENTITY, &refusal.words())
    })?;
    site.workspace.change(|current| {
        if let Some(current) = current.as_mut().filter(|current| current.text == open.text) {
            current.keep(now, schedule.clone());
        }
    });
    Ok((open, schedule))
}

/// A name for files made of the plan: that of its own file, in letters that every system takes.
fn stem(open: &Buffer) -> String {
    let path = open.path.as_deref().unwrap_or_default();
    let name = path.rsplit(['/', '\\']).next().unwrap_or_default();
    let name = name.strip_suffix(".toml").unwrap_or(name);
    let plain = |c: char| if c.is_ascii_alphanumeric() || c == '-' || c == '_' { c } else { '-' };
    let name: String = name.chars().map(plain).collect();
    if name.is_empty() { "plan".to_owned() } else { name }
}
