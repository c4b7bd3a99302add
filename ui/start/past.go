package start

import (
	"context"

	"shedbell/line"
	"shedbell/line/journal"
	"shedbell/line/pace"
	"shedbell/ui/app"
)

// past reads a folder's journal from its beginning, beside whoever writes it.
func past(dir string) app.Past {
	return func(ctx context.Context, fn func(line.Record) error) error {
		j, err := journal.OpenReadOnly(dir)
		if err != nil {
			return err
		}
		defer j.Close()
		return j.Replay(1, func(r line.Record) error {
			if err := ctx.Err(); err != nil {
				return err
			}
			return fn(r)
		})
	}
}

// recent reads the last days of a folder's journal, as many as paces are learned from.
func recent(dir string) app.Past {
	return func(ctx context.Context, fn func(line.Record) error) error {
		j, err := journal.OpenReadOnly(dir)
		if err != nil {
			return err
		}
		defer j.Close()
		return j.LastDays(ctx, pace.Window, fn)
	}
}
