//! A plan on the page, over HTTP and without script: a saved file differs from the
//! opened one only where it was changed, and what is downloaded is
//! what `solidby plan` writes, byte for byte.

use crate::{
    page::{Page, encoded, folder, shown, solidby},
    page_form::{Form, after, attribute, element, opened, send},
};

use std::fs;

use solidby::units::{Locale, System};

const DEMO: &str = include_str!("../../demo/forest-fortnight.toml");
const STARTER: &str = include_str!("../data/starter.toml");

fn lines_apart(old: &str, new: &str) -> Vec<(String, String)> {
    assert_eq!(old.split_inclusive('\n').count(), new.split_inclusive('\n').count(), "{new}");
    let pairs = old.split_inclusive('\n').zip(new.split_inclusive('\n'));
    pairs.filter(|(a, b)| a != b).map(|(a, b)| (a.to_owned(), b.to_owned())).collect()
}

#[test]
fn one_change_is_one_line() {
    for text in [
        DEMO.to_owned(),
        STARTER.to_owned(),
        STARTER.replace('\n', "\r\n"),
        format!("\u{feff}{DEMO}"),
    ] {
        let (_folder, path, page) = opened(&text);
        let form = Form::read(&page.get("plan"));
        // Sent as it was shown, nothing changes.
        let reply = after(&page, &send(&page, &form, "save"));
        assert_eq!(fs::read_to_string(&path).unwrap(), text);
        let form = Form::read(&reply);
        assert_eq!(form.get("group.0.children"), "11");
        let reply = send(&page, &form.with("group.0.children", "12"), "save");
        assert!(shown(&after(&page, &reply).text()).contains("Saved."));
        let saved = fs::read_to_string(&path).unwrap();
        let end = if text.contains("\r\n") { "\r\n" } else { "\n" };
        let wanted = (format!("children = 11{end}"), format!("children = 12{end}"));
        assert_eq!(lines_apart(&text, &saved), [wanted]);
    }
}

#[test]
fn other_fields_change_their_own_lines() {
    let (_folder, path, page) = opened(STARTER);
    let cases = [
        ("title", "plan.title", "Snow week"),
        ("home", "hours.home.1.from", "19:00"),
        ("days", "group.0.days", "Mon Wed"),
        ("temperature", "room.temperature", "70 F"),
        ("kind", "freezer.0.kind", "chest"),
        ("{ group", "session.0.0.at", "2026-12-14T10:00"),
        ("give", "ornament.0.give", "2026-12-14"),
        ("finish", "ornament.0.finish", "paint"),
    ];
    for (word, name, value) in cases {
        let before = fs::read_to_string(&path).unwrap();
        let form = Form::read(&page.get("plan"));
        let reply = send(&page, &form.with(name, value), "save");
        assert_eq!(reply.status, 303, "{name}: {}", shown(&reply.text()));
        let apart = lines_apart(&before, &fs::read_to_string(&path).unwrap());
        let [(old, new)] = &apart[..] else { panic!("{name}: {apart:?}") };
        let remark = |line: &str| line.split_once('#').map(|(_, remark)| remark.to_owned());
        assert!(old.trim().starts_with(word) && new.trim().starts_with(word), "{name}: {apart:?}");
        assert_eq!(remark(old), remark(new), "{name}");
    }
}

#[test]
fn what_is_downloaded_is_what_the_command_writes() {
    let (folder, path, page) = opened(DEMO);
    let out = |name: &str| folder.path().join(name).display().to_string();
    let (ics, sheet) = (out("plan.ics"), out("plan.html"));
    let output =
        solidby(&["plan", &path, "--no-diary", "--json", "--ics", &ics, "--sheet", &sheet])
            .output()
            .unwrap();
    // The page plans for the first time too, and not beside what was written.
    fs::remove_file(out("fortnight.kept.toml")).unwrap();
    let calendar = page.get("plan/plan.ics");
    assert_eq!(calendar.body, fs::read(&ics).unwrap());
    assert_eq!(
        calendar.header("content-disposition"),
        Some("attachment; filename=\"fortnight.ics\"")
    );
    let printed = page.get("plan/sheet.html");
    assert_eq!(printed.body, fs::read(&sheet).unwrap());
    assert!(
        printed
            .header("content-security-policy")
            .unwrap()
            .starts_with("default-src 'none'; style-src 'unsafe-inline'")
    );
    // The steps are those of the answer, with reasons, cautions and what to carry.
    let steps = shown(&page.get("plan/steps").text());
    let plan: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    let told = plan["steps"].as_array().unwrap();
    assert!(told.len() > 20, "{plan}");
    let american = Locale::of(System::Us, None);
    for step in told {
        for part in ["what", "because", "where"] {
            let words = american.spelled(step[part].as_str().unwrap());
            assert!(steps.contains(&words), "“{words}” is not on the page");
        }
    }
    let said = |id: &str| solidby::tables::caution(id).unwrap().text_in(american);
    for caution in told.iter().flat_map(|step| step["cautions"].as_array().unwrap()) {
        assert!(steps.contains(&said(caution["id"].as_str().unwrap())), "{caution}");
    }
    for carried in plan["carry"].as_array().unwrap() {
        assert!(steps.contains(carried["items"][0].as_str().unwrap()), "{carried}");
    }
    assert!(steps.contains("Done in time: ") && steps.contains("Shopping"));
}

#[test]
fn what_is_wrong_is_said_beside_its_field_and_not_saved() {
    let (_folder, path, page) = opened(DEMO);
    let cases = [
        ("ornament.0.at", "200", "“200” has no unit: type “200 F” or “200 C”."),
        ("room.temperature", "680", "is 680 F, which is out of range"),
        ("group.0.children", "", "“Children” is empty; as in “11”."),
        ("ornament.0.give", "", "“Given on, at the latest” is empty; choose a day."),
        ("session.0.0.at", "", "“Begins” is empty; choose a day and a time."),
        ("group.0.children", "many", "must be a whole number"),
        ("group.1.name", "Otters", "another group is called “Otters” too"),
        ("mould.0.volume", "", "“Holds” is empty; as in “1 1/3 cup”"),
        ("session.0.0.at", "2026-12-10T09:30", "does not meet on Thursday"),
        ("session.0.0.at", "soon", "must be a date"),
        ("ornament.0.finish", "glitter", "not known"),
        ("plan.timezone", "America/Denvar", "did you mean “America/Denver”"),
    ];
    for (name, value, says) in cases {
        let form = Form::read(&page.get("plan"));
        let reply = send(&page, &form.with(name, value), "save");
        let html = reply.text();
        assert_eq!(reply.status, 200, "{name}: {}", shown(&html));
        assert!(html.contains("Not saved: something is wrong"), "{name}");
        let words = shown(element(&html, &format!("{name}-words")));
        assert!(words.contains(says), "{name}: {words}");
        assert!(html.contains(&format!("href=\"#{name}\"")), "{name} has no link");
        assert_eq!(fs::read_to_string(&path).unwrap(), DEMO, "{name}");
        assert_eq!(page.get("plan/steps").status, 303, "{name}");
        // What was typed is still there to be mended.
        if value.len() > 4 && name != "ornament.0.finish" {
            assert_eq!(Form::read(&reply).get(name).trim(), value);
        }
        let shown = Form::read(&page.get("plan"));
        page.post("plan/again", &format!("revision={}", shown.get("revision")));
    }
    let form = Form::read(&page.get("plan"));
    assert_eq!(send(&page, &form, "steps").status, 303);
}

/// Hours and days are rows to tick and to pick from; what says more stays text, what is not
/// touched stays as it is written, and half a row is a fault whose fields stay. Undo takes it back.
#[test]
fn hours_and_days_are_rows() {
    let text = DEMO.replace("home   = [", "home   = [\"2026-12-05 09:00-17:00\", ");
    assert_ne!(text, DEMO);
    let (_folder, path, page) = opened(&text);
    let saved = |key: &str| {
        let file = fs::read_to_string(&path).unwrap();
        file.lines().find(|line| line.starts_with(key)).unwrap().to_owned()
    };
    let before = (saved("home"), saved("closed"));
    let form = Form::read(&page.get("plan"));
    assert_eq!(form.get("hours.home.0.text"), "2026-12-05 09:00-17:00");
    assert_eq!((form.get("hours.home.1.from"), form.get("hours.home.1.until")), ("06:15", "07:15"));
    assert_eq!(form.get("hours.closed.0.from"), "2026-12-21");
    let form = form.with("hours.home.1.from", "06:20").with("hours.closed.1.from", "2027-01-18");
    let reply = after(&page, &send(&page, &form, "save"));
    assert!(shown(&reply.text()).contains("Saved."));
    assert_eq!(saved("home"), before.0.replace("daily 06:15-07:15", "daily 06:20-07:15"));
    assert_eq!(saved("closed"), before.1.replace("2027-01-01\"", "2027-01-01\", \"2027-01-18\""));

    let form = Form::read(&page.get("plan")).with("hours.home.2.until", "");
    let html = send(&page, &form, "save").text();
    let words = shown(element(&html, "hours.home-words"));
    assert!(words.contains("is not hours"), "{words}");
    let form = Form::read(&page.get("plan"));
    assert_eq!((form.get("hours.home.2.from"), form.get("hours.home.2.until")), ("18:30", ""));
    let undo = |revision: &str| {
        page.post("plan/undo", &format!("revision={revision}&do=undo"));
        Form::read(&page.get("plan"))
    };
    let form = undo(form.get("revision"));
    assert_eq!(form.get("hours.home.2.until"), "21:30");
    let form = undo(form.get("revision"));
    assert_eq!((form.get("hours.home.1.from"), form.get("hours.closed.1.from")), ("06:15", ""));
}

/// Of several rows only the one that is wrong is marked, and of it what is to be mended.
#[test]
fn the_row_that_is_wrong_is_marked() {
    let (_folder, _, page) = opened(DEMO);
    let marked = |name: &str, value: &str| {
        let form = Form::read(&page.get("plan")).with(name, value);
        let html = send(&page, &form, "check");
        let html = after(&page, &html).text();
        let inputs = element_tags(&html).filter(|tag| tag.contains("aria-invalid"));
        let names: Vec<String> = inputs.filter_map(|tag| attribute(tag, "name")).collect();
        let shown = Form::read(&page.get("plan"));
        page.post("plan/again", &format!("revision={}", shown.get("revision")));
        names
    };
    assert_eq!(marked("hours.home.1.until", ""), ["hours.home.1.until"]);
    let whole = ["hours.home.1.from", "hours.home.1.until"];
    assert_eq!(marked("hours.home.1.until", "06:00"), whole, "it ends before it starts");
    assert_eq!(marked("hours.class.0.days", "")[0], "hours.class.0.days");
    assert_eq!(
        marked("hours.closed.0.until", "2026-12-01"),
        ["hours.closed.0.from", "hours.closed.0.until"]
    );
}

/// The opening tags of a page.
fn element_tags(html: &str) -> impl Iterator<Item = &str> {
    html.split('<').filter_map(|part| Some(part.split_once('>')?.0))
}

/// What is wrong is said on the form in the words of the form: no keys, headers or lines of the
/// file.
#[test]
fn a_form_speaks_of_its_fields() {
    let turns = "blocks = \"each\"\nturn = \"8 min\"";
    let cases = [
        ("name = \"Wrens\"", "name = \"Otters\"", "another group is called “Otters” too"),
        ("[room]", "[room]\ncolour = \"red\"", "take it out under “As text”"),
        ("method = \"oven\"", "method = \"air\"", "goes with “Dried” “in an oven”"),
        ("blocks = \"each\"", turns, "as in “4” in “Blocks”"),
        ("depth = \"35 mm\"", "depth = \"35 mm\"\nfill = \"40 mm\"", "nine tenths of “Depth”"),
        ("[room]", "[wishes]\nearliest = \"22:00\"\n\n[room]", "is not after “No work before”"),
        ("2026-12-21 to", "2026-12-09 to", "class is closed on 2026-12-09"),
        (
            "  { group = \"Otters\", at = 2026-12-09T09:30:00 },\n  { group = \"Wrens\", at = 2026-12-10T09:30:00 },\n",
            "",
            "add one with “Another session”",
        ),
        ("class  =", "school =", "no hours are said for “class”"),
        ("-07:15\"", "-\"", "“daily 06:15-” is not hours yet: say until when"),
    ];
    let mut faulty = Vec::new();
    for (from, to, says) in cases {
        let text = DEMO.replacen(from, to, 1);
        assert_ne!(text, DEMO, "{from}");
        let (_folder, _, page) = opened(&text);
        let shown = shown(&page.get("plan").text());
        assert!(shown.contains(says), "no {says} in {shown}");
        for word in ["`", "[[", "[hours]", "(line "] {
            assert!(!shown.contains(word), "{word} in {shown}");
        }
        faulty.push(shown);
    }
    let more = "What hangs on these is looked at once they are mended, so more may turn up then.";
    assert!(faulty.iter().all(|shown| shown.contains(more)));
}

/// A number alone is saved with the unit that stands beside its field.
#[test]
fn a_number_alone_is_saved_with_its_unit() {
    let (_folder, path, page) = opened(DEMO);
    for (name, typed, line) in [
        ("room.humidity", "40", "humidity = \"40 %\""),
        ("room.temperature", "70", "temperature = \"70 F\""),
        ("mould.0.depth", "1.5", "depth = \"1.5 in\""),
        ("ice.0.travel", "30", "travel = \"30 min\""),
        ("group.0.youngest", "3", "youngest = \"3 years\""),
        ("group.0.youngest", "30 months", "youngest = \"30 months\""),
    ] {
        let before = fs::read_to_string(&path).unwrap();
        let form = Form::read(&page.get("plan"));
        let html = after(&page, &send(&page, &form.with(name, typed), "save")).text();
        let apart = lines_apart(&before, &fs::read_to_string(&path).unwrap());
        let [(_, new)] = &apart[..] else { panic!("{name}: {apart:?}") };
        assert!(new.starts_with(line), "{name}: {new}");
        let field = html.split(&format!("id=\"{name}\"")).nth(1).unwrap();
        assert!(field.contains(&format!("value=\"{typed}\"")), "{name} is shown as it was typed");
    }
}

/// An age in months counts as the whole years that are over; what is none is refused with both.
#[test]
fn an_age_may_be_in_months() {
    let ages = [("30 months", 2), ("36 months", 3), ("1 year", 1), ("11 months", 0)];
    let parts =
        [("2 1/2 years", 2), ("2.5 years old", 2), ("2½ years", 2), ("1 year 11 months", 1)];
    for (age, years) in
        ages.into_iter().chain(parts).chain([("3", 3), ("2 years and 12 months", 3)])
    {
        let text = DEMO.replacen("youngest = \"2 years\"", &format!("youngest = \"{age}\""), 1);
        let plan = solidby::planfile::read(&text).unwrap();
        assert_eq!(plan.groups[0].youngest, Some(years), "{age}");
    }
    let (_folder, _path, page) = opened(DEMO);
    let form = Form::read(&page.get("plan")).with("group.0.youngest", "two and a half");
    let words = shown(element(&send(&page, &form, "save").text(), "group.0.youngest-words"));
    assert!(words.contains("“2 years” or “30 months”"), "{words}");
}

#[test]
fn a_name_that_changes_is_followed() {
    let (_folder, path, page) = opened(DEMO);
    let form = Form::read(&page.get("plan"));
    let reply = send(&page, &form.with("group.0.name", "Foxes"), "save");
    assert_eq!(reply.status, 303, "{}", shown(&reply.text()));
    let saved = fs::read_to_string(path).unwrap();
    assert_eq!(saved.matches("Foxes").count(), 3);
    assert_eq!(lines_apart(DEMO, &saved).len(), 3);
}

#[test]
fn things_come_and_go() {
    let (_folder, path, page) = opened(DEMO);
    for list in ["group", "freezer", "oven", "mould", "ice", "ornament", "theme", "session.0"] {
        let before = Form::read(&page.get("plan"));
        let more = after(&page, &send(&page, &before, &format!("add.{list}")));
        assert!(!more.text().contains("to mend</h2>"), "{list}: {}", shown(&more.text()));
        let form = Form::read(&more);
        let own =
            |form: &Form| form.0.iter().filter(|f| f.0.starts_with(&format!("{list}."))).count();
        assert!(own(&form) > own(&before), "{list}");
        let last =
            (0..9).rev().find(|n| form.0.iter().any(|f| f.0.starts_with(&format!("{list}.{n}."))));
        let less = after(&page, &send(&page, &form, &format!("drop.{list}.{}", last.unwrap())));
        let values =
            |form: &Form| form.0.iter().filter(|f| f.0 != "revision").cloned().collect::<Vec<_>>();
        assert_eq!(values(&Form::read(&less)), values(&before), "{list}");
    }
    let form = Form::read(&page.get("plan"));
    send(&page, &form, "save");
    assert_eq!(fs::read_to_string(path).unwrap(), DEMO);
}

#[test]
fn from_nothing_to_a_saved_plan() {
    let folder = folder();
    let page = Page::start(&["--no-diary"]);
    assert!(shown(&page.get("plan").text()).contains("Start a plan"));
    let reply = after(&page, &page.post("plan/start", ""));
    let form = Form::read(&reply);
    assert!(shown(&send(&page, &form, "save").text()).contains("Not saved: give the file a name"));
    let path = folder.path().join("mine.toml").display().to_string();
    let reply =
        send(&page, &form.with("as", &path).with("plan.title", "<b>\"Mine\" & yours"), "save");
    let html = after(&page, &reply).text();
    assert!(!html.contains("<b>\"Mine\""));
    let status = solidby(&["check", &path]).status().unwrap();
    assert!(status.success());
    let steps = page.get("plan/steps");
    assert_eq!(steps.status, 200);
    assert!(shown(&steps.text()).contains("<b>\"Mine\" & yours"));
}

#[test]
fn a_mistake_in_the_toml_is_mended_as_text() {
    let (_folder, path, page) = opened("title = \"x\ntimezone = 5\n");
    let reply = page.get("plan");
    assert!(shown(&reply.text()).contains("line 1:"), "{}", shown(&reply.text()));
    let revision =
        attribute(&reply.text()[reply.text().find("name=\"revision\"").unwrap() - 20..], "value");
    let form =
        format!("revision={}&text={}", revision.unwrap(), encoded(&DEMO.replace('\n', "\r\n")));
    assert_eq!(page.post("plan/text", &form).status, 303);
    let form = Form::read(&page.get("plan"));
    assert_eq!(send(&page, &form, "save").status, 303);
    assert_eq!(fs::read_to_string(path).unwrap(), DEMO);
}

/// A plan that cannot be is mended by a tap, and the change is taken back and made again.
#[test]
fn a_way_out_is_one_tap_and_is_taken_back() {
    let folder = folder();
    let text = include_str!("../infeasible/too-thick-to-dry.toml");
    fs::write(folder.path().join("thick.toml"), text).unwrap();
    let page = Page::start_in(folder.path(), &["thick.toml", "--no-diary"]);
    let steps = page.get("plan/steps").text();
    assert!(shown(&steps).contains("cannot be done"), "{}", shown(&steps));
    assert!(steps.contains("name=\"way\" value=\"0\""), "{}", shown(&steps));
    let post = |path, form: &str| {
        let reply = page.post(path, form);
        assert_eq!(reply.status, 303, "{}", reply.text());
    };
    post("plan/way", "revision=0&problem=0&way=0");
    let after = shown(&page.get("plan/steps?said=changed").text());
    assert!(after.contains("The plan is changed by that") && after.contains("All in time"));
    // A tap from the page of before changes nothing.
    let stale = page.post("plan/way", "revision=0&problem=0&way=0");
    assert!(stale.status == 303 || stale.text().contains("another window"));
    let thickness = || {
        let file = page.get("plan/plan.toml").text();
        file.lines().find(|line| line.starts_with("thickness")).unwrap().to_owned()
    };
    let thinner = thickness();
    assert_ne!(thinner, "thickness = \"1 in\"");
    post("plan/undo", "revision=1&do=undo");
    assert_eq!(thickness(), "thickness = \"1 in\"");
    post("plan/undo", "revision=2&do=redo");
    assert_eq!(thickness(), thinner);
    assert_eq!(fs::read_to_string(folder.path().join("thick.toml")).unwrap(), text, "not saved");
}

/// Where several things cannot be done, one tap makes several of them possible.
#[test]
fn one_change_that_serves_several_is_one_tap() {
    let folder = folder();
    fs::write(folder.path().join("few.toml"), include_str!("../data/no-hours.toml")).unwrap();
    let now = "2027-01-07T20:10:00";
    let page = Page::start_in(folder.path(), &["few.toml", "--no-diary", "--now", now]);
    let steps = shown(&page.get("plan/steps").text());
    let change = "somebody at home every day, 07:00 to 22:00: all 12";
    assert!(steps.contains("12 things in this plan") && steps.contains(change), "{steps}");
    assert!(shown(&page.get("today").text()).contains(change));
    assert_eq!(page.post("plan/way", "revision=0&way=0").status, 303);
    let after = shown(&page.get("plan/steps").text());
    assert!(after.contains("All in time"), "{after}");
    let file = page.get("plan/plan.toml").text();
    assert!(file.contains("daily 07:00-22:00"), "{file}");
}

/// A first plan is not made of a session that is over, nor of hours that end before they begin.
#[test]
fn a_first_plan_is_still_to_come() {
    let page = Page::start(&["--no-diary"]);
    let asked = |at: &str, until: &str| {
        let rest =
            "name=Owls&children=9&mould=star&own=5&freezer=chest&from=18:30&leave=08:30&way=15";
        let zone = "zone=America/Denver&units=us";
        page.post("first", &format!("{rest}&{zone}&at={at}&until={until}"))
    };
    for (at, until, field, words) in [
        ("2026-12-01T09:30", "21:30", "at", "is over; choose a day and a time still to come"),
        ("2026-12-15T09:30", "18:00", "until", "must be later than “Hands free at home from”"),
    ] {
        let html = asked(at, until).text();
        let beside = shown(element(&html, &format!("{field}-words")));
        assert!(beside.contains(words), "{beside}");
    }
    assert_eq!(page.get("plan/steps").status, 303, "nothing is open");
    assert_eq!(asked("2026-12-15T09:30", "21:30").status, 303);
}

/// What is over is not told to be in time.
#[test]
fn nothing_left_is_no_promise() {
    let folder = folder();
    let path = folder.path().join("old.toml").display().to_string();
    fs::write(&path, DEMO).unwrap();
    let page = Page::start_at("2027-02-01T08:00:00-07:00", folder.path(), &[&path, "--no-diary"]);
    for path in ["plan/steps", "today"] {
        let shown = shown(&page.get(path).text());
        assert!(shown.contains("Nothing is left to do."), "{shown}");
        assert!(!shown.contains("All in time"), "{shown}");
    }
}

/// The sessions of the first ice activity as the form has them.
fn sessions(form: &Form) -> Vec<String> {
    let at = |n: usize| form.0.iter().find(|field| field.0 == format!("session.0.{n}.at"));
    (0..).map_while(at).map(|field| field.1.clone()).collect()
}

/// Sessions move by a class day and come again by buttons, without script; undo takes them back.
#[test]
fn sessions_move_and_come_again_by_buttons() {
    let (_folder, path, page) = opened(DEMO);
    let first = Form::read(&page.get("plan"));
    let before = sessions(&first);
    let press = |wish: &str| {
        let form = Form::read(&page.get("plan"));
        after(&page, &send(&page, &form, wish))
    };
    assert_eq!(before[0], "2026-12-09T09:30", "{before:?}");
    // From a Wednesday to the Friday, as the group meets on Monday, Wednesday and Friday.
    let moved = press("later.session.0.0");
    assert_eq!(sessions(&Form::read(&moved))[0], "2026-12-11T09:30");
    assert!(!moved.text().contains("to mend</h2>"), "{}", shown(&moved.text()));
    let back = press("earlier.session.0.0");
    assert_eq!(sessions(&Form::read(&back)), before);
    // Again: in the next week that is open, and on the next day that has none yet.
    let weekly = press("weekly.session.0.0");
    assert!(!weekly.text().contains("to mend</h2>"), "{}", shown(&weekly.text()));
    let more = sessions(&Form::read(&weekly));
    assert_eq!(more.len(), before.len() + 1);
    assert_eq!(more.last().unwrap(), "2026-12-16T09:30", "{more:?}");
    let twice = press("twice.session.0.0");
    assert!(!twice.text().contains("to mend</h2>"), "{}", shown(&twice.text()));
    let more = sessions(&Form::read(&twice));
    assert_eq!(more.last().unwrap(), "2026-12-11T09:30", "{more:?}");
    // Each is a session of its own in the plan, with steps of its own.
    let form = Form::read(&page.get("plan"));
    send(&page, &form, "save");
    let plan = solidby::planfile::read(&fs::read_to_string(&path).unwrap()).unwrap();
    let days: std::collections::BTreeSet<_> =
        plan.ice[0].sessions.iter().map(|session| (session.at, session.group)).collect();
    assert_eq!(days.len(), before.len() + 2);
    for _ in 0..2 {
        let revision = Form::read(&page.get("plan")).get("revision").to_owned();
        page.post("plan/undo", &format!("revision={revision}&do=undo"));
    }
    assert_eq!(sessions(&Form::read(&page.get("plan"))), before);
    // A button of a session that is not there changes nothing.
    press("weekly.session.0.9");
    press("later.session.7.0");
    assert_eq!(sessions(&Form::read(&page.get("plan"))), before);
}

/// In a plan in US units no page says mould, and kinds are called as people call them.
#[test]
fn kinds_have_names_for_people_in_her_spelling() {
    let (_folder, _path, page) = opened(&DEMO.replace("[[mold]]", "[[mould]]"));
    for path in ["", "ice", "dough", "plan", "plan/steps", "diary", "today", "thaw", "cool", "none"]
    {
        let html = page.get(&format!("{path}?units=us")).text();
        let words = shown(&html);
        for british in ["mould", "Mould", "aluminium"] {
            assert!(!words.contains(british), "{path} says {british}");
        }
    }
    let html = page.get("plan?units=us").text();
    let freezers = html.split("name=\"freezer.0.kind\"").nth(1).unwrap();
    let freezers = freezers.split("</select>").next().unwrap();
    assert!(freezers.contains("value=\"chest\">chest freezer<"), "{freezers}");
    assert!(html.contains("value=\"two-one-one\" selected>2 flour : 1 salt : 1 water, in cups<"));
    let metric = page.get("ice?units=metric").text();
    assert!(metric.contains("Usual moulds") && metric.contains(">ice-pop stick mould<"));
    assert!(metric.contains("value=\"cold-plate\">a cooled shelf"));
}

/// An address that leads nowhere leads back.
#[test]
fn an_unknown_address_leads_back() {
    let page = Page::start(&["--no-diary"]);
    let reply = page.get("calender?units=us");
    assert_eq!(reply.status, 404);
    let html = reply.text();
    assert!(shown(&html).contains("There is no such page"));
    for path in ["plan", "ice", "dough"] {
        assert!(html.contains(&format!("{path}?units=us")), "{html}");
    }
}
