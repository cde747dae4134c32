//! Which brackets and quotes of a text are never closed, read without a parser.

/// What stands open, or closes nothing. Offsets are bytes.
#[derive(Debug, Default)]
pub(crate) struct Brackets {
    /// Brackets never closed, outermost first.
    pub(crate) open: Vec<(usize, char)>,
    /// A bracket, and the one of the other kind that meets it.
    pub(crate) crossed: Option<((usize, char), usize)>,
    /// A closing bracket that closes nothing.
    pub(crate) extra: Option<usize>,
    /// A quote never closed.
    pub(crate) quote: Option<(usize, char)>,
}

pub(crate) fn closer(open: char) -> char {
    if open == '[' { ']' } else { '}' }
}

/// Reads `text` as far as brackets, quotes and comments go.
pub(crate) fn brackets(text: &str) -> Brackets {
    let mut found = Brackets::default();
    let mut chars = text.char_indices().peekable();
    // Whether a value may begin here: only there do quotes and the first bracket count.
    let mut fresh = true;
    let mut space = true;
    // Whether a bracket was closed on this line and nothing may follow it.
    let mut closed = false;
    while let Some((at, c)) = chars.next() {
        let next = chars.peek().map_or('\n', |(_, next)| *next);
        let flow = !found.open.is_empty();
        let token = next.is_whitespace() || flow && matches!(next, ',' | '[' | ']' | '{' | '}');
        match c {
            '\n' | '\r' => {
                fresh |= !flow;
                closed = false;
            }
            ' ' | '\t' => {}
            '#' if space => while chars.next_if(|(_, c)| !matches!(c, '\n' | '\r')).is_some() {},
            '"' | '\'' if fresh => {
                if !skip_quoted(&mut chars, c) {
                    found.quote = Some((at, c));
                    return found;
                }
                fresh = false;
            }
            '[' | '{' if fresh || flow => {
                found.open.push((at, c));
                fresh = true;
            }
            ']' | '}' if flow || fresh || closed => {
                match found.open.pop() {
                    Some(open) if closer(open.1) != c => {
                        found.crossed = Some((open, at));
                        return found;
                    }
                    Some(_) => {}
                    None => {
                        found.extra = Some(at);
                        return found;
                    }
                }
                closed = found.open.is_empty();
                fresh = false;
            }
            ',' if flow => fresh = true,
            ':' if token || flow && matches!(next, '"' | '\'') => fresh = true,
            '-' | '?' if fresh && token => {}
            '&' | '!' | '*' if fresh => {
                while chars.next_if(|(_, c)| !c.is_whitespace() && !",[]{}".contains(*c)).is_some() {}
            }
            '|' | '>' if fresh && !flow => {
                let resume = block_end(text, at);
                while chars.next_if(|(at, _)| *at < resume).is_some() {}
                fresh = true;
            }
            _ => fresh = false,
        }
        space = c.is_whitespace() || matches!(c, '|' | '>');
    }
    found
}

/// Steps over the rest of a quoted scalar; false where it never ends.
fn skip_quoted(chars: &mut std::iter::Peekable<std::str::CharIndices<'_>>, quote: char) -> bool {
    while let Some((_, c)) = chars.next() {
        if c == '\\' && quote == '"' {
            chars.next();
        } else if c == quote && chars.next_if(|(_, c)| quote == '\'' && *c == '\'').is_none() {
            return true;
        }
    }
    false
}

/// Where the block scalar ends whose `|` or `>` stands at `at`: before the next line indented no
/// deeper than its own.
fn block_end(text: &str, at: usize) -> usize {
    let (before, behind) = text.split_at_checked(at).unwrap_or((text, ""));
    let line = before.rsplit(['\n', '\r']).next().unwrap_or_default();
    let indent = |line: &str| line.len() - line.trim_start_matches(' ').len();
    let mut end = at;
    for (nth, next) in behind.split_inclusive(['\n', '\r']).enumerate() {
        if nth > 0 && !next.trim().is_empty() && indent(next) <= indent(line) {
            break;
        }
        end += next.len();
    }
    end
}
