//! A step from one node to the next, linearised: where the state goes, the derivative, and the disturbances.
//!
//! Blocks write it term by term, each of them value and derivative at once. Most of the derivative is that of a state that
//! stays as it is, so only what differs is kept, and a product with it costs as many columns as there are terms.

use super::noise::Level;
use super::state::{Functional, Matrix, Vector, add_scaled, mirror};

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

/// A row of the derivative that is not one of the unit matrix: the part `from` adds to the part `to`.
#[derive(Debug, Clone, Copy)]
struct Term {
    to: u8,
    from: u8,
    weight: f64,
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

/// A linearised step.
#[derive(Debug, Clone, Default)]
pub(super) struct Step {
    /// Where the state it is linearised about goes.
    target: Vec<f64>,
    /// That state.
    about: Vec<f64>,
    /// Parts of which only a share is left: the diagonal where it is not one.
    shares: Vec<(u8, f64)>,
    terms: Vec<Term>,
    noise: Vec<Noise>,
    taught: Vec<Taught>,
    /// Parts that a break leaves unknown, one bit each.
    forgotten: u64,
    broken: bool,
    /// The part whose strangest disturbance is of interest.
    watched: Option<usize>,
}

impl Step {
    /// Begins anew, about a state: nothing moves yet.
    pub(super) fn begin(&mut self, about: &[f64], broken: bool) {
        self.target.clear();
        self.target.extend_from_slice(about);
        self.about.clear();
        self.about.extend_from_slice(about);
        self.shares.clear();
        self.terms.clear();
        self.noise.clear();
        self.taught.clear();
        (self.forgotten, self.broken, self.watched) = (0, broken, None);
    }

    /// After this step a part is known no better than to a standard deviation, whatever is said of it from here on.
    pub(super) fn forget(&mut self, part: usize, std_u: f64) {
        self.shares.push((part as u8, 0.0));
        self.noise.push(Noise { parts: [part as u8; 2], covariance: std_u * std_u });
        self.forgotten |= 1 << part;
    }

    fn is_forgotten(&self, part: usize) -> bool {
        self.forgotten & (1 << part) != 0
    }

    /// Of a part only a share is left; to be said before anything is added to it.
    pub(super) fn keep_share(&mut self, part: usize, share: f64) {
        self.target[part] *= share;
        if !self.is_forgotten(part) {
            self.shares.push((part as u8, share));
        }
    }

    /// Some part adds to another in proportion.
    pub(super) fn add(&mut self, to: usize, from: usize, weight: f64) {
        self.target[to] += weight * self.about[from];
        self.add_slope(to, from, weight);
    }

    /// A part gains a value that depends on others by these slopes.
    pub(super) fn add_curved<const C: usize>(&mut self, to: usize, value: f64, slopes: [(usize, f64); C]) {
        self.target[to] += value;
        for (from, slope) in slopes {
            self.add_slope(to, from, slope);
        }
    }

    fn add_slope(&mut self, to: usize, from: usize, weight: f64) {
        if !self.is_forgotten(to) {
            self.terms.push(Term { to: to as u8, from: from as u8, weight });
        }
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
        let mut moved = Vector::<N>::from_fn(|i, _| x[i] - self.about[i]);
        self.apply(&mut moved);
        Vector::from_fn(|i, _| self.target[i] + moved[i])
    }

    /// Replaces a deviation from the state by its derivative's: F·v.
    pub(super) fn apply<const N: usize>(&self, v: &mut Vector<N>) {
        let old = *v;
        for (part, share) in &self.shares {
            v[usize::from(*part)] *= share;
        }
        for Term { to, from, weight } in &self.terms {
            v[usize::from(*to)] += weight * old[usize::from(*from)];
        }
    }

    /// The same with the transpose: Fᵀ·v.
    pub(super) fn apply_transposed<const N: usize>(&self, v: &mut Vector<N>) {
        let old = *v;
        for (part, share) in &self.shares {
            v[usize::from(*part)] *= share;
        }
        for Term { to, from, weight } in &self.terms {
            v[usize::from(*from)] += weight * old[usize::from(*to)];
        }
    }

    /// Carries a covariance across the step: F·P·Fᵀ and the disturbances.
    pub(super) fn carry<const N: usize>(&self, cov: &mut Matrix<N>) {
        for _ in 0..2 {
            let old = cov.transpose();
            *cov = old;
            for (part, share) in &self.shares {
                cov.data.0[usize::from(*part)].iter_mut().for_each(|v| *v *= share);
            }
            for Term { to, from, weight } in &self.terms {
                add_scaled(&mut cov.data.0[usize::from(*to)], *weight, &old.data.0[usize::from(*from)]);
            }
        }
        for Noise { parts: [a, b], covariance } in &self.noise {
            let (low, high) = (usize::from(*a.min(b)), usize::from(*a.max(b)));
            cov.data.0[low][high] += covariance;
        }
        mirror(cov);
    }

    /// Carries an information matrix back across the step: Fᵀ·N·F.
    pub(super) fn carry_back<const N: usize>(&self, information: &mut Matrix<N>) {
        for _ in 0..2 {
            let old = information.transpose();
            *information = old;
            for (part, share) in &self.shares {
                information.data.0[usize::from(*part)].iter_mut().for_each(|v| *v *= share);
            }
            for Term { to, from, weight } in &self.terms {
                add_scaled(&mut information.data.0[usize::from(*from)], *weight, &old.data.0[usize::from(*to)]);
            }
        }
        mirror(information);
    }
}
