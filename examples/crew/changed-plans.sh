#!/usr/bin/env bash
# Names the plans that changed since this branch left another one, each ended by a zero byte, so that a name may hold anything.
# It shows how to check only what somebody worked on: a plan that is new, changed, or has a new name is named; one that was
# deleted is not; one whose record of releases changed is named too. Where nothing changed it names nothing, and ends with 0.
# What is not committed yet counts as well, once git knows the file.
# The history has to be there: where a job fetches the last commit alone, git does not know the other branch.
# Run: ./changed-plans.sh main | xargs -0 -r planlint inspect --
set -euo pipefail
cd "$(dirname "$0")"
since=${1:?name the branch or the revision to compare with}
changed() {
    git diff -z --name-only --diff-filter=d --relative --merge-base "$since" -- "$@"
}
{
    changed '*.plan.yaml'
    changed '*.releases.yaml' | while IFS= read -r -d '' record; do
        plan=${record%.releases.yaml}.plan.yaml
        if [ -f "$plan" ]; then
            printf '%s\0' "$plan"
        fi
    done
} | sort -z -u
