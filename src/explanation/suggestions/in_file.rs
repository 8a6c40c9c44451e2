//! The same changes, made in the plan file.

use toml::{Value, value::Datetime};

use super::{Change, Suggestion};
use crate::{
    planfile::{
        Finish, Method, Plan, Table,
        edit::{self, Entry, List},
    },
    units::{in_fraction, in_hours, show_temperature, show_thickness},
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
    let thing = |table, index| Entry::Of(List::Things(table), index);
    let ice = |index| thing(Table::Ice, index);
    let ornament = |index| thing(Table::Ornament, index);
    let place = |index: usize| plan.places[index].name.as_str();
    Some(match *change {
        Change::Hours { place: n, more } => {
            let to = Value::from(more.written());
            vec![edit::Change::Append { entry: Entry::One(Table::Hours), key: place(n).into(), to }]
        }
        Change::HoursOn { place: n, day, from, until } => {
            let [from, until] = [from, until].map(|time| time.format("%H:%M").to_string());
            let to = Value::from(format!("{day} {from}-{until}"));
            vec![edit::Change::Append { entry: Entry::One(Table::Hours), key: place(n).into(), to }]
        }
        Change::Hands { place: n } => {
            let hands = (plan.places[n].hands.unwrap_or(0) + 1).max(2);
            vec![set(Entry::One(Table::Hands), place(n), i64::from(hands))]
        }
        Change::Moulds { mould: n, more } => {
            let mould = &plan.moulds[n];
            vec![set(
                thing(Table::Mould, n),
                "own",
                i64::from(mould.own / mould.cups.max(1) + more),
            )]
        }
        Change::Shared { ice: n, blocks } => {
            let fewer = set(ice(n), "blocks", i64::from(blocks));
            std::iter::once(fewer).chain(no_spare_blocks(plan, n)).collect()
        }
        Change::NoSpareBlocks { ice: n } => no_spare_blocks(plan, n).collect(),
        Change::SessionAt { ice: n, session, at } => {
            let local = at.naive_local().format("%Y-%m-%dT%H:%M:%S").to_string();
            let entry = Entry::Of(List::Sessions(n), session);
            vec![set(entry, "at", local.parse::<Datetime>().ok()?)]
        }
        Change::Ahead { days } => {
            vec![set(Entry::One(Table::Wishes), "ahead", format!("{days} days"))]
        }
        Change::Mould { ice: n, mould } => {
            vec![set(ice(n), "mould", plan.moulds[mould].name.as_str())]
        }
        Change::Freezer { ice: n, freezer } => {
            vec![set(ice(n), "freezer", plan.freezers[freezer].name.as_str())]
        }
        Change::Travel { ice: n, lasts } => {
            vec![set(ice(n), "travel", format!("{:.0} min", 60.0 * in_hours(lasts)))]
        }
        Change::Air { freezer: n, air } => {
            vec![set(thing(Table::Freezer, n), "air", show_temperature(air, plan.units))]
        }
        Change::Room { freezer: n, more } => {
            let holds = plan.freezers[n].holds + more;
            vec![set(thing(Table::Freezer, n), "holds", i64::from(holds))]
        }
        Change::Thickness { ornament: n, thickness } => {
            vec![set(ornament(n), "thickness", show_thickness(thickness, plan.units))]
        }
        Change::Method { ornament: n, method: Method::Air } => {
            let gone = ["oven", "at"]
                .map(|key| edit::Change::Unset { entry: ornament(n), key: key.to_owned() });
            [vec![set(ornament(n), "method", "air")], gone.to_vec()].concat()
        }
        Change::Method { ornament: n, method: Method::Oven((oven, at)) } => vec![
            set(ornament(n), "method", "oven"),
            set(ornament(n), "oven", plan.ovens[oven].name.as_str()),
            set(ornament(n), "at", show_temperature(at, plan.units)),
        ],
        Change::Tray { oven: n } => {
            vec![set(thing(Table::Oven, n), "trays", i64::from(plan.ovens[n].trays + 1))]
        }
        Change::Humidity(humidity) => {
            let to = format!("{:.0} %", 100.0 * in_fraction(humidity));
            vec![set(Entry::One(Table::Room), "humidity", to)]
        }
        Change::Give { ornament: n, day } => {
            vec![set(ornament(n), "give", day.to_string().parse::<Datetime>().ok()?)]
        }
        Change::Without { ornament: n, finish } => {
            let left = plan.ornaments[n].finish.iter().filter(|own| **own != finish);
            vec![set(ornament(n), "finish", words(left))]
        }
        Change::Bare { ornament: n } => {
            let left = plan.ornaments[n].finish.iter().filter(|own| **own == Finish::Wrap);
            vec![set(ornament(n), "finish", words(left))]
        }
        Change::NoSpares { ornament: n } => vec![set(ornament(n), "spare", 0)],
        // How a mould is filled, and what a thing that is not there is like.
        Change::Fill { .. }
        | Change::FreezerAt { .. }
        | Change::BorrowedOven { .. }
        | Change::Method { .. } => return None,
    })
}

fn no_spare_blocks(plan: &Plan, ice: usize) -> impl Iterator<Item = edit::Change> {
    let sessions = 0..plan.ice[ice].sessions.len();
    let own = sessions.map(move |session| edit::Change::Unset {
        entry: Entry::Of(List::Sessions(ice), session),
        key: "spare".to_owned(),
    });
    let ice = Entry::Of(List::Things(Table::Ice), ice);
    std::iter::once(set(ice, "spare", 0)).chain(own)
}

fn set(entry: Entry, key: &str, to: impl Into<Value>) -> edit::Change {
    edit::Change::Set { entry, key: key.to_owned(), to: to.into() }
}

fn words<'a>(finish: impl Iterator<Item = &'a Finish>) -> Vec<&'static str> {
    let word = |finish: &Finish| match finish {
        Finish::Paint => "paint",
        Finish::Photo => "photo",
        Finish::Seal => "seal",
        Finish::Wrap => "wrap",
    };
    finish.map(word).collect()
}
