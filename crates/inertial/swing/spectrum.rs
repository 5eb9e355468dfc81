//! Spectrum of roll and yaw by Welch's method: P. D. Welch, IEEE Trans. Audio Electroacoustics 15 (1967) 70-73.

use crate::attitude::AttitudePath;
use crate::constants::{FASTEST_SWING_HZ, PEAK_OVER_MEDIAN, SEGMENT_S, SLOWEST_SWING_HZ};
use driftless_units::median;
use nalgebra::Vector3;
use rustfft::{FftPlanner, num_complex::Complex};
use std::f64::consts::TAU;

/// What swings.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SwingAxis {
    /// Roll: right shoulder down.
    Roll,
    /// Pitch: nose up.
    Pitch,
    /// Yaw about the mean turn: twist.
    Yaw,
}

/// One-sided power spectral density of an angle.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Spectrum {
    /// Frequencies, Hz, rising, without zero.
    pub frequency_hz: Vec<f64>,
    /// Density, degrees squared per Hz. Its sum times the step is the variance.
    pub deg2_per_hz: Vec<f64>,
}

/// Spectrum of an axis within `[from_s, to_s]` of the path's clock; `None` where it is shorter than one segment or broken
/// by a gap. Segments of twenty seconds overlap by half, under a Hann window, each without its mean and trend.
pub fn spectrum(path: &AttitudePath, axis: SwingAxis, from_s: f64, to_s: f64) -> Option<Spectrum> {
    let first = ((from_s - path.start_s) / path.step_s).ceil().max(0.0) as usize;
    let last = (((to_s - path.start_s) / path.step_s).floor().max(0.0) as usize).min(path.len().checked_sub(1)?);
    let length = (SEGMENT_S.value / path.step_s).round() as usize;
    if last < first + length || path.run[first] == 0 || path.run[first] != path.run[last] {
        return None;
    }
    let angles: Vec<f64> = (first..=last).map(|i| angle_deg(path, axis, i)).collect();
    let window: Vec<f64> = (0..length).map(|k| 0.5 - 0.5 * (TAU * (k as f64 + 0.5) / length as f64).cos()).collect();
    let power: f64 = window.iter().map(|w| w * w).sum();
    let transform = FftPlanner::new().plan_fft_forward(length);
    let half = length / 2;
    let (mut sums, mut count) = (vec![0.0; half], 0.0);
    for start in (0..=angles.len() - length).step_by(half) {
        let mut buffer: Vec<Complex<f64>> = without_trend(&angles[start..start + length])
            .zip(&window)
            .map(|(angle, weight)| Complex::new(angle * weight, 0.0))
            .collect();
        transform.process(&mut buffer);
        for (sum, value) in sums.iter_mut().zip(&buffer[1..=half]) {
            *sum += value.norm_sqr();
        }
        count += 1.0;
    }
    let scale = 2.0 * path.step_s / (power * count);
    let step_hz = 1.0 / (length as f64 * path.step_s);
    Some(Spectrum {
        frequency_hz: (1..=half).map(|k| k as f64 * step_hz).collect(),
        deg2_per_hz: sums.into_iter().map(|sum| sum * scale).collect(),
    })
}

/// The period of the swing: the highest peak between 1.4 and 7 s, if it stands out.
pub fn swing_period_s(spectrum: &Spectrum) -> Option<f64> {
    let band: Vec<(f64, f64)> = spectrum
        .frequency_hz
        .iter()
        .copied()
        .zip(spectrum.deg2_per_hz.iter().copied())
        .filter(|(hz, _)| (SLOWEST_SWING_HZ.value..=FASTEST_SWING_HZ.value).contains(hz))
        .collect();
    let (hz, peak) = band.iter().copied().max_by(|a, b| a.1.total_cmp(&b.1))?;
    let typical = median(band.iter().map(|b| b.1))?;
    let inside = hz > band.first()?.0 && hz < band.last()?.0;
    (inside && peak > PEAK_OVER_MEDIAN.value * typical).then_some(1.0 / hz)
}

impl Spectrum {
    /// Root-mean-square within a band, degrees.
    pub fn rms_deg(&self, band_hz: [f64; 2]) -> f64 {
        let step_hz = self.frequency_hz.first().copied().unwrap_or(0.0);
        let inside =
            self.frequency_hz.iter().zip(&self.deg2_per_hz).filter(|(hz, _)| (band_hz[0]..band_hz[1]).contains(*hz));
        (inside.map(|(_, density)| density * step_hz).sum::<f64>()).sqrt()
    }
}

fn angle_deg(path: &AttitudePath, axis: SwingAxis, i: usize) -> f64 {
    let attitude = path.attitude[i];
    match axis {
        SwingAxis::Roll => (attitude * Vector3::y()).z.clamp(-1.0, 1.0).asin().to_degrees(),
        SwingAxis::Pitch => (-(attitude * Vector3::x()).z).clamp(-1.0, 1.0).asin().to_degrees(),
        SwingAxis::Yaw => path.heading_rad[i].to_degrees(),
    }
}

/// Values less their least-squares line.
fn without_trend(values: &[f64]) -> impl Iterator<Item = f64> + '_ {
    let n = values.len() as f64;
    let middle = 0.5 * (n - 1.0);
    let mean = values.iter().sum::<f64>() / n;
    let (mut products, mut squares) = (0.0, 0.0);
    for (k, value) in values.iter().enumerate() {
        let x = k as f64 - middle;
        products += x * (value - mean);
        squares += x * x;
    }
    let slope = products / squares;
    values.iter().enumerate().map(move |(k, value)| value - mean - slope * (k as f64 - middle))
}

#[cfg(test)]
mod tests {
    use super::*;
    use nalgebra::UnitQuaternion;

    /// A roll of given amplitude and period over a steady turn.
    fn rolling(amplitude_deg: f64, period_s: f64) -> AttitudePath {
        let attitude = |k: usize| {
            let roll = amplitude_deg.to_radians() * (TAU * k as f64 * 0.05 / period_s).sin();
            UnitQuaternion::from_euler_angles(roll, 0.0, 0.1 * k as f64 * 0.05)
        };
        let heading = (0..1400).map(|k| 0.1 * f64::from(k) * 0.05).collect();
        AttitudePath::new(100.0, 0.05, heading, (0..1400).map(attitude).collect(), vec![1; 1400])
    }

    /// A sine of amplitude a has the variance a²/2, wherever it falls between the bins, and its period is found.
    #[test]
    fn derived_a_sine_keeps_its_power_and_period() {
        for (amplitude, period) in [(4.0, 2.5), (2.0, 3.3)] {
            let whole = spectrum(&rolling(amplitude, period), SwingAxis::Roll, 100.0, 169.0).unwrap();
            let rms = whole.rms_deg([0.0, 10.0]);
            assert!((rms / (amplitude / 2_f64.sqrt()) - 1.0).abs() < 0.02, "{rms}");
            // One bin is 0.05 Hz.
            assert!((1.0 / swing_period_s(&whole).unwrap() - 1.0 / period).abs() <= 0.05);
            // A steady turn is a trend, not a twist.
            let yaw = spectrum(&rolling(amplitude, period), SwingAxis::Yaw, 100.0, 169.0).unwrap();
            assert!(yaw.rms_deg([0.0, 10.0]) < 1e-6);
            assert_eq!(swing_period_s(&yaw), None);
        }
    }

    #[test]
    fn short_or_broken_spans_have_no_spectrum() {
        let mut broken = rolling(3.0, 3.0);
        assert_eq!(spectrum(&broken, SwingAxis::Roll, 100.0, 115.0), None);
        broken.run = (0..1400).map(|k| 1 + k / 700).collect();
        assert_eq!(spectrum(&broken, SwingAxis::Roll, 100.0, 169.0), None);
    }
}
