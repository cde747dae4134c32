//! Brackets, colons, commas and indentation that do not fit together.

use crate::{
    brackets::closer,
    diagnose::{Diagnosis, Fix, Scene, line},
};

impl Scene<'_> {
    /// Brackets, colons, commas or indentation.
    pub(crate) fn structure(&self) -> Diagnosis {
        let found = &self.brackets;
        if let Some((open, at)) = found.crossed {
            let (bracket, wanted) = (open.1, closer(open.1));
            let message = format!(
                "`{bracket}` is opened here but closed by a different bracket. Put `{wanted}` where it ends."
            );
            return Diagnosis::new(open.0..open.0 + 1, message, self.uncross(open, at));
        }
        if let Some(at) = found.extra {
            let bracket = self.slice(at..at + 1);
            let message = format!("`{bracket}` closes nothing. Delete it, or open its bracket before it.");
            return Diagnosis::new(at..at + 1, message, [Fix::Blank(at..at + 1)]);
        }
        if found.quote.is_some_and(|(at, _)| at <= self.at) {
            return self.open_quote();
        }
        if let Some((at, bracket)) = found.open.first().copied() {
            let message = format!(
                "`{bracket}` is opened here and never closed. Put `{}` where it ends.",
                closer(bracket)
            );
            return Diagnosis::new(at..at + 1, message, self.close_all(at));
        }
        if let Some(colon) = self.glued_before() {
            return self.glued_colon(colon);
        }
        self.sign(self.value_start())
            .or_else(|| self.colon())
            .or_else(|| self.comma())
            .unwrap_or_else(|| self.indentation())
    }

    /// Where the value begins in which the place stands; in brackets, the place itself.
    fn value_start(&self) -> usize {
        if self.in_brackets() {
            return self.at;
        }
        let before = self.slice(self.line.start..self.at);
        let value = before.split_once(": ").map_or(before, |(_, value)| value).trim_start();
        self.at - value.len()
    }

    fn uncross(&self, open: (usize, char), at: usize) -> Vec<Fix> {
        let outer =
            self.brackets.open.iter().any(|(_, other)| self.slice(at..at + 1).starts_with(closer(*other)));
        let mut fixes = vec![Fix::Insert(at, closer(open.1).to_string())];
        if !outer {
            fixes.insert(0, Fix::Blank(at..at + 1));
        }
        fixes
    }

    /// Closes all brackets where the first one's line ends, or where the lines indented deeper do.
    fn close_all(&self, first: usize) -> Vec<Fix> {
        let own = line(self.text, first);
        let indent = |line: &str| line.len() - line.trim_start().len();
        let depth = indent(self.slice(own.clone()));
        let mut end = self.line_end(first);
        let mut start = own.end;
        for next in self.slice(own.end..self.text.len()).split_inclusive(['\n', '\r']) {
            let body = next.trim();
            if !body.is_empty() && !body.starts_with('#') {
                if indent(next) <= depth {
                    break;
                }
                end = start + next.trim_end().len();
            }
            start += next.len();
        }
        let end = end.min(self.comment_start(first, end));
        let open = self.brackets.open.iter().take_while(|(at, _)| *at < end);
        let closers: String =
            open.map(|(_, open)| closer(*open)).collect::<Vec<_>>().into_iter().rev().collect();
        vec![Fix::Insert(end, closers)]
    }

    /// Where a comment begins on the line that ends at `end`, if one does.
    fn comment_start(&self, first: usize, end: usize) -> usize {
        let start = line(self.text, end).start.max(first);
        let comment = self.slice(start..end).find(" #").map(|at| start + at);
        comment.unwrap_or(end)
    }

    pub(crate) fn glued_colon(&self, colon: usize) -> Diagnosis {
        let key = line(self.text, colon);
        let start = self
            .slice(key.start..colon)
            .rfind([' ', '\t', '{', '[', ','])
            .map_or(key.start, |at| key.start + at + 1);
        let name = self.slice(start..colon);
        let message = format!(
            "There is no space after the colon of `{name}`, so it is not read as a key. Write `{name}: ` and the value."
        );
        Diagnosis::new(start..colon + 1, message, [Fix::Insert(colon + 1, " ".into())])
    }

    /// A colon with no space behind it, after the first word of the line or of the one above.
    fn glued_before(&self) -> Option<usize> {
        let above = self.slice(0..self.line.start).trim_end().len();
        let lines = [self.line.clone(), line(self.text, above)];
        lines.into_iter().find_map(|range| {
            let text = self.slice(range.clone());
            let body = text.trim_start().trim_start_matches("- ");
            let (name, rest) = body.split_once(':')?;
            let word = name.starts_with(char::is_alphabetic)
                && name.chars().all(|c| c.is_alphanumeric() || matches!(c, '-' | '_'));
            let glued = !rest.is_empty() && !rest.starts_with([' ', '\t', '/', ':']);
            (word && glued).then(|| range.start + text.len() - rest.len() - 1)
        })
    }

    /// `key: value: value`, or a value that goes on as a map on the next line.
    fn colon(&self) -> Option<Diagnosis> {
        let at = self.at;
        if !self.slice(at..self.text.len()).starts_with(':') {
            return None;
        }
        let before = self.slice(self.line.start..at);
        let flow = self.in_brackets();
        let piece = before.rsplit([',', '{', '[']).next().filter(|_| flow).unwrap_or(before);
        let start = piece.find(": ").map(|colon| at - piece.len() + colon + 2)?;
        let value = self.slice(start..at).trim();
        if flow && value.contains(' ') {
            return None;
        }
        let end = if flow { self.value_end(at) } else { self.line_end(at) };
        let range = self.written(&(start..end));
        let message = "This line has a second `: `, so the value has no clear end. Put the value in quotes.";
        Some(Diagnosis::new(range, message, [Fix::Letters(at..at + 1)]))
    }

    /// A comma that is missing, or one too many.
    fn comma(&self) -> Option<Diagnosis> {
        let (at, before) = (self.at, self.slice(self.line.start..self.at));
        let inside =
            self.slice(0..at).matches(['{', '[']).count() > self.slice(0..at).matches(['}', ']']).count();
        if !inside {
            return None;
        }
        let rest = self.slice(at..self.text.len());
        if rest.starts_with(',') {
            let message = "There is nothing between these two commas. Delete one of them.";
            return Some(Diagnosis::new(at..at + 1, message, [Fix::Blank(at..at + 1)]));
        }
        let word = if rest.starts_with(':') {
            before.rfind([' ', '\t']).map(|space| self.line.start + space)?
        } else {
            at
        };
        let range = self.written(&(word..self.line.end.min(at + 1)));
        let before_word = self.slice(0..word).trim_end().chars().next_back()?;
        if ",{[:".contains(before_word) {
            return None;
        }
        let message = "A comma is missing before this. Put one between the two items.";
        Some(Diagnosis::new(range, message, [Fix::Insert(word, ",".into())]))
    }

    /// Nothing better is known: the line does not fit where it stands.
    fn indentation(&self) -> Diagnosis {
        // The parser may stop only where it looks for the next thing: the line before is meant then.
        let line = if self.slice(self.line.clone()).trim().is_empty() {
            line(self.text, self.slice(0..self.line.start).trim_end().len())
        } else {
            self.line.clone()
        };
        let body = self.slice(line.clone());
        let first = self
            .slice(0..line.start)
            .lines()
            .all(|line| line.trim().is_empty() || line.trim_start().starts_with('#'));
        let value = body.find(": ").filter(|_| first).map(|colon| line.start + colon + 1..line.end);
        let unreadable = self.written(&value.clone().unwrap_or(line.clone()));
        let message = if value.is_some() {
            "This value cannot be read. Check its brackets and commas, or put it in quotes."
        } else {
            "Wrong indentation. Line it up with the lines above and below, and put a space after the colon."
        };
        Diagnosis::new(unreadable.clone(), message, [Fix::Blank(unreadable)])
    }
}
