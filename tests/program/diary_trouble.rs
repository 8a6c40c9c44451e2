//! A diary that says what no kitchen does: what the answers, the plan and the page make of it;
//! and what a diary refuses.

use crate::{
    page::{Page, folder, shown},
    run::{Ran, Run},
};

const NOW: &str = "2026-12-06T18:00:00";
const BLOCKS: &str = "box = \"10x8x4 cm\"\ncount = 4\nair = \"-18 C\"\n";

/// Notes on ice of ten evenings in November, each wet after so many hours.
fn wet_after(hours: f64, notes: usize) -> String {
    let note = |n: usize| {
        format!(
            "[[note]]\nkind = \"ice\"\nat = 2026-11-{:02}T20:00:00-07:00\n{BLOCKS}seen = [\"after {hours} h wet\"]\n",
            10 + n
        )
    };
    (0..notes).map(note).collect()
}

fn asked(arguments: &[&str]) -> Run {
    Run::of(arguments).with(&["--zone", "America/Denver", "--units", "metric"]).now(NOW)
}

fn ice(diary: &str, more: &[&str]) -> Ran {
    let ice = ["ice", "--box", "10x8x4 cm", "--count", "4", "--air", "-18 C", "--diary", "d.toml"];
    asked(&ice).with(more).file("d.toml", diary).succeeds()
}

#[test]
fn the_answer_follows_notes_that_no_freezer_explains() {
    let overnight = ["--at", "20:00", "--by", "tomorrow 07:00"];
    let diary = wet_after(14.0, 10);
    for more in [&overnight[..], &[&overnight[..], &["--more"]].concat()] {
        let words = ice(&diary, more).stdout.replace('\n', " ");
        println!("{words}");
        assert!(words.starts_with("Probably not."), "{words}");
        for wrong in ["Learnt", "to be sure", "very likely", "Yes"] {
            assert!(!words.contains(wrong), "{wrong}: {words}");
        }
        let told = words.split_whitespace().collect::<Vec<_>>().join(" ");
        for right in ["Your 10 notes on “kitchen” say that it takes about", "its door ajar"] {
            assert!(told.contains(right), "{right}: {words}");
        }
    }
    let chance = |hours: f64, notes: usize| {
        let more = [&overnight[..], &["--json"]].concat();
        ice(&wet_after(hours, notes), &more).json()["chance"].as_f64().unwrap()
    };
    let chances = [12.0, 13.0, 14.0, 40.0].map(|hours| chance(hours, 5));
    assert!(chances.iter().all(|chance| *chance < 0.1), "{chances:?}");
    assert!(chances.is_sorted_by(|a, b| b <= a), "{chances:?}");
    let alone = ice(&wet_after(14.0, 1), &overnight).stdout;
    assert!(!alone.contains("Learnt") && alone.contains("Your 1 note on"), "{alone}");
}

#[test]
fn the_diary_itself_tells_of_trouble() {
    let diary = wet_after(14.0, 10);
    let read = |more: &[&str]| {
        asked(&[&["diary"][..], more, &["--diary", "d.toml"]].concat())
            .file("d.toml", &diary)
            .succeeds()
    };
    for command in ["fit", "show"] {
        let words = read(&[command]).stdout;
        assert!(words.contains("Your 10 notes on “kitchen” say"), "{words}");
        assert!(!words.contains("disagree"), "{words}");
    }
    let fit = &read(&["fit", "--json"]).json()["appliances"][0]["fit"];
    assert_eq!(fit["says"], "trouble", "{fit}");
    assert!(fit["times"].as_f64().is_some_and(|times| times > 1.3), "{fit}");
    // As many notes of one thing as of its opposite teach hardly anything, and it is said.
    let quick = diary.replace("after 14 h wet", "after 1 h solid");
    let divided = format!("{}{quick}", wet_after(14.0, 10));
    let words = ice(&divided, &["--at", "20:00"]).stdout;
    assert!(words.contains("contradict each other") && !words.contains("Learnt"), "{words}");
}

#[test]
fn the_pages_tell_of_trouble() {
    let folder = folder();
    let diary = folder.path().join("d.toml");
    std::fs::write(&diary, wet_after(14.0, 10)).unwrap();
    let page = Page::start(&["--diary", diary.to_str().unwrap()]);
    let block = "ice?shape=fox&count=4&at=2026-12-06T18:30&by=2026-12-07T07:00&units=us";
    for path in ["diary", block] {
        let text = shown(&page.get(path).text());
        assert!(text.contains("Your 10 notes on “kitchen” say"), "{path}: {text}");
        assert!(!text.contains("Learnt from"), "{path}: {text}");
    }
}

#[test]
fn a_plan_warns_of_what_its_diary_says() {
    let plan = include_str!("../../demo/forest-fortnight.toml");
    let called = |name: &str| {
        let note = |n: usize| {
            format!(
                "[[note]]\nkind = \"ice\"\nat = 2026-11-{:02}T20:00:00-07:00\ncalled = \"{name}\"\nmould = \"fox\"\nseen = [\"after 40 h wet\"]\n",
                10 + n
            )
        };
        (0..5).map(note).collect::<String>()
    };
    let freezer = toml::from_str::<toml::Table>(plan).unwrap()["freezer"][0]["name"].clone();
    let diary = called(freezer.as_str().unwrap());
    let run = Run::of(&["plan", "p.toml", "--diary", "d.toml"]).now("2026-11-27T08:00:00");
    let ran = run.file("p.toml", plan).file("d.toml", &diary).ends();
    let words = ran.stdout.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.contains("Your 5 notes on") && words.contains("Check whether"), "{words}");
    assert!(!words.contains("Learnt"), "{words}");
}

#[test]
fn dough_that_stays_soft_is_not_learnt_away() {
    let diary = (0..5)
        .map(|n| {
            format!(
                "[[note]]\nkind = \"dough\"\nat = 2026-11-{:02}T08:00:00-07:00\nthickness = \"6 mm\"\noven = \"93 C\"\nfaces = \"two\"\nseen = [\"after 60 h soft\"]\n",
                10 + n
            )
        })
        .collect::<String>();
    let dough =
        ["dough", "--thickness", "6 mm", "--oven", "93 C", "--faces", "two", "--diary", "d.toml"];
    let ran = asked(&dough).file("d.toml", &diary).succeeds();
    let words = ran.stdout.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.contains("By a rough guess firm in"), "{words}");
    assert!(words.contains("colder than set") && !words.contains("Learnt"), "{words}");
    let json = asked(&dough).with(&["--json"]).file("d.toml", &diary).succeeds().json();
    assert!(json["hard_h"]["p50"].as_f64().unwrap() > 60.0, "{json}");
}

/// Three days in, hardly any kitchen's would be wet: nobody knows what is left.
#[test]
fn wet_far_beyond_all_kitchens_is_a_rough_guess() {
    let ice = |wet_at: &str| {
        let ice = ["ice", "--box", "10x8x4 cm", "--air", "-18 C", "--no-diary"];
        let run = Run::of(&ice).with(&["--zone", "America/Denver", "--units", "metric"]);
        run.with(&["--at", "2026-12-06 20:00", "--wet-at", wet_at]).now("2026-12-12T13:00:00")
    };
    let words = ice("2026-12-09 20:00").succeeds().stdout;
    assert!(!words.contains("to be sure") && words.contains("rough guess"), "{words}");
    assert!(words.contains("check the freezer first"), "{words}");
    let rest = |wet_at: &str, wet_h: f64| {
        let answer = ice(wet_at).with(&["--json"]).succeeds().json();
        answer["solid_h"]["p50"].as_f64().unwrap() - wet_h
    };
    let rests =
        [("2026-12-07 20:00", 24.0), ("2026-12-08 20:00", 48.0), ("2026-12-09 20:00", 72.0)]
            .map(|(at, h)| rest(at, h));
    assert!(rests[0] > 5.0 && rests.is_sorted(), "{rests:?}");
}

fn add(kind: &str, at: &str, seen: &[&str]) -> Run {
    let made: &[&str] = match kind {
        "ice" => &["--box", "10x8x4 cm"],
        _ => &["--thickness", "6 mm", "--oven", "93 C"],
    };
    let add = [&["diary", "add", kind, "--at", at, "--diary", "d.toml"][..], made].concat();
    seen.iter().fold(asked(&add), |run, seen| run.with(&["--seen", *seen]))
}

#[test]
fn what_has_not_happened_is_not_noted() {
    let ran = add("ice", "2026-12-06 17:00", &["after 8 h solid"]).exits(2);
    let to_come = "is still to come; this is about what has happened";
    assert!(ran.stderr.contains(to_come) && !ran.has("d.toml"), "{}", ran.stderr);
    let diary = "[[note]]\nkind = \"ice\"\nat = 2026-12-06T17:00:00-07:00\nround = \"80x50 mm\"\n";
    let look = |seen: &str| {
        asked(&["diary", "look", "--diary", "d.toml", "--seen", seen]).file("d.toml", diary)
    };
    let late = look("19:30 solid").exits(2);
    assert!(late.stderr.contains(to_come), "{}", late.stderr);
    assert_eq!(late.written("d.toml"), diary);
    look("17:50 wet").succeeds();
    add("ice", "2026-12-06 07:00", &["after 8 h wet", "after 11 h solid"]).succeeds();
}

#[test]
fn looks_that_cannot_both_be_are_refused() {
    let refused = |kind: &str, seen: &[&str], words: &str| {
        let ran = add(kind, "2026-12-05 07:00", seen).exits(2);
        assert!(ran.stderr.contains(words) && !ran.has("d.toml"), "{seen:?}: {}", ran.stderr);
    };
    let both = "“solid” after 6 h and “wet” after 8 h cannot both be";
    refused("ice", &["after 6 h solid", "after 8 h wet"], both);
    refused("ice", &["after 8 h wet", "after 6 h solid"], both);
    refused("ice", &["after 6 h solid", "after 6 h wet"], "cannot both be");
    refused("ice", &["after 6 h core -4 C", "after 7 h some wet"], "cannot both be");
    refused("dough", &["after 4 h hard", "after 5 h soft"], "grows neither softer nor heavier");
    refused("dough", &["after 0 h weight 37 g", "after 2 h weight 50 g"], "cannot both be");
    refused("dough", &["after 0 h weight 40 g", "after 2 h weight 15 g"], "is not water");
    add("dough", "2026-12-05 07:00", &["after 0 h weight 40 g", "after 9 h weight 30 g"])
        .succeeds();
    add("ice", "2026-12-05 07:00", &["after 6 h wet", "after 7 h some wet", "after 8 h solid"])
        .succeeds();
    // A look that is added contradicts one that stands there.
    let diary = "[[note]]\nkind = \"ice\"\nat = 2026-12-05T17:00:00-07:00\nround = \"80x50 mm\"\nseen = [\"after 5 h solid\"]\n";
    let look = asked(&["diary", "look", "--diary", "d.toml", "--seen", "after 6 h wet"]);
    let ran = look.file("d.toml", diary).exits(2);
    assert!(ran.stderr.contains("cannot both be"), "{}", ran.stderr);
    assert_eq!(ran.written("d.toml"), diary);
}

#[test]
fn dough_dried_in_air_is_not_of_an_oven() {
    let note = |way: &str| {
        format!(
            "[[note]]\nkind = \"dough\"\nat = 2026-11-20T08:00:00-07:00\nthickness = \"6 mm\"\n{way}\nseen = [\"after 40 h hard\"]\n"
        )
    };
    let [air, oven] = ["air-dry = true", "oven = \"93 C\""].map(note);
    let shown = |command: &str, diary: &str| {
        asked(&["diary", command, "--diary", "d.toml"]).file("d.toml", diary).succeeds().stdout
    };
    for command in ["show", "fit"] {
        let words = shown(command, &air);
        assert!(words.starts_with("Dough dried in the room of “kitchen”"), "{words}");
        assert!(!words.contains("oven “"), "{words}");
        let words = shown(command, &oven);
        assert!(words.starts_with("The oven “kitchen”"), "{words}");
        let words = shown(command, &format!("{air}{oven}"));
        assert!(words.starts_with("The oven “kitchen” and its room"), "{words}");
    }
}
