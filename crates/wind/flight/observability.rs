//! Whether the headings flown determine the wind.

use super::{Node, Observability};

/// Wind known worse than this over most of the flight is not known, m/s per axis: at 11 m/s airspeed it lets the
/// heading err by 8° and more (common practice, no source).
const WORST_WIND_STD_U_MPS: f64 = 1.5;

/// Judges by the posterior uncertainty itself: it is large exactly when the headings flown do not determine the wind.
pub(super) fn judge(nodes: &[Node]) -> Observability {
    let mut std_u: Vec<f64> = nodes.iter().map(Node::wind_std_u_mps).collect();
    std_u.sort_by(f64::total_cmp);
    let Some(&median) = std_u.get(std_u.len() / 2) else {
        return Observability::NotObservable("no flight to judge".to_owned());
    };
    if median <= WORST_WIND_STD_U_MPS {
        return Observability::Observable;
    }
    Observability::NotObservable(format!(
        "the headings flown leave the wind uncertain by {median:.1} m/s per axis (limit {WORST_WIND_STD_U_MPS} m/s): \
         fly one or two full circles, both directions if possible, at each power setting"
    ))
}
