//! Whether a name fits a pattern of `.gitignore`.
//!
//! The rules are those of git's `wildmatch.c`; `tests/ignore_files.rs` holds this against `git check-ignore`.

use std::collections::HashMap;

/// What is matched.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Over {
    /// A path, whose `/` only `**` passes.
    Path,
    /// A single name.
    Name,
}

/// Whether `text` fits `pattern`, as far as `steps` allow, which grow less by what it costs; where they come to an end,
/// it does not.
pub(super) fn fits(pattern: &[u8], text: &[u8], over: Over, steps: &mut u64) -> bool {
    Trial { over, known: HashMap::new(), steps }.run(pattern, text) == MatchResult::Fits
}

/// What came out of trying the rest of a pattern on the rest of a text.
#[derive(Clone, Copy, PartialEq, Eq)]
enum MatchResult {
    Fits,
    /// Not here: the stars before may reach further.
    NotHere,
    /// Nor however far stars reach that stop at a slash.
    NotBeforeSlash,
    /// Nor however far any stars reach. This is what keeps each pair of a star and a letter from being tried more
    /// than once.
    Nowhere,
}

struct Trial<'s> {
    over: Over,
    /// What came out behind a `**/` that stands for nothing, by the lengths of what was left: it is tried beside all
    /// that the stars may reach, and a row of such stars would double the work with each.
    known: HashMap<(usize, usize), MatchResult>,
    steps: &'s mut u64,
}

impl Trial<'_> {
    fn run(&mut self, pattern: &[u8], mut text: &[u8]) -> MatchResult {
        let mut at = 0;
        while let Some(&sign) = pattern.get(at) {
            let Some(left) = self.steps.checked_sub(1) else { return MatchResult::Nowhere };
            *self.steps = left;
            if sign == b'*' {
                let stars = Stars::at(pattern, at, self.over);
                let left = pattern.get(stars.end..).unwrap_or_default();
                if left.is_empty() {
                    let fits = stars.pass_slash || !text.contains(&b'/');
                    return if fits { MatchResult::Fits } else { MatchResult::NotBeforeSlash };
                }
                if !stars.pass_slash && left.starts_with(b"/") {
                    // What stands before the next slash, all of it.
                    let Some(slash) = text.iter().position(|letter| *letter == b'/') else {
                        return MatchResult::Nowhere;
                    };
                    (at, text) = (stars.end + 1, text.get(slash + 1..).unwrap_or_default());
                    continue;
                }
                return self.behind_stars(&stars, left, text);
            }
            let Some((&letter, behind)) = text.split_first() else { return MatchResult::Nowhere };
            let slash = self.over == Over::Path && letter == b'/';
            let length = match sign {
                b'?' if slash => return MatchResult::NotHere,
                b'?' => 1,
                b'[' => match set(pattern.get(at + 1..).unwrap_or_default(), letter) {
                    Some((true, length)) if !slash => 1 + length,
                    _ => return MatchResult::NotHere,
                },
                b'\\' if pattern.get(at + 1) == Some(&letter) => 2,
                b'\\' => return MatchResult::NotHere,
                sign if sign == letter => 1,
                _ => return MatchResult::NotHere,
            };
            (at, text) = (at + length, behind);
        }
        if text.is_empty() { MatchResult::Fits } else { MatchResult::NotHere }
    }

    /// Tries what stands behind stars at each place that they may reach.
    fn behind_stars(&mut self, stars: &Stars, left: &[u8], mut text: &[u8]) -> MatchResult {
        // `**/` may stand for nothing.
        if let Some(left) = left.strip_prefix(b"/").filter(|_| stars.folders) {
            let key = (left.len(), text.len());
            let known = self.known.get(&key).copied();
            let outcome = known.unwrap_or_else(|| self.run(left, text));
            self.known.insert(key, outcome);
            if outcome == MatchResult::Fits {
                return outcome;
            }
        }
        while let Some((&letter, behind)) = text.split_first() {
            match self.run(left, text) {
                MatchResult::NotHere if !stars.pass_slash && letter == b'/' => {
                    return MatchResult::NotBeforeSlash;
                }
                MatchResult::NotHere => {}
                MatchResult::NotBeforeSlash if stars.pass_slash => {}
                outcome => return outcome,
            }
            text = behind;
        }
        MatchResult::Nowhere
    }
}

/// A run of stars.
struct Stars {
    /// Where the pattern goes on.
    end: usize,
    pass_slash: bool,
    /// Whether they are `**` in the place of whole folders.
    folders: bool,
}

impl Stars {
    fn at(pattern: &[u8], at: usize, over: Over) -> Stars {
        let count = pattern.iter().skip(at).take_while(|sign| **sign == b'*').count();
        let end = at + count;
        let left = pattern.get(end..).unwrap_or_default();
        let begins = at == 0 || pattern.get(at - 1) == Some(&b'/');
        let ends = left.is_empty() || left.starts_with(b"/") || left.starts_with(b"\\/");
        let folders = over == Over::Path && count > 1 && begins && ends;
        Stars { end, pass_slash: over == Over::Name || folders, folders }
    }
}

/// Whether a letter is in the set whose text stands behind its `[`, and how long that is with its `]`;
/// nothing where the set is never closed or names a class that there is not.
fn set(text: &[u8], letter: u8) -> Option<(bool, usize)> {
    let negated = matches!(text.first(), Some(b'!' | b'^'));
    let mut at = usize::from(negated);
    let (mut found, mut before, mut first) = (false, None, true);
    loop {
        let sign = *text.get(at)?;
        if sign == b']' && !first {
            return Some((found != negated, at + 1));
        }
        first = false;
        let next = text.get(at + 1).copied();
        match (sign, before) {
            (b'\\', _) => {
                at += 1;
                let escaped = *text.get(at)?;
                found |= escaped == letter;
                before = Some(escaped);
            }
            (b'-', Some(from)) if next.is_some_and(|next| next != b']') => {
                at += 1;
                if next == Some(b'\\') {
                    at += 1;
                }
                found |= (from..=*text.get(at)?).contains(&letter);
                before = None;
            }
            (b'[', _) if next == Some(b':') => {
                let name = text.get(at + 2..)?;
                let length = name.iter().position(|sign| *sign == b']')?;
                match name.get(..length)?.strip_suffix(b":") {
                    Some(class) => {
                        found |= is_in(class, letter)?;
                        at += 2 + length;
                        before = None;
                    }
                    None => {
                        found |= letter == b'[';
                        before = Some(b'[');
                    }
                }
            }
            _ => {
                found |= sign == letter;
                before = Some(sign);
            }
        }
        at += 1;
    }
}

fn is_in(class: &[u8], letter: u8) -> Option<bool> {
    Some(match class {
        b"alnum" => letter.is_ascii_alphanumeric(),
        b"alpha" => letter.is_ascii_alphabetic(),
        b"blank" => matches!(letter, b' ' | b'\t'),
        b"cntrl" => letter.is_ascii_control(),
        b"digit" => letter.is_ascii_digit(),
        b"graph" => letter.is_ascii_graphic(),
        b"lower" => letter.is_ascii_lowercase(),
        b"print" => letter.is_ascii_graphic() || letter == b' ',
        b"punct" => letter.is_ascii_punctuation(),
        b"space" => matches!(letter, b'\t'..=b'\r' | b' '),
        b"upper" => letter.is_ascii_uppercase(),
        b"xdigit" => letter.is_ascii_hexdigit(),
        _ => return None,
    })
}
