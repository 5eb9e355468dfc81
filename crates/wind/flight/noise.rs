//! Noise levels: what is estimated from each log, what is held fixed, and the update that estimates them.
//!
//! Expectation-maximisation in the disturbance form (Koopman, *Biometrika* 80 (1993) 117-126): after a smoothing
//! pass every disturbance has a posterior mean and variance; the mean of its squares is the next level. Plain
//! expectation-maximisation creeps, so its steps are stretched, which leaves its fixed point where it was.

use super::NoiseLevels;

/// Correlation time of gusts, s (method of the project; common practice, no source).
pub(super) const GUST_TAU_S: f64 = 8.0;
/// Correlation time of the turn rate's wander, s.
pub(super) const WANDER_TAU_S: f64 = 3.0;
/// Time in which the airspeed returns to its level when nothing holds it elsewhere, s (common practice, no source).
pub(super) const AIRSPEED_TAU_S: f64 = 60.0;
/// Degrees of freedom of the Student distribution that airspeed disturbances outside windows come from: quiet nearly
/// always, and now and then a change of power or trim that no normal distribution fitted to the quiet would allow.
pub(super) const AIRSPEED_DOF: f64 = 2.0;
/// Random walk of the steady acceleration across the path in a typical flight whose windows are not known, m/s² per √s:
/// hands off or on, most of a flight is quieter than its turns.
const TYPICAL_TURN_WALK: f64 = 0.25;
/// Least of the same outside known windows: a turn of 10 °/s comes and goes within two or three seconds (common
/// practice, no source). The level of the whole flight would be too quiet for what is left between its windows.
const LEAST_FREE_TURN_WALK: f64 = 0.6;
/// Twist of a pilot about his wing: root mean square of one degree (common practice, no source).
const TYPICAL_TWIST_RAD: f64 = 0.017;
/// White and slow error of a compass heading: one degree and two (common practice, no source).
const TYPICAL_COMPASS_WHITE_RAD: f64 = 0.017;
const TYPICAL_COMPASS_SLOW_RAD: f64 = 0.035;
/// Random walk of that level, m/s per √s: fuel burns off, height changes.
pub(super) const LEVEL_WALK: f64 = 0.01;
/// Middle of the airspeeds that paramotors fly, m/s (common practice, no source).
pub(super) const TYPICAL_AIRSPEED_MPS: f64 = 11.0;
/// Random walk of the mean wind, m/s per √s: 0.5 m/s over 600 s.
pub(super) const WIND_WALK: f64 = 0.03;
/// Slow receiver error as a random walk of the position: 2 · (1.5 m)² / 60 s, m²/s. Not estimated: beside gusts it can
/// hardly be told, and takes from them what the intervals need.
pub(super) const SLOW_POSITION_WALK_M2_S: f64 = 0.075;

/// What multiplies the variance of a disturbance from a Student distribution, given its posterior mean square in units of
/// the unscaled variance: one over the expected weight of expectation-maximisation (Lange, Little & Taylor, *JASA* 84
/// (1989) 881-896; from memory).
pub(super) fn student_scale(mean_square: f64) -> f64 {
    (AIRSPEED_DOF + mean_square) / (AIRSPEED_DOF + 1.0)
}

/// What the scales are multiplied with before uncertainties are read off. They were fitted to the same data, which takes
/// the airspeed between windows for better known than it is; with this factor the uncertainties of wind and airspeed
/// are honest on the tuning flights of the simulator. Values are not touched.
pub(super) const SCALE_DOUBT: f64 = 3.0;

/// Longest stretch of a step of the estimation, and the farthest a logarithm of a variance may move in one.
const MOST_STRETCH: f64 = 20.0;
const FARTHEST_STEP: f64 = 1.0;

/// The levels that are estimated.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Level {
    /// White position error of a typical node, per axis, m².
    Position,
    /// White error of a recorded velocity, per axis, m²/s².
    Doppler,
    /// Gust, per axis, m²/s².
    Gust,
    /// Wander of the acceleration across the path, m²/s⁴.
    Wander,
    /// Airspeed random walk inside windows, m²/s² per s.
    AirspeedInWindows,
    /// Scale of the airspeed random walk outside windows, m²/s² per s.
    AirspeedFree,
    /// Random walk of the steady acceleration across the path outside windows, m²/s⁴ per s.
    TurnFree,
    /// Twist of whoever carries a gyro, rad².
    Twist,
    /// White error of a compass heading, rad².
    CompassWhite,
    /// Slow error of a compass heading, rad².
    CompassSlow,
}

const COUNT: usize = 10;

impl Level {
    /// Levels that speak of the air: they decide how wide the interval of a window is.
    pub(super) const OF_THE_AIR: [Self; 2] = [Self::Gust, Self::Wander];
    /// Levels that a compass may teach.
    pub(super) const OF_A_COMPASS: [Self; 3] = [Self::Twist, Self::CompassWhite, Self::CompassSlow];
}

/// Variances of all levels, in the order of [`Level`].
#[derive(Debug, Clone, Copy)]
pub(super) struct Levels([f64; COUNT]);

impl std::ops::Index<Level> for Levels {
    type Output = f64;
    fn index(&self, level: Level) -> &f64 {
        &self.0[level as usize]
    }
}

impl Levels {
    /// Typical levels to start from: they are the centre of the weak prior too.
    pub(super) fn typical(rounding_m: f64) -> Self {
        // 0.4 °/s at a typical airspeed.
        let wander_mps2 = 0.4_f64.to_radians() * TYPICAL_AIRSPEED_MPS;
        Self([
            0.5 * 0.5 + rounding_m * rounding_m,
            0.3 * 0.3,
            0.3 * 0.3,
            wander_mps2 * wander_mps2,
            0.02 * 0.02,
            0.1 * 0.1,
            TYPICAL_TURN_WALK * TYPICAL_TURN_WALK,
            TYPICAL_TWIST_RAD * TYPICAL_TWIST_RAD,
            TYPICAL_COMPASS_WHITE_RAD * TYPICAL_COMPASS_WHITE_RAD,
            TYPICAL_COMPASS_SLOW_RAD * TYPICAL_COMPASS_SLOW_RAD,
        ])
    }

    /// These levels, with room for what the pilot does between windows, going by an estimate without windows.
    pub(super) fn between_windows(mut self, free: &NoiseLevels) -> Self {
        self.0[Level::TurnFree as usize] = free.turn_walk.max(LEAST_FREE_TURN_WALK).powi(2);
        self
    }

    /// These levels, with one of them at its typical value.
    pub(super) fn with_typical(mut self, level: Level, typical: &Self) -> Self {
        self.0[level as usize] = typical.0[level as usize];
        self
    }

    /// These levels with one variance multiplied.
    pub(super) fn scaled(mut self, level: Level, factor: f64) -> Self {
        self.0[level as usize] *= factor;
        self
    }

    /// For the report; the wander as a turn rate at `airspeed_mps`.
    pub(super) fn report(&self, airspeed_mps: f64) -> NoiseLevels {
        NoiseLevels {
            position_m: self[Level::Position].sqrt(),
            gust_mps: self[Level::Gust].sqrt(),
            yaw_wander_deg_s: (self[Level::Wander].sqrt() / airspeed_mps).to_degrees(),
            airspeed_walk: self[Level::AirspeedInWindows].sqrt(),
            turn_walk: self[Level::TurnFree].sqrt(),
        }
    }
}

/// Standard deviation of the prior of the logarithm of a level's variance, about the typical level: a factor of twelve
/// either way in the level itself is nothing odd. It keeps a level that the log says nothing about from wandering off,
/// and lets still air be still.
const PRIOR_LN_SD: f64 = 5.0;

/// Posterior mean squares of the disturbances of one pass, each divided by its own prior variance.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Moments {
    sum: [f64; COUNT],
    count: [f64; COUNT],
}

impl Moments {
    /// Adds a mean square (over its variance) that stands for `count` disturbances.
    pub(super) fn add(&mut self, level: Level, mean_square_over_variance: f64, count: f64) {
        self.sum[level as usize] += mean_square_over_variance;
        self.count[level as usize] += count;
    }

    /// How far plain expectation-maximisation would move the logarithm of each variance.
    pub(super) fn plain_step(&self, now: &Levels, typical: &Levels) -> [f64; COUNT] {
        std::array::from_fn(|i| self.best_step(i, (now.0[i] / typical.0[i]).ln()))
    }

    /// Maximum over `d` of `-n/2 d - S/2 exp(-d) - (d + off)²/(2 s²)`: the expected log-likelihood of the disturbances
    /// when the variance moves by the factor exp(d), and the prior. It is concave, so Newton's steps arrive.
    fn best_step(&self, i: usize, off: f64) -> f64 {
        let prior = 1.0 / (PRIOR_LN_SD * PRIOR_LN_SD);
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
        self.count[level as usize]
    }
}

/// The search for the levels: each plain step is stretched by what the last one taught (Aitken's method per level).
#[derive(Debug, Clone)]
pub(super) struct LevelSearch {
    pub(super) levels: Levels,
    typical: Levels,
    /// Variances below which no level falls.
    least: [f64; COUNT],
    /// Levels that stay as they are.
    held: [bool; COUNT],
    last: Option<[f64; COUNT]>,
    moved: [f64; COUNT],
}

impl LevelSearch {
    /// Starts at some levels; the typical ones are the centre of their prior.
    pub(super) fn new(levels: Levels, typical: Levels) -> Self {
        let least = typical.0.map(|variance| 1e-4 * variance);
        Self { levels, typical, least, held: [false; COUNT], last: None, moved: [0.0; COUNT] }
    }

    /// The same search, with one level that never falls below some variance.
    pub(super) fn with_least(mut self, level: Level, variance: f64) -> Self {
        let i = level as usize;
        self.least[i] = self.least[i].max(variance);
        self.levels.0[i] = self.levels.0[i].max(self.least[i]);
        self
    }

    /// The same search, with all levels held but some.
    pub(super) fn with_only(mut self, free: &[Level]) -> Self {
        self.held = [true; COUNT];
        for level in free {
            self.held[*level as usize] = false;
        }
        self
    }

    /// Moves the levels after a pass; returns the largest relative change of a standard deviation.
    pub(super) fn advance(&mut self, moments: &Moments) -> f64 {
        let plain = moments.plain_step(&self.levels, &self.typical);
        for i in (0..COUNT).filter(|i| !self.held[*i]) {
            let stretch = self.last.map_or(1.0, |last| {
                let slope = (plain[i] - last[i]) / self.moved[i];
                if slope < 0.0 { (-1.0 / slope).clamp(1.0, MOST_STRETCH) } else { 2.0 }
            });
            self.moved[i] = (stretch * plain[i]).clamp(-FARTHEST_STEP, FARTHEST_STEP);
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
