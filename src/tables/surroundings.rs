//! What surrounds the water or the dough: walls, stands, freezers, ovens.

use serde::Deserialize;

use super::{load::row, range::Range};
use crate::units::{
    self, Area, HeatTransfer, Length, MassRate, Ratio, TemperatureInterval, ThermalConductivity,
    ThermodynamicTemperature, Time, Velocity, Volume,
};

row! {
    /// What a mould is made of.
    Wall {
        conductivity_w_mk: Range<f64>,
        thickness_mm: Range<f64>,
        emissivity: Range<f64>,
    }
}

impl Wall {
    /// Thermal conductivity.
    pub fn conductivity(&self) -> Range<ThermalConductivity> {
        self.conductivity_w_mk.map(units::conductivity)
    }

    /// Usual thickness.
    pub fn thickness(&self) -> Range<Length> {
        self.thickness_mm.map(units::millimetres)
    }

    /// Total emissivity of the outer face.
    pub fn emissivity(&self) -> Range<Ratio> {
        self.emissivity.map(units::fraction)
    }
}

/// What lies behind the contact of a stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Behind {
    /// The base faces the freezer's air like any other face.
    Air,
    /// A solid shelf with the freezer's air below it.
    Shelf,
    /// A plate at the temperature of the freezer's air.
    Plate,
}

row! {
    /// What a mould stands on.
    Stand {
        behind: Behind,
        contact_m2k_w: Range<f64>,
    }
}

impl Stand {
    /// What lies behind the contact.
    pub fn behind(&self) -> Behind {
        self.behind
    }

    /// Resistance of the contact in m²K/W, a quantity that uom does not name;
    /// zero where the base is free.
    pub fn contact_m2k_w(&self) -> Range<f64> {
        self.contact_m2k_w
    }
}

/// Whether a fan moves the air.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum AirMoved {
    /// By its own buoyancy only.
    Still,
    /// By a fan.
    Fan,
}

row! {
    /// A kind of freezer.
    Freezer {
        air_moved: AirMoved,
        air_c: Range<f64>,
        swing_k: Range<f64>,
        volume_l: Range<f64>,
        shelf_cm2: Range<f64>,
        freezing_kg_day: Range<f64>,
        air_speed_m_s: Range<f64>,
        film_w_m2k: Range<f64>,
        defrost_every_h: Option<Range<f64>>,
        defrost_min: Option<Range<f64>>,
        defrost_rise_k: Option<Range<f64>>,
    }
}

/// How a freezer defrosts itself.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Defrost {
    /// Time from one defrost to the next.
    pub every: Range<Time>,
    /// Time without cooling.
    pub lasts: Range<Time>,
    /// Rise of the air above its mean.
    pub rise: Range<TemperatureInterval>,
}

impl Freezer {
    /// Whether a fan moves its air.
    pub fn air_moved(&self) -> AirMoved {
        self.air_moved
    }

    /// Mean air where the moulds stand.
    pub fn air(&self) -> Range<ThermodynamicTemperature> {
        self.air_c.map(units::celsius)
    }

    /// Half the rise and fall of the air as the cooling goes on and off.
    pub fn swing(&self) -> Range<TemperatureInterval> {
        self.swing_k.map(units::kelvins_apart)
    }

    /// Room inside.
    pub fn volume(&self) -> Range<Volume> {
        self.volume_l.map(units::litres)
    }

    /// Level area that moulds find beside what is kept in it anyway.
    pub fn shelf(&self) -> Range<Area> {
        self.shelf_cm2.map(|area| units::square_metres(area * 1e-4))
    }

    /// Net freezing capacity, kilograms of test food a day.
    pub fn freezing_capacity(&self) -> Range<MassRate> {
        self.freezing_kg_day.map(units::kilograms_per_day)
    }

    /// Speed of the air past the moulds.
    pub fn air_speed(&self) -> Range<Velocity> {
        self.air_speed_m_s.map(units::metres_per_second)
    }

    /// Whole film found on freezing food, convection and radiation: a range to
    /// judge a model by, not one to compute with.
    pub fn film(&self) -> Range<HeatTransfer> {
        self.film_w_m2k.map(units::film)
    }

    /// Its own defrosting, where it has one.
    pub fn defrost(&self) -> Option<Defrost> {
        Some(Defrost {
            every: self.defrost_every_h?.map(units::hours),
            lasts: self.defrost_min?.map(units::minutes),
            rise: self.defrost_rise_k?.map(units::kelvins_apart),
        })
    }
}

row! {
    /// A kind of oven.
    Oven {
        air_moved: AirMoved,
        convective_film_w_m2k: Range<f64>,
        radiant_share: Range<f64>,
        swing_k: Range<f64>,
        offset_k: Range<f64>,
        warm_up_min: Range<f64>,
    }
}

impl Oven {
    /// Whether a fan moves its air.
    pub fn air_moved(&self) -> AirMoved {
        self.air_moved
    }

    /// Convective part of the film on a piece.
    pub fn convective_film(&self) -> Range<HeatTransfer> {
        self.convective_film_w_m2k.map(units::film)
    }

    /// Radiant part of the whole film: radiant / (radiant + convective).
    pub fn radiant_share(&self) -> Range<Ratio> {
        self.radiant_share.map(units::fraction)
    }

    /// Half the rise and fall about the mean.
    pub fn swing(&self) -> Range<TemperatureInterval> {
        self.swing_k.map(units::kelvins_apart)
    }

    /// How far the mean may lie from the dial, either way.
    pub fn offset(&self) -> Range<TemperatureInterval> {
        self.offset_k.map(units::kelvins_apart)
    }

    /// Time until the setting is reached.
    pub fn warm_up(&self) -> Range<Time> {
        self.warm_up_min.map(units::minutes)
    }
}

#[cfg(test)]
mod tests {
    use crate::{
        tables,
        units::{in_film, in_fraction, in_kilograms_per_day, in_litres},
    };

    #[test]
    fn four_star_capacity_is_that_of_the_rule() {
        let mut checked = 0;
        for freezer in tables::freezers() {
            if freezer.source_of("freezing_kg_day") != "eu-four-star" {
                continue;
            }
            checked += 1;
            let (litres, rate) = (freezer.volume(), freezer.freezing_capacity());
            for (litres, rate) in
                [(litres.low, rate.low), (litres.typical, rate.typical), (litres.high, rate.high)]
            {
                let rule = (4.5 * in_litres(litres) / 100.0).max(2.0);
                let stated = in_kilograms_per_day(rate);
                assert!((stated - rule).abs() < 1e-9, "{}: {stated}, not {rule}", freezer.name());
            }
        }
        assert_eq!(checked, 5);
    }

    #[test]
    fn radiant_share_follows_from_the_films() {
        // Radiant film 7 to 12 W/m²K, middle 9.5 (sources.toml, from-memory-oven-film);
        // the table rounds to two places.
        for oven in tables::ovens() {
            let convective = oven.convective_film().map(in_film);
            let share = oven.radiant_share().map(in_fraction);
            let of = |radiant: f64, convective: f64| radiant / (radiant + convective);
            for (stated, computed) in [
                (share.low, of(7.0, convective.high)),
                (share.typical, of(9.5, convective.typical)),
                (share.high, of(12.0, convective.low)),
            ] {
                assert!((stated - computed).abs() <= 0.006, "{}: {computed}", oven.name());
            }
        }
    }
}
