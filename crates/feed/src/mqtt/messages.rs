//! Messages turned into samples, without a network.

use std::collections::BTreeMap;

use jiff::Timestamp;
use jiff::tz::TimeZone;
use serde_json::Value;

use glost_model::fault::Fault;
use glost_model::readings::Sample;

use super::{Payload, Topic};
use crate::cell::short;
use crate::layout::{Column, Layout, Reference, Separator, Time, no_reading};
use crate::rows::{Record, Rows};

/// Longest message that is read.
pub(super) const LONGEST: usize = 64 * 1024;
/// Most topics of one kiln.
const MOST_TOPICS: usize = 64;

/// What a message was.
#[derive(Debug, Clone, PartialEq)]
pub enum Got {
    /// A sample.
    Sample(Sample),
    /// Not readable.
    Misread(Fault),
    /// Kept by the broker from earlier, and without a time of its own.
    Stale,
    /// Nothing to read, as an empty line.
    Nothing,
}

/// Reads the messages of a kiln's topics.
#[derive(Debug)]
pub struct Messages {
    topics: BTreeMap<String, Reader>,
}

#[derive(Debug)]
struct Reader {
    rows: Rows,
    way: Way,
    timeless: bool,
}

#[derive(Debug)]
enum Way {
    Number,
    Json(Vec<String>),
    Line,
}

impl Messages {
    /// Prepares to read the messages of `topics`. `home` is the studio's time zone.
    ///
    /// # Errors
    /// Every fault of the topics, each under the name of its topic.
    pub fn new(
        topics: &[Topic],
        home: &TimeZone,
        reference: Reference,
    ) -> Result<Self, Vec<Fault>> {
        let mut made = BTreeMap::new();
        let mut faults = Vec::new();
        for topic in topics {
            let fault = |what: &str, remedy: &str| Fault {
                file: short(&topic.topic),
                line: None,
                field: "topic".to_owned(),
                what: what.to_owned(),
                remedy: remedy.to_owned(),
            };
            let name = &topic.topic;
            if name.is_empty() || name.len() > 65_535 || name.contains('\0') {
                faults.push(fault(
                    "a topic has no name that a broker knows",
                    "Write it as kilns/heron/sensor",
                ));
            } else if name.contains(['+', '#']) {
                faults.push(fault(
                    "the topic has a wildcard",
                    "Write each topic in full, so that another kiln's readings are not taken for this one's",
                ));
            }
            match Reader::new(&topic.payload, home, &short(name), reference) {
                Err(more) => faults.extend(more),
                Ok(_) if made.contains_key(name) => {
                    faults.push(fault("the topic is there twice", "Take out one of the two"));
                }
                Ok(reader) => {
                    made.insert(name.clone(), reader);
                }
            }
        }
        if topics.is_empty() || topics.len() > MOST_TOPICS {
            faults.push(Fault {
                file: String::new(),
                line: None,
                field: "topics".to_owned(),
                what: format!("there are {} topics", topics.len()),
                remedy: format!("Name from one to {MOST_TOPICS} of this kiln"),
            });
        }
        if faults.is_empty() {
            return Ok(Self { topics: made });
        }
        Err(faults)
    }

    pub(super) fn names(&self) -> impl Iterator<Item = &String> {
        self.topics.keys()
    }

    /// Reads one message. `kept` tells that the broker had it from before.
    pub fn read(&mut self, topic: &str, payload: &[u8], kept: bool, now: Timestamp) -> Got {
        let Some(reader) = self.topics.get_mut(topic) else {
            return Got::Nothing;
        };
        if kept && reader.timeless {
            return Got::Stale;
        }
        match reader.read(payload, now) {
            None => Got::Nothing,
            Some(Ok(sample)) => Got::Sample(sample),
            Some(Err(fault)) => Got::Misread(fault),
        }
    }
}

impl Reader {
    fn new(
        payload: &Payload,
        home: &TimeZone,
        file: &str,
        reference: Reference,
    ) -> Result<Self, Vec<Fault>> {
        let (layout, way) = match payload {
            Payload::Number { holds } => {
                let column = Column {
                    at: 0,
                    holds: holds.clone(),
                };
                (bare(Time::Arrival, vec![column]), Way::Number)
            }
            Payload::Json {
                pointers,
                time,
                columns,
            } => (
                bare(time.clone(), columns.clone()),
                Way::Json(pointers.clone()),
            ),
            Payload::Line { layout } => {
                // A message has no lines above it.
                let layout = Layout {
                    skip: 0,
                    ..(**layout).clone()
                };
                (layout, Way::Line)
            }
        };
        let timeless = layout.time == Time::Arrival;
        let rows = Rows::new(layout, home, None, file, reference)?;
        let reader = Self {
            rows,
            way,
            timeless,
        };
        let strange = match &reader.way {
            Way::Json(pointers) => pointers
                .iter()
                .find(|p| !p.is_empty() && !p.starts_with('/')),
            _ => None,
        };
        if let Some(pointer) = strange {
            let what = format!("'{}' points nowhere", short(pointer));
            let remedy = "Write where the value stands in the object, as /kiln/temp";
            return Err(vec![reader.rows.fault(
                None,
                "pointers",
                (what, remedy.to_owned()),
            )]);
        }
        Ok(reader)
    }

    fn read(&mut self, payload: &[u8], now: Timestamp) -> Option<Result<Sample, Fault>> {
        let refuse = |rows: &Rows, what: String, remedy: &str| {
            Some(Err(rows.fault(None, "", (what, remedy.to_owned()))))
        };
        if payload.len() > LONGEST {
            let what = format!("the message has {} bytes", payload.len());
            return refuse(&self.rows, what, "Send one reading in each message");
        }
        let Ok(text) = std::str::from_utf8(payload) else {
            return refuse(
                &self.rows,
                "the message is not UTF-8".to_owned(),
                "Send text",
            );
        };
        let record = match &self.way {
            Way::Line => return self.rows.message(text.trim_end().as_bytes(), now),
            Way::Number => {
                let mut record = Record::default();
                record.push(text.trim());
                record
            }
            Way::Json(pointers) => match serde_json::from_str::<Value>(text) {
                Ok(value) => taken(&value, pointers),
                Err(e) => {
                    let what = format!("the message is not JSON: {e}");
                    return refuse(
                        &self.rows,
                        what,
                        "Send an object of JSON, or say that messages are plain",
                    );
                }
            },
        };
        if record.is_blank() {
            let what = "none of the fields is in the message".to_owned();
            return refuse(&self.rows, what, "Compare the pointers with what is sent");
        }
        Some(self.rows.cells(&record, now))
    }
}

/// The values at the pointers, those that are not there empty.
fn taken(value: &Value, pointers: &[String]) -> Record {
    let mut record = Record::default();
    for pointer in pointers {
        let cell = match value.pointer(pointer) {
            None | Some(Value::Null) => String::new(),
            Some(Value::String(text)) => text.clone(),
            // What is no number is told as such by the reader of cells.
            Some(other) => other.to_string(),
        };
        record.push(&cell);
    }
    record
}

/// A layout of cells that were not cut out of a line.
fn bare(time: Time, columns: Vec<Column>) -> Layout {
    Layout {
        separator: Separator::Comma,
        decimal_comma: false,
        skip: 0,
        titles: Vec::new(),
        width: 0,
        time,
        columns,
        absent: no_reading(),
    }
}
