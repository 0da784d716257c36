//! The connection to the broker.

use std::convert::Infallible;
use std::time::Duration;

use rumqttc::{
    AsyncClient, ConnectReturnCode, Event, EventLoop, MqttOptions, Packet, QoS, SubscribeFilter,
    SubscribeReasonCode,
};

use super::messages::LONGEST;
use super::{Broker, Got, Messages};
use crate::event::{Closed, Teller};
use crate::pause::Pause;
use crate::trouble::TroubleKind;

const KEEP_ALIVE: Duration = Duration::from_secs(30);
/// What a packet has beside its message.
const ENVELOPE: usize = 66 * 1024;

/// Listens to the topics of a kiln until nobody listens to it, through every loss of the connection. No last will is
/// left with the broker, and no session: what is sent while Glost is away would come late and without its time.
///
/// # Errors
/// [`Closed`] when nobody listens any more.
pub async fn listen(
    broker: &Broker,
    mut messages: Messages,
    mut teller: Teller,
) -> Result<Infallible, Closed> {
    let mut options = MqttOptions::new(&broker.client, &broker.host, broker.port);
    options.set_keep_alive(KEEP_ALIVE);
    options.set_clean_session(true);
    options.set_max_packet_size(LONGEST + ENVELOPE, LONGEST + ENVELOPE);
    if let Some(login) = &broker.login {
        options.set_credentials(&login.user, &login.password);
    }
    let (client, mut events) = AsyncClient::new(options, 4);
    let mut pause = Pause::default();
    loop {
        match next(&mut events, &mut teller).await? {
            Ok(Packet::ConnAck(ack)) if ack.code == ConnectReturnCode::Success => {
                let all = messages
                    .names()
                    .map(|name| SubscribeFilter::new(name.clone(), QoS::AtLeastOnce));
                if let Err(e) = client.try_subscribe_many(all.collect::<Vec<_>>()) {
                    teller
                        .unreachable(format!("the topics could not be asked for: {e}"))
                        .await?;
                }
            }
            Ok(Packet::SubAck(ack)) => {
                if ack.return_codes.contains(&SubscribeReasonCode::Failure) {
                    let why = "the broker refuses a topic to this listener".to_owned();
                    teller.unreachable(why).await?;
                } else {
                    pause = Pause::default();
                    teller.reached().await?;
                }
            }
            Ok(Packet::Publish(message)) => {
                let now = teller.now();
                match messages.read(&message.topic, &message.payload, message.retain, now) {
                    Got::Sample(sample) => teller.sample(sample).await?,
                    Got::Misread(fault) => teller.misread(fault).await?,
                    Got::Stale => {
                        let topic = message.topic;
                        teller.trouble(TroubleKind::Stale { topic }).await?;
                    }
                    Got::Nothing => {}
                }
            }
            Ok(_) => {}
            Err(why) => {
                teller.unreachable(why).await?;
                pause.wait(&mut teller).await?;
            }
        }
    }
}

/// The next packet. Meanwhile silence is noticed; waiting for it never breaks the connection's own work off.
async fn next(
    events: &mut EventLoop,
    teller: &mut Teller,
) -> Result<Result<Packet, String>, Closed> {
    loop {
        let mut ticks = tokio::time::interval(Duration::from_secs(1));
        let mut poll = std::pin::pin!(events.poll());
        let found = loop {
            tokio::select! {
                found = &mut poll => break found,
                _ = ticks.tick() => teller.listen_for_silence().await?,
            }
        };
        match found {
            Ok(Event::Incoming(packet)) => return Ok(Ok(packet)),
            Ok(Event::Outgoing(_)) => {}
            Err(e) => return Ok(Err(e.to_string())),
        }
    }
}
