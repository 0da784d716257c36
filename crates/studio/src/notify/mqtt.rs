//! Telling a broker of messages. Glost publishes on a topic of its own and listens to none here: what a controller
//! listens to it never writes.

use std::time::Duration;

use glost_model::book::Mqtt;
use glost_model::book::ways::TOPIC;
use rumqttc::{AsyncClient, Event, MqttOptions, Outgoing, Packet, QoS};

use super::{Message, NotTold, Secret, Secrets, Telling, Way};

/// A broker of messages.
#[derive(Debug)]
pub struct MqttWay {
    set: Mqtt,
    secret: Option<Secret>,
}

impl MqttWay {
    /// As the studio set it. `feeds` are the topics on which the studio's controllers or loggers speak.
    ///
    /// # Errors
    /// When the topic is not Glost's own, or a secret is not set.
    pub fn new(set: &Mqtt, feeds: &[String], secrets: Secrets) -> Result<Self, NotTold> {
        let refuse = |why: &str| {
            NotTold::new(
                format!("Glost does not publish on '{}': {why}", set.topic),
                "Set a topic of Glost's own, as glost/notices",
            )
        };
        if !set.topic.starts_with(TOPIC) || set.topic.contains(['+', '#', '\0']) {
            return Err(refuse("it may be somebody else's"));
        }
        if feeds.iter().any(|f| listens(f, &set.topic)) {
            return Err(refuse("readings of a kiln come on it"));
        }
        Ok(Self {
            set: set.clone(),
            secret: Secret::maybe(set.secret.as_deref(), secrets)?,
        })
    }

    async fn publish(&self, message: &Message) -> Result<(), NotTold> {
        let fail = |why: String| {
            NotTold::new(
                format!(
                    "the broker {} did not take the message: {why}",
                    self.set.host
                ),
                "See that it runs, and that name, password and topic are let in there",
            )
        };
        let id = format!("glost-{}-{}", message.id, message.sent.as_millisecond());
        let mut options = MqttOptions::new(id, &self.set.host, self.set.port);
        options.set_keep_alive(Duration::from_secs(30));
        if !self.set.login.is_empty() {
            let password = self.secret.as_ref().map_or("", Secret::value);
            options.set_credentials(&self.set.login, password);
        }
        let (client, mut events) = AsyncClient::new(options, 4);
        let body = message.json().to_string();
        client
            .publish(&self.set.topic, QoS::AtLeastOnce, false, body)
            .await
            .map_err(|e| fail(e.to_string()))?;
        // Until the broker says that it has it.
        loop {
            match events.poll().await {
                Ok(Event::Incoming(Packet::PubAck(_))) => break,
                Ok(_) => {}
                Err(e) => return Err(fail(e.to_string())),
            }
        }
        // It has the message, however the farewell goes.
        if client.disconnect().await.is_ok() {
            while let Ok(event) = events.poll().await {
                if event == Event::Outgoing(Outgoing::Disconnect) {
                    break;
                }
            }
        }
        Ok(())
    }
}

impl Way for MqttWay {
    fn tell<'a>(&'a self, message: &'a Message) -> Telling<'a> {
        Box::pin(self.publish(message))
    }
}

/// Whether who listens to a filter hears a topic (MQTT 3.1.1, section 4.7).
pub fn listens(filter: &str, topic: &str) -> bool {
    let mut levels = topic.split('/');
    for part in filter.split('/') {
        match (part, levels.next()) {
            ("#", _) => return true,
            ("+", Some(_)) => {}
            (part, Some(level)) if part == level => {}
            _ => return false,
        }
    }
    levels.next().is_none()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Cases of MQTT 3.1.1, section 4.7.1.
    #[test]
    fn filters_hear_what_the_standard_says() {
        for (filter, topic, hears) in [
            ("sport/tennis/player1/#", "sport/tennis/player1", true),
            (
                "sport/tennis/player1/#",
                "sport/tennis/player1/score/wimbledon",
                true,
            ),
            ("sport/#", "sport", true),
            ("#", "glost/notices", true),
            ("sport/tennis/+", "sport/tennis/player1", true),
            ("sport/tennis/+", "sport/tennis/player1/ranking", false),
            ("sport/+", "sport", false),
            ("sport/+", "sport/", true),
            ("+/+", "/finance", true),
            ("/+", "/finance", true),
            ("+", "/finance", false),
            ("glost/notices", "glost/notices", true),
            ("glost", "glost/notices", false),
        ] {
            assert_eq!(listens(filter, topic), hears, "{filter} {topic}");
        }
    }

    #[test]
    fn no_topic_of_a_kiln_is_written_to() {
        let set = |topic: &str| Mqtt {
            host: "localhost".into(),
            port: 1883,
            topic: topic.into(),
            login: String::new(),
            secret: None,
        };
        let feeds = ["kilns/+/temperature".to_owned(), "glost/echo/#".to_owned()];
        for bad in [
            "kilns/1/temperature",
            "kilns/1/set-point",
            "glost/echo/1",
            "glost/#",
            "glost/+/x",
            "",
        ] {
            assert!(MqttWay::new(&set(bad), &feeds, |_| None).is_err(), "{bad}");
        }
        assert!(MqttWay::new(&set("glost/notices"), &feeds, |_| None).is_ok());
        assert!(MqttWay::new(&set("glost/notices"), &["#".to_owned()], |_| None).is_err());
    }
}
