//! Are the sizes in the studio that comes with a plan sizes at all? A plan may have been edited.

use glost_model::furniture::ShelfShape;
use glost_model::shape::{Chamber, Outline};
use glost_model::studio::Studio;

/// The first thing without a sound size, in words.
pub fn fault(studio: &Studio) -> Option<String> {
    let good = |sizes: &[f64]| sizes.iter().all(|v| v.is_finite() && *v > 0.0);
    let outline = |o: &Outline| {
        let (x, y) = o.extent();
        good(&[x.to_m(), y.to_m(), o.area().to_m2()])
    };
    for p in &studio.pieces {
        let sizes = [p.height.to_m(), p.mass.to_kg(), p.wall.to_m()];
        if !good(&sizes) || !outline(&p.foot_outline) || !outline(&p.widest) {
            return Some(format!("piece {} has no sound size", p.id));
        }
    }
    for s in &studio.furniture.shelves {
        let shape = match s.shape {
            ShelfShape::Circle { diameter } => good(&[diameter.to_m()]),
            ShelfShape::RegularPolygon {
                sides,
                across_flats,
            } => sides >= 3 && good(&[across_flats.to_m()]),
            ShelfShape::Oval { length, width } => good(&[length.to_m(), width.to_m()]),
            ShelfShape::Rectangle { width, depth } => good(&[width.to_m(), depth.to_m()]),
        };
        if !shape || !good(&[s.thickness.to_m(), s.mass.to_kg(), s.load_limit.to_kg()]) {
            return Some(format!("shelf '{}' has no sound size", s.name));
        }
    }
    for p in &studio.furniture.posts {
        if !good(&[p.length.to_m(), studio.furniture.post_section.to_m()]) {
            return Some("a post has no sound size".to_owned());
        }
    }
    for s in &studio.furniture.supports {
        if !good(&[s.diameter.to_m(), s.height.to_m(), s.load_limit.to_kg()]) {
            return Some(format!("support '{}' has no sound size", s.name));
        }
    }
    for k in &studio.kilns {
        let chamber = match k.chamber {
            Chamber::Circle { diameter } => good(&[diameter.to_m()]),
            Chamber::RegularPolygon {
                sides,
                across_flats,
            } => sides >= 3 && good(&[across_flats.to_m()]),
            Chamber::Oval { length, width } => good(&[length.to_m(), width.to_m()]),
            Chamber::Rectangle { width, depth } => good(&[width.to_m(), depth.to_m()]),
        };
        if !chamber || !good(&[k.height.to_m()]) {
            return Some(format!("kiln '{}' has no sound size", k.name));
        }
    }
    None
}
