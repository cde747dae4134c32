//! All that the server says: the wire's messages, and diagnostics that go past it.
//!
//! The wire turns every message into a tree of JSON values before it writes it. That is nothing for
//! an answer, and most of the time from an edit to its diagnostics in a file with a thousand of them:
//! those come here as finished text.

use std::io::Result;
use tokio::io::{AsyncRead, AsyncReadExt, AsyncWrite, AsyncWriteExt, DuplexStream, duplex};
use tokio::sync::mpsc;

/// Messages that may wait to be written; whoever has one more waits itself.
const MOST_WAITING: usize = 16;

/// Bytes that the wire may be ahead.
const AHEAD: usize = 1 << 16;

/// Takes finished messages.
#[derive(Clone)]
pub(crate) struct Mouth(mpsc::Sender<Frame>);

/// A message as it is written: the body behind room for its header, so that neither is copied.
pub(crate) struct Frame(Vec<u8>);

/// Room for the longest header.
const HEADER: usize = "Content-Length: \r\n\r\n".len() + 20;

impl Frame {
    /// An empty message, with room for a body of so many bytes and an envelope.
    pub(crate) fn new(room: usize) -> Frame {
        let mut bytes = Vec::with_capacity(HEADER + room + 1024);
        bytes.resize(HEADER, 0);
        Frame(bytes)
    }

    /// What JSON is written to, at its end; what stands there already must stay.
    pub(crate) fn body(&mut self) -> &mut Vec<u8> {
        &mut self.0
    }

    /// Writes the header; the message as it goes out.
    fn whole(&mut self) -> &[u8] {
        let header = format!("Content-Length: {}\r\n\r\n", self.0.len() - HEADER);
        let start = HEADER - header.len();
        if let Some(room) = self.0.get_mut(start..HEADER) {
            room.copy_from_slice(header.as_bytes());
        }
        self.0.get(start..).unwrap_or_default()
    }
}

/// The other end of a [`Mouth`], and of what the wire writes.
pub(crate) struct Throat {
    wire: DuplexStream,
    messages: mpsc::Receiver<Frame>,
}

/// A mouth, what the wire writes to instead of the client, and where both come together.
pub(crate) fn mouth() -> (Mouth, DuplexStream, Throat) {
    let (to_wire, wire) = duplex(AHEAD);
    let (sender, messages) = mpsc::channel(MOST_WAITING);
    (Mouth(sender), to_wire, Throat { wire, messages })
}

impl Mouth {
    /// Says a message, whose body is JSON; waits while the client does not listen. Not for use on the
    /// runtime's own thread.
    pub(crate) fn say(&self, frame: Frame) {
        // Once the client is gone there is nobody to say it to.
        let _ = self.0.blocking_send(frame);
    }
}

impl Throat {
    /// Writes both, message by message, until the wire is closed.
    pub(crate) async fn speak(mut self, output: impl AsyncWrite) -> Result<()> {
        let mut output = std::pin::pin!(output);
        let mut waiting = Vec::new();
        loop {
            tokio::select! {
                read = read(&mut self.wire, &mut waiting) => {
                    if read? == 0 {
                        return Ok(());
                    }
                    // Half a message must not have another in its midst.
                    let whole = whole(&waiting);
                    output.write_all(waiting.get(..whole).unwrap_or(&waiting)).await?;
                    waiting.drain(..whole);
                }
                Some(mut frame) = self.messages.recv() => output.write_all(frame.whole()).await?,
            }
            output.flush().await?;
        }
    }
}

async fn read(wire: &mut (impl AsyncRead + Unpin), waiting: &mut Vec<u8>) -> Result<usize> {
    waiting.reserve(AHEAD);
    wire.read_buf(waiting).await
}

/// The bytes at the start of `text` that are whole messages.
fn whole(text: &[u8]) -> usize {
    let mut end = 0;
    while let Some(length) = text.get(end..).and_then(first).filter(|length| end + length <= text.len()) {
        end += length;
    }
    end
}

/// The length of the first message, header and all, once its header is there.
fn first(text: &[u8]) -> Option<usize> {
    let header = text.windows(4).position(|four| four == b"\r\n\r\n")?;
    let mut lines = std::str::from_utf8(text.get(..header)?).ok()?.lines();
    let length = lines.find_map(|line| line.strip_prefix("Content-Length: "))?;
    header.checked_add(4)?.checked_add(length.trim().parse().ok()?)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_header_stands_right_before_its_body() {
        for length in [2, 10, 1234] {
            let mut frame = Frame::new(0);
            let body = format!("\"{}\"", "x".repeat(length - 2));
            frame.body().extend_from_slice(body.as_bytes());
            assert_eq!(frame.whole(), format!("Content-Length: {length}\r\n\r\n{body}").as_bytes());
        }
    }

    #[test]
    fn only_whole_messages_count() {
        let two = b"Content-Length: 2\r\n\r\n{}Content-Length: 4\r\n\r\n{ } Content-Le";
        assert_eq!(whole(two), two.len() - "Content-Le".len());
        assert_eq!(whole(two.get(..40).unwrap_or_default()), 23);
        for (text, length) in
            [(&b""[..], 0), (b"Content-Length: 2\r\n\r\n{", 0), (b"X: 1\r\nContent-Length: 0\r\n\r\n", 27)]
        {
            assert_eq!(whole(text), length);
        }
    }
}
