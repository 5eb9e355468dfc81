//! Headings recorded in the flight log as measurements of the estimate, where they agree with it.
//!
//! Nothing is known of the instrument: its iron is not calibrated, its axis is that of whatever carried it, and it may lag. So
//! it must agree well before it is taken, and its errors are open within wide bounds.

use super::{CompassAgreement, CompassDoubt, CompassReference, after_doubts, agreement, heading_rad_at};
use crate::constants::{
    CONSTANT_DEVIATION_DEG, LOG_HEELING, LOG_LAG_S, OFFSET_MOST_DEG, QUADRANTAL_DEVIATION_DEG, SCATTER_MOST_DEG,
    SEMICIRCULAR_DEVIATION_DEG, WIDEST_STEP_S,
};
use crate::inertial::least_errors_rad;
use driftless_inertial::compass::earth_field;
use driftless_inertial::constants::{FEWEST_SECTORS, HEADING_SECTORS};
use driftless_track::{Track, TrackPoint};
use driftless_units::{Neighbours, wrap_180_deg, wrap_360_deg, wrap_pi_rad};
use driftless_wind::flight::{
    CompassHeadings, CompassReading, DeviationStdU, FlightEstimate, SteadySpan, estimate_with_compass, node_times,
};

/// Headings are counted in as many sectors as those of a magnetometer.
const SECTORS: usize = HEADING_SECTORS.count();
/// Coefficients A to E of a deviation that nothing calibrates, degrees.
const DEVIATION_DEG: [f64; 5] = [
    CONSTANT_DEVIATION_DEG.value,
    SEMICIRCULAR_DEVIATION_DEG.value,
    SEMICIRCULAR_DEVIATION_DEG.value,
    QUADRANTAL_DEVIATION_DEG.value,
    QUADRANTAL_DEVIATION_DEG.value,
];

/// The recorded compass against an estimate in which it has no part, and the estimate with it where it may have one.
/// `sensors`: inertial sensors took part in that estimate already.
pub(crate) fn with_log_compass(
    track: &Track,
    without: &FlightEstimate,
    spans: &[SteadySpan],
    sensors: bool,
) -> (Option<CompassAgreement>, Option<FlightEstimate>) {
    let Some(mut compass) = agreement(track, without) else { return (None, None) };
    match fused(track, without, spans, sensors, &compass) {
        Ok(flight) => {
            compass.in_estimate = true;
            (Some(compass), Some(flight))
        }
        Err(doubts) => {
            compass.doubts = doubts;
            (Some(compass), None)
        }
    }
}

fn fused(
    track: &Track,
    without: &FlightEstimate,
    spans: &[SteadySpan],
    sensors: bool,
    compass: &CompassAgreement,
) -> Result<FlightEstimate, Vec<CompassDoubt>> {
    if sensors {
        return Err(vec![CompassDoubt::SensorsInstead]);
    }
    let declination_deg = match compass.reference {
        CompassReference::True => 0.0,
        CompassReference::Magnetic => declination_deg(track).map_err(|why| vec![why])?,
    };
    let doubts = before_doubts(track, without, compass, declination_deg);
    if !doubts.is_empty() {
        return Err(doubts);
    }
    let path = track.path();
    let headings = CompassHeadings {
        readings: readings(track, compass.reference, declination_deg, &node_times(&path, spans)),
        deviation_std_u: DeviationStdU {
            coefficients_rad: DEVIATION_DEG.map(f64::to_radians),
            heeling: LOG_HEELING.value,
        },
        lag_std_u_s: LOG_LAG_S.value,
        least_errors_rad: least_errors_rad(),
    };
    let found = estimate_with_compass(&path, without, spans, &headings, None)
        .map_err(|error| vec![CompassDoubt::EstimateFailed(error)])?;
    let doubts = after_doubts(without, &found, &headings.deviation_std_u);
    if doubts.is_empty() { Ok(found.flight) } else { Err(doubts) }
}

fn declination_deg(track: &Track) -> Result<f64, CompassDoubt> {
    let frame = &track.frame;
    let earth = earth_field(frame.lat_deg, frame.lon_deg, frame.altitude_m, track.epoch);
    earth.map(|e| e.declination_deg).map_err(CompassDoubt::DeclinationUnknown)
}

fn before_doubts(
    track: &Track,
    without: &FlightEstimate,
    compass: &CompassAgreement,
    declination_deg: f64,
) -> Vec<CompassDoubt> {
    let mut doubts = Vec::new();
    let offset_deg = wrap_180_deg(compass.offset.deg() + declination_deg);
    if offset_deg.abs() > OFFSET_MOST_DEG.value {
        doubts.push(CompassDoubt::Offset { offset_deg, limit_deg: OFFSET_MOST_DEG.value });
    }
    if compass.scatter.deg() > SCATTER_MOST_DEG.value {
        doubts.push(CompassDoubt::Scatter { scatter_deg: compass.scatter.deg(), limit_deg: SCATTER_MOST_DEG.value });
    }
    let mut flown = [false; SECTORS];
    for heading in track.points.iter().filter_map(|p| heading_rad_at(&without.nodes, p.t_s)) {
        let share = wrap_360_deg(heading.value.to_degrees()) / 360.0;
        flown[((share * SECTORS as f64) as usize).min(SECTORS - 1)] = true;
    }
    let sectors = flown.iter().filter(|f| **f).count();
    if sectors < FEWEST_SECTORS.count() {
        let degrees = |sectors: usize| 360.0 * sectors as f64 / SECTORS as f64;
        doubts.push(CompassDoubt::FewHeadings {
            flown_deg: degrees(sectors),
            limit_deg: degrees(FEWEST_SECTORS.count()),
        });
    }
    doubts
}

/// True headings at the nodes, between recorded ones by a straight line.
fn readings(
    track: &Track,
    reference: CompassReference,
    declination_deg: f64,
    node_times_s: &[f64],
) -> Vec<CompassReading> {
    let recorded = |p: &TrackPoint| match reference {
        CompassReference::True => p.heading_true_deg.get(),
        CompassReference::Magnetic => p.heading_magnetic_deg.get(),
    };
    let known: Vec<(f64, f64)> =
        track.points.iter().filter_map(|p| Some((p.t_s, (recorded(p)? + declination_deg).to_radians()))).collect();
    let at = |t_s: f64| {
        let near = Neighbours::of(&known, |(t, _)| *t, t_s)?;
        let (from, to) = (near.left.1, near.right.1);
        (near.step_s <= WIDEST_STEP_S.value)
            .then(|| CompassReading { t_s, heading_rad: from + near.share * wrap_pi_rad(to - from) })
    };
    node_times_s.iter().filter_map(|t_s| at(*t_s)).collect()
}
