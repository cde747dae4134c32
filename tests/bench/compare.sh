#!/bin/bash
# Edit → diagnostics on one big file, drycall beside a general YAML language server, in one run.
#   tests/bench/compare.sh [UNITS]      1790 units are about 38,000 lines
set -euo pipefail
cd "$(dirname "$0")/../.."
units=${1:-1790}
drycall=${DRYCALL:-$PWD/target/release/drycall}
tools=${DRYCALL_TOOLS:-$PWD/target/tools}/baseline
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT

[ -x "$drycall" ] || cargo build --release -p drycall
mkdir -p "$tools"
[ -d "$tools/node_modules/yaml-language-server" ] ||
    (cd "$tools" && npm install --silent --no-audit --no-fund yaml-language-server@1.25.0)
server="$tools/node_modules/yaml-language-server"
# Its validation waits 200 ms for the typist; without the wait the comparison is fair.
{ grep -rl 'validationDelayMs = 200' "$server/out" || true; } | xargs -r sed -i 's/validationDelayMs = 200/validationDelayMs = 0/'

python3 tests/bench/campus.py --units "$units" --one-file --out "$work/job"
printf '%s\n' "{\"yaml\": {\"schemas\": {\"file://$PWD/schemas/job.schema.json\": \"*.yaml\"}, \"validate\": true, \"schemaStore\": {\"enable\": false}}}" >"$work/settings.json"
common=(--root "$work/job" --file "$work/job/site.yaml" --no-expect --runs 3 --iters 10
    --edit-at '^ +thermostat: .*humidity-(differential)' --hover-at '^    (zone): ' --complete-at '^    (type): ')
python3 tests/bench/driver.py --cmd "$drycall serve" "${common[@]}" --out "$work/drycall.json" >/dev/null
python3 tests/bench/driver.py --cmd "node $server/bin/yaml-language-server --stdio" --settings "$work/settings.json" \
    "${common[@]}" --out "$work/baseline.json" >/dev/null || true

python3 - "$work" <<'PY'
import json, pathlib, sys
folder = pathlib.Path(sys.argv[1])
runs = {name: json.loads((folder / f"{name}.json").read_text())["results"][0] for name in ("drycall", "baseline")}
for name, run in runs.items():
    if "failed" in run:
        print(f"{name}: {run['failed']}")
lines = runs["drycall"].get("lines")
print(f"{lines} lines, medians in ms\n")
print(f"{'':24}{'drycall':>10}{'baseline':>10}{'ratio':>8}")
for key in ("initialize", "open_first", "edit_first", "edit_correct", "hover", "hover_after_edit", "completion", "rss_open_MiB"):
    a, b = (runs[n]["median"].get(key) for n in ("drycall", "baseline"))
    show = lambda v: f"{v:10.2f}" if v is not None else f"{'-':>10}"
    print(f"{key:24}{show(a)}{show(b)}" + (f"{b / a:8.1f}" if a and b else ""))
a, b = (runs[n].get("rss_peak_MiB") for n in ("drycall", "baseline"))
print(f"{'rss_peak_MiB':24}{a or 0:10.1f}{b or 0:10.1f}")
PY
