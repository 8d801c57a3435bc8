#!/bin/sh
# The step that a CI job runs over every plan of this repository. It shows how a crew's plans are checked when they are
# pushed: the findings stand in the job's log and in findings.json, and the job fails on an error or a warning (exit status 1)
# and on a plan that cannot be read (exit status 2).
# Run: ./check-plans.sh [options of planlint inspect], such as ./check-plans.sh --today 2026-10-03
set -eu
cd "$(dirname "$0")"
exec planlint inspect --report text --report json=findings.json "$@" plans/
