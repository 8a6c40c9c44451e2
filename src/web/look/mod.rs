//! The look that all pages share: layout, fields of forms, style, script.

use http::StatusCode;
use minijinja::{Value, context};

use super::{
    asked::{Asked, PageError, Route, Verb},
    fields::Fields,
    form::Form,
    reply::Reply,
};
use crate::{
    report::sheet,
    units::{System, is_number},
};

/// Style, script and sign of every page.
pub const ROUTES: &[Route] = &[
    (Verb::Get, "look.css", |_| Ok(Reply::of("text/css; charset=utf-8", include_str!("look.css")))),
    (Verb::Get, "look.js", |_| {
        Ok(Reply::of("text/javascript; charset=utf-8", include_str!("look.js")))
    }),
    (Verb::Get, "sign.svg", |_| Ok(Reply::of("image/svg+xml", include_str!("sign.svg")))),
];

/// Macros for the fields of forms; they stand before every page's own template.
const FIELDS: &str = include_str!("fields.html");

/// The pages, in the order of the list at the top.
const PAGES: [(&str, &str); 6] = [
    ("", "Start"),
    ("today", "Today"),
    ("plan", "Plan"),
    ("ice", "Ice"),
    ("dough", "Dough"),
    ("diary", "Diary"),
];

/// A page from its own template, inside the layout. The template has the macros
/// of `fields.html`, and besides `values` the names `root` (what every address
/// begins with), `keep` (the units, to be put behind an address), `units` (`us` or
/// `metric`) and `pocket` (whether the page answers itself).
///
/// # Errors
/// [`PageError`] when the template asks for a value that is not there.
pub fn page(asked: &Asked, title: &str, template: &str, values: Value) -> Result<Reply, PageError> {
    laid_out(asked, title, template, values, &asked.query)
}

/// The page of a question, with the values of its form besides the others.
///
/// # Errors
/// As [`page`].
pub fn question(
    asked: &Asked,
    form: &Form,
    title: &str,
    template: &str,
    values: Value,
) -> Result<Reply, PageError> {
    laid_out(asked, title, template, context! { ..values, ..form.values() }, &form.whole())
}

/// `sent` is what the page in other units is asked.
fn laid_out(
    asked: &Asked,
    title: &str,
    template: &str,
    values: Value,
    sent: &Fields,
) -> Result<Reply, PageError> {
    let root = asked.site.root();
    let keep = asked.link("").split_off(root.len());
    let (units, pocket) = (asked.units().word(), asked.site.in_pocket());
    let body =
        render(&format!("{FIELDS}{template}"), context! { root, keep, units, pocket, ..values })?;
    let current = asked.path.split('/').next().unwrap_or_default();
    let pages: Vec<_> = PAGES
        .iter()
        .map(|(path, name)| context! { link => asked.link(path), name => *name, here => *path == current })
        .collect();
    let other = match asked.units() {
        System::Us => System::Metric,
        System::Metric => System::Us,
    };
    let other_link =
        format!("{root}{}{}", asked.path, sent.with("units", other.word()).query());
    let html = render(
        include_str!("layout.html"),
        context! {
            root, title, pages, units, pocket, other_link,
            body => Value::from_safe_string(body),
        },
    )?;
    Ok(Reply::html(html))
}

/// A page that says in a sentence or two what could not be done.
pub fn trouble(asked: &Asked, status: StatusCode, words: &str) -> Result<Reply, PageError> {
    let template = "<h1>That did not work</h1>\n<p class=\"fault\">{{ said }}</p>\n";
    Ok(page(asked, "That did not work", template, context! { said => words })?.status(status))
}

/// Text from a template; every value is escaped, and one that is missing is an error.
fn render(template: &str, values: Value) -> Result<String, minijinja::Error> {
    let mut environment = sheet::environment()?;
    // What goes without the unit beside its field.
    environment.add_test("own_unit", |typed: &str| !typed.trim().is_empty() && !is_number(typed));
    environment.render_named_str("page.html", template, values)
}
