//! Propeller torque, and the moment the aircraft feels from it.
//!
//! In steady flight the reaction on airframe and pilot is the torque on the propeller shaft (engine torque x reduction
//! ratio x gear efficiency), opposite to the propeller's rotation, whichever way the crankshaft turns.

use driftless_statistics::StatisticsError;
use driftless_statistics::distributions::welch_satterthwaite_dof;
use driftless_units::Estimate;
use std::f64::consts::TAU;

/// Torque on the propeller shaft, N·m, without sign: Q = P / (2π n), n = engine speed / reduction ratio.
///
/// `power_w` is the power that reaches the propeller, `engine_rpm` the speed of the crankshaft. Infinite or NaN when the
/// engine does not turn.
pub fn propeller_torque_nm(power_w: f64, engine_rpm: f64, reduction_ratio: f64) -> f64 {
    let propeller_rev_per_s = engine_rpm / reduction_ratio / 60.0;
    power_w / (TAU * propeller_rev_per_s)
}

/// Torque on the propeller shaft with its uncertainty (JCGM 100:2008, 5.1.6: relative uncertainties of a quotient).
///
/// # Errors
/// A power, speed or ratio that is not above zero, or an uncertainty that is negative or no number.
pub fn propeller_torque(
    power_w: &Estimate<f64>,
    engine_rpm: &Estimate<f64>,
    reduction_ratio: f64,
) -> Result<Estimate<f64>, StatisticsError> {
    let what = "a propeller torque";
    for (quantity, value) in
        [("the power", power_w.value), ("the engine speed", engine_rpm.value), ("the reduction ratio", reduction_ratio)]
    {
        if !(value.is_finite() && value > 0.0) {
            return Err(StatisticsError::NotPositive { what, quantity, value });
        }
    }
    let torque_nm = propeller_torque_nm(power_w.value, engine_rpm.value, reduction_ratio);
    let parts = [power_w, engine_rpm].map(|e| e.std_u / e.value);
    let relative = parts[0].hypot(parts[1]);
    if !relative.is_finite() || power_w.std_u < 0.0 || engine_rpm.std_u < 0.0 {
        return Err(StatisticsError::NotFinite { what, quantity: "an uncertainty", value: relative });
    }
    let dof = welch_satterthwaite_dof(&[(parts[0].powi(2), power_w.dof), (parts[1].powi(2), engine_rpm.dof)]);
    Ok(Estimate::with_dof(torque_nm, relative * torque_nm, dof))
}

/// The moment that the torque leaves on the aircraft, right positive: a propeller that turns clockwise seen from behind
/// turns the aircraft to the left.
pub fn reaction_moment(torque_nm: &Estimate<f64>, clockwise_from_behind: bool) -> Estimate<f64> {
    let sign = if clockwise_from_behind { -1.0 } else { 1.0 };
    Estimate { value: sign * torque_nm.value, ..*torque_nm }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A mechanical horsepower, W (550 ft·lbf/s).
    const HORSEPOWER_W: f64 = 745.699_871_582_270_2;
    /// A metric horsepower, W (75 kgf·m/s; exact).
    const METRIC_HORSEPOWER_W: f64 = 735.498_75;
    const LB_FT_NM: f64 = 4.448_221_615_260_5 * 0.3048;

    /// US Army TM 9-8000, paragraph 2-31: 342.55 brake horsepower at 3000 rpm are 300 lb on a 2 ft arm. Printed with 6.28
    /// for 2π, which is 0.05 %.
    #[test]
    fn published_prony_brake() {
        let torque_nm = propeller_torque_nm(342.55 * HORSEPOWER_W, 3000.0, 1.0);
        assert!((torque_nm / LB_FT_NM / 600.0 - 1.0).abs() < 6e-4, "{}", torque_nm / LB_FT_NM);
    }

    /// The constants of the rules of thumb, recomputed from the definitions of the units; 5252 is the well-known one.
    #[test]
    fn derived_constants_of_torque() {
        // lb-ft per (hp/rpm), N·m per (kW/rpm), N·m per (metric hp/rpm).
        assert!((propeller_torque_nm(HORSEPOWER_W, 1.0, 1.0) / LB_FT_NM - 5252.1131).abs() < 5e-5);
        assert!((propeller_torque_nm(1000.0, 1.0, 1.0) - 9549.2966).abs() < 5e-5);
        assert!((propeller_torque_nm(METRIC_HORSEPOWER_W, 1.0, 1.0) - 7023.496).abs() < 6e-4);
    }

    /// greentractortalk.com 171962: 20 hp at 3600 rpm is "about 29" lb-ft, 817 lb-ft through an ideal 28:1 (the page
    /// prints 812 = 29 x 28), at 128.6 rpm (the page divides wrongly and prints 124).
    #[test]
    fn published_twenty_horsepower_through_a_gearbox() {
        let crank = propeller_torque_nm(20.0 * HORSEPOWER_W, 3600.0, 1.0);
        assert!((crank / LB_FT_NM - 29.178).abs() < 5e-4 && (crank - 39.561).abs() < 6e-4);
        let geared = propeller_torque_nm(20.0 * HORSEPOWER_W, 3600.0, 28.0) / LB_FT_NM;
        assert!((geared - 817.0).abs() < 0.05);
        assert!((geared / 812.0 - 1.0).abs() < 0.007, "what the rounded 29 lb-ft leaves");
    }

    #[test]
    fn derived_si_and_reduction_drive() {
        assert!((propeller_torque_nm(10_000.0, 1000.0, 1.0) - 95.492_97).abs() < 5e-6);
        let power_w = 21.0 * HORSEPOWER_W;
        assert!((propeller_torque_nm(power_w, 9500.0, 1.0) - 15.741).abs() < 5e-4);
        assert!((propeller_torque_nm(power_w, 9500.0, 2.87) - 45.177).abs() < 5e-4);
        assert!((9500.0_f64 / 2.87 - 3310.1).abs() < 0.05);
    }

    #[test]
    fn derived_uncertainty_of_a_quotient() {
        let torque = propeller_torque(&Estimate::new(12_000.0, 600.0), &Estimate::new(8000.0, 320.0), 2.7).unwrap();
        assert!((torque.std_u / torque.value - 0.05_f64.hypot(0.04)).abs() < 1e-12);
        assert!(reaction_moment(&torque, true).value < 0.0, "clockwise from behind turns the aircraft left");
        assert!(propeller_torque(&Estimate::new(12_000.0, 600.0), &Estimate::new(0.0, 1.0), 2.7).is_err());
    }
}
