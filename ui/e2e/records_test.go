package e2e

import (
	"testing"

	"shedbell/line"
	"shedbell/line/journal"
)

// records is everything in a folder's journal.
func records(t *testing.T, dir string) (all []line.Record) {
	t.Helper()
	j, err := journal.OpenReadOnly(dir)
	if err != nil {
		t.Fatal(err)
	}
	defer j.Close()
	err = j.Replay(0, func(r line.Record) error {
		all = append(all, r)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return all
}

// eventsOf are the events of a kind.
func eventsOf[E line.Event](all []line.Record) (found []E) {
	for _, r := range all {
		if e, ok := r.Event.(E); ok {
			found = append(found, e)
		}
	}
	return found
}
