//! The page of ice.

use minijinja::context;

use super::{
    look::{self, PageError},
    reply::Reply,
    routes::{Asked, Route, Verb},
};

/// The paths of this page.
pub const ROUTES: &[Route] = &[(Verb::Get, "ice", ice)];

fn ice(asked: &Asked) -> Result<Reply, PageError> {
    look::page(asked, "Ice", "<h1>Ice</h1>\n", context! {})
}
