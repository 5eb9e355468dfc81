//! A second turn rate beside the main one, and what to make of a difference.

use driftless_units::{Estimate, TurnRate, coverage_factor};

/// Chance that a report of sound flights shows any difference at all: shared out over its windows (Bonferroni: each gets its
/// share, and together they stay below). With the normal quantile 21 of 449 simulated reference flights and 24 of 479
/// ordinary ones had one (tuning seeds).
const FALSE_ALARM_PER_REPORT: f64 = 0.05;

/// Fixes farther from the fitted circle than this many times the noise of positions: the path was no steady circle
/// (engineering judgement).
const UNSTEADY_FACTOR: f64 = 2.0;

/// A second, independent turn rate: the drifting circle that lies nearest to the fixes of the window.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SecondOpinion {
    /// Its turn rate.
    pub turn_rate: Estimate<TurnRate>,
    /// What the same fit says with the wind that the whole flight shows in this window, in place of that of the flight's best
    /// circle; `None` when the wind is not known or nothing fits.
    pub with_window_wind: Option<TurnRate>,
    /// Distance of the fixes from the fitted path, m per axis (root mean square).
    pub residual_m: f64,
    /// What the noise of positions makes of that alone, m per axis.
    pub noise_m: f64,
    /// The main figure less this one, in standard uncertainties of the difference.
    pub apart: f64,
}

/// What the drifting circle says of a window, before it stands beside the main figure. See [`SecondOpinion`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CircleOpinion {
    /// Its turn rate.
    pub turn_rate: Estimate<TurnRate>,
    /// The same with the wind of this window.
    pub with_window_wind: Option<TurnRate>,
    /// Distance of the fixes from the fitted path, m per axis.
    pub residual_m: f64,
    /// What the noise of positions makes of that alone, m per axis.
    pub noise_m: f64,
}

impl CircleOpinion {
    /// Beside the main figure.
    pub fn beside(&self, main: Estimate<TurnRate>) -> SecondOpinion {
        let Self { turn_rate, with_window_wind, residual_m, noise_m } = *self;
        let joint_rad_s = main.std_u.rad_s().hypot(turn_rate.std_u.rad_s());
        let apart = (main.value.rad_s() - turn_rate.value.rad_s()) / joint_rad_s;
        SecondOpinion { turn_rate, with_window_wind, residual_m, noise_m, apart }
    }
}

/// Which of two figures that differ the log speaks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Favoured {
    /// The main figure: with the wind of this window the circle comes over to it, so that the borrowed wind was off.
    MainByWind,
    /// The main figure: the fixes leave the circle by more than their noise, so that turn or wind was not steady.
    MainByPath,
    /// Neither.
    Neither,
}

impl Favoured {
    /// Name in JSON and CSV.
    pub const fn name(self) -> &'static str {
        match self {
            Self::MainByWind | Self::MainByPath => "turn-rate",
            Self::Neither => "neither",
        }
    }
}

impl SecondOpinion {
    /// What to make of it beside the main figure, where `compared` windows of the report have a second opinion; `None` when
    /// both agree.
    pub fn disagreement(&self, main: TurnRate, compared: usize) -> Option<Favoured> {
        let share = FALSE_ALARM_PER_REPORT / compared.max(1) as f64;
        (self.apart.abs() > coverage_factor(1.0 - share, f64::INFINITY)).then(|| self.favoured(main))
    }

    fn favoured(&self, main: TurnRate) -> Favoured {
        let from = |other: TurnRate| self.with_window_wind.map(|own| (own.rad_s() - other.rad_s()).abs());
        match (from(main), from(self.turn_rate.value)) {
            (Some(to_main), Some(to_second)) if to_main < to_second => Favoured::MainByWind,
            _ if self.residual_m > UNSTEADY_FACTOR * self.noise_m => Favoured::MainByPath,
            _ => Favoured::Neither,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn opinion(apart: f64, with_window_wind_deg_s: f64, residual_m: f64) -> SecondOpinion {
        SecondOpinion {
            turn_rate: Estimate::new(TurnRate::from_deg_s(3.5), TurnRate::from_deg_s(0.1)),
            with_window_wind: Some(TurnRate::from_deg_s(with_window_wind_deg_s)),
            residual_m,
            noise_m: 0.5,
            apart,
        }
    }

    /// 1.960, 2.576 and 3.023 are the two-sided normal quantiles of 5 %, 1 % and 0.25 % (tables of the normal distribution).
    #[test]
    fn published_the_more_windows_the_farther_apart_it_must_lie() {
        let main = TurnRate::from_deg_s(3.0);
        for (windows, quantile) in [(1, 1.960), (5, 2.576), (20, 3.023)] {
            assert_eq!(opinion(-(quantile - 0.002), 3.0, 0.5).disagreement(main, windows), None, "{windows}");
            assert!(opinion(-(quantile + 0.002), 3.0, 0.5).disagreement(main, windows).is_some(), "{windows}");
        }
    }

    #[test]
    fn wind_and_path_tell_which_figure_the_log_speaks_for() {
        let favoured = |own_deg_s, residual_m| {
            opinion(4.0, own_deg_s, residual_m).disagreement(TurnRate::from_deg_s(3.0), 4).expect("far apart")
        };
        assert_eq!(favoured(3.2, 0.5), Favoured::MainByWind);
        assert_eq!(favoured(3.4, 1.2), Favoured::MainByPath);
        assert_eq!(favoured(3.4, 0.9), Favoured::Neither);
        let blind = SecondOpinion { with_window_wind: None, ..opinion(4.0, 0.0, 0.5) };
        assert_eq!(blind.disagreement(TurnRate::from_deg_s(3.0), 4), Some(Favoured::Neither));
    }
}
