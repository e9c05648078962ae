use super::{Rule, Severity};
use crate::source::{Location, Place};

/// Something wrong in the book, as data.
#[derive(Clone, Debug)]
pub struct Finding {
    /// The rule it breaks.
    pub rule: &'static Rule,
    /// How grave it is in this book.
    pub severity: Severity,
    /// What is wrong, one sentence with the numbers in it.
    pub message: String,
    /// What it rests on; the first is the fault's own place.
    pub marks: Vec<Mark>,
    /// What to do about it; may be empty.
    pub help: String,
    /// Why the record accepts it, if it does.
    pub accepted: Option<String>,
}

/// A place that a finding rests on.
#[derive(Clone, Debug)]
pub struct Mark {
    /// The place.
    pub place: Place,
    /// What is to be seen there; may be empty.
    pub label: String,
    /// Where that is in the text; set by the driver.
    pub location: Location,
}

impl Mark {
    fn new(place: Place, label: impl Into<String>) -> Self {
        Self {
            place,
            label: label.into(),
            location: Location::default(),
        }
    }
}

/// The findings of one rule.
#[derive(Debug)]
pub struct Report<'a> {
    rule: &'static Rule,
    severity: Severity,
    findings: &'a mut Vec<Finding>,
}

impl<'a> Report<'a> {
    pub(super) fn new(
        rule: &'static Rule,
        severity: Severity,
        findings: &'a mut Vec<Finding>,
    ) -> Self {
        Self {
            rule,
            severity,
            findings,
        }
    }

    /// Adds a finding: what is wrong, and where. Returns it, to be told more.
    pub fn find(&mut self, place: Place, message: impl Into<String>) -> &mut Finding {
        self.findings.push(Finding {
            rule: self.rule,
            severity: self.severity,
            message: message.into(),
            marks: vec![Mark::new(place, "")],
            help: String::new(),
            accepted: None,
        });
        self.findings.last_mut().expect("invariant: one was pushed")
    }
}

impl Finding {
    /// Says what is to be seen at the fault's own place.
    pub fn label(&mut self, label: impl Into<String>) -> &mut Self {
        self.marks[0].label = label.into();
        self
    }

    /// Adds another place that the finding rests on.
    pub fn also(&mut self, place: Place, label: impl Into<String>) -> &mut Self {
        self.marks.push(Mark::new(place, label));
        self
    }

    /// Says what to do.
    pub fn help(&mut self, help: impl Into<String>) -> &mut Self {
        self.help = help.into();
        self
    }
}
