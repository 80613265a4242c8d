#!/usr/bin/env bash
# Asks a validator in another language whether it agrees with the schemas and examples.
# Its packages go into a folder of their own that is removed afterwards.
set -euo pipefail
cd "$(dirname "$0")/.."

if ! command -v npm >/dev/null; then
  root=$([ "$(id -u)" = 0 ] && echo env || echo 'sudo -n')
  if command -v apt-get >/dev/null && $root true 2>/dev/null; then
    $root apt-get update -qq
    DEBIAN_FRONTEND=noninteractive $root apt-get install -y -qq --no-install-recommends nodejs npm >/dev/null
  fi
  command -v npm >/dev/null || {
    echo "tests/other_validators.sh: install Node.js with npm." >&2
    exit 1
  }
fi

work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
# Modules are looked for beside the script, so it goes where they are.
cp tests/other_validators.mjs "$work"
npm install --prefix "$work" --silent --no-audit --no-fund --ignore-scripts ajv@8.20.0 yaml@2.9.1
node "$work/other_validators.mjs" schema
