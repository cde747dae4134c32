// What the server may say, by method, in the protocol's own types. An answer to `a/b` is `a/b result`.
import * as lsp from "vscode-languageserver-protocol";

export interface Messages {
  "initialize result": lsp.InitializeResult;
  "shutdown result": null;
  "textDocument/hover result": lsp.Hover | null;
  "textDocument/definition result": lsp.Location[] | lsp.Location | null;
  "textDocument/references result": lsp.Location[] | null;
  "textDocument/documentHighlight result": lsp.DocumentHighlight[] | null;
  "textDocument/documentSymbol result": lsp.DocumentSymbol[] | lsp.SymbolInformation[] | null;
  "textDocument/completion result": lsp.CompletionList | lsp.CompletionItem[] | null;
  "completionItem/resolve result": lsp.CompletionItem;
  "textDocument/diagnostic result": lsp.DocumentDiagnosticReport;
  "workspace/diagnostic result": lsp.WorkspaceDiagnosticReport;
  "workspace/diagnostic/refresh": null;
  "textDocument/codeAction result": lsp.CodeAction[] | null;
  "textDocument/prepareRename result": lsp.Range | { range: lsp.Range; placeholder: string } | null;
  "textDocument/rename result": lsp.WorkspaceEdit | null;
  "textDocument/semanticTokens/full result": lsp.SemanticTokens | null;
  "textDocument/semanticTokens/full/delta result": lsp.SemanticTokens | lsp.SemanticTokensDelta | null;
  "textDocument/semanticTokens/range result": lsp.SemanticTokens | null;
  "textDocument/foldingRange result": lsp.FoldingRange[] | null;
  "textDocument/selectionRange result": lsp.SelectionRange[] | null;
  "textDocument/documentLink result": lsp.DocumentLink[] | null;
  "textDocument/formatting result": lsp.TextEdit[] | null;
  "textDocument/rangeFormatting result": lsp.TextEdit[] | null;
  "textDocument/codeLens result": lsp.CodeLens[] | null;
  "codeLens/resolve result": lsp.CodeLens;
  "textDocument/inlayHint result": lsp.InlayHint[] | null;
  "inlayHint/resolve result": lsp.InlayHint;
  "textDocument/prepareCallHierarchy result": lsp.CallHierarchyItem[] | null;
  "callHierarchy/incomingCalls result": lsp.CallHierarchyIncomingCall[] | null;
  "callHierarchy/outgoingCalls result": lsp.CallHierarchyOutgoingCall[] | null;
  "workspace/symbol result": lsp.SymbolInformation[] | lsp.WorkspaceSymbol[] | null;
  "workspace/configuration": lsp.ConfigurationParams;
  "workspace/codeLens/refresh": null;
  "workspace/inlayHint/refresh": null;
  "drycall/libraryText result": string;
  "workspace/executeCommand result": any;
  "textDocument/publishDiagnostics": lsp.PublishDiagnosticsParams;
  "client/registerCapability": {
    registrations: (
      | { id: string; method: "workspace/didChangeWatchedFiles"; registerOptions: lsp.DidChangeWatchedFilesRegistrationOptions }
      | { id: string; method: "workspace/didChangeConfiguration"; registerOptions: { section: string } }
    )[];
  };
  "window/workDoneProgress/create": lsp.WorkDoneProgressCreateParams;
  "$/progress": {
    token: lsp.ProgressToken;
    value: lsp.WorkDoneProgressBegin | lsp.WorkDoneProgressReport | lsp.WorkDoneProgressEnd;
  };
  "error": { code: number; message: string; data?: any };
}
