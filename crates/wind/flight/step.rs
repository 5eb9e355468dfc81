//! A step from one node to the next, linearised: where the state goes, the derivative, and the disturbances.
//!
//! Blocks write it term by term, each of them value and derivative at once. Most of the derivative is that of a state that
//! stays as it is, so only the rows that differ are kept, as the few terms they have: a product with a matrix then costs as
//! many columns as there are terms.

use super::noise::Level;
use super::state::{Matrix, Terms, Vector, add_scaled, scaled};

/// A step of the flight before it is linearised: what all blocks need of it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Interval {
    /// Length, s.
    pub(super) dt_s: f64,
    /// Mean height above the reference altitude, m.
    pub(super) height_m: f64,
    /// What is known of who flies in it.
    pub(super) kind: IntervalKind,
    /// Whether a marked window is so near that the pilot may be setting power and trim for it, or back.
    pub(super) near_window: bool,
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

/// What one part of the state feeds, or what its disturbance has in common with others: four parts at the most, as an airspeed
/// goes into both axes, the heading, and no farther.
type Few = Terms<4>;

/// A row of the derivative that is not one of the unit matrix: what is left of the part itself, and what others add.
#[derive(Debug, Clone)]
struct Row {
    part: usize,
    share: f64,
    others: Terms<8>,
}

/// Covariance of the disturbances of two different parts.
#[derive(Debug, Clone, Copy)]
struct Shared {
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
    /// Whether the variance is held above the level: then it teaches its scale, but not the level.
    pub(super) held: bool,
}

/// A part of the state in a step.
#[derive(Debug, Clone, Copy)]
struct PartOfStep {
    /// What the step is linearised about.
    about: f64,
    /// What the step adds to F·x.
    constant: f64,
    /// Variance of its disturbance.
    variance: f64,
}

/// Rows of a flight without sensors, about.
const ROWS: usize = 8;
/// Parts of a state at the most: what is forgotten is kept as bits.
const MOST_PARTS: usize = 64;
/// The place of a part that has no row.
const NO_ROW: u8 = u8::MAX;

/// A linearised step.
#[derive(Debug, Clone)]
pub(super) struct Step {
    parts: Vec<PartOfStep>,
    /// In such an order that no row takes from a part whose own row stands before it: rows and columns of a matrix may then be
    /// replaced one after the other, in place.
    rows: Vec<Row>,
    /// Where the row of each part is.
    row_of: [u8; MOST_PARTS],
    rotation: Option<Rotation>,
    shared: Vec<Shared>,
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
            parts: Vec::new(),
            rows: Vec::with_capacity(ROWS),
            row_of: [NO_ROW; MOST_PARTS],
            rotation: None,
            shared: Vec::with_capacity(ROWS),
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
        self.parts.clear();
        self.parts.extend(about.iter().map(|about| PartOfStep { about: *about, constant: 0.0, variance: 0.0 }));
        self.rows.clear();
        self.row_of = [NO_ROW; MOST_PARTS];
        self.rotation = None;
        self.shared.clear();
        self.taught.clear();
        (self.forgotten, self.broken, self.watched) = (0, broken, None);
    }

    /// After this step a part is known no better than to a standard deviation, whatever is said of it from here on.
    pub(super) fn forget(&mut self, part: usize, std_u: f64) {
        self.row(part).share = 0.0;
        let part_of_step = &mut self.parts[part];
        part_of_step.constant = part_of_step.about;
        part_of_step.variance = std_u * std_u;
        self.forgotten |= 1 << part;
    }

    fn is_forgotten(&self, part: usize) -> bool {
        self.forgotten & (1 << part) != 0
    }

    /// The row of a part, begun if there is none yet.
    #[inline]
    fn row(&mut self, part: usize) -> &mut Row {
        if self.row_of[part] == NO_ROW {
            self.row_of[part] = self.rows.len() as u8;
            self.rows.push(Row { part, share: 1.0, others: Terms::zero() });
        }
        &mut self.rows[usize::from(self.row_of[part])]
    }

    /// Of a part only a share is left; to be said before anything is added to it.
    #[inline]
    pub(super) fn keep_share(&mut self, part: usize, share: f64) {
        if self.is_forgotten(part) {
            self.parts[part].constant *= share;
        } else {
            self.row(part).share = share;
        }
    }

    /// Some parts add to another in proportion. To be said of a part before anything is said of those that it takes from.
    #[inline]
    pub(super) fn add<const C: usize>(&mut self, to: usize, terms: [(usize, f64); C]) {
        if self.is_forgotten(to) {
            self.parts[to].constant += terms.iter().map(|(from, weight)| weight * self.parts[*from].about).sum::<f64>();
            return;
        }
        let others = &mut self.row(to).others;
        terms.iter().for_each(|(from, weight)| others.add(*from, *weight));
        let moved = |from: usize| self.row_of[from] <= self.row_of[to];
        debug_assert!(!terms.iter().any(|(from, _)| moved(*from)), "a part moves before {to} takes from it");
    }

    /// A part gains a value that depends on others by these slopes.
    #[inline]
    pub(super) fn add_curved<const C: usize>(&mut self, to: usize, value: f64, slopes: [(usize, f64); C]) {
        if !self.is_forgotten(to) {
            let in_slopes = slopes.iter().map(|(from, slope)| slope * self.parts[*from].about).sum::<f64>();
            self.parts[to].constant -= in_slopes;
            self.add(to, slopes);
        }
        self.parts[to].constant += value;
    }

    /// Two parts become a rotation of themselves, shrunk: the first is `cos` of itself less `sin` of the other. They feed no
    /// others, nor are they fed.
    pub(super) fn rotate(&mut self, parts: [usize; 2], cos: f64, sin: f64) {
        self.rotation = Some(Rotation { parts, cos, sin });
    }

    /// The disturbances of two parts (or of one) have some covariance, on top of what was said before.
    #[inline]
    pub(super) fn disturb(&mut self, a: usize, b: usize, covariance: f64) {
        if self.is_forgotten(a) || self.is_forgotten(b) {
        } else if a == b {
            self.parts[a].variance += covariance;
        } else {
            self.shared.push(Shared { parts: [a as u8, b as u8], covariance });
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

    /// The part that is watched in this step.
    pub(super) fn watched(&self) -> Option<usize> {
        self.watched
    }

    /// Variance of the disturbance of a part.
    pub(super) fn variance(&self, part: usize) -> f64 {
        self.parts[part].variance
    }

    /// What teaches levels in this step, each with the covariances of its disturbance with those of all.
    pub(super) fn taught(&self) -> impl Iterator<Item = (&Taught, Few)> {
        self.taught.iter().map(|taught| (taught, self.noise_with(taught.part)))
    }

    /// Covariances of the disturbance of a part with those of all.
    #[inline]
    fn noise_with(&self, part: usize) -> Few {
        let mut with = Few::zero();
        with.add(part, self.parts[part].variance);
        for Shared { parts: [a, b], covariance } in &self.shared {
            if usize::from(*a) == part {
                with.add(usize::from(*b), *covariance);
            } else if usize::from(*b) == part {
                with.add(usize::from(*a), *covariance);
            }
        }
        with
    }

    /// The mean after the step, for a mean before it.
    #[cfg(test)]
    pub(super) fn mean<const N: usize>(&self, x: &Vector<N>) -> Vector<N> {
        let mut mean = *x;
        self.apply(&mut mean);
        for (mean, part) in mean.data.0[0].iter_mut().zip(&self.parts) {
            *mean += part.constant;
        }
        mean
    }

    /// Replaces a deviation from the state by its derivative's: F·v.
    pub(super) fn apply<const N: usize>(&self, v: &mut Vector<N>) {
        let v = &mut v.data.0[0];
        for Row { part, share, others } in &self.rows {
            v[*part] = share * v[*part] + others.of(v);
        }
        if let Some(rotation) = &self.rotation {
            rotation.apply(v);
        }
    }

    /// The same with the transpose: Fᵀ·v.
    pub(super) fn apply_transposed<const N: usize>(&self, v: &mut Vector<N>) {
        let v = &mut v.data.0[0];
        for Row { part, share, others } in self.rows.iter().rev() {
            let old = v[*part];
            v[*part] = share * old;
            for (from, weight) in others.terms() {
                v[from] += weight * old;
            }
        }
        if let Some(rotation) = &self.rotation {
            rotation.back().apply(v);
        }
    }

    /// Carries a mean and its covariance across the step: [`Self::mean`], and F·P·Fᵀ and the disturbances.
    pub(super) fn carry<const N: usize>(&self, mean: &mut Vector<N>, cov: &mut Matrix<N>) {
        let (mean, columns) = (&mut mean.data.0[0], &mut cov.data.0);
        for Row { part, share, others } in &self.rows {
            replace(columns, mean, *part, *share, others.terms());
        }
        if let Some(rotation) = &self.rotation {
            rotation.apply(mean);
            rotation.apply_to_both_sides(columns);
        }
        for (mean, part) in mean.iter_mut().zip(&self.parts) {
            *mean += part.constant;
        }
        for (at, (column, part)) in columns.iter_mut().zip(&self.parts).enumerate() {
            column[at] += part.variance;
        }
        for Shared { parts: [a, b], covariance } in &self.shared {
            let (a, b) = (usize::from(*a), usize::from(*b));
            columns[a][b] += covariance;
            columns[b][a] += covariance;
        }
    }

    /// Carries a score and its information matrix back across the step: Fᵀ·r and Fᵀ·N·F.
    pub(super) fn carry_back<const N: usize>(&self, score: &mut Vector<N>, information: &mut Matrix<N>) {
        let (score, columns) = (&mut score.data.0[0], &mut information.data.0);
        let mut fed = [Few::zero(); N];
        for Row { part, others, .. } in &self.rows {
            for (from, weight) in others.terms() {
                fed[from].add(*part, weight);
            }
        }
        // A part takes from what it feeds before that has taken: those without a row feed others only.
        for (part, fed) in fed.iter().enumerate() {
            if !fed.is_zero() && self.row_of[part] == NO_ROW {
                replace(columns, score, part, 1.0, fed.terms());
            }
        }
        for Row { part, share, .. } in self.rows.iter().rev() {
            let fed = &fed[*part];
            if !fed.is_zero() || *share != 1.0 {
                replace(columns, score, *part, *share, fed.terms());
            }
        }
        if let Some(rotation) = &self.rotation {
            rotation.back().apply(score);
            rotation.back().apply_to_both_sides(columns);
        }
    }
}

/// Replaces a part by a share of itself and some of other parts, in a vector and in rows and columns of a symmetric matrix.
#[inline(always)]
fn replace<const N: usize>(
    columns: &mut [[f64; N]; N],
    v: &mut [f64; N],
    part: usize,
    share: f64,
    terms: impl Iterator<Item = (usize, f64)> + Clone,
) {
    let mut sum = scaled(share, &columns[part]);
    for (from, weight) in terms.clone() {
        add_scaled(&mut sum, weight, &columns[from]);
    }
    for (column, value) in columns.iter_mut().zip(&sum) {
        column[part] = *value;
    }
    columns[part] = sum;
    let column = &mut columns[part];
    let mut met = [share * column[part], share * v[part]];
    for (from, weight) in terms {
        met = [met[0] + weight * column[from], met[1] + weight * v[from]];
    }
    [column[part], v[part]] = met;
}

/// Two parts that become a rotation of themselves, shrunk: the first is `cos` of itself less `sin` of the other.
#[derive(Debug, Clone, Copy)]
struct Rotation {
    parts: [usize; 2],
    cos: f64,
    sin: f64,
}

impl Rotation {
    /// Its transpose.
    fn back(self) -> Self {
        Self { sin: -self.sin, ..self }
    }

    fn of(self, first: f64, second: f64) -> [f64; 2] {
        [self.cos * first - self.sin * second, self.sin * first + self.cos * second]
    }

    fn apply(self, v: &mut [f64]) {
        let [first, second] = self.parts;
        [v[first], v[second]] = self.of(v[first], v[second]);
    }

    /// On rows and columns of a symmetric matrix.
    fn apply_to_both_sides<const N: usize>(self, columns: &mut [[f64; N]; N]) {
        let [first, second] = self.parts;
        for column in columns.iter_mut() {
            self.apply(column);
        }
        if let Ok([a, b]) = columns.get_disjoint_mut([first, second]) {
            for (a, b) in a.iter_mut().zip(b) {
                [*a, *b] = self.of(*a, *b);
            }
        }
        // Twice the same sums in another order: one of them for both.
        columns[second][first] = columns[first][second];
    }
}
