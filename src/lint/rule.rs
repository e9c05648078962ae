use super::{Report, StackUp};
use crate::book::{Board, Book, SourceFile};
use crate::evidence::ZoneEvidence;
use crate::record::schema::{Words, words};
use crate::record::{Accept, Level};

/// One thing the linter checks.
#[derive(Debug)]
pub struct Rule {
    /// Its name: kebab-case, says what is wrong.
    pub name: &'static str,
    /// The family it belongs to.
    pub family: Family,
    /// How grave a finding is, unless the book says otherwise.
    pub severity: Severity,
    /// What is wrong, in a few words.
    pub summary: &'static str,
    /// What it checks, why, examples and what to do, in Markdown.
    pub docs: &'static str,
    /// The checks themselves, by what they look at; several where a part of the work is each board's own.
    pub checks: &'static [Check],
}

impl Rule {
    /// Tells whether a book cannot lower it or switch it off: what breaks it is not read, or has a name
    /// that leads astray, and silence about it would lose a record.
    pub fn is_fixed(&self) -> bool {
        let is_of_names = matches!(self.family, Family::Reading | Family::Identity);
        is_of_names && self.severity == Severity::Error
    }

    /// Returns how grave its findings are in a book that gives it this level; `None` is switched off.
    pub(super) fn severity_at(&self, level: Option<Level>) -> Option<Severity> {
        match level {
            Some(level) if !self.is_fixed() => Severity::of_level(level),
            _ => Some(self.severity),
        }
    }
}

/// What a rule looks at.
#[derive(Clone, Copy)]
pub enum Check {
    /// One file as text.
    File(fn(&SourceFile, &mut Report<'_>)),
    /// One board with its jobs.
    Board(fn(&Book, &Board, &mut Report<'_>)),
    /// What the jobs say of one board's zones, by position: concluded once for all rules that look at it.
    Evidence(fn(&Book, &Board, &[ZoneEvidence], &mut Report<'_>)),
    /// One board's stack-up, by revision: seated once for all rules that look at it.
    Stack(fn(&Board, &[StackUp<'_>], &mut Report<'_>)),
    /// The whole book.
    Book(fn(&Book, &mut Report<'_>)),
    /// An accepted finding that accepts nothing: known only when every other rule has run.
    Accept(fn(&Board, (usize, &Accept), &mut Report<'_>)),
}

impl std::fmt::Debug for Check {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::File(_) => "File",
            Self::Board(_) => "Board",
            Self::Evidence(_) => "Evidence",
            Self::Stack(_) => "Stack",
            Self::Book(_) => "Book",
            Self::Accept(_) => "Accept",
        })
    }
}

words! {
    /// How grave a finding is.
    #[derive(PartialOrd, Ord)]
    pub enum Severity {
        /// It cannot be true, or would harm.
        Error = "error",
        /// It is likely wrong.
        Warning = "warning",
        /// It is not known yet.
        Advice = "advice",
    }
}

impl Severity {
    /// Returns the severity that a book's level gives, or `None` where it switches the rule off.
    pub(super) fn of_level(level: Level) -> Option<Self> {
        match level {
            Level::Error => Some(Self::Error),
            Level::Warning => Some(Self::Warning),
            Level::Advice => Some(Self::Advice),
            Level::Off => None,
        }
    }
}

words! {
    /// What a rule's faults have in common.
    #[derive(PartialOrd, Ord)]
    pub enum Family {
        /// The text cannot be read as a record.
        Reading = "reading",
        /// It is not clear what is meant.
        Identity = "identity",
        /// It does not fit on the board.
        Geometry = "geometry",
        /// Something is missing.
        Completeness = "completeness",
        /// Two facts exclude each other.
        Consistency = "consistency",
    }
}

/// Says, at the end of the page of a rule that [is fixed](Rule::is_fixed), that it is.
macro_rules! what_books_may_do {
    (Reading, Error) => { $crate::lint::rule::what_books_may_do!() };
    (Identity, Error) => { $crate::lint::rule::what_books_may_do!() };
    ($family:ident, $severity:ident) => { "" };
    () => {
        "\n A book cannot lower this rule or switch it off: what breaks it would be lost without a word.\n"
    };
}
pub(super) use what_books_may_do;

/// Declares a file's rule; its doc comment is its page in the site.
macro_rules! declare_rule {
    (
        $(#[doc = $doc:literal])+
        $name:literal, $family:ident, $severity:ident,
        $summary:literal,
        $($scope:ident($check:path)),+
    ) => {
        $(#[doc = $doc])+
        pub(super) static RULE: $crate::lint::Rule = $crate::lint::Rule {
            name: $name,
            family: $crate::lint::Family::$family,
            severity: $crate::lint::Severity::$severity,
            summary: $summary,
            docs: concat!(
                $($doc, "\n",)+
                $crate::lint::rule::what_books_may_do!($family, $severity)
            ),
            checks: &[$($crate::lint::Check::$scope($check)),+],
        };
    };
}
pub(super) use declare_rule;
