use crate::book::{Board, Book};
use crate::lint::Report;
use crate::lint::rule::declare_rule;
use crate::source::keys;

declare_rule! {
    /// Looks at a board's id, which is its maker's folder and its own joined by a hyphen.
    ///
    /// ## Why
    ///
    /// Jobs name a board by its id and lie in its folder, and its page is named after it. With two names
    /// for one board a job can end up at another.
    ///
    /// ## It fails
    ///
    /// ```toml fails
    /// # file: osk/demo/board.toml
    /// schema = 1
    /// [board]
    /// id = "demo"
    /// maker = "Osk"
    /// model = "Demo"
    /// class = "other"
    /// ```
    ///
    /// ## It passes
    ///
    /// ```toml passes
    /// # file: osk/demo/board.toml
    /// schema = 1
    /// [board]
    /// id = "osk-demo"
    /// maker = "Osk"
    /// model = "Demo"
    /// class = "other"
    /// ```
    ///
    /// ## What to do
    ///
    /// Write the id that the finding gives, or rename the folders. Both are in lower case, with hyphens.
    "id-not-folder", Identity, Error,
    "a board's id is not its folder's name",
    Board(check)
}

fn check(_: &Book, board: &Board, report: &mut Report<'_>) {
    let wanted = board.folder.replace('/', "-");
    if board.id() == wanted {
        return;
    }
    let message = format!(
        "the id is `{}`, but the folder is `{}`",
        board.id(),
        board.folder
    );
    let help = if is_kebab_case(&wanted) {
        format!("write `{wanted}`, or rename the folder")
    } else {
        "rename the folder: lower-case letters and digits, in groups joined by hyphens".into()
    };
    report
        .find(board.at(keys!["board", "id"]), message)
        .help(help);
}

fn is_kebab_case(name: &str) -> bool {
    let is_word = |word: &str| {
        let plain = |letter: char| letter.is_ascii_lowercase() || letter.is_ascii_digit();
        !word.is_empty() && word.chars().all(plain)
    };
    name.split('-').all(is_word)
}
