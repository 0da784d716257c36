//! `glost figures studio`: how quickly pages answer in a large studio.

mod lit;
mod mix;

use std::collections::BTreeMap;
use std::net::{Ipv4Addr, SocketAddr};
use std::process::ExitCode;
use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::{Duration, Instant};

use glost_store::Store;
use glost_studio::desk::Desk;
use glost_studio::desk::seed::DEMO_PASSWORD;
use glost_studio::figures::{Size, fill};
use glost_studio::{demo_texts, open_texts};
use glost_web::{App, serve_app};

use lit::{Lit, light};
use mix::{FLOOR, MIX, Sent};

use crate::clock;
use crate::command::serve::{logs_in, runtime};
use crate::say::{Trouble, answer};

/// Measure how quickly pages answer: 20,000 pieces, 1,500 firings, 50 clients on the loopback address. Server and
/// clients share this machine's cores.
#[derive(Debug, clap::Args)]
pub struct Studio {
    /// Pieces in the book.
    #[arg(long, default_value_t = 20_000)]
    pieces: u32,
    /// Firings in the book.
    #[arg(long, default_value_t = 1_500)]
    firings: u32,
    /// Clients at once.
    #[arg(long, default_value_t = 50)]
    clients: usize,
    /// Requests of each client.
    #[arg(long, default_value_t = 100)]
    requests: usize,
    /// Milliseconds that a client looks at a page before it asks for the next; 0: none, which measures what the
    /// machine can do at most.
    #[arg(long, default_value_t = 1_000)]
    look: u64,
    /// A server of PostgreSQL to measure as well, as postgres://user@host/name: a database of its own is made there.
    #[arg(long, env = "GLOST_TEST_POSTGRES")]
    postgres: Option<String>,
    /// Seed of the book.
    #[arg(long, default_value_t = 1)]
    seed: u64,
}

/// Kinds of what is sent.
const FORM: &str = "application/x-www-form-urlencoded";
const JSON: &str = "application/json";
/// Wanted of every page.
const WANTED: Duration = Duration::from_millis(50);

impl Studio {
    pub fn run(self) -> Result<ExitCode, Trouble> {
        let folder = tempfile::tempdir().map_err(|e| Trouble::Words(e.to_string()))?;
        let file = folder.path().join("studio.db").display().to_string();
        let mut good = self.measure("SQLite", &file)?;
        if let Some(server) = &self.postgres {
            let place = runtime()?.block_on(new_database(server))?;
            good &= self.measure("PostgreSQL", &place)?;
        }
        Ok(if good {
            ExitCode::SUCCESS
        } else {
            ExitCode::FAILURE
        })
    }

    fn measure(&self, name: &str, place: &str) -> Result<bool, Trouble> {
        let run = runtime()?;
        let words = |e: &dyn std::fmt::Display| Trouble::Words(e.to_string());
        let logs = tempfile::tempdir().map_err(|e| words(&e))?;
        let (app, lit) = run.block_on(async {
            let store = Store::open(place).await.map_err(|e| words(&e))?;
            let desk = Desk::new(store, std::env::temp_dir());
            let (studio, _) = open_texts(&demo_texts()).map_err(Trouble::Input)?;
            let size = Size {
                pieces: self.pieces,
                firings: self.firings,
            };
            fill(&desk, &studio, size, clock::instant(), self.seed)
                .await
                .map_err(|e| words(&e))?;
            let logs = logs_in(logs.path())?;
            let lit = light(&desk, logs).await.map_err(|e| words(&e))?;
            Ok::<_, Trouble>((App::new(desk, clock::instant), lit))
        })?;
        let times = run.block_on(async {
            let (tell, hear) = tokio::sync::oneshot::channel();
            let bind = SocketAddr::from((Ipv4Addr::LOCALHOST, 0));
            let served = tokio::spawn(serve_app(app, bind, move |at| _ = tell.send(at)));
            let at = hear.await.map_err(|e| words(&e))?;
            // The clients have threads of their own, as they would have machines.
            let (clients, requests, look, firings) =
                (self.clients, self.requests, self.look, self.firings);
            let times =
                std::thread::spawn(move || clients_of(at, clients, requests, look, firings, lit))
                    .join();
            served.abort();
            times.map_err(|_panic| Trouble::Words("the clients broke down".to_owned()))?
        })?;
        Ok(told(name, self, &times))
    }
}

/// Times by page; an answer that is no page counts as a fault.
struct Times {
    by_page: BTreeMap<&'static str, Vec<Duration>>,
    faults: Vec<String>,
    took: Duration,
}

#[tokio::main(flavor = "current_thread")]
async fn clients_of(
    at: SocketAddr,
    clients: usize,
    requests: usize,
    look: u64,
    firings: u32,
    mut lit: Lit,
) -> Result<Times, Trouble> {
    let words = |e: reqwest::Error| Trouble::Words(e.to_string());
    let mut cookies = BTreeMap::new();
    for who in ["nia", "wen", "ilse"] {
        let client = client()?;
        let form = [("login", who), ("password", DEMO_PASSWORD), ("to", "/")];
        let answer = client
            .post(format!("http://{at}/enter"))
            .form(&form)
            .send()
            .await
            .map_err(words)?;
        let cookie = answer
            .headers()
            .get("set-cookie")
            .and_then(|c| c.to_str().ok())
            .unwrap_or("");
        cookies.insert(who, cookie.split(';').next().unwrap_or("").to_owned());
    }
    lit.calendar = calendar(at, cookies.get("nia").map_or("", String::as_str)).await?;
    let (cookies, lit) = (Arc::new(cookies), Arc::new(lit));
    let next = Arc::new(AtomicUsize::new(0));
    let all = clients * requests;
    let began = Instant::now();
    let hands: Vec<_> = (0..clients)
        .map(|c| {
            let (cookies, next, lit) = (Arc::clone(&cookies), Arc::clone(&next), Arc::clone(&lit));
            tokio::spawn(async move {
                let client = client()?;
                let mut times = Vec::new();
                // People do not all begin at once.
                tokio::time::sleep(Duration::from_millis(look * c as u64 / clients as u64)).await;
                loop {
                    let n = next.fetch_add(1, Ordering::Relaxed);
                    if n >= all {
                        return Ok::<_, Trouble>(times);
                    }
                    let (who, page, sent) = MIX[n % MIX.len()];
                    let path = mix::path(page, n, firings, &lit);
                    let cookie = cookies.get(who).map_or("", String::as_str);
                    let since = Instant::now();
                    let url = format!("http://{at}{path}");
                    let ask = match sent {
                        Sent::Nothing => client.get(url),
                        Sent::Form(text) => {
                            client.post(url).header("content-type", FORM).body(text)
                        }
                        Sent::Json(text) => {
                            client.post(url).header("content-type", JSON).body(text)
                        }
                    };
                    let ask = ask
                        .header("cookie", cookie)
                        .header("sec-fetch-site", "same-origin");
                    let answer = ask.send().await.map_err(words)?;
                    let status = answer.status();
                    let bytes = answer.bytes().await.map_err(words)?;
                    let took = since.elapsed();
                    let good = match sent {
                        Sent::Form(_) => status == 303,
                        Sent::Nothing | Sent::Json(_) => status == 200 && !bytes.is_empty(),
                    };
                    times.push((page, took, (!good).then(|| format!("{path}: {status}"))));
                    tokio::time::sleep(Duration::from_millis(look)).await;
                }
            })
        })
        .collect();
    let mut times = Times {
        by_page: BTreeMap::new(),
        faults: Vec::new(),
        took: Duration::ZERO,
    };
    for hand in hands {
        let made = hand.await.map_err(|e| Trouble::Words(e.to_string()))??;
        for (page, took, fault) in made {
            times.by_page.entry(page).or_default().push(took);
            times.faults.extend(fault);
        }
    }
    times.took = began.elapsed();
    Ok(times)
}

/// The path of a calendar, which its page tells once.
async fn calendar(at: SocketAddr, cookie: &str) -> Result<String, Trouble> {
    let words = |e: reqwest::Error| Trouble::Words(e.to_string());
    let ask = client()?.post(format!("http://{at}/me/calendar"));
    let ask = ask.header("cookie", cookie).header("content-type", FORM);
    let answer = ask.header("sec-fetch-site", "same-origin").send().await;
    let page = answer.map_err(words)?.text().await.map_err(words)?;
    let path = page.find("/calendar/").map(|from| {
        let end = |c: char| c.is_whitespace() || matches!(c, '"' | '<' | '&');
        page[from..]
            .split(end)
            .next()
            .unwrap_or_default()
            .to_owned()
    });
    path.ok_or_else(|| Trouble::Words("no link of a calendar was made".to_owned()))
}

fn client() -> Result<reqwest::Client, Trouble> {
    let client = reqwest::Client::builder().redirect(reqwest::redirect::Policy::none());
    client.build().map_err(|e| Trouble::Words(e.to_string()))
}

/// Of sorted times the one that so many in a hundred do not exceed.
fn of_hundred(sorted: &[Duration], percent: usize) -> Duration {
    let at = (sorted.len() * percent).div_ceil(100).saturating_sub(1);
    sorted.get(at).copied().unwrap_or_default()
}

fn told(name: &str, ask: &Studio, times: &Times) -> bool {
    let ms = |d: Duration| d.as_secs_f64() * 1e3;
    let build = if cfg!(debug_assertions) {
        "a development build"
    } else {
        "a release build"
    };
    answer(&format!(
        "{name}, {build}: {} pieces, {} firings, {} clients, each looking {} ms at a page; {:.0} answers a second",
        ask.pieces,
        ask.firings,
        ask.clients,
        ask.look,
        times.by_page.values().map(Vec::len).sum::<usize>() as f64 / times.took.as_secs_f64()
    ));
    answer("page                                  answers  median  99 of 100    worst  (ms)");
    let floor = times.by_page.get(FLOOR).map_or(Duration::ZERO, |t| {
        let mut t = t.clone();
        t.sort_unstable();
        of_hundred(&t, 50)
    });
    let mut all = Vec::new();
    for (page, taken) in &times.by_page {
        let mut taken = taken.clone();
        taken.sort_unstable();
        let worst = taken.last().copied().unwrap_or_default();
        answer(&format!(
            "{page:<36} {:>8} {:>7.1} {:>10.1} {:>8.1}",
            taken.len(),
            ms(of_hundred(&taken, 50)),
            ms(of_hundred(&taken, 99)),
            ms(worst)
        ));
        if *page != FLOOR {
            all.extend(taken);
        }
    }
    all.sort_unstable();
    let (middle, late) = (of_hundred(&all, 50), of_hundred(&all, 99));
    let reached = late <= WANTED && times.faults.is_empty();
    answer(&format!(
        "all pages: median {:.1} ms, 99 of 100 within {:.1} ms (wanted: {:.0} ms, {}); the median is {:.1} times that of a file of the program",
        ms(middle),
        ms(late),
        ms(WANTED),
        if reached { "reached" } else { "NOT reached" },
        if floor.is_zero() {
            0.0
        } else {
            ms(middle) / ms(floor)
        }
    ));
    for fault in times.faults.iter().take(5) {
        answer(&format!("no page: {fault}"));
    }
    reached
}

pub(super) async fn new_database(server: &str) -> Result<String, Trouble> {
    let words = |e: sqlx::Error| Trouble::Words(format!("PostgreSQL: {e}"));
    sqlx::any::install_default_drivers();
    let secret = glost_store::new_secret().map_err(|e| Trouble::Words(e.to_string()))?;
    let name: String = format!("glost_{secret}").chars().take(22).collect();
    let pool = sqlx::AnyPool::connect(server).await.map_err(words)?;
    sqlx::query(sqlx::AssertSqlSafe(format!("CREATE DATABASE {name}")))
        .execute(&pool)
        .await
        .map_err(words)?;
    let (head, _) = server.rsplit_once('/').unwrap_or((server, ""));
    Ok(format!("{head}/{name}"))
}
