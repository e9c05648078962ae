use crate::book::{Board, Book, SourceFile};
use crate::lint::Report;
use crate::lint::rule::declare_rule;
use crate::source::{FaultKind, LARGEST_PICTURE, MOST_PIXELS, PictureFault, keys};

declare_rule! {
    /// Looks for a `[[photo]]` whose file is not in the board's `photos` folder, is no PNG, JPEG or WebP
    /// by its content, cannot be read, or is larger than 20 MiB or 100 megapixels.
    ///
    /// ## Why
    ///
    /// The guide would show a broken frame where it promises a picture, or one that a telephone's browser
    /// cannot open.
    ///
    /// ## It fails
    ///
    /// ```toml fails
    /// [[photo]]
    /// file = "front.webp"
    /// text = "the front, with its fan"
    /// ```
    ///
    /// ```toml fails
    /// [[photo]]
    /// file = "front.webp"
    /// text = "the front, with its fan"
    /// # file: osk/demo/photos/front.webp
    /// # bytes: 3c 73 76 67 2f 3e
    /// ```
    ///
    /// ## It passes
    ///
    /// ```toml passes
    /// [[photo]]
    /// file = "front.webp"
    /// text = "the front, with its fan"
    /// # file: osk/demo/photos/front.webp
    /// # bytes: 52 49 46 46 1a 00 00 00 57 45 42 50 56 50 38 4c 0d 00 00 00 2f 00 00 00 10 07 10 11 11 88 88 fe 07 00
    /// ```
    ///
    /// ## What to do
    ///
    /// Put the picture in `photos`, in one of the three formats, scaled to what a screen can show.
    "unusable-photo", Identity, Warning,
    "a photo that cannot be shown",
    Board(check)
}

fn check(book: &Book, board: &Board, report: &mut Report<'_>) {
    for (index, photo) in board.record.photo.iter().enumerate() {
        let mut files = board.photos.iter().map(|&id| book.file(id));
        let found = files.find(|file| file.name.ends_with(&format!("/{}", photo.file)));
        let (why, help) = match found.map(fault_of) {
            None => (
                format!("is not in `{}/photos`", board.folder),
                "put the file there; capital letters count",
            ),
            Some(Some(fault)) => wording(fault),
            Some(None) => continue,
        };
        report
            .find(
                board.at(keys!["photo", index, "file"]),
                format!("`{}` {why}", photo.file),
            )
            .help(help);
    }
}

/// Returns why a picture cannot be shown; a link or a closed file is told as that.
fn fault_of(file: &SourceFile) -> Option<&PictureFault> {
    file.faults.iter().find_map(|fault| match &fault.kind {
        FaultKind::Picture(fault) => Some(fault),
        _ => None,
    })
}

fn wording(fault: &PictureFault) -> (String, &'static str) {
    match fault {
        PictureFault::TooLarge(bytes) => (
            format!("has {bytes} bytes, more than the {LARGEST_PICTURE} that are shown"),
            "scale it down; 2000 pixels across are plenty",
        ),
        PictureFault::Foreign => (
            "is by its content no PNG, JPEG or WebP".into(),
            "save the picture again in one of the three; to rename it is not enough",
        ),
        PictureFault::Broken(why) => (
            format!("has a header that cannot be read: {why}"),
            "save the picture again",
        ),
        PictureFault::TooManyPixels(width, height) => (
            format!(
                "has {width} x {height} pixels, more than the {} million that are shown",
                MOST_PIXELS / 1_000_000
            ),
            "scale it down; 2000 pixels across are plenty",
        ),
    }
}
