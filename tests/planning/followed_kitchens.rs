//! Plans that are followed, step by step ([`super::story`]), in kitchens that they were not tried
//! in: as often as was promised nothing is lost.

use std::collections::BTreeMap;

use solidby::{tables::Step as Kind, uncertainty::RUNS};

use super::story::*;

const FOREST: &str = include_str!("../../demo/forest-fortnight.toml");
const DECEMBER: &str = include_str!("../../demo/whole-december.toml");
const MONSOON: &str = include_str!("../../demo/monsoon-stars.toml");
const AWAY: &str = include_str!("../data/classes/away-midweek.toml");
const DAMP: &str = include_str!("../data/damp-room.toml");
const EVENINGS: &str = include_str!("../data/classes/evenings-only.toml");
const EVERY_OTHER: &str = include_str!("../data/classes/every-other-day.toml");
const MIXED: &str = include_str!("../data/classes/mixed-load.toml");
const SHELLS: &str = include_str!("../data/classes/seven-shells.toml");
const OVEN: &str = include_str!("../data/classes/slow-oven.toml");
const TINS: &str = include_str!("../data/classes/two-tins.toml");
const WARM: &str = include_str!("../data/classes/warm-freezer.toml");

/// The plans that are followed.
const VARIANTS: &[Variant] = &[
    (FOREST, "2026-11-26T12:00:00", &[]),
    (DECEMBER, "2026-11-26T12:00:00", &[]),
    (MONSOON, "2026-11-26T12:00:00", &[]),
    (AWAY, "2026-12-01T08:00:00", &[]),
    (EVENINGS, "2026-12-01T12:00:00", &[]),
    (EVERY_OTHER, "2027-01-04T08:00:00", &[]),
    (MIXED, "2026-12-03T08:00:00", &[]),
    (SHELLS, "2027-02-05T08:00:00", &[]),
    (OVEN, "2026-11-28T08:00:00", &[]),
    (TINS, "2026-11-30T08:00:00", &[]),
    (FOREST, "2026-11-26T12:00:00", &[("air = \"0 F\"", "air = \"8 F\"")]),
    (FOREST, "2026-11-26T12:00:00", &[("air = \"0 F\"\n", "")]),
    (EVERY_OTHER, "2027-01-04T08:00:00", &[("air = \"0 F\"\n", "")]),
    (EVERY_OTHER, "2027-01-04T08:00:00", &[("air = \"0 F\"", "air = \"8 F\"")]),
    (SHELLS, "2027-02-14T08:00:00", &[("air = \"0 F\"\n", "")]),
    (SHELLS, "2027-02-15T08:00:00", &[("air = \"0 F\"", "air = \"6 F\"")]),
    (MONSOON, "2026-11-26T12:00:00", &[("66 %", "68 %")]),
    (MONSOON, "2026-12-05T12:00:00", &[]),
    (OVEN, "2026-12-05T08:00:00", &[]),
    (OVEN, "2026-12-08T08:00:00", &[]),
    (AWAY, "2026-12-05T08:00:00", &[("air = \"0 F\"\n", "")]),
    (WARM, "2026-12-01T08:00:00", &[("25 F", "16 F")]),
    (WARM, "2026-12-02T08:00:00", &[("25 F", "14 F")]),
    (WARM, "2026-12-02T18:00:00", &[("air = \"25 F\"\n", "")]),
    (DAMP, "2026-11-27T08:00:00", &[TWO_TRAYS]),
    (DAMP, "2026-11-27T08:00:00", &[TWO_TRAYS, ("70 %", "66 %")]),
    (DAMP, "2026-11-27T08:00:00", &[TWO_TRAYS, ("7 mm", "10 mm"), ("70 %", "55 %")]),
];

/// All pieces go in at once.
const TWO_TRAYS: (&str, &str) = ("kind = \"fan\"", "kind = \"fan\"\ntrays = 2");

/// What came of a plan in all kitchens in which it is followed.
struct Found {
    promised: f64,
    /// The chance in the same kitchens where nothing is told.
    untold: f64,
    went: Vec<Went>,
    /// What comes of it without looks and without the times that are kept.
    blind: Vec<Went>,
}

impl Found {
    /// None of a plan that does not serve all.
    fn of(own: &Variant) -> Option<Self> {
        let story = Story::of(own);
        let held = story.first();
        let promised = held.schedule.promise.chance.as_ref()?.all;
        let kitchens: Vec<usize> = story.kitchens.clone().collect();
        let ready = story.ready(&held.kept);
        let blind = kitchens.iter().map(|kitchen| story.went(&held, &ready, *kitchen)).collect();
        let went = story.follow(&held, &kitchens);
        let found = Self { promised, untold: story.untold(&held), went, blind };
        println!(
            "{} from {}{}: {:.1} % promised, {:.1} % untold, {:.1} % followed, {:.1} % blind; \
             told in {}; {:.2} h beside the oven, {:.2} h in the end",
            story.plan.title,
            own.1,
            own.2
                .iter()
                .map(|(from, to)| format!(" ({} is {to:?})", from.trim()))
                .collect::<String>(),
            100.0 * promised,
            100.0 * found.untold,
            100.0 * share(&found.went),
            100.0 * share(&found.blind),
            found.went.iter().filter(|one| !one.told.is_empty()).count(),
            mean(found.blind.iter().map(|one| one.watch_h)),
            mean(found.went.iter().map(|one| one.watch_h)),
        );
        found.tell();
        Some(found)
    }

    /// Each tale in which something was told, and how often it was.
    fn tell(&self) {
        let mut tales: BTreeMap<String, usize> = BTreeMap::new();
        for Went { told, lost, moved, .. } in self.went.iter().filter(|it| !it.told.is_empty()) {
            let tale = format!("{}; moved {moved:?}; lost {lost:?}", told.join(", "));
            *tales.entry(tale).or_default() += 1;
        }
        for (tale, times) in tales {
            println!("    {times} x {tale}");
        }
    }
}

/// The share of kitchens in which nothing was lost.
fn share(went: &[Went]) -> f64 {
    mean(went.iter().map(|one| if one.lost.is_empty() { 1.0 } else { 0.0 }))
}

fn mean(numbers: impl Iterator<Item = f64>) -> f64 {
    let (sum, count) = numbers.fold((0.0, 0.0), |(sum, count), one| (sum + one, count + 1.0));
    if count > 0.0 { sum / count } else { 0.0 }
}

/// Plans of like promise together: promised, found, both their standard errors, and found where
/// nothing is told and where nobody looks.
struct Bin {
    plans: usize,
    kitchens: usize,
    promised: f64,
    found: f64,
    errors: f64,
    untold: f64,
    blind: f64,
}

impl Bin {
    fn of(all: &[&Found]) -> Self {
        let kitchens = all.iter().map(|one| one.went.len()).sum();
        let promised = mean(all.iter().map(|one| one.promised));
        let found = mean(all.iter().map(|one| share(&one.went)));
        let tried = (RUNS * all.len()) as f64;
        let error = |p: f64, n: f64| (p * (1.0 - p) / n).max(1.0 / (n * n)).sqrt();
        let errors = error(promised, tried).hypot(error(found, kitchens as f64));
        let untold = mean(all.iter().map(|one| one.untold));
        let blind = mean(all.iter().map(|one| share(&one.blind)));
        Self { plans: all.len(), kitchens, promised, found, errors, untold, blind }
    }

    fn print(&self, words: &str) {
        println!(
            "{words:>12} | {:5} | {:8} | {:7.2} % | {:6.2} % | {:+5.1} errors of {:.2} % | \
             {:6.2} % | {:6.2} %",
            self.plans,
            self.kitchens,
            100.0 * self.promised,
            100.0 * self.found,
            (self.found - self.promised) / self.errors,
            100.0 * self.errors,
            100.0 * self.untold,
            100.0 * self.blind
        );
    }
}

/// Plans that are followed hold in as many kitchens as was promised, and those that are printed
/// as 95 % sure in 93 of 100 or more.
#[test]
#[ignore = "takes three minutes: cargo test --test planning as_promised -- --ignored --nocapture"]
fn plans_that_are_followed_hold_as_promised() {
    let all: Vec<Found> = VARIANTS.iter().filter_map(Found::of).collect();
    println!("{} plans of {} serve all", all.len(), VARIANTS.len());
    let bins =
        [(0.99, 1.01, "99 % or more"), (0.95, 0.99, "95 to 99 %"), (0.0, 0.95, "below 95 %")];
    println!("    promised | plans | kitchens |  promised | followed | apart | untold | blind");
    for (from, until, words) in bins {
        let own = all.iter().filter(|one| (from..until).contains(&one.promised));
        let bin = Bin::of(&own.collect::<Vec<_>>());
        bin.print(words);
        assert!(bin.found >= bin.promised - 2.0 * bin.errors, "{words}: promised too much");
    }
    let sure: Vec<&Found> = all.iter().filter(|one| one.promised >= 0.95).collect();
    let sure = Bin::of(&sure);
    sure.print("95 % or more");
    let moved: Vec<usize> =
        all.iter().flat_map(|one| &one.went).flat_map(|one| one.moved.clone()).collect();
    println!(
        "{} re-plans, each moves {:.1} steps, {} at most",
        moved.len(),
        mean(moved.iter().map(|steps| *steps as f64)),
        moved.iter().max().unwrap_or(&0)
    );
    assert!(sure.found >= 0.93, "{:.3}", sure.found);
    assert!(sure.kitchens >= 500 && sure.found >= sure.blind, "{:.3}", sure.blind);
}

/// Blocks that others take are turned out for them though their own session is lost, and
/// whatever is told, the program answers.
#[test]
fn blocks_of_a_lost_session_are_turned_out_for_the_next() {
    let warm: Variant = (FOREST, "2026-11-26T12:00:00", &[("air = \"0 F\"", "air = \"10 F\"")]);
    let story = Story::of(&warm);
    let mut held = story.first();
    let mut lost = false;
    // The first blocks are wet whenever she looks, those for the second session as she packs.
    for id in ["otters-1-turn-out", "otters-1-turn-out", "otters-1-turn-out", "wrens-1-turn-out-2"]
    {
        let outs = held.schedule.steps.iter().filter(|step| step.kind == Kind::TurnOut);
        let Some(step) = outs.clone().find(|step| step.id.ends_with(id)).cloned() else { continue };
        held = story.told(&held, &step, step.start.fixed_offset());
        let packs = held.schedule.steps.iter().filter(|step| step.kind == Kind::Pack);
        let packed: u32 = packs.map(|pack| pack.count).sum();
        let outs = held.schedule.steps.iter().filter(|step| step.kind == Kind::TurnOut);
        let over = held.kept.steps.iter().filter(|step| step.kind == Kind::TurnOut);
        let over = over.filter(|step| held.kept.over(step, held.now).is_some());
        let out: u32 = outs.map(|step| step.count).chain(over.map(|step| step.count)).sum();
        assert!(out >= packed, "{out} of {packed} blocks are turned out: {:?}", held.told);
        lost |= !held.schedule.feasible;
    }
    assert!(lost, "{:?}", held.told);
}
