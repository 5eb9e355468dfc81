use super::*;
use flate2::{Compression, write::GzEncoder};
use std::fmt::Write as _;
use std::io::Write as _;

/// A table of `rows` rows at 100 Hz: lively but harmless values under a given header, by a writer of one row.
fn table(header: &str, rows: usize, row: impl Fn(f64, [f64; 3], [f64; 3]) -> String) -> String {
    let mut text = format!("{header}\n");
    for k in 0..rows {
        let t_s = k as f64 * 0.01;
        let gyro = [0.3 * (1.9 * t_s).sin(), 0.1 * (2.3 * t_s).cos(), 0.2 * (0.5 * t_s).sin()];
        let accel = [0.4 * (2.0 * t_s).sin(), 0.3 * (1.7 * t_s).cos(), 9.81 + 0.2 * (3.0 * t_s).sin()];
        let _ = writeln!(text, "{}", row(t_s, gyro, accel));
    }
    text
}

const HEADER: &str = "time_s,gyro_x_rad_s,gyro_y_rad_s,gyro_z_rad_s,accel_x_mps2,accel_y_mps2,accel_z_mps2";

fn si_row(t_s: f64, g: [f64; 3], a: [f64; 3]) -> String {
    format!("{t_s:.3},{:.6},{:.6},{:.6},{:.5},{:.5},{:.5}", g[0], g[1], g[2], a[0], a[1], a[2])
}

fn codes(log: &ImuLog) -> Vec<&'static str> {
    log.problems.iter().map(|p| p.code).collect()
}

fn message<'a>(log: &'a ImuLog, code: &str) -> &'a str {
    &log.problems.iter().find(|p| p.code == code).unwrap_or_else(|| panic!("{code} in {:?}", log.problems)).message
}

/// The same motion under every unit and every kind of time gives the same streams.
#[test]
fn units_and_times_come_to_the_same() {
    let deg = |v: f64| v.to_degrees();
    let g = |v: f64| v / driftless_units::GRAVITY_MPS2;
    let plain = read(table(HEADER, 500, si_row).as_bytes(), None).unwrap();
    assert!(plain.problems.is_empty(), "{:?}", plain.problems);
    assert_eq!(plain.epoch, None);
    let head = |time: &str| {
        format!(
            "{time};GYROSCOPE X (deg/s);GYROSCOPE Y (deg/s);GYROSCOPE Z (deg/s);Accelerometer X (g);Accelerometer Y (g);Accelerometer Z (g)"
        )
    };
    let row = |time: String, w: [f64; 3], a: [f64; 3]| {
        let text = format!(
            "{time};{:.6};{:.6};{:.6};{:.7};{:.7};{:.7}",
            deg(w[0]),
            deg(w[1]),
            deg(w[2]),
            g(a[0]),
            g(a[1]),
            g(a[2])
        );
        // Decimal commas, too.
        text.replace('.', ",")
    };
    let unix = 1_777_626_000.25_f64;
    let stamp = |t: f64| format!("2026-05-01T09:00:{:06.3}Z", 0.25 + t);
    let cases = [
        ("Time (ms)", table(&head("Time (ms)"), 500, |t, w, a| row(format!("{:.0}", t * 1e3), w, a)), false),
        ("timestamp", table(&head("timestamp"), 500, |t, w, a| row(format!("{:.0}", t * 1e6), w, a)), false),
        (
            "ns since 1970",
            table(&head("timestamp"), 500, |t, w, a| row(format!("{:.0}", (unix + t) * 1e9), w, a)),
            true,
        ),
        ("ms since 1970", table(&head("time"), 500, |t, w, a| row(format!("{:.0}", (unix + t) * 1e3), w, a)), true),
        ("stamps", table(&head("time_utc"), 500, |t, w, a| row(stamp(t), w, a)), true),
    ];
    for (name, text, dated) in cases {
        let log = read(text.as_bytes(), None).unwrap_or_else(|e| panic!("{name}: {e}"));
        assert!(log.problems.is_empty(), "{name}: {:?}", log.problems);
        assert_eq!(log.gyro.len(), 500, "{name}");
        assert_eq!(log.epoch.is_some(), dated, "{name}");
        if let Some(start) = log.time_at(log.gyro.t_s[0]) {
            assert_eq!(start.timestamp_millis(), 1_777_626_000_250, "{name}");
        }
        for i in 0..500 {
            let elapsed = log.gyro.t_s[i] - log.gyro.t_s[0];
            assert!((elapsed - plain.gyro.t_s[i]).abs() < 1e-6, "{name}: {elapsed}");
            for axis in 0..3 {
                // Six decimals of a degree, seven of a g: far below what is asked for here.
                assert!((log.gyro.xyz[i][axis] - plain.gyro.xyz[i][axis]).abs() < 1e-5, "{name}");
                assert!((log.accel.xyz[i][axis] - plain.accel.xyz[i][axis]).abs() < 1e-4, "{name}");
            }
        }
    }
}

#[test]
fn gzip_and_a_byte_order_mark_are_unpacked() {
    let text = format!("\u{feff}{}", table(HEADER, 100, si_row));
    let mut packed = GzEncoder::new(Vec::new(), Compression::default());
    packed.write_all(text.as_bytes()).unwrap();
    let log = read(&packed.finish().unwrap(), None).unwrap();
    assert_eq!((log.gyro.len(), log.accel.len(), log.mag.len()), (100, 100, 0));
}

/// A combined table: positions at 1 Hz between the inertial rows, cells blank where a sensor says nothing.
#[test]
fn a_combined_table_with_blank_cells_gives_each_sensor_its_own_times() {
    let header = "time_s,lat_deg,lon_deg,gx_rps,gy_rps,gz_rps,ax_mps2,ay_mps2,az_mps2";
    let text = table(header, 400, |t, g, a| {
        let k = (t * 100.0).round() as usize;
        let accel = if k.is_multiple_of(2) { format!("{:.4},{:.4},{:.4}", a[0], a[1], a[2]) } else { ",,".to_owned() };
        let place = if k.is_multiple_of(100) { "47.0,11.0" } else { "," };
        format!("{t:.2},{place},{:.5},{:.5},{:.5},{accel}", g[0], g[1], g[2])
    });
    let log = read(text.as_bytes(), None).unwrap();
    assert_eq!((log.gyro.len(), log.accel.len()), (400, 200));
    assert_eq!(codes(&log), ["imu-columns-not-used"]);
    assert!((log.accel.interval_s().unwrap() - 0.02).abs() < 1e-9);
}

/// 21.5 °C under each name, on each scale, in the table of the sensor; and a header in ISO-8859-1.
#[test]
fn temperatures_come_to_degrees_celsius() {
    for (name, written) in [
        ("temperature_c", "21.5"),
        ("Gyro Temp (°C)", "21.5"),
        ("imu_temp_F", "70.7"),
        ("Temperature [°F]", "70.7"),
        ("sensor_temperature_k", "294.65"),
        ("temp", "294.65"),
        ("temp", "21.5"),
    ] {
        let row = |t, g, a| {
            format!("{},{}", si_row(t, g, a), if t == 0.5 { format!("{written}01") } else { written.to_owned() })
        };
        let text = table(&format!("{HEADER},{name}"), 100, row);
        let latin: Vec<u8> = text.chars().map(|c| u8::try_from(c).unwrap()).collect();
        for bytes in [text.as_bytes(), latin.as_slice()] {
            let log = read(bytes, None).unwrap();
            let near = log.temperature.celsius.iter().filter(|c| (**c - 21.5).abs() < 0.01).count();
            assert_eq!(near, 100, "{name} {written}: {:?}", log.temperature.celsius);
            let assumed: &[&str] = if name == "temp" { &["imu-temperature-unit-assumed"] } else { &[] };
            assert_eq!(codes(&log), assumed, "{name}");
        }
    }
}

#[test]
fn a_temperature_file_of_its_own_joins_the_sensor() {
    let mut log = read(
        table(&HEADER.replace("time_s", "time_utc"), 100, |t, g, a| {
            si_row(t, g, a).replacen(&format!("{t:.3}"), &format!("2026-05-01T09:00:{t:06.3}Z"), 1)
        })
        .as_bytes(),
        None,
    )
    .unwrap();
    // Every ten seconds, in milliseconds since 1970 that the name does not tell.
    let warm: String =
        (0..30).map(|k| format!("{},{}\n", 1_777_626_000_000_i64 + 10_000 * k, 20.0 + 0.1 * k as f64)).collect();
    let temperatures = read(format!("timestamp,temperature_c\n{warm}").as_bytes(), None).unwrap();
    assert!(temperatures.gyro.is_empty() && temperatures.problems.is_empty(), "{:?}", temperatures.problems);
    log.join(temperatures);
    assert_eq!(log.temperature.t_s.len(), 30);
    let at = log.time_at(log.temperature.t_s[29]).unwrap();
    assert_eq!(at.timestamp_millis(), 1_777_626_290_000);
    assert!((log.temperature.at(log.temperature.t_s[29]).unwrap() - 22.9).abs() < 1e-4);
}

#[test]
fn temperatures_that_cannot_be_are_told() {
    let row = |celsius: &'static str| move |t, g, a| format!("{},{celsius}", si_row(t, g, a));
    let header = format!("{HEADER},temperature_c");
    let dead = read(table(&header, 100, row("25.0")).as_bytes(), None).unwrap();
    assert!(codes(&dead).contains(&"imu-temperature-dead") && dead.temperature.celsius.is_empty());
    let kelvin = read(table(&header, 100, row("295")).as_bytes(), None).unwrap();
    assert!(message(&kelvin, "imu-temperature-unit").contains("100 of 100"));
    let words = read(table(&header, 100, row("warm")).as_bytes(), None).unwrap();
    assert!(codes(&words).contains(&"imu-bad-temperature") && words.gyro.len() == 100);
    let warm = read(
        table(&format!("{HEADER},temp"), 100, |t, g, a| format!("{},{}", si_row(t, g, a), 70.0 + t)).as_bytes(),
        None,
    )
    .unwrap();
    assert!(message(&warm, "imu-temperature-unit-assumed").contains("or is it °F?"));
}

#[test]
fn a_mapping_names_columns_and_units() {
    let text = table("Zeit;Dx;Dy;Dz;Bx;By;Bz", 100, |t, g, a| {
        format!(
            "{:.0};{:.4};{:.4};{:.4};{:.4};{:.4};{:.4}",
            t * 1e3,
            g[0].to_degrees(),
            g[1].to_degrees(),
            g[2].to_degrees(),
            a[0],
            a[1],
            a[2]
        )
    });
    assert!(matches!(read(text.as_bytes(), None), Err(ImuError::Header { .. })));
    let toml = "start_utc = \"2026-05-01T09:00:00Z\"\ntime = { column = \"Zeit\", unit = \"ms\" }\n\
                gyro = { columns = [\"Dx\", \"dy\", 4], unit = \"deg/s\" }\naccel = { columns = [5, 6, 7] }\n";
    let log = read(text.as_bytes(), Some(&ImuMapping::from_toml(toml).unwrap())).unwrap();
    assert!((f64::from(log.gyro.xyz[50][0]) - 0.3 * (1.9_f64 * 0.5).sin()).abs() < 1e-4);
    assert_eq!(log.epoch.map(|e| e.timestamp()), Some(1_777_626_000));
    let toml = "time = 1\ngyro = { columns = [2, 3, 4] }\ntemperature = { column = 5, unit = \"°F\" }";
    let mapped = read(text.as_bytes(), Some(&ImuMapping::from_toml(toml).unwrap())).unwrap();
    assert!(
        mapped
            .temperature
            .celsius
            .iter()
            .any(|c| (f64::from(*c) - (0.4 * (2.0_f64 * 0.5).sin() - 32.0) / 1.8).abs() < 1e-3)
    );
    let wrong = ImuMapping::from_toml("time = 1\ngyro = { columns = [2, 3, 4], unit = \"ft\" }").unwrap();
    assert!(read(text.as_bytes(), Some(&wrong)).unwrap_err().to_string().contains("\"ft\""));
    assert!(ImuMapping::from_toml("tme = 1").unwrap_err().to_string().contains("tme"));
}

/// A factor of 57.3 or 9.81 is recognised, and asked about.
#[test]
fn wrong_units_are_asked_about() {
    let degrees_called_radians = table(HEADER, 300, |t, g, a| si_row(t, g.map(|v| 10.0 * v.to_degrees()), a));
    let log = read(degrees_called_radians.as_bytes(), None).unwrap();
    assert!(message(&log, "imu-gyro-unit").contains("57.3"));
    let g_called_mps2 = table(HEADER, 300, |t, g, a| si_row(t, g, a.map(|v| v / 9.80665)));
    assert!(message(&read(g_called_mps2.as_bytes(), None).unwrap(), "imu-accel-unit").contains("9.81"));
    let mps2_called_g = table(&HEADER.replace("mps2", "g"), 300, si_row);
    assert!(message(&read(mps2_called_g.as_bytes(), None).unwrap(), "imu-accel-unit").contains("9.81"));
    let linear = table(HEADER, 300, |t, g, a| si_row(t, g, [a[0], a[1], a[2] - 9.81]));
    assert!(codes(&read(linear.as_bytes(), None).unwrap()).contains(&"imu-gravity-missing"));
    let ms_called_s = table(HEADER, 300, |t, g, a| si_row(1000.0 * t, g, a));
    let log = read(ms_called_s.as_bytes(), None).unwrap();
    assert!(message(&log, "imu-time-unit").contains("ms"));
    assert!((log.gyro.interval_s().unwrap() - 0.01).abs() < 1e-9);
}

#[test]
fn units_left_out_are_told_by_size() {
    let log = read(table("t,wx,wy,wz,ax,ay,az", 300, |t, g, a| si_row(t, g, a.map(|v| v / 9.80665))).as_bytes(), None)
        .unwrap();
    assert_eq!(codes(&log), ["imu-gyro-unit-assumed", "imu-accel-unit-assumed"]);
    assert!((log.accel.at(0)[2] - 9.81).abs() < 0.3);
}

#[test]
fn dead_frozen_and_saturated_sensors_are_told() {
    let dead = read(table(HEADER, 300, |t, g, a| si_row(t, [g[0], 0.01, g[2]], a)).as_bytes(), None).unwrap();
    assert!(message(&dead, "imu-gyro-axis-dead").contains("axis y"));
    let frozen = read(
        table(HEADER, 1000, |t, g, a| if (4.0..7.0).contains(&t) { si_row(t, [0.1; 3], a) } else { si_row(t, g, a) })
            .as_bytes(),
        None,
    )
    .unwrap();
    assert!(message(&frozen, "imu-gyro-frozen").contains("3 s"));
    assert_eq!(frozen.gyro.len(), 1000 - 299, "the first of the repeats is a sample");
    let clipped =
        read(table(HEADER, 2000, |t, g, a| si_row(t, g.map(|v| v.clamp(-0.25, 0.25)), a)).as_bytes(), None).unwrap();
    assert!(message(&clipped, "imu-gyro-saturated").contains("14 °/s"), "0.25 rad/s");
}

#[test]
fn odd_rows_and_times_are_dropped_sorted_and_told() {
    let mut rows: Vec<String> = table(HEADER, 600, si_row).lines().map(str::to_owned).collect();
    rows[10] = rows[10].replacen(',', ",NaN,", 1);
    rows[11] = "no time,1,2,3,4,5,6".to_owned();
    rows.swap(20, 21);
    rows[30] = rows[29].clone();
    rows.drain(100..200);
    let log = read(rows.join("\n").as_bytes(), None).unwrap();
    for code in ["imu-bad-value", "imu-bad-time", "imu-time-backward", "imu-time-repeated", "imu-gyro-gaps"] {
        assert!(codes(&log).contains(&code), "{code}: {:?}", log.problems);
    }
    assert_eq!(log.problems.iter().find(|p| p.code == "imu-bad-value").unwrap().line, Some(11));
    assert!(log.gyro.t_s.windows(2).all(|w| w[1] > w[0]));
    assert!(message(&log, "imu-gyro-gaps").contains("1 gap, 1.0 s"));
}

/// What the reader of positions always understood, and this one did not: quotation marks around delimiters, times of day,
/// stamps without a zone, and the words of programs for "no number" where a sensor says nothing.
#[test]
fn what_readers_of_other_tables_understand_is_understood_here() {
    let quoted = table(&format!("\"note, in words\",{HEADER}"), 100, |t, g, a| format!("\"a, b\",{}", si_row(t, g, a)));
    assert_eq!(read(quoted.as_bytes(), None).unwrap().gyro.len(), 100);
    let clock = |t: f64, g, a| si_row(t, g, a).replacen(&format!("{t:.3}"), &format!("09:00:{t:06.3}"), 1);
    let undated = read(table(HEADER, 100, clock).as_bytes(), None).unwrap();
    assert_eq!((undated.gyro.len(), undated.epoch), (100, None));
    assert!((undated.gyro.t_s[99] - undated.gyro.t_s[0] - 0.99).abs() < 1e-9);
    let dated = table(&format!("date,{HEADER}"), 100, |t, g, a| format!("2026-05-01,{}", clock(t, g, a)));
    let dated = read(dated.as_bytes(), None).unwrap();
    assert_eq!(dated.epoch.map(|e| e.to_rfc3339()).as_deref(), Some("2026-05-01T09:00:00+00:00"));
    let unzoned = table(HEADER, 100, |t, g, a| format!("2026-05-01 {}", clock(t, g, a)));
    assert_eq!(codes(&read(unzoned.as_bytes(), None).unwrap()), ["imu-time-without-zone"]);
    let silent = table(HEADER, 200, |t, g, a| {
        let row = si_row(t, g, a);
        let half: Vec<&str> = row.splitn(5, ',').collect();
        let odd = ((t * 100.0).round() as u32) % 2 == 1;
        if odd { format!("{},{},{},{},NaN,nan,null", half[0], half[1], half[2], half[3]) } else { row }
    });
    let silent = read(silent.as_bytes(), None).unwrap();
    assert_eq!((silent.gyro.len(), silent.accel.len()), (200, 100));
    assert!(silent.problems.is_empty(), "{:?}", silent.problems);
}

#[test]
fn a_mapping_of_columns_that_are_not_there_is_refused() {
    let mapping = ImuMapping::from_toml("time = 1\ngyro = { columns = [2, 3, 99] }").unwrap();
    let refused = read(table(HEADER, 100, si_row).as_bytes(), Some(&mapping)).unwrap_err().to_string();
    assert!(refused.starts_with("inertial mapping: there is no column 99; the header names 7"), "{refused}");
}

#[test]
fn a_clock_that_begins_anew_keeps_the_longest_recording() {
    let first = table(HEADER, 2000, si_row);
    let second: String = table(HEADER, 5000, si_row).lines().skip(1).map(|l| format!("{l}\n")).collect();
    let log = read(format!("{first}{second}").as_bytes(), None).unwrap();
    assert_eq!(log.gyro.len(), 5000);
    assert!(message(&log, "imu-several-recordings").contains("2 recordings"));
}

#[test]
fn regression_stray_stamps_are_dropped_and_told() {
    let rows: Vec<String> = table(HEADER, 6000, si_row).lines().map(str::to_owned).collect();
    let clean = read(rows.join("\n").as_bytes(), None).unwrap();
    for stamp in ["7887882.0", "99.0", "-3e9", "1e18", "1e300"] {
        let mut rows = rows.clone();
        for place in [400, 3000, 3001] {
            let values = rows[place].split_once(',').unwrap().1.to_owned();
            rows[place] = format!("{stamp},{values}");
        }
        let log = read(rows.join("\n").as_bytes(), None).unwrap();
        assert_eq!(log.gyro.len(), clean.gyro.len() - 3, "{stamp}");
        assert_eq!(log.gyro.span_s(), clean.gyro.span_s(), "{stamp}");
        assert!(message(&log, "imu-stray-time").starts_with("3 of 6000"), "{}", message(&log, "imu-stray-time"));
    }
}

/// The clock of a logger that starts in 1970, or counts from its start, and is set by the satellites after a while.
#[test]
fn regression_a_clock_set_while_recording_has_its_later_date() {
    let unix = 1_777_626_000.25_f64;
    let set_after = |from: usize, write: &dyn Fn(f64) -> String| {
        let first = (0..from).map(|k| write(k as f64 * 0.01));
        first.chain((from..6000).map(|k| write(unix + k as f64 * 0.01))).collect::<Vec<_>>()
    };
    let iso = |t: f64| chrono::DateTime::from_timestamp_millis((1e3 * t).round() as i64).unwrap().to_rfc3339();
    let number = |t: f64| format!("{t:.3}");
    for (head, write) in [("time_utc", &iso as &dyn Fn(f64) -> String), ("time", &number)] {
        for from in [1, 1500] {
            let stamps = set_after(from, write);
            let plain = table(&HEADER.replace("time_s", head), 6000, si_row);
            let mut lines = plain.lines();
            let head = lines.next().unwrap().to_owned();
            let rows = lines.zip(&stamps).map(|(row, stamp)| format!("{stamp},{}", row.split_once(',').unwrap().1));
            let text: Vec<String> = std::iter::once(head).chain(rows).collect();
            let log = read(text.join("\n").as_bytes(), None).unwrap();
            assert_eq!(log.gyro.len(), 6000 - from);
            let start = log.time_at(log.gyro.t_s[0]).expect("a date");
            assert_eq!(start.timestamp_millis(), 1_777_626_000_250 + 10 * from as i64);
            // Small numbers keep their digits.
            assert!(log.gyro.t_s.iter().all(|t| t.abs() < 3600.0));
        }
    }
}

#[test]
fn regression_times_that_span_more_than_a_flight_are_refused() {
    let slow = table(HEADER, 2000, |t, g, a| si_row(1e300 * (0.1 + t), g, a));
    assert!(matches!(read(slow.as_bytes(), None), Err(ImuError::NoRate { .. })));
    // A pause of five hours after every two seconds.
    let torn = table(HEADER, 2000, |t, g, a| si_row(t + 18_000.0 * (t / 2.0).floor(), g, a));
    let refused = read(torn.as_bytes(), None).unwrap_err();
    assert!(matches!(refused, ImuError::TooLong { hours, samples: 2000 } if hours > 40.0), "{refused}");
}

#[test]
fn what_is_no_inertial_table_is_refused_in_words() {
    let refused = |bytes: &[u8]| read(bytes, None).unwrap_err().to_string();
    assert!(refused(b"").contains("empty"));
    assert!(refused(b"<gpx/>").contains("GPX"));
    assert!(refused(b"time_utc,lat_deg,lon_deg\n2026-05-01T09:00:00Z,47,11\n").contains("gyro"));
    assert!(refused(b"t_s,gx_rps,gy_rps\n0,1,2\n").contains("all three axes of the gyro"));
    assert!(refused(b"t_s,gx_rps,gy_rps,gz_rps\nx,1,2,3\n").contains("no row"));
    assert!(refused(b"t_s,gx_rps,gy_rps,gz_rps\n").contains("behind its header (line 1)"));
    assert!(refused(b"t_s,gx_rps,gy_rps,gz_rps\n0,1,2,3\n").contains("only 1 rows"));
    let slow = table(HEADER, 10, |t, g, a| si_row(5e4 * t, g, a)).replace("time_s", "time");
    assert!(refused(slow.as_bytes()).contains("step between rows"), "{}", refused(slow.as_bytes()));
}

/// Whatever the bytes: an error or a log whose streams are whole.
#[test]
fn mangled_tables_never_break_the_reader() {
    let good = table(HEADER, 300, si_row).into_bytes();
    let mut state = 12345_u64;
    let mut random = || {
        // Knuth, The Art of Computer Programming, volume 2, 3.3.4: MMIX.
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (state >> 33) as usize
    };
    let mut read_at_all = 0;
    for _ in 0..400 {
        let mut bytes = good.clone();
        for _ in 0..1 + random() % 30 {
            if bytes.is_empty() {
                break;
            }
            let at = random() % bytes.len();
            match random() % 3 {
                0 => bytes[at] = b"\0,;\n\"-eE.9x\xff"[random() % 12],
                1 => drop(bytes.remove(at)),
                _ => bytes.truncate(at.max(1)),
            }
        }
        if let Ok(log) = read(&bytes, None) {
            read_at_all += 1;
            for stream in [&log.gyro, &log.accel] {
                assert_eq!(stream.t_s.len(), stream.xyz.len());
                assert!(stream.xyz.iter().flatten().all(|v| v.is_finite()));
                assert!(stream.t_s.windows(2).all(|w| w[1] > w[0]));
            }
        }
    }
    assert!(read_at_all > 100, "most mangled tables still hold samples, {read_at_all}");
}
