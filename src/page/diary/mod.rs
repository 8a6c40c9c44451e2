//! The page of diary.

use minijinja::context;

use super::{
    look::{self, PageError},
    reply::Reply,
    routes::{Asked, Route, Verb},
};

/// The paths of this page.
pub const ROUTES: &[Route] = &[(Verb::Get, "diary", diary)];

fn diary(asked: &Asked) -> Result<Reply, PageError> {
    look::page(asked, "Diary", "<h1>Diary</h1>\n", context! {})
}
