//! Who may come in: names with their secrets, and passes for a session, an invitation or a program.

use jiff::Timestamp;
use sha2::{Digest, Sha256};
use sqlx::Row;

use crate::record::instant;
use crate::{Store, StoreError, Turn};

/// What a pass is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PassUse {
    /// A person who has signed in.
    Session,
    /// A person who may join.
    Invitation,
    /// A program.
    Token,
    /// A calendar.
    Calendar,
}

impl PassUse {
    fn word(self) -> &'static str {
        match self {
            Self::Session => "session",
            Self::Invitation => "invitation",
            Self::Token => "token",
            Self::Calendar => "calendar",
        }
    }
}

/// A name with the digest of its secret.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Login {
    /// Id of the person.
    pub person: String,
    /// Digest of the password, in the PHC format.
    pub secret: String,
}

/// A pass.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pass {
    /// Digest of its secret, which also names it.
    pub digest: String,
    /// Whose.
    pub person: String,
    /// What its owner calls it.
    pub label: String,
    /// What it allows: a role, or a scope.
    pub grants: String,
    /// When it was made.
    pub made: Timestamp,
    /// When it was used last.
    pub seen: Timestamp,
    /// When it ends.
    pub ends: Timestamp,
}

/// A new secret: 32 bytes of the system's randomness in hexadecimal.
///
/// # Errors
/// When the system gives none.
pub fn new_secret() -> Result<String, getrandom::Error> {
    let mut bytes = [0u8; 32];
    getrandom::fill(&mut bytes)?;
    Ok(hex(&bytes))
}

/// Letters and digits that nobody takes for one another, in any handwriting.
const CLEAR: &[u8; 26] = b"23456789ACDEFGHJKMNPQRTWXY";

/// A new short code, to be written on a slip: four letters or digits that are not mixed up.
///
/// # Errors
/// When the system gives no randomness.
pub fn new_code() -> Result<String, getrandom::Error> {
    let mut code = String::new();
    while code.len() < 4 {
        let mut byte = [0u8; 1];
        getrandom::fill(&mut byte)?;
        // The same chance for each: what lies beyond the last full round is drawn again.
        let at = usize::from(byte[0]);
        if at < 256 / CLEAR.len() * CLEAR.len() {
            code.push(char::from(CLEAR[at % CLEAR.len()]));
        }
    }
    Ok(code)
}

/// The digest under which a secret is kept. Secrets are random and long, so that no slow digest is needed.
pub fn digest(secret: &str) -> String {
    hex(&Sha256::digest(secret.as_bytes()))
}

/// Bytes in hexadecimal.
pub(crate) fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|b| format!("{b:02x}")).collect()
}

const PASS: &str = "SELECT digest, person, label, grants, made, seen, ends FROM pass";

fn pass_row(row: &sqlx::any::AnyRow) -> Result<Pass, StoreError> {
    Ok(Pass {
        digest: row.try_get("digest")?,
        person: row.try_get("person")?,
        label: row.try_get("label")?,
        grants: row.try_get("grants")?,
        made: instant(row.try_get("made")?),
        seen: instant(row.try_get("seen")?),
        ends: instant(row.try_get("ends")?),
    })
}

impl Store {
    /// Whether anybody can sign in yet.
    ///
    /// # Errors
    /// [`StoreError::Sql`].
    pub async fn has_logins(&self) -> Result<bool, StoreError> {
        let row = sqlx::query("SELECT 1 FROM login LIMIT 1")
            .fetch_optional(&self.pool)
            .await?;
        Ok(row.is_some())
    }

    /// Whose name it is, in any case of letters.
    ///
    /// # Errors
    /// [`StoreError::Sql`].
    pub async fn login(&self, name: &str) -> Result<Option<Login>, StoreError> {
        let row = sqlx::query("SELECT person, secret FROM login WHERE name = $1")
            .bind(name.trim().to_lowercase())
            .fetch_optional(&self.pool)
            .await?;
        row.map(|r| {
            Ok(Login {
                person: r.try_get(0)?,
                secret: r.try_get(1)?,
            })
        })
        .transpose()
    }

    /// The name and the digest of a person who can sign in.
    ///
    /// # Errors
    /// [`StoreError::Sql`].
    pub async fn login_of(&self, person: &str) -> Result<Option<(String, Login)>, StoreError> {
        let row = sqlx::query("SELECT name, person, secret FROM login WHERE person = $1")
            .bind(person)
            .fetch_optional(&self.pool)
            .await?;
        row.map(|r| {
            let login = Login {
                person: r.try_get(1)?,
                secret: r.try_get(2)?,
            };
            Ok((r.try_get(0)?, login))
        })
        .transpose()
    }

    /// The pass of a secret, while it lasts.
    ///
    /// # Errors
    /// [`StoreError::Sql`].
    pub async fn pass(
        &self,
        usage: PassUse,
        secret: &str,
        now: Timestamp,
    ) -> Result<Option<Pass>, StoreError> {
        let sql = format!("{PASS} WHERE digest = $1 AND use = $2 AND ends > $3");
        let row = sqlx::query(sqlx::AssertSqlSafe(sql))
            .bind(digest(secret))
            .bind(usage.word())
            .bind(now.as_microsecond())
            .fetch_optional(&self.pool)
            .await?;
        row.as_ref().map(pass_row).transpose()
    }

    /// All passes of one use that last, of one person or of all.
    ///
    /// # Errors
    /// [`StoreError::Sql`].
    pub async fn passes(
        &self,
        usage: PassUse,
        person: Option<&str>,
        now: Timestamp,
    ) -> Result<Vec<Pass>, StoreError> {
        let sql = format!(
            "{PASS} WHERE use = $1 AND ($2 = '' OR person = $2) AND ends > $3 ORDER BY made DESC"
        );
        let rows = sqlx::query(sqlx::AssertSqlSafe(sql))
            .bind(usage.word())
            .bind(person.unwrap_or(""))
            .bind(now.as_microsecond())
            .fetch_all(&self.pool)
            .await?;
        rows.iter().map(pass_row).collect()
    }

    /// Notes that a pass was used.
    ///
    /// # Errors
    /// [`StoreError::Sql`].
    pub async fn seen(
        &self,
        digest: &str,
        at: Timestamp,
        ends: Timestamp,
    ) -> Result<(), StoreError> {
        sqlx::query("UPDATE pass SET seen = $2, ends = $3 WHERE digest = $1")
            .bind(digest)
            .bind(at.as_microsecond())
            .bind(ends.as_microsecond())
            .execute(&self.writer)
            .await?;
        Ok(())
    }

    /// Keeps a pass outside of any turn, as for a session.
    ///
    /// # Errors
    /// [`StoreError::Sql`].
    pub async fn add_pass(&self, usage: PassUse, pass: &Pass) -> Result<(), StoreError> {
        sqlx::query(
            "INSERT INTO pass (digest, use, person, label, grants, made, seen, ends) VALUES ($1, $2, $3, $4, $5, $6, $7, $8)",
        )
        .bind(&pass.digest)
        .bind(usage.word())
        .bind(&pass.person)
        .bind(&pass.label)
        .bind(&pass.grants)
        .bind(pass.made.as_microsecond())
        .bind(pass.seen.as_microsecond())
        .bind(pass.ends.as_microsecond())
        .execute(&self.writer)
        .await?;
        Ok(())
    }

    /// Ends a pass.
    ///
    /// # Errors
    /// [`StoreError::Sql`].
    pub async fn end_pass(&self, digest: &str) -> Result<(), StoreError> {
        sqlx::query("DELETE FROM pass WHERE digest = $1")
            .bind(digest)
            .execute(&self.writer)
            .await?;
        Ok(())
    }

    /// Ends every session of a person but one.
    ///
    /// # Errors
    /// [`StoreError::Sql`].
    pub async fn end_sessions(&self, person: &str, but: &str) -> Result<(), StoreError> {
        sqlx::query("DELETE FROM pass WHERE person = $1 AND use = 'session' AND digest <> $2")
            .bind(person)
            .bind(but)
            .execute(&self.writer)
            .await?;
        Ok(())
    }
}

impl Turn {
    /// Gives a person a name and a secret to sign in with, in place of the old ones.
    ///
    /// # Errors
    /// [`StoreError::Taken`] when another person has the name.
    pub async fn set_login(
        &mut self,
        person: &str,
        name: &str,
        secret: &str,
    ) -> Result<(), StoreError> {
        let name = name.trim().to_lowercase();
        let other = sqlx::query("SELECT 1 FROM login WHERE name = $1 AND person <> $2")
            .bind(&name)
            .bind(person)
            .fetch_optional(&mut *self.tx)
            .await?;
        if other.is_some() {
            return Err(StoreError::Taken {
                kind: "name".to_owned(),
                id: name,
            });
        }
        sqlx::query(
            "INSERT INTO login (person, name, secret) VALUES ($1, $2, $3)
             ON CONFLICT (person) DO UPDATE SET name = excluded.name, secret = excluded.secret",
        )
        .bind(person)
        .bind(name)
        .bind(secret)
        .execute(&mut *self.tx)
        .await?;
        Ok(())
    }

    /// Takes a person's sign-in away, with all passes.
    ///
    /// # Errors
    /// [`StoreError::Sql`].
    pub async fn remove_login(&mut self, person: &str) -> Result<(), StoreError> {
        for sql in [
            "DELETE FROM login WHERE person = $1",
            "DELETE FROM pass WHERE person = $1",
        ] {
            sqlx::query(sql).bind(person).execute(&mut *self.tx).await?;
        }
        Ok(())
    }

    /// Uses up an invitation; false when it is gone or over.
    ///
    /// # Errors
    /// [`StoreError::Sql`].
    pub async fn use_up(&mut self, secret: &str) -> Result<bool, StoreError> {
        let done =
            sqlx::query("DELETE FROM pass WHERE digest = $1 AND use = 'invitation' AND ends > $2")
                .bind(digest(secret))
                .bind(self.at.as_microsecond())
                .execute(&mut *self.tx)
                .await?;
        Ok(done.rows_affected() == 1)
    }
}
