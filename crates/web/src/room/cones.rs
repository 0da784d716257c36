//! Witness cones as they were read: on a clock, with their photos.

use axum::response::Response;
use glost_model::book::{Act, Firing};
use glost_store::PhotoRow;
use glost_studio::desk::DeskError;
use glost_studio::desk::open::{CONES, cones_on};
use maud::{Markup, html};

use super::fire_day::answer;
use crate::app::fields::{Fields, options};
use crate::app::{Parts, Path, Trouble, Typed, Visit};

/// Middle and length of a hand on a dial of 100 by 100.
const MIDDLE: f64 = 50.0;
const HAND: f64 = 27.0;

/// Cones as read, a dial each, with the photos of their tiers. Tiers of which there is only a photo come last.
pub async fn dials(v: &Visit, f: &Firing) -> Result<Markup, DeskError> {
    let mut tiers: Vec<(&str, Vec<PhotoRow>)> = Vec::new();
    for tier in f.tiers_with_cones() {
        let of = cones_on(&f.id, tier);
        let photos = v.app.desk.store.photos(CONES, &of).await?;
        tiers.push((tier, photos));
    }
    let read = |tier: &str| {
        f.cones
            .iter()
            .filter(move |c| c.tier == tier)
            .collect::<Vec<_>>()
    };
    tiers.retain(|t| !t.1.is_empty() || !read(t.0).is_empty());
    tiers.sort_by_key(|t| read(t.0).is_empty());
    Ok(html! { @if !tiers.is_empty() {
        ul.dials { @for (tier, photos) in &tiers { li {
            @for c in read(tier) { div.cone { (dial(c.clock)) p { strong { "Tier " (tier) } " cone " (c.cone) " at " (clock_words(c.clock)) ", bent " (format!("{:.0} %", c.bent() * 100.0)) span.small { (v.when(c.at)) } } } }
            @if read(tier).is_empty() { p { strong { "Tier " (tier) } } }
            @if !photos.is_empty() { div.photos { @for ph in photos { a href={ "/photo/" (ph.id) } { img src={ "/photo/" (ph.id) "?small=yes" } alt={ "Cones of tier " (tier) ", " (v.when(ph.made)) } loading="lazy"; } } } }
        } } }
    } })
}

/// A place on a clock as people say it: `5:30`.
fn clock_words(clock: f64) -> String {
    let minutes = (clock.rem_euclid(12.0) * 60.0).round().clamp(0.0, 719.0) as u32;
    let hour = match minutes / 60 {
        0 => 12,
        h => h,
    };
    match minutes % 60 {
        0 => format!("{hour} o'clock"),
        m => format!("{hour}:{m:02}"),
    }
}

/// A point on the dial: so many hours past twelve, so far from the middle.
fn at(hours: f64, far: f64) -> (f64, f64) {
    let (sin, cos) = (hours / 12.0 * std::f64::consts::TAU).sin_cos();
    (MIDDLE + far * sin, MIDDLE - far * cos)
}

/// The cone as a hand: thick at its foot in the middle, its tip where it points. The words beside it say the same.
fn dial(clock: f64) -> Markup {
    let hours = clock.rem_euclid(12.0);
    let tip = at(hours, HAND);
    let (a, b) = (at(hours + 3.0, 7.0), at(hours - 3.0, 7.0));
    let hand = format!(
        "{:.1},{:.1} {:.1},{:.1} {:.1},{:.1}",
        tip.0, tip.1, a.0, a.1, b.0, b.1
    );
    let label = |hours: f64, words: &str| {
        let (x, y) = at(hours, 36.0);
        html! { text x=(format!("{x:.1}")) y=(format!("{:.1}", y + 4.5)) { (words) } }
    };
    html! {
        svg.dial viewBox="0 0 100 100" role="img" aria-label={ "The tip points to " (clock_words(clock)) } {
            circle.face cx="50" cy="50" r="47" {}
            @for h in 0..12 { @let (from, to) = (at(f64::from(h), 43.0), at(f64::from(h), 47.0));
                @if h % 3 != 0 { path.mark d=(format!("M{:.1} {:.1} L{:.1} {:.1}", from.0, from.1, to.0, to.1)) {} } }
            (label(0.0, "12")) (label(3.0, "3")) (label(6.0, "6"))
            polygon.hand points=(hand) {}
            circle.foot cx="50" cy="50" r="7" {}
        }
    }
}

/// The form for a photo of a tier's cones; nothing where no tier has cones.
pub fn photo_form(f: &Firing, fields: Fields<'_>) -> Markup {
    let tiers = options(f.tiers_with_cones().into_iter().map(|t| (t, t)));
    html! { @if !tiers.is_empty() {
        form.photo method="post" action={ "/firings/" (f.id) "/cones/photo" } enctype="multipart/form-data" {
            (fields.select("tier", "A photo of the cones of tier", "", &tiers))
            div.field { label for="f-cones" { "Photo" } input #f-cones type="file" name="photo" accept="image/jpeg,image/png,image/webp" capture="environment"; }
            button type="submit" { "Keep the photo" }
        }
    } }
}

/// Keeps a photo of a tier's cones.
pub async fn photo(
    v: Visit,
    Path(id): Path<String>,
    sent: Result<Parts, Trouble>,
) -> Result<Response, Trouble> {
    v.must(Act::Fire)?;
    let sent = sent?;
    let photo = sent.files.first().map(|f| f.bytes.to_vec());
    let typed = Typed(sent.fields);
    let desk = &v.app.desk;
    let done = match photo {
        Some(bytes) => {
            desk.add_cones_photo(v.actor(), &id, typed.get("tier"), bytes)
                .await
        }
        None => Err(DeskError::field(
            "photo",
            "there is no photo, or nothing in it",
            "Choose or take one",
        )),
    };
    answer(&v, &id, &typed, done).await
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_clock_is_said_as_people_say_it() {
        for (clock, said) in [
            (12.0, "12 o'clock"),
            (12.5, "12:30"),
            (0.25, "12:15"),
            (3.0, "3 o'clock"),
            (5.5, "5:30"),
            (5.999, "6 o'clock"),
        ] {
            assert_eq!(clock_words(clock), said);
        }
    }

    #[test]
    fn the_hand_points_where_it_says() {
        let near = |a: (f64, f64), b: (f64, f64)| (a.0 - b.0).abs() + (a.1 - b.1).abs() < 1e-9;
        assert!(near(at(0.0, HAND), (MIDDLE, MIDDLE - HAND)));
        assert!(near(at(3.0, HAND), (MIDDLE + HAND, MIDDLE)));
        assert!(near(at(6.0, HAND), (MIDDLE, MIDDLE + HAND)));
        let drawn = dial(3.0).into_string();
        assert!(drawn.contains("points=\"77.0,50.0"), "{drawn}");
        assert!(!drawn.contains("style"), "{drawn}");
    }
}
