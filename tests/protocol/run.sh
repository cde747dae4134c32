#!/bin/bash
# Holds every message of the server to the published types of the Language Server Protocol. Needs node and
# npm; installs the rest into DRYCALL_TOOLS/protocol, or a temporary folder. See README.md.
set -euo pipefail
here=$(cd "$(dirname "$0")" && pwd)
root=$(cd "$here/../.." && pwd)
binary=${DRYCALL:-$root/target/release/drycall}
[ -x "$binary" ] || { echo "protocol: no binary at $binary; build it, or say where it is with DRYCALL" >&2; exit 1; }
for tool in node npm; do
    command -v "$tool" >/dev/null || { echo "protocol: $tool is not installed" >&2; exit 1; }
done
if [ -n "${DRYCALL_TOOLS:-}" ]; then
    work="$DRYCALL_TOOLS/protocol"
    mkdir -p "$work"
else
    work=$(mktemp -d)
    trap 'rm -rf "$work"' EXIT
fi
cp "$here"/package.json "$here"/messages.ts "$here"/*.mjs "$work/"
cd "$work"
npm install --silent --no-audit --no-fund --ignore-scripts
npx --no-install ts-json-schema-generator --path messages.ts --type Messages --no-type-check \
    --tsconfig <(echo '{"compilerOptions": {"strict": true, "moduleResolution": "node"}}') --out schema.json
node session.mjs "$binary" "$root/samples/saltmarsh-records-centre/with-mistakes" schema.json
