//! Logic in words: `dehumidify and not cool-1 and (occupied or not heat-1)`, `OPTION is CHOICE`.

use crate::names::{Name, Within};

/// A logic text read to a tree; every leaf knows where in the text it stands.
#[derive(Clone, PartialEq, Debug)]
pub enum Words {
    /// A name that is on or off.
    Is(Name, Within),
    /// `OPTION is CHOICE`, with the places of both.
    Choice {
        /// The option's name.
        option: (Name, Within),
        /// The choice asked for.
        choice: (Name, Within),
    },
    /// `not …`
    Not(Box<Words>),
    /// `… and …`, two or more.
    And(Vec<Words>),
    /// `… or …`, two or more.
    Or(Vec<Words>),
}

/// Why a logic text cannot be read: what is wrong, and where in the text.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct NotLogic {
    /// What is wrong and what would be right.
    pub message: String,
    /// Where.
    pub within: Within,
}

const NO_NUMBERS: &str = "it is on or off only and cannot compare numbers. Use a contact, or a value point that the controller switches";

/// Parentheses and `not`s may nest this deep; a written sequence stays below ten.
const DEEPEST: usize = 64;

impl Words {
    /// Reads a logic text. `not` binds before `and`, `and` before `or`.
    pub fn parse(text: &str) -> Result<Words, NotLogic> {
        let mut parser = Parser { tokens: tokens(text), next: 0, end: text.len() as u32 };
        let words = parser.any(0)?;
        match parser.peek() {
            None => Ok(words),
            Some(token) if token.text == ")" => Err(token.wrong("this `)` has no `(` before it")),
            Some(token) if ["and", "or", "not"].contains(&&*token.text.to_lowercase()) => {
                Err(token.wrong(&format!("write `{}` in lower case", token.text.to_lowercase())))
            }
            Some(token) if token.text.starts_with(['>', '<', '=']) => Err(token.wrong(NO_NUMBERS)),
            Some(token) => Err(token.wrong(&format!("`{}` needs `and` or `or` before it", token.text))),
        }
    }

    /// Calls `f` with every name that must be on or off, left to right.
    pub fn each_name<'a>(&'a self, f: &mut dyn FnMut(&'a Name, &'a Within)) {
        match self {
            Words::Is(name, within) => f(name, within),
            Words::Choice { .. } => {}
            Words::Not(inner) => inner.each_name(f),
            Words::And(all) | Words::Or(all) => all.iter().for_each(|w| w.each_name(f)),
        }
    }

    /// Calls `f` with every `OPTION is CHOICE`, left to right.
    pub fn each_choice<'a>(&'a self, f: &mut dyn FnMut(&'a (Name, Within), &'a (Name, Within))) {
        match self {
            Words::Choice { option, choice } => f(option, choice),
            Words::Is(..) => {}
            Words::Not(inner) => inner.each_choice(f),
            Words::And(all) | Words::Or(all) => all.iter().for_each(|w| w.each_choice(f)),
        }
    }
}

struct Token<'a> {
    text: &'a str,
    at: u32,
}

impl Token<'_> {
    fn within(&self) -> Within {
        self.at..self.at + self.text.len() as u32
    }

    fn wrong(&self, message: &str) -> NotLogic {
        NotLogic { message: message.to_owned(), within: self.within() }
    }

    fn is_name(&self) -> bool {
        !matches!(self.text, "and" | "or" | "not" | "is" | "(" | ")")
    }
}

fn tokens(text: &str) -> Vec<Token<'_>> {
    let mut found = Vec::new();
    let mut start = None;
    for (i, c) in text.char_indices().chain([(text.len(), ' ')]) {
        let single = matches!(c, '(' | ')');
        if single || c.is_whitespace() {
            if let Some(from) = start.take() {
                found.push(Token { text: &text[from..i], at: from as u32 });
            }
            if single {
                found.push(Token { text: &text[i..=i], at: i as u32 });
            }
        } else if start.is_none() {
            start = Some(i);
        }
    }
    found
}

struct Parser<'a> {
    tokens: Vec<Token<'a>>,
    next: usize,
    end: u32,
}

impl<'a> Parser<'a> {
    fn peek(&self) -> Option<&Token<'a>> {
        self.tokens.get(self.next)
    }

    fn take(&mut self, text: &str) -> bool {
        let here = self.peek().is_some_and(|t| t.text == text);
        self.next += usize::from(here);
        here
    }

    fn any(&mut self, depth: usize) -> Result<Words, NotLogic> {
        let mut all = vec![self.every(depth)?];
        while self.take("or") {
            all.push(self.every(depth)?);
        }
        Ok(if all.len() == 1 { all.remove(0) } else { Words::Or(all) })
    }

    fn every(&mut self, depth: usize) -> Result<Words, NotLogic> {
        let mut all = vec![self.one(depth)?];
        while self.take("and") {
            all.push(self.one(depth)?);
        }
        Ok(if all.len() == 1 { all.remove(0) } else { Words::And(all) })
    }

    fn one(&mut self, depth: usize) -> Result<Words, NotLogic> {
        if depth > DEEPEST {
            return Err(self.missing("it is nested too deeply"));
        }
        if self.take("not") {
            return Ok(Words::Not(Box::new(self.one(depth + 1)?)));
        }
        if self.take("(") {
            let inner = self.any(depth + 1)?;
            return if self.take(")") { Ok(inner) } else { Err(self.missing("a `)` is missing")) };
        }
        let first = self.name("a name is missing")?;
        if self.take("is") {
            let choice = self.name("`is` needs a choice of the option")?;
            return Ok(Words::Choice { option: first, choice });
        }
        Ok(Words::Is(first.0, first.1))
    }

    fn name(&mut self, missing: &str) -> Result<(Name, Within), NotLogic> {
        match self.peek() {
            Some(token) if token.is_name() => {
                let name = (Name::new(token.text), token.within());
                self.next += 1;
                Ok(name)
            }
            _ => Err(self.missing(missing)),
        }
    }

    fn missing(&self, what: &str) -> NotLogic {
        match self.peek() {
            Some(token) => token.wrong(&format!("{what} before `{}`", token.text)),
            None => NotLogic { message: format!("{what} at the end"), within: self.end..self.end },
        }
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    fn show(words: &Words) -> String {
        let list =
            |all: &[Words], op: &str| format!("({})", all.iter().map(show).collect::<Vec<_>>().join(op));
        match words {
            Words::Is(name, _) => name.to_string(),
            Words::Choice { option, choice } => format!("[{}={}]", option.0, choice.0),
            Words::Not(inner) => format!("!{}", show(inner)),
            Words::And(all) => list(all, "&"),
            Words::Or(all) => list(all, "|"),
        }
    }

    #[test]
    fn precedence_is_not_and_or() {
        let read = |t| show(&Words::parse(t).unwrap());
        assert_eq!(read("a or not b and c"), "(a|(!b&c))");
        assert_eq!(
            read("unoccupied-dehumidification is allowed or occupied"),
            "([unoccupied-dehumidification=allowed]|occupied)"
        );
        assert_eq!(read("not (a or b) and not not c"), "(!(a|b)&!!c)");
    }

    #[test]
    fn what_is_wrong_is_told_at_its_place() {
        for (text, message, from) in [
            ("a and", "a name is missing at the end", 5),
            ("a b", "`b` needs `and` or `or` before it", 2),
            ("(a or b", "a `)` is missing at the end", 7),
            ("a)", "this `)` has no `(` before it", 1),
            ("a > 5", super::NO_NUMBERS, 2),
            ("and b", "a name is missing before `and`", 0),
            ("opt is", "`is` needs a choice of the option at the end", 6),
            ("", "a name is missing at the end", 0),
        ] {
            let error = Words::parse(text).unwrap_err();
            assert_eq!((error.message.as_str(), error.within.start), (message, from), "{text}");
        }
        assert!(Words::parse(&"(".repeat(100_000)).is_err());
        assert!(Words::parse(&"not ".repeat(100_000)).is_err());
    }
}
