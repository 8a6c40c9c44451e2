//! The page of dough.

use minijinja::context;

use super::{
    look::{self, PageError},
    reply::Reply,
    routes::{Asked, Route, Verb},
};

/// The paths of this page.
pub const ROUTES: &[Route] = &[(Verb::Get, "dough", dough)];

fn dough(asked: &Asked) -> Result<Reply, PageError> {
    look::page(asked, "Dough", "<h1>Dough</h1>\n", context! {})
}
