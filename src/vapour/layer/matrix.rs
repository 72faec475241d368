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

/// Numbers that are worked on together.
const LANES: usize = 4;

/// Four entries of a column below each other.
type Lanes = [f64; LANES];

/// The factors of a matrix in columns of lanes: what is taken off a column is taken off four entries at a time, and none
/// waits for another.
#[derive(Debug, Default)]
pub(super) struct Factors {
    /// Lanes of a column.
    blocks: usize,
    /// What is still to be factorised; at the end the upper factor, with zeros below.
    upper: Vec<Lanes>,
    /// The multipliers, with zeros on the diagonal and above.
    lower: Vec<Lanes>,
    /// The row of the matrix that each row of the factors was.
    rows: Vec<usize>,
    /// One over each pivot.
    reciprocals: Vec<f64>,
    side: Vec<Lanes>,
}

impl Factors {
    /// Factorises `diagonal` times the identity minus a matrix, with partial pivoting. False if that is singular.
    pub(super) fn of_shifted(&mut self, matrix: &Matrix, diagonal: f64) -> bool {
        let n = matrix.order;
        self.blocks = n.div_ceil(LANES);
        let blocks = self.blocks;
        for values in [&mut self.upper, &mut self.lower] {
            values.clear();
            values.resize(n * blocks, [0.0; LANES]);
        }
        let flat = self.upper.as_flattened_mut();
        for (row, values) in matrix.values.chunks_exact(n.max(1)).enumerate() {
            for (column, value) in values.iter().enumerate() {
                flat[column * blocks * LANES + row] = -value;
            }
            flat[row * blocks * LANES + row] += diagonal;
        }
        self.rows.clear();
        self.rows.extend(0..n);
        self.reciprocals.clear();
        match blocks {
            1 => self.eliminate(1),
            2 => self.eliminate(2),
            3 => self.eliminate(3),
            _ => self.eliminate(blocks),
        }
    }

    /// The elimination itself, written out for each of the usual sizes.
    #[expect(clippy::inline_always, reason = "with the size known no loop and no check of a bound is left")]
    #[inline(always)]
    fn eliminate(&mut self, blocks: usize) -> bool {
        let n = self.rows.len();
        for step in 0..n {
            let (done, later) = self.upper.split_at_mut((step + 1) * blocks);
            let column = done[step * blocks..].as_flattened_mut();
            let mut pivot = step;
            for row in step + 1..n {
                if column[row].abs() > column[pivot].abs() {
                    pivot = row;
                }
            }
            let lead = column[pivot];
            if lead == 0.0 || !lead.is_finite() {
                return false;
            }
            column.swap(step, pivot);
            let reciprocal = 1.0 / lead;
            self.reciprocals.push(reciprocal);
            let multipliers = &mut self.lower[step * blocks..(step + 1) * blocks];
            for (multiplier, value) in
                multipliers.as_flattened_mut()[step + 1..n].iter_mut().zip(&mut column[step + 1..])
            {
                *multiplier = *value * reciprocal;
                *value = 0.0;
            }
            for other in later.chunks_exact_mut(blocks) {
                other.as_flattened_mut().swap(step, pivot);
                let factor = other.as_flattened()[step];
                subtract(other, multipliers, factor, blocks);
            }
            if pivot != step {
                self.rows.swap(step, pivot);
                let earlier = done[..step * blocks].chunks_exact_mut(blocks);
                for column in earlier.chain(self.lower[..step * blocks].chunks_exact_mut(blocks)) {
                    column.as_flattened_mut().swap(step, pivot);
                }
            }
        }
        true
    }

    /// Solves for a right-hand side in place, after [`Factors::of_shifted`].
    pub(super) fn solve(&mut self, right: &mut [f64]) {
        match self.blocks {
            1 => self.substitute(right, 1),
            2 => self.substitute(right, 2),
            3 => self.substitute(right, 3),
            blocks => self.substitute(right, blocks),
        }
    }

    /// The substitution itself, written out for each of the usual sizes.
    #[expect(clippy::inline_always, reason = "with the size known no loop and no check of a bound is left")]
    #[inline(always)]
    fn substitute(&mut self, right: &mut [f64], blocks: usize) {
        self.side.clear();
        self.side.resize(blocks, [0.0; LANES]);
        for (value, &row) in self.side.as_flattened_mut().iter_mut().zip(&self.rows) {
            *value = right[row];
        }
        for (step, column) in self.lower.chunks_exact(blocks).enumerate() {
            let factor = self.side.as_flattened()[step];
            subtract(&mut self.side, column, factor, blocks);
        }
        let columns = self.upper.chunks_exact(blocks).zip(&self.reciprocals).zip(right).enumerate();
        for (step, ((column, reciprocal), solved)) in columns.rev() {
            *solved = self.side.as_flattened()[step] * reciprocal;
            subtract(&mut self.side, column, *solved, blocks);
        }
    }
}

/// Takes a column times a factor off another.
#[expect(clippy::inline_always, reason = "with the size known no loop and no check of a bound is left")]
#[inline(always)]
fn subtract(from: &mut [Lanes], column: &[Lanes], factor: f64, blocks: usize) {
    for (values, entries) in from[..blocks].iter_mut().zip(&column[..blocks]) {
        for (value, entry) in values.iter_mut().zip(entries) {
            *value -= factor * entry;
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
}
