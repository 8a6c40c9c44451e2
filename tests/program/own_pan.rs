//! A user's own pan, drawn in a file: wrong files are told with their line, and a
//! right one gives what the same pan gives in other words.

use std::{ffi::OsStr, fs, path::Path};

use crate::run::Run;
use serde_json::Value;

const GOOD: &str =
    "points = [[0, 0], [12, 0], [12, 12], [0, 12]]\nsize = \"12 cm\"\ndepth = \"40 mm\"\n";

/// Changes to the good file, and what the message must say.
const CASES: &[(&str, &str, &str)] = &[
    ("points = ", "point = ", "did you mean `points`"),
    ("points = ", "outline = ", "has no `points`"),
    ("[[0, 0], [12, 0], [12, 12], [0, 12]]", "\"square\"", "must be a list"),
    ("[[0, 0], [12, 0], [12, 12], [0, 12]]", "[]", "3 to 500 points"),
    ("[[0, 0], [12, 0], [12, 12], [0, 12]]", "[[0, 0], [12, 0], [0, 0]]", "3 to 500 points"),
    ("[12, 12], [0, 12]", "[24, 0]", "enclose no area"),
    ("[12, 12], [0, 12]", "[12, 0], [12, 0]", "3 to 500 points"),
    ("[12, 0], [12, 12], [0, 12]", "[0, 0], [0, 0], [0, 0]", "3 to 500 points"),
    ("[12, 0], [12, 12]", "[12, 12], [12, 0]", "crosses or touches itself"),
    ("[0, 12]]", "[0, 12], [12, 0]]", "crosses or touches itself"),
    ("[12, 0]", "[12, 0], [20, 0], [12, 0]", "crosses or touches itself"),
    ("[12, 12], [0, 12]", "[12, 0.05], [0, 0.05]", "too thin"),
    ("[12, 0]", "[12]", "two numbers in square brackets"),
    ("[12, 0]", "[12, 0, 3]", "two numbers in square brackets"),
    ("[12, 0]", "12", "two numbers in square brackets"),
    ("[12, 0]", "[\"12 cm\", 0]", "bare numbers"),
    ("[12, 0]", "[nan, 0]", "out of range"),
    ("[12, 0]", "[-inf, 0]", "out of range"),
    ("[12, 0]", "[1e300, 0]", "out of range"),
    ("[12, 0]", "[1e999, 0]", "out of range"),
    ("[12, 0]", "[99999999999999999999, 0]", "out of range"),
    ("[12, 0]", "[12, 0", ""),
    ("size = \"12 cm\"", "", "has no `size`"),
    ("size = \"12 cm\"", "size = 12", "must be text in quotes"),
    ("size = \"12 cm\"", "size = \"12\"", "has no unit"),
    ("size = \"12 cm\"", "size = \"12 km\"", ""),
    ("size = \"12 cm\"", "size = \"-12 cm\"", "out of range"),
    ("size = \"12 cm\"", "size = \"NaN cm\"", "does not begin with a number"),
    ("depth = \"40 mm\"", "depth = \"4 m\"", "between 3 mm and 400 mm"),
    ("depth = \"40 mm\"", "depth = \"40 mL\"", "not a unit of a length"),
    ("depth = \"40 mm\"", "depth = \"40 mm\"\nvolume = \"0 mL\"", "out of range"),
    ("depth = \"40 mm\"", "depth = \"40 mm\"\nvolume = \"5 L\"", "it holds 576 mL"),
    ("depth = \"40 mm\"", "depth = \"40 mm\"\nwall = \"steel\"", "no key `wall`"),
];

fn run(args: &[&str], pan: &Path) -> (i32, String, String) {
    let ran = Run::of(args).with(&[OsStr::new("--outline"), pan.as_os_str()]).ends();
    (ran.code.unwrap_or(-1), ran.stdout, ran.stderr)
}

/// The JSON answer for a file of this text.
fn answer(args: &[&str], pan: &str) -> Value {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("pan.toml");
    fs::write(&path, pan).unwrap();
    let (code, out, message) = run(&[args, &["--json"]].concat(), &path);
    assert_eq!(code, 0, "{pan}: {message}");
    serde_json::from_str(&out).unwrap()
}

fn number(value: &Value, path: &str) -> f64 {
    value.pointer(path).and_then(Value::as_f64).unwrap_or_else(|| panic!("no {path}: {value}"))
}

#[test]
fn each_wrong_file_is_told_with_its_line() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("pan.toml");
    for (from, to, says) in CASES {
        assert!(GOOD.contains(from), "no {from}");
        fs::write(&path, GOOD.replacen(from, to, 1)).unwrap();
        for command in ["ice", "thaw"] {
            let (code, out, message) = run(&[command], &path);
            assert_eq!((code, out.as_str()), (2, ""), "{from} -> {to}: {message}");
            assert!(message.contains(says), "{from} -> {to} must say “{says}”: {message}");
            assert!(message.contains("pan.toml:"), "{from} -> {to} names the place: {message}");
            assert!(!message.contains("panicked"), "{from} -> {to}: {message}");
        }
    }
}

#[test]
fn every_fault_at_once_each_with_its_line() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("pan.toml");
    fs::write(&path, "points = [\n[0, 0],\n[nan, 1],\n[2],\n]\nsize = \"9\"\ndepht = \"35 mm\"\n")
        .unwrap();
    let (code, _, message) = run(&["ice"], &path);
    assert_eq!(code, 2);
    for says in ["pan.toml:3:2", "pan.toml:4:1", "pan.toml:6:8", "pan.toml:7:1", "[nan, 1]"] {
        assert!(message.contains(says), "{says}: {message}");
    }
    assert!(message.contains("5 things to mend"), "the missing `depth` too: {message}");
    assert!(message.contains("size = \"9 cm\""), "a valid example: {message}");
}

#[test]
fn files_that_are_no_pan() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("pan.toml");
    let many = |count: usize| -> String {
        let points: Vec<String> = (0..count)
            .map(|n| std::f64::consts::TAU * n as f64 / count as f64)
            .map(|turn| format!("[{:.6}, {:.6}]", turn.cos(), turn.sin()))
            .collect();
        format!("points = [{}]\nsize = \"9 cm\"\ndepth = \"35 mm\"\n", points.join(","))
    };
    for (bytes, says) in [
        (Vec::new(), "has no `points`"),
        (vec![0xff, 0xfe, 0x00], "not UTF-8"),
        (vec![b'['; 100_000], ""),
        (vec![b'#'; (1 << 20) + 1], "bytes"),
        (many(502).into_bytes(), "3 to 500 points"),
    ] {
        fs::write(&path, bytes).unwrap();
        let (code, _, message) = run(&["thaw"], &path);
        assert_eq!(code, 2, "{message}");
        assert!(message.contains(says) && !message.contains("panicked"), "{says}: {message}");
    }
    assert_eq!(run(&["thaw"], &folder.path().join("none.toml")).0, 2);
    assert_eq!(run(&["thaw"], folder.path()).0, 2);
    let whole = answer(&["thaw"], &many(500));
    assert!(number(&whole, "/gone_h/p50") > 0.0);
}

/// The outline is cut like the box, so that only rounding is between the two: 1 %.
#[test]
fn a_square_outline_is_the_box_of_its_size() {
    for (command, path) in
        [("ice", "/solid_h/p50"), ("ice", "/ready_h/p95"), ("thaw", "/gone_h/p50")]
    {
        let drawn = number(&answer(&[command], GOOD), path);
        let ran = Run::of(&[command, "--box", "12x12x4 cm", "--json"]).succeeds();
        let boxed = number(&ran.json(), path);
        assert!((drawn / boxed - 1.0).abs() < 0.01, "{command} {path}: {drawn} and {boxed} h");
    }
}

#[test]
fn neither_unit_nor_sense_nor_a_closing_point_matters() {
    let plain = answer(&["ice"], GOOD);
    for points in [
        "[[0, 0], [120, 0], [120, 120], [0, 120]]",
        "[[-5, 5], [-5, 7.5], [-2.5, 7.5], [-2.5, 5]]",
        "[[0, 0], [12, 0], [12, 0], [12, 12], [0, 12], [0, 0]]",
    ] {
        let text = GOOD.replace("[[0, 0], [12, 0], [12, 12], [0, 12]]", points);
        let [drawn, plain] =
            [&answer(&["ice"], &text), &plain].map(|answer| number(answer, "/ready_h/p50"));
        assert!((drawn / plain - 1.0).abs() < 1e-6, "{points}: {drawn} h, {plain} h");
    }
}

/// A mould is filled to about nine tenths, so its water is compared, not its volume.
#[test]
fn a_measured_volume_scales_the_plan() {
    let measured = |volume: &str| format!("{GOOD}volume = \"{volume}\"\n");
    let water =
        |pan: &str, more: &[&str]| number(&answer(&[&["ice"], more].concat(), pan), "/mass_kg");
    let drawn = water(GOOD, &[]);
    assert!((water(&measured("576 mL"), &[]) / drawn - 1.0).abs() < 1e-6);
    assert!((water(&measured("288 mL"), &[]) / drawn - 0.5).abs() < 1e-6);
    let gone = |pan: &str| number(&answer(&["thaw"], pan), "/gone_h/p50");
    let (half, whole) = (gone(&measured("288 mL")), gone(GOOD));
    assert!(half < 0.95 * whole, "half as much ice is gone sooner: {half} h, {whole} h");
    // Typed sizes take the place of the file's, and of what was measured at them.
    let resized = water(&measured("288 mL"), &["--size", "6 cm"]);
    assert!((resized / drawn - 0.25).abs() < 1e-6, "{resized} kg");
    let deeper = water(&measured("288 mL"), &["--depth", "80 mm"]);
    assert!((deeper / drawn - 1.0).abs() < 1e-6, "{deeper} kg");
}

/// 500 points are the most; the first one once more at the end closes the line.
#[test]
fn the_longest_outline() {
    let circle = |points: u32, closed: bool| {
        let at = |n: u32| {
            let turn = std::f64::consts::TAU * f64::from(n % points) / f64::from(points);
            format!("[{:.6}, {:.6}]", turn.cos(), turn.sin())
        };
        let all: Vec<String> = (0..points + u32::from(closed)).map(at).collect();
        format!("points = [{}]\nsize = \"12 cm\"\ndepth = \"40 mm\"\n", all.join(", "))
    };
    let read = |text: String| solidby::planfile::read_pan(&text);
    for (points, closed, sound) in [(499, true, true), (500, false, true), (500, true, true)] {
        assert_eq!(read(circle(points, closed)).is_ok(), sound, "{points}, closed {closed}");
    }
    let faults = read(circle(501, false)).unwrap_err();
    assert!(faults[0].message().contains("501 different points"), "{faults:?}");
}

/// Sides are named, and the fault stands, at the point where the first of two begins.
#[test]
fn a_crossing_is_shown_where_it_begins() {
    let text = "points = [[0, 0], [4, 0], [4, 9], [8, 9], [8, 4], [2, 4]]\n\
                size = \"12 cm\"\ndepth = \"40 mm\"\n";
    // From (8, 4) to (2, 4) crosses the side from (4, 0) to (4, 9).
    let faults = solidby::planfile::read_pan(text).unwrap_err();
    assert_eq!(&text[faults[0].span.clone()], "[4, 0]");
    let words =
        "the side from [4.0, 0.0] to [4.0, 9.0] meets the side from [8.0, 4.0] to [2.0, 4.0]";
    assert!(faults[0].message().contains(words), "{}", faults[0].message());
}

#[test]
fn the_limits_themselves_are_sound() {
    for (size, depth) in [("5 mm", "3 mm"), ("2 m", "400 mm")] {
        let text = GOOD.replace("12 cm", size).replace("40 mm", depth);
        assert!(solidby::planfile::read_pan(&text).is_ok(), "{size} and {depth}");
    }
}
