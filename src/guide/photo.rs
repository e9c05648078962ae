//! Pictures: decoded with limits, turned upright, made no larger than a screen, and written anew, so
//! that nothing of the file that came in (place, camera, time, hidden data) goes out.

use std::io::Cursor;

use image::{DynamicImage, ImageDecoder as _, ImageFormat, ImageReader, Limits};

/// The longest side of a picture in the site, pixels: twice a phone's width.
const LONGEST_PX: u32 = 1600;

/// The longest side of a picture that is read at all, pixels.
const LONGEST_READ_PX: u32 = 16_000;

/// Most memory that decoding one picture may take, bytes.
const MOST_MEMORY: u64 = 256 << 20;

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

/// Returns a picture re-encoded for the site: PNG stays PNG, everything else becomes JPEG.
///
/// # Errors
/// Says why the picture cannot be decoded.
pub(super) fn reencode(bytes: &[u8], file: &str) -> Result<Vec<u8>, String> {
    let mut reader = ImageReader::new(Cursor::new(bytes))
        .with_guessed_format()
        .map_err(|error| error.to_string())?;
    let mut limits = Limits::default();
    limits.max_image_width = Some(LONGEST_READ_PX);
    limits.max_image_height = Some(LONGEST_READ_PX);
    limits.max_alloc = Some(MOST_MEMORY);
    reader.limits(limits);
    let mut decoder = reader.into_decoder().map_err(|error| error.to_string())?;
    let upright = decoder.orientation().map_err(|error| error.to_string())?;
    let mut picture = DynamicImage::from_decoder(decoder).map_err(|error| error.to_string())?;
    picture.apply_orientation(upright);
    if picture.width().max(picture.height()) > LONGEST_PX {
        picture = picture.resize(
            LONGEST_PX,
            LONGEST_PX,
            image::imageops::FilterType::Triangle,
        );
    }
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
