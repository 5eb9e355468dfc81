//! The air: a mean wind that changes slowly and with height, and gusts. It carries the aircraft along.

use super::aircraft::{POS_E, POS_N};
use super::{AIR, AIR_LEVELS, Block, Prior, StepAt};
use crate::flight::constants::{self, Constant, GUST_TAU_S, Part, WIND_WALK};
use crate::flight::markov::Markov;
use crate::flight::noise::{Level, Levels};
use crate::flight::state::Functional;
use crate::flight::step::{Interval, IntervalKind, Step, Taught};

/// States of this block.
pub(in crate::flight) const STATES: usize = 6;

/// Those states, for the method page.
pub(in crate::flight) const PARTS: [Part; 3] = [
    Part {
        symbol: "w (2)",
        name: "WIND_E, WIND_N",
        what: "mean wind at the flight's mean altitude z0",
        moves: "random walk",
        first: "still air",
    },
    Part {
        symbol: "g (2)",
        name: "GUST_E, GUST_N",
        what: "gust",
        moves: "first-order Markov",
        first: "0, its own level",
    },
    Part {
        symbol: "s (2)",
        name: "SHEAR_E, SHEAR_N",
        what: "change of the wind with height",
        moves: "constant",
        first: "0",
    },
];

/// Mean wind at the reference altitude, blowing to the east, m/s.
pub(in crate::flight) const WIND_E: usize = AIR;
/// Mean wind at the reference altitude, blowing to the north, m/s.
pub(in crate::flight) const WIND_N: usize = AIR + 1;
/// Gust, east, m/s.
pub(in crate::flight) const GUST_E: usize = AIR + 2;
/// Gust, north, m/s.
pub(in crate::flight) const GUST_N: usize = AIR + 3;
/// Change of the wind with height, east, 1/s (m/s per m).
pub(in crate::flight) const SHEAR_E: usize = AIR + 4;
/// Change of the wind with height, north, 1/s.
pub(in crate::flight) const SHEAR_N: usize = AIR + 5;

/// Position moved, wind, gust and shear by axis.
const AXES: [[usize; 4]; 2] = [[POS_E, WIND_E, GUST_E, SHEAR_E], [POS_N, WIND_N, GUST_N, SHEAR_N]];

impl Level {
    /// Gust, per axis, m²/s².
    pub(in crate::flight) const GUST: Self = Self::new(AIR_LEVELS);
}

/// Typical values of those levels as standard deviations, in their order: where the search begins, and the middle of its prior.
pub(in crate::flight) const LEVELS: [&Constant; 1] = [&constants::TYPICAL_GUST_MPS];

/// The air over the intervals of a flight.
pub(in crate::flight) struct Air {
    gusts: Vec<Markov>,
    /// What is believed of the mean wind before the log is looked at: standard deviation about still air, per axis, m/s.
    wind_mps: f64,
}

impl Air {
    pub(in crate::flight) fn new(intervals: &[Interval]) -> Self {
        let gusts = intervals.iter().map(|interval| Markov::over(interval.dt_s, GUST_TAU_S.value)).collect();
        Self { gusts, wind_mps: constants::FIRST_WIND_MPS.value }
    }

    /// Believes in a mean wind within a standard deviation about still air.
    pub(in crate::flight) const fn believe_wind_mps(&mut self, std_u: f64) {
        self.wind_mps = std_u;
    }
}

impl Block for Air {
    fn prior(&self, levels: &Levels, prior: &mut Prior) {
        for [_, wind, gust, shear] in AXES {
            prior.set(wind, 0.0, self.wind_mps);
            prior.set(gust, 0.0, levels[Level::GUST].sqrt());
            prior.set(shear, 0.0, constants::WIND_SHEAR.value);
        }
    }

    fn forget(&self, levels: &Levels, step: &mut Step) {
        for gust in [GUST_E, GUST_N] {
            step.forget(gust, levels[Level::GUST].sqrt());
        }
    }

    fn step(&self, at: &StepAt<'_>, step: &mut Step) {
        let (Interval { dt_s, height_m, kind, .. }, process) = (*at.interval, &self.gusts[at.k]);
        let level = at.levels[Level::GUST];
        let [of_gust, with_moved, of_moved] = process.gained.map(|gain| level * gain);
        // Outside windows what the pilot does with brakes and throttle cannot be told from gusts and wander.
        let teaches = matches!(kind, IntervalKind::Window | IntervalKind::Unmarked);
        for [position, wind, gust, shear] in AXES {
            step.add(position, [(wind, dt_s), (shear, dt_s * height_m), (gust, process.reach_s)]);
            step.keep_share(gust, process.decay);
            step.disturb(wind, wind, WIND_WALK.value * WIND_WALK.value * dt_s * at.wind_scale);
            step.disturb(gust, gust, of_gust);
            step.disturb(position, gust, with_moved);
            step.disturb(position, position, of_moved);
            if teaches {
                step.teach(Taught { level: Level::GUST, part: gust, variance: of_gust, scaled: false, held: false });
            }
        }
    }
}

/// The functionals "mean wind, east and north" at a height above the reference altitude.
pub(in crate::flight) fn wind_at(height_m: f64) -> [Functional; 2] {
    [Functional::sum(&[(WIND_E, 1.0), (SHEAR_E, height_m)]), Functional::sum(&[(WIND_N, 1.0), (SHEAR_N, height_m)])]
}
