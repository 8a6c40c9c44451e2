//! What is left of the night when the blocks are still wet at some time.

use super::band::Bands;
use crate::uncertainty::Rest;

/// The evenings in which it is still wet after `wet_h` hours, and whether there were enough
/// of them; what stands for them where there were not belongs to no draw.
pub(super) fn still_wet(bands: Bands, wet_h: f64) -> (Bands, bool) {
    match Rest::after(&bands.solid_h, wet_h) {
        Rest::Runs(goes_on) => {
            let keep = |all: &[f64]| goes_on.iter().map(|n| all[*n]).collect();
            let (solid_h, ready_h) = (keep(&bands.solid_h), keep(&bands.ready_h));
            let draws = goes_on.iter().map(|n| bands.draws[*n].clone()).collect();
            (Bands { draws, solid_h, ready_h, ..bands }, true)
        }
        Rest::Tail(solid_h) => {
            let later = later(&bands);
            let ready_h = solid_h.iter().map(|h| later * h).collect();
            (Bands { draws: Vec::new(), solid_h, ready_h, ..bands }, false)
        }
    }
}

/// How much later they are ready than solid: the middle of all evenings.
fn later(bands: &Bands) -> f64 {
    let ratios = bands.ready_h.iter().zip(&bands.solid_h).map(|(ready, solid)| ready / solid);
    let mut ratios: Vec<f64> = ratios.filter(|ratio| ratio.is_finite()).collect();
    ratios.sort_by(f64::total_cmp);
    ratios.get(ratios.len() / 2).copied().unwrap_or(1.0)
}
