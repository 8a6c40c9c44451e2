//! The open plan as a form and as text, with what is wrong with it.

use chrono_tz::TZ_VARIANTS;
use minijinja::{context, value::Serde};

use super::{form::Form, stale::Stale};
use crate::{
    planfile::{self, Fault, Wrong, edit::written},
    web::{
        Buffer,
        asked::{Asked, PageError},
        look,
        reply::Reply,
    },
};

/// Why a form that was made of an older text is not taken.
pub const CHANGED_ELSEWHERE: &str = "The plan was changed in another window since this page was shown. \
    Here it is as it stands now.";

/// The same for a text that was typed.
const TEXT_OF_BEFORE: &str = "The plan was changed in another window since this page was shown. \
    Below stands what you typed; taking it throws away what was changed there.";

/// What a page says at its head. All are answers with status 200: a form that is
/// shown again is no failed request, and browsers log those that are.
#[derive(Clone, Copy)]
pub enum Said<'a> {
    /// What has happened; may be empty.
    Well(&'a str),
    /// Why it has not.
    Wrong(&'a str),
    /// It has not, since the form was made of an older text; what was typed in it.
    Stale(&'a Stale),
}

impl<'a> Said<'a> {
    pub fn words(self) -> &'a str {
        match self {
            Self::Well(words) | Self::Wrong(words) => words,
            Self::Stale(_) => CHANGED_ELSEWHERE,
        }
    }
}

/// The page to begin on: start a plan, or open one of these files or another.
pub fn nothing_open(asked: &Asked, files: Vec<String>, fault: &str) -> Result<Reply, PageError> {
    let path = asked.form.get("path").unwrap_or_default();
    let values = context! { files, fault, path };
    look::page(asked, "Plan", include_str!("open.html"), values)
}

/// The form, with a line of what has happened.
pub fn show(asked: &Asked, open: &Buffer, said: Said) -> Result<Reply, PageError> {
    let faults = planfile::read(&open.text).err().unwrap_or_default();
    let Some(all) = written(&open.text).filter(|_| !is_endless(&faults)) else {
        return show_text(asked, open, said);
    };
    let values = context! {
        form => Serde(Form::of(&open.text, &all, &faults)),
        said => said.words(),
        is_fault => !matches!(said, Said::Well(_)),
        stale => if let Said::Stale(stale) = said { Some(Serde(stale)) } else { None },
        at => asked.query.get("at").unwrap_or_default(),
        file => &open.path,
        saved => asked.site.in_pocket() || open.is_saved(),
        revision => open.revision,
        undo => open.can_undo(),
        zones => TZ_VARIANTS.iter().map(|zone| zone.name()).collect::<Vec<_>>(),
    };
    look::page(asked, "Plan", include_str!("plan.html"), values)
}

/// Why a form that was made of an older text was not taken, with what was typed in it.
pub fn not_taken(asked: &Asked, open: &Buffer) -> Result<Reply, PageError> {
    if let Some(typed) = asked.form.all("text").next() {
        return text_page(asked, open, (Said::Wrong(TEXT_OF_BEFORE), typed));
    }
    let stale = Stale::of(&asked.form, open);
    let said = if stale.is_empty() { Said::Wrong(CHANGED_ELSEWHERE) } else { Said::Stale(&stale) };
    show(asked, open, said)
}

/// Whether a list has more than a plan may have: then its form would be endless too.
fn is_endless(faults: &[Fault]) -> bool {
    faults.iter().any(|fault| matches!(fault.wrong, Wrong::TooMany { .. }))
}

/// The file as text: for what the form does not have, and for mistakes in the TOML.
pub fn show_text(asked: &Asked, open: &Buffer, said: Said) -> Result<Reply, PageError> {
    text_page(asked, open, (said, &open.text))
}

fn text_page(
    asked: &Asked,
    open: &Buffer,
    (said, whole): (Said, &str),
) -> Result<Reply, PageError> {
    let raw = planfile::read(&open.text).err().unwrap_or_default();
    let faults: Vec<String> = raw
        .iter()
        .map(|fault| format!("line {}: {}", fault.line(&open.text), fault.message()))
        .collect();
    let values = context! {
        faults,
        said => said.words(),
        whole,
        file => &open.path,
        broken => written(&open.text).is_none() || is_endless(&raw),
        revision => open.revision,
    };
    look::page(asked, "Plan as text", include_str!("text.html"), values)
}
