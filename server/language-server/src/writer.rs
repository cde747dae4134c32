//! All that is written to the client: the library's messages, and finished frames that go past it.
//!
//! The library turns every message into a tree of JSON values before it writes it. That is nothing for
//! an answer, and most of the time from an edit to its diagnostics in a file with a thousand of them:
//! those are serialised straight into the bytes that go out.

use serde::Serialize;
use std::io::Result;
use tokio::io::{AsyncRead, AsyncReadExt, AsyncWrite, AsyncWriteExt, DuplexStream, duplex};
use tokio::sync::mpsc;

/// Frames that may wait to be written; whoever has one more waits itself.
const MAX_WAITING: usize = 16;

/// Bytes that the library may be ahead.
const AHEAD: usize = 1 << 16;

/// Takes finished frames.
#[derive(Clone)]
pub(crate) struct Writer(mpsc::Sender<Frame>);

/// A message as it is written: the body behind room for its header, so that neither is copied.
pub(crate) struct Frame(Vec<u8>);

/// Room for the longest header.
const HEADER: usize = "Content-Length: \r\n\r\n".len() + 20;

impl Frame {
    /// A message, of about so many bytes.
    pub(crate) fn of(message: &impl Serialize, room: usize) -> serde_json::Result<Frame> {
        let mut bytes = Vec::with_capacity(HEADER + room);
        bytes.resize(HEADER, 0);
        serde_json::to_writer(&mut bytes, message)?;
        Ok(Frame(bytes))
    }

    /// The bytes of its body.
    pub(crate) fn length(&self) -> usize {
        self.0.len() - HEADER
    }

    /// Writes the header; the message as it goes out.
    fn whole(&mut self) -> &[u8] {
        let header = format!("Content-Length: {}\r\n\r\n", self.length());
        let start = HEADER - header.len();
        if let Some(room) = self.0.get_mut(start..HEADER) {
            room.copy_from_slice(header.as_bytes());
        }
        self.0.get(start..).unwrap_or_default()
    }
}

/// Writes what every [`Writer`] is given, and what the library writes.
pub(crate) struct WriterLoop {
    library: DuplexStream,
    frames: mpsc::Receiver<Frame>,
}

/// A writer, what the library writes to instead of the client, and the loop in which both come together.
pub(crate) fn writer() -> (Writer, DuplexStream, WriterLoop) {
    let (to_loop, library) = duplex(AHEAD);
    let (sender, frames) = mpsc::channel(MAX_WAITING);
    (Writer(sender), to_loop, WriterLoop { library, frames })
}

impl Writer {
    /// Writes a frame; blocks while the client does not read. Not for use on the runtime's own thread.
    pub(crate) fn send(&self, frame: Frame) {
        // Once the client is gone nobody reads it.
        let _ = self.0.blocking_send(frame);
    }

    /// Writes a frame; waits while the client does not read.
    pub(crate) async fn send_later(&self, frame: Frame) {
        let _ = self.0.send(frame).await;
    }
}

impl WriterLoop {
    /// Writes message by message, until the library hangs up.
    pub(crate) async fn run(mut self, output: impl AsyncWrite) -> Result<()> {
        let mut output = std::pin::pin!(output);
        let mut waiting = Vec::new();
        loop {
            tokio::select! {
                read = read(&mut self.library, &mut waiting) => {
                    if read? == 0 {
                        return Ok(());
                    }
                    // Half a message must not have another in its midst.
                    let whole = whole(&waiting);
                    output.write_all(waiting.get(..whole).unwrap_or(&waiting)).await?;
                    waiting.drain(..whole);
                }
                Some(mut frame) = self.frames.recv() => output.write_all(frame.whole()).await?,
            }
            output.flush().await?;
        }
    }
}

async fn read(library: &mut (impl AsyncRead + Unpin), waiting: &mut Vec<u8>) -> Result<usize> {
    waiting.reserve(AHEAD);
    library.read_buf(waiting).await
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
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn a_header_stands_right_before_its_body() {
        for length in [2, 10, 1234] {
            let body = format!("\"{}\"", "x".repeat(length - 2));
            let mut frame = Frame::of(&"x".repeat(length - 2), 0).unwrap();
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
