//! A small dense linear system, solved by elimination with partial pivoting.

/// A square matrix, row by row.
#[derive(Debug, Default)]
pub(super) struct Matrix {
    order: usize,
    values: Vec<f64>,
}

impl Matrix {
    /// Sets the order and clears all values.
    pub(super) fn reset(&mut self, order: usize) {
        self.order = order;
        self.values.clear();
        self.values.resize(order * order, 0.0);
    }

    /// One row.
    pub(super) fn row_mut(&mut self, row: usize) -> &mut [f64] {
        &mut self.values[row * self.order..(row + 1) * self.order]
    }
}

/// The factors of a matrix, column by column, each filled up with zeros to one of a few lengths: with the length known,
/// what is taken off a column is taken off several entries at once, and no check of a bound is left.
#[derive(Debug, Default)]
pub(super) struct Factors {
    order: usize,
    /// What is still to be factorised; at the end the upper factor without its diagonal, with zeros below.
    upper: Vec<f64>,
    /// The multipliers, with zeros on the diagonal and above.
    lower: Vec<f64>,
    /// The row of the matrix that each row of the factors was.
    rows: Vec<usize>,
    /// One over each pivot.
    reciprocals: Vec<f64>,
}

impl Factors {
    /// Factorises `diagonal` times the identity minus a matrix, with partial pivoting. False if that is singular, or of
    /// an order that no can's list of liquids comes near (1024).
    pub(super) fn of_shifted(&mut self, matrix: &Matrix, diagonal: f64) -> bool {
        self.order = matrix.order;
        match matrix.order {
            0..=4 => self.eliminate::<4>(matrix, diagonal),
            5..=8 => self.eliminate::<8>(matrix, diagonal),
            9..=12 => self.eliminate::<12>(matrix, diagonal),
            13..=32 => self.eliminate::<32>(matrix, diagonal),
            33..=1024 => self.eliminate::<1024>(matrix, diagonal),
            _ => false,
        }
    }

    fn eliminate<const LENGTH: usize>(&mut self, matrix: &Matrix, diagonal: f64) -> bool {
        let n = matrix.order;
        for values in [&mut self.upper, &mut self.lower] {
            values.clear();
            values.resize(n * LENGTH, 0.0);
        }
        let upper = self.upper.as_chunks_mut::<LENGTH>().0;
        let lower = self.lower.as_chunks_mut::<LENGTH>().0;
        for (row, values) in matrix.values.chunks_exact(n.max(1)).enumerate() {
            for (column, value) in upper.iter_mut().zip(values) {
                column[row] = -value;
            }
            upper[row][row] += diagonal;
        }
        self.rows.clear();
        self.rows.extend(0..n);
        self.reciprocals.clear();
        for step in 0..n {
            let mut pivot = step;
            for row in step + 1..n {
                if upper[step][row].abs() > upper[step][pivot].abs() {
                    pivot = row;
                }
            }
            let lead = upper[step][pivot];
            if lead == 0.0 || !lead.is_finite() {
                return false;
            }
            if pivot != step {
                self.rows.swap(step, pivot);
                upper.iter_mut().chain(&mut lower[..step]).for_each(|column| column.swap(step, pivot));
            }
            let reciprocal = 1.0 / lead;
            self.reciprocals.push(reciprocal);
            let (done, later) = upper.split_at_mut(step + 1);
            let (column, multipliers) = (&mut done[step], &mut lower[step]);
            for row in step + 1..n {
                multipliers[row] = column[row] * reciprocal;
                column[row] = 0.0;
            }
            column[step] = 0.0;
            for other in later {
                let factor = other[step];
                subtract(other, multipliers, factor);
            }
        }
        true
    }

    /// Solves for a right-hand side in place, after [`Factors::of_shifted`].
    pub(super) fn solve(&self, right: &mut [f64]) {
        match self.order {
            0..=4 => self.substitute::<4>(right),
            5..=8 => self.substitute::<8>(right),
            9..=12 => self.substitute::<12>(right),
            13..=32 => self.substitute::<32>(right),
            _ => self.substitute::<1024>(right),
        }
    }

    fn substitute<const LENGTH: usize>(&self, right: &mut [f64]) {
        let mut side = [0.0; LENGTH];
        for (value, &row) in side.iter_mut().zip(&self.rows) {
            *value = right[row];
        }
        for (step, column) in self.lower.as_chunks::<LENGTH>().0.iter().enumerate() {
            let factor = side[step];
            subtract(&mut side, column, factor);
        }
        let columns = self.upper.as_chunks::<LENGTH>().0.iter().zip(&self.reciprocals).enumerate();
        for (step, (column, reciprocal)) in columns.rev() {
            right[step] = side[step] * reciprocal;
            subtract(&mut side, column, right[step]);
        }
    }
}

/// Takes a column times a factor off another.
fn subtract<const LENGTH: usize>(from: &mut [f64; LENGTH], column: &[f64; LENGTH], factor: f64) {
    for (value, entry) in from.iter_mut().zip(column) {
        *value -= factor * entry;
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
        let mut factors = Factors::default();
        assert!(factors.of_shifted(&a, 4.0));
        let mut side = vec![-7.0, -7.0, 10.0];
        factors.solve(&mut side);
        for (got, want) in side.iter().zip([1.0, -2.0, 3.0]) {
            assert!((got - want).abs() < 1e-12, "{side:?}");
        }
        a.reset(2);
        assert!(!factors.of_shifted(&a, 0.0));
    }

    #[test]
    fn every_length_solves() {
        // A x = b with a known x; the diagonal is not the largest of its column, so rows are changed.
        for n in [1, 2, 4, 5, 8, 9, 12, 13, 32, 33, 70] {
            let mut a = Matrix::default();
            a.reset(n);
            for row in 0..n {
                for column in 0..n {
                    a.row_mut(row)[column] =
                        ((row * 7 + column * 3) % 11) as f64 + if row + 1 == column { 90.0 } else { 0.0 };
                }
            }
            let known: Vec<f64> = (0..n).map(|place| 1.0 + (place % 5) as f64).collect();
            let mut side: Vec<f64> = (0..n)
                .map(|row| 3.0 * known[row] - a.row_mut(row).iter().zip(&known).map(|(a, x)| a * x).sum::<f64>())
                .collect();
            let mut factors = Factors::default();
            assert!(factors.of_shifted(&a, 3.0), "{n}");
            factors.solve(&mut side);
            for (got, want) in side.iter().zip(&known) {
                assert!((got - want).abs() < 1e-7, "{n}: {got} {want}");
            }
        }
    }
}
