//! What may be meant by a name that nothing goes by.

use model::list_words;

/// ``did you mean `a` or `b`?``
pub(crate) fn did_you_mean<'a>(near: impl Iterator<Item = &'a str>) -> String {
    format!("did you mean {}?", list_words(near, "or"))
}
