//! Bends against what the sheet takes: one message a part, for its tightest layer.

use crate::diag::Diagnostics;
use crate::flat::Panel;
use crate::solid::{Body, Part, Solid};

use super::errors;

/// Warns of the worst bend among the part's panels.
pub(super) fn check(solid: &Solid, part: &Part, panels: &[&Panel], diagnostics: &mut Diagnostics) {
    // What is formed is warmed anyway.
    let formed = matches!(&part.body, Body::Wall(wall) if wall.formed.is_some());
    let mut warm: Option<(f64, usize)> = None;
    let mut broken: Option<(f64, usize)> = None;
    for panel in panels {
        let Some((radius, _)) = panel.tightest else { continue };
        let stock = part.layers[panel.layer].stock;
        let Some(goods) = solid.stocks.get(stock) else { continue };
        // A radius equal to the limit is allowed; rounding must not turn it into a fault.
        let below = |limit: f64| radius < limit - 1e-6;
        let worst = |best: &Option<(f64, usize)>| best.is_none_or(|b| radius < b.0);
        if below(goods.tightest_warm) {
            if worst(&broken) {
                broken = Some((radius, stock));
            }
        } else if below(goods.tightest) && !formed && worst(&warm) {
            warm = Some((radius, stock));
        }
    }
    match (broken, warm) {
        (Some((radius, stock)), _) => diagnostics.push(errors::bend_too_tight(part, radius, &solid.stocks[stock])),
        (None, Some((radius, stock))) => diagnostics.push(errors::bend_warm(part, radius, &solid.stocks[stock])),
        (None, None) => {}
    }
}
