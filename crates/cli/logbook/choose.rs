//! Which campaign, flight or part of a campaign is meant.

use anyhow::{anyhow, bail};
use driftless_logbook::{CampaignEntry, FlightEntry, FlightFilter, Logbook};
use driftless_units::printable;

/// The campaigns meant: the one of a title, else all.
pub(super) fn campaigns(logbook: &Logbook, title: Option<&str>) -> anyhow::Result<Vec<CampaignEntry>> {
    let mut all = logbook.campaigns()?;
    let Some(title) = title else { return Ok(all) };
    let titles = titles(&all);
    all.retain(|campaign| campaign.title == title);
    if all.is_empty() {
        bail!("there is no campaign \"{}\" in this logbook; there is {titles}", printable(title));
    }
    Ok(all)
}

/// The one campaign meant.
pub(super) fn campaign(logbook: &Logbook, title: Option<&str>) -> anyhow::Result<CampaignEntry> {
    let mut found = campaigns(logbook, title)?;
    match (found.len(), title) {
        (1, _) => found.pop().ok_or_else(|| anyhow!("this logbook has no campaign; import one")),
        (_, Some(title)) => bail!("two campaigns are called \"{}\"; give one of them another title", printable(title)),
        (_, None) => bail!("this logbook has several campaigns; say which with --campaign: {}", titles(&found)),
    }
}

fn titles(campaigns: &[CampaignEntry]) -> String {
    let quoted: Vec<String> = campaigns.iter().map(|c| format!("\"{}\"", printable(&c.title))).collect();
    quoted.join(", ")
}

/// The one flight of a key.
pub(super) fn flight(logbook: &Logbook, title: Option<&str>, key: &str) -> anyhow::Result<FlightEntry> {
    let mut found = Vec::new();
    for campaign in campaigns(logbook, title)? {
        let flights = logbook.flights(campaign.id, &FlightFilter::default())?;
        found.extend(flights.into_iter().filter(|flight| flight.key == key));
    }
    match found.len() {
        0 => bail!("there is no flight \"{}\" in this logbook; driftless logbook list shows all", printable(key)),
        1 => found.pop().ok_or_else(|| anyhow!("there is no such flight")),
        _ => bail!("several campaigns have a flight \"{}\"; say which with --campaign", printable(key)),
    }
}

/// The key of a part by its key or its name.
pub(super) fn part<'a>(
    what: &str,
    wanted: Option<&str>,
    known: impl Iterator<Item = (&'a str, &'a str)>,
) -> anyhow::Result<Option<String>> {
    let Some(wanted) = wanted else { return Ok(None) };
    let known: Vec<(&str, &str)> = known.collect();
    let of_key = known.iter().find(|(key, _)| *key == wanted);
    match of_key.or_else(|| known.iter().find(|(_, name)| *name == wanted)) {
        Some((key, _)) => Ok(Some((*key).to_owned())),
        None if known.is_empty() => {
            bail!("the campaign describes no {what} yet; import a campaign file that does, then name it")
        }
        None => {
            let keys: Vec<String> = known.iter().map(|(key, _)| printable(key).into_owned()).collect();
            bail!("there is no {what} \"{}\" in the campaign; there is {}", printable(wanted), keys.join(", "))
        }
    }
}
