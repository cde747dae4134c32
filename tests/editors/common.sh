# Sourced by the test of each editor. Leaves the shell at the project's root, with
#   work        a folder that goes away, with `job` in it: the sample with mistakes
#   tools       where what is installed for tests is kept (DRYCALL_TOOLS, target/tools by default)
#   PATH        with `drycall` on it, as every page asks for (DRYCALL names the binary)
# Pages in editors/ mark what is tested by a line `<!-- tested: NAME -->` above the block; the tests use
# the block itself, so a page cannot say anything that does not work.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/../.."
name=$(basename "$0" .sh)
fail() { echo "$name: $*" >&2; exit 1; }

# Left out, unless everything is asked for.
skip() {
    [ "${DRYCALL_REQUIRE_ALL:-0}" = 1 ] && fail "$*"
    echo "$name: skipped, $*" >&2
    exit 0
}

# Debian's packages for a command that is missing.
need() {
    command -v "$1" >/dev/null && return
    command -v apt-get >/dev/null || skip "$1 is not installed"
    { apt-get update -qq && apt-get install -y -qq --no-install-recommends "${@:2}"; } >/dev/null 2>&1 ||
        skip "$1 is not installed, and cannot be"
}

# The block of a page that is marked with a name.
block() {
    local text
    text=$(awk -v mark="<!-- tested: $2 -->" '
        $0 == mark { found = 1; next }
        found && /^```/ { if (inside) exit; inside = 1; next }
        inside { print }' "editors/$1")
    [ -n "$text" ] || fail "editors/$1 has no block that is marked $2"
    printf '%s\n' "$text"
}

# What the review finds in a job, one `file:line:check:severity` a line.
review() {
    drycall review "$1" --format json >"$work/review.json" || [ $? = 1 ] || fail 'the review fails'
    python3 - "$work/review.json" <<'PY' | LC_ALL=C sort
import json, sys
for f in json.load(open(sys.argv[1]))["findings"]:
    print(f"{f['file']}:{f['range']['from']['line']}:{f['check']}:{f['severity']}")
PY
}

# Lines of what an editor printed that begin with a word, without it.
shown() { tr -d '\r' <"$2" | sed -n "s/^$1 //p" | LC_ALL=C sort; }

# An editor printed `before` and `after` lines as `review` writes them: of the sample, and of the job as it
# then saved it, with the range of SO1-HUM repaired and HP1-COOL1 renamed to HP1-COOLING.
holds() {
    local range=points/office-and-bay.yaml:4:wrong-range:error
    diff -u --label review --label shown "$work/before" <(shown before "$1") >&2 || fail 'it does not show what the review finds'
    review "$work/job" >"$work/after"
    diff -u --label review --label shown "$work/after" <(shown after "$1") >&2 || fail 'after the edits it does not show what the review finds'
    diff -u --label wanted --label shown <(grep -vx "$range" "$work/before") "$work/after" >&2 &&
        ! cmp -s "$work/before" "$work/after" || fail 'the repair did more, or less, than take its finding away'
    grep -q 'cool-1: HP1-COOLING' "$work/job/units.yaml" && grep -q '^ *HP1-COOLING:' "$work/job/points/reading-room.yaml" &&
        ! grep -rq HP1-COOL1 "$work/job" || fail 'the point is not renamed in every file'
}

export DRYCALL=${DRYCALL:-$PWD/target/release/drycall}
[ -x "$DRYCALL" ] || fail "no binary at $DRYCALL; build it, or say where it is with DRYCALL"
tools=${DRYCALL_TOOLS:-$PWD/target/tools}
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
mkdir -p "$tools" "$work/bin" "$work/home/.config"
ln -s "$DRYCALL" "$work/bin/drycall"
export PATH="$work/bin:$PATH"
cp -r samples/saltmarsh-records-centre/with-mistakes "$work/job"
files=$(cd "$work/job" && find . -name '*.y*ml' | sed 's,^\./,,' | LC_ALL=C sort | tr '\n' ' ')
review "$work/job" >"$work/before"
[ -s "$work/before" ] || fail 'the review of the sample finds nothing'
