//! The seam to the outside: a clock that is wrong, zones with clock changes, files that
//! are in the way.
#![cfg(unix)]

use std::{
    fs, io,
    io::{Read, Write},
    net::{TcpListener, TcpStream},
    os::unix::fs::{MetadataExt, PermissionsExt, chown},
    path::{Path, PathBuf},
    process::{Child, Command, Stdio},
    sync::{Arc, Mutex},
    thread,
    time::Duration,
};

use chrono::{DateTime, Utc};
use solidby::{
    cli,
    host::{Host, Native, Over, Source, StoreError},
};

use crate::run::{Run, program};

const DEMO: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/demo/forest-fortnight.toml");

/// This computer with a clock of the test, in UTC, and a key that is known.
struct Faked(Mutex<DateTime<Utc>>);

impl Faked {
    fn at(time: &str) -> Arc<Self> {
        Arc::new(Self(Mutex::new(time.parse().unwrap())))
    }
}

impl Host for Faked {
    fn now(&self) -> DateTime<Utc> {
        *self.0.lock().unwrap()
    }

    fn zone(&self) -> Option<String> {
        None
    }

    fn home(&self) -> Option<PathBuf> {
        Some(Path::new(env!("CARGO_TARGET_TMPDIR")).join("nobody"))
    }

    fn entropy(&self) -> io::Result<[u8; 16]> {
        Ok([0; 16])
    }

    fn read(
        &self,
        path: &Path,
        most: usize,
        source: Source,
    ) -> Result<Option<Vec<u8>>, StoreError> {
        Native.read(path, most, source)
    }

    fn write(&self, path: &Path, content: &[u8], over: Over<'_>) -> Result<(), StoreError> {
        Native.write(path, content, over)
    }

    fn make_folder(&self, path: &Path) -> Result<(), StoreError> {
        Native.make_folder(path)
    }

    fn list(&self, folder: &Path) -> Vec<String> {
        Native.list(folder)
    }

    fn real(&self, path: &Path) -> PathBuf {
        Native.real(path)
    }

    fn version(&self, path: &Path) -> Option<String> {
        Native.version(path)
    }
}

/// Exit code and words of a command line.
fn run(host: &Arc<Faked>, line: &str) -> (u8, String) {
    let host: Arc<dyn Host> = host.clone();
    let words = format!("solidby {}", line.replace("DEMO", DEMO));
    match cli::run(&host, words.split(' ').map(Into::into)) {
        Ok(reply) => (0, reply.text),
        Err(failure) => (failure.code(), failure.text().to_owned()),
    }
}

const COMMANDS: [&str; 12] = [
    "ice --mould fox --no-diary",
    "dough --thickness 6mm --oven 93C --no-diary",
    "thaw --mould fox",
    "cool --thickness 6mm --from 93C",
    "plan DEMO --no-diary",
    "check DEMO",
    "starter",
    "tables moulds",
    "diary show",
    "completions bash",
    "man",
    "serve --no-diary",
];

#[test]
fn a_clock_that_is_centuries_wrong_is_refused_by_every_command() {
    for time in ["1969-12-31T23:59:59Z", "2200-01-01T00:00:00Z", "+262142-12-31T23:59:59Z"] {
        let host = Faked::at(time);
        for line in COMMANDS {
            let (code, words) = run(&host, line);
            assert_eq!(code, 1, "{line} at {time}: {words}");
            assert!(words.contains("the clock says"), "{line} at {time}: {words}");
        }
    }
    let host = Faked::at("1970-01-01T00:00:00Z");
    assert_eq!(run(&host, "ice --mould fox --no-diary").0, 0);
    for time in ["1969-12-31T20:00:00Z", "2200-01-02T00:00:00", "soon", "+262142-12-31T23:59:59"] {
        for line in COMMANDS {
            let (code, words) = run(&host, &format!("{line} --now {time}"));
            assert_eq!(code, 2, "{line} --now {time}: {words}");
            assert!(words.contains("between 1970 and 2199"), "{line} --now {time}: {words}");
        }
    }
}

#[test]
fn a_clock_that_goes_wrong_is_said_by_the_page() {
    let host = Faked::at("2026-12-06T18:30:00Z");
    let port = TcpListener::bind(("127.0.0.1", 0)).unwrap().local_addr().unwrap().port();
    let served = host.clone();
    thread::spawn(move || run(&served, &format!("serve --no-diary --port {port}")));
    let get = || {
        let mut stream = loop {
            match TcpStream::connect(("127.0.0.1", port)) {
                Ok(stream) => break stream,
                Err(_) => thread::sleep(Duration::from_millis(5)),
            }
        };
        let key = "0".repeat(32);
        write!(
            stream,
            "GET /{key}/ice HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nConnection: close\r\n\r\n"
        )
        .unwrap();
        let mut page = String::new();
        stream.read_to_string(&mut page).unwrap();
        page
    };
    assert!(get().starts_with("HTTP/1.1 200"));
    *host.0.lock().unwrap() = "2300-01-01T00:00:00Z".parse().unwrap();
    let page = get();
    assert!(page.starts_with("HTTP/1.1 500") && page.contains("the clock says"), "{page}");
}

/// When to fill for 07:00 next morning, asked at six in the evening in New York.
fn fill_by(evening: &str, more: &[&str]) -> DateTime<chrono::FixedOffset> {
    let question = ["ice", "--mould", "fox", "--no-diary", "--by", "tomorrow 07:00", "--json"];
    let now = format!("{evening}T18:00:00");
    let answer = Run::of(&question).now(&now).env("TZ", "America/New_York").with(more);
    let text = answer.succeeds().json()["fill_by"].as_str().unwrap().to_owned();
    DateTime::parse_from_rfc3339(&text).unwrap()
}

#[test]
fn a_night_with_a_clock_change_is_an_hour_shorter_or_longer() {
    // IANA time zone database: America/New_York changes on 2027-03-14 and 2027-11-07.
    for (usual, changed, hours) in
        [("2027-03-06", "2027-03-13", -1), ("2027-10-30", "2027-11-06", 1)]
    {
        let after_midnight = |evening: &str| {
            let day: chrono::NaiveDate = evening.parse().unwrap();
            fill_by(evening, &[]).naive_local() - day.and_time(chrono::NaiveTime::MIN)
        };
        let apart = after_midnight(changed) - after_midnight(usual);
        assert_eq!(apart.num_minutes(), 60 * hours, "{changed}");
    }
    // The same where the zone is said, whatever the computer's is.
    let there = fill_by("2027-03-13", &["--zone", "America/Denver"]);
    assert_eq!(there.naive_local(), fill_by("2027-03-13", &[]).naive_local());
    assert_eq!(there.offset().to_string(), "-07:00");
}

#[test]
fn a_note_on_a_night_with_a_clock_change_counts_its_hours() {
    let add = ["diary", "add", "ice", "--mould", "fox", "--diary", "diary.toml"];
    let told = ["--at", "yesterday 20:00", "--seen", "06:30 wet"];
    let added = Run::of(&add).with(&told).now("2027-03-14T12:00:00").env("TZ", "America/New_York");
    let text = added.succeeds().written("diary.toml");
    assert!(text.contains("at = 2027-03-13T20:00:00-05:00"), "{text}");
    assert!(text.contains("2027-03-14T06:30:00-04:00 wet"), "{text}");
}

#[test]
fn zones_and_times_that_are_not_are_refused() {
    let ice = ["ice", "--mould", "fox", "--no-diary"];
    let near = Run::of(&ice).with(&["--zone", "America/Denvar"]).exits(2).stderr;
    assert!(near.contains("did you mean “America/Denver”"), "{near}");
    let near = Run::of(&ice).env("TZ", "Europe/Viena").exits(2).stderr;
    assert!(near.contains("did you mean “Europe/Vienna”"), "{near}");
    let skipped = Run::of(&ice)
        .with(&["--by", "02:30", "--zone", "America/New_York"])
        .now("2027-03-13T20:00:00")
        .exits(2)
        .stderr;
    assert!(skipped.contains("01:59") && skipped.contains("03:00"), "{skipped}");
    let american = Run::of(&ice)
        .with(&["--by", "2:30 am", "--zone", "America/New_York", "--units", "us"])
        .now("2027-03-13T20:00:00")
        .exits(2)
        .stderr;
    let words = "no 2:30 am on Sun Mar 14 2027: the clocks go from 1:59 am to 3:00 am";
    assert!(american.contains(words), "{american}");
    let two = ice.iter().chain(&["--by", "12/9 07:00"]).copied().collect::<Vec<_>>();
    let of = |units| {
        let run = Run::of(&two).with(&["--units", units]).now("2026-12-06T20:00:00Z");
        run.exits(2).stderr
    };
    assert!(of("metric").contains("“9 Dec 07:00” or “12 Sep 07:00”"), "{}", of("metric"));
    assert!(of("us").contains("“Dec 9 7:00 am” or “Sep 12 7:00 am”"), "{}", of("us"));
}

#[test]
fn a_bare_start_is_the_one_that_was_meant() {
    let ask = |now: &str, more: &[&str]| {
        let ice = ["ice", "--mould", "fox", "--no-diary", "--at", "20:00"];
        Run::of(&ice).with(more).now(now).succeeds().stdout
    };
    assert!(ask("2026-12-06T20:05:00Z", &[]).contains("filled Sun 6 Dec 20:00"));
    let asked = ask("2026-12-06T20:05:00Z", &["--by", "06:00"]);
    assert!(asked.contains("Firm by Mon 7 Dec 06:00, filled Sun 6 Dec 20:00"), "{asked}");
    assert!(asked.contains("Sun 6 Dec 20:00"), "{asked}");
}

#[test]
fn no_output_takes_the_place_of_an_input_or_of_another_output() {
    let folder = tempfile::tempdir().unwrap();
    let plan = folder.path().join("plan.toml");
    let text = fs::read_to_string(DEMO).unwrap();
    fs::write(&plan, &text).unwrap();
    std::os::unix::fs::symlink(&plan, folder.path().join("link")).unwrap();
    fs::write(folder.path().join("diary.toml"), "").unwrap();
    let base = ["plan", "plan.toml", "--force", "--diary", "diary.toml"];
    for more in [
        &["--ics", "plan.toml"][..],
        &["--sheet", "./plan.toml"],
        &["--ics-tasks", "link"],
        &["--ics", "diary.toml"],
        &["--ics", "out.ics", "--ics-tasks", "./out.ics"],
        &["--ics", "out", "--sheet", "out"],
    ] {
        let run = Run::of(&base).with(more).now("2026-11-27T08:00:00").inside(folder.path());
        let words = run.exits(2).stderr;
        assert!(words.contains("of the same command"), "{more:?}: {words}");
        assert_eq!(fs::read_to_string(&plan).unwrap(), text, "{more:?}");
        assert!(!folder.path().join("out.ics").exists() && !folder.path().join("out").exists());
    }
    let chart = ["ice", "--outline", "pan.toml", "--chart", "pan.toml", "--force", "--no-diary"];
    let pan =
        "points = [[0, 0], [12, 0], [12, 12], [0, 12]]\nsize = \"12 cm\"\ndepth = \"40 mm\"\n";
    let words = Run::of(&chart).file("pan.toml", pan).exits(2).stderr;
    assert!(words.contains("of the same command"), "{words}");
}

/// Its exit code; it must end by itself.
fn code_of(mut child: Child) -> Option<i32> {
    for _ in 0..6000 {
        if let Some(status) = child.try_wait().unwrap() {
            return status.code();
        }
        thread::sleep(Duration::from_millis(10));
    }
    child.kill().unwrap();
    panic!("it hangs");
}

#[test]
fn a_pipe_in_the_place_of_a_file_keeps_nobody_waiting() {
    let folder = tempfile::tempdir().unwrap();
    let pipe = folder.path().join("pipe.toml");
    assert!(Command::new("mkfifo").arg(&pipe).status().unwrap().success());
    for line in [
        "diary add ice --mould fox --at 10:00 --diary pipe.toml",
        "diary show --diary pipe.toml",
        "ice --mould fox --diary pipe.toml",
        "ice --mould fox --no-diary --force --chart pipe.toml",
    ] {
        let arguments: Vec<&str> = line.split(' ').collect();
        let mut command = program(&arguments);
        command.current_dir(folder.path()).stdout(Stdio::null()).stderr(Stdio::null());
        assert_eq!(code_of(command.spawn().unwrap()), Some(2), "{line}");
        assert!(!fs::metadata(&pipe).unwrap().is_file(), "{line}");
    }
}

#[test]
fn mode_and_owner_are_kept_and_what_is_read_only_is_left_alone() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("ice.svg");
    let draw = || {
        let line = ["ice", "--mould", "fox", "--no-diary", "--chart", "ice.svg"];
        Run::of(&line).now("2026-12-06T18:00:00Z").inside(folder.path())
    };
    draw().succeeds();
    fs::set_permissions(&out, fs::Permissions::from_mode(0o640)).unwrap();
    // Only an administrator can give a file away.
    let given = chown(&out, Some(12_345), Some(12_345)).is_ok();
    let before = fs::metadata(&out).unwrap();
    draw().succeeds();
    let after = fs::metadata(&out).unwrap();
    assert_ne!(before.ino(), after.ino(), "written anew");
    let kept = |about: &fs::Metadata| (about.mode(), about.uid(), about.gid());
    assert_eq!(kept(&before), kept(&after), "given away: {given}");
    fs::set_permissions(&out, fs::Permissions::from_mode(0o444)).unwrap();
    let words = draw().exits(2).stderr;
    assert!(words.contains("read-only"), "{words}");
    assert_eq!(fs::metadata(&out).unwrap().ino(), after.ino());
}

#[test]
fn a_link_that_leads_nowhere_is_left_alone() {
    let folder = tempfile::tempdir().unwrap();
    let link = folder.path().join("plan.toml");
    std::os::unix::fs::symlink("nowhere/plan.toml", &link).unwrap();
    let words = Run::of(&["starter", "plan.toml"]).inside(folder.path()).exits(2).stderr;
    assert!(words.contains("leads nowhere"), "{words}");
    assert!(link.is_symlink());
}

#[test]
fn what_a_killed_writer_has_left_is_gone_at_the_next_start_and_nothing_else() {
    let folder = tempfile::tempdir().unwrap();
    fs::copy(DEMO, folder.path().join("plan.toml")).unwrap();
    let left = [".solidby-4242.tmp", ".solidby-mine.tmp", ".tmpAbC123", "plan.tmp"];
    for name in left {
        fs::write(folder.path().join(name), "half").unwrap();
    }
    let page = crate::page::Page::start(&[
        folder.path().join("plan.toml").to_str().unwrap(),
        "--no-diary",
    ]);
    let there = |name: &&str| folder.path().join(name).exists();
    assert_eq!(left.iter().filter(|name| there(name)).count(), 3);
    assert!(!there(&left[0]));
    drop(page);
}
