//! The path of an aircraft over the ground: what is estimated from, without what else a log holds.

use crate::{Ground, Position, Velocity, items_between};

/// How a velocity was had.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum VelocitySource {
    /// Recorded speed and course.
    Recorded,
    /// From neighbouring positions.
    Positions,
}

/// Where the aircraft was at a time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PathPoint {
    /// Seconds from the epoch of the path.
    pub t_s: f64,
    /// Where, metres east and north of an origin near by.
    pub position: Position<Ground>,
    /// Altitude, metres.
    pub altitude_m: Option<f64>,
    /// Velocity over the ground.
    pub velocity: Velocity<Ground>,
    /// How the velocity was had.
    pub velocity_source: VelocitySource,
}

/// The path of one flight over the ground.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct GroundPath {
    /// Points, times strictly rising.
    pub points: Vec<PathPoint>,
    /// When the aircraft left the ground; `None` when the path begins in the air.
    pub takeoff_s: Option<f64>,
    /// When it was on the ground again; `None` when the path ends in the air.
    pub landing_s: Option<f64>,
    /// Standard uncertainty of one position per axis as far as rounding in the file causes it, metres.
    pub rounding_m: f64,
}

impl GroundPath {
    /// The points from so many seconds after take-off to as many before landing.
    pub fn airborne(&self, margin_s: f64) -> &[PathPoint] {
        let from_s = self.takeoff_s.map_or(f64::NEG_INFINITY, |t_s| t_s + margin_s);
        let to_s = self.landing_s.map_or(f64::INFINITY, |t_s| t_s - margin_s);
        items_between(&self.points, |point| point.t_s, from_s, to_s)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_airborne_ends_a_margin_from_the_ground_and_nowhere_else() {
        let point = |t_s: f64| PathPoint {
            t_s,
            position: Position::new(11.0 * t_s, 0.0),
            altitude_m: None,
            velocity: Velocity::new(11.0, 0.0),
            velocity_source: VelocitySource::Positions,
        };
        let mut path = GroundPath { points: (0..=60).map(f64::from).map(point).collect(), ..GroundPath::default() };
        let ends = |path: &GroundPath| {
            let airborne = path.airborne(5.0);
            airborne.first().zip(airborne.last()).map(|(first, last)| [first.t_s, last.t_s])
        };
        assert_eq!(ends(&path), Some([0.0, 60.0]));
        path.takeoff_s = Some(10.0);
        path.landing_s = Some(50.0);
        assert_eq!(ends(&path), Some([15.0, 45.0]));
        path.landing_s = Some(19.0);
        assert_eq!(ends(&path), None);
    }
}
