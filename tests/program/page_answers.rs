//! The page's answers are the command's, to the last digit, and
//! its forms say what is wrong beside the field.

use crate::page;

use std::process::Command;

use page::{NOW, Page, encoded, folder, shown, solidby};

fn printed(arguments: &[&str]) -> String {
    let output = solidby(arguments).output().unwrap();
    assert!(output.status.success(), "{arguments:?}: {}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout).unwrap()
}

/// Every paragraph that the command prints, its lines joined, must be on the page.
fn all_on_the_page(printed: &str, html: &str) {
    let page = shown(html);
    // The lines of a paragraph are joined: the page wraps elsewhere.
    let words: Vec<&str> =
        printed.split_whitespace().filter(|word| !"+?!-[]".contains(word)).collect();
    for window in words.windows(6) {
        let wanted = window.join(" ");
        let cut = wanted.trim_end_matches([']', ')']).replace(['[', ']'], "");
        // Headings and marks of a list stand between paragraphs; words inside one are in a row.
        let inside = printed
            .lines()
            .any(|line| line.split_whitespace().collect::<Vec<_>>().join(" ").contains(&wanted));
        // An option is called by the label of its field there.
        if inside && !wanted.contains('[') && !wanted.contains("--") {
            assert!(page.contains(&cut), "“{cut}” is not on the page:\n{page}");
        }
    }
}

#[test]
fn ice_is_the_same_to_the_last_digit() {
    let page = Page::start(&["--no-diary"]);
    for (query, arguments) in [
        (
            "shape=fox&count=4&air=0+F&at=20:00&by=tomorrow+06:40&units=us",
            &[
                "--mould",
                "fox",
                "--count",
                "4",
                "--air",
                "0 F",
                "--at",
                "20:00",
                "--by",
                "tomorrow 06:40",
                "--units",
                "us",
            ][..],
        ),
        (
            "shape=box&length=10+cm&width=8+cm&depth=4+cm&wall=steel&thickness=1+mm&covered=yes&stand=wire&units=metric",
            &[
                "--box",
                "10x8x4 cm",
                "--wall",
                "steel:1 mm",
                "--covered",
                "--stand",
                "wire",
                "--units",
                "metric",
            ],
        ),
        (
            "shape=volume&volume=310+mL&freezer=chest&start=12+C&salt=3+%25&units=metric",
            &[
                "--volume",
                "310 mL",
                "--freezer",
                "chest",
                "--start",
                "12 C",
                "--salt",
                "3 %",
                "--units",
                "metric",
            ],
        ),
    ] {
        let command = [&["ice", "--no-diary"], arguments].concat();
        let json = page.get(&format!("ice.json?{query}"));
        assert_eq!(json.text(), printed(&[&command[..], &["--json"]].concat()), "{query}");
        let html = page.get(&format!("ice?{query}"));
        all_on_the_page(&printed(&[&command[..], &["--more"]].concat()), &html.text());
    }
}

#[test]
fn dough_is_the_same_to_the_last_digit() {
    let page = Page::start(&["--no-diary"]);
    let query = "thickness=1/4+in&size=3+in&oven=200+F&faces=two&humidity=45+%25&at=20:00&by=Wed+08:00&units=us";
    let made = [
        "dough",
        "--no-diary",
        "--thickness",
        "1/4 in",
        "--size",
        "3 in",
        "--faces",
        "two",
        "--humidity",
        "45 %",
        "--units",
        "us",
    ];
    let oven = [&made[..], &["--oven", "200 F", "--at", "20:00", "--by", "Wed 08:00"]].concat();
    let air = [&made[..], &["--air-dry"]].concat();
    let html = page.get(&format!("dough?{query}")).text();
    for (way, command) in [("oven", oven), ("air", air)] {
        let json = page.get(&format!("dough.json?way={way}&{query}"));
        assert_eq!(json.text(), printed(&[&command[..], &["--json"]].concat()), "{way}");
        let said = printed(&[&command[..], &["--more"]].concat());
        // What both share is on the page once, in the oven's words.
        let own =
            if way == "air" { said.split("What makes this unsure").next().unwrap() } else { &said };
        all_on_the_page(own, &html);
    }
}

#[test]
fn thaw_and_cool_are_the_same_to_the_last_digit() {
    let page = Page::start(&["--no-diary"]);
    for (name, query, arguments) in [
        (
            "thaw",
            "shape=fox&fill=20&count=4&in=cool-box&wall=30&room=20&humidity=45&units=metric",
            &[
                "--mould",
                "fox",
                "--fill",
                "20 mm",
                "--count",
                "4",
                "--in",
                "cool-box:30 mm",
                "--room",
                "20 C",
                "--humidity",
                "45 %",
                "--units",
                "metric",
            ][..],
        ),
        (
            "thaw",
            "shape=star&in=open&room=68&units=us",
            &["--mould", "star", "--room", "68 F", "--units", "us"],
        ),
        (
            "cool",
            "thickness=1/4&from=200+F&on=tray&tray=aluminium&units=us",
            &["--thickness", "1/4 in", "--from", "200 F", "--on", "tray", "--units", "us"],
        ),
    ] {
        let command = [&[name], arguments].concat();
        let json = page.get(&format!("{name}.json?{query}"));
        assert_eq!(json.text(), printed(&[&command[..], &["--json"]].concat()), "{query}");
        let html = page.get(&format!("{name}?{query}"));
        all_on_the_page(&printed(&[&command[..], &["--more"]].concat()), &html.text());
    }
}

/// The command shown under an answer, typed into a shell, prints that answer.
#[test]
fn the_command_on_the_page_prints_the_same() {
    let page = Page::start(&["--no-diary"]);
    let query = "shape=cup&across=70+mm&base=50+mm&depth=40+mm&air=-18+C&at=2026-12-06T20:00&by=2026-12-07T07:00&called=it%27s&units=metric";
    let html = page.get(&format!("ice?{query}")).text();
    let command = shown(html.split("<code>").nth(1).unwrap().split("</code>").next().unwrap());
    let typed = command.strip_prefix("solidby ").unwrap();
    let line = format!("\"$SOLIDBY\" --now {NOW} {typed} --no-diary --json");
    let output = Command::new("sh")
        .args(["-c", &line])
        .env("SOLIDBY", env!("CARGO_BIN_EXE_solidby"))
        .output()
        .unwrap();
    let json = page.get(&format!("ice.json?{query}")).text();
    assert_eq!(String::from_utf8(output.stdout).unwrap(), json, "{line}");
}

#[test]
fn what_is_wrong_stands_beside_its_field() {
    let page = Page::start(&["--no-diary"]);
    for (path, field, words) in [
        ("ice?shape=star&air=180+K", "air", "180 K"),
        ("ice?shape=star&air=180", "air", "between"),
        ("ice?shape=star&air=5+C", "air", "between"),
        ("ice?shape=star&fill=90+mm", "fill", "deeper than the mould"),
        ("ice?shape=stra", "shape", "did you mean"),
        ("ice?shape=round&across=80+mm", "depth", "needed for a round pan"),
        ("ice?shape=ring&across=80+mm&inner=9+x&depth=4+cm", "inner", "9 x"),
        ("ice?shape=star&count=0", "count", "0"),
        ("ice?shape=star&at=20:00&by=lunch", "by", "not a time"),
        ("ice?shape=star&at=2026-12-07T07:00&by=2026-12-06T07:00", "by", "later than “Filled”"),
        (
            "dough?thickness=6+mm&oven=95+C&at=2026-12-07T07:00&by=2026-12-01T07:00",
            "by",
            "later than “Goes in”",
        ),
        ("ice?shape=star&count=four", "count", "“four” is not a whole number from 1 to 500"),
        ("ice?shape=star&salt=30+%25", "salt", "must be between 0 % and 20 %"),
        ("dough?size=75+mm", "thickness", "needed for an answer"),
        ("dough?thickness=6+mm&faces=three", "faces", "“three” is none of: one, two, turn"),
        ("ice?shape=star&thickness=2+mm", "wall", "made of"),
        ("ice?shape=star&wall=steel&thickness=2+x", "thickness", "2 x"),
        ("ice?shape=ball&across=99+m", "across", "between"),
        ("dough?thickness=6+x", "thickness", "6 x"),
        ("dough?thickness=&size=75+mm", "thickness", "empty"),
        ("dough?thickness=60", "thickness", "between"),
        ("dough?thickness=60+mm", "thickness", "between"),
        ("dough?thickness=6+mm&oven=180", "oven", "180"),
        ("dough?thickness=6+mm&oven=300+C", "oven", "between"),
        ("dough?thickness=6+mm&recipe=three", "recipe", "no recipe"),
        ("dough?thickness=6+mm&humidity=wet", "humidity", "wet"),
        ("thaw?shape=star&room=180", "room", "between"),
        ("thaw?shape=star&fill=90+mm", "fill", "deeper than the mould"),
        ("thaw?shape=star&in=cool-box&wall=thick", "wall", "thick"),
        ("thaw?shape=box&length=10+cm&width=8+cm", "depth", "empty, and needed for a box"),
        ("thaw?shape=star&count=0", "count", "0"),
        ("cool?thickness=&from=95+C", "thickness", "empty"),
        ("cool?thickness=6&from=180", "from", "180"),
        ("cool?thickness=6&from=95+C&on=floor", "on", "“floor” is none of"),
    ] {
        let html = page.get(path).text();
        let place = format!("id=\"{field}-words\">");
        let beside = html.split(&place).nth(1).unwrap_or_else(|| panic!("{path}: no {place}"));
        let beside = shown(beside.split("</div>").next().unwrap());
        assert!(beside.contains(words), "{path}: beside {field} stands “{beside}”");
        for terminal in ["--", "invalid digit", "arguments"] {
            assert!(!beside.contains(terminal), "{path}: “{beside}”");
        }
        let marked = html.split(&format!("id=\"{field}\"")).nth(1).unwrap();
        assert!(marked.split('>').next().unwrap().contains("aria-invalid=\"true\""), "{path}");
        assert!(html.contains("Not yet an answer"), "{path}");
    }
}

/// A range is told in the units of the page, and an end that is told is right itself.
#[test]
fn a_range_is_told_in_her_units() {
    let page = Page::start(&["--no-diary"]);
    for (path, field, words) in [
        (
            "dough?units=us&thickness=2",
            "thickness",
            "must be between 0.04 in and 1.96 in, not 2 in",
        ),
        (
            "dough?units=us&thickness=1/4&oven=500+F",
            "oven",
            "must be between 104 °F and 392 °F, not 500 °F",
        ),
        ("dough?units=us&thickness=1/4&oven=175", "oven", "type “175 F” or “175 C”"),
        ("dough?units=us&thickness=1/4&oven=175+degrees", "oven", "type “175 F” or “175 C”"),
        ("ice?units=us&shape=star&air=32", "air", "must be between -49 °F and 30 °F, not 32 °F"),
        ("cool?units=us&thickness=9&from=200+F", "thickness", "in, not 9 in"),
        (
            "ice?units=us&shape=star&at=2026-12-06T18:30&by=2028-12-07T07:00",
            "by",
            "the wait must be between",
        ),
    ] {
        let html = page.get(path).text();
        let beside = html.split(&format!("id=\"{field}-words\">")).nth(1).unwrap();
        let beside = shown(beside.split("</div>").next().unwrap());
        assert!(beside.contains(words), "{path}: beside {field} stands “{beside}”");
    }
    for right in ["0.04", "1.96"] {
        let html = page.get(&format!("dough?units=us&thickness={right}")).text();
        assert!(!html.contains("Not yet an answer"), "{right}");
    }
}

/// A number alone is read in the unit that stands beside its field, and means the same on
/// the page in other units; the command line refuses it.
#[test]
fn a_number_alone_has_the_unit_beside_it() {
    let page = Page::start(&["--no-diary"]);
    for (bare, whole) in [
        ("ice.json?shape=star&depth=35&air=-18&salt=3", "&depth=35+mm&air=-18+C&salt=3+%25"),
        ("dough.json?thickness=6&humidity=45", "&thickness=6+mm&humidity=45+%25"),
        ("dough.json?units=us&thickness=1/4&room=68", "&units=us&thickness=1/4+in&room=68+F"),
    ] {
        let path = bare.split('?').next().unwrap();
        let shape = if path.starts_with("ice") { "shape=star" } else { "way=air" };
        let [bare, whole] =
            [bare.replacen('?', &format!("?{shape}&"), 1), format!("{path}?{shape}{whole}")];
        let [bare, whole] = [bare, whole].map(|path| page.get(&path));
        assert_eq!((bare.status, bare.text()), (200, whole.text()), "{path}");
    }
    let html = page.get("dough?thickness=6&size=3+in&humidity=45&units=metric").text();
    let field = |name: &str| {
        let input = html.split(&format!("id=\"{name}\"")).nth(1).unwrap();
        input.split("class=\"words\"").next().unwrap().to_owned()
    };
    assert!(field("thickness").contains("value=\"6\""), "what was typed stays");
    assert!(field("thickness").contains("id=\"thickness-unit\">mm<"), "{}", field("thickness"));
    assert!(field("size").contains("id=\"size-unit\" hidden>mm<"), "{}", field("size"));
    let other = html.split("id=\"other-units\" href=\"").nth(1).unwrap().split('"').next().unwrap();
    assert!(other.contains("thickness=6+mm") && other.contains("humidity=45+%25"), "{other}");
    let terminal = solidby(&["dough", "--thickness", "6", "--air-dry"]).output().unwrap();
    assert_eq!(terminal.status.code(), Some(2));
}

/// Each remedy is a button; pressed, it is in the form, and the answer is another one.
#[test]
fn remedies_change_the_form_and_are_answered_anew() {
    let page = Page::start(&["--no-diary"]);
    for (path, query) in [
        ("ice", "shape=fox&count=6&covered=yes&units=us&at=20:00&by=07:00"),
        ("dough", "thickness=8+mm&oven=70+C&faces=one&units=metric"),
    ] {
        let html = page.get(&format!("{path}?{query}")).text();
        let headline = |html: &str| {
            shown(html.split("class=\"headline\"").nth(1).unwrap().split("</dl>").next().unwrap())
        };
        let buttons: Vec<String> = html
            .split("name=\"try\" value=\"")
            .skip(1)
            .map(|rest| rest.split('"').next().unwrap().replace("&amp;", "&"))
            .collect();
        assert!(buttons.len() >= 2, "{path} has {} remedies", buttons.len());
        for change in buttons {
            let reply = page.get(&format!("{path}?{query}&try={}", encoded(&change)));
            assert_eq!(reply.status, 303, "{change}");
            let location = reply.header("location").unwrap().to_owned();
            let below = location.strip_prefix(&page.root).unwrap().trim_end_matches("#answer");
            let changed = page.get(below).text();
            assert_ne!(headline(&changed), headline(&html), "{change}");
        }
    }
}

#[test]
fn a_look_is_one_tap() {
    let folder = folder();
    let diary = folder.path().join("diary.toml");
    let name = diary.to_str().unwrap();
    let page = Page::start(&["--diary", name]);
    // A named diary that is not there yet is no fault of the page.
    assert_eq!(page.get("diary").status, 200);
    let filled =
        page.post("ice/note", "shape=fox&count=4&at=2026-12-06T09:30&by=2026-12-07T07:00&units=us");
    assert_eq!(filled.status, 303, "{}", filled.text());
    let text = std::fs::read_to_string(&diary).unwrap();
    assert!(text.contains("mould = \"fox\"\ncount = \"4\"\nseen = []"), "{text}");
    let html = page.get("diary").text();
    assert!(html.contains("Still wet") && html.contains("nothing yet"), "{html}");
    let at = html.split("name=\"at\" value=\"").nth(1).unwrap().split('"').next().unwrap();
    let at = shown(at);
    let look =
        |what: &str| page.post("diary/look", &format!("note=1&at={}&seen={what}", encoded(&at)));
    assert_eq!(look("wet").status, 303);
    assert_eq!(look("solid").status, 303);
    assert_eq!(look("gone").status, 422, "not a thing that is seen of ice");
    assert_eq!(page.post("diary/look", "note=1&at=2026-12-05T09:30:00-07:00&seen=wet").status, 422);
    assert_eq!(page.post("diary/look", "note=2&seen=wet").status, 422);
    let text = std::fs::read_to_string(&diary).unwrap();
    assert!(
        text.contains(
            "seen = [\"2026-12-06T18:30:00-07:00 wet\", \"2026-12-06T18:30:00-07:00 solid\"]"
        ),
        "{text}"
    );
    let notes = printed(&["diary", "show", "--diary", name, "--json"]);
    let notes: serde_json::Value = serde_json::from_str(&notes).unwrap();
    assert_eq!(notes["appliances"][0]["notes"][0]["seen"].as_array().unwrap().len(), 2);
    let html = page.get("diary").text();
    assert!(shown(&html).contains("wet after 9 h, solid after 9 h"), "{}", shown(&html));
}

/// Looks are added to lists however they are written, and nothing else changes.
#[test]
fn a_look_leaves_the_rest_of_the_diary_alone() {
    let folder = folder();
    let diary = folder.path().join("diary.toml");
    let note = |seen: &str| {
        format!(
            "# mine\n[[note]]\nkind = \"ice\" # first\nat = 2026-12-06T09:30:00-07:00\nmould = 'fox'\n{seen}# end\n"
        )
    };
    for (before, after) in [
        ("", None),
        ("seen = []\n", Some("seen = [\"L\"]\n")),
        ("seen = [ ] # none\n", Some("seen = [\"L\" ] # none\n")),
        (
            "seen = [\n  'after 2 h wet', # early\n]\n",
            Some("seen = [\n  'after 2 h wet', \"L\", # early\n]\n"),
        ),
        ("seen = ['after 2 h wet']\n", Some("seen = ['after 2 h wet', \"L\"]\n")),
    ] {
        std::fs::write(&diary, note(before)).unwrap();
        let output = solidby(&["diary", "look", "--seen", "18:00 solid", "--diary"])
            .arg(&diary)
            .output()
            .unwrap();
        assert!(output.status.success(), "{before:?}: {}", String::from_utf8_lossy(&output.stderr));
        let look = "2026-12-06T18:00:00-07:00 solid";
        let wanted = match after {
            Some(after) => note(after).replace('L', look),
            None => note("").replace("-07:00\n", &format!("-07:00\nseen = [\"{look}\"]\n")),
        };
        assert_eq!(std::fs::read_to_string(&diary).unwrap(), wanted);
    }
}
