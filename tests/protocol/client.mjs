// A client that believes nothing: framing, JSON-RPC, and the type of every message are checked.
import { spawn } from "node:child_process";
import assert from "node:assert/strict";

export class Client {
  constructor(binary, check) {
    this.check = check;
    this.seen = new Map();
    this.methods = new Map();
    this.waiting = new Map();
    this.published = new Map();
    this.watchers = [];
    this.next = 0;
    this.rest = Buffer.alloc(0);
    this.process = spawn(binary, ["serve"], { stdio: ["pipe", "pipe", "inherit"] });
    this.process.stdout.on("data", (bytes) => this.take(bytes));
    this.exited = new Promise((resolve) => this.process.on("exit", resolve));
    this.exited.then((code) => this.waiting.forEach(({ reject }) => reject(new Error(`the server ended with ${code}`))));
  }

  take(bytes) {
    this.rest = Buffer.concat([this.rest, bytes]);
    for (;;) {
      const header = this.rest.indexOf("\r\n\r\n");
      if (header < 0) return;
      const text = this.rest.subarray(0, header).toString("latin1");
      const length = /^Content-Length: (\d+)$/.exec(text);
      assert.ok(length, `a header that is none: ${JSON.stringify(text)}`);
      const end = header + 4 + Number(length[1]);
      if (this.rest.length < end) return;
      const body = new TextDecoder("utf-8", { fatal: true }).decode(this.rest.subarray(header + 4, end));
      this.rest = this.rest.subarray(end);
      this.message(JSON.parse(body));
    }
  }

  message(message) {
    assert.equal(message.jsonrpc, "2.0");
    const known = ["jsonrpc", "id", "method", "params", "result", "error"];
    assert.deepEqual(Object.keys(message).filter((key) => !known.includes(key)), []);
    if (message.method === undefined) {
      assert.notEqual("result" in message, "error" in message, "an answer is a result or an error");
      const method = this.methods.get(message.id);
      this.methods.delete(message.id);
      if ("error" in message) this.valid("error", message.error);
      else if (method !== undefined) this.valid(`${method} result`, message.result);
      this.waiting.get(message.id)?.resolve(message);
      this.waiting.delete(message.id);
      return;
    }
    assert.ok(!("result" in message) && !("error" in message));
    this.valid(message.method, message.params);
    if (message.method === "textDocument/publishDiagnostics") {
      this.published.set(message.params.uri, message.params);
    }
    if ("id" in message) {
      const result = message.method === "workspace/configuration" ? message.params.items.map(() => null) : null;
      this.send({ jsonrpc: "2.0", id: message.id, result });
    }
    this.watchers.forEach((watcher) => watcher());
  }

  valid(name, value) {
    this.seen.set(name, (this.seen.get(name) ?? 0) + 1);
    const wrong = this.check(name, value);
    assert.ok(!wrong, `${name} is not as published: ${wrong}\n${JSON.stringify(value)?.slice(0, 2000)}`);
  }

  send(message) {
    const body = Buffer.from(JSON.stringify(message));
    this.process.stdin.write(`Content-Length: ${body.length}\r\n\r\n`);
    this.process.stdin.write(body);
  }

  notify(method, params) {
    this.send({ jsonrpc: "2.0", method, params });
  }

  ask(method, params) {
    const id = ++this.next;
    this.methods.set(id, method);
    const answer = new Promise((resolve, reject) => this.waiting.set(id, { resolve, reject }));
    this.send({ jsonrpc: "2.0", id, method, params });
    return { id, answer: within(answer, method) };
  }

  request(method, params) {
    return this.ask(method, params).answer;
  }

  /** Waits until something holds, looking at it with every message. */
  until(what, holds) {
    const done = new Promise((resolve) => {
      const look = () => holds() && resolve();
      this.watchers.push(look);
      look();
    });
    return within(done, what);
  }

  finds(uri, check, is = true) {
    const here = () => (this.published.get(uri)?.diagnostics ?? []).some((d) => d.code === check);
    return this.until(`${check} in ${uri}`, () => this.published.has(uri) && here() === is);
  }
}

function within(promise, what) {
  let timer;
  const late = new Promise((_, reject) => {
    timer = setTimeout(() => reject(new Error(`waited in vain for ${what}`)), 60_000);
  });
  return Promise.race([promise, late]).finally(() => clearTimeout(timer));
}
