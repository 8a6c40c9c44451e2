//! The first page: where to go.

use minijinja::context;

use super::{
    asked::{Asked, PageError, Route, Verb},
    look,
    reply::Reply,
};

pub const ROUTES: &[Route] = &[(Verb::Get, "", start)];

fn start(asked: &Asked) -> Result<Reply, PageError> {
    let open = asked.site.workspace.look().is_some();
    look::page(asked, "Start", include_str!("start.html"), context! { open })
}
