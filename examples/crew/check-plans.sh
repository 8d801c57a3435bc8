#!/usr/bin/env bash
# The step that every CI job of this repository runs, and anybody at home. It shows how a crew's plans are checked when they
# are pushed: the findings stand in the job's log, and once more in reports/ for the pages on which work is reviewed
# (planlint.sarif, planlint.xml, summary.md). The job fails on an error or a warning (exit status 1) and on a plan that cannot
# be read (exit status 2); 0 means that there is nothing to stop for.
# Run: ./check-plans.sh                   all plans
#      ./check-plans.sh --since main      only those that changed since the branch left main; --since '' stands for all plans
#      ./check-plans.sh --stop-at error   after that, any option of planlint inspect
set -euo pipefail
cd "$(dirname "$0")"
plans=(plans/)
mkdir -p reports
rm -f reports/*
if [ "${1-}" = --since ]; then
    if [ $# -lt 2 ]; then
        echo "name a branch or a revision after --since, or '' for all plans" >&2
        exit 2
    fi
    since=$2
    shift 2
    if [ -n "$since" ]; then
        plans=()
        ./changed-plans.sh "$since" >reports/changed || exit 2
        while IFS= read -r -d '' plan; do plans+=("$plan"); done <reports/changed
        rm reports/changed
    fi
    if [ ${#plans[@]} -eq 0 ]; then
        echo "No plan has changed since $since." | tee reports/summary.md
        exit 0
    fi
fi
exec planlint inspect --report text --report sarif=reports/planlint.sarif --report junit=reports/planlint.xml \
    --report markdown=reports/summary.md "$@" -- "${plans[@]}"
