//! What surrounds the water or the dough: walls, stands, freezers, ovens.

use serde::Deserialize;

use super::{load::row, range::Range};
use crate::units::{
    self, Area, HeatTransfer, Length, MassRate, Ratio, TemperatureInterval, ThermalConductivity,
    ThermodynamicTemperature, Time, Velocity, Volume,
};

row! {
    /// What a mould is made of.
    Wall {}
    ranges {
        /// Thermal conductivity.
        conductivity: ThermalConductivity = units::conductivity, "conductivity_w_mk";
        /// Usual thickness.
        thickness: Length = units::millimetres, "thickness_mm";
        /// Total emissivity of the outer face.
        emissivity: Ratio = units::fraction, "emissivity";
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
    Stand {}
    read {
        /// What lies behind the contact.
        behind: Behind;
        /// Resistance of the contact in m²K/W, a quantity that uom does not name;
        /// zero where the base is free.
        contact_m2k_w: Range<f64>;
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
        defrost_every_h: Option<Range<f64>>,
        defrost_min: Option<Range<f64>>,
        defrost_rise_k: Option<Range<f64>>,
    }
    read {
        /// Whether a fan moves its air.
        air_moved: AirMoved;
    }
    ranges {
        /// Mean air where the moulds stand.
        air: ThermodynamicTemperature = units::celsius, "air_c";
        /// Half the rise and fall of the air as the cooling goes on and off.
        swing: TemperatureInterval = units::kelvins_apart, "swing_k";
        /// Room inside.
        volume: Volume = units::litres, "volume_l";
        /// Level area that moulds find beside what is kept in it anyway.
        shelf: Area = square_centimetres, "shelf_cm2";
        /// Net freezing capacity, kilograms of test food a day.
        freezing_capacity: MassRate = units::kilograms_per_day, "freezing_kg_day";
        /// Speed of the air past the moulds.
        air_speed: Velocity = units::metres_per_second, "air_speed_m_s";
        /// Whole film found on freezing food, convection and radiation: a range to
        /// judge a model by, not one to compute with.
        film: HeatTransfer = units::film, "film_w_m2k";
    }
}

fn square_centimetres(area: f64) -> Area {
    units::square_metres(area * 1e-4)
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
    Oven {}
    read {
        /// Whether a fan moves its air.
        air_moved: AirMoved;
    }
    ranges {
        /// Convective part of the film on a piece.
        convective_film: HeatTransfer = units::film, "convective_film_w_m2k";
        /// Radiant part of the whole film: radiant / (radiant + convective).
        radiant_share: Ratio = units::fraction, "radiant_share";
        /// Half the rise and fall about the mean.
        swing: TemperatureInterval = units::kelvins_apart, "swing_k";
        /// How far the mean may lie from the dial, either way.
        offset: TemperatureInterval = units::kelvins_apart, "offset_k";
        /// Time until the setting is reached.
        warm_up: Time = units::minutes, "warm_up_min";
    }
}
