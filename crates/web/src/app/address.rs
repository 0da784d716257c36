//! Where a request comes from.

use std::net::{IpAddr, SocketAddr};

use axum::extract::{ConnectInfo, FromRequestParts};
use axum::http::request::Parts;

use super::{App, Trouble};

/// The address of whoever asks, as limits count by it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Address(pub String);

impl FromRequestParts<App> for Address {
    type Rejection = Trouble;
    async fn from_request_parts(parts: &mut Parts, app: &App) -> Result<Self, Trouble> {
        let peer = ConnectInfo::<SocketAddr>::from_request_parts(parts, app).await;
        let peer = peer.map_or(IpAddr::from([0, 0, 0, 0]), |p| p.0.ip());
        let told = parts.headers.get_all("x-forwarded-for").iter().next_back();
        let told = told.and_then(|v| v.to_str().ok());
        Ok(Self(of(peer, told, app.secure)))
    }
}

/// Behind a proxy of one's own every request comes from the proxy, which tells at the end of `X-Forwarded-For` whom it
/// heard. Without one that head is somebody's own invention.
fn of(peer: IpAddr, told: Option<&str>, proxied: bool) -> String {
    let told = told.and_then(|t| t.rsplit(',').next()?.trim().parse().ok());
    match told.filter(|_| proxied && near(peer)) {
        Some(ip) => net(ip),
        None => net(peer),
    }
}

/// Whether a proxy of the studio's own may be there.
fn near(ip: IpAddr) -> bool {
    match ip.to_canonical() {
        IpAddr::V4(ip) => ip.is_loopback() || ip.is_private(),
        IpAddr::V6(ip) => ip.is_loopback() || ip.is_unique_local(),
    }
}

/// A household has one address of version 4, and 2^64 of version 6.
fn net(ip: IpAddr) -> String {
    match ip.to_canonical() {
        IpAddr::V4(ip) => ip.to_string(),
        IpAddr::V6(ip) => ip
            .segments()
            .iter()
            .take(4)
            .map(|s| format!("{s:x}:"))
            .collect(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_a_proxy_tells_from_where() {
        let at = |peer: &str, told: Option<&str>, proxied| of(peer.parse().unwrap(), told, proxied);
        assert_eq!(at("127.0.0.1", Some("203.0.113.9"), true), "203.0.113.9");
        assert_eq!(
            at("127.0.0.1", Some("198.51.100.1, 203.0.113.9"), true),
            "203.0.113.9"
        );
        assert_eq!(at("127.0.0.1", Some("203.0.113.9"), false), "127.0.0.1");
        assert_eq!(at("203.0.113.7", Some("203.0.113.9"), true), "203.0.113.7");
        assert_eq!(at("10.0.0.2", Some("nonsense"), true), "10.0.0.2");
        assert_eq!(
            at("2001:db8:1:2:3::4", None, false),
            at("2001:db8:1:2:9::9", None, false)
        );
        assert_eq!(
            at("::ffff:10.0.0.2", Some("203.0.113.9"), true),
            "203.0.113.9"
        );
    }
}
