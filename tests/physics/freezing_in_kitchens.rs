//! Limits, monotony, honesty of the band, and the melting checks.

use proptest::prelude::*;
use rayon::prelude::*;
use solidby::answers::AskError;
use solidby::answers::ice::{Block, IceQuestion, Scenario, answer, bands};
use solidby::answers::thaw::{self, Keeping, ThawQuestion};
use solidby::freezing::melt::Melting;
use solidby::freezing::mesh::Resolution;
use solidby::freezing::pattern::Pattern;
use solidby::surroundings::cool_box::wall_heat;
use solidby::surroundings::freezer::{Freezer, power_of_capacity};
use solidby::tables;
use solidby::uncertainty::Band;
use solidby::units::*;
use uom::si::area::square_meter;

fn cup() -> IceQuestion {
    let cup = tables::mould("muffin cup").unwrap();
    IceQuestion::of(Block::Shape(cup.shape().clone())).unwrap()
}

fn central(question: &IceQuestion) -> Scenario {
    let unknowns = question.unknowns().unwrap();
    question.scenario(unknowns.centre()).unwrap()
}

fn hours_of(scenario: &Scenario) -> f64 {
    scenario.run(Resolution::Coarse, false).unwrap().solid_h
}

fn with_power(scenario: &Scenario, power: Option<f64>, count: f64) -> Scenario {
    let mut changed = scenario.clone();
    changed.freezer = Freezer { power: power.map(watts), ..scenario.freezer };
    changed.standing.count = count;
    changed
}

#[test]
fn a_vanishing_load_gives_the_constant_air_answer() {
    let scenario = central(&cup());
    let alone = hours_of(&with_power(&scenario, Some(20.0), 1e-3));
    let constant = hours_of(&with_power(&scenario, None, 1.0));
    assert!((alone / constant - 1.0).abs() < 2e-3, "{alone} against {constant} h");
}

#[test]
fn without_power_a_full_freezer_never_freezes() {
    let scenario = central(&cup());
    assert_eq!(hours_of(&with_power(&scenario, Some(0.0), 200.0)), f64::INFINITY);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn doubling_the_count_never_shortens(count in 1.0..30.0_f64, power in 5.0..60.0_f64) {
        let scenario = central(&cup());
        let few = hours_of(&with_power(&scenario, Some(power), count));
        let many = hours_of(&with_power(&scenario, Some(power), 2.0 * count));
        prop_assert!(many >= few * (1.0 - 1e-3), "{} blocks {} h, twice {} h", count, few, many);
    }

    #[test]
    fn colder_air_never_lengthens(air in -24.0..-8.0_f64, colder in 0.5..5.0_f64) {
        let mut warm = central(&cup());
        warm.freezer.air = celsius(air);
        let mut cold = warm.clone();
        cold.freezer.air = celsius(air - colder);
        let (warm, cold) = (hours_of(&warm), hours_of(&cold));
        prop_assert!(cold <= warm * (1.0 + 1e-3), "{} C {} h, {} K colder {} h", air, warm, colder, cold);
    }

    #[test]
    fn the_energy_balance_closes_in_every_kitchen(draw in 0..256_usize, mould in 0..50_usize) {
        let mould = &tables::moulds()[mould % tables::moulds().len()];
        let question = IceQuestion::of(Block::Shape(mould.shape().clone())).unwrap();
        let unknowns = question.unknowns().unwrap();
        let draws = unknowns.draws(256);
        let scenario = question.scenario(&draws[draw]).unwrap();
        let outcome = scenario.run(Resolution::Coarse, false).unwrap();
        prop_assert!(outcome.residual.abs() < 1e-9, "{}: {:e}", mould.name(), outcome.residual);
    }
}

/// Of 500 kitchens drawn from the stated unknowns by other
/// numbers than the band's; the truth of each is a run on the working grid.
#[test]
fn bands_are_honest() {
    let question = IceQuestion { count: 4, ..cup() };
    let unknowns = question.unknowns().unwrap();
    let answered = bands(&question, &unknowns).unwrap();
    let band = Band::of(&answered.solid_h).unwrap();
    // Draws 256 … 755 of the same sequence: none of them made the band.
    let draws = unknowns.draws(756);
    let pattern = Pattern::of(&central(&question).body, Resolution::Working);
    let truths: Vec<f64> = draws[256..]
        .par_iter()
        .map(|draw| {
            let scenario = question.scenario(draw).unwrap();
            scenario.run_on(&pattern, minutes(4.0), false).unwrap().solid_h
        })
        .collect();
    let inside = truths.iter().filter(|t| (band.p05..=band.p95).contains(*t)).count();
    let covered = 100.0 * inside as f64 / truths.len() as f64;
    println!("90 % band covers {covered:.1} % of {} kitchens", truths.len());
    println!("stated chance  came true");
    let mut sorted = answered.solid_h.clone();
    sorted.sort_by(f64::total_cmp);
    for stated in [0.05, 0.1, 0.25, 0.5, 0.75, 0.9, 0.95] {
        let deadline = sorted[(stated * 255.0) as usize];
        let came = truths.iter().filter(|t| **t <= deadline).count() as f64 / truths.len() as f64;
        println!("{stated:13.2}  {came:9.3}");
        // Three standard errors of 500 kitchens.
        let noise = 3.0 * (stated * (1.0 - stated) / 500.0_f64).sqrt();
        assert!((came - stated).abs() < noise, "chance {stated}: came true in {came}");
    }
    assert!((88.0..=92.0).contains(&covered), "covers {covered:.1} %");
}

#[test]
fn same_question_same_bytes_and_a_whole_answer() {
    let question = IceQuestion { count: 6, by: Some(hours(11.0)), ..cup() };
    let first = answer(&question).unwrap();
    let bytes = serde_json::to_string(&first).unwrap();
    assert_eq!(bytes, serde_json::to_string(&answer(&question).unwrap()).unwrap());
    let band = first.solid_h.unwrap();
    assert!(band.p05 < first.nominal.solid_h && first.nominal.solid_h < band.p95);
    assert!(first.nominal.ready_h >= first.nominal.solid_h);
    assert!(first.chance.unwrap() > 0.5 && first.lead().is_some());
    assert!(!first.helps.is_empty() && first.helps.iter().all(|help| help.saves_h >= 0.1));
    assert!(first.helps.is_sorted_by(|a, b| a.saves_h >= b.saves_h));
    assert!(!first.unsure.is_empty());
    for key in ["solid_h", "ready_h", "nominal", "freezer_limited", "mass_kg", "cautions", "notes"]
    {
        assert!(bytes.contains(&format!("\"{key}\"")), "{key}");
    }
}

#[test]
fn many_litres_in_a_small_freezer_are_limited_by_it() {
    let big = IceQuestion {
        count: 8,
        rated: Some(kilograms_per_day(2.0)),
        ..IceQuestion::of(Block::Volume(litres(0.5))).unwrap()
    };
    let found = answer(&big).unwrap();
    assert!(found.freezer_limited);
    assert!(found.cautions.iter().any(|caution| caution.id == "food-warms"), "{:?}", found.notes);
    assert!(found.notes.iter().any(|note| note.contains("freezer, not the block")));
    let half = found.helps.iter().find(|help| help.change.contains("half as many"));
    assert!(half.is_some_and(|help| help.saves_h > 1.0), "{:?}", found.helps);
}

#[test]
fn knowing_more_narrows_the_band() {
    let spread = |question: &IceQuestion| {
        let band = answer(question).unwrap().solid_h.unwrap();
        band.p95 / band.p05
    };
    let plain = spread(&cup());
    let air = IceQuestion { air: Some(celsius(-18.0)), ..cup() };
    let water = IceQuestion { start: Some(celsius(12.0)), ..air.clone() };
    let fill = IceQuestion { fill: Some(mm(30.0)), ..water.clone() };
    let stand = IceQuestion { stand: Some(tables::stand("wire").unwrap()), ..fill.clone() };
    let spreads = [plain, spread(&air), spread(&water), spread(&fill), spread(&stand)];
    println!("p95/p05, each with one fact more: {spreads:.3?}");
    // Each question has its own draws: 256 of them know p95/p05 to about 2 %.
    assert!(spreads.is_sorted_by(|a, b| *b < a * 1.02), "{spreads:?}");
    assert!(spreads[4] < 0.95 * spreads[0], "{spreads:?}");
}

fn mm(value: f64) -> Length {
    millimetres(value)
}

#[test]
fn salted_water_is_slower_and_wrong_numbers_are_refused() {
    let plain = IceQuestion { air: Some(celsius(-18.0)), ..cup() };
    let salted = IceQuestion { salt: percents(1.0), ..plain.clone() };
    let (plain, salted) = (hours_of(&central(&plain)), hours_of(&central(&salted)));
    assert!(salted > plain, "{salted} against {plain} h");
    let brine = IceQuestion { salt: percents(20.0), ..cup() };
    assert!(matches!(answer(&brine), Err(AskError::Medium(_))));
    for wrong in [
        IceQuestion { air: Some(celsius(3.0)), ..cup() },
        IceQuestion { start: Some(celsius(-5.0)), ..cup() },
        IceQuestion { count: 0, ..cup() },
        IceQuestion { rated: Some(kilograms_per_day(f64::NAN)), ..cup() },
        IceQuestion { fill: Some(mm(400.0)), ..cup() },
        IceQuestion::of(Block::Volume(millilitres(-1.0))).unwrap(),
        IceQuestion::of(Block::Volume(millilitres(f64::NAN))).unwrap(),
    ] {
        assert!(answer(&wrong).is_err(), "{wrong:?}");
    }
}

#[test]
fn rated_capacity_of_a_hundred_litres() {
    // 4.5 kg a day take 24.7 W as water (474.8 kJ/kg from 25 to −18 °C by IAPWS-95 and R10-06,
    // computed here); the test load holds less heat.
    let power = in_watts(power_of_capacity(kilograms_per_day(4.5)));
    assert!((power / (24.7 * 378.0 / 474.8) - 1.0).abs() < 5e-3, "{power} W");
}

/// Textbook examples of melting; each names its book.
#[test]
fn melting_examples() {
    use std::f64::consts::PI;
    let ball = |radius: f64| Melting {
        volume: 4.0 / 3.0 * PI * radius.powi(3),
        area: 4.0 * PI * radius * radius,
        half_thickness: radius,
        start_c: 0.0,
        conductivity_multiplier: 1.0,
    };
    // Chapra & Canale 28.6, solved here: 152 680 s with L = 333 kJ/kg and 917 kg/m³; ours
    // are 333.4265 and 916.7.
    let gone = ball(0.03).run(|surface, _| 3.0 * (20.0 - surface)).gone;
    assert!((gone / 152_680.0 - 1.0).abs() < 2e-3, "{gone} s");
    // Computed here: a 6 cm ball with 12 W/m²K at 20 °C, ρ L R/(h ΔT) = 10.6 h.
    let gone = ball(0.03).run(|surface, _| 12.0 * (20.0 - surface)).gone / 3600.0;
    assert!((gone / 10.6 - 1.0).abs() < 5e-3, "{gone} h");
    // Çengel's ice chest, from memory: 0.5365 m², 3 cm at 0.033 W/m K, 8 K: 4.721 W.
    let area = Area::new::<square_meter>(0.5365);
    let heat = wall_heat(conductivity(0.033), mm(30.0), area, kelvins_apart(8.0));
    assert!((in_watts(heat) / 4.721 - 1.0).abs() < 1e-3);
    // … and its 40 kg of ice last 32.7 days.
    let days = 40.0 * 333.7e3 / in_watts(heat) / 86_400.0;
    assert!((days / 32.7 - 1.0).abs() < 2e-3, "{days} days");
    // NCERT physics, an icebox cube of 0.30 m, 5 cm at 0.01 W/m K, 45 K, 6 h: 0.313 kg melt.
    let area = Area::new::<square_meter>(6.0 * 0.09);
    let heat = wall_heat(conductivity(0.01), mm(50.0), area, kelvins_apart(45.0));
    let melted = in_watts(heat) * 6.0 * 3600.0 / 335e3;
    assert!((melted / 0.313 - 1.0).abs() < 2e-3, "{melted} kg");
}

#[test]
fn a_block_lasts_longer_the_better_it_is_kept() {
    let keep = |keeping, count| {
        let question = ThawQuestion {
            block: Block::Volume(millilitres(300.0)),
            fill: None,
            count,
            start: celsius(-18.0),
            room: Some(celsius(20.0)),
            humidity: Some(percents(50.0)),
            keeping,
        };
        thaw::answer(&question).unwrap()
    };
    let open = keep(Keeping::Open, 1);
    let (bag, cool) = (keep(Keeping::Bag, 1), keep(Keeping::foam_box(), 8));
    for found in [&open, &bag, &cool] {
        let mid = |band: Band| band.p50;
        assert!(mid(found.wet_h) <= mid(found.soft_h), "{found:?}");
        assert!(mid(found.soft_h) < mid(found.half_h) && mid(found.half_h) < mid(found.gone_h));
    }
    assert!(open.gone_h.p50 < bag.gone_h.p50 && bag.gone_h.p50 < cool.gone_h.p50);
    let hours = [open.gone_h, bag.gone_h, cool.gone_h].map(|band| band.p50);
    println!("300 mL at 20 °C, 50 %: gone after {hours:.1?} h open, in a bag, eight in a box");
    // Computed here: total film about 5 × 1.47 (convection widened by condensation) + 4.9
    // (radiation) = 12 W/m²K at 20 °C and 50 %. The middling box
    // is 40 mm deep: ρ L R/(h ΔT) = 917 × 333.4e3 × 0.020/(12 × 20) s = 7.1 h.
    assert!((open.gone_h.p50 / 7.1 - 1.0).abs() < 0.15, "{:?}", open.gone_h);
    // Packaged food took up 5 to 7 W/m²K (Anderson 2004): 12 to 17 h.
    assert!((12.0..17.0).contains(&bag.gone_h.p50), "{:?}", bag.gone_h);
}

/// A heavy load in a small freezer couples block and air tightly: asking the
/// freezer seldom, at most every 12 min for a band, must not throw its air about.
#[test]
fn a_heavy_load_in_a_small_freezer_does_not_depend_on_the_step() {
    let question = IceQuestion {
        count: 8,
        freezer: tables::freezer("ice-box").unwrap(),
        ..IceQuestion::of(Block::Volume(millilitres(300.0))).unwrap()
    };
    let scenario = central(&question);
    let pattern = Pattern::of(&scenario.body, Resolution::Coarse);
    let hours_at = |period| scenario.run_on(&pattern, period, false).unwrap().solid_h;
    let (often, seldom) = (hours_at(minutes(1.0)), hours_at(minutes(12.0)));
    assert!((seldom / often - 1.0).abs() < 0.02, "{seldom} against {often} h");
}
