# Read by scripts/demo, scripts/test and scripts/soak: brings a virtual environment
# with the locked versions, by uv where it is, else by Python's own venv and pip.
# shellcheck shell=bash

say() { printf '%s\n' "$*"; }
stop() { printf '%s\n' "$*" >&2; exit 2; }

# The first Python that is 3.11 or newer, as a path; empty when there is none.
python_found() {
  local name
  for name in "${BREADLINE_PYTHON:-}" python3 python3.14 python3.13 python3.12 python3.11 python; do
    [ -n "$name" ] || continue
    command -v "$name" >/dev/null 2>&1 || continue
    if "$name" -c 'import sys; sys.exit(sys.version_info < (3, 11))' >/dev/null 2>&1; then
      "$name" -c 'import sys; print(sys.executable)'
      return 0
    fi
  done
  return 1
}

no_python() {
  local seen
  seen=$(python3 --version 2>/dev/null || echo "no python3")
  stop "Breadline needs Python 3.11 or newer; found here: $seen.
Install a newer Python, or name one:  BREADLINE_PYTHON=/path/to/python3.11 $0"
}

no_venv() { # PYTHON
  local version
  version=$("$1" -c 'import sys; print("%d.%d" % sys.version_info[:2])')
  if command -v apt-get >/dev/null 2>&1; then
    stop "This Python cannot make a virtual environment yet. Type this, then start again:
  sudo apt-get install -y python$version-venv"
  fi
  stop "This Python cannot make a virtual environment (its ensurepip is missing). Type this, then start again:
  $1 -m pip install --user uv"
}

# bring_environment FOLDER REQUIREMENTS: ready to use afterwards; quick when nothing changed.
bring_environment() {
  local folder=$1 requirements=$2 python stamp want
  python=$(python_found) || no_python
  stamp="$folder/.breadline-made-from"
  want=$(cat "$requirements" pyproject.toml | cksum)
  [ -x "$folder/bin/python" ] && [ "$(cat "$stamp" 2>/dev/null)" = "$want at $PWD" ] && return 0
  say "Bringing what Breadline needs into $folder (once)"
  export UV_PYTHON_DOWNLOADS=never PIP_DISABLE_PIP_VERSION_CHECK=1
  # an environment whose Python is gone or too old is made anew; any other is added to
  if ! "$folder/bin/python" -c 'import sys; sys.exit(sys.version_info < (3, 11))' >/dev/null 2>&1; then
    rm -rf "$folder"
  fi
  with_uv "$folder" "$requirements" "$python" || with_pip "$folder" "$requirements" "$python"
  printf '%s' "$want at $PWD" >"$stamp"
}

with_uv() { # FOLDER REQUIREMENTS PYTHON; false where uv is missing or fails, and pip may try
  uv --version >/dev/null 2>&1 || return 1
  { [ -d "$1" ] || uv venv --quiet --python "$3" "$1"; } \
    && uv pip install --quiet --python "$1/bin/python" --require-hashes -r "$2" \
    && uv pip install --quiet --python "$1/bin/python" --no-deps -e . \
    || { say "uv could not install the packages (its reason stands above); trying pip"; return 1; }
}

with_pip() { # FOLDER REQUIREMENTS PYTHON
  if ! "$1/bin/python" -m pip --version >/dev/null 2>&1; then
    "$3" -c 'import ensurepip, venv' >/dev/null 2>&1 || no_venv "$3"
    "$3" -m venv "$1" || no_venv "$3"
  fi
  "$1/bin/python" -m pip install --quiet --use-pep517 --require-hashes -r "$2" || no_registry
  "$1/bin/python" -m pip install --quiet --no-deps -e . || no_registry
}

no_registry() {
  stop "The packages could not be installed; the reason stands above.
Breadline needs its package registry once. With a mirror or proxy, set pip's or uv's own setting and start again."
}
