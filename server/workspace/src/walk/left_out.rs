//! What lies in a job's folder and is not read.

use std::fmt;
use syntax::visible;

/// Something in the folder of a job that is not read, or not obeyed.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub struct LeftOut {
    /// Its path from the job folder, `/` between names; empty for the folder itself. What is no Unicode is
    /// replaced.
    pub path: String,
    pub why: Why,
}

/// Why something is not read.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Why {
    /// `.gitignore` hides the file, or the whole folder.
    Ignored,
    /// The file's name begins with a dot.
    Hidden,
    /// It is a link, which may lead out of the folder.
    Link {
        /// Whether it has the name of a YAML file.
        yaml: bool,
    },
    /// It has the name of a YAML file, and is a pipe, a device or a socket.
    NoFile,
    /// The file's name is no Unicode text.
    Name,
    /// The file or folder cannot be read: why.
    Unreadable(String),
    /// The ignore file is not obeyed: why.
    NotObeyed(&'static str),
}

impl Why {
    /// A word for programs.
    pub fn word(&self) -> &'static str {
        match self {
            Why::Ignored => "ignored",
            Why::Hidden => "hidden",
            Why::Link { .. } => "link",
            Why::NoFile => "no-file",
            Why::Name => "name",
            Why::Unreadable(_) => "unreadable",
            Why::NotObeyed(_) => "not-obeyed",
        }
    }
}

impl LeftOut {
    /// Whether it may be a part of the job, so that what is said of the job is said of a part of it. What
    /// `.gitignore` hides, or a dot, was left out on purpose.
    pub fn may_matter(&self) -> bool {
        match &self.why {
            Why::Ignored | Why::Hidden => self.path == super::SITE,
            Why::Link { yaml } => *yaml,
            Why::NoFile | Why::Name | Why::Unreadable(_) => true,
            Why::NotObeyed(_) => false,
        }
    }
}

impl fmt::Display for LeftOut {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let name = if self.path.is_empty() { ".".into() } else { visible(&self.path) };
        match &self.why {
            Why::Ignored => write!(f, "`{name}` is hidden by `.gitignore`"),
            Why::Hidden => write!(f, "`{name}` is hidden: its name begins with a dot"),
            Why::Link { .. } => {
                write!(f, "`{name}` is a link, and links are not followed; put the file itself there")
            }
            Why::NoFile => write!(f, "`{name}` is a pipe or a device, not a file"),
            Why::Name => write!(f, "`{name}` has a name that is not Unicode; rename the file"),
            Why::Unreadable(why) => write!(f, "`{name}` cannot be read: {why}"),
            Why::NotObeyed(why) => write!(f, "`{name}` is not obeyed: {why}"),
        }
    }
}

/// Why the system refused something.
pub(crate) fn in_words(error: &std::io::Error) -> String {
    match error.kind() {
        std::io::ErrorKind::NotFound => "there is no such file".to_owned(),
        std::io::ErrorKind::PermissionDenied => "you may not read it".to_owned(),
        _ => error.to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::{LeftOut, Why};

    #[test]
    fn a_name_is_one_line_and_turns_nothing() {
        let left_out = LeftOut { path: "a\n\u{1b}[31mb\u{202e}é.yaml".to_owned(), why: Why::NoFile };
        assert_eq!(
            left_out.to_string(),
            "`a\\u{a}\\u{1b}[31mb\\u{202e}é.yaml` is a pipe or a device, not a file"
        );
    }
}
