//! The readings of a synthetic kiln on a broker, on a topic that no kiln has.

use std::time::Duration;

use glost_model::readings::Sample;
use rumqttc::{AsyncClient, Event, MqttOptions, Outgoing, QoS};

/// Every topic of a rehearsal begins with this, so that nothing real listens to it.
pub const TOPIC: &str = "glost/rehearsal/";
const PATIENCE: Duration = Duration::from_secs(10);

/// A connection to a broker.
#[derive(Debug)]
pub struct Publisher {
    client: AsyncClient,
    topic: String,
    events: tokio::task::JoinHandle<()>,
}

impl Publisher {
    /// Connects.
    ///
    /// # Errors
    /// In words, when the topic could be somebody's.
    pub fn new(host: &str, port: u16, topic: &str) -> Result<Self, String> {
        if !topic.starts_with(TOPIC) || topic.contains(['+', '#', '\0']) {
            return Err(format!(
                "'{topic}' may be the topic of a real kiln: choose one below {TOPIC}, as {TOPIC}heron"
            ));
        }
        let id = format!("glost-rehearsal-{}", std::process::id());
        let mut options = MqttOptions::new(id, host, port);
        options.set_keep_alive(Duration::from_secs(30));
        let (client, mut link) = AsyncClient::new(options, 16);
        let events = tokio::spawn(async move {
            loop {
                match link.poll().await {
                    Ok(Event::Outgoing(Outgoing::Disconnect)) => break,
                    Ok(_) => {}
                    Err(e) => {
                        tracing::warn!(error = %e, "the broker cannot be reached");
                        tokio::time::sleep(Duration::from_secs(1)).await;
                    }
                }
            }
        });
        Ok(Self {
            client,
            topic: topic.to_owned(),
            events,
        })
    }

    pub(super) async fn write(&self, sample: &Sample) -> Result<(), String> {
        let number = |v: Option<f64>, digits: i32| {
            let scale = 10_f64.powi(digits);
            v.map(|v| (v * scale).round() / scale)
        };
        let body = serde_json::json!({
            "time": sample.at.to_string(),
            "sensor": number(sample.sensor.map(|t| t.to_c()), 0),
            "set_point": number(sample.set_point.map(|t| t.to_c()), 0),
            "duty": number(sample.duty.map(|d| d * 100.0), 1),
            "meter": number(sample.meter.map(|m| m.to_kwh()), 2),
        });
        let sent = self
            .client
            .publish(&self.topic, QoS::AtLeastOnce, false, body.to_string());
        match tokio::time::timeout(PATIENCE, sent).await {
            Ok(Ok(())) => Ok(()),
            Ok(Err(e)) => Err(e.to_string()),
            Err(_) => Err("the broker takes no messages: see that it runs".to_owned()),
        }
    }

    pub(super) async fn finish(self) {
        if self.client.disconnect().await.is_ok() {
            drop(tokio::time::timeout(PATIENCE, self.events).await);
        }
    }
}
