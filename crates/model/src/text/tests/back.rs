//! What is written is read back bit for bit.

use jiff::civil::{date, time};
use proptest::prelude::*;

use super::any::{SNIPPETS, mar, six};
use super::folders::folder;
use super::sample::sample;
use crate::hours::Shift;
use crate::piece::Held;
use crate::shape::Outline;
use crate::shown::Shown;
use crate::studio::Studio;
use crate::tariff::PriceTime;
use crate::text::pen::{self, Pen};
use crate::text::{piece_fields, read, write};
use crate::{Length, Mass, Span, Temperature};

/// Bit for bit: the words of `Debug` tell every bit of a number, the sign of nothing too.
fn comes_back(studio: &Studio) {
    let texts = write(studio);
    let again = read(&texts).unwrap_or_else(|faults| panic!("{faults:#?}\n{texts:#?}"));
    assert_eq!(format!("{again:?}"), format!("{studio:?}"));
    assert_eq!(write(&again), texts);
}

#[test]
fn folders_and_samples_come_back() {
    for studio in [folder("../../demo"), folder("tests/data/inches")] {
        comes_back(&studio);
    }
    for imperial in [false, true] {
        comes_back(&read(&sample(imperial)).unwrap());
    }
}

#[test]
fn a_sheet_is_written_as_it_was_typed() {
    let studio = folder("../../demo");
    let typed = include_str!("../../../../../demo/pieces.csv");
    // A person may write 0.50 where 0.5 says the same.
    let short = |cell: &str| match cell.parse::<f64>() {
        Ok(_) if cell.contains('.') => cell.trim_end_matches('0').trim_end_matches('.').to_owned(),
        _ => cell.to_owned(),
    };
    let numbers = |csv: &str| -> Vec<Vec<String>> {
        let rows = csv::Reader::from_reader(csv.as_bytes()).into_records();
        rows.map(|row| row.unwrap().iter().skip(3).take(6).map(short).collect())
            .collect()
    };
    let (written, typed) = (numbers(&write(&studio).pieces), numbers(typed));
    assert_eq!(written.len(), typed.len());
    for (written, typed) in written.iter().zip(&typed) {
        assert_eq!(written, typed);
    }
}

/// Everything that a studio can say about itself, and words that need care.
fn wordy(mut studio: Studio) -> Studio {
    studio.name = "The \"Kiln\" \\ Room, № 7\u{7f}".to_owned();
    studio.tariff.per_kw = 4.25;
    studio.tariff.times = vec![
        PriceTime {
            from: time(22, 0, 0, 0),
            to: time(6, 30, 0, 0),
            days: [true, true, true, true, true, false, false],
            per_kwh: 1e-7,
        },
        PriceTime {
            from: time(0, 0, 0, 0),
            to: time(0, 0, 0, 0),
            days: [true; 7],
            per_kwh: 0.1 + 0.2,
        },
    ];
    studio.hours.time_zone = Some("Europe/Dublin".to_owned());
    studio.hours.week = [None; 7];
    studio.hours.week[5] = Some(Shift {
        from: time(10, 5, 0, 0),
        to: time(14, 0, 0, 0),
    });
    studio.hours.closed = vec![date(2026, 12, 26), date(2026, 12, 25)];
    studio.hours.loading = Span::h(2.1);
    studio.hours.delayed_start = true;
    let rule = |id: &str, value: &str| (id.to_owned(), value.to_owned());
    studio.rule_overrides = [rule("gap.ware x", "8 \"mm\""), rule("", "")].into();
    studio.pieces[0].what = "cup, \"tall\"\rblue".to_owned();
    studio.pieces[0].group = Some("=1+1".to_owned());
    studio.pieces[0].held = Some(Held::FoodClaim);
    studio.pieces[0].asked_cone = crate::cone::Cone::parse("05½").ok();
    studio
}

#[test]
fn words_that_need_care_come_back() {
    for imperial in [false, true] {
        comes_back(&wordy(read(&sample(imperial)).unwrap()));
    }
}

#[test]
fn a_foot_of_another_shape_keeps_its_size() {
    let studio = read(&sample(false)).unwrap();
    let mut piece = studio.pieces[0].clone();
    piece.widest = Outline::Rectangle {
        length: Length::mm(120.0),
        width: Length::mm(100.0),
    };
    let fields = piece_fields(&piece, Shown::default());
    assert!(fields.contains(&("foot_size".to_owned(), "60x60".to_owned())));
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1500, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_marred_sample_that_is_read_comes_back(
        inches in any::<bool>(),
        marks in prop::collection::vec((0..6_usize, any::<usize>(), 0..3_usize, 0..SNIPPETS.len()), 1..3),
    ) {
        let mut texts = sample(inches);
        for (file, at, len, put) in marks {
            mar(six(&mut texts)[file], at, len, SNIPPETS[put]);
        }
        if let Ok(studio) = read(&texts) {
            comes_back(&studio);
        }
    }

    /// A number as typed, with any number of decimals up to more than count.
    #[test]
    fn numbers_are_written_no_longer_than_they_were_typed(
        whole in 0..3000_u32, part in 0..10_u64.pow(17), places in 0..18_usize, below in any::<bool>(),
    ) {
        let typed = match format!("{part:017}").get(..places) {
            Some(digits) if !digits.is_empty() => format!("{whole}.{digits}"),
            _ => whole.to_string(),
        };
        let v: f64 = typed.parse().unwrap();
        let v = if below { -v } else { v };
        let shown = |imperial| Pen(Shown { fahrenheit: imperial, inches: imperial, pounds: imperial });
        let back = |text: String, bits: fn(f64) -> u64| {
            assert_eq!(bits(text.parse().unwrap()), bits(v), "{typed} {text}");
            assert!(v == 0.0 || text.len() <= typed.len() + 1, "{typed} {text}");
        };
        back(shown(false).length(Length::mm(v)), |v| Length::mm(v).to_m().to_bits());
        back(shown(true).length(Length::inches(v)), |v| Length::inches(v).to_m().to_bits());
        back(shown(false).mass(Mass::kg(v)), |v| Mass::kg(v).to_kg().to_bits());
        back(shown(true).mass(Mass::pounds(v)), |v| Mass::pounds(v).to_kg().to_bits());
        back(shown(false).temperature(Temperature::c(v)), |v| Temperature::c(v).to_k().to_bits());
        back(shown(true).temperature(Temperature::f(v)), |v| Temperature::f(v).to_k().to_bits());
        back(pen::hours(Span::h(v)), |v| Span::h(v).to_s().to_bits());
        back(pen::minutes(Span::minutes(v)), |v| Span::minutes(v).to_s().to_bits());
    }

    #[test]
    fn clock_positions_come_back(hours in 0.0..13.0_f64, places in 0..18_usize) {
        let v: f64 = format!("{hours:.places$}").parse().unwrap();
        let angle = pen::on_clock(v);
        let text = pen::clock(angle);
        let again: f64 = text.parse().unwrap();
        prop_assert!((0.0..13.0).contains(&again));
        prop_assert_eq!(pen::on_clock(again).to_rad().to_bits(), angle.to_rad().to_bits());
    }

    /// Numbers that no text gave, as from a plan in JSON: the nearest is written.
    #[test]
    fn any_number_is_written_to_its_last_bit(v in 0.0..3.0_f64, t in 500.0..2100.0_f64) {
        let imperial = Pen(Shown { fahrenheit: true, inches: true, pounds: true });
        let l: f64 = imperial.length(Length::m(v)).parse().unwrap();
        prop_assert!((Length::inches(l).to_m() - v).abs() <= 1e-15 * v);
        let m: f64 = imperial.mass(Mass::kg(v)).parse().unwrap();
        prop_assert!((Mass::pounds(m).to_kg() - v).abs() <= 1e-15 * v);
        let f: f64 = imperial.temperature(Temperature::k(t)).parse().unwrap();
        prop_assert!((Temperature::f(f).to_k() - t).abs() <= 1e-12);
    }
}
