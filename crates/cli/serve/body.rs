//! Bodies of requests: forms and files, read within limits of size and time.

use axum::body::Body;
use axum::http::{HeaderMap, header};
use driftless_page::Part;
use http_body_util::BodyExt;
use std::time::Duration;

/// Longest wait for the next bytes of a body, s: slower than any disk, and no connection is held for ever.
const NEXT_BYTES_S: u64 = 20;

/// Most fields of a form: a campaign of a thousand flights comes with its files.
const MOST_PARTS: usize = 4096;

/// Why a body is refused.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub(super) enum BodyFault {
    /// Larger than is taken.
    #[error(
        "these files are together larger than {0} MB, the most that is taken at once; give them one by one, or raise --limit bytes=N"
    )]
    TooLarge(usize),
    /// Nothing came for too long.
    #[error("the rest of the files did not come within {NEXT_BYTES_S} seconds; try again")]
    TooSlow,
    /// Ended before its end.
    #[error("the connection ended before all was there; try again")]
    Broken,
    /// Neither kind of form.
    #[error("this is no form that the page sends")]
    NotAForm,
    /// Too many fields.
    #[error("more than {MOST_PARTS} files and fields at once; give them in several steps")]
    TooMany,
}

impl BodyFault {
    /// Status as HTTP counts it.
    pub(super) const fn status(&self) -> u16 {
        match self {
            Self::TooLarge(_) | Self::TooMany => 413,
            Self::TooSlow => 408,
            Self::Broken | Self::NotAForm => 400,
        }
    }
}

/// The fields and files of a body.
pub(super) async fn parts(headers: &HeaderMap, body: Body, most: usize) -> Result<Vec<Part>, BodyFault> {
    let kind = headers.get(header::CONTENT_TYPE).and_then(|kind| kind.to_str().ok()).unwrap_or_default().to_owned();
    let declared = headers.get(header::CONTENT_LENGTH).and_then(|length| length.to_str().ok()?.parse::<usize>().ok());
    if declared.is_some_and(|length| length > most) {
        return Err(BodyFault::TooLarge(most / 1_000_000));
    }
    if let Ok(boundary) = multer::parse_boundary(&kind) {
        return multipart(body, &boundary, most).await;
    }
    let bytes = all(body, most).await?;
    if kind.split(';').next().is_some_and(|kind| kind.trim() == "application/x-www-form-urlencoded") {
        let fields = form_urlencoded::parse(&bytes);
        return Ok(fields.take(MOST_PARTS).map(|(name, value)| plain(&name, &value)).collect());
    }
    if bytes.is_empty() { Ok(Vec::new()) } else { Err(BodyFault::NotAForm) }
}

fn plain(name: &str, value: &str) -> Part {
    Part { name: name.to_owned(), file_name: None, bytes: value.as_bytes().to_vec() }
}

/// The next bytes of a body; `None` at its end.
async fn next(body: &mut Body) -> Result<Option<axum::body::Bytes>, BodyFault> {
    loop {
        let frame = tokio::time::timeout(Duration::from_secs(NEXT_BYTES_S), body.frame());
        match frame.await.map_err(|_| BodyFault::TooSlow)? {
            None => return Ok(None),
            Some(Err(_)) => return Err(BodyFault::Broken),
            Some(Ok(frame)) => {
                if let Ok(bytes) = frame.into_data() {
                    return Ok(Some(bytes));
                }
            }
        }
    }
}

async fn all(mut body: Body, most: usize) -> Result<Vec<u8>, BodyFault> {
    let mut bytes = Vec::new();
    while let Some(more) = next(&mut body).await? {
        if bytes.len() + more.len() > most {
            return Err(BodyFault::TooLarge(most / 1_000_000));
        }
        bytes.extend_from_slice(&more);
    }
    Ok(bytes)
}

async fn multipart(body: Body, boundary: &str, most: usize) -> Result<Vec<Part>, BodyFault> {
    let stream = futures_util::stream::try_unfold((body, 0usize), move |(mut body, taken)| async move {
        let Some(more) = next(&mut body).await.map_err(std::io::Error::other)? else { return Ok(None) };
        let taken = taken + more.len();
        if taken > most {
            return Err(std::io::Error::other(BodyFault::TooLarge(most / 1_000_000)));
        }
        Ok(Some((more, (body, taken))))
    });
    let mut form = multer::Multipart::new(stream, boundary);
    let mut parts = Vec::new();
    while let Some(field) = form.next_field().await.map_err(|error| fault(&error))? {
        if parts.len() == MOST_PARTS {
            return Err(BodyFault::TooMany);
        }
        let name = field.name().unwrap_or_default().to_owned();
        let file_name = field.file_name().map(str::to_owned);
        let bytes = field.bytes().await.map_err(|error| fault(&error))?.to_vec();
        parts.push(Part { name, file_name, bytes });
    }
    Ok(parts)
}

/// What stopped the reading of a form.
fn fault(error: &multer::Error) -> BodyFault {
    match error {
        multer::Error::StreamReadFailed(inner) => {
            let io = inner.downcast_ref::<std::io::Error>().and_then(|io| io.get_ref());
            io.and_then(|ours| ours.downcast_ref::<BodyFault>()).cloned().unwrap_or(BodyFault::Broken)
        }
        multer::Error::IncompleteFieldData { .. }
        | multer::Error::IncompleteStream
        | multer::Error::IncompleteHeaders => BodyFault::Broken,
        _ => BodyFault::NotAForm,
    }
}
