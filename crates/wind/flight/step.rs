//! A step from one node to the next, linearised: where the state goes, the derivative, and the disturbances.
//!
//! Blocks write it term by term, each of them value and derivative at once. Most of the derivative is that of a state that
//! stays as it is, so only the rows that differ are kept, as the few terms they have: a product with a matrix then costs as
//! many columns as there are terms.

use super::noise::Level;
use super::state::{Functional, Matrix, Vector, add_scaled, mirror, scaled, transpose};

/// A step of the flight before it is linearised: what all blocks need of it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Interval {
    /// Length, s.
    pub(super) dt_s: f64,
    /// Mean height above the reference altitude, m.
    pub(super) height_m: f64,
    /// What is known of who flies in it.
    pub(super) kind: IntervalKind,
}

/// What is known of who flies in an interval.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum IntervalKind {
    /// Inside a hands-off window: the steady rate stays, the airspeed hardly changes.
    Window,
    /// Outside the windows: anything the pilot likes.
    Free,
    /// In a flight whose windows are not known: hands off or anything the pilot likes.
    Unmarked,
    /// A gap too long to follow.
    Break,
}

/// A row of the derivative that is not one of the unit matrix: what is left of the part itself, and what others add.
#[derive(Debug, Clone)]
struct Row {
    part: usize,
    share: f64,
    others: Functional,
}

/// Covariance of the disturbances of two parts.
#[derive(Debug, Clone, Copy)]
struct Noise {
    parts: [u8; 2],
    covariance: f64,
}

/// A disturbance that teaches a noise level.
#[derive(Debug, Clone, Copy)]
pub(super) struct Taught {
    /// The level.
    pub(super) level: Level,
    /// The part that is disturbed.
    pub(super) part: usize,
    /// Variance of that disturbance at the level, scale left out.
    pub(super) variance: f64,
    /// Whether the step's own scale multiplies it.
    pub(super) scaled: bool,
}

/// Parts of a state at the most: what is forgotten is kept as bits.
const MOST_PARTS: usize = 64;
/// The place of a part that has no row.
const NO_ROW: u8 = u8::MAX;

/// A linearised step.
#[derive(Debug, Clone)]
pub(super) struct Step {
    /// The state it is linearised about.
    about: Vec<f64>,
    /// What the step adds to F·x, one number per part.
    constant: Vec<f64>,
    rows: Vec<Row>,
    /// Where the row of each part is.
    row_of: [u8; MOST_PARTS],
    noise: Vec<Noise>,
    taught: Vec<Taught>,
    /// Parts that a break leaves unknown, one bit each.
    forgotten: u64,
    broken: bool,
    /// The part whose strangest disturbance is of interest.
    watched: Option<usize>,
}

impl Default for Step {
    fn default() -> Self {
        Self {
            about: Vec::new(),
            constant: Vec::new(),
            rows: Vec::new(),
            row_of: [NO_ROW; MOST_PARTS],
            noise: Vec::new(),
            taught: Vec::new(),
            forgotten: 0,
            broken: false,
            watched: None,
        }
    }
}

impl Step {
    /// Begins anew, about a state: nothing moves yet.
    pub(super) fn begin(&mut self, about: &[f64], broken: bool) {
        self.about.clear();
        self.about.extend_from_slice(about);
        self.constant.clear();
        self.constant.resize(about.len(), 0.0);
        self.rows.clear();
        self.row_of = [NO_ROW; MOST_PARTS];
        self.noise.clear();
        self.taught.clear();
        (self.forgotten, self.broken, self.watched) = (0, broken, None);
    }

    /// After this step a part is known no better than to a standard deviation, whatever is said of it from here on.
    pub(super) fn forget(&mut self, part: usize, std_u: f64) {
        self.row(part).share = 0.0;
        self.constant[part] = self.about[part];
        self.noise.push(Noise { parts: [part as u8; 2], covariance: std_u * std_u });
        self.forgotten |= 1 << part;
    }

    fn is_forgotten(&self, part: usize) -> bool {
        self.forgotten & (1 << part) != 0
    }

    /// The row of a part, begun if there is none yet.
    fn row(&mut self, part: usize) -> &mut Row {
        if self.row_of[part] == NO_ROW {
            self.row_of[part] = self.rows.len() as u8;
            self.rows.push(Row { part, share: 1.0, others: Functional::zero() });
        }
        &mut self.rows[usize::from(self.row_of[part])]
    }

    /// Of a part only a share is left; to be said before anything is added to it.
    pub(super) fn keep_share(&mut self, part: usize, share: f64) {
        if self.is_forgotten(part) {
            self.constant[part] *= share;
        } else {
            self.row(part).share = share;
        }
    }

    /// Some part adds to another in proportion.
    pub(super) fn add(&mut self, to: usize, from: usize, weight: f64) {
        if self.is_forgotten(to) {
            self.constant[to] += weight * self.about[from];
        } else {
            self.row(to).others.add(from, weight);
        }
    }

    /// A part gains a value that depends on others by these slopes.
    pub(super) fn add_curved<const C: usize>(&mut self, to: usize, value: f64, slopes: [(usize, f64); C]) {
        self.constant[to] += value;
        if self.is_forgotten(to) {
            return;
        }
        let in_slopes = slopes.iter().map(|(from, slope)| slope * self.about[*from]).sum::<f64>();
        self.constant[to] -= in_slopes;
        let others = &mut self.row(to).others;
        slopes.into_iter().for_each(|(from, slope)| others.add(from, slope));
    }

    /// Two parts become a rotation of themselves, shrunk: the first is `cos` of itself less `sin` of the other.
    pub(super) fn rotate(&mut self, [first, second]: [usize; 2], cos: f64, sin: f64) {
        for (part, other, weight) in [(first, second, -sin), (second, first, sin)] {
            self.keep_share(part, cos);
            self.add(part, other, weight);
        }
    }

    /// The disturbances of two parts (or of one) have some covariance, on top of what was said before.
    pub(super) fn disturb(&mut self, a: usize, b: usize, covariance: f64) {
        if !self.is_forgotten(a) && !self.is_forgotten(b) {
            self.noise.push(Noise { parts: [a as u8, b as u8], covariance });
        }
    }

    /// The disturbance of a part teaches a level, unless the step is a break.
    pub(super) fn teach(&mut self, taught: Taught) {
        if !self.broken {
            self.taught.push(taught);
        }
    }

    /// The disturbance of a part is watched for the strangest, unless the step is a break.
    pub(super) fn watch(&mut self, part: usize) {
        if !self.broken {
            self.watched = Some(part);
        }
    }

    /// What teaches levels in this step.
    pub(super) fn taught(&self) -> &[Taught] {
        &self.taught
    }

    /// The part that is watched in this step.
    pub(super) fn watched(&self) -> Option<usize> {
        self.watched
    }

    /// Covariances of the disturbance of a part with those of all.
    pub(super) fn noise_with(&self, part: usize) -> Functional {
        let mut with = Functional::zero();
        for Noise { parts: [a, b], covariance } in &self.noise {
            if usize::from(*a) == part {
                with.add(usize::from(*b), *covariance);
            } else if usize::from(*b) == part {
                with.add(usize::from(*a), *covariance);
            }
        }
        with
    }

    /// The mean after the step, for a mean before it.
    pub(super) fn mean<const N: usize>(&self, x: &Vector<N>) -> Vector<N> {
        let mut mean = *x;
        self.apply(&mut mean);
        for (mean, constant) in mean.iter_mut().zip(&self.constant) {
            *mean += constant;
        }
        mean
    }

    /// Replaces a deviation from the state by its derivative's: F·v.
    pub(super) fn apply<const N: usize>(&self, v: &mut Vector<N>) {
        let old = *v;
        for Row { part, share, others } in &self.rows {
            v[*part] = share * old[*part] + others.of(old.as_slice());
        }
    }

    /// The same with the transpose: Fᵀ·v.
    pub(super) fn apply_transposed<const N: usize>(&self, v: &mut Vector<N>) {
        let old = *v;
        for Row { part, share, .. } in &self.rows {
            v[*part] *= share;
        }
        for Row { part, others, .. } in &self.rows {
            for (from, weight) in others.terms() {
                v[from] += weight * old[*part];
            }
        }
    }

    /// Carries a covariance across the step: F·P·Fᵀ and the disturbances.
    pub(super) fn carry<const N: usize>(&self, cov: &mut Matrix<N>) {
        let columns = &mut cov.data.0;
        // The changed rows of F·P: they are the new columns too, but where changed rows and columns meet.
        let mut moved = [[0.0; N]; N];
        for (moved, row) in moved.iter_mut().zip(&self.rows) {
            *moved = row.times(columns);
        }
        for (moved, Row { part, .. }) in moved.iter().zip(&self.rows) {
            columns[*part] = *moved;
            for (column, value) in columns.iter_mut().zip(moved) {
                column[*part] = *value;
            }
        }
        // There it takes Fᵀ once more.
        for (k, row) in self.rows.iter().enumerate() {
            for (moved, other) in moved[..=k].iter().zip(&self.rows) {
                let met = row.share * moved[row.part] + row.others.of(moved);
                (columns[row.part][other.part], columns[other.part][row.part]) = (met, met);
            }
        }
        for Noise { parts: [a, b], covariance } in &self.noise {
            let (a, b) = (usize::from(*a), usize::from(*b));
            columns[a][b] += covariance;
            if a != b {
                columns[b][a] += covariance;
            }
        }
    }

    /// Carries an information matrix back across the step: Fᵀ·N·F.
    pub(super) fn carry_back<const N: usize>(&self, information: &mut Matrix<N>) {
        self.columns_times(information);
        transpose(information);
        self.columns_times(information);
        mirror(information);
    }

    /// Replaces a matrix `m` by m·F.
    fn columns_times<const N: usize>(&self, m: &mut Matrix<N>) {
        let columns = &mut m.data.0;
        let mut old = [[0.0; N]; N];
        for (old, Row { part, share, .. }) in old.iter_mut().zip(&self.rows) {
            let column = &mut columns[*part];
            *old = *column;
            *column = scaled(*share, old);
        }
        for (old, Row { others, .. }) in old.iter().zip(&self.rows) {
            for (from, weight) in others.terms() {
                add_scaled(&mut columns[from], weight, old);
            }
        }
    }
}

impl Row {
    /// This row times a symmetric matrix, whose columns are its rows.
    fn times<const N: usize>(&self, columns: &[[f64; N]; N]) -> [f64; N] {
        let mut sum = scaled(self.share, &columns[self.part]);
        for (from, weight) in self.others.terms() {
            add_scaled(&mut sum, weight, &columns[from]);
        }
        sum
    }
}
