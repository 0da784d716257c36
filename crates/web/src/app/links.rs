//! Addresses that are handed out: on labels, in calendars, to those who are invited.

use axum::http::HeaderMap;
use glost_model::book::Act;
use glost_model::book::ways::is_loopback;
use maud::{Markup, html};

use super::Visit;

/// Where people open these pages.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Links {
    base: String,
    /// The visitor can mend it.
    governs: bool,
}

impl Links {
    /// The studio's own setting, as its notices have it; without one, what the visitor's browser asked for.
    pub fn of(v: &Visit, headers: &HeaderMap) -> Self {
        let host = headers.get("host").and_then(|h| h.to_str().ok());
        Self {
            governs: v.may(Act::Govern),
            ..Self::told(&v.given.settings.ways.address, host, v.app.secure)
        }
    }

    fn told(address: &str, host: Option<&str>, secure: bool) -> Self {
        let address = address.trim().trim_end_matches('/');
        let scheme = if secure { "https" } else { "http" };
        let base = if address.is_empty() {
            format!("{scheme}://{}", host.unwrap_or("localhost"))
        } else {
            address.to_owned()
        };
        Self {
            base,
            governs: false,
        }
    }

    /// The whole address of a path that begins with `/`.
    pub fn to(&self, path: &str) -> String {
        format!("{}{path}", self.base)
    }

    /// No other machine can open it.
    fn is_here_only(&self) -> bool {
        let host = self.base.split_once("://").map_or("", |b| b.1);
        let host = host.split('/').next().unwrap_or("");
        let host = match host.strip_prefix('[') {
            Some(six) => six.split(']').next().unwrap_or(""),
            None => host.split(':').next().unwrap_or(""),
        };
        is_loopback(host)
    }

    /// A warning when a phone cannot open such an address.
    pub fn warning(&self) -> Markup {
        html! { @if self.is_here_only() { p.warn {
            "The address is " (self.base) ", which only this machine can open: no phone can. "
            @if self.governs { "Write down where people open these pages under " a href="/studio" { "Studio" } ", Notices of kilns." }
            @else { "Ask a technician to write down where people open these pages." }
        } } }
    }
}

#[cfg(test)]
mod tests {
    use super::Links;

    #[test]
    fn the_studios_own_address_goes_first() {
        let own = Links::told("https://kilns.example/", Some("127.0.0.1:8080"), false);
        assert_eq!(own.to("/ware/K7"), "https://kilns.example/ware/K7");
        assert!(!own.is_here_only());
        let asked = Links::told("", Some("kilns.local:8080"), true);
        assert_eq!(asked.to("/join/x"), "https://kilns.local:8080/join/x");
        assert!(!asked.is_here_only());
    }

    #[test]
    fn what_only_this_machine_opens_is_told() {
        for here in [
            "127.0.0.1:4321",
            "localhost:80",
            "[::1]:8080",
            "127.1.2.3",
            "localhost",
        ] {
            assert!(Links::told("", Some(here), false).is_here_only(), "{here}");
        }
        assert!(Links::told("http://localhost:8080/", Some("kilns.example"), true).is_here_only());
        for wide in ["192.168.1.20:8080", "[fd00::1]:80", "kilns.example"] {
            assert!(!Links::told("", Some(wide), false).is_here_only(), "{wide}");
        }
    }
}
