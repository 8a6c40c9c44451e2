//! The form of a plan on the page, read and sent as a browser without script does it.

use std::fs;

use crate::page::{Page, Reply, encoded, folder, plain, shown};

/// The form of a page as a browser without script would send it.
#[derive(Debug, Clone)]
pub struct Form(pub Vec<(String, String)>);

impl Form {
    pub fn read(reply: &Reply) -> Self {
        Self::marked(reply, "class=\"plan\"")
    }

    /// The form of the plan as text.
    pub fn read_text(reply: &Reply) -> Self {
        Self::marked(reply, "plan/text")
    }

    /// The form that such a mark stands in.
    fn marked(reply: &Reply, mark: &str) -> Self {
        let html = reply.text();
        let from = html.find(mark).unwrap_or_else(|| panic!("no form in {html}"));
        let html = &html[from..];
        let html = &html[..html.find("</form>").unwrap()];
        let mut fields = Vec::new();
        let mut select = None;
        for part in html.split('<').skip(1) {
            let (tag, rest) = part.split_once('>').unwrap();
            let name = attribute(tag, "name");
            match tag.split_whitespace().next().unwrap() {
                "input" if tag.contains("type=\"checkbox\"") && !tag.ends_with(" checked") => {}
                "input" => fields.extend(name.map(|name| (name, attribute(tag, "value").unwrap()))),
                "select" => select = name,
                "option" if tag.ends_with(" selected") => {
                    let name = select.take().expect("one of a select is chosen");
                    fields.push((name, attribute(tag, "value").unwrap()));
                }
                "textarea" => fields.push((
                    name.unwrap(),
                    plain(rest.trim_start_matches('\n')).replace('\n', "\r\n"),
                )),
                _ => {}
            }
        }
        Self(fields)
    }

    pub fn get(&self, name: &str) -> &str {
        &self.0.iter().find(|field| field.0 == name).unwrap_or_else(|| panic!("no {name}")).1
    }

    pub fn with(mut self, name: &str, value: &str) -> Self {
        assert!(name == "do" || self.0.iter().any(|field| field.0 == name), "no {name}");
        self.0.retain(|field| field.0 != name);
        self.0.push((name.to_owned(), value.to_owned()));
        self
    }

    pub fn body(&self) -> String {
        let pair =
            |(name, value): &(String, String)| format!("{}={}", encoded(name), encoded(value));
        self.0.iter().map(pair).collect::<Vec<_>>().join("&")
    }
}

pub fn attribute(tag: &str, name: &str) -> Option<String> {
    let rest = tag.split_once(&format!(" {name}=\""))?.1;
    Some(plain(rest.split_once('"')?.0))
}

/// What stands in one element, by its id.
pub fn element<'h>(html: &'h str, id: &str) -> &'h str {
    let from = html.find(&format!("id=\"{id}\"")).unwrap_or_else(|| panic!("no {id} in {html}"));
    let rest = &html[from..];
    &rest[..rest.find("</div>").unwrap_or(rest.len())]
}

/// The page after a form that was taken.
pub fn after(page: &Page, reply: &Reply) -> Reply {
    assert_eq!(reply.status, 303, "{}", shown(&reply.text()));
    let address = reply.header("location").unwrap();
    let path = address.split('#').next().unwrap();
    page.request("GET", path, "", b"")
}

pub fn send(page: &Page, form: &Form, wish: &str) -> Reply {
    page.post("plan", &form.clone().with("do", wish).body())
}

/// A file of a test, and a page that has it open.
pub fn opened(text: &str) -> (tempfile::TempDir, String, Page) {
    let folder = folder();
    let path = folder.path().join("fortnight.toml").display().to_string();
    fs::write(&path, text).unwrap();
    let page = Page::start(&[&path, "--no-diary"]);
    (folder, path, page)
}
