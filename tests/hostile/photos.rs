//! Pictures that are too much, are no pictures, or say more than they show.

use std::io::Cursor;

use image::{DynamicImage, ImageFormat, Rgb, RgbImage};

use crate::common::{Case, HEAD, compile_here, write};

/// What pictures say that nobody should read.
const SECRET: &str = "59.9139N-bench-7-serial-0042";

/// Makes a book whose one board shows these pictures.
fn showing(pictures: &[(&str, Vec<u8>)]) -> Case {
    let photos: Vec<String> = pictures
        .iter()
        .map(|(name, _)| format!("[[photo]]\nfile = \"{name}\"\ntext = \"x\"\n"))
        .collect();
    let record = format!("{HEAD}{}", photos.concat());
    let case = Case::new(&[("osk/demo/board.toml", record)]);
    for (name, bytes) in pictures {
        write(&case.book(), format!("osk/demo/photos/{name}"), bytes);
    }
    case
}

/// Checks that a picture is not in the site, that no page asks for it, and that both commands say so.
fn is_refused(name: &str, bytes: Vec<u8>, rule: Option<&str>) {
    let case = showing(&[(name, bytes)]);
    let (found, compiled) = case.attack();
    if let Some(rule) = rule {
        assert!(found.iter().any(|one| one == rule), "{name}: {found:?}");
    }
    let line = format!("not shown: osk/demo/photos/{name}: ");
    assert!(
        compiled.stdout.contains(&line),
        "{name}: {}",
        compiled.stdout
    );
    let folder = case.site().join("boards/osk-demo");
    assert!(!folder.join("photos").exists(), "{name} is not in the site");
    let page = std::fs::read_to_string(folder.join("index.html")).expect("the board has its guide");
    assert!(!page.contains("<img"), "{name}: and no page asks for it");
}

fn encoded(picture: &DynamicImage, format: ImageFormat) -> Vec<u8> {
    let mut bytes = Cursor::new(Vec::new());
    picture.write_to(&mut bytes, format).expect("encoded");
    bytes.into_inner()
}

/// Returns a picture whose left third is red, so that its turning shows.
fn flag(width: u32, height: u32) -> DynamicImage {
    let colour = |x: u32| {
        if x * 3 < width {
            Rgb([200, 0, 0])
        } else {
            Rgb([0, 0, 200])
        }
    };
    DynamicImage::ImageRgb8(RgbImage::from_fn(width, height, |x, _| colour(x)))
}

/// Returns a PNG of one colour and any size, a bit a pixel, with text chunks.
fn png(width: u32, height: u32) -> Vec<u8> {
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, width, height);
    encoder.set_color(png::ColorType::Grayscale);
    encoder.set_depth(png::BitDepth::One);
    encoder
        .add_text_chunk("Author".into(), SECRET.into())
        .expect("text");
    encoder
        .add_ztxt_chunk("Comment".into(), SECRET.into())
        .expect("text");
    encoder
        .add_itxt_chunk("XML:com.adobe.xmp".into(), SECRET.into())
        .expect("text");
    let row = usize::try_from(width.div_ceil(8)).expect("small");
    let rows = usize::try_from(height).expect("small");
    let mut writer = encoder.write_header().expect("a header");
    writer
        .write_image_data(&vec![0xff; row * rows])
        .expect("pixels");
    writer.finish().expect("an end");
    bytes
}

/// Returns a JPEG with notes of its camera: EXIF with an orientation and a place, XMP, and a comment.
fn jpeg_with_notes() -> Vec<u8> {
    let plain = encoded(&flag(48, 24), ImageFormat::Jpeg);
    let mut tiff = b"MM\0\x2a\0\0\0\x08\0\x02".to_vec();
    tiff.extend(b"\x01\x12\0\x03\0\0\0\x01\0\x06\0\0"); // Orientation 6: turned to the right.
    tiff.extend(b"\x88\x25\0\x04\0\0\0\x01\0\0\0\x26"); // The place stands at 38.
    tiff.extend(b"\0\0\0\0");
    tiff.extend(b"\0\x01\0\x1d\0\x02\0\0\0\x1c\0\0\0\x38\0\0\0\0");
    tiff.extend(SECRET.as_bytes());
    let mut noted = plain[..2].to_vec();
    let mut segment = |marker: u8, body: &[u8]| {
        noted.extend([0xff, marker]);
        noted.extend(u16::try_from(body.len() + 2).expect("short").to_be_bytes());
        noted.extend(body);
    };
    segment(0xe1, &[b"Exif\0\0", &*tiff].concat());
    segment(
        0xe1,
        format!("http://ns.adobe.com/xap/1.0/\0<x>{SECRET}</x>").as_bytes(),
    );
    segment(0xfe, SECRET.as_bytes());
    noted.extend(&plain[2..]);
    noted.extend(SECRET.as_bytes()); // And what follows the end of the picture.
    noted
}

#[test]
fn pictures_leave_without_what_they_say_beside() {
    let mut png = png(40, 20);
    png.extend(SECRET.as_bytes());
    let case = showing(&[("a.jpg", jpeg_with_notes()), ("b.png", png)]);
    let (found, compiled) = case.attack();
    assert_eq!(compiled.status, 0, "{found:?} {}", compiled.stdout);
    let photos = case.site().join("boards/osk-demo/photos");
    for (name, size) in [("a.jpg.jpg", (24, 48)), ("b.png.png", (40, 20))] {
        let bytes = std::fs::read(photos.join(name)).expect("in the site");
        let text = String::from_utf8_lossy(&bytes);
        for word in [
            SECRET, "Exif", "xap", "adobe", "tEXt", "zTXt", "iTXt", "eXIf",
        ] {
            assert!(!text.contains(word), "{name} says {word}");
        }
        let shown = image::load_from_memory(&bytes).expect("a picture");
        assert_eq!(
            (shown.width(), shown.height()),
            size,
            "{name} stands upright"
        );
    }
}

#[test]
fn pictures_that_would_fill_the_memory_are_left_out() {
    is_refused("a.png", png(16_000, 16_000), Some("unusable-photo"));
    is_refused("a.png", png(60_000, 1_700), Some("unusable-photo"));
    let mut head = encoded(&flag(8, 8), ImageFormat::Jpeg);
    let frame = head
        .windows(2)
        .position(|two| two == [0xff, 0xc0])
        .expect("a frame");
    head[frame + 5..frame + 9].copy_from_slice(&[0xff, 0xff, 0xff, 0xff]);
    is_refused("a.jpg", head, Some("unusable-photo"));
    // A text that is small in the file and a hundred megabytes in memory.
    let bomb = png_with_bomb();
    let case = showing(&[("a.png", bomb)]);
    let (_, compiled) = case.attack();
    assert!(compiled.status < 2, "{}", compiled.stderr);
}

/// Returns a small PNG with a compressed text of 100 MB.
fn png_with_bomb() -> Vec<u8> {
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, 8, 8);
    encoder.set_color(png::ColorType::Grayscale);
    encoder
        .add_ztxt_chunk("Comment".into(), "x".repeat(100_000_000))
        .expect("text");
    let mut writer = encoder.write_header().expect("a header");
    writer.write_image_data(&[0; 64]).expect("pixels");
    writer.finish().expect("an end");
    bytes
}

#[test]
fn what_is_no_picture_is_left_out() {
    let svg = b"<svg xmlns='http://www.w3.org/2000/svg' onload='window.__pwned=1'/>".to_vec();
    is_refused("a.png", svg, Some("unusable-photo"));
    is_refused(
        "a.jpg",
        b"<html><script>window.__pwned=1</script>".to_vec(),
        Some("unusable-photo"),
    );
    is_refused(
        "a.png",
        b"GIF89a\x01\0\x01\0\0\0\0;".to_vec(),
        Some("unusable-photo"),
    );
    is_refused("a.webp", Vec::new(), Some("unusable-photo"));
    let mut large = encoded(&flag(8, 8), ImageFormat::Png);
    large.resize(21 << 20, 0);
    is_refused("a.png", large, Some("unusable-photo"));
}

/// Only a picture's head is read when it is linted: that the rest is missing shows when it is drawn.
#[test]
fn a_picture_that_is_cut_short_is_left_out_or_drawn_as_far_as_it_goes() {
    for (name, format) in [
        ("a.png", ImageFormat::Png),
        ("a.jpg", ImageFormat::Jpeg),
        ("a.webp", ImageFormat::WebP),
    ] {
        let whole = encoded(&flag(400, 300), format);
        for share in [1, 2, 3] {
            let case = showing(&[(name, whole[..whole.len() * share / 4].to_vec())]);
            let (_, compiled) = case.attack();
            assert!(compiled.status < 2, "{name}: {}", compiled.stderr);
            let folder = case.site().join("boards/osk-demo");
            let page = std::fs::read_to_string(folder.join("index.html")).expect("there");
            let is_asked_for = page.contains("<img");
            assert_eq!(
                is_asked_for,
                folder.join("photos").exists(),
                "{name}: both or neither"
            );
            let is_told = compiled.stdout.contains("not shown: osk/demo/photos/a.");
            assert_eq!(is_told, !is_asked_for, "{name}: {}", compiled.stdout);
        }
    }
}

#[test]
fn two_pictures_never_become_one() {
    let red = encoded(&flag(9, 3), ImageFormat::Png);
    let jpeg = encoded(&flag(9, 3), ImageFormat::Jpeg);
    let names = [
        "a.png",
        "a.jpg",
        "a.jpeg",
        "a.png.jpg",
        "a.jpg.png",
        "A.png",
    ];
    let pictures: Vec<(&str, Vec<u8>)> = names
        .iter()
        .map(|&name| {
            (
                name,
                if name.ends_with("png") {
                    red.clone()
                } else {
                    jpeg.clone()
                },
            )
        })
        .collect();
    let case = showing(&pictures);
    let (_, compiled) = compile_here(&case.book(), &case.site());
    assert_eq!(compiled.unshown, [], "all are shown");
    let photos = std::fs::read_dir(case.site().join("boards/osk-demo/photos")).expect("there");
    assert_eq!(photos.count(), names.len(), "a file each");
}
