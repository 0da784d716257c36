//! A controller by Modbus TCP: frames of any kind, and pymodbus as the other side.
#![expect(
    clippy::unwrap_used,
    clippy::expect_used,
    reason = "a test fails by panicking"
)]

mod made;

use std::io::{BufRead, BufReader};
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::Duration;

use glost_feed::clean::Guard;
use glost_feed::layout::{Degrees, Holds};
use glost_feed::modbus::{
    Ask, Bank, Controller, HEAD, Kind, Register, Unanswered, length_after_head, listen,
};
use glost_feed::{Event, Teller, TroubleKind};
use glost_model::Span;
use made::{CELSIUS, second, still, straight};
use proptest::prelude::*;

fn register(address: u16, kind: Kind, holds: Holds) -> Register {
    Register {
        address,
        bank: Bank::Holding,
        kind,
        low_word_first: false,
        scale: 1.0,
        absent: None,
        holds,
    }
}

fn other(name: &str, unit: Degrees) -> Holds {
    let name = name.to_owned();
    Holds::Other { name, unit }
}

fn sensor() -> Register {
    Register {
        scale: 0.1,
        ..register(0, Kind::U16, Holds::Sensor { unit: CELSIUS })
    }
}

#[test]
fn a_question_is_that_of_the_protocol() {
    // The example of function 3 in the Modbus Application Protocol 1.1b3, 6.3: registers 108 and 109 (address 107);
    // 555 and 0 come back.
    let asked = Ask::new(1, 17, &register(107, Kind::I32, Holds::Meter));
    assert_eq!(asked.bytes(), [0, 1, 0, 0, 0, 6, 17, 3, 0, 0x6b, 0, 2]);
    let answer = [0, 1, 0, 0, 0, 7, 17, 3, 4, 2, 0x2b, 0, 0];
    assert_eq!(asked.answer(&answer), Ok(vec![555, 0]));
    assert_eq!(
        asked.answer(&[0, 1, 0, 0, 0, 3, 17, 0x83, 2]),
        Err(Unanswered::Refused(2))
    );
    assert_eq!(
        asked.answer(&[0, 2, 0, 0, 0, 3, 17, 0x83, 2]),
        Err(Unanswered::Another)
    );
    assert_eq!(asked.answer(&answer[..12]), Err(Unanswered::Length));
}

#[test]
fn values_are_decoded() {
    let of = |kind| register(0, kind, Holds::Meter);
    let value = |r: &Register, words: &[u16]| r.value(words);
    assert_eq!(value(&of(Kind::I16), &[0xfff0]), Some(-16.0));
    assert_eq!(value(&of(Kind::U16), &[0xfff0]), Some(65520.0));
    assert_eq!(value(&of(Kind::I32), &[0xffff, 0xfff0]), Some(-16.0));
    assert_eq!(value(&of(Kind::U32), &[1, 0x86a0]), Some(100_000.0));
    let swapped = Register {
        low_word_first: true,
        ..of(Kind::U32)
    };
    assert_eq!(value(&swapped, &[0x86a0, 1]), Some(100_000.0));
    assert_eq!(value(&of(Kind::F32), &[0x4493, 0x9000]), Some(1180.5));
    assert_eq!(
        value(&of(Kind::F32), &[0x7fc0, 0]),
        None,
        "NaN is no reading"
    );
    let absent = Register {
        absent: Some(-32768),
        ..of(Kind::I16)
    };
    assert_eq!(value(&absent, &[0x8000]), None);
    assert_eq!(value(&of(Kind::I16), &[1, 2]), None);
}

#[test]
fn maps_that_cannot_be_are_refused() {
    let of = |registers| Controller {
        host: "k".to_owned(),
        port: 502,
        unit: 1,
        every_s: 5,
        registers,
    };
    assert!(of(vec![sensor()]).check().is_ok());
    for (controller, what) in [
        (of(vec![]), "0 registers"),
        (of(vec![sensor(), sensor()]), "holds the same"),
        (
            of(vec![Register {
                scale: 0.0,
                ..sensor()
            }]),
            "scale",
        ),
        (
            of(vec![Register {
                scale: f64::NAN,
                ..sensor()
            }]),
            "scale",
        ),
        (
            of(vec![Register {
                address: 65535,
                ..sensor()
            }]),
            "last address",
        ),
        (
            Controller {
                every_s: 0,
                ..of(vec![sensor()])
            },
            "every 0 s",
        ),
    ] {
        let faults = controller.check().unwrap_err();
        assert!(
            faults.len() == 1 && faults[0].what.contains(what),
            "{faults:?}"
        );
    }
}

fn any_register() -> impl Strategy<Value = Register> {
    let kind = prop_oneof![
        Just(Kind::I16),
        Just(Kind::U16),
        Just(Kind::I32),
        Just(Kind::U32),
        Just(Kind::F32)
    ];
    let bank = prop_oneof![Just(Bank::Holding), Just(Bank::Input)];
    (any::<u16>(), kind, bank, any::<bool>()).prop_map(|(address, kind, bank, low_word_first)| {
        Register {
            bank,
            low_word_first,
            ..register(address, kind, Holds::Meter)
        }
    })
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_answer_is_read_or_refused(
        register in any_register(),
        bytes in prop::collection::vec(any::<u8>(), 0..300),
        cut in any::<prop::sample::Index>(),
    ) {
        let ask = Ask::new(1, 1, &register);
        let _unread = ask.answer(&bytes);
        if bytes.len() >= HEAD {
            let _length = length_after_head(&bytes[..HEAD]);
        }
        // The head right and anything behind it.
        let length = bytes.len().min(200) as u8;
        let mut framed = vec![0, 1, 0, 0, 0, length + 1, 1];
        framed.extend_from_slice(&bytes[..usize::from(length)]);
        let _unread = ask.answer(&framed);
        let _unread = ask.answer(&framed[..cut.index(framed.len())]);
    }

    /// No register, however it is set, makes a question that writes.
    #[test]
    fn every_question_only_reads(register in any_register(), transaction in any::<u16>(), unit in any::<u8>()) {
        let sent = Ask::new(transaction, unit, &register).bytes();
        prop_assert!(matches!(sent[7], 3 | 4));
        prop_assert!(matches!(u16::from_be_bytes([sent[10], sent[11]]), 1 | 2));
    }
}

struct Simulated {
    child: Child,
    port: u16,
}

impl Drop for Simulated {
    fn drop(&mut self) {
        self.child.kill().unwrap();
        self.child.wait().unwrap();
    }
}

impl Simulated {
    fn start() -> Self {
        let here = Path::new(env!("CARGO_MANIFEST_DIR"));
        let mut child = Command::new(here.join("../../target/audit/py/bin/python"))
            .arg(here.join("tests/controller.py"))
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .spawn()
            .expect("Python's libraries are missing: run scripts/test once, which installs them in target/audit/py");
        let mut line = String::new();
        BufReader::new(child.stdout.take().unwrap())
            .read_line(&mut line)
            .unwrap();
        let port = line.trim().parse();
        let port = port.expect(
            "pymodbus is missing or did not start: run scripts/test once, which installs it",
        );
        Self { child, port }
    }
}

#[tokio::test]
async fn a_controller_is_read_and_its_loss_is_told() {
    let other_side = Simulated::start();
    let registers = vec![
        sensor(),
        register(1, Kind::I16, other("lid", CELSIUS)),
        Register {
            absent: Some(-32768),
            ..register(2, Kind::I16, other("open", CELSIUS))
        },
        register(3, Kind::F32, other("bottom", CELSIUS)),
        Register {
            low_word_first: true,
            scale: 0.01,
            ..register(5, Kind::U32, Holds::Meter)
        },
        register(7, Kind::U16, Holds::Duty { percent: true }),
        Register {
            bank: Bank::Input,
            ..register(
                0,
                Kind::U16,
                Holds::SetPoint {
                    unit: Degrees::Fahrenheit,
                },
            )
        },
        register(900, Kind::U16, other("nowhere", CELSIUS)),
    ];
    let there = Controller {
        host: "127.0.0.1".to_owned(),
        port: other_side.port,
        unit: 7,
        every_s: 1,
        registers,
    };
    there.check().unwrap();
    let (to, mut from) = tokio::sync::mpsc::channel(16);
    let teller = Teller::new(to, still(), Guard::default(), Span::h(1.0));
    let task = tokio::spawn(async move { listen(&there, straight, teller).await });
    let mut next = async || {
        let waited = tokio::time::timeout(Duration::from_secs(60), from.recv()).await;
        waited.expect("nothing was told for a minute").unwrap()
    };
    let Event::Trouble(refused) = next().await else {
        panic!("no refusal")
    };
    assert!(
        matches!(refused.kind, TroubleKind::Misread { fault } if fault.field == "register 900" && fault.what.contains("no register at this address"))
    );
    let Event::Heard(heard) = next().await else {
        panic!("no sample")
    };
    let c = |t: glost_model::Temperature| (t.to_c() * 100.0).round() / 100.0;
    let s = heard.sample;
    assert_eq!(
        (s.at, s.sensor.map(c), s.set_point.map(c), s.duty),
        (second(0), Some(1222.5), Some(1222.22), Some(0.35))
    );
    let others: Vec<_> = s.others.iter().map(|(n, t)| (n.as_str(), c(*t))).collect();
    assert_eq!(others, [("lid", -16.0), ("bottom", 1180.5)]);
    assert!((s.meter.unwrap().to_kwh() - 1000.0).abs() < 1e-6);
    assert!(matches!(next().await, Event::Trouble(t) if t.kind == TroubleKind::Listening));
    drop(other_side);
    loop {
        match next().await {
            Event::Trouble(t) if matches!(t.kind, TroubleKind::Unreachable { .. }) => break,
            Event::Trouble(t) => assert!(matches!(t.kind, TroubleKind::Misread { .. })),
            Event::Heard(_) => {}
            Event::Place(_) => panic!("a controller has no place in a file"),
        }
    }
    drop(from);
    assert!(task.await.unwrap().is_err(), "it ends when nobody listens");
}
