//! A response surface: an outcome as a polynomial of the unknowns, by least squares.

/// An outcome y as a polynomial of second degree in the learnt coordinates x.
#[derive(Debug, Clone, PartialEq)]
pub struct Surface {
    /// Of 1, of each x, of each x_i x_j with i ≤ j.
    coefficients: Vec<f64>,
    /// What the other unknowns and the misfit add to y in each run fitted;
    /// NaN where the outcome is infinite.
    pub residuals: Vec<f64>,
    /// Standard deviation of the misfit, the other unknowns being known too.
    pub misfit: f64,
}

/// Relative weight that keeps the equations regular where an unknown does nothing.
const RIDGE: f64 = 1e-9;

impl Surface {
    /// Fits y = f(x) + g(other): f all terms to second degree, g each unknown by
    /// itself to second degree. Runs with an infinite outcome are left out.
    ///
    /// `learnt[n]` and `other[n]` hold the coordinates of run n. None when fewer
    /// runs have an outcome than there are coefficients.
    pub fn fit(learnt: &[Vec<f64>], other: &[Vec<f64>], outcomes: &[f64]) -> Option<Self> {
        let rows: Vec<(Vec<f64>, f64)> = learnt
            .iter()
            .zip(other)
            .zip(outcomes)
            .filter(|(_, y)| y.is_finite())
            .map(|((x, rest), y)| {
                let mut terms = terms(x);
                terms.extend(rest.iter().flat_map(|o| [*o, o * o]));
                (terms, *y)
            })
            .collect();
        let width = rows.first()?.0.len();
        if rows.len() <= width {
            return None;
        }
        let all = least_squares(&rows)?;
        let squares: f64 = rows.iter().map(|(x, y)| (y - dot(x, &all)).powi(2)).sum();
        let misfit = (squares / (rows.len() - width) as f64).sqrt();
        let coefficients = all[..terms(learnt.first()?).len()].to_vec();
        let mut surface = Self { coefficients, residuals: Vec::new(), misfit };
        surface.residuals = learnt
            .iter()
            .zip(outcomes)
            .map(|(x, y)| if y.is_finite() { y - surface.at(x) } else { f64::NAN })
            .collect();
        Some(surface)
    }

    /// f at learnt coordinates.
    pub fn at(&self, x: &[f64]) -> f64 {
        let (mut sum, mut next) = (self.coefficients[0], 1 + x.len());
        for (i, xi) in x.iter().enumerate() {
            sum += self.coefficients[1 + i] * xi;
            for xj in &x[i..] {
                sum += self.coefficients[next] * xi * xj;
                next += 1;
            }
        }
        sum
    }
}

fn terms(x: &[f64]) -> Vec<f64> {
    let mut terms = vec![1.0];
    terms.extend(x);
    for (i, xi) in x.iter().enumerate() {
        terms.extend(x[i..].iter().map(|xj| xi * xj));
    }
    terms
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

/// The coefficients that minimise the squares, by the normal equations.
fn least_squares(rows: &[(Vec<f64>, f64)]) -> Option<Vec<f64>> {
    let width = rows.first()?.0.len();
    let mut matrix = vec![vec![0.0; width]; width];
    let mut right = vec![0.0; width];
    for (x, y) in rows {
        for i in 0..width {
            right[i] += x[i] * y;
            for j in 0..=i {
                matrix[i][j] += x[i] * x[j];
            }
        }
    }
    for (i, row) in matrix.iter_mut().enumerate() {
        row[i] += RIDGE * rows.len() as f64;
    }
    let lower = cholesky(&matrix)?;
    let mut solution = right;
    for i in 0..width {
        solution[i] = (solution[i] - dot(&lower[i][..i], &solution[..i])) / lower[i][i];
    }
    for i in (0..width).rev() {
        let below: f64 = (i + 1..width).map(|k| lower[k][i] * solution[k]).sum();
        solution[i] = (solution[i] - below) / lower[i][i];
    }
    Some(solution)
}

/// The lower triangle C of a positive matrix C Cᵀ; None when it is not positive.
pub(super) fn cholesky(matrix: &[Vec<f64>]) -> Option<Vec<Vec<f64>>> {
    let width = matrix.len();
    let mut lower = vec![vec![0.0; width]; width];
    for i in 0..width {
        for j in 0..=i {
            let rest = matrix[i][j] - dot(&lower[i][..j], &lower[j][..j]);
            lower[i][j] = match i == j {
                true if rest > 0.0 => rest.sqrt(),
                true => return None,
                false => rest / lower[j][j],
            };
        }
    }
    Some(lower)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::uncertainty::sequence;
    use approx::assert_relative_eq;

    #[test]
    fn finds_the_polynomial_it_was_given() {
        let points = sequence(4, 64);
        let truth = |p: &[f64]| 1.0 + 2.0 * p[0] - p[1] + 0.5 * p[0] * p[1] + 3.0 * p[1] * p[1];
        let outcomes: Vec<f64> =
            points.iter().map(|p| truth(p) + 0.3 * p[2] - 0.2 * p[3] * p[3]).collect();
        let (learnt, other): (Vec<_>, Vec<_>) =
            points.iter().map(|p| (p[..2].to_vec(), p[2..].to_vec())).unzip();
        let surface = Surface::fit(&learnt, &other, &outcomes).unwrap();
        assert_relative_eq!(surface.at(&[0.2, 0.9]), truth(&[0.2, 0.9]), max_relative = 1e-6);
        assert!(surface.misfit < 1e-6);
        assert_relative_eq!(surface.residuals[5], outcomes[5] - truth(&points[5]), epsilon = 1e-6);
    }

    #[test]
    fn too_few_outcomes_make_no_surface() {
        let points = sequence(1, 8);
        let never = vec![f64::INFINITY; 8];
        assert!(Surface::fit(&points, &vec![Vec::new(); 8], &never).is_none());
    }
}
