//! A controller by Modbus TCP, set up on the kiln's page and heard from there. pymodbus is the other side; it tells
//! whatever it is asked beyond reading.

use std::io::{BufRead as _, BufReader, Read as _};
use std::path::Path;
use std::process::{Child, ChildStdout, Command, Stdio};

use crate::pages::Form;
use crate::{Place, page, sign_in, until};

/// The controller of a kiln that is rehearsed: its registers follow the log.
struct Controller {
    child: Child,
    said: BufReader<ChildStdout>,
    port: u16,
}

impl Drop for Controller {
    fn drop(&mut self) {
        drop(self.child.kill());
        drop(self.child.wait());
    }
}

/// The rehearsal; ends with the test.
struct Rehearsal(Child);

impl Drop for Rehearsal {
    fn drop(&mut self) {
        drop(self.0.kill());
        drop(self.0.wait());
    }
}

impl Controller {
    fn start(log: &Path) -> Self {
        let here = Path::new(env!("CARGO_MANIFEST_DIR"));
        let mut child = Command::new(here.join("../../target/audit/py/bin/python"))
            .arg(here.join("../feed/tests/controller.py"))
            .arg(log)
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .spawn()
            .expect("Python's libraries are missing: run scripts/test once");
        let mut said = BufReader::new(child.stdout.take().unwrap());
        let mut line = String::new();
        said.read_line(&mut line).unwrap();
        let port = line.trim().parse().expect("pymodbus did not start");
        Self { child, said, port }
    }

    /// Ends it; what it was asked beyond reading.
    fn end(mut self) -> String {
        drop(self.child.stdin.take());
        let mut rest = String::new();
        self.said.read_to_string(&mut rest).unwrap();
        assert!(self.child.wait().unwrap().success());
        rest
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn a_controller_is_set_up_on_its_page_heard_and_missed() {
    let place = Place::new().await;
    let stage = place.stage(600.0, Vec::new()).await;
    let (firing, plan) = stage.begin().await.unwrap();
    let kiln = place.desk.kiln_of(&firing.kiln).await.unwrap().unwrap();
    // Beside the folder of logs: the server sees the controller only.
    let beside = place.logs.parent().unwrap();
    let (file, log) = (beside.join("plan.json"), beside.join("kiln.csv"));
    std::fs::write(&file, plan.to_json().unwrap()).unwrap();
    let _rehearsal = Rehearsal(
        Command::new(env!("CARGO_BIN_EXE_glost"))
            .args(["rehearse", "--pace", "600"])
            .arg(&file)
            .arg("--to")
            .arg(&log)
            .stdout(Stdio::null())
            .spawn()
            .unwrap(),
    );
    until(60, "the rehearsal writes", async || {
        let text = std::fs::read_to_string(&log).unwrap_or_default();
        (text.lines().count() > 2).then_some(())
    })
    .await;
    let controller = Controller::start(&log);
    let served = place.serve();
    let cookie = sign_in(&served, "nia");
    let form = Form {
        served: &served,
        cookie: &cookie,
        at: format!("/kilns/{kiln}/source"),
    };
    let host = format!("127.0.0.1:{}", controller.port);
    let registers = [
        ("address.0", "0"),
        ("kind.0", "u16"),
        ("scale.0", "0.1"),
        ("role.0", "sensor"),
        ("address.1", "1"),
        ("kind.1", "u16"),
        ("scale.1", "0.1"),
        ("role.1", "set-point"),
        ("address.2", "2"),
        ("kind.2", "u16"),
        ("role.2", "percent"),
        ("address.3", "3"),
        ("kind.3", "u32"),
        ("scale.3", "0.001"),
        ("role.3", "meter"),
    ];
    let mut set = vec![
        ("host", host.as_str()),
        ("unit_number", "7"),
        ("every_s", "1"),
        ("rehearsal", "600"),
    ];
    set.extend(registers);
    // Tried, it shows what it understood; another unit does not answer, which is said.
    set.push(("do", "try"));
    let (code, text) = form.send(&form.filled("controller", &set));
    assert!(
        code == 200 && text.contains("The last readings, as they are understood"),
        "{text}"
    );
    assert!(!text.contains("None yet."), "{text}");
    set.push(("do", "store"));
    let (code, text) = form.send(&form.filled("controller", &set));
    assert_eq!(code, 303, "{text}");
    let text = until(90, "it is heard", async || {
        let text = page(&served, &cookie, "/firings/0001/watch");
        text.contains("Beside cone 6").then_some(text)
    })
    .await;
    let source = format!("Readings come from the controller at {host}");
    assert!(text.contains(&source), "{text}");
    let kept = place.kept().await;
    let last = kept.last().unwrap();
    assert!(
        last.sensor.is_some()
            && last.set_point.is_some()
            && last.duty.is_some_and(|d| d <= 1.0)
            && last.meter.is_some(),
        "{last:?}"
    );
    // Gone for a while, it is missed; and it was never asked for anything but registers.
    let beyond = controller.end();
    assert_eq!(beyond, "");
    until(30, "that it is gone is said", async || {
        let text = page(&served, &cookie, "/firings/0001/watch");
        text.contains("the source cannot be reached").then_some(())
    })
    .await;
}
