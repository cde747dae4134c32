#!/bin/bash
# VS Code, in a browser, with the packed extension: shows what `drycall review` finds in the sample with mistakes,
# applies proven repairs by mouse and by keyboard, draws a unit's week, renames a point across files. Pictures of
# it are kept in target/artifacts/vscode, to be looked at.
#
# DRYCALL names the binary (target/release/drycall by default); packages go to DRYCALL_TOOLS (target/tools by
# default). Installs what it needs where it may; what then lacks means that this is skipped, unless
# DRYCALL_REQUIRE_ALL=1: then it fails.
set -euo pipefail
cd "$(dirname "$0")/../.."
root=$PWD
binary=$(realpath -m "${DRYCALL:-$root/target/release/drycall}")
tools=$(realpath -m "${DRYCALL_TOOLS:-$root/target/tools}")
shots=$root/target/artifacts/vscode
[ -x "$binary" ] || { echo "vscode: no binary at $binary; build it, or say where it is with DRYCALL" >&2; exit 1; }

# Command and Debian package. The editor finds the job by ripgrep; one of its modules is compiled.
needed=(node:nodejs npm:npm chromium:chromium rg:ripgrep python3:python3 make:make g++:g++)
missing=()
for pair in "${needed[@]}"; do
    command -v "${pair%%:*}" >/dev/null || missing+=("${pair#*:}")
done
if [ ${#missing[@]} -gt 0 ] && [ "$(id -u)" = 0 ] && command -v apt-get >/dev/null; then
    apt-get update -qq && apt-get install -y -qq --no-install-recommends "${missing[@]}" >/dev/null
fi
for pair in "${needed[@]}"; do
    command -v "${pair%%:*}" >/dev/null && continue
    echo "vscode: ${pair%%:*} is not installed" >&2
    [ "${DRYCALL_REQUIRE_ALL:-0}" = 1 ] && exit 1
    exit 0
done

npm=(npm --silent --no-audit --no-fund --no-update-notifier)
# Runs a command in a folder unless it was done there for the same package-lock.json.
once() {
    local folder=$1 stamp
    stamp=$(sha256sum "$folder/package-lock.json")
    [ "$(cat "$folder/done" 2>/dev/null)" = "$stamp" ] && return
    (cd "$folder" && "$2")
    echo "$stamp" >"$folder/done"
}

install_editor() {
    # Its install scripts would fetch from elsewhere; what of them is needed is done here.
    "${npm[@]}" ci --ignore-scripts
    "${npm[@]}" rebuild argon2 --build-from-source >/dev/null
    cd node_modules/code-server/lib/vscode
    "${npm[@]}" install --omit=dev --ignore-scripts
    ln -sfn node_modules node_modules.asar
    (cd extensions && "${npm[@]}" install --omit=dev --ignore-scripts)
    "${npm[@]}" rebuild @vscode/spdlog native-watchdog >/dev/null
    mkdir -p node_modules/@vscode/ripgrep/bin
    ln -sf "$(command -v rg)" node_modules/@vscode/ripgrep/bin/rg
}
editor=$tools/vscode
mkdir -p "$editor"
cp tests/editors/vscode/* "$editor/"
once "$editor" install_editor

install_extension() { "${npm[@]}" ci --ignore-scripts; }
extension=$tools/vscode-extension
mkdir -p "$extension"
rm -rf "${extension:?}"/{src,test,media,out,server}
tar -C editors/vscode --exclude ./node_modules --exclude ./out --exclude ./server -cf - . | tar -C "$extension" -xf -
# The program travels with the extension, as it does to whoever has no other.
mkdir "$extension/server" && cp "$binary" "$extension/server/drycall"
once "$extension" install_extension
(cd "$extension" && "${npm[@]}" test >"$extension/test.log" 2>&1) || { cat "$extension/test.log" >&2; exit 1; }
(cd "$extension" && "${npm[@]}" run pack >"$extension/pack.log" 2>&1) || { cat "$extension/pack.log" >&2; exit 1; }

work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
cp -r samples/saltmarsh-records-centre/with-mistakes "$work/job"
rm -rf "$shots" && mkdir -p "$shots"
export HOME="$work" XDG_CACHE_HOME="$work/cache" XDG_CONFIG_HOME="$work/config" XDG_DATA_HOME="$work/share"
server=$editor/node_modules/code-server/out/node/entry.js
node "$server" --user-data-dir "$work/data" --extensions-dir "$work/extensions" --install-extension "$extension/out/drycall.vsix" >"$work/install.log" 2>&1 \
    || { cat "$work/install.log" >&2; exit 1; }
timeout 300 node "$editor/drive.mjs" "$binary" "$work/job" "$work" "$shots" "$server" "$(command -v chromium)"
echo "vscode: $(node "$server" --version 2>/dev/null | head -1), $(find "$shots" -name '*.png' | wc -l) pictures in target/artifacts/vscode, to be looked at"
