//! The site of the demo book: the same bytes each time, drawings that parse back to the record, and
//! data that its own schema accepts.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::LazyLock;

use gapbook::book::{Board, Book};
use gapbook::drawing::Way;
use gapbook::guide::{Options, Tally, compile};
use gapbook::lint::lint;
use gapbook::progress::Silent;
use gapbook::record::Side;
use gapbook::stack::{Faces, Fit, Moment, Plate, Trial};
use gapbook::units::Rect;
use tempfile::TempDir;

fn demo() -> Book {
    let boards = Path::new(env!("CARGO_MANIFEST_DIR")).join("boards");
    Book::load(&boards, &Silent).expect("the demo book")
}

fn compile_into(book: &Book, out: &Path, templates: Option<&Path>) -> Tally {
    let lint = lint(book, &Silent);
    compile(book, &lint, Options { out, templates }, &Silent)
        .expect("compiled")
        .tally
}

/// Compiles the demo book, once for all tests that only read its site.
fn site() -> &'static (Book, TempDir) {
    static SITE: LazyLock<(Book, TempDir)> = LazyLock::new(|| {
        let (book, folder) = (demo(), tempfile::tempdir().expect("a folder"));
        compile_into(&book, folder.path(), None);
        (book, folder)
    });
    &SITE
}

fn files(root: &Path) -> BTreeMap<PathBuf, Vec<u8>> {
    walkdir::WalkDir::new(root)
        .into_iter()
        .map(|entry| entry.expect("readable"))
        .filter(|entry| entry.file_type().is_file())
        .map(|entry| {
            let name = entry
                .path()
                .strip_prefix(root)
                .expect("below")
                .to_path_buf();
            (name, std::fs::read(entry.path()).expect("readable"))
        })
        .collect()
}

#[test]
fn the_same_book_gives_the_same_bytes_and_a_second_compile_writes_nothing() {
    let (book, first) = site();
    let second = tempfile::tempdir().expect("a folder");
    let fresh = compile_into(&demo(), second.path(), None);
    assert!(files(first.path()) == files(second.path()), "byte for byte");
    let again = compile_into(book, second.path(), None);
    assert_eq!(
        again,
        Tally {
            changed: 0,
            removed: 0,
            ..fresh
        },
        "nothing changed"
    );
}

#[test]
fn a_template_of_the_books_own_replaces_the_built_in_one() {
    let (book, out) = (demo(), tempfile::tempdir().expect("a folder"));
    let templates = tempfile::tempdir().expect("a folder");
    let own = "<!doctype html><title>{{ book.title }}</title><p>ours</p>";
    std::fs::write(templates.path().join("key.html"), own).expect("written");
    compile_into(&book, out.path(), Some(templates.path()));
    let key = std::fs::read_to_string(out.path().join("key.html")).expect("written");
    assert!(key.contains("<p>ours</p>"), "{key}");
    let index = std::fs::read_to_string(out.path().join("index.html")).expect("written");
    assert!(index.contains("type=\"search\""), "the others are built in");
}

#[test]
fn a_board_with_an_error_is_withheld_and_the_others_are_not() {
    let folder = tempfile::tempdir().expect("a folder");
    let head = "schema = 1\n[board]\nmaker = \"Osk\"\nclass = \"other\"\n";
    for (id, more) in [("good", ""), ("bad", "thickness_mm = 900.0\n")] {
        let board = folder.path().join("book/osk").join(id);
        std::fs::create_dir_all(&board).expect("made");
        let text = format!("{head}id = \"osk-{id}\"\nmodel = \"{id}\"\n{more}");
        std::fs::write(board.join("board.toml"), text).expect("written");
    }
    let book = Book::load(&folder.path().join("book"), &Silent).expect("loads");
    let out = folder.path().join("site");
    let lint = lint(&book, &Silent);
    let done = compile(
        &book,
        &lint,
        Options {
            out: &out,
            templates: None,
        },
        &Silent,
    );
    let withheld = done.expect("compiled").withheld;
    assert_eq!(withheld.len(), 1, "{withheld:?}");
    assert_eq!(withheld[0].file, "osk/bad/board.toml", "that one");
    assert!(
        out.join("boards/osk-good/index.html").exists(),
        "the good one has its guide"
    );
    assert!(!out.join("boards/osk-bad").exists(), "the bad one has none");
}

/// The drawing's numbers have two decimals; enlarged drawings carry them further.
const ROUNDING_MM: f64 = 0.011;

/// A general XML library reads the standalone maps back: the outline gives the scale, and every pad
/// lies where its record says, mirrored on the back.
#[test]
fn maps_parse_back_to_the_record() {
    let (book, site) = site();
    let mut pads = 0;
    for board in &book.boards {
        for side in [Side::Front, Side::Back] {
            let path = site
                .path()
                .join(format!("boards/{}/{side}.svg", board.id()));
            let Ok(text) = std::fs::read_to_string(&path) else {
                continue;
            };
            let svg = roxmltree::Document::parse(&text).expect("well-formed XML");
            pads += check_map(board, side, &svg);
        }
    }
    assert!(pads > 300, "the demo book has hundreds of pads: {pads}");
}

fn check_map(board: &Board, side: Side, svg: &roxmltree::Document<'_>) -> usize {
    let [width, height] = board
        .record
        .board
        .outline_mm
        .expect("a map needs an outline");
    let rects = |class: &str| -> Vec<(String, Rect)> {
        svg.descendants()
            .filter(|node| node.attribute("class") == Some(class))
            .map(|node| {
                let zone = node.attribute("data-zone").unwrap_or_default().to_owned();
                let [x, y, width, height] = ["x", "y", "width", "height"].map(|name| {
                    node.attribute(name)
                        .and_then(|value| value.parse().ok())
                        .expect("a number")
                });
                (
                    zone,
                    Rect {
                        x,
                        y,
                        width,
                        height,
                    },
                )
            })
            .collect()
    };
    let outline = rects("pcb").remove(0).1;
    let scale = outline.width / width;
    assert!(
        (outline.height / height - scale).abs() < 1e-3,
        "{}: same scale",
        board.id()
    );

    let drawn: Vec<(String, Rect)> = rects("zone")
        .into_iter()
        .map(|(zone, rect)| {
            let from_left = (rect.x - outline.x) / scale;
            let size = [rect.width / scale, rect.height / scale];
            let x = match side {
                Side::Front => from_left,
                Side::Back => width - from_left - size[0],
            };
            let y = height - (rect.y - outline.y) / scale - size[1];
            (
                zone,
                Rect {
                    x,
                    y,
                    width: size[0],
                    height: size[1],
                },
            )
        })
        .collect();
    let written: Vec<(String, Rect)> = board
        .zones()
        .filter(|(_, _, zone)| zone.side == Some(side))
        .flat_map(|(_, written, zone)| zone.pieces.iter().map(|piece| (written.id.clone(), *piece)))
        .collect();
    assert_eq!(
        drawn.len(),
        written.len(),
        "{} {side}: every piece is drawn",
        board.id()
    );
    for ((drawn_zone, drawn), (zone, piece)) in drawn.iter().zip(&written) {
        assert_eq!(drawn_zone, zone, "in the record's order");
        let (drawn, piece): ([f64; 4], [f64; 4]) = ((*drawn).into(), (*piece).into());
        let close = drawn
            .iter()
            .zip(piece)
            .all(|(a, b)| (a - b).abs() < ROUNDING_MM);
        assert!(
            close,
            "{} {zone}: drawn {drawn:?}, written {piece:?}",
            board.id()
        );
    }
    drawn.len()
}

/// How exactly a section's heights can be read back, mm: its numbers have two decimals, and a millimetre
/// is six units or more.
const SECTION_ROUNDING_MM: f64 = 0.004;

/// A section is measured as with a ruler: the board's thickness gives the scale of heights, the pads'
/// widths that of lengths, and every pad fills the gap that the solver leaves it on the cut.
#[test]
fn sections_parse_back_to_the_gaps() {
    let (book, site) = site();
    let pads: usize = book
        .boards
        .iter()
        .map(|board| check_section(book, board, site.path()))
        .sum();
    assert!(
        pads > 60,
        "the demo book's cuts pass through dozens of pads: {pads}"
    );
}

fn check_section(book: &Book, board: &Board, site: &Path) -> usize {
    let id = board.id();
    let page = std::fs::read_to_string(site.join(format!("boards/{id}/fit.html"))).expect("there");
    let start = page.find("<svg class=\"map section\"").expect("a section");
    let end = start + page[start..].find("</svg>").expect("closed") + "</svg>".len();
    let svg = roxmltree::Document::parse(&page[start..end]).expect("well-formed XML");
    let number = |node: roxmltree::Node<'_, '_>, name: &str| -> f64 {
        let value = node.attribute(name).and_then(|value| value.parse().ok());
        value.expect("a number")
    };
    let factor = number(svg.root_element(), "data-factor");
    let find = |class: &str| {
        let mut nodes = svg.descendants();
        nodes.find(|node| node.attribute("class") == Some(class))
    };
    let Some(thickness_mm) = board.record.board.thickness_mm else {
        return 0; // Nothing to measure by.
    };
    let tall = number(find("cut-board").expect("a board"), "height") / thickness_mm;

    let fit = Fit::of(book, board, &Trial::default());
    let seated = fit.assembly.seat_at(&fit.fitted(), Moment::Assembly);
    let seated = seated.expect("balances");
    let cut = gapbook::drawing::cut(&fit).expect("a cut");
    let mut expected = Vec::new();
    for (index, zone) in fit.zones.iter().enumerate() {
        let pieces = fit.assembly.zones[index].pieces.iter();
        let seated_pieces = &seated.zones[index].as_ref().expect("fitted").pieces;
        for (piece, fares) in pieces.zip(seated_pieces) {
            let (width, middle) = match cut.way {
                Way::Across => (piece.width, [piece.centre().x, cut.at_mm]),
                Way::Up => (piece.height, [cut.at_mm, piece.centre().y]),
            };
            let (low, high) = match cut.way {
                Way::Across => (piece.y, piece.top()),
                Way::Up => (piece.x, piece.right()),
            };
            if !(low < cut.at_mm && cut.at_mm < high) {
                continue;
            }
            // The gap is known at the piece's centre; a tilted cooler leaves another on the cut.
            let rises =
                |plate: Plate| plate.height_at(middle.into()) - plate.height_at(piece.centre());
            let on_cooler = matches!(fit.assembly.zones[index].faces, Faces::OnCooler { .. });
            let tilt_mm = seated.plate.filter(|_| on_cooler).map_or(0.0, rises);
            expected.push((zone.id.to_owned(), width, fares.gap_mm + tilt_mm));
        }
    }
    let drawn = svg
        .descendants()
        .filter(|node| node.attribute("data-zone").is_some());
    let mut count = 0;
    for (node, (zone, width, gap_mm)) in drawn.zip(&expected) {
        assert_eq!(
            node.attribute("data-zone"),
            Some(zone.as_str()),
            "{id}: in order"
        );
        let [near, near_right, far_right, far_left] = corners(node.attribute("d").expect("a path"));
        let heights = [near[1] - far_left[1], near_right[1] - far_right[1]];
        let drawn_mm = (heights[0] + heights[1]).abs() / 2.0 / tall;
        assert!(
            (drawn_mm - gap_mm).abs() < SECTION_ROUNDING_MM,
            "{id} {zone}: drawn {drawn_mm}, solved {gap_mm}"
        );
        let long = (near_right[0] - near[0]) / width;
        assert!(
            (tall / long / factor - 1.0).abs() < 0.01,
            "{id}: {factor} times as tall"
        );
        let said = format!("{gap_mm:.2}");
        let mut lettering = svg.descendants().filter_map(|node| node.text());
        assert!(
            count > 0 || lettering.any(|text| text.starts_with(&said)),
            "{id} {zone}: {said}"
        );
        count += 1;
    }
    assert_eq!(count, expected.len(), "{id}: every pad on the cut is drawn");
    count
}

/// Boards of which little is known have a *Fit* sheet that says so: no cooler on a die, no heights at all,
/// pads on one revision only, nothing.
#[test]
fn a_fit_sheet_says_what_is_not_known() {
    let cooler = "[[body]]\nid = \"cooler\"\nkind = \"cooler\"\nside = \"front\"\n";
    let memory = "[[part]]\nid = \"mem\"\nkind = \"memory\"\nside = \"front\"\nat = [[10.0, 10.0, 12.0, 14.0]]\n";
    let die = "[[part]]\nid = \"gpu\"\nkind = \"die\"\nside = \"front\"\nat = [[40.0, 10.0, 20.0, 20.0]]\n";
    let zone = "[[zone]]\nid = \"mem\"\nbetween = [\"mem\", \"cooler\"]\n";
    let on_die = format!("{cooler}seats = {{ on = \"die\" }}\n");
    let on_standoffs = format!(
        "{cooler}seats = {{ on = \"standoffs\", height_mm = 3.0 }}\n{memory}height_mm = 1.1\n"
    );
    let cases = [
        ("empty", String::new(), "No die to be seated", false),
        (
            "no-die",
            format!("{on_standoffs}{zone}recess_mm = 0.0\n"),
            "No die",
            true,
        ),
        (
            "no-heights",
            format!("{on_die}{memory}{die}{zone}pad_mm = 1.5\n"),
            "measure",
            false,
        ),
        (
            "one-revision",
            format!(
                "{on_die}{memory}height_mm = 1.1\n{die}height_mm = 1.9\n{zone}pad_mm = 2.0\nrecess_mm = 0.8\nonly = [\"R1\"]\n"
            ),
            "not on this revision",
            true,
        ),
    ];
    let folder = tempfile::tempdir().expect("a folder");
    let revisions = "revisions = [\"R1\", \"R2\"]\n";
    for (id, record, ..) in &cases {
        let board = folder.path().join("book/osk").join(id);
        std::fs::create_dir_all(&board).expect("made");
        let head =
            format!("schema = 1\n[board]\nid = \"osk-{id}\"\nmaker = \"Osk\"\nmodel = \"{id}\"\n");
        let text = format!("{head}class = \"other\"\n{revisions}{record}");
        std::fs::write(board.join("board.toml"), text).expect("written");
    }
    let book = Book::load(&folder.path().join("book"), &Silent).expect("loads");
    let out = folder.path().join("site");
    compile_into(&book, &out, None);
    for (id, _, says, section) in cases {
        let path = out.join(format!("boards/osk-{id}/fit.html"));
        let page = std::fs::read_to_string(path).unwrap_or_else(|_| panic!("{id} is withheld"));
        assert!(page.contains(says), "{id}: {says}");
        assert_eq!(page.contains("map section"), section, "{id}: a section");
    }
}

/// Reads the four corners of a pad.
fn corners(path: &str) -> [[f64; 2]; 4] {
    let points = path.trim_matches(['M', 'z']).split('L');
    let corners: Vec<[f64; 2]> = points
        .map(|point| {
            let (x, y) = point.split_once(' ').expect("two numbers");
            [x, y].map(|one| one.parse().expect("a number"))
        })
        .collect();
    corners.try_into().expect("four corners")
}

#[test]
fn the_bundle_is_what_its_schemas_say() {
    let (book, site) = site();
    let json = |name: &str| -> serde_json::Value {
        let text = std::fs::read_to_string(site.path().join(name)).expect("there");
        serde_json::from_str(&text).expect("JSON")
    };
    let board_schema = json("data/board.schema.json");
    for schema in [&board_schema, &json("data/index.schema.json")] {
        assert!(
            jsonschema::meta::is_valid(schema),
            "valid by the draft 2020-12 meta-schema"
        );
    }
    let validator = jsonschema::draft202012::new(&board_schema).expect("compiles");
    for board in &book.boards {
        let bundle = json(&format!("data/boards/{}.json", board.id()));
        let errors: Vec<String> = validator
            .iter_errors(&bundle)
            .map(|error| format!("{error}"))
            .collect();
        assert!(errors.is_empty(), "{}: {errors:?}", board.id());
        assert_eq!(
            bundle["record"]["board"]["id"],
            board.id(),
            "the record is in it"
        );
    }
    let index = json("data/index.json");
    let entries = index["boards"].as_array().expect("a list");
    assert_eq!(entries.len(), book.boards.len(), "every board");
}

/// Where revisions take different pads, one hatch would be wrong for the other.
#[test]
fn a_place_that_revisions_differ_in_is_labelled_and_not_hatched() {
    let (_, site) = site();
    let path = site.path().join("boards/osk-tern-180/front.svg");
    let text = std::fs::read_to_string(path).expect("there");
    let svg = roxmltree::Document::parse(&text).expect("well-formed XML");
    let fills = |zone: &str| -> Vec<&str> {
        svg.descendants()
            .filter(|node| node.attribute("data-zone") == Some(zone))
            .filter_map(|node| node.attribute("fill"))
            .collect()
    };
    for zone in ["mem-r1", "mem-r2"] {
        assert_eq!(fills(zone), ["none"; 6], "{zone}");
    }
    assert_eq!(fills("vrm"), ["url(#front-h150)"; 6], "the same on both");
    let count = |label: &str| {
        let labels = svg.descendants().filter(roxmltree::Node::is_text);
        labels.filter(|node| node.text() == Some(label)).count()
    };
    // Left, right and below the die.
    assert_eq!([count("R1.0: 1.5"), count("R2.0: 2.0")], [3, 3], "both");
}

/// Three jobs of whimbrel-long read 1.98, 2.49 and 2.00 mm at the memory.
#[test]
fn jobs_that_read_different_pads_dissent() {
    let (_, site) = site();
    let read = |name: &str| std::fs::read_to_string(site.path().join(name)).expect("there");
    let text = read("data/boards/tolvane-whimbrel-long.json");
    let bundle: serde_json::Value = serde_json::from_str(&text).expect("JSON");
    let facts = &bundle["facts"];
    let evidence = &facts["zones"][0]["evidence"];
    assert_eq!(evidence["grade"], "dissent", "of the zone");
    assert!(evidence["edge"].is_null(), "no mean of two pads");
    let words = "one job to independent benches; dissent on memory";
    assert_eq!(facts["grade_in_words"], words, "of the board");
    for page in ["index.html", "makers/tolvane.html"] {
        assert!(read(page).contains(words), "{page}");
    }
    for sheet in ["index", "measure", "fit"] {
        let page = read(&format!("boards/tolvane-whimbrel-long/{sheet}.html"));
        assert!(page.contains("<b>dissent</b>"), "{sheet}");
    }
}

/// An id has one anchor, whichever sheet it is on.
#[test]
fn an_id_has_the_same_anchor_on_every_sheet() {
    let (_, site) = site();
    let sheets = [
        ("index", ["zone-mem-front", "tray-cooler-x"].as_slice()),
        ("open", &["tray-cooler-x", "connector-fan", "body-cooler"]),
        ("measure", &["zone-mem-front"]),
        ("fit", &["zone-mem-front", "part-mem-front"]),
    ];
    for (sheet, anchors) in sheets {
        let path = site
            .path()
            .join(format!("boards/osk-tern-240/{sheet}.html"));
        let page = std::fs::read_to_string(path).expect("there");
        for anchor in anchors {
            let found = page.matches(&format!("id=\"{anchor}\"")).count();
            assert_eq!(found, 1, "{sheet}: {anchor}");
        }
    }
}

/// Every sheet shows the usual cautions before anything else, and defers to the maker and the law.
#[test]
fn every_sheet_begins_with_its_cautions() {
    let (book, site) = site();
    for board in &book.boards {
        for (sheet, word) in [
            ("decide", "CAUTION"),
            ("open", "WARNING"),
            ("measure", "CAUTION"),
            ("fit", "WARNING"),
            ("close", "NOTICE"),
            ("prove", "CAUTION"),
        ] {
            let path = site
                .path()
                .join(format!("boards/{}/{sheet}.html", board.id()));
            let page = std::fs::read_to_string(path).expect("there");
            let content = page.find("<section").expect("a section");
            assert!(
                page[..content].contains(word),
                "{} {sheet}: {word}",
                board.id()
            );
            assert!(
                page[..content].contains("come first"),
                "{} {sheet}: defers",
                board.id()
            );
        }
    }
}

/// What a technician does with the demo boards, move by move, read off their records by hand.
#[test]
fn moves_are_those_of_a_careful_bench() {
    let (book, _site) = site();
    let shorts = |id: &str, closing: bool| -> Vec<String> {
        let board = book.board(id).expect("a demo board");
        let json = gapbook::guide::board_json(book, &lint(book, &Silent), board);
        let facts: serde_json::Value = serde_json::from_str(&json).expect("JSON");
        let moves = &facts["facts"]["order"][if closing { "closing" } else { "opening" }];
        let words = |one: &serde_json::Value| {
            let trays = one["trays"].as_array().expect("a list");
            let trays: Vec<&str> = trays.iter().filter_map(|tray| tray.as_str()).collect();
            format!(
                "{} {}",
                trays.concat(),
                one["short"].as_str().expect("words")
            )
            .trim()
            .to_owned()
        };
        moves
            .as_array()
            .expect("a list")
            .iter()
            .map(words)
            .collect()
    };
    let position = |moves: &[String], what: &str| {
        let found = moves.iter().position(|one| one.contains(what));
        found.unwrap_or_else(|| panic!("no `{what}` in {moves:?}"))
    };
    let comes_before = |moves: &[String], first: &str, then: &str| {
        assert!(
            position(moves, first) < position(moves, then),
            "{first}, {then}: {moves:?}"
        );
    };

    let tern = shorts("osk-tern-240", false);
    comes_before(
        &tern,
        "cooler: open like a book, well under 45 mm",
        "unplug fan",
    );
    comes_before(&tern, "unplug light", "lift cooler");
    comes_before(&tern, "lift cooler", "B out");
    let closing = shorts("osk-tern-240", true);
    comes_before(&closing, "plug fan in", "close cooler");
    comes_before(&closing, "A in", "D in");

    let laptop = shorts("ferrowick-skiff-thirteen", false);
    comes_before(&laptop, "lift bottom case", "unplug battery");
    comes_before(&laptop, "unplug battery", "A loose");

    let half_height = shorts("tolvane-dunlin-short", false);
    assert!(
        half_height.contains(&"AB out, from the back".to_owned()),
        "springs go together"
    );
    comes_before(&shorts("osk-tern-180", false), "lift spring", "lift cooler");
    comes_before(&shorts("osk-tern-180", true), "put spring on", "A in");
}

/// Common practice (no source): the heavier cooler lies on the bench and the board is put onto it; its plugs
/// are looked at before it is closed, and it is closed before a screw is driven.
#[test]
fn the_board_is_put_onto_the_cooler() {
    let (_, site) = site();
    let path = site.path().join("boards/osk-tern-240/close.html");
    let page = std::fs::read_to_string(path).expect("there");
    let position = |what: &str| page.find(what).unwrap_or_else(|| panic!("no `{what}`"));
    let steps = [
        "The cooler is the heavier: lay it on its back",
        "Plug fan in until it seats",
        "Look once more: fan and light in",
        "A1 → A2 → A3 → A4",
        "Tray A is empty: 4 went back",
    ];
    assert!(steps.map(position).is_sorted(), "in this order");
}

/// The screw sheet has the board's own size, and every screw lies at its place.
#[test]
fn the_screw_sheet_is_at_the_board_s_own_size() {
    let (book, site) = site();
    let board = book.board("quillet-skerry-80").expect("a small board");
    let path = site.path().join("boards/quillet-skerry-80/screws.html");
    let page = scraper::Html::parse_document(&std::fs::read_to_string(path).expect("there"));
    let all = |css: &str| {
        let selector = scraper::Selector::parse(css).expect("CSS");
        page.select(&selector)
            .map(|found| found.value().clone())
            .collect::<Vec<_>>()
    };
    let number = |element: &scraper::node::Element, name: &str| -> f64 {
        let value = element.attr(name).expect("there").trim_end_matches("mm");
        value.parse().expect("a number")
    };
    let sheet = &all(".one-to-one svg")[0];
    let seen: Vec<f64> = sheet
        .attr("viewBox")
        .expect("there")
        .split(' ')
        .map(|length| length.parse().expect("a number"))
        .collect();
    let drawn = [number(sheet, "width"), number(sheet, "height")];
    assert!(
        (drawn[0] - seen[2]).abs() < 0.01 && (drawn[1] - seen[3]).abs() < 0.01,
        "a unit is a millimetre: {drawn:?}, {seen:?}"
    );
    let outline = board.record.board.outline_mm.expect("known");
    let pcb = &all(".one-to-one rect.pcb")[0];
    assert!(
        (number(pcb, "width") - outline[0]).abs() < 0.01,
        "as wide as it is"
    );
    let (left, upper) = (number(pcb, "x"), number(pcb, "y"));
    let screws = all(".one-to-one circle.screw");
    let written = &board.record.fasteners[0].at;
    assert_eq!(screws.len(), written.len(), "each has its circle");
    for (screw, at) in screws.iter().zip(written) {
        let (x, y) = (number(screw, "cx") - left, number(screw, "cy") - upper);
        let off = (x - at.x).hypot(outline[1] - y - at.y);
        assert!(off < 0.02, "{at:?} is drawn {off} mm off");
    }
}
