//! Handing in: a photo taken with it, and what no kiln of the studio has room for.

use crate::leaks::PIXEL;
use crate::studio::{MUG, Studio, form};

#[test]
fn a_photo_comes_with_the_piece_or_neither_does() {
    let studio = Studio::start(false, "hand_in");
    let send =
        |bytes: &[u8]| studio.texts_and_file(&studio.nia, "/ware/new", &MUG, ("photo", bytes));
    let refused = send(b"no picture");
    assert_eq!(refused.code, 422, "{}", refused.text());
    assert!(refused.text().contains("Take another photo"));
    let none = studio.get(&studio.nia, "/ware?state=made").text();
    assert!(none.contains("There is no ware here"), "{none}");
    let taken = send(PIXEL);
    assert_eq!(taken.code, 303, "{}", taken.text());
    let page = studio
        .get(&studio.nia, taken.header("location").unwrap())
        .text();
    assert!(page.contains("src=\"/photo/"), "{page}");
    // As it is without one.
    let plain = send(b"");
    assert_eq!(plain.code, 303);
    let page = studio
        .get(&studio.nia, plain.header("location").unwrap())
        .text();
    assert!(page.contains("No photo yet"));
}

#[test]
fn what_is_higher_than_every_kiln_is_said_at_once() {
    let studio = Studio::start(false, "high");
    let mut tall = MUG;
    for field in &mut tall {
        if field.0 == "height" {
            field.1 = "900";
        }
    }
    let taken = studio.post(&studio.nia, "/ware/new", &form(&tall));
    assert_eq!(taken.code, 303, "{}", taken.text());
    let page = studio
        .get(&studio.nia, taken.header("location").unwrap())
        .text();
    assert!(page.contains("Not fit to fire"), "{page}");
    assert!(page.contains("no kiln here is more than"), "{page}");
}
