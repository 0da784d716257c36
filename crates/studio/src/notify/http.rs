//! A client of HTTP that follows nothing: what is sent goes to the address that was set and nowhere else.

use std::sync::Arc;

use http_body_util::Full;
use hyper::body::Bytes;
use hyper_rustls::{HttpsConnector, HttpsConnectorBuilder};
use hyper_util::client::legacy::Client;
use hyper_util::client::legacy::connect::HttpConnector;
use hyper_util::rt::TokioExecutor;
use rustls::{ClientConfig, RootCertStore};

use super::NotTold;

/// Speaks HTTP, and HTTPS by the certificates that the machine trusts.
pub type Http = Client<HttpsConnector<HttpConnector>, Full<Bytes>>;

/// A client; for plain HTTP it trusts no certificate, so that it works on a machine that has none.
///
/// # Errors
/// When the machine has no certificates to trust and the address asks for them.
pub fn client(https: bool) -> Result<Http, NotTold> {
    let fail = |e: &dyn std::fmt::Display| {
        NotTold::new(
            format!("no safe connection can be made from this machine: {e}"),
            "Install the certificates of the system, as the package ca-certificates",
        )
    };
    let provider = Arc::new(rustls::crypto::ring::default_provider());
    let connector = if https {
        HttpsConnectorBuilder::new()
            .with_provider_and_native_roots(provider)
            .map_err(|e| fail(&e))?
            .https_only()
            .enable_http1()
            .build()
    } else {
        let nothing = ClientConfig::builder_with_provider(provider)
            .with_safe_default_protocol_versions()
            .map_err(|e| fail(&e))?
            .with_root_certificates(RootCertStore::empty())
            .with_no_client_auth();
        HttpsConnectorBuilder::new()
            .with_tls_config(nothing)
            .https_or_http()
            .enable_http1()
            .build()
    };
    Ok(Client::builder(TokioExecutor::new()).build(connector))
}
