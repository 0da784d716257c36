//! The list to hand ware back by, read back by pdftotext; the message to a maker; the accounts, read back as CSV.
//! `target/paper/hand-back*.pdf` keeps the lists.

#![expect(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test fails by panicking"
)]

#[expect(dead_code, reason = "labels need more")]
mod outside;

use glost_model::Money;
use glost_sheets::{AccountLine, HandBack, Ready, SheetError, accounts_csv, hand_back_pdf, notice};
use jiff::civil::date;
use proptest::prelude::*;

fn ready(maker: &str, code: &str, what: &str, cents: i64) -> Ready {
    Ready {
        maker: maker.into(),
        code: code.into(),
        what: what.into(),
        firing: "Wren, glaze, cone 6, 26 Nov".into(),
        place: "tier 2L".into(),
        collect_by: Some(date(2026, 12, 12)),
        charge: Some(Money::cents(cents)),
        faults: Vec::new(),
    }
}

fn list(pieces: Vec<Ready>) -> HandBack {
    HandBack {
        studio: "Lanternmoor Clay Rooms".into(),
        us_letter: false,
        made_on: date(2026, 11, 28),
        currency: "EUR".into(),
        pieces,
    }
}

fn some() -> HandBack {
    let mut pieces = vec![
        ready("Wen Ardley", "9L6Z", "dinner plate", 410),
        ready("Nia Corran", "273N", "mug", 185),
        ready("Nia Corran", "GZ9C", "small straight bowl", 90),
        ready("Ottoline Pike", "58JD", "cup with a handle", 205),
        ready("Nia Corran", "K7Q2", "jar with a lid", 1205),
    ];
    pieces[2].faults = vec![
        "glaze crawled at the rim".into(),
        "stuck to the shelf".into(),
    ];
    pieces[3].collect_by = None;
    pieces[3].charge = None;
    pieces[4].place = "rack 3".into();
    pieces[4].firing = "Heron, bisque, cone 06, 21 Nov".into();
    list(pieces)
}

fn keep(name: &str, pdf: &[u8]) {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../target/paper");
    std::fs::create_dir_all(&folder).unwrap();
    std::fs::write(folder.join(name), pdf).unwrap();
}

#[test]
fn the_list_reads_as_it_read() {
    let pdf = hand_back_pdf(&some()).unwrap();
    keep("hand-back.pdf", &pdf);
    insta::assert_snapshot!("list", outside::layout(&pdf));
}

#[test]
fn makers_come_by_name_and_their_pieces_in_order() {
    let text = outside::words(&hand_back_pdf(&some()).unwrap());
    let mut from = 0;
    for wanted in [
        "5 pieces for 3 makers",
        "Nia Corran 3 pieces, 14.80 EUR",
        "273N",
        "GZ9C",
        "crawled",
        "K7Q2",
        "Ottoline Pike 1 piece",
        "58JD",
        "Wen Ardley 1 piece, 4.10 EUR",
        "9L6Z",
        "12 Dec 2026",
        "Page 1 of 1",
    ] {
        let at = text[from..].find(wanted);
        from += at.unwrap_or_else(|| panic!("{wanted} after:\n{}", &text[from..]));
    }
}

#[test]
fn a_long_block_says_on_every_page_whose_it_is() {
    let mut pieces: Vec<Ready> = (0..90)
        .map(|i| ready("Tobin Marsh", &format!("T{i:03}"), "tile", 75))
        .collect();
    // Few pieces, but more than a page of words.
    pieces.extend((0..11).map(|i| Ready {
        faults: vec!["cracked from the rim to the foot where the handle joins ".repeat(5)],
        ..ready("Tobin Marsh", &format!("U{i:03}"), "vase", 75)
    }));
    pieces.push(ready("Ezra Blythe", "E001", "planter", 520));
    let pdf = hand_back_pdf(&HandBack {
        us_letter: true,
        ..list(pieces)
    })
    .unwrap();
    keep("hand-back-long.pdf", &pdf);
    let (paper, words) = outside::placed_words(&pdf);
    assert!((paper.0 - 215.9).abs() < 0.1, "{paper:?}");
    let pages = words.iter().map(|w| w.page).max().unwrap() + 1;
    assert!(pages >= 3, "{pages}");
    for page in 0..pages {
        let on: Vec<&str> = words
            .iter()
            .filter(|w| w.page == page)
            .map(|w| w.text.as_str())
            .collect();
        let on = on.join(" ");
        for wanted in [
            "Lanternmoor Clay Rooms",
            "Tobin Marsh",
            "Code",
            "What",
            "Firing",
            "Collect",
            "Charge",
        ] {
            assert!(on.contains(wanted), "{wanted} on page {page}: {on}");
        }
        assert!(
            on.contains(&format!("Page {} of {pages}", page + 1)),
            "{on}"
        );
    }
}

#[test]
fn columns_that_would_be_empty_are_left_out_and_odd_words_stay_in_their_column() {
    let mut piece = ready(
        "#*_$ <b>\n",
        "a-code-as-long-as-some-studios-write-them",
        &"w".repeat(120),
        0,
    );
    piece.charge = None;
    piece.collect_by = None;
    piece.maker = format!("#*_$ <b>\n{}", "Maker ".repeat(40));
    let pdf = hand_back_pdf(&list(vec![piece, ready("", "", "", 0)])).unwrap();
    keep("hand-back-odd.pdf", &pdf);
    let text = outside::words(&pdf);
    assert!(
        text.contains("#*_$ <b> Maker") && !text.contains("Faults"),
        "{text}"
    );
    assert!(text.contains("Maker not known 1 piece, 0.00 EUR"), "{text}");
    let (paper, words) = outside::placed_words(&pdf);
    for w in words {
        assert!(w.left > 13.0 && w.right < paper.0 - 13.0, "{w:?}");
    }
    let mut bare = some();
    for piece in &mut bare.pieces {
        (piece.collect_by, piece.charge) = (None, None);
    }
    let text = outside::words(&hand_back_pdf(&bare).unwrap());
    assert!(
        text.contains("Code What Firing From Faults") && !text.contains("EUR"),
        "{text}"
    );
    assert_eq!(hand_back_pdf(&list(Vec::new())), Err(SheetError::Empty));
}

#[test]
fn the_message_to_a_maker_reads_well_for_one_and_for_many() {
    let list = some();
    assert_eq!(
        notice(&list, "Wen Ardley").unwrap(),
        "Hello Wen Ardley,\n\n\
         One of your pieces is ready at Lanternmoor Clay Rooms:\n\
         - dinner plate 9L6Z\n\n\
         It waits for you until 12 December 2026. The charge for firing it is 4.10 EUR.\n"
    );
    assert_eq!(
        notice(&list, "Nia Corran").unwrap(),
        "Hello Nia Corran,\n\n\
         Three of your pieces are ready at Lanternmoor Clay Rooms:\n\
         - mug 273N\n\
         - small straight bowl GZ9C; faults: glaze crawled at the rim, stuck to the shelf\n\
         - jar with a lid K7Q2\n\n\
         They wait for you until 12 December 2026. The charge for firing them is 14.80 EUR. \
         Ask at the kiln about any fault named above.\n"
    );
    assert_eq!(
        notice(&list, "Ottoline Pike").unwrap(),
        "Hello Ottoline Pike,\n\n\
         One of your pieces is ready at Lanternmoor Clay Rooms:\n\
         - cup with a handle 58JD\n\n\
         It waits for you.\n"
    );
    assert_eq!(notice(&list, "Ilse Varn"), None);
}

#[test]
fn pieces_with_days_of_their_own_say_them() {
    let mut list = some();
    list.pieces[1].collect_by = Some(date(2027, 1, 8));
    list.pieces[2].collect_by = None;
    let told = notice(&list, " Nia  Corran ").unwrap();
    assert!(
        told.contains("- mug 273N, until 8 January 2027\n"),
        "{told}"
    );
    assert!(told.contains("bowl GZ9C, no last day; faults:"), "{told}");
    assert!(
        told.contains("\nPlease collect them by these days. The charge"),
        "{told}"
    );
}

fn line(maker: &str, what: &str, cents: i64) -> AccountLine {
    AccountLine {
        date: date(2026, 11, 28),
        maker: maker.into(),
        code: "K7Q2".into(),
        what: what.into(),
        firing: "Wren, 26 Nov".into(),
        amount: Money::cents(cents),
        currency: "EUR".into(),
        note: String::new(),
    }
}

#[test]
fn the_accounts_are_a_table_that_no_spreadsheet_runs() {
    let csv = accounts_csv(&[
        line("Nia Corran", "firing, \"large\" mug", 185),
        line("=HYPERLINK(\"http://x.example\",\"Nia\")", "paid", -1250),
        line("@Wen", "-2+3", 5),
    ]);
    assert_eq!(
        csv,
        "date,maker,code,what,firing,amount,currency,note\r\n\
         2026-11-28,Nia Corran,K7Q2,\"firing, \"\"large\"\" mug\",\"Wren, 26 Nov\",1.85,EUR,\r\n\
         2026-11-28,\"'=HYPERLINK(\"\"http://x.example\"\",\"\"Nia\"\")\",K7Q2,paid,\"Wren, 26 Nov\",-12.50,EUR,\r\n\
         2026-11-28,'@Wen,K7Q2,'-2+3,\"Wren, 26 Nov\",0.05,EUR,\r\n"
    );
    assert_eq!(
        accounts_csv(&[]).lines().count(),
        1,
        "programs find the head even without lines"
    );
}

proptest! {
    /// Read back by the crate `csv`, which did not write it.
    #[test]
    fn accounts_come_back_and_add_up(texts in proptest::collection::vec(("(?s).{0,20}", "[=+@' \t\r\n,;\"a-]{0,6}", any::<i32>()), 0..8)) {
        let lines: Vec<AccountLine> = texts.iter().map(|(m, w, c)| line(m, w, i64::from(*c))).collect();
        let csv = accounts_csv(&lines);
        let mut sum = 0;
        let mut read = csv::Reader::from_reader(csv.as_bytes());
        let rows: Vec<csv::StringRecord> = read.records().map(Result::unwrap).collect();
        prop_assert_eq!(rows.len(), lines.len());
        for (row, line) in rows.iter().zip(&lines) {
            for (cell, text) in [(&row[1], &line.maker), (&row[3], &line.what)] {
                prop_assert!(cell == text || cell == format!("'{text}"), "{cell:?} {text:?}");
                prop_assert!(!cell.trim_start().starts_with(['=', '+', '-', '@']), "{cell:?}");
            }
            let (units, cents) = row[5].split_once('.').unwrap();
            prop_assert_eq!(cents.len(), 2);
            let value: i64 = format!("{units}{cents}").parse().unwrap();
            sum += value;
        }
        prop_assert_eq!(sum, lines.iter().map(|l| l.amount.to_cents()).sum::<i64>());
    }
}
