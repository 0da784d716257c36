//! PostgreSQL: a database of its own, and a server of its own that may be killed.

use std::path::{Path, PathBuf};
use std::process::Command;

/// A database of its own on the server that `scripts/test` starts.
pub async fn new_database() -> String {
    let server = std::env::var("GLOST_TEST_POSTGRES")
        .expect("this test needs a PostgreSQL server: run `bash scripts/test`, or set GLOST_TEST_POSTGRES to what `scripts/postgres start FOLDER` prints");
    sqlx::any::install_default_drivers();
    let name = format!("glost_{}", &glost_store::new_secret().unwrap()[..16]);
    let pool = sqlx::AnyPool::connect(&server).await.unwrap();
    let make = sqlx::AssertSqlSafe(format!("CREATE DATABASE {name}"));
    sqlx::query(make).execute(&pool).await.unwrap();
    pool.close().await;
    let (head, _) = server.rsplit_once('/').unwrap();
    format!("{head}/{name}")
}

/// A server of its own.
pub struct Cluster {
    folder: PathBuf,
    _keep: tempfile::TempDir,
    pub url: String,
}

impl Cluster {
    pub fn start() -> Self {
        let keep = tempfile::tempdir().unwrap();
        // The server runs as another user, who may pass through.
        let open = std::os::unix::fs::PermissionsExt::from_mode(0o755);
        std::fs::set_permissions(keep.path(), open).unwrap();
        let folder = keep.path().join("server");
        let url = script("start", &folder);
        Self {
            folder,
            _keep: keep,
            url,
        }
    }

    /// Kills it and all that it started, at once.
    pub fn kill_9(&self) {
        let pid = std::fs::read_to_string(self.folder.join("data/postmaster.pid")).unwrap();
        let pid = pid.lines().next().unwrap().trim().to_owned();
        let kill = format!(
            "children=$(pgrep -P {pid}); kill -9 {pid} $children; while kill -0 {pid} 2>/dev/null; do :; done; for c in $children; do while kill -0 $c 2>/dev/null; do :; done; done"
        );
        assert!(
            Command::new("bash")
                .args(["-c", &kill])
                .status()
                .unwrap()
                .success()
        );
    }

    /// Starts it again where it was.
    pub fn again(&self) {
        assert_eq!(script("again", &self.folder), self.url);
    }
}

impl Drop for Cluster {
    fn drop(&mut self) {
        script("stop", &self.folder);
    }
}

fn script(verb: &str, folder: &Path) -> String {
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../scripts/postgres");
    let run = Command::new("bash")
        .arg(script)
        .arg(verb)
        .arg(folder)
        .output()
        .unwrap();
    assert!(
        run.status.success(),
        "{}",
        String::from_utf8_lossy(&run.stderr)
    );
    String::from_utf8(run.stdout).unwrap().trim().to_owned()
}
