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
    report::sheet::{
        self,
        palette::{self, Rgb},
    },
    units::{Locale, System, is_number},
};

/// Style, script and sign of every page.
pub const ROUTES: &[Route] = &[
    (Verb::Get, "look.css", |_| {
        let style = [include_str!("look.css"), &charts()].concat();
        Ok(Reply::of("text/css; charset=utf-8", style))
    }),
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

/// A chart has the colours of the sheet in it; on a page they are those of the page, light or
/// dark.
fn charts() -> String {
    let part = |(name, colour): (&str, Rgb)| {
        let hex = palette::hex(colour);
        ["fill", "stroke"].map(|part| {
            format!(":is(.chart, .curve) svg [{part}=\"{hex}\"] {{ {part}: var(--{name}); }}\n")
        })
    };
    palette::COLOURS.into_iter().flat_map(part).collect()
}

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
    let values = context! { root, keep, units, pocket, ..values };
    let body = render(asked, &format!("{FIELDS}{template}"), values)?;
    let current = match asked.path.split('/').next().unwrap_or_default() {
        "thaw" => "ice",
        "cool" => "dough",
        "first" => "plan",
        page => page,
    };
    let pages: Vec<_> = PAGES
        .iter()
        .map(|(path, name)| context! { link => asked.link(path), name => *name, here => *path == current })
        .collect();
    let other = match asked.units() {
        System::Us => System::Metric,
        System::Metric => System::Us,
    };
    let other_link = format!("{root}{}{}", asked.path, sent.with("units", other.word()).query());
    let html = render(
        asked,
        include_str!("layout.html"),
        context! {
            root, title, pages, units, pocket, other_link,
            body => Value::from_safe_string(body),
        },
    )?;
    Ok(Reply::html(html))
}

/// The page where an address leads nowhere, or only forms are sent to: the way back to those
/// that there are.
///
/// # Errors
/// As [`page`].
pub fn nowhere(asked: &Asked, is_for_forms: bool) -> Result<Reply, PageError> {
    let pages = PAGES.map(|(path, name)| context! { link => asked.link(path), name => name });
    let status = if is_for_forms { StatusCode::METHOD_NOT_ALLOWED } else { StatusCode::NOT_FOUND };
    let values = context! { pages => pages.to_vec(), is_for_forms };
    Ok(page(asked, "No such page", include_str!("nowhere.html"), values)?.status(status))
}

/// A page that says in a sentence or two what could not be done.
pub fn trouble(asked: &Asked, status: StatusCode, words: &str) -> Result<Reply, PageError> {
    let template = "<h1>That did not work</h1>\n<p class=\"fault\">{{ said }}</p>\n";
    Ok(page(asked, "That did not work", template, context! { said => words })?.status(status))
}

/// Text from a template; every value is escaped, and one that is missing is an error.
fn render(asked: &Asked, template: &str, values: Value) -> Result<String, minijinja::Error> {
    let mut environment = sheet::environment()?;
    // What goes without the unit beside its field.
    let locale = Locale::of(asked.units(), None);
    environment.add_filter("spelled", move |words: &str| locale.spelled(words));
    environment.add_test("own_unit", |typed: &str| !typed.trim().is_empty() && !is_number(typed));
    environment.render_named_str("page.html", template, values)
}
