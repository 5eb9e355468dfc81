//! Sentences on single cells and pairs of cells; each names its cell and its figures.

use driftless_analysis::campaign::model::SetupId;
use driftless_analysis::campaign::statistics::drift::DriftVerdict;
use driftless_analysis::campaign::statistics::fieller::CompensationVerdict;
use driftless_analysis::campaign::{
    CampaignAnalysis, CampaignSpread, CellComparison, CellCompensation, CellDrift, CellKey, LogAgainstStopwatch,
};
use driftless_display::campaign::{percent_words, place_words, range_words, turn_words, whole_range};
use driftless_display::{DisplayUnits, count_of, fixed};
use driftless_units::Interval;

/// What a compensation says.
pub(crate) fn compensation(analysis: &CampaignAnalysis, units: &DisplayUnits, of: &CellCompensation) -> String {
    let cell = analysis.words(of.key);
    let left = turn_words(units, &of.residual_deg_s);
    let Some((percent, interval)) = of.result.percent.zip(of.result.interval) else {
        let base = turn_words(units, &of.baseline_deg_s);
        return format!(
            "{cell}: no percentage can be given, because without a device it hardly turns, {base}; with it, {left}."
        );
    };
    let figure = percent_words(&of.result);
    match of.result.verdict {
        CompensationVerdict::NotResolvable => format!("{cell}: not resolvable; it still turns {left}."),
        CompensationVerdict::Worsens => format!(
            "{cell}: the turn is made worse, by {}\u{a0}% ({}\u{a0}%); it still turns {left}.",
            fixed(-percent, 0),
            whole_range(&Interval { low: -interval.high, high: -interval.low })
        ),
        CompensationVerdict::NoEffectShown => {
            format!("{cell}: no effect is shown: {figure} of the turn is compensated; it still turns {left}.")
        }
        CompensationVerdict::Reduces => format!("{cell}: {figure} of the turn is compensated; it still turns {left}."),
        CompensationVerdict::FullWithinUncertainty => format!(
            "{cell}: {figure} of the turn is compensated, all of it as far as the runs can tell; it still turns {left}."
        ),
        CompensationVerdict::OverCompensated => {
            format!("{cell}: over-compensated, {figure}: it turns the other way, {left}.")
        }
    }
}

/// What a comparison of two devices says.
pub(crate) fn comparison(analysis: &CampaignAnalysis, units: &DisplayUnits, of: &CellComparison) -> String {
    let key = |setup: SetupId| CellKey { setup, wing: of.wing, scenario: of.scenario };
    let campaign = &analysis.campaign;
    let place = place_words(analysis, key(of.a));
    let (a, b) = (&campaign.setup(of.a).name, &campaign.setup(of.b).name);
    let factor = units.turn.per_deg_s();
    let unit = units.turn.sign();
    let sized = |interval: Interval<f64>| Interval { low: interval.low * factor, high: interval.high * factor };
    let difference = of.result.difference_interval;
    let ways = if of.result.opposite { "; they turn opposite ways" } else { "" };
    if !of.told_apart() {
        return format!(
            "{place}: {a} and {b} are not told apart by the size of their turn (difference {}\u{a0}{unit}){ways}.",
            range_words(&sized(difference))
        );
    }
    let (less, more, by) = if of.result.difference <= 0.0 {
        (a, b, Interval { low: -difference.high, high: -difference.low })
    } else {
        (b, a, difference)
    };
    let ratio = match of.result.ratio_interval {
        Some(_) if of.result.ratio > 0.0 => {
            let share = if of.result.difference <= 0.0 { of.result.ratio } else { 1.0 / of.result.ratio };
            format!(", to {}\u{a0}% of it", fixed(100.0 * share, 0))
        }
        _ => String::new(),
    };
    format!(
        "{place}: with {less} it turns less than with {more}, by {}\u{a0}{unit}{ratio}{ways}.",
        range_words(&sized(by))
    )
}

/// How a claim stands up; `None` when nobody claims a compensation for the cell's set-up.
pub(crate) fn compensation_claim(analysis: &CampaignAnalysis, of: &CellCompensation) -> Option<String> {
    let claimed = analysis.campaign.setup(of.key.setup).claim.compensation_percent?;
    let interval = of.result.interval?;
    let cell = analysis.words(of.key);
    let figure = percent_words(&of.result);
    let claim = format!("{}\u{a0}%", fixed(claimed, 0));
    Some(match interval {
        Interval { high, .. } if high < claimed => format!("{cell}: {claim} is claimed; the runs show less, {figure}."),
        Interval { low, .. } if low > claimed => format!("{cell}: {claim} is claimed; the runs show more, {figure}."),
        _ => format!("{cell}: {claim} is claimed; the runs do not contradict it, {figure}."),
    })
}

/// What the heading drift of a cell says.
pub(crate) fn drift(analysis: &CampaignAnalysis, of: &CellDrift) -> String {
    let cell = analysis.words(of.key);
    let interval = of.result.interval;
    let figure = format!("{} to {}\u{a0}°/min", fixed(interval.low, 0), fixed(interval.high, 0));
    let size = sorted_size(&interval);
    let by = format!("by {} to {}\u{a0}°/min", fixed(size.low, 0), fixed(size.high, 0));
    let raw_side = if of.result.raw_deg_min < 0.0 { "left" } else { "right" };
    let raw = format!(
        "the ground track alone would have shown {}\u{a0}°/min {raw_side}",
        fixed(of.result.raw_deg_min.abs(), 0)
    );
    let limit = fixed(of.limit_deg_min, 0);
    let within = match of.claimed {
        true => format!("the {limit}\u{a0}°/min claimed"),
        false => format!("{limit}\u{a0}°/min"),
    };
    let beyond = interval.low > of.limit_deg_min || interval.high < -of.limit_deg_min;
    match of.result.verdict {
        DriftVerdict::Right | DriftVerdict::Left => {
            let side = if of.result.verdict == DriftVerdict::Right { "right" } else { "left" };
            let verdict = if beyond { format!(", beyond {within}") } else { String::new() };
            format!("{cell}: drifts to the {side} {by}{verdict}; {raw}.")
        }
        DriftVerdict::StraightWithinLimit => format!("{cell}: straight within {within} ({figure}); {raw}."),
        DriftVerdict::CannotTell => {
            format!("{cell}: no drift is shown, but {figure} does not rule out more than {within}; {raw}.")
        }
    }
}

/// What the intervals of all cells rest on: how far runs spread from day to day.
pub(crate) fn spread(of: &CampaignSpread) -> String {
    let percent = |share: f64| fixed(100.0 * share, 0);
    let by_hand = of.by_hand_factor.map_or(String::new(), |factor| {
        format!(
            " Beside {} the stopwatch was read with {} times the stated error ({} to {}), and timed runs count accordingly.",
            count_of(of.measured_twice, "log", "logs"),
            fixed(factor.median, 1),
            fixed(factor.interval.low, 1),
            fixed(factor.interval.high, 1)
        )
    });
    let words = if of.repeats == 0 {
        format!(
            "Nothing was repeated, so how far days differ is not known. The intervals allow for a typical spread, \
             {}\u{a0}°/s and {}\u{a0}% of the turn; the runs alone would make them narrower than they can be trusted.",
            fixed(of.prior.absolute, 2),
            percent(of.prior.share)
        )
    } else {
        format!(
            "All cells share what {} of the spread from run to run: {}\u{a0}°/s ({} to {}) and {}\u{a0}% of the turn ({} to \
             {}).",
            count_of(of.repeats, "repeat says", "repeats say"),
            fixed(of.absolute_deg_s.median, 2),
            fixed(of.absolute_deg_s.interval.low, 2),
            fixed(of.absolute_deg_s.interval.high, 2),
            percent(of.share.median),
            percent(of.share.interval.low),
            percent(of.share.interval.high)
        )
    };
    format!("{words}{by_hand}")
}

/// How far log and stopwatch agree.
pub(crate) fn agreement(of: &LogAgainstStopwatch) -> String {
    let Some(result) = &of.result else {
        return "A single run was measured both ways, too few to say how far log and stopwatch agree.".to_owned();
    };
    let bias = result.bias.interval(0.95);
    let shift = if bias.low > 0.0 || bias.high < 0.0 {
        let way = if bias.low > 0.0 { "more" } else { "less" };
        format!("the log shows {way} turn, by {}\u{a0}°/s on average", range_words(&sorted_size(&bias)))
    } else {
        format!("no systematic difference is shown ({}\u{a0}°/s)", range_words(&bias))
    };
    let limits = Interval { low: result.lower.value, high: result.upper.value };
    let verdict = if result.as_stated() {
        "the differences are no larger than the stated uncertainties allow"
    } else {
        "the differences are larger than the stated uncertainties allow: the stopwatch was read or pointed worse than \
         assumed, or the log is less sure than it says"
    };
    format!(
        "{} were measured both ways: {shift}; 95\u{a0}% of differences, log minus stopwatch, lie between {}\u{a0}°/s; {verdict}.",
        count_of(result.pairs, "run", "runs"),
        range_words(&limits).replace(" to ", " and "),
    )
}

/// Both ends without sign, the smaller first.
fn sorted_size(interval: &Interval<f64>) -> Interval<f64> {
    let (a, b) = (interval.low.abs(), interval.high.abs());
    Interval { low: a.min(b), high: a.max(b) }
}
