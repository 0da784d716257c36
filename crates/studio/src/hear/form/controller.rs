//! A controller, as a form: a row a register.

use glost_feed::modbus::{Bank, Controller, Kind, Register};

use super::{Asked, ROWS, Written, role, short};

/// Usual port of Modbus TCP.
const PORT: u16 = 502;
/// Usually asked each so many seconds.
const EVERY_S: u16 = 10;
const KINDS: [(&str, Kind); 5] = [
    ("i16", Kind::I16),
    ("u16", Kind::U16),
    ("i32", Kind::I32),
    ("u32", Kind::U32),
    ("f32", Kind::F32),
];

pub fn read(asked: &mut Asked<'_>) -> Option<Controller> {
    let (host, port) = asked.host("host", PORT);
    let unit = asked.number("unit_number", 1, "Write from 0 to 255");
    let every_s = asked.number("every_s", EVERY_S, "Write seconds from 1 to 600");
    let cold = role::cold(asked, 0);
    let mut registers = Vec::new();
    for n in 0..ROWS {
        let address = asked.row("address", n);
        if address.is_empty() {
            continue;
        }
        let field = format!("address.{n}");
        let Ok(address) = address.parse::<u16>() else {
            asked.fault(
                &field,
                format!("'{}' is no address", short(address)),
                "Write it as sent, from 0: a table's 40001 or 30001 is address 0",
            );
            continue;
        };
        let Some(holds) = role::holds(asked, n, cold) else {
            asked.fault(
                &format!("role.{n}"),
                "it is not said what the register holds",
                "Choose what it is; a register tells no time",
            );
            continue;
        };
        let scale = asked.number(
            &format!("scale.{n}"),
            1.0,
            "Write 1, or 0.1 where it counts tenths",
        );
        let absent = match asked.row("absent", n) {
            "" => None,
            _ => Some(asked.number(
                &format!("absent.{n}"),
                0,
                "Write the whole number from the manual",
            )),
        };
        let kind = KINDS.iter().find(|k| k.0 == asked.row("kind", n));
        registers.push(Register {
            address,
            bank: match asked.row("bank", n) {
                "input" => Bank::Input,
                _ => Bank::Holding,
            },
            kind: kind.map_or(Kind::I16, |k| k.1),
            low_word_first: asked.row("low", n) == "yes",
            scale,
            absent,
            holds,
        });
    }
    let controller = Controller {
        host,
        port,
        unit,
        every_s,
        registers,
    };
    for fault in controller.check().err().into_iter().flatten() {
        // What its host lacks is told at its field already.
        match fault.field.as_str() {
            "host" => {}
            "every_s" => asked.fault("every_s", fault.what, fault.remedy),
            field => {
                let what = format!("{field}: {}", fault.what);
                asked.fault("address.0", what, fault.remedy);
            }
        }
    }
    Some(controller)
}

pub fn written(way: &Controller) -> Written {
    let mut all: Written = [
        ("host", format!("{}:{}", way.host, way.port)),
        ("unit_number", way.unit.to_string()),
        ("every_s", way.every_s.to_string()),
    ]
    .map(|(name, value)| (name.to_owned(), value))
    .into();
    for (n, r) in way.registers.iter().enumerate() {
        let kind = KINDS.iter().find(|k| k.1 == r.kind).map_or("i16", |k| k.0);
        let bank = if r.bank == Bank::Input {
            "input"
        } else {
            "holding"
        };
        for (name, value) in [
            ("address", r.address.to_string()),
            ("bank", bank.to_owned()),
            ("kind", kind.to_owned()),
            (
                "low",
                if r.low_word_first { "yes" } else { "no" }.to_owned(),
            ),
            ("scale", r.scale.to_string()),
            (
                "absent",
                r.absent.map_or_else(String::new, |a| a.to_string()),
            ),
        ] {
            all.push((format!("{name}.{n}"), value));
        }
        role::written(&mut all, n, &r.holds);
    }
    all
}
