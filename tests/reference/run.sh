# Computes the reference fixtures again and compares them with the kept ones; `--write` keeps the new ones. Without Python
# or its packages it says so.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")"
venv=${CARGO_TARGET_DIR:-$PWD/../../target}/reference
mkdir -p "$venv"
if ! cmp -s requirements.txt "$venv/made-of.txt"; then
  if ! { python3 -m venv "$venv" && "$venv/bin/pip" install --quiet --disable-pip-version-check --requirement requirements.txt; } 2>"$venv/log.txt"; then
    printf 'NOT RUN: no Python with the packages of tests/reference/requirements.txt can be installed here: %s\n' "$(tail -1 "$venv/log.txt")"
    exit 0
  fi
  cp requirements.txt "$venv/made-of.txt"
fi
PYTHONDONTWRITEBYTECODE=1 "$venv/bin/python" fixtures.py fixtures "$@"
