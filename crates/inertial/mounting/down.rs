//! Down, by the specific force over the flight: what hangs under a wing feels gravity and turn along one axis.

use crate::constants::{FEWEST_DOWN_MEANS, LOOSE_DEG, MOUNTING_MEAN_S, MOVED_DEG};
use crate::log::ImuLog;
use driftless_units::median;
use nalgebra::{Unit, Vector3};

/// The sensor's down axis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Down {
    /// Unit vector, sensor axes.
    pub axis: [f64; 3],
    /// Typical angle between a three-second mean and the axis, degrees.
    pub spread_deg: f64,
    /// Largest angle between the axes of the thirds of the flight, degrees: a sensor that was moved shows it.
    pub moved_deg: f64,
}

impl Down {
    /// Whether the sensor was turned on the pilot during the flight. Tilt is followed, so rates stay right.
    pub fn was_moved(&self) -> bool {
        self.moved_deg > MOVED_DEG.value
    }
}

/// Why down is not known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum DownError {
    /// No accelerometer that could be used.
    NoAccelerometer,
    /// Too short.
    TooShort {
        /// Usable periods of three seconds.
        blocks: usize,
        /// Fewest.
        needed: usize,
    },
    /// The sensor does not sit on the pilot: it points another way from one moment to the next.
    Loose {
        /// Typical angle.
        spread_deg: f64,
        /// Largest that is taken.
        limit_deg: f64,
    },
}

/// Finds down from the specific force within `[from_s, to_s]` of the log's clock.
///
/// The axis is the geometric median of the block means (Weiszfeld's iteration): half of the blocks may be anything.
///
/// # Errors
/// [`DownError`] when it cannot be told.
pub fn find_down(log: &ImuLog, from_s: f64, to_s: f64) -> Result<Down, DownError> {
    if log.accel.is_empty() {
        return Err(DownError::NoAccelerometer);
    }
    let [first_s, last_s] = log.accel.span_s().unwrap_or_default();
    let (from_s, to_s) = (from_s.max(first_s), to_s.min(last_s));
    let count = ((to_s - from_s) / MOUNTING_MEAN_S.value).max(0.0) as usize;
    let blocks: Vec<Vector3<f64>> = (0..count)
        .filter_map(|k| {
            let start_s = from_s + k as f64 * MOUNTING_MEAN_S.value;
            let range = log.accel.range(start_s, start_s + MOUNTING_MEAN_S.value);
            let n = range.len();
            let sum: Vector3<f64> = range.map(|i| Vector3::from(log.accel.at(i))).sum();
            // Specific force points up; down is against it.
            (n >= 3).then(|| -sum / n as f64).and_then(|v| v.try_normalize(1e-9))
        })
        .collect();
    if blocks.len() < FEWEST_DOWN_MEANS.count() {
        return Err(DownError::TooShort { blocks: blocks.len(), needed: FEWEST_DOWN_MEANS.count() });
    }
    let axis = geometric_median(&blocks);
    let angles = blocks.iter().map(|b| b.dot(&axis).clamp(-1.0, 1.0).acos().to_degrees());
    let spread_deg = median(angles).unwrap_or(f64::NAN);
    if spread_deg > LOOSE_DEG.value {
        return Err(DownError::Loose { spread_deg, limit_deg: LOOSE_DEG.value });
    }
    let thirds: Vec<Unit<Vector3<f64>>> = blocks.chunks(blocks.len().div_ceil(3)).map(geometric_median).collect();
    let moved_deg = thirds
        .iter()
        .flat_map(|a| thirds.iter().map(|b| a.dot(b).clamp(-1.0, 1.0).acos().to_degrees()))
        .fold(0.0, f64::max);
    Ok(Down { axis: axis.into_inner().into(), spread_deg, moved_deg })
}

/// The direction from which the sum of distances to unit vectors is least.
fn geometric_median(vectors: &[Vector3<f64>]) -> Unit<Vector3<f64>> {
    let mut centre: Vector3<f64> = vectors.iter().sum::<Vector3<f64>>() / vectors.len() as f64;
    for _ in 0..50 {
        let (mut sum, mut weights) = (Vector3::zeros(), 0.0);
        for v in vectors {
            let weight = 1.0 / (v - centre).norm().max(1e-6);
            sum += weight * v;
            weights += weight;
        }
        let next = sum / weights;
        let moved = (next - centre).norm();
        centre = next;
        if moved < 1e-9 {
            break;
        }
    }
    Unit::try_new(centre, 1e-9).unwrap_or_else(Vector3::z_axis)
}
