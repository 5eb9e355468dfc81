//! `driftless plan`: cards to print.

use crate::campaign::{SMALL, demo, with_demo_campaign};
use crate::run::Place;
use serde_json::Value;

#[test]
fn cards_are_written_one_for_each_run_and_the_seed_decides_the_order() {
    let place = Place::new();
    place.with("small.toml", SMALL);
    let ran = place.run(&["plan", "small.toml"]).expect_code(0);
    // Trim level is flown three times already; three scenarios of two set-ups are not.
    assert!(ran.stdout.starts_with("18 cards: small.cards.html\nTo fly next: 18 runs in "), "{}", ran.stdout);
    let page = place.read("small.cards.html");
    assert_eq!(page.matches("<article class=\"card\"").count(), 18);
    for words in
        ["Stop at once", "Let go, UTC", "local", "Expect: ", "Cautions", "Expected precision", "order by seed 1"]
    {
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
    assert!(ran.stdout.starts_with("0 cards: met.cards.html\nNothing is left to fly"), "{}", ran.stdout);
    assert!(place.read("met.cards.html").contains("there is nothing to plan"));
}

/// Set-up and wing of each block on the page of cards, in the order to fly.
fn blocks_on_paper(page: &str) -> Vec<String> {
    let table = page.split_once("Blocks in the order to fly").expect("the order").1;
    let table = table.split_once("</table>").expect("its end").0;
    let cell = |row: &str| Some(row.split("<td").nth(1)?.split_once('>')?.1.split_once('<')?.0.to_owned());
    table.split("<tr>").skip(2).filter_map(cell).collect()
}

#[test]
fn compare_and_plan_name_the_same_flights_with_why_and_what_for() {
    let place = Place::new();
    with_demo_campaign(&place);
    place.run(&["plan", "campaign/campaign.toml", "-o", "cards.html"]).expect_code(0);
    let cards = place.read("cards.html");
    let document = &demo().document;
    let name = |list: &str, key: &Value| {
        let cells = document[list].as_array().expect("a list");
        let of = if list == "cells" { "setup" } else { "wing" };
        cells.iter().find(|cell| cell[of] == *key).expect("known").clone()
    };
    let next = document["next_flights"].as_array().expect("blocks");
    let by_document: Vec<String> = next
        .iter()
        .map(|block| {
            for key in ["why", "brings"] {
                assert!(block[key].as_str().is_some_and(|words| words.len() > 5), "{block}");
            }
            let setup = name("cells", &block["setup"]);
            let cells = document["cells"].as_array().expect("cells");
            let wing = cells.iter().find(|cell| cell["wing"] == block["wing"]).expect("known");
            format!(
                "{} on {}",
                setup["setup_name"].as_str().expect("a name"),
                wing["wing_name"].as_str().expect("a name")
            )
        })
        .collect();
    assert_eq!(blocks_on_paper(&cards), by_document);
    assert_eq!(blocks_on_paper(&demo().page), by_document);
    let runs: usize = next.iter().map(|block| block["scenarios"].as_array().map_or(0, Vec::len)).sum();
    assert_eq!(cards.matches("<article class=\"card\"").count(), runs);
}

/// Each card says what its cell turned, by side and by the whole °/s: worked out anew from the document.
#[test]
fn derived_cards_tell_what_to_expect() {
    let place = Place::new();
    with_demo_campaign(&place);
    place.run(&["plan", "campaign/campaign.toml", "-o", "cards.html"]).expect_code(0);
    let page = place.read("cards.html");
    let cells = demo().document["cells"].as_array().expect("cells");
    let mut told = 0;
    for card in page.split("<article class=\"card\"").skip(1) {
        let holds =
            |cell: &&Value, key: &str| card.contains(&format!(">{}</strong>", cell[key].as_str().expect("a name")));
        let scenario = |cell: &&Value| {
            let words = cell["scenario"]
                .as_str()
                .expect("a scenario")
                .replacen('-', " ", 1)
                .replace("full power-", "full-power ");
            let words = words.replace("power off-", "power-off ");
            card.split("</h3>").next().is_some_and(|head| head.ends_with(&words))
        };
        let cell = cells
            .iter()
            .find(|cell| holds(cell, "setup_name") && holds(cell, "wing_name") && scenario(cell))
            .unwrap_or_else(|| panic!("no cell of {card}"));
        let turn = cell["turn_rate"]["value_deg_s"].as_f64().expect("a rate");
        let airspeed = cell["airspeed_mps"].as_f64().expect("an airspeed");
        if turn.abs() < 2.0 {
            continue;
        }
        let side = if turn > 0.0 { "right" } else { "left" };
        let bank = (airspeed * turn.abs().to_radians() / 9.80665).atan().to_degrees();
        let expect = format!(
            "Expect: {side}, about {:.0} °/s (90° in {:.0} s), bank {bank:.0}°.",
            turn.abs(),
            90.0 / turn.abs()
        );
        assert!(card.replace('\u{a0}', " ").contains(&expect), "{expect}: {card}");
        told += 1;
    }
    assert!(told >= 5, "{told}");
    assert!(
        !page.contains("150\u{a0}m") && page.contains("<span class=\"write\">"),
        "the height to stop at is the pilot's"
    );
}
