//! Pictures that strangers took: bounded, and only their headers are read.

use std::fs::File;
use std::io::{BufReader, Cursor, Read as _, Seek as _, SeekFrom};
use std::path::Path;

use image::{ImageFormat, ImageReader, Limits};

use super::{Fault, FaultKind, PictureFault};

/// The largest picture that is shown, bytes: twice what a telephone's camera writes.
pub const LARGEST_PICTURE: u64 = 20 << 20;

/// Most pixels of a picture that is shown: a browser needs four bytes for each.
pub const MOST_PIXELS: u64 = 100_000_000;

/// Where a JPEG's size stands at the latest, bytes: what precedes it is a preview and notes of at
/// most 64 KiB each.
const JPEG_HEAD: u64 = 1 << 20;

/// Most memory that reading a header may take, bytes.
const MOST_MEMORY: u64 = 16 << 20;

/// Bytes that tell one format from another.
const SIGNATURE: usize = 16;

/// Returns why a picture cannot be shown, if it cannot, from its first bytes.
pub fn picture_fault(path: &Path) -> Option<Fault> {
    let fault = match look(path) {
        Ok(fault) => FaultKind::Picture(fault?),
        Err(error) => FaultKind::Unreadable(error.to_string()),
    };
    Some(Fault::of_file(fault))
}

fn look(path: &Path) -> std::io::Result<Option<PictureFault>> {
    let metadata = std::fs::symlink_metadata(path)?;
    // A pipe would be waited for.
    if !metadata.is_file() {
        return Ok(Some(PictureFault::Foreign));
    }
    if metadata.len() > LARGEST_PICTURE {
        return Ok(Some(PictureFault::TooLarge(metadata.len())));
    }
    let mut file = File::open(path)?;
    let mut signature = Vec::with_capacity(SIGNATURE);
    file.by_ref()
        .take(SIGNATURE as u64)
        .read_to_end(&mut signature)?;
    file.seek(SeekFrom::Start(0))?;
    let Ok(format @ (ImageFormat::Png | ImageFormat::Jpeg | ImageFormat::WebP)) =
        image::guess_format(&signature)
    else {
        return Ok(Some(PictureFault::Foreign));
    };
    Ok(match size(file, format)? {
        Err(error) => Some(PictureFault::Broken(error.to_string())),
        Ok((width, height)) if u64::from(width) * u64::from(height) > MOST_PIXELS => {
            Some(PictureFault::TooManyPixels(width, height))
        }
        Ok(_) => None,
    })
}

/// Returns a picture's width and height in pixels.
fn size(file: File, format: ImageFormat) -> std::io::Result<image::ImageResult<(u32, u32)>> {
    let mut limits = Limits::default();
    limits.max_alloc = Some(MOST_MEMORY);
    // The JPEG reader takes everything it is given; the others stop after the header.
    if format == ImageFormat::Jpeg {
        let mut head = Vec::new();
        file.take(JPEG_HEAD).read_to_end(&mut head)?;
        let mut reader = ImageReader::with_format(Cursor::new(head), format);
        reader.limits(limits);
        return Ok(reader.into_dimensions());
    }
    let mut reader = ImageReader::with_format(BufReader::new(file), format);
    reader.limits(limits);
    Ok(reader.into_dimensions())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The smallest lossless WebP: one pixel.
    const PIXEL: &[u8] =
        b"RIFF\x1a\0\0\0WEBPVP8L\x0d\0\0\0/\0\0\0\x10\x07\x10\x11\x11\x88\x88\xfe\x07\0";

    fn fault_of(bytes: &[u8]) -> Option<FaultKind> {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("front.webp");
        std::fs::write(&path, bytes).unwrap();
        picture_fault(&path).map(|fault| fault.kind)
    }

    /// Returns the head of a PNG of a size, without its pixels; the header's checksum is given.
    fn png_head(width: u32, height: u32, checksum: u32) -> Vec<u8> {
        let mut bytes = b"\x89PNG\r\n\x1a\n\0\0\0\x0dIHDR".to_vec();
        bytes.extend(width.to_be_bytes());
        bytes.extend(height.to_be_bytes());
        bytes.extend([8, 0, 0, 0, 0]);
        bytes.extend(checksum.to_be_bytes());
        bytes.extend(b"\0\0\0\x01IDAT");
        bytes
    }

    #[test]
    fn a_picture_is_known_by_its_first_bytes() {
        assert_eq!(fault_of(PIXEL), None, "one pixel");
        let foreign = Some(FaultKind::Picture(PictureFault::Foreign));
        assert_eq!(fault_of(b"<svg/>"), foreign, "not by its name");
        assert_eq!(fault_of(b""), foreign, "an empty file");
        let broken = fault_of(&PIXEL[..16]);
        assert!(
            matches!(broken, Some(FaultKind::Picture(PictureFault::Broken(_)))),
            "cut short: {broken:?}"
        );
    }

    #[test]
    fn a_picture_that_would_fill_the_memory_is_not_shown() {
        let vast = PictureFault::TooManyPixels(60_000, 60_000);
        assert_eq!(
            fault_of(&png_head(60_000, 60_000, 0xa5b9_2a9e)),
            Some(FaultKind::Picture(vast)),
            "its header alone says so"
        );
    }
}
