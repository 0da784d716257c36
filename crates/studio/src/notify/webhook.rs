//! Telling a program of the studio by HTTP: `POST` of one JSON object.

use std::fmt::Write as _;

use glost_model::book::Webhook;
use glost_model::book::ways::SECRET;
use hmac::{Hmac, KeyInit, Mac};
use http_body_util::Full;
use hyper::body::Bytes;
use hyper::{Method, Request, Uri};
use sha2::Sha256;

use super::http::{Http, client};
use super::{Message, NotTold, Secret, Secrets, Telling, Way};

/// Head that bears the signature of the body.
pub const SIGNATURE: &str = "glost-signature";

/// A program that takes notices by HTTP.
#[derive(Debug)]
pub struct WebhookWay {
    url: Uri,
    secret: Option<Secret>,
    http: Http,
}

impl WebhookWay {
    /// As the studio set it.
    ///
    /// # Errors
    /// When a secret is not set, or an address is none.
    pub fn new(set: &Webhook, secrets: Secrets) -> Result<Self, NotTold> {
        let url = if set.url.starts_with(SECRET) {
            Secret::find(&set.url, secrets)?
        } else {
            Secret::new(&set.url)
        };
        let parsed = url.value().parse::<Uri>().ok();
        let known =
            |u: &Uri| matches!(u.scheme_str(), Some("http" | "https")) && u.host().is_some();
        let url = parsed.filter(known).ok_or_else(|| {
            NotTold::new(
                "the address of the webhook is none",
                "Write it as https://host/path in the settings of the studio or in the variable named there",
            )
        })?;
        Ok(Self {
            http: client(url.scheme_str() == Some("https"))?,
            secret: Secret::maybe(set.secret.as_deref(), secrets)?,
            url,
        })
    }

    async fn post(&self, message: &Message) -> Result<(), NotTold> {
        // Its path may be a secret: only the host is told.
        let host = self.url.host().unwrap_or("").to_owned();
        let body = message.json().to_string();
        let mut request = Request::builder()
            .method(Method::POST)
            .uri(self.url.clone())
            .header("content-type", "application/json")
            .header("user-agent", "glost");
        if let Some(secret) = &self.secret {
            request = request.header(SIGNATURE, signature(secret, body.as_bytes()));
        }
        let request = request.body(Full::new(Bytes::from(body))).map_err(|e| {
            NotTold::new(
                format!("the message cannot be sent: {e}"),
                "Look at the address",
            )
        })?;
        let answer = self.http.request(request).await.map_err(|e| {
            NotTold::new(
                format!("{host} cannot be reached: {}", causes(&e)),
                "See that the program there runs and that the address is right",
            )
        })?;
        if answer.status().is_success() {
            return Ok(());
        }
        Err(NotTold::new(
            format!("{host} answers {}", answer.status()),
            "Look at the program there; a redirect is not followed",
        ))
    }
}

impl Way for WebhookWay {
    fn tell<'a>(&'a self, message: &'a Message) -> Telling<'a> {
        Box::pin(self.post(message))
    }
}

/// An error with what brought it about.
fn causes(e: &dyn std::error::Error) -> String {
    let mut text = e.to_string();
    let mut next = e.source();
    while let Some(cause) = next {
        text += &format!(": {cause}");
        next = cause.source();
    }
    text
}

/// `sha256=` and the HMAC-SHA256 (RFC 2104, FIPS 198-1) of a body in hexadecimal.
pub fn signature(secret: &Secret, body: &[u8]) -> String {
    let mut out = String::from("sha256=");
    // A key may be of any length.
    if let Ok(mut mac) = Hmac::<Sha256>::new_from_slice(secret.value().as_bytes()) {
        mac.update(body);
        for byte in mac.finalize().into_bytes() {
            // Writing to a text never fails.
            write!(out, "{byte:02x}").ok();
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    /// RFC 4231, test case 2.
    #[test]
    fn a_signature_is_that_of_the_standard() {
        let made = signature(&Secret::new("Jefe"), b"what do ya want for nothing?");
        assert_eq!(
            made,
            "sha256=5bdcc146bf60754e6a042426089575c75a003f089d2739839dec58b964ec3843"
        );
    }

    #[test]
    fn a_secret_is_found_by_its_name_and_shown_nowhere() {
        let secrets: Secrets = |n| match n {
            "GLOST_SECRET_HOOK" => Some("https://moor.example/very-secret".to_owned()),
            _ => Some("of another program".to_owned()),
        };
        let way = |url: &str| {
            WebhookWay::new(
                &Webhook {
                    url: url.into(),
                    secret: Some("GLOST_SECRET_HOOK".into()),
                },
                secrets,
            )
        };
        let shown = format!("{:?}", way("http://localhost/"));
        assert!(!shown.contains("very-secret"), "{shown}");
        assert!(Secret::find("GLOST_STORE", secrets).is_err());
    }
}
