//! The diary's file as a user has it: notes that are never lost, killed in the
//! middle or written by two at once, and answers that learn from them.

use std::{
    collections::BTreeSet,
    fs,
    io::Read,
    path::Path,
    process::{Command, Stdio},
    time::Duration,
};

use crate::run::{demo_in, program};

fn solidby(arguments: &[&str]) -> Command {
    program(&[&["--now", "2026-12-20T12:00:00Z"], arguments].concat())
}

/// Adds a note whose minute is its name.
fn add(diary: &Path, n: usize) -> Command {
    let at = format!("2026-12-{:02}T{:02}:{:02}:00Z", 1 + n / 1440, n / 60 % 24, n % 60);
    let mut command = solidby(&["diary", "add", "ice", "--round", "80x50 mm", "--at", &at]);
    command.args(["--seen", "after 4 h wet", "--seen", "after 9 h solid", "--diary"]).arg(diary);
    command.stdout(Stdio::piped()).stderr(Stdio::piped());
    command
}

/// The minutes of all notes of a diary that must be whole.
fn minutes(diary: &Path) -> BTreeSet<usize> {
    let Ok(text) = fs::read_to_string(diary) else { return BTreeSet::new() };
    let table: toml::Table = toml::from_str(&text).unwrap_or_else(|e| panic!("{e}\n{text}"));
    let notes = table.get("note").and_then(toml::Value::as_array).unwrap();
    let minute = |note: &toml::Value| {
        assert_eq!(note["seen"].as_array().unwrap().len(), 2, "{note}");
        let time = note["at"].as_datetime().unwrap();
        let (date, time) = (time.date.unwrap(), time.time.unwrap());
        (usize::from(date.day) - 1) * 1440 + usize::from(time.hour) * 60 + usize::from(time.minute)
    };
    notes.iter().map(minute).collect()
}

#[test]
fn a_confirmed_note_outlives_any_kill() {
    const KILLS: usize = 500;
    // Of each five kills one comes before anything can be written, one after the
    // confirmation, and three come somewhere between.
    const CERTAIN: usize = KILLS / 5;
    let folder = tempfile::tempdir().unwrap();
    let diary = folder.path().join("diary.toml");
    let mut confirmed = BTreeSet::new();
    let mut cut = 0;
    // The middle of the kills follows the machine, whose load comes and goes: a
    // note cut moves it later, a note confirmed earlier.
    let mut middle = Duration::from_millis(5);
    for n in 0..KILLS {
        let others = fs::File::open(folder.path()).unwrap();
        if n % 5 == 0 {
            others.lock().unwrap();
        }
        let mut child = add(&diary, n).spawn().unwrap();
        let mut said = vec![0; if n % 5 == 1 { "Noted".len() } else { 0 }];
        child.stdout.as_mut().unwrap().read_exact(&mut said).unwrap();
        if n % 5 > 1 {
            std::thread::sleep(middle.mul_f64(2.0 * ((n * 37) % 100) as f64 / 100.0));
        }
        child.kill().unwrap();
        let output = child.wait_with_output().unwrap();
        drop(others);
        let kept = minutes(&diary);
        said.extend(&output.stdout);
        let is_confirmed = String::from_utf8_lossy(&said).contains("Noted");
        if is_confirmed {
            confirmed.insert(n);
        } else {
            cut += 1;
        }
        if n % 5 > 1 {
            middle = if is_confirmed { middle.div_f64(1.1) } else { middle.mul_f64(1.1) };
        }
        assert!(confirmed.is_subset(&kept), "lost after {n}: {:?}", confirmed.difference(&kept));
    }
    println!("{KILLS} kills, {cut} before the confirmation, {} notes kept", minutes(&diary).len());
    // The kills really fell on both sides.
    assert!((CERTAIN..=KILLS - CERTAIN).contains(&cut), "{cut}");
    let names: Vec<_> =
        fs::read_dir(folder.path()).unwrap().map(|e| e.unwrap().file_name()).collect();
    assert!(names.len() <= 3, "litter: {names:?}");
}

#[test]
fn writers_at_once_lose_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let diary = folder.path().join("new folder").join("diary.toml");
    for round in 0..4 {
        let writers: Vec<_> = (0..6).map(|n| add(&diary, 6 * round + n).spawn().unwrap()).collect();
        for writer in writers {
            let output = writer.wait_with_output().unwrap();
            assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
        }
    }
    assert_eq!(minutes(&diary), (0..24).collect());
}

fn json(command: &mut Command) -> serde_json::Value {
    let output = command.arg("--json").output().unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    serde_json::from_slice(&output.stdout).unwrap()
}

/// Three evenings of a freezer that is slower than most.
fn slow_evenings(diary: &Path) {
    for n in 0..3 {
        let at = format!("2026-12-1{n}T20:00:00Z");
        let mut note = solidby(&["diary", "add", "ice", "--mould", "fox", "--at", &at]);
        note.args(["--seen", "after 7 h wet", "--seen", "after 8 h solid", "--diary"]).arg(diary);
        assert!(note.status().unwrap().success());
    }
}

#[test]
fn answers_learn_and_say_so() {
    let folder = tempfile::tempdir().unwrap();
    let diary = folder.path().join("diary.toml");
    slow_evenings(&diary);
    let ask = || solidby(&["ice", "--mould", "fox", "--at", "14:00", "--by", "23:00"]);
    let taught = json(ask().arg("--diary").arg(&diary));
    let plain = json(ask().arg("--no-diary"));
    let width = |answer: &serde_json::Value| {
        let point = |name: &str| answer["solid_h"][name].as_f64().unwrap();
        (point("p95") - point("p05"), point("p50"))
    };
    let ((taught_width, middle), (plain_width, before)) = (width(&taught), width(&plain));
    assert!(taught_width < 0.5 * plain_width, "{taught_width} of {plain_width}");
    assert!(before < 6.5 && (7.0..8.0).contains(&middle), "{before}, then {middle}");
    let note = taught["notes"][0].as_str().unwrap();
    assert!(note.contains("3 notes on “kitchen”") && note.contains("--no-diary"), "{note}");
    assert!(!plain.to_string().contains("diary;"));
    // Between 6 and 23 o'clock a look near the middle of the band teaches most.
    let look = taught["looks"][0]["after_h"].as_f64().unwrap();
    assert!((middle - 0.7..middle + 0.7).contains(&look), "{look} for {middle}");
    assert!(taught["looks"].as_array().unwrap().len() <= 2);
    assert!(plain.get("looks").is_none());
    // Another setting, another freezer: nothing is learnt.
    let colder = json(ask().args(["--freezer", "chest-freezer", "--diary"]).arg(&diary));
    let alone = json(ask().args(["--freezer", "chest-freezer", "--no-diary"]));
    // No note names a kind, so the kind now said is the one they were made in.
    assert!(width(&colder).0 < width(&alone).0);
    let garage = json(ask().args(["--called", "garage", "--diary"]).arg(&diary));
    assert_eq!(garage["solid_h"], plain["solid_h"]);
}

#[test]
fn a_new_setting_starts_anew() {
    let folder = tempfile::tempdir().unwrap();
    let diary = folder.path().join("diary.toml");
    slow_evenings(&diary);
    let mut colder = solidby(&["diary", "add", "ice", "--mould", "fox", "--at", "yesterday 20:00"]);
    colder.args(["--anew", "--air", "-22 C", "--seen", "after 6 h solid", "--diary"]).arg(&diary);
    assert!(colder.status().unwrap().success());
    let fit = json(solidby(&["diary", "fit", "--diary"]).arg(&diary));
    let weights: Vec<f64> = fit["appliances"][0]["notes"]
        .as_array()
        .unwrap()
        .iter()
        .map(|note| note["weight"].as_f64().unwrap())
        .collect();
    assert_eq!(weights[..3], [0.0; 3]);
    assert!(weights[3] > 0.99);
    // Asked about another temperature than the last note's, nothing is learnt.
    let warmer = json(solidby(&["ice", "--mould", "fox", "--air", "-15 C", "--diary"]).arg(&diary));
    assert!(warmer["notes"][0].as_str().unwrap().contains("another setting"), "{warmer}");
}

#[test]
fn dough_learns_its_oven_and_its_own_pace() {
    let folder = tempfile::tempdir().unwrap();
    let diary = folder.path().join("diary.toml");
    let bake = ["--thickness", "6 mm", "--size", "75 mm", "--oven", "93 C"];
    let ask = |extra: &[&str]| json(solidby(&["dough"]).args(bake).args(extra));
    let plain = ask(&["--no-diary"]);
    let wet = plain["weigh_g"]["wet"].as_f64().unwrap();
    for day in ["10", "11", "12"] {
        let at = format!("2026-12-{day}T13:00:00Z");
        let (first, later) = (
            format!("after 0 h weight {wet:.0} g"),
            format!("after 3 h weight {:.0} g", 0.82 * wet),
        );
        let mut note = solidby(&["diary", "add", "dough"]);
        note.args(bake).args(["--at", &at, "--seen", &first, "--seen", &later, "--diary"]);
        assert!(note.arg(&diary).status().unwrap().success());
    }
    let taught = ask(&["--diary", diary.to_str().unwrap()]);
    let width = |answer: &serde_json::Value| {
        answer["dry_h"]["p95"].as_f64().unwrap() / answer["dry_h"]["p05"].as_f64().unwrap()
    };
    assert!(
        width(&taught).ln() < 0.7 * width(&plain).ln(),
        "{} of {}",
        width(&taught),
        width(&plain)
    );
    assert!(taught["notes"][0].as_str().unwrap().contains("3 notes"));
}

/// What a thermometer showed is noted, and what none in a freezer shows is not; the note is
/// shown with all that was said of the blocks.
#[test]
fn what_a_thermometer_showed() {
    let folder = tempfile::tempdir().unwrap();
    let diary = folder.path().join("diary.toml");
    let note = |seen: &str| {
        let mut note = solidby(&["diary", "add", "ice", "--mould", "fox", "--covered"]);
        note.args(["--at", "yesterday 20:00", "--seen", seen, "--diary"]).arg(&diary);
        note.output().unwrap()
    };
    for seen in ["after 6 h core -2 C", "after 7 h air -17 C"] {
        assert!(note(seen).status.success(), "{seen}");
    }
    for seen in ["after 6 h core -70 C", "after 7 h air 70 C"] {
        let refused = note(seen);
        let said = String::from_utf8_lossy(&refused.stderr).into_owned();
        assert_eq!(refused.status.code(), Some(2), "{seen}: {said}");
        assert!(said.contains("-60 °C and 60 °C"), "{seen}: {said}");
    }
    let shown = solidby(&["diary", "show", "--diary"]).arg(&diary).output().unwrap();
    let shown = String::from_utf8_lossy(&shown.stdout).into_owned();
    assert_eq!(shown.matches("covered").count(), 2, "{shown}");
}

#[test]
fn what_cannot_be_is_refused_and_the_file_left_alone() {
    let folder = tempfile::tempdir().unwrap();
    let diary = folder.path().join("diary.toml");
    slow_evenings(&diary);
    let before = fs::read_to_string(&diary).unwrap();
    let base = ["diary", "add", "ice", "--mould", "fox", "--at", "10:00"];
    for (extra, word) in [
        (&["--seen", "11:00 hard"][..], "none of"),
        (&["--seen", "11:00"], "does not say"),
        (&["--seen", "lunch wet"], "is not a time"),
        (&["--seen", "11:00 air -17"], "-17"),
        (&["--freezer", "cave"], "cave"),
        (&["--at", "13:00", "--anew", "--seen", "wet"], "cannot be used multiple times"),
    ] {
        let output = solidby(&base).args(extra).arg("--diary").arg(&diary).output().unwrap();
        let said = String::from_utf8_lossy(&output.stderr).into_owned();
        assert_eq!(output.status.code(), Some(2), "{extra:?}: {said}");
        assert!(said.contains(word), "{extra:?}: {said}");
    }
    assert_eq!(fs::read_to_string(&diary).unwrap(), before);
    // A file that is no diary is not written over.
    let other = folder.path().join("list.toml");
    fs::write(&other, "milk = 2\n").unwrap();
    let output = solidby(&base).arg("--diary").arg(&other).output().unwrap();
    assert_eq!(output.status.code(), Some(2));
    assert_eq!(fs::read_to_string(&other).unwrap(), "milk = 2\n");
    // A note mended by hand into nonsense is named.
    fs::write(&diary, before.replacen("mould = \"fox\"", "mould = \"fax\"", 1)).unwrap();
    let output = solidby(&["diary", "show", "--diary"]).arg(&diary).output().unwrap();
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    assert!(said.contains("note 1") && said.contains("fax"), "{said}");
}

#[test]
fn show_draws_what_was_foretold_and_seen() {
    let folder = tempfile::tempdir().unwrap();
    let diary = folder.path().join("diary.toml");
    slow_evenings(&diary);
    let output = solidby(&["diary", "show", "--diary"]).arg(&diary).output().unwrap();
    let text = String::from_utf8(output.stdout).unwrap();
    assert!(text.contains("wet after 7 h, solid after 8 h"), "{text}");
    assert!(text.contains('|') && text.contains('='), "{text}");
}

#[test]
fn a_plan_learns_the_freezer_of_that_name() {
    let folder = tempfile::tempdir().unwrap();
    let diary = folder.path().join("diary.toml");
    for n in 0..3 {
        let at = format!("2026-11-1{n}T20:00:00Z");
        let mut note = solidby(&["diary", "add", "ice", "--mould", "fox", "--air", "0 F"]);
        note.args(["--at", &at, "--seen", "after 8 h wet", "--seen", "after 9 h solid", "--diary"]);
        assert!(note.arg(&diary).status().unwrap().success());
    }
    let demo = demo_in(folder.path());
    let plan = |extra: &[&str]| {
        let mut command = Command::new(env!("CARGO_BIN_EXE_solidby"));
        command.args(["plan", &demo, "--now", "2026-11-27T08:00:00", "--json"]).args(extra);
        let output = command.output().unwrap();
        serde_json::from_slice::<serde_json::Value>(&output.stdout).unwrap()
    };
    let (taught, plain) = (plan(&["--diary", diary.to_str().unwrap()]), plan(&["--no-diary"]));
    let note = taught["notes"][0].as_str().unwrap();
    assert!(note.contains("3 notes on “kitchen”"), "{note}");
    assert!(!plain["notes"].to_string().contains("diary"), "{}", plain["notes"]);
    // A freezer slower than most: the blocks are begun earlier or less surely.
    assert_ne!(taught["steps"], plain["steps"]);
}
