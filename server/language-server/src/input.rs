//! What the client sends, message by message, before the library reads it.
//!
//! The library ends at the first body that it cannot read, and every unsaved text of the session with it.
//! The header of such a message still says where the next one begins, so it is answered here and left out.
//! Source: JSON-RPC 2.0, section 5.1: -32700 for what is no JSON, -32600 for what is no request, each with the
//! id `null`.

use crate::writer::{Frame, Writer};
use serde::Deserialize;
use std::io::{Error, ErrorKind, Result};
use tokio::io::{
    AsyncBufRead, AsyncBufReadExt, AsyncRead, AsyncReadExt, AsyncWrite, AsyncWriteExt, BufReader,
};
use tower_lsp_server::jsonrpc;

/// The longest line of a header; those of the protocol are shorter by far.
const MAX_HEADER_LINE: u64 = 4096;

/// A body that promises more takes its memory as it comes.
const MAX_PROMISED: u64 = 1 << 20;

/// A body as the library reads it.
#[derive(Deserialize)]
#[serde(untagged)]
enum Message {
    Response(#[allow(dead_code)] jsonrpc::Response),
    Request(#[allow(dead_code)] jsonrpc::Request),
}

/// Passes on what the library can read, until the client hangs up or a header cannot be read.
pub(crate) async fn relay(
    input: impl AsyncRead + Unpin,
    mut library: impl AsyncWrite + Unpin,
    refusals: &Writer,
) -> Result<()> {
    let mut input = BufReader::new(input);
    while let Some(length) = header(&mut input).await? {
        let mut body = Vec::with_capacity(length.min(MAX_PROMISED) as usize);
        (&mut input).take(length).read_to_end(&mut body).await?;
        if (body.len() as u64) < length {
            return Ok(());
        }
        mend_surrogates(&mut body);
        match check(&body) {
            Ok(()) => {
                library.write_all(format!("Content-Length: {length}\r\n\r\n").as_bytes()).await?;
                library.write_all(&body).await?;
            }
            Err(why) => {
                tracing::warn!("a message of the client is left out: {why}");
                let refusal = jsonrpc::Response::from_error(jsonrpc::Id::Null, why);
                refusals.send_later(Frame::of(&refusal, 256)?).await;
            }
        }
    }
    Ok(())
}

/// The length of the next body; nothing where the client hung up instead.
async fn header(input: &mut (impl AsyncBufRead + Unpin)) -> Result<Option<u64>> {
    let mut length = None;
    loop {
        let mut line = Vec::new();
        (&mut *input).take(MAX_HEADER_LINE).read_until(b'\n', &mut line).await?;
        if line.is_empty() {
            return Ok(None);
        }
        let broken = |what: &str| Error::new(ErrorKind::InvalidData, what);
        let line = std::str::from_utf8(&line).map_err(|_| broken("a header is no text"))?;
        let line = line.strip_suffix('\n').ok_or_else(|| broken("a header does not end"))?.trim_end();
        if line.is_empty() {
            return length.map(Some).ok_or_else(|| broken("a header lacks `Content-Length`"));
        }
        let (name, value) = line.split_once(':').ok_or_else(|| broken("a header has no colon"))?;
        if name.eq_ignore_ascii_case("Content-Length") {
            let value = value.trim().parse().map_err(|_| broken("`Content-Length` is no number"))?;
            length = Some(value);
        }
    }
}

/// Reads a body exactly as the library will; what to answer if it could not.
fn check(body: &[u8]) -> std::result::Result<(), jsonrpc::Error> {
    let refusal = |error: jsonrpc::Error, why: String| jsonrpc::Error { message: why.into(), ..error };
    let text = std::str::from_utf8(body)
        .map_err(|why| refusal(jsonrpc::Error::parse_error(), format!("the message is no UTF-8: {why}")))?;
    serde_json::from_str::<Message>(text).map(|_| ()).map_err(|why| {
        if why.is_data() {
            refusal(jsonrpc::Error::invalid_request(), "the message is no request".to_owned())
        } else {
            refusal(jsonrpc::Error::parse_error(), format!("the message is no JSON: {why}"))
        }
    })
}

/// Replaces escapes of lone UTF-16 surrogates by U+FFFD. Clients whose strings are UTF-16 send them when
/// half a character was deleted or pasted; it counts one unit as the half did, so positions stay in step.
fn mend_surrogates(body: &mut [u8]) {
    let mut from = 0;
    while let Some(at) = body.get(from..).and_then(|rest| memchr::memchr(b'\\', rest)).map(|i| from + i) {
        from = at
            + match (unit(body, at), unit(body, at + ESCAPE)) {
                (Some(0xd800..0xdc00), Some(0xdc00..0xe000)) => 2 * ESCAPE,
                (Some(0xd800..0xe000), _) => {
                    if let Some(escape) = body.get_mut(at..at + ESCAPE) {
                        escape.copy_from_slice(REPLACEMENT);
                    }
                    ESCAPE
                }
                (Some(_), _) => ESCAPE,
                (None, _) => 2,
            };
    }
}

/// U+FFFD as an escape, as long as any.
const REPLACEMENT: &[u8] = b"\\ufffd";
const ESCAPE: usize = REPLACEMENT.len();

/// The UTF-16 unit that an escape at a place stands for.
fn unit(body: &[u8], at: usize) -> Option<u32> {
    let digits = body.get(at..at + ESCAPE)?.strip_prefix(b"\\u")?;
    let digit = |value: u32, digit: &u8| Some(value * 16 + char::from(*digit).to_digit(16)?);
    digits.iter().try_fold(0, digit)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use proptest::prelude::*;

    fn mended(text: &str) -> String {
        let mut body = text.as_bytes().to_vec();
        mend_surrogates(&mut body);
        String::from_utf8(body).unwrap()
    }

    #[test]
    fn halves_of_characters_are_replaced_and_nothing_else() {
        for (text, wanted) in [
            (r#""\ud83d""#, r#""\ufffd""#),
            (r#""\uDE00x""#, r#""\ufffdx""#),
            (r#""\ud83d\ude00""#, r#""\ud83d\ude00""#),
            (r#""\ud83d\ud83d\ude00""#, r#""\ufffd\ud83d\ude00""#),
            (r#""\ud83d\u0041""#, r#""\ufffd\u0041""#),
            (r#""\ud83d\n""#, r#""\ufffd\n""#),
            (r#""\\ud83d""#, r#""\\ud83d""#),
            (r#""\\\ud83d""#, r#""\\\ufffd""#),
            (r#""\ud83"#, r#""\ud83"#),
            (r"\", r"\"),
        ] {
            assert_eq!(mended(text), wanted, "{text}");
        }
    }

    proptest! {
        /// Any UTF-16 can be read, and counts as many units as it did.
        #[test]
        fn any_units_can_be_read(units: Vec<u16>) {
            let escapes: String = units.iter().map(|unit| format!("\\u{unit:04x}")).collect();
            let read: String = serde_json::from_str(&mended(&format!("\"{escapes}\""))).unwrap();
            prop_assert_eq!(&read, &String::from_utf16_lossy(&units));
            prop_assert_eq!(read.encode_utf16().count(), units.len());
        }

        #[test]
        fn any_bytes_are_checked(body: Vec<u8>) {
            let mut body = body;
            mend_surrogates(&mut body);
            let _ = check(&body);
        }
    }
}
