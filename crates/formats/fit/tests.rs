use crate::{ReadError, ReadHint, read};
use driftless_track::FlightLog;

/// Seconds since 1989-12-31 of 2026-05-01T09:00:00Z.
const START_S: u32 = 1_146_560_400;

fn try_log(bytes: &[u8]) -> Result<FlightLog, ReadError> {
    read(bytes, &ReadHint::default())
}

fn codes(log: &FlightLog) -> Vec<(&str, u32)> {
    log.problems.iter().map(|p| (p.code, p.count)).collect()
}

/// Messages behind a header without checksum of its own, the right checksum behind them.
fn fit(messages: &[u8]) -> Vec<u8> {
    let mut file = vec![12, 0x10, 0, 0];
    file.extend(u32::try_from(messages.len()).expect("small").to_le_bytes());
    file.extend(b".FIT");
    file.extend(messages);
    file.extend(super::crc::of(&file).to_le_bytes());
    file
}

/// The layout of a record: time, latitude, longitude.
const LAYOUT: &[u8] = &[0x40, 0, 0, 20, 0, 3, 253, 4, 0x86, 0, 4, 0x85, 1, 4, 0x85];

fn record(second: u32, lat: i32, lon: i32) -> Vec<u8> {
    [&[0][..], &(START_S + second).to_le_bytes(), &lat.to_le_bytes(), &lon.to_le_bytes()].concat()
}

#[test]
fn derived_semicircles_and_seconds() {
    // 2^30 semicircles are a quarter of a turn, the smallest number half a turn west.
    let log = try_log(&fit(&[LAYOUT, &record(0, 1 << 30, i32::MIN), &record(1, -(1 << 30), 1 << 29)].concat()))
        .expect("readable");
    let [first, second] = &*log.fixes else { panic!("two fixes") };
    assert_eq!((first.lat_deg, first.lon_deg), (90.0, -180.0));
    assert_eq!((second.lat_deg, second.lon_deg), (-90.0, 45.0));
    assert_eq!(first.time.to_rfc3339(), "2026-05-01T09:00:00+00:00");
    assert_eq!((first.source.line_number(), first.source.byte), (None, 12 + 15));
    assert!(log.problems.is_empty(), "{:?}", log.problems);
}

#[test]
fn compressed_times_go_round_after_32_seconds() {
    // Layout 1 has no time of its own.
    let layout = [0x41, 0, 0, 20, 0, 2, 0, 4, 0x85, 1, 4, 0x85];
    let compressed = |second: u32| [&[0xa0 | ((START_S + second) % 32) as u8][..], &[1; 8]].concat();
    let times = [3, 3, 20, 35, 66, 97];
    let messages =
        [LAYOUT.to_vec(), record(0, 1, 1), layout.to_vec(), times.map(compressed).concat(), record(200, 1, 1)].concat();
    let log = try_log(&fit(&messages)).expect("readable");
    let seconds: Vec<_> = log.fixes.iter().map(|fix| fix.time.timestamp() - 1_777_626_000).collect();
    assert_eq!(seconds, [0, 3, 3, 20, 35, 66, 97, 200]);
    let untimed = try_log(&fit(&[&layout[..], &compressed(3)].concat())).expect_err("no time to build on");
    assert!(untimed.to_string().contains("without a time"), "{untimed}");
}

#[test]
fn a_time_of_any_message_is_one_to_build_on() {
    // An event (21) with nothing but a time.
    let event = [&[0x42, 0, 0, 21, 0, 1, 253, 4, 0x86, 2][..], &(START_S + 64).to_le_bytes()].concat();
    let layout = [0x41, 0, 0, 20, 0, 2, 0, 4, 0x85, 1, 4, 0x85];
    let compressed = [&[0xa0 | ((START_S + 65) % 32) as u8][..], &[1; 8]].concat();
    let log = try_log(&fit(&[&event, &layout[..], &compressed].concat())).expect("readable");
    assert_eq!(log.fixes[0].time.timestamp() - 1_777_626_000, 65);
}

#[test]
fn a_layout_that_changes_counts_from_there_on() {
    let turned = [0x40, 0, 0, 20, 0, 3, 1, 4, 0x85, 0, 4, 0x85, 253, 4, 0x86];
    let second = [&[0][..], &2_i32.to_le_bytes(), &1_i32.to_le_bytes(), &(START_S + 1).to_le_bytes()].concat();
    let log = try_log(&fit(&[LAYOUT, &record(0, 1, 2), &turned, &second].concat())).expect("readable");
    assert_eq!(log.fixes[0].lat_deg, log.fixes[1].lat_deg);
    assert_eq!((log.fixes[1].time - log.fixes[0].time).num_seconds(), 1);
}

#[test]
fn faults_are_located_by_their_byte_and_keep_what_came_before() {
    let good = [LAYOUT, &record(0, 1, 1)].concat();
    let broken_at = Some(12 + good.len() as u64);
    for (tail, code) in [
        // A message without layout, a layout in no order of bytes, one that ends early.
        (&[0x05, 1, 2][..], "fit-broken"),
        (&[0x41, 0, 7, 20, 0, 0], "fit-broken"),
        (&[0x41, 0, 0, 20, 0, 200, 1], "fit-broken"),
        (&[0x61, 0, 0, 20, 0, 0, 9, 1], "fit-broken"),
        (&[0x00, 1], "fit-broken"),
    ] {
        let log = try_log(&fit(&[&good, tail].concat())).expect("readable");
        assert_eq!((log.fixes.len(), codes(&log)), (1, vec![(code, 1)]), "{tail:?}");
        assert_eq!((log.problems[0].line, log.problems[0].byte), (None, broken_at), "{tail:?}");
    }
    let mut damaged = fit(&good);
    damaged[28] ^= 1;
    assert_eq!(codes(&try_log(&damaged).expect("readable")), [("bad-checksum", 1)]);
    let mut behind = fit(&good);
    behind.extend(b"more");
    assert_eq!(codes(&try_log(&behind).expect("readable")), [("fit-trailing-bytes", 1)]);
    behind.truncate(behind.len() - 5);
    assert_eq!(codes(&try_log(&behind).expect("readable")), [("cut-off", 1)]);
}

#[test]
fn layouts_without_fields_and_without_end_cost_no_memory() {
    // A million messages of one byte, a hundred thousand layouts.
    let empty = [&[0x40, 0, 0, 20, 0, 0][..], &vec![0; 1_000_000]].concat();
    let error = try_log(&fit(&empty)).expect_err("no position");
    assert!(error.to_string().contains("no positions"), "{error}");
    let layouts = [&LAYOUT.repeat(100_000)[..], &record(0, 1, 1)].concat();
    assert_eq!(try_log(&fit(&layouts)).expect("readable").fixes.len(), 1);
}

#[test]
fn clear_words_for_files_that_cannot_be_used() {
    let id = |kind: u8| [0x4f, 0, 0, 0, 0, 1, 0, 1, 0, 0x0f, kind];
    let whole = |kind: u8| fit(&[&id(kind)[..], LAYOUT, &record(0, 1, 1)].concat());
    assert_eq!(try_log(&whole(4)).expect("an activity").fixes.len(), 1);
    for (bytes, words) in [
        (whole(6), "a course, a planned route"),
        (fit(&id(5)), "a workout"),
        (fit(&id(4)), "no records"),
        (fit(&id(2)), "not a recorded activity"),
        (fit(&[LAYOUT, &record(0, i32::MAX, i32::MAX)].concat()), "indoors or without GPS"),
        (fit(&[LAYOUT, &record(0, 1 << 30 | 1, 0)].concat()), "byte 27: a record was left out: latitude 90.00000"),
        (b"\x05\0\0\0\0\0\0\0.FIT".to_vec(), "header of the FIT file is damaged"),
        (b"\xff\0\0\0\0\0\0\0.FIT\x01\x02".to_vec(), "header of the FIT file is damaged"),
    ] {
        let error = try_log(&bytes).expect_err(words);
        assert_eq!(error.code(), "no-fixes", "{error}");
        assert!(error.to_string().contains(words), "{error}");
    }
}
