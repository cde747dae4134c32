#!/bin/bash
# Helix, in a terminal that nobody looks at, set up as its page says, shows a finding in words. On an older Debian, Helix
# comes from trixie and runs on that suite's own libc, unpacked beside it.
. "$(dirname "$0")/common.sh"
need tmux tmux
helix="$tools/helix"
if [ ! -x "$helix/usr/lib/hx/hx" ]; then
    command -v apt-get >/dev/null || skip 'there is no package of it'
    apt="$work/apt"
    mkdir -p "$apt/lists/partial" "$apt/cache/archives/partial" "$helix"
    echo 'deb [signed-by=/usr/share/keyrings/debian-archive-keyring.gpg] http://deb.debian.org/debian trixie main' >"$apt/sources.list"
    options=(-qq -o "Dir::Etc::SourceList=$apt/sources.list" -o Dir::Etc::SourceParts=- -o "Dir::State::Lists=$apt/lists" -o "Dir::Cache=$apt/cache")
    (cd "$apt" && apt-get "${options[@]}" update && apt-get "${options[@]}" download hx libc6 libgcc-s1) >/dev/null 2>&1 || skip 'it cannot be installed'
    for package in "$apt"/*.deb; do dpkg-deb -x "$package" "$helix"; done
fi
libraries="$helix/usr/lib/x86_64-linux-gnu"
mkdir -p "$work/home/.config/helix"
block helix.md helix >"$work/home/.config/helix/languages.toml"
cat >"$work/run" <<RUN
cd "$work/job" && HOME="$work/home" PATH="$PATH" "$libraries/ld-linux-x86-64.so.2" --library-path "$libraries" \\
    "$helix/usr/lib/hx/hx" points/office-and-bay.yaml
RUN
terminal=(tmux -L "drycall-$$")
trap '"${terminal[@]}" kill-server 2>/dev/null || true; rm -rf "$work"' EXIT
"${terminal[@]}" -f /dev/null new-session -d -x 180 -y 40 "bash $work/run; sleep 60"

# Waits until the screen shows something.
sees() {
    for _ in $(seq 100); do
        "${terminal[@]}" capture-pane -p | grep -qF "$1" && return
        sleep 0.2
    done
    "${terminal[@]}" capture-pane -p >&2
    fail "$2"
}
sees '●   4 ' 'the line of the finding is not marked'
"${terminal[@]}" send-keys Space d
sees 'The range `0..1` is a fraction' 'the finding is not in the list'
echo "$name: the finding is marked, and listed"
