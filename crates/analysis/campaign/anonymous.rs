//! A campaign without names of people: whoever is named becomes a letter, by order of name.

use super::{CampaignInput, FlightFailure};
use std::collections::{BTreeMap, BTreeSet};

/// What stands for people: every way somebody is named, and the letters instead, the longest names first.
struct Stands(Vec<(String, String)>);

impl CampaignInput {
    /// The same campaign with "Pilot A", "Pilot B" and so on in place of people, by order of name, wherever a name stands:
    /// pilots, whoever timed, and words of the file. Flights are numbered, because logs tend to be called by who flew them.
    #[must_use]
    pub fn anonymous(mut self) -> Self {
        let stands = self.stands();
        let campaign = &mut self.campaign;
        for pilot in &mut campaign.pilots {
            pilot.name = stands.of(&pilot.name);
            pilot.key = pilot.name.to_lowercase().replace(' ', "-");
        }
        for run in &mut campaign.stopwatch_runs {
            stands.within_option(&mut run.timed_by);
            stands.within_option(&mut run.note);
        }
        for setup in &mut campaign.setups {
            stands.within(&mut setup.key);
            stands.within(&mut setup.name);
        }
        for run in &mut campaign.weight_runs {
            stands.within_option(&mut run.note);
        }
        stands.within(&mut campaign.title);
        stands.within_option(&mut campaign.club);
        stands.within_option(&mut campaign.note);
        for (index, (flight, outcome)) in campaign.flights.iter_mut().zip(&mut self.flights).enumerate() {
            let number = format!("flight-{}", index + 1);
            for words in [&mut flight.exclude, &mut flight.altitude_note, &mut flight.note] {
                stands.within_option(words);
            }
            for left_out in &mut flight.leave_out {
                stands.within(&mut left_out.reason);
            }
            if let Ok(summary) = outcome {
                summary.file.clone_from(&number);
            } else if let Err(FlightFailure::NotRead(why)) = outcome {
                *why = "a file of it cannot be read".to_owned();
            } else if let Err(FlightFailure::Refused(refusal)) = outcome {
                refusal.file.clone_from(&number);
            }
            flight.log.clone_from(&number);
            flight.key = number;
        }
        self
    }

    fn stands(&self) -> Stands {
        let campaign = &self.campaign;
        let key_of: BTreeMap<&str, &str> =
            campaign.pilots.iter().map(|pilot| (pilot.key.as_str(), pilot.name.as_str())).collect();
        let timers = campaign.stopwatch_runs.iter().filter_map(|run| run.timed_by.as_deref());
        // Whoever timed may be named by the key of a pilot.
        let timers = timers.map(|who| key_of.get(who).copied().unwrap_or(who));
        let people: BTreeSet<&str> = campaign.pilots.iter().map(|pilot| pilot.name.as_str()).chain(timers).collect();
        let letters: BTreeMap<&str, String> =
            people.into_iter().enumerate().map(|(place, name)| (name, format!("Pilot {}", letter(place)))).collect();
        let named = letters.iter().map(|(name, letter)| ((*name).to_owned(), letter.clone()));
        let keys = key_of.iter().filter_map(|(key, name)| Some(((*key).to_owned(), letters.get(name)?.clone())));
        let mut stands: Vec<(String, String)> = named.chain(keys).filter(|(name, _)| !name.is_empty()).collect();
        stands.sort_by_key(|(name, _)| std::cmp::Reverse(name.len()));
        Stands(stands)
    }
}

/// A to Z, then AA, AB and so on, as columns of a table are called.
fn letter(place: usize) -> String {
    let last = char::from(b'A' + (place % 26) as u8);
    if place < 26 { last.to_string() } else { format!("{}{last}", letter(place / 26 - 1)) }
}

impl Stands {
    fn of(&self, name: &str) -> String {
        let found = self.0.iter().find(|(named, _)| named == name);
        found.map_or_else(|| name.to_owned(), |(_, letter)| letter.clone())
    }

    fn within_option(&self, words: &mut Option<String>) {
        if let Some(words) = words {
            self.within(words);
        }
    }

    /// Replaces names where they stand as words of their own.
    fn within(&self, words: &mut String) {
        let mut out = String::with_capacity(words.len());
        let mut rest = words.as_str();
        let mut after_letter = false;
        while let Some(first) = rest.chars().next() {
            let stands_here = |name: &str| {
                let follows = rest.strip_prefix(name).map(|rest| rest.chars().next());
                !after_letter && follows.is_some_and(|next| next.is_none_or(|c| !c.is_alphanumeric()))
            };
            match self.0.iter().find(|(name, _)| stands_here(name)) {
                Some((name, letter)) => {
                    out.push_str(letter);
                    rest = rest.get(name.len()..).unwrap_or_default();
                    after_letter = true;
                }
                None => {
                    out.push(first);
                    after_letter = first.is_alphanumeric();
                    rest = rest.get(first.len_utf8()..).unwrap_or_default();
                }
            }
        }
        *words = out;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn derived_letters_go_on_beyond_the_alphabet() {
        assert_eq!([0, 25, 26, 51, 52, 701, 702].map(letter), ["A", "Z", "AA", "AZ", "BA", "ZZ", "AAA"]);
    }

    #[test]
    fn derived_names_go_where_they_are_words() {
        let stands = Stands(vec![("Ash Tree".into(), "Pilot B".into()), ("Ash".into(), "Pilot A".into())]);
        for (words, without) in [
            ("Ash flew, Ash Tree timed (Ash's watch).", "Pilot A flew, Pilot B timed (Pilot A's watch)."),
            ("Ashes of a bAsh", "Ashes of a bAsh"),
            ("class-Ash_2", "class-Pilot A_2"),
        ] {
            let mut replaced = words.to_owned();
            stands.within(&mut replaced);
            assert_eq!(replaced, without);
        }
    }
}
