//! Pictures: decoded with limits, turned upright, made no larger than a screen, and written anew, so
//! that nothing of the file that came in (place, camera, time, hidden data) goes out.

use std::collections::BTreeSet;
use std::io::Cursor;
use std::sync::Mutex;

use image::{DynamicImage, ImageDecoder as _, ImageFormat, ImageReader, Limits};

use super::Withheld;
use super::site::Site;
use crate::Failure;
use crate::book::{Board, Book, SourceFile};
use crate::source::{FaultKind, LARGEST_PICTURE, MOST_PIXELS, PictureFault, read_bounded};

/// The longest side of a picture in the site, pixels: twice a phone's width.
const LONGEST_PX: u32 = 1600;

/// Most memory that decoding one picture may take, bytes: that of the most pixels that are shown, in
/// colour and with transparency.
const MOST_MEMORY: u64 = 4 * MOST_PIXELS;

/// Memory, bytes, from which pictures are decoded one at a time, whatever the number of processors.
const LARGE: u64 = 64 << 20;

/// Held while a large picture is decoded.
static ONE_AT_A_TIME: Mutex<()> = Mutex::new(());

/// Quality of a picture written as JPEG, of 100: no loss to the eye at this size.
const QUALITY: u8 = 85;

/// Returns a picture's file below its board's folder in the site. The whole name that came in is
/// kept and its new ending added, so that no two pictures become one.
pub(super) fn site_name(file: &str) -> String {
    let ending = if has_ending(file, "png") {
        "png"
    } else {
        "jpg"
    };
    format!("photos/{file}.{ending}")
}

/// Writes a board's pictures, re-encoded, and returns their files below its folder in the site, and
/// those that cannot be shown.
pub(super) fn write(
    site: &Site,
    book: &Book,
    board: &Board,
) -> Result<(BTreeSet<String>, Vec<Withheld>), Failure> {
    let named: BTreeSet<&str> = board.record.photo.iter().map(|one| &*one.file).collect();
    let (mut shown, mut unshown) = (BTreeSet::new(), Vec::new());
    for name in named {
        let is_named = |file: &&SourceFile| file.name.rsplit('/').next() == Some(name);
        let file = board.photos.iter().map(|&id| book.file(id)).find(is_named);
        match file.map_or_else(|| Err("it is not there".to_owned()), picture) {
            Ok(bytes) => {
                let name = site_name(name);
                site.write(&format!("boards/{}/{name}", board.id()), &bytes)?;
                shown.insert(name);
            }
            Err(why) => unshown.push(Withheld {
                file: format!("{}/photos/{name}", board.folder),
                why,
            }),
        }
    }
    Ok((shown, unshown))
}

/// Returns a picture re-encoded, unless there is something wrong with its file.
fn picture(file: &SourceFile) -> Result<Vec<u8>, String> {
    if let Some(fault) = file.faults.first() {
        return Err(match &fault.kind {
            FaultKind::Picture(PictureFault::TooLarge(bytes)) => format!("it has {bytes} bytes"),
            FaultKind::Picture(PictureFault::Foreign) => "it is no PNG, JPEG or WebP".to_owned(),
            FaultKind::Picture(PictureFault::TooManyPixels(width, height)) => {
                format!("it has {width} x {height} pixels")
            }
            FaultKind::Picture(PictureFault::Broken(why)) | FaultKind::Unreadable(why) => {
                why.clone()
            }
            _ => "it is no plain file".to_owned(),
        });
    }
    let bytes = read_bounded(&file.path, LARGEST_PICTURE)
        .map_err(|_| "the file changed while it was read".to_owned())?;
    reencode(&bytes, &file.name)
}

/// Returns a picture re-encoded for the site: PNG stays PNG, everything else becomes JPEG.
///
/// # Errors
/// Says why the picture cannot be decoded.
fn reencode(bytes: &[u8], file: &str) -> Result<Vec<u8>, String> {
    let mut reader = ImageReader::new(Cursor::new(bytes))
        .with_guessed_format()
        .map_err(|error| error.to_string())?;
    let mut limits = Limits::default();
    limits.max_alloc = Some(MOST_MEMORY);
    reader.limits(limits);
    let mut decoder = reader.into_decoder().map_err(|error| error.to_string())?;
    let held = (decoder.total_bytes() >= LARGE).then(|| ONE_AT_A_TIME.lock());
    let upright = decoder.orientation().map_err(|error| error.to_string())?;
    let mut picture = DynamicImage::from_decoder(decoder).map_err(|error| error.to_string())?;
    if picture.width().max(picture.height()) > LONGEST_PX {
        picture = picture.resize(
            LONGEST_PX,
            LONGEST_PX,
            image::imageops::FilterType::Triangle,
        );
    }
    drop(held);
    // Turned last: it needs the picture's memory once more.
    picture.apply_orientation(upright);
    encode(&picture, file).map_err(|error| error.to_string())
}

fn encode(picture: &DynamicImage, file: &str) -> image::ImageResult<Vec<u8>> {
    let mut out = Cursor::new(Vec::new());
    if has_ending(file, "png") {
        picture.write_to(&mut out, ImageFormat::Png)?;
    } else {
        let encoder = image::codecs::jpeg::JpegEncoder::new_with_quality(&mut out, QUALITY);
        picture.to_rgb8().write_with_encoder(encoder)?;
    }
    Ok(out.into_inner())
}

fn has_ending(file: &str, ending: &str) -> bool {
    std::path::Path::new(file)
        .extension()
        .is_some_and(|found| found.eq_ignore_ascii_case(ending))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_large_picture_comes_out_small_and_bare() {
        let large = DynamicImage::new_rgb8(3200, 400);
        let mut bytes = Cursor::new(Vec::new());
        large
            .write_to(&mut bytes, ImageFormat::WebP)
            .expect("encoded");
        let small = reencode(bytes.get_ref(), "front.webp").expect("re-encoded");
        let read = image::load_from_memory_with_format(&small, ImageFormat::Jpeg).expect("a JPEG");
        assert_eq!(
            (read.width(), read.height()),
            (1600, 200),
            "bounded, same shape"
        );
    }

    #[test]
    fn what_is_no_picture_is_refused() {
        assert!(
            reencode(b"<svg onload='x()'/>", "front.png").is_err(),
            "not a picture"
        );
    }
}
