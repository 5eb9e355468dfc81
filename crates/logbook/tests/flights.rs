//! Flights, what is said of them, and the parts that they are flown with.

mod common;

use common::{about, add, describe, log, logbook, mark, now, text, wing};
use driftless_analysis::InertialFile;
use driftless_analysis::campaign::model::{LeftOut, Pilot};
use driftless_logbook::{About, CampaignHead, FlightFilter, Logbook, LogbookError, SetupItem};

#[test]
fn the_same_log_twice_is_one_flight_that_takes_what_it_lacks() {
    let (mut logbook, id) = logbook();
    let first = logbook.add_flight(id, &log("day/evening.igc", b"evening"), now()).expect("added");
    let mut files = log("copy of evening.igc", b"evening");
    files.marks = text("m.csv", "let_go,take_over\n1,90\n");
    files.inertial = vec![InertialFile::new("phone.csv".to_owned(), b"phone".to_vec(), None)];
    let second = logbook.add_flight(id, &files, now()).expect("added");
    assert_eq!((second.flight, second.was_there, second.not_taken.len()), (first.flight, true, 0));
    files.marks = text("other.csv", "let_go,take_over\n2,90\n");
    let third = logbook.add_flight(id, &files, now()).expect("added");
    assert_eq!(third.not_taken, ["other.csv"]);
    let entry = logbook.flight(first.flight).expect("there");
    assert_eq!((entry.name.as_str(), entry.key.as_str()), ("evening.igc", "evening"));
    assert_eq!((entry.marks.as_deref(), entry.inertial.as_slice()), (Some("m.csv"), &["phone.csv".to_owned()][..]));
    assert_eq!(logbook.campaigns().expect("campaigns")[0].flights, 1);
    // Another log of that name is another flight; in another campaign the same log is another one too.
    let other = logbook.add_flight(id, &log("evening.igc", b"another"), now()).expect("added");
    assert_eq!(logbook.flight(other.flight).expect("there").key, "evening-2");
    let campaign = logbook.new_campaign("Second").expect("a campaign");
    assert!(!logbook.add_flight(campaign, &log("evening.igc", b"evening"), now()).expect("added").was_there);
    assert_eq!(logbook.check(), Ok(Vec::new()));
}

#[test]
fn flights_are_found_by_words_and_by_what_they_were_flown_with() {
    let (mut logbook, id) = logbook();
    describe(&mut logbook, id);
    let pilot = |key: &str, name: &str| Pilot {
        key: key.to_owned(),
        name: name.to_owned(),
        all_up_kg: None,
        body_kg: None,
        student: false,
    };
    logbook.put_pilot(id, &pilot("ash", "Asta \u{c4}sch"), None).expect("a pilot");
    logbook.put_wing(id, &wing("sedgewren", "Sedgewren 20"), None).expect("a wing");
    let setup = SetupItem {
        key: "hers".to_owned(),
        name: "as she flies".to_owned(),
        power_unit: "tarn".to_owned(),
        wing: Some("sedgewren".to_owned()),
        pilot: Some("ash".to_owned()),
        ..SetupItem::default()
    };
    logbook.put_setup(id, &setup, None).expect("a set-up");
    let morning = add(&mut logbook, id, "morning.igc");
    let evening = add(&mut logbook, id, "evening.igc");
    let waiting = add(&mut logbook, id, "noon.igc");
    let note = Some("smooth, 50 % humid".to_owned());
    logbook.set_about(morning, &About { note, ..about("bare", Some("fenlark")) }).expect("said");
    logbook.set_about(evening, &about("hers", None)).expect("said");
    let find = |filter: FlightFilter| -> Vec<_> {
        logbook.flights(id, &filter).expect("a list").into_iter().map(|flight| flight.id).collect()
    };
    let words = |words: &str| find(FlightFilter { words: words.to_owned(), ..FlightFilter::default() });
    assert_eq!(words(""), [morning, evening, waiting]);
    assert_eq!(words("SMOOTH  morn"), [morning]);
    assert_eq!(words("\u{e4}sch"), [evening], "by the pilot of its set-up, capitals or not");
    assert_eq!(words("50 %"), [morning], "signs mean themselves");
    assert_eq!(words("igc"), [morning, evening, waiting]);
    assert_eq!(words("smooth nothing"), []);
    let of = |key: &str| Some(key.to_owned());
    assert_eq!(find(FlightFilter { wing: of("sedgewren"), ..FlightFilter::default() }), [evening]);
    assert_eq!(find(FlightFilter { pilot: of("ash"), ..FlightFilter::default() }), [evening]);
    assert_eq!(find(FlightFilter { setup: of("bare"), ..FlightFilter::default() }), [morning]);
    assert_eq!(find(FlightFilter { waiting: Some(true), ..FlightFilter::default() }), [waiting]);
}

#[test]
fn what_is_said_of_a_flight_is_held_to_what_a_campaign_file_may_say() {
    let (mut logbook, id) = logbook();
    describe(&mut logbook, id);
    let flight = add(&mut logbook, id, "evening.igc");
    let good = About {
        leave_out: vec![LeftOut { window: 2, reason: "gust".to_owned() }],
        temperature_c: Some(-3.5),
        take_candidates: true,
        ..about("bare", None)
    };
    logbook.set_about(flight, &good).expect("said");
    let refused = |logbook: &mut Logbook, about: About| {
        let error = logbook.set_about(flight, &about).expect_err("refused").to_string();
        assert_eq!(logbook.flight(flight).expect("there").about, good, "nothing was changed");
        error
    };
    let error = refused(&mut logbook, About { temperature_c: Some(400.0), ..good.clone() });
    assert!(error.contains("`temperature_c` of flight 1 is 400.0; it must lie between -60 and 60"), "{error}");
    assert!(refused(&mut logbook, about("vanes", None)).contains("no set-up \"vanes\""));
    let too_long = Some("x".repeat(5000));
    assert!(refused(&mut logbook, About { note: too_long, ..good.clone() }).contains("--limit name-characters"));
    let twice = driftless_analysis::Scenario::Unclassified;
    assert!(refused(&mut logbook, About { scenario: Some(twice), ..good.clone() }).contains("unclassified"));
}

#[test]
fn parts_that_are_used_stay_and_keys_and_names_are_taken_once() {
    let (mut logbook, id) = logbook();
    describe(&mut logbook, id);
    let flight = add(&mut logbook, id, "evening.igc");
    logbook.set_about(flight, &about("bare", Some("fenlark"))).expect("said");
    let in_use = logbook.remove_wing(id, "fenlark").expect_err("used").to_string();
    assert_eq!(in_use, "the wing \"fenlark\" is used by 1 flight; change or remove that first");
    assert!(matches!(logbook.remove_power_unit(id, "tarn"), Err(LogbookError::InUse { .. })));
    assert!(matches!(logbook.remove_setup(id, "bare"), Err(LogbookError::InUse { .. })));
    assert!(matches!(logbook.remove_wing(id, "none"), Err(LogbookError::NoSuch { .. })));
    let taken = logbook.put_wing(id, &wing("fenlark", "Another"), None);
    assert!(matches!(taken, Err(LogbookError::Taken { .. })), "{taken:?}");
    let taken = logbook.put_wing(id, &wing("another", "Fenlark 26"), None);
    assert!(matches!(taken, Err(LogbookError::Taken { .. })), "{taken:?}");
    // Renamed, it is still the wing of the flight.
    logbook.put_wing(id, &wing("lark", "Fenlark 26 (red)"), Some("fenlark")).expect("renamed");
    assert_eq!(logbook.flight(flight).expect("there").about.wing.as_deref(), Some("lark"));
    let mut heavy = wing("lark", "Fenlark 26");
    heavy.mass_kg = Some(400.0);
    let refused = logbook.put_wing(id, &heavy, Some("lark")).expect_err("too heavy").to_string();
    assert!(refused.contains("`mass_kg` of wing \"lark\""), "{refused}");
    logbook.set_about(flight, &About::default()).expect("said");
    logbook.remove_setup(id, "bare").expect("unused now");
    logbook.remove_wing(id, "lark").expect("unused now");
    logbook.remove_power_unit(id, "tarn").expect("unused now");
    assert_eq!(logbook.check(), Ok(Vec::new()));
}

#[test]
fn what_is_removed_is_gone_with_its_bytes() {
    let (mut logbook, id) = logbook();
    let secret = "FLOWN-FROM-THE-MEADOW".repeat(40);
    let flight = logbook.add_flight(id, &log("evening.igc", secret.as_bytes()), now()).expect("added").flight;
    logbook.correct(flight, &[mark(0)], "by hand", now()).expect("corrected");
    let holds = |logbook: &Logbook| {
        let bytes = logbook.backup().expect("a backup");
        bytes.windows(21).any(|part| part == b"FLOWN-FROM-THE-MEADOW")
    };
    assert!(holds(&logbook));
    logbook.remove_flight(flight).expect("removed");
    assert!(!holds(&logbook), "where somebody flew is nobody's business any more");
    assert_eq!(logbook.flight(flight), Err(LogbookError::Gone { what: "flight" }));
    assert_eq!(logbook.marks(flight), Err(LogbookError::Gone { what: "flight" }));
    let again = logbook.add_flight(id, &log("evening.igc", b"x"), now()).expect("added").flight;
    assert_ne!(again, flight, "no number means two flights");
    let other = logbook.new_campaign("Other").expect("a campaign");
    describe(&mut logbook, other);
    let flight = add(&mut logbook, other, "there.igc");
    logbook.set_about(flight, &about("bare", None)).expect("said");
    logbook.remove_campaign(other).expect("removed");
    assert_eq!(logbook.campaign(other).expect_err("gone"), LogbookError::Gone { what: "campaign" });
    let refused = logbook.remove_campaign(id).expect_err("the last one").to_string();
    assert!(refused.contains("the only campaign"), "{refused}");
    assert_eq!(logbook.check(), Ok(Vec::new()));
}

#[test]
fn a_campaign_says_what_is_wished_of_it() {
    let (mut logbook, id) = logbook();
    assert_eq!(logbook.campaigns().expect("campaigns")[0].title, "My flights");
    let mut head: CampaignHead = logbook.campaign_head(id).expect("there");
    assert_eq!(head.plan, driftless_analysis::campaign::model::PlanWishes::default());
    head.title = "Two devices".to_owned();
    head.plan.abort_height_m = Some(150.0);
    logbook.update_campaign(id, &head).expect("said");
    assert_eq!(logbook.campaign_head(id), Ok(head.clone()));
    head.plan.abort_height_m = Some(900.0);
    let refused = logbook.update_campaign(id, &head).expect_err("above the band").to_string();
    assert!(refused.contains("heights of the plan must grow"), "{refused}");
    assert!(logbook.rename_campaign(id, "  ").is_err());
    logbook.rename_campaign(id, " Renamed ").expect("renamed");
    assert_eq!(logbook.campaigns().expect("campaigns")[0].title, "Renamed");
}

#[test]
fn preferences_are_kept_and_forgotten() {
    let (mut logbook, _) = logbook();
    assert_eq!(logbook.preference("units"), Ok(None));
    logbook.set_preference("units", Some("si")).expect("noted");
    logbook.set_preference("units", Some("kmh")).expect("noted");
    logbook.set_preference("zone", Some("utc")).expect("noted");
    assert_eq!(logbook.preference("units").expect("read").as_deref(), Some("kmh"));
    logbook.set_preference("units", None).expect("forgotten");
    assert_eq!(logbook.preferences().expect("read").into_keys().collect::<Vec<_>>(), ["zone"]);
}

/// What an analysis depends on shows in the fingerprint, and nothing else does.
#[test]
fn the_fingerprint_changes_with_what_an_analysis_depends_on() {
    let mut logbook = Logbook::in_memory().expect("a logbook");
    let id = logbook.campaigns().expect("campaigns")[0].id;
    describe(&mut logbook, id);
    let flight = logbook.add_flight(id, &log("a.csv", b"one"), now()).expect("added").flight;
    let of = |logbook: &Logbook| logbook.fingerprint(flight).expect("a fingerprint");
    let bare = of(&logbook);
    logbook.set_about(flight, &about("bare", Some("fenlark"))).expect("said");
    assert_eq!(of(&logbook), bare, "what was flown is no matter of the analysis");
    logbook.correct(flight, &[mark(0)], "added", now()).expect("corrected");
    let one = of(&logbook);
    logbook.correct(flight, &[mark(0), mark(100)], "added", now()).expect("corrected");
    let two = of(&logbook);
    logbook.undo(flight).expect("undone");
    assert_eq!(of(&logbook), one, "the same marks again");
    let mut beside = log("a.csv", b"one");
    beside.inertial = vec![InertialFile::new("phone.csv".to_owned(), b"t,gz\n".to_vec(), None)];
    logbook.add_flight(id, &beside, now()).expect("beside");
    let all = [bare, one, two, of(&logbook)];
    let distinct: std::collections::BTreeSet<&String> = all.iter().collect();
    assert_eq!(distinct.len(), all.len(), "{all:?}");
}
