//! Rotations as unit quaternions, on elementary functions that are the same on every machine.

/// A rotation from body axes (forward, right, down) to a frame north, east, down.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Rotation {
    w: f64,
    v: [f64; 3],
}

impl Rotation {
    /// Yaw, then pitch, then roll (the aerospace sequence), radians.
    pub(crate) fn from_euler(roll: f64, pitch: f64, yaw: f64) -> Self {
        let half = |angle: f64| (libm::sin(0.5 * angle), libm::cos(0.5 * angle));
        let ((sr, cr), (sp, cp), (sy, cy)) = (half(roll), half(pitch), half(yaw));
        Self {
            w: cr * cp * cy + sr * sp * sy,
            v: [sr * cp * cy - cr * sp * sy, cr * sp * cy + sr * cp * sy, cr * cp * sy - sr * sp * cy],
        }
    }

    pub(crate) fn inverse(self) -> Self {
        Self { w: self.w, v: self.v.map(|c| -c) }
    }

    /// First `other`, then `self`.
    pub(crate) fn after(self, other: Self) -> Self {
        let (a, b) = (self, other);
        let cross = cross(a.v, b.v);
        Self { w: a.w * b.w - dot(a.v, b.v), v: [0, 1, 2].map(|i| a.w * b.v[i] + b.w * a.v[i] + cross[i]) }
    }

    /// A vector turned.
    pub(crate) fn turn(self, x: [f64; 3]) -> [f64; 3] {
        let t = cross(self.v, x).map(|c| 2.0 * c);
        let u = cross(self.v, t);
        [0, 1, 2].map(|i| x[i] + self.w * t[i] + u[i])
    }

    /// Axis times angle, radians, the angle within ±π.
    pub(crate) fn vector(self) -> [f64; 3] {
        let size = dot(self.v, self.v).sqrt();
        let sign = if self.w < 0.0 { -1.0 } else { 1.0 };
        let factor = if size < 1e-12 { 2.0 } else { 2.0 * libm::atan2(size, sign * self.w) / size };
        self.v.map(|c| sign * factor * c)
    }
}

fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

fn cross(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}

#[cfg(test)]
mod tests {
    use super::*;

    fn close(a: [f64; 3], b: [f64; 3]) -> bool {
        (0..3).all(|i| (a[i] - b[i]).abs() < 1e-12)
    }

    /// Yaw 90° turns forward to east; pitch 90° turns forward up; roll 90° turns right down.
    #[test]
    fn axes_turn_as_pilots_say() {
        let quarter = std::f64::consts::FRAC_PI_2;
        assert!(close(Rotation::from_euler(0.0, 0.0, quarter).turn([1.0, 0.0, 0.0]), [0.0, 1.0, 0.0]));
        assert!(close(Rotation::from_euler(0.0, quarter, 0.0).turn([1.0, 0.0, 0.0]), [0.0, 0.0, -1.0]));
        assert!(close(Rotation::from_euler(quarter, 0.0, 0.0).turn([0.0, 1.0, 0.0]), [0.0, 0.0, 1.0]));
    }

    #[test]
    fn inverse_and_vector_undo_and_measure() {
        let a = Rotation::from_euler(0.3, -0.4, 2.5);
        let x = [0.2, -1.3, 0.7];
        assert!(close(a.inverse().turn(a.turn(x)), x));
        assert!(close(a.after(a.inverse()).vector(), [0.0; 3]));
        assert!(close(Rotation::from_euler(0.0, 0.0, 0.02).vector(), [0.0, 0.0, 0.02]));
    }
}
