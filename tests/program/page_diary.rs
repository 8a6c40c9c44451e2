//! The diary on the page: a tap that was wrong is taken back there, and only what the page
//! showed.

use crate::page::{Page, Reply, encoded, folder, shown};

const FILLED: &str = "shape=fox&count=4&at=2026-12-06T09:30&units=us";

/// The value of the first hidden field of this name.
fn hidden(html: &str, name: &str) -> String {
    let rest = html.split(&format!("name=\"{name}\" value=\"")).nth(1).unwrap();
    shown(rest.split('"').next().unwrap())
}

/// A tap that takes back what the page shows of its newest note.
fn back(page: &Page, html: &str, what: &str) -> Reply {
    let [note, at, looks] = ["note", "at", "looks"].map(|name| encoded(&hidden(html, name)));
    page.post("diary/back", &format!("note={note}&at={at}&looks={looks}&what={what}"))
}

#[test]
fn a_wrong_tap_is_taken_back() {
    let folder = folder();
    let diary = folder.path().join("diary.toml");
    let page = Page::start(&["--diary", diary.to_str().unwrap()]);
    let text = || std::fs::read_to_string(&diary).unwrap();
    let filled = page.post("ice/note", FILLED);
    assert!(filled.header("location").unwrap().ends_with("diary?said=filled"));
    let one = text();
    page.post("ice/note", &FILLED.replace("fox", "star"));
    let html = page.get("diary?said=filled").text();
    assert!(shown(&html).contains("Noted that it went in."), "{html}");
    let look = |seen: &str| {
        let at = encoded(&hidden(&html, "at"));
        assert_eq!(page.post("diary/look", &format!("note=2&at={at}&seen={seen}")).status, 303);
        page.get("diary").text()
    };
    let wet = look("wet");
    let before = text();
    let solid = look("solid");
    // A page from before the last look takes nothing back.
    let stale = back(&page, &wet, "look");
    assert_eq!(stale.status, 422);
    assert!(shown(&stale.text()).contains("the diary has changed, look again"));
    assert!(shown(&stale.text()).contains("What really happened"), "and shows the diary");
    assert!(solid.contains("Take back “solid after 9 h”"), "{solid}");
    let taken = back(&page, &solid, "look");
    assert_eq!((taken.status, text()), (303, before));
    let path = taken.header("location").unwrap().strip_prefix(&page.root).unwrap();
    assert!(shown(&page.get(path).text()).contains("The look is taken back"));
    let html = page.get("diary").text();
    assert_eq!(back(&page, &html, "note").status, 303);
    assert_eq!(text(), one, "the other note stays, and nothing else");
    assert_eq!(back(&page, &html, "note").status, 422, "the same tap sent twice");
    assert_eq!(text(), one);
    assert_eq!(back(&page, &page.get("diary").text(), "note").status, 303);
    assert!(shown(&page.get("diary?said=note").text()).contains("There are no notes yet"));
}
