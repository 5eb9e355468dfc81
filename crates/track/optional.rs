//! A number that may be missing, in eight bytes: an `Option<f64>` takes sixteen, and a long log has millions of them.

use std::fmt;

/// A finite number, or none.
#[derive(Clone, Copy)]
pub struct OptionalF64(f64);

impl OptionalF64 {
    /// No number.
    pub const NONE: Self = Self(f64::NAN);

    /// The number, if there is one.
    #[inline]
    pub fn get(self) -> Option<f64> {
        (!self.0.is_nan()).then_some(self.0)
    }

    /// This one, else the other.
    #[inline]
    #[must_use]
    pub fn or(self, other: Self) -> Self {
        if self.0.is_nan() { other } else { self }
    }
}

impl Default for OptionalF64 {
    #[inline]
    fn default() -> Self {
        Self::NONE
    }
}

/// What is no number is none.
impl From<f64> for OptionalF64 {
    #[inline]
    fn from(value: f64) -> Self {
        Self(value)
    }
}

impl From<Option<f64>> for OptionalF64 {
    #[inline]
    fn from(value: Option<f64>) -> Self {
        value.map_or(Self::NONE, Self)
    }
}

impl From<OptionalF64> for Option<f64> {
    #[inline]
    fn from(value: OptionalF64) -> Self {
        value.get()
    }
}

impl PartialEq for OptionalF64 {
    fn eq(&self, other: &Self) -> bool {
        self.get() == other.get()
    }
}

impl PartialEq<Option<f64>> for OptionalF64 {
    fn eq(&self, other: &Option<f64>) -> bool {
        self.get() == *other
    }
}

/// As the option that it stands for.
impl fmt::Debug for OptionalF64 {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.get().fmt(f)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_is_an_option_in_half_the_room() {
        for value in [None, Some(0.0), Some(-1.5)] {
            let kept = OptionalF64::from(value);
            assert_eq!((kept.get(), kept), (value, value.into()));
            assert_eq!(format!("{kept:?}"), format!("{value:?}"));
            assert_eq!(kept.or(7.0.into()), value.or(Some(7.0)));
        }
        assert_eq!(OptionalF64::from(f64::NAN), None);
        assert_eq!(size_of::<OptionalF64>(), 8);
    }

    /// Two million fixes and the points of their track have to fit beside everything else.
    #[test]
    fn a_fix_and_its_point_are_small() {
        assert!(size_of::<crate::Fix>() <= 152, "{}", size_of::<crate::Fix>());
        assert!(size_of::<crate::TrackPoint>() <= 96, "{}", size_of::<crate::TrackPoint>());
    }
}
