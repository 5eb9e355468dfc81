//! How fast an inertial table is read: 200 Hz, ten columns, one minute and, once, four hours.

use criterion::{BatchSize, Criterion, Throughput, criterion_group, criterion_main};
use driftless_inertial::read;
use std::fmt::Write;
use std::hint::black_box;

fn table(seconds: usize) -> Vec<u8> {
    let mut text = String::from(
        "time_s,gyro_x_rad_s,gyro_y_rad_s,gyro_z_rad_s,accel_x_mps2,accel_y_mps2,accel_z_mps2,mag_x_ut,mag_y_ut,mag_z_ut\n",
    );
    for k in 0..seconds * 200 {
        let t_s = k as f64 / 200.0;
        let wave = |a: f64, w: f64| a * (w * t_s).sin();
        let _ = writeln!(
            text,
            "{t_s:.3},{:.5},{:.5},{:.5},{:.4},{:.4},{:.4},{:.3},{:.3},{:.3}",
            wave(0.3, 1.9),
            wave(0.1, 2.3),
            wave(0.2, 0.1),
            wave(0.5, 2.1),
            wave(0.4, 1.7),
            9.81 + wave(0.6, 40.0),
            20.0 + wave(5.0, 0.1),
            wave(20.0, 0.1),
            -40.0
        );
    }
    text.into_bytes()
}

fn reader(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("inertial");
    for (name, seconds, samples) in [("one minute at 200 Hz", 60, 50), ("four hours at 200 Hz", 14_400, 10)] {
        let bytes = table(seconds);
        group.sample_size(samples).throughput(Throughput::Bytes(bytes.len() as u64)).bench_function(name, |bencher| {
            bencher.iter_batched(|| (), |()| read(black_box(&bytes), None).unwrap(), BatchSize::PerIteration);
        });
    }
    group.finish();
}

criterion_group!(benches, reader);
criterion_main!(benches);
