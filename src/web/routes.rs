//! Which page answers which path.
//!
//! A page is a folder with a handler, `fn(&Asked) -> Result<Reply, PageError>`,
//! and a list of its paths, `ROUTES`, which is named once in [`all`].

use http::{Method, StatusCode};

use super::{
    Site,
    asked::{Asked, Route, Verb},
    fields::Fields,
    look,
    reply::Reply,
};

fn all() -> impl Iterator<Item = &'static Route> {
    use super::{cool, diary, dough, first, ice, plan, start, thaw, today};
    let pages = [start::ROUTES, today::ROUTES, ice::ROUTES, dough::ROUTES, plan::ROUTES];
    [look::ROUTES, diary::ROUTES, thaw::ROUTES, cool::ROUTES, first::ROUTES]
        .into_iter()
        .chain(pages)
        .flatten()
}

/// The reply to a request: whether its sender may ask at all is for the caller to say. The
/// path is the one below the site's root, as in `plan/steps`; `query` stands behind the `?`;
/// a form's fields are in `body`.
pub fn reply(site: &Site, method: &Method, path: &str, query: &str, body: &[u8]) -> Reply {
    let verb = if *method == Method::POST { Verb::Post } else { Verb::Get };
    let (query, form) = (Fields::read(query.as_bytes()), Fields::read(body));
    let now = match site.commands.now() {
        Ok(now) => now,
        Err(refusal) => return Reply::plain(StatusCode::INTERNAL_SERVER_ERROR, &refusal.words()),
    };
    let asked = Asked { site, now, path, query, form };
    let found: Vec<&Route> = all().filter(|route| route.1 == path).collect();
    match found.iter().find(|route| route.0 == verb) {
        Some((_, _, handler)) => handler(&asked).unwrap_or_else(|error| {
            Reply::plain(StatusCode::INTERNAL_SERVER_ERROR, &error.to_string())
        }),
        None if verb == Verb::Post && !found.is_empty() => {
            Reply::plain(StatusCode::METHOD_NOT_ALLOWED, "This page is not asked that way.")
        }
        None => look::nowhere(&asked, !found.is_empty()).unwrap_or_else(|error| {
            Reply::plain(StatusCode::INTERNAL_SERVER_ERROR, &error.to_string())
        }),
    }
}
