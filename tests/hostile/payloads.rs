//! A book by an attacker: every text of every kind of record is one that would run, were it not
//! escaped. The book is kept as a fixture, so that a browser can be let loose on its site.

use std::collections::BTreeMap;
use std::io::Cursor;
use std::path::Path;

use gapbook::record::schema::Kind;

use crate::common::{compile_here, snapshot, write};
use crate::sound;

/// Texts that would run, or break out of where they stand. None is longer than the shortest text of a
/// record may be, 40 characters.
const PAYLOADS: [&str; 20] = [
    "<script>window.__pwned=1</script>",
    "\"><svg onload=window.__pwned=1>",
    "'><img src=x onerror=window.__pwned=1>",
    "[x](javascript:window.__pwned=1)",
    "<javascript:window.__pwned=1>",
    "[x]\n\n[x]: javascript:window.__pwned=1",
    "![x](javascript:window.__pwned=1)",
    "{{ 7*7 }}{% raw %}${7*7}<%= 7*7 %>",
    "]]><script>window.__pwned=1</script>",
    "</style><script>__pwned=1</script>",
    "</title></textarea><script>__pwned=1//",
    "</script><script>__pwned=1</script>",
    "--><script>__pwned=1</script><!--",
    "&lt;script&gt;__pwned=1&lt;/script&gt;",
    "\" autofocus onfocus=__pwned=1 x=\"",
    "`<script>__pwned=1</script>",
    "<svg><style><img src onerror=__pwned=1>",
    "<math><mtext></p><script>__pwned=1//",
    "x\\\"';__pwned=1;//\\",
    "<iframe srcdoc='<script>top.__pwned=1'>",
];

/// A text that browsers once took for the end of a line of script; the linter refuses it.
const HIDDEN: &str = "x\u{2028}</script><script>__pwned=1";

/// Keys whose text names something: another text there is a dangling reference, and an error.
const REFERENCES: [&str; 18] = [
    "board.accept.at",
    "board.accept.rule",
    "board.body.over",
    "board.body.part_of",
    "board.connector.ties",
    "board.fasteners.holds",
    "board.fasteners.under",
    "board.note.on",
    "board.part.package",
    "board.photo.on",
    "board.zone.between",
    "board.zone.pad",
    "job.board",
    "job.fitted.pad",
    "job.fitted.zone",
    "job.paste",
    "job.reading.zone",
    "offcuts.offcut.pad",
];

/// The fixture's folder.
fn kept() -> std::path::PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fixtures/hostile-book")
}

/// Returns the sound record of a kind with a text wherever one may stand; names stay sound or not.
fn hostile(kind: Kind, payload: &str, keep_names: bool) -> toml::Value {
    let mut record = sound::record(kind);
    sound::visit(kind, &mut record, &mut |key, value| {
        let is_free = key.schema["type"] == "string"
            && key.schema["pattern"].is_null()
            && key.schema["enum"].is_null();
        let is_name = REFERENCES.contains(&key.path.as_str());
        if is_free && !(is_name && keep_names) {
            let most = key.schema["maxLength"]
                .as_u64()
                .and_then(|most| usize::try_from(most).ok());
            assert!(
                payload.chars().count() <= most.unwrap_or(usize::MAX),
                "{} cuts it",
                key.path
            );
            *value = toml::Value::String(payload.to_owned());
        }
    });
    record
}

/// Returns the files of the attacker's book.
fn generated() -> BTreeMap<String, Vec<u8>> {
    let mut files = BTreeMap::new();
    for kind in [
        Kind::Book,
        Kind::Pads,
        Kind::Offcuts,
        Kind::Pastes,
        Kind::Packages,
    ] {
        let record = hostile(kind, "\"></title><script>__pwned=1</script>", true);
        let name = match kind {
            Kind::Book => "gapbook.toml".to_owned(),
            _ => format!("stock/{}.toml", kind.name()),
        };
        files.insert(name, toml::to_string(&record).expect("TOML").into_bytes());
    }
    for (number, payload) in PAYLOADS.iter().chain([&HIDDEN]).enumerate() {
        add_board(&mut files, &format!("p{number:02}"), payload, true);
    }
    add_board(&mut files, "names", PAYLOADS[1], false);
    files
}

fn add_board(files: &mut BTreeMap<String, Vec<u8>>, name: &str, payload: &str, keep_names: bool) {
    let text = |kind| {
        let record = toml::to_string(&hostile(kind, payload, keep_names)).expect("TOML");
        record
            .replace("\"osk-demo\"", &format!("\"osk-{name}\""))
            .into_bytes()
    };
    let mut photo = Cursor::new(Vec::new());
    image::DynamicImage::new_luma8(4, 4)
        .write_to(&mut photo, image::ImageFormat::Png)
        .expect("encoded");
    files.insert(format!("osk/{name}/board.toml"), text(Kind::Board));
    files.insert(
        format!("osk/{name}/jobs/2026-01-02-bench-1.toml"),
        text(Kind::Job),
    );
    files.insert(format!("osk/{name}/photos/front.png"), photo.into_inner());
}

#[test]
fn the_hostile_book_is_what_its_generator_gives() {
    let fresh = Path::new(env!("CARGO_TARGET_TMPDIR")).join("hostile-book");
    if fresh.exists() {
        std::fs::remove_dir_all(&fresh).expect("removed");
    }
    let generated = generated();
    for (name, bytes) in &generated {
        write(&fresh, name, bytes);
    }
    let mut found = snapshot(&kept());
    found.retain(|name, _| kept().join(name).is_file());
    let found: BTreeMap<String, Vec<u8>> = found
        .into_iter()
        .map(|(name, bytes)| (name.display().to_string(), bytes))
        .collect();
    assert!(
        found == generated,
        "the fixture is stale: rm -rf {kept}; cp -r {fresh} {kept}",
        kept = kept().display(),
        fresh = fresh.display(),
    );
}

/// What a page may not say, however it came there.
#[test]
fn nothing_of_the_hostile_book_can_run() {
    let site = tempfile::tempdir().expect("a folder");
    let (lint, compiled) = compile_here(&kept(), site.path());
    let errors: Vec<String> = lint
        .findings
        .iter()
        .filter(|finding| finding.severity == gapbook::lint::Severity::Error)
        .map(|finding| format!("{}: {}", finding.rule.name, finding.message))
        .collect();
    assert_eq!(
        compiled.boards,
        PAYLOADS.len(),
        "the others have a guide: {errors:#?}"
    );
    assert_eq!(
        compiled.withheld.len(),
        2,
        "hidden characters, and names of nothing"
    );
    crate::page::check_site(site.path());

    let page = |name: &str| {
        let path = site.path().join("boards").join(name);
        std::fs::read_to_string(path).expect("there")
    };
    assert!(
        page("osk-p07/index.html").contains("{{ 7*7 }}"),
        "no template of theirs is run"
    );
    for (number, payload) in PAYLOADS.iter().enumerate() {
        let drawn = page(&format!("osk-p{number:02}/front.svg"));
        let drawing = roxmltree::Document::parse(&drawn).expect("well-formed");
        let one_line = payload.replace('\n', " ");
        let mut texts = drawing.descendants().filter_map(|node| node.text());
        assert!(
            texts.any(|text| text == one_line),
            "{payload} is shown as it is"
        );
    }
}
