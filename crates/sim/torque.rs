//! From engine power to the turn that is left: the torque model.
//!
//! The air takes the torque Q = P / (2π n) from the propeller (power P, propeller speed n = engine speed over
//! reduction ratio) and the aircraft feels it the other way round, whichever way the crankshaft turns: a propeller
//! that turns clockwise seen from behind turns the aircraft to the left. A torque device works against it, with a
//! constant moment or with a share of the torque. What is left, times the sensitivity of the wing in that power
//! setting (°/s per N·m), is the residual turn.
//!
//! Check values: US Army TM 9-8000, paragraph 2-31 (prony brake); see the tests.

use crate::scenario::{Aircraft, Device, PowerSetting, Propeller, Residual, TorquePoint};
use driftless_units::TurnRate;
use std::f64::consts::TAU;

/// Torque on the propeller shaft, N·m, without sign.
///
/// `power_kw` is what the propeller takes up, `engine_rpm` the speed of the crankshaft. Infinite or NaN when the
/// engine does not turn.
pub fn shaft_torque_nm(power_kw: f64, engine_rpm: f64, reduction_ratio: f64) -> f64 {
    let propeller_rev_s = engine_rpm / reduction_ratio / 60.0;
    power_kw * 1000.0 / (TAU * propeller_rev_s)
}

/// The moment left to turn the aircraft, N·m, right positive.
pub fn residual_moment_nm(propeller: &Propeller, point: &TorquePoint) -> f64 {
    let torque_nm = shaft_torque_nm(point.power_kw, point.engine_rpm, propeller.reduction_ratio);
    let against_nm = match propeller.device {
        Device::None => 0.0,
        Device::ConstantMomentNm(moment_nm) => moment_nm,
        Device::PropwashShare(share) => share * torque_nm,
    };
    let reaction_sign = if propeller.clockwise_from_behind { -1.0 } else { 1.0 };
    reaction_sign * (torque_nm - against_nm)
}

/// The residual turn of a power setting.
pub(crate) fn residual_turn(aircraft: &Aircraft, setting: &PowerSetting) -> TurnRate {
    match (setting.residual, &aircraft.propeller) {
        (Residual::RateDegS(rate), _) => TurnRate::from_deg_s(rate),
        (Residual::Torque(point), Some(propeller)) => {
            TurnRate::from_deg_s(point.sensitivity_deg_s_per_nm * residual_moment_nm(propeller, &point))
        }
        // Refused by the check of the scenario; without a propeller there is no torque.
        (Residual::Torque(_), None) => TurnRate::default(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// US Army TM 9-8000, paragraph 2-31: 300 lb on a 2 ft arm at 3000 rpm is 342.55 brake horsepower (printed with
    /// 6.28 for 2π, which shifts the third decimal: 0.1 %).
    #[test]
    fn published_prony_brake() {
        let lb_ft_nm = 4.448_221_615_260_5 * 0.3048;
        let torque_nm = shaft_torque_nm(342.55 * 0.745_699_87, 3000.0, 1.0);
        assert!((torque_nm / lb_ft_nm / 600.0 - 1.0).abs() < 1e-3, "{torque_nm}");
    }

    #[test]
    fn derived_torque_of_ten_kilowatts_and_of_a_reduction_drive() {
        // 10 kW at 1000 rpm: 30,000/π N·m.
        assert!((shaft_torque_nm(10.0, 1000.0, 1.0) - 95.492_97).abs() < 1e-5);
        // 21 hp at 9500 rpm: 15.741 N·m at the crank, 45.177 N·m at the propeller through 2.87:1 (printed digits).
        let kw = 21.0 * 0.745_699_87;
        assert!((shaft_torque_nm(kw, 9500.0, 1.0) - 15.741).abs() < 5e-4);
        assert!((shaft_torque_nm(kw, 9500.0, 2.87) - 45.177).abs() < 5e-4);
    }

    #[test]
    fn a_constant_moment_overcorrects_with_the_power_off_and_propwash_does_not() {
        let full = TorquePoint { power_kw: 15.0, engine_rpm: 8000.0, sensitivity_deg_s_per_nm: 0.1 };
        let off = TorquePoint { power_kw: 0.0, ..full };
        let propeller = |device| Propeller { clockwise_from_behind: true, reduction_ratio: 2.7, device };
        let bare = residual_moment_nm(&propeller(Device::None), &full);
        assert!(bare < 0.0, "a propeller turning clockwise from behind turns the aircraft left");
        assert_eq!(residual_moment_nm(&propeller(Device::None), &off), 0.0);
        let offset = propeller(Device::ConstantMomentNm(20.0));
        assert!((residual_moment_nm(&offset, &full) - (bare + 20.0)).abs() < 1e-12);
        assert!((residual_moment_nm(&offset, &off) - 20.0).abs() < 1e-12, "turns the other way with the power off");
        let wash = propeller(Device::PropwashShare(0.6));
        assert!((residual_moment_nm(&wash, &full) - 0.4 * bare).abs() < 1e-12);
        assert_eq!(residual_moment_nm(&wash, &off), 0.0);
    }
}
