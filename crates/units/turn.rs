//! Turn rates and the coordinated turn.

use crate::Angle;
use serde::{Deserialize, Serialize};

/// Standard gravity, m/s² (ISO 80000-3; exact by definition, CGPM 1901).
pub const GRAVITY_MPS2: f64 = 9.80665;

/// A rate of turn, to the right positive; stored in radians per second.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default, Serialize, Deserialize)]
#[serde(transparent)]
pub struct TurnRate(f64);

impl TurnRate {
    /// From radians per second.
    pub const fn from_rad_s(rad_s: f64) -> Self {
        Self(rad_s)
    }
    /// From degrees per second.
    pub const fn from_deg_s(deg_s: f64) -> Self {
        Self(Angle::from_deg(deg_s).rad())
    }
    /// In radians per second.
    pub const fn rad_s(self) -> f64 {
        self.0
    }
    /// In degrees per second.
    pub const fn deg_s(self) -> f64 {
        Angle::from_rad(self.0).deg()
    }
    /// In degrees per minute.
    pub const fn deg_min(self) -> f64 {
        self.deg_s() * 60.0
    }
    /// Seconds for a quarter turn, without sign; infinite when nothing turns.
    pub fn seconds_per_90deg(self) -> f64 {
        90.0 / self.deg_s().abs()
    }
}

/// Bank of a coordinated level turn, radians, right positive: tan φ = V ω / g.
///
/// Source: FAA-H-8083-25, *Pilot's Handbook of Aeronautical Knowledge*, "Rate of turn" (same relation in knots).
pub fn bank_rad(airspeed_mps: f64, rate: TurnRate) -> f64 {
    (airspeed_mps * rate.rad_s() / GRAVITY_MPS2).atan()
}

/// Radius of the circle flown through the air, metres, without sign: V / ω; infinite when nothing turns.
pub fn air_radius_m(airspeed_mps: f64, rate: TurnRate) -> f64 {
    airspeed_mps / rate.rad_s().abs()
}

/// Load factor of a coordinated level turn: 1 / cos φ.
///
/// Source: FAA-H-8083-25, "Load factors in steep turns".
pub fn load_factor(bank_rad: f64) -> f64 {
    1.0 / bank_rad.cos()
}

#[cfg(test)]
mod tests {
    use super::*;

    const KNOT_MPS: f64 = 1852.0 / 3600.0;
    const FOOT_M: f64 = 0.3048;

    /// FAA-H-8083-25, rate and radius of turn (from memory): for 250 kt the handbook's formulas with its rounded constants
    /// (1,091 and 11.26) are recomputed, the other two are printed. The constants allow 0.12 % on the rate and 0.32 % on the
    /// radius (0.30 %, and a foot of rounding).
    #[test]
    fn published_faa_rate_and_radius_of_turn() {
        for (kt, bank_deg, rate_deg_s, exact_deg_s, radius_ft) in [
            (120.0, 30.0, 5.25, 5.254882, 2215.0),
            (240.0, 30.0, 2.6245, 2.627441, 8861.0),
            (250.0, 30.0, 2.5196, 2.522343, 9614.0),
        ] {
            let v_mps: f64 = kt * KNOT_MPS;
            let rate = TurnRate::from_rad_s(GRAVITY_MPS2 * f64::tan(Angle::from_deg(bank_deg).rad()) / v_mps);
            assert!((rate.deg_s() - exact_deg_s).abs() < 1e-6);
            assert!((rate.deg_s() / rate_deg_s - 1.0).abs() < 1.2e-3);
            assert!((air_radius_m(v_mps, rate) / FOOT_M / radius_ft - 1.0).abs() < 3.2e-3);
            assert!((bank_rad(v_mps, rate) - Angle::from_deg(bank_deg).rad()).abs() < 1e-12);
        }
    }

    /// Printed turn examples from public ground-school pages; the printed digits set the tolerance.
    #[test]
    fn published_turn_examples() {
        // 100 kt at 3 °/s has R = 3223 ft; 3 °/s with 20° bank needs R = 4271.4 ft and 132 kt
        // (wannamaker.org/aviation/turns).
        let rate_one = TurnRate::from_deg_s(3.0);
        assert!((air_radius_m(100.0 * KNOT_MPS, rate_one) / FOOT_M - 3223.0).abs() < 0.6);
        let v_mps = 132.51 * KNOT_MPS;
        assert!((bank_rad(v_mps, rate_one) - Angle::from_deg(20.0).rad()).abs() < 1e-4);
        assert!((air_radius_m(v_mps, rate_one) / FOOT_M - 4271.44).abs() < 0.2);
        // 60 kt at 20° bank: 6.63 °/s, a full circle in 54.3 s (pprune 178506).
        let rate = TurnRate::from_rad_s(GRAVITY_MPS2 * f64::tan(Angle::from_deg(20.0).rad()) / (60.0 * KNOT_MPS));
        assert!((rate.deg_s() - 6.63).abs() < 0.005);
        assert!((4.0 * rate.seconds_per_90deg() - 54.3).abs() < 0.05);
        // Rate one: 120° of turn in 40 s (atplquestions.com, instrumentation).
        assert!((rate_one.seconds_per_90deg() * 120.0 / 90.0 - 40.0).abs() < 1e-12);
    }

    /// Standard-rate banks recomputed from tan φ = V ω / g (reference values of the project, two implementations).
    #[test]
    fn derived_standard_rate_banks() {
        for (kt, bank_deg) in [(80.0, 12.393), (100.0, 15.359), (120.0, 18.243), (160.0, 23.724), (240.0, 33.394)] {
            let bank = Angle::from_rad(bank_rad(kt * KNOT_MPS, TurnRate::from_deg_s(3.0)));
            assert!((bank.deg() - bank_deg).abs() < 5e-4);
        }
    }

    /// 1/cos of the bank, which the load-factor chart of FAA-H-8083-25 draws (from memory); recomputed to five digits, where
    /// the handbook prints fewer.
    #[test]
    #[expect(clippy::approx_constant, reason = "the recomputed digits, not the constant")]
    fn derived_load_factors() {
        for (bank_deg, n) in [(15.0, 1.0353), (30.0, 1.1547), (45.0, 1.4142), (60.0, 2.0), (75.0, 3.8637)] {
            assert!((load_factor(Angle::from_deg(bank_deg).rad()) - n).abs() < 5e-5);
        }
    }

    /// Paramotor-sized turns, derived here: bank, radius, seconds per quarter turn.
    #[test]
    fn derived_paramotor_turns() {
        for (v, deg_s, bank_deg, radius_m, quarter_s) in
            [(10.0, 3.0, 3.056, 190.99, 30.0), (10.5, 6.0, 6.397, 100.27, 15.0), (12.0, -12.0, -14.375, 57.30, 7.5)]
        {
            let rate = TurnRate::from_deg_s(deg_s);
            assert!((Angle::from_rad(bank_rad(v, rate)).deg() - bank_deg).abs() < 1e-3);
            assert!((air_radius_m(v, rate) - radius_m).abs() < 5e-3);
            assert!((rate.seconds_per_90deg() - quarter_s).abs() < 1e-12);
        }
    }
}
