//! No file of a crate imports one that imports it back, directly or around a corner.
//!
//! Read from the text of each file: the trees of `use`, and paths that begin with `crate`, `super` or `self`. What a
//! module re-exports of its own parts is no dependence of its own, and what only tests import is left out.

#![allow(clippy::unwrap_used, clippy::disallowed_methods)]

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

/// A module's path inside its crate.
type Module = Vec<String>;
type Arrows = BTreeMap<Module, BTreeSet<Module>>;

#[derive(Clone, PartialEq, Debug)]
enum Token {
    Word(String),
    /// `::`
    Path,
    Sign(char),
}

impl Token {
    fn is(&self, word: &str) -> bool {
        matches!(self, Token::Word(own) if own == word)
    }
}

/// Words and signs of a text of Rust; comments, texts and lifetimes are left out.
fn tokens(text: &str) -> Vec<Token> {
    let mut tokens = Vec::new();
    let mut rest = text;
    while let Some(sign) = rest.chars().next() {
        let is_word = |c: char| c.is_alphanumeric() || c == '_';
        let length = if rest.starts_with("//") {
            rest.find('\n').unwrap_or(rest.len())
        } else if rest.starts_with("/*") {
            rest.find("*/").map_or(rest.len(), |end| end + 2)
        } else if let Some(length) = raw_text(rest) {
            length
        } else if sign == '"' {
            text_end(rest)
        } else if sign == '\'' {
            // A letter in quotes, or else a lifetime.
            let letter = rest[1..].chars().next().map_or(0, char::len_utf8);
            match rest[1..].starts_with('\\') {
                true => 2 + rest[2..].find('\'').unwrap_or(0).max(1) + 1,
                false if rest[1 + letter..].starts_with('\'') => letter + 2,
                false => 1,
            }
        } else if is_word(sign) {
            let word = rest.find(|c| !is_word(c)).unwrap_or(rest.len());
            tokens.push(Token::Word(rest[..word].to_owned()));
            word
        } else if rest.starts_with("::") {
            tokens.push(Token::Path);
            2
        } else {
            if !sign.is_whitespace() {
                tokens.push(Token::Sign(sign));
            }
            sign.len_utf8()
        };
        rest = rest.get(length..).unwrap_or("");
    }
    tokens
}

/// The length of the text in `"…"` that something begins with.
fn text_end(rest: &str) -> usize {
    let mut escaped = false;
    let end = rest.char_indices().skip(1).find(|(_, c)| {
        let ends = *c == '"' && !escaped;
        escaped = *c == '\\' && !escaped;
        ends
    });
    end.map_or(rest.len(), |(at, _)| at + 1)
}

/// The length of the text in `r#"…"#` that something begins with, if it does.
fn raw_text(rest: &str) -> Option<usize> {
    let behind = rest.strip_prefix('r')?;
    let fence = behind.len() - behind.trim_start_matches('#').len();
    let body = behind[fence..].strip_prefix('"')?;
    let end = format!("\"{}", "#".repeat(fence));
    Some(body.find(&end).map_or(rest.len(), |at| 1 + fence + 1 + at + end.len()))
}

/// The same without modules of tests that stand in the file, and without what it re-exports of its parts.
fn own(tokens: &[Token]) -> Vec<Token> {
    let mut kept = Vec::new();
    let mut at = 0;
    while let Some(token) = tokens.get(at) {
        let ahead = |n: usize, word: &str| tokens.get(at + n).is_some_and(|t| t.is(word));
        let test = ["cfg", "test", "mod"].iter().zip([2, 4, 7]).all(|(word, n)| ahead(n, word));
        let opens = tokens.get(at + 9) == Some(&Token::Sign('{'));
        if *token == Token::Sign('#') && test && opens {
            at += 9;
            let mut depth = 0;
            while let Some(token) = tokens.get(at) {
                depth += i32::from(*token == Token::Sign('{')) - i32::from(*token == Token::Sign('}'));
                at += 1;
                if depth == 0 {
                    break;
                }
            }
            continue;
        }
        if token.is("pub") {
            let mut next = at + 1;
            if tokens.get(next) == Some(&Token::Sign('(')) {
                next += tokens[next..].iter().take_while(|t| **t != Token::Sign(')')).count() + 1;
            }
            let is_use = tokens.get(next).is_some_and(|t| t.is("use"));
            if is_use && !tokens.get(next + 1).is_some_and(|t| t.is("crate")) {
                at = next + tokens[next..].iter().take_while(|t| **t != Token::Sign(';')).count();
                continue;
            }
        }
        kept.push(token.clone());
        at += 1;
    }
    kept
}

/// Paths named by a tree of `use`; how many tokens it takes.
fn tree(tokens: &[Token], prefix: &[String], found: &mut Vec<Module>) -> usize {
    let mut path = prefix.to_vec();
    let mut at = 0;
    while let Some(token) = tokens.get(at) {
        match token {
            Token::Word(word) if word == "as" => at += 1,
            Token::Word(word) => path.push(word.clone()),
            Token::Sign('{') => {
                at += 1;
                while !matches!(tokens.get(at), None | Some(Token::Sign('}'))) {
                    let taken = tree(&tokens[at..], &path, found);
                    let comma = usize::from(tokens.get(at + taken) == Some(&Token::Sign(',')));
                    if taken + comma == 0 {
                        // No tree of `use` after all.
                        return at;
                    }
                    at += taken + comma;
                }
                return at + 1;
            }
            Token::Sign(',' | ';' | '}') => break,
            Token::Path | Token::Sign(_) => {}
        }
        at += 1;
    }
    found.push(path);
    at
}

/// All paths that a file names from within its crate.
fn paths(tokens: &[Token]) -> Vec<Module> {
    let mut found = Vec::new();
    let mut at = 0;
    while let Some(token) = tokens.get(at) {
        at += 1;
        // `use<'a>` says what a type captures.
        if token.is("use") && tokens.get(at) != Some(&Token::Sign('<')) {
            at += tree(&tokens[at..], &[], &mut found);
        } else if ["crate", "super", "self"].iter().any(|root| token.is(root)) {
            let mut path = Module::new();
            let mut next = at - 1;
            while let Some(Token::Word(word)) = tokens.get(next) {
                path.push(word.clone());
                next += 1;
                if tokens.get(next) != Some(&Token::Path) {
                    break;
                }
                next += 1;
            }
            // Alone it is no path: `pub(super)`, `self.name`.
            found.extend(Some(path).filter(|path| path.len() > 1));
            at = next;
        }
    }
    found
}

fn files(folder: &Path, module: &Module, found: &mut BTreeMap<Module, String>) {
    for item in std::fs::read_dir(folder).unwrap() {
        let path = item.unwrap().path();
        let stem = path.file_stem().unwrap().to_str().unwrap().to_owned();
        if stem == "tests" {
            continue;
        }
        if path.is_dir() {
            files(&path, &[module.clone(), vec![stem]].concat(), found);
        } else if path.extension().is_some_and(|e| e == "rs") {
            let own = if ["mod", "lib", "main"].contains(&stem.as_str()) { vec![] } else { vec![stem] };
            found.insert([module.clone(), own].concat(), std::fs::read_to_string(&path).unwrap());
        }
    }
}

/// Which file imports which.
fn arrows(src: &Path) -> Arrows {
    let mut modules = BTreeMap::new();
    files(src, &Module::new(), &mut modules);
    let mut arrows = Arrows::new();
    for (module, text) in &modules {
        for path in paths(&own(&tokens(text))) {
            let ups = path.iter().take_while(|part| *part == "super").count();
            let from = match path.first().map(String::as_str) {
                Some("crate") => &[],
                Some("self") => module.as_slice(),
                Some("super") => &module[..module.len().saturating_sub(ups)],
                _ => continue,
            };
            let to = [from, &path[ups.max(1)..]].concat();
            // The file in which the path ends; the root of the crate only lists its parts.
            let file = (1..=to.len()).rev().map(|n| to[..n].to_vec()).find(|to| modules.contains_key(to));
            if let Some(file) = file.filter(|file| file != module) {
                arrows.entry(module.clone()).or_default().insert(file);
            }
        }
    }
    arrows
}

/// Files that can be reached from themselves, in groups.
fn circles(arrows: &Arrows) -> Vec<Vec<String>> {
    let reached = |from: &Module| {
        let (mut seen, mut open) = (BTreeSet::new(), vec![from]);
        while let Some(next) = open.pop() {
            open.extend(arrows.get(next).into_iter().flatten().filter(|to| seen.insert((*to).clone())));
        }
        seen
    };
    let all: BTreeMap<&Module, BTreeSet<Module>> = arrows.keys().map(|from| (from, reached(from))).collect();
    let circle = |from: &Module| -> Vec<String> {
        let back = |to: &&Module| all.get(*to).is_some_and(|back| back.contains(from));
        all[from].iter().filter(back).map(|module| module.join("::")).collect()
    };
    let found: BTreeSet<Vec<String>> =
        all.keys().map(|from| circle(from)).filter(|c| !c.is_empty()).collect();
    found.into_iter().collect()
}

/// Crates with circles that are known; one that has none any more is taken off.
const KNOWN: [&str; 0] = [];

#[test]
fn no_file_imports_one_that_imports_it_back() {
    let server = Path::new(env!("CARGO_MANIFEST_DIR")).join("..");
    let mut looked_at = 0;
    for item in std::fs::read_dir(server).unwrap() {
        let src = item.unwrap().path().join("src");
        if !src.is_dir() {
            continue;
        }
        let name = src.parent().unwrap().file_name().unwrap().to_str().unwrap().to_owned();
        let arrows = arrows(&src);
        looked_at += arrows.values().map(BTreeSet::len).sum::<usize>();
        let circles = circles(&arrows);
        assert_eq!(!circles.is_empty(), KNOWN.contains(&name.as_str()), "{name}: {circles:#?}");
    }
    assert!(looked_at > 500, "only {looked_at} imports were read");
}

#[test]
fn a_planted_circle_is_found_however_it_is_written() {
    let around: [(&str, &str, &[&str]); 7] = [
        ("use crate::b::B;", "use super::a;", &["a", "b"]),
        ("use crate::{x, b::{self, B}};", "fn f() { crate::a::f(); }", &["a", "b"]),
        ("use crate::b as other;", "use crate::c::C;", &["a", "b", "c"]),
        (
            "fn f() -> impl Sized + use<'_> { g(1, 2); { h(); } } use crate::b;",
            "use crate::a::A;",
            &["a", "b"],
        ),
        ("fn f(b: &super::b::B) {}", "pub(crate) use crate::a::A;", &["a", "b"]),
        (
            "// use crate::b;\nconst T: &str = \"use crate::b;\"; const R: &str = r#\"crate::b \"\"#;",
            "use crate::a;",
            &[],
        ),
        (
            "#[cfg(test)]\nmod tests {\n  use crate::b; fn f() { '}'; \"}\"; }\n}\nfn g<'a>() {}",
            "use crate::a;",
            &[],
        ),
    ];
    for (a, b, circle) in around {
        let folder = tempfile::tempdir().unwrap();
        let write = |name: &str, text: &str| std::fs::write(folder.path().join(name), text).unwrap();
        write("lib.rs", "mod a; mod b; mod c; pub use a::A;");
        write("a.rs", a);
        write("b.rs", b);
        write("c.rs", "use crate::a::{C};");
        write("tests.rs", "use crate::a;");
        let expected: Vec<Vec<&str>> = if circle.is_empty() { vec![] } else { vec![circle.to_vec()] };
        assert_eq!(circles(&arrows(folder.path())), expected, "{a}\n{b}");
    }
}
