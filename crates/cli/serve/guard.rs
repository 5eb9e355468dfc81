//! Which requests may come in.
//!
//! The page listens on this machine alone, but so does every other page in the reader's browser, and every program of every
//! user. So a request must know the token of the run, be meant for this very host (a foreign name that resolves to this
//! machine is refused: DNS rebinding), and come from a page of its own.

use super::token;
use axum::http::{HeaderMap, Method, header};

/// Why a request is refused.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub(super) enum Refused {
    /// Meant for another host.
    #[error("this page answers only at its own address on this machine")]
    Host,
    /// Sent by a page of another origin.
    #[error("this request was sent by another page")]
    Origin,
    /// The browser says that another site sent it.
    #[error("this request was sent from another site")]
    Site,
    /// Without the token of this run.
    #[error(
        "this address belongs to another run of the page, or lacks its token; open the full address that driftless serve printed"
    )]
    Token,
    /// Another method than the app knows.
    #[error("this kind of request is not known here")]
    Method,
}

impl Refused {
    /// Status as HTTP counts it.
    pub(super) const fn status(self) -> u16 {
        match self {
            Self::Host => 421,
            Self::Origin | Self::Site | Self::Token => 403,
            Self::Method => 405,
        }
    }
}

/// What this run is known by.
#[derive(Debug)]
pub(super) struct Guard {
    hosts: [String; 3],
    token: String,
    cookie: String,
}

impl Guard {
    pub(super) fn new(port: u16, token: String) -> Self {
        let hosts = ["127.0.0.1", "localhost", "[::1]"].map(|name| format!("{name}:{port}"));
        // Cookies are not kept apart by port: each run has a name of its own.
        Self { hosts, token, cookie: format!("driftless-{port}") }
    }

    /// The cookie that carries the token from here on: to this host alone, unread by scripts, never sent from elsewhere.
    pub(super) fn cookie(&self) -> String {
        format!("{}={}; HttpOnly; SameSite=Strict; Path=/", self.cookie, self.token)
    }

    /// The address with its token.
    pub(super) fn address(&self) -> String {
        format!("http://{}/?token={}", self.hosts[0], self.token)
    }

    /// Judges all but the token.
    pub(super) fn judge(&self, method: &Method, headers: &HeaderMap) -> Result<(), Refused> {
        if method != Method::GET && method != Method::POST {
            return Err(Refused::Method);
        }
        let mut hosts = headers.get_all(header::HOST).iter();
        let host = hosts.next().and_then(|host| host.to_str().ok()).ok_or(Refused::Host)?;
        if hosts.next().is_some() || !self.hosts.iter().any(|own| own.eq_ignore_ascii_case(host)) {
            return Err(Refused::Host);
        }
        if let Some(origin) = headers.get(header::ORIGIN) {
            let own = |origin: &str| origin.strip_prefix("http://").is_some_and(|rest| rest.eq_ignore_ascii_case(host));
            if !origin.to_str().is_ok_and(own) {
                return Err(Refused::Origin);
            }
        } else if method == Method::POST {
            // Every browser names the origin of what it posts.
            return Err(Refused::Origin);
        }
        match headers.get("sec-fetch-site").map(|site| site.as_bytes()) {
            // "none": typed, or opened from the terminal.
            None | Some(b"same-origin") => Ok(()),
            Some(b"none") if method == Method::GET => Ok(()),
            Some(_) => Err(Refused::Site),
        }
    }

    /// Whether the token stands in the query (then it is to be put into the cookie) or in the cookie.
    pub(super) fn knows_token(&self, asked: Option<&str>, headers: &HeaderMap) -> Result<TokenFrom, Refused> {
        if let Some(asked) = asked {
            return if token::same(asked, &self.token) { Ok(TokenFrom::Query) } else { Err(Refused::Token) };
        }
        let cookies = headers.get_all(header::COOKIE).iter().filter_map(|value| value.to_str().ok());
        let ours = cookies.flat_map(|cookies| cookies.split(';')).filter_map(|cookie| cookie.trim().split_once('='));
        let mut ours = ours.filter(|(name, _)| *name == self.cookie);
        if ours.any(|(_, value)| token::same(value, &self.token)) { Ok(TokenFrom::Cookie) } else { Err(Refused::Token) }
    }
}

/// Where the token was found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum TokenFrom {
    /// In the address.
    Query,
    /// In the cookie of this run.
    Cookie,
}
