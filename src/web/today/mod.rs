//! The page of a day: what to do until tomorrow's class, what to look at, and what happened,
//! told with one tap.
//!
//! Only a plan that is kept can be told what happened: its steps have names that stay. What
//! the page shows of it is counted (`count`), so that the same tap sent twice, or one from a
//! page that is no longer true, tells nothing.

mod show;
mod tell;

use super::{
    asked::{Asked, PageError, Route, Verb},
    laid::with_laid,
    look,
    reply::Reply,
};
use minijinja::context;

/// The paths of this page.
pub const ROUTES: &[Route] = &[
    (Verb::Get, "today", today),
    (Verb::Post, "today/keep", tell::keep),
    (Verb::Post, "today/did", tell::did),
    (Verb::Get, "today/kept.toml", tell::file),
];

fn today(asked: &Asked) -> Result<Reply, PageError> {
    if asked.site.workspace.look().is_none() {
        return look::page(asked, "Today", include_str!("none.html"), context! {});
    }
    with_laid(asked, |open, laid| {
        let told = tell::number_told(laid);
        // An address that tells of something older tells nothing any more.
        let just_now = asked.query.get("said") == Some(told.to_string().as_str());
        let told = open.told(told).filter(|_| just_now).cloned().unwrap_or_default();
        show::show(asked, open, laid, show::Said { told, ..show::Said::default() })
    })
}
