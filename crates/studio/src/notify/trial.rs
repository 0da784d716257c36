//! Trying whether a message comes: sent at once, kept nowhere.

use glost_model::book::{Act, Notice, NoticeKind, Person, Raised, Standing, WayKind};
use tokio::task::JoinSet;

use super::sender::{PATIENCE, way_of};
use super::{Message, NotTold, Secrets};
use crate::desk::{Actor, Desk, DeskError};

/// How a test went, way by way.
pub type Tried = Vec<(WayKind, Result<(), NotTold>)>;

impl Desk {
    /// Sends a test by these ways, all at once; e-mail goes to whoever asks for it.
    ///
    /// # Errors
    /// [`DeskError::NotAllowed`] for those who do not fire.
    pub async fn try_ways(
        &self,
        actor: Actor<'_>,
        kinds: &[WayKind],
        secrets: Secrets,
    ) -> Result<Tried, DeskError> {
        actor.must(Act::Fire)?;
        let given = self.given().await?;
        let mut message = Message::of(&example(actor.person, actor.at), &given.settings, actor.at);
        message.test = true;
        let mut under_way = JoinSet::new();
        let mut tried = Tried::new();
        for &kind in kinds {
            match way_of(kind, &given, actor.person.reach.trim(), secrets) {
                Err(e) => tried.push((kind, Err(e))),
                Ok(way) => {
                    let message = message.clone();
                    under_way.spawn(async move {
                        let told = tokio::time::timeout(PATIENCE, way.tell(&message)).await;
                        let late =
                            || Err(NotTold::new("no answer came", "See that the server runs"));
                        (kind, told.unwrap_or_else(|_| late()))
                    });
                }
            }
        }
        while let Some(done) = under_way.join_next().await {
            tried.push(done.map_err(|e| DeskError::Machine(e.to_string()))?);
        }
        tried.sort_by_key(|t| t.0);
        Ok(tried)
    }
}

fn example(person: &Person, at: jiff::Timestamp) -> Raised {
    Raised {
        id: format!("test-{}", at.as_second()),
        standing: Standing::Past,
        seen: Vec::new(),
        past: None,
        untold: true,
        notice: Notice {
            firing: String::new(),
            kiln: "No kiln".to_owned(),
            at,
            kind: NoticeKind::Alarm,
            about: "test".to_owned(),
            words: format!("{} tries whether notices come", person.name),
            what_to_do: "Nothing. Notices of kilns will come like this one.".to_owned(),
            urgent: false,
            grave: 0,
            link: Some("/notices".to_owned()),
        },
    }
}
