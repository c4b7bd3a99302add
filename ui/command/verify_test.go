package command_test

import (
	"database/sql"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"shedbell/ui/command"
)

// What was printed is found again, also after more was written; a record that was
// changed behind the journal's back is noticed, and between which words.
func TestVerify(t *testing.T) {
	s := newShell(t)
	dir := s.vars["SHEDBELL_DATA"]
	word := func() string {
		s.want(t, command.ExitOK, "verify")
		found := regexp.MustCompile(`[0-9a-f]{5}(-[0-9a-f]{5}){3}`).FindAllString(s.out.String(), -1)
		if len(found) != 1 {
			t.Fatalf("one day's word is wanted:\n%s", s.out.String())
		}
		return found[0]
	}
	note(t, dir, "one", "two")
	first := word()
	note(t, dir, "three")
	second := word()
	note(t, dir, "four")
	s.want(t, command.ExitOK, "verify", first, strings.ToUpper(second))
	if out := s.out.String(); !strings.Contains(out, "record 2,") || !strings.Contains(out, "record 3,") {
		t.Error(out)
	}
	s.want(t, command.ExitBadInput, "verify", "12345")
	db, err := sql.Open("sqlite", filepath.Join(dir, "shedbell.db"))
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	for _, q := range []string{"DROP TRIGGER events_no_update", `UPDATE events SET "by" = 'Elm' WHERE seq = 3`} {
		if _, err := db.Exec(q); err != nil {
			t.Fatal(err)
		}
	}
	s.want(t, command.ExitBadInput, "verify", first, second)
	if told := s.err.String(); !strings.Contains(told, second) || !strings.Contains(told, "record 2") || strings.Contains(told, first) {
		t.Error(told)
	}
	s.want(t, command.ExitBadInput, "verify", second)
}
