//! Names of any length in little room: what tells two of them apart is never what is cut away.

use std::collections::BTreeMap;

/// What stands for letters that were cut.
const CUT: char = '…';

/// A way to shorten a name: its letters, those that it shares with the nearest other name, letters to keep.
type Way = fn(&[char], usize, usize) -> String;

/// The names in at most so many letters each, so that no two look alike.
///
/// A name that fits stays as it is. The others lose their middle; where that makes two alike, they keep their end, then
/// the place where they differ, and at the very last they are numbered. Fewer than eight letters are not gone below.
///
/// ```
/// use driftless_display::distinct;
/// assert_eq!(distinct(&["bare", "offset hang points 15 mm", "offset hang points 20 mm"], 14),
///            ["bare", "offset…s 15 mm", "offset…s 20 mm"]);
/// ```
pub fn distinct<Name: AsRef<str>>(names: &[Name], most: usize) -> Vec<String> {
    const WAYS: [Way; 4] = [middle, end, difference, start];
    let most = most.max(8);
    let letters: Vec<Vec<char>> = names.iter().map(|name| name.as_ref().chars().collect()).collect();
    let shared: Vec<usize> = (0..letters.len()).map(|at| shared_start(&letters, at)).collect();
    let by = |way: Way, room: usize| -> Vec<String> {
        let short = |(name, shared): (&Vec<char>, &usize)| {
            if name.len() <= room { name.iter().collect() } else { way(name, *shared, room) }
        };
        letters.iter().zip(&shared).map(short).collect()
    };
    for way in WAYS {
        let short = by(way, most);
        if counted(&short).values().all(|count| *count == 1) {
            return short;
        }
    }
    numbered(&by(middle, most.saturating_sub(4)))
}

/// One name that loses its middle.
pub fn shortened(name: &str, most: usize) -> String {
    distinct(&[name], most).pop().unwrap_or_default()
}

fn counted(names: &[String]) -> BTreeMap<&String, usize> {
    names.iter().fold(BTreeMap::new(), |mut counts, name| {
        *counts.entry(name).or_insert(0) += 1;
        counts
    })
}

/// Letters at the start that a name shares with the other that shares most.
fn shared_start(names: &[Vec<char>], at: usize) -> usize {
    let Some(of) = names.get(at) else { return 0 };
    let others = names.iter().enumerate().filter(|(place, other)| *place != at && *other != of);
    others.map(|(_, other)| of.iter().zip(other).take_while(|(a, b)| a == b).count()).max().unwrap_or(0)
}

/// A beginning of so many letters and the end, in `room` letters together.
fn ends(name: &[char], head: usize, room: usize) -> String {
    let tail = room.saturating_sub(head + 1);
    let from = name.len().saturating_sub(tail);
    name.iter().take(head).chain([&CUT]).chain(name.iter().skip(from)).collect()
}

fn middle(name: &[char], _: usize, room: usize) -> String {
    ends(name, room / 2 - 1, room)
}

fn end(name: &[char], _: usize, room: usize) -> String {
    ends(name, room / 5, room)
}

fn start(name: &[char], _: usize, room: usize) -> String {
    name.iter().take(room - 1).chain([&CUT]).collect()
}

/// A little of the beginning, and what follows the shared letters.
fn difference(name: &[char], shared: usize, room: usize) -> String {
    let head = room / 4;
    let window = room.saturating_sub(head + 2);
    let from = shared.saturating_sub(2).clamp(head, name.len().saturating_sub(window).max(head));
    let rest = if from + window < name.len() { Some(&CUT) } else { None };
    name.iter().take(head).chain([&CUT]).chain(name.iter().skip(from).take(window)).chain(rest).collect()
}

fn numbered(names: &[String]) -> Vec<String> {
    let counts = counted(names);
    let with_number = |(at, name): (usize, &String)| match counts.get(name) {
        Some(1) | None => name.clone(),
        Some(_) => format!("{name} #{}", names.iter().take(at + 1).filter(|other| *other == name).count()),
    };
    names.iter().enumerate().map(with_number).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn all_differ(names: &[String], most: usize) -> Vec<String> {
        let short = distinct(names, most);
        assert!(short.iter().all(|name| name.chars().count() <= most), "{short:?}");
        assert!(counted(&short).values().all(|count| *count == 1), "{short:?}");
        short
    }

    #[test]
    fn derived_names_that_share_forty_letters_never_look_alike() {
        let shared = "Offset hang points of the second series, ";
        assert!(shared.chars().count() >= 40);
        for most in 10..60 {
            // They differ at the end, in the middle, and at the very start of what follows.
            all_differ(&["15 mm", "20 mm", "120 mm"].map(|end| format!("{shared}{end}")), most);
            let after = "with long trimmers and the usual reserve";
            all_differ(&["15 mm", "20 mm"].map(|middle| format!("{shared}{middle} {after}")), most);
        }
    }

    #[test]
    fn derived_what_distinguishes_is_what_stays() {
        let names = ["15", "20"].map(|mm| format!("Offset hang points of the second series, {mm} mm"));
        for (name, mm) in distinct(&names, 16).iter().zip(["15 mm", "20 mm"]) {
            assert!(name.starts_with("Offset") && name.ends_with(mm), "{name}");
        }
        let names =
            ["15", "20"].map(|mm| format!("Offset hang points of the second series, {mm} mm, with long trimmers"));
        for (name, mm) in distinct(&names, 16).iter().zip(["15", "20"]) {
            assert!(name.contains(mm), "{name}");
        }
    }

    #[test]
    fn derived_the_same_name_twice_is_numbered() {
        assert_eq!(distinct(&["vanes", "vanes", "bare"], 20), ["vanes #1", "vanes #2", "bare"]);
    }

    #[test]
    fn names_that_fit_stay() {
        assert_eq!(distinct(&["no device", "vanes"], 9), ["no device", "vanes"]);
        assert_eq!(shortened("naïve Ölwechsel", 15), "naïve Ölwechsel");
    }
}
