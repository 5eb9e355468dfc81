//! Fields of forms, and what stands in them when they come back.

use crate::failure::{Failure, Result};
use crate::request::Request;
use driftless_analysis::Scenario;
use driftless_analysis::campaign::model::SCENARIOS;
use driftless_display::scenario_words;
use maud::{Markup, html};

/// A choice of a list: its value, and what it is called.
pub(crate) type Choice = (String, String);

/// A line of text.
pub(crate) fn text(label: &str, name: &str, value: Option<&str>) -> Markup {
    html! { label.field { (label) input type="text" name=(name) value=[value] autocomplete="off"; } }
}

/// A line of text that must be filled.
pub(crate) fn needed(label: &str, name: &str, value: Option<&str>) -> Markup {
    html! { label.field { (label) input type="text" name=(name) value=[value] required autocomplete="off"; } }
}

/// A number; a phone shows its keys.
pub(crate) fn number(label: &str, name: &str, value: Option<f64>) -> Markup {
    let value = value.map(|value| value.to_string());
    html! { label.field { (label) input type="text" inputmode="decimal" name=(name) value=[value] autocomplete="off"; } }
}

/// One of a list.
pub(crate) fn select(label: &str, name: &str, none: Option<&str>, choices: &[Choice], chosen: Option<&str>) -> Markup {
    html! {
        label.field {
            (label)
            select name=(name) {
                @if let Some(none) = none { option value="" { (none) } }
                @for (value, words) in choices { option value=(value) selected[chosen == Some(value)] { (words) } }
            }
        }
    }
}

/// Yes or no.
pub(crate) fn check(label: &str, name: &str, value: &str, checked: bool) -> Markup {
    html! { label.check { input type="checkbox" name=(name) value=(value) checked[checked]; (label) } }
}

/// The scenarios that can be compared.
pub(crate) fn scenarios() -> Vec<Choice> {
    SCENARIOS.iter().map(|scenario| (scenario.name().to_owned(), scenario_words(*scenario).to_owned())).collect()
}

/// The scenario of a field; `None` where it is empty.
pub(crate) fn scenario(request: &Request, name: &str) -> Result<Option<Scenario>> {
    let Some(named) = request.field(name) else { return Ok(None) };
    Scenario::from_name(named).map(Some).ok_or_else(|| Failure::asked(format!("there is no scenario \"{named}\"")))
}

/// The number of a field, with a point or a comma; `None` where it is empty.
pub(crate) fn number_of(request: &Request, label: &str, name: &str) -> Result<Option<f64>> {
    let Some(written) = request.field(name) else { return Ok(None) };
    let value =
        written.replace(',', ".").replace('\u{2212}', "-").parse::<f64>().ok().filter(|value| value.is_finite());
    value.map(Some).ok_or_else(|| Failure::asked(format!("{label}: \"{written}\" is no number; write 12.5 or 12,5")))
}

/// The text of a field.
pub(crate) fn text_of(request: &Request, name: &str) -> Option<String> {
    request.field(name).map(str::to_owned)
}
