// Package oracle judges the trim engine from outside: small random problems are
// written as a mixed-integer programme of its own, from docs/interchange.md and
// with no code of the engine, and solved to proven optimality by HiGHS
// (Huangfu & Hall, Mathematical Programming Computation 10 (2018) 119–142).
//
// It holds tests only. They need node and, once, npm ci in this folder.
package oracle
