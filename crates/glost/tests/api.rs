//! The API by a program of our own, and by one of others that tries what it likes.
#![expect(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test fails by panicking"
)]

mod served;

use std::fs;
use std::path::Path;
use std::process::Command;

use serde_json::{Value, json};
use served::{Answer, FORM, JSON, Served, glost, new_place};

/// A program with a token.
struct Program<'a> {
    served: &'a Served,
    head: String,
}

impl<'a> Program<'a> {
    /// Makes a token on the page of whoever the cookie is of.
    fn new(served: &'a Served, cookie: &str) -> Self {
        let page = served.send(
            "POST",
            "/me/tokens",
            &[("Cookie", cookie)],
            b"label=test",
            FORM,
        );
        let text = page.text();
        let at = text.find("aria-label=\"The token\">").unwrap() + 23;
        Self {
            served,
            head: format!("Bearer {}", &text[at..at + 64]),
        }
    }
    fn get(&self, path: &str) -> Answer {
        let path = format!("/api/v1{path}");
        self.served
            .send("GET", &path, &[("Authorization", &self.head)], b"", "")
    }
    fn post(&self, path: &str, body: &Value) -> Answer {
        let path = format!("/api/v1{path}");
        let body = body.to_string();
        let heads = [("Authorization", self.head.as_str())];
        self.served
            .send("POST", &path, &heads, body.as_bytes(), JSON)
    }
}

fn problem(answer: &Answer, code: u16) -> Value {
    assert_eq!(answer.code, code, "{}", answer.text());
    assert_eq!(
        answer.header("content-type"),
        Some("application/problem+json")
    );
    let value = answer.json();
    assert_eq!(value["status"], code);
    assert!(!value["detail"].as_str().unwrap().is_empty());
    value
}

fn bowl() -> Value {
    json!({
        "what": "bowl", "shape": "circle", "size_mm": "180", "foot_size_mm": "90", "height_mm": 80, "mass_kg": 0.7,
        "wall_mm": 6, "clay": "Heatherstone", "foot": "bare", "dryness": "bone-dry", "stage": "greenware",
        "looked_over": true, "count": 2
    })
}

#[test]
fn the_program_is_counted_without_names() {
    let folder = tempfile::tempdir().unwrap();
    let (store, photos) = new_place(folder.path(), "counts", false);
    let (served, cookie) = Served::with_demo(&store, &photos);
    let api = Program::new(&served, &cookie);
    assert_eq!(api.post("/ware", &bowl()).code, 201);
    served.send("GET", "/join/some-secret-of-somebody", &[], b"", "");
    served.send("GET", "/no/such/page", &[], b"", "");
    let text = api.get("/metrics").text();
    for line in [
        r#"glost_requests_total{method="POST",route="/api/v1/ware",status="201"} 1"#,
        r#"glost_requests_total{method="GET",route="none",status="404"} 1"#,
        r#"glost_ware{state="waiting"}"#,
        r#"glost_request_seconds_bucket{route="/join/{secret}",le="0.05"}"#,
    ] {
        assert!(text.contains(line), "{line}\n{text}");
    }
    assert!(!text.contains("some-secret"), "{text}");
    problem(&served.send("GET", "/api/v1/metrics", &[], b"", ""), 401);
    served.stop();
}

#[test]
fn readings_are_kept_once_and_told_again() {
    let folder = tempfile::tempdir().unwrap();
    let (store, photos) = new_place(folder.path(), "readings", false);
    let (served, cookie) = Served::with_demo(&store, &photos);
    let api = Program::new(&served, &cookie);
    let body = json!({"samples": [{"at": "2026-11-26T18:00:00Z", "sensor_c": 21.5}]});
    problem(&api.post("/firings/0001/readings", &body), 404);
    let form = b"kiln=Heron&cone=6&kind=glaze&starts=";
    served.send("POST", "/firings/new", &[("Cookie", &cookie)], form, FORM);
    let early = problem(&api.post("/firings/0001/readings", &body), 409);
    assert!(early["detail"].as_str().unwrap().contains("being planned"));
    assert_eq!(
        api.get("/firings/0001/readings").json()["samples"],
        json!([])
    );
    problem(&api.get("/firings/0001/readings?after=yesterday"), 400);
    served.stop();
}

#[test]
fn a_program_does_what_its_person_may() {
    let folder = tempfile::tempdir().unwrap();
    let (store, photos) = new_place(folder.path(), "api", false);
    let (served, cookie) = Served::with_demo(&store, &photos);
    let api = Program::new(&served, &cookie);

    // Hand in, look, move on.
    let made = api.post("/ware", &bowl());
    assert_eq!(made.code, 201, "{}", made.text());
    let made = made.json();
    let code = made[0]["code"].as_str().unwrap().to_owned();
    assert_eq!(
        (made.as_array().unwrap().len(), &made[0]["state"]),
        (2, &json!("waiting"))
    );
    let one = api.get(&format!("/ware/{code}"));
    assert_eq!(one.json()["height_mm"], 80.0);
    assert_eq!(one.header("etag"), Some("\"1\""));
    let heads = [
        ("Authorization", api.head.as_str()),
        ("If-None-Match", "\"1\""),
    ];
    let same = served.send("GET", &format!("/api/v1/ware/{code}"), &heads, b"", "");
    assert_eq!((same.code, same.body.len()), (304, 0));
    let to = format!("/ware/{code}/state");
    let no_reason = problem(&api.post(&to, &json!({"to": "refused", "version": 1})), 422);
    assert_eq!(no_reason["faults"][0]["field"], "note");
    let done = api.post(
        &to,
        &json!({"to": "refused", "version": 1, "note": "cracked"}),
    );
    assert_eq!(done.json()["version"], 2, "{}", done.text());
    problem(&api.post(&to, &json!({"to": "waiting", "version": 1})), 409);
    let refused = api.get(&format!("/ware?state=refused&words={code}")).json();
    assert_eq!(
        (&refused["total"], &refused["items"][0]["note"]),
        (&json!(1), &json!("cracked"))
    );

    // Pages of a list make up the whole, once each.
    let total = api.get("/ware?each=1").json()["total"].as_u64().unwrap();
    let mut codes = std::collections::BTreeSet::new();
    for page in 1..=total.div_ceil(50) {
        for w in api.get(&format!("/ware?page={page}")).json()["items"]
            .as_array()
            .unwrap()
        {
            assert!(codes.insert(w["code"].as_str().unwrap().to_owned()));
        }
    }
    assert_eq!(codes.len() as u64, total);

    // Faults by the names of this API.
    let mut wrong = bowl();
    wrong["clay"] = json!("moon dust");
    wrong["height_mm"] = json!(-4);
    let told = problem(&api.post("/ware", &wrong), 422);
    let fields: Vec<&str> = told["faults"]
        .as_array()
        .unwrap()
        .iter()
        .map(|f| f["field"].as_str().unwrap())
        .collect();
    assert!(fields.contains(&"height_mm"), "{told}");
    wrong["colour"] = json!("red");
    assert_eq!(
        problem(&api.post("/ware", &wrong), 422)["faults"][0]["field"],
        "colour"
    );
    problem(&api.get("/ware?page=0"), 400);
    problem(&api.get("/ware?page=one"), 400);
    problem(&api.get("/ware?colour=red"), 400);
    problem(&api.get("/nothing"), 404);

    // A firing.
    let form = b"kiln=Top&cone=6&kind=glaze&starts=";
    let kilns = api.get("/kilns").json();
    let kiln = kilns[0]["name"].as_str().unwrap();
    let form = String::from_utf8_lossy(form).replace("Top", &kiln.replace(' ', "+"));
    let answer = served.send(
        "POST",
        "/firings/new",
        &[("Cookie", &cookie)],
        form.as_bytes(),
        FORM,
    );
    assert_eq!(answer.code, 303, "{}", answer.text());
    let firings = api.get("/firings?state=draft").json();
    assert_eq!(firings["items"][0]["kiln"], kiln);
    let id = firings["items"][0]["id"].as_str().unwrap().to_owned();
    // A plan may be being made, and then the version goes up by itself.
    let version = || {
        api.get(&format!("/firings/{id}")).json()["version"]
            .as_i64()
            .unwrap()
    };
    let noted = (0..20).find_map(|_| {
        let done = api.post(
            &format!("/firings/{id}/notes"),
            &json!({"words": "lid sticks", "version": version()}),
        );
        (done.code == 200).then_some(done)
    });
    assert!(noted.is_some(), "noted");
    let read = (0..20).find_map(|_| {
        let body =
            json!({"version": version(), "readings": [{"tier": "1", "cone": "6", "clock": 4.5}]});
        let done = api.post(&format!("/firings/{id}/cones"), &body);
        (done.code == 200).then_some(done)
    });
    assert!(read.is_some(), "read");
    let firing = api.get(&format!("/firings/{id}")).json();
    assert_eq!(firing["notes"][0]["words"], "lid sticks");
    assert_eq!(
        firing["cones"][0],
        json!({"tier": "1", "cone": "6", "clock": 4.5})
    );

    let waiting = api.get("/waiting?each=200").json();
    assert!(
        waiting["items"]
            .as_array()
            .unwrap()
            .iter()
            .any(|w| w["fit"] == "yes"),
        "{waiting}"
    );
    for list in ["/clays", "/glazes", "/furniture"] {
        assert!(
            !api.get(list).json().as_array().unwrap().is_empty(),
            "{list}"
        );
    }
    assert!(api.get("/people").json()["total"].as_u64().unwrap() > 3);

    // The document that is served is the one that the command prints.
    let (_, printed) = glost(&["schema", "--api"]);
    let printed: Value = serde_json::from_str(&printed).unwrap();
    assert_eq!(api.get("/openapi.json").json(), printed);
    assert_eq!(printed["openapi"], "3.1.0");
    served.stop();
}

#[test]
fn without_a_token_nothing_is_told_and_a_withdrawn_one_is_over() {
    let folder = tempfile::tempdir().unwrap();
    let (store, photos) = new_place(folder.path(), "api", false);
    let (served, cookie) = Served::with_demo(&store, &photos);
    let api = Program::new(&served, &cookie);
    // A cookie is no token: a page of another site could send it along.
    let by_cookie = served.send("GET", "/api/v1/ware", &[("Cookie", &cookie)], b"", "");
    problem(&by_cookie, 401);
    assert!(
        by_cookie
            .header("www-authenticate")
            .unwrap()
            .starts_with("Bearer")
    );
    problem(
        &served.send(
            "GET",
            "/api/v1/people",
            &[("Authorization", "Bearer 00")],
            b"",
            "",
        ),
        401,
    );
    problem(&served.send("POST", "/api/v1/ware", &[], b"{", JSON), 401);

    // The token is shown once, and its page withdraws it.
    let page = served
        .send("GET", "/me/tokens", &[("Cookie", &cookie)], b"", "")
        .text();
    assert!(!page.contains(&api.head[7..]), "shown only once");
    let at = page.find("/me/tokens/").unwrap();
    let way: String = page[at..].chars().take_while(|c| *c != '"').collect();
    assert_eq!(api.get("/ware").code, 200);
    assert_eq!(
        served
            .send("POST", &way, &[("Cookie", &cookie)], b"", FORM)
            .code,
        303
    );
    problem(&api.get("/ware"), 401);
    served.stop();
}

#[test]
fn a_program_of_others_finds_no_fault() {
    let py = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../target/audit/py/bin/schemathesis");
    assert!(
        py.exists(),
        "this test needs schemathesis: run `bash scripts/test`, which installs it"
    );
    let folder = tempfile::tempdir().unwrap();
    // The stricter of the two databases.
    let (store, photos) = new_place(folder.path(), "schemathesis", true);
    let (served, cookie) = Served::with_demo(&store, &photos);
    let api = Program::new(&served, &cookie);
    let code = api.get("/ware?each=1").json()["items"][0]["code"]
        .as_str()
        .unwrap()
        .to_owned();
    let kilns = api.get("/kilns").json();
    let kiln = kilns[0]["name"].as_str().unwrap().replace(' ', "+");
    let form = format!("kiln={kiln}&cone=6&kind=glaze&starts=");
    served.send(
        "POST",
        "/firings/new",
        &[("Cookie", &cookie)],
        form.as_bytes(),
        FORM,
    );
    let id = api.get("/firings").json()["items"][0]["id"]
        .as_str()
        .unwrap()
        .to_owned();
    let config = folder.path().join("schemathesis.toml");
    // Names of clays and the like are checked by the studio, not by the schema: 422 is an answer to what the schema lets
    // through. Real ids let it get past the door.
    fs::write(
        &config,
        format!(
            "[parameters]\n\"path.code\" = \"{code}\"\n\"path.id\" = \"{id}\"\n\n[checks]\npositive_data_acceptance.expected-statuses = [\"2xx\", \"401\", \"403\", \"404\", \"409\", \"422\", \"429\"]\n"
        ),
    )
    .unwrap();
    let run = Command::new(py)
        .current_dir(folder.path())
        .arg("--config-file")
        .arg(&config)
        .args([
            "run",
            &format!("http://{}/api/v1/openapi.json", served.host),
        ])
        .args(["-H", &format!("Authorization: {}", api.head)])
        .args([
            "--checks",
            "all",
            "--seed",
            "7",
            "--max-examples",
            "25",
            "--generation-database",
            "none",
            "--no-color",
        ])
        .output()
        .unwrap();
    let said = String::from_utf8_lossy(&run.stdout).into_owned();
    assert!(
        run.status.success(),
        "{said}\n{}",
        String::from_utf8_lossy(&run.stderr)
    );
    assert!(
        said.contains("Tested: 17") && !said.contains("Unresolvable"),
        "{said}"
    );
    served.stop();
}
