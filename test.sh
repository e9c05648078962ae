#!/usr/bin/env bash
# Runs every test. Installs what is missing where it can (Debian's packages, as root; npm's in their folder).
set -euo pipefail
cd "$(dirname "$0")"

step() { printf '\n== %s\n' "$1"; }

# Chromium and a Java runtime come from the system's packages.
install_missing() {
  local missing=()
  command -v chromium >/dev/null || [ -n "${CHROMIUM:-}" ] || missing+=(chromium)
  command -v node >/dev/null || missing+=(nodejs npm)
  command -v java >/dev/null || missing+=(default-jre-headless)
  python3 -c 'import ensurepip, venv' 2>/dev/null || missing+=(python3-venv)
  fc-list 2>/dev/null | grep -qi dejavu || missing+=(fonts-dejavu-core fontconfig)
  [ ${#missing[@]} -eq 0 ] && return
  if [ "$(id -u)" -eq 0 ] && command -v apt-get >/dev/null; then
    step "installing ${missing[*]}"
    apt-get update -qq
    DEBIAN_FRONTEND=noninteractive apt-get install -y -qq "${missing[@]}" >/dev/null
  else
    echo "please install: ${missing[*]}" >&2
    exit 2
  fi
}

install_missing
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
step "formatting";    cargo fmt --check
step "lints";         cargo clippy --all-targets --locked -- -D warnings
step "tests";         cargo test --locked --quiet
step "documentation"; RUSTDOCFLAGS="-D warnings" cargo doc --locked --no-deps --quiet
step "seating against an independent solution"
python3 -m venv "$work/venv"
"$work/venv/bin/pip" install --quiet --disable-pip-version-check -r tests/reference/requirements.txt
"$work/venv/bin/python" tests/reference/seating.py --check
step "the book";      cargo run --locked --quiet -- lint
cargo run --locked --quiet -- compile --out "$work/site"
# Two of its boards are withheld (status 1), which is no failure of the program.
cargo run --locked --quiet -- --book tests/fixtures/hostile-book compile --out "$work/hostile" || [ $? -eq 1 ]
step "every page in a browser"
cd tests/browser
npm ci --ignore-scripts --no-audit --no-fund --silent
node check.mjs "$work/site" --expect expect.json
step "a book that means harm, in a browser"
node check.mjs "$work/hostile" --hostile
