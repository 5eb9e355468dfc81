//! Lines are cut where they leave the frame or where data is missing: never clamped, never bridged.

use super::canvas::Spot;

/// A rectangle in units of layout; `top` is above `bottom`, so smaller.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Frame {
    /// Left edge.
    pub(super) left: f64,
    /// Upper edge.
    pub(super) top: f64,
    /// Right edge.
    pub(super) right: f64,
    /// Lower edge.
    pub(super) bottom: f64,
}

impl Frame {
    /// Whether the spot is inside or on the edge.
    pub(super) fn holds(&self, (x, y): Spot) -> bool {
        x >= self.left && x <= self.right && y >= self.top && y <= self.bottom
    }
    /// Width.
    pub(super) fn width(&self) -> f64 {
        self.right - self.left
    }
    /// Height.
    pub(super) fn height(&self) -> f64 {
        self.bottom - self.top
    }
}

/// Unbroken runs of a line, split where a coordinate is not finite.
pub(super) fn runs(points: &[(f64, f64)]) -> impl Iterator<Item = &[(f64, f64)]> {
    points.split(|p| !(p.0.is_finite() && p.1.is_finite())).filter(|run| !run.is_empty())
}

/// The parts of an unbroken line inside the frame.
pub(super) fn inside(frame: &Frame, line: &[Spot]) -> Vec<Vec<Spot>> {
    let mut parts: Vec<Vec<Spot>> = Vec::new();
    let mut open = false;
    for pair in line.windows(2) {
        let [from, to] = pair else { continue };
        match segment(frame, *from, *to) {
            Some((a, b)) => {
                match parts.last_mut() {
                    Some(part) if open => part.push(b),
                    _ => parts.push(vec![a, b]),
                }
                open = b == *to;
            }
            None => open = false,
        }
    }
    parts
}

/// The part of one segment inside the frame (Liang and Barsky, "A new concept and method for line clipping",
/// ACM Transactions on Graphics 3, 1984).
fn segment(frame: &Frame, from: Spot, to: Spot) -> Option<(Spot, Spot)> {
    let (dx, dy) = (to.0 - from.0, to.1 - from.1);
    let (mut enter, mut leave) = (0.0_f64, 1.0_f64);
    for (p, q) in
        [(-dx, from.0 - frame.left), (dx, frame.right - from.0), (-dy, from.1 - frame.top), (dy, frame.bottom - from.1)]
    {
        if p == 0.0 {
            if q < 0.0 {
                return None;
            }
            continue;
        }
        let r = q / p;
        if p < 0.0 {
            enter = enter.max(r);
        } else {
            leave = leave.min(r);
        }
    }
    if enter > leave {
        return None;
    }
    let along = |r: f64| (from.0 + r * dx, from.1 + r * dy);
    Some((if enter > 0.0 { along(enter) } else { from }, if leave < 1.0 { along(leave) } else { to }))
}

#[cfg(test)]
mod tests {
    use super::*;

    const FRAME: Frame = Frame { left: 0.0, top: 0.0, right: 10.0, bottom: 10.0 };

    #[test]
    fn a_line_that_leaves_and_comes_back_is_two_lines() {
        let parts = inside(&FRAME, &[(5.0, 5.0), (5.0, 15.0), (8.0, 15.0), (8.0, 5.0)]);
        assert_eq!(parts, [vec![(5.0, 5.0), (5.0, 10.0)], vec![(8.0, 10.0), (8.0, 5.0)]]);
    }

    #[test]
    fn a_line_outside_is_nothing() {
        assert!(inside(&FRAME, &[(-5.0, -1.0), (20.0, -1.0)]).is_empty());
        assert!(inside(&FRAME, &[(1e12, 1e12), (1e12, 2e12)]).is_empty());
    }

    #[test]
    fn missing_values_split_a_line() {
        let points = [(0.0, 1.0), (1.0, f64::NAN), (2.0, 1.0), (3.0, 2.0)];
        assert_eq!(runs(&points).map(<[_]>::len).collect::<Vec<_>>(), [1, 2]);
    }
}
