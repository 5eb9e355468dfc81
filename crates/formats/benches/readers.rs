//! Throughput of each reader on a generated log of an hour at 10 Hz, file in memory.
//!
//! `cargo bench -p driftless-formats` prints MB/s (10^6 bytes) per format. The logs are those that `crates/formats/peers` times
//! beside other readers.

#![allow(missing_docs)] // The macros of criterion make public items without any.

#[path = "../peers/files.rs"]
mod files;

use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use driftless_formats::{ReadHint, read};
use std::hint::black_box;

const FIXES: u32 = 36_000;

fn readers(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("read");
    for (name, bytes) in files::all(FIXES) {
        let log = read(&bytes, &ReadHint::default()).expect("a generated log");
        assert_eq!((log.fixes.len(), log.problems.len()), (FIXES as usize, 0), "{name}: {:?}", log.problems);
        group.throughput(Throughput::BytesDecimal(bytes.len() as u64));
        group.bench_function(name, |bench| bench.iter(|| read(black_box(&bytes), &ReadHint::default())));
    }
    group.finish();
}

criterion_group!(benches, readers);
criterion_main!(benches);
