//! What stops the program, as opposed to what is wrong with a record.

use std::fmt;

/// A failure: what could not be done, why, and what to do about it.
#[derive(Debug)]
pub struct Failure {
    message: String,
    help: Option<String>,
}

impl Failure {
    /// Returns a failure that says what could not be done and why.
    pub fn new(message: impl Into<String>) -> Self {
        Self {
            message: message.into(),
            help: None,
        }
    }

    /// Returns the failure of doing something to a file or folder.
    pub(crate) fn io(doing: &str, path: &std::path::Path, error: &std::io::Error) -> Self {
        Self::new(format!("could not {doing} `{}`: {error}", path.display()))
    }

    /// Adds what to do about it.
    #[must_use]
    pub fn help(mut self, help: impl Into<String>) -> Self {
        self.help = Some(help.into());
        self
    }
}

impl fmt::Display for Failure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.message)?;
        match &self.help {
            Some(help) => write!(f, "\n  help: {help}"),
            None => Ok(()),
        }
    }
}

impl std::error::Error for Failure {}
