//! Published figures through `driftless compare`: numbers of others, entered as anybody enters a run that was timed, and
//! the figures of the document held against those that were published.
//!
//! The campaign file knows no "value with its standard uncertainty", and needs none: a run of `degrees` in `seconds`, by a
//! watch good to a millionth of a second and past landmarks pointed at to `pointing_std_u_deg`, is `degrees / seconds`
//! uncertain by `pointing_std_u_deg / seconds`. Numbers that are no turn rates are moved (by a constant that means move with and
//! spreads do not) or scaled (by a factor that both scale with) until they are.

use crate::run::Place;
use driftless_units::coverage_factor;
use serde_json::Value;
use std::fmt::Write;

/// Time of every run, s.
const SECONDS: f64 = 30.0;

/// A run: set-up, wing, turn rate and its standard uncertainty in °/s.
type Run = (&'static str, usize, f64, f64);

const HEAD: &str = r#"title = "Published"
sheets = ["runs.csv"]
[power_units.tarn]
reduction_ratio = 2.87
propeller = "clockwise"
[devices.vanes]
[devices.offset]
[setups.bare]
power_unit = "tarn"
[setups.vanes]
power_unit = "tarn"
device = "vanes"
baseline = "bare"
[setups.offset]
power_unit = "tarn"
device = "offset"
baseline = "bare"
"#;

/// What `compare --format json` says of these runs, entered in a sheet.
fn compared(runs: &[Run]) -> Value {
    let place = Place::new();
    let mut campaign = HEAD.to_owned();
    for wing in 0..=runs.iter().map(|run| run.1).max().expect("a run") {
        let _ = writeln!(campaign, "[wings.wing-{wing}]");
    }
    let mut sheet = "setup,wing,scenario,degrees,seconds,turned,reading_std_u_s,pointing_std_u_deg\n".to_owned();
    for &(setup, wing, rate, std_u) in runs {
        let turned = if rate < 0.0 { "left" } else { "right" };
        let (degrees, pointing) = (SECONDS * rate.abs(), SECONDS * std_u);
        let _ =
            writeln!(sheet, "{setup},wing-{wing},trim-level,{degrees:.12},{SECONDS},{turned},0.000001,{pointing:.12}");
    }
    place.with("campaign.toml", campaign);
    place.with("runs.csv", sheet);
    let ran = place.run(&["compare", "campaign.toml", "--format", "json"]).expect_code(0);
    serde_json::from_str(&ran.stdout).expect("a document")
}

/// One cell of these numbers, each times `factor` and moved by `by`.
fn cell(numbers: &[(f64, f64)], factor: f64, by: f64) -> Value {
    let runs: Vec<Run> = numbers.iter().map(|(y, u)| ("bare", 0, by + factor * y, factor * u)).collect();
    compared(&runs)["cells"][0].clone()
}

fn number(value: &Value, pointer: &str) -> f64 {
    value.pointer(pointer).and_then(Value::as_f64).unwrap_or_else(|| panic!("{pointer} in {value}"))
}

#[track_caller]
fn near(value: &Value, pointer: &str, expected: f64, tolerance: f64) {
    let got = number(value, pointer);
    assert!((got - expected).abs() <= tolerance, "{pointer}: {got}, expected {expected}");
}

/// Spread, mean and standard uncertainty of a cell by itself (`alone`: what its runs say as if no other had been flown and
/// nothing been held likely before), whose numbers were scaled and moved.
#[track_caller]
fn mean_is(cell: &Value, [tau2, mean, std_u]: [f64; 3], factor: f64, by: f64) {
    near(cell, "/between_run_sd_deg_s", factor * tau2.sqrt(), 1e-6 * factor * tau2.sqrt());
    near(cell, "/alone/value_deg_s", by + factor * mean, 2e-7 * factor * mean.abs());
    near(cell, "/alone/std_u_deg_s", factor * std_u, 1e-6 * factor * std_u);
}

/// S. W. Raudenbush's expectancy studies (*Analyzing effect sizes: random-effects models*, 2009, table 16.3, p. 309, as
/// quoted in the tests of metafor, which also carries the data): printed τ² 0.019, mean 0.084, standard uncertainty 0.062
/// after Knapp and Hartung, -0.046 to 0.213; further digits recomputed by independent code.
#[test]
fn published_repeats_of_raudenbush() {
    let effects = [
        0.03, 0.12, -0.14, 1.18, 0.26, -0.06, -0.02, -0.32, 0.27, 0.80, 0.54, 0.18, -0.02, 0.23, -0.18, -0.06, 0.30,
        0.07, -0.07,
    ];
    let variances: [f64; 19] = [
        0.0156, 0.0216, 0.0279, 0.1391, 0.1362, 0.0106, 0.0106, 0.0484, 0.0269, 0.0630, 0.0912, 0.0497, 0.0835, 0.0841,
        0.0253, 0.0279, 0.0193, 0.0088, 0.0303,
    ];
    let numbers: Vec<(f64, f64)> = effects.into_iter().zip(variances.map(f64::sqrt)).collect();
    let cell = cell(&numbers, 1.0, 3.0);
    mean_is(&cell, [0.018_818_288, 0.083_701_242, 0.061_579_319], 1.0, 3.0);
    near(&cell, "/alone/low95_deg_s", 3.0 - 0.045_672, 1e-6);
    near(&cell, "/alone/high95_deg_s", 3.0 + 0.213_075, 1e-6);
    near(&cell, "/alone/low95_deg_s", 3.0 - 0.046, 5e-4);
    near(&cell, "/alone/high95_deg_s", 3.0 + 0.213, 5e-4);
}

/// Dyestuff (O. L. Davies, by way of lme4): means of six batches of five, residual variance 2451; printed τ² 1764, mean
/// 1527.5 and standard uncertainty 19.38 (printed digits from memory). In thousandths.
#[test]
fn published_batches_of_dyestuff() {
    let batches = [1505.0, 1528.0, 1564.0, 1498.0, 1600.0, 1470.0].map(|mean| (mean, f64::sqrt(490.25)));
    mean_is(&cell(&batches, 1e-3, 0.0), [1_764.05, 1_527.5, 19.383_412], 1e-3, 0.0);
}

/// Pastes (O. L. Davies, by way of lme4): ten batches of three casks of two; by expected mean squares, which are restricted
/// maximum likelihood where the data balance: residual 0.678, cask 8.434, batch 1.657 (printed digits from memory), mean
/// 60.053333, standard uncertainty 0.676870. Casks within a batch are what makes a batch mean uncertain. In hundredths.
#[test]
fn published_batches_of_pastes() {
    let batches: [[f64; 6]; 10] = [
        [62.8, 62.6, 60.1, 62.3, 62.7, 63.1],
        [60.0, 61.4, 57.5, 56.9, 61.1, 58.9],
        [58.7, 57.5, 63.9, 63.1, 65.4, 63.7],
        [57.1, 56.4, 56.9, 58.6, 64.7, 64.5],
        [55.1, 55.1, 54.7, 54.2, 58.8, 57.5],
        [63.4, 64.9, 59.3, 58.1, 60.5, 60.0],
        [62.5, 62.6, 61.0, 58.7, 56.9, 57.7],
        [59.2, 59.4, 65.2, 66.0, 64.8, 64.1],
        [54.8, 54.8, 64.0, 64.0, 57.7, 56.8],
        [58.3, 59.3, 59.2, 59.2, 58.9, 56.6],
    ];
    let within = (8.433_667 + 0.678 / 2.0) / 3.0;
    let numbers = batches.map(|batch| (batch.iter().sum::<f64>() / 6.0, f64::sqrt(within)));
    mean_is(&cell(&numbers, 1e-2, 0.0), [1.657_309, 60.053_333_3, 0.676_870], 1e-2, 0.0);
}

/// NIST/SEMATECH e-Handbook 7.4.4: five batches of three, residual variance 1.8; printed σ² of batches 11.71 (from
/// memory); τ², mean and standard uncertainty to more digits recomputed. In hundredths.
#[test]
fn published_batches_of_nist() {
    let batches = [[74.0, 76.0, 75.0], [68.0, 71.0, 72.0], [75.0, 77.0, 77.0], [72.0, 74.0, 73.0], [79.0, 81.0, 79.0]];
    let numbers = batches.map(|batch: [f64; 3]| (batch.iter().sum::<f64>() / 3.0, f64::sqrt(0.6)));
    let cell = cell(&numbers, 1e-2, 0.0);
    mean_is(&cell, [11.711_111_1, 74.866_666_7, 1.569_147], 1e-2, 0.0);
    near(&cell, "/alone/degrees_of_freedom", 4.0, 0.0);
}

/// The trials of BCG vaccine (G. A. Colditz et al., JAMA 271 (1994) 698-702; counts from memory): vaccinated with and
/// without disease, others with and without; log relative risks with their standard uncertainties.
fn bcg() -> Vec<(f64, f64)> {
    let counts: [[f64; 4]; 13] = [
        [4.0, 119.0, 11.0, 128.0],
        [6.0, 300.0, 29.0, 274.0],
        [3.0, 228.0, 11.0, 209.0],
        [62.0, 13_536.0, 248.0, 12_619.0],
        [33.0, 5_036.0, 47.0, 5_761.0],
        [180.0, 1_361.0, 372.0, 1_079.0],
        [8.0, 2_537.0, 10.0, 619.0],
        [505.0, 87_886.0, 499.0, 87_892.0],
        [29.0, 7_470.0, 45.0, 7_232.0],
        [17.0, 1_699.0, 65.0, 1_600.0],
        [186.0, 50_448.0, 141.0, 27_197.0],
        [5.0, 2_493.0, 3.0, 2_338.0],
        [27.0, 16_886.0, 29.0, 17_825.0],
    ];
    let of = |[a, b, c, d]: [f64; 4]| {
        let risk = (a / (a + b) / (c / (c + d))).ln();
        (risk, (1.0 / a - 1.0 / (a + b) + 1.0 / c - 1.0 / (c + d)).sqrt())
    };
    counts.map(of).to_vec()
}

/// All trials together: metafor's examples print τ² 0.3132 and mean -0.7145 (from memory).
#[test]
fn published_trials_of_bcg() {
    let cell = cell(&bcg(), 1.0, 3.0);
    near(&cell, "/between_run_sd_deg_s", f64::sqrt(0.3132), 1e-4);
    near(&cell, "/alone/value_deg_s", 3.0 - 0.7145, 5e-5);
}

/// By allocation, the model `rma(yi, vi, mods = ~ factor(alloc) - 1)` of metafor's examples: the common τ² is 0.361503664
/// (recomputed). `compare` states the means under that spread in its document; a cell by itself has its own mean and spread,
/// which metafor prints for the random ones: τ² 0.3925, mean -0.9710 (from memory).
#[test]
fn published_trials_of_bcg_by_allocation() {
    let alloc = |trial: usize| match trial {
        5 | 6 => "bare",
        1..=4 | 7..=9 => "vanes",
        _ => "offset",
    };
    let runs: Vec<Run> = bcg().into_iter().enumerate().map(|(i, (y, u))| (alloc(i + 1), 0, 3.0 + y, u)).collect();
    let document = compared(&runs);
    let plans = document["more_runs"].as_array().expect("plans");
    assert_eq!(plans.len(), 2, "{plans:?}");
    for plan in plans {
        near(plan, "/common_between_run_sd_deg_s", 0.361_503_664_f64.sqrt(), 1e-6);
    }
    let cells = document["cells"].as_array().expect("cells");
    // Moved by 3 as the runs are; further digits of metafor's model recomputed by independent code.
    for (setup, mean, std_u) in [
        ("bare", -0.517_955_777, 0.421_947_059),
        ("vanes", -0.965_774_179, 0.255_585_393),
        ("offset", -0.428_917_561, 0.329_896_897),
    ] {
        let cell = cells.iter().find(|cell| cell["setup"] == setup).expect(setup);
        near(cell, "/turn_rate_common_spread/value_deg_s", 3.0 + mean, 1e-6);
        near(cell, "/turn_rate_common_spread/std_u_deg_s", std_u, 1e-6);
        near(cell, "/turn_rate_common_spread/degrees_of_freedom", 10.0, 0.0);
    }
    let random = cells.iter().find(|cell| cell["setup"] == "vanes").expect("the random ones");
    near(random, "/between_run_sd_deg_s", f64::sqrt(0.3925), 1e-4);
    near(random, "/alone/value_deg_s", 3.0 - 0.9710, 5e-5);
}

/// F. E. Grubbs' test in NIST/SEMATECH e-Handbook 1.3.5.17.1 (section from memory): of eight masses the eighth is an
/// outlier and no other. In hundredths.
#[test]
fn published_outlier_of_grubbs() {
    let masses = [199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57].map(|mass| (mass, 0.01));
    let cell = cell(&masses, 1e-2, 0.0);
    let runs = cell["run_list"].as_array().expect("runs");
    let named: Vec<usize> = (0..runs.len()).filter(|&i| runs[i]["outlying"] == true).collect();
    assert_eq!(named, [7], "{cell}");
    near(&cell, "/alone/value_deg_s", 2.064_338, 1e-4);
}

/// What `compare` adds where nothing was repeated: a typical spread of days, 0.10 °/s and 4 %.
fn typical_spread(rate: f64) -> f64 {
    0.10_f64.hypot(0.04 * rate)
}

/// Ten p-values and what S. Holm's correction makes of them (test_multi.py of statsmodels, from R's multtest). Each is the
/// p of two devices on a wing of their own, one run each, that far apart.
#[test]
fn published_corrections_of_holm() {
    let p = [
        5.236_567_772_08e-5,
        2.814_050_619_8e-4,
        0.014_987_731_079_6,
        0.020_273_268_879_8,
        0.177_096_952_723,
        0.642_193_923_795,
        0.680_845_947_633,
        0.716_269_382_38,
        0.838_541_367_553,
        0.967_833_824_309,
    ];
    let corrected = [5.236_567_77e-4, 2.532_645_56e-3, 0.119_901_849, 0.141_912_882, 1.0, 1.0, 1.0, 1.0, 1.0, 1.0];
    let std_u = 0.1;
    let of_day = |rate: f64| typical_spread(rate).hypot(std_u);
    let runs: Vec<Run> = p
        .iter()
        .enumerate()
        .flat_map(|(wing, p)| {
            // The typical spread depends on the turn, and the turn on the spread: twenty steps settle it.
            let mut other: f64 = 6.0;
            for _ in 0..20 {
                other = 6.0 - coverage_factor(1.0 - p, f64::INFINITY) * of_day(6.0).hypot(of_day(other));
            }
            [("vanes", wing, 6.0, std_u), ("offset", wing, other, std_u)]
        })
        .collect();
    let document = compared(&runs);
    let comparisons = document["comparisons"].as_array().expect("comparisons");
    assert_eq!(comparisons.len(), p.len());
    for ((comparison, p), corrected) in comparisons.iter().zip(p).zip(corrected) {
        near(comparison, "/p", p, 1e-6 * p);
        near(comparison, "/p_holm", corrected, 1e-6 * corrected);
        assert_eq!(comparison["told_apart"], corrected < 0.05);
    }
}

/// GraphPad QuickCalcs (by way of DCSTATS): 14 with a standard deviation of 3 over 7 with one of 2, six of each; 95 % limits
/// of the ratio printed as 1.46 and 2.83, with ten degrees of freedom in common. `compare` lets both arms share their spread
/// and holds one of 25 % unlikely beforehand, so that its limits lie a little closer: by less than a fifteenth.
#[test]
fn published_ratio_of_fieller() {
    // Three a standard deviation (times √(5/6), as five are divided by) above the mean and three below.
    let arm = |setup, mean: f64, sd: f64| {
        [1.0, -1.0, 1.0, -1.0, 1.0, -1.0].map(|side| (setup, 0, mean + side * sd * f64::sqrt(5.0 / 6.0), 1e-6))
    };
    let runs: Vec<Run> = arm("vanes", 14.0, 3.0).into_iter().chain(arm("bare", 7.0, 2.0)).collect();
    let document = compared(&runs);
    let compensation = &document["compensation"][0];
    near(compensation, "/percent", -100.0, 1e-4);
    let [low, high] = ["/low95", "/high95"].map(|end| 1.0 - number(compensation, end) / 100.0);
    assert!((2.83 - 0.15..=2.83).contains(&low) && (1.46..1.46 + 0.05).contains(&high), "{low} {high}");
}

/// Compensations worked out from E. C. Fieller's formula (J. R. Statist. Soc. Suppl. 7 (1940) 1-64) by independent code:
/// 1.2 ± 0.4 against 6.0 ± 0.3 is 80 %, 66.528 to 93.084; a baseline not told from zero (g above one) has no percentage.
#[test]
fn derived_compensations_of_fieller() {
    // So uncertain that they are as stated with the typical spread of days added.
    let own = |rate: f64, std_u: f64| (std_u * std_u - typical_spread(rate).powi(2)).sqrt();
    let document = compared(&[("vanes", 0, 1.2, own(1.2, 0.4)), ("bare", 0, 6.0, own(6.0, 0.3))]);
    let compensation = &document["compensation"][0];
    near(compensation, "/percent", 80.0, 1e-6);
    near(compensation, "/low95", 66.528, 5e-4);
    near(compensation, "/high95", 93.084, 5e-4);
    // g = (1.96 · 0.8 / 1.5)² = 1.09.
    let document = compared(&[("vanes", 0, 0.3, 0.1), ("bare", 0, 1.5, 0.8)]);
    let compensation = &document["compensation"][0];
    assert_eq!(compensation["resolvable"], false, "{compensation}");
    for key in ["percent", "low95", "high95"] {
        assert!(compensation[key].is_null(), "{key}: {compensation}");
    }
}
