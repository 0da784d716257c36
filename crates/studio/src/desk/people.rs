//! People: invite, join, change, put away.

use std::collections::BTreeMap;

use glost_model::book::{Act, Person, Role, Wish};
use glost_model::shown::Shown;
use glost_store::{Look, Pass, PassUse, digest, new_code, new_secret};
use jiff::{SignedDuration, Timestamp};

use super::door::{MOST_NAME, after, hash, password_fault};
use super::words::words;
use super::{Actor, Desk, DeskError};

/// Most letters of a mark.
const MOST_MARK: usize = 20;
/// Most letters of how to reach somebody.
const MOST_REACH: usize = 120;

/// An invitation lasts so long.
pub const INVITATION: SignedDuration = SignedDuration::from_hours(24 * 14);

/// What a person writes to join.
#[derive(Debug, Clone, Default)]
pub struct Joining {
    /// Name, as on slips.
    pub name: String,
    /// Name to sign in with.
    pub login: String,
    /// Password.
    pub password: String,
}

/// What is changed about a person.
#[derive(Debug, Clone, Default)]
pub struct PersonForm {
    /// Name.
    pub name: String,
    /// Role; left alone when the actor may not set it.
    pub role: Option<Role>,
    /// Class or group.
    pub class: String,
    /// Mark on the foot.
    pub mark: String,
    /// How to reach them.
    pub reach: String,
    /// Units they like; nothing leaves them alone.
    pub shown: Option<Shown>,
    /// What they want to be told of kilns; nothing leaves it alone.
    pub wish: Option<Wish>,
}

impl Desk {
    /// Names of everybody by id, those who were put away among them.
    ///
    /// # Errors
    /// Of the store.
    pub async fn names(&self) -> Result<BTreeMap<String, String>, DeskError> {
        let latest = self.store.latest_turn().await?;
        let read = async {
            let look = Look {
                archived: true,
                ..Look::default()
            };
            let all = self.store.list::<Person>(&look).await?;
            let people = all.into_iter().map(|p| (p.body.id, p.body.name));
            // What the program did by itself is told as its own.
            let program = (super::notice::PROGRAM.to_owned(), "Glost".to_owned());
            Ok(people.chain([program]).collect())
        };
        let names = self
            .names
            .get(latest, |was, _| *was == latest, read)
            .await?;
        Ok(BTreeMap::clone(&names))
    }

    /// Those who may load and fire, by name.
    ///
    /// # Errors
    /// Of the store.
    pub async fn who_fires(&self) -> Result<Vec<Person>, DeskError> {
        let roles: Vec<&str> = Role::ALL
            .iter()
            .filter(|r| r.may(Act::Fire))
            .map(|r| r.word())
            .collect();
        let look = Look {
            states: &roles,
            ..Look::default()
        };
        Ok(self
            .store
            .list::<Person>(&look)
            .await?
            .into_iter()
            .map(|k| k.body)
            .collect())
    }

    /// Makes a link by which one person can join; answers its secret. With `person`, for somebody who is in the book
    /// already: a maker without a sign-in, or one who has forgotten the password.
    ///
    /// # Errors
    /// [`DeskError::NotAllowed`].
    pub async fn invite(
        &self,
        actor: Actor<'_>,
        role: Role,
        person: Option<&str>,
        label: &str,
    ) -> Result<String, DeskError> {
        actor.must(Act::Govern)?;
        let secret = new_secret()?;
        let pass = Pass {
            digest: digest(&secret),
            person: person.unwrap_or("").to_owned(),
            label: label.chars().take(80).collect(),
            grants: role.word().to_owned(),
            made: actor.at,
            seen: actor.at,
            ends: after(actor.at, INVITATION),
        };
        self.store.add_pass(PassUse::Invitation, &pass).await?;
        Ok(secret)
    }

    /// The invitation of a secret.
    ///
    /// # Errors
    /// [`DeskError::Cannot`] when it was used or is over.
    pub async fn invitation(
        &self,
        secret: &str,
        now: Timestamp,
    ) -> Result<(Pass, Option<Person>), DeskError> {
        let pass = self
            .store
            .pass(PassUse::Invitation, secret, now)
            .await?
            .ok_or_else(over)?;
        let person = match pass.person.as_str() {
            "" => None,
            id => {
                let found = self.store.find::<Person>(id).await?;
                let here = found.filter(|k| k.archived.is_none());
                Some(here.ok_or_else(over)?.body)
            }
        };
        Ok((pass, person))
    }

    /// Joins by an invitation, which is used up. Answers the person.
    ///
    /// # Errors
    /// Faults of the form; [`DeskError::Cannot`] when somebody else has the sign-in name or the link is over.
    pub async fn join(
        &self,
        secret: &str,
        form: &Joining,
        now: Timestamp,
    ) -> Result<Person, DeskError> {
        let (pass, known) = self.invitation(secret, now).await?;
        check(form)?;
        let person = match known {
            Some(person) => person,
            None => Person {
                id: new_secret()?.chars().take(12).collect(),
                name: form.name.trim().to_owned(),
                role: Role::of_word(&pass.grants).unwrap_or(Role::Maker),
                class: None,
                mark: String::new(),
                reach: String::new(),
                shown: None,
                wish: Wish::default(),
            },
        };
        let password = hash(&form.password).await?;
        let by = glost_store::By {
            who: &person.id,
            at: now,
        };
        let mut turn = self.store.turn(by, "join").await?;
        if !turn.use_up(secret).await? {
            return Err(over());
        }
        if pass.person.is_empty() {
            turn.add(&person).await?;
        }
        taken(turn.set_login(&person.id, &form.login, &password).await)?;
        turn.commit().await?;
        // Whoever has a new password may have lost the old one to somebody.
        self.store.end_sessions(&person.id, "").await?;
        Ok(person)
    }

    /// Writes down a person who does not sign in, as a child of a class.
    ///
    /// # Errors
    /// [`DeskError::NotAllowed`], faults of the form.
    pub async fn add_person(
        &self,
        actor: Actor<'_>,
        form: &PersonForm,
    ) -> Result<(Person, i64), DeskError> {
        actor.must(Act::Govern)?;
        let person = Person {
            id: format!("{}{}", new_code()?, new_code()?).to_lowercase(),
            name: name(&form.name)?,
            role: form.role.unwrap_or(Role::Maker),
            class: class(&form.class)?,
            mark: words("mark", &form.mark, MOST_MARK)?,
            reach: words("reach", &form.reach, MOST_REACH)?,
            shown: None,
            wish: Wish::default(),
        };
        let mut turn = self
            .store
            .turn(actor.by(), &format!("write down {}", person.name))
            .await?;
        turn.add(&person).await?;
        Ok((person, turn.commit().await?))
    }

    /// Changes a person: their own mark, units and how to reach them, or all of it for a technician.
    ///
    /// # Errors
    /// [`DeskError::NotAllowed`], faults of the form; the last technician stays one.
    pub async fn change_person(
        &self,
        actor: Actor<'_>,
        id: &str,
        version: i64,
        form: &PersonForm,
    ) -> Result<i64, DeskError> {
        if actor.person.id != id {
            actor.must(Act::Govern)?;
        }
        let mut turn = self
            .store
            .turn(actor.by(), &format!("change {}", form.name.trim()))
            .await?;
        let mut person = turn.seen::<Person>(id, version).await?;
        person.mark = words("mark", &form.mark, MOST_MARK)?;
        person.reach = words("reach", &form.reach, MOST_REACH)?;
        person.shown = form.shown.or(person.shown);
        person.wish = form.wish.unwrap_or(person.wish);
        if actor.person.role.may(Act::Govern) {
            // Ware is given back by names, so nobody takes another's.
            person.name = name(&form.name)?;
            person.class = class(&form.class)?;
            let role = form.role.unwrap_or(person.role);
            if person.role == Role::Technician && role != Role::Technician {
                self.another_technician(id).await?;
            }
            person.role = role;
        }
        turn.put(&person, version).await?;
        Ok(turn.commit().await?)
    }

    /// Puts a person away: they can no longer sign in; their ware stays in the book.
    ///
    /// # Errors
    /// [`DeskError::NotAllowed`]; the last technician stays.
    pub async fn put_person_away(
        &self,
        actor: Actor<'_>,
        id: &str,
        version: i64,
    ) -> Result<i64, DeskError> {
        actor.must(Act::Govern)?;
        let mut turn = self.store.turn(actor.by(), "put a person away").await?;
        let person = turn.get::<Person>(id).await?.body;
        if person.role == Role::Technician {
            self.another_technician(id).await?;
        }
        turn.archive::<Person>(id, version, true).await?;
        turn.remove_login(id).await?;
        Ok(turn.commit().await?)
    }

    async fn another_technician(&self, but: &str) -> Result<(), DeskError> {
        let look = Look {
            states: &[Role::Technician.word()],
            ..Look::default()
        };
        for other in self.store.list::<Person>(&look).await? {
            if other.body.id != but && self.store.login_of(&other.body.id).await?.is_some() {
                return Ok(());
            }
        }
        Err(DeskError::cannot(
            "this is the only technician who can sign in",
            "Make somebody else a technician first",
        ))
    }
}

fn over() -> DeskError {
    DeskError::cannot(
        "this link was used already or is over",
        "Ask a technician of the studio for a new one",
    )
}

/// A sign-in name that another person has is a fault of the form.
pub(super) fn taken(done: Result<(), glost_store::StoreError>) -> Result<(), DeskError> {
    match done {
        Err(glost_store::StoreError::Taken { id, .. }) => Err(DeskError::field(
            "login",
            format!("somebody else signs in as '{id}'"),
            "Choose another name to sign in with",
        )),
        done => Ok(done?),
    }
}

pub(super) fn check(form: &Joining) -> Result<(), DeskError> {
    DeskError::together([
        name(&form.name).map(drop),
        login_of(&form.login),
        password_of(form),
    ])
}

fn login_of(login: &str) -> Result<(), DeskError> {
    let login = login.trim();
    let plain = |c: char| c.is_alphanumeric() || matches!(c, '.' | '-' | '_' | '@' | '+');
    if login.chars().count() < 2 || login.chars().count() > MOST_NAME || !login.chars().all(plain) {
        return Err(DeskError::field(
            "login",
            "the name to sign in with is empty, too long or has spaces in it",
            "Write two to sixty letters or digits, as a first name or an e-mail address",
        ));
    }
    Ok(())
}

fn password_of(form: &Joining) -> Result<(), DeskError> {
    match password_fault(&form.password, form.login.trim()) {
        Some((what, remedy)) => Err(DeskError::field("password", what, remedy)),
        None => Ok(()),
    }
}

fn name(text: &str) -> Result<String, DeskError> {
    let name = text.trim();
    if name.is_empty() || name.chars().count() > MOST_NAME || name.chars().any(char::is_control) {
        return Err(DeskError::field(
            "name",
            "the name is empty or too long",
            "Write the name as on slips, at most sixty letters",
        ));
    }
    Ok(name.to_owned())
}

fn class(text: &str) -> Result<Option<String>, DeskError> {
    let text = words("class", text, MOST_NAME)?;
    Ok((!text.is_empty()).then_some(text))
}
