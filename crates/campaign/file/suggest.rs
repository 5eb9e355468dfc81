//! The name somebody may have meant.

/// The nearest of `known` to `word`, when it is near enough to be meant.
pub(super) fn nearest<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let plain = |text: &str| text.to_lowercase().replace(['-', ' '], "_");
    let wanted = plain(word);
    known
        .into_iter()
        .map(|name| {
            let name_plain = plain(name);
            let inside = wanted.len() >= 3 && (name_plain.contains(&wanted) || wanted.contains(&name_plain));
            let score = strsim::jaro_winkler(&wanted, &name_plain);
            (name, if inside { score.max(0.85) } else { score })
        })
        // Common practice, no source: below 0.8 the "suggestion" is another word.
        .filter(|(_, score)| *score >= 0.8)
        .max_by(|a, b| a.1.total_cmp(&b.1))
        .map(|(name, _)| name)
}

/// "did you mean `x`?", else what there is to choose from.
pub(super) fn suggestion(word: &str, known: &[&str]) -> Option<String> {
    match nearest(word, known.iter().copied()) {
        Some(name) => Some(format!("did you mean `{name}`?")),
        None if known.is_empty() => None,
        None => Some(format!("there is {}", listed(known))),
    }
}

/// "`a`, `b` and `c`"; long lists are cut.
pub(super) fn listed(names: &[&str]) -> String {
    const MOST: usize = 12;
    let quoted: Vec<String> = names.iter().take(MOST).map(|name| format!("`{name}`")).collect();
    match quoted.as_slice() {
        [] => "nothing".to_owned(),
        all if names.len() > MOST => format!("{} and {} more", all.join(", "), names.len() - MOST),
        [one] => one.clone(),
        [rest @ .., last] => format!("{} and {last}", rest.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn near_names_are_suggested_and_far_ones_listed() {
        let known = ["power_unit", "device", "setting", "baseline"];
        assert_eq!(suggestion("powerunit", &known).as_deref(), Some("did you mean `power_unit`?"));
        assert_eq!(suggestion("base", &known).as_deref(), Some("did you mean `baseline`?"));
        assert_eq!(
            suggestion("colour", &known).as_deref(),
            Some("there is `power_unit`, `device`, `setting` and `baseline`")
        );
        assert_eq!(suggestion("x", &[]), None);
    }
}
