//! Names that would lead out of the site, or make two pages one.

use std::collections::BTreeSet;

use crate::common::{Case, DEMO, HEAD, compile_here, snapshot, write};

/// Names that lead elsewhere on some system.
const HOSTILE: [&str; 20] = [
    "",
    ".",
    "..",
    "../../up",
    "/etc/passwd",
    "a/../../b",
    "a/b",
    "..\\up",
    "C:\\x",
    "C:x",
    "\\\\host\\share",
    "a\\u0000b",
    "osk-demo\\n",
    "OSK-demo",
    "osk--demo",
    "-osk",
    "con",
    "%2e%2e%2fup",
    "osk-demo.",
    "\u{ff0e}\u{ff0e}",
];

/// Writes a name into a TOML text: those above have their escapes already, but for backslashes.
fn quoted(name: &str) -> String {
    let spelt = |name: &str| name.contains("\\u") || name.contains("\\n");
    if spelt(name) {
        format!("\"{name}\"")
    } else {
        format!("'{name}'")
    }
}

#[test]
fn a_boards_id_cannot_lead_out_of_the_site() {
    let case = Case::new(&[(DEMO, HEAD)]);
    for (number, id) in HOSTILE.iter().enumerate() {
        let record = HEAD.replace("\"osk-demo\"", &quoted(id));
        write(&case.book(), format!("osk/b{number}/board.toml"), record);
    }
    let long = HEAD.replace("osk-demo", &"a".repeat(81));
    write(&case.book(), "osk/long/board.toml", long);
    let (found, compiled) = case.attack();
    assert!(found.len() > HOSTILE.len(), "each is told: {found:?}");
    assert!(compiled.stdout.contains("1 board,"), "{}", compiled.stdout);
    let guides = std::fs::read_dir(case.site().join("boards")).expect("there");
    assert_eq!(guides.count(), 1, "the good board's alone");
}

#[test]
fn a_photos_name_cannot_lead_out_of_its_folder() {
    let case = Case::new(&[(DEMO, HEAD)]);
    write(case.root(), "up.png", "secret");
    let endings = [
        "../../../up",
        "/etc/up",
        "a\\\\b",
        ".a",
        "a b",
        "C:a",
        "a\\u0000",
        "..",
        "a/b",
        "",
    ];
    for (number, stem) in endings.iter().enumerate() {
        let head = HEAD.replace("osk-demo", &format!("osk-b{number}"));
        let record = format!("{head}[[photo]]\nfile = \"{stem}.png\"\ntext = \"x\"\n");
        write(&case.book(), format!("osk/b{number}/board.toml"), record);
    }
    for (number, name) in ["a.svg", "a.png\\n", "a.html", "a.png/", "a.PNG"]
        .iter()
        .enumerate()
    {
        let head = HEAD.replace("osk-demo", &format!("osk-c{number}"));
        let record = format!("{head}[[photo]]\nfile = \"{name}\"\ntext = \"x\"\n");
        write(&case.book(), format!("osk/c{number}/board.toml"), record);
    }
    let (found, compiled) = case.attack();
    let told = found
        .iter()
        .filter(|rule| *rule == "malformed-value")
        .count();
    assert_eq!(told, 15, "each is told: {found:?}");
    assert!(compiled.stdout.contains("1 board,"), "{}", compiled.stdout);
}

#[test]
fn every_maker_has_a_plain_page_of_its_own() {
    let makers = [
        "..",
        "../../up",
        "/etc",
        "C:\\x",
        "con",
        "CON",
        "Nul",
        "com1",
        "a/b",
        "a b",
        "A!B",
        "日本",
        "台灣",
        "<b>",
        "osk",
        "OSK",
        "Osk 2",
        "osk-2",
        "index",
        " ",
        "a\u{2044}b",
        "%2e%2e",
    ];
    let case = Case::new::<&str>(&[]);
    for (number, maker) in makers.iter().enumerate() {
        let record = HEAD
            .replace("\"Osk\"", &format!("'{maker}'"))
            .replace("osk-demo", &format!("osk-b{number}"));
        write(&case.book(), format!("osk/b{number}/board.toml"), record);
    }
    let (_, compiled) = compile_here(&case.book(), &case.site());
    assert_eq!(compiled.boards, makers.len(), "{:?}", compiled.withheld);
    crate::page::check_site(&case.site());

    let site = snapshot(&case.site());
    let pages: BTreeSet<&str> = site
        .keys()
        .filter_map(|path| {
            path.to_str()?
                .strip_prefix("makers/")?
                .strip_suffix(".html")
        })
        .collect();
    assert_eq!(pages.len(), makers.len(), "a page each: {pages:?}");
    for page in pages {
        let plain = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
        assert!(page.chars().all(plain), "{page:?} is plain");
        assert!(
            !["con", "nul", "com1"].contains(&page),
            "{page} is no device"
        );
    }
}
