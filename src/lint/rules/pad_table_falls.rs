use crate::book::{Book, Role};
use crate::lint::Report;
use crate::lint::rule::declare_rule;
use crate::record::schema::Kind;
use crate::source::{Spot, keys};
use crate::stack::{Domain, pad_curve};

declare_rule! {
    /// Looks for pads of the stock whose deflection table does not rise from each point to the next, in strain
    /// and in pressure.
    ///
    /// ## Why
    ///
    /// A pad that is squeezed further pushes harder. A table that says otherwise has two numbers exchanged or a
    /// digit lost; no force can be read from it, so that the pad would count as a usual soft one.
    ///
    /// ## It fails
    ///
    /// ```toml fails
    /// # file: stock/pads.toml
    /// schema = 1
    ///
    /// [[pad]]
    /// id = "soft"
    /// name = "Soft"
    /// conductivity_w_mk = 6.0
    /// thickness_mm = [1.0, 2.0]
    /// source = "invented"
    /// deflection = [
    ///   { strain = 0.1, pressure_kpa = 40.0 },
    ///   { strain = 0.2, pressure_kpa = 14.0 },
    /// ]
    /// ```
    ///
    /// ## It passes
    ///
    /// ```toml passes
    /// # file: stock/pads.toml
    /// schema = 1
    ///
    /// [[pad]]
    /// id = "soft"
    /// name = "Soft"
    /// conductivity_w_mk = 6.0
    /// thickness_mm = [1.0, 2.0]
    /// source = "invented"
    /// deflection = [
    ///   { strain = 0.1, pressure_kpa = 14.0 },
    ///   { strain = 0.2, pressure_kpa = 40.0 },
    /// ]
    /// ```
    ///
    /// ## What to do
    ///
    /// Read the maker's table again: strain and pressure rise together, from zero at zero.
    "pad-table-falls", Consistency, Error,
    "a pad's deflection table does not rise",
    Book(check)
}

fn check(book: &Book, report: &mut Report<'_>) {
    let mut files = book.files.iter();
    let Some(file) = files.find(|file| file.role == Role::Record(Kind::Pads)) else {
        return;
    };
    for (index, pad) in book.stock.pads.iter().enumerate() {
        let Err(Domain::TableNotRising { point }) = pad_curve(pad) else {
            continue;
        };
        let message = format!("the deflection table of `{}` does not rise", pad.id);
        report
            .find(
                file.at(&Spot::Value(keys!["pad", index, "deflection", point])),
                message,
            )
            .label("this point is not above the one before it")
            .help("read the maker's table again: strain and pressure rise together");
    }
}
