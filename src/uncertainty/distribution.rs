//! A distribution over one unknown input, drawn through its quantile function.

use crate::tables::{Distribution, Prior};

impl Prior {
    /// The value below which a share `p` of the belief lies, within its bounds, 0 < p < 1.
    pub fn quantile(&self, p: f64) -> f64 {
        let (least, largest) = self.bounds();
        self.distribution().quantile(p).clamp(least, largest)
    }
}

impl Distribution {
    /// The value below which a share `p` of the belief lies, 0 < p < 1.
    pub fn quantile(&self, p: f64) -> f64 {
        match *self {
            Self::Normal { mean, sd } => mean + sd * standard_normal_quantile(p),
            Self::LogNormal { median, factor } => median * factor.powf(standard_normal_quantile(p)),
            Self::Uniform { low, high } => low + p * (high - low),
            Self::Triangular { low, mode, high } => triangular_quantile(low, mode, high, p),
        }
    }

    /// The value at a standard normal score: as far up in this belief as `z` is in
    /// the standard normal distribution.
    pub fn at_score(&self, z: f64) -> f64 {
        match *self {
            Self::Normal { mean, sd } => mean + sd * z,
            Self::LogNormal { median, factor } => median * factor.powf(z),
            _ => self.quantile(standard_normal_cdf(z).clamp(1e-12, 1.0 - 1e-12)),
        }
    }
}

fn triangular_quantile(low: f64, mode: f64, high: f64, p: f64) -> f64 {
    let width = high - low;
    if width == 0.0 {
        return low;
    }
    let below_mode = (mode - low) / width;
    if p < below_mode {
        low + (p * width * (mode - low)).sqrt()
    } else {
        high - ((1.0 - p) * width * (high - mode)).sqrt()
    }
}

/// Coefficients of the rational functions of AS 241: the middle, the tails, far out.
const MIDDLE_TOP: [f64; 8] = [
    3.387_132_872_796_366_5,
    1.331_416_678_917_843_8e2,
    1.971_590_950_306_551_3e3,
    1.373_169_376_550_946e4,
    4.592_195_393_154_987e4,
    6.726_577_092_700_87e4,
    3.343_057_558_358_813e4,
    2.509_080_928_730_122_7e3,
];
const MIDDLE_BOTTOM: [f64; 8] = [
    1.0,
    4.231_333_070_160_091e1,
    6.871_870_074_920_579e2,
    5.394_196_021_424_751e3,
    2.121_379_430_158_659_7e4,
    3.930_789_580_009_271e4,
    2.872_908_573_572_194_3e4,
    5.226_495_278_852_545e3,
];
const TAIL_TOP: [f64; 8] = [
    1.423_437_110_749_683_5,
    4.630_337_846_156_546,
    5.769_497_221_460_691,
    3.647_848_324_763_204_5,
    1.270_458_252_452_368_4,
    2.417_807_251_774_506e-1,
    2.272_384_498_926_918_4e-2,
    7.745_450_142_783_414e-4,
];
const TAIL_BOTTOM: [f64; 8] = [
    1.0,
    2.053_191_626_637_759,
    1.676_384_830_183_803_8,
    6.897_673_349_851e-1,
    1.481_039_764_274_800_8e-1,
    1.519_866_656_361_645_7e-2,
    5.475_938_084_995_345e-4,
    1.050_750_071_644_416_9e-9,
];
const FAR_TOP: [f64; 8] = [
    6.657_904_643_501_103,
    5.463_784_911_164_114,
    1.784_826_539_917_291_3,
    2.965_605_718_285_048_7e-1,
    2.653_218_952_657_612_4e-2,
    1.242_660_947_388_078_4e-3,
    2.711_555_568_743_487_6e-5,
    2.010_334_399_292_288_1e-7,
];
const FAR_BOTTOM: [f64; 8] = [
    1.0,
    5.998_322_065_558_88e-1,
    1.369_298_809_227_358e-1,
    1.487_536_129_085_061_5e-2,
    7.868_691_311_456_133e-4,
    1.846_318_317_510_054_8e-5,
    1.421_511_758_316_446e-7,
    2.044_263_103_389_939_8e-15,
];

/// The standard normal quantile, relative error below 1e-9 for 1e-300 < p < 1 - 1e-16.
///
/// Algorithm AS 241, routine PPND16. Source: Wichura (1988), The percentage
/// points of the normal distribution, Applied Statistics 37:477-484.
pub fn standard_normal_quantile(p: f64) -> f64 {
    let q = p - 0.5;
    if q.abs() <= 0.425 {
        let r = 0.180_625 - q * q;
        return q * ratio(&MIDDLE_TOP, &MIDDLE_BOTTOM, r);
    }
    let tail = if q < 0.0 { p } else { 1.0 - p };
    let r = (-tail.ln()).sqrt();
    let size = if r <= 5.0 {
        ratio(&TAIL_TOP, &TAIL_BOTTOM, r - 1.6)
    } else {
        ratio(&FAR_TOP, &FAR_BOTTOM, r - 5.0)
    };
    size.copysign(q)
}

/// The standard normal distribution function, absolute error below 1e-14.
///
/// 1/2 + φ(z) (z + z³/3 + z⁵/(3·5) + …); beyond 8 it is 0 or 1. Source: Marsaglia
/// (2004), Evaluating the normal distribution, Journal of Statistical Software 11(4).
pub fn standard_normal_cdf(z: f64) -> f64 {
    if z.abs() > 8.0 {
        return f64::from(z > 0.0);
    }
    let (mut sum, mut term, mut odd) = (z, z, 1.0);
    while sum + term != sum {
        odd += 2.0;
        term *= z * z / odd;
        sum += term;
    }
    0.5 + sum * (-0.5 * z * z).exp() / (2.0 * std::f64::consts::PI).sqrt()
}

fn ratio(top: &[f64; 8], bottom: &[f64; 8], x: f64) -> f64 {
    let horner = |c: &[f64; 8]| c.iter().rev().fold(0.0, |sum, c| sum * x + c);
    horner(top) / horner(bottom)
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn normal_quantiles_of_the_published_algorithm() {
        // Wichura (1988): test values printed with the algorithm, from memory;
        // 1.959964 and 1.644854 are in every table of the normal distribution.
        for (p, z) in [
            (0.25, -0.674_489_750_196_081_7),
            (0.001, -3.090_232_306_167_813_5),
            (1e-20, -9.262_340_089_798_408),
            (0.975, 1.959_963_984_540_054),
            (0.95, 1.644_853_626_951_472_7),
        ] {
            assert_relative_eq!(standard_normal_quantile(p), z, max_relative = 1e-12);
        }
        assert_eq!(standard_normal_quantile(0.5), 0.0);
    }

    #[test]
    fn score_and_quantile_agree() {
        for p in [1e-6, 0.01, 0.3, 0.5, 0.9, 0.999] {
            let z = standard_normal_quantile(p);
            assert_relative_eq!(standard_normal_cdf(z), p, max_relative = 1e-8);
            for belief in [
                Distribution::Normal { mean: 3.0, sd: 2.0 },
                Distribution::LogNormal { median: 2.0, factor: 1.3 },
                Distribution::Triangular { low: 1.0, mode: 2.0, high: 5.0 },
            ] {
                assert_relative_eq!(belief.at_score(z), belief.quantile(p), max_relative = 1e-7);
            }
        }
        assert_eq!((standard_normal_cdf(-9.0), standard_normal_cdf(9.0)), (0.0, 1.0));
    }

    #[test]
    fn triangle_has_its_mode_and_ends() {
        let belief = Distribution::Triangular { low: 1.0, mode: 2.0, high: 5.0 };
        assert_relative_eq!(belief.quantile(0.25), 2.0, max_relative = 1e-12);
        assert!(belief.quantile(1e-12) < 1.0001 && belief.quantile(1.0 - 1e-12) > 4.9999);
    }

    #[test]
    fn lognormal_is_symmetric_in_factor() {
        let belief = Distribution::LogNormal { median: 3e-11, factor: 2.0 };
        let (low, high) = (belief.quantile(0.1), belief.quantile(0.9));
        assert_relative_eq!(low * high, 9e-22, max_relative = 1e-12);
    }
}
