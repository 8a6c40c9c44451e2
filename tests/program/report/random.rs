//! Random plans with hostile text, in zones and weeks where the clock changes.

use chrono::{DateTime, TimeDelta, TimeZone, Utc};
use chrono_tz::Tz;
use solidby::prep::schedule::*;
use solidby::units::System;

/// Steele, Lea and Flood (2014), SplitMix64: enough for a test, the same everywhere.
pub struct Random(pub u64);

impl Random {
    pub fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let z = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    pub fn below(&mut self, n: u64) -> u64 {
        self.next() % n
    }

    fn pick<'a, T: ?Sized>(&mut self, all: &[&'a T]) -> &'a T {
        all[self.below(all.len() as u64) as usize]
    }
}

/// Text that has broken some reader, writer or screen before.
pub const HOSTILE: [&str; 18] = [
    "Fill 4 moulds, 1 1/4 in deep; then freeze",
    "a\\b\\\\c\\n not a line",
    "line one\nline two\r\nline three\rline four",
    "🦊👩‍🍳🧊 ice 🇺🇳",
    "שלום עולם, 12 בלוקים",
    "مرحبا؛ ثلج",
    "Παγωμένο νερό",
    "\u{202e}desrever\u{202c} and \u{2067}isolated\u{2069}",
    "<script>alert(1)</script> & \"quotes\" 'single'",
    "]]> <!-- --> </style></svg>",
    "BEGIN:VEVENT\r\nUID:forged\r\nEND:VEVENT",
    "tab\there \u{0}\u{7}\u{1b}[31mred\u{7f}\u{9b}",
    "\u{feff}mark, \u{2028}separator\u{2029}\u{85}\u{b}\u{c}",
    "",
    "   ",
    "e\u{301}\u{301}\u{301} ́combining",
    "{{ 7 * 7 }} {% raw %} ${x} %n%s",
    "trailing backslash \\",
];

/// The zones change by 30 or 60 minutes, north and south, or never; two have odd offsets.
const ZONES: [Tz; 9] = [
    chrono_tz::America::Denver,
    chrono_tz::America::New_York,
    chrono_tz::America::Santiago,
    chrono_tz::Europe::Berlin,
    chrono_tz::Australia::Lord_Howe,
    chrono_tz::Pacific::Auckland,
    chrono_tz::Asia::Kathmandu,
    chrono_tz::Africa::Casablanca,
    chrono_tz::UTC,
];

/// Days of 2026 and 2027 on which one of the zones changes its clock.
const CHANGES: [(i32, u32, u32); 8] = [
    (2026, 9, 6),
    (2026, 9, 27),
    (2026, 10, 4),
    (2026, 10, 25),
    (2026, 11, 1),
    (2027, 3, 14),
    (2027, 3, 28),
    (2027, 4, 4),
];

pub fn text(random: &mut Random) -> String {
    match random.below(4) {
        0 => random.pick(&HOSTILE).to_owned(),
        1 => format!("{} {}", random.pick(&HOSTILE), random.pick(&HOSTILE)),
        2 => (0..random.below(200))
            .filter_map(|_| char::from_u32(random.below(0x11_0000) as u32))
            .collect(),
        _ => random.pick(&HOSTILE).repeat(1 + random.below(9) as usize),
    }
}

fn texts(random: &mut Random) -> Vec<String> {
    (0..random.below(3)).map(|_| text(random)).collect()
}

pub fn schedule(seed: u64) -> Schedule {
    let random = &mut Random(seed);
    let zone = ZONES[random.below(9) as usize];
    let (year, month, day) = CHANGES[random.below(8) as usize];
    let change = Utc.with_ymd_and_hms(year, month, day, 0, 0, 0).unwrap();
    let mut steps: Vec<Step> =
        (0..1 + random.below(12)).map(|n| step(random, n, zone, change)).collect();
    steps.sort_by_key(|step| step.start);
    let [carry, back] =
        [3, 2].map(|most| (0..random.below(most)).map(|_| carry(random, zone, change)).collect());
    Schedule {
        locale: Default::default(),
        spelling: Default::default(),
        schema: SCHEMA,
        title: text(random),
        timezone: zone,
        computed: change - TimeDelta::days(9),
        feasible: random.below(4) > 0,
        status: solidby::prep::schedule::Status::Found,
        price: None,
        promise: solidby::prep::schedule::Promise::default(),
        steps,
        shopping: (0..random.below(3)).map(|_| purchase(random, change)).collect(),
        carry,
        back,
        looks: Vec::new(),
        problems: (0..random.below(2)).map(|_| problem(random)).collect(),
        one_change: ways(random),
        notes: texts(random),
        without: Vec::new(),
    }
}

fn instant(random: &mut Random, zone: Tz, change: DateTime<Utc>) -> DateTime<Tz> {
    (change + TimeDelta::minutes(random.below(4 * 1440) as i64 - 2 * 1440)).with_timezone(&zone)
}

fn step(random: &mut Random, n: u64, zone: Tz, change: DateTime<Utc>) -> Step {
    let start = instant(random, zone, change);
    let minutes = random.pick(&[&0, &1, &15, &45, &190, &640, &2880][..]);
    Step {
        // Now and then the same id twice: the file must still be sound.
        id: format!("step-{}", if random.below(9) == 0 { 0 } else { n }),
        goal: text(random),
        what: text(random),
        place: text(random),
        group: (random.below(2) == 0).then(|| text(random)),
        start,
        end: start + TimeDelta::minutes(*minutes),
        attention: *random.pick(&[&Attention::Hands, &Attention::Watch, &Attention::None][..]),
        uses: texts(random),
        amounts: (0..random.below(3)).map(|_| amount(random)).collect(),
        bring: texts(random),
        take_back: vec![],
        because: text(random),
        cautions: (0..random.below(2)).map(|_| caution(random)).collect(),
        slack_h: *random.pick(&[&0.0, &2.5, &-1.0, &300.0][..]),
        chance: *random.pick(&[&None, &Some(0.0), &Some(0.5), &Some(0.97), &Some(1.0)][..]),
        follow: solidby::prep::schedule::Follow::default(),
        kind: solidby::tables::Step::Fill,
        count: 4,
        after: vec![],
        curve: (random.below(3) == 0).then(|| curve(random)),
    }
}

fn curve(random: &mut Random) -> Curve {
    const NUMBERS: [&f64; 7] = [&0.0, &1.5, &-20.0, &100.0, &1e12, &f64::NAN, &f64::INFINITY];
    let points = (0..random.below(5)).map(|n| [n as f64, *random.pick(&NUMBERS)]).collect();
    Curve {
        kind: *random.pick(&[&CurveKind::Freezing, &CurveKind::Drying][..]),
        units: System::Metric,
        points,
        done_h: Some(*random.pick(&NUMBERS)),
    }
}

fn amount(random: &mut Random) -> Amount {
    Amount { what: text(random), mass_g: Some(1.5), cups: None, count: Some(3), text: text(random) }
}

fn caution(random: &mut Random) -> Caution {
    let [id, title, short, said, source] = std::array::from_fn(|_| text(random));
    Caution { id, title, text: said.clone(), source, short, said }
}

fn purchase(random: &mut Random, change: DateTime<Utc>) -> Purchase {
    Purchase { amount: amount(random), needed: change.date_naive() }
}

fn carry(random: &mut Random, zone: Tz, change: DateTime<Utc>) -> Carry {
    let (leave, place, goal) = (instant(random, zone, change), text(random), text(random));
    Carry { leave, place, goal, items: texts(random), things: Vec::new() }
}

fn ways(random: &mut Random) -> Ways {
    Ways { words: texts(random), ..Ways::default() }
}

fn problem(random: &mut Random) -> Problem {
    Problem {
        what: text(random),
        because: texts(random),
        ways: ways(random),
        ..Problem::of(Status::NotFound)
    }
}
