//! The lint passes our files and refuses files with one defect each, for the right reason.

use solidby::report::calendar::{Options, write};

use crate::report::lint::lint;
use crate::report::random;
use crate::report::scenario::{class, tasks};

/// A small sound file, written by hand.
const GOOD: &str = "BEGIN:VCALENDAR\r
VERSION:2.0\r
PRODID:-//Example//Test//EN\r
CALSCALE:GREGORIAN\r
NAME:Prep – two groups\r
X-WR-CALNAME:Prep – two groups\r
BEGIN:VEVENT\r
UID:7c9e6679-7425-50de-944b-e07fc1f90ae7\r
DTSTAMP:20261101T090000Z\r
SEQUENCE:0\r
DTSTART:20261203T160000Z\r
DTEND:20261203T161500Z\r
SUMMARY:Fill 4 moulds\\, middle shelf\r
DESCRIPTION:Put 12 moulds in.\\nDone by 20:30\\; check the core.\r
CATEGORIES:hands,home\r
TRANSP:OPAQUE\r
BEGIN:VALARM\r
ACTION:DISPLAY\r
DESCRIPTION:Fill 4 moulds\r
TRIGGER:-PT15M\r
END:VALARM\r
END:VEVENT\r
BEGIN:VEVENT\r
UID:11111111-7425-50de-944b-e07fc1f90ae7\r
DTSTAMP:20261101T090000Z\r
SEQUENCE:2\r
DTSTART:20261204T160000Z\r
DTEND:20261204T161500Z\r
SUMMARY:Cancelled: turn out\r
STATUS:CANCELLED\r
END:VEVENT\r
END:VCALENDAR\r
";

/// Defect, what to find, what to put there (first time it occurs), what the lint must say.
/// The first 34 were also put to eleven independent parsers for this project; the best of those
/// reported half of them.
const DEFECTS: &[(&str, &str, &str, &str)] = &[
    ("no UID", "UID:7c9e6679-7425-50de-944b-e07fc1f90ae7\r\n", "", "without UID"),
    ("no DTSTAMP", "DTSTAMP:20261101T090000Z\r\n", "", "without DTSTAMP"),
    ("no PRODID", "PRODID:-//Example//Test//EN\r\n", "", "without PRODID"),
    ("no VERSION", "VERSION:2.0\r\n", "", "without VERSION"),
    ("no DTSTART", "DTSTART:20261203T160000Z\r\n", "", "without DTSTART"),
    ("DTEND and DURATION", "SUMMARY:Fill", "DURATION:PT15M\r\nSUMMARY:Fill", "with DURATION"),
    ("UID twice", "SEQUENCE:0\r\n", "SEQUENCE:0\r\nUID:second\r\n", "UID twice"),
    ("alarm without TRIGGER", "TRIGGER:-PT15M\r\n", "", "without TRIGGER"),
    ("alarm without ACTION", "ACTION:DISPLAY\r\n", "", "without ACTION"),
    (
        "DISPLAY without DESCRIPTION",
        "DESCRIPTION:Fill 4 moulds\r\n",
        "",
        "VALARM without DESCRIPTION",
    ),
    (
        "TZID without VTIMEZONE",
        "DTSTART:20261203T160000Z",
        "DTSTART;TZID=Europe/Berlin:20261203T170000",
        "parameter",
    ),
    (
        "line over 75 octets",
        "SUMMARY:Fill",
        "SUMMARY:Fill and freeze and turn out and bag and carry and paint and",
        "octets",
    ),
    ("unescaped comma", "moulds\\, middle", "moulds, middle", "not escaped"),
    ("unescaped semicolon", "20:30\\; check", "20:30; check", "not escaped"),
    ("raw newline in text", "in.\\nDone", "in.\r\nDone", "with Done by 20"),
    ("month 13", "DTSTART:20261203", "DTSTART:20261303", "no UTC instant"),
    ("DURATION:15M", "DTEND:20261203T161500Z", "DURATION:15M", "with DURATION"),
    ("TRIGGER in words", "TRIGGER:-PT15M", "TRIGGER:15 minutes before", "TRIGGER"),
    ("END:VEVENT missing", "END:VALARM\r\nEND:VEVENT\r\n", "END:VALARM\r\n", "within"),
    (
        "property after VALARM",
        "END:VALARM\r\n",
        "END:VALARM\r\nLOCATION:home\r\n",
        "after an alarm",
    ),
    ("DTEND before DTSTART", "DTEND:20261203T161500Z", "DTEND:20261203T151500Z", "not after"),
    ("DTEND is a date", "DTEND:20261203T161500Z", "DTEND;VALUE=DATE:20261204", "parameter"),
    ("TZID with Z", "DTSTART:2", "DTSTART;TZID=Europe/Berlin:2", "parameter"),
    ("two events, same UID", "UID:11111111", "UID:7c9e6679", "used before"),
    ("control character", "Fill 4", "Fill\u{1} 4", "control"),
    ("DTSTAMP not UTC", "DTSTAMP:20261101T090000Z", "DTSTAMP:20261101T090000", "no UTC instant"),
    (
        "absolute TRIGGER not UTC",
        "TRIGGER:-PT15M",
        "TRIGGER;VALUE=DATE-TIME:20261203T160000",
        "parameter",
    ),
    (
        "REPEAT without DURATION",
        "TRIGGER:-PT15M\r\n",
        "TRIGGER:-PT15M\r\nREPEAT:3\r\n",
        "with REPEAT",
    ),
    ("STATUS:MAYBE", "STATUS:CANCELLED", "STATUS:MAYBE", "STATUS"),
    (
        "METHOD after events",
        "END:VCALENDAR",
        "METHOD:PUBLISH\r\nEND:VCALENDAR",
        "after a component",
    ),
    (
        "time zone without observances",
        "BEGIN:VEVENT",
        "BEGIN:VTIMEZONE\r\nTZID:X\r\nEND:VTIMEZONE\r\nBEGIN:VEVENT",
        "VTIMEZONE within",
    ),
    ("METHOD without ORGANIZER", "CALSCALE", "METHOD:PUBLISH\r\nCALSCALE", "with METHOD"),
    ("byte order mark", "BEGIN:VCALENDAR", "\u{feff}BEGIN:VCALENDAR", "byte order mark"),
    ("empty line", "CALSCALE", "\r\nCALSCALE", "empty line"),
    ("no end", "END:VCALENDAR\r\n", "", "never ends"),
    ("no CALSCALE", "CALSCALE:GREGORIAN\r\n", "", "without CALSCALE"),
    ("other VERSION", "VERSION:2.0", "VERSION:1.0", "VERSION:2.0"),
    ("floating start", "DTSTART:20261203T160000Z", "DTSTART:20261203T160000", "no UTC instant"),
    ("30 February", "DTEND:20261203", "DTEND:20270230", "no UTC instant"),
    ("zero length", "DTEND:20261203T161500Z", "DTEND:20261203T160000Z", "not after"),
    ("alarm after the start", "TRIGGER:-PT15M", "TRIGGER:PT15M", "TRIGGER"),
    ("alarm in hours", "TRIGGER:-PT15M", "TRIGGER:-PT1H", "TRIGGER"),
    ("alarm that mails", "ACTION:DISPLAY", "ACTION:EMAIL", "ACTION"),
    (
        "two alarms",
        "END:VALARM\r\n",
        "END:VALARM\r\nBEGIN:VALARM\r\nACTION:DISPLAY\r\nDESCRIPTION:x\r\nTRIGGER:-PT5M\r\nEND:VALARM\r\n",
        "too many alarms",
    ),
    (
        "alarm on a cancelled event",
        "STATUS:CANCELLED\r\n",
        "STATUS:CANCELLED\r\nBEGIN:VALARM\r\nACTION:DISPLAY\r\nDESCRIPTION:x\r\nTRIGGER:-PT5M\r\nEND:VALARM\r\n",
        "too many alarms",
    ),
    (
        "events and tasks",
        "END:VCALENDAR",
        "BEGIN:VTODO\r\nUID:t\r\nDTSTAMP:20261101T090000Z\r\nSEQUENCE:0\r\nDTSTART:20261204T160000Z\r\nDUE:20261204T161500Z\r\nSUMMARY:t\r\nSTATUS:NEEDS-ACTION\r\nEND:VTODO\r\nEND:VCALENDAR",
        "events and tasks",
    ),
    ("no SEQUENCE", "SEQUENCE:0\r\n", "", "without SEQUENCE"),
    ("SEQUENCE in words", "SEQUENCE:0", "SEQUENCE:one", "SEQUENCE"),
    ("summary of two lines", "SUMMARY:Fill 4", "SUMMARY:Fill\\n4", "has lines"),
    (
        "summary too long",
        "SUMMARY:Fill 4 moulds\\, middle shelf",
        "SUMMARY:Fill four moulds and put them on the middle shelf of\r\n  the freezer",
        "too long",
    ),
    ("lone backslash", "in.\\nDone", "in.\\xDone", "not escaped"),
    ("escaped colon", "20:30", "20\\:30", "not escaped"),
    ("direction override", "Fill 4", "Fill \u{202e}4", "direction override"),
    ("two names", "NAME:Prep – two groups\r\n", "NAME:Prep\r\n", "two names"),
    (
        "calendar property twice",
        "CALSCALE:GREGORIAN\r\n",
        "CALSCALE:GREGORIAN\r\nCALSCALE:GREGORIAN\r\n",
        "CALSCALE twice",
    ),
    ("UID with a space", "UID:7c9e6679-", "UID:7c9e6679 ", "UID"),
    ("folded first line", "BEGIN:VCALENDAR", " BEGIN:VCALENDAR", "folded line"),
    ("line without a colon", "TRANSP:OPAQUE", "TRANSP OPAQUE", "no colon"),
    ("event in an event", "TRANSP:OPAQUE\r\n", "BEGIN:VEVENT\r\nEND:VEVENT\r\n", "within"),
    ("text after the end", "END:VCALENDAR\r\n", "END:VCALENDAR\r\nX:y\r\n", "in no component"),
];

#[test]
fn a_sound_file_passes() {
    assert_eq!(lint(GOOD.as_bytes()), Vec::<String>::new());
}

#[test]
fn each_defect_is_refused_for_its_own_reason() {
    for (name, find, put, says) in DEFECTS {
        let bad = GOOD.replacen(find, put, 1);
        assert_ne!(bad, GOOD, "{name}: nothing was changed");
        let faults = lint(bad.as_bytes());
        assert!(faults.iter().any(|fault| fault.contains(says)), "{name}: {faults:?}");
    }
    assert!(DEFECTS.len() >= 30);
}

#[test]
fn defects_of_bytes_are_refused() {
    let fox = GOOD.replacen("Fill", "🦊", 1);
    let split = fox.replacen('🦊', "\u{1}", 1).into_bytes();
    let at = split.iter().position(|b| *b == 1).unwrap();
    let split = [&split[..at], b"\xf0\x9f\r\n \xa6\x8a", &split[at + 1..]].concat();
    let empty = GOOD.lines().filter(|l| !l.starts_with("NAME") && !l.starts_with("X-")).take(4);
    let empty: String = empty.chain(["END:VCALENDAR"]).map(|line| format!("{line}\r\n")).collect();
    let files: [(&str, Vec<u8>, &str); 5] = [
        ("LF only", GOOD.replace('\r', "").into_bytes(), "bare line end"),
        ("CR only", GOOD.replace('\n', "").into_bytes(), "bare line end"),
        ("fold inside a character", split, "not UTF-8"),
        (
            "Latin-1",
            GOOD.as_bytes().iter().map(|b| if *b == 0xe2 { 0xff } else { *b }).collect(),
            "not UTF-8",
        ),
        ("no component", empty.into_bytes(), "no entry"),
    ];
    assert_eq!(lint(fox.as_bytes()), Vec::<String>::new());
    for (name, file, says) in files {
        let faults = lint(&file);
        assert!(faults.iter().any(|fault| fault.contains(says)), "{name}: {faults:?}");
    }
}

#[test]
fn a_task_with_due_and_duration_is_refused() {
    let file = write(&class(), &tasks()).unwrap();
    assert_eq!(lint(file.as_bytes()), Vec::<String>::new());
    let bad = file.replacen("SUMMARY:", "DURATION:PT15M\r\nSUMMARY:", 1);
    assert!(lint(bad.as_bytes()).iter().any(|fault| fault.contains("with DURATION")));
}

#[test]
fn the_class_passes() {
    let file = write(&class(), &Options::default()).unwrap();
    assert_eq!(lint(file.as_bytes()), Vec::<String>::new(), "{file}");
    insta::assert_snapshot!(file.replace('\r', ""));
}

#[test]
fn five_hundred_random_plans_pass() {
    for seed in 0..500 {
        let schedule = random::schedule(seed);
        for file in [write(&schedule, &Options::default()), write(&schedule, &tasks())] {
            let Some(file) = file else { continue };
            assert_eq!(lint(file.as_bytes()), Vec::<String>::new(), "seed {seed}\n{file}");
        }
    }
}
