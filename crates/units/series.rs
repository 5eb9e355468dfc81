//! Things in time order: those between two times, and the two about one.

/// The items with times in `[from_s, to_s]`. `items` are in time order.
///
/// ```
/// use driftless_units::items_between;
/// assert_eq!(items_between(&[0.0, 1.0, 2.0, 3.0], |t| *t, 1.0, 2.5), [1.0, 2.0]);
/// ```
pub fn items_between<T>(items: &[T], time_s: impl Fn(&T) -> f64, from_s: f64, to_s: f64) -> &[T] {
    let first = items.partition_point(|item| time_s(item) < from_s);
    let end = items.partition_point(|item| time_s(item) <= to_s);
    items.get(first..end).unwrap_or_default()
}

/// Two neighbours and how far between them a time lies.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Neighbours<'a, T> {
    /// The one before.
    pub left: &'a T,
    /// The one behind it, or itself where there is no other.
    pub right: &'a T,
    /// Place of the left one in the series.
    pub at: usize,
    /// From 0 at the left one to 1 at the right one.
    pub share: f64,
    /// Time between the two, seconds.
    pub step_s: f64,
}

impl<'a, T> Neighbours<'a, T> {
    /// The neighbours of a time; `None` before the first and after the last. `items` are in time order.
    pub fn of(items: &'a [T], time_s: impl Fn(&T) -> f64, t_s: f64) -> Option<Self> {
        let after = items.partition_point(|item| time_s(item) < t_s);
        let at = after.saturating_sub(1);
        let left = items.get(at)?;
        if items.len() == 1 {
            return (time_s(left) == t_s).then_some(Self { left, right: left, at, share: 0.0, step_s: 0.0 });
        }
        let right = items.get(after.max(1))?;
        let step_s = time_s(right) - time_s(left);
        let share = (t_s - time_s(left)) / step_s;
        (0.0..=1.0).contains(&share).then_some(Self { left, right, at, share, step_s })
    }

    /// A value at the time, by the straight line between the two.
    pub fn straight(&self, value: impl Fn(&T) -> f64) -> f64 {
        let (left, right) = (value(self.left), value(self.right));
        left + self.share * (right - left)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const SERIES: [(f64, f64); 3] = [(1.0, 10.0), (2.0, 20.0), (4.0, 0.0)];

    fn at(t_s: f64) -> Option<f64> {
        Neighbours::of(&SERIES, |item| item.0, t_s).map(|n| n.straight(|item| item.1))
    }

    #[test]
    fn derived_straight_lines_between_and_nothing_outside() {
        for (t_s, value) in [(1.0, 10.0), (1.25, 12.5), (2.0, 20.0), (3.0, 10.0), (4.0, 0.0)] {
            assert_eq!(at(t_s), Some(value), "{t_s}");
        }
        assert_eq!((at(0.99), at(4.01), at(f64::NAN)), (None, None, None));
        let gap = Neighbours::of(&SERIES, |item| item.0, 2.5).map(|n| (n.at, n.step_s));
        assert_eq!(gap, Some((1, 2.0)));
    }

    #[test]
    fn one_item_is_known_at_its_own_time_only() {
        let one = [(3.0, 7.0)];
        let at = |t_s| Neighbours::of(&one, |item| item.0, t_s).map(|n| n.straight(|item| item.1));
        assert_eq!((at(3.0), at(2.9), at(3.1)), (Some(7.0), None, None));
        assert!(Neighbours::of(&[] as &[f64], |t| *t, 1.0).is_none());
    }

    #[test]
    fn slices_take_both_ends_and_may_be_empty() {
        let times = [0.0, 1.0, 1.0, 2.0];
        assert_eq!(items_between(&times, |t| *t, 1.0, 1.0), [1.0, 1.0]);
        assert!(items_between(&times, |t| *t, 3.0, 9.0).is_empty());
        assert!(items_between(&times, |t| *t, 2.0, 1.0).is_empty());
    }
}
