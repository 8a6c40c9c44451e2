//! How long a plan takes, physics included: the demo month, and plan files of
//! a few, about 10, 100 and 1,000 activities. `cargo bench --bench plan_speed`
//!
//! Beside each, how far the schedule is from the best there can be: none where it is proven.

mod measure;

use std::time::Instant;

use chrono::{DateTime, Datelike, Days, NaiveDate, Utc, Weekday};
use solidby::{
    planfile::{self, Plan},
    prep::{Physics, solve},
};

const MONTH: &str = include_str!("../demo/whole-december.toml");
const DEMO: &str = include_str!("../demo/forest-fortnight.toml");

/// Sessions of six blocks from six moulds, one a school day of a school year
/// without end.
fn sessions(count: usize) -> String {
    let head = DEMO.split("session = [").next().unwrap_or_default();
    let head = head.replace("own = 4", "own = 6").replace("blocks = \"each\"", "blocks = 5");
    let head = head.replace("2026-12-21 to 2027-01-01", "2020-01-01");
    let head = head.replace("days = \"Mon Wed Fri\"", "days = \"Mon Tue Wed Thu Fri\"");
    let first = NaiveDate::from_ymd_opt(2026, 12, 2).unwrap_or_default();
    let weekend = |day: &NaiveDate| matches!(day.weekday(), Weekday::Sat | Weekday::Sun);
    let days = (0..).map(|day| first + Days::new(day)).filter(|day| !weekend(day));
    let list: Vec<String> = days
        .take(count)
        .map(|day| format!("{{ group = \"Otters\", at = {day}T09:30:00 }}"))
        .collect();
    format!("{head}session = [{}]\n", list.join(", "))
}

fn read(text: &str) -> Plan {
    planfile::read(text).unwrap_or_else(|_| panic!("not a sound plan"))
}

/// Prints the times; returns the activities and the time without physics, ms.
fn time(name: &str, plan: &Plan, now: DateTime<Utc>) -> [f64; 2] {
    let mut best = (f64::INFINITY, f64::INFINITY, f64::INFINITY);
    let mut words = String::new();
    let mut activities = 0;
    for _ in 0..3 {
        let physics = Physics::default();
        let begin = Instant::now();
        let first = solve(plan, now, &physics).expect("an answer");
        let cold = begin.elapsed().as_secs_f64();
        let begin = Instant::now();
        let laid = solve(plan, now, &physics).expect("an answer");
        let warm = begin.elapsed().as_secs_f64();
        let begin = Instant::now();
        let schedule = laid.schedule(plan, now, &physics).expect("an answer");
        let told = begin.elapsed().as_secs_f64();
        best = (best.0.min(cold - warm), best.1.min(warm), best.2.min(told));
        activities = first.draft.tasks.len();
        words = format!(
            "{activities:>5} activities, {:>5} steps, {} unserved, {}",
            schedule.steps.len(),
            laid.solution.unserved().len(),
            laid.price.map_or("no price".to_owned(), |price| format!("price {price}"))
        );
    }
    let (physics, solving, telling) = (1e3 * best.0, 1e3 * best.1, 1e3 * best.2);
    println!(
        "{name:<18} physics {physics:>6.1} ms, schedule {solving:>7.1} ms, words {telling:>6.1} ms: {words}"
    );
    [activities as f64, solving + telling]
}

fn main() {
    let now = "2026-11-27T15:00:00Z".parse().expect("an instant");
    time("demo fortnight", &read(DEMO), now);
    time("demo December", &read(MONTH), "2026-11-23T15:00:00Z".parse().expect("an instant"));
    let grown = [1, 2, 14, 140]
        .map(|count| time(&format!("{count} sessions"), &read(&sessions(count)), now));
    println!(
        "cost without physics grows with activities to the power {:.2}, {:.2} from 100 to 1,000",
        measure::exponent(&grown),
        measure::exponent(&grown[2..]),
    );
}
