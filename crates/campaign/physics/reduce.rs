//! Another day's mass and air: turn rates reduced to reference conditions.
//!
//! **Derivation** (ours, not published; the uncertainty says so). Mass m, density ρ, wing unchanged.
//!
//! 1. At a fixed trim the lift coefficient is fixed, so true airspeed V ∝ √(m/ρ).
//! 2. The mass hangs a height h below the wing. A moment M about the long axis is balanced at a bank φ with
//!    m g h sin φ = M, and a coordinated turn has ω = g tan φ / V. For the small banks of residual turns ω ≈ M / (m h V):
//!    ω ∝ M m^(-3/2) ρ^(1/2). That is also how sensitivity S changes.
//! 3. How M itself changes depends on where it comes from:
//!    * level flight: thrust is drag, T = m g / (L/D), at a fixed advance ratio propeller torque goes with thrust, so
//!      M ∝ m whatever the density, and ω ∝ √(ρ/m);
//!    * full power: the engine breathes thinner air. P/P₀ = 1.132 σ - 0.132 with the density ratio σ (Gagg and Farrar, SAE
//!      Trans. 29 (1934); from memory), at nearly the same engine speed, so M ∝ 1.132 σ - 0.132;
//!    * an offset hang point: M = m g y ∝ m;
//!    * a weight that stays: M is fixed.

use driftless_statistics::StatisticsError;
use driftless_statistics::distributions::welch_satterthwaite_dof;
use driftless_statistics::{finite, positive};
use driftless_units::Estimate;
use driftless_units::atmosphere::SEA_LEVEL_DENSITY_KG_M3;

/// Share of the logarithm of the factor taken as its own standard uncertainty, because the model is a simple one.
/// A judgement, no source.
pub(crate) const MODEL_DOUBT: f64 = 0.25;

/// Where the turning moment comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MomentSource {
    /// Propeller torque in level flight, trimmed or accelerated: grows with mass.
    LevelFlightTorque,
    /// Propeller torque at full power: grows with what the engine breathes.
    FullPowerTorque,
    /// An offset of all that hangs: grows with mass.
    LateralOffset,
    /// A moment that does not change.
    FixedMoment,
}

/// Mass and air of a flight.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Conditions {
    /// All-up mass, kg.
    pub all_up_mass_kg: Estimate<f64>,
    /// Density, kg/m³.
    pub density_kg_m3: Estimate<f64>,
}

/// A turn on the test day and reduced, side by side.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ReducedTurn {
    /// As flown, °/s.
    pub test_day: Estimate<f64>,
    /// At reference conditions, °/s.
    pub reduced: Estimate<f64>,
    /// Factor from one to the other.
    pub factor: f64,
    /// Its relative standard uncertainty: mass, density and the model's own doubt.
    pub factor_relative_std_u: f64,
}

/// Share of sea-level power that a naturally breathing engine has left (Gagg and Farrar 1934); zero where nothing is.
pub(crate) fn power_share(density_kg_m3: f64) -> f64 {
    (1.132 * density_kg_m3 / SEA_LEVEL_DENSITY_KG_M3 - 0.132).max(0.0)
}

/// True airspeed at reference conditions over that of the test day, the same trim: √(m₀ρ / (mρ₀)).
pub fn airspeed_factor(test: &Conditions, reference: &Conditions) -> f64 {
    let mass = reference.all_up_mass_kg.value / test.all_up_mass_kg.value;
    (mass * test.density_kg_m3.value / reference.density_kg_m3.value).sqrt()
}

/// Turn rate at reference conditions over that of the test day.
fn turn_factor(source: MomentSource, mass_ratio: f64, test_density: f64, reference_density: f64) -> f64 {
    let moment = match source {
        MomentSource::LevelFlightTorque | MomentSource::LateralOffset => mass_ratio,
        MomentSource::FullPowerTorque => power_share(reference_density) / power_share(test_density),
        MomentSource::FixedMoment => 1.0,
    };
    moment * mass_ratio.powf(-1.5) * (reference_density / test_density).sqrt()
}

/// Reduces a turn, °/s, from the test day's conditions to reference conditions (whose uncertainties do not count: they
/// are chosen).
///
/// # Errors
/// A mass or a density that is not above zero, a turn that is no number, or air too thin for the engine.
pub fn reduce(
    turn: &Estimate<f64>,
    source: MomentSource,
    test: &Conditions,
    reference: &Conditions,
) -> Result<ReducedTurn, StatisticsError> {
    let what = "a turn at reference conditions";
    finite(what, "the turn", turn.value)?;
    for conditions in [test, reference] {
        positive(what, "a mass", conditions.all_up_mass_kg.value)?;
        positive(what, "a density", conditions.density_kg_m3.value)?;
    }
    let (mass, density) = (test.all_up_mass_kg, test.density_kg_m3);
    let (mass_0, density_0) = (reference.all_up_mass_kg.value, reference.density_kg_m3.value);
    let factor_of = |mass: f64, density: f64| turn_factor(source, mass_0 / mass, density, density_0);
    let factor = positive(what, "the factor", factor_of(mass.value, density.value))?;
    let logarithm = |mass: f64, density: f64| factor_of(mass, density).ln();
    // Half the change over two standard uncertainties is the first-order part (JCGM 100:2008, 5.1.3 note 2).
    let from_mass =
        0.5 * (logarithm(mass.value + mass.std_u, density.value) - logarithm(mass.value - mass.std_u, density.value));
    let from_density = 0.5
        * (logarithm(mass.value, density.value + density.std_u) - logarithm(mass.value, density.value - density.std_u));
    let doubt = MODEL_DOUBT * factor.ln();
    let relative = finite(what, "the uncertainty of the factor", from_mass.hypot(from_density).hypot(doubt))?;
    let (own, added) = (factor * turn.std_u, factor * turn.value * relative);
    let dof = welch_satterthwaite_dof(&[(own * own, turn.dof), (added * added, f64::INFINITY)]);
    Ok(ReducedTurn {
        test_day: *turn,
        reduced: Estimate::with_dof(factor * turn.value, own.hypot(added), dof),
        factor,
        factor_relative_std_u: relative,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use driftless_units::atmosphere::density_kg_m3;

    fn conditions(mass_kg: f64, density: f64) -> Conditions {
        Conditions { all_up_mass_kg: Estimate::new(mass_kg, 1.0), density_kg_m3: Estimate::new(density, 0.01) }
    }

    /// Low-speed airspeed conversion TAS = CAS √(ρ₀/ρ) of 10 m/s at 500 to 3000 m in the standard atmosphere (recomputed
    /// from the compressible formula, which is up to 5e-5 lower at these heights; three printed decimals).
    #[test]
    fn derived_true_airspeed_with_height() {
        for (altitude_m, tas_mps) in
            [(500.0, 10.244), (1000.0, 10.497), (1500.0, 10.760), (2000.0, 11.032), (3000.0, 11.607)]
        {
            let aloft = conditions(120.0, density_kg_m3(altitude_m, None));
            let factor = airspeed_factor(&conditions(120.0, SEA_LEVEL_DENSITY_KG_M3), &aloft);
            assert!((10.0 * factor - tas_mps).abs() < 1.1e-3, "{altitude_m}: {}", 10.0 * factor);
        }
    }

    /// The two printed forms of the rule of Gagg and Farrar, 1.132 σ - 0.132 and σ - (1 - σ)/7.55 (from memory), agree to
    /// the rounding of the first.
    #[test]
    fn derived_engine_power_with_height() {
        for altitude_m in [0.0, 1000.0, 2000.0, 4000.0] {
            let sigma = density_kg_m3(altitude_m, None) / SEA_LEVEL_DENSITY_KG_M3;
            assert!((power_share(sigma * SEA_LEVEL_DENSITY_KG_M3) - (sigma - (1.0 - sigma) / 7.55)).abs() < 6e-4);
        }
    }

    /// The whole chain from first principles: lift, drag, propeller at a fixed advance ratio, pendulum balance and
    /// coordinated turn without small angles, for two masses and two densities.
    #[test]
    fn derived_level_flight_from_first_principles() {
        let turn = |mass: f64, density: f64| {
            let (g, area, lift, glide, height) = (driftless_units::GRAVITY_MPS2, 26.0, 0.6, 6.0, 7.0);
            let speed = (2.0 * mass * g / (density * area * lift)).sqrt();
            let (advance, thrust_coefficient, torque_coefficient, diameter): (f64, f64, f64, f64) =
                (0.35, 0.08, 0.006, 1.25);
            let revolutions = speed / (advance * diameter);
            // The disc that gives the thrust at this advance ratio is fixed by the first case; only ratios count.
            let thrust = thrust_coefficient * density * revolutions.powi(2) * diameter.powi(4);
            let blades = mass * g / glide / thrust;
            let torque = blades * torque_coefficient * density * revolutions.powi(2) * diameter.powi(5);
            let bank = (torque / (mass * g * height)).asin();
            (g * bank.tan() / speed).to_degrees()
        };
        let (test, reference) = (conditions(140.0, 1.05), conditions(110.0, 1.2));
        let flown = Estimate::new(turn(140.0, 1.05), 0.05);
        let found = reduce(&flown, MomentSource::LevelFlightTorque, &test, &reference).unwrap();
        assert!((found.reduced.value / turn(110.0, 1.2) - 1.0).abs() < 1e-3, "small banks");
    }

    #[test]
    fn derived_exponents_of_each_source() {
        let (test, heavy) = (conditions(100.0, 1.225), conditions(121.0, 1.225));
        let factor =
            |source, reference: &Conditions| reduce(&Estimate::new(3.0, 0.1), source, &test, reference).unwrap().factor;
        assert!((factor(MomentSource::LevelFlightTorque, &heavy) - 1.0 / 1.1).abs() < 1e-12);
        assert!((factor(MomentSource::LateralOffset, &heavy) - 1.0 / 1.1).abs() < 1e-12);
        assert!((factor(MomentSource::FixedMoment, &heavy) - 1.0 / 1.331).abs() < 1e-12);
        let thin = conditions(100.0, 1.225 * 0.81);
        assert!((factor(MomentSource::LateralOffset, &thin) - 0.9).abs() < 1e-12);
        assert!((factor(MomentSource::FullPowerTorque, &thin) - 0.9 * (1.132 * 0.81 - 0.132)).abs() < 1e-12);
    }

    #[test]
    fn derived_the_uncertainty_grows_with_the_distance_reduced_over() {
        let turn = Estimate::with_dof(3.0, 0.1, 6.0);
        let here = conditions(110.0, 1.2);
        let same = reduce(&turn, MomentSource::FullPowerTorque, &here, &here).unwrap();
        assert!((same.factor - 1.0).abs() < 1e-12 && same.reduced.std_u > 0.1 && same.reduced.std_u < 0.12);
        let far = reduce(&turn, MomentSource::FullPowerTorque, &here, &conditions(150.0, 0.9)).unwrap();
        assert!(far.factor_relative_std_u > same.factor_relative_std_u + 0.1);
        assert_eq!(far.test_day, turn);
        assert!(reduce(&turn, MomentSource::FullPowerTorque, &conditions(110.0, 0.1), &here).is_err(), "no air");
    }
}
