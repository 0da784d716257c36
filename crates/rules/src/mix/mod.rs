//! Which glazes may not share a firing, or should stand apart. A rule a file.

mod chrome_tin;
mod lead;
mod volatile_light;

use glost_model::clay::Glaze;

use crate::Finding;

/// What the rules say of two glazes in one firing, whichever way round.
pub fn findings(a: &Glaze, b: &Glaze) -> Vec<Finding> {
    [lead::judge, chrome_tin::judge, volatile_light::judge]
        .iter()
        .flat_map(|judge| [judge(a, b), judge(b, a)])
        .flatten()
        .collect()
}
