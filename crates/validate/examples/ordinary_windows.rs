//! `cargo run --release -p driftless-validate --example ordinary_windows -- FLIGHTS [CONDITION-INDEX ...]`: every window of ordinary flights
//! on tuning seeds as one line, to look at by hand.

use driftless_sim::reference::Condition;
use driftless_validate::ordinary;
use driftless_validate::study::Seeds;

#[allow(clippy::print_stdout)]
fn main() {
    let numbers: Vec<usize> = std::env::args().skip(1).filter_map(|a| a.parse().ok()).collect();
    let flights = numbers.first().copied().unwrap_or(10) as u64;
    let chosen: Vec<Condition> = Condition::ALL
        .into_iter()
        .enumerate()
        .filter(|(i, _)| numbers.len() < 2 || numbers.get(1..).is_some_and(|n| n.contains(i)))
        .map(|(_, c)| c)
        .collect();
    let studies = ordinary::run(&chosen, flights, Seeds::Tuning, 2, &|| {}).expect("flights that fly");
    for table in ordinary::tables::tables(&studies) {
        println!("{}\n{}", table.title, table.markdown());
    }
    for study in &studies {
        for flight in &study.flights {
            for w in &flight.windows {
                let judged = |j: Option<driftless_validate::score::Judged>| {
                    j.map_or("-".to_owned(), |j| format!("{:.3}/{:.3}", j.error, j.std_u))
                };
                println!(
                    "{:?} {} {} ground={} {:?}->{:?} turn {} steady {} air {} wind {} {:?}",
                    study.condition,
                    flight.seed,
                    if w.score.accepted { "ok" } else { "no" },
                    w.on_ground,
                    w.flown,
                    w.named,
                    judged(w.score.turn),
                    judged(w.score.steady),
                    judged(w.score.airspeed),
                    w.score.wind.map_or("-".to_owned(), |x| format!(
                        "{:.2}/{:.2}",
                        x.error_mps,
                        (2.0 * x.normalised_square).sqrt()
                    )),
                    w.score.findings,
                );
            }
            if let Some(why) = &flight.refused {
                println!("{:?} {} refused: {why}", study.condition, flight.seed);
            }
        }
    }
}
