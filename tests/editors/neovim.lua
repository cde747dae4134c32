-- Works through the sample job as `common.sh` tells under `holds`, in a Neovim that was set up by the page.
-- JOB names the job's folder, FILES its files, separated by spaces; OUT is written.

local root = vim.env.JOB
local files = vim.split(vim.env.FILES, " ", { trimempty = true })
local severities = { "error", "warning", "note" }
local published, buffers, out = 0, {}, {}

local function fail(why)
  io.stderr:write(why .. "\n")
  vim.cmd("cquit 2")
end

local show = vim.lsp.handlers["textDocument/publishDiagnostics"]
vim.lsp.handlers["textDocument/publishDiagnostics"] = function(...)
  published = published + 1
  return show(...)
end

local function wait(what, condition)
  if not vim.wait(20000, condition, 20) then fail("waited in vain for " .. what) end
end

-- Until so many publications came, and then no more for a while.
local function settle(at_least)
  wait(at_least .. " publications", function() return published >= at_least end)
  local last = -1
  while last ~= published do
    last = published
    vim.wait(500, function() return false end, 20)
  end
end

local function list(when)
  for _, file in ipairs(files) do
    for _, d in ipairs(vim.diagnostic.get(buffers[file])) do
      local code = d.code or (d.user_data and d.user_data.lsp and d.user_data.lsp.code) or "?"
      table.insert(out, string.format("%s %s:%d:%s:%s", when, file, d.lnum + 1, code, severities[d.severity]))
    end
  end
end

local function text(file) return table.concat(vim.api.nvim_buf_get_lines(buffers[file], 0, -1, false), "\n") end

local function go_to(file, word)
  vim.cmd("buffer " .. buffers[file])
  vim.fn.cursor(1, 1)
  if vim.fn.search(word) == 0 then fail("no " .. word .. " in " .. file) end
end

-- As whoever works in a folder of the job opens them.
vim.cmd("cd " .. vim.fn.fnameescape(root .. "/points"))
for _, file in ipairs(files) do
  vim.cmd("edit " .. vim.fn.fnameescape(file:match("^points/(.*)") or ("../" .. file)))
  buffers[file] = vim.api.nvim_get_current_buf()
end
-- A job with findings in every file but one or two.
settle(#files)
list("before")

-- A proven repair, through the code actions at its finding.
go_to("points/office-and-bay.yaml", [[0\.\.1,]])
local params = vim.lsp.util.make_range_params(0, "utf-8")
params.context = { diagnostics = {} }
local before, repaired = published, false
for id, answer in pairs(vim.lsp.buf_request_sync(0, "textDocument/codeAction", params, 20000) or {}) do
  for _, action in ipairs(answer.result or {}) do
    if action.title:find("^Write `0..100`") then
      vim.lsp.util.apply_workspace_edit(action.edit, vim.lsp.get_client_by_id(id).offset_encoding or "utf-16")
      repaired = true
    end
  end
end
if not repaired then fail("the repair is not offered") end
settle(before + 1)

-- A point, in every file that names it.
go_to("units.yaml", "HP1-COOL1")
before = published
vim.lsp.buf.rename("HP1-COOLING")
wait("the new name", function()
  return text("units.yaml"):find("HP1%-COOLING") and text("points/reading-room.yaml"):find("HP1%-COOLING")
end)
-- A new name changes no finding, so nothing need be published.
settle(before)
list("after")
vim.cmd("silent wall")

vim.fn.writefile(out, vim.env.OUT)
vim.cmd("qall!")
