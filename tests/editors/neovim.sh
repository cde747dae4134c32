#!/bin/bash
# Neovim, headless, must show exactly what `drycall review` finds in the sample with mistakes, and an
# unsaved edit in one buffer must change what it shows of another.
#
# DRYCALL names the binary (target/release/drycall by default). Without `nvim` this is skipped, unless
# DRYCALL_REQUIRE_ALL=1: then it fails.
set -euo pipefail
cd "$(dirname "$0")/../.."
export DRYCALL=${DRYCALL:-$PWD/target/release/drycall}
[ -x "$DRYCALL" ] || { echo "neovim: no binary at $DRYCALL; build it, or say where it is with DRYCALL" >&2; exit 1; }
if ! command -v nvim >/dev/null; then
    echo 'neovim: nvim is not installed' >&2
    [ "${DRYCALL_REQUIRE_ALL:-0}" = 1 ] && exit 1
    exit 0
fi
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
cp -r samples/saltmarsh-records-centre/with-mistakes "$work/job"
export JOB="$work/job" HOME="$work" XDG_CACHE_HOME="$work/cache" XDG_STATE_HOME="$work/state"
FILES=$(cd "$JOB" && find . \( -name '*.yaml' -o -name '*.yml' \) | sed 's,^\./,,' | LC_ALL=C sort | tr '\n' ' ')
export FILES
# HP-1's cooling point loses its name; its unit must complain.
export EDIT='points/reading-room.yaml|HP1-CLG1:|HP1-COOLING:|units.yaml'

timeout 120 nvim --clean --headless -n -c 'luafile tests/editors/neovim.lua' >"$work/shown" 2>"$work/errors" || {
    cat "$work/errors" >&2
    echo 'neovim: it did not get to the end' >&2
    exit 1
}
tr -d '\r' <"$work/shown" | grep -v '^edited ' | LC_ALL=C sort >"$work/in-neovim" || true
status=0; "$DRYCALL" review "$JOB" --form json >"$work/review.json" || status=$?
[ "$status" = 1 ] || { echo "neovim: the review of the sample exits $status, not 1" >&2; exit 1; }
python3 - "$work/review.json" <<'PY' | LC_ALL=C sort >"$work/in-review"
import json, sys
for f in json.load(open(sys.argv[1]))["findings"]:
    print(f"{f['file']}:{f['range']['from']['line']}:{f['check']}:{f['severity']}")
PY
[ -s "$work/in-review" ] || { echo 'neovim: the review of the sample finds nothing' >&2; exit 1; }
diff -u --label review --label neovim "$work/in-review" "$work/in-neovim" || {
    echo 'neovim: it does not show what the review finds' >&2
    exit 1
}
# The edit: a name that nothing declares any more, where there was none.
line=$(grep -n 'cool-1: HP1-CLG1' "$JOB/units.yaml" | head -1 | cut -d: -f1)
new="units.yaml:$line:name-unknown:error"
grep -qx "edited $new" <(tr -d '\r' <"$work/shown") || { echo "neovim: the edit did not bring $new" >&2; exit 1; }
! grep -qx "$new" "$work/in-neovim" || { echo "neovim: $new was there before the edit" >&2; exit 1; }
echo "neovim: $(nvim --version | head -1), $(wc -l <"$work/in-review") findings in $(wc -w <<<"$FILES") files as in the review; an unsaved edit shows in another file"
