//! Times our readers beside others on the same invented logs: `run.sh` in this folder runs all of it.
//!
//! `peers write FOLDER` writes the logs. `peers time FOLDER ROUNDS` reads each with every reader in turn, round by round,
//! and prints a row for each: the medians, and peer time over our time. `peers answer` reads a line
//! `memory FILE` or `file FILE` from standard input, reads that log once, and answers with nanoseconds and positions;
//! so a script can time a reader of another language in turn with ours.

mod files;
mod readers;

use std::io::{BufRead, Write};
use std::path::{Path, PathBuf};
use std::time::Instant;

/// Four hours at 10 Hz.
const FIXES: u32 = 144_000;

fn main() {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    match arguments.iter().map(String::as_str).collect::<Vec<_>>().as_slice() {
        ["write", folder] => write(Path::new(folder)),
        ["time", folder, rounds] => time(Path::new(folder), rounds.parse().expect("a number of rounds")),
        ["answer"] => answer(),
        _ => {
            eprintln!("peers write FOLDER | peers time FOLDER ROUNDS | peers answer");
            std::process::exit(2);
        }
    }
}

fn write(folder: &Path) {
    std::fs::create_dir_all(folder).expect("a folder");
    for (name, bytes) in files::all(FIXES) {
        std::fs::write(folder.join(name), bytes).expect("a file");
    }
}

/// Seconds of one reading, and what it found.
fn timed(read: impl FnOnce() -> usize) -> (f64, usize) {
    let started = Instant::now();
    let found = read();
    (started.elapsed().as_secs_f64(), found)
}

fn median(seconds: &mut [f64]) -> f64 {
    seconds.sort_by(f64::total_cmp);
    seconds[seconds.len() / 2]
}

fn time(folder: &Path, rounds: usize) {
    for (name, _) in files::all(1) {
        let path = folder.join(name);
        let bytes = std::fs::read(&path).expect("`peers write` makes the logs");
        let readers = readers::of(name);
        let mut memory = vec![Vec::new(); readers.len()];
        let mut file = vec![Vec::new(); readers.len()];
        for round in 0..=rounds {
            for (at, (reader, read)) in readers.iter().enumerate() {
                let (of_memory, found) = timed(|| read(&bytes));
                let (of_file, _) = timed(|| read(&std::fs::read(&path).expect("still there")));
                assert_eq!(found, FIXES as usize, "{reader} of {name}");
                // The first round warms up.
                if round > 0 {
                    memory[at].push(of_memory);
                    file[at].push(of_file);
                }
            }
        }
        let medians: Vec<[f64; 2]> =
            memory.iter_mut().zip(&mut file).map(|(memory, file)| [median(memory), median(file)]).collect();
        let megabytes = bytes.len() as f64 / 1e6;
        for ((reader, _), times) in readers.iter().zip(&medians) {
            row(name, megabytes, reader, *times, medians[0]);
        }
    }
}

fn row(name: &str, megabytes: f64, reader: &str, times: [f64; 2], ours: [f64; 2]) {
    let [memory, file] = times;
    let per_fix = 1e9 * memory / f64::from(FIXES);
    let ratio = format!("{:.2} / {:.2}", memory / ours[0], file / ours[1]);
    let ratio = if times == ours { "" } else { ratio.as_str() };
    println!(
        "| {name}, {megabytes:.0} MB | {reader} | {:.0} / {:.0} | {per_fix:.0} | {ratio} |",
        megabytes / memory,
        megabytes / file
    );
}

fn answer() {
    let mut kept: Option<(PathBuf, Vec<u8>)> = None;
    for line in std::io::stdin().lock().lines() {
        let line = line.expect("text");
        let (whence, path) = line.split_once(' ').expect("memory FILE or file FILE");
        let path = PathBuf::from(path);
        let (seconds, found) = if whence == "memory" {
            if kept.as_ref().is_none_or(|(known, _)| *known != path) {
                kept = Some((path.clone(), std::fs::read(&path).expect("a log")));
            }
            let (_, bytes) = kept.as_ref().expect("just read");
            timed(|| readers::ours(bytes))
        } else {
            timed(|| readers::ours(&std::fs::read(&path).expect("a log")))
        };
        println!("{:.0} {found}", 1e9 * seconds);
        std::io::stdout().flush().expect("somebody listens");
    }
}
