//! `--anonymous`: no name of a person leaves the program.

use crate::campaign::with_demo_campaign;
use crate::run::Place;

const PEOPLE: [&str; 9] = ["ash", "birch", "cedar", "dogwood", "elm", "fir", "gorse", "hazel", "ivy"];

/// Words of letters and digits, in small letters.
fn words(text: &str) -> std::collections::BTreeSet<String> {
    text.split(|c: char| !c.is_alphanumeric()).map(str::to_lowercase).collect()
}

#[test]
fn names_become_letters_in_every_output() {
    let place = Place::new();
    with_demo_campaign(&place);
    let file = "campaign/campaign.toml";
    let mut outputs = Vec::new();
    for format in ["html", "json", "csv", "text"] {
        outputs.push(place.run(&["compare", file, "--anonymous", "--format", format]).expect_code(0).stdout);
    }
    place.run(&["plan", file, "--anonymous", "-o", "cards.html"]).expect_code(0);
    outputs.push(place.read("cards.html"));
    for output in &outputs {
        let words = words(output);
        for name in PEOPLE {
            assert!(!words.contains(name), "{name} in {}", output.chars().take(200).collect::<String>());
        }
    }
    let named = place.run(&["compare", file, "--format", "text"]).expect_code(0).stdout;
    assert!(words(&named).contains("gorse"), "the names are there to begin with");
    // By order of name: Elm is the fifth of nine, and one more timed.
    assert!(named.contains("Elm, no device") && outputs[3].contains("Pilot E, no device"), "{}", outputs[3]);
    assert!(outputs[1].contains("\"pilot-e\"") && outputs[4].contains("Pilot A"), "keys and cards too");
}
