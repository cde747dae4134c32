// Sessions that use every feature, in each encoding, with a client that can everything and one that can
// nothing; and what nobody should send. node session.mjs BINARY SAMPLE SCHEMA
import assert from "node:assert/strict";
import fs from "node:fs";
import os from "node:os";
import path from "node:path";
import { pathToFileURL } from "node:url";
import Ajv from "ajv";
import { Client } from "./client.mjs";
import { reads } from "./reading.mjs";

const [binary, sample, schemaFile] = process.argv.slice(2);
const schema = JSON.parse(fs.readFileSync(schemaFile, "utf8"));
const ajv = new Ajv({ strict: false, allErrors: true });
ajv.addSchema(schema, "protocol");
const known = schema.definitions.Messages.properties;

function check(name, value) {
  if (!(name in known)) return "no such message is known";
  const key = name.replaceAll("~", "~0").replaceAll("/", "~1");
  const validate = ajv.getSchema(`protocol#/definitions/Messages/properties/${encodeURIComponent(key)}`);
  return validate(value) ? undefined : ajv.errorsText(validate.errors);
}

// A check that cannot fail is none: these are wrong, and have to be caught.
for (const [name, value] of [
  ["textDocument/hover result", { contents: { kind: "html", value: "" } }],
  ["textDocument/publishDiagnostics", { uri: "file:///a", diagnostics: [{ message: "no range" }] }],
  ["textDocument/publishDiagnostics", { uri: "file:///a", diagnostics: [], extra: 1 }],
  ["textDocument/documentSymbol result", [{ name: "a", kind: 99 }]],
  ["initialize result", { capabilities: { hoverProvider: "yes" } }],
  ["textDocument/unheardOf", {}],
]) {
  assert.ok(check(name, value), `a wrong ${name} is let through`);
}

const everything = (encodings) => ({
  general: { positionEncodings: encodings },
  window: { workDoneProgress: true },
  workspace: {
    workspaceFolders: true, didChangeWatchedFiles: { dynamicRegistration: true }, workspaceEdit: { documentChanges: true },
    configuration: true, didChangeConfiguration: { dynamicRegistration: true },
    codeLens: { refreshSupport: true }, inlayHint: { refreshSupport: true },
  },
  textDocument: {
    semanticTokens: { requests: { range: true, full: { delta: true } }, tokenTypes: [], tokenModifiers: [], formats: ["relative"] },
    inlayHint: { resolveSupport: { properties: ["tooltip"] } },
    hover: { contentFormat: ["markdown", "plaintext"] },
    completion: { completionItem: { snippetSupport: true, documentationFormat: ["markdown"] } },
    codeAction: { codeActionLiteralSupport: { codeActionKind: { valueSet: ["quickfix", "source"] } } },
    documentSymbol: { hierarchicalDocumentSymbolSupport: true },
    publishDiagnostics: {
      relatedInformation: true, versionSupport: true, codeDescriptionSupport: true, tagSupport: { valueSet: [1, 2] },
    },
  },
});

/** Methods that have something to say of the sample; the rest may have nothing. */
const reading = [
  "textDocument/semanticTokens/full", "textDocument/foldingRange", "textDocument/selectionRange", "textDocument/formatting",
  "codeLens/resolve", "inlayHint/resolve", "callHierarchy/incomingCalls", "callHierarchy/outgoingCalls", "workspace/symbol",
];

function folder(fill) {
  const made = fs.mkdtempSync(path.join(os.tmpdir(), "drycall-"));
  fill(made);
  return made;
}

const uri = (file) => pathToFileURL(file).href;
const total = new Map();

async function begin(root, capabilities, options) {
  const client = new Client(binary, check);
  const answer = await client.request("initialize", {
    processId: process.pid, rootUri: null, capabilities, initializationOptions: options,
    workspaceFolders: [{ uri: uri(root), name: "job" }],
  });
  client.notify("initialized", {});
  return [client, answer.result];
}

async function end(client) {
  assert.equal((await client.request("shutdown", undefined)).result, null);
  client.notify("exit", undefined);
  assert.equal(await client.exited, 0, "the exit status after a shutdown");
  client.seen.forEach((count, name) => total.set(name, (total.get(name) ?? 0) + count));
}

/** Asks everything about every word of every file of the sample; then edits, closes, deletes. */
async function whole(capabilities, options, encoding) {
  const root = folder((made) => fs.cpSync(sample, made, { recursive: true }));
  const [client, can] = await begin(root, capabilities, options);
  assert.equal(can.capabilities.positionEncoding, encoding);
  const files = fs.readdirSync(root, { recursive: true }).filter((name) => name.endsWith(".yaml"));
  const count = { "utf-8": (text) => Buffer.byteLength(text), "utf-16": (text) => text.length, "utf-32": (text) => [...text].length }[encoding];
  let [filled, actions, renames, offered] = [0, 0, 0, 0];
  const read = new Map();
  for (const name of files) {
    const file = uri(path.join(root, name));
    const text = fs.readFileSync(path.join(root, name), "utf8");
    client.notify("textDocument/didOpen", { textDocument: { uri: file, languageId: "yaml", version: 1, text } });
    await client.until(`diagnostics of ${name}`, () => client.published.has(file));
    assert.ok((await client.request("textDocument/documentSymbol", { textDocument: { uri: file } })).result.length > 0);
    const [asked, renamed, completed] = [[], [], []];
    text.split("\n").forEach((line, number) => {
      for (const word of line.matchAll(/[^\s:,{}[\]]+/g)) {
        const position = { line: number, character: count(line.slice(0, word.index)) };
        for (const method of ["hover", "definition", "references", "documentHighlight"]) {
          const context = { includeDeclaration: true };
          asked.push(client.request(`textDocument/${method}`, { textDocument: { uri: file }, position, context }));
        }
        completed.push(client.request("textDocument/completion", { textDocument: { uri: file }, position }));
        // What cannot be renamed is refused with a reason, and is an answer too.
        renamed.push(client.request("textDocument/prepareRename", { textDocument: { uri: file }, position }));
        renamed.push(client.request("textDocument/rename", { textDocument: { uri: file }, position, newName: "quite-another-name" }));
      }
    });
    const { legend } = can.capabilities.semanticTokensProvider;
    for (const [method, some] of await reads(client, legend, file, text, count)) read.set(method, (read.get(method) ?? 0) + some);
    if (can.capabilities.codeActionProvider) {
      const range = { start: { line: 0, character: 0 }, end: { line: text.split("\n").length, character: 0 } };
      for (const only of [undefined, ["quickfix"], ["source.fixAll"]]) {
        const context = { diagnostics: [], only };
        const { result } = await client.request("textDocument/codeAction", { textDocument: { uri: file }, range, context });
        actions += result.length;
      }
    }
    for (const { result } of await Promise.all(completed)) {
      offered += result?.items.length ?? 0;
      const named = result?.items.find((item) => item.data);
      if (named) await client.request("completionItem/resolve", named);
    }
    renames += (await Promise.all(renamed)).filter((answer) => answer.result).length;
    filled += (await Promise.all(asked)).filter((answer) => answer.result !== null).length;
  }
  for (const method of reading) assert.ok(read.get(method) > 0, `nothing comes of ${method}`);
  assert.ok(filled > 500, `only ${filled} answers say something`);
  assert.ok(offered > 1000, `only ${offered} completions`);
  assert.ok(renames > 50, `only ${renames} renames`);
  const weeks = await commands(client, uri(root));
  assert.ok(weeks > 5, `only ${weeks} weeks`);
  assert.ok(actions > 50 || !can.capabilities.codeActionProvider, `only ${actions} code actions`);
  const units = uri(path.join(root, "units.yaml"));
  client.notify("textDocument/didChange", {
    textDocument: { uri: units, version: 2 },
    contentChanges: [{ range: { start: { line: 0, character: 0 }, end: { line: 0, character: 0 } }, text: "# 𝄞\nnonsense: 1\n" }],
  });
  await client.finds(units, "key-unknown");
  client.notify("workspace/didChangeConfiguration", { settings: { drycall: { lens: { hours: false } } } });
  assert.equal((await client.request("textDocument/codeLens", { textDocument: { uri: units } })).result, null);
  client.notify("textDocument/didClose", { textDocument: { uri: units } });
  await client.finds(units, "key-unknown", false);
  fs.writeFileSync(path.join(root, "more.yaml"), "nonsense: 1\n");
  const more = uri(path.join(root, "more.yaml"));
  client.notify("workspace/didChangeWatchedFiles", { changes: [{ uri: more, type: 1 }] });
  await client.finds(more, "key-unknown");
  client.notify("workspace/didChangeWorkspaceFolders", { event: { added: [], removed: [{ uri: uri(root), name: "job" }] } });
  await end(client);
  fs.rmSync(root, { recursive: true });
}

/** Every command for every unit; how many weeks were drawn. */
async function commands(client, job) {
  const does = async (command, argument) => {
    const answer = await client.request("workspace/executeCommand", { command, arguments: [argument] });
    return answer.result ?? assert.equal(answer.error.code, -32602);
  };
  let weeks = 0;
  for (const unit of await does("drycall.units", { uri: job })) {
    const week = await does("drycall.week", { uri: job, unit });
    weeks += week?.days.length === 7 ? 1 : 0;
    // A unit of an unknown type has neither.
    assert.equal((await does("drycall.chart", { uri: job, unit })) !== undefined, week !== undefined);
  }
  assert.match(await does("drycall.review", { uri: job }), /\[dehumidification-gap\]/);
  assert.match(await does("drycall.explain", { check: "dehumidification-gap" }), /Why it matters/);
  return weeks;
}

/** A client that asks for diagnostics gets them that way and no other. */
async function pulling() {
  const root = folder((made) => fs.cpSync(sample, made, { recursive: true }));
  const can = everything(["utf-16"]);
  can.textDocument.diagnostic = { dynamicRegistration: true };
  can.workspace.diagnostics = { refreshSupport: true };
  const [client] = await begin(root, can);
  await client.until("to be asked to ask", () => client.seen.get("workspace/diagnostic/refresh") > 0);
  const first = (await client.request("workspace/diagnostic", { previousResultIds: [] })).result.items;
  assert.ok(first.some((report) => report.items.length > 0), "the sample has findings");
  const previousResultIds = first.map(({ uri, resultId }) => ({ uri, value: resultId }));
  const gone = uri(path.join(root, "gone.yaml"));
  previousResultIds.push({ uri: gone, value: "0" });
  const again = (await client.request("workspace/diagnostic", { previousResultIds })).result.items;
  assert.ok(again.every((report) => report.kind === "unchanged" || report.uri === gone));
  for (const { uri, resultId, items } of first) {
    for (const [previousResultId, kind] of [[undefined, "full"], [resultId, "unchanged"]]) {
      const params = { textDocument: { uri }, identifier: "drycall", previousResultId };
      const { result } = await client.request("textDocument/diagnostic", params);
      assert.equal(result.kind, kind);
      if (kind === "full") assert.deepEqual(result.items, items);
    }
  }
  assert.equal(client.published.size, 0, "never both ways");
  await end(client);
  fs.rmSync(root, { recursive: true });
}

/** What nobody should send must be answered as the specification says, and stop nothing. */
async function nonsense() {
  const root = folder((made) => fs.cpSync(sample, made, { recursive: true }));
  const early = new Client(binary, check);
  assert.equal((await early.request("textDocument/hover", {})).error.code, -32002, "before initialize");
  early.process.stdin.end();
  assert.equal(await early.exited, 1, "the exit status without a shutdown");

  const [client] = await begin(root, everything(["utf-8"]), { libraryScheme: true });
  const units = uri(path.join(root, "units.yaml"));
  const text = fs.readFileSync(path.join(root, "units.yaml"), "utf8");
  const at = (line, character) => ({ textDocument: { uri: units }, position: { line, character } });
  client.notify("textDocument/didChange", { textDocument: { uri: units, version: 7 }, contentChanges: [{ text: "" }] });
  client.notify("textDocument/didOpen", { textDocument: { uri: units, languageId: "yaml", version: 1, text } });
  assert.equal((await client.request("textDocument/unheardOf", {})).error.code, -32601);
  assert.equal((await client.request("$/unheardOf", {})).error.code, -32601);
  assert.equal((await client.request("textDocument/hover", { textDocument: 3 })).error.code, -32602);
  assert.equal((await client.request("textDocument/hover", at(4294967295, 4294967295))).result, null);
  assert.equal((await client.request("textDocument/hover", { ...at(1, 1), textDocument: { uri: "file:///nowhere.yaml" } })).result, null);
  assert.equal((await client.request("drycall/libraryText", { uri: "drycall-library:/none.yaml" })).error.code, -32602);
  assert.ok((await client.request("drycall/libraryText", { uri: "drycall-library:/heat-pump-with-hot-gas-reheat.yaml" })).result.includes("unit-types:"));
  client.notify("$/unheardOf", {});
  client.notify("unheardOf", {});
  const cancelled = Array.from({ length: 50 }, () => {
    const { id, answer } = client.ask("textDocument/hover", at(1, 3));
    client.notify("$/cancelRequest", { id });
    return answer;
  });
  for (const answer of await Promise.all(cancelled)) {
    assert.ok(answer.error?.code === -32800 || answer.result?.contents, JSON.stringify(answer));
  }
  await end(client);
  fs.rmSync(root, { recursive: true });
}

/** A job that takes long enough for a bar. */
async function progress() {
  const root = folder((made) => {
    fs.writeFileSync(path.join(made, "site.yaml"), "site: {name: Saltmarsh Records Centre, time-zone: America/New_York}\n");
    const unit = (n) => `  HP-${n}: {type: heat-pump-with-hot-gas-reheat, zone: z-${n}, inputs: {cool-1: P-${n}, dehumidify: D-${n}}}\n`;
    const schedule = (n) => `  s-${n}: {values: occupancy, default: unoccupied, week: {mon-fri: "08:00-17:00", sat: "09:0${n % 10}-12:00"}}\n`;
    const zone = (n) => `  z-${n}: {schedule: s-${n}, occupied: {dehumidify-above: 55 %RH}}\n`;
    const list = (head, line) => head + Array.from({ length: 60000 }, (_, n) => line(n)).join("");
    fs.writeFileSync(path.join(made, "units.yaml"), list("units:\n", unit));
    fs.writeFileSync(path.join(made, "zones.yaml"), list("schedules:\n", schedule) + list("zones:\n", zone));
  });
  const [client] = await begin(root, everything(["utf-8"]));
  await client.until("the end of progress", () => client.seen.get("window/workDoneProgress/create") > 0);
  await client.until("diagnostics", () => client.published.size > 0);
  await end(client);
  assert.ok(client.seen.get("$/progress") >= 2, "progress begins and ends");
  fs.rmSync(root, { recursive: true });
}

process.env.XDG_CACHE_HOME = folder(() => {});
await whole(everything(["utf-8", "utf-16"]), { libraryScheme: true }, "utf-8");
await whole(everything(["utf-16"]), undefined, "utf-16");
await whole(everything(["utf-32", "utf-16"]), undefined, "utf-32");
await whole({}, undefined, "utf-16");
await pulling();
await nonsense();
await progress();
fs.rmSync(process.env.XDG_CACHE_HOME, { recursive: true });

const unsaid = Object.keys(known).filter((name) => !total.has(name));
assert.deepEqual(unsaid, [], "messages that were never said, and so not checked");
const all = [...total.values()].reduce((sum, count) => sum + count, 0);
console.log(`protocol: ${all} messages of ${total.size} kinds, each as published`);
