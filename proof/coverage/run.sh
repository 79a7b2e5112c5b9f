#!/bin/sh
# Judges clean days of every method in laboratories that know their control soils from 10, 20 and 60 earlier runs, and prints how many
# causes are false and how often the stated uncertainty covers the truth.
#   ./tenmesh coverage [--days 20] [--soils 2000] [--known 10,20,60] [--seed 1]
set -eu
here=$(CDPATH='' cd -- "$(dirname -- "$0")" && pwd -P)
home=$(CDPATH='' cd -- "$here/../.." && pwd -P)
# shellcheck source=../classpath.sh
. "$home/proof/classpath.sh"
progress=no
[ ! -t 2 ] || progress=yes
"${JAVA_HOME:+$JAVA_HOME/bin/}java" -Xmx2g -cp "$path" org.tenmesh.proof.coverage.CleanDayStudy --progress "$progress" "$@"
