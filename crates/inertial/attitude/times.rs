//! Times of samples without the jitter of their stamps.
//!
//! A sensor samples evenly; what shakes is when its samples are stamped. A stamp that is a millisecond off gives the shaking
//! of an engine for a millisecond more or less, and the sum is a heading that wanders: 10 °/s at 50 Hz by stamps of a
//! millisecond at 200 Hz make 0.2 ° per √s, ten times the gyro's own noise.

use crate::constants::STAMPS_HALF_S;
use crate::log::Stream;
use crate::read::{gap_s, is_uneven};

/// The times of the samples, each the mean of the stamps about it, as many before as after; within a gap's edges. Those as
/// written where the sampling itself is uneven.
pub(super) fn smoothed_times(stream: &Stream) -> Vec<f64> {
    let Some(interval_s) = stream.mean_interval_s().filter(|_| !is_uneven(stream)) else { return stream.t_s.clone() };
    let (half, gap_s) = ((STAMPS_HALF_S.value / interval_s) as usize, gap_s(interval_s));
    stream.t_s.chunk_by(|a, b| b - a <= gap_s).flat_map(|run| smoothed_run(run, half)).collect()
}

fn smoothed_run(stamps: &[f64], half: usize) -> Vec<f64> {
    // Counted from the first, so that the sums keep their digits.
    let first_s = stamps[0];
    let mut sums = vec![0.0];
    sums.extend(stamps.iter().scan(0.0, |sum, stamp| {
        *sum += stamp - first_s;
        Some(*sum)
    }));
    (0..stamps.len())
        .map(|i| {
            let half = half.min(i).min(stamps.len() - 1 - i);
            first_s + (sums[i + half + 1] - sums[i - half]) / (2 * half + 1) as f64
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn stream(t_s: Vec<f64>) -> Stream {
        Stream { xyz: vec![[0.0; 3]; t_s.len()], t_s }
    }

    /// Stamps off by up to 1 ms at 200 Hz: means of up to 201 leave a twentieth of it, but at the ends.
    #[test]
    fn derived_jitter_is_averaged_out_and_gaps_stay() {
        let even = |k: u32| f64::from(k) * 0.005 + if k >= 1000 { 7.0 } else { 0.0 };
        let jitter = |k: u32| 0.001 * (f64::from(k) * 2.3).sin();
        let found = smoothed_times(&stream((0..2000).map(|k| even(k) + jitter(k)).collect()));
        for k in (0..2000).filter(|k| (100..900).contains(&(k % 1000))) {
            assert!((found[k as usize] - even(k)).abs() < 5e-5, "{k}: {}", found[k as usize] - even(k));
        }
        assert!(found.windows(2).all(|pair| pair[1] > pair[0]));
        assert!((found[1000] - found[999] - 7.005).abs() < 0.002);
    }

    #[test]
    fn uneven_sampling_keeps_its_stamps() {
        // Bursts: four samples at once, then a pause.
        let stamps: Vec<f64> = (0..400).map(|k| f64::from(k / 4) * 0.04 + f64::from(k % 4) * 0.001).collect();
        assert_eq!(smoothed_times(&stream(stamps.clone())), stamps);
        assert!(smoothed_times(&Stream::default()).is_empty());
    }
}
