//! One card: one run.

use crate::html::parts::clean;
use driftless_analysis::Scenario;
use driftless_analysis::campaign::Card;
use driftless_analysis::campaign::model::{Campaign, PlanWishes, SetupId};
use driftless_display::fixed;
use maud::{Markup, html as markup};

/// Time of steady flight before let-go, seconds: the longest time constant of an aircraft of this kind several times
/// over. Common practice, no source.
const SETTLE_S: f64 = 15.0;

pub(super) fn card(campaign: &Campaign, card: &Card, of: usize) -> Markup {
    let setup = campaign.setup(card.key.setup);
    let plan = &campaign.plan;
    markup! {
        article.card aria-label=(format!("Card {}", card.number)) {
            header {
                h3 { "Card " (card.number) " of " (of) ": " (card.key.scenario.words()) }
                span { "day " (card.day) " · block " (card.block) " · " (ordinal(card.repeat)) " run of this combination" }
            }
            dl.what {
                div { dt { "Set-up" } dd { (clean(&setup.name)) } }
                div { dt { "Device and setting" } dd { (device(campaign, card.key.setup)) } }
                div { dt { "Wing" } dd { (clean(&campaign.wing(card.key.wing).name)) } }
                div { dt { "Height band" } dd { (band(plan, card.key.scenario)) } }
                div { dt { "Hands off" } dd { (fixed(plan.hands_off_s, 0)) " s" } }
                div { dt { "Break off below" } dd { (fixed(plan.abort_height_m, 0)) " m" } }
            }
            ol { @for step in steps(card, plan) { li { (step) } } }
            p.abort {
                strong { "Break off at once: " }
                "below " (fixed(plan.abort_height_m, 0)) " m above take-off; traffic or cloud near; gusts, or a wing that \
                 moves; a turn that tightens or a bank beyond what you expect; twist in the risers; engine not as it \
                 should be; or any doubt."
            }
            div.boxes {
                div { "Pilot" } div { "All-up mass, kg" } div { "Let go at" } div { "Take over at" }
                div { "Height at let-go, m" } div { "Height at take-over, m" } div { "Air: 0 still, 1 light, 2 rough" }
                div { "Temperature, °C; QNH" }
                div.wide { "Notes: which way it turned, stopwatch (degrees in seconds), hands, rigging, anything unlike the plan" }
            }
        }
    }
}

/// "offset hang points at 20 mm".
fn device(campaign: &Campaign, setup: SetupId) -> String {
    let setup = campaign.setup(setup);
    let Some(device) = setup.device.map(|id| campaign.device(id)) else { return "none".to_owned() };
    let name = clean(&device.name);
    match setup.setting {
        Some(setting) => {
            format!("{name} at {setting} {}", clean(device.setting_unit.as_deref().unwrap_or(""))).trim_end().to_owned()
        }
        None => name,
    }
}

/// A climb begins low in the band, a glide high.
fn band(plan: &PlanWishes, scenario: Scenario) -> String {
    let range = format!("{} to {} m", fixed(plan.height_low_m, 0), fixed(plan.height_high_m, 0));
    match scenario {
        Scenario::FullPowerClimb => format!("{range}, let go at the bottom"),
        Scenario::PowerOffGlide => format!("{range}, let go at the top"),
        _ => range,
    }
}

fn steps(card: &Card, plan: &PlanWishes) -> Vec<String> {
    let seconds = fixed(plan.hands_off_s, 0);
    let mut steps = Vec::new();
    if card.first_of_block {
        steps.push(
            "On the ground: rig this set-up, have it checked by a second person, write down the mass. Logger on, one fix a \
             second or more."
                .to_owned(),
        );
    }
    steps.push(format!(
        "Climb into the band over open ground. Go on only in smooth air, wind below {} m/s, airspace clear.",
        fixed(plan.wind_limit_mps, 0)
    ));
    steps.push(if card.first_of_block {
        "Wind not yet known: one full circle to the right and one to the left, even, at level power.".to_owned()
    } else {
        "If the wind may have changed since the last circles, or on a new flight: one full circle each way again."
            .to_owned()
    });
    steps.push(match card.key.scenario {
        Scenario::TrimLevel => format!("Trim speed, power for level flight. Fly straight and steady for {SETTLE_S:.0} s."),
        Scenario::AcceleratedLevel => {
            format!("Accelerate (trimmers or speed system, always the same), power for level flight, {SETTLE_S:.0} s steady.")
        }
        Scenario::FullPowerClimb => format!(
            "Open the throttle gradually to full power, mind the torque; {SETTLE_S:.0} s steady before anything else."
        ),
        _ => format!("Close the throttle, engine idle or off, {SETTLE_S:.0} s of steady glide at trim speed."),
    });
    steps.push(
        "Look round. Mark \"let go\", release both brakes together, sit still in the middle, hands close to the brakes.".to_owned(),
    );
    steps.push(format!("Hold {seconds} s: no brake, no weight shift, no change of power. If in doubt, stop."));
    steps.push("Take over gently, mark \"take over\", look round, note what is asked below once clear.".to_owned());
    steps
}

/// "1st", "2nd", "3rd", "4th", "11th".
fn ordinal(number: usize) -> String {
    let ending = match (number % 10, number % 100) {
        (_, 11..=13) => "th",
        (1, _) => "st",
        (2, _) => "nd",
        (3, _) => "rd",
        _ => "th",
    };
    format!("{number}{ending}")
}

#[cfg(test)]
mod tests {
    use super::ordinal;

    #[test]
    fn derived_ordinals_are_those_of_english() {
        let said = [1, 2, 3, 4, 11, 12, 13, 21, 22, 103, 111].map(ordinal);
        assert_eq!(said, ["1st", "2nd", "3rd", "4th", "11th", "12th", "13th", "21st", "22nd", "103rd", "111th"]);
    }
}
