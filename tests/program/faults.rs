//! What goes wrong around the program: the disk, the terminal, the clock. The
//! message is clear, the exit code right, nothing is half-written or left over.
#![cfg(unix)]

use std::{
    ffi::OsStr,
    fs::{self, File},
    io::Read,
    os::unix::{
        fs::{MetadataExt, symlink},
        net::UnixListener,
    },
    path::{Path, PathBuf},
    process::{Command, Output, Stdio},
    time::Duration,
};

use crate::run::{demo_in, program};

const DEMO: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/demo/forest-fortnight.toml");
const PROGRAM: &str = env!("CARGO_BIN_EXE_solidby");

fn solidby(arguments: &[&str]) -> Command {
    let mut command = program(&[&["--now", "2026-11-27T08:00:00Z"], arguments].concat());
    command.stdin(Stdio::null());
    command
}

fn done(mut command: Command) -> (Option<i32>, String, String) {
    told(&command.output().unwrap())
}

fn told(output: &Output) -> (Option<i32>, String, String) {
    let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
    let message = text(&output.stderr);
    assert!(!message.contains("panicked"), "{message}");
    (output.status.code(), text(&output.stdout), message)
}

/// Every way to write a file: arguments without the file, and a word of what it is.
fn writers(folder: &Path) -> Vec<(Vec<String>, PathBuf)> {
    // Somewhere else: a plan is kept beside its file.
    let plans = Path::new(env!("CARGO_TARGET_TMPDIR")).join(folder.file_name().unwrap_or_default());
    fs::create_dir_all(&plans).unwrap();
    let demo = demo_in(&plans);
    let made = |arguments: &str, name: &str| {
        let words = arguments.split(' ').map(|word| word.replace("DEMO", &demo)).collect();
        (words, folder.join(name))
    };
    vec![
        made("plan DEMO --no-diary --ics", "prep.ics"),
        made("plan DEMO --no-diary --ics-tasks", "tasks.ics"),
        made("plan DEMO --no-diary --sheet", "sheet.html"),
        made("ice --mould fox --by 20:00 --no-diary --chart", "ice.svg"),
        made("dough --thickness 6mm --oven 93C --no-diary --chart", "dough.svg"),
        made("starter", "plan.toml"),
        made(
            "diary add ice --round 80x50mm --at 2026-11-26T20:00 --seen 23:00@wet --diary",
            "diary.toml",
        ),
    ]
}

/// A space in an argument is written `@` above.
fn run(arguments: &[String], out: &Path) -> Command {
    let words: Vec<String> = arguments.iter().map(|word| word.replace('@', " ")).collect();
    let mut command = solidby(&words.iter().map(String::as_str).collect::<Vec<_>>());
    command.arg(out);
    command
}

fn names(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned())
        .collect();
    names.sort();
    names
}

#[test]
fn stdout_is_full() {
    for arguments in [vec!["ice", "--mould", "fox", "--no-diary"], vec!["plan", DEMO, "--no-diary"]]
    {
        let mut command = solidby(&arguments);
        command.stdout(File::options().write(true).open("/dev/full").unwrap());
        let (code, _, message) = done(command);
        assert_eq!(code, Some(1), "{message}");
        assert!(message.contains("could not be printed: No space left on device"), "{message}");
    }
}

/// Nobody can be told, but the exit code still says it.
#[test]
fn stderr_is_full_or_closed() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("prep.ics");
    let full = || File::options().write(true).open("/dev/full").unwrap();
    let demo = demo_in(folder.path());
    let mut command = solidby(&["plan", &demo, "--no-diary", "--ics"]);
    command.arg(&out).stderr(full()).stdout(Stdio::null());
    assert_eq!(command.status().unwrap().code(), Some(0));
    assert!(fs::read_to_string(&out).unwrap().ends_with("END:VCALENDAR\r\n"));
    let mut command = solidby(&["check", "nowhere.toml"]);
    assert_eq!(command.stderr(full()).status().unwrap().code(), Some(2));
    for closed in ["2>&-", ">&- 2>&-", "<&- >&- 2>&-"] {
        let line = format!("'{PROGRAM}' ice --mould fox --no-diary {closed}");
        let status = Command::new("sh").args(["-c", &line]).stdout(Stdio::null()).status().unwrap();
        assert_eq!(status.code(), Some(0), "{closed}");
    }
}

/// A real disk that is full (a small tmpfs) where that can be mounted, and the
/// limit on the size of a file where it cannot.
#[test]
fn the_disk_is_full() {
    let folder = tempfile::tempdir().unwrap();
    let disk = folder.path().join("disk");
    fs::create_dir(&disk).unwrap();
    let mounted = Command::new("mount")
        .args(["-t", "tmpfs", "-o", "size=4k", "tmpfs"])
        .arg(&disk)
        .stderr(Stdio::null())
        .status()
        .is_ok_and(|status| status.success());
    if mounted {
        let _unmounted = Unmounted(disk.clone());
        for (arguments, out) in writers(&disk) {
            // A starter and a diary of one note fit into the one page.
            let filler = disk.join("filler");
            fs::write(&filler, [b'x'; 4096]).unwrap();
            let before = names(&disk);
            let (code, _, message) = done(run(&arguments, &out));
            assert_eq!(code, Some(1), "{arguments:?}: {message}");
            assert!(
                message.contains("cannot be written: No space left"),
                "{arguments:?}: {message}"
            );
            let mut left = names(&disk);
            // The lock of a diary stays: it is empty, and removing it lets two writers in.
            left.retain(|name| !name.ends_with(".lock"));
            assert_eq!(left, before, "{arguments:?}");
            fs::remove_file(&filler).unwrap();
        }
    }
    println!("a full disk {}", if mounted { "was mounted" } else { "could not be mounted" });
    too_long(folder.path());
}

struct Unmounted(PathBuf);

impl Drop for Unmounted {
    fn drop(&mut self) {
        let _ = Command::new("umount").arg(&self.0).status();
    }
}

/// `ulimit -f 1`: no file longer than one block; the signal is ignored, so that
/// the write fails as on a full disk.
fn too_long(folder: &Path) {
    let folder = folder.join("limited");
    fs::create_dir(&folder).unwrap();
    for (arguments, out) in writers(&folder) {
        if arguments[0] == "diary" || arguments[0] == "starter" {
            fs::write(&out, format!("{}\n", "#".repeat(1500))).unwrap();
        }
        let before = names(&folder);
        let old = fs::read(&out).ok();
        let mut limited = Command::new("sh");
        limited.args(["-c", "trap '' XFSZ; ulimit -f 1; exec \"$@\"", "sh", PROGRAM]);
        limited.args(["--now", "2026-11-27T08:00:00Z"]);
        limited.args(arguments.iter().map(|word| word.replace('@', " "))).arg(&out);
        if arguments[0] == "starter" {
            limited.arg("--force");
        }
        let (code, _, message) = done(limited);
        assert_eq!(code, Some(1), "{arguments:?}: {message}");
        assert!(message.contains("cannot be written: File too large"), "{arguments:?}: {message}");
        let mut left = names(&folder);
        left.retain(|name| !name.ends_with(".lock"));
        assert_eq!((left, fs::read(&out).ok()), (before, old), "{arguments:?}");
    }
}

/// Root may write to a folder of mode 555, but nobody to /proc or /sys.
#[test]
fn the_folder_is_read_only_or_missing() {
    let nowhere = tempfile::tempdir().unwrap().path().join("gone");
    for (arguments, _) in writers(Path::new("/")) {
        for folder in ["/proc", "/sys"] {
            let (code, _, message) = done(run(&arguments, &Path::new(folder).join("out.file")));
            assert_eq!(code, Some(1), "{arguments:?} in {folder}: {message}");
            assert!(message.contains("out.file cannot be written: "), "{message}");
        }
        if arguments[0] != "diary" {
            let (code, _, message) = done(run(&arguments, &nowhere.join("out.file")));
            assert_eq!(code, Some(1), "{arguments:?}: {message}");
            assert!(message.contains("No such file or directory"), "{message}");
            assert!(!nowhere.exists());
        }
    }
}

/// As an ordinary user, where this test runs as one or can become one.
#[test]
fn the_folder_may_not_be_written() {
    use std::os::unix::fs::PermissionsExt;
    let folder = tempfile::tempdir().unwrap();
    fs::set_permissions(folder.path(), fs::Permissions::from_mode(0o555)).unwrap();
    let line = format!("'{PROGRAM}' starter '{}/plan.toml'", folder.path().display());
    let mut plain = Command::new("setpriv");
    plain.args(["--reuid=65534", "--clear-groups", "sh", "-c", &line]);
    let Ok(output) = plain.output() else { return };
    let (code, _, message) = told(&output);
    if !message.starts_with("error: ") {
        return println!("could not become another user: {message}");
    }
    assert_eq!(code, Some(1), "{message}");
    assert!(message.contains("Permission denied"), "{message}");
    assert_eq!(names(folder.path()), Vec::<String>::new());
}

#[test]
fn the_output_is_a_folder_a_device_or_a_link() {
    let folder = tempfile::tempdir().unwrap();
    let inside = folder.path().join("inside");
    fs::create_dir(&inside).unwrap();
    // A socket of ours: a program that is wrong here would take one of the system's away.
    let device = folder.path().join("device");
    let _listener = UnixListener::bind(&device).unwrap();
    for (arguments, out) in writers(folder.path()) {
        let (code, _, message) = done(run(&arguments, &inside));
        assert_eq!(code, Some(2), "{arguments:?}: {message}");
        assert!(message.contains("is a folder") || message.contains("there already"), "{message}");
        let (code, _, message) = done(run(&arguments, &device));
        assert_eq!(code, Some(2), "{arguments:?}: {message}");
        assert!(
            message.contains("not an ordinary file") || message.contains("there already"),
            "{message}"
        );
        // A starter is never written over another file without being told to.
        if arguments[0] == "starter" {
            continue;
        }
        // A link stays one, and what it leads to is replaced.
        let real = inside.join(out.file_name().unwrap());
        let (code, _, message) = done(run(&arguments, &real));
        assert_eq!(code, Some(0), "{arguments:?}: {message}");
        let inode = |path: &Path| fs::metadata(path).unwrap().ino();
        let before = inode(&real);
        symlink(&real, &out).unwrap();
        let (code, _, message) = done(run(&arguments, &out));
        assert_eq!(code, Some(0), "{arguments:?}: {message}");
        assert!(out.is_symlink(), "{arguments:?}");
        assert_ne!(inode(&real), before, "{arguments:?}: written anew");
    }
    assert!(!fs::metadata(&device).unwrap().is_file());
    assert_eq!(names(&inside).iter().filter(|name| name.starts_with('.')).count(), 0);
}

/// The length is not believed: what grows while it is read is read up to the limit,
/// and what is cut short is a file with faults.
#[test]
fn a_file_that_changes_while_it_is_read() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("plan.toml");
    let whole = fs::read_to_string(DEMO).unwrap();
    // A pipe has no length beforehand: half of it comes late, or for ever.
    let status = Command::new("mkfifo").arg(&path).status().unwrap();
    assert!(status.success());
    let check = || {
        solidby(&["check", path.to_str().unwrap()])
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap()
    };
    let child = check();
    let (first, second) = whole.split_at(whole.len() / 2);
    let mut pipe = File::options().write(true).open(&path).unwrap();
    std::io::Write::write_all(&mut pipe, first.as_bytes()).unwrap();
    std::thread::sleep(Duration::from_millis(50));
    std::io::Write::write_all(&mut pipe, second.as_bytes()).unwrap();
    drop(pipe);
    let (code, words, message) = told(&child.wait_with_output().unwrap());
    assert_eq!(code, Some(0), "{message}");
    assert!(words.contains("is sound"), "{words}");
    let child = check();
    let mut pipe = File::options().write(true).open(&path).unwrap();
    // Its reader goes away at the limit.
    let line = "# growing\n".repeat(1000);
    while std::io::Write::write_all(&mut pipe, line.as_bytes()).is_ok() {}
    drop(pipe);
    let (code, _, message) = told(&child.wait_with_output().unwrap());
    assert_eq!(code, Some(2), "{message}");
    assert!(message.contains("at most 1048576"), "{message}");
}

/// An editor that puts a new file in the place of the old one is never met half-way; of
/// one that writes into the file a reader finds a beginning, and is told what it lacks.
#[test]
fn a_file_that_an_editor_writes_meanwhile() {
    let folder = tempfile::tempdir().unwrap();
    let (path, other) = (folder.path().join("plan.toml"), folder.path().join("other"));
    let whole = fs::read_to_string(DEMO).unwrap();
    fs::write(&path, &whole).unwrap();
    let check = || done(solidby(&["check", path.to_str().unwrap()]));
    let stop = std::sync::atomic::AtomicBool::new(false);
    std::thread::scope(|scope| {
        scope.spawn(|| {
            while !stop.load(std::sync::atomic::Ordering::Relaxed) {
                fs::write(&other, &whole).unwrap();
                fs::rename(&other, &path).unwrap();
            }
        });
        let told: Vec<_> = (0..30).map(|_| check()).collect();
        stop.store(true, std::sync::atomic::Ordering::Relaxed);
        for (code, _, message) in told {
            assert_eq!(code, Some(0), "{message}");
        }
    });
    let mut lacking = 0;
    for part in 0..=30 {
        let beginning = &whole[..whole.floor_char_boundary(whole.len() * part / 30)];
        fs::write(&path, beginning).unwrap();
        let faults = solidby::planfile::read(beginning).err().unwrap_or_default();
        let (code, _, message) = check();
        assert_eq!(code, Some(if faults.is_empty() { 0 } else { 2 }), "{part}: {message}");
        for fault in faults.iter().take(50) {
            assert!(message.contains(&fault.message()), "{part}: {message}");
        }
        lacking += u32::from(!faults.is_empty());
    }
    assert!((20..=30).contains(&lacking), "{lacking} of 31 beginnings lack something");
}

#[test]
fn the_reader_goes_away() {
    for arguments in [vec!["tables", "moulds"], vec!["plan", DEMO, "--no-diary"], vec!["man"]] {
        let mut child =
            solidby(&arguments).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
        let mut first = [0; 1];
        let mut out = child.stdout.take().unwrap();
        out.read_exact(&mut first).unwrap();
        drop(out);
        let (code, _, message) = told(&child.wait_with_output().unwrap());
        assert_eq!((code, message.as_str()), (Some(0), ""), "{arguments:?}");
    }
}

/// The terminal is closed in the middle: the file is the old one or the new one.
#[test]
fn the_terminal_is_closed() {
    let (folder, plans) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
    let demo = demo_in(plans.path());
    let out = folder.path().join("prep.ics");
    let mut cut = 0;
    for n in 0..40 {
        // The first of them wait for another writer, and are cut off for certain; where nothing
        // cuts them off they would wait for good.
        let other = File::open(folder.path()).unwrap();
        if n < 8 && !hangups_are_ignored() {
            other.lock().unwrap();
        }
        let mut child = solidby(&["plan", &demo, "--no-diary", "--force", "--ics"])
            .arg(&out)
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        if n >= 8 {
            std::thread::sleep(Duration::from_millis(5 * n));
        }
        let _ = Command::new("kill")
            .args(["-HUP", &child.id().to_string()])
            .stderr(Stdio::null())
            .status();
        cut += u32::from(!child.wait().unwrap().success());
        if let Ok(file) = fs::read_to_string(&out) {
            assert!(file.starts_with("BEGIN:VCALENDAR") && file.ends_with("END:VCALENDAR\r\n"));
        }
    }
    println!("{cut} of 40 were cut off; left: {:?}", names(folder.path()));
    // The next write sweeps away what they have left.
    let mut last = solidby(&["plan", &demo, "--no-diary", "--force", "--ics"]);
    assert!(last.arg(&out).output().unwrap().status.success());
    assert_eq!(names(folder.path()), ["prep.ics"]);
    assert_eq!(cut >= 8, !hangups_are_ignored(), "{cut} of 40");
}

/// Whether this test was started so that a closed terminal ends nothing (`nohup`).
fn hangups_are_ignored() -> bool {
    let about = fs::read_to_string("/proc/self/status").unwrap_or_default();
    let ignored = about.lines().find_map(|line| line.strip_prefix("SigIgn:"));
    ignored.and_then(|mask| u64::from_str_radix(mask.trim(), 16).ok()).is_some_and(|m| m & 1 == 1)
}

#[test]
fn no_locale_no_zone_no_home() {
    let folder = tempfile::tempdir().unwrap();
    let bare = |arguments: &[&str]| {
        let mut command = solidby(arguments);
        command.env_clear().current_dir(folder.path());
        done(command)
    };
    let (code, words, message) = bare(&["ice", "--mould", "fox", "--by", "tomorrow 07:00"]);
    assert_eq!(code, Some(0), "{message}");
    assert!(words.contains("very likely"), "{words}");
    let (code, words, _) = bare(&["plan", DEMO]);
    assert_eq!(code, Some(0));
    assert!(words.contains("Forest fortnight") && words.contains('–'), "{words}");
    let zoned = |zone: &str| {
        let mut command = Command::new(PROGRAM);
        command.args(["ice", "--mould", "fox", "--no-diary", "--by", "07:00"]);
        command.env_clear().env("TZ", zone).env("LC_ALL", "xx_YY.UTF-99").env("LANG", "\u{fffd}");
        done(command)
    };
    assert_eq!(zoned("").0, Some(0));
    // No file is read that a zone names: these have no end.
    for zone in ["Nowhere/Never", ":/etc/passwd", "/dev/zero", "../../../dev/zero"] {
        let (code, _, message) = zoned(zone);
        assert_eq!(code, Some(2), "{zone}: {message}");
        assert!(message.contains("there is no zone"), "{zone}: {message}");
    }
    // An argument that is no text.
    let mut command = solidby(&["check"]);
    command.arg(<OsStr as std::os::unix::ffi::OsStrExt>::from_bytes(b"\xff.toml"));
    assert_eq!(done(command).0, Some(2));
}

/// Neither a control nor a change of direction gets from a name to the terminal, not even
/// where it takes colours.
#[test]
fn no_name_moves_the_terminal() {
    let folder = tempfile::tempdir().unwrap();
    let name = |ending: &str| folder.path().join(format!("a\u{202e}b\u{7}c\u{1b}[5md.{ending}"));
    let [plan, faulty] = ["toml", "faulty"].map(name);
    let (ics, sheet, svg, new, diary) =
        (name("ics"), name("html"), name("svg"), name("new"), name("diary"));
    fs::write(&plan, fs::read_to_string(DEMO).unwrap()).unwrap();
    let demo = demo_in(folder.path());
    fs::write(&faulty, "title = \"x\"\n\"k\u{202e}\" = 1\n").unwrap();
    let text = |path: &Path| path.to_str().unwrap().to_owned();
    let [plan, faulty, ics, sheet, svg, new, diary] =
        [plan, faulty, ics, sheet, svg, new, diary].map(|path| text(&path));
    let gone = text(&name("gone"));
    let add = "diary add ice --mould fox --at 20:00 --diary";
    let bad = "\u{202e}\u{7}\u{1b}[5m";
    for (words, file, code) in [
        ("check", &plan, 0),
        ("check", &faulty, 2),
        ("check", &gone, 2),
        ("starter", &new, 0),
        ("starter", &new, 2),
        ("plan DEMO --no-diary --ics", &ics, 0),
        ("plan DEMO --no-diary --sheet", &sheet, 0),
        ("ice --mould fox --no-diary --chart", &svg, 0),
        (add, &diary, 0),
        ("diary add ice --mould fox --at 20:00 --called BAD --diary", &diary, 0),
        ("diary look --seen after@1@h@wet --diary", &diary, 0),
        ("diary show --diary", &diary, 0),
        ("diary fit --diary", &diary, 0),
        ("ice --no-diary --mould", &gone, 2),
        ("ice --moBAD", &gone, 2),
        ("BAD", &gone, 2),
    ] {
        let words = words
            .split(' ')
            .map(|word| word.replace("DEMO", &demo).replace('@', " ").replace("BAD", bad));
        let words: Vec<String> = words.chain([file.clone()]).collect();
        let mut command = solidby(&words.iter().map(String::as_str).collect::<Vec<_>>());
        command.env_remove("NO_COLOR").env("CLICOLOR_FORCE", "1");
        let (ended, out, err) = done(command);
        assert_eq!(ended, Some(code), "{words:?}: {err}");
        for held in ["\u{202e}", "\u{7}", "\u{1b}[5m"] {
            assert!(!out.contains(held) && !err.contains(held), "{words:?}: {out:?} {err:?}");
        }
    }
}

/// A name may hold the words that begin an event.
#[test]
fn events_are_counted_and_not_searched_for() {
    let folder = tempfile::tempdir().unwrap();
    let (plan, ics) = (folder.path().join("plan.toml"), folder.path().join("prep.ics"));
    let write = |name: &str| {
        let text = fs::read_to_string(DEMO).unwrap().replace("Otters", name);
        fs::write(&plan, text).unwrap();
        // Of the group by its other name nothing is followed.
        let _ = fs::remove_file(folder.path().join("plan.kept.toml"));
        let mut command = solidby(&["plan", plan.to_str().unwrap(), "--no-diary", "--ics"]);
        command.arg(&ics).arg("--force");
        done(command).2
    };
    let plain = write("Otters");
    let events = fs::read_to_string(&ics).unwrap().matches("\r\nBEGIN:VEVENT\r\n").count();
    assert!(plain.contains(&format!(": {events} events")), "{plain}");
    assert_eq!(write("BEGIN:VEVENT"), plain);
}
