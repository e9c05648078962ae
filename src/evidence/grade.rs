//! How well a value is known.

use crate::record::schema::{Words, words};

words! {
    /// How well a value is known; computed from the jobs, never declared.
    #[derive(PartialOrd, Ord)]
    pub enum Grade {
        /// Jobs measured different things: it is known less than where nobody looked, since whichever
        /// figure one takes, a bench read another.
        Dissent = "dissent",
        /// No job measured it.
        Unmeasured = "unmeasured",
        /// One job measured it.
        OneJob = "one job",
        /// Several jobs of one bench measured it.
        OneBench = "one bench",
        /// Several benches measured it.
        IndependentBenches = "independent benches",
    }
}

impl Grade {
    /// Returns the grade of a value that these benches measured, one entry a job.
    pub fn of<B: PartialEq>(benches: &[B]) -> Self {
        match benches {
            [] => Self::Unmeasured,
            [_] => Self::OneJob,
            [first, rest @ ..] if rest.iter().all(|bench| bench == first) => Self::OneBench,
            _ => Self::IndependentBenches,
        }
    }

    /// Says what would raise it; nothing of the best.
    pub fn raised_by(self) -> Option<&'static str> {
        match self {
            Self::Dissent => {
                Some("what tells the two kinds of board apart, noted with the next readings")
            }
            Self::Unmeasured => Some("one job that reads it"),
            Self::OneJob | Self::OneBench => Some("a job of another bench"),
            Self::IndependentBenches => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bench_counts_once() {
        assert_eq!(Grade::of::<&str>(&[]), Grade::Unmeasured, "none");
        assert_eq!(Grade::of(&["a"]), Grade::OneJob, "one");
        assert_eq!(Grade::of(&["a", "a"]), Grade::OneBench, "twice the same");
        assert_eq!(
            Grade::of(&["a", "a", "b"]),
            Grade::IndependentBenches,
            "another"
        );
    }
}
