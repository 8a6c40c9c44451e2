//! Children who come once the dough is cut: nobody paints or gives a piece that was never cut.

use std::fs;

use crate::{followed::Kept, run::Run};

const TREES: &str = include_str!("../data/pines-and-trees.toml");

/// Kept long ago for ten children, all the same since.
fn trees(text: &str) -> Kept {
    Kept::of(text, "2026-10-01T08:00:00")
}

/// What a plan says now, on one line, its file changed.
fn says(kept: &Kept, command: &str, (text, code): (String, i32), now: &str) -> String {
    fs::write(&kept.plan, text).unwrap();
    let ran = Run::of(&[command, &kept.plan, "--now", now]).inside(kept.path()).ends();
    assert_eq!(ran.code, Some(code), "{}{}", ran.stdout, ran.stderr);
    ran.stdout.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn with_children(number: u32) -> String {
    TREES.replacen("children = 10", &format!("children = {number}"), 1)
}

/// Eleven are cut: they are what is painted and given, and two more are made apart.
#[test]
fn what_was_not_cut_is_made_and_not_counted() {
    let kept = trees(TREES);
    let now = "2026-11-29T12:00:00";
    let lacks =
        "Trees for Elks: 11 pieces are cut for 13 children, 2 too few; those are “More Trees”";
    for command in ["plan", "today", "check"] {
        let words = says(&kept, command, (with_children(13), 0), now);
        assert!(words.contains(lacks), "{command}: {words}");
        assert!(!words.contains("13 pieces"), "{command}: {words}");
    }
    let words = says(&kept, "plan", (with_children(13), 0), now);
    for step in [
        "Elks paint 11 pieces",
        "Give 11 pieces",
        "cut 3 pieces [roll-more-trees]",
        "Elks paint 2 pieces",
        "Give 2 pieces",
    ] {
        assert!(words.contains(step), "{step}: {words}");
    }
    // They are kept as any other batch is, and once they are cut they are enough.
    kept.run(&["plan", &kept.plan, "--keep"], now);
    let steps = kept.steps("2026-12-03T12:00:00");
    assert!(steps.contains_key("paint-elks-more-trees"), "{steps:?}");
    let weighed = ["paint-elks-more-trees", "--weight", "21.5 g"];
    assert!(kept.did(&weighed, "2026-12-09T08:00:00").contains("ready for it"));
}

/// Each family has one slip and one card, whichever batch its piece is of.
#[test]
fn each_family_has_its_card() {
    let kept = trees(TREES);
    fs::write(&kept.plan, with_children(13)).unwrap();
    let notes = kept.path().join("notes.html");
    let write = ["plan", &kept.plan, "--notes", notes.to_str().unwrap()];
    kept.run(&write, "2026-11-29T12:00:00");
    let page = fs::read_to_string(notes).unwrap();
    let named = |name: &str| page.matches(name).count();
    let heads = ["Trees · Elks</h3>", "More Trees · Elks</h3>"].map(named);
    assert_eq!(heads, [26, 0], "{page}");
}

/// The spare piece is for the child who came.
#[test]
fn a_spare_piece_covers_first() {
    let kept = trees(TREES);
    let words = says(&kept, "plan", (with_children(11), 0), "2026-11-29T12:00:00");
    assert!(words.contains("Elks paint 11 pieces") && !words.contains("too few"), "{words}");
    // Before the dough is cut there is nothing that is lacking.
    let words = says(&kept, "plan", (with_children(13), 0), "2026-11-20T12:00:00");
    assert!(words.contains("cut 14 pieces") && !words.contains("too few"), "{words}");
}

/// Where no time is left, all is given that was cut, and how many are short is said.
#[test]
fn what_cannot_be_made_any_more_is_said() {
    let kept = trees(TREES);
    let words = says(&kept, "plan", (with_children(13), 3), "2026-12-14T12:00:00");
    assert!(words.contains("More Trees for Elks: no way was found"), "{words}");
    assert!(words.contains("2 too few") && words.contains("Give 11 pieces"), "{words}");
    assert!(words.contains("give “Trees” by Mon Jan 11"), "{words}");
    let later = with_children(13).replacen("2026-12-18", "2027-01-11", 1);
    let words = says(&kept, "plan", (later, 0), "2026-12-14T12:00:00");
    assert!(words.contains("Give 2 pieces"), "{words}");
}

/// What a group has painted stays its own, whichever group more children come to.
#[test]
fn painted_pieces_stay_with_their_group() {
    let wrens = "\n[[group]]\nname = \"Wrens\"\ndays = \"Tue Thu\"\nchildren = 6\nyoungest = \"3 years\"\n[[freezer]]";
    let two = |elks: u32| {
        let both = with_children(elks).replacen(
            "groups = [\"Elks\"]",
            "groups = [\"Elks\", \"Wrens\"]",
            1,
        );
        both.replacen("\n[[freezer]]", wrens, 1)
    };
    let kept = trees(&two(10));
    // The Elks have painted on Monday, the Wrens paint on Tuesday.
    let words = says(&kept, "plan", (two(13), 0), "2026-11-30T13:00:00");
    assert!(words.contains("17 pieces are cut for 19 children, 2 too few"), "{words}");
    assert!(words.contains("Wrens paint 6 pieces"), "{words}");
    assert!(words.contains("Elks paint 2 pieces"), "{words}");
}

/// A child who comes after the others have painted has a spare piece, and paints it too.
#[test]
fn a_child_who_comes_after_the_painting_paints_too() {
    let kept = trees(TREES);
    let painted = "2026-11-30T13:00:00";
    let words = says(&kept, "plan", (with_children(11), 0), painted);
    let late = "Trees for Elks: 1 spare piece is for a child who came after the others had \
                painted; let that child paint it before the next step.";
    assert!(words.contains(late) && words.contains("Give 11 pieces"), "{words}");
    let words = says(&kept, "plan", (with_children(10), 0), painted);
    assert!(!words.contains("spare piece is"), "{words}");
    let two = |text: &str| text.replacen("each = 1\nspare = 1", "each = 2\nspare = 2", 1);
    let kept = trees(&two(TREES));
    let words = says(&kept, "plan", (two(&with_children(11)), 0), painted);
    let late = "2 spare pieces are for a child who came after the others had painted; let that \
                child paint them before the next step.";
    assert!(words.contains(late), "{words}");
}

/// Where those that were made apart are too few again, a third batch is told from the second.
#[test]
fn a_second_batch_of_what_lacks_has_a_number() {
    let kept = trees(TREES);
    fs::write(&kept.plan, with_children(13)).unwrap();
    kept.run(&["plan", &kept.plan, "--keep"], "2026-11-28T12:00:00");
    // There is no time any more to freeze pines for the three of them.
    let words = says(&kept, "plan", (with_children(16), 3), "2026-12-04T12:00:00");
    assert!(words.contains("2 too few; those are “More Trees 2”"), "{words}");
    assert!(
        words.contains("Give 2 pieces to the parents · class [give-elks-more-trees-2]"),
        "{words}"
    );
}
