//! What a worker calls.

#![allow(unsafe_code, reason = "what wasm-bindgen writes for exported items")]
#![expect(unreachable_pub, reason = "JavaScript reaches them")]

use crate::notice::Notice;
use crate::refusal::Refusal;
use crate::store::{self, Failure};
use crate::{asked, notice};
use driftless_logbook::Logbook;
use driftless_page::{App, Part, Request, Response};
use js_sys::futures::future_to_promise;
use js_sys::{Array, Function, Object, Promise, Reflect, Uint8Array};
use rusqlite::Connection;
use sqlite_wasm_vfs::sahpool::OpfsSAHPoolUtil;
use std::panic;
use std::sync::Mutex;
use wasm_bindgen::prelude::{JsValue, wasm_bindgen};

/// What the last panic said; a worker asks for it after the module has stopped.
static LAST_PANIC: Mutex<String> = Mutex::new(String::new());

/// The app with its logbook.
#[wasm_bindgen]
#[derive(Debug)]
pub struct Engine {
    app: App,
    /// Whether the logbook is in memory, so that somebody else has to keep what would be lost with the worker.
    in_memory: bool,
}

/// Opens the logbook: `"lasting"` in the origin-private file system, `"memory"` in memory, with the bytes that
/// [`Engine::image`] gave. The promise is kept with an [`Engine`], or broken with an `Error` whose `code` is that of
/// [`Refusal::code`] and whose message is for people; where a logbook is there and cannot be read, its bytes are in `image`.
#[wasm_bindgen]
pub fn start(place: String, image: Option<Vec<u8>>) -> Promise {
    keep_words_of_panics();
    future_to_promise(async move {
        let engine = if place == "memory" {
            let app = store::open_in_memory(image.as_deref())
                .and_then(|opened| app(opened, "in memory, until this tab is closed"))
                .map_err(|failure| thrown(&failure, None))?;
            Engine { app, in_memory: true }
        } else {
            let pool = store::pool().await.map_err(|failure| thrown(&failure, None))?;
            let app = store::open_lasting()
                .and_then(|opened| app(opened, "in this browser, on this device"))
                .map_err(|failure| thrown(&failure, Some(&pool)))?;
            Engine { app, in_memory: false }
        };
        Ok(engine.into())
    })
}

/// Removes the logbook of this browser for good. It must not be open.
#[wasm_bindgen]
pub fn remove_logbook() -> Promise {
    future_to_promise(async {
        let pool = store::pool().await.map_err(|failure| thrown(&failure, None))?;
        store::remove_lasting(&pool).map_err(|failure| thrown(&failure, None))?;
        Ok(JsValue::UNDEFINED)
    })
}

fn keep_words_of_panics() {
    panic::set_hook(Box::new(|panic| {
        if let Ok(mut last) = LAST_PANIC.lock() {
            *last = panic.to_string();
        }
    }));
}

fn app(connection: Connection, place: &str) -> Result<App, Failure> {
    let logbook = Logbook::of_connection(connection)
        .map_err(|error| Failure { refusal: Refusal::Unreadable, said: error.to_string() })?;
    Ok(App::new(env!("CARGO_PKG_VERSION"), logbook, place))
}

/// What the last panic of this module said.
#[wasm_bindgen]
pub fn last_panic() -> String {
    LAST_PANIC.lock().map(|last| last.clone()).unwrap_or_default()
}

/// A file of the app that is the same for everybody, such as a style sheet; `undefined` where there is none of that path.
#[wasm_bindgen]
pub fn asset(path: &str) -> Option<Vec<u8>> {
    driftless_page::asset(path).map(|(_, bytes)| bytes.into_owned())
}

#[wasm_bindgen]
impl Engine {
    /// Answers a request. `query` is an array of `[name, value]`, `parts` of `{name, fileName, bytes}`, `notices` of
    /// `{words, action, label}`, said on top of a page; the answer is `{status, type, location, download, body}`.
    #[expect(clippy::too_many_arguments, reason = "a call from JavaScript, where an object would have no type")]
    pub fn handle(
        &self,
        method: &str,
        path: String,
        query: &Array,
        parts: &Array,
        now_ms: f64,
        notices: &Array,
        on_progress: &Function,
    ) -> Object {
        let request = Request {
            method: asked::method(method),
            path,
            query: query.iter().map(|pair| (text_at(&pair, 0), text_at(&pair, 1))).collect(),
            parts: parts.iter().map(|part| part_of(&part)).collect(),
            now: asked::time(now_ms),
        };
        let response = self.app.handle(&request, &mut |words| {
            // Progress is a courtesy; that nobody takes it is no reason to stop.
            let _ = on_progress.call1(&JsValue::NULL, &words.into());
        });
        let notices: Vec<Notice> = notices.iter().map(|notice| notice_of(&notice)).collect();
        answer(with_notices(response, &notices))
    }

    /// The bytes of a logbook in memory, to be given to [`start`] of another worker; `undefined` where it lasts by itself.
    ///
    /// # Errors
    /// An `Error` with words, when there is no memory left for them.
    pub fn image(&self) -> Result<Option<Vec<u8>>, JsValue> {
        if !self.in_memory {
            return Ok(None);
        }
        store::image_of_memory().map(Some).map_err(|failure| thrown(&failure, None))
    }
}

fn with_notices(mut response: Response, notices: &[Notice]) -> Response {
    if !notices.is_empty()
        && response.content_type == driftless_page::HTML
        && response.download.is_none()
        && let Ok(page) = std::str::from_utf8(&response.body)
    {
        response.body = notice::put_on_top(page, notices).into_bytes();
    }
    response
}

fn answer(response: Response) -> Object {
    let answer = Object::new();
    put(&answer, "status", &response.status.into());
    put(&answer, "type", &response.content_type.into());
    put(&answer, "location", &response.location.into());
    put(&answer, "download", &response.download.into());
    put(&answer, "body", &Uint8Array::from(response.body.as_slice()));
    answer
}

fn put(object: &Object, name: &str, value: &JsValue) {
    // Setting a property of a plain object cannot fail.
    let _ = Reflect::set(object, &name.into(), value);
}

fn get(object: &JsValue, name: &str) -> JsValue {
    Reflect::get(object, &name.into()).unwrap_or(JsValue::UNDEFINED)
}

fn text_at(pair: &JsValue, index: u32) -> String {
    Reflect::get_u32(pair, index).ok().and_then(|value| value.as_string()).unwrap_or_default()
}

fn part_of(part: &JsValue) -> Part {
    Part {
        name: get(part, "name").as_string().unwrap_or_default(),
        file_name: get(part, "fileName").as_string(),
        bytes: Uint8Array::new(&get(part, "bytes")).to_vec(),
    }
}

fn notice_of(notice: &JsValue) -> Notice {
    let text = |name| get(notice, name).as_string();
    Notice { words: text("words").unwrap_or_default(), action: text("action").zip(text("label")) }
}

/// An `Error` that says which kind of refusal it is; with the bytes of a logbook that is there and cannot be read.
fn thrown(failure: &Failure, pool: Option<&OpfsSAHPoolUtil>) -> JsValue {
    let error = js_sys::Error::new(failure.refusal.words());
    let object: &Object = error.as_ref();
    put(object, "code", &failure.refusal.code().into());
    put(object, "said", &failure.said.as_str().into());
    if let Some(image) = pool.and_then(|pool| store::image_of_lasting(pool).ok()) {
        put(object, "image", &Uint8Array::from(image.as_slice()));
    }
    error.into()
}
