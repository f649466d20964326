#!/bin/sh
# Runs every fuzz target of the tree for the given time each.
set -eu
time=${1:-20s}
grep -rlE '^func Fuzz' --include='*_test.go' . | while read -r file; do
	dir=$(dirname "$file")
	for target in $(sed -nE 's/^func (Fuzz[A-Za-z0-9_]*).*/\1/p' "$file"); do
		echo "$dir $target"
		go test "$dir" -run '^$' -fuzz "^$target\$" -fuzztime "$time"
	done
done
