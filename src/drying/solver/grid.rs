//! Cells through the thickness and implicit diffusion between them.

/// Cells from the sealed side (first) to the open face (last), finest at open faces.
#[derive(Debug, Clone)]
pub(crate) struct Grid {
    /// Width of each cell, m.
    pub(crate) width: Vec<f64>,
    /// Distance between the centres of neighbours, m.
    gap: Vec<f64>,
    /// Whole width, m.
    pub(crate) length: f64,
}

impl Grid {
    /// `cells` cells, finest at the last face, or at both when either may be open.
    pub(crate) fn new(length: f64, cells: usize, both_open: bool) -> Self {
        use std::f64::consts::{FRAC_PI_2, PI};
        let edge = |i: usize| {
            let share = i as f64 / cells as f64;
            length
                * if both_open {
                    0.5 * (1.0 - (PI * share).cos())
                } else {
                    (FRAC_PI_2 * share).sin()
                }
        };
        let width: Vec<f64> = (0..cells).map(|i| edge(i + 1) - edge(i)).collect();
        let gap = width.windows(2).map(|pair| 0.5 * (pair[0] + pair[1])).collect();
        Self { width, gap, length }
    }

    pub(crate) fn mean(&self, values: &[f64]) -> f64 {
        self.width.iter().zip(values).map(|(w, u)| w * u).sum::<f64>() / self.length
    }
}

/// (1 - r ∇²) factored once (Thomas algorithm), for several right-hand sides.
#[derive(Debug, Clone)]
pub(crate) struct Factored {
    lower: Vec<f64>,
    upper: Vec<f64>,
    inverse_pivot: Vec<f64>,
}

impl Factored {
    pub(crate) fn for_grid(grid: &Grid) -> Self {
        let n = grid.width.len();
        Self { lower: vec![0.0; n], upper: vec![0.0; n], inverse_pivot: vec![0.0; n] }
    }

    /// Factors for `r` = diffusivity times implicit time step, both ends sealed.
    pub(crate) fn set(&mut self, grid: &Grid, r: f64) {
        let n = grid.width.len();
        let mut above = 0.0;
        for i in 0..n {
            let left = if i > 0 { r / (grid.width[i] * grid.gap[i - 1]) } else { 0.0 };
            let right = if i + 1 < n { r / (grid.width[i] * grid.gap[i]) } else { 0.0 };
            let inverse = 1.0 / (1.0 + left + right - left * above);
            above = right * inverse;
            self.lower[i] = left;
            self.upper[i] = above;
            self.inverse_pivot[i] = inverse;
        }
    }

    pub(crate) fn solve(&self, values: &mut [f64]) {
        let mut before = 0.0;
        for ((value, lower), inverse) in values.iter_mut().zip(&self.lower).zip(&self.inverse_pivot)
        {
            before = (*value + lower * before) * inverse;
            *value = before;
        }
        let mut after = 0.0;
        for (value, upper) in values.iter_mut().zip(&self.upper).rev() {
            after = *value + upper * after;
            *value = after;
        }
    }
}
