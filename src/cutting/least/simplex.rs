//! Which patterns, how often: the linear program of cutting stock, columns added as they come.
//!
//! Gilmore and Gomory, "A linear programming approach to the cutting-stock problem", Operations
//! Research 9 (1961): the revised simplex method with a dense inverse. Each row asks for at least
//! `need`; each has a dear column of its own at first, for what can't be met.

/// A column: what one of it costs, and what it coefficients to each row.
#[derive(Debug, Clone)]
pub(super) struct Column {
    pub cost: f64,
    pub coefficients: Vec<(usize, f64)>,
}

impl Column {
    /// Its cost less what its coefficients are worth at these dual values.
    pub(super) fn reduced_cost(&self, duals: &[f64]) -> f64 {
        self.cost - product(duals, self)
    }
}

pub(super) struct LinearProgram {
    need: Vec<f64>,
    /// Row by row.
    inverse: Vec<f64>,
    /// Which column each row's basic one is.
    basis: Vec<usize>,
    amounts: Vec<f64>,
    /// First the dear ones, then what is made beyond the need, row by row; then those added.
    columns: Vec<Column>,
    pivots: usize,
}

const TINY: f64 = 1e-9;

impl LinearProgram {
    /// `dear[row]`: the cost of leaving one unit of the row's need unmet.
    pub(super) fn new(need: Vec<f64>, dear: &[f64]) -> Self {
        let rows = need.len();
        let mut columns: Vec<Column> = (0..rows)
            .map(|row| Column { cost: dear[row], coefficients: vec![(row, 1.0)] })
            .collect();
        columns.extend((0..rows).map(|row| Column { cost: 0.0, coefficients: vec![(row, -1.0)] }));
        // A need below nothing is met at once, by what is beyond it.
        let beyond = |row: usize| need[row] < 0.0;
        let mut inverse = unit(rows);
        for row in (0..rows).filter(|&row| beyond(row)) {
            inverse[row * rows + row] = -1.0;
        }
        Self {
            basis: (0..rows).map(|row| if beyond(row) { rows + row } else { row }).collect(),
            amounts: need.iter().map(|need| need.abs()).collect(),
            inverse,
            need,
            columns,
            pivots: 0,
        }
    }

    pub(super) fn add(&mut self, column: Column) {
        self.columns.push(column);
    }

    /// Finds the best mix of the columns there are; in how many rounds.
    pub(super) fn optimize(&mut self) -> usize {
        let rows = self.need.len();
        for round in 0..20 * rows + 200 {
            let duals = self.duals();
            // The first rather than the best column, once it has gone on for long: no cycles.
            let patient = round < 10 * rows + 100;
            let Some(enters) = self.entering(&duals, patient) else { return round };
            let change = self.change(&self.columns[enters]);
            if !self.pivot(enters, &change) {
                return round;
            }
        }
        20 * rows + 200
    }

    fn entering(&self, duals: &[f64], best: bool) -> Option<usize> {
        let mut found = (None, -1e-7);
        for (at, column) in self.columns.iter().enumerate() {
            let reduced_cost = column.reduced_cost(duals);
            if reduced_cost < found.1 {
                found = (Some(at), reduced_cost);
                if !best {
                    break;
                }
            }
        }
        found.0
    }

    /// The dual value of each row: what one unit more of it costs.
    pub(super) fn duals(&self) -> Vec<f64> {
        let rows = self.need.len();
        let mut duals = vec![0.0; rows];
        for (row, &column) in self.basis.iter().enumerate() {
            let cost = self.columns[column].cost;
            if cost != 0.0 {
                let line = &self.inverse[row * rows..][..rows];
                duals.iter_mut().zip(line).for_each(|(dual, x)| *dual += cost * x);
            }
        }
        duals
    }

    fn change(&self, column: &Column) -> Vec<f64> {
        let rows = self.need.len();
        let line = |row: usize| &self.inverse[row * rows..][..rows];
        (0..rows).map(|row| product(line(row), column)).collect()
    }

    fn pivot(&mut self, enters: usize, change: &[f64]) -> bool {
        let rows = self.need.len();
        let ratio = |row: usize| self.amounts[row].max(0.0) / change[row];
        let leaves = (0..rows)
            .filter(|&row| change[row] > TINY)
            .min_by(|&a, &b| ratio(a).total_cmp(&ratio(b)).then(change[b].total_cmp(&change[a])));
        let Some(leaves) = leaves else { return false };
        let step = ratio(leaves);
        let scale = change[leaves];
        for x in &mut self.inverse[leaves * rows..][..rows] {
            *x /= scale;
        }
        let line = self.inverse[leaves * rows..][..rows].to_vec();
        for row in (0..rows).filter(|&row| row != leaves && change[row] != 0.0) {
            self.amounts[row] = (self.amounts[row] - step * change[row]).max(0.0);
            let mine = &mut self.inverse[row * rows..][..rows];
            mine.iter_mut().zip(&line).for_each(|(x, pivot)| *x -= change[row] * pivot);
        }
        self.amounts[leaves] = step;
        self.basis[leaves] = enters;
        self.pivots += 1;
        if self.pivots.is_multiple_of(200) {
            self.refresh();
        }
        true
    }

    /// The inverse anew from the basis, before rounding errors add up.
    fn refresh(&mut self) {
        let rows = self.need.len();
        let mut matrix = vec![0.0; rows * rows];
        for (at, &column) in self.basis.iter().enumerate() {
            for &(row, amount) in &self.columns[column].coefficients {
                matrix[row * rows + at] = amount;
            }
        }
        let Some(inverse) = invert(matrix, rows) else { return };
        self.inverse = inverse;
        self.amounts = (0..rows)
            .map(|row| dot(&self.inverse[row * rows..][..rows], &self.need).max(0.0))
            .collect();
    }

    /// How much is solution of each added column that is solution at all: (number as added, amount).
    pub(super) fn solution(&self) -> Vec<(usize, f64)> {
        let own = 2 * self.need.len();
        let added = self.basis.iter().zip(&self.amounts).filter(|(column, _)| **column >= own);
        let mut solution: Vec<(usize, f64)> =
            added.map(|(&column, &amount)| (column - own, amount)).collect();
        solution.sort_unstable_by_key(|&(column, _)| column);
        solution
    }

    /// What the best mix costs.
    pub(super) fn cost(&self) -> f64 {
        let cost = |(&column, amount): (&usize, &f64)| self.columns[column].cost * amount;
        self.basis.iter().zip(&self.amounts).map(cost).sum()
    }
}

fn product(duals: &[f64], column: &Column) -> f64 {
    column.coefficients.iter().map(|&(row, amount)| duals[row] * amount).sum()
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

fn unit(rows: usize) -> Vec<f64> {
    let mut matrix = vec![0.0; rows * rows];
    for row in 0..rows {
        matrix[row * rows + row] = 1.0;
    }
    matrix
}

/// By elimination with the largest pivot of each column; `None` where the matrix is as good as
/// singular.
fn invert(mut matrix: Vec<f64>, rows: usize) -> Option<Vec<f64>> {
    let mut inverse = unit(rows);
    for at in 0..rows {
        let size = |row: usize| matrix[row * rows + at].abs();
        let pivot = (at..rows).max_by(|&a, &b| size(a).total_cmp(&size(b)))?;
        if size(pivot) < TINY {
            return None;
        }
        for column in 0..rows {
            matrix.swap(at * rows + column, pivot * rows + column);
            inverse.swap(at * rows + column, pivot * rows + column);
        }
        let scale = matrix[at * rows + at];
        for column in 0..rows {
            matrix[at * rows + column] /= scale;
            inverse[at * rows + column] /= scale;
        }
        let lines = [&mut matrix, &mut inverse];
        let factors: Vec<f64> = (0..rows).map(|row| lines[0][row * rows + at]).collect();
        for matrix in lines {
            let line = matrix[at * rows..][..rows].to_vec();
            for row in (0..rows).filter(|&row| row != at && factors[row] != 0.0) {
                let mine = &mut matrix[row * rows..][..rows];
                mine.iter_mut().zip(&line).for_each(|(x, pivot)| *x -= factors[row] * pivot);
            }
        }
    }
    Some(inverse)
}
