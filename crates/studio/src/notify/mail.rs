//! Telling a person by e-mail, over SMTP.

use std::time::{Duration, SystemTime};

use glost_model::book::ways::{is_address, is_loopback};
use glost_model::book::{Mail, MailSafety};
use lettre::message::header::{
    ContentTransferEncoding, ContentType, Header, HeaderName, HeaderValue, MIME_VERSION_1_0,
};
use lettre::message::{Body, Mailbox};
use lettre::transport::smtp::authentication::Credentials;
use lettre::transport::smtp::client::{Tls, TlsParameters};
use lettre::{Address, AsyncSmtpTransport, AsyncTransport, Tokio1Executor};

use super::{Message, NotTold, Secret, Secrets, Telling, Way};

/// A command that is not answered for so long has failed.
const PATIENCE: Duration = Duration::from_secs(15);

/// The server that takes e-mail, and whom one message goes to.
#[derive(Debug)]
pub struct MailWay {
    server: AsyncSmtpTransport<Tokio1Executor>,
    host: String,
    from: String,
    to: String,
}

impl MailWay {
    /// As the studio set it, to one address.
    ///
    /// # Errors
    /// When an address is none, a secret is not set, or the connection would not be safe.
    pub fn new(set: &Mail, to: &str, secrets: Secrets) -> Result<Self, NotTold> {
        if !is_address(to) {
            return Err(NotTold::new(
                "there is no e-mail address to send it to",
                "Write one on the person's own page",
            ));
        }
        let safe = || {
            TlsParameters::new(set.host.clone()).map_err(|e| {
                NotTold::new(
                    format!("no safe connection can be made: {e}"),
                    "Look at the name of the mail server",
                )
            })
        };
        let tls = match set.safety {
            MailSafety::Tls => Tls::Wrapper(safe()?),
            MailSafety::StartTls => Tls::Required(safe()?),
            MailSafety::Plain if is_loopback(&set.host) => Tls::None,
            MailSafety::Plain => {
                return Err(NotTold::new(
                    format!("messages would go to {} for all to read", set.host),
                    "Choose STARTTLS or TLS in the settings of the studio",
                ));
            }
        };
        let mut server = AsyncSmtpTransport::<Tokio1Executor>::builder_dangerous(set.host.clone())
            .port(set.port)
            .timeout(Some(PATIENCE))
            .tls(tls);
        if !set.login.is_empty() {
            let password = Secret::maybe(set.secret.as_deref(), secrets)?;
            let password = password.as_ref().map_or("", Secret::value);
            server = server.credentials(Credentials::new(set.login.clone(), password.to_owned()));
        }
        Ok(Self {
            server: server.build(),
            host: set.host.clone(),
            from: set.from.clone(),
            to: to.to_owned(),
        })
    }

    async fn send(&self, message: &Message) -> Result<(), NotTold> {
        let letter = letter(message, &self.from, &self.to)?;
        match self.server.send(letter).await {
            Ok(_) => Ok(()),
            Err(e) => Err(NotTold::new(
                format!(
                    "the mail server {} did not take the message: {e}",
                    self.host
                ),
                if e.is_permanent() {
                    "Look at the addresses, and at name and password for the server"
                } else {
                    "See that it runs, and that host, port and safety are right"
                },
            )),
        }
    }
}

impl Way for MailWay {
    fn tell<'a>(&'a self, message: &'a Message) -> Telling<'a> {
        Box::pin(self.send(message))
    }
}

/// No program is to answer it (RFC 3834, section 5).
#[derive(Clone)]
struct AutoSubmitted;

impl Header for AutoSubmitted {
    fn name() -> HeaderName {
        HeaderName::new_from_ascii_str("Auto-Submitted")
    }
    fn parse(_: &str) -> Result<Self, Box<dyn std::error::Error + Send + Sync>> {
        Ok(Self)
    }
    fn display(&self) -> HeaderValue {
        HeaderValue::new(Self::name(), "auto-generated".to_owned())
    }
}

/// What is urgent says so (RFC 4021, section 2.1.48).
#[derive(Clone)]
struct Importance;

impl Header for Importance {
    fn name() -> HeaderName {
        HeaderName::new_from_ascii_str("Importance")
    }
    fn parse(_: &str) -> Result<Self, Box<dyn std::error::Error + Send + Sync>> {
        Ok(Self)
    }
    fn display(&self) -> HeaderValue {
        HeaderValue::new(Self::name(), "high".to_owned())
    }
}

/// A moment as the head `Date` is made from, to the second; none before 1970.
fn clock_time(at: jiff::Timestamp) -> SystemTime {
    let since = Duration::from_secs(u64::try_from(at.as_second()).unwrap_or(0));
    SystemTime::UNIX_EPOCH
        .checked_add(since)
        .unwrap_or(SystemTime::UNIX_EPOCH)
}

/// The message as an e-mail. Whatever the notice says, it is one line of the subject and the text below: no head and
/// no address comes from it.
///
/// # Errors
/// When an address is none.
pub fn letter(message: &Message, from: &str, to: &str) -> Result<lettre::Message, NotTold> {
    let mailbox = |name: Option<String>, text: &str| {
        text.parse::<Address>()
            .map(|a| Mailbox::new(name, a))
            .map_err(|_e| {
                NotTold::new(
                    "an address that e-mail is to go to or to come from is none",
                    "Write it as bea@studio.example",
                )
            })
    };
    let named = format!("{} kilns", message.studio);
    let domain = from.rsplit('@').next().filter(|d| d.is_ascii());
    let domain = domain.unwrap_or("localhost");
    // Each who gets it has an id of their own that does not tell who it is.
    let who: String = glost_store::digest(to).chars().take(16).collect();
    let mut head = lettre::Message::builder()
        .from(mailbox(Some(named), from)?)
        .to(mailbox(None, to)?)
        .subject(message.head())
        .date(clock_time(message.sent))
        // The same when it is sent again, so that it is known again.
        .message_id(Some(format!("<glost.{}.{who}@{domain}>", message.id)))
        .header(MIME_VERSION_1_0)
        .header(AutoSubmitted)
        .header(ContentType::TEXT_PLAIN);
    if message.notice.urgent {
        head = head.header(Importance);
    }
    let text = message.text();
    let body = Body::new_with_encoding(text, ContentTransferEncoding::QuotedPrintable).map_err(
        |_text| {
            NotTold::new(
                "the text cannot be written as e-mail",
                "Tell who looks after Glost",
            )
        },
    )?;
    head.body(body).map_err(|e| {
        NotTold::new(
            format!("the e-mail cannot be made: {e}"),
            "Look at the addresses",
        )
    })
}
