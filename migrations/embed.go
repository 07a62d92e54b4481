// Package migrations carries the database's steps inside the program: each
// number has a way up and a way down. The file schema.sql shows where they lead;
// it is made from a database, for reading, and never run.
package migrations

import "embed"

// Files holds the steps, named 000001_name.up.sql and 000001_name.down.sql.
//
//go:embed *.up.sql *.down.sql
var Files embed.FS

// Schema is schema.sql as it was last written.
//
//go:embed schema.sql
var Schema string
