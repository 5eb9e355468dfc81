//! How coarsely a file rounds its positions, told from the positions themselves.

use crate::Fix;
use crate::frame::metres_per_degree;

/// Coarsest step looked for: 0.01 minute.
const MINUTE_DEG: f64 = 1.0 / 60.0;
/// Values looked at, spread over the file.
const SAMPLE: usize = 2_000;

/// Standard uncertainty per axis that rounding puts on a position, m: step / √12, root mean square of both axes.
///
/// The step is the coarsest of the usual ones (decimal digits of degrees, decimal digits of minutes, single
/// precision) that 99 % of the values lie on; 0 when they are finer than any of them.
pub(crate) fn rounding_m(fixes: &[Fix], used: &[u32]) -> f64 {
    let stride = used.len().div_ceil(SAMPLE).max(1);
    let sample: Vec<&Fix> = used.iter().step_by(stride).filter_map(|&i| fixes.get(i as usize)).collect();
    let Some(first) = sample.first() else { return 0.0 };
    let lat_step = step_deg(&sample.iter().map(|f| f.lat_deg).collect::<Vec<_>>());
    let lon_step = step_deg(&sample.iter().map(|f| f.lon_deg).collect::<Vec<_>>());
    let [per_lat_m, per_lon_m] = metres_per_degree(first.lat_deg);
    let mean_square = 0.5 * ((lat_step * per_lat_m).powi(2) + (lon_step * per_lon_m).powi(2));
    (mean_square / 12.0).sqrt()
}

fn step_deg(values: &[f64]) -> f64 {
    let decimal = (3..=8).map(|digits| 10f64.powi(-digits));
    let minutes = (2..=7).map(|digits| MINUTE_DEG * 10f64.powi(-digits));
    let on_grid = |step: f64| {
        // Rounding of the decimal-to-binary conversion leaves a few parts in 10^16 of the value.
        let slack = 1e-6_f64.max(4.0 * f64::EPSILON * 180.0 / step);
        share(values, |v| (v / step - (v / step).round()).abs() < slack)
    };
    let coarsest = decimal.chain(minutes).filter(|&s| on_grid(s) >= 0.99).fold(0.0, f64::max);
    if coarsest > 0.0 {
        return coarsest;
    }
    if share(values, |v| f64::from(*v as f32) == *v) >= 0.99 {
        let largest = values.iter().fold(0.0_f64, |m, v| m.max(v.abs()));
        // Spacing of single-precision numbers of this size: 2^(exponent - 23).
        return 2f64.powi(largest.max(f64::MIN_POSITIVE).log2().floor() as i32 - 23);
    }
    0.0
}

fn share(values: &[f64], holds: impl Fn(&f64) -> bool) -> f64 {
    values.iter().filter(|v| holds(v)).count() as f64 / values.len().max(1) as f64
}

#[cfg(test)]
mod tests {
    use super::*;

    fn on_step(step: f64) -> Vec<f64> {
        (0..500).map(|i| ((45.1 + 3.7e-4 * f64::from(i).powf(1.1)) / step).round() * step).collect()
    }

    #[test]
    fn the_usual_steps_are_recognised() {
        for step in [1e-3 / 60.0, 1e-5 / 60.0, 1e-4, 1e-5, 1e-6, 1e-7] {
            assert!((step_deg(&on_step(step)) / step - 1.0).abs() < 1e-9, "step {step}");
        }
        let single: Vec<f64> = on_step(1e-12).iter().map(|v| f64::from(*v as f32)).collect();
        assert_eq!(step_deg(&single), 2f64.powi(5 - 23));
        assert_eq!(step_deg(&on_step(1e-12)), 0.0);
    }

    /// IGC 0.001' at 45°: 1.852 m by 1.314 m (WGS-84 metres per degree, recomputed for the project), so
    /// √((1.852² + 1.314²)/2/12) = 0.4635 m.
    #[test]
    fn derived_igc_resolution_at_45_degrees() {
        let fixes: Vec<Fix> =
            on_step(1e-3 / 60.0).into_iter().map(|v| Fix { lat_deg: v - 0.1, lon_deg: v, ..Fix::default() }).collect();
        let got = rounding_m(&fixes, &(0..fixes.len() as u32).collect::<Vec<_>>());
        assert!((got - 0.4635).abs() < 1e-3, "{got}");
    }
}
