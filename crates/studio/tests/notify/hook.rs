//! A program that takes notices by HTTP.

use std::io::Write as _;
use std::process::{Command, Stdio};
use std::sync::{Arc, Mutex};

use axum::Router;
use axum::extract::State;
use axum::http::{HeaderMap, StatusCode};
use axum::response::{IntoResponse, Response};
use axum::routing::post;
use glost_model::book::{ErrandState, Ways, Webhook};
use glost_studio::desk::notice::RaisedAs;
use serde_json::Value;
use tokio::sync::mpsc;

use crate::place::{alarm, clock, errands, pass, sender, studio};

/// How the program answers each request in turn; the last for all that follow.
#[derive(Debug, Clone, Copy)]
pub enum Answers {
    Well,
    Broken,
    Elsewhere,
    Never,
}

/// What came: head and body.
pub type Came = (HeaderMap, String);

#[derive(Clone)]
struct Program {
    answers: Arc<Mutex<Vec<Answers>>>,
    came: mpsc::UnboundedSender<Came>,
}

async fn take(State(p): State<Program>, head: HeaderMap, body: String) -> Response {
    p.came.send((head, body)).unwrap();
    let answer = {
        let mut all = p.answers.lock().unwrap();
        if all.len() > 1 { all.remove(0) } else { all[0] }
    };
    match answer {
        Answers::Well => StatusCode::NO_CONTENT.into_response(),
        Answers::Broken => StatusCode::INTERNAL_SERVER_ERROR.into_response(),
        Answers::Elsewhere => (StatusCode::TEMPORARY_REDIRECT, [("location", "/")]).into_response(),
        Answers::Never => std::future::pending().await,
    }
}

/// Starts it; answers the way to it and what comes.
pub async fn program(answers: &[Answers]) -> (Webhook, mpsc::UnboundedReceiver<Came>) {
    let (came, comes) = mpsc::unbounded_channel();
    let program = Program {
        answers: Arc::new(Mutex::new(answers.to_vec())),
        came,
    };
    let listener = tokio::net::TcpListener::bind("127.0.0.1:0").await.unwrap();
    let url = format!("http://{}/hook", listener.local_addr().unwrap());
    let routes = Router::new().route("/hook", post(take)).with_state(program);
    tokio::spawn(async move { axum::serve(listener, routes).await.unwrap() });
    let secret = Some("GLOST_SECRET_HOOK".to_owned());
    (Webhook { url, secret }, comes)
}

pub fn by_hook(hook: Webhook) -> Ways {
    Ways {
        address: "https://kilns.moor.example".into(),
        webhook: Some(hook),
        ..Ways::default()
    }
}

/// The signature by Python's own library.
fn python_signs(body: &str) -> String {
    let code = "import hmac, sys; print('sha256=' + hmac.new(b'moor lantern', sys.stdin.buffer.read(), 'sha256').hexdigest())";
    let mut run = Command::new("python3")
        .args(["-c", code])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    run.stdin
        .take()
        .unwrap()
        .write_all(body.as_bytes())
        .unwrap();
    let out = run.wait_with_output().unwrap();
    String::from_utf8(out.stdout).unwrap().trim().to_owned()
}

#[tokio::test]
async fn a_program_that_fails_twice_is_told_in_the_end_and_once() {
    let folder = tempfile::tempdir().unwrap();
    let (hook, mut comes) = program(&[Answers::Broken, Answers::Elsewhere, Answers::Well]).await;
    let desk = studio(folder.path(), by_hook(hook), &[]).await;
    let raised = desk.raise(&alarm("element-out")).await.unwrap();
    assert!(
        matches!(raised, RaisedAs::New { errands: 1, .. }),
        "{raised:?}"
    );
    let sender = sender(&desk);
    for (wait, tried) in [(0, 1), (9, 0), (1, 1), (19, 0), (1, 1), (3600, 0)] {
        pass(wait);
        assert_eq!(sender.round().await.unwrap(), tried, "after {wait} s");
    }
    let errand = &errands(&desk).await[0];
    assert_eq!((errand.state, errand.tried), (ErrandState::Sent, 3));
    let troubles: Vec<_> = errand.tries.iter().map(|t| t.trouble.is_some()).collect();
    assert_eq!(troubles, [true, true, false]);
    assert!(errand.tries[0].trouble.as_ref().unwrap().contains("500"));
    let mut ids = Vec::new();
    for _ in 0..3 {
        let (head, body) = comes.recv().await.unwrap();
        assert_eq!(head["content-type"], "application/json");
        assert_eq!(head["glost-signature"], python_signs(&body).as_str());
        let told: Value = serde_json::from_str(&body).unwrap();
        assert_eq!(told["kind"], "alarm");
        assert_eq!(told["kiln"], "Heron");
        assert_eq!(told["urgent"], false);
        assert_eq!(told["test"], false);
        assert_eq!(told["at"], "2026-11-26T09:00:00Z");
        assert_eq!(told["link"], "https://kilns.moor.example/firings/0007");
        ids.push(told["id"].clone());
    }
    assert!(
        ids.iter().all(|i| *i == ids[0]),
        "the same notice has one id"
    );
    assert!(comes.try_recv().is_err());
}

#[tokio::test]
async fn what_cannot_be_told_in_a_day_is_given_up_and_says_so() {
    let folder = tempfile::tempdir().unwrap();
    let (hook, mut comes) = program(&[Answers::Broken]).await;
    let desk = studio(folder.path(), by_hook(hook), &[]).await;
    let begun = clock();
    desk.raise(&alarm("element-out")).await.unwrap();
    let sender = sender(&desk);
    while errands(&desk).await[0].state == ErrandState::Waiting {
        sender.round().await.unwrap();
        pass(600);
        assert!(
            clock().duration_since(begun).as_hours() < 26,
            "never given up"
        );
    }
    let errand = &errands(&desk).await[0];
    assert_eq!(errand.state, ErrandState::GivenUp);
    assert!(clock().duration_since(begun).as_hours() >= 24);
    assert!(errand.tried > 40 && errand.tries.len() < 10);
    let mut count = 0;
    while comes.try_recv().is_ok() {
        count += 1;
    }
    assert_eq!(count, errand.tried);
}

#[tokio::test]
async fn a_missing_secret_is_named_and_nothing_goes_out_unsigned() {
    let folder = tempfile::tempdir().unwrap();
    let (mut hook, mut comes) = program(&[Answers::Well]).await;
    hook.secret = Some("GLOST_SECRET_GONE".into());
    let desk = studio(folder.path(), by_hook(hook), &[]).await;
    desk.raise(&alarm("element-out")).await.unwrap();
    sender(&desk).round().await.unwrap();
    let errand = &errands(&desk).await[0];
    assert_eq!(errand.state, ErrandState::Waiting);
    assert!(
        errand.tries[0]
            .trouble
            .as_ref()
            .unwrap()
            .contains("GLOST_SECRET_GONE")
    );
    assert!(comes.try_recv().is_err());
}
