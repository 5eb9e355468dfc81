//! What the sensor saw in each window: heading change, swing, hint at the hands.

use super::on_flight::Aligned;
use crate::WindowMeasurement;
use crate::constants::{FASTEST_SWING_HZ, SLOWEST_SWING_HZ};
use driftless_inertial::constants::USUAL_SWING_S;
use driftless_inertial::swing::{HandsHint, Spectrum, SwingAxis, hands_hint, spectrum, swing_period_s};
use driftless_units::{Angle, Estimate, TurnRate};

/// One window as the inertial sensor saw it.
#[derive(Debug, Clone, PartialEq)]
pub struct InertialWindow {
    /// Number of the window.
    pub id: u32,
    /// Turn rate by GPS alone: by the estimate before any sensor took part in it.
    pub gps_alone: Option<Estimate<TurnRate>>,
    /// Heading change between start and end by the gyro, with the bias and scale that the whole flight gave; `None` in a
    /// gap of the gyro.
    pub heading_change: Option<Estimate<Angle>>,
    /// Spectrum of the pilot's roll; `None` in a window shorter than twenty seconds or with a gap.
    pub roll: Option<Spectrum>,
    /// Spectrum of his twist about the mean turn.
    pub twist: Option<Spectrum>,
    /// Period of the swing in roll, where one stands out, seconds.
    pub swing_period_s: Option<f64>,
    /// What the motion of the body hints at: never more than a hint.
    pub hint: HandsHint,
}

/// Frequencies of swing and twist, Hz.
const SWING_HZ: [f64; 2] = [SLOWEST_SWING_HZ.value, FASTEST_SWING_HZ.value];

impl InertialWindow {
    /// Root-mean-square swing in roll, degrees.
    pub fn roll_rms_deg(&self) -> Option<f64> {
        self.roll.as_ref().map(|s| s.rms_deg(SWING_HZ))
    }

    /// Root-mean-square twist, degrees.
    pub fn twist_rms_deg(&self) -> Option<f64> {
        self.twist.as_ref().map(|s| s.rms_deg(SWING_HZ))
    }
}

impl Aligned {
    /// The windows of the flight as the sensor saw them; `gps_alone` are their turn rates by GPS alone, in the same order.
    pub(super) fn windows(
        &self,
        windows: &[WindowMeasurement],
        gps_alone: &[Option<Estimate<TurnRate>>],
    ) -> Vec<InertialWindow> {
        let alignment = &self.alignment;
        let path = &alignment.path;
        let on_path = |from_s: f64, to_s: f64| [alignment.sensor_s(from_s), alignment.sensor_s(to_s)];
        let spans: Vec<[f64; 2]> = windows.iter().map(|w| on_path(w.window.let_go_s, w.window.take_over_s)).collect();
        let [first, .., last] = self.headings.t_s.as_slice() else { return Vec::new() };
        let flight_s = on_path(*first, *last);
        let seen = |(measured, gps_alone): (&WindowMeasurement, &Option<Estimate<TurnRate>>)| {
            let window = &measured.window;
            let [from_s, to_s] = on_path(window.start_s, window.end_s);
            let roll = spectrum(path, SwingAxis::Roll, from_s, to_s);
            InertialWindow {
                id: window.id,
                gps_alone: *gps_alone,
                heading_change: self.heading_change(window.start_s, window.end_s),
                swing_period_s: roll.as_ref().and_then(swing_period_s),
                roll,
                twist: spectrum(path, SwingAxis::Yaw, from_s, to_s),
                hint: hands_hint(path, from_s, to_s, flight_s, &spans),
            }
        };
        windows.iter().zip(gps_alone).map(seen).collect()
    }

    /// Turn rate by the gyro about a moment, rad/s, bias left in; 0 in a gap.
    fn turn_rate_at(&self, t_s: f64) -> f64 {
        let half_s = 0.5 * self.swing_period_s.unwrap_or(USUAL_SWING_S.value);
        match self.alignment.headings_rad(&[t_s - half_s, t_s + half_s], 2.0 * half_s)[..] {
            [Some(before), Some(after)] => (after - before) / (2.0 * half_s),
            _ => 0.0,
        }
    }

    /// The uncertainty holds the twist left at both ends, the gyro's noise, bias and its walk since the middle of the
    /// flight, scale, and the clock where the turn rates of the two ends differ.
    fn heading_change(&self, from_s: f64, to_s: f64) -> Option<Estimate<Angle>> {
        let (alignment, rates) = (&self.alignment, &self.rates);
        let run = |t_s: f64| alignment.path.run_at(alignment.sensor_s(t_s));
        if run(from_s)? != run(to_s)? {
            return None;
        }
        let ends = alignment.headings_rad(&[from_s, to_s], self.swing_period_s.unwrap_or(USUAL_SWING_S.value));
        let [Some(from), Some(to)] = ends[..] else { return None };
        let length_s = to_s - from_s;
        let change = to - from - alignment.scale.value * alignment.bias_rad_s.value * length_s;
        let sample = rates.measurements.first()?;
        let white = sample.white_std_u_rad * (length_s / (sample.end_s - sample.start_s)).sqrt();
        let walk_s = (0.5 * (from_s + to_s) - alignment.at_s).abs();
        let bias = alignment.bias_rad_s.std_u.hypot(rates.bias_walk * walk_s.sqrt()) * length_s;
        let ends = std::f64::consts::SQRT_2 * sample.end_std_u_rad;
        let scale = alignment.scale.std_u / alignment.scale.value * change;
        let clock = alignment.offset_s.std_u * (self.turn_rate_at(to_s) - self.turn_rate_at(from_s));
        let std_u = [ends, white, bias, scale, clock].into_iter().map(|u| u * u).sum::<f64>().sqrt();
        Some(Estimate::new(Angle::from_rad(change), Angle::from_rad(std_u)))
    }
}
