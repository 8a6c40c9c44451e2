//! The page of plan.

use minijinja::context;

use super::{
    look::{self, PageError},
    reply::Reply,
    routes::{Asked, Route, Verb},
};

/// The paths of this page.
pub const ROUTES: &[Route] = &[(Verb::Get, "plan", plan)];

fn plan(asked: &Asked) -> Result<Reply, PageError> {
    look::page(asked, "Plan", "<h1>Plan</h1>\n", context! {})
}
