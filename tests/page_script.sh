#!/usr/bin/env bash
# Makes author/publish/page/page.min.js anew from author/publish/page/scripts, with names and
# spaces made short by terser. Its packages go into a folder of their own that is removed.
set -euo pipefail
cd "$(dirname "$0")/.."

python=${PYTHON:-python}
command -v npm >/dev/null || {
  echo "tests/page_script.sh: install Node.js with npm." >&2
  exit 1
}
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
npm install --prefix "$work" --silent --no-audit --no-fund --ignore-scripts terser@5.51.4
"$python" -c '
import sys
from author.publish.page.building import joined_script, stamp
sys.stdout.buffer.write(joined_script().encode())
sys.stderr.write(stamp())' >"$work/joined.js" 2>"$work/small.js"
"$work/node_modules/.bin/terser" "$work/joined.js" --compress passes=5,unsafe_arrows,unsafe_methods,hoist_funs,pure_getters,inline=3,unsafe,reduce_funcs=false --mangle --ecma 2020 >>"$work/small.js"
mv "$work/small.js" author/publish/page/page.min.js
