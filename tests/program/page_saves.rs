//! A plan that is saved from the page: beside other windows and other programs, twice, under
//! another name, and to a file that may not be written.

use crate::{
    page::{Page, Reply, shown},
    page_form::{Form, attribute, opened, send},
};

use std::{
    fs,
    sync::atomic::{AtomicBool, AtomicU32, Ordering::SeqCst},
};

const DEMO: &str = include_str!("../../demo/forest-fortnight.toml");

#[test]
fn a_file_that_changed_on_the_disk_is_not_overwritten() {
    let (folder, path, page) = opened(DEMO);
    let form = Form::read(&page.get("plan")).with("group.0.children", "12");
    let other = DEMO.replace("children = 9", "children = 8");
    fs::write(&path, &other).unwrap();
    let reply = send(&page, &form, "save");
    assert_eq!(reply.status, 200);
    assert!(shown(&reply.text()).contains("changed by another program"));
    assert_eq!(fs::read_to_string(&path).unwrap(), other);
    // Under another name it goes, but not over a file that is there.
    let form = Form::read(&reply);
    assert_eq!(form.get("group.0.children"), "12");
    let over = send(&page, &form.clone().with("as", &path), "save");
    assert!(shown(&over.text()).contains("changed by another program"));
    let new = folder.path().join("new").display().to_string();
    assert_eq!(send(&page, &form.with("as", &new), "save").status, 303);
    let saved = fs::read_to_string(format!("{new}.toml")).unwrap();
    assert_eq!(saved, DEMO.replace("children = 11", "children = 12"));
    let form = Form::read(&page.get("plan")).with("as", &path);
    assert!(shown(&send(&page, &form, "save").text()).contains("is there already"));
    assert_eq!(fs::read_to_string(&path).unwrap(), other);
}

#[test]
fn a_page_from_before_changes_nothing() {
    let (_folder, path, page) = opened(DEMO);
    let (one, other) = (Form::read(&page.get("plan")), Form::read(&page.get("plan")));
    send(&page, &one.with("group.0.children", "12"), "check");
    let reply = send(&page, &other.with("group.1.children", "7"), "save");
    assert!(shown(&reply.text()).contains("changed in another window"));
    let form = Form::read(&reply);
    assert_eq!((form.get("group.0.children"), form.get("group.1.children")), ("12", "9"));
    assert_eq!(fs::read_to_string(path).unwrap(), DEMO);
}

/// What was typed on a page from before is shown, and put into the plan as it is now by a button:
/// that and nothing else.
#[test]
fn what_was_typed_on_a_page_from_before_is_not_lost() {
    let (_folder, path, page) = opened(DEMO);
    let (one, other) = (Form::read(&page.get("plan")), Form::read(&page.get("plan")));
    let one = one.with("group.0.children", "12").with("mould.0.own", "6");
    assert_eq!(send(&page, &one, "save").status, 303);
    let typed = other
        .with("group.1.children", "7")
        .with("mould.0.own", "5")
        .with("hours.home.1.until", "21:00");
    let reply = send(&page, &typed, "save");
    let words = shown(&reply.text());
    for said in [
        "What you typed on the old page",
        "Group “Wrens”, Children : 7 (it is 9 now)",
        "How many you have : 5 (it is 6 now)",
        "Put it into the plan and save",
    ] {
        assert!(words.contains(said), "no {said} in {words}");
    }
    assert!(!words.contains("Group “Otters”, Children :"), "the other page typed that: {words}");
    let html = reply.text();
    let box_of = html.split("id=\"stale\"").nth(1).unwrap().split("</form>").next().unwrap();
    let inputs = box_of.split("<input ").skip(1).map(|tag| format!(" {tag}"));
    let fields =
        inputs.map(|tag| (attribute(&tag, "name").unwrap(), attribute(&tag, "value").unwrap()));
    let put = Form(fields.collect());
    assert_eq!(send(&page, &put, "save").status, 303);
    let saved =
        DEMO.replace("children = 11", "children = 12").replace("children = 9", "children = 7");
    let saved =
        saved.replace("own = 4", "own = 5").replace("daily 18:30-21:30", "daily 18:30-21:00");
    assert_eq!(fs::read_to_string(&path).unwrap(), saved);
    // The same of a thing that is another one by now, which cannot be known from its place.
    let typed = Form::read(&page.get("plan")).with("group.1.children", "8");
    send(&page, &Form::read(&page.get("plan")).with("group.1.name", "Finches"), "check");
    let words = shown(&send(&page, &typed, "check").text());
    assert!(words.contains("Children : 8 (what it was typed for is another one now)"), "{words}");
    assert!(!words.contains("Put it into the plan"), "{words}");
}

#[test]
fn a_text_from_before_stays_to_be_taken() {
    let (_folder, _, page) = opened(DEMO);
    let text = Form::read_text(&page.get("plan/text"));
    send(&page, &Form::read(&page.get("plan")).with("group.0.children", "12"), "check");
    let typed = text.get("text").replace("children = 9", "children = 8");
    let reply = page.post("plan/text", &text.with("text", &typed).body());
    assert!(shown(&reply.text()).contains("Below stands what you typed"), "{}", reply.text());
    let text = Form::read_text(&reply);
    assert_eq!(page.post("plan/text", &text.body()).status, 303);
    let form = Form::read(&page.get("plan"));
    assert_eq!((form.get("group.0.children"), form.get("group.1.children")), ("11", "8"));
}

/// Sends the form of a button below the plan, made of this page.
fn press(page: &Page, button: &str, shown: &Form) -> Reply {
    page.post(button, &format!("revision={}", shown.get("revision")))
}

#[test]
fn a_double_click_saves_once_and_is_no_failure() {
    let (_folder, path, page) = opened(DEMO);
    let form = Form::read(&page.get("plan")).with("group.0.children", "12");
    let replies: Vec<Reply> = std::thread::scope(|scope| {
        let click = || scope.spawn(|| send(&page, &form, "save"));
        let clicks = [click(), click(), click()];
        clicks.into_iter().map(|click| click.join().unwrap()).collect()
    });
    for reply in replies {
        assert_eq!(reply.status, 303, "{}", shown(&reply.text()));
    }
    let saved = fs::read_to_string(path).unwrap();
    assert_eq!(saved, DEMO.replace("children = 11", "children = 12"));
}

#[test]
fn two_windows_that_save_at_once_never_lock_each_other_out() {
    let (_folder, path, page) = opened(DEMO);
    std::thread::scope(|scope| {
        for field in ["group.0.children", "group.1.children"] {
            let page = &page;
            scope.spawn(move || {
                for n in 1..40 {
                    let form = Form::read(&page.get("plan")).with(field, &n.to_string());
                    let words = shown(&send(page, &form, "save").text());
                    assert!(!words.contains("changed by another program"), "{field} {n}: {words}");
                }
            });
        }
    });
    let form = Form::read(&page.get("plan")).with("group.0.children", "3");
    assert_eq!(send(&page, &form, "save").status, 303);
    assert!(fs::read_to_string(path).unwrap().contains("children = 3"));
}

/// The other program marks each of its saves. A save of the page bears the mark of what the
/// page had read, so a mark that has gone back was overwritten unseen.
#[test]
fn what_another_program_saves_is_never_overwritten_unseen() {
    let (folder, path, page) = opened(&format!("# mark 0\n{DEMO}"));
    let other = folder.path().join("other");
    let mark = |text: &str| text.lines().next().unwrap().to_owned();
    let done = AtomicBool::new(false);
    let rounds = AtomicU32::new(0);
    let saves = std::thread::scope(|scope| {
        let clicks = scope.spawn(|| {
            let mut saves = 0;
            let mut n = 0;
            while !done.load(SeqCst) {
                n += 1;
                press(&page, "plan/again", &Form::read(&page.get("plan")));
                let form = Form::read(&page.get("plan"));
                let form = form.with("group.0.children", &(1 + n % 20).to_string());
                saves += u32::from(send(&page, &form, "save").status == 303);
                rounds.fetch_add(1, SeqCst);
            }
            saves
        });
        let mut unseen = Vec::new();
        for n in 1..400 {
            // What the page puts there by mistake it takes back at once; what it loses stays away.
            let saved = format!("# mark {}", n - 1);
            let found = || mark(&fs::read_to_string(&path).unwrap());
            let is_back = || {
                std::thread::sleep(std::time::Duration::from_millis(1));
                found() == saved
            };
            if found() != saved && !(0..2_000).any(|_| is_back()) {
                unseen.push((n - 1, found()));
            }
            fs::write(&other, format!("# mark {n}\n{DEMO}")).unwrap();
            fs::rename(&other, &path).unwrap();
            std::thread::sleep(std::time::Duration::from_millis(3));
            // Now and then it rests until the page has read and saved once undisturbed.
            let before = rounds.load(SeqCst);
            while n % 40 == 0 && rounds.load(SeqCst) < before + 2 && !clicks.is_finished() {
                std::thread::yield_now();
            }
        }
        done.store(true, SeqCst);
        let saves = clicks.join().unwrap();
        assert_eq!(unseen, [], "overwritten unseen");
        saves
    });
    assert!(saves >= 9, "the page saved {saves} times, and could nine times undisturbed");
}

#[test]
fn a_page_from_before_puts_nothing_away_and_throws_nothing_away() {
    let (_folder, _, page) = opened(DEMO);
    let old = Form::read(&page.get("plan"));
    send(&page, &old.clone().with("group.0.children", "12"), "check");
    for button in ["plan/close", "plan/again"] {
        let words = shown(&press(&page, button, &old).text());
        assert!(words.contains("changed in another window"), "{button}: {words}");
        assert_eq!(Form::read(&page.get("plan")).get("group.0.children"), "12", "{button}");
    }
    let current = Form::read(&page.get("plan"));
    press(&page, "plan/again", &current);
    let current = Form::read(&page.get("plan"));
    assert_eq!(current.get("group.0.children"), "11");
    press(&page, "plan/close", &current);
    assert!(shown(&page.get("plan").text()).contains("Start a plan"));
}

#[cfg(unix)]
#[test]
fn a_saved_plan_keeps_its_mode_and_one_that_is_read_only_is_left_alone() {
    use std::os::unix::fs::PermissionsExt;
    let (_folder, path, page) = opened(DEMO);
    let set = |mode| fs::set_permissions(&path, fs::Permissions::from_mode(mode)).unwrap();
    let save = |children: &str| {
        let form = Form::read(&page.get("plan")).with("group.0.children", children);
        send(&page, &form, "save")
    };
    set(0o600);
    assert_eq!(save("12").status, 303);
    assert_eq!(fs::metadata(&path).unwrap().permissions().mode() & 0o777, 0o600);
    set(0o444);
    let before = fs::read_to_string(&path).unwrap();
    assert!(shown(&save("13").text()).contains("read-only"));
    assert_eq!(fs::read_to_string(&path).unwrap(), before);
}
