//! Any bytes, any text, and demo records with a few changes: each is read, linted and, where it is a
//! board, compiled, without a panic. And notes of any text become HTML that can do no harm.

use std::sync::OnceLock;

use gapbook::book::Book;
use gapbook::lint::lint;
use gapbook::markdown;
use gapbook::progress::Silent;
use proptest::prelude::*;
use scraper::{ElementRef, Html};

use crate::common::{Case, compile_here, snapshot, write};

/// Returns the demo book's records.
fn demo() -> &'static [String] {
    static DEMO: OnceLock<Vec<String>> = OnceLock::new();
    DEMO.get_or_init(|| {
        let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("boards");
        let records = snapshot(&root).into_values();
        let texts = records.filter_map(|bytes| String::from_utf8(bytes).ok());
        texts.filter(|text| !text.is_empty()).collect()
    })
}

/// Pieces that TOML is made of, and some that break it.
const PIECES: [&str; 30] = [
    "schema = 1\n",
    "[board]\n",
    "[[zone]]\n",
    "[[part]]\n",
    "[[body]]\n",
    "id = \"a\"\n",
    "id",
    "=",
    " = ",
    "[",
    "]",
    "[[",
    "]]",
    "{",
    "}",
    ",",
    ".",
    "\"",
    "'",
    "\"\"\"",
    "'''",
    "\n",
    "\r\n",
    "\\u",
    "\\",
    "1.0",
    "-",
    "nan",
    "at = [[1, 1, 1, 1]]\n",
    "between = [\"a\", \"a\"]\n",
];

fn toml_like() -> impl Strategy<Value = Vec<u8>> {
    let piece = prop_oneof![
        8 => prop::sample::select(&PIECES[..]).prop_map(str::to_owned),
        1 => "\\PC{0,4}",
        1 => any::<char>().prop_map(String::from),
    ];
    prop::collection::vec(piece, 0..60).prop_map(|pieces| pieces.concat().into_bytes())
}

/// A change of a text: where, in thousandths of it, how many bytes go, and what comes.
type Change = (usize, usize, String);

fn mutated() -> impl Strategy<Value = Vec<u8>> {
    let change = (
        0_usize..1000,
        0_usize..12,
        prop_oneof![
            prop::sample::select(&PIECES[..]).prop_map(str::to_owned),
            "[0-9.eE+-]{0,6}",
            "\\PC{0,3}",
        ],
    );
    let record = prop::sample::select(demo());
    (record, prop::collection::vec(change, 1..6)).prop_map(|(record, changes)| {
        let change = |mut bytes: Vec<u8>, (at, gone, new): Change| {
            let start = bytes.len() * at / 1000;
            let end = (start + gone).min(bytes.len());
            bytes.splice(start..end, new.into_bytes());
            bytes
        };
        changes.into_iter().fold(record.into_bytes(), change)
    })
}

fn file() -> impl Strategy<Value = Vec<u8>> {
    prop_oneof![
        1 => prop::collection::vec(any::<u8>(), 0..400),
        2 => toml_like(),
        4 => mutated(),
    ]
}

/// Puts files where records are looked for, each in every kind's place in turn.
fn book_of(files: &[Vec<u8>]) -> Case {
    let case = Case::new::<&str>(&[]);
    for (number, bytes) in files.iter().enumerate() {
        let name = match number % 8 {
            0 => "gapbook.toml".to_owned(),
            1 => "stock/pads.toml".to_owned(),
            2 => "stock/packages.toml".to_owned(),
            3 => format!("osk/b{}/jobs/2026-01-02-a.toml", number + 1),
            _ => format!("osk/b{number}/board.toml"),
        };
        write(&case.book(), name, bytes);
    }
    case
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_files_are_read_and_linted(files in prop::collection::vec(file(), 32)) {
        let case = book_of(&files);
        let book = Book::load(&case.book(), &Silent).expect("the folder is there");
        let found = lint(&book, &Silent);
        for finding in &found.findings {
            gapbook::lint::render::text(&book, finding, true);
            gapbook::lint::render::json_line(&book, finding);
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 6, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn what_can_be_compiled_is_compiled(records in prop::collection::vec(mutated(), 16)) {
        let case = Case::new::<&str>(&[]);
        for (number, bytes) in records.iter().enumerate() {
            // As many as can shall be boards in their own folders.
            let text = String::from_utf8_lossy(bytes);
            let id = text.lines().find(|line| line.starts_with("id = "));
            let id = id.and_then(|line| line.split('"').nth(1)).unwrap_or("osk-x");
            let folder = id.replacen('-', "/", 1);
            let is_plain = id.chars().all(|c| c.is_ascii_lowercase() || c == '-') && folder.contains('/');
            let folder = if is_plain { folder } else { format!("osk/x{number}") };
            write(&case.book().join(folder), "board.toml", bytes);
        }
        compile_here(&case.book(), &case.site());
        crate::page::check_site(&case.site());
    }
}

/// Pieces that Markdown and HTML are made of.
const MARKS: [&str; 48] = [
    "[",
    "]",
    "(",
    ")",
    "<",
    ">",
    "!",
    "`",
    "```",
    "*",
    "_",
    "**",
    "#",
    "- ",
    "> ",
    "1. ",
    "\n",
    "\n\n",
    "    ",
    "\\",
    "&",
    ";",
    ":",
    "/",
    "\"",
    "'",
    "=",
    "javascript:",
    "JaVaScRiPt&colon;",
    "data:text/html,",
    "&#106;avascript:",
    "vbscript:",
    "http://",
    "https://x.org/",
    "mailto:",
    "//x",
    "script",
    "<script>",
    "</script>",
    "<img src=x onerror=",
    "onload=",
    "<!--",
    "-->",
    "<![CDATA[",
    "]]>",
    "<?",
    "\u{0}",
    "\u{2028}",
];

proptest! {
    #![proptest_config(ProptestConfig { cases: 3000, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn markdown_is_harmless(pieces in prop::collection::vec(prop_oneof![
        6 => prop::sample::select(&MARKS[..]).prop_map(str::to_owned),
        1 => "\\PC{0,3}",
        1 => any::<char>().prop_map(String::from),
    ], 0..40)) {
        let text = pieces.concat();
        let html = markdown::html(&text);
        prop_assert_eq!(harm(&html), None, "{:?} gives {}", text, html);
        markdown::unsafe_parts(&text);
    }
}

#[test]
fn markdown_of_the_deepest_and_longest_kind_ends() {
    let again = [
        "[", "![", "> ", "- ", "*a_ ", "`", "<", "&", "[a](", "[a]: b\n", "**", "<!--", "\\", "(",
        "<a ",
    ];
    for piece in again {
        let text = piece.repeat(4000 / piece.len());
        let html = markdown::html(&text);
        assert_eq!(harm(&html), None, "{piece:?} again and again");
        markdown::unsafe_parts(&text);
    }
}

/// Returns what in a note's HTML is more than a note needs, by a parser that knows nothing of
/// Markdown.
fn harm(html: &str) -> Option<String> {
    const PLAIN: [&str; 13] = [
        "html",
        "p",
        "em",
        "strong",
        "code",
        "pre",
        "ul",
        "ol",
        "li",
        "blockquote",
        "br",
        "hr",
        "a",
    ];
    let page = Html::parse_fragment(html);
    let elements = page
        .root_element()
        .descendants()
        .filter_map(ElementRef::wrap);
    elements.into_iter().find_map(|element| {
        let value = element.value();
        let is_plain = |&(key, target): &(&str, &str)| match (value.name(), key) {
            ("a", "href") => ["http://", "https://", "mailto:"]
                .iter()
                .any(|scheme| target.to_ascii_lowercase().starts_with(scheme)),
            ("a", "rel") => target == "noreferrer noopener",
            ("ol", "start") => target.parse::<u32>().is_ok(),
            _ => false,
        };
        let is_plain = PLAIN.contains(&value.name()) && value.attrs().all(|one| is_plain(&one));
        (!is_plain).then(|| element.html())
    })
}
