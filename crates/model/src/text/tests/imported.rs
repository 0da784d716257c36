//! Sheets of pieces from elsewhere.

use std::time::{Duration, Instant};

use csv::{ReaderBuilder, Terminator, WriterBuilder};

use super::folders::folder;
use crate::shown::Shown;
use crate::text::{pieces_csv, read_pieces};

const METRIC: Shown = Shown {
    fahrenheit: false,
    inches: false,
    pounds: false,
};

/// The demo's sheet with other signs, its columns in any order.
fn demo(sign: u8, end: Terminator, turned: bool) -> String {
    let csv = pieces_csv(&folder("../../demo").pieces, METRIC);
    let mut sheet = WriterBuilder::new();
    let mut sheet = sheet
        .delimiter(sign)
        .terminator(end)
        .from_writer(Vec::new());
    let lines = ReaderBuilder::new()
        .has_headers(false)
        .from_reader(csv.as_bytes());
    for line in lines.into_records() {
        let line = line.unwrap();
        let mut cells: Vec<&str> = line.iter().collect();
        if turned {
            cells.reverse();
        }
        sheet.write_record(cells).unwrap();
    }
    String::from_utf8(sheet.into_inner().unwrap()).unwrap()
}

fn plain(sign: u8) -> String {
    demo(sign, Terminator::Any(b'\n'), false)
}

#[test]
fn commas_semicolons_and_tabs_give_the_same_pieces() {
    let pieces = folder("../../demo").pieces;
    let [unix, windows] = [Terminator::Any(b'\n'), Terminator::CRLF];
    for (sign, end, mark) in [
        (b',', unix, ""),
        (b';', windows, "\u{feff}"),
        (b'\t', windows, ""),
    ] {
        let csv = format!("{mark}{}", demo(sign, end, false));
        let read = read_pieces(&csv, "list.csv", METRIC);
        assert_eq!(read.faults, []);
        let found: Vec<_> = read.rows.iter().map(|r| r.piece.clone().unwrap()).collect();
        assert!(found == pieces);
        assert_eq!(read.rows[2].line, 4);
        assert_eq!(
            read.rows[2].fields[0],
            ("id".to_owned(), pieces[2].id.clone())
        );
    }
}

#[test]
fn columns_may_stand_in_any_order() {
    let turned = demo(b'\t', Terminator::CRLF, true);
    let read = read_pieces(&turned, "list.csv", METRIC);
    assert_eq!(read.rows[0].fields[0].0, "inside");
    assert!(read.faults.is_empty() && read.rows.iter().all(|r| r.piece.is_ok()));
}

#[test]
fn good_lines_stand_beside_those_with_faults() {
    let sheet = plain(b';');
    let mut lines: Vec<String> = sheet.lines().take(5).map(str::to_owned).collect();
    lines[2] = lines[2]
        .replacen("circle", "round", 1)
        .replace("bone-dry", "wet");
    lines[3] += ";;";
    lines[4] = lines[1].clone();
    let read = read_pieces(&lines.join("\n"), "list.csv", METRIC);
    assert_eq!(read.faults, []);
    let found: Vec<Vec<(&str, Option<usize>, &str)>> = read
        .rows
        .iter()
        .map(|row| {
            let faults = row
                .piece
                .as_ref()
                .err()
                .map(Vec::as_slice)
                .unwrap_or_default();
            let told = faults
                .iter()
                .map(|f| (f.file.as_str(), f.line, f.field.as_str()));
            told.collect()
        })
        .collect();
    let at = |line, field| ("list.csv", Some(line), field);
    assert_eq!(
        found,
        [
            vec![],
            vec![at(3, "shape"), at(3, "dryness")],
            vec![at(4, "")],
            vec![at(5, "id")],
        ]
    );
    let cells = read.rows[2].piece.as_ref().unwrap_err();
    assert!(cells[0].remedy.contains("semicolon"), "{}", cells[0]);
    assert_eq!(read.rows[2].fields[23], ("24".to_owned(), String::new()));
}

#[test]
fn a_sheet_without_ware_or_with_a_broken_header_says_so() {
    let header = plain(b';').lines().next().unwrap().to_owned();
    let told = |csv: &str| {
        let read = read_pieces(csv, "list.csv", METRIC);
        assert_eq!(read.rows, []);
        let told: Vec<String> = read.faults.iter().map(ToString::to_string).collect();
        told.join("\n")
    };
    assert!(told("\u{feff} \r\n").starts_with("list.csv: there is nothing in it. Write id,what,"));
    assert!(told(&header).starts_with("list.csv: there is no piece below its first line."));
    let strange = told(&header.replace("wall", "colour"));
    assert!(strange.contains("line 1, colour: 'colour' is not a column of this sheet"));
    assert!(strange.contains("line 1, wall: the column is missing"));
    assert!(told("%PDF-1.7").contains("is not a column"));
}

#[test]
fn below_a_broken_header_lines_are_looked_through_as_well() {
    let csv = plain(b',');
    let (header, rows) = csv.split_once('\n').unwrap();
    let mut rows: Vec<String> = rows.lines().map(str::to_owned).collect();
    rows[1] = rows[1].replace("bone-dry", "wet");
    let header = header.replace("wall", "colour");
    let read = read_pieces(
        &format!("{header}\n{}", rows.join("\n")),
        "list.csv",
        METRIC,
    );
    assert_eq!(read.faults.len(), 2, "{:?}", read.faults);
    assert!(read.rows.iter().all(|r| r.piece.is_err()));
    let told: Vec<_> = read
        .rows
        .iter()
        .filter_map(|r| r.piece.as_ref().err())
        .flatten()
        .map(|f| (f.line, f.field.as_str()))
        .collect();
    assert_eq!(
        told,
        [(Some(3), "dryness")],
        "and the column that is missing only once"
    );
}

#[test]
fn five_thousand_lines_are_read_quickly() {
    let csv = plain(b',');
    let (header, rows) = csv.split_once('\n').unwrap();
    let rows: Vec<&str> = rows.lines().collect();
    let many: String = (0..5000)
        .map(|i| format!("N{i}-{}\n", rows[i % rows.len()]))
        .collect();
    let start = Instant::now();
    let read = read_pieces(&format!("{header}\n{many}"), "list.csv", METRIC);
    // Well under a second is usual, even on a busy machine.
    assert!(start.elapsed() < Duration::from_secs(10));
    assert_eq!(read.rows.len(), 5000);
    assert!(read.rows.iter().all(|r| r.piece.is_ok()));
}
