//! A small dense linear system, solved by elimination with partial pivoting.

/// A square matrix, row by row, which is factorised once and solved for several right-hand sides.
#[derive(Debug, Default)]
pub(super) struct Matrix {
    order: usize,
    values: Vec<f64>,
    pivots: Vec<usize>,
}

impl Matrix {
    /// Sets the order and clears all values.
    pub(super) fn reset(&mut self, order: usize) {
        self.order = order;
        self.values.clear();
        self.values.resize(order * order, 0.0);
        self.pivots.clear();
    }

    /// One row.
    pub(super) fn row_mut(&mut self, row: usize) -> &mut [f64] {
        &mut self.values[row * self.order..(row + 1) * self.order]
    }

    /// Sets this to `diagonal` times the identity minus another matrix, and factorises it. False if it is singular.
    pub(super) fn factorise_shifted(&mut self, other: &Self, diagonal: f64) -> bool {
        let n = other.order;
        self.order = n;
        self.values.clear();
        self.values.extend(other.values.iter().map(|value| -value));
        for row in 0..n {
            self.values[row * n + row] += diagonal;
        }
        self.pivots.clear();
        for column in 0..n {
            let mut pivot = column;
            for row in column + 1..n {
                if self.values[row * n + column].abs() > self.values[pivot * n + column].abs() {
                    pivot = row;
                }
            }
            let lead = self.values[pivot * n + column];
            if lead == 0.0 || !lead.is_finite() {
                return false;
            }
            self.pivots.push(pivot);
            if pivot != column {
                for k in 0..n {
                    self.values.swap(column * n + k, pivot * n + k);
                }
            }
            let (head, tail) = self.values.split_at_mut((column + 1) * n);
            let upper = &head[column * n..];
            for lower in tail.chunks_exact_mut(n) {
                let factor = lower[column] / lead;
                lower[column] = factor;
                for (value, above) in lower[column + 1..].iter_mut().zip(&upper[column + 1..]) {
                    *value -= factor * above;
                }
            }
        }
        true
    }

    /// Solves for a right-hand side in place, after [`Matrix::factorise_shifted`].
    pub(super) fn solve(&self, side: &mut [f64]) {
        let n = self.order;
        for (column, &pivot) in self.pivots.iter().enumerate() {
            side.swap(column, pivot);
        }
        for row in 1..n {
            let sum: f64 = self.values[row * n..row * n + row].iter().zip(side.iter()).map(|(a, b)| a * b).sum();
            side[row] -= sum;
        }
        for row in (0..n).rev() {
            let start = row * n + row + 1;
            let sum: f64 =
                self.values[start..(row + 1) * n].iter().zip(side[row + 1..].iter()).map(|(a, b)| a * b).sum();
            side[row] = (side[row] - sum) / self.values[row * n + row];
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn three_equations() {
        // (4 I − A) x = b with x = (1, −2, 3), worked by hand.
        let mut a = Matrix::default();
        a.reset(3);
        for (row, values) in [[4.0, -2.0, 1.0], [1.0, 1.0, 0.0], [0.0, 5.0, 4.0]].iter().enumerate() {
            a.row_mut(row).copy_from_slice(values);
        }
        let mut factors = Matrix::default();
        assert!(factors.factorise_shifted(&a, 4.0));
        let mut side = vec![-7.0, -7.0, 10.0];
        factors.solve(&mut side);
        for (got, want) in side.iter().zip([1.0, -2.0, 3.0]) {
            assert!((got - want).abs() < 1e-12, "{side:?}");
        }
        a.reset(2);
        assert!(!factors.factorise_shifted(&a, 0.0));
    }
}
