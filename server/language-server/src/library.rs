//! The built-in unit types, as a client that cannot see into the program gets to them.

use crate::uri::of_path;
use tower_lsp_server::ls_types::Uri;

const SCHEME: &str = "drycall-library:/";

/// Where a file of the library is found: by a scheme of its own, whose text the client asks for with
/// `drycall/libraryText`, or as a copy in the user's cache folder, written now.
pub(crate) fn uri(file: &str, by_scheme: bool) -> Option<Uri> {
    if by_scheme {
        return format!("{SCHEME}{file}").parse().ok();
    }
    of_path(&workspace::library_copy(file)?)
}

/// The text behind a URI of the library's scheme.
pub(crate) fn text(uri: &Uri) -> Option<&'static str> {
    let name = uri.as_str().strip_prefix(SCHEME)?;
    model::LIBRARY.iter().find(|(file, _)| *file == name).map(|(_, text)| *text)
}
