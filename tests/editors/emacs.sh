#!/bin/bash
# Emacs, in batch mode, set up as its page says: it shows what the review finds, applies a proven repair, and renames a
# point across files.
. "$(dirname "$0")/common.sh"
need emacs emacs-nox elpa-eglot elpa-yaml-mode
block emacs.md eglot >"$work/init.el"
# In batch mode Emacs activates no packages by itself.
JOB="$work/job" FILES=$files OUT="$work/shown" HOME="$work/home" \
    timeout 120 emacs --batch -f package-initialize -l "$work/init.el" -l tests/editors/emacs.el >"$work/errors" 2>&1 || fail "$(tail -20 "$work/errors")"
holds "$work/shown"
echo "$name: $(emacs --version | head -1): $(wc -l <"$work/before") findings as in the review; repaired; renamed"
