# Sourced: sets `python` to a Python from 3.11, or says what is lacking.
python=
for name in "${VESSELSIDE_PYTHON:-}" python3 python3.14 python3.13 python3.12 python3.11; do
  if [ -n "$name" ] && "$name" -c 'import sys; sys.exit(sys.version_info < (3, 11))' 2>/dev/null; then
    python=$name
    break
  fi
done
if [ -z "$python" ]; then
  echo "Vesselside needs Python 3.11 or newer, and found none. On Debian or Ubuntu: apt-get install python3 python3-venv" >&2
  exit 2
fi
