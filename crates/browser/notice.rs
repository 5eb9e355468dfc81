//! A sentence of the host on top of a page, such as that its logbook is in memory alone.

/// What the host has to say.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Notice {
    /// Sentences; text, never markup.
    pub words: String,
    /// A path that a button posts to, and what stands on the button.
    pub action: Option<(String, String)>,
}

/// The page with the notices first in its `main`, or in its `body` where there is no `main`; unchanged where there is neither.
pub fn put_on_top(page: &str, notices: &[Notice]) -> String {
    let Some(at) = after_tag(page, "<main").or_else(|| after_tag(page, "<body")) else {
        return page.to_owned();
    };
    let (before, after) = page.split_at(at);
    let said: String = notices.iter().map(section).collect();
    format!("{before}{said}{after}")
}

fn section(notice: &Notice) -> String {
    let words = escaped(&notice.words);
    let button = notice.action.as_ref().map_or_else(String::new, |(path, label)| {
        format!("<form method=\"post\" action=\"{}\"><button>{}</button></form>", escaped(path), escaped(label))
    });
    format!("<div class=\"told\" role=\"note\"><p>{words}</p>{button}</div>")
}

/// Where the first tag of that name ends.
fn after_tag(page: &str, begin: &str) -> Option<usize> {
    let mut from = 0;
    loop {
        let at = from + page.get(from..)?.find(begin)?;
        let name_end = at + begin.len();
        // `<mainframe>` is another element.
        if page[name_end..].starts_with(['>', ' ', '\n', '\t', '\r']) {
            return page[name_end..].find('>').map(|end| name_end + end + 1);
        }
        from = name_end;
    }
}

fn escaped(words: &str) -> String {
    words.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn plain(words: &str) -> Notice {
        Notice { words: words.to_owned(), action: None }
    }

    #[test]
    fn the_note_stands_first_in_main_and_is_text() {
        let page = "<html><body class=\"a\"><header>x</header><mainframe></mainframe><main id=\"m\"><h1>Flights</h1></main></body></html>";
        let with = put_on_top(page, &[plain("Kept in <memory> & gone")]);
        let main = with.split("<main id=\"m\">").nth(1).expect("main is still there");
        assert!(main.starts_with("<div class=\"told\" role=\"note\">"), "{with}");
        assert!(main.contains("<p>Kept in &lt;memory&gt; &amp; gone</p></div><h1>Flights</h1>"), "{with}");
        assert_eq!(with.matches("role=\"note\"").count(), 1);
    }

    #[test]
    fn a_page_without_main_takes_it_in_its_body_and_one_without_either_stays() {
        assert!(put_on_top("<body><p>a</p></body>", &[plain("b")]).starts_with("<body><div"));
        assert_eq!(put_on_top("plain", &[plain("b")]), "plain");
        assert_eq!(put_on_top("<main", &[plain("b")]), "<main");
    }

    #[test]
    fn an_action_is_a_button_that_posts() {
        let update = Notice { words: "New".to_owned(), action: Some(("/a\"b".to_owned(), "Update <now>".to_owned())) };
        let with = put_on_top("<main></main>", &[plain("first"), update]);
        assert!(
            with.contains("<form method=\"post\" action=\"/a&quot;b\"><button>Update &lt;now&gt;</button></form>"),
            "{with}"
        );
        assert!(with.find("first") < with.find("New"), "{with}");
    }
}
