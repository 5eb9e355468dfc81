//! Noise levels: what is estimated from each log, what is held fixed, and the update that estimates them.
//!
//! Expectation-maximisation in the disturbance form (Koopman, *Biometrika* 80 (1993) 117-126): after a smoothing
//! pass every disturbance has a posterior mean and variance; the mean of its squares is the next level. Plain
//! expectation-maximisation creeps, so its steps are lengthened, which leaves its fixed point where it was.

use super::NoiseLevels;
use super::blocks::{self, LEVELS};
use super::constants::{AIRSPEED_DOF, LEAST_FREE_TURN_WALK, LEVEL_PRIOR_LN};

/// What multiplies the variance of a disturbance from a Student distribution, given its posterior mean square in units of
/// the unscaled variance: one over the expected weight of expectation-maximisation (Lange, Little & Taylor, *JASA* 84
/// (1989) 881-896; from memory).
pub(super) fn student_scale(mean_square: f64) -> f64 {
    (AIRSPEED_DOF.value + mean_square) / (AIRSPEED_DOF.value + 1.0)
}

/// Most that a step of the estimation is lengthened, and the farthest a logarithm of a variance may move in one.
const MOST_LENGTHENED: f64 = 20.0;
const FARTHEST_STEP: f64 = 1.0;

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
}

impl Moments {
    /// Adds a mean square (over its variance) that stands for `count` disturbances.
    pub(super) fn add(&mut self, level: Level, mean_square_over_variance: f64, count: f64) {
        self.sum[level.0] += mean_square_over_variance;
        self.count[level.0] += count;
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

/// The search for the levels: each plain step is lengthened by what the last one taught (Aitken's method per level).
#[derive(Debug, Clone)]
pub(super) struct LevelSearch {
    pub(super) levels: Levels,
    typical: Levels,
    /// Variances below which no level falls.
    least: PerLevel,
    /// Levels that stay as they are.
    held: [bool; LEVELS],
    last: Option<PerLevel>,
    moved: PerLevel,
}

impl LevelSearch {
    /// Starts at some levels; the typical ones are the centre of their prior.
    pub(super) fn new(levels: Levels, typical: Levels) -> Self {
        let least = typical.0.map(|variance| 1e-4 * variance);
        Self { levels, typical, least, held: [false; LEVELS], last: None, moved: [0.0; LEVELS] }
    }

    /// The same search, with one level that never falls below some variance.
    pub(super) fn with_least(mut self, level: Level, variance: f64) -> Self {
        let i = level.0;
        self.least[i] = self.least[i].max(variance);
        self.levels.0[i] = self.levels.0[i].max(self.least[i]);
        self
    }

    /// The same search, with all levels held but some.
    pub(super) fn with_only(mut self, free: &[Level]) -> Self {
        self.held = [true; LEVELS];
        for level in free {
            self.held[level.0] = false;
        }
        self
    }

    /// Moves the levels after a pass; returns the largest relative change of a standard deviation.
    pub(super) fn advance(&mut self, moments: &Moments) -> f64 {
        let plain = moments.plain_step(&self.levels, &self.typical);
        for i in (0..LEVELS).filter(|i| !self.held[*i]) {
            let lengthened = self.last.map_or(1.0, |last| {
                let slope = (plain[i] - last[i]) / self.moved[i];
                if slope < 0.0 { (-1.0 / slope).clamp(1.0, MOST_LENGTHENED) } else { 2.0 }
            });
            self.moved[i] = (lengthened * plain[i]).clamp(-FARTHEST_STEP, FARTHEST_STEP);
            let high = 1e4 * self.typical.0[i];
            let before = self.levels.0[i];
            self.levels.0[i] = (before * self.moved[i].exp()).clamp(self.least[i], high);
            if self.levels.0[i] <= self.least[i] {
                self.moved[i] = (self.levels.0[i] / before).ln();
            }
        }
        self.last = Some(plain);
        self.moved.iter().map(|m| 0.5 * m.abs()).fold(0.0, f64::max)
    }
}
