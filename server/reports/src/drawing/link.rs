//! A line of a file, as somebody reads it and as something goes to it.

use super::marks::escaped;
use crate::review::place;
use serde::Serialize;
use workspace::Workspace;

/// A line of a file of the job or of the library.
#[derive(Clone, PartialEq, Eq, Debug, Serialize)]
pub struct Link {
    /// Path from the job folder, `/` between names; for a built-in type, its name in the library.
    pub file: String,
    /// The line, from 1.
    pub line: u32,
    /// What goes there, in the terms of whoever shows it; nothing where it is only to be read.
    #[serde(skip)]
    pub go: Option<String>,
}

impl Link {
    /// `units.yaml:57`.
    pub fn label(&self) -> String {
        format!("{}:{}", self.file, self.line)
    }

    /// As a piece of HTML: a link where something goes there.
    pub(super) fn html(&self) -> String {
        let label = escaped(&self.label());
        match &self.go {
            Some(go) => format!("<a class=\"dry-link\" href=\"#\" data-go=\"{}\">{label}</a>", escaped(go)),
            None => format!("<span class=\"dry-line\">{label}</span>"),
        }
    }
}

/// The line of a place of a job, to be read.
pub fn link(workspace: &Workspace, at: &model::Place) -> Option<Link> {
    let place = place(workspace, at.entry, &at.spot)?;
    Some(Link { file: place.file.to_owned(), line: place.from.0, go: None })
}
