#!/bin/bash
# Measures every budget in one run and prints them as one table, drycall beside a general YAML language server:
#   tests/bench/run.sh [--quick]        --quick leaves out the job of 100,000 units and most of the 100,000 edits
# Wants cargo, python3, node and npm; takes about five minutes on two processors, one with --quick.
set -euo pipefail
cd "$(dirname "$0")/../.."
tools=${DRYCALL_TOOLS:-$PWD/target/tools}/baseline
target=${CARGO_TARGET_DIR:-$PWD/target}

cargo build --quiet --profile dist -p drycall
cargo build --quiet --profile dist -p syntax --example parse_alone
mkdir -p "$tools"
server="$tools/node_modules/yaml-language-server"
[ -d "$server" ] || (cd "$tools" && npm install --silent --no-audit --no-fund yaml-language-server@1.25.0)
# Its validation waits 200 ms for the typist; without the wait the comparison is fair.
{ grep -rl 'validationDelayMs = 200' "$server/out" || true; } | xargs -r sed -i 's/validationDelayMs = 200/validationDelayMs = 0/'

cargo bench --quiet -p analysis --bench verdicts -- --quick "one unit's year" >/dev/null 2>&1
DRYCALL=${DRYCALL:-$target/dist/drycall} PARSE_ALONE="$target/dist/examples/parse_alone" \
    BASELINE="node $server/bin/yaml-language-server --stdio" CRITERION="$target/criterion" \
    exec python3 tests/bench/table.py "$@"
