//! A broker of others.

use std::fs;
use std::io::{BufRead as _, BufReader};
use std::net::TcpListener;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::Duration;

use glost_model::book::{ErrandState, Mqtt, Ways};
use rumqttc::{AsyncClient, Event, MqttOptions, Packet, QoS};
use serde_json::Value;

use crate::place::{alarm, errands, pass, sender, studio};

/// A running broker that lets in who knows the password; ends with the test.
struct Broker {
    child: Child,
    port: u16,
}

impl Broker {
    fn start(folder: &Path) -> Self {
        let port = TcpListener::bind("127.0.0.1:0")
            .unwrap()
            .local_addr()
            .unwrap()
            .port();
        let (words, set) = (folder.join("words"), folder.join("mosquitto.conf"));
        let made = Command::new("mosquitto_passwd")
            .args(["-b", "-c"])
            .arg(&words)
            .args(["glost", "peat fire"])
            .status();
        assert!(made.unwrap().success());
        // It may be started by root and then works as another.
        let open = std::os::unix::fs::PermissionsExt::from_mode(0o644);
        fs::set_permissions(&words, open).unwrap();
        let all = std::os::unix::fs::PermissionsExt::from_mode(0o755);
        fs::set_permissions(folder, all).unwrap();
        fs::write(
            &set,
            format!("listener {port} 127.0.0.1\nallow_anonymous false\npassword_file {}\nlog_dest stderr\n", words.display()),
        )
        .unwrap();
        let mut child = Command::new("/usr/sbin/mosquitto")
            .arg("-c")
            .arg(&set)
            .arg("-v")
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        let mut lines = BufReader::new(child.stderr.take().unwrap())
            .lines()
            .map_while(Result::ok);
        let runs = lines.any(|l| l.ends_with("running"));
        assert!(runs, "the broker ended");
        std::thread::spawn(move || lines.count());
        Self { child, port }
    }

    fn options(&self, id: &str) -> MqttOptions {
        let mut options = MqttOptions::new(id, "127.0.0.1", self.port);
        options.set_credentials("glost", "peat fire");
        options
    }

    fn way(&self, topic: &str, secret: &str) -> Ways {
        Ways {
            mqtt: Some(Mqtt {
                host: "127.0.0.1".into(),
                port: self.port,
                topic: topic.into(),
                login: "glost".into(),
                secret: Some(secret.into()),
            }),
            ..Ways::default()
        }
    }
}

impl Drop for Broker {
    fn drop(&mut self) {
        drop(self.child.kill());
        drop(self.child.wait());
    }
}

#[tokio::test]
async fn who_listens_hears_a_notice_once() {
    let folder = tempfile::tempdir().unwrap();
    let broker = Broker::start(folder.path());
    let (client, mut events) = AsyncClient::new(broker.options("listener"), 8);
    client.subscribe("#", QoS::AtLeastOnce).await.unwrap();
    while !matches!(
        events.poll().await.unwrap(),
        Event::Incoming(Packet::SubAck(_))
    ) {}
    let desk = studio(
        folder.path(),
        broker.way("glost/notices", "GLOST_SECRET_BROKER"),
        &[],
    )
    .await;
    desk.raise(&alarm("element-out")).await.unwrap();
    let sender = sender(&desk);
    assert_eq!(sender.round().await.unwrap(), 1);
    assert_eq!(
        errands(&desk).await[0].state,
        ErrandState::Sent,
        "{:?}",
        errands(&desk).await
    );
    pass(60);
    assert_eq!(sender.round().await.unwrap(), 0);
    // What comes before a last word of the test's own.
    client
        .publish("over", QoS::AtLeastOnce, false, "")
        .await
        .unwrap();
    let mut heard = Vec::new();
    loop {
        let next = tokio::time::timeout(Duration::from_secs(20), events.poll()).await;
        if let Event::Incoming(Packet::Publish(p)) = next.unwrap().unwrap() {
            if p.topic == "over" {
                break;
            }
            assert!(!p.retain);
            heard.push((
                p.topic.clone(),
                serde_json::from_slice::<Value>(&p.payload).unwrap(),
            ));
        }
    }
    assert_eq!(heard.len(), 1);
    assert_eq!(heard[0].0, "glost/notices");
    assert_eq!(heard[0].1["words"], alarm("element-out").words);
    assert_eq!(heard[0].1["link"], Value::Null);
}

#[tokio::test]
async fn who_is_not_let_in_tries_again_later() {
    let folder = tempfile::tempdir().unwrap();
    let broker = Broker::start(folder.path());
    let wrong = broker.way("glost/notices", "GLOST_SECRET_HOOK");
    let desk = studio(folder.path(), wrong, &[]).await;
    desk.raise(&alarm("element-out")).await.unwrap();
    sender(&desk).round().await.unwrap();
    let errand = &errands(&desk).await[0];
    assert_eq!((errand.state, errand.tried), (ErrandState::Waiting, 1));
    let trouble = errand.tries[0].trouble.as_ref().unwrap();
    assert!(!trouble.contains("moor lantern"), "{trouble}");
}
