//! Which register holds what.

use serde::{Deserialize, Serialize};

use glost_model::fault::Fault;

use crate::cell::{Faults, short};
use crate::layout::{Cold, Degrees, Holds};
use crate::rows::unit_of;

/// Most registers of one controller.
const MOST_REGISTERS: usize = 64;

/// A controller that answers by Modbus TCP, or a gateway to one.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Controller {
    /// Name or address.
    pub host: String,
    /// Usually 502.
    pub port: u16,
    /// Unit number behind a gateway; controllers with a network plug of their own mostly take 1 or 255.
    pub unit: u8,
    /// How often it is asked, s; from 1 to 600.
    pub every_s: u16,
    /// What is asked for.
    pub registers: Vec<Register>,
}

/// One value.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Register {
    /// Address as sent, from 0. Tables that count from 30001 or 40001 are one of these plus the address.
    pub address: u16,
    /// Which bank.
    pub bank: Bank,
    /// How it is coded.
    pub kind: Kind,
    /// Of two words the low one comes first.
    #[serde(default)]
    pub low_word_first: bool,
    /// What one step is worth: 0.1 where 12225 means 1222.5.
    #[serde(default = "one")]
    pub scale: f64,
    /// The number, before scaling, that stands for no reading.
    #[serde(default)]
    pub absent: Option<i64>,
    /// What it is.
    pub holds: Holds,
}

const fn one() -> f64 {
    1.0
}

/// A bank of registers. Its number is the function that reads it; there is no other function here.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Bank {
    /// Holding registers, read by function 3.
    Holding = 3,
    /// Input registers, read by function 4.
    Input = 4,
}

/// How a value is coded.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Kind {
    /// One word with sign.
    I16,
    /// One word.
    U16,
    /// Two words with sign.
    I32,
    /// Two words.
    U32,
    /// Two words, IEEE 754.
    F32,
}

impl Kind {
    /// Words of 16 bits.
    pub const fn words(self) -> u16 {
        match self {
            Self::I16 | Self::U16 => 1,
            Self::I32 | Self::U32 | Self::F32 => 2,
        }
    }
}

impl Register {
    /// The value in its own unit; nothing when it stands for no reading, or is no number.
    pub fn value(&self, words: &[u16]) -> Option<f64> {
        let bits = match (self.kind.words(), words) {
            (1, [word]) => u32::from(*word),
            (2, [a, b]) => {
                let (high, low) = if self.low_word_first {
                    (*b, *a)
                } else {
                    (*a, *b)
                };
                (u32::from(high) << 16) | u32::from(low)
            }
            _ => return None,
        };
        let whole = match self.kind {
            Kind::I16 => i64::from(u16::try_from(bits).ok()?.cast_signed()),
            Kind::U16 | Kind::U32 => i64::from(bits),
            Kind::I32 => i64::from(bits.cast_signed()),
            Kind::F32 => {
                let found = f64::from(f32::from_bits(bits));
                let absent = self.absent.is_some_and(|a| (found - a as f64).abs() < 1e-6);
                return (found.is_finite() && !absent).then_some(found * self.scale);
            }
        };
        (self.absent != Some(whole)).then_some(whole as f64 * self.scale)
    }
}

impl Controller {
    /// Whether it can be asked.
    ///
    /// # Errors
    /// Every fault of the map.
    pub fn check(&self) -> Result<(), Vec<Fault>> {
        let host = short(&self.host);
        let mut faults = Faults::of(&host);
        let mut note = |field: &str, what: String, remedy: &str| {
            faults.note(None, field, (what, remedy.to_owned()));
        };
        if self.host.trim().is_empty() {
            note(
                "host",
                "the controller has no address".to_owned(),
                "Write its name or address in the network",
            );
        }
        if !(1..=600).contains(&self.every_s) {
            note(
                "every_s",
                format!("it is asked every {} s", self.every_s),
                "Write from 1 to 600 s",
            );
        }
        if self.registers.is_empty() || self.registers.len() > MOST_REGISTERS {
            let remedy = "Name from one to 64 registers, the sensor's first";
            note(
                "registers",
                format!("there are {} registers", self.registers.len()),
                remedy,
            );
        }
        let mut seen: Vec<&Holds> = Vec::new();
        for register in &self.registers {
            let field = format!("register {}", register.address);
            if !register.scale.is_finite() || register.scale.abs() < 1e-12 {
                note(
                    &field,
                    "its scale is no number above 0".to_owned(),
                    "Write 1, or 0.1 where it counts tenths",
                );
            }
            if register
                .address
                .checked_add(register.kind.words())
                .is_none()
            {
                note(
                    &field,
                    "it lies beyond the last address".to_owned(),
                    "Write an address from 0 to 65534",
                );
            }
            if let Some(Degrees::Millivolts {
                cold: Cold::Column { .. },
                ..
            }) = unit_of(&register.holds)
            {
                note(
                    &field,
                    "a register knows no columns".to_owned(),
                    "Give the terminals a fixed temperature",
                );
            }
            if seen.iter().any(|h| same(h, &register.holds)) {
                note(
                    &field,
                    "another register holds the same".to_owned(),
                    "Take out one, or name it as a further sensor",
                );
            }
            seen.push(&register.holds);
        }
        if faults.is_empty() {
            return Ok(());
        }
        Err(faults.into_sorted())
    }
}

fn same(a: &Holds, b: &Holds) -> bool {
    match (a, b) {
        (Holds::Other { name: a, .. }, Holds::Other { name: b, .. }) => a == b,
        (Holds::Power { .. } | Holds::Meter, Holds::Power { .. } | Holds::Meter) => true,
        (a, b) => std::mem::discriminant(a) == std::mem::discriminant(b),
    }
}
