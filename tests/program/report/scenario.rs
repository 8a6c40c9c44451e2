//! An invented class in December 2026: two groups, one ice session each, one ornament.

use chrono::{DateTime, NaiveDate, TimeZone, Utc};
use chrono_tz::{America::Denver, Tz};
use solidby::prep::schedule::*;
use solidby::report::calendar::{Component, Options};
use solidby::units::System;

pub fn at(day: u32, hour: u32, minute: u32) -> DateTime<Tz> {
    Denver.with_ymd_and_hms(2026, 12, day, hour, minute, 0).unwrap()
}

/// The options of a file of tasks.
pub fn tasks() -> Options {
    Options { kind: Component::Task, ..Options::default() }
}

fn amount(what: &str, mass_g: Option<f64>, cups: Option<f64>, text: &str) -> Amount {
    Amount { what: what.into(), mass_g, cups, count: None, text: text.into() }
}

fn pieces(what: &str, count: u32) -> Amount {
    let text = count.to_string();
    Amount { what: what.into(), mass_g: None, cups: None, count: Some(count), text }
}

fn texts(all: &[&str]) -> Vec<String> {
    all.iter().map(|text| (*text).to_owned()).collect()
}

fn caution(id: &str, title: &str, text: &str) -> Caution {
    Caution {
        id: id.into(),
        title: title.into(),
        text: text.into(),
        source: "common practice, no source".into(),
        short: text.into(),
        said: text.into(),
    }
}

pub fn step(
    id: &str,
    what: &str,
    from: DateTime<Tz>,
    to: DateTime<Tz>,
    attention: Attention,
) -> Step {
    Step {
        id: id.into(),
        goal: "Paint on ice, 9 Dec".into(),
        what: what.into(),
        place: "home".into(),
        group: Some("Otters".into()),
        start: from,
        end: to,
        attention,
        uses: vec![],
        amounts: vec![],
        bring: vec![],
        take_back: vec![],
        because: String::new(),
        cautions: vec![],
        slack_h: 1.5,
        chance: None,
        follow: solidby::prep::schedule::Follow::default(),
        kind: solidby::tables::Step::Fill,
        count: 4,
        after: Vec::new(),
        curve: None,
    }
}

pub fn class() -> Schedule {
    use Attention::{Hands, None as Alone, Watch};
    let (fill, freeze) = (at(7, 18, 45), at(7, 19, 0));
    let mut steps = vec![
        Step {
            amounts: vec![amount("water", Some(1240.0), Some(5.25), "1240 g (5 1/4 cups)")],
            bring: texts(&["4 fox moulds", "a jug", "a tray that fits the shelf"]),
            take_back: vec![],
            because: "4 moulds serve 12 blocks in three fills; this is the second.".into(),
            slack_h: 2.0,
            ..step(
                "ice-1-otters-2026-12-09-fill-2",
                "Fill 4 fox moulds, 1 1/4 inch deep",
                fill,
                freeze,
                Hands,
            )
        },
        Step {
            uses: texts(&["kitchen freezer"]),
            because: "Solid through takes up to 10 h 40 min at 0 °F on a wire shelf.".into(),
            chance: Some(0.97),
            curve: Some(Curve {
                kind: CurveKind::Freezing,
                units: System::Us,
                points: vec![[0.0, 15.0], [1.0, 0.0], [7.5, 0.0], [8.0, -5.0]],
                done_h: Some(8.0),
            }),
            ..step(
                "ice-1-otters-2026-12-09-freeze-2",
                "Freeze 4 fox blocks",
                freeze,
                at(8, 5, 40),
                Alone,
            )
        },
        Step {
            bring: texts(&["freezer bags", "a towel"]),
            take_back: vec![],
            cautions: vec![caution(
                "ice-skin",
                "Ice and skin",
                "Ice from the freezer sticks to wet skin: dry hands or a towel.",
            )],
            slack_h: 0.0,
            ..step(
                "ice-1-otters-2026-12-09-turn-out-2",
                "Turn out and bag 4 blocks",
                at(8, 6, 15),
                at(8, 6, 30),
                Hands,
            )
        },
        Step {
            goal: "Photo ornaments, 18 Dec".into(),
            amounts: vec![
                amount("flour", Some(480.0), Some(4.0), "480 g (4 cups)"),
                amount("salt", Some(580.0), Some(2.0), "580 g (2 cups)"),
            ],
            group: None,
            ..step(
                "ornament-1-mix",
                "Weigh and mix the dough",
                at(10, 18, 30),
                at(10, 19, 0),
                Hands,
            )
        },
        Step {
            goal: "Photo ornaments, 18 Dec".into(),
            group: None,
            uses: texts(&["kitchen oven"]),
            because: "1/4 inch at 200 °F takes up to 3 h until no brine is left in the middle."
                .into(),
            cautions: vec![caution(
                "oven-unattended",
                "Oven",
                "Stay in the house while the oven is on; follow its manual.",
            )],
            chance: Some(0.88),
            curve: Some(Curve {
                kind: CurveKind::Drying,
                units: System::Us,
                points: vec![[0.0, 100.0], [1.0, 60.0], [2.0, 25.0], [2.6, 8.0]],
                done_h: None,
            }),
            slack_h: 0.5,
            ..step(
                "ornament-1-bake-1",
                "Bake 13 ornaments, tray 1 of 2",
                at(11, 18, 30),
                at(11, 21, 30),
                Watch,
            )
        },
        Step {
            goal: "Paint on ice, 10 Dec".into(),
            group: Some("Wrens".into()),
            place: "class".into(),
            cautions: vec![caution(
                "ice-choking",
                "Choking",
                "No piece a child could swallow: stay with the children, take small bits away.",
            )],
            ..step(
                "ice-1-wrens-2026-12-10-use",
                "Paint on ice with 9 children",
                at(10, 9, 30),
                at(10, 10, 15),
                Hands,
            )
        },
    ];
    steps.sort_by_key(|step| step.start);
    Schedule {
        locale: Default::default(),
        spelling: Default::default(),
        schema: SCHEMA,
        title: "Forest fortnight".into(),
        timezone: Denver,
        computed: Utc.with_ymd_and_hms(2026, 12, 7, 15, 0, 0).unwrap(),
        feasible: true,
        status: solidby::prep::schedule::Status::Found,
        price: Some(90.0),
        promise: solidby::prep::schedule::Promise::default(),
        steps,
        shopping: vec![
            purchase(amount("flour", Some(960.0), Some(8.0), "960 g (8 cups)"), 10),
            purchase(amount("salt", Some(1160.0), Some(4.0), "1160 g (4 cups)"), 10),
            purchase(pieces("freezer bags", 6), 8),
        ],
        back: vec![],
        carry: vec![
            Carry {
                leave: at(9, 7, 40),
                place: "home".into(),
                things: vec![],
                goal: "Paint on ice, Otters".into(),
                items: texts(&["12 frozen blocks in bags", "4 towels", "paint and brushes"]),
            },
            Carry {
                leave: at(10, 7, 40),
                place: "home".into(),
                things: vec![],
                goal: "Paint on ice, Wrens".into(),
                items: texts(&["10 frozen blocks in bags", "a tray"]),
            },
        ],
        looks: Vec::new(),
        problems: vec![],
        one_change: solidby::prep::schedule::Ways::default(),
        without: Vec::new(),
        notes: texts(&[
            "The freezer's air was given as 0 °F; a thermometer in it would narrow the times most.",
        ]),
    }
}

fn purchase(amount: Amount, day: u32) -> Purchase {
    Purchase { amount, needed: NaiveDate::from_ymd_opt(2026, 12, day).unwrap() }
}
