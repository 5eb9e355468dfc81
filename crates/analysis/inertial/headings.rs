//! Headings of flight, gyro and compass beside each other.

use driftless_inertial::align::{Alignment, FlightColumns};
use driftless_inertial::compass::Compass;
use driftless_inertial::constants::USUAL_SWING_S;
use driftless_units::wrap_180_deg;

/// Three headings of one flight, and how they differ. All in degrees, true.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Headings {
    /// Whether the flight's heading is that of the whole-flight estimate; else it is the direction of the ground velocity
    /// less one wind.
    pub by_estimate: bool,
    /// Track times, seconds.
    pub t_s: Vec<f64>,
    /// Heading of the flight from GPS and wind at those times, unwrapped.
    pub flight_deg: Vec<f64>,
    /// Gyro heading less that, averaged over the swing: one clock, bias and scale for the flight, and a zero of its own
    /// for each run without a gap; within half a turn, for a loop is no difference of heading. `None` in gaps of the
    /// gyro.
    pub gyro_less_flight_deg: Vec<Option<f64>>,
    /// Track times of the compass headings; empty without a compass.
    pub compass_t_s: Vec<f64>,
    /// Compass less flight at those times, within half a turn, declination taken into account.
    pub compass_less_flight_deg: Vec<f64>,
    /// How gyro and flight differ.
    pub gyro: Option<Difference>,
    /// How compass and flight differ.
    pub compass: Option<Difference>,
}

/// A difference of two headings over a flight, degrees.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Difference {
    /// Mean.
    pub mean_deg: f64,
    /// Root-mean-square about the mean.
    pub scatter_deg: f64,
    /// Share of 95 % of the moments lies within this of the mean.
    pub within95_deg: f64,
    /// Number of moments compared.
    pub count: usize,
}

impl Difference {
    /// `None` without values.
    fn of(values: impl Iterator<Item = f64>) -> Option<Self> {
        let values: Vec<f64> = values.filter(|v| v.is_finite()).collect();
        let n = values.len() as f64;
        let mean_deg = values.iter().sum::<f64>() / n;
        let mut apart: Vec<f64> = values.iter().map(|v| (v - mean_deg).abs()).collect();
        apart.sort_by(f64::total_cmp);
        let scatter_deg = (apart.iter().map(|a| a * a).sum::<f64>() / n).sqrt();
        let within95_deg = *apart.get((apart.len() * 19 / 20).min(apart.len().checked_sub(1)?))?;
        Some(Self { mean_deg, scatter_deg, within95_deg, count: values.len() })
    }
}

/// The headings of an aligned sensor, and of its compass where it has one, beside those of the flight.
pub(super) fn compare_headings(
    alignment: &Alignment,
    swing_period_s: Option<f64>,
    compass: Option<&Compass>,
    columns: &FlightColumns,
    by_estimate: bool,
) -> Headings {
    let swing_s = swing_period_s.unwrap_or(USUAL_SWING_S.value);
    let bias_deg_s = (alignment.scale.value * alignment.bias_rad_s.value).to_degrees();
    let flight_deg: Vec<f64> = columns.heading_rad.iter().map(|h| h.to_degrees()).collect();
    let gyro_deg: Vec<Option<f64>> = alignment
        .headings_rad(&columns.t_s, swing_s)
        .into_iter()
        .zip(&columns.t_s)
        .map(|(heading, t)| Some(heading?.to_degrees() - bias_deg_s * (t - alignment.at_s)))
        .collect();
    let runs: Vec<Option<u32>> = columns.t_s.iter().map(|t| alignment.path.run_at(alignment.sensor_s(*t))).collect();
    let mut apart: Vec<Option<f64>> = gyro_deg.iter().zip(&flight_deg).map(|(g, f)| Some((*g)? - f)).collect();
    set_zeros(&mut apart, &runs);
    let nodes = columns.nodes();
    let (compass_t_s, compass_less_flight_deg): (Vec<f64>, Vec<f64>) = compass
        .iter()
        .flat_map(|c| c.t_s.iter().zip(&c.heading_rad))
        .filter_map(|(t, h)| Some((*t, wrap_180_deg((h - nodes.heading_at(*t)?).to_degrees()))))
        .unzip();
    Headings {
        by_estimate,
        t_s: columns.t_s.clone(),
        gyro: Difference::of(apart.iter().flatten().copied()),
        compass: Difference::of(compass_less_flight_deg.iter().copied()),
        flight_deg,
        gyro_less_flight_deg: apart,
        compass_t_s,
        compass_less_flight_deg,
    }
}

/// The zero of a gyro heading is not known: each run without a gap is laid on the flight by its median.
fn set_zeros(apart: &mut [Option<f64>], runs: &[Option<u32>]) {
    let mut known: Vec<u32> = runs.iter().copied().flatten().collect();
    known.dedup();
    for run in known {
        let inside = |i: usize| runs[i] == Some(run);
        let mut values: Vec<f64> = (0..apart.len()).filter(|i| inside(*i)).filter_map(|i| apart[i]).collect();
        if values.is_empty() {
            continue;
        }
        // First about the mean direction, so that whole turns (a loop flown) and the place of the cut do not matter.
        let (sine, cosine) =
            values.iter().map(|v| v.to_radians().sin_cos()).fold((0.0, 0.0), |s, v| (s.0 + v.0, s.1 + v.1));
        let mean = sine.atan2(cosine).to_degrees();
        values.iter_mut().for_each(|v| *v = wrap_180_deg(*v - mean));
        values.sort_by(f64::total_cmp);
        let zero = mean + values[values.len() / 2];
        for (i, value) in apart.iter_mut().enumerate() {
            if runs[i] == Some(run) {
                *value = value.map(|v| wrap_180_deg(v - zero));
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_run_has_a_zero_of_its_own() {
        // The third of the first run is a loop later: the same direction.
        let mut apart = [Some(179.0), Some(181.0), Some(540.0), None, Some(-7.0), Some(-7.0)];
        set_zeros(&mut apart, &[Some(1), Some(1), Some(1), None, Some(2), Some(2)]);
        let close = |found: Option<f64>, meant: f64| (found.unwrap() - meant).abs() < 1e-9;
        for (found, meant) in [(0, -1.0), (1, 1.0), (2, 0.0), (4, 0.0), (5, 0.0)] {
            assert!(close(apart[found], meant), "{apart:?}");
        }
        assert_eq!(apart[3], None);
    }

    #[test]
    fn derived_a_difference_has_mean_and_scatter() {
        let found = Difference::of([1.0, 3.0, f64::NAN, 1.0, 3.0].into_iter()).unwrap();
        assert_eq!((found.mean_deg, found.scatter_deg, found.within95_deg, found.count), (2.0, 1.0, 1.0, 4));
        assert_eq!(Difference::of(std::iter::empty()), None);
    }
}
