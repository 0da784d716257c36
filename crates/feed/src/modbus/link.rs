//! The connection to the controller.

use std::convert::Infallible;
use std::time::Duration;

use tokio::io::{AsyncReadExt, AsyncWriteExt};
use tokio::net::TcpStream;
use tokio::time::timeout;

use glost_model::readings::Sample;

use super::frame::{Answer, Ask, HEAD, Unanswered, length_after_head};
use super::map::{Controller, Register};
use crate::event::{Closed, Teller};
use crate::layout::{Cold, Degrees, Reference};
use crate::pause::Pause;
use crate::rows::{Sum, put, unit_of};
use glost_model::fault::Fault;

/// Longest wait for a connection or an answer.
const PATIENCE: Duration = Duration::from_secs(5);

enum Broken {
    /// The connection is of no use any more.
    Line(String),
    /// The controller says no to this register.
    Register(Unanswered),
}

/// Asks a controller for its registers again and again, until nobody listens. A register that the controller refuses
/// is told and missing; the others pass.
///
/// # Errors
/// [`Closed`] when nobody listens any more.
pub async fn listen(
    controller: &Controller,
    reference: Reference,
    mut teller: Teller,
) -> Result<Infallible, Closed> {
    let every = Duration::from_secs(u64::from(controller.every_s.max(1)));
    let (mut pause, mut sum, mut transaction) = (Pause::default(), Sum::default(), 0_u16);
    loop {
        let mut line = match connect(controller).await {
            Ok(line) => line,
            Err(why) => {
                teller.unreachable(why).await?;
                pause.wait(&mut teller).await?;
                continue;
            }
        };
        let mut ticks = tokio::time::interval(every);
        ticks.set_missed_tick_behavior(tokio::time::MissedTickBehavior::Delay);
        loop {
            teller.listen_for_silence().await?;
            ticks.tick().await;
            match ask_all(
                controller,
                reference,
                &mut line,
                &mut transaction,
                &mut sum,
                &mut teller,
            )
            .await?
            {
                Ok(()) => {
                    pause = Pause::default();
                    teller.reached().await?;
                }
                Err(why) => {
                    teller.unreachable(why).await?;
                    break;
                }
            }
        }
        pause.wait(&mut teller).await?;
    }
}

async fn connect(controller: &Controller) -> Result<TcpStream, String> {
    let there = (controller.host.as_str(), controller.port);
    match timeout(PATIENCE, TcpStream::connect(there)).await {
        Err(_) => Err("it does not answer".to_owned()),
        Ok(found) => found.map_err(|e| e.to_string()),
    }
}

/// Asks for every register once; an inner error is that of the connection.
async fn ask_all(
    controller: &Controller,
    reference: Reference,
    line: &mut TcpStream,
    transaction: &mut u16,
    sum: &mut Sum,
    teller: &mut Teller,
) -> Result<Result<(), String>, Closed> {
    let mut sample = Sample {
        at: teller.now(),
        sensor: None,
        set_point: None,
        duty: None,
        meter: None,
        others: Vec::new(),
    };
    let mut found = false;
    for register in &controller.registers {
        *transaction = transaction.wrapping_add(1);
        let ask = Ask::new(*transaction, controller.unit, register);
        let misread = |what: String, remedy: String| Fault {
            file: controller.host.clone(),
            line: None,
            field: format!("register {}", register.address),
            what,
            remedy,
        };
        let words = match timeout(PATIENCE, question(line, ask)).await {
            Err(_) => return Ok(Err("it does not answer".to_owned())),
            Ok(Err(Broken::Line(why))) => return Ok(Err(why)),
            Ok(Err(Broken::Register(why))) => {
                let remedy = "Compare address and bank with the controller's manual";
                teller
                    .misread(misread(why.to_string(), remedy.to_owned()))
                    .await?;
                continue;
            }
            Ok(Ok(words)) => words,
        };
        let Some(value) = register.value(&words) else {
            continue;
        };
        match put(
            &mut sample,
            &register.holds,
            value,
            terminals(register),
            reference,
            sum,
        ) {
            Ok(()) => found = true,
            Err((what, remedy)) => teller.misread(misread(what, remedy)).await?,
        }
    }
    if found {
        teller.sample(sample).await?;
    }
    Ok(Ok(()))
}

const fn terminals(register: &Register) -> Option<glost_model::Temperature> {
    match unit_of(&register.holds) {
        Some(Degrees::Millivolts {
            cold: Cold::Fixed(t),
            ..
        }) => Some(t),
        _ => None,
    }
}

async fn question(line: &mut TcpStream, ask: Ask) -> Result<Answer, Broken> {
    let bad = |e: std::io::Error| Broken::Line(e.to_string());
    line.write_all(&ask.bytes()).await.map_err(bad)?;
    let mut frame = vec![0; HEAD];
    line.read_exact(&mut frame).await.map_err(bad)?;
    let length = length_after_head(&frame).map_err(|e| Broken::Line(e.to_string()))?;
    frame.resize(HEAD + length, 0);
    let body = frame.get_mut(HEAD..).unwrap_or_default();
    line.read_exact(body).await.map_err(bad)?;
    ask.answer(&frame).map_err(|why| match why {
        Unanswered::Refused(_) => Broken::Register(why),
        // After an answer to something else nothing on this line can be trusted.
        other => Broken::Line(other.to_string()),
    })
}
