package report

import (
	"shedbell/line/records"
	"shedbell/line/say"
)

// SignOffs lists who may run which kind of station alone, who answers for it, and
// what was taken back.
func SignOffs(b *records.Book) *Doc {
	d := doc(b, "sign-offs", say.New("report-title.sign-offs"))
	d.Foot = say.New("report-foot.sign-offs")
	t := &Table{Columns: []Column{num("no", "head.no", ""), text("person", "head.person"), text("station", "head.station"), text("signed", "head.signed-off"), text("signed_by", "head.by"),
		text("revoked", "head.taken-back"), text("revoked_by", "head.taken-back-by"), text("why", "head.why")}}
	for _, s := range b.Signed() {
		t.Rows = append(t.Rows, []Cell{Int(int(s.Seq)), Text(s.Person), Sentence(say.Of(s.Station)), Instant(s.At), Text(s.SignedBy),
			Instant(s.Revoked), Text(s.RevokedBy), Text(s.Why)})
	}
	d.Sections = []Section{{Name: "sign_offs", Table: t}}
	return d
}

// bearable is what the figures of alarms stand beside.
var bearable = say.New("report-says.one-person-hour-average",
	records.AlarmsBearable, records.AlarmsMost, records.AlarmsFloodPeak)

// Alarms says how much the alarms asked of people, day by day.
func Alarms(b *records.Book) *Doc {
	d := doc(b, "alarms", say.New("report-title.alarms"))
	d.Foot = say.New("report-foot.alarms")
	t := &Table{Columns: []Column{text("day", "head.day"), num("alarms", "head.alarms", ""), num("urgent", "head.urgent", ""), num("an_hour", "head.an-hour", ""), num("peak", "head.most-in-10-min", ""),
		num("acked_percent", "head.acknowledged-in-1-min", "%"), num("answered_percent", "head.acknowledged-or-seen-to-in-1-min", "%"), num("longest_min", "head.slowest-answer", "min"), num("shelved", "head.shelved", "")}}
	for i := range b.Days {
		day := &b.Days[i]
		a := &day.Alarms
		t.Rows = append(t.Rows, []Cell{Text(day.Date), Int(a.Raised), Int(a.Urgent), Number(day.AlarmsAnHour(), 1), Int(a.Peak),
			share(a.Acked, a.Raised), share(a.Answered, a.Raised), Minutes(a.Longest), Int(a.Shelved)})
	}
	d.Sections = []Section{{Name: "alarms", Text: []say.Sentence{bearable}, Table: t}}
	return d
}

// share is a part of a whole in percent; empty where there is no whole.
func share(part, whole int) Cell {
	if whole == 0 {
		return Cell{}
	}
	return Number(100*float64(part)/float64(whole), 0)
}

// AlarmWords is a day's alarms in a sentence.
func AlarmWords(day *records.Day) say.Sentence {
	a := &day.Alarms
	if a.Raised == 0 {
		return say.New("report-says.no-alarm")
	}
	return say.New("report-says.alarms-urgent-hour-eemua",
		a.Raised, a.Urgent, day.AlarmsAnHour(), records.AlarmsBearable, a.Peak, share(a.Acked, a.Raised).Text, share(a.Answered, a.Raised).Text)
}
