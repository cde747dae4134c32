//! A small client that drives the server in this process, over a pair of pipes.

#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::expect_used,
    clippy::needless_pass_by_value,
    dead_code,
    clippy::disallowed_methods
)]

pub(crate) mod job;

use serde_json::{Value, json};
use std::collections::{BTreeMap, HashMap};
use std::path::{Path, PathBuf};
use std::sync::mpsc::{Receiver, RecvTimeoutError, channel};
use std::time::{Duration, Instant};
use tokio::io::{AsyncBufReadExt, AsyncReadExt, AsyncWriteExt, BufReader, DuplexStream, duplex, split};
use tokio::runtime::{Builder, Runtime};

/// Longer than any answer takes, even on a machine that is busy with something else.
const PATIENCE: Duration = Duration::from_mins(1);

/// Silence that is taken for an end.
const QUIET: Duration = Duration::from_millis(600);

/// A job folder that goes away with the test.
pub(crate) struct Folder(tempfile::TempDir);

impl Folder {
    /// A folder with these files; `/` in a name makes folders.
    pub(crate) fn new(files: &[(&str, &str)]) -> Folder {
        let folder = Folder(tempfile::tempdir().unwrap());
        files.iter().for_each(|(name, text)| folder.write(name, text));
        folder
    }

    pub(crate) fn path(&self, name: &str) -> PathBuf {
        self.0.path().canonicalize().unwrap().join(name)
    }

    pub(crate) fn write(&self, name: &str, text: &str) {
        let path = self.path(name);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(path, text).unwrap();
    }

    pub(crate) fn delete(&self, name: &str) {
        std::fs::remove_file(self.path(name)).unwrap();
    }

    pub(crate) fn uri(&self, name: &str) -> String {
        uri(&self.path(name))
    }
}

pub(crate) fn uri(path: &Path) -> String {
    format!("file://{}", path.display())
}

/// What a client says it can do when it can do everything.
pub(crate) fn everything() -> Value {
    json!({
        "general": {"positionEncodings": ["utf-16"]},
        "workspace": {
            "workspaceFolders": true, "didChangeWatchedFiles": {"dynamicRegistration": true},
            "workspaceEdit": {"documentChanges": true}
        },
        "window": {"workDoneProgress": true},
        "textDocument": {
            "hover": {"contentFormat": ["markdown", "plaintext"]},
            "completion": {"completionItem": {"snippetSupport": true, "documentationFormat": ["markdown"]}},
            "codeAction": {"codeActionLiteralSupport": {"codeActionKind": {"valueSet": ["quickfix", "source"]}}},
            "documentSymbol": {"hierarchicalDocumentSymbolSupport": true},
            "publishDiagnostics": {
                "relatedInformation": true, "versionSupport": true, "codeDescriptionSupport": true,
                "tagSupport": {"valueSet": [1, 2]}
            }
        }
    })
}

pub(crate) struct Client {
    runtime: Runtime,
    to_server: Option<tokio::io::WriteHalf<DuplexStream>>,
    from_server: Receiver<Value>,
    server: Option<std::thread::JoinHandle<bool>>,
    next_id: i64,
    answers: HashMap<i64, Value>,
    /// What was last published for each URI.
    pub(crate) published: BTreeMap<String, Value>,
    /// How often something was published for each URI.
    pub(crate) publications: BTreeMap<String, usize>,
    /// Requests of the server, by method.
    pub(crate) asked: Vec<Value>,
    /// Answers to messages that could not be read.
    pub(crate) refusals: Vec<Value>,
    /// What it answers when it is asked for its settings.
    pub(crate) settings: Value,
    pub(crate) initialized: Value,
}

impl Client {
    /// A client that works on these folders.
    pub(crate) fn start(folders: &[&Path]) -> Client {
        Client::with(folders, everything(), Value::Null)
    }

    pub(crate) fn with(folders: &[&Path], capabilities: Value, options: Value) -> Client {
        let (client, server) = duplex(1 << 20);
        let serving = std::thread::spawn(move || {
            let runtime = Builder::new_current_thread().enable_all().build().unwrap();
            let (input, output) = split(server);
            let orderly = runtime.block_on(language_server::serve_on(input, output));
            runtime.shutdown_background();
            orderly
        });
        let (input, to_server) = split(client);
        let (frames, from_server) = channel();
        std::thread::spawn(move || {
            let runtime = Builder::new_current_thread().build().unwrap();
            runtime.block_on(async move {
                let mut input = BufReader::new(input);
                while let Some(frame) = frame(&mut input).await {
                    if frames.send(frame).is_err() {
                        break;
                    }
                }
            });
        });
        let mut client = Client {
            runtime: Builder::new_current_thread().build().unwrap(),
            to_server: Some(to_server),
            from_server,
            server: Some(serving),
            next_id: 0,
            answers: HashMap::new(),
            published: BTreeMap::new(),
            publications: BTreeMap::new(),
            asked: Vec::new(),
            refusals: Vec::new(),
            settings: Value::Null,
            initialized: Value::Null,
        };
        let folders: Vec<Value> = folders.iter().map(|f| json!({"uri": uri(f), "name": "job"})).collect();
        let params = json!({
            "processId": std::process::id(), "rootUri": null, "workspaceFolders": folders,
            "capabilities": capabilities, "initializationOptions": options,
        });
        client.initialized = client.request("initialize", params)["result"].clone();
        client.notify("initialized", json!({}));
        client
    }

    fn send(&mut self, message: &Value) {
        self.send_body(message.to_string().as_bytes());
    }

    /// Sends a body as it is.
    pub(crate) fn send_body(&mut self, body: &[u8]) {
        self.send_bytes(format!("Content-Length: {}\r\n\r\n", body.len()).as_bytes());
        self.send_bytes(body);
    }

    pub(crate) fn send_bytes(&mut self, bytes: &[u8]) {
        let to_server = self.to_server.as_mut().unwrap();
        self.runtime.block_on(to_server.write_all(bytes)).unwrap();
    }

    /// The code of the answer to a message that cannot be read.
    pub(crate) fn refusal(&mut self) -> i64 {
        let refusal = self.until(|client| (!client.refusals.is_empty()).then(|| client.refusals.remove(0)));
        refusal["error"]["code"].as_i64().unwrap()
    }

    pub(crate) fn notify(&mut self, method: &str, params: Value) {
        self.send(&json!({"jsonrpc": "2.0", "method": method, "params": params}));
    }

    /// Sends a request and does not wait.
    pub(crate) fn ask(&mut self, method: &str, params: Value) -> i64 {
        self.next_id += 1;
        let id = self.next_id;
        self.send(&json!({"jsonrpc": "2.0", "id": id, "method": method, "params": params}));
        id
    }

    /// The whole answer to a request, `result` or `error`.
    pub(crate) fn answer(&mut self, id: i64) -> Value {
        self.until(|client| client.answers.remove(&id))
    }

    pub(crate) fn request(&mut self, method: &str, params: Value) -> Value {
        let id = self.ask(method, params);
        self.answer(id)
    }

    /// Takes messages in until there is what is waited for.
    pub(crate) fn until<T>(&mut self, mut found: impl FnMut(&mut Client) -> Option<T>) -> T {
        let begun = Instant::now();
        loop {
            if let Some(it) = found(self) {
                return it;
            }
            let left = PATIENCE.saturating_sub(begun.elapsed());
            match self.from_server.recv_timeout(left) {
                Ok(message) => self.take(message),
                Err(why) => panic!("waited in vain ({why}); published: {:#?}", self.published),
            }
        }
    }

    /// Takes messages in until none has come for a while.
    pub(crate) fn quiet(&mut self) {
        loop {
            match self.from_server.recv_timeout(QUIET) {
                Ok(message) => self.take(message),
                Err(RecvTimeoutError::Timeout | RecvTimeoutError::Disconnected) => return,
            }
        }
    }

    fn take(&mut self, message: Value) {
        assert_eq!(message["jsonrpc"], "2.0");
        match (message.get("method"), message.get("id")) {
            (Some(method), Some(id)) => {
                let settings = method == "workspace/configuration";
                let result = if settings { json!([self.settings]) } else { Value::Null };
                let answer = json!({"jsonrpc": "2.0", "id": id, "result": result});
                self.asked.push(message);
                self.send(&answer);
            }
            (Some(method), None) if method == "textDocument/publishDiagnostics" => {
                let uri = message["params"]["uri"].as_str().unwrap().to_owned();
                *self.publications.entry(uri.clone()).or_default() += 1;
                self.published.insert(uri, message["params"].clone());
            }
            (Some(_), None) => self.asked.push(message),
            (None, Some(Value::Null)) => self.refusals.push(message),
            (None, _) => {
                self.answers.insert(message["id"].as_i64().unwrap(), message);
            }
        }
    }

    pub(crate) fn open(&mut self, uri: &str, text: &str) {
        let document = json!({"uri": uri, "languageId": "yaml", "version": 1, "text": text});
        self.notify("textDocument/didOpen", json!({"textDocument": document}));
    }

    pub(crate) fn close(&mut self, uri: &str) {
        self.notify("textDocument/didClose", json!({"textDocument": {"uri": uri}}));
    }

    /// Puts a whole new text in place of a document's.
    pub(crate) fn set(&mut self, uri: &str, version: i32, text: &str) {
        self.change(uri, version, json!([{"text": text}]));
    }

    pub(crate) fn change(&mut self, uri: &str, version: i32, changes: Value) {
        let document = json!({"uri": uri, "version": version});
        self.notify("textDocument/didChange", json!({"textDocument": document, "contentChanges": changes}));
    }

    /// Tells that files changed on disk: 1 made, 2 changed, 3 deleted.
    pub(crate) fn watched(&mut self, changes: &[(&str, u32)]) {
        let changes: Vec<Value> =
            changes.iter().map(|(uri, kind)| json!({"uri": uri, "type": kind})).collect();
        self.notify("workspace/didChangeWatchedFiles", json!({"changes": changes}));
    }

    pub(crate) fn at(&mut self, method: &str, uri: &str, line: u32, character: u32) -> Value {
        let position = json!({"line": line, "character": character});
        self.request(method, json!({"textDocument": {"uri": uri}, "position": position}))["result"].clone()
    }

    /// The text of a hover.
    pub(crate) fn hover(&mut self, uri: &str, line: u32, character: u32) -> String {
        let hover = self.at("textDocument/hover", uri, line, character);
        hover["contents"]["value"].as_str().unwrap_or_default().to_owned()
    }

    /// The checks that report something in a file, each as `line:check`.
    pub(crate) fn checks(&self, uri: &str) -> Vec<String> {
        let published = self.published.get(uri);
        let diagnostics = published.and_then(|p| p["diagnostics"].as_array()).cloned().unwrap_or_default();
        let words = |d: &Value| format!("{}:{}", d["range"]["start"]["line"], d["code"].as_str().unwrap());
        let mut checks: Vec<String> = diagnostics.iter().map(words).collect();
        checks.sort();
        checks
    }

    /// Waits until a file's diagnostics include a check.
    pub(crate) fn finds(&mut self, uri: &str, check: &str) {
        self.until(|client| {
            client.checks(uri).iter().any(|c| c.ends_with(&format!(":{check}"))).then_some(())
        });
    }

    /// Waits until a file's diagnostics were published and do not include a check.
    pub(crate) fn lacks(&mut self, uri: &str, check: &str) {
        self.until(|client| {
            let here = client.checks(uri).iter().any(|c| c.ends_with(&format!(":{check}")));
            (client.published.contains_key(uri) && !here).then_some(())
        });
    }

    /// Shuts down; whether the server says it was asked to.
    pub(crate) fn shut_down(mut self) -> bool {
        assert_eq!(self.request("shutdown", Value::Null)["result"], Value::Null);
        self.notify("exit", Value::Null);
        self.server.take().unwrap().join().unwrap()
    }

    /// Hangs up without a word; what the server makes of it.
    pub(crate) fn hang_up(mut self) -> bool {
        let mut to_server = self.to_server.take().unwrap();
        self.runtime.block_on(to_server.shutdown()).unwrap();
        self.server.take().unwrap().join().unwrap()
    }
}

async fn frame(input: &mut BufReader<tokio::io::ReadHalf<DuplexStream>>) -> Option<Value> {
    let mut length = None;
    loop {
        let mut line = String::new();
        input.read_line(&mut line).await.ok().filter(|n| *n > 0)?;
        match line.trim_end() {
            "" => break,
            header => length = header.strip_prefix("Content-Length: ")?.parse().ok().or(length),
        }
    }
    let mut body = vec![0; length?];
    input.read_exact(&mut body).await.ok()?;
    serde_json::from_slice(&body).ok()
}
