//! Single records from forms.

use super::folders::folder;
use super::sample::sample;
use crate::fault::Fault;
use crate::shown::Shown;
use crate::text::{
    Fields, clay_fields, glaze_fields, kiln_fields, piece_fields, post_fields, read, read_clay,
    read_glaze, read_kiln, read_piece, read_post, read_shelf, read_support, shelf_fields,
    support_fields,
};

const METRIC: Shown = Shown {
    fahrenheit: false,
    inches: false,
    pounds: false,
};

fn set(fields: &mut Fields, name: &str, text: &str) {
    match fields.iter_mut().find(|(n, _)| n == name) {
        Some((_, old)) => text.clone_into(old),
        None => fields.push((name.to_owned(), text.to_owned())),
    }
}

fn at(faults: &[Fault]) -> Vec<&str> {
    assert!(faults.iter().all(|f| f.line.is_none()), "{faults:#?}");
    assert!(
        faults
            .iter()
            .all(|f| !f.what.is_empty() && !f.remedy.is_empty())
    );
    faults.iter().map(|f| f.field.as_str()).collect()
}

#[test]
fn every_record_of_the_folders_comes_back_from_its_form() {
    for studio in [folder("../../demo"), folder("tests/data/inches")] {
        let shown = studio.shown;
        for x in &studio.pieces {
            assert_eq!(read_piece(&piece_fields(x, shown), shown).as_ref(), Ok(x));
        }
        for x in &studio.clays {
            assert_eq!(read_clay(&clay_fields(x)).as_ref(), Ok(x));
        }
        for x in &studio.glazes {
            assert_eq!(read_glaze(&glaze_fields(x)).as_ref(), Ok(x));
        }
        for x in &studio.furniture.shelves {
            assert_eq!(read_shelf(&shelf_fields(x, shown), shown).as_ref(), Ok(x));
        }
        for x in &studio.furniture.posts {
            assert_eq!(read_post(&post_fields(x, shown), shown).as_ref(), Ok(x));
        }
        for x in &studio.furniture.supports {
            assert_eq!(
                read_support(&support_fields(x, shown), shown).as_ref(),
                Ok(x)
            );
        }
        for x in &studio.kilns {
            assert_eq!(read_kiln(&kiln_fields(x, shown), shown).as_ref(), Ok(x));
        }
    }
}

#[test]
fn a_piece_is_checked_as_the_sheet_checks_it() {
    let mut texts = sample(false);
    let piece = &read(&texts).unwrap().pieces[1];
    let mut fields = piece_fields(piece, METRIC);
    for (name, text) in [
        ("height", "tall"),
        ("mass", "-1"),
        ("clay", " "),
        ("cone", "0"),
        ("due", "1.12.2026"),
    ] {
        set(&mut fields, name, text);
    }
    let mut form = read_piece(&fields, METRIC).unwrap_err();
    let line: Vec<&str> = fields.iter().take(21).map(|(_, t)| t.as_str()).collect();
    let header = texts.pieces.lines().next().unwrap().to_owned();
    texts.pieces = format!("{header}\n{}\n", line.join(","));
    let mut sheet = read(&texts).unwrap_err();
    assert_eq!(at(&form), ["height", "mass", "clay", "cone", "due"]);
    for fault in sheet.iter_mut().chain(&mut form) {
        fault.line = None;
        // Only the words for nothing differ.
        if fault.field == "clay" {
            fault.what.clear();
        }
    }
    assert_eq!(form, sheet);
}

#[test]
fn a_piece_from_an_empty_form_is_told_what_it_needs() {
    let needed = [
        "id", "what", "maker", "shape", "size", "height", "mass", "wall", "clay", "foot",
        "dryness", "stage",
    ];
    let faults = read_piece(&Fields::new(), METRIC).unwrap_err();
    assert_eq!(at(&faults), needed);
    assert!(faults[0].what.contains("not filled in"));
}

#[test]
fn strangers_and_doubles_are_told() {
    let studio = folder("../../demo");
    let mut fields = piece_fields(&studio.pieces[0], METRIC);
    fields.push(("colour".to_owned(), "red".to_owned()));
    fields.push(("id".to_owned(), "other".to_owned()));
    fields.push(("nothing".to_owned(), " ".to_owned()));
    set(&mut fields, "what", "two\nlines");
    let faults = read_piece(&fields, METRIC).unwrap_err();
    assert_eq!(at(&faults), ["id", "what", "colour"]);

    let mut fields = kiln_fields(&studio.kilns[0], METRIC);
    for name in [
        "colour",
        "sensor.colour",
        "bands",
        "bands.01.from",
        "a.b.c",
        "wall.0.x",
    ] {
        set(&mut fields, name, "red");
    }
    let mut faults = read_kiln(&fields, METRIC).unwrap_err();
    faults.sort_by(|a, b| a.field.cmp(&b.field));
    let strange = [
        "a.b.c",
        "bands",
        "bands.01.from",
        "colour",
        "sensor.colour",
        "wall.0.x",
    ];
    assert_eq!(at(&faults), strange);
}

#[test]
fn rows_of_a_kiln_keep_the_numbers_of_the_form() {
    let studio = folder("../../demo");
    let kiln = &studio.kilns[0];
    let mut fields = kiln_fields(kiln, METRIC);
    // The middle band goes; its row stays in the form, empty.
    for name in ["bands.1.from", "bands.1.to", "bands.1.power_kw"] {
        set(&mut fields, name, "");
    }
    let two = read_kiln(&fields, METRIC).unwrap();
    assert_eq!(two.bands, [kiln.bands[0], kiln.bands[2]]);
    set(&mut fields, "bands.2.to", "9000");
    set(&mut fields, "bands.2.power_kw", "2,9");
    set(&mut fields, "wall.0.lining", "straw");
    set(&mut fields, "sensor.clock", "");
    set(&mut fields, "controller.zoned", "perhaps");
    set(&mut fields, "max_cone", "zero");
    let faults = read_kiln(&fields, METRIC).unwrap_err();
    let mut names = at(&faults);
    names.sort_unstable();
    assert_eq!(
        names,
        [
            "bands.2.power_kw",
            "bands.2.to",
            "controller.zoned",
            "max_cone",
            "sensor.clock",
            "wall.0.lining"
        ]
    );
    // A form has no quotes to write.
    assert!(
        faults.iter().all(|f| !f.remedy.contains("quotes")),
        "{faults:#?}"
    );
}

#[test]
fn an_empty_form_of_a_kiln_asks_for_each_field() {
    let faults = read_kiln(&Fields::new(), METRIC).unwrap_err();
    let names = at(&faults);
    for name in [
        "name",
        "shape",
        "bands",
        "wall",
        "floor",
        "lid",
        "sensor.clock",
        "controller.zoned",
    ] {
        assert!(names.contains(&name), "{name}: {names:?}");
    }
    assert!(!names.contains(&"peepholes"));
    assert!(read_post(&Fields::new(), METRIC).is_err());
    let yes = [
        ("name", "Buff"),
        ("cone_from", "5"),
        ("cone_to", "7"),
        ("slumps_on_points", "true"),
    ];
    let fields = yes.map(|(n, t)| (n.to_owned(), t.to_owned())).to_vec();
    assert!(read_clay(&fields).is_ok_and(|c| c.slumps_on_points && !c.plucks));
}

#[test]
fn fields_of_another_shape_may_stay_empty() {
    let studio = folder("../../demo");
    let mut fields = kiln_fields(&studio.kilns[0], METRIC);
    for name in ["sides", "across_flats", "length", "width", "depth"] {
        set(&mut fields, name, "");
    }
    assert_eq!(read_kiln(&fields, METRIC).as_ref(), Ok(&studio.kilns[0]));
}

proptest::proptest! {
    #![proptest_config(proptest::prelude::ProptestConfig { cases: 500, failure_persistence: None, ..Default::default() })]

    #[test]
    fn any_form_is_read_or_refused(
        fields in proptest::collection::vec(("(name|bands|sensor|wall|id|shape)?(\\.[0-9a-z]{0,2}){0,3}|.{0,8}", ".{0,12}"), 0..8),
        over in proptest::collection::vec((0..40_usize, ".{0,9}"), 0..4),
    ) {
        for faults in [read_kiln(&fields, METRIC).unwrap_err(), read_piece(&fields, METRIC).unwrap_err()] {
            assert!(!at(&faults).is_empty());
        }
        let studio = read(&sample(true)).unwrap();
        let mut form = kiln_fields(&studio.kilns[0], studio.shown);
        for (i, text) in over {
            let i = i % form.len();
            form[i].1 = text;
        }
        if let Err(faults) = read_kiln(&form, studio.shown) {
            assert!(!at(&faults).is_empty());
        }
    }
}
