//! The standard atmosphere: pressure, density, true airspeed, pressure altitude.
//!
//! ISO 2533:1975 (the same as ICAO Doc 7488) below 11 km: T = T₀ - L h, p = p₀ (T/T₀)^(g/LR). Heights are geopotential,
//! which a pressure altitude is by definition.

use crate::GRAVITY_MPS2;

const SEA_LEVEL_TEMPERATURE_K: f64 = 288.15;
const SEA_LEVEL_PRESSURE_PA: f64 = 101_325.0;
const LAPSE_K_PER_M: f64 = 0.0065;
/// Gas constant of air, J/(kg K).
const GAS_CONSTANT: f64 = 287.052_87;
const EXPONENT: f64 = GRAVITY_MPS2 / (LAPSE_K_PER_M * GAS_CONSTANT);
/// Ratio of specific heats of air.
const GAMMA: f64 = 1.4;
/// The troposphere ends here; higher up the temperature is that of its top.
const TROPOPAUSE_M: f64 = 11_000.0;

/// Density at sea level, kg/m³.
pub const SEA_LEVEL_DENSITY_KG_M3: f64 = 1.225;

/// Pressure at sea level, hPa: the QNH of a standard day.
pub const SEA_LEVEL_PRESSURE_HPA: f64 = 1013.25;

/// Standard temperature at a pressure altitude, K; above 11 km that of 11 km.
pub fn isa_temperature_k(pressure_altitude_m: f64) -> f64 {
    SEA_LEVEL_TEMPERATURE_K - LAPSE_K_PER_M * pressure_altitude_m.min(TROPOPAUSE_M)
}

/// Standard pressure at a pressure altitude, Pa; above 11 km that of 11 km.
pub fn isa_pressure_pa(pressure_altitude_m: f64) -> f64 {
    SEA_LEVEL_PRESSURE_PA * (isa_temperature_k(pressure_altitude_m) / SEA_LEVEL_TEMPERATURE_K).powf(EXPONENT)
}

/// Density at a pressure altitude, kg/m³: from the temperature of the day, °C, or the standard one where it is not known
/// (a day 10 °C from standard is 3.5 % off then).
pub fn density_kg_m3(pressure_altitude_m: f64, temperature_c: Option<f64>) -> f64 {
    let temperature_k = temperature_c.map_or_else(|| isa_temperature_k(pressure_altitude_m), |c| c + 273.15);
    isa_pressure_pa(pressure_altitude_m) / (GAS_CONSTANT * temperature_k)
}

/// The altitude at which the standard atmosphere has the pressure found at an altitude on a day of this sea-level
/// pressure (the day's layers taken as standard).
pub fn pressure_altitude_m(altitude_m: f64, qnh_hpa: f64) -> f64 {
    let pressure_share = isa_pressure_pa(altitude_m) / SEA_LEVEL_PRESSURE_PA * qnh_hpa / SEA_LEVEL_PRESSURE_HPA;
    SEA_LEVEL_TEMPERATURE_K / LAPSE_K_PER_M * (1.0 - pressure_share.powf(1.0 / EXPONENT))
}

fn speed_of_sound_mps(pressure_altitude_m: f64) -> f64 {
    (GAMMA * GAS_CONSTANT * isa_temperature_k(pressure_altitude_m)).sqrt()
}

/// True airspeed, m/s, from calibrated airspeed at a pressure altitude in the standard atmosphere.
///
/// Calibrated airspeed is the speed that gives the same impact pressure at sea level: q = p₀ ((1 + 0.2 (V/a₀)²)^3.5 - 1),
/// subsonic (the definition; textbook form, from memory). What a logger calls indicated airspeed is taken for it: the
/// errors of instrument and place are not in the log. A day warmer than standard by 10 K makes the true airspeed 1.7 %
/// larger, which is left out.
pub fn true_airspeed_mps(calibrated_mps: f64, pressure_altitude_m: f64) -> f64 {
    let mach0 = calibrated_mps / speed_of_sound_mps(0.0);
    let impact_pa = SEA_LEVEL_PRESSURE_PA * ((3.5 * (0.2 * mach0 * mach0).ln_1p()).exp_m1());
    let ratio = impact_pa / isa_pressure_pa(pressure_altitude_m);
    speed_of_sound_mps(pressure_altitude_m) * (5.0 * (ratio.ln_1p() / 3.5).exp_m1()).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// ISO 2533 tables: pressures at 1000 and 2000 m as printed there; the others recomputed for the project. Half a unit
    /// of the last digit.
    #[test]
    fn published_standard_atmosphere() {
        for (height_m, t_k, p_pa, rho, a_mps) in [
            (0.0, 288.15, 101_325.0, 1.22500, 340.294),
            (500.0, 284.90, 95_460.8, 1.16727, 338.370),
            (1000.0, 281.65, 89_874.6, 1.11164, 336.434),
            (1500.0, 278.40, 84_556.0, 1.05807, 334.487),
            (2000.0, 275.15, 79_495.2, 1.00649, 332.529),
            (3000.0, 268.65, 70_108.5, 0.90912, 328.578),
            (5000.0, 255.65, 54_019.9, 0.73612, 320.529),
            (11_000.0, 216.65, 22_632.0, 0.36392, 295.069),
        ] {
            assert!((isa_temperature_k(height_m) - t_k).abs() < 1e-9);
            assert!((isa_pressure_pa(height_m) - p_pa).abs() < 0.06, "{height_m}: {}", isa_pressure_pa(height_m));
            let density = density_kg_m3(height_m, None);
            assert!((density - rho).abs() < 5.1e-6, "{height_m}: {density}");
            assert!((speed_of_sound_mps(height_m) - a_mps).abs() < 6e-4);
        }
    }

    /// The documentation of aerocalc: 250 kt at 10,000 ft is 288.702 kt true, recomputed 288.702316 with the constants
    /// above; paramotor speeds recomputed for the project. (A public docstring says 105.34 for 100 m/s at 2000 m, and is
    /// wrong.)
    #[test]
    fn published_true_from_calibrated_airspeed() {
        let knot_mps = 1852.0 / 3600.0;
        let airliner_kt = true_airspeed_mps(250.0 * knot_mps, 10_000.0 * 0.3048) / knot_mps;
        assert!((airliner_kt / 288.702_316 - 1.0).abs() < 1e-6, "{airliner_kt}");
        for (height_m, tas) in [(500.0, 10.244), (1000.0, 10.497), (1500.0, 10.760), (2000.0, 11.032), (3000.0, 11.607)]
        {
            assert!((true_airspeed_mps(10.0, height_m) - tas).abs() < 6e-4, "{height_m}");
        }
        assert!((true_airspeed_mps(10.0, 1000.0) - 10.497_35).abs() < 6e-6);
        assert!((true_airspeed_mps(100.0, 2000.0) - 110.006).abs() < 6e-4);
        assert_eq!(true_airspeed_mps(0.0, 1000.0), 0.0);
    }

    #[test]
    fn derived_warm_air_is_thinner() {
        let ratio = density_kg_m3(0.0, Some(25.0)) / SEA_LEVEL_DENSITY_KG_M3;
        assert!((ratio - 288.15 / 298.15).abs() < 1e-6);
    }

    /// On a standard day both are the same; a hectopascal less at sea level is about 27 ft or 8.3 m higher (rule of the
    /// trade; 8.32 m from the standard atmosphere at sea level, recomputed).
    #[test]
    fn derived_pressure_altitude() {
        assert!((pressure_altitude_m(850.0, 1013.25) - 850.0).abs() < 1e-6);
        let per_hpa = pressure_altitude_m(0.0, 1012.25);
        assert!((per_hpa - 8.32).abs() < 0.02, "{per_hpa}");
    }
}
