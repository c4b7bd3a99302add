package journal

import (
	"context"
	"database/sql"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"net/url"
	"os"
	"sync"

	"modernc.org/sqlite"
)

// applicationID marks a SQLite file as a journal of this program: "shed" in ASCII.
const applicationID = 0x73686564

// migrations[i] brings a journal from schema version i to i+1. One that has been
// released is never changed.
var migrations = []string{schemaV1, schemaV2}

// A STRICT table refuses values of another type. The triggers make the table
// append-only for every connection, a stray SQL shell included: INSERT OR REPLACE
// would get round the delete trigger, so numbers must rise, too.
const schemaV1 = `
CREATE TABLE events (
  seq    INTEGER PRIMARY KEY,
  grp    INTEGER NOT NULL,
  at_ns  INTEGER NOT NULL,
  zone_s INTEGER NOT NULL,
  "by"   TEXT    NOT NULL,
  undo   TEXT    NOT NULL,
  type   TEXT    NOT NULL,
  data   BLOB    NOT NULL,
  sum    INTEGER NOT NULL
) STRICT;
CREATE TRIGGER events_no_update BEFORE UPDATE ON events
BEGIN SELECT RAISE(ABORT, 'the journal is append-only: no record can be changed'); END;
CREATE TRIGGER events_no_delete BEFORE DELETE ON events
BEGIN SELECT RAISE(ABORT, 'the journal is append-only: no record can be deleted'); END;
CREATE TRIGGER events_in_order BEFORE INSERT ON events
WHEN NEW.seq <= (SELECT max(seq) FROM events)
BEGIN SELECT RAISE(ABORT, 'the journal is append-only: the number is taken or too low'); END;

-- Gaps that a salvage left behind. at_ns are the instants of the whole records
-- before and after; NULL where there is none.
CREATE TABLE losses (
  first_seq INTEGER PRIMARY KEY,
  last_seq  INTEGER NOT NULL,
  from_ns   INTEGER,
  to_ns     INTEGER
) STRICT;

-- Derived from events; may be deleted without loss.
CREATE TABLE days (
  first_seq INTEGER PRIMARY KEY,
  last_seq  INTEGER,
  day       TEXT NOT NULL
) STRICT;
CREATE INDEX days_by_day ON days(day);
CREATE TABLE snapshots (
  seq  INTEGER PRIMARY KEY,
  data BLOB    NOT NULL,
  sum  INTEGER NOT NULL
) STRICT;
`

// From the second version on records write kinds by their names, which no program
// before it reads. The tables are the same; snapshots go, as their states do so, too.
const schemaV2 = "DELETE FROM snapshots"

// Connection settings, https://sqlite.org/pragma.html. FULL makes every commit wait
// for the disk; the two fullfsync settings make macOS do what other systems do.
var (
	writerPragmas = []string{"busy_timeout(5000)", "journal_mode(WAL)", "synchronous(FULL)", "foreign_keys(ON)",
		"trusted_schema(OFF)", "cell_size_check(ON)", "fullfsync(ON)", "checkpoint_fullfsync(ON)",
		"journal_size_limit(8388608)"}
	readerPragmas = []string{"busy_timeout(5000)", "query_only(ON)", "trusted_schema(OFF)", "cell_size_check(ON)"}
)

// useFdatasync lets commits on Linux leave out the write of the file's timestamp,
// which nobody needs and which about doubles the wait.
var useFdatasync = sync.OnceFunc(func() { _, _ = sqlite.Fdatasync(true) })

func openSQL(path, mode string, pragmas []string, more ...string) (*sql.DB, error) {
	useFdatasync()
	q := url.Values{"mode": {mode}, "_txlock": {"immediate"}, "_pragma": pragmas}
	for i := 0; i+1 < len(more); i += 2 {
		q.Set(more[i], more[i+1])
	}
	u := url.URL{Scheme: "file", Opaque: (&url.URL{Path: path}).EscapedPath(), RawQuery: q.Encode()}
	return sql.Open("sqlite", u.String())
}

func openWriter(path string) (*sql.DB, error) {
	db, err := openSQL(path, "rwc", writerPragmas)
	if err == nil {
		db.SetMaxOpenConns(1)
	}
	return db, err
}

// openReader opens a journal for reading beside its writer. A clean journal on a
// disk that cannot be written has no shared memory file, so there it is read as
// one that nobody changes.
func openReader(path string) (*sql.DB, error) {
	db, err := openSQL(path, "ro", readerPragmas)
	if err != nil {
		return nil, err
	}
	if _, _, err = schemaOf(db); err == nil || !errors.Is(kindOf(err), ErrReadOnly) {
		return db, nil
	}
	if info, statErr := os.Stat(path + "-wal"); statErr == nil && info.Size() > 0 {
		return db, nil
	}
	_ = db.Close()
	return openSQL(path, "ro", readerPragmas, "immutable", "1")
}

// checkHeader looks at a file before SQLite touches it: a foreign, newer or
// destroyed one must stay as it is. The fields are those of section 1.3 of
// https://sqlite.org/fileformat2.html.
func checkHeader(path string) error {
	f, err := os.Open(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return err
	}
	defer f.Close()
	var h [105]byte // with the beginning of the schema's own page
	n, err := io.ReadFull(f, h[:])
	switch {
	case n == 0 && err == io.EOF:
		return nil // SQLite makes the file before it writes to it
	case err == io.ErrUnexpectedEOF || err == nil && !knownHeader(h[:]):
		return damaged(nil, "journal.no-beginning", path)
	case err != nil:
		return err
	}
	return judgeSchema(path, int(binary.BigEndian.Uint32(h[68:])), int(binary.BigEndian.Uint32(h[60:])),
		binary.BigEndian.Uint16(h[103:]) > 0)
}

// knownHeader checks what is the same in every file that SQLite writes here: its
// name, the read and write versions, the payload fractions, UTF-8.
func knownHeader(h []byte) bool {
	return string(h[:16]) == "SQLite format 3\x00" && (h[18] == 1 || h[18] == 2) && (h[19] == 1 || h[19] == 2) &&
		h[21] == 64 && h[22] == 32 && h[23] == 32 && binary.BigEndian.Uint32(h[44:]) <= 4 && binary.BigEndian.Uint32(h[56:]) <= 1
}

func judgeSchema(path string, id, version int, hasTables bool) error {
	switch {
	case id != applicationID && (id != 0 || version != 0 || hasTables):
		return newFault(ErrForeign, "journal.foreign", path)
	case version > len(migrations):
		return ErrNewer{Path: path, Have: version, Know: len(migrations)}
	}
	return nil
}

func schemaOf(db *sql.DB) (id, version int, err error) {
	if err = db.QueryRow("PRAGMA application_id").Scan(&id); err == nil {
		err = db.QueryRow("PRAGMA user_version").Scan(&version)
	}
	return id, version, err
}

// checkSchema is checkHeader for an open journal, whose header may so far stand in
// the write-ahead log only.
func checkSchema(path string, db *sql.DB) (version int, err error) {
	id, version, err := schemaOf(db)
	if err != nil {
		return 0, err
	}
	var tables int
	if err := db.QueryRow("SELECT count(*) FROM sqlite_schema").Scan(&tables); err != nil {
		return 0, err
	}
	return version, judgeSchema(path, id, version, tables > 0)
}

// migrate brings a journal from a version to the newest of steps, in one
// transaction with its new version number.
func migrate(db *sql.DB, from int, steps []string) error {
	if from >= len(steps) {
		return nil
	}
	tx, err := db.BeginTx(context.Background(), nil)
	if err != nil {
		return err
	}
	defer func() { _ = tx.Rollback() }()
	for i, step := range steps[from:] {
		if _, err := tx.Exec(step); err != nil {
			return fmt.Errorf("format %d to %d: %w", from+i, from+i+1, err)
		}
	}
	_, err = tx.Exec(fmt.Sprintf("PRAGMA application_id = %d; PRAGMA user_version = %d", applicationID, len(steps)))
	if err != nil {
		return err
	}
	return tx.Commit()
}
