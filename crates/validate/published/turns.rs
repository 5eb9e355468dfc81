//! Coordinated turns, and the quantiles of Student's t.

use super::{Check, Group};
use driftless_units::{Angle, GRAVITY_MPS2, TurnRate, air_radius_m, bank_rad, coverage_factor, load_factor};

const FAA: &str = "FAA-H-8083-25, rate and radius of turn (printed with rounded constants; from memory)";
const LOAD: &str = "1/cos φ, the formula behind the chart of FAA-H-8083-25, recomputed";
const SCHOOL: &str = "wannamaker.org/aviation/turns";
const FORUM: &str = "pprune 178506";
const RATE_ONE: &str = "tan φ = V ω / g, two implementations";
const NIST: &str = "NIST/SEMATECH e-Handbook 1.3.6.7.2 (from memory; a fourth decimal recomputed)";
const KNOT_MPS: f64 = 1852.0 / 3600.0;
const FOOT_M: f64 = 0.3048;

fn rate(airspeed_kt: f64, bank_deg: f64) -> TurnRate {
    TurnRate::from_rad_s(GRAVITY_MPS2 * bank_deg.to_radians().tan() / (airspeed_kt * KNOT_MPS))
}

pub(super) fn checks() -> Vec<Check> {
    let mut checks = Vec::new();
    for (kt, printed_rate, printed_ft) in [(120.0, 5.25, 2215.0), (240.0, 2.63, 8861.0)] {
        let rate = rate(kt, 30.0);
        // The rate's rounded constant is 0.11 % off, the radius' 0.30 %; the digits printed come on top.
        let what = format!("{kt} kt, bank 30°");
        checks.push(Check::new(
            Group::Turns,
            format!("{what}: rate of turn, °/s"),
            FAA,
            printed_rate,
            rate.deg_s(),
            0.01,
        ));
        let radius_ft = air_radius_m(kt * KNOT_MPS, rate) / FOOT_M;
        checks.push(Check::new(
            Group::Turns,
            format!("{what}: radius, ft"),
            FAA,
            printed_ft,
            radius_ft,
            0.0032 * printed_ft,
        ));
    }
    let radius_ft = air_radius_m(100.0 * KNOT_MPS, TurnRate::from_deg_s(3.0)) / FOOT_M;
    checks.push(Check::new(Group::Turns, "100 kt at 3 °/s: radius, ft", SCHOOL, 3223.0, radius_ft, 0.6));
    let minute = rate(60.0, 20.0);
    checks.push(Check::new(
        Group::Turns,
        "60 kt, bank 20°: full circle, s",
        FORUM,
        54.3,
        4.0 * minute.seconds_per_90deg(),
        0.05,
    ));
    for (kt, bank_deg) in [(80.0, 12.393), (120.0, 18.243), (240.0, 33.394)] {
        let bank = Angle::from_rad(bank_rad(kt * KNOT_MPS, TurnRate::from_deg_s(3.0))).deg();
        checks.push(Check::derived(
            Group::Turns,
            format!("rate one at {kt} kt: bank, °"),
            RATE_ONE,
            bank_deg,
            bank,
            5e-4,
        ));
    }
    for (bank_deg, n) in [(30.0_f64, 1.1547), (60.0, 2.0)] {
        let got = load_factor(bank_deg.to_radians());
        checks.push(Check::derived(Group::Turns, format!("bank {bank_deg}°: load factor"), LOAD, n, got, 5e-5));
    }
    for (dof, t) in [(2.0, 4.3027), (10.0, 2.2281), (f64::INFINITY, 1.9600)] {
        let what = format!("coverage factor of 95 %, {dof} degrees of freedom");
        checks.push(Check::new(Group::Margins, what, NIST, t, coverage_factor(0.95, dof), 5e-5));
    }
    checks
}
