use annotate_snippets::{
    AnnotationKind, Group, Level, Origin, Renderer, Snippet, normalize_untrusted_str,
};

use crate::book::Book;
use crate::lint::{Finding, Mark, Severity};
use crate::source::{FileId, Spot};

/// Lines shown above and below a mark.
const AROUND: usize = 1;

/// Returns a finding as a compiler would print it, with the source lines it rests on.
///
/// `style` says whether colours are wanted; names and text of records are made safe to print.
pub fn text(book: &Book, finding: &Finding, style: bool) -> String {
    let level = match finding.severity {
        Severity::Error => Level::ERROR,
        Severity::Warning => Level::WARNING,
        Severity::Advice => Level::NOTE.with_name("advice"),
    };
    let message = normalize_untrusted_str(&finding.message);
    let mut group = Group::with_title(level.primary_title(message.as_str()).id(finding.rule.name));
    let mut files: Vec<FileId> = Vec::new();
    for mark in &finding.marks {
        if !files.contains(&mark.place.file) {
            files.push(mark.place.file);
        }
    }
    for file in files {
        let marks: Vec<&Mark> = finding
            .marks
            .iter()
            .filter(|mark| mark.place.file == file)
            .collect();
        group = add_file(
            group,
            book,
            file,
            &marks,
            std::ptr::eq(marks[0], &raw const finding.marks[0]),
        );
    }
    if !finding.help.is_empty() {
        group = group.element(Level::HELP.message(normalize_untrusted_str(&finding.help)));
    }
    if let Some(why) = &finding.accepted {
        let accepted = format!("accepted: {why}");
        group = group.element(Level::NOTE.message(normalize_untrusted_str(&accepted)));
    }
    let renderer = if style {
        Renderer::styled()
    } else {
        Renderer::plain()
    };
    renderer.render(&[group])
}

fn add_file<'a>(
    group: Group<'a>,
    book: &'a Book,
    file: FileId,
    marks: &[&'a Mark],
    primary: bool,
) -> Group<'a> {
    let source = book.file(file);
    if source.text.is_empty() || marks.iter().all(|mark| mark.place.spot == Spot::File) {
        return group.element(Origin::path(&*source.name));
    }
    let (start, end, line) = window(&source.text, marks);
    let mut snippet = Snippet::source(&source.text[start..end])
        .path(&*source.name)
        .line_start(line)
        .fold(true);
    for (index, mark) in marks.iter().enumerate() {
        let kind = if primary && index == 0 {
            AnnotationKind::Primary
        } else {
            AnnotationKind::Context
        };
        let bytes = mark.location.bytes.start - start..mark.location.bytes.end - start;
        let label = (!mark.label.is_empty()).then(|| normalize_untrusted_str(&mark.label));
        snippet = snippet.annotation(kind.span(bytes).label(label));
    }
    group.element(snippet)
}

/// Returns the bytes and the first line number of a window that shows every mark.
///
/// A large file is never handed to the renderer whole.
fn window(text: &str, marks: &[&Mark]) -> (usize, usize, usize) {
    let first = marks
        .iter()
        .map(|mark| mark.location.bytes.start)
        .min()
        .unwrap_or(0);
    let last = marks
        .iter()
        .map(|mark| mark.location.bytes.end)
        .max()
        .unwrap_or(0);
    let line = marks
        .iter()
        .map(|mark| mark.location.line)
        .min()
        .unwrap_or(1);
    let mut start = text[..first].rfind('\n').map_or(0, |at| at + 1);
    let mut first_line = line;
    for _ in 0..AROUND {
        if start > 0 {
            start = text[..start - 1].rfind('\n').map_or(0, |at| at + 1);
            first_line -= 1;
        }
    }
    let mut end = last;
    for _ in 0..=AROUND {
        end = text[end..].find('\n').map_or(text.len(), |at| end + at + 1);
    }
    (start, end, first_line)
}
