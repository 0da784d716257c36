//! What is sent and what comes back (Modbus Application Protocol 1.1b3; Messaging on TCP/IP 1.0b, modbus.org).

use super::map::{Bank, Register};

/// Bytes in front of a frame's body.
pub const HEAD: usize = 7;
/// Longest frame behind its length field.
const MOST: usize = 254;

/// A request to read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Ask {
    transaction: u16,
    unit: u8,
    bank: Bank,
    address: u16,
    words: u16,
}

/// The words that were asked for.
pub type Answer = Vec<u16>;

/// Why there is no answer in a frame.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum Unanswered {
    /// Not a frame of Modbus.
    #[error("the answer is no frame of Modbus TCP")]
    NoFrame,
    /// An answer to something else.
    #[error("the answer belongs to another question")]
    Another,
    /// Shorter or longer than asked for.
    #[error("the answer has another length than was asked for")]
    Length,
    /// The controller says no.
    #[error("the controller refuses: {}", refusal(*.0))]
    Refused(u8),
}

fn refusal(code: u8) -> &'static str {
    match code {
        1 => "it does not know this bank of registers (1)",
        2 => "it has no register at this address (2)",
        3 => "it does not give so many words there (3)",
        4 => "it failed (4)",
        6 => "it is busy (6)",
        10 => "its gateway has no way to it (10)",
        11 => "it does not answer its gateway (11)",
        _ => "it gives a reason that is not known here",
    }
}

impl Ask {
    /// Asks a unit for the words of a register.
    pub fn new(transaction: u16, unit: u8, register: &Register) -> Self {
        Self {
            transaction,
            unit,
            bank: register.bank,
            address: register.address,
            words: register.kind.words(),
        }
    }

    /// As it is sent.
    pub fn bytes(self) -> [u8; 12] {
        let ([t0, t1], [a0, a1], [w0, w1]) = (
            self.transaction.to_be_bytes(),
            self.address.to_be_bytes(),
            self.words.to_be_bytes(),
        );
        [
            t0,
            t1,
            0,
            0,
            0,
            6,
            self.unit,
            self.bank as u8,
            a0,
            a1,
            w0,
            w1,
        ]
    }

    /// Reads the answer, head and body.
    ///
    /// # Errors
    /// Why it is none.
    pub fn answer(self, frame: &[u8]) -> Result<Answer, Unanswered> {
        let (head, body) = frame.split_at_checked(HEAD).ok_or(Unanswered::NoFrame)?;
        if length_after_head(head)? != body.len() {
            return Err(Unanswered::Length);
        }
        let &[t0, t1, _, _, _, _, unit] = head else {
            return Err(Unanswered::NoFrame);
        };
        if u16::from_be_bytes([t0, t1]) != self.transaction || unit != self.unit {
            return Err(Unanswered::Another);
        }
        let function = self.bank as u8;
        match body {
            [f, code] if *f == function | 0x80 => Err(Unanswered::Refused(*code)),
            [f, count, words @ ..] if *f == function => {
                let wanted = usize::from(self.words) * 2;
                if usize::from(*count) != wanted || words.len() != wanted {
                    return Err(Unanswered::Length);
                }
                let pairs = words.chunks_exact(2);
                Ok(pairs
                    .filter_map(|p| Some(u16::from_be_bytes([*p.first()?, *p.get(1)?])))
                    .collect())
            }
            _ => Err(Unanswered::Another),
        }
    }
}

/// How many bytes follow a head.
///
/// # Errors
/// When it is no head of Modbus TCP.
pub fn length_after_head(head: &[u8]) -> Result<usize, Unanswered> {
    let &[_, _, 0, 0, high, low, _] = head else {
        return Err(Unanswered::NoFrame);
    };
    let length = usize::from(u16::from_be_bytes([high, low]));
    // The unit is counted in, and stands in the head already.
    if !(2..=MOST).contains(&length) {
        return Err(Unanswered::NoFrame);
    }
    Ok(length - 1)
}
