//! What the solver is given and what it gives back, in SI numbers.

/// Diffusivity of water in dough by temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Law {
    Constant(f64),
    /// D at 20 °C and activation energy over the gas constant, K.
    Arrhenius(f64, f64),
}

impl Law {
    pub(crate) fn at(self, kelvin: f64) -> f64 {
        match self {
            Self::Constant(d) => d,
            Self::Arrhenius(d, activation) => {
                d * (activation * (1.0 / 293.15 - 1.0 / kelvin)).exp()
            }
        }
    }
}

/// The dough behind one open face.
#[derive(Debug, Clone)]
pub(crate) struct Slab<S> {
    pub(crate) material: S,
    /// kg/m³
    pub(crate) solids_density: f64,
    /// J/kg K of solids
    pub(crate) solids_heat: f64,
    pub(crate) moisture: f64,
    pub(crate) kelvin: f64,
    /// From the sealed side or middle to the open face, m.
    pub(crate) length: f64,
    /// Exposed area over that of the face: edges and a hole.
    pub(crate) exposure: f64,
    pub(crate) law: Law,
    /// When the other face is opened instead, s.
    pub(crate) turn_at: Option<f64>,
    /// Coats, the first one first.
    pub(crate) coats: Vec<Wetting>,
    pub(crate) cells: usize,
}

/// A stretch of time in one kind of air. SI, kelvins.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Air {
    pub(crate) first: f64,
    pub(crate) set: f64,
    pub(crate) warm_up: f64,
    /// Vapour, kg/m³.
    pub(crate) vapour: f64,
    /// Vapour the load adds, s/m (see [`Vapour::own`]).
    pub(crate) own: f64,
    pub(crate) pressure: f64,
    pub(crate) film: f64,
    pub(crate) radiative_film: f64,
    pub(crate) emissivity: f64,
    /// Openness of the face opposite to the open one, 0 to 1.
    pub(crate) underside: f64,
    pub(crate) lasts: f64,
}

impl Air {
    pub(crate) fn kelvin(&self, since: f64) -> f64 {
        if self.warm_up == 0.0 {
            return self.set;
        }
        self.set + (self.first - self.set) * (-since / self.warm_up).exp()
    }
}

/// Moistures at which the piece counts as firm (on average) and as dry (everywhere).
#[derive(Debug, Clone, Copy)]
pub(crate) struct Goal {
    pub(crate) firm: f64,
    pub(crate) dry: f64,
}

/// A wet coat on the open face.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Wetting {
    pub(crate) at: f64,
    /// kg/m²
    pub(crate) water: f64,
}

/// One instant. Moistures kg/kg; s and K.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Instant {
    pub(crate) time: f64,
    pub(crate) core: f64,
    pub(crate) mean: f64,
    pub(crate) face: f64,
    pub(crate) kelvin: f64,
}

/// Extremes met on the way.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct Extremes {
    /// Highest vapour pressure of brine in the core over that around, Pa; negative: never boiled.
    pub(crate) over_pressure: f64,
    /// Highest temperature, K, while the face was drier than the brine plateau.
    pub(crate) dry_face_kelvin: f64,
    /// Seconds in which the dry face was above 393 K (120 °C).
    pub(crate) browning: f64,
    /// Largest moisture difference mean - face while the face was glassy.
    pub(crate) difference: f64,
}

#[derive(Debug, Clone)]
pub(crate) struct Run {
    pub(crate) firm: Option<f64>,
    /// After the last coat.
    pub(crate) dry: Option<f64>,
    pub(crate) extremes: Extremes,
    /// Water that left, kg per m² of the slab's face.
    pub(crate) evaporated: f64,
    /// Water gone from the cells, kg/m².
    pub(crate) lost: f64,
    pub(crate) trace: Vec<Instant>,
    pub(crate) steps: usize,
    pub(crate) last: Instant,
}

/// How far to go.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Until {
    /// Stop once firm and dry under the last coat, at the latest at this time, s.
    Done(f64),
    /// Stop at a time, s, whatever the state.
    Time(f64),
}
