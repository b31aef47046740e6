# Measures the follower and its peer, OpenCV's pyramidal Lucas-Kanade, on clips of known truth and prints one table.
# usage: bash tests/evaluation/run.sh [--seeds 11,12] [--rates 60,120] [--clips stk60,skn60] [--no-clips] [--moving] [--key-every SECONDS]
#        [--noise STRENGTH] [--starts COUNT]
#        bash tests/evaluation/run.sh --web        the follower as WASM under Node: milliseconds and heap at 720p and 1080p, against OpenCV native
#        bash tests/evaluation/run.sh --camera [--seeds 531] [--noise STRENGTH]   how far what the camera did is off
#        bash tests/evaluation/run.sh --blur [--seeds 641,642]   how far off the blur of the shoe is that is told before the work
#        bash tests/evaluation/run.sh --fixtures   only compares OpenCV's numbers that are kept with those it finds here
# Needs ffmpeg and Python 3; where the packages of requirements.txt cannot be had, it says so and measures nothing.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/../.."
target=${CARGO_TARGET_DIR:-$PWD/target}
venv=$target/evaluation/venv
mkdir -p "$target/evaluation"
if ! cmp -s tests/evaluation/requirements.txt "$venv/made-of.txt"; then
  if ! { python3 -m venv "$venv" && "$venv/bin/pip" install --quiet --disable-pip-version-check --requirement tests/evaluation/requirements.txt; } 2>"$target/evaluation/log.txt"; then
    printf 'NOT RUN: no Python with the packages of tests/evaluation/requirements.txt can be made here: %s\n' "$(tail -1 "$target/evaluation/log.txt")"
    exit 0
  fi
  cp tests/evaluation/requirements.txt "$venv/made-of.txt"
fi
python=$venv/bin/python
export PYTHONDONTWRITEBYTECODE=1
case ${1:-} in
--fixtures)
  "$python" -W ignore tracking/tests/opencv/fixtures.py
  ;;
--camera)
  cargo build --quiet --release --package tracking --examples
  cargo build --quiet --package demo-clips
  shift
  "$python" tests/evaluation/camera.py --target "$target" "$@"
  ;;
--blur)
  cargo build --quiet --release --package tracking --examples
  cargo build --quiet --package demo-clips
  shift
  "$python" tests/evaluation/before/blur.py --target "$target" "$@"
  ;;
--web)
  command -v node >/dev/null || { printf 'NOT RUN: there is no Node here\n'; exit 0; }
  script=$(cargo run --quiet --package site -- follower)
  "$python" tests/evaluation/web.py --target "$target" --script "$script"
  ;;
*)
  cargo build --quiet --release --package tracking --examples
  # The generator is quick only where it is optimised, which the development profile does for it.
  cargo build --quiet --package demo-clips
  "$python" tests/evaluation/measure.py --target "$target" "$@"
  "$python" -W ignore tracking/tests/opencv/fixtures.py
  ;;
esac
