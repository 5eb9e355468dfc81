//! The estimated heading against a recorded compass.
//!
//! Compared with an estimate in which the compass has no part, the two are independent: what is left after the offset of the
//! mounting (and the declination, where the compass is magnetic) is the error of both, and the swing of whatever carried the
//! compass. Where they agree, the estimate runs once more with the compass (`log`), and stays if that proves consistent
//! (`consistency`).

mod consistency;
mod log;

pub use consistency::after_doubts;
pub(crate) use log::with_log_compass;

use driftless_inertial::compass::CompassDoubt;
use driftless_track::{Track, TrackPoint};
use driftless_units::{Angle, Neighbours, wrap_pi_rad};
use driftless_wind::flight::{FlightEstimate, Node, Observability};

/// Points that are compared at the least: fewer say nothing about an offset.
const FEWEST: usize = 60;
/// Headings that the estimate knows worse than this are left out, degrees.
const WORST_STD_U_DEG: f64 = 15.0;
/// Furthest that two nodes may lie apart to take a heading between them, seconds.
const WIDEST_STEP_S: f64 = 2.5;

/// A recorded compass against the estimated heading.
#[derive(Debug, Clone, PartialEq)]
pub struct CompassAgreement {
    /// What the compass says it shows.
    pub reference: CompassReference,
    /// Points compared.
    pub samples: usize,
    /// Whether the compass took part in the estimate of the flight; the comparison is with the one before.
    pub in_estimate: bool,
    /// Why it did not; empty when it did.
    pub doubts: Vec<CompassDoubt>,
    /// Mean of recorded less estimated heading, `[-180°, 180°)`: mounting, and declination for a magnetic compass.
    pub offset: Angle,
    /// Scatter about it (circular standard deviation).
    pub scatter: Angle,
}

/// North as the compass has it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CompassReference {
    /// True north.
    True,
    /// Magnetic north: the offset holds the declination.
    Magnetic,
}

fn agreement(track: &Track, estimate: &FlightEstimate) -> Option<CompassAgreement> {
    if estimate.observability != Observability::Observable {
        return None;
    }
    let true_north = (CompassReference::True, differences(track, estimate, |p| p.heading_true_deg));
    let magnetic = (CompassReference::Magnetic, differences(track, estimate, |p| p.heading_magnetic_deg));
    let compared = [true_north, magnetic].into_iter().find(|(_, differences)| differences.len() >= FEWEST);
    compared.map(|(reference, differences)| circular(reference, &differences))
}

/// Recorded less estimated heading, rad, wherever both are known.
fn differences(
    track: &Track,
    estimate: &FlightEstimate,
    recorded_deg: impl Fn(&TrackPoint) -> Option<f64>,
) -> Vec<f64> {
    let points = track.points.iter();
    points.filter_map(|p| Some(recorded_deg(p)?.to_radians() - heading_rad_at(&estimate.nodes, p.t_s)?)).collect()
}

/// Mean direction and circular standard deviation √(-2 ln R), R being the length of the mean unit vector (K. V. Mardia,
/// P. E. Jupp, *Directional Statistics* (2000), section 2.3; from memory).
fn circular(reference: CompassReference, differences_rad: &[f64]) -> CompassAgreement {
    let count = differences_rad.len() as f64;
    let (sin, cos) = differences_rad.iter().fold((0.0, 0.0), |sum, d| (sum.0 + d.sin(), sum.1 + d.cos()));
    let length = (sin.hypot(cos) / count).min(1.0);
    CompassAgreement {
        reference,
        samples: differences_rad.len(),
        in_estimate: false,
        doubts: Vec::new(),
        offset: Angle::from_rad(wrap_pi_rad(sin.atan2(cos))),
        scatter: Angle::from_rad((-2.0 * length.ln()).max(0.0).sqrt()),
    }
}

/// The estimated heading between two nodes, where it is known well enough.
fn heading_rad_at(nodes: &[Node], t_s: f64) -> Option<f64> {
    let near = Neighbours::of(nodes, |n| n.t_s, t_s)?;
    let known = |n: &Node| n.heading.std_u.deg() <= WORST_STD_U_DEG;
    (near.step_s <= WIDEST_STEP_S && known(near.left) && known(near.right))
        .then(|| near.straight(|n| n.heading.value.rad()))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Mean direction of 350° and 20° is 5°; two directions ±15° about it have R = cos 15°.
    #[test]
    fn derived_circular_mean_and_scatter() {
        let got = circular(CompassReference::True, &[350f64.to_radians(), 20f64.to_radians()]);
        assert!((got.offset.deg() - 5.0).abs() < 1e-9);
        let expected_rad = (-2.0 * 15f64.to_radians().cos().ln()).sqrt();
        assert!((got.scatter.rad() - expected_rad).abs() < 1e-12);
    }

    /// All ways alike: nothing is known.
    #[test]
    fn derived_scatter_of_a_compass_that_turns_by_itself_is_large() {
        let differences: Vec<f64> = (0..360).map(|d| f64::from(d).to_radians()).collect();
        assert!(circular(CompassReference::Magnetic, &differences).scatter.deg() > 300.0);
    }
}
