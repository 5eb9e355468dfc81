//! Sensitivity S: by how many °/s the aircraft turns for each N·m, from runs with a known weight hung on one side.
//!
//! Weight and arm are uncertain as well as the turn, so the line is fitted with errors in both
//! ([`driftless_statistics::regression`]). Its slope is S, its intercept the turn without a weight.

use driftless_statistics::StatisticsError;
use driftless_statistics::distributions::{normal_equivalent_std_u, p_of_zero, welch_satterthwaite_dof};
use driftless_statistics::regression::{Line, LinePoint, Scatter, fit_line};
use driftless_units::{Estimate, GRAVITY_MPS2, Interval};

/// Range of S on paraglider wings with a motor, °/s per N·m, for an indication where no known weight was flown. Common
/// practice, no source: from the rules of the trade that 1 cm of weight shift (8 N·m) holds a third of a turn a minute,
/// and that an uncompensated unit of 10 to 15 kW turns 245 to 360°/min at full power.
pub const TYPICAL_DEG_S_PER_NM: Interval<f64> = Interval { low: 0.05, high: 0.3 };

/// One run with a known weight.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct KnownWeight {
    /// Mass hung on, kg; zero for a run without.
    pub mass_kg: f64,
    /// Its standard uncertainty, kg.
    pub mass_std_u_kg: f64,
    /// Arm from the middle, m, right positive.
    pub arm_m: f64,
    /// Its standard uncertainty, m.
    pub arm_std_u_m: f64,
    /// Turn, °/s.
    pub turn_deg_s: Estimate<f64>,
}

impl KnownWeight {
    /// Moment of the weight, N·m: m g y.
    pub fn moment_nm(&self) -> f64 {
        lateral_moment_nm(self.mass_kg, self.arm_m)
    }
    fn moment_std_u_nm(&self) -> f64 {
        GRAVITY_MPS2 * (self.arm_m * self.mass_std_u_kg).hypot(self.mass_kg * self.arm_std_u_m)
    }
}

/// Moment of a mass moved sideways, N·m: m g y. A hang-point offset works the same way.
pub(crate) fn lateral_moment_nm(mass_kg: f64, arm_m: f64) -> f64 {
    mass_kg * GRAVITY_MPS2 * arm_m
}

/// A measured sensitivity.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sensitivity {
    /// S, °/s per N·m.
    pub deg_s_per_nm: Estimate<f64>,
    /// Turn without a weight, °/s.
    pub without_weight_deg_s: Estimate<f64>,
    /// Two-sided p-value of "the weight does nothing".
    pub p_of_no_effect: f64,
    /// The line behind it.
    pub line: Line,
}

impl Sensitivity {
    /// S is told from zero at 95 %.
    pub fn resolved(&self) -> bool {
        self.p_of_no_effect < 0.05
    }
}

/// Fits S. `common_relative_std_u` is what all moments share (one pair of scales, one tape measure): it cannot be seen in
/// the scatter, so it is added to the slope.
///
/// # Errors
/// As [`fit_line`]; also a common uncertainty that is negative or no number.
pub fn fit_sensitivity(runs: &[KnownWeight], common_relative_std_u: f64) -> Result<Sensitivity, StatisticsError> {
    if !(common_relative_std_u.is_finite() && common_relative_std_u >= 0.0) {
        return Err(StatisticsError::NotFinite {
            what: "a sensitivity",
            quantity: "the common relative uncertainty of the moments",
            value: common_relative_std_u,
        });
    }
    let point = |run: &KnownWeight| {
        let turn_std_u = normal_equivalent_std_u(&run.turn_deg_s);
        LinePoint::new(run.moment_nm(), run.moment_std_u_nm(), run.turn_deg_s.value, turn_std_u)
    };
    let line = fit_line(&runs.iter().map(point).collect::<Vec<_>>(), Scatter::WidenOnly)?;
    let shared = common_relative_std_u * line.slope.value.abs();
    let dof = welch_satterthwaite_dof(&[(line.slope.std_u.powi(2), line.slope.dof), (shared.powi(2), f64::INFINITY)]);
    let slope = Estimate::with_dof(line.slope.value, line.slope.std_u.hypot(shared), dof);
    Ok(Sensitivity {
        deg_s_per_nm: slope,
        without_weight_deg_s: line.intercept,
        p_of_no_effect: p_of_zero(&slope),
        line,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn run(mass_kg: f64, arm_m: f64, turn: f64) -> KnownWeight {
        KnownWeight { mass_kg, mass_std_u_kg: 0.02, arm_m, arm_std_u_m: 0.01, turn_deg_s: Estimate::new(turn, 0.1) }
    }

    #[test]
    fn derived_slope_of_exact_runs() {
        // 2 kg at 0.4 m: 7.845 N·m; S = 0.12 °/s per N·m, 1.5 °/s to the left without a weight.
        let turn = |moment: f64| -1.5 + 0.12 * moment;
        let runs = [(2.0, -0.4), (0.0, 0.0), (2.0, 0.4), (4.0, 0.4)]
            .map(|(mass, arm)| run(mass, arm, turn(lateral_moment_nm(mass, arm))));
        assert!((runs[2].moment_nm() - 7.845_32).abs() < 1e-9);
        let found = fit_sensitivity(&runs, 0.0).unwrap();
        assert!((found.deg_s_per_nm.value - 0.12).abs() < 1e-9 && found.resolved());
        assert!((found.without_weight_deg_s.value + 1.5).abs() < 1e-9);
        let shared = fit_sensitivity(&runs, 0.05).unwrap().deg_s_per_nm;
        assert!((shared.std_u.powi(2) - found.deg_s_per_nm.std_u.powi(2) - 0.006_f64.powi(2)).abs() < 1e-12);
    }

    #[test]
    fn derived_a_weight_without_effect_is_not_resolved() {
        let found = fit_sensitivity(&[run(2.0, -0.4, 0.05), run(0.0, 0.0, -0.05), run(2.0, 0.4, 0.05)], 0.0).unwrap();
        assert!(!found.resolved());
        assert!(fit_sensitivity(&[run(2.0, 0.4, 1.0)], 0.0).is_err());
    }

    /// Common practice, no source: the typical range holds 1 cm of weight shift of an 80 kg pilot for a third of a turn a
    /// minute, and the uncompensated turns of the trade (beginner wing 100°/min trim level, 129°/min accelerated, 245°/min
    /// full power; advanced wing 180°/min and a full turn) with the propeller powers and speeds such units have there.
    #[test]
    fn common_practice_typical_sensitivity() {
        let typical = |s: f64| (TYPICAL_DEG_S_PER_NM.low..=TYPICAL_DEG_S_PER_NM.high).contains(&s);
        assert!(typical(120.0 / 60.0 / lateral_moment_nm(80.0, 0.01)));
        for (deg_min, power_w, rpm) in [
            (100.0, 4000.0, 1900.0),
            (129.0, 6000.0, 2150.0),
            (245.0, 10_000.0, 2500.0),
            (180.0, 4000.0, 1900.0),
            (360.0, 15_000.0, 2800.0),
        ] {
            assert!(typical(deg_min / 60.0 / crate::physics::torque::propeller_torque_nm(power_w, rpm, 1.0)));
        }
    }
}
