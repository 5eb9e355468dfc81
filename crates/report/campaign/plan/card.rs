//! One card: one run, half a sheet of A4, to be read with gloves on and in the sun, and written on.

use super::expect::expectation;
use crate::html::parts::clean;
use driftless_analysis::Scenario;
use driftless_analysis::campaign::model::{Campaign, PlanWishes, SetupId};
use driftless_analysis::campaign::{CampaignAnalysis, Card};
use driftless_display::fixed;
use maud::{Markup, html as markup};

/// Time of steady flight before let-go, seconds: the longest time constant of an aircraft of this kind several times
/// over. Common practice, no source.
const SETTLE_S: f64 = 15.0;

/// Letters of a set-up's name in large print; longer ones are set smaller and on more lines.
const LARGE_NAME: usize = 28;

pub(super) fn card(analysis: &CampaignAnalysis, card: &Card, of: usize) -> Markup {
    let campaign = &analysis.campaign;
    let setup = campaign.setup(card.key.setup);
    let plan = &campaign.plan;
    let expected = expectation(analysis, card.key);
    let pilot = setup.pilot.map(|id| campaign.pilot(id));
    let name = clean(&setup.name);
    markup! {
        article.card aria-label=(format!("Card {}", card.number)) {
            header {
                h3 { (card.number) "/" (of) " " (card.key.scenario.words()) }
                span { "day " (card.day) ", block " (card.block) ", " (ordinal(card.repeat)) " run" }
            }
            p.what {
                strong.long[name.chars().count() > LARGE_NAME] { (name) }
                @if let Some(device) = device(campaign, card.key.setup, &setup.name) { " (" (device) ")" }
                " on " strong.long[campaign.wing(card.key.wing).name.chars().count() > LARGE_NAME] { (clean(&campaign.wing(card.key.wing).name)) }
            }
            p.expect[expected.known].unknown[!expected.known] {
                strong { "Expect: " (expected.expect) "." } " Stop when " (expected.stop_when) "."
            }
            ol { @for step in steps(card, plan) { li { (step) } } }
            p.abort {
                strong { "Stop at once" } " below "
                @match plan.abort_height_m {
                    Some(height) => { strong { (fixed(height, 0)) "\u{a0}m" } }
                    None => { span.write { } "\u{a0}m" }
                }
                ", or with traffic, cloud, gusts, twist, engine trouble, or in doubt."
            }
            div.boxes {
                (field("Date", None))
                (field("Let go, UTC", None))
                (field("local", None))
                (field("Take over, UTC", None))
                (field("local", None))
                (field("Pilot", pilot.map(|pilot| clean(&pilot.name)).as_deref()))
                (field("All-up, kg", pilot.and_then(|pilot| pilot.all_up_kg).map(|kg| fixed(kg, 0)).as_deref()))
                (field("Height from, m", None))
                (field("to, m", None))
                (field("Air 0 1 2", None))
            }
            p.notes { "Turned L / R, 90° in ____ s.  ____ °C, QNH ______.  Notes:" }
        }
    }
}

/// A box to write in, 12 mm high; what is known stands in it already.
fn field(label: &str, known: Option<&str>) -> Markup {
    markup! { div { span { (label) } b { @if let Some(known) = known { (known) } } } }
}

/// "offset hang points at 20 mm", where the name of the set-up does not say so itself.
fn device(campaign: &Campaign, setup: SetupId, said: &str) -> Option<String> {
    let setup = campaign.setup(setup);
    let device = campaign.device(setup.device?);
    let name = clean(&device.name);
    let words = match setup.setting {
        Some(setting) => {
            format!("{name} at {setting} {}", clean(device.setting_unit.as_deref().unwrap_or(""))).trim_end().to_owned()
        }
        None => name,
    };
    (!words.to_lowercase().contains(&said.to_lowercase())).then_some(words)
}

/// Four short lines.
fn steps(card: &Card, plan: &PlanWishes) -> [String; 4] {
    let (low, high) = (fixed(plan.height_low_m, 0), fixed(plan.height_high_m, 0));
    let from = match card.key.scenario {
        Scenario::FullPowerClimb => format!("at {low}\u{a0}m"),
        Scenario::PowerOffGlide => format!("at {high}\u{a0}m"),
        _ => format!("in {low} to {high}\u{a0}m"),
    };
    let circles = if card.first_of_block { "One circle each way" } else { "New wind? One circle each way" };
    let settle = format!("{SETTLE_S:.0}\u{a0}s steady");
    [
        format!("{circles}, {from}; smooth air, wind below {}\u{a0}m/s.", fixed(plan.wind_limit_mps, 0)),
        match card.key.scenario {
            Scenario::TrimLevel => format!("Trim speed, level power, {settle}."),
            Scenario::AcceleratedLevel => format!("Accelerated as always, level power, {settle}."),
            Scenario::FullPowerClimb => format!("Full power, opened gently, {settle}."),
            _ => format!("Throttle closed, trim speed, {settle}."),
        },
        format!("Look round, mark, let go both: {}\u{a0}s, nothing else moves.", fixed(plan.hands_off_s, 0)),
        "Take over gently, mark, look round, write.".to_owned(),
    ]
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
