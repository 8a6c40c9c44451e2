//! The first page: where to go.

use minijinja::context;

use super::{
    look::{self, PageError},
    reply::Reply,
    routes::{Asked, Route, Verb},
};

/// The start.
pub const ROUTES: &[Route] = &[(Verb::Get, "", start)];

fn start(asked: &Asked) -> Result<Reply, PageError> {
    look::page(asked, "Start", include_str!("start.html"), context! {})
}
