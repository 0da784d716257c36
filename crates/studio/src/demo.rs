//! The invented studio that is built into the program.

use glost_model::text::Texts;

/// The kiln that the demo plans for.
pub const DEMO_KILN: &str = "Heron";

/// Texts of the folder `demo/`.
pub fn demo_texts() -> Texts {
    Texts {
        studio: include_str!("../../../demo/studio.toml").to_owned(),
        clays: include_str!("../../../demo/clays.toml").to_owned(),
        glazes: include_str!("../../../demo/glazes.toml").to_owned(),
        furniture: include_str!("../../../demo/furniture.toml").to_owned(),
        kilns: include_str!("../../../demo/kilns.toml").to_owned(),
        pieces: include_str!("../../../demo/pieces.csv").to_owned(),
    }
}
