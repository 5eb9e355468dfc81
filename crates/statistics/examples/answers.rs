//! Answers of this crate to questions on standard input, a line each: what `tests/differential` holds against other libraries.
//!
//! * `mean METHOD y u y u ...`: random-effects mean; gives the mean, its standard uncertainty, the fixed-effect mean, its
//!   standard uncertainty and τ²;
//! * `line x u_x y u_y ...`: straight line; gives intercept, slope, their standard uncertainties before widening, and χ²;
//! * `factor p dof`: coverage factor of Student's t;
//! * `holm p p ...`: adjusted probabilities.

use driftless_statistics::compare::holm;
use driftless_statistics::random_effects::{Guard, SpreadMethod, combine_with};
use driftless_statistics::regression::{LinePoint, Scatter, fit_line};
use driftless_units::{Estimate, coverage_factor};
use std::io::{self, BufRead, Write};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let mut out = io::stdout().lock();
    for line in io::stdin().lock().lines() {
        let answer: Vec<String> = answer(&line?)?.iter().map(|number| format!("{number:e}")).collect();
        writeln!(out, "{}", answer.join(" "))?;
    }
    Ok(())
}

fn answer(question: &str) -> Result<Vec<f64>, Box<dyn std::error::Error>> {
    let mut words = question.split_whitespace();
    let about = words.next().unwrap_or_default();
    let method = if about == "mean" { words.next() } else { None };
    let numbers = words.map(str::parse).collect::<Result<Vec<f64>, _>>()?;
    Ok(match about {
        "mean" => {
            let method = match method {
                Some("reml") => SpreadMethod::Reml,
                Some("paule-mandel") => SpreadMethod::PauleMandel,
                Some("dersimonian-laird") => SpreadMethod::DerSimonianLaird,
                other => return Err(format!("no method is called {other:?}").into()),
            };
            let runs: Vec<_> = numbers.as_chunks().0.iter().map(|&[y, u]| Estimate::new(y, u)).collect();
            let cell = combine_with(&runs, method, Guard::None)?;
            let tau = cell.between_run_sd.unwrap_or(f64::NAN);
            vec![cell.mean.value, cell.mean.std_u, cell.fixed_effect.value, cell.fixed_effect.std_u, tau * tau]
        }
        "line" => {
            let points: Vec<_> =
                numbers.as_chunks().0.iter().map(|&[x, u_x, y, u_y]| LinePoint::new(x, u_x, y, u_y)).collect();
            let line = fit_line(&points, Scatter::LevelFromScatter)?;
            let level = (line.chi_squared / line.dof).sqrt();
            let stated = [line.intercept.std_u / level, line.slope.std_u / level];
            vec![line.intercept.value, line.slope.value, stated[0], stated[1], line.chi_squared]
        }
        "factor" => match numbers[..] {
            [p, dof] => vec![coverage_factor(p, dof)],
            _ => return Err("a factor is asked for by a probability and degrees of freedom".into()),
        },
        "holm" => holm(&numbers),
        other => return Err(format!("nothing is known of {other:?}").into()),
    })
}
