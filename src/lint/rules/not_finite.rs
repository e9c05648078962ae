use crate::book::SourceFile;
use crate::lint::Report;
use crate::lint::rule::declare_rule;
use crate::lint::wording::tail;
use crate::source::FaultKind;

declare_rule! {
    /// Looks for numbers without a finite value: `nan`, `inf`, and numbers too great to be held.
    ///
    /// ## Why
    ///
    /// TOML has them, a bench does not. Every sum that such a number enters is lost.
    ///
    /// ## It fails
    ///
    /// ```toml fails
    /// [limits]
    /// die_c = nan
    /// ```
    ///
    /// ## It passes
    ///
    /// ```toml passes
    /// [limits]
    /// die_c = 90.0
    /// source = "maker's sheet"
    /// ```
    ///
    /// ## What to do
    ///
    /// Leave the key out if the value is not known: the guide then says so.
    "not-finite", Reading, Error,
    "a number without a finite value",
    File(check)
}

fn check(file: &SourceFile, report: &mut Report<'_>) {
    for fault in &file.faults {
        if let FaultKind::NotFinite(written) = &fault.kind {
            let message = format!("`{}` is {written}, not a finite number", tail(&fault.spot));
            report
                .find(file.at(&fault.spot), message)
                .help("leave the key out if its value is not known");
        }
    }
}
