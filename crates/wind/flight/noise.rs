//! Noise levels: what is estimated from each log, and what a pass says about them.
//!
//! The disturbance form (Koopman, *Biometrika* 80 (1993) 117-126): after a smoothing pass every disturbance has a posterior
//! mean and variance. The mean of its squares over the prior variance is one where the level is the most probable; how the
//! levels get there is [`super::level_search`].

use super::NoiseLevels;
use super::blocks::{self, LEVELS};
use super::constants::{
    AIRSPEED_DOF, LEAST_FREE_TURN_WALK, LEAST_START_FACTOR, LEAST_TOLD, LEVEL_PRIOR_LN, MOST_LENGTHENED,
    SCALE_LENGTHENED,
};

/// What multiplies the variance of a disturbance from a Student distribution, given its posterior mean square in units of
/// the unscaled variance: one over the expected weight of expectation-maximisation (Lange, Little & Taylor, *JASA* 84
/// (1989) 881-896; from memory).
fn student_scale(mean_square: f64) -> f64 {
    (AIRSPEED_DOF.value + mean_square) / (AIRSPEED_DOF.value + 1.0)
}

/// The last step of the scale of an airspeed disturbance, on its way to where expectation-maximisation would leave it as it is.
///
/// Plain expectation-maximisation goes the right way by a share of the distance. How large a share, two passes tell: the secant
/// through what it wanted in the last pass and wants in this one. The fixed point is the same.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct ScaleStep {
    /// Logarithm of the step that was made.
    made_ln: f64,
    /// Logarithm of the step that plain expectation-maximisation wanted.
    wanted_ln: f64,
}

impl ScaleStep {
    /// Moves the scale on, given the posterior mean square of the disturbance in units of the unscaled variance; returns by how
    /// much its logarithm moved.
    pub(super) fn advance(&mut self, scale: &mut f64, mean_square: f64) -> f64 {
        let wanted_ln = (student_scale(mean_square) / *scale).ln();
        let slope = (self.wanted_ln - wanted_ln) / self.made_ln;
        let lengthened =
            if slope > 0.0 { (1.0 / slope).clamp(1.0, MOST_LENGTHENED.value) } else { SCALE_LENGTHENED.value };
        let before = *scale;
        *scale = (before * (lengthened * wanted_ln).exp()).max(student_scale(0.0));
        *self = Self { made_ln: (*scale / before).ln(), wanted_ln };
        self.made_ln.abs()
    }
}

/// A noise level that is estimated; the blocks name those that they own.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Level(usize);

impl Level {
    /// The level at a place among those of all blocks.
    pub(super) const fn new(place: usize) -> Self {
        Self(place)
    }

    /// That place.
    pub(super) const fn place(self) -> usize {
        self.0
    }

    /// Levels that speak of the air: they decide how wide the interval of a window is.
    pub(super) const OF_THE_AIR: [Self; 2] = [Self::GUST, Self::WANDER];
    /// Levels that a compass may teach.
    pub(super) const OF_A_COMPASS: [Self; 3] = [Self::TWIST, Self::COMPASS_WHITE, Self::COMPASS_SLOW];
}

/// A number for each level.
pub(super) type PerLevel = [f64; LEVELS];

/// Variances of all levels.
#[derive(Debug, Clone, Copy)]
pub(super) struct Levels(PerLevel);

impl std::ops::Index<Level> for Levels {
    type Output = f64;
    fn index(&self, level: Level) -> &f64 {
        &self.0[level.0]
    }
}

impl Levels {
    /// Typical levels to start from: they are the centre of the weak prior too.
    pub(super) fn typical(rounding_m: f64) -> Self {
        let mut levels = Self([0.0; LEVELS]);
        for (level, typical) in levels.0.iter_mut().zip(blocks::typical_levels()) {
            *level = typical * typical;
        }
        levels.0[Level::POSITION.0] += rounding_m * rounding_m;
        levels
    }

    /// These levels, wide enough for what the pilot does between windows, going by an estimate without windows.
    pub(super) fn between_windows(mut self, free: &NoiseLevels) -> Self {
        self.0[Level::TURN_FREE.0] = free.turn_walk.max(LEAST_FREE_TURN_WALK.value).powi(2);
        self
    }

    /// These levels, with those of the receiver and the air as an earlier estimate of the flight found them, where that is not
    /// far below these: without windows gusts are taken for what the pilot does, and a level rises slower than it falls.
    pub(super) fn as_found(mut self, earlier: &NoiseLevels) -> Self {
        let least_m = LEAST_START_FACTOR.value * self.0[Level::POSITION.0].sqrt();
        self.0[Level::POSITION.0] = earlier.position_m.max(least_m).powi(2);
        self.at_least(Level::GUST, earlier.gust_mps.powi(2))
    }

    /// These levels, with one of them at its typical value.
    pub(super) fn with_typical(mut self, level: Level, typical: &Self) -> Self {
        self.0[level.0] = typical.0[level.0];
        self
    }

    /// These levels with one variance multiplied.
    pub(super) fn scaled(mut self, level: Level, factor: f64) -> Self {
        self.0[level.0] *= factor;
        self
    }

    /// These levels, with one variance no smaller than some.
    pub(super) fn at_least(mut self, level: Level, variance: f64) -> Self {
        self.0[level.0] = self.0[level.0].max(variance);
        self
    }

    /// A level as a factor of the typical standard deviation.
    pub(super) fn factor(&self, level: Level, typical: &Self) -> f64 {
        (self.0[level.0] / typical.0[level.0]).sqrt()
    }

    /// These levels, with one of them at a factor of the typical standard deviation.
    pub(super) fn with_factor(mut self, level: Level, factor: f64, typical: &Self) -> Self {
        self.0[level.0] = factor * factor * typical.0[level.0];
        self
    }

    /// For the report; the wander as a turn rate at `airspeed_mps`.
    pub(super) fn report(&self, airspeed_mps: f64) -> NoiseLevels {
        NoiseLevels {
            position_m: self[Level::POSITION].sqrt(),
            gust_mps: self[Level::GUST].sqrt(),
            yaw_wander_deg_s: (self[Level::WANDER].sqrt() / airspeed_mps).to_degrees(),
            airspeed_walk: self[Level::AIRSPEED_IN_WINDOWS].sqrt(),
            turn_walk: self[Level::TURN_FREE].sqrt(),
        }
    }
}

/// Posterior mean squares of the disturbances of one pass, each divided by its own prior variance.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Moments {
    sum: PerLevel,
    count: PerLevel,
    told_squares: PerLevel,
}

impl Moments {
    /// Adds the mean square of a disturbance, over its variance. `told` is the share of that variance which the log took away:
    /// 0 where it says nothing about the disturbance, 1 where it shows it.
    pub(super) fn add(&mut self, level: Level, mean_square_over_variance: f64, told: f64) {
        self.sum[level.0] += mean_square_over_variance;
        self.count[level.0] += 1.0;
        self.told_squares[level.0] += told * told;
    }

    /// Derivative of the log-likelihood by the logarithm of a variance (Fisher's identity).
    pub(super) fn slope(&self, level: Level) -> f64 {
        0.5 * (self.sum[level.0] - self.count[level.0])
    }

    /// About what the log says on the logarithm of a variance, as an inverse variance: half a disturbance for each that it
    /// shows, as if none of them looked like any other.
    pub(super) fn information(&self, level: Level) -> f64 {
        (0.5 * self.told_squares[level.0]).max(LEAST_TOLD.value)
    }

    /// How far plain expectation-maximisation would move the logarithm of each variance.
    pub(super) fn plain_step(&self, now: &Levels, typical: &Levels) -> PerLevel {
        std::array::from_fn(|i| self.best_step(i, (now.0[i] / typical.0[i]).ln()))
    }

    /// Maximum over `d` of `-n/2 d - S/2 exp(-d) - (d + off)²/(2 s²)`: the expected log-likelihood of the disturbances
    /// when the variance moves by the factor exp(d), and the prior. It is concave, so Newton's steps arrive.
    fn best_step(&self, i: usize, off: f64) -> f64 {
        let prior = 1.0 / (LEVEL_PRIOR_LN.value * LEVEL_PRIOR_LN.value);
        let mut step = 0.0_f64;
        for _ in 0..20 {
            let pull = 0.5 * self.sum[i] * (-step).exp();
            let slope = pull - 0.5 * self.count[i] - (step + off) * prior;
            step += (slope / (pull + prior)).clamp(-1.0, 1.0);
        }
        step
    }

    /// Disturbances that speak for a level.
    pub(super) fn count(&self, level: Level) -> f64 {
        self.count[level.0]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The step of expectation-maximisation ends where the derivative of what it maximises is nought.
    #[test]
    fn derived_a_plain_step_ends_at_the_maximum() {
        let prior = 1.0 / (LEVEL_PRIOR_LN.value * LEVEL_PRIOR_LN.value);
        for (count, square, off) in [(40, 1.7, 0.0), (40, 0.4, 1.5), (3, 9.0, -2.0), (1, 0.01, 4.0)] {
            let mut moments = Moments::default();
            (0..count).for_each(|_| moments.add(Level::GUST, square, 1.0));
            let typical = Levels::typical(0.0);
            let now = typical.scaled(Level::GUST, f64::exp(off));
            let step = moments.plain_step(&now, &typical)[Level::GUST.place()];
            let (count, sum) = (f64::from(count), f64::from(count) * square);
            let left = 0.5 * sum * (-step).exp() - 0.5 * count - (step + off) * prior;
            assert!(left.abs() < 1e-9, "{count} of {square} at {off}: {step} leaves {left}");
        }
    }

    #[test]
    fn derived_a_scale_arrives_where_expectation_maximisation_would_and_sooner() {
        // A disturbance of which the log tells a share: its mean square grows with the scale that is believed.
        let mean_square = |scale: f64| 40.0 + 0.6 * scale;
        let (mut plain, mut plain_passes) = (1.0_f64, 0);
        loop {
            let next = student_scale(mean_square(plain));
            plain_passes += 1;
            if (next / plain).ln().abs() < 1e-9 {
                break;
            }
            plain = next;
        }
        let (mut scale, mut step, mut passes) = (1.0, ScaleStep::default(), 0);
        while passes == 0 || step.made_ln.abs() >= 1e-9 {
            let square = mean_square(scale);
            step.advance(&mut scale, square);
            passes += 1;
        }
        assert!((scale / plain).ln().abs() < 1e-6, "{scale} {plain}");
        assert!(passes < plain_passes, "{passes} {plain_passes}");
    }
}
