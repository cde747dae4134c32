//! `file:` URIs and paths, of this system and of the other kind.
//!
//! Source: RFC 8089, "The file URI Scheme", with its appendices E.2 (drive letters) and E.3 (network
//! paths). Both kinds are plain functions of a flag, so that either can be tested anywhere.

use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use tower_lsp_server::ls_types::Uri;

/// The path that a `file:` URI names on this system; nothing for other schemes.
pub(crate) fn to_path(uri: &Uri) -> Option<PathBuf> {
    decode(uri.as_str(), cfg!(windows)).map(PathBuf::from)
}

/// The `file:` URI of an absolute path; nothing if the path is no Unicode.
pub(crate) fn of_path(path: &Path) -> Option<Uri> {
    encode(path.to_str()?, cfg!(windows)).parse().ok()
}

fn decode(uri: &str, windows: bool) -> Option<String> {
    let scheme = uri.get(..5).filter(|s| s.eq_ignore_ascii_case("file:"))?;
    let rest = uri.get(scheme.len()..)?;
    let (host, path) = match rest.strip_prefix("//") {
        Some(rest) => rest.split_at(rest.find('/').unwrap_or(rest.len())),
        None => ("", rest),
    };
    let path = unescape(path.split(['?', '#']).next()?)?;
    if !windows {
        return path.starts_with('/').then_some(path);
    }
    if !host.is_empty() && !host.eq_ignore_ascii_case("localhost") {
        return Some(format!(r"\\{}{}", unescape(host)?, path.replace('/', r"\")));
    }
    if path.starts_with("//") {
        return Some(path.replace('/', r"\"));
    }
    let path = path.strip_prefix('/')?;
    // Editors write the drive's letter either way; one spelling makes paths comparable.
    let (drive, rest) = path.split_at_checked(1)?;
    let is_drive = drive.bytes().all(|b| b.is_ascii_alphabetic()) && rest.starts_with(':');
    is_drive.then(|| format!("{}{}", drive.to_ascii_uppercase(), rest.replace('/', r"\")))
}

fn encode(path: &str, windows: bool) -> String {
    if !windows {
        return format!("file://{}", escape(path));
    }
    let path = path.strip_prefix(r"\\?\").unwrap_or(path).replace('\\', "/");
    if let Some(network) = path.strip_prefix("UNC/").or_else(|| path.strip_prefix("//")) {
        return format!("file://{}", escape(network));
    }
    match path.split_once(':') {
        Some((drive, rest)) => format!("file:///{}:{}", drive.to_ascii_uppercase(), escape(rest)),
        None => format!("file:///{}", escape(&path)),
    }
}

/// Undoes percent-encoding; nothing where that leaves no UTF-8.
fn unescape(text: &str) -> Option<String> {
    let mut bytes = Vec::with_capacity(text.len());
    let mut rest = text.as_bytes();
    while let [first, after @ ..] = rest {
        rest = after;
        let hex = |b: u8| char::from(b).to_digit(16);
        match (first, after) {
            (b'%', [high, low, behind @ ..]) if hex(*high).is_some() && hex(*low).is_some() => {
                bytes.push((hex(*high)? * 16 + hex(*low)?) as u8);
                rest = behind;
            }
            _ => bytes.push(*first),
        }
    }
    String::from_utf8(bytes).ok()
}

/// Percent-encodes all but RFC 3986's unreserved characters and `/`.
fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for byte in text.bytes() {
        if byte.is_ascii_alphanumeric() || b"-._~/".contains(&byte) {
            out.push(char::from(byte));
        } else {
            let _ = write!(out, "%{byte:02X}");
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn uris_become_paths() {
        for (uri, unix, windows) in [
            ("file:///jobs/a.yaml", Some("/jobs/a.yaml"), None),
            ("file:///jobs/A%20b/%C3%A9.yaml", Some("/jobs/A b/é.yaml"), None),
            ("file:///jobs/100%25%.yaml", Some("/jobs/100%%.yaml"), None),
            ("FILE:///jobs/a.yaml#L3", Some("/jobs/a.yaml"), None),
            ("file:/jobs/a.yaml", Some("/jobs/a.yaml"), None),
            ("file:///c%3A/jobs/a.yaml", Some("/c:/jobs/a.yaml"), Some(r"C:\jobs\a.yaml")),
            ("file:///C:/jobs/a%20b.yaml", Some("/C:/jobs/a b.yaml"), Some(r"C:\jobs\a b.yaml")),
            ("file://localhost/c:/a.yaml", Some("/c:/a.yaml"), Some(r"C:\a.yaml")),
            ("file://server/share/a.yaml", Some("/share/a.yaml"), Some(r"\\server\share\a.yaml")),
            ("file://wsl%24/jobs/a.yaml", Some("/jobs/a.yaml"), Some(r"\\wsl$\jobs\a.yaml")),
            ("file:////server/share/a.yaml", Some("//server/share/a.yaml"), Some(r"\\server\share\a.yaml")),
            ("file:///jobs/%FF.yaml", None, None),
            ("untitled:Untitled-1", None, None),
            ("file:", None, None),
            ("é", None, None),
        ] {
            assert_eq!(decode(uri, false).as_deref(), unix, "{uri}");
            assert_eq!(decode(uri, true).as_deref(), windows, "{uri}");
        }
    }

    #[test]
    fn paths_become_uris() {
        assert_eq!(encode("/jobs/A b/é%.yaml", false), "file:///jobs/A%20b/%C3%A9%25.yaml");
        for (path, uri) in [
            (r"c:\jobs\a b.yaml", "file:///C:/jobs/a%20b.yaml"),
            (r"\\?\C:\jobs\a.yaml", "file:///C:/jobs/a.yaml"),
            (r"\\server\share\a.yaml", "file://server/share/a.yaml"),
            (r"\\?\UNC\server\share\a.yaml", "file://server/share/a.yaml"),
            (r"\\wsl$\jobs\a.yaml", "file://wsl%24/jobs/a.yaml"),
            (r"C:\jobs/points/a.yaml", "file:///C:/jobs/points/a.yaml"),
        ] {
            assert_eq!(encode(path, true), uri, "{path}");
        }
    }

    #[test]
    fn there_and_back_is_the_same_path() {
        for path in ["/", "/a b/%41", "/日本/𝄞.yaml", "/a:b/c?d#e"] {
            assert_eq!(decode(&encode(path, false), false).as_deref(), Some(path));
        }
        for path in [r"C:\a b\%41.yaml", r"\\server\share\𝄞.yaml", r"D:\a#b.yaml"] {
            assert_eq!(decode(&encode(path, true), true).as_deref(), Some(path));
        }
    }
}
