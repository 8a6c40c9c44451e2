//! The same changes, made in the plan file.

use chrono::DateTime;
use chrono_tz::Tz;
use toml::{Value, value::Datetime};

use super::{Change, Suggestion};
use crate::{
    planfile::{
        Method, Ornament, Plan, Table,
        edit::{self, Entry, List},
    },
    units::{Ratio, in_fraction, in_hours, show_temperature, show_thickness},
};

impl Suggestion {
    /// What is to be changed in the file of a plan for it; none where she has to say more
    /// than the suggestion knows, as what a borrowed oven is like.
    pub fn in_file(&self, plan: &Plan) -> Option<Vec<edit::Change>> {
        let all: Option<Vec<Vec<edit::Change>>> =
            self.0.iter().map(|change| in_file(change, plan)).collect();
        Some(all?.concat())
    }
}

fn in_file(change: &Change, plan: &Plan) -> Option<Vec<edit::Change>> {
    let mut then = plan.clone();
    change.make(&mut then);
    let ice = |n| thing(Table::Ice, n);
    let ornament = |n| thing(Table::Ornament, plan.in_file(n));
    Some(match *change {
        Change::Hours { place, more } => open(plan, place, more.written().to_owned()),
        Change::HoursOn { place, day, from, until } => {
            let [from, until] = [from, until].map(|time| time.format("%H:%M").to_string());
            open(plan, place, format!("{day} {from}-{until}"))
        }
        Change::Hands { place: n } => {
            set(Entry::One(Table::Hands), &plan.places[n].name, then.places[n].hands?)
        }
        Change::Moulds { mould: n, .. } => {
            let owned = then.moulds[n].own / then.moulds[n].cups.max(1);
            set(thing(Table::Mould, n), "own", owned)
        }
        Change::Shared { ice: n, blocks } => {
            [set(ice(n), "blocks", blocks), no_spare_blocks(plan, n)].concat()
        }
        Change::NoSpareBlocks { ice: n } => no_spare_blocks(plan, n),
        Change::SessionAt { ice: n, session, at } => {
            set(Entry::Of(List::Sessions(n), session), "at", local(at)?)
        }
        Change::Ahead { days } => set(Entry::One(Table::Wishes), "ahead", format!("{days} days")),
        Change::Mould { ice: n, mould } => set(ice(n), "mould", plan.moulds[mould].name.as_str()),
        Change::Freezer { ice: n, freezer } => {
            set(ice(n), "freezer", plan.freezers[freezer].name.as_str())
        }
        Change::Travel { ice: n, lasts } => {
            set(ice(n), "travel", format!("{:.0} min", 60.0 * in_hours(lasts)))
        }
        Change::Air { freezer: n, air } => {
            set(thing(Table::Freezer, n), "air", show_temperature(air, plan.units))
        }
        Change::Room { freezer: n, .. } => {
            set(thing(Table::Freezer, n), "holds", then.freezers[n].holds)
        }
        Change::Thickness { ornament: n, thickness } => {
            set(ornament(n), "thickness", show_thickness(thickness, plan.units))
        }
        Change::Method { ornament: n, method } => dried(plan, ornament(n), method)?,
        Change::Tray { oven: n } => set(thing(Table::Oven, n), "trays", then.ovens[n].trays),
        Change::Humidity(to) => set(Entry::One(Table::Room), "humidity", percent(to)),
        Change::Give { ornament: n, day } => {
            set(ornament(n), "give", day.to_string().parse::<Datetime>().ok()?)
        }
        Change::Without { ornament: n, .. } | Change::Bare { ornament: n } => {
            set(ornament(n), "finish", finish(&then.ornaments[n]))
        }
        Change::NoSpares { ornament: n } => set(ornament(n), "spare", 0),
        // How a mould is filled, and what a thing that is not there is like.
        Change::Fill { .. } | Change::FreezerAt { .. } | Change::BorrowedOven { .. } => {
            return None;
        }
    })
}

fn percent(share: Ratio) -> String {
    format!("{:.0} %", 100.0 * in_fraction(share))
}

/// A moment as the file has it, on the clock there.
fn local(at: DateTime<Tz>) -> Option<Datetime> {
    at.naive_local().format("%Y-%m-%dT%H:%M:%S").to_string().parse().ok()
}

fn finish(ornament: &Ornament) -> Vec<&'static str> {
    ornament.finish.iter().map(|step| step.word()).collect()
}

/// Hours more of a place.
fn open(plan: &Plan, place: usize, hours: String) -> Vec<edit::Change> {
    let (entry, key) = (Entry::One(Table::Hours), plan.places[place].name.clone());
    vec![edit::Change::Append { entry, key, to: hours.into() }]
}

fn no_spare_blocks(plan: &Plan, ice: usize) -> Vec<edit::Change> {
    let sessions = 0..plan.ice[ice].sessions.len();
    let own = sessions.map(|session| unset(Entry::Of(List::Sessions(ice), session), "spare"));
    set(thing(Table::Ice, ice), "spare", 0).into_iter().chain(own).collect()
}

/// Another way to dry; in one that is not known by itself she has to say more.
fn dried(plan: &Plan, ornament: Entry, method: Method) -> Option<Vec<edit::Change>> {
    match method {
        Method::Air => {
            let gone = ["oven", "at"].map(|key| unset(ornament, key));
            Some([set(ornament, "method", "air"), gone.to_vec()].concat())
        }
        Method::Oven((oven, at)) => {
            let oven = set(ornament, "oven", plan.ovens[oven].name.as_str());
            let at = set(ornament, "at", show_temperature(at, plan.units));
            Some([set(ornament, "method", "oven"), oven, at].concat())
        }
        _ => None,
    }
}

fn thing(table: Table, index: usize) -> Entry {
    Entry::Of(List::Things(table), index)
}

fn unset(entry: Entry, key: &str) -> edit::Change {
    edit::Change::Unset { entry, key: key.to_owned() }
}

fn set(entry: Entry, key: &str, to: impl Into<Value>) -> Vec<edit::Change> {
    vec![edit::Change::Set { entry, key: key.to_owned(), to: to.into() }]
}
