//! She is in one place at a time, and so is what she carries; families come on their days.

use std::fs;

use crate::{followed::Kept, run::Run};

/// Invented: a room, a group that meets in it, and pieces with photos.
fn plan(home: &str, days: &str, making: &str) -> String {
    format!(
        r#"
title = "Nursery next door"
timezone = "America/New_York"
units = "us"
[hours]
home = {home}
class = ["Mon-Fri 08:00-12:00"]
[room]
temperature = "68 F"
humidity = "40 %"
[[group]]
name = "Wrens"
days = "{days}"
children = 8
youngest = "3 years"
[[oven]]
name = "kitchen"
kind = "fan"
trays = 1
tray = "11 x 15 in"
[[ornament]]
name = "Stars"
groups = ["Wrens"]
each = 1
recipe = "two-one-one"
finish = ["paint", "photo", "seal", "wrap"]
{making}
"#
    )
}

const IN_AIR: &str = r#"
shape = "star 3 in"
opening = "1 1/4 in"
thickness = "3/16 in"
spare = 1
method = "air"
give = 2027-01-27
"#;

/// Hours at home that class lies in are not hers while class is on, or she is on her way.
#[test]
fn nobody_is_at_home_while_class_is_on() {
    let home = r#"["Mon-Fri 6:15am-12:30pm", "Mon-Fri 6pm-6:30pm"]"#;
    let at_home = |more: &str| {
        let plan = plan(home, "Mon Tue Wed Thu Fri", IN_AIR) + more;
        let run = Run::of(&["plan", "p.toml", "--json"]).file("p.toml", &plan);
        let answer = run.now("2027-01-04T08:00:00").succeeds().json();
        let steps = answer["steps"].as_array().unwrap().clone();
        let own =
            steps.into_iter().filter(|step| step["where"] == "home" && step["attention"] != "none");
        own.map(|step| {
            let time = |name: &str| step[name].as_str().unwrap()[11..16].to_owned();
            (time("start"), time("end"))
        })
        .collect::<Vec<_>>()
    };
    let hers = at_home("");
    assert!(hers.len() > 4);
    for (start, end) in &hers {
        assert!(end.as_str() <= "07:30" || start.as_str() >= "12:30", "{start} to {end}");
    }
}

/// Pieces that lie cut on their rack go on drying: a load that was left out may wait for the next
/// evening on which somebody is there.
#[test]
fn a_load_that_was_left_out_waits_on_its_rack() {
    let home = r#"["Mon-Fri 6:15am-7:00am", "Mon-Fri 6pm-9:30pm", "Sat-Sun 9am-8pm"]"#;
    let making = r#"
shape = "star 4 in"
opening = "1 1/2 in"
thickness = "1/4 in"
spare = 2
method = "oven"
oven = "kitchen"
at = "200 F"
give = 2026-12-18
"#;
    let plan = plan(home, "Mon Tue Wed Thu Fri", making).replace("children = 8", "children = 24");
    let kept = Kept::of(&plan, "2026-11-25T08:00:00");
    let steps = kept.steps("2026-11-25T08:01:00");
    let load = steps.keys().rfind(|name| name.starts_with("put-in-load")).unwrap();
    // Two days and more after the dough was rolled.
    let at = |time: &str| time[..10].to_owned();
    let (rolled, planned) = (at(&steps["roll"]), at(&steps[load]));
    let evening = format!("{planned}T21:00:00");
    let told = kept.did(&[load, "--skipped"], &evening);
    assert!(!told.contains("cannot be done"), "{told}");
    let then = at(&kept.steps(&evening)[load]);
    assert!(then > planned && rolled < planned, "{rolled}, {planned}, {then}");
}

/// A slip comes back on a day on which these children come.
#[test]
fn slips_are_sent_back_on_a_day_of_class() {
    let home = r#"["Mon-Fri 6:15am-7:00am", "Mon-Fri 6pm-9:30pm", "Sat-Sun 9am-8pm"]"#;
    for days in ["Tue Thu", "Mon Wed", "Fri"] {
        let making = IN_AIR.replace("2027-01-27", "2027-02-19");
        let folder = tempfile::tempdir().unwrap();
        fs::write(folder.path().join("p.toml"), plan(home, days, &making)).unwrap();
        for now in ["2027-01-18T08:00:00", "2027-01-20T08:00:00", "2027-01-23T08:00:00"] {
            let run = Run::of(&["plan", "p.toml", "--notes", "n.html"]).now(now);
            run.inside(folder.path()).succeeds();
            let notes = fs::read_to_string(folder.path().join("n.html")).unwrap();
            let day = notes.split("send this slip back by ").nth(1).unwrap();
            let day = day.split(',').next().unwrap();
            assert!(days.split(' ').any(|one| day.starts_with(one)), "{days}: {day}");
        }
    }
}
