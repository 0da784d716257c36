//! Ware from the side. Only foot, widest part and height are known, so the curve between is a guess.

use glost_model::load::{How, Placed, Tier};
use glost_model::studio::Studio;

use super::View;
use crate::outline;
use crate::svg::Svg;

pub(super) fn draw(
    svg: &mut Svg,
    studio: &Studio,
    tier: &Tier,
    placed: &Placed,
    view: &View,
    near: bool,
) {
    let Some(piece) = studio.piece(&placed.piece) else {
        return;
    };
    let ends = |shape| {
        let corners = outline::placed(shape, placed.x_m, placed.y_m, placed.rotation_rad);
        view.span(outline::range(&corners, |p| p.0))
    };
    let (foot, wide) = (ends(&piece.foot_outline), ends(&piece.widest));
    let shelf = view.z(tier.top_m);
    let base = view.z(tier.top_m + placed.raised_m);
    let top = view.z(tier.top_m + placed.raised_m + piece.height);
    if placed.on.is_none() && shelf - base > 0.05 {
        let look = r#"fill="black" stroke="black" stroke-width="0.3""#;
        svg.rect((foot.0, base), (foot.1 - foot.0, shelf - base), look);
    }
    let upside_down = placed.on.as_ref().is_some_and(|on| on.how == How::RimToRim);
    let (foot_z, rim_z) = if upside_down {
        (top, base)
    } else {
        (base, top)
    };
    let belly = foot_z + (rim_z - foot_z) * 0.55;
    let d = format!(
        "M{:.2} {foot_z:.2}Q{:.2} {foot_z:.2} {:.2} {belly:.2}V{rim_z:.2}H{:.2}V{belly:.2}Q{:.2} {foot_z:.2} {:.2} {foot_z:.2}Z",
        foot.0, wide.0, wide.0, wide.1, wide.1, foot.1
    );
    let look = if near {
        r#"fill="white" stroke="black" stroke-width="0.7" stroke-linejoin="round""#
    } else {
        r#"fill="white" stroke="black" stroke-width="0.3" stroke-linejoin="round""#
    };
    svg.path(&d, look);
}
