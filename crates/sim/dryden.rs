//! Dryden gusts with the low-altitude scales of MIL-F-8785C, *Flying Qualities of Piloted Airplanes* (1980),
//! section 3.7.
//!
//! Along the flight path the spectrum belongs to a first-order filter, across and vertically to
//! (1 + √3 s L/V) / (1 + s L/V)². Both are stepped exactly (no error of discretisation): the second is the sum
//! √3 A + (1 - √3) B of two chained first-order lags, A driven by white noise and B by A, whose stationary
//! covariance is σ²/2 · [[1, ½], [½, ½]].
//!
//! With h the height in feet, held between 10 and 1000 ft, where the form is stated: L_w = h,
//! L_u = L_v = h / (0.177 + 0.000823 h)^1.2, σ_w = 0.1 W20, σ_u = σ_v = σ_w / (0.177 + 0.000823 h)^0.4.

use crate::noise::Stream;

const FOOT_M: f64 = 0.3048;

/// Scale lengths and intensities at one height.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Scales {
    pub(crate) length_horizontal_m: f64,
    pub(crate) length_vertical_m: f64,
    pub(crate) sd_horizontal_mps: f64,
    pub(crate) sd_vertical_mps: f64,
}

/// MIL-F-8785C, low altitude.
pub(crate) fn scales(height_m: f64, wind_20ft_mps: f64) -> Scales {
    let h_ft = (height_m / FOOT_M).clamp(10.0, 1000.0);
    let k = 0.177 + 0.000_823 * h_ft;
    let sd_vertical_mps = 0.1 * wind_20ft_mps;
    Scales {
        length_horizontal_m: h_ft / libm::pow(k, 1.2) * FOOT_M,
        length_vertical_m: h_ft * FOOT_M,
        sd_horizontal_mps: sd_vertical_mps / libm::pow(k, 0.4),
        sd_vertical_mps,
    }
}

/// Unit-variance first-order noise whose time constant may change from step to step.
#[derive(Debug, Clone)]
pub(crate) struct Along(f64);

impl Along {
    pub(crate) fn new(stream: &mut Stream) -> Self {
        Self(stream.normal())
    }
    pub(crate) fn step(&mut self, dt_over_tau: f64, stream: &mut Stream) -> f64 {
        let decay = libm::exp(-dt_over_tau);
        self.0 = decay * self.0 + (1.0 - decay * decay).sqrt() * stream.normal();
        self.0
    }
}

/// Unit-variance noise with the Dryden spectrum across the flight path.
#[derive(Debug, Clone)]
pub(crate) struct Across {
    a: f64,
    b: f64,
}

const ROOT_3: f64 = 1.732_050_807_568_877_2;
const ROOT_HALF: f64 = std::f64::consts::FRAC_1_SQRT_2;

impl Across {
    pub(crate) fn new(stream: &mut Stream) -> Self {
        // Cholesky factor of ½ [[1, ½], [½, ½]].
        let (n1, n2) = (stream.normal(), stream.normal());
        Self { a: ROOT_HALF * n1, b: 0.5 * (ROOT_HALF * n1 + ROOT_HALF * n2) }
    }

    pub(crate) fn step(&mut self, dt_over_tau: f64, stream: &mut Stream) -> f64 {
        let e = libm::exp(-dt_over_tau);
        let c = dt_over_tau * e;
        // Covariance added in the step: P - Φ P Φᵀ with Φ = [[e, 0], [c, e]] and the stationary P.
        let (p_aa, p_ab, p_bb) = (0.5, 0.25, 0.25);
        let q_aa = p_aa - e * e * p_aa;
        let q_ab = p_ab - e * (c * p_aa + e * p_ab);
        let q_bb = p_bb - (c * c * p_aa + 2.0 * c * e * p_ab + e * e * p_bb);
        let l_aa = q_aa.max(0.0).sqrt();
        let l_ab = if l_aa > 0.0 { q_ab / l_aa } else { 0.0 };
        let l_bb = (q_bb - l_ab * l_ab).max(0.0).sqrt();
        let (n1, n2) = (stream.normal(), stream.normal());
        let a = e * self.a + l_aa * n1;
        self.b = c * self.a + e * self.b + l_ab * n1 + l_bb * n2;
        self.a = a;
        self.value()
    }

    pub(crate) fn value(&self) -> f64 {
        ROOT_3 * self.a + (1.0 - ROOT_3) * self.b
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::noise::Source;

    /// The formulas worked by hand: at 1000 ft k = 1, so all lengths are 1000 ft and all intensities 0.1 W20 (the forms join
    /// the medium-altitude ones there); at 100 ft k = 0.2593.
    #[test]
    fn derived_low_altitude_scales() {
        let high = scales(1000.0 * FOOT_M, 10.0);
        assert!((high.length_horizontal_m - 304.8).abs() < 1e-9 && (high.length_vertical_m - 304.8).abs() < 1e-9);
        assert!((high.sd_horizontal_mps - 1.0).abs() < 1e-12 && (high.sd_vertical_mps - 1.0).abs() < 1e-12);
        let low = scales(100.0 * FOOT_M, 10.0);
        assert!((low.length_horizontal_m / FOOT_M - 100.0 * (1.2 * (1.0_f64 / 0.2593).ln()).exp()).abs() < 1e-9);
        assert!((low.sd_horizontal_mps - (0.4 * (1.0_f64 / 0.2593).ln()).exp()).abs() < 1e-12);
    }

    /// Autocorrelation of the spectrum across the path: (1 - t/2τ) e^(-t/τ), so 0.5 e^-1 at t = τ and a sign change
    /// at 2 τ. One independent pair per run: standard error of a product of unit normals with correlation ρ is
    /// √((1 + ρ²)/n).
    #[test]
    fn simulated_gusts_have_the_dryden_autocorrelation() {
        let runs = 6000_u64;
        let n = runs as f64;
        let steps = 40;
        let mut sums = [0.0; 6];
        for seed in 0..runs {
            let mut stream = Stream::new(seed, Source::Gust);
            let mut along = Along::new(&mut stream);
            let mut across = Across::new(&mut stream);
            let (u0, v0) = (along.0, across.value());
            let mut v1 = 0.0;
            for step in 1..=3 * steps {
                along.step(1.0 / f64::from(steps), &mut stream);
                across.step(1.0 / f64::from(steps), &mut stream);
                if step == steps {
                    sums[0] += u0 * along.0 / n;
                    v1 = across.value();
                }
            }
            sums[1] += along.0 * along.0 / n;
            sums[2] += v0 * v0 / n;
            sums[3] += v0 * v1 / n;
            sums[4] += v0 * across.value() / n;
            sums[5] += across.value() * across.value() / n;
        }
        let expected: [f64; 6] = [(-1.0_f64).exp(), 1.0, 1.0, 0.5 * (-1.0_f64).exp(), -0.5 * (-3.0_f64).exp(), 1.0];
        for (i, (got, want)) in sums.into_iter().zip(expected).enumerate() {
            let standard_error = ((1.0 + want * want) / n).sqrt();
            assert!((got - want).abs() < 3.0 * standard_error, "statistic {i}: {got} against {want}");
        }
    }
}
