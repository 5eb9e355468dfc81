//! Sentences on what to adjust, whom to ask and what to fly next.

use super::summary::probability;
use driftless_analysis::campaign::model::Campaign;
use driftless_analysis::campaign::physics::{DeviceModel, DeviceOnWing, ModelVerdict, Sensitivity, WingSensitivity};
use driftless_analysis::campaign::{CampaignAnalysis, MoreRuns, Ranking};
use driftless_display::campaign::{join, place_words, points, setting_unit, typed};
use driftless_display::{DisplayUnits, count_of, significant, turn_signed};

/// "Fenlark 26: vanes 0.9 ± 0.1 °/s, above 99 % sure; then no device 2.7 ± 0.1 °/s".
pub(crate) fn ranking(campaign: &Campaign, units: &DisplayUnits, of: &Ranking) -> Option<String> {
    let each: Vec<String> = of
        .setups
        .iter()
        .map(|(setup, turn)| {
            let name = &campaign.setup(*setup).name;
            format!("{name} {}\u{a0}{}", turn_signed(units, &typed(turn)), units.turn.sign())
        })
        .collect();
    let (first, rest) = each.split_first()?;
    let sure = of.chance_of_first().map_or(String::new(), |chance| format!(", {} sure", probability(chance)));
    let then = if rest.is_empty() { String::new() } else { format!("; then {}", join(rest)) };
    Some(format!("{}: {first}{sure}{then}.", campaign.wing(of.wing).name))
}

/// How a device acts on a wing, as far as the cells tell.
pub(crate) fn device_model(campaign: &Campaign, of: &DeviceOnWing) -> String {
    let name = format!("{} on {}", campaign.device(of.device).name, campaign.wing(of.wing).name);
    let model = |model: DeviceModel| match model {
        DeviceModel::Constant => "a constant moment, whatever the power",
        DeviceModel::Propwash => "a share of the torque, nothing with the power off",
        DeviceModel::Mixed => "a constant moment and a share of the torque",
    };
    let verdict = match of.comparison.verdict {
        ModelVerdict::Supported(found) => format!("acts as {}", model(found)),
        ModelVerdict::MixedUntested => {
            format!("acts as {}, though no cell is left to test that with", model(DeviceModel::Mixed))
        }
        ModelVerdict::CannotTell => match of.comparison.tell_apart_in.and_then(|(at, _)| of.scenarios.get(at)) {
            Some(scenario) => format!(
                "could act as a constant moment or as a share of the torque; these runs cannot tell, and more in {} would",
                scenario.words()
            ),
            None => "could act as a constant moment or as a share of the torque; these runs cannot tell".to_owned(),
        },
        ModelVerdict::NothingToCompare => {
            "flown too little to tell how it acts (known-weight runs, or more scenarios, would help)".to_owned()
        }
        ModelVerdict::NoneFits => {
            "acts neither as a constant moment nor as a share of the torque nor as both: look for another cause"
                .to_owned()
        }
    };
    let makers = if of.by_makers_word { "; the maker's word decides what is predicted" } else { "" };
    // A colon: the name may be in the singular or in the plural.
    format!("{name}: {verdict}{makers}.")
}

/// The figures of the model used.
pub(crate) fn device_figures(campaign: &Campaign, of: &DeviceOnWing) -> Option<String> {
    let fit = of.comparison.fit(of.used?)?;
    let unit = setting_unit(campaign, of.device);
    let per = if of.range.is_some() { format!(" per {unit} of setting") } else { String::new() };
    let mut parts = Vec::new();
    if of.used != Some(DeviceModel::Propwash) {
        let moment = fit.moment_per_setting_nm;
        let ends = moment.interval(0.95);
        parts.push(format!(
            "{}\u{a0}N·m{per} (95\u{a0}%: {} to {})",
            significant(moment.value, 3),
            significant(ends.low, 3),
            significant(ends.high, 3)
        ));
    }
    if of.used != Some(DeviceModel::Constant) {
        let share = fit.share_per_setting;
        let ends = share.interval(0.95);
        parts.push(format!(
            "{}\u{a0}% of the torque's turn{per} (95\u{a0}%: {} to {}\u{a0}%)",
            significant(100.0 * share.value, 2),
            significant(100.0 * ends.low, 2),
            significant(100.0 * ends.high, 2)
        ));
    }
    Some(format!("By the model it takes {}.", parts.join(" and ")))
}

/// What the known weights say of a wing.
pub(crate) fn sensitivity(analysis: &CampaignAnalysis, of: &WingSensitivity) -> String {
    let place = format!("{}, {}", analysis.campaign.wing(of.wing).name, analysis.scenario_words(of.scenario));
    let runs = format!("{} with a weight and {} without", count_of(of.with_weight, "run", "runs"), of.without_weight);
    match &of.result {
        Ok(found) if found.resolved() && found.deg_s_per_nm.value > 0.0 => {
            format!("{place}: {}; {runs}.", sensitivity_words(found))
        }
        Ok(found) if found.resolved() => format!(
            "{place}: the weight turned the aircraft to its other side, {}; look at the side written down; {runs}.",
            sensitivity_words(found)
        ),
        Ok(_) => {
            format!("{place}: the weight has no clear effect; a heavier one or a longer arm would; {runs}.")
        }
        Err(why) => format!("{place}: {why}; {runs}."),
    }
}

fn sensitivity_words(found: &Sensitivity) -> String {
    let ends = found.deg_s_per_nm.interval(0.95);
    format!(
        "{}\u{a0}°/s for each N·m (95\u{a0}%: {} to {})",
        significant(found.deg_s_per_nm.value, 2),
        significant(ends.low, 2),
        significant(ends.high, 2)
    )
}

/// What a compensation still needs.
pub(crate) fn more_runs(analysis: &CampaignAnalysis, of: &MoreRuns) -> String {
    let campaign = &analysis.campaign;
    let place = place_words(analysis, of.key);
    let (device, baseline) = (&campaign.setup(of.key.setup).name, &campaign.setup(of.baseline).name);
    let wished = points(Some(campaign.wished_half_width_percent));
    let now = points(of.half_width_now);
    if of.met {
        return format!("{device}, {place}: {now}, within {wished}.");
    }
    let plan = &of.by_log;
    let runs = |count: usize, name: &str| {
        (count > 0).then(|| format!("{} of {name}", count_of(count, "more run", "more runs")))
    };
    let parts: Vec<String> =
        runs(plan.more_with_device, device).into_iter().chain(runs(plan.more_of_baseline, baseline)).collect();
    let by_log = match (plan.within_reach, parts.is_empty()) {
        (false, _) => format!("{wished} is out of reach of any reasonable number of runs"),
        (true, true) => format!("{wished} is reached"),
        (true, false) => format!("{} should bring {}", join(&parts), points(plan.expected_half_width)),
    };
    let by_hand = match &of.by_stopwatch {
        Some(plan) if plan.within_reach => format!(
            "; timed by hand from the start it would take {} with and {} without the device",
            plan.more_with_device, plan.more_of_baseline
        ),
        Some(_) => "; by stopwatch it is out of reach".to_owned(),
        None => String::new(),
    };
    format!("{device}, {place}: {now}; {by_log}{by_hand}.")
}

/// What each compensation still needs that is not as sure as wished; one sentence where all are.
pub(crate) fn unmet(analysis: &CampaignAnalysis) -> Vec<String> {
    let campaign = &analysis.campaign;
    let mut open: Vec<String> =
        analysis.more_runs.iter().filter(|of| !of.met).map(|of| more_runs(analysis, of)).collect();
    let met = analysis.more_runs.len() - open.len();
    if met > 0 {
        let within = points(Some(campaign.wished_half_width_percent));
        let are = if met == 1 { "is" } else { "are" };
        open.push(format!("{} {are} within {within}.", count_of(met, "compensation", "compensations")));
    }
    open
}
