//! Labels are printed, turned into pictures and read back by programs of others: every square code by zxing-cpp, every
//! word and its place by pdftotext. `target/paper/` keeps the pictures.

#![expect(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test fails by panicking"
)]

mod outside;

use glost_model::cone::Cone;
use glost_sheets::{LABEL_SHEETS, Label, LabelSheet, SheetError, label_sheet_pdf, qr_svg};
use outside::Word;

const MAKERS: [&str; 10] = [
    "Nia Corran",
    "Wen Ardley",
    "Tobin Marsh",
    "Ezra Blythe",
    "Mabel Quist",
    "Ottoline Pike",
    "Petra Sorrel",
    "Davor Lund",
    "Rufus Hale",
    "Ilse Varn",
];
const WARE: [&str; 6] = [
    "mug",
    "dinner plate",
    "small straight bowl",
    "jar with a lid",
    "planter",
    "cup with a handle",
];
const CLAYS: [&str; 4] = ["Heatherstone", "Gullwhite", "Moorgrog", "Peatdark"];
const GLAZES: [&str; 5] = ["Oatfield", "Hoarmatt", "Tarn", "Mist", "Lampblack"];
const CONES: [Option<&str>; 6] = [
    Some("6"),
    Some("06"),
    Some("018"),
    Some("10"),
    Some("05½"),
    None,
];

fn label(i: usize) -> Label {
    let letters = b"23456789ABCDEFGHJKLMNPQRSTUVWXYZ";
    let code: String = [7 * i, 13 * i + 5, 3 * i + 1 + i / 32, 11 * i + 20]
        .map(|n| char::from(letters[n % letters.len()]))
        .iter()
        .collect();
    Label {
        what: WARE[i % WARE.len()].into(),
        maker: MAKERS[i % MAKERS.len()].into(),
        clay: CLAYS[i % CLAYS.len()].into(),
        glazes: (0..i % 3)
            .map(|g| GLAZES[(i + g) % GLAZES.len()].into())
            .collect(),
        cone: CONES[i % CONES.len()].map(|c| Cone::parse(c).unwrap()),
        kind: ["bisque", "glaze", "glaze"][i % 3].into(),
        came_in: (i % 4 != 3).then(|| format!("2026-11-{:02}", i % 28 + 1).parse().unwrap()),
        url: format!("https://lanternmoor.example/ware/{code}"),
        code,
    }
}

fn labels(count: usize) -> Vec<Label> {
    (0..count).map(label).collect()
}

fn mm(of: glost_sheets::Across) -> (f64, f64) {
    (of.0.to_mm(), of.1.to_mm())
}

/// Words and square codes stand on the labels that they belong to, each within what is kept free.
fn stands_on_its_grid(sheet: &LabelSheet, skip: usize, labels: &[Label], pdf: &[u8], name: &str) {
    let (paper, words) = outside::placed_words(pdf);
    let (page, high, free) = (mm(sheet.page), mm(sheet.label), mm(sheet.free));
    assert!(
        (paper.0 - page.0).abs() < 0.1 && (paper.1 - page.1).abs() < 0.1,
        "{paper:?}"
    );
    // To a third of a millimetre.
    let slack = 0.33;
    let within = |at: (f64, f64), to: (f64, f64), place: usize| {
        let (x, y) = mm(sheet.corner(place % sheet.places()));
        at.0 > x + free.0 - slack
            && at.1 > y + free.1 - slack
            && to.0 < x + high.0 - free.0 + slack
            && to.1 < y + high.1 - free.1 + slack
    };
    // Poppler's box of a word is as high as any letter of the typeface, 1.362 of its size, of which our lines leave out
    // 0.269 above (accents on capitals) and 0.093 below.
    let size = |w: &Word| (w.bottom - w.top) / 1.362;
    let printed_within = |w: &Word, place: usize| {
        let (top, bottom) = (w.top + 0.269 * size(w), w.bottom - 0.093 * size(w));
        within((w.left, top), (w.right, bottom), place)
    };
    let pages = outside::squares(name, pdf);
    let squares: Vec<_> = pages
        .iter()
        .enumerate()
        .flat_map(|(p, all)| all.iter().map(move |s| (p, s)))
        .collect();
    assert_eq!(squares.len(), labels.len(), "{name}: {squares:?}");
    for (i, label) in labels.iter().enumerate() {
        let place = skip + i;
        let on = place / sheet.places();
        let wanted = if label.url.is_empty() {
            &label.code
        } else {
            &label.url
        };
        let square = squares.iter().find(|(p, s)| *p == on && s.text == *wanted);
        let (_, square) = square.unwrap_or_else(|| panic!("{name}: no square code says {wanted}"));
        assert_eq!(square.level, "M", "{name}");
        assert!(
            within(square.top_left, square.bottom_right, place),
            "{name}: {square:?} on {place}"
        );
        // Its mark is in the middle of the label's height and at the left of what is printed, or a little beside it.
        let (x, y) = mm(sheet.corner(place % sheet.places()));
        let middle = (square.top_left.1 + square.bottom_right.1) / 2.0;
        assert!(
            (middle - (y + high.1 / 2.0)).abs() < 0.33,
            "{name}: {square:?}"
        );
        let aside = square.top_left.0 - (x + free.0);
        assert!((-0.33..1.33).contains(&aside), "{name}: {square:?}");
        // It is square, 29 modules wide, and the words keep off the four white ones.
        let wide = square.bottom_right.0 - square.top_left.0;
        assert!((wide - (square.bottom_right.1 - square.top_left.1)).abs() < 0.5);
        let code = words.iter().find(|w| w.page == on && w.text == label.code);
        let code = code.unwrap_or_else(|| panic!("{name}: {} is not printed", label.code));
        assert!(printed_within(code, place), "{name}: {code:?}");
        // Beside the square code with its white, never over it.
        assert!(
            code.left > square.bottom_right.0 + wide * 4.0 / 29.0,
            "{name}: {code:?} {square:?}"
        );
        // Letters of 14 points or more, their capitals 3.5 mm high, are read at arm's length.
        assert!(size(code) > 14.0 * 25.4 / 72.0, "{name}: {code:?}");
    }
    // Nothing at all lies between labels or over the edge of one.
    for word in &words {
        let home = (0..sheet.places()).any(|place| printed_within(word, place));
        assert!(home, "{name}: {word:?}");
    }
    // Rows and columns are as far apart as the sheet's, to half a millimetre.
    let corner = |i: usize| {
        let code = words.iter().find(|w| w.text == labels[i].code).unwrap();
        (code.left, code.top)
    };
    for i in 0..labels.len().min(sheet.places() - skip) {
        let (a, b) = (mm(sheet.corner(skip)), mm(sheet.corner(skip + i)));
        let (at, to) = (corner(0), corner(i));
        assert!(
            (to.0 - at.0 - (b.0 - a.0)).abs() < 0.5,
            "{name}: column of {i}"
        );
        assert!(
            (to.1 - at.1 - (b.1 - a.1)).abs() < 0.5,
            "{name}: row of {i}"
        );
    }
}

#[test]
fn every_sheet_stands_on_its_grid_and_every_square_code_is_read() {
    for sheet in LABEL_SHEETS {
        let labels = labels(sheet.places().max(3));
        let pdf = label_sheet_pdf(&sheet, 0, &labels).unwrap();
        stands_on_its_grid(&sheet, 0, &labels, &pdf, sheet.id);
    }
}

#[test]
fn a_sheet_that_is_partly_used_is_used_up_first() {
    let sheet = LabelSheet::of("a4-21").unwrap();
    let labels = labels(6);
    let pdf = label_sheet_pdf(&sheet, 19, &labels).unwrap();
    stands_on_its_grid(&sheet, 19, &labels, &pdf, "skip");
    let (_, words) = outside::placed_words(&pdf);
    let on = |page| {
        labels
            .iter()
            .filter(|l| words.iter().any(|w| w.page == page && w.text == l.code))
            .count()
    };
    assert_eq!((on(0), on(1)), (2, 4));
}

#[test]
fn cones_that_look_alike_are_told_apart() {
    for (cone, told) in [
        ("06", "cone 06 low fire"),
        ("6", "cone 6 mid fire"),
        ("018", "cone 018 very low fire"),
        ("10", "cone 10 high fire"),
    ] {
        for sheet in LABEL_SHEETS {
            let mut label = label(1);
            label.cone = Some(Cone::parse(cone).unwrap());
            let pdf = label_sheet_pdf(&sheet, 0, &[label]).unwrap();
            let words = outside::words(&pdf);
            assert!(words.contains(told), "{}: {words}", sheet.id);
        }
    }
}

#[test]
fn long_words_are_cut_and_never_reach_the_next_label() {
    for sheet in LABEL_SHEETS {
        let labels: Vec<Label> = (0..sheet.places().min(5))
            .map(|i| Label {
                what: "an uncommonly tall altered bottle with a stopper and two handles".into(),
                maker: "Bartholomea-Wilhelmina van der Lanternmoor-Quistingham the Younger".into(),
                clay: "Heatherstone with a third of Moorgrog".into(),
                glazes: GLAZES.map(String::from).to_vec(),
                kind: "glaze, with the tall ware of the evening class on Thursdays".into(),
                cone: Some(Cone::parse("018").unwrap()),
                ..label(i)
            })
            .collect();
        let pdf = label_sheet_pdf(&sheet, 0, &labels).unwrap();
        let name = format!("long-{}", sheet.id);
        stands_on_its_grid(&sheet, 0, &labels, &pdf, &name);
        let words = outside::words(&pdf);
        assert!(
            words.contains('…') && words.contains("Bartholomea"),
            "{words}"
        );
        assert!(!words.contains("Younger") && words.contains("cone 018 very low fire"));
    }
}

#[test]
fn odd_texts_are_printed_and_read_as_they_are() {
    let sheet = LabelSheet::of("letter-10").unwrap();
    let odd = Label {
        code: "#x*1_".into(),
        what: "$ #panic() [a] *b*\n\tc\u{0}".into(),
        maker: "Čiháková & Ødegård-Łuć".into(),
        clay: String::new(),
        glazes: Vec::new(),
        cone: None,
        kind: String::new(),
        came_in: None,
        url: "https://lanternmoor.example/ware/陶器/杯子?x=1&y=é".into(),
    };
    let bare = Label {
        code: "K7Q2".into(),
        url: String::new(),
        ..odd.clone()
    };
    let pdf = label_sheet_pdf(&sheet, 0, &[odd.clone(), bare]).unwrap();
    let codes: Vec<String> = outside::squares("odd", &pdf)[0]
        .iter()
        .map(|s| s.text.clone())
        .collect();
    assert_eq!(
        codes,
        [odd.url.as_str(), "K7Q2"],
        "without an address the short code is read"
    );
    let words = outside::words(&pdf);
    for wanted in ["#x*1_", "$ #panic() [a] *b* c", "Čiháková & Ødegård-Łuć"] {
        assert!(words.contains(wanted), "{words}");
    }
}

#[test]
fn an_address_as_long_as_its_label_bears_is_read_and_a_longer_one_is_refused() {
    for sheet in LABEL_SHEETS {
        let with = |long: usize| {
            let mut label = label(0);
            let less = label.url.len();
            label.url += &"x".repeat(long - less);
            label_sheet_pdf(&sheet, 0, &[label.clone()]).map(|pdf| (label.url, pdf))
        };
        let (mut most, mut more) = (60, 2400);
        while more - most > 1 {
            let middle = usize::midpoint(most, more);
            *(if with(middle).is_ok() {
                &mut most
            } else {
                &mut more
            }) = middle;
        }
        assert!(most >= 100, "{}: {most}", sheet.id);
        let (url, pdf) = with(most).unwrap();
        let read = outside::squares(&format!("dense-{}", sheet.id), &pdf);
        assert_eq!(read[0][0].text, url, "{}: {most} bytes", sheet.id);
        let refused = with(more).map(|(url, _pdf)| url).unwrap_err();
        assert!(matches!(refused, SheetError::Code { .. }), "{refused}");
        assert!(refused.to_string().contains("larger label"));
    }
}

#[test]
fn what_cannot_be_printed_is_an_error_with_a_remedy() {
    let sheet = LabelSheet::of("a4-24").unwrap();
    assert_eq!(label_sheet_pdf(&sheet, 0, &[]), Err(SheetError::Empty));
    let full = label_sheet_pdf(&sheet, 24, &labels(1))
        .unwrap_err()
        .to_string();
    assert!(
        full.contains("24 places") && full.contains("say 23 at most"),
        "{full}"
    );
}

#[test]
fn the_same_labels_give_the_same_sheet() {
    let sheet = LabelSheet::of("a4-40").unwrap();
    let print = || label_sheet_pdf(&sheet, 3, &labels(9)).unwrap();
    assert!(print() == print());
}

#[test]
fn labels_read_as_they_read() {
    let mut told = String::new();
    for sheet in LABEL_SHEETS {
        let pdf = label_sheet_pdf(&sheet, 0, &labels(6)).unwrap();
        told += &format!("== {}\n{}\n", sheet.name, outside::layout(&pdf));
    }
    insta::assert_snapshot!("labels", told);
}

#[test]
fn the_drawing_is_sound_and_named() {
    let svg = qr_svg("https://lanternmoor.example/ware/K7Q2?a=1&b=2").unwrap();
    let svg = roxmltree::Document::parse(&svg).unwrap();
    let root = svg.root_element();
    assert_eq!(root.attribute("role"), Some("img"));
    let name = "QR code: https://lanternmoor.example/ware/K7Q2?a=1&b=2";
    assert_eq!(root.attribute("aria-label"), Some(name));
    let title = root.children().find(|n| n.has_tag_name("title")).unwrap();
    assert_eq!(title.text(), Some(name));
}
