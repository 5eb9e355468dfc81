//! A residual turn as something to adjust: bank, moment, hang-point offset, weight shift.
//!
//! * Coordinated turn: tan φ = V ω / g.
//! * Moment = turn / S ([`super::sensitivity`]), both uncertain: Fieller's set.
//! * Offset = moment / (m g), with the mass that hangs from the hang points; weight shift the same with the pilot's.
//!
//! All signs are those of the turn: a moment of +5 N·m is what turns the aircraft to the right now; what holds it is the
//! same amount to the other side.

use super::sensitivity::TYPICAL_DEG_S_PER_NM;
use driftless_statistics::StatisticsError;
use driftless_statistics::distributions::welch_satterthwaite_dof;
use driftless_statistics::fieller::{ContrastDof, RatioSet, ratio};
use driftless_statistics::{finite, positive};
use driftless_units::{Estimate, GRAVITY_MPS2, Interval};

/// Where S comes from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum SensitivitySource {
    /// Runs with a known weight on this wing in this scenario, °/s per N·m.
    Measured(Estimate<f64>),
    /// None: the typical range stands in, and all that follows is an indication only.
    TypicalRange,
}

/// A quantity with its 95 % interval.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Adjustment {
    /// Best value.
    pub value: f64,
    /// 95 % interval, or the range for an indication; `None` where S is not told from zero.
    pub interval: Option<Interval<f64>>,
}

impl Adjustment {
    fn times(self, factor: f64) -> Self {
        let interval = self.interval.map(|ends| Interval { low: factor * ends.low, high: factor * ends.high });
        Self { value: factor * self.value, interval }
    }
}

/// What a residual turn is worth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Equivalents {
    /// Bank of the coordinated turn, °.
    pub bank_deg: Estimate<f64>,
    /// Moment left, N·m.
    pub moment_nm: Adjustment,
    /// Hang-point offset of the same moment, mm.
    pub hang_point_offset_mm: Adjustment,
    /// Weight shift of the same moment, cm.
    pub weight_shift_cm: Adjustment,
    /// No known weight was flown: the figures show the order of size and no more.
    pub indication_only: bool,
}

/// Masses that moments come from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Masses {
    /// What hangs from the hang points: all-up mass less the wing, kg.
    pub hung_kg: f64,
    /// The pilot, who shifts, kg.
    pub pilot_kg: f64,
}

/// Works out the equivalents of a residual turn, °/s, at an airspeed, m/s.
///
/// # Errors
/// A mass or an airspeed that is not above zero, or an estimate that is no sound number.
pub fn equivalents(
    turn_deg_s: &Estimate<f64>,
    airspeed_mps: &Estimate<f64>,
    masses: &Masses,
    sensitivity: SensitivitySource,
) -> Result<Equivalents, StatisticsError> {
    let what = "what a residual turn is worth";
    positive(what, "the hung mass", masses.hung_kg)?;
    positive(what, "the pilot's mass", masses.pilot_kg)?;
    positive(what, "the airspeed", airspeed_mps.value)?;
    finite(what, "the turn", turn_deg_s.value)?;
    let moment_nm = moment(turn_deg_s, sensitivity)?;
    let per_newton_metre = |mass_kg: f64| 1.0 / (mass_kg * GRAVITY_MPS2);
    Ok(Equivalents {
        bank_deg: bank(turn_deg_s, airspeed_mps),
        moment_nm,
        hang_point_offset_mm: moment_nm.times(1e3 * per_newton_metre(masses.hung_kg)),
        weight_shift_cm: moment_nm.times(1e2 * per_newton_metre(masses.pilot_kg)),
        indication_only: sensitivity == SensitivitySource::TypicalRange,
    })
}

fn moment(turn_deg_s: &Estimate<f64>, sensitivity: SensitivitySource) -> Result<Adjustment, StatisticsError> {
    match sensitivity {
        SensitivitySource::Measured(s) => {
            let found = ratio(turn_deg_s, &s, 0.0, ContrastDof::default(), 0.95)?;
            let interval = match found.set {
                RatioSet::Bounded(ends) => Some(ends),
                RatioSet::Outside(_) | RatioSet::Everything => None,
            };
            Ok(Adjustment { value: found.value, interval })
        }
        SensitivitySource::TypicalRange => {
            let Interval { low, high } = TYPICAL_DEG_S_PER_NM;
            let ends = turn_deg_s.interval(0.95);
            // Toward zero with the large S, away from it with the small one.
            let widest = |turn: f64, outward: bool| turn / if outward { low } else { high };
            let interval = Interval { low: widest(ends.low, ends.low < 0.0), high: widest(ends.high, ends.high > 0.0) };
            // The middle of a range of factors is the geometric mean.
            Ok(Adjustment { value: turn_deg_s.value / (low * high).sqrt(), interval: Some(interval) })
        }
    }
}

/// Bank of the coordinated turn, °, first-order uncertainty.
fn bank(turn_deg_s: &Estimate<f64>, airspeed_mps: &Estimate<f64>) -> Estimate<f64> {
    let (rate, speed) = (turn_deg_s.value.to_radians(), airspeed_mps.value);
    let tangent = speed * rate / GRAVITY_MPS2;
    // dφ = cos²φ d(tan φ).
    let flattening = 1.0 / (1.0 + tangent * tangent) / GRAVITY_MPS2;
    let from_turn = flattening * speed * turn_deg_s.std_u.to_radians();
    let from_speed = flattening * rate * airspeed_mps.std_u;
    let dof = welch_satterthwaite_dof(&[(from_turn.powi(2), turn_deg_s.dof), (from_speed.powi(2), airspeed_mps.dof)]);
    Estimate::with_dof(tangent.atan().to_degrees(), from_turn.hypot(from_speed).to_degrees(), dof)
}

#[cfg(test)]
mod tests {
    use super::*;

    const MASSES: Masses = Masses { hung_kg: 115.0, pilot_kg: 80.0 };

    fn of(turn: Estimate<f64>, sensitivity: SensitivitySource) -> Equivalents {
        equivalents(&turn, &Estimate::new(10.0, 0.2), &MASSES, sensitivity).unwrap()
    }

    /// Coordinated turn, tan φ = V ω / g recomputed: 10 m/s and 6 °/s are 6.10°, 10.5 m/s are 6.397°.
    #[test]
    fn derived_bank_of_a_residual_turn() {
        let turn = Estimate::new(6.0, 0.1);
        for (speed, bank_deg, digits) in [(10.0, 6.10, 5.1e-3), (10.5, 6.397, 5.1e-4)] {
            let found =
                equivalents(&turn, &Estimate::new(speed, 0.2), &MASSES, SensitivitySource::TypicalRange).unwrap();
            assert!((found.bank_deg.value - bank_deg).abs() < digits);
        }
    }

    #[test]
    fn derived_moment_offset_and_shift() {
        let found = of(Estimate::new(-2.0, 0.1), SensitivitySource::Measured(Estimate::new(0.1, 0.01)));
        assert!((found.moment_nm.value + 20.0).abs() < 1e-12 && !found.indication_only);
        // 20 N·m over 115 kg · 9.80665 m/s² is 17.7 mm; over 80 kg 2.55 cm.
        assert!((found.hang_point_offset_mm.value + 17.734).abs() < 1e-3);
        assert!((found.weight_shift_cm.value + 2.549).abs() < 1e-3);
        let ends = found.moment_nm.interval.unwrap();
        // Relative uncertainties of 5 and 10 %: about 11 % and twice that for 95 %, longer toward the small S.
        assert!((-27.0..-24.0).contains(&ends.low) && (-17.0..-15.5).contains(&ends.high), "{ends:?}");
    }

    /// The bank's uncertainty by differences.
    #[test]
    fn derived_uncertainty_of_bank() {
        let found = of(Estimate::new(6.0, 0.5), SensitivitySource::TypicalRange).bank_deg;
        let tangent = |speed: f64, turn: f64| (speed * turn.to_radians() / GRAVITY_MPS2).atan().to_degrees();
        let (a, b) = (tangent(10.0, 6.5) - tangent(10.0, 5.5), tangent(10.2, 6.0) - tangent(9.8, 6.0));
        assert!((found.std_u - 0.5 * a.hypot(b)).abs() < 1e-3);
    }

    #[test]
    fn without_known_weights_it_is_an_indication() {
        let found = of(Estimate::new(2.0, 0.5), SensitivitySource::TypicalRange);
        assert!(found.indication_only);
        let ends = found.moment_nm.interval.unwrap();
        assert!((ends.low - 1.02 / 0.3).abs() < 1e-3 && (ends.high - 2.98 / 0.05).abs() < 1e-3, "{ends:?}");
        let across = of(Estimate::new(0.0, 0.5), SensitivitySource::TypicalRange).moment_nm.interval.unwrap();
        assert!((across.low + across.high).abs() < 1e-9 && across.high > 19.0);
    }

    #[test]
    fn derived_a_sensitivity_not_told_from_zero_gives_no_interval() {
        let found = of(Estimate::new(2.0, 0.1), SensitivitySource::Measured(Estimate::new(0.05, 0.05)));
        assert!(found.moment_nm.interval.is_none() && found.weight_shift_cm.interval.is_none());
        let nothing = equivalents(
            &Estimate::new(2.0, 0.1),
            &Estimate::new(10.0, 0.2),
            &Masses { hung_kg: 0.0, ..MASSES },
            SensitivitySource::TypicalRange,
        );
        assert!(nothing.is_err());
    }

    /// Common practice, no source: a third of a turn a minute is held with about 1 cm of weight shift. That is inside the
    /// range given without known weights.
    #[test]
    fn common_practice_a_centimetre_of_weight_shift() {
        let ends =
            of(Estimate::new(120.0 / 60.0, 0.1), SensitivitySource::TypicalRange).weight_shift_cm.interval.unwrap();
        assert!(ends.low < 1.0 && 1.0 < ends.high, "{ends:?}");
    }
}
