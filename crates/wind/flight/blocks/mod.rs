//! The blocks of which an estimate is composed, and their register.
//!
//! A block owns a part of the state: how it moves from node to node (value and derivative at once), what disturbs it, what a
//! break leaves unknown of it, what it is believed to be at the first node, its noise levels, and what is measured of it.
//! Blocks may speak of each other's parts (the air carries the aircraft along), but only in their own file.
//!
//! To add one: its file, the lines here that give it its place in the state, among the levels and among the blocks, and
//! its part of the method page.

pub(super) mod air;
pub(super) mod aircraft;
pub(super) mod compass;
pub(super) mod gyro;
pub(super) mod receiver;
pub(super) mod twist;

use super::clock::Motion;
use super::constants::{Constant, Part};
use super::measurement::Measurement;
use super::nodes::NodeInput;
use super::noise::Levels;
use super::step::{Interval, IntervalKind, Step};
use air::Air;
use aircraft::Aircraft;
use compass::Compass;
use gyro::Gyro;
use receiver::Receiver;
use twist::Twist;

// Where the states of each block begin. Aircraft and air are in every estimate, the sensors' where `Layout` puts them.

/// First state of the aircraft.
pub(super) const AIRCRAFT: usize = 0;
/// First state of the air.
pub(super) const AIR: usize = AIRCRAFT + aircraft::STATES;
/// States of a flight without sensors.
pub(super) const DIM: usize = AIR + air::STATES;
/// States of a flight with a gyro.
pub(super) const GYRO_DIM: usize = Layout::new(true, false).states;
/// States of a flight with a compass.
pub(super) const COMPASS_DIM: usize = Layout::new(false, true).states;
/// States of a flight with both.
pub(super) const GYRO_COMPASS_DIM: usize = Layout::new(true, true).states;

/// Where the states of the sensors begin, in estimates that have them.
#[derive(Debug, Clone, Copy)]
pub(super) struct Layout {
    pub(super) twist: Option<usize>,
    pub(super) gyro: Option<usize>,
    pub(super) compass: Option<usize>,
    states: usize,
}

impl Layout {
    /// Of an estimate with some sensors beside the receiver. Whoever carries one of them twists.
    pub(super) const fn new(gyro: bool, compass: bool) -> Self {
        let mut layout = Self { twist: None, gyro: None, compass: None, states: DIM };
        if gyro || compass {
            (layout.twist, layout.states) = (Some(layout.states), layout.states + twist::STATES);
        }
        if gyro {
            (layout.gyro, layout.states) = (Some(layout.states), layout.states + gyro::STATES);
        }
        if compass {
            (layout.compass, layout.states) = (Some(layout.states), layout.states + compass::STATES);
        }
        layout
    }

    /// Whether there is a sensor that tells turns to a part of a second.
    pub(super) const fn has_sensor(&self) -> bool {
        self.twist.is_some()
    }
}

// Where the noise levels of each block begin.

pub(super) const RECEIVER_LEVELS: usize = 0;
pub(super) const AIR_LEVELS: usize = RECEIVER_LEVELS + receiver::LEVELS.len();
pub(super) const AIRCRAFT_LEVELS: usize = AIR_LEVELS + air::LEVELS.len();
pub(super) const TWIST_LEVELS: usize = AIRCRAFT_LEVELS + aircraft::LEVELS.len();
pub(super) const COMPASS_LEVELS: usize = TWIST_LEVELS + twist::LEVELS.len();
/// Noise levels of all blocks.
pub(super) const LEVELS: usize = COMPASS_LEVELS + compass::LEVELS.len();

/// Typical values of all noise levels as standard deviations, in their order.
pub(super) fn typical_levels() -> impl Iterator<Item = f64> {
    let of_blocks: [&[&Constant]; 5] =
        [&receiver::LEVELS, &air::LEVELS, &aircraft::LEVELS, &twist::LEVELS, &compass::LEVELS];
    of_blocks.into_iter().flatten().map(|typical| typical.value)
}

/// The parts of the state that every estimate has, for the method page.
pub fn parts() -> impl Iterator<Item = &'static Part> {
    aircraft::PARTS.iter().chain(&air::PARTS)
}

/// Those that come with sensors.
pub fn sensor_parts() -> impl Iterator<Item = &'static Part> {
    gyro::PARTS.iter().chain(&compass::PARTS).chain(&twist::PARTS)
}

/// Sources of measurements that are weighted by their own residuals.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Source {
    Receiver,
    Gyro,
    Compass,
}

/// How many there are.
pub(super) const SOURCES: usize = 3;

/// Belief about the first state: a mean and a standard deviation per part.
#[derive(Debug, Clone)]
pub(super) struct Prior {
    pub(super) mean: Vec<f64>,
    pub(super) std_u: Vec<f64>,
}

impl Prior {
    /// Sets a part.
    pub(super) fn set(&mut self, part: usize, mean: f64, std_u: f64) {
        (self.mean[part], self.std_u[part]) = (mean, std_u);
    }

    /// Sets how well a part is known that is believed to be as the iteration starts.
    pub(super) fn open(&mut self, part: usize, std_u: f64) {
        self.std_u[part] = std_u;
    }
}

/// Where a step is linearised.
#[derive(Debug, Clone, Copy)]
pub(super) struct StepAt<'a> {
    /// The step leads from node `k` to `k + 1`.
    pub(super) k: usize,
    pub(super) interval: &'a Interval,
    /// The trajectory at its beginning.
    pub(super) x: &'a [f64],
    /// The trajectory at its end.
    pub(super) next: &'a [f64],
    pub(super) levels: &'a Levels,
    /// What multiplies the variance of the airspeed's disturbance.
    pub(super) airspeed_scale: f64,
    /// What multiplies the variance of the wind's disturbance.
    pub(super) wind_scale: f64,
}

/// Where measurements are linearised.
#[derive(Debug, Clone, Copy)]
pub(super) struct NodeAt<'a> {
    pub(super) k: usize,
    /// The trajectory at this node.
    pub(super) x: &'a [f64],
    pub(super) levels: &'a Levels,
    /// Robust weights in (0, 1] of the sources at this node.
    pub(super) weights: [f64; SOURCES],
    /// The state that moves the times of the track, and the motion by which it does; `None` without a sensor's clock.
    pub(super) clock: Option<(usize, Motion)>,
}

/// A part of the model, with the states that belong to it.
pub(super) trait Block {
    /// Sets what is believed of its states at the first node.
    fn prior(&self, levels: &Levels, prior: &mut Prior);

    /// What a break leaves unknown of its states.
    fn forget(&self, _levels: &Levels, _step: &mut Step) {}

    /// Writes its part of a step: how its states move, and what disturbs them.
    fn step(&self, at: &StepAt<'_>, step: &mut Step);

    /// Adds what is measured of it at a node.
    fn measure(&self, _at: &NodeAt<'_>, _measurements: &mut Vec<Measurement>) {}
}

/// The blocks of one estimate.
pub(super) struct Blocks {
    pub(super) layout: Layout,
    pub(super) aircraft: Aircraft,
    pub(super) air: Air,
    pub(super) receiver: Receiver,
    pub(super) twist: Option<Twist>,
    pub(super) gyro: Option<Gyro>,
    pub(super) compass: Option<Compass>,
}

impl Blocks {
    /// Those that every flight has, with a place for the sensors of the layout, but none of them yet. `heights_m` above the
    /// reference altitude, one per node.
    pub(super) fn new(layout: Layout, nodes: &[NodeInput], intervals: &[Interval], heights_m: &[f64]) -> Self {
        Self {
            layout,
            aircraft: Aircraft::new(intervals, layout.has_sensor()),
            air: Air::new(intervals),
            receiver: Receiver::new(nodes, heights_m),
            twist: None,
            gyro: None,
            compass: None,
        }
    }

    fn each(&self) -> impl Iterator<Item = &dyn Block> {
        let always: [&dyn Block; 3] = [&self.aircraft, &self.air, &self.receiver];
        let sensors = [
            self.twist.as_ref().map(|block| block as &dyn Block),
            self.gyro.as_ref().map(|block| block as &dyn Block),
            self.compass.as_ref().map(|block| block as &dyn Block),
        ];
        always.into_iter().chain(sensors.into_iter().flatten())
    }

    /// What is believed of the first state of a trajectory before anything is measured.
    pub(super) fn prior(&self, first: &[f64], levels: &Levels) -> Prior {
        let mut prior = Prior { mean: first.to_vec(), std_u: vec![0.0; first.len()] };
        self.each().for_each(|block| block.prior(levels, &mut prior));
        prior
    }

    /// Linearises a step.
    pub(super) fn step(&self, at: &StepAt<'_>, step: &mut Step) {
        let broken = at.interval.kind == IntervalKind::Break;
        step.begin(at.x, broken);
        if broken {
            self.each().for_each(|block| block.forget(at.levels, step));
        }
        // By name, not by `each`: this is where an estimate spends its time.
        self.aircraft.step(at, step);
        self.air.step(at, step);
        self.receiver.step(at, step);
        let Self { twist, gyro, compass, .. } = self;
        twist.iter().for_each(|block| block.step(at, step));
        gyro.iter().for_each(|block| block.step(at, step));
        compass.iter().for_each(|block| block.step(at, step));
    }

    /// What is measured at a node, in the order in which it is taken in.
    pub(super) fn measure(&self, at: &NodeAt<'_>, measurements: &mut Vec<Measurement>) {
        measurements.clear();
        self.aircraft.measure(at, measurements);
        self.air.measure(at, measurements);
        self.receiver.measure(at, measurements);
        let Self { twist, gyro, compass, .. } = self;
        twist.iter().for_each(|block| block.measure(at, measurements));
        gyro.iter().for_each(|block| block.measure(at, measurements));
        compass.iter().for_each(|block| block.measure(at, measurements));
    }
}
