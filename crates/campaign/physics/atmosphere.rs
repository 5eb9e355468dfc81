//! Density of the air: the International Standard Atmosphere below 11 km.
//!
//! Constants: ISO 2533:1975 / ICAO Doc 7488.

/// Sea-level temperature, K.
const SEA_LEVEL_TEMPERATURE_K: f64 = 288.15;
/// Sea-level pressure, Pa.
const SEA_LEVEL_PRESSURE_PA: f64 = 101_325.0;
/// Fall of temperature with height, K/m.
const LAPSE_K_PER_M: f64 = 0.0065;
/// Gas constant of air, J/(kg K).
const GAS_CONSTANT: f64 = 287.05287;
/// Highest altitude of the linear fall of temperature, m.
const TROPOPAUSE_M: f64 = 11_000.0;

/// Density at sea level in the standard atmosphere, kg/m³.
pub(crate) const SEA_LEVEL_DENSITY_KG_M3: f64 = 1.225;

/// Standard pressure at a pressure (geopotential) altitude, Pa; above 11 km that of 11 km.
pub fn isa_pressure_pa(altitude_m: f64) -> f64 {
    let ratio = isa_temperature_k(altitude_m) / SEA_LEVEL_TEMPERATURE_K;
    SEA_LEVEL_PRESSURE_PA * ratio.powf(driftless_units::GRAVITY_MPS2 / (LAPSE_K_PER_M * GAS_CONSTANT))
}

/// Standard temperature, K; above 11 km that of 11 km.
pub fn isa_temperature_k(altitude_m: f64) -> f64 {
    SEA_LEVEL_TEMPERATURE_K - LAPSE_K_PER_M * altitude_m.min(TROPOPAUSE_M)
}

/// Density at a pressure altitude, kg/m³: from the temperature of the day, °C, or the standard one where it is not known
/// (a day 10 °C from standard is 3.5 % off then).
pub fn density_kg_m3(pressure_altitude_m: f64, temperature_c: Option<f64>) -> f64 {
    let temperature_k = temperature_c.map_or_else(|| isa_temperature_k(pressure_altitude_m), |c| c + 273.15);
    isa_pressure_pa(pressure_altitude_m) / (GAS_CONSTANT * temperature_k)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// ISO 2533 tables (from memory, recomputed; pressures of 1000 and 2000 m quoted from the standard): all printed
    /// digits, half of the last one.
    #[test]
    fn published_standard_atmosphere() {
        for (altitude_m, temperature_k, pressure_pa, density) in [
            (0.0, 288.15, 101_325.0, 1.22500),
            (500.0, 284.90, 95_460.8, 1.16727),
            (1000.0, 281.65, 89_874.6, 1.11164),
            (1500.0, 278.40, 84_556.0, 1.05807),
            (2000.0, 275.15, 79_495.2, 1.00649),
            (3000.0, 268.65, 70_108.5, 0.90912),
            (5000.0, 255.65, 54_019.9, 0.73612),
            (11_000.0, 216.65, 22_632.0, 0.36392),
        ] {
            assert!((isa_temperature_k(altitude_m) - temperature_k).abs() < 1e-9);
            assert!((isa_pressure_pa(altitude_m) - pressure_pa).abs() < 0.06, "{}", isa_pressure_pa(altitude_m));
            assert!((density_kg_m3(altitude_m, None) - density).abs() < 5.1e-6);
        }
    }

    #[test]
    fn derived_warm_air_is_thinner() {
        let ratio = density_kg_m3(0.0, Some(25.0)) / SEA_LEVEL_DENSITY_KG_M3;
        assert!((ratio - 288.15 / 298.15).abs() < 1e-6);
    }
}
