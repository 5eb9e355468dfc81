//! `driftless plan`: cards to print.

use crate::campaign::SMALL;
use crate::run::Place;

#[test]
fn cards_are_written_one_for_each_run_and_the_seed_decides_the_order() {
    let place = Place::new();
    place.with("small.toml", SMALL);
    let ran = place.run(&["plan", "small.toml"]).expect_code(0);
    // Trim level is flown three times already; three scenarios of two set-ups are not.
    assert_eq!(ran.stdout, "18 cards: small.cards.html\n");
    let page = place.read("small.cards.html");
    assert_eq!(page.matches("<article class=\"card\"").count(), 18);
    for words in ["Break off at once", "Let go at", "Hands off", "Cautions", "Expected precision", "order by seed 1"] {
        assert!(page.contains(words), "{words}");
    }
    assert!(!page.contains("<script") && !page.contains("https://"));
    let order = |seed: &str| {
        let name = format!("seed-{seed}.html");
        place.run(&["plan", "small.toml", "--seed", seed, "-o", &name]).expect_code(0);
        let page = place.read(&name);
        page.split("<article")
            .skip(1)
            .filter_map(|card| Some(card.split("<h3>").nth(1)?.split("</h3>").next()?.to_owned()))
            .collect::<Vec<_>>()
    };
    assert_eq!(order("5"), order("5"));
    assert_ne!(order("5"), order("6"));
}

#[test]
fn nothing_is_planned_when_every_wish_is_met() {
    let place = Place::new();
    let met = SMALL.replacen(
        "[power_units.tarn]",
        "wished_half_width_percent = 40\n[weights]\naccelerated-level = 0\nfull-power-climb = 0\npower-off-glide = 0\n\
         [power_units.tarn]",
        1,
    );
    place.with("met.toml", met);
    let ran = place.run(&["plan", "met.toml"]).expect_code(0);
    assert_eq!(ran.stdout, "0 cards: met.cards.html\n");
    assert!(place.read("met.cards.html").contains("there is nothing to plan"));
}
