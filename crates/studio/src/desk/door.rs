//! Signing in and out.

use argon2::Argon2;
use argon2::password_hash::phc::PasswordHash;
use argon2::password_hash::{PasswordHasher, PasswordVerifier};
use glost_model::book::Person;
use glost_store::{Pass, PassUse, digest, new_secret};
use jiff::{Timestamp, ToSpan};
use tokio::sync::Semaphore;

use super::{Desk, DeskError};

/// A session ends so long after it was used last.
pub const SESSION: jiff::SignedDuration = jiff::SignedDuration::from_hours(24 * 14);
/// It is written down at most this often that a session is in use.
const SEEN_EVERY: jiff::SignedDuration = jiff::SignedDuration::from_mins(10);
/// Fewest letters of a password (the least of NIST SP 800-63B, section 5.1.1.1).
const LEAST_PASSWORD: usize = 8;
/// Most bytes of a password: enough for a long sentence.
const MOST_PASSWORD: usize = 256;
/// Most letters of a name.
pub const MOST_NAME: usize = 60;

/// Somebody who has signed in.
#[derive(Debug, Clone)]
pub struct SignedIn {
    /// Who.
    pub person: Person,
    /// Digest that names the session.
    pub session: String,
}

impl Desk {
    /// Signs a person in; answers the secret of the session.
    ///
    /// # Errors
    /// [`DeskError::WrongPassword`], which does not tell whether there is such a name.
    pub async fn sign_in(
        &self,
        name: &str,
        password: &str,
        agent: &str,
        now: Timestamp,
    ) -> Result<String, DeskError> {
        let login = self.store.login(name).await?;
        let known = login.is_some();
        // A name that nobody has takes as long as one with a wrong password.
        let secret = login
            .as_ref()
            .map_or_else(nobodys_secret, |l| l.secret.clone());
        let fits = verify(password, secret).await?;
        let Some(login) = login.filter(|_| known && fits) else {
            return Err(DeskError::WrongPassword);
        };
        self.new_session(&login.person, agent, now).await
    }

    /// Begins a session of a person who has shown who they are.
    ///
    /// # Errors
    /// Of the store.
    pub async fn new_session(
        &self,
        person: &str,
        agent: &str,
        now: Timestamp,
    ) -> Result<String, DeskError> {
        let secret = new_secret()?;
        let pass = Pass {
            digest: digest(&secret),
            person: person.to_owned(),
            label: agent.chars().take(120).collect(),
            grants: String::new(),
            made: now,
            seen: now,
            ends: after(now, SESSION),
        };
        self.store.add_pass(PassUse::Session, &pass).await?;
        Ok(secret)
    }

    /// Who is behind a session's secret; nobody when it is over or its person was put away.
    ///
    /// # Errors
    /// Of the store.
    pub async fn who(&self, secret: &str, now: Timestamp) -> Result<Option<SignedIn>, DeskError> {
        self.who_by(PassUse::Session, secret, now).await
    }

    /// The same for another kind of pass.
    ///
    /// # Errors
    /// Of the store.
    pub async fn who_by(
        &self,
        usage: PassUse,
        secret: &str,
        now: Timestamp,
    ) -> Result<Option<SignedIn>, DeskError> {
        let Some(pass) = self.store.pass(usage, secret, now).await? else {
            return Ok(None);
        };
        let person = self.store.find::<Person>(&pass.person).await?;
        let Some(person) = person.filter(|p| p.archived.is_none()) else {
            return Ok(None);
        };
        if now.duration_since(pass.seen) > SEEN_EVERY {
            let ends = match usage {
                PassUse::Session => after(now, SESSION),
                _ => pass.ends,
            };
            self.store.seen(&pass.digest, now, ends).await?;
        }
        Ok(Some(SignedIn {
            person: person.body,
            session: pass.digest,
        }))
    }
}

/// A later moment; the end of time when there is none.
pub(super) fn after(now: Timestamp, by: jiff::SignedDuration) -> Timestamp {
    now.checked_add(by).unwrap_or(Timestamp::MAX)
}

/// Checks a new password.
pub(super) fn password_fault(password: &str, name: &str) -> Option<(String, &'static str)> {
    if password.chars().count() < LEAST_PASSWORD {
        return Some((
            format!("the password has fewer than {LEAST_PASSWORD} letters"),
            "Take a sentence or four words that only you would put together",
        ));
    }
    if password.len() > MOST_PASSWORD {
        return Some((
            format!("the password has more than {MOST_PASSWORD} bytes"),
            "Take a shorter one",
        ));
    }
    let plain = password.to_lowercase();
    let one_letter = plain
        .chars()
        .collect::<std::collections::BTreeSet<_>>()
        .len()
        < 4;
    if one_letter || plain == name.to_lowercase() || COMMON.contains(&plain.as_str()) {
        return Some((
            "the password is one that is guessed first".to_owned(),
            "Take a sentence or four words that only you would put together",
        ));
    }
    None
}

/// Guessed first everywhere; from memory, no source.
const COMMON: [&str; 12] = [
    "password",
    "password1",
    "passw0rd",
    "12345678",
    "123456789",
    "1234567890",
    "qwertyui",
    "qwerty123",
    "iloveyou",
    "letmein1",
    "pottery1",
    "abcd1234",
];

/// So many digests are worked out at once: each takes 19 MB and a core, and anybody may ask for one.
static AT_ONCE: Semaphore = Semaphore::const_new(4);

/// The digest of a password, made where it does not hold up others.
pub(super) async fn hash(password: &str) -> Result<String, DeskError> {
    let _turn = AT_ONCE.acquire().await;
    let password = password.to_owned();
    let made = tokio::task::spawn_blocking(move || {
        Argon2::default()
            .hash_password(password.as_bytes())
            .map(|h| h.to_string())
            .map_err(|e| e.to_string())
    })
    .await;
    match made {
        Ok(Ok(hash)) => Ok(hash),
        Ok(Err(e)) => Err(DeskError::Machine(format!(
            "the password cannot be digested: {e}"
        ))),
        Err(e) => Err(DeskError::Machine(e.to_string())),
    }
}

async fn verify(password: &str, secret: String) -> Result<bool, DeskError> {
    if password.len() > MOST_PASSWORD {
        return Ok(false);
    }
    let password = password.to_owned();
    let _turn = AT_ONCE.acquire().await;
    tokio::task::spawn_blocking(move || {
        let hash = PasswordHash::new(&secret).map_err(|e| DeskError::Machine(e.to_string()))?;
        Ok(Argon2::default()
            .verify_password(password.as_bytes(), &hash)
            .is_ok())
    })
    .await
    .map_err(|e| DeskError::Machine(e.to_string()))?
}

/// A digest of nothing that anybody has, by the usual parameters.
fn nobodys_secret() -> String {
    "$argon2id$v=19$m=19456,t=2,p=1$Z2xvc3RnbG9zdGdsb3N0$mVKq0M2w0Ic4o6p2mFUqJmO3zZg2o0u1Qy6x3z4t5uU".to_owned()
}

impl Desk {
    /// Changes one's own password; all other sessions end.
    ///
    /// # Errors
    /// [`DeskError::WrongPassword`], or what is wrong with the new one.
    pub async fn change_password(
        &self,
        who: &SignedIn,
        old: &str,
        new: &str,
        now: Timestamp,
    ) -> Result<(), DeskError> {
        let Some((name, login)) = self.store.login_of(&who.person.id).await? else {
            return Err(DeskError::WrongPassword);
        };
        if !verify(old, login.secret).await? {
            return Err(DeskError::WrongPassword);
        }
        if let Some((what, remedy)) = password_fault(new, &name) {
            return Err(DeskError::field("password", what, remedy));
        }
        let secret = hash(new).await?;
        let by = glost_store::By {
            who: &who.person.id,
            at: now,
        };
        let mut turn = self.store.turn(by, "change their password").await?;
        turn.set_login(&who.person.id, &name, &secret).await?;
        turn.commit().await?;
        self.store
            .end_sessions(&who.person.id, &who.session)
            .await?;
        Ok(())
    }

    /// A pass for a program or a calendar; answers its secret, which is shown once.
    ///
    /// # Errors
    /// Of the store.
    pub async fn new_token(
        &self,
        usage: PassUse,
        person: &Person,
        label: &str,
        now: Timestamp,
    ) -> Result<String, DeskError> {
        let secret = new_secret()?;
        let pass = Pass {
            digest: digest(&secret),
            person: person.id.clone(),
            label: label.chars().take(80).collect(),
            grants: person.role.word().to_owned(),
            made: now,
            seen: now,
            ends: now
                .checked_add((24 * 366 * 2).hours())
                .unwrap_or(Timestamp::MAX),
        };
        self.store.add_pass(usage, &pass).await?;
        Ok(secret)
    }
}
