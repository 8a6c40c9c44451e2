//! How much of what a step takes, by weight and by the cup, in the plan's units; and what to buy
//! for all of it.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use uom::si::volume::cup;

use crate::{
    drying::recipe::Amounts,
    planfile::{Finish, Mould, Ornament, Plan},
    prep::{
        Durations,
        draft::Serves,
        schedule::{Amount, Purchase, Step},
    },
    report::words::served,
    tables::{self, Step as Kind},
    units::{
        self, System, grams, in_grams, in_millilitres, show_each_and_all, show_mass, show_volume,
    },
};

/// Blocks up to so much water share a bag, mL (common practice, no source).
const SMALL_ML: f64 = 100.0;

/// A cup of oil weighs so much, g (`tables/ingredients.toml`; from memory).
const CUP_OF_OIL_G: f64 = 218.0;

/// A bag holds so much of them, mL: a quart (common practice, no source).
const BAG_ML: f64 = 950.0;

/// What goes into a dough.
pub fn dough(system: System, dough: &Amounts) -> [Amount; 3] {
    let [flour, salt, water] = dough.by_volume;
    let all =
        [("flour", dough.flour, flour), ("salt", dough.salt, salt), ("water", dough.water, water)];
    all.map(|(what, mass, volume)| weighed(system, what, in_grams(mass), volume.get::<cup>()))
}

/// The oil that goes into a dough, where its recipe has some. So little of it changes nothing that is
/// computed: it neither dries nor holds water (common practice, no source).
pub fn oil(system: System, recipe: &tables::Recipe, dough: &Amounts) -> Option<Amount> {
    let mass_g = in_grams(recipe.oil()? * (dough.flour / recipe.flour()));
    Some(weighed(system, "oil", mass_g, mass_g / CUP_OF_OIL_G))
}

/// What goes into so many of a mould.
pub fn water(system: System, mould: &Mould, count: u32) -> Amount {
    let all = mould.volume * f64::from(count);
    let [each, in_all] = show_each_and_all(mould.volume, count, system);
    Amount {
        what: "water".to_owned(),
        // A millilitre of water weighs a gram: 0.998 g at 20 °C (IAPWS-95).
        mass_g: Some(in_millilitres(all) * 0.998),
        cups: Some(all.get::<cup>()),
        count: Some(count),
        text: format!("{each} in each, {in_all} in all"),
    }
}

/// So much of something by weight, and the cups that it fills.
fn weighed(system: System, what: &str, mass_g: f64, cups: f64) -> Amount {
    let weight = show_mass(grams(mass_g), system);
    let measure = show_volume(units::us_cups(cups), System::Us);
    let text = match system {
        System::Us => format!("{measure} ({weight})"),
        System::Metric => format!("{weight} ({measure})"),
    };
    Amount { what: what.to_owned(), mass_g: Some(mass_g), cups: Some(cups), count: None, text }
}

/// The sum of two amounts of the same thing.
fn sum(units: System, a: &Amount, b: &Amount) -> Amount {
    match (a.mass_g.zip(b.mass_g), a.cups.zip(b.cups)) {
        (Some((mass, more)), Some((cups, more_cups))) => {
            weighed(units, &a.what, mass + more, cups + more_cups)
        }
        _ => counted(&a.what, a.count.unwrap_or(0) + b.count.unwrap_or(0)),
    }
}

/// `6 pots of acrylic paint`, `1 bottle of white glue`, from the plural.
fn counted(what: &str, count: u32) -> Amount {
    let singular = match what.split_once(' ') {
        Some((noun, rest)) if count == 1 && rest.starts_with("of ") => {
            format!("{} {rest}", noun.trim_end_matches('s'))
        }
        _ if count == 1 => what.trim_end_matches('s').to_owned(),
        _ => what.to_owned(),
    };
    let text = format!("{count} {singular}");
    Amount { what: what.to_owned(), mass_g: None, cups: None, count: Some(count), text }
}

/// Paint for children, for all sessions on ice (common practice, no source).
const ICE_PAINT: (&str, u32) = ("pots of washable paint", 6);

/// So many pieces are painted from one set of pots, glued from one bottle or sealed from one jar
/// (common practice, no source).
const PIECES_A_SET: u32 = 60;

/// What so many pieces of dough take: weighed, or where cups are the measure, in cups that keep
/// the proportions of the recipe.
pub fn measured_out(
    plan: &Plan,
    ornament: &Ornament,
    count: u32,
    durations: &dyn Durations,
) -> Option<Amounts> {
    let amounts = durations.dough(ornament, count)?;
    Some(match plan.units {
        System::Us => amounts.by_the_cup(),
        System::Metric => amounts,
    })
}

/// The shopping list, earliest need first.
pub fn shopping(plan: &Plan, steps: &[Step], durations: &dyn Durations) -> Vec<Purchase> {
    let mut list = BTreeMap::new();
    for ornament in &plan.ornaments {
        let count = ornament.pieces(plan);
        let mixed = day_of(steps, &ornament.name, Kind::Mix);
        if let Some((mixed, amounts)) = mixed.zip(measured_out(plan, ornament, count, durations)) {
            let [flour, salt, _] = dough(plan.units, &amounts);
            add(&mut list, plan.units, flour, mixed);
            add(&mut list, plan.units, salt, mixed);
            if let Some(oil) = oil(plan.units, ornament.recipe, &amounts) {
                add(&mut list, plan.units, oil, mixed);
            }
        }
        for (what, amount, step) in for_each_piece(ornament, ornament.given(plan)) {
            if let Some(day) = day_of(steps, &ornament.name, step) {
                add(&mut list, plan.units, counted(what, amount), day);
            }
        }
    }
    for finish in [Finish::Paint, Finish::Photo, Finish::Seal] {
        if let Some((amount, day)) = coats(plan, steps, finish) {
            add(&mut list, plan.units, amount, day);
        }
    }
    if let Some(painted) = steps.iter().find(|step| step.kind == Kind::Use) {
        let (what, pots) = ICE_PAINT;
        add(&mut list, plan.units, counted(what, pots), painted.start.date_naive());
    }
    for step in steps.iter().filter(|step| step.kind == Kind::TurnOut) {
        let bags = frozen(plan, step).map_or(step.count, |mould| bags(mould, step.count));
        add(&mut list, plan.units, counted("freezer bags", bags), step.start.date_naive());
    }
    let mut list: Vec<Purchase> = list.into_values().collect();
    list.sort_by(|a, b| (a.needed, &a.amount.what).cmp(&(b.needed, &b.amount.what)));
    list
}

/// The mould whose blocks a step is about.
fn frozen<'a>(plan: &'a Plan, step: &Step) -> Option<&'a Mould> {
    let mut ice = plan.ice.iter().enumerate();
    let ice = ice.find(|(ice, own)| {
        let mut sessions = 0..own.sessions.len();
        sessions.any(|session| served(plan, Serves::Session { ice: *ice, session }) == step.goal)
    });
    ice.map(|(_, own)| &plan.moulds[own.mould])
}

/// A bag for each block, or for as many small ones as it holds.
fn bags(mould: &Mould, count: u32) -> u32 {
    let each = in_millilitres(mould.volume);
    if each > SMALL_ML { count } else { (each * f64::from(count) / BAG_ML).ceil() as u32 }
}

/// What a finish takes of the pots, bottles and jars that serve all batches, and from when on;
/// none where no batch has it.
fn coats(plan: &Plan, steps: &[Step], finish: Finish) -> Option<(Amount, NaiveDate)> {
    let (what, usual, kind) = match finish {
        Finish::Paint => ("pots of acrylic paint", 6, Kind::Paint),
        Finish::Photo => ("bottles of white glue", 1, Kind::Photo),
        Finish::Seal => ("jars of water-based sealer", 1, Kind::Seal),
        Finish::Wrap => return None,
    };
    let coated = plan.ornaments.iter().filter_map(|ornament| {
        let times = ornament.finish.iter().filter(|step| **step == finish).count() as u32;
        let day = day_of(steps, &ornament.name, kind).filter(|_| times > 0)?;
        Some((times * ornament.pieces(plan), day))
    });
    let (pieces, days): (Vec<u32>, Vec<NaiveDate>) = coated.unzip();
    let sets = pieces.into_iter().sum::<u32>().div_ceil(PIECES_A_SET);
    Some((counted(what, usual * sets), days.into_iter().min()?))
}

/// What is used up with each piece that is given.
fn for_each_piece(ornament: &Ornament, given: u32) -> Vec<(&'static str, u32, Kind)> {
    let mut things = Vec::new();
    if ornament.finish.contains(&Finish::Wrap) {
        things.push(("sheets of wrapping paper", given, Kind::Wrap));
    }
    let wrapped = ornament.finish.contains(&Finish::Wrap);
    things.push(("ribbons", given, if wrapped { Kind::Wrap } else { Kind::Give }));
    things
}

/// The day of the first step of a kind that a batch has.
fn day_of(steps: &[Step], ornament: &str, kind: Kind) -> Option<NaiveDate> {
    let its = |step: &&Step| step.kind == kind && step.goal == ornament;
    steps.iter().find(its).map(|step| step.start.date_naive())
}

/// Adds an amount to the line of the same thing.
fn add(list: &mut BTreeMap<String, Purchase>, units: System, amount: Amount, needed: NaiveDate) {
    match list.get_mut(&amount.what) {
        None => {
            list.insert(amount.what.clone(), Purchase { amount, needed });
        }
        Some(line) => {
            line.needed = line.needed.min(needed);
            line.amount = sum(units, &line.amount, &amount);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{prep::Physics, report::plan::lay_out};

    #[test]
    fn sums_say_what_they_are() {
        let one = weighed(System::Us, "flour", 125.0, 1.0);
        assert_eq!(one.text, "1 cup (4.4 oz)");
        let two = sum(System::Us, &one, &one);
        assert_eq!(two.text, "2 cups (8.8 oz)");
        assert_eq!(weighed(System::Metric, "flour", 125.0, 1.0).text, "125 g (1 cup)");
    }

    #[test]
    fn small_blocks_share_a_bag() {
        let plan = crate::planfile::read(&crate::planfile::starter()).unwrap();
        let [fox, cube] = [310.0, 23.0]
            .map(|ml| Mould { volume: units::millilitres(ml), ..plan.moulds[0].clone() });
        assert_eq!([bags(&fox, 12), bags(&cube, 1), bags(&cube, 48)], [12, 1, 2]);
    }

    /// One set of pots serves two batches and two coats, until their pieces are more than it
    /// paints.
    #[test]
    fn pots_and_jars_serve_all_batches() {
        let mut plan = crate::planfile::read(&crate::planfile::starter()).unwrap();
        plan.ornaments[0].finish = vec![Finish::Paint, Finish::Paint, Finish::Seal];
        let again = Ornament { name: "More".to_owned(), ..plan.ornaments[0].clone() };
        plan.ornaments.push(again);
        let now = "2026-11-20T12:00:00Z".parse().unwrap();
        let bought = |plan: &Plan| {
            let schedule = lay_out(plan, now, &Physics::default()).unwrap();
            let of = |what: &str| {
                let own = schedule.shopping.iter().filter(|line| line.amount.what.contains(what));
                own.map(|line| line.amount.text.clone()).collect::<Vec<_>>().join(", ")
            };
            [of("paint"), of("sealer")]
        };
        plan.ice.clear();
        assert_eq!(bought(&plan), ["6 pots of acrylic paint", "1 jar of water-based sealer"]);
        plan.groups[0].children *= 3;
        assert_eq!(bought(&plan), ["18 pots of acrylic paint", "2 jars of water-based sealer"]);
    }

    #[test]
    fn one_of_a_thing_is_singular() {
        for (plural, one) in [
            ("ribbons", "1 ribbon"),
            ("freezer bags", "1 freezer bag"),
            ("sheets of wrapping paper", "1 sheet of wrapping paper"),
        ] {
            assert_eq!(counted(plural, 1).text, one);
        }
        assert_eq!(counted("ribbons", 3).text, "3 ribbons");
    }
}
