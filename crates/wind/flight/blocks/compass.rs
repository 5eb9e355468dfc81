//! The compass: headings with a deviation that is found on the way, and how far they can be believed.
//!
//! A compass heading c (declination applied) plus its deviation is the heading. The deviation is that of the trade,
//! A + B sin c + C cos c + D sin 2c + E cos 2c with c the compass heading and easterly deviation positive (*Handbook of Magnetic
//! Compass Adjustment*, National Geospatial-Intelligence Agency 2004, chapter V): A is the mounting and what the declination
//! is off, B and C are hard iron along and across, D and E are soft iron. A heel brings J φ cos c more: iron below, and
//! the Earth's field along the mast (heeling error, same book, chapter XII; the form from memory). All six are constants of the flight
//! and states of the estimate, so that whoever calibrated the compass, and by whatever, can be no surer of it than the
//! priors say. On top come a slow error (tilt left over, ignition, load), first-order Markov, and a white one, both with levels
//! found from the flight, and the twist of the pilot as of a gyro.

use super::aircraft::{HEADING, airspeed_mps, turn_rate};
use super::{Block, COMPASS_LEVELS, Layout, NodeAt, Prior, Source, StepAt};
use crate::flight::compass::{CompassHeadings, DeviationStdU};
use crate::flight::constants::{self, COMPASS_SLOW_TAU_S, Constant, Part, SAME_TIME_S};
use crate::flight::measurement::Measurement;
use crate::flight::nodes::NodeInput;
use crate::flight::noise::{Level, Levels};
use crate::flight::state::Functional;
use crate::flight::step::{Interval, Step, Taught};
use driftless_units::{GRAVITY_MPS2, wrap_pi_rad};

/// States of this block, in the order of [`CompassStates`].
pub(in crate::flight) const STATES: usize = 8;

/// Those states, for the method page.
pub(in crate::flight) const PARTS: [Part; 4] = [
    Part {
        symbol: "A to E",
        name: "deviation",
        what: "coefficients of the deviation",
        moves: "constant",
        first: "0, as the calibration leaves it",
    },
    Part {
        symbol: "J",
        name: "heeling",
        what: "heeling coefficient of the deviation",
        moves: "constant",
        first: "0, as the calibration leaves it",
    },
    Part {
        symbol: "e",
        name: "slow",
        what: "slow error: tilt left over, ignition, load",
        moves: "first-order Markov",
        first: "0, its own level",
    },
    Part { symbol: "l", name: "lag", what: "how late the compass is", moves: "constant", first: "0" },
];

/// Where the states of a compass are.
#[derive(Debug, Clone, Copy)]
pub(in crate::flight) struct CompassStates {
    /// Coefficients A to E of the deviation, rad: constant, semicircular, quadrantal.
    pub(in crate::flight) deviation: [usize; 5],
    /// Heeling coefficient of the deviation, rad per rad of bank.
    pub(in crate::flight) heeling: usize,
    /// Slow error, rad: tilt left over, ignition, load.
    pub(in crate::flight) slow: usize,
    /// How late the compass is, s: clock, filter, and level that lags in turns. Not the gyro's clock, which an axis of
    /// the gyro bends.
    pub(in crate::flight) lag: usize,
}

impl CompassStates {
    pub(in crate::flight) const fn from(first: usize) -> Self {
        let deviation = [first, first + 1, first + 2, first + 3, first + 4];
        Self { deviation, heeling: first + 5, slow: first + 6, lag: first + 7 }
    }
}

impl Level {
    /// White error of a compass heading, rad².
    pub(in crate::flight) const COMPASS_WHITE: Self = Self::new(COMPASS_LEVELS);
    /// Slow error of a compass heading, rad².
    pub(in crate::flight) const COMPASS_SLOW: Self = Self::new(COMPASS_LEVELS + 1);
}

/// Typical values of those levels as standard deviations, in their order: where the search begins, and the middle of its prior.
pub(in crate::flight) const LEVELS: [&Constant; 2] =
    [&constants::TYPICAL_COMPASS_WHITE_RAD, &constants::TYPICAL_COMPASS_SLOW_RAD];

/// A compass over a flight.
pub(in crate::flight) struct Compass {
    pub(in crate::flight) states: CompassStates,
    twist: usize,
    /// Heading of each node, rad.
    readings_rad: Vec<Option<f64>>,
    steps: Vec<SlowStep>,
    deviation: DeviationStdU,
    lag_std_u_s: f64,
    /// Least variances of slow and white error, rad².
    pub(in crate::flight) least_rad2: [f64; 2],
}

/// What is left of the slow error after one step.
#[derive(Debug, Clone, Copy)]
struct SlowStep {
    decay: f64,
    /// Variance gained per unit of the stationary one.
    gained: f64,
}

impl SlowStep {
    fn over(dt_s: f64) -> Self {
        let tau_s = COMPASS_SLOW_TAU_S.value;
        Self { decay: (-dt_s / tau_s).exp(), gained: -(-2.0 * dt_s / tau_s).exp_m1() }
    }
}

impl Compass {
    /// With the readings that belong to nodes; `None` where the layout has no place for it.
    pub(in crate::flight) fn new(
        layout: &Layout,
        headings: &CompassHeadings,
        nodes: &[NodeInput],
        intervals: &[Interval],
    ) -> Option<Self> {
        let at = |t_s: f64| {
            let i = headings.readings.partition_point(|r| r.t_s < t_s - SAME_TIME_S.value);
            headings.readings.get(i).filter(|r| r.t_s <= t_s + SAME_TIME_S.value && r.heading_rad.is_finite())
        };
        Some(Self {
            states: CompassStates::from(layout.compass?),
            twist: layout.twist?,
            readings_rad: nodes.iter().map(|node| at(node.t_s).map(|r| r.heading_rad)).collect(),
            steps: intervals.iter().map(|interval| SlowStep::over(interval.dt_s)).collect(),
            deviation: headings.deviation_std_u,
            lag_std_u_s: headings.lag_std_u_s,
            least_rad2: headings.least_errors_rad.map(|rad| rad * rad),
        })
    }

    /// Nodes with a reading.
    pub(in crate::flight) fn nodes(&self) -> usize {
        self.readings_rad.iter().flatten().count()
    }
}

impl Block for Compass {
    fn prior(&self, levels: &Levels, prior: &mut Prior) {
        for (part, std_u_rad) in self.states.deviation.into_iter().zip(self.deviation.coefficients_rad) {
            prior.set(part, 0.0, std_u_rad);
        }
        prior.set(self.states.heeling, 0.0, self.deviation.heeling);
        prior.set(self.states.lag, 0.0, self.lag_std_u_s);
        prior.set(self.states.slow, 0.0, levels[Level::COMPASS_SLOW].sqrt());
    }

    fn step(&self, at: &StepAt<'_>, step: &mut Step) {
        let (slow, SlowStep { decay, gained }) = (self.states.slow, self.steps[at.k]);
        let variance = at.levels[Level::COMPASS_SLOW] * gained;
        step.keep_share(slow, decay);
        step.disturb(slow, slow, variance);
        step.teach(Taught { level: Level::COMPASS_SLOW, part: slow, variance, scaled: false, held: false });
        step.watch(slow);
    }

    fn measure(&self, at: &NodeAt<'_>, measurements: &mut Vec<Measurement>) {
        let Some(reading_rad) = self.readings_rad[at.k] else { return };
        let (rate_rad_s, _) = turn_rate(at.x);
        let bank_rad = (airspeed_mps(at.x) * rate_rad_s / GRAVITY_MPS2).atan();
        let CompassStates { deviation, heeling, slow, lag } = self.states;
        let mut row = Functional::sum(&[(HEADING, 1.0), (self.twist, 1.0), (lag, rate_rad_s), (slow, 1.0)]);
        for (part, share) in deviation.into_iter().zip(by_coefficient(reading_rad)) {
            row.add(part, -share);
        }
        row.add(heeling, -bank_rad * reading_rad.cos());
        let variance_rad2 = at.levels[Level::COMPASS_WHITE];
        measurements.push(Measurement {
            lasts: 1.0,
            row,
            value: at.x[HEADING] + wrap_pi_rad(reading_rad - at.x[HEADING]),
            variance: variance_rad2 / at.weights[Source::Compass as usize],
            level: Some(Level::COMPASS_WHITE),
            weighted_by: Some((Source::Compass, variance_rad2.sqrt())),
        });
    }
}

/// Deviation per unit of each of the coefficients A to E, for a compass heading.
fn by_coefficient(compass_rad: f64) -> [f64; 5] {
    let (sin, cos) = compass_rad.sin_cos();
    let (sin2, cos2) = (2.0 * compass_rad).sin_cos();
    [1.0, sin, cos, sin2, cos2]
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What is gained is what is lost: an error of the stationary size stays so, over any step.
    #[test]
    fn derived_a_slow_error_keeps_its_size() {
        for dt_s in [0.1, 1.0, 20.0, 1000.0] {
            let SlowStep { decay, gained } = SlowStep::over(dt_s);
            assert!((decay * decay + gained - 1.0).abs() < 1e-12 && (0.0..=1.0).contains(&decay), "{decay} {gained}");
        }
        let half = SlowStep::over(0.5 * COMPASS_SLOW_TAU_S.value).decay;
        assert!((half * half - (-1.0_f64).exp()).abs() < 1e-12, "after the time constant 1/e is left");
    }

    /// Handbook of Magnetic Compass Adjustment (2004), figure 501: the deviations of a ship on eight compass headings. Its
    /// chapter V reads the coefficients off them: A is the mean of all; B and C half the difference on east and west, north
    /// and south; D and E the mean on the intercardinal and cardinal headings with changing sign. The formula with
    /// those must give the deviations back; the book prints 0.1 to 0.5°, and the figures were made up to that.
    #[test]
    fn published_deviation_of_a_ship() {
        let table = [10.5, 20.0, 11.5, -1.2, -5.5, -8.0, -12.5, -6.8];
        let [n, ne, e, se, s, sw, w, nw] = table;
        let coefficients = [
            table.iter().sum::<f64>() / 8.0,
            (e - w) / 2.0,
            (n - s) / 2.0,
            (ne - se + sw - nw) / 4.0,
            (n - e + s - w) / 4.0,
        ];
        for (k, deviation) in table.into_iter().enumerate() {
            let shares = by_coefficient(45_f64.to_radians() * k as f64);
            let by_formula: f64 = shares.iter().zip(coefficients).map(|(share, value)| share * value).sum();
            assert!((by_formula - deviation).abs() < 0.2, "{k}: {by_formula} against {deviation}");
        }
    }
}
