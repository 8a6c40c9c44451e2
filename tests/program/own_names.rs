//! What she wrote stays as she wrote it, however our own words are spelled.

use crate::run::Run;

/// Invented: a class whose names are spelled as they are not where units are `us`.
const CLASS: &str = r#"
title = "Colour and mould"
timezone = "America/Denver"
units = "us"
[hours]
home = ["daily 06:00-07:00", "daily 18:00-21:00"]
class = ["Mon-Fri 08:30-12:00"]
[[group]]
name = "Mould makers"
days = "Mon-Fri"
children = 5
youngest = "2 years"
[[freezer]]
name = "kitchen"
kind = "chest"
[[mould]]
name = "colour tub"
volume = "2 cups"
own = 5
[[ice]]
name = "Aluminium & colour"
mould = "colour tub"
freezer = "kitchen"
blocks = "each"
travel = "10 min"
session = [{ group = "Mould makers", at = 2026-12-10T09:30:00 }]
"#;

#[test]
fn names_are_never_spelled_anew() {
    let plan = ["plan", "colour.toml", "--ics", "a.ics", "--sheet-full", "a.html"];
    let run = Run::of(&plan).now("2026-12-07T12:00:00").file("colour.toml", CLASS).succeeds();
    assert!(run.stderr.contains("colour.kept.toml"), "{}", run.stderr);
    let calendar = run.written("a.ics").replace("\r\n ", "");
    for (what, said) in [("text", run.stdout.clone()), ("calendar", calendar)] {
        assert!(said.contains("Fill 5 colour tub molds"), "{what}: {said}");
    }
    assert!(run.stdout.contains("Colour and mould: all in time"), "{}", run.stdout);
    assert!(run.stdout.contains("[fill-mould-makers-10-dec]"), "{}", run.stdout);
    let page = run.written("a.html");
    for said in ["Aluminium &amp; colour", "Mould makers", "<title>Colour and mould"] {
        assert!(page.contains(said), "{said}");
    }
    let kept = run.written("colour.kept.toml");
    let did = Run::of(&["did", "colour.toml", "fill-mould-makers-10-dec"])
        .now("2026-12-09T19:00:00")
        .file("colour.toml", CLASS)
        .file("colour.kept.toml", &kept)
        .succeeds();
    assert!(did.stdout.contains("Fill 5 colour tub molds: done"), "{}", did.stdout);
    let today = Run::of(&["today", "colour.toml"])
        .now("2026-12-10T06:00:00")
        .file("colour.toml", CLASS)
        .file("colour.kept.toml", &kept)
        .succeeds();
    assert!(today.stdout.contains("Colour and mould"), "{}", today.stdout);
    assert!(today.stdout.contains("mould-makers-10-dec"), "{}", today.stdout);
}
