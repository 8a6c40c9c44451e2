//! Work that the user's numbers could make endless is refused in words that say
//! how many there are and how many there may be, and refused quickly.

use std::fs;

use crate::{
    page::{Page, encoded, folder, shown},
    run::{Ran, Run, computed_s, demo_in},
};
use solidby::{
    planfile,
    prep::{self, physics::Physics},
};

/// A refusal needs none of the physics: so many seconds of computing are far too many.
const QUICK_S: u32 = 10;

fn solidby(arguments: &[&str]) -> Ran {
    Run::thrifty(QUICK_S, arguments).now("2026-11-27T08:00:00Z").ends()
}

/// Exit code 2, and a message with these words.
fn refused(arguments: &[&str], says: &[&str]) {
    let Ran { code, stderr: message, .. } = solidby(arguments);
    assert_eq!(code, Some(2), "{arguments:?}: {message}");
    for say in says {
        assert!(message.contains(say), "{arguments:?} must say “{say}”: {message}");
    }
    assert!(message.len() < 20_000, "{message}");
}

#[test]
fn numbers_of_the_command_line() {
    for (arguments, says) in [
        ("ice --mould fox --count 501", ["501", "1..=500"]),
        ("ice --mould fox --count 4294967295", ["4294967295", "1..=500"]),
        ("thaw --mould fox --count 501", ["501", "1..=500"]),
        ("dough --thickness 6mm --air-dry --count 5001", ["5001", "1..=5000"]),
        ("dough --thickness 51mm --air-dry", ["thickness", "50 mm"]),
        ("dough --thickness 6mm --air-dry --size 51cm", ["size", "50 cm"]),
        ("dough --thickness 6mm --oven 93C --pre-dry 31days", ["time in air", "30 days"]),
        ("dough --thickness 6mm --oven 93C --exact --diffusivity 1e-300", ["1e-300", "1e-14"]),
        ("dough --thickness 6mm --air-dry --flour 1e9kg --salt 1g --water 1g", ["13 %", "15 %"]),
        ("cool --thickness 51mm --from 93C", ["thickness", "50 mm"]),
        ("ice --volume 101L", ["--volume", "100 L"]),
        ("ice --ball 6m", ["a size", "5 m"]),
        ("ice --ball 4m", ["4000.0 mm", "3 m"]),
        ("ice --mould fox --salt 21%", ["--salt", "20 %"]),
        ("ice --mould fox --wall silicone:51mm", ["51.0 mm", "50"]),
        ("thaw --mould fox --in cool-box:301mm", ["301.0 mm", "300"]),
        ("plan x.toml --remind 1441", ["1441", "0..=1440"]),
    ] {
        refused(&arguments.split(' ').collect::<Vec<_>>(), &says);
    }
}

/// Also by a command that needs no clock: a time that was mistyped was meant to count.
#[test]
fn no_command_takes_a_time_that_is_none() {
    let demo = concat!(env!("CARGO_MANIFEST_DIR"), "/demo/forest-fortnight.toml");
    for command in [
        "ice --mould fox",
        "dough --thickness 6mm --air-dry",
        "thaw --mould fox",
        "cool --thickness 6mm --from 93C",
        "plan DEMO",
        "check DEMO",
        "starter",
        "starter new.toml",
        "tables",
        "diary add ice --mould fox --at 20:00",
        "diary look --seen 20:00@wet",
        "diary show",
        "diary fit",
        "serve --port 0",
        "completions bash",
        "man",
        "man ice",
    ] {
        for now in ["soon", "20:00", "2026-02-30T08:00:00", ""] {
            let now = format!("--now={now}");
            let words = command.split(' ').map(|it| it.replace("DEMO", demo).replace('@', " "));
            let words: Vec<String> = words.chain([now.clone()]).collect();
            let words: Vec<&str> = words.iter().map(String::as_str).collect();
            let ran = Run::thrifty(QUICK_S, &words).exits(2);
            assert!(ran.stderr.contains("--now: "), "{command} {now}: {}", ran.stderr);
            assert_eq!(ran.stdout, "", "{command} {now}");
            assert!(!ran.has("new.toml"), "{command} {now} wrote a file");
        }
    }
}

#[test]
fn times_far_away() {
    for (arguments, says) in [
        (vec!["ice", "--mould", "fox", "--by", "2028-01-01T00:00:00Z"], "8760"),
        (vec!["ice", "--mould", "fox", "--by", "9999-12-31T23:59:59Z"], "is not a time"),
        (vec!["ice", "--mould", "fox", "--at", "+262142-12-31T23:59:59"], "is not a time"),
        (vec!["thaw", "--mould", "fox", "--at", "1"], "unexpected"),
    ] {
        refused(&arguments, &[says]);
    }
    for now in ["+262142-12-31T23:59:59", "9999-12-31T23:59:59Z", "1899-12-31T00:00:00"] {
        for command in [vec!["ice", "--mould", "fox", "--by", "07:00"], vec!["plan", "x.toml"]] {
            Run::of(&command).with(&[format!("--now={now}")]).with_demos().exits(2);
        }
    }
    let demo = concat!(env!("CARGO_MANIFEST_DIR"), "/demo/forest-fortnight.toml");
    let early = ["plan", demo, "--no-diary", "--now", "1970-07-20T20:00:00Z"];
    let message = Run::of(&early).exits(2).stderr;
    for say in ["2026-12-18", "20605 days", "1970-07-20", "at most 400", "or the clock"] {
        assert!(message.contains(say), "{say}: {message}");
    }
}

/// A film of water metres wide takes millions of steps of its thin cells.
#[test]
fn a_block_too_thin_for_its_width() {
    for shape in [["--round", "2800x5mm"], ["--ring", "1000x990x1000mm"]] {
        // It took minutes; the runs until the first one is given up are made.
        let message = Run::thrifty(60, &["ice", "--no-diary"]).with(&shape).exits(2).stderr;
        assert!(
            message.contains("too long to compute") && message.contains("thousand steps, the most"),
            "{message}"
        );
    }
    // The most blocks that are answered, in the smallest freezer.
    assert!(solidby(&["ice", "--mould", "fox", "--count", "60", "--no-diary"]).code == Some(0));
}

const HEAD: &str = "title = \"a\"\ntimezone = \"America/Denver\"\n[hours]\n\
    home = [\"daily 06:15-07:15\", \"daily 18:30-21:30\"]\nclass = [\"Mon-Fri 08:00-12:30\"]\n";
const GROUP: &str = "[[group]]\nname = \"g\"\ndays = \"Mon-Fri\"\nchildren = 8\n";
const COLD: &str = "[[freezer]]\nname = \"f\"\nkind = \"chest\"\nholds = 40\n\
    [[mould]]\nname = \"m\"\nvolume = \"100 mL\"\ndepth = \"30 mm\"\nown = 4\n";
const STOVE: &str = "[[oven]]\nname = \"o\"\ntray = \"10 x 10 cm\"\n";

fn ice(sessions: &str) -> String {
    format!(
        "{HEAD}{GROUP}{COLD}[[ice]]\nname = \"i\"\nmould = \"m\"\nfreezer = \"f\"\nblocks = 2\n\
         session = [{sessions}]\n"
    )
}

fn day(n: usize) -> chrono::NaiveDate {
    let class_days = chrono::NaiveDate::from_ymd_opt(2026, 12, 1).unwrap().iter_days();
    let mut class_days =
        class_days.filter(|day| chrono::Datelike::weekday(day).number_from_monday() < 6);
    class_days.nth(n).unwrap()
}

fn sessions(count: usize) -> String {
    let one = |n| format!("{{ group = \"g\", at = {}T09:30:00 }},", day(n));
    (0..count).map(one).collect()
}

/// The messages for a plan file, and that they come quickly.
fn faults(text: &str) -> Vec<String> {
    let began = computed_s();
    let faults = planfile::read(text).expect_err("a fault");
    let took = computed_s() - began;
    assert!(took < f64::from(QUICK_S), "{took} s for {}…", &text[..80]);
    faults.iter().map(|it| format!("{} {}", it.message(), it.help().unwrap_or_default())).collect()
}

#[test]
fn lists_of_a_plan_file() {
    let many = |entry: &str, count: usize| -> String {
        (0..count).map(|n| entry.replace('#', &n.to_string())).collect()
    };
    let good = ice(&sessions(1));
    for (key, text, found, most) in [
        (
            "group",
            good.clone() + &many("[[group]]\nname='x#'\ndays='Mon'\nchildren=1\n", 100),
            101,
            100,
        ),
        ("freezer", good.clone() + &many("[[freezer]]\nname='x#'\nkind='chest'\n", 100), 101, 100),
        ("oven", good.clone() + &many("[[oven]]\nname='x#'\ntray='9x9 cm'\n", 101), 101, 100),
        ("theme", good.clone() + &many("[[theme]]\nname='x#'\nactivities=['i']\n", 101), 101, 100),
        ("ornament", good.clone() + &many("[[ornament]]\nname='x#'\n", 401), 401, 400),
        ("ice", good.clone() + &many("[[ice]]\nname='x#'\n", 400), 401, 400),
        ("session", ice(&sessions(401)), 401, 400),
        ("done", "done = [".to_owned() + &many("'#',", 5001) + "]\n" + &good, 5001, 5000),
        (
            "closed",
            good.replace("[hours]", &format!("[hours]\nclosed=[{}]", many("'2026-12-05',", 101))),
            101,
            100,
        ),
        (
            "hours",
            good.replace("[hours]", &format!("[hours]\n{}", many("x# = []\n", 99))),
            101,
            100,
        ),
        (
            "home",
            good.replace("home = [", &format!("home = [{}", many("'daily 08:00-09:00',", 99))),
            101,
            100,
        ),
        (
            "activities",
            good.clone() + "[[theme]]\nname='x'\nactivities=[" + &many("'i',", 101) + "]\n",
            101,
            100,
        ),
    ] {
        let told = faults(&text);
        let wanted = [format!("there are {found} of `{key}`"), format!("at most {most}")];
        let says = |it: &String| wanted.iter().all(|part| it.contains(part));
        assert!(told.iter().any(says), "{key}: {:?}", &told[..told.len().min(5)]);
    }
}

/// Comparing two names costs the product of their lengths.
#[test]
fn names_as_long_as_a_file() {
    let long = "a".repeat(400_000);
    for text in [
        ice(&sessions(1)).replace("America/Denver", &long),
        ice(&sessions(1))
            .replace("name = \"g\"", &format!("name = \"{long}b\""))
            .replace("group = \"g\"", &format!("group = \"{long}\"")),
        format!("{long} = 1\n{long}x = 2\n"),
    ] {
        assert!(!faults(&text).is_empty());
    }
}

#[test]
fn no_more_faults_are_told_than_anybody_mends() {
    let text = ice(&"{ group = \"nobody\", at = 2026-12-06T09:30:00 },".repeat(400));
    let told = faults(&(text + &"[[theme]]\n".repeat(100)));
    assert_eq!(told.len(), 500);
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("plan.toml");
    fs::write(&path, "[[ornament]]\n".repeat(400)).unwrap();
    refused(&["check", path.to_str().unwrap()], &["at least 500 things to mend", "and 450 more"]);
    // One line of a mebibyte is not shown whole.
    fs::write(&path, format!("title = [{}]\n", "1, ".repeat(300_000))).unwrap();
    refused(&["check", path.to_str().unwrap()], &["`title` is a list"]);
}

fn not_laid(text: &str) -> String {
    let plan = planfile::read(text).unwrap_or_else(|faults| panic!("{faults:?}"));
    let began = computed_s();
    let now = "2026-11-27T08:00:00Z".parse().unwrap();
    let error =
        solidby::report::plan::lay_out(&plan, now, &Physics::default()).expect_err("too much");
    let took = computed_s() - began;
    assert!(took < f64::from(QUICK_S), "{took} s: {error}");
    error.to_string()
}

#[test]
fn steps_pieces_and_days_of_a_plan() {
    let far = ice("{ group = \"g\", at = 2028-01-03T09:30:00 }");
    let message = not_laid(&far);
    assert!(message.contains("402 days from now") && message.contains("at most 400"), "{message}");
    let pieces = |each: u32| {
        format!(
            "{HEAD}{GROUP}{STOVE}[[ornament]]\nname = \"x\"\nshape = \"round 75 mm\"\n\
             thickness = \"6 mm\"\nrecipe = \"two-one-one\"\ngroups = [{}]\neach = {each}\n\
             method = \"oven\"\noven = \"o\"\nat = \"93 C\"\ngive = 2026-12-18\n",
            "\"g\",".repeat(6)
        )
    };
    let message = not_laid(&pieces(50));
    assert!(message.contains("is 2400 pieces; a batch has at most 2000"), "{message}");
    // One piece at a time in a small oven.
    let message = not_laid(&pieces(40));
    assert!(message.contains("at most 3500 are planned at once"), "{message}");
}

/// So many sessions are refused before a search that would take its memory for them: it counts
/// three steps of each.
#[test]
fn more_sessions_than_steps_can_be_planned() {
    let list = sessions(200);
    let more = (2..7).map(|n| {
        format!(
            "[[ice]]\nname = \"i{n}\"\nmould = \"m\"\nfreezer = \"f\"\nblocks = 2\n\
             session = [{list}]\n"
        )
    });
    let message = not_laid(&format!("{}{}", ice(&list), more.collect::<String>()));
    assert!(message.contains("3600") && message.contains("at most 3500"), "{message}");
}

/// Every session of a month is too early in the day: only the first are explained.
#[test]
fn many_aims_that_cannot_be_met() {
    let text = ice(&sessions(20))
        .replace("T09:30", "T08:05")
        .replace("blocks = 2", "blocks = 2\ntravel = \"11 h\"");
    let plan = planfile::read(&text).unwrap();
    let began = computed_s();
    let now = "2026-11-27T08:00:00Z".parse().unwrap();
    let schedule = solidby::report::plan::lay_out(&plan, now, &Physics::default()).unwrap();
    let took = computed_s() - began;
    println!("{} problems after {took} s of computing", schedule.problems.len());
    assert_eq!(schedule.problems.len(), 20);
    let later = |it: &&prep::schedule::Problem| it.because.iter().any(|b| b.starts_with("only 8"));
    assert_eq!(schedule.problems.iter().filter(later).count(), 12);
    assert!(took < 30.0, "{took} s");
}

#[test]
fn notes_and_looks_of_a_diary() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("diary.toml");
    let diary = path.to_str().unwrap();
    let note = "[[note]]\nkind = \"ice\"\nat = 2026-11-06T20:00:00Z\nround = \"80x50 mm\"\n";
    fs::write(&path, note.repeat(1001)).unwrap();
    refused(&["diary", "show", "--diary", diary], &["1001 notes", "at most 1000"]);
    fs::write(&path, note.repeat(1000)).unwrap();
    let add = [
        "diary",
        "add",
        "ice",
        "--round",
        "80x50 mm",
        "--at",
        "yesterday 20:00",
        "--seen",
        "after 4 h wet",
        "--diary",
        diary,
    ];
    refused(&add, &["1001 notes", "at most 1000"]);
    assert_eq!(fs::read_to_string(&path).unwrap(), note.repeat(1000), "left as it was");
    fs::write(&path, format!("{note}seen = [{}]\n", "\"after 1 h wet\",".repeat(41))).unwrap();
    refused(&["diary", "show", "--diary", diary], &["note 1", "41 looks", "at most 40"]);
    // Each freezer costs runs of the solver, each by another name.
    let called = |n: usize| format!("{note}called = \"kitchen {n}\"\n");
    fs::write(&path, (0..400).map(called).collect::<String>()).unwrap();
    for command in ["show", "fit"] {
        refused(&["diary", command, "--diary", diary], &["400 freezers", "at most 40", "--called"]);
    }
    let one = solidby(&["diary", "show", "--called", "kitchen 399", "--diary", diary]);
    assert!(one.code == Some(0) && one.stdout.contains("“kitchen 399”"), "{}", one.stderr);
    // Of all that may be there the newest hundred teach.
    let seen = "seen = [\"after 4 h wet\", \"after 9 h solid\"]\n";
    fs::write(&path, format!("{note}{seen}").repeat(120)).unwrap();
    let words = solidby(&["ice", "--round", "80x50 mm", "--diary", diary]).stdout;
    assert!(words.contains("Learnt from 100 notes"), "{words}");
}

#[test]
fn files_without_an_end() {
    refused(&["check", "/dev/zero"], &["1048577 bytes", "at most 1048576"]);
    refused(&["ice", "--outline", "/dev/zero"], &["at most 1048576"]);
    refused(&["diary", "show", "--diary", "/dev/zero"], &["not an ordinary file"]);
    let folder = tempfile::tempdir().unwrap();
    let demo = &demo_in(folder.path());
    refused(&["plan", demo, "--no-diary", "--since", "/dev/zero"], &["at most 33554432"]);
    let path = folder.path().join("prep.ics");
    fs::File::create(&path).unwrap().set_len((32 << 20) + 1).unwrap();
    let output = path.to_str().unwrap();
    refused(&["plan", demo, "--no-diary", "--ics", output], &["longer than any", "another name"]);
}

/// A form of 20,000 groups has 42 MB; the text has what can be mended.
#[test]
fn a_plan_of_more_than_a_form_can_show() {
    let page = Page::start(&["--no-diary"]);
    assert_eq!(page.post("plan/start", "").status, 303);
    let text = encoded(&"[[group]]\n".repeat(20_000));
    assert_eq!(page.post("plan/text", &format!("revision=0&text={text}")).status, 303);
    let reply = page.get("plan");
    let words = shown(&reply.text());
    assert!(words.contains("there are 20000 of `group`"), "{}", &words[..500]);
    assert!(reply.body.len() < 1 << 20, "{} bytes", reply.body.len());
}

/// A pipe that nobody writes to is neither listed nor waited for.
#[cfg(unix)]
#[test]
fn a_pipe_in_the_folder() {
    let folder = folder();
    let pipe = folder.path().join("pipe.toml");
    assert!(std::process::Command::new("mkfifo").arg(&pipe).status().unwrap().success());
    let page = Page::start_in(folder.path(), &["--no-diary"]);
    assert!(!page.get("plan").text().contains("pipe.toml"));
    let reply = page.post("plan/open", "path=pipe.toml");
    assert!(shown(&reply.text()).contains("pipe.toml cannot be read"), "{}", shown(&reply.text()));
    let name = pipe.to_str().unwrap();
    let demo = concat!(env!("CARGO_MANIFEST_DIR"), "/demo/forest-fortnight.toml");
    refused(&["diary", "show", "--diary", name], &["not an ordinary file"]);
    refused(&["plan", demo, "--no-diary", "--ics", name], &["not an ordinary file"]);
    refused(&["ice", "--mould", "fox", "--no-diary", "--chart", name], &["not an ordinary file"]);
}
