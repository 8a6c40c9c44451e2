//! Every output of both demos as it was, so that a change shows in a review.
//!
//! The numbers move whenever the physics does. To renew them, look at the
//! difference and accept it: `INSTA_UPDATE=always cargo test --test program demo_outputs`.

use std::{fs, path::Path};

use solidby::report::sheet::NARROW;

use crate::run::Run;

const NOW: &str = "2026-11-27T08:00:00";

/// Runs the program from the repository's root; the demos can all be done.
fn solidby(args: &[&str]) -> String {
    Run::of(args).with_demos().succeeds().stdout
}

fn keep(name: &str, extension: &str, text: &str) {
    let mut settings = insta::Settings::clone_current();
    settings.set_prepend_module_to_snapshot(false);
    settings.set_omit_expression(true);
    // The line ends of a calendar file are CR LF; its lint is elsewhere.
    settings.bind(|| {
        insta::assert_snapshot!(format!("{name}.{extension}"), text.replace('\r', ""));
    });
}

/// Listing, JSON, calendar, tasks and sheet of one plan.
fn plan_outputs(name: &str) {
    let folder = tempfile::tempdir().unwrap();
    let file = format!("demo/{name}.toml");
    let out = |extension: &str| folder.path().join(extension).display().to_string();
    let (ics, tasks, sheet) = (out("ics"), out("tasks"), out("html"));
    let plan = ["plan", &file, "--now", NOW];
    let files = ["--ics", &ics, "--ics-tasks", &tasks, "--sheet", &sheet, "--reasons"];
    keep(name, "txt", &solidby(&[&plan[..], &files].concat()));
    keep(name, "json", &solidby(&[&plan[..], &["--json"]].concat()));
    for (extension, path) in [("ics", ics), ("tasks.ics", tasks), ("html", sheet)] {
        keep(name, extension, &fs::read_to_string(Path::new(&path)).unwrap().replace(NARROW, ""));
    }
}

/// What a demo's block or piece looks like by itself, in words and as a chart.
fn chart_outputs(name: &str, question: &[&str]) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("chart.svg");
    let chart = ["--now", "2026-12-06T18:30:00-07:00", "--chart", path.to_str().unwrap()];
    keep(name, "txt", &solidby(&[question, &chart].concat()));
    keep(name, "svg", &fs::read_to_string(&path).unwrap());
}

#[test]
fn the_forest_fortnight() {
    plan_outputs("forest-fortnight");
}

#[test]
fn the_monsoon_stars() {
    plan_outputs("monsoon-stars");
}

#[test]
fn the_blocks_of_the_forest() {
    let question = ["ice", "--mould", "fox", "--count", "4", "--wall", "silicone", "--air", "0 F"];
    let times = ["--at", "20:00", "--by", "tomorrow 06:40", "--units", "us"];
    chart_outputs("forest-ice", &[&question[..], &times].concat());
}

#[test]
fn the_pieces_of_the_forest() {
    let question = ["dough", "--thickness", "1/4 in", "--size", "75 mm", "--count", "22"];
    let oven = ["--oven", "200 F", "--room", "68 F", "--humidity", "45 %", "--units", "us"];
    chart_outputs("forest-dough", &[&question[..], &oven].concat());
}

#[test]
fn the_stars_of_the_monsoon() {
    let ice = ["ice", "--mould", "star", "--count", "4", "--freezer", "chest", "--air", "-18 C"];
    let times = ["--at", "20:00", "--by", "tomorrow 06:40"];
    chart_outputs("monsoon-ice", &[&ice[..], &times].concat());
    let dough = ["dough", "--thickness", "3 mm", "--size", "60 mm", "--count", "10", "--air-dry"];
    let room = ["--room", "27 C", "--humidity", "66 %"];
    chart_outputs("monsoon-dough", &[&dough[..], &room].concat());
}

#[test]
fn the_caution_on_pets_shows_while_coats_dry() {
    let said = solidby(&["plan", "demo/forest-fortnight.toml", "--now", NOW, "--json"]);
    let schedule: serde_json::Value = serde_json::from_str(&said).unwrap();
    let steps = schedule["steps"].as_array().unwrap();
    for span in ["paint-dry", "photo-dry", "seal-dry"] {
        let dries = |step: &&serde_json::Value| step["id"].as_str().unwrap().contains(span);
        let drying: Vec<_> = steps.iter().filter(dries).collect();
        assert!(!drying.is_empty(), "nothing is called {span}");
        for step in drying {
            let mut cautions = step["cautions"].as_array().unwrap().iter();
            assert!(cautions.any(|caution| caution["id"] == "salt-pets"), "{step}");
        }
    }
}
