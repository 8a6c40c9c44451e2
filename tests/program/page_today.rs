//! The page of a day, over HTTP and without script: a plan is followed, told and taken back
//! there as on the command line.

use std::{collections::BTreeMap, fs, path::Path};

use crate::{
    page::{Page, encoded, shown as text_of},
    page_form::after,
    run::{Run, demo_in},
};

const KEPT: &str = "2026-11-26T12:00:00-07:00";
const EVENING: &str = "2026-12-08T18:20:00-07:00";

/// A folder with the first demo, kept as planned where that is wished, and its page.
fn page_of(folder: &Path, is_kept: bool) -> Page {
    let plan = demo_in(folder);
    if is_kept {
        let words = ["plan", &plan, "--keep", "--no-diary", "--now", KEPT];
        assert_eq!(Run::of(&words).inside(folder).ends().code, Some(0));
    }
    Page::start_at(EVENING, folder, &[&plan, "--no-diary"])
}

fn kept_in(folder: &Path) -> String {
    fs::read_to_string(folder.join("forest-fortnight.kept.toml")).unwrap_or_default()
}

/// When each step begins, by its name.
fn starts(kept: &str) -> BTreeMap<String, String> {
    let kept: toml::Table = kept.parse().unwrap();
    let steps = kept["step"].as_array().unwrap().iter();
    let text = |step: &toml::Value, key: &str| step[key].to_string();
    steps.map(|step| (text(step, "id"), text(step, "start"))).collect()
}

/// The form that tells something of a step, as it stands on the page.
fn form(html: &str, step: &str, told: Told<'_>) -> String {
    let count = html.split("name=\"count\" value=\"").nth(1).unwrap();
    let count = count.split('"').next().unwrap();
    let told = told.iter().map(|(name, value)| format!("&{name}={}", encoded(value)));
    format!("step={}&count={count}{}", encoded(step), told.collect::<String>())
}

/// What a form tells: names and values.
type Told<'a> = &'a [(&'a str, &'a str)];

const WET: [(&str, &str); 2] = [("told", "wet"), ("wet", "1")];

/// The page after a tap that tells something: its own address, not that of the form.
fn tapped(page: &Page, form: &str) -> String {
    after(page, &page.post("today/did", form)).text()
}

#[test]
fn one_wet_block_is_told_and_taken_back() {
    let folder = tempfile::tempdir().unwrap();
    let page = page_of(folder.path(), true);
    let before = kept_in(folder.path());
    let today = page.get("today").text();
    let shown = text_of(&today);
    assert!(shown.contains("All in time: very likely"), "{shown}");
    for step in ["Turn out and bag 4 blocks (round 3 of 4)", "Fill 4 fox molds (round 4 of 4)"] {
        assert!(shown.contains(step), "{shown}");
    }
    // A caution at its step, what ready looks like, and how much.
    for said in ["Look: Tilt it", "Rinse sharp edges", "water 1 1/4 cups in each"] {
        assert!(shown.contains(said), "no {said} in {shown}");
    }
    let told = form(&today, "turn-out-3-otters-9-dec", &WET);
    let after = tapped(&page, &told);
    let shown = text_of(&after);
    assert!(shown.contains("1 block still wet Tue Dec 8 6:20 pm."), "{shown}");
    assert!(shown.contains("new Turn out and bag 1 block (round 3 of 4), what was still wet"));
    let last = "Take back what was told last Turn out and bag 4 blocks (round 3 of 4): 1 block";
    assert!(shown.contains(last), "{shown}");
    assert!(kept_in(folder.path()).contains("wet = 1"));
    // The command line tells the same story of the same file.
    let run = Run::of(&["today", "forest-fortnight.toml", "--no-diary", "--now", EVENING]);
    let ran = run.inside(folder.path()).ends().stdout;
    assert!(ran.contains("what was still wet"), "{ran}");
    // The same tap again is one from a page that is no longer true.
    let twice = text_of(&page.post("today/did", &told).text());
    assert!(twice.contains("Something was told since this page was shown"), "{twice}");
    assert_eq!(kept_in(folder.path()).matches("\n[[happened]]").count(), 1);
    let back = tapped(&page, &form(&after, "", &[("told", "undo")]));
    assert!(text_of(&back).contains("Taken back: Turn out and bag 4 blocks"), "{back}");
    assert_eq!(starts(&kept_in(folder.path())), starts(&before));
}

/// What was done is said at an address that can be asked again and shows nothing false later.
#[test]
fn a_tap_is_answered_by_a_page_with_an_address() {
    let folder = tempfile::tempdir().unwrap();
    let page = page_of(folder.path(), true);
    let today = page.get("today?units=us").text();
    let told = form(&today, "turn-out-3-otters-9-dec", &[("told", "solid")]);
    let reply = page.post("today/did?units=us", &told);
    let address = reply.header("location").unwrap().to_owned();
    assert_eq!((reply.status, address), (303, format!("{}today?units=us&said=1", page.root)));
    let html = page.get("today?units=us&said=1").text();
    let (said, day) = html.split_once("class=\"verdict").unwrap();
    assert!(
        said.contains("Take back what was told last"),
        "it is taken back where it is confirmed"
    );
    assert!(!day.contains("Take back what was told last"), "and nowhere else");
    let again = || text_of(&page.get("today?units=us&said=1").text());
    for _ in 0..2 {
        assert!(again().contains("Noted: Turn out and bag 4 blocks"), "{}", again());
    }
    let today = page.get("today?units=us").text();
    assert!(!text_of(&today).contains("Noted:"), "it was not told just now");
    tapped(&page, &form(&today, "fill-4-otters-9-dec", &[("told", "skipped")]));
    assert!(!again().contains("Noted:"), "something else was told since");
    // The address of the form itself is no page, and leads back to those that there are.
    let reply = page.get("today/did?units=us");
    assert_eq!(reply.status, 405);
    assert!(reply.text().contains("today?units=us\">Today</a>"), "{}", reply.text());
}

/// What is taken back may bring a step back to a time that is past by then.
#[test]
fn a_step_that_counts_as_done_is_not_gone() {
    let folder = tempfile::tempdir().unwrap();
    let plan = demo_in(folder.path());
    let run = |words: &[&str], now: &str| {
        let words = [words, &["--no-diary", "--now", now]].concat();
        Run::of(&words).inside(folder.path()).ends().stdout
    };
    run(&["plan", &plan, "--keep"], KEPT);
    let told = run(&["did", &plan, "turn-out-3-otters-9-dec", "--wet=1"], EVENING);
    let fill = "moved  Fill 4 fox molds (round 4 of 4): Tue Dec 8";
    assert!(told.contains(&format!("{fill} 6:40 pm → Tue Dec 8 8:00 pm")), "{told}");
    let back = run(&["did", &plan, "--undo"], "2026-12-08T18:50:00-07:00");
    assert!(back.contains(&format!("{fill} 8:00 pm → Tue Dec 8 6:40 pm")), "{back}");
    assert!(!back.contains("gone   Fill 4"), "{back}");
}

#[test]
fn all_that_can_be_told() {
    let folder = tempfile::tempdir().unwrap();
    let page = page_of(folder.path(), true);
    let mut html = page.get("today").text();
    let all: [(&str, Told<'_>, &str); 5] = [
        (
            "paint-wrens",
            &[("told", "firm"), ("weight", "34 g"), ("at", "8:10 am")],
            "one piece 34 g",
        ),
        ("turn-out-3-otters-9-dec", &[("told", "solid")], "none wet"),
        ("fill-4-otters-9-dec", &[("told", "until"), ("until", "7 pm")], "it takes until"),
        ("turn-out-2-otters-9-dec", &[("told", "done"), ("at", "7 am")], "done Tue Dec 8 7:00 am"),
        ("fill-3-otters-9-dec", &[("told", "skipped")], "not done"),
    ];
    for (step, told, said) in all {
        html = tapped(&page, &form(&html, step, told));
        let shown = text_of(&html);
        assert!(shown.contains("Noted: ") && shown.contains(said), "{step}: {shown}");
    }
    assert_eq!(kept_in(folder.path()).matches("\n[[happened]]").count(), 5);
}

#[test]
fn what_cannot_have_happened_is_refused_in_words() {
    let folder = tempfile::tempdir().unwrap();
    let page = page_of(folder.path(), true);
    let html = page.get("today").text();
    let all: [(&str, Told<'_>, &str); 5] = [
        ("turn-out-3-otters-9-dec", &[("told", "wet"), ("wet", "9")], "there are only 4 of them"),
        (
            "turn-out-3-otters-9-dec",
            &[("told", "solid"), ("at", "2026-12-09 09:00")],
            "still to come",
        ),
        ("turn-out-3-otters-9-dec", &[("told", "wet"), ("wet", "x")], "whole number"),
        ("paint-wrens", &[("told", "soft"), ("weight", "heavy")], "heavy"),
        ("no-such-step", &[("told", "done")], "no step of the plan is called so"),
    ];
    for (step, told, said) in all {
        let shown = text_of(&page.post("today/did", &form(&html, step, told)).text());
        assert!(shown.contains(said), "no “{said}” in {shown}");
        assert!(!shown.contains("--") && !shown.contains("Noted"), "{shown}");
    }
    assert!(!kept_in(folder.path()).contains("\n[[happened]]"));
}

/// The enter key and an empty field tell nothing; what was typed beside it stays.
#[test]
fn what_was_not_said_is_asked_for() {
    let folder = tempfile::tempdir().unwrap();
    let page = page_of(folder.path(), true);
    let html = page.get("today").text();
    let of_step = html.split("<form").find(|form| form.contains("turn-out-3-otters-9-dec"));
    let first = of_step.and_then(|form| form.split("<button").nth(1)).unwrap();
    assert!(first.contains("name=\"told\" value=\"\""), "the enter key presses {first}");
    let all: [(&str, Told<'_>, &str); 3] = [
        ("turn-out-3-otters-9-dec", &[("told", ""), ("wet", "3")], "press one of the buttons"),
        (
            "turn-out-3-otters-9-dec",
            &[("told", "wet"), ("at", "6:10 pm")],
            "how many are still wet",
        ),
        ("fill-4-otters-9-dec", &[("told", "until"), ("until", "")], "until when it takes"),
    ];
    for (step, told, said) in all {
        let after = page.post("today/did", &form(&html, step, told)).text();
        assert!(text_of(&after).contains(said), "no “{said}” in {}", text_of(&after));
        let own = after.split(&format!("id=\"told-{step}\"")).nth(1).unwrap();
        let own = own.split("</form>").next().unwrap();
        assert!(
            own.contains("class=\"fault\"") && own.contains(said),
            "it is said at the step too"
        );
        let typed = told.iter().filter(|(name, value)| *name != "told" && !value.is_empty());
        for (_, value) in typed {
            assert!(after.contains(&format!("value=\"{value}\"")), "{value}: {after}");
        }
    }
    assert!(!kept_in(folder.path()).contains("\n[[happened]]"));
}

#[test]
fn a_plan_is_followed_from_the_page_and_what_changed_since_is_shown() {
    let folder = tempfile::tempdir().unwrap();
    let plan = demo_in(folder.path());
    let page = Page::start_at("2026-12-02T12:00:00-07:00", folder.path(), &[&plan, "--no-diary"]);
    let today = page.get("today").text();
    assert!(today.contains("Follow this plan") && !today.contains("name=\"told\""), "{today}");
    assert_eq!(page.post("today/keep", "").status, 303);
    assert!(kept_in(folder.path()).starts_with("# The plan that is followed"));
    assert!(!page.get("today").text().contains("Follow this plan"));
    // Another program changes the file; the page is told to read it again.
    let text = fs::read_to_string(folder.path().join(&plan)).unwrap();
    let more = text.replacen("children = 11", "children = 12", 1);
    assert_ne!(text, more);
    fs::write(folder.path().join(&plan), more).unwrap();
    assert_eq!(page.post("plan/again", "revision=0").status, 303);
    let shown = text_of(&page.get("today").text());
    assert!(shown.contains("The plan was changed since you began to follow it."), "{shown}");
    assert!(shown.contains("Follow it as it is now"), "{shown}");
    assert_eq!(page.post("today/keep", "").status, 303);
    assert!(!text_of(&page.get("today").text()).contains("was changed since"));
}

#[test]
fn nothing_is_kept_beside_a_plan_that_is_not_saved() {
    let folder = tempfile::tempdir().unwrap();
    let page = Page::start_in(folder.path(), &["--no-diary"]);
    let shown = text_of(&page.get("today").text());
    assert!(shown.contains("Open or start a plan"), "{shown}");
    assert_eq!(page.post("plan/start", "").status, 303);
    let shown = text_of(&page.get("today").text());
    assert!(
        shown.contains("Save it first") && !shown.contains("Follow this plan Today"),
        "{shown}"
    );
    let told = text_of(&page.post("today/keep", "").text());
    assert!(told.contains("Save the plan first"), "{told}");
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 0);
}
