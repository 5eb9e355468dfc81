//! Turn rates in words: the side is said, never left to a sign alone.

use super::{DisplayUnits, TurnUnit, fixed, places_for, plus_minus, round_to_places};
use driftless_units::{Angle, Estimate, TurnRate};

/// To which side something turns, as far as its 95 % interval tells.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TurnSide {
    /// The whole interval is left.
    Left,
    /// The whole interval is right.
    Right,
    /// The interval holds zero.
    NotTold,
}

impl TurnSide {
    /// "left" or "right", or a dash.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Left => "left",
            Self::Right => "right",
            Self::NotTold => "direction uncertain",
        }
    }
}

/// The side of a turn rate.
pub fn turn_side(rate: &Estimate<TurnRate>) -> TurnSide {
    let interval = rate.interval(0.95);
    if interval.low.rad_s() > 0.0 {
        TurnSide::Right
    } else if interval.high.rad_s() < 0.0 {
        TurnSide::Left
    } else {
        TurnSide::NotTold
    }
}

/// "3.1 ± 0.1 °/s" without sign, to stand beside the word left or right; signed while the side is not told.
///
/// In seconds per 90° it is "29.0 s per 90°" (see [`quarter_turn`]).
pub fn turn_without_sign(units: &DisplayUnits, rate: &Estimate<TurnRate>) -> String {
    if units.turn == TurnUnit::SecondsPer90 {
        return quarter_turn(rate);
    }
    let value = match turn_side(rate) {
        TurnSide::NotTold => rate.value.deg_s(),
        TurnSide::Left | TurnSide::Right => rate.value.deg_s().abs(),
    };
    format!("{}\u{a0}{}", number(units, value, rate), units.turn.sign())
}

/// "−3.1 ± 0.1": the signed number alone, for tables whose head says "right positive" and the unit of the scale.
pub fn turn_signed(units: &DisplayUnits, rate: &Estimate<TurnRate>) -> String {
    number(units, rate.value.deg_s(), rate)
}

/// "2.9 to 3.3": both ends of the 95 % interval, signed, rounded like the value.
pub fn turn_range(units: &DisplayUnits, rate: &Estimate<TurnRate>) -> String {
    let interval = rate.interval(0.95);
    let factor = units.turn.per_deg_s();
    let (low, high) = (interval.low.deg_s() * factor, interval.high.deg_s() * factor);
    match places_for(0.5 * (high - low)) {
        Some(places) => format!("{} to {}", round_to_places(low, places), round_to_places(high, places)),
        None => "without bounds".to_owned(),
    }
}

/// "29.0 s per 90°", rounded by its own uncertainty; "more than 85 s per 90°" when the interval holds zero.
pub fn quarter_turn(rate: &Estimate<TurnRate>) -> String {
    let interval = rate.interval(0.95);
    let (low, high) = (interval.low.deg_s(), interval.high.deg_s());
    if low * high <= 0.0 {
        let fastest = low.abs().max(high.abs());
        if !fastest.is_finite() || fastest == 0.0 {
            return "no time per 90° can be told".to_owned();
        }
        return format!("more than {}\u{a0}s per 90°", fixed(90.0 / fastest, 0));
    }
    let seconds = rate.value.seconds_per_90deg();
    // Half the range of the mapped interval: the mapping is not linear, and this is only for the digits shown.
    let half_s = 0.5 * (90.0 / low - 90.0 / high).abs();
    format!("{}\u{a0}s per 90°", round_to_places(seconds, places_for(half_s).unwrap_or(1).min(1)))
}

impl DisplayUnits {
    /// A bare turn rate (no uncertainty known) with sign and unit.
    pub fn bare_turn(&self, rate: TurnRate) -> String {
        let decimals = if self.turn == TurnUnit::DegreesPerMinute { 0 } else { 1 };
        format!("{}\u{a0}{}", fixed(rate.deg_s() * self.turn.per_deg_s(), decimals), self.turn.sign())
    }
    /// The same without the unit.
    pub fn bare_turn_number(&self, rate: TurnRate) -> String {
        let decimals = if self.turn == TurnUnit::DegreesPerMinute { 0 } else { 2 };
        fixed(rate.deg_s() * self.turn.per_deg_s(), decimals)
    }
    /// "186 ± 6°": an angle with the half-width of its 95 % interval.
    pub fn angle_estimate(&self, angle: &Estimate<Angle>) -> String {
        let interval = angle.interval(0.95);
        format!("{}°", plus_minus(angle.value.deg(), 0.5 * (interval.high.deg() - interval.low.deg()), 0))
    }
}

fn number(units: &DisplayUnits, deg_s: f64, rate: &Estimate<TurnRate>) -> String {
    let interval = rate.interval(0.95);
    let factor = units.turn.per_deg_s();
    let default_places = if units.turn == TurnUnit::DegreesPerMinute { 0 } else { 1 };
    plus_minus(deg_s * factor, 0.5 * (interval.high.deg_s() - interval.low.deg_s()) * factor, default_places)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rate(deg_s: f64, std_deg_s: f64) -> Estimate<TurnRate> {
        Estimate::new(TurnRate::from_deg_s(deg_s), TurnRate::from_deg_s(std_deg_s))
    }

    #[test]
    fn derived_the_side_is_told_only_when_the_interval_excludes_zero() {
        assert_eq!(turn_side(&rate(3.0, 0.1)), TurnSide::Right);
        assert_eq!(turn_side(&rate(-3.0, 0.1)), TurnSide::Left);
        assert_eq!(turn_side(&rate(0.1, 0.1)), TurnSide::NotTold);
    }

    /// 95 % half-width of a standard uncertainty of 0.25 is 0.49 °/s, shown as 0.5.
    #[test]
    fn derived_words() {
        let units = DisplayUnits::default();
        assert_eq!(turn_without_sign(&units, &rate(-3.12, 0.25)), "3.1\u{a0}±\u{a0}0.5\u{a0}°/s");
        assert_eq!(turn_signed(&units, &rate(-3.12, 0.25)), "−3.1\u{a0}±\u{a0}0.5");
        assert_eq!(turn_range(&units, &rate(-3.12, 0.25)), "−3.6 to −2.6");
        let per_minute: DisplayUnits = "°/min".parse().unwrap();
        assert_eq!(turn_signed(&per_minute, &rate(3.0, 0.05)), "180\u{a0}±\u{a0}6");
    }

    #[test]
    fn derived_quarter_turns() {
        assert_eq!(quarter_turn(&rate(3.0, 0.05)), "30\u{a0}s per 90°".replace("30", "30.0"));
        assert_eq!(quarter_turn(&rate(0.1, 0.5)), "more than 83\u{a0}s per 90°");
        assert_eq!(
            quarter_turn(&Estimate::with_dof(TurnRate::from_deg_s(1.0), TurnRate::from_deg_s(0.1), 0.0)),
            "no time per 90° can be told"
        );
    }
}
