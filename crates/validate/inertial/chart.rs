//! Error by length of the window, with a gyro and without.

use super::InertialStudyScore;
use super::figures::{GPS_ALONE, Pick, WITH_GYRO, error, flights, rates};
use super::study::{Kind, LENGTHS_S};
use crate::charts::{axis, style};
use driftless_charts::{Axis, Chart, Figure, Series, SeriesStyle, figure};
use driftless_sim::reference::AirClass;

/// The chart; `None` when no windows were flown.
pub fn chart(scores: &[InertialStudyScore]) -> Option<Chart> {
    let points = |class, pick: Pick| -> Vec<(f64, f64, f64)> {
        LENGTHS_S
            .into_iter()
            .map(|seconds| (seconds, flights(scores, class, Kind::Windows(seconds))))
            .filter(|(_, flown)| !flown.is_empty())
            .map(|(seconds, flown)| (f64::from(seconds), error(&rates(flown, pick))))
            .filter(|(_, got)| got.value.is_finite())
            .map(|(seconds, got)| (seconds, got.value, got.std_error))
            .collect()
    };
    let mut series = Vec::new();
    let mut gains = Vec::new();
    for class in AirClass::ALL {
        let (gyro, alone) = (points(class, WITH_GYRO), points(class, GPS_ALONE));
        if gyro.is_empty() {
            continue;
        }
        gains.extend(alone.iter().zip(&gyro).map(|(a, g)| a.1 / g.1));
        let label = format!("gyro, {}", class.name());
        series.push(Series { label, style: style(class), points: gyro });
        let plain = alone.into_iter().map(|(x, y, _)| (x, y, 0.0)).collect();
        let label = format!("GPS alone, {}", class.name());
        series.push(Series { label, style: SeriesStyle::Reference, points: plain });
    }
    let [low, high] = [gains.iter().copied().fold(f64::INFINITY, f64::min), gains.iter().copied().fold(0.0, f64::max)];
    (!series.is_empty()).then(|| {
        figure(&Figure {
            id: "validation-inertial-lengths".to_owned(),
            headline: format!("GPS alone errs {low:.1} to {high:.1} times as much as GPS with a gyro"),
            subtitle:
                "Root mean square error of turn_rate by length of the window and air, with standard errors; dotted: \
                       GPS alone on the same windows."
                    .to_owned(),
            description: "The figures are in the table of turn rates with a gyro and without.".to_owned(),
            x: Axis {
                log: true,
                range: Some((4.5, 66.0)),
                ticks: vec![5.0, 10.0, 20.0, 30.0, 60.0],
                ..axis("window, s")
            },
            y: Axis { log: true, ticks: vec![0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1.0], ..axis("rms error, °/s") },
            series,
        })
    })
}
