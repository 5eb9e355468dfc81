//! The estimated heading against a recorded compass.
//!
//! Compared with an estimate in which the compass has no part, the two are independent: what is left after the offset of the
//! mounting (and the declination, where the compass is magnetic) is the error of both, and the swing of whatever carried the
//! compass. Where they agree, the estimate runs once more with the compass (`log`), and stays if that proves consistent
//! (`consistency`).

mod consistency;
mod doubt;
mod log;

pub use consistency::after_doubts;
pub use doubt::CompassDoubt;
pub(crate) use log::with_log_compass;

use crate::constants::{FEWEST_COMPARED, WIDEST_STEP_S, WORST_STD_U_DEG};
use driftless_track::{Track, TrackPoint};
use driftless_units::{Angle, Estimate, Neighbours, coverage_factor, wrap_pi_rad};
use driftless_wind::flight::{FlightEstimate, Node, Observability};

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
    /// How far the estimate says its own headings may be off: root mean square of their standard uncertainties.
    pub stated: Angle,
    /// The rest of the scatter: the compass' own, with the swing of what carried it.
    pub own_scatter: Angle,
    /// Share of the differences about the offset that lie within 95 % intervals of the estimated headings, the compass'
    /// own scatter added.
    pub within95: f64,
    /// The same with a compass that is taken to be exact: the least that the stated intervals cover.
    pub within95_exact: f64,
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
    let true_north = (CompassReference::True, differences(track, estimate, |p| p.heading_true_deg.get()));
    let magnetic = (CompassReference::Magnetic, differences(track, estimate, |p| p.heading_magnetic_deg.get()));
    let compared =
        [true_north, magnetic].into_iter().find(|(_, differences)| differences.len() >= FEWEST_COMPARED.count());
    compared.map(|(reference, differences)| circular(reference, &differences))
}

/// Recorded less estimated heading, rad, with the uncertainty of the estimated one, wherever both are known.
fn differences(
    track: &Track,
    estimate: &FlightEstimate,
    recorded_deg: impl Fn(&TrackPoint) -> Option<f64>,
) -> Vec<Estimate<f64>> {
    let difference = |point: &TrackPoint| {
        let recorded_rad = recorded_deg(point)?.to_radians();
        let estimated = heading_rad_at(&estimate.nodes, point.t_s)?;
        Some(Estimate::new(recorded_rad - estimated.value, estimated.std_u))
    };
    track.points.iter().filter_map(difference).collect()
}

/// Mean direction and circular standard deviation √(-2 ln R), R being the length of the mean unit vector (K. V. Mardia,
/// P. E. Jupp, *Directional Statistics* (2000), section 2.3; from memory); and how many differences the stated uncertainties
/// account for.
fn circular(reference: CompassReference, differences_rad: &[Estimate<f64>]) -> CompassAgreement {
    let count = differences_rad.len() as f64;
    let mean = |value: &dyn Fn(&Estimate<f64>) -> f64| differences_rad.iter().map(value).sum::<f64>() / count;
    let (sin, cos) = (mean(&|d| d.value.sin()), mean(&|d| d.value.cos()));
    let length = sin.hypot(cos).min(1.0);
    let offset_rad = wrap_pi_rad(sin.atan2(cos));
    let about_offset = |d: &Estimate<f64>| wrap_pi_rad(d.value - offset_rad);
    // Errors of compass and estimate are independent, so their variances add up to the mean square of the differences.
    let stated_rad2 = mean(&|d| d.std_u.powi(2));
    let own_rad2 = (mean(&|d| about_offset(d).powi(2)) - stated_rad2).max(0.0);
    let within95 = |own_rad2: f64| {
        let reach = coverage_factor(0.95, f64::INFINITY);
        mean(&|d| f64::from(u8::from(about_offset(d).powi(2) <= reach.powi(2) * (d.std_u.powi(2) + own_rad2))))
    };
    CompassAgreement {
        reference,
        samples: differences_rad.len(),
        in_estimate: false,
        doubts: Vec::new(),
        offset: Angle::from_rad(offset_rad),
        scatter: Angle::from_rad((-2.0 * length.ln()).max(0.0).sqrt()),
        stated: Angle::from_rad(stated_rad2.sqrt()),
        own_scatter: Angle::from_rad(own_rad2.sqrt()),
        within95: within95(own_rad2),
        within95_exact: within95(0.0),
    }
}

/// The estimated heading between two nodes, rad, where it is known well enough.
fn heading_rad_at(nodes: &[Node], t_s: f64) -> Option<Estimate<f64>> {
    let near = Neighbours::of(nodes, |n| n.t_s, t_s)?;
    let known = |n: &Node| n.heading.std_u.deg() <= WORST_STD_U_DEG.value;
    (near.step_s <= WIDEST_STEP_S.value && known(near.left) && known(near.right))
        .then(|| Estimate::new(near.straight(|n| n.heading.value.rad()), near.straight(|n| n.heading.std_u.rad())))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Mean direction of 350° and 20° is 5°; two directions ±15° about it have R = cos 15°.
    #[test]
    fn derived_circular_mean_and_scatter() {
        let got = circular(CompassReference::True, &[350f64, 20.0].map(|deg| Estimate::new(deg.to_radians(), 0.0)));
        assert!((got.offset.deg() - 5.0).abs() < 1e-9);
        let expected_rad = (-2.0 * 15f64.to_radians().cos().ln()).sqrt();
        assert!((got.scatter.rad() - expected_rad).abs() < 1e-12);
    }

    /// All ways alike: nothing is known.
    #[test]
    fn derived_scatter_of_a_compass_that_turns_by_itself_is_large() {
        let differences: Vec<_> = (0..360).map(|d| Estimate::new(f64::from(d).to_radians(), 0.0)).collect();
        assert!(circular(CompassReference::Magnetic, &differences).scatter.deg() > 300.0);
    }

    /// Half of the differences are ±1°, half ±7°: a mean square of 25. Headings stated to 3° leave a compass 4° of its own;
    /// then all lie within 1.96 · 5°, and without it, within 1.96 · 3°, half of them do.
    #[test]
    fn derived_coverage_of_known_errors() {
        let off_deg = [1.0, -1.0, 7.0, -7.0].map(|deg: f64| (deg + 30.0).to_radians());
        let got = circular(CompassReference::True, &off_deg.map(|rad| Estimate::new(rad, 3f64.to_radians())));
        assert!((got.offset.deg() - 30.0).abs() < 1e-9);
        assert!((got.stated.deg() - 3.0).abs() < 1e-9 && (got.own_scatter.deg() - 4.0).abs() < 1e-9, "{got:?}");
        assert_eq!((got.within95, got.within95_exact), (1.0, 0.5));
        // Headings that claim to be worse than they differ leave nothing for the compass.
        let careful = circular(CompassReference::True, &off_deg.map(|rad| Estimate::new(rad, 6f64.to_radians())));
        assert_eq!((careful.own_scatter.deg(), careful.within95), (0.0, 1.0));
    }
}
