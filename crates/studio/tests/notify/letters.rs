//! Whatever a notice says, a letter has the heads and the addresses that it should have and no others.

use glost_model::book::{Notice, Raised, Settings, Standing};
use glost_studio::notify::{Message, letter};
use proptest::prelude::*;

use crate::place::{alarm, morning};

fn settings(name: String) -> Settings {
    Settings {
        name,
        shown: glost_model::shown::Shown::default(),
        tariff: glost_model::tariff::Tariff {
            currency: "EUR".into(),
            per_kwh: 0.0,
            per_kw: 0.0,
            times: Vec::new(),
        },
        hours: glost_model::hours::Hours {
            time_zone: Some("UTC".into()),
            ..glost_model::hours::Hours::default()
        },
        rule_overrides: std::collections::BTreeMap::new(),
        keep_days: 28,
        scheme: glost_model::charge::Scheme::default(),
        ways: glost_model::book::Ways::default(),
        post_section: glost_model::Length::mm(38.0),
    }
}

/// Texts with what could break a letter in them.
fn nasty() -> impl Strategy<Value = String> {
    let piece = prop_oneof![
        any::<String>(),
        Just("\r\nBcc: eve@elsewhere.example\r\n".to_owned()),
        Just("\n\n".to_owned()),
        Just("\r.\r\nQUIT".to_owned()),
        Just("=?utf-8?b?DQpCY2M6IGV2ZQ==?=".to_owned()),
        Just("\u{2028}To: eve@elsewhere.example\u{85}".to_owned()),
        Just("ä".repeat(300)),
        Just("x".repeat(1200)),
    ];
    prop::collection::vec(piece, 0..4).prop_map(|p| p.concat())
}

proptest! {
    #[test]
    fn no_head_comes_from_a_notice(
        words in nasty(),
        kiln in nasty(),
        to_do in nasty(),
        name in nasty(),
        link in nasty(),
        urgent in any::<bool>(),
    ) {
        let notice = Notice { kiln, words, what_to_do: to_do, urgent, link: Some(format!("/{link}")), ..alarm("x") };
        let raised = Raised {
            id: "000001".into(),
            notice,
            standing: Standing::Open,
            seen: Vec::new(),
            past: None,
            untold: false,
        };
        let mut set = settings(name);
        set.ways.address = "https://kilns.moor.example".into();
        let message = Message::of(&raised, &set, morning());
        let letter = letter(&message, "kilns@moor.example", "ann@moor.example").unwrap();
        let raw = String::from_utf8(letter.formatted()).unwrap();
        // Every line ends as lines of mail do, and none is longer than a server takes (RFC 5322, section 2.1.1).
        prop_assert!(!raw.replace("\r\n", "").contains(['\r', '\n']));
        prop_assert!(raw.split("\r\n").all(|l| l.len() <= 998));
        let (head, _) = raw.split_once("\r\n\r\n").unwrap();
        let mut names: Vec<&str> = head
            .split("\r\n")
            .filter(|l| !l.starts_with([' ', '\t']))
            .map(|l| l.split_once(':').unwrap().0)
            .collect();
        names.sort_unstable();
        let mut known = vec![
            "Auto-Submitted", "Content-Transfer-Encoding", "Content-Type", "Date", "From", "MIME-Version",
            "Message-ID", "Subject", "To",
        ];
        if urgent {
            known.push("Importance");
        }
        known.sort_unstable();
        prop_assert_eq!(names, known);
        prop_assert_eq!(letter.envelope().to().len(), 1);
        // Programs get the same on one line, and read it back.
        let json = message.json().to_string();
        let back: serde_json::Value = serde_json::from_str(&json).unwrap();
        prop_assert_eq!(back["words"].as_str().unwrap(), message.notice.words.as_str());
        prop_assert!(!json.contains('\n'));
    }
}
