//! Fewer points, same picture: a chart of a few hundred units of width cannot show more.

/// Points of a time series thinned to at most about `most`, keeping the lowest and highest of every bucket in time
/// order, so that no spike is lost. Points must be in order of `x`.
pub(super) fn series(points: &[(f64, f64)], most: usize) -> Vec<(f64, f64)> {
    if points.len() <= most || most < 4 {
        return points.to_vec();
    }
    // Four points of each bucket survive: first, lowest, highest, last.
    let bucket = points.len().div_ceil(most / 4).max(1);
    let mut kept = Vec::with_capacity(most + 4);
    for chunk in points.chunks(bucket) {
        let (mut low, mut high) = (0, 0);
        for (i, p) in chunk.iter().enumerate() {
            if chunk.get(low).is_some_and(|l| p.1 < l.1) {
                low = i;
            }
            if chunk.get(high).is_some_and(|h| p.1 > h.1) {
                high = i;
            }
        }
        let mut indices = [0, low.min(high), low.max(high), chunk.len() - 1].to_vec();
        indices.dedup();
        kept.extend(indices.into_iter().filter_map(|i| chunk.get(i).copied()));
    }
    kept
}

/// A path in the plane thinned to at most about `most` points: a point is kept when it lies at least some distance
/// from the one kept before, and the distance grows until few enough are left. First and last stay.
pub(super) fn path(points: &[(f64, f64)], finest: f64, most: usize) -> Vec<(f64, f64)> {
    /// Coarser than this a path loses its bends.
    const COARSEST: f64 = 8.0;
    let mut distance = finest.max(1e-3);
    while distance < COARSEST {
        let kept = spaced(points, distance);
        if kept.len() <= most {
            return kept;
        }
        distance *= 1.5;
    }
    // A scribble rather than a path: every so many points are as good as any.
    let stride = points.len().div_ceil(most.saturating_sub(1).max(1)).max(1);
    points
        .iter()
        .step_by(stride)
        .chain(points.last().filter(|_| !(points.len() - 1).is_multiple_of(stride)))
        .copied()
        .collect()
}

fn spaced(points: &[(f64, f64)], distance: f64) -> Vec<(f64, f64)> {
    let mut kept: Vec<(f64, f64)> = Vec::new();
    for p in points {
        if kept.last().is_none_or(|last| (p.0 - last.0).hypot(p.1 - last.1) >= distance) {
            kept.push(*p);
        }
    }
    if let (Some(end), Some(last)) = (points.last(), kept.last())
        && end != last
    {
        kept.push(*end);
    }
    kept
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_single_spike_survives() {
        let mut points: Vec<_> = (0..144_000).map(|i| (f64::from(i), 0.0)).collect();
        points[77_777].1 = 5.0;
        points[88_888].1 = -5.0;
        let kept = series(&points, 2000);
        assert!(kept.len() <= 2004);
        assert!(kept.contains(&(77_777.0, 5.0)) && kept.contains(&(88_888.0, -5.0)));
        assert_eq!((kept.first(), kept.last()), (points.first(), points.last()));
        assert!(kept.windows(2).all(|w| w[0].0 <= w[1].0), "time order");
    }

    #[test]
    fn a_long_path_keeps_its_ends() {
        let points: Vec<_> = (0..100_000).map(|i| (f64::from(i).sin() * 400.0, f64::from(i) * 0.01)).collect();
        let kept = path(&points, 0.4, 2000);
        assert!(kept.len() <= 2000 && kept.len() > 10);
        assert_eq!((kept.first(), kept.last()), (points.first(), points.last()));
    }
}
