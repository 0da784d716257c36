//! Reports of made-up books, worked out by hand.
#![expect(
    clippy::unwrap_used,
    clippy::float_cmp,
    reason = "a test fails by panicking; counted days and shares of whole numbers are exact"
)]

use glost_model::book::ware::{Fault, Spot};
use glost_model::book::{FaultKind, Firing, FiringState, State, Summary, Ware};
use glost_model::cone::Cone;
use glost_model::load::FiringKind;
use glost_model::{Energy, Mass, Money};
use glost_studio::report::{Books, By, gather, losses, months, waits};
use glost_studio::{demo_texts, open_texts};
use jiff::Timestamp;
use jiff::civil::{Date, date};
use jiff::tz::TimeZone;

fn at(day: Date) -> Timestamp {
    day.at(10, 0, 0, 0)
        .to_zoned_datetime(TimeZone::UTC)
        .unwrap()
        .timestamp()
}

/// A firing with 100 MJ and 20.00 foreseen.
fn firing(id: &str, kiln: &str, day: Option<Date>) -> Firing {
    let cone = Cone::parse("6").unwrap();
    let kind = FiringKind::Glaze;
    Firing {
        state: FiringState::Done,
        summary: Summary {
            tiers: 3,
            fill: 0.5,
            energy_j: Some(Energy::j(1e8)),
            cost_cents: Some(Money::cents(2000)),
            ..Summary::default()
        },
        started: day.map(at),
        ..Firing::new(id.into(), kiln.into(), cone, kind, String::new())
    }
}

fn piece(id: &str, clay: &str, came_in: Option<Date>, stood: &[(&str, &str)]) -> Ware {
    let (studio, _) = open_texts(&demo_texts()).unwrap();
    let mut piece = studio.pieces[0].clone();
    piece.id = id.into();
    piece.clay = clay.into();
    piece.glazes = vec!["Oatfield".into(), "Fenrust".into()];
    piece.mass = Mass::kg(2.0);
    piece.came_in = came_in;
    Ware {
        piece,
        owner: String::new(),
        by: String::new(),
        state: State::Ready,
        note: String::new(),
        firing: stood.last().map(|s| s.0.to_owned()),
        stood: stood
            .iter()
            .map(|(firing, tier)| Spot {
                firing: (*firing).into(),
                tier: (*tier).into(),
            })
            .collect(),
        faults: Vec::new(),
        since: at(date(2026, 3, 1)),
        fetch_by: None,
    }
}

fn fault(kind: FaultKind, firing: &str, spoilt: bool) -> Fault {
    Fault {
        kind,
        words: String::new(),
        firing: Some(firing.into()),
        edges: None,
        spoilt,
        who: String::new(),
        at: at(date(2026, 3, 1)),
    }
}

fn book() -> (Vec<Firing>, Vec<Ware>) {
    let mut metered = firing("0002", "Big", Some(date(2026, 2, 20)));
    metered.meter_start = Some(Energy::j(0.0));
    metered.meter_end = Some(Energy::j(1.5e8));
    metered.summary.fill = 0.8;
    let mut bare = firing("0003", "Big", Some(date(2026, 2, 21)));
    bare.summary = Summary::default();
    let mut called_off = firing("0004", "Big", Some(date(2026, 2, 22)));
    called_off.state = FiringState::CalledOff;
    let firings = vec![
        firing("0001", "Big", Some(date(2026, 1, 31))),
        metered,
        bare,
        called_off,
        firing("0005", "Small", Some(date(2026, 2, 1))),
        firing("0006", "Small", None),
    ];
    let day = |d| Some(date(2026, 1, d));
    let mut ware = vec![
        piece("a", "White", day(30), &[("0001", "1"), ("0002", "2")]),
        piece("b", "White", day(21), &[("0001", "1")]),
        piece("c", "Dark", day(1), &[("0002", "1")]),
        piece("d", "Dark", None, &[("0002", "2")]),
        piece("e", "Dark", day(1), &[]),
    ];
    // The same fault twice on one piece is one; another firing's is another's.
    ware[0].faults = vec![
        fault(FaultKind::Running, "0002", false),
        fault(FaultKind::Running, "0002", true),
        fault(FaultKind::Crazing, "0001", false),
    ];
    ware[2].faults = vec![fault(FaultKind::Running, "0002", false)];
    (firings, ware)
}

#[test]
fn months_add_up() {
    let (firings, ware) = book();
    let books = Books::new(&firings, &ware, TimeZone::UTC, (None, None));
    let all = months(&books);
    let names: Vec<_> = all
        .iter()
        .map(|m| (m.month, m.kiln.as_str(), m.firings, m.pieces))
        .collect();
    assert_eq!(
        names,
        [
            ((2026, 2), "Big", 2, 3),
            ((2026, 2), "Small", 1, 0),
            ((2026, 1), "Big", 1, 2)
        ]
    );
    let big = &all[0];
    // Of two firings one tells its energy, by the meter; the other has no plan and counts for no mean.
    assert_eq!((big.metered, big.with_energy, big.fill), (1, 1, Some(0.8)));
    assert_eq!(big.energy_each().unwrap().to_j(), 1.5e8);
    assert_eq!(big.energy_a_kg().unwrap().to_j(), 1.5e8 / 6.0);
    // Foreseen 20.00 for 100 MJ; 150 MJ were used.
    assert_eq!(big.cost_each().unwrap(), Money::cents(3000));
    assert_eq!(big.cost_a_kg().unwrap(), Money::cents(500));
    let small = &all[1];
    assert_eq!(
        (small.energy_a_kg(), small.cost_a_kg()),
        (None, None),
        "nothing a kg of nothing"
    );
}

#[test]
fn losses_count_a_piece_once_a_firing() {
    let (firings, ware) = book();
    let books = Books::new(&firings, &ware, TimeZone::UTC, (None, None));
    let all = losses(&books);
    assert_eq!((all.fired, all.faulty, all.spoilt), (5, 3, 1));
    let kinds: Vec<_> = all
        .by_kind
        .iter()
        .map(|l| (l.kind, l.pieces, l.spoilt))
        .collect();
    assert_eq!(
        kinds,
        [(FaultKind::Running, 2, 1), (FaultKind::Crazing, 1, 0)]
    );
    let january = Books::new(
        &firings,
        &ware,
        TimeZone::UTC,
        (None, Some(date(2026, 1, 31))),
    );
    let all = losses(&january);
    assert_eq!((all.fired, all.faulty, all.spoilt), (2, 1, 0));
}

#[test]
fn waits_go_to_the_first_firing() {
    let (firings, ware) = book();
    let books = Books::new(&firings, &ware, TimeZone::UTC, (None, None));
    // 1, 10 and 50 days; the piece without a day and the one never fired do not count.
    let w = waits(&books).unwrap();
    assert_eq!(
        (
            w.pieces,
            w.median.to_h() / 24.0,
            w.nine_in_ten.to_h() / 24.0
        ),
        (3, 10.0, 50.0)
    );
    let none = Books::new(
        &firings,
        &ware,
        TimeZone::UTC,
        (Some(date(2027, 1, 1)), None),
    );
    assert_eq!((waits(&none), none.firings()), (None, 0));
}

#[test]
fn faults_gather_beside_the_pieces_that_there_were() {
    let (firings, ware) = book();
    let books = Books::new(&firings, &ware, TimeZone::UTC, (None, None));
    let told = |by| {
        let all = gather(&books, by);
        all.into_iter()
            .map(|g| (g.name, g.pieces, g.faulty, g.spoilt))
            .collect::<Vec<_>>()
    };
    assert_eq!(
        told(By::Clay),
        [("White".to_owned(), 3, 2, 1), ("Dark".to_owned(), 2, 1, 0)]
    );
    assert_eq!(
        told(By::Glaze),
        [
            ("Fenrust".to_owned(), 5, 3, 1),
            ("Oatfield".to_owned(), 5, 3, 1)
        ]
    );
    assert_eq!(
        told(By::Tier),
        [
            ("Big, tier 1".to_owned(), 3, 2, 0),
            ("Big, tier 2".to_owned(), 2, 1, 1)
        ]
    );
}
