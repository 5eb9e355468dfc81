//! Every prefix of each small fixture, and each fixture with single bytes flipped: a log or an error, never a panic, and what is
//! read keeps its promises.

mod held;

use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use std::path::{Path, PathBuf};

/// Prefixes of longer files would take as long as all others together.
const SMALL: usize = 6_000;

/// Flips of each fixture that every run of the tests makes; `DRIFTLESS_FLIPS` sets another number.
const FLIPS: usize = 200;

/// Flipped files are read whole, so that large ones take the time of many.
const READ_BYTES: usize = 4_000_000;

fn fixtures() -> Vec<PathBuf> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../fixtures/formats");
    let mut found = Vec::new();
    let mut folders = vec![root];
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(folder).expect("a folder") {
            let path = entry.expect("an entry").path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_none_or(|end| end != "md") {
                found.push(path);
            }
        }
    }
    found.sort();
    assert!(found.len() > 50, "{} fixtures", found.len());
    found
}

#[test]
#[expect(clippy::print_stdout, reason = "how many were tried, for the table of docs/SECURITY.md")]
fn every_prefix_of_each_small_fixture() {
    let mut tried = 0;
    for path in fixtures() {
        let bytes = std::fs::read(&path).expect("a fixture");
        if bytes.len() > SMALL {
            continue;
        }
        for end in 0..bytes.len() {
            held::check(bytes.get(..end).expect("a prefix"));
            tried += 1;
        }
    }
    println!("{tried} prefixes");
    assert!(tried > 50_000, "{tried} prefixes");
}

#[test]
#[expect(clippy::print_stdout, reason = "how many were tried, for the table of docs/SECURITY.md")]
fn flipped_bytes_of_each_fixture() {
    let flips = std::env::var("DRIFTLESS_FLIPS").ok().and_then(|flips| flips.parse().ok()).unwrap_or(FLIPS);
    let fixtures = fixtures();
    let mut tried = 0;
    for (number, path) in fixtures.iter().enumerate() {
        let bytes = std::fs::read(path).expect("a fixture");
        let mut random = ChaCha8Rng::seed_from_u64(number as u64);
        let most = if flips > FLIPS { flips } else { flips.min(READ_BYTES / bytes.len().max(1)).max(1) };
        for _ in 0..most {
            let mut flipped = bytes.clone();
            // One to four places: one alone is often caught by a checksum.
            for _ in 0..random.random_range(1..=4) {
                let Some(byte) = flipped.get_mut(random.random_range(0..bytes.len().max(1))) else { continue };
                *byte ^= 1 << random.random_range(0..8);
            }
            held::check(&flipped);
            tried += 1;
        }
    }
    println!("{tried} flipped files made of {} fixtures", fixtures.len());
}
