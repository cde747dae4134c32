-- Opens every file of a job in Neovim with the language server, waits until what it shows is settled,
-- and prints it sorted: `file:line:check:severity`. Then renames a point in an unsaved buffer and prints
-- what is shown of another file: lines that begin with `edited `.
--
-- nvim --clean --headless -n -c 'luafile neovim.lua', with DRYCALL (the binary), JOB (the job folder),
-- FILES (its files, separated by spaces), and EDIT: buffer, pattern, replacement, file to look at.

local root = vim.env.JOB
local files = vim.split(vim.env.FILES, " ", { trimempty = true })
local severities = { "error", "warning", "note" }
local published, buffers = 0, {}

local function fail(why)
  io.stderr:write("neovim: " .. why .. "\n")
  vim.cmd("cquit 2")
end

local show = vim.lsp.handlers["textDocument/publishDiagnostics"]
local client = vim.lsp.start_client({
  name = "drycall",
  cmd = { vim.env.DRYCALL, "serve" },
  root_dir = root,
  workspace_folders = { { uri = vim.uri_from_fname(root), name = "job" } },
  handlers = {
    ["textDocument/publishDiagnostics"] = function(...)
      published = published + 1
      return show(...)
    end,
  },
})
if not client then fail("the server does not start") end

for _, file in ipairs(files) do
  vim.cmd("edit " .. vim.fn.fnameescape(root .. "/" .. file))
  vim.bo.filetype = "yaml"
  buffers[file] = vim.api.nvim_get_current_buf()
  vim.lsp.buf_attach_client(buffers[file], client)
end

-- Every opened file is told of at least once; then nothing may come for a while.
local function settle(at_least)
  if not vim.wait(20000, function() return published >= at_least end, 20) then
    fail(string.format("%d publications came, %d were awaited", published, at_least))
  end
  local last = -1
  while last ~= published do
    last = published
    vim.wait(500, function() return false end, 20)
  end
end

local function list(file, before)
  local lines = {}
  for _, d in ipairs(vim.diagnostic.get(buffers[file])) do
    local code = d.code or (d.user_data and d.user_data.lsp and d.user_data.lsp.code) or "?"
    table.insert(lines, string.format("%s%s:%d:%s:%s", before, file, d.lnum + 1, code, severities[d.severity]))
  end
  return lines
end

settle(#files)
local all = {}
for _, file in ipairs(files) do vim.list_extend(all, list(file, "")) end
table.sort(all)

local edit = vim.split(vim.env.EDIT, "|", { plain = true })
local at, pattern, new, looked_at = buffers[edit[1]], edit[2], edit[3], edit[4]
local changed = false
for i, line in ipairs(vim.api.nvim_buf_get_lines(at, 0, -1, false)) do
  local from, to = line:find(pattern, 1, true)
  if from and not changed then
    vim.api.nvim_buf_set_text(at, i - 1, from - 1, i - 1, to, { new })
    changed = true
  end
end
if not changed then fail("nothing to edit: " .. pattern) end
settle(published + 1)
local after = list(looked_at, "edited ")
table.sort(after)
vim.list_extend(all, after)

io.stdout:write(table.concat(all, "\n") .. "\n")
vim.lsp.stop_client(client)
vim.cmd("qall!")
