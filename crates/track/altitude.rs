//! One altitude per fix: GNSS where the log has it throughout, else pressure; holes and spikes filled in.

use crate::path::fix_of;
use crate::{Fix, OptionalF64, Problems, Severity, TrackPoint};
use driftless_units::median;

/// Share of the fixes that must have an altitude for it to count as there "throughout".
const THROUGHOUT: f64 = 0.9;
/// An altitude this far from both neighbours that agree is a spike, m.
const SPIKE_M: f64 = 30.0;

/// Altitudes of the points, m, or `None` when the log has none that moves.
pub(crate) fn choose(fixes: &[Fix], points: &[TrackPoint], problems: &mut Problems) -> Option<Vec<f64>> {
    let column = |get: fn(&Fix) -> OptionalF64| -> Vec<OptionalF64> {
        let altitude_m = |p| fix_of(fixes, p).and_then(|fix| get(fix).get()).filter(|v| v.is_finite());
        points.iter().map(|p| altitude_m(p).into()).collect()
    };
    let gnss = column(|f| f.gnss_altitude_m);
    if let Some(filled) = usable(&gnss, THROUGHOUT).then(|| fill(&gnss)).flatten() {
        return Some(filled);
    }
    let pressure = column(|f| f.pressure_altitude_m);
    if let Some(filled) = usable(&pressure, THROUGHOUT).then(|| fill(&pressure)).flatten() {
        problems.add(
            "pressure-altitude",
            Severity::Note,
            None,
            || {
                "heights are pressure altitudes (standard atmosphere): the log has no satellite altitude throughout"
                    .into()
            },
            "Heights can be off by the day's pressure; differences within the flight are good.",
        );
        return Some(filled);
    }
    let patchy = [&gnss, &pressure].into_iter().find(|c| usable(c, 0.3)).and_then(|c| fill(c));
    if patchy.is_some() {
        problems.add(
            "patchy-altitude",
            Severity::Warning,
            None,
            || "many fixes have no altitude; it was drawn straight in between".into(),
            "",
        );
    } else {
        problems.add(
            "no-altitude",
            Severity::Warning,
            None,
            || "the log has no altitude, or one that never changes".into(),
            "Climb, scenario and height above take-off cannot be told without it.",
        );
    }
    patchy
}

/// Enough of it, and not one value throughout.
fn usable(column: &[OptionalF64], share: f64) -> bool {
    let known = || column.iter().filter_map(|v| v.get());
    let (have, first) = (known().count(), known().next());
    have > 1 && have as f64 >= share * column.len() as f64 && known().any(|v| Some(v) != first)
}

/// Fills holes straight between neighbours (flat at the ends) and takes out spikes.
fn fill(column: &[OptionalF64]) -> Option<Vec<f64>> {
    let mut known: Vec<(usize, f64)> = Vec::with_capacity(column.len());
    known.extend(column.iter().enumerate().filter_map(|(i, v)| Some((i, v.get()?))));
    let spikes = spikes(&known);
    known.retain(|(i, _)| spikes.binary_search(i).is_err());
    let (&(first, first_m), &(_, last_m)) = (known.first()?, known.last()?);
    let mut filled = Vec::with_capacity(column.len());
    filled.resize(first, first_m);
    for pair in known.windows(2) {
        let [(a, low), (b, high)] = pair else { continue };
        let steps = (b - a) as f64;
        filled.extend((0..b - a).map(|step| low + (high - low) * step as f64 / steps));
    }
    filled.resize(column.len(), last_m);
    Some(filled)
}

/// Where the spikes are, rising.
fn spikes(known: &[(usize, f64)]) -> Vec<usize> {
    let is_spike = |k: usize, here_m: f64| {
        let around = || known.iter().skip(k.saturating_sub(3)).take(k.min(3) + 4).map(|(_, v)| *v);
        let middle = median(around()).unwrap_or(here_m);
        // Steep flight spreads all seven; a spike leaves the other six together.
        let off = around().map(|v| (v - middle).abs());
        (here_m - middle).abs() > SPIKE_M.max(6.0 * median(off).unwrap_or(0.0))
    };
    // Looking around every fix would cost more than it finds: only steps of 30 m are candidates.
    known
        .iter()
        .enumerate()
        .filter(|&(k, &(_, here_m))| {
            let neighbours = [k.checked_sub(1), Some(k + 1)].map(|j| j.and_then(|j| known.get(j)));
            let jumps = neighbours.into_iter().flatten().any(|n| (n.1 - here_m).abs() > SPIKE_M);
            jumps && is_spike(k, here_m)
        })
        .map(|(_, &(i, _))| i)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::path::unplaced;

    fn run(gnss: &[Option<f64>], pressure: &[Option<f64>]) -> (Option<Vec<f64>>, Vec<&'static str>) {
        let fixes: Vec<Fix> = gnss
            .iter()
            .zip(pressure)
            .map(|(g, p)| Fix { gnss_altitude_m: (*g).into(), pressure_altitude_m: (*p).into(), ..Fix::default() })
            .collect();
        let points = unplaced(&fixes, &(0..fixes.len() as u32).collect::<Vec<_>>());
        let mut problems = Problems::default();
        let chosen = choose(&fixes, &points, &mut problems);
        (chosen, problems.into_vec().iter().map(|p| p.code).collect())
    }

    #[test]
    fn gnss_comes_first_then_pressure_then_nothing() {
        let rising: Vec<_> = (0..20).map(|i| Some(f64::from(i))).collect();
        let constant = vec![Some(0.0); 20];
        assert_eq!(run(&rising, &constant), (Some((0..20).map(f64::from).collect()), vec![]));
        assert_eq!(run(&constant, &rising).1, ["pressure-altitude"]);
        assert_eq!(run(&constant, &[None; 20]), (None, vec!["no-altitude"]));
    }

    #[test]
    fn holes_and_spikes_are_drawn_straight() {
        let mut rising: Vec<_> = (0..40).map(|i| Some(100.0 + f64::from(i))).collect();
        rising[7] = None;
        rising[20] = Some(900.0);
        rising[0] = None;
        let (chosen, codes) = run(&rising, &[None; 40]);
        let chosen = chosen.unwrap_or_default();
        assert!((chosen[7] - 107.0).abs() < 1e-9 && (chosen[20] - 120.0).abs() < 1e-9);
        assert_eq!((chosen[0], codes), (101.0, vec![]));
    }
}
