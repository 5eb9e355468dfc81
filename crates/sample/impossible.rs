//! Values that no instrument gives: pages and charts must stand them.

use crate::flight;
use driftless_analysis::FlightAnalysis;
use driftless_units::{Angle, Estimate, Position, TurnRate, Velocity};

/// Values that no flight has.
pub const IMPOSSIBLE: [f64; 7] = [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, 1e9, -1e9, 1e300, 0.0];

/// The flight with `value` strewn over all that was measured.
pub fn with_impossible_values(value: f64) -> FlightAnalysis {
    let mut analysis = flight();
    for (i, point) in analysis.track.points.iter_mut().enumerate() {
        if i % 7 == 0 {
            point.altitude_m = value.into();
            point.position = Position::new(value, -value);
            point.velocity = Velocity::new(value, value);
        }
    }
    let nodes = analysis.estimate.iter_mut().flat_map(|estimate| &mut estimate.nodes);
    for (i, node) in nodes.enumerate() {
        if i % 5 == 0 {
            node.altitude_m = Some(value);
            node.air_position = Position::new(-value, value);
            node.wind.east_mps = value;
            node.wind_cov = [value; 3];
            node.airspeed_mps = Estimate::with_dof(value, value, value);
            node.heading.value = Angle::from_deg(value);
            node.turn_rate.value = TurnRate::from_deg_s(value);
            node.climb_mps = Some(value);
        }
    }
    if let Some(circle) = &mut analysis.circle {
        circle.wind.north_mps = value;
        circle.airspeed_mps.value = value;
        circle.wind_cov = [value; 3];
    }
    for measured in &mut analysis.windows {
        measured.turn_rate = Some(Estimate::with_dof(TurnRate::from_deg_s(value), TurnRate::from_deg_s(value), value));
        measured.course_rate = Some(TurnRate::from_deg_s(value));
    }
    analysis
}
