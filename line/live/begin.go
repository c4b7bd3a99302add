package live

import (
	"fmt"
	"reflect"
	"time"

	"shedbell/line"
	"shedbell/line/say"
	"shedbell/recipes"
)

// begin records what is new since the journal's last record: a first line, a
// changed line file, a time in which nobody watched, a clock that was set.
func (l *Line) begin(site *line.Site, book recipes.Book) (notice say.Speech) {
	if l.state.Seq == 0 {
		first := line.Decision{Events: []line.Event{line.FirstRecord(site, book)}}
		l.accept(first.Records(l.state, l.clock.Now(), l.actor()))
		return nil
	}
	last, known := l.store.LastBeat()
	if !known || last.Before(l.state.At) {
		last = l.state.At
	}
	notice, unknown := l.setClock(last)
	notice = append(notice, l.zoneWord()...)
	notice = append(notice, l.missed(last, !known || l.store.WasClean(), unknown)...)
	site = l.state.WithLearned(site)
	if !reflect.DeepEqual(*l.state.LineFile(), *site) {
		changed := l.state.LineFile().Differences(site)
		if _, _, no := l.do(line.LayLine{Site: *site}, l.actor()); no != nil {
			notice = append(notice, no.Says...)
		} else if !changed.IsZero() {
			notice = append(notice, say.New("notice.line-laid", changed))
		}
	} else if l.state.Laid.IsZero() { // the record of it was lost
		l.do(line.LayLine{Site: *site}, l.actor())
	}
	return notice
}

// setClock sets the line's clock, which shows the computer's time, to the line's
// own: while greens are on the line that keeps the distance that the journal
// knows, and it never runs back behind the last record. unknown says that the
// computer's clock cannot tell how long nobody watched.
func (l *Line) setClock(last time.Time) (notice say.Speech, unknown bool) {
	wall := l.clock.Now()
	ahead := l.state.Ahead
	if l.state.Idle() {
		ahead = 0
	}
	now := wall.Add(-ahead)
	switch behind := last.Sub(now); {
	case behind > jumpLimit:
		now, unknown = last, true
		notice = say.Speech{say.New("notice.clock-behind", say.DateTime(wall), say.DateTime(last))}
	case behind > 0:
		now = last
	}
	l.clock.Skip(now.Sub(wall))
	switch distance := wall.Sub(now); {
	case unknown:
		l.do(line.NoteClock{By: distance - l.state.Ahead, Ahead: distance}, "")
	case l.state.Idle() && l.state.Ahead != 0:
		l.do(line.FollowClock{By: l.state.Ahead}, "")
	}
	return notice, unknown
}

// zoneWord says that the computer is in another time zone than it was. Summer time
// is none.
func (l *Line) zoneWord() say.Speech {
	now := l.clock.Now()
	_, then := l.state.At.Zone()
	if _, same := l.state.At.In(now.Location()).Zone(); same == then {
		return nil
	}
	return say.Speech{say.New("notice.zone", l.state.At.Format("-07:00"), now.Format("-07:00"))}
}

// missed asks about what ran while nobody watched since last.
func (l *Line) missed(last time.Time, clean, unknown bool) say.Speech {
	now := l.clock.Now()
	last = last.In(now.Location()) // both ends are said in one zone
	away := now.Sub(last)
	if !unknown && (clean || away <= shortGap) {
		return nil
	}
	ran := l.running()
	if !ran && !unknown && away < FridgeGap {
		return nil
	}
	unwatched := say.New("notice.unwatched", say.TimeToSecond(last), say.TimeToSecond(now))
	switch {
	case unknown:
		unwatched = say.New("notice.unwatched-since", say.DateTime(last))
	case away > 20*time.Hour:
		unwatched = say.New("notice.unwatched", say.DateTime(last), say.DateTime(now))
	}
	if !ran {
		l.fridgeGap(last, away, unknown)
		return say.Speech{unwatched}
	}
	l.do(line.Recover{LastBeat: last}, "") // first: what is recorded was watched
	l.fridgeGap(last, away, unknown)
	return say.Speech{unwatched, say.New("notice.say-what-ran")}
}

// FridgeGap is how long a fridge may go unwatched before that is kept for the
// records: food in a closed refrigerator without power keeps for about 4 hours,
// https://www.foodsafety.gov/food-safety-charts/food-safety-during-power-outage,
// from memory.
const FridgeGap = 4 * time.Hour

// fridgeGap keeps for the records that nobody watched a fridge for long.
func (l *Line) fridgeGap(last time.Time, away time.Duration, unknown bool) {
	if away < FridgeGap && !unknown || !l.hasFridge() {
		return
	}
	long := fmt.Sprintf("for %.1f h", away.Hours())
	if unknown {
		long = "for an unknown time"
	}
	text := fmt.Sprintf("Fridge not watched %s since %s. If the power was off, measure the greens in it before any are sold",
		long, last.Format("2006-01-02 15:04"))
	fridge := l.state.Site.Stations[l.state.Site.StationsOf(line.Chill)[0]].Name
	entry := line.Entry{Kind: line.EntrySeen, By: "the program", Initials: "auto", Where: fridge, Text: text}
	if _, _, no := l.do(line.MakeEntry{Entry: entry}, ""); no != nil {
		l.do(line.AddNote{Text: text}, "")
	}
}

func (l *Line) hasFridge() bool { return len(l.state.Site.StationsOf(line.Chill)) > 0 }
