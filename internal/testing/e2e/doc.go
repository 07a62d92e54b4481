// Package e2e holds the tests of the whole: the real program on a free port, with
// a fresh data folder and its private PostgreSQL, used as people use it, in a real
// browser or over plain HTTP.
package e2e
