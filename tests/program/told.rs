//! What is told of a plan that is kept bears on what comes after it: nobody did that either.

use std::fs;

use serde_json::Value;
use solidby::planfile::starter;

use crate::{followed::Kept, run::Run};

const BAKERS: &str = include_str!("../data/evening-bakers.toml");
const TWO_BLOCKS: &str = include_str!("../data/two-blocks.toml");
const LEAVES: &str = include_str!("../data/leaves-for-two.toml");
const HEARTS: &str = include_str!("../data/damp-hearts.toml");
const ONE_TRAY: &str = include_str!("../data/one-tray.toml");

fn bakers() -> Kept {
    Kept::of(BAKERS, "2026-11-30T17:00:00")
}

fn two_blocks() -> Kept {
    Kept::of(TWO_BLOCKS, "2026-12-03T17:00:00")
}

/// The words of an answer on one line.
fn one_line(words: &str) -> String {
    words.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The dough is not mixed, so it is not rolled either, and no raw dough goes into the oven.
#[test]
fn what_follows_an_undone_step_is_undone() {
    let kept = bakers();
    let now = "2026-11-30T18:45:00";
    let words = kept.did(&["mix", "--skipped"], now);
    assert!(words.contains("[mix]") && !words.contains("Nothing else moves"), "{words}");
    let steps = kept.steps("2026-11-30T18:46:00");
    let order = ["mix", "roll", "put-in", "bake", "take-out"].map(|step| steps[step].as_str());
    assert!(order.is_sorted() && order[0] >= "2026-11-30T18:45", "{steps:?}");
}

/// What was not baked is raw dough, however late that is told.
#[test]
fn what_was_not_baked_is_raw() {
    let kept = Kept::new();
    let now = "2026-11-29T20:00:00";
    let ran = kept.run(&["did", &kept.plan, "bake", "--skipped"], now);
    // That evening there is no time left for it, and dough does not keep.
    assert_eq!(ran.code, Some(3), "{}", ran.stdout);
    assert!(ran.stdout.contains("with new dough: solidby did"), "{}", ran.stdout);
    let words = kept.did(&["mix", "--skipped"], now);
    assert!(words.contains("in time: very likely"), "{words}");
    let steps = kept.steps("2026-11-29T20:01:00");
    let order = ["mix", "roll", "put-in", "bake", "take-out"].map(|step| steps[step].as_str());
    assert!(order.is_sorted() && order[0] > "2026-11-29T20:01", "{steps:?}");
}

/// Pans that were not filled hold no ice, whatever time has come since.
#[test]
fn moulds_that_were_not_filled_are_not_turned_out() {
    for (fill, now) in [
        ("fill-2-otters-9-dec", "2026-12-08T07:06:00"),
        ("fill-4-otters-9-dec", "2026-12-09T07:40:00"),
    ] {
        let kept = Kept::new();
        let ran = kept.run(&["did", &kept.plan, fill, "--skipped"], now);
        // Too late for all twelve blocks, which four moulds make in three rounds at the least.
        assert_eq!(ran.code, Some(3), "{fill}: {}", ran.stdout);
        assert!(one_line(&ran.stdout).contains("Otters on Wed Dec 9 cannot be done"));
    }
}

#[test]
fn what_has_no_photo_is_not_wrapped() {
    let kept = Kept::new();
    let words = kept.did(&["photo", "--skipped"], "2026-12-11T21:00:00");
    assert!(one_line(&words).contains("Glue the photo into 20 pieces [photo]"), "{words}");
    let steps = kept.steps("2026-12-11T21:01:00");
    let order = ["photo", "seal", "coat-2", "wrap"].map(|step| steps[step].as_str());
    assert!(order.is_sorted() && order[0] > "2026-12-11T21", "{steps:?}");
}

/// Blocks that are still at home half an hour before class, half an hour away, are not used in it.
#[test]
fn blocks_at_home_are_not_used_in_class() {
    for step in ["pack-pandas-7-dec", "carry-pandas-7-dec"] {
        let kept = two_blocks();
        let ran = kept.run(&["did", &kept.plan, step, "--skipped"], "2026-12-07T08:30:00");
        assert_eq!(ran.code, Some(3), "{step}: {}", ran.stdout);
        assert!(one_line(&ran.stdout).contains("Pandas on Mon Dec 7 cannot be done"));
    }
}

/// Moulds that were not emptied are not filled, and are emptied at once where she is at home.
#[test]
fn moulds_that_were_not_emptied_are_not_filled() {
    let kept = Kept::new();
    let now = "2026-12-07T18:45:00";
    let words = kept.did(&["turn-out-otters-9-dec", "--skipped"], now);
    assert!(words.contains("very likely"), "{words}");
    let steps = kept.steps("2026-12-07T18:45:00");
    let [out, fill] = ["turn-out-otters-9-dec", "fill-2-otters-9-dec"].map(|step| &*steps[step]);
    assert!(out < fill && (out, fill) < ("2026-12-07T19:30", "2026-12-07T19:30"), "{steps:?}");
}

/// Pieces are expected to be soft as they come out of the oven: told so of taking them out, it is
/// the same as told of the baking.
#[test]
fn soft_as_they_are_taken_out_is_soft_as_they_were_baked() {
    let kept = bakers();
    let words = kept.did(&["take-out", "--soft"], "2026-11-30T21:05:00");
    assert!(!words.contains("gone") && words.contains("paint-finches"), "{words}");
    assert!(words.contains("in time: very likely"), "{words}");
}

/// What came out of the oven a quarter of an hour before that is told is on its rack, not lost.
#[test]
fn baked_sooner_than_planned() {
    let kept = bakers();
    let words = kept.did(&["bake", "--at", "8:30 pm"], "2026-11-30T20:45:00");
    assert!(words.contains("Next: Mon Nov 30 8:45 pm: Take 14 pieces out"), "{words}");
    assert!(!words.contains("gone"), "{words}");
}

/// What is told and what is planned a moment later are one plan.
#[test]
fn what_did_says_plan_says() {
    let kept = Kept::new();
    let now = "2026-12-08T21:00:00";
    let told = ["did", &kept.plan, "fill-3-otters-9-dec", "--json"];
    let [told, planned] =
        [&told[..], &["plan", &kept.plan, "--json"]].map(|words| kept.run(words, now).stdout);
    let [told, planned] = [told, planned].map(|json| serde_json::from_str::<Value>(&json).unwrap());
    let steps = |plan: &Value| {
        let steps = plan["steps"].as_array().unwrap().iter();
        steps.map(|step| (step["id"].clone(), step["start"].clone())).collect::<Vec<_>>()
    };
    assert_eq!(steps(&told), steps(&planned));
    assert_eq!(told["feasible"], planned["feasible"]);
    // Filled at nine in the evening, they cannot have been turned out at half past six.
    let out = |id: &Value| id.as_str().unwrap().ends_with("turn-out-3");
    let out = steps(&told).into_iter().find(|(id, _)| out(id));
    assert!(out.is_some_and(|(_, at)| at.as_str().unwrap() > "2026-12-08T21"), "{told}");
}

/// A slip of the finger a day too early is told from what was done.
#[test]
fn what_comes_later_cannot_be_told_first() {
    let kept = two_blocks();
    let now = "2026-12-05T07:05:00";
    let ran = kept.run(&["did", &kept.plan, "turn-out-pandas-9-dec"], now);
    assert_eq!(ran.code, Some(2), "{}", ran.stdout);
    let words = one_line(&ran.stderr);
    assert!(
        words.contains("tell that first: Wash 2 cake pan molds [wash-pandas-7-dec]"),
        "{words}"
    );
    assert!(words.contains("[fill-pandas-9-dec]"), "{words}");
    // All of them together are in order.
    let all = ["wash-pandas-7-dec", "fill-pandas-7-dec"];
    kept.did(&all, now);
}

/// Told without a time in the evening, it is taken as done then, and asked about; told again with
/// its time, the plan is as it was.
#[test]
fn a_step_that_is_told_late_is_asked_about() {
    let kept = two_blocks();
    let now = "2026-12-06T20:00:00";
    let before = kept.steps(now);
    let told = kept.run(&["did", &kept.plan, "fill-pandas-7-dec"], now).stdout;
    let words = one_line(&told);
    assert!(words.contains("Taken as done Sun Dec 6 8:00 pm."), "{told}");
    assert!(words.contains("Was it done Sun Dec 6 7:15 am, as planned?"), "{told}");
    assert!(words.contains("fill-pandas-7-dec --at '7:15 am'"), "{told}");
    let again = ["fill-pandas-7-dec", "--at", "7:15 am"];
    let words = kept.did(&again, now);
    assert!(words.contains("Nothing else moves") && !words.contains("Was it done"), "{words}");
    assert_eq!(kept.steps(now), before);
    // What is taken back then is all that was told of it.
    kept.did(&["--undo"], now);
    assert!(kept.run(&["did", &kept.plan, "--undo"], now).stderr.contains("nothing was told"));
}

#[test]
fn no_piece_weighs_what_it_cannot() {
    let kept = bakers();
    let now = "2026-11-30T21:00:00";
    for weight in ["5 g", "75 g"] {
        let ran = kept.run(&["did", &kept.plan, "bake", "--weight", weight], now);
        assert_eq!(ran.code, Some(2), "{weight}: {}", ran.stdout);
        assert!(one_line(&ran.stderr).contains("to 72 g, as it is cut"), "{}", ran.stderr);
    }
    kept.did(&["bake", "--weight", "60 g"], now);
}

/// A mould that leaks is a change of the plan file; and what is said is spelled as the plan is.
#[test]
fn a_mould_that_leaks_is_owned_no_more() {
    let kept = Kept::new();
    let fill = ["did", &kept.plan, "fill-3-otters-9-dec", "--wet", "1"];
    let words = one_line(&kept.run(&fill, "2026-12-08T20:00:00").stderr);
    assert!(words.contains("Where a mold leaks, lower its “own” in the plan file"), "{words}");
    assert!(words.contains("Fill 4 fox molds") && !words.contains("mould"), "{words}");
}

/// While it bakes she sees the baking, and is asked what the pieces are like when it is over.
#[test]
fn what_is_under_way_is_on_the_screen() {
    let kept = bakers();
    let today = |now: &str| one_line(&kept.run(&["today", &kept.plan], now).stdout);
    for now in ["2026-11-30T19:05:00", "2026-11-30T20:30:00", "2026-11-30T20:58:00"] {
        let words = today(now);
        assert!(words.contains("[bake] Look: ") && words.contains("under way"), "{now}: {words}");
        assert!(!words.contains("Not told yet"), "{now}: {words}");
    }
    assert!(today("2026-11-30T21:01:00").contains("Not told yet: Bake"), "it is over");
}

/// Eleven solid blocks are there for eleven children: the one that is still wet is the spare.
#[test]
fn a_wet_block_is_a_spare_less() {
    let kept = Kept::of(&starter(), "2026-11-30T12:00:00");
    let whole = kept.steps("2026-12-09T07:05:00");
    let words = one_line(&kept.did(&["turn-out-3", "--wet", "1"], "2026-12-09T07:05:00"));
    assert!(words.contains("Nothing else moves") && words.contains("very likely"), "{words}");
    assert!(words.contains("on Wed Dec 9: 11 blocks for 11 children; 1 still wet."), "{words}");
    assert!(words.contains("Pack 11 blocks") && words.contains("Look: What was"), "{words}");
    // It is the same a moment later, and once she has left with what there was.
    for now in ["2026-12-09T07:10:00", "2026-12-09T07:50:00", "2026-12-09T09:40:00"] {
        let steps = kept.steps(now);
        let moved = steps.iter().find(|(name, at)| whole.get(*name) != Some(at));
        assert!(moved.is_none() && steps.contains_key("drain-otters-9-dec"), "{now}: {moved:?}");
    }
    for command in ["plan", "today"] {
        let ran = kept.run(&[command, &kept.plan], "2026-12-09T07:50:00");
        assert_eq!(ran.code, Some(0), "{}", ran.stdout);
        assert!(one_line(&ran.stdout).contains("Set 11 blocks out"), "{}", ran.stdout);
    }
    // Solid as she packs: then it goes too.
    let words = kept.did(&["turn-out-3"], "2026-12-09T07:20:00");
    assert!(words.contains("Pack 12 blocks") && !words.contains("still wet"), "{words}");
}

/// A session with fewer blocks than children is one all the same, and says how many are missing.
#[test]
fn a_session_goes_on_with_what_is_solid() {
    let kept = Kept::of(&starter(), "2026-11-30T12:00:00");
    let words = one_line(&kept.did(&["turn-out-3", "--wet", "4"], "2026-12-09T07:05:00"));
    assert!(words.contains("8 blocks for 11 children, 3 too few; 4 still wet."), "{words}");
    assert!(words.contains("Pack 8 blocks"), "{words}");
    // Told in time, it waits for the rest.
    let kept = Kept::of(&starter(), "2026-11-30T12:00:00");
    let words = one_line(&kept.did(&["turn-out-3", "--wet", "1"], "2026-12-09T06:30:00"));
    assert!(words.contains("what was still wet") && !words.contains("1 still wet."), "{words}");
}

/// What is said to help does so once it is written into the file.
#[test]
fn ways_out_of_wet_blocks_work() {
    let text = starter();
    for (before, after) in [
        ("blocks = \"each\"", "blocks = 6"),
        ("2026-12-09T09:30:00", "2026-12-11T09:30:00"),
        ("\nspare = 1\n", "\nspare = 0\n"),
    ] {
        let kept = Kept::of(&text, "2026-11-30T12:00:00");
        // Filled too late for any of them: without the last round there are too few.
        let now = "2026-12-09T07:05:00";
        let ran = kept.run(&["did", &kept.plan, "fill-3-otters-9-dec", "--skipped"], now);
        assert_eq!(ran.code, Some(3), "{}", ran.stdout);
        let changed = text.replacen(before, after, 1);
        assert_ne!(changed, text, "{before}");
        fs::write(&kept.plan, changed).unwrap();
        let is_way = before != "\nspare = 1\n";
        let ran = kept.run(&["plan", &kept.plan], "2026-12-09T07:10:00");
        assert_eq!(ran.code == Some(0), is_way, "{after}: {}", ran.stdout);
    }
}

/// What is weighed before a step says whether pieces are ready for it, not that it is done.
#[test]
fn a_weight_before_a_step_is_a_look() {
    let kept = Kept::of(&starter(), "2026-11-30T12:00:00");
    for (step, light, heavy, now) in [
        ("paint-otters", "28 g", "35 g", "2026-12-09T06:20:00"),
        ("seal", "27 g", "33 g", "2026-12-11T19:30:00"),
    ] {
        let before = kept.steps(now);
        let words = kept.did(&[step, "--weight", light], now);
        assert!(words.contains("ready for it") && words.contains("Nothing else moves"), "{words}");
        assert_eq!(kept.steps(now), before, "{step}");
        let begun = before[step][..16].to_owned() + ":30";
        let today = kept.run(&["today", &kept.plan], &begun).stdout;
        assert!(today.contains(&format!("[{step}]")) && today.contains("under way"), "{today}");
        let ran = kept.run(&["did", &kept.plan, step, "--weight", heavy], now);
        assert!(one_line(&ran.stdout).contains("still soft"), "{}", ran.stdout);
        let steps = kept.steps(now);
        assert!(steps[step] > before[step], "{step}: {steps:?}");
        let words = kept.did(&["--undo"], now);
        assert!(words.contains("Taken back"), "{words}");
        assert_eq!(kept.steps(now), before, "{step} taken back");
    }
}

/// She stands at the scale while it bakes.
#[test]
fn the_weight_is_on_the_screen_while_it_bakes() {
    let kept = bakers();
    for now in ["2026-11-30T18:55:00", "2026-11-30T20:00:00"] {
        let words = one_line(&kept.run(&["today", &kept.plan], now).stdout);
        assert!(words.contains("Look: One piece weighs"), "{now}: {words}");
    }
}

/// Told what pieces are like before they are sealed, it is the sealing that waits, whatever session
/// is over by then.
#[test]
fn what_is_not_dry_is_sealed_later() {
    let kept = Kept::of(&starter(), "2026-11-30T12:00:00");
    let now = "2026-12-11T19:30:00";
    kept.run(&["did", &kept.plan, "seal", "--soft"], now);
    let steps = kept.steps(now);
    let [seal, again] = ["seal", "coat-2"].map(|step| steps[step].as_str());
    assert!("2026-12-12" < seal && seal < again, "{steps:?}");
}

/// What is in the way is that she is away, and not the day itself.
#[test]
fn being_away_is_told_as_what_is_in_the_way() {
    let away = "away = [\"2026-12-07 to 2026-12-08\"]\nclosed = [";
    let text = starter().replacen("closed = [", away, 1);
    let plan = ["plan", "p.toml", "--no-diary", "--now", "2026-12-07T06:30:00"];
    let ran = Run::of(&plan).file("p.toml", &text).ends();
    assert_eq!(ran.code, Some(3), "{}", ran.stdout);
    assert!(
        one_line(&ran.stdout).contains("you are away Mon Dec 7 to Tue Dec 8"),
        "{}",
        ran.stdout
    );
}

/// What is wet as the first session leaves is turned out for the next one, and stays a step until
/// then, whatever is over meanwhile.
#[test]
fn what_is_in_its_moulds_stays_a_step() {
    let kept = Kept::of(LEAVES, "2027-02-01T08:00:00");
    let words =
        one_line(&kept.did(&["turn-out-voles-10-feb", "--wet", "2"], "2027-02-10T06:50:00"));
    assert!(words.contains("4 blocks instead of 6; 2 still wet."), "{words}");
    assert!(words.contains("Next: Wed 10 Feb 07:45: Pack 4 blocks"), "{words}");
    let rest = "Turn out and bag 2 blocks, what was still wet [turn-out-rest-voles-10-feb]";
    for now in ["07:20", "09:00", "10:00", "16:00"] {
        let ran = kept.run(&["today", &kept.plan], &format!("2027-02-10T{now}:00"));
        let words = one_line(&ran.stdout);
        assert_eq!(ran.code, Some(0), "{now}: {words}");
        assert!(words.contains(rest), "{now}: {words}");
        assert!(words.contains("Fill 4 leaf moulds"), "four are free until then: {words}");
        assert!(
            words.contains("Pack 6 blocks") && !words.contains("were wished"),
            "{now}: {words}"
        );
    }
    let words = kept.did(&["turn-out-rest-voles-10-feb"], "2027-02-10T18:40:00");
    assert!(words.contains("Nothing else moves"), "{words}");
}

/// She is late just when she says that it takes longer: nothing else went into the oven since.
#[test]
fn one_load_at_a_time_is_in_the_oven() {
    for now in ["2026-11-29T14:30:00", "2026-11-29T14:40:00"] {
        let kept = Kept::of(ONE_TRAY, "2026-11-25T08:00:00");
        let words = one_line(&kept.did(&["bake-load-2", "--until", "3:30 pm"], now));
        assert!(words.contains("Next: Sun Nov 29 3:30 pm: Take 5 pieces out"), "{now}: {words}");
        let steps = kept.steps(now);
        let order = ["take-out-load-2", "put-in-load-3", "bake-load-3", "take-out-load-3"];
        let order = order.map(|step| steps[step].as_str());
        assert!(order.is_sorted() && order[0] >= "2026-11-29T15:30", "{now}: {steps:?}");
    }
}

/// Where the room is so damp that pieces which are soft now may never be ready, a drier one helps:
/// it is said, and once it is done there is a plan again.
#[test]
fn pieces_that_stay_soft_dry_in_a_drier_room() {
    let kept = Kept::of(HEARTS, "2026-11-16T08:00:00");
    let now = "2026-11-29T10:05:00";
    let ran = kept.run(&["did", &kept.plan, "paint-hedgehogs", "--soft"], now);
    assert_eq!(ran.code, Some(3), "{}", ran.stdout);
    assert!(ran.stdout.contains("+ a heated room, at 55 % humidity"), "{}", ran.stdout);
    let drier = HEARTS.replacen("humidity = \"70 %\"", "humidity = \"55 %\"", 1);
    fs::write(&kept.plan, drier).unwrap();
    let ran = kept.run(&["plan", &kept.plan], now);
    assert_eq!(ran.code, Some(0), "{}", ran.stdout);
    assert!(one_line(&ran.stdout).contains("in time: very likely"), "{}", ran.stdout);
    let steps = kept.steps(now);
    let order = ["paint-hedgehogs", "seal", "coat-2", "wrap", "give-hedgehogs"];
    let order = order.map(|step| steps[step].as_str());
    assert!(order.is_sorted() && order[0] > "2026-12-03", "{steps:?}");
    // Soft once more in the drier room, it goes on from there.
    let words = kept.did(&["paint-hedgehogs", "--soft"], "2026-12-01T20:00:00");
    assert!(!words.contains("cannot be done"), "{words}");
}

/// A piece that weighs little more than one that is firm is firm soon, and one that is as light as a
/// dry one is dry.
#[test]
fn what_a_piece_weighs_says_how_far_it_is() {
    let kept = Kept::of(HEARTS, "2026-11-16T08:00:00");
    let now = "2026-11-29T10:05:00";
    let before = kept.steps(now);
    let words = kept.did(&["paint-hedgehogs", "--soft", "--weight", "14.7 g"], now);
    assert!(words.contains("moved  Hedgehogs paint 10 pieces"), "{words}");
    assert!(words.contains("in time: very likely") && !words.contains("gone"), "{words}");
    let steps = kept.steps(now);
    assert!(steps["paint-hedgehogs"] > before["paint-hedgehogs"], "{steps:?}");
    assert_eq!(steps["give-hedgehogs"], before["give-hedgehogs"]);
    kept.did(&["--undo"], now);
    let words = kept.did(&["paint-hedgehogs", "--weight", "14.0 g"], now);
    assert!(words.contains("Nothing else moves") && words.contains("over 99 %"), "{words}");
    assert_eq!(kept.steps(now), before);
}
