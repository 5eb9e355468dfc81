#!/usr/bin/env bash
# The types of the page's JavaScript, as its comments say them, checked by TypeScript over what .ci/site has put together.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/../.."
for part in page worker; do
    target/browser/npm/node_modules/.bin/tsc -p "tests/browser/tsconfig.$part.json"
done
echo "types of the page's JavaScript: no fault"
