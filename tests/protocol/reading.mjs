// What helps reading a file, asked as an editor asks: once for the file, and at every word of it.
import assert from "node:assert/strict";

/** The answers about one file that say something, by method. `count` measures text in the client's units. */
export async function reads(client, legend, file, text, count) {
  const filled = new Map();
  const ask = async (method, params) => {
    const { result, error } = await client.request(method, params);
    assert.equal(error, undefined, method);
    if (Array.isArray(result) ? result.length > 0 : result !== null) filled.set(method, (filled.get(method) ?? 0) + 1);
    return result;
  };
  const textDocument = { uri: file };
  const lines = text.split("\n");
  const range = { start: { line: 0, character: 0 }, end: { line: lines.length, character: 0 } };

  const full = await ask("textDocument/semanticTokens/full", { textDocument });
  tokens(full.data, legend, lines, count);
  assert.deepEqual((await ask("textDocument/semanticTokens/range", { textDocument, range })).data, full.data);
  const delta = await ask("textDocument/semanticTokens/full/delta", { textDocument, previousResultId: full.resultId ?? "0" });
  assert.deepEqual(delta.edits ?? delta.data, full.resultId ? [] : full.data, "nothing has changed");

  for (const fold of await ask("textDocument/foldingRange", { textDocument })) {
    assert.ok(fold.startLine < fold.endLine && fold.endLine < lines.length);
  }
  await ask("textDocument/documentLink", { textDocument });
  const options = { tabSize: 2, insertSpaces: true };
  await ask("textDocument/formatting", { textDocument, options });
  await ask("textDocument/rangeFormatting", { textDocument, options, range });
  for (const lens of (await ask("textDocument/codeLens", { textDocument })) ?? []) {
    assert.ok((await ask("codeLens/resolve", lens)).command?.title, "a lens without words");
  }
  for (const hint of await ask("textDocument/inlayHint", { textDocument, range })) {
    assert.ok((await ask("inlayHint/resolve", hint)).tooltip, "a hint without more behind it");
  }
  for (const position of places(lines, count)) {
    const [selection] = await ask("textDocument/selectionRange", { textDocument, positions: [position] });
    for (let inner = selection; inner.parent; inner = inner.parent) assert.ok(within(inner.range, inner.parent.range));
    for (const item of (await ask("textDocument/prepareCallHierarchy", { textDocument, position })) ?? []) {
      assert.ok(within(item.selectionRange, item.range));
      await ask("callHierarchy/incomingCalls", { item });
      await ask("callHierarchy/outgoingCalls", { item });
    }
  }
  await ask("workspace/symbol", { query: "" });
  return filled;
}

/** Where each word of a text begins. */
function places(lines, count) {
  const of = (line, number) => [...line.matchAll(/[^\s:,{}[\]]+/g)].map((word) => ({ line: number, character: count(line.slice(0, word.index)) }));
  return lines.flatMap(of);
}

/** Tokens have to stand in their lines, one behind the other, and be of a type that was announced. */
function tokens(data, legend, lines, count) {
  let [line, start, end] = [0, 0, 0];
  for (let i = 0; i < data.length; i += 5) {
    const [down, right, length, type, modifiers] = data.slice(i, i + 5);
    if (down > 0) [start, end] = [0, 0];
    [line, start] = [line + down, start + right];
    assert.ok(start >= end && length > 0 && start + length <= count(lines[line]), `a token outside of line ${line}`);
    assert.ok(type < legend.tokenTypes.length && modifiers < 2 ** legend.tokenModifiers.length);
    end = start + length;
  }
}

function within(inner, outer) {
  const before = (a, b) => a.line < b.line || (a.line === b.line && a.character <= b.character);
  return before(outer.start, inner.start) && before(inner.end, outer.end);
}
