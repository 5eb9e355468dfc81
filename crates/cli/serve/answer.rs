//! From HTTP to the app and back.

use super::body;
use super::guard::{Guard, TokenFrom};
use axum::body::Body;
use axum::extract::{Request as HttpRequest, State};
use axum::http::{HeaderValue, Method as HttpMethod, StatusCode, header};
use axum::response::Response as HttpResponse;
use chrono::Utc;
use driftless_page::{App, HTML, Method, Request, Response, asset, error_page};
use std::sync::Arc;

/// Everything may come from here alone, and no script stands in a page.
const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self' 'unsafe-inline'; img-src 'self' data: blob:; \
                      connect-src 'self'; frame-src blob:; frame-ancestors 'none'; base-uri 'none'; form-action 'self'";

/// A run of the page.
#[derive(Debug)]
pub(super) struct Site {
    app: Arc<App>,
    guard: Guard,
    most_body: usize,
}

impl Site {
    pub(super) fn new(app: Arc<App>, port: u16, token: String, most_body: usize) -> Self {
        Self { app, guard: Guard::new(port, token), most_body }
    }

    /// The address to open.
    pub(super) fn address(&self) -> String {
        self.guard.address()
    }
}

/// All requests come in here.
pub(super) async fn answer(State(site): State<Arc<Site>>, request: HttpRequest) -> HttpResponse {
    let (head, body) = request.into_parts();
    if let Err(refused) = site.guard.judge(&head.method, &head.headers) {
        return http(refusal(refused.status(), &refused.to_string()));
    }
    let query: Vec<(String, String)> = form_urlencoded::parse(head.uri.query().unwrap_or_default().as_bytes())
        .map(|(name, value)| (name.into_owned(), value.into_owned()))
        .collect();
    let asked = query.iter().find(|(name, _)| name == "token").map(|(_, value)| value.as_str());
    match site.guard.knows_token(asked, &head.headers) {
        Ok(TokenFrom::Cookie) => {}
        Ok(TokenFrom::Query) => return with_cookie(&site.guard, &head.method),
        Err(refused) => return http(refusal(refused.status(), &refused.to_string())),
    }
    let Ok(path) = percent_encoding::percent_decode_str(head.uri.path()).decode_utf8() else {
        return http(refusal(400, "the address holds bytes that are no text"));
    };
    if head.method == HttpMethod::GET
        && let Some((content_type, bytes)) = asset(&path)
    {
        return http(Response::of(content_type, bytes.into_owned()));
    }
    let parts = match body::parts(&head.headers, body, site.most_body).await {
        Ok(parts) => parts,
        Err(fault) => return http(refusal(fault.status(), &fault.to_string())),
    };
    let method = if head.method == HttpMethod::POST { Method::Post } else { Method::Get };
    let request = Request { method, path: path.into_owned(), query, parts, now: Utc::now() };
    let app = Arc::clone(&site.app);
    let answered = tokio::task::spawn_blocking(move || app.handle(&request, &mut |_| ())).await;
    http(answered.unwrap_or_else(|_| refusal(500, "something went wrong inside the program; nothing was changed")))
}

/// The token leaves the address as soon as it is in the cookie: addresses are kept and passed on.
fn with_cookie(guard: &Guard, method: &HttpMethod) -> HttpResponse {
    if method != HttpMethod::GET {
        return http(refusal(405, "the token is given once, by opening the address"));
    }
    let mut response = http(Response::see("/".to_owned()));
    if let Ok(cookie) = HeaderValue::from_str(&guard.cookie()) {
        response.headers_mut().insert(header::SET_COOKIE, cookie);
    }
    response
}

fn refusal(status: u16, words: &str) -> Response {
    Response::with_status(status, error_page(words))
}

/// The response with what a browser has to know about it.
fn http(response: Response) -> HttpResponse {
    let Response { status, content_type, location, download, body } = response;
    let mut http = HttpResponse::new(Body::from(body));
    *http.status_mut() = StatusCode::from_u16(status).unwrap_or(StatusCode::INTERNAL_SERVER_ERROR);
    let headers = http.headers_mut();
    let fixed = [
        (header::CONTENT_TYPE, content_type),
        (header::CONTENT_SECURITY_POLICY, POLICY),
        (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
        (header::REFERRER_POLICY, "no-referrer"),
        (header::CACHE_CONTROL, "no-store"),
    ];
    for (name, value) in fixed {
        headers.insert(name, HeaderValue::from_static(value));
    }
    headers.insert("cross-origin-opener-policy", HeaderValue::from_static("same-origin"));
    headers.insert("cross-origin-resource-policy", HeaderValue::from_static("same-origin"));
    let own = [(header::LOCATION, location), (header::CONTENT_DISPOSITION, download.map(|name| disposition(&name)))];
    for (name, value) in own {
        if let Some(value) = value.and_then(|value| HeaderValue::from_str(&value).ok()) {
            headers.insert(name, value);
        }
    }
    debug_assert!(status != 303 || content_type == HTML);
    http
}

/// The name of a download (RFC 6266), whatever is in it.
fn disposition(name: &str) -> String {
    let encoded = percent_encoding::utf8_percent_encode(name, percent_encoding::NON_ALPHANUMERIC);
    format!("attachment; filename*=UTF-8''{encoded}")
}
