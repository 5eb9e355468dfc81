use super::*;
use crate::testing::{Draws, share};

/// Pearson's data with York's weights (York 1966; M. Lybanon, Am. J. Phys. 52 (1984) 22-26). Slope -0.480533407 and
/// intercept 5.47991022 as York et al. 2004 print them, with standard errors 0.0580 and 0.295 and S/(n-2) = 1.4833 (from
/// memory; last printed digit).
#[test]
fn published_pearson_data_with_york_weights() {
    let x = [0.0, 0.9, 1.8, 2.6, 3.3, 4.4, 5.2, 6.1, 6.5, 7.4];
    let wx: [f64; 10] = [1000., 1000., 500., 800., 200., 80., 60., 20., 1.8, 1.0];
    let y = [5.9, 5.4, 4.4, 4.6, 3.5, 3.7, 2.8, 2.8, 2.4, 1.5];
    let wy: [f64; 10] = [1., 1.8, 4., 8., 20., 20., 70., 70., 100., 500.];
    let points: Vec<LinePoint> =
        (0..10).map(|i| LinePoint::new(x[i], 1.0 / wx[i].sqrt(), y[i], 1.0 / wy[i].sqrt())).collect();
    let line = fit_line(&points, Scatter::WidenOnly).unwrap();
    assert!((line.slope.value + 0.480_533_407).abs() < 1e-9, "{line:?}");
    assert!((line.intercept.value - 5.479_910_22).abs() < 1e-8);
    assert!((line.chi_squared / line.dof - 1.4833).abs() < 5e-5);
    let widened = 1.4833_f64.sqrt();
    assert!((line.slope.std_u / widened - 0.0580).abs() < 5e-5);
    assert!((line.intercept.std_u / widened - 0.295).abs() < 5e-4);
    assert_eq!(line.slope.dof, 8.0);
}

/// NIST StRD Norris, certified: with x exact and all y alike the line is ordinary least squares. Twelve digits of the
/// slope (conditioning of the data takes the rest), ten of the standard deviations.
#[test]
fn published_nist_norris_linear_limit() {
    const NORRIS: [(f64, f64); 36] = [
        (0.1, 0.2),
        (338.8, 337.4),
        (118.1, 118.2),
        (888.0, 884.6),
        (9.2, 10.1),
        (228.1, 226.5),
        (668.5, 666.3),
        (998.5, 996.3),
        (449.1, 448.6),
        (778.9, 777.0),
        (559.2, 558.2),
        (0.3, 0.4),
        (0.1, 0.6),
        (778.1, 775.5),
        (668.8, 666.9),
        (339.3, 338.0),
        (448.9, 447.5),
        (10.8, 11.6),
        (557.7, 556.0),
        (228.3, 228.1),
        (998.0, 995.8),
        (888.8, 887.6),
        (119.6, 120.2),
        (0.3, 0.3),
        (0.6, 0.3),
        (557.6, 556.8),
        (339.3, 339.1),
        (888.0, 887.2),
        (998.5, 999.0),
        (778.9, 779.0),
        (10.2, 11.1),
        (117.6, 118.3),
        (228.9, 229.2),
        (668.4, 669.1),
        (449.2, 448.9),
        (0.2, 0.5),
    ];
    let points = NORRIS.map(|(y, x)| LinePoint::new(x, 0.0, y, 1.0));
    let line = fit_line(&points, Scatter::LevelFromScatter).unwrap();
    assert!((line.slope.value / 1.002_116_818_020_45 - 1.0).abs() < 1e-12);
    assert!((line.intercept.value / -0.262_323_073_774_029 - 1.0).abs() < 1e-9);
    assert!((line.slope.std_u / 0.429_796_848_199_937e-3 - 1.0).abs() < 1e-10);
    assert!((line.intercept.std_u / 0.232_818_234_301_152 - 1.0).abs() < 1e-10);
    assert!(((line.chi_squared / line.dof).sqrt() / 0.884_796_396_144_373 - 1.0).abs() < 1e-10);
}

/// All errors alike in x and y: the orthogonal line, closed form (Deming with ratio one).
#[test]
fn derived_deming_closed_form() {
    let xy = [(1.0, 1.2), (2.0, 1.9), (3.0, 3.3), (4.0, 3.8), (5.0, 5.3)];
    let points = xy.map(|(x, y)| LinePoint::new(x, 0.1, y, 0.1));
    let (mx, my) = (3.0, xy.iter().map(|(_, y)| y).sum::<f64>() / 5.0);
    let sxx: f64 = xy.iter().map(|(x, _)| (x - mx).powi(2)).sum();
    let syy: f64 = xy.iter().map(|(_, y)| (y - my).powi(2)).sum();
    let sxy: f64 = xy.iter().map(|(x, y)| (x - mx) * (y - my)).sum();
    let want = (syy - sxx + (syy - sxx).hypot(2.0 * sxy)) / (2.0 * sxy);
    let line = fit_line(&points, Scatter::WidenOnly).unwrap();
    assert!((line.slope.value - want).abs() < 1e-12);
    // Turned by a quarter (x and y exchanged) the line is the same.
    let turned = fit_line(&xy.map(|(x, y)| LinePoint::new(y, 0.1, x, 0.1)), Scatter::WidenOnly).unwrap();
    assert!((line.slope.value * turned.slope.value - 1.0).abs() < 1e-12);
    assert!((line.at(3.0).value - my).abs() < 1e-12 && line.at(3.0).std_u < line.at(9.0).std_u);
}

/// Known-weight runs as flown: moments of -30 to 30 N·m known to 3 %, turns with 0.15 °/s. 2,000 campaigns: 95 % within
/// three standard errors of 0.5 % (and a little above, because scatter only ever widens); the slope is not biased toward
/// zero as plain least squares is where x is uncertain.
#[test]
fn simulated_slope_covers_and_is_not_diluted() {
    let mut draws = Draws::new(41);
    let mut sum = 0.0;
    let covered = share(2000, |_| {
        let points: Vec<LinePoint> = [-30.0, -15.0, 0.0, 15.0, 30.0, -30.0, 30.0]
            .iter()
            .map(|moment: &f64| {
                let u = 0.03 * moment.abs() + 1.0;
                LinePoint::new(draws.normal(*moment, u), u, draws.normal(0.4 + 0.1 * moment, 0.15), 0.15)
            })
            .collect();
        let slope = fit_line(&points, Scatter::WidenOnly).unwrap().slope;
        sum += slope.value;
        let interval = slope.interval(0.95);
        interval.low <= 0.1 && 0.1 <= interval.high
    });
    assert!((0.94..=0.985).contains(&covered), "{covered}");
    // Standard error of the mean of 2,000 slopes of 0.0027 each: 6e-5; plain least squares would be 0.4 % low.
    assert!((sum / 2000.0 - 0.1).abs() < 2.5e-4, "{}", sum / 2000.0);
}

#[test]
fn what_is_no_line_is_refused() {
    let at = |x: f64, y: f64| LinePoint::new(x, 0.1, y, 0.1);
    assert!(matches!(fit_line(&[at(1.0, 1.0), at(2.0, 2.0)], Scatter::WidenOnly), Err(StatisticsError::TooFew { .. })));
    let same = fit_line(&[at(1.0, 1.0), at(1.0, 2.0), at(1.0, 3.0)], Scatter::WidenOnly);
    assert!(matches!(same, Err(StatisticsError::NotIdentifiable { .. })));
    let bad = LinePoint { correlation: 1.0, ..at(1.0, 1.0) };
    assert!(fit_line(&[bad, at(2.0, 2.0), at(3.0, 3.0)], Scatter::WidenOnly).is_err());
    // A level line ends too.
    let level = fit_line(&[at(1.0, 2.0), at(2.0, 2.0), at(3.0, 2.0)], Scatter::WidenOnly).unwrap();
    assert!(level.slope.value.abs() < 1e-15);
}

/// Where x is exact, intercept and slope covary by the inverse of the weighted normal equations, and the line at a place is
/// known by the same.
#[test]
fn derived_intercept_and_slope_covary_by_the_normal_equations() {
    let points: Vec<LinePoint> =
        [(1.0, 2.1, 0.3), (2.0, 3.9, 0.5), (4.0, 8.3, 0.2), (7.0, 13.6, 0.9), (9.0, 18.4, 0.4)]
            .map(|(x, y, y_std_u)| LinePoint::new(x, 0.0, y, y_std_u))
            .to_vec();
    let line = fit_line(&points, Scatter::LevelFromScatter).unwrap();
    // Sums of 1, x and x² with the weights; the inverse of [[s, sx], [sx, sxx]] is written out.
    let [s, sx, sxx] = [0, 1, 2].map(|power| points.iter().map(|p| p.x.powi(power) / p.y_std_u.powi(2)).sum::<f64>());
    let level = line.chi_squared / line.dof / (s * sxx - sx * sx);
    let [of_intercept, of_both, of_slope] = [sxx * level, -sx * level, s * level];
    assert!((line.covariance / of_both - 1.0).abs() < 1e-9, "{} {of_both}", line.covariance);
    for x in [-2.0, 0.0, 5.0, 20.0] {
        let expected = (of_intercept + 2.0 * x * of_both + x * x * of_slope).sqrt();
        assert!((line.at(x).std_u / expected - 1.0).abs() < 1e-9, "at {x}: {:?} {expected}", line.at(x));
    }
}
