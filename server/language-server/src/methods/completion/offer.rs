//! One thing that can be written at a cursor.

use model::{Kind, Name};
use tower_lsp_server::ls_types::CompletionItemKind;

/// A text to put in the place of the word at the cursor.
#[derive(Clone, Debug)]
pub(super) struct Offer {
    /// What is shown, and what the word is held against.
    pub(super) label: String,
    pub(super) kind: CompletionItemKind,
    /// A few words beside it.
    pub(super) detail: Option<String>,
    /// What it means, in a sentence.
    pub(super) text: Option<String>,
    /// What is written; nothing where it takes a client that fills in blanks.
    pub(super) plain: Option<String>,
    /// The same with blanks to fill in, as the protocol writes them.
    pub(super) snippet: Option<String>,
    /// The thing it names, to be described when it is looked at.
    pub(super) names: Option<(Kind, Name)>,
}

impl Offer {
    /// A word that is written as it is shown.
    pub(super) fn word(label: impl Into<String>, kind: CompletionItemKind) -> Offer {
        let label = label.into();
        let plain = Some(label.clone());
        Offer { label, kind, detail: None, text: None, plain, snippet: None, names: None }
    }

    /// Writes the dash of a list's item before it.
    pub(super) fn become_item(&mut self) {
        for text in [&mut self.plain, &mut self.snippet].into_iter().flatten() {
            text.insert_str(0, "- ");
        }
    }

    /// The same, with a few words beside it.
    pub(super) fn beside(self, detail: impl Into<String>) -> Offer {
        Offer { detail: Some(detail.into()).filter(|detail| !detail.is_empty()), ..self }
    }
}

/// A text as it stands in a snippet, where some characters mean something.
pub(super) fn escaped(text: &str) -> String {
    let special = |c: char| matches!(c, '\\' | '$' | '}');
    text.chars().flat_map(|c| special(c).then_some('\\').into_iter().chain([c])).collect()
}
