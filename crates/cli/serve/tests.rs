//! Who may come in.

use super::guard::{Guard, Refused, TokenFrom};
use axum::http::{HeaderMap, HeaderName, HeaderValue, Method};

const PORT: u16 = 4711;

fn guard() -> Guard {
    Guard::new(PORT, "ab12".to_owned())
}

fn headers(pairs: &[(&'static str, &'static str)]) -> HeaderMap {
    let header =
        |(name, value): &(&'static str, &'static str)| (HeaderName::from_static(name), HeaderValue::from_static(value));
    let mut map = HeaderMap::new();
    for (name, value) in pairs.iter().map(header) {
        map.append(name, value);
    }
    map
}

#[test]
fn only_its_own_host_names_are_answered() {
    for host in ["127.0.0.1:4711", "localhost:4711", "LOCALHOST:4711", "[::1]:4711"] {
        assert_eq!(guard().judge(&Method::GET, &headers(&[("host", host)])), Ok(()), "{host}");
    }
    for host in ["127.0.0.1", "127.0.0.1:80", "evil.example:4711", "127.0.0.1:4711.evil.example", "127.0.0.1:47110", ""]
    {
        assert_eq!(guard().judge(&Method::GET, &headers(&[("host", host)])), Err(Refused::Host), "{host}");
    }
    assert_eq!(guard().judge(&Method::GET, &HeaderMap::new()), Err(Refused::Host));
    let two = headers(&[("host", "127.0.0.1:4711"), ("host", "evil.example")]);
    assert_eq!(guard().judge(&Method::GET, &two), Err(Refused::Host));
}

#[test]
fn only_its_own_pages_may_post() {
    let judge = |method, more: &[(&'static str, &'static str)]| {
        guard().judge(&method, &headers(&[&[("host", "127.0.0.1:4711")], more].concat()))
    };
    assert_eq!(judge(Method::POST, &[("origin", "http://127.0.0.1:4711"), ("sec-fetch-site", "same-origin")]), Ok(()));
    assert_eq!(judge(Method::POST, &[("origin", "http://127.0.0.1:4711")]), Ok(()));
    for origin in
        ["http://localhost:4711", "https://127.0.0.1:4711", "http://127.0.0.1:4712", "http://evil.example", "null"]
    {
        assert_eq!(judge(Method::POST, &[("origin", origin)]), Err(Refused::Origin), "{origin}");
        assert_eq!(judge(Method::GET, &[("origin", origin)]), Err(Refused::Origin), "{origin}");
    }
    assert_eq!(judge(Method::POST, &[]), Err(Refused::Origin), "without an origin");
    let posted = |site| judge(Method::POST, &[("origin", "http://127.0.0.1:4711"), ("sec-fetch-site", site)]);
    for site in ["cross-site", "same-site", "none", "anything"] {
        assert_eq!(posted(site), Err(Refused::Site), "{site}");
    }
    assert_eq!(judge(Method::GET, &[("sec-fetch-site", "none")]), Ok(()), "typed or opened from the terminal");
    assert_eq!(judge(Method::GET, &[("sec-fetch-site", "cross-site")]), Err(Refused::Site));
    for method in [Method::PUT, Method::DELETE, Method::OPTIONS, Method::HEAD, Method::CONNECT] {
        assert_eq!(judge(method, &[]), Err(Refused::Method));
    }
}

#[test]
fn nobody_comes_in_without_the_token() {
    let knows = |asked, cookies: &[(&'static str, &'static str)]| guard().knows_token(asked, &headers(cookies));
    assert_eq!(knows(Some("ab12"), &[]), Ok(TokenFrom::Query));
    assert_eq!(knows(None, &[("cookie", "other=1; driftless-4711=ab12")]), Ok(TokenFrom::Cookie));
    for wrong in ["", "ab1", "ab13", "ab123", "AB12"] {
        assert_eq!(knows(Some(wrong), &[("cookie", "driftless-4711=ab12")]), Err(Refused::Token), "{wrong}");
    }
    for cookie in ["driftless-4711=", "driftless-4711=ab13", "driftless-4712=ab12", "driftless=ab12", "ab12"] {
        assert_eq!(knows(None, &[("cookie", cookie)]), Err(Refused::Token), "{cookie}");
    }
    assert_eq!(knows(None, &[]), Err(Refused::Token));
}

#[test]
fn tokens_are_long_and_new() {
    let (one, other) = (super::token::fresh().expect("random"), super::token::fresh().expect("random"));
    assert_eq!(one.len(), 64);
    assert_ne!(one, other);
}
