//! A program that writes is killed at any moment: what it had confirmed is there, and the logbook is whole.
#![cfg(unix)]

mod common;

use common::{log, mark, now};
use driftless_logbook::{About, FlightFilter, Logbook};
use std::io::{Read, Write};
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Duration;

/// Where the child writes; set in the child alone.
const CHILD: &str = "DRIFTLESS_LOGBOOK_CHILD";
/// How often the child is killed, where somebody wants it more often.
const KILLS: &str = "DRIFTLESS_LOGBOOK_KILLS";

/// A flight of about 20 kB, as no other.
fn content(step: usize) -> Vec<u8> {
    format!("flight {step}\n").repeat(1500).into_bytes()
}

/// Writes for ever, and says each change when it is confirmed.
fn write_on(path: &Path) {
    let mut logbook = Logbook::open(path).expect("opens");
    let campaign = logbook.campaigns().expect("campaigns")[0].id;
    let from: usize = logbook.preference("step").expect("read").map_or(0, |step| step.parse().expect("a number"));
    let mut stdout = std::io::stdout().lock();
    for step in from + 1.. {
        let bytes = content(step);
        let flight = logbook.add_flight(campaign, &log(&format!("{step}.igc"), &bytes), now()).expect("added").flight;
        writeln!(stdout, "added {step}").and_then(|()| stdout.flush()).expect("said");
        logbook.correct(flight, &[mark(0), mark(100)], &format!("step {step}"), now()).expect("corrected");
        writeln!(stdout, "corrected {step}").and_then(|()| stdout.flush()).expect("said");
        let about = About { note: Some(format!("step {step}")), ..About::default() };
        logbook.set_about(flight, &about).expect("said");
        writeln!(stdout, "about {step}").and_then(|()| stdout.flush()).expect("said");
        if step % 5 == 0 {
            logbook.undo(flight).expect("undone");
            logbook.remove_flight(flight).expect("removed");
            writeln!(stdout, "removed {step}").and_then(|()| stdout.flush()).expect("said");
        }
        logbook.set_preference("step", Some(&step.to_string())).expect("noted");
        writeln!(stdout, "step {step}").and_then(|()| stdout.flush()).expect("said");
    }
}

/// Kills a child after a while; what it had confirmed until then.
fn killed_after(path: &Path, after: Duration) -> Vec<(String, usize)> {
    let mut child = Command::new(std::env::current_exe().expect("this program"))
        .args(["--exact", "confirmed_changes_survive_kills", "--nocapture"])
        .env(CHILD, path)
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .expect("a child");
    std::thread::sleep(after);
    child.kill().expect("killed");
    let mut said = String::new();
    child.stdout.take().expect("its output").read_to_string(&mut said).expect("read");
    child.wait().expect("ended");
    // A line without its end was not said in full.
    let whole = said.rsplit_once('\n').map_or("", |(whole, _)| whole);
    whole
        .lines()
        .filter_map(|line| {
            let (what, step) = line.split_once(' ')?;
            Some((what.to_owned(), step.parse().ok()?))
        })
        .collect()
}

/// Everything confirmed is there, and all is whole.
fn holds(path: &Path, confirmed: &[(String, usize)]) {
    let logbook = Logbook::open(path).expect("opens again");
    assert_eq!(logbook.check(), Ok(Vec::new()));
    let campaign = logbook.campaigns().expect("campaigns")[0].id;
    let flights = logbook.flights(campaign, &FlightFilter::default()).expect("flights");
    let noted: usize = logbook.preference("step").expect("read").map_or(0, |step| step.parse().expect("a number"));
    for (what, step) in confirmed {
        let flight = flights.iter().find(|flight| flight.key == step.to_string());
        let gone = step % 5 == 0;
        match (what.as_str(), flight) {
            ("added", Some(flight)) => {
                assert_eq!(logbook.flight_files(flight.id).expect("its files").log, content(*step), "{step}");
            }
            ("corrected", Some(flight)) => {
                assert_eq!(logbook.history(flight.id).expect("its history")[0].what, format!("step {step}"));
                // The first change after this one may be the undoing.
                assert!(gone || logbook.marks(flight.id) == Ok(Some(vec![mark(0), mark(100)])), "{step}");
            }
            ("about", Some(flight)) => assert_eq!(flight.about.note, Some(format!("step {step}"))),
            ("removed", flight) => assert!(flight.is_none(), "{step}"),
            ("step", _) => assert!(noted >= *step, "{noted} < {step}"),
            (what, None) => assert!(gone, "{what} {step} was confirmed and is not there"),
            (what, _) => panic!("{what}"),
        }
    }
}

#[test]
fn confirmed_changes_survive_kills() {
    if let Some(path) = std::env::var_os(CHILD) {
        return write_on(Path::new(&path));
    }
    let kills: usize = std::env::var(KILLS).ok().map_or(20, |kills| kills.parse().expect("a number"));
    let folder = tempfile::tempdir().expect("a folder");
    let mut all = 0;
    for kill in 0..kills {
        // One in three kills meets a new logbook, some of them while it is made; the others one that was killed before.
        let new = kill % 3 == 0;
        let path = folder.path().join(if new { format!("new-{kill}.logbook") } else { "old.logbook".to_owned() });
        // Moments spread evenly and without a beat, by the golden ratio.
        let share = (kill as f64 * 0.618_034).fract();
        let after = if new { 120.0 * share } else { 600.0 * share };
        let confirmed = killed_after(&path, Duration::from_secs_f64(after / 1e3));
        all += confirmed.len();
        holds(&path, &confirmed);
    }
    // Else nothing was tried.
    assert!(all > kills, "{all} changes confirmed over {kills} kills");
    // What a long run came to.
    let _ = writeln!(std::io::stderr(), "{kills} kills, {all} confirmed changes, all there");
}
