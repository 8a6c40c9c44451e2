//! A look at what is ready, where it is looked at elsewhere than it is used.

use std::fs;

use crate::{
    followed::Kept,
    page::{Page, shown},
    run::Run,
};

/// Invented: pieces that dry at home, in damp air, and are painted in class.
const PLAN: &str = r#"
title = "No oven, damp air"
timezone = "Europe/Dublin"
units = "metric"
[hours]
home = ["Mon-Fri 18:30-21:30", "Sat-Sun 10:00-18:00"]
class = ["Mon-Fri 09:00-12:30"]
closed = ["2026-12-19 to 2027-01-04"]
[room]
temperature = "18 C"
humidity = "70 %"
[[group]]
name = "Hedgehogs"
days = "Mon Tue Wed Thu Fri"
children = 10
youngest = "2 years"
[[ornament]]
name = "Little hearts"
shape = "round 60 mm"
thickness = "5 mm"
recipe = "two-one-one"
groups = ["Hedgehogs"]
each = 1
spare = 2
method = "air"
finish = ["paint", "seal", "wrap"]
give = 2026-12-17
"#;

const BEGIN: &str = "2026-11-16T08:00:00";

/// Lines of a plan from one that begins so up to the next empty one or the next day.
fn of_day<'t>(text: &'t str, day: &str) -> Vec<&'t str> {
    let lines = text.lines().skip_while(|line| !line.starts_with(day)).skip(1);
    lines.take_while(|line| line.starts_with(' ')).collect()
}

#[test]
fn a_look_before_class_is_at_home_before_she_leaves() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("p.toml"), PLAN).unwrap();
    let words = ["plan", "p.toml", "--ics", "p.ics", "--sheet", "p.html", "--sheet-full", "f.html"];
    let plan = Run::of(&words).now(BEGIN).inside(folder.path()).succeeds().stdout;
    let sunday = of_day(&plan, "Sunday, 29 Nov");
    assert!(sunday[0].contains("10:00  ") && sunday[0].contains("Look before: Hedgehogs paint"));
    assert!(sunday.concat().contains("One piece weighs"), "{sunday:?}");
    let monday = of_day(&plan, "Monday, 30 Nov");
    assert!(monday[0].contains("Hedgehogs paint 10 pieces"), "{monday:?}");
    assert!(!monday[0].contains("look"), "{monday:?}");

    let read = |name: &str| fs::read_to_string(folder.path().join(name)).unwrap();
    let events = read("p.ics");
    assert_eq!(events.matches("SUMMARY:Look before: Hedgehogs paint 10 pieces").count(), 1);
    for sheet in ["p.html", "f.html"] {
        assert!(read(sheet).contains("Look before: Hedgehogs paint 10 pieces"), "{sheet}");
    }
}

#[test]
fn the_look_is_on_the_screen_of_its_day() {
    let kept = Kept::of(PLAN, BEGIN);
    let today = |now: &str| kept.run(&["today", &kept.plan], now).stdout;
    let sunday = today("2026-11-29T08:00:00");
    assert!(sunday.contains("  10:00        Look before: Hedgehogs paint 10 pieces"), "{sunday}");
    assert!(sunday.contains("Look: One piece weighs 14.6 g or less"), "{sunday}");
    // On a morning without hours at home she looks before she leaves, and not in class.
    let monday = today("2026-11-30T07:00:00");
    let at = |words: &str| monday.find(words).unwrap_or_else(|| panic!("{words}: {monday}"));
    assert!(at("08:30        Look before") < at("08:30        Leave with"));
    assert!(at("Look: One piece") < at("09:00–09:25  Hedgehogs paint"));
    assert_eq!(monday.matches("Look: ").count(), 1, "{monday}");
    // By then she has left.
    let late = today("2026-11-30T08:45:00");
    assert!(!late.contains("Look before"), "{late}");
}

/// On the page the look has a button of its own, for what is not ready yet; that it is painted is
/// told on the day.
#[test]
fn the_page_takes_what_the_look_found() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("p.toml").to_str().unwrap().to_owned();
    fs::write(&file, PLAN).unwrap();
    let keep = ["plan", &file, "--keep", "--no-diary"];
    Run::of(&keep).now(BEGIN).inside(folder.path()).succeeds();
    let page = Page::start_at("2026-11-29T10:05:00+00:00", folder.path(), &[&file, "--no-diary"]);
    let today = page.get("today").text();
    assert!(shown(&today).contains("Look before: Hedgehogs paint 10 pieces"), "{today}");
    let look = today.split("Look before: Hedgehogs").nth(1).unwrap();
    let form = look.split("<form").nth(1).unwrap().split("</form>").next().unwrap();
    assert!(form.contains("value=\"soft\"") && !form.contains("value=\"firm\""), "{form}");
    let told = page.post("today/did", "step=paint-hedgehogs&count=0&told=soft");
    assert!(told.status < 400, "{}", told.text());
    let kept = fs::read_to_string(folder.path().join("p.kept.toml")).unwrap();
    assert!(kept.contains("soft = true"), "{kept}");
}

/// What is not firm for sure and what is not dry for sure are two waits: to paint, it is enough
/// that pieces are firm.
#[test]
fn a_step_is_looked_at_for_what_it_waits_for() {
    let plan = Run::of(&["plan", "p.toml", "--json"]).file("p.toml", PLAN).now(BEGIN);
    let plan = plan.succeeds().json();
    let looks = |kind: &str| {
        let mut steps = plan["steps"].as_array().unwrap().iter();
        let step = steps.find(|step| step["id"].as_str().unwrap().ends_with(kind)).unwrap();
        step["looks"].as_array().unwrap().clone()
    };
    let [paint, seal] = ["-paint-hedgehogs", "-seal"].map(looks);
    assert_eq!((paint.len(), seal.len()), (1, 1));
    assert_eq!(paint[0]["where"], "home");
    assert!(paint[0]["see"].as_str().unwrap().contains("14.6 g"), "{paint:?}");
    assert!(seal[0]["see"].as_str().unwrap().contains("14.0 g"), "{seal:?}");
}
