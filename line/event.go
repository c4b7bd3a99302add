package line

import (
	"encoding/json"
	"fmt"
	"reflect"
	"strings"
	"time"

	"shedbell/line/say"
	"shedbell/recipes"
)

// Event is something that happened. Events are what the journal keeps, so a field
// is never renamed or given another meaning; new ones may be added.
type Event interface {
	apply(s *State, r Record)
}

// Record is an event with its place in the journal.
type Record struct {
	Seq   int64
	Group int64 // Seq of the first record of the command that made it
	At    time.Time
	By    string
	Undo  string // on a group's first record: what undo would take back, for say.Kept; empty: nothing to undo
	Event Event
}

// LineLaid is the line file as it was taken over; everything after it refers to
// its stations and loads. Recipes is filled once, in a new journal.
type LineLaid struct {
	Site    Site
	Recipes []recipes.Recipe `json:",omitempty"`
}

// DayOpened begins a day with its batches.
type DayOpened struct {
	Sheet   Sheet
	Batches []NewBatch
}

// NewBatch is a batch as it is made.
type NewBatch struct {
	ID    int
	Crop  string
	No    int
	Trays int
	Due   time.Time `json:",omitzero"`
}

// DayClosed ends the day.
type DayClosed struct{ Note string }

// BatchesAdded puts more batches on the open day.
type BatchesAdded struct {
	Batches []NewBatch
	Sow     []SowItem
}

// BatchLoaded puts a batch into a slot.
type BatchLoaded struct {
	Batch int
	At    Place
}

// StepStarted starts a batch's step in a slot and switches its load on.
type StepStarted struct {
	Batch    int
	At       Place
	Planned  time.Duration
	Load     int
	Setting  int
	Revision int
	ByHand   bool `json:",omitempty"` // people stood in for the machine
	Again    bool `json:",omitempty"` // it had the step before and needed it once more
}

// StepFinished ends a batch's step; its load is confirmed off unless other steps
// keep it on.
type StepFinished struct {
	Batch    int
	Packages int     `json:",omitempty"`
	NetG     float64 `json:",omitempty"`
	Lot      string  `json:",omitempty"`

	PackagesBy Source `json:",omitempty"` // with NetBy: pack only; see Known
	NetBy      Source `json:",omitempty"`
}

// BatchCooled takes a packed batch off the line into the cold.
type BatchCooled struct {
	Batch int
	At    Place
}

// StepAdjusted moves the end of a countdown.
type StepAdjusted struct {
	At Place
	By time.Duration
}

// StepHeld stops a step, machine confirmed off.
type StepHeld struct{ At Place }

// StepResumed starts a step again; Afresh from the beginning.
type StepResumed struct {
	At      Place
	Setting int
	Afresh  bool          `json:",omitempty"`
	ByHand  bool          `json:",omitempty"` // people stand in for the machine from now on
	Planned time.Duration `json:",omitempty"` // ByHand: its countdown from now on
}

// BatchSplit makes a new batch out of another's trays.
type BatchSplit struct {
	From int
	New  NewBatch
	At   Place // where the new batch stands; Nowhere for uncut trays
}

// BatchMerged puts a batch's trays into another.
type BatchMerged struct{ From, Into int }

// BatchScrapped takes a batch off the line.
type BatchScrapped struct {
	Batch  int
	Reason string
}

// ChoreStarted starts work on trays, surfaces or water.
type ChoreStarted struct {
	ID      int
	Kind    ChoreKind
	At      Place
	Crop    string `json:",omitempty"`
	Trays   int
	Planned time.Duration
	Load    int
	Setting int
	ByHand  bool `json:",omitempty"`
}

// ChoreFinished ends it; its load is confirmed off.
type ChoreFinished struct{ ID int }

// LoadSwitched is a load switched by hand.
type LoadSwitched struct {
	Load    int
	On      bool
	Setting int
	For     time.Duration `json:",omitempty"`
}

// CrewChanged says who is on the line.
type CrewChanged struct{ Names []string }

// BreakerTripped says that a breaker tripped: everything on it went off and
// running steps are held. Found is what the model held at that instant; journals
// of earlier versions lack it. Feeder, where it is given, is the one whose breaker
// it was, with every circuit on it.
type BreakerTripped struct {
	Circuit int
	Feeder  string     `json:",omitempty"`
	Found   *TripFound `json:",omitempty"`
	AsOf    time.Time  `json:",omitzero"`
}

// BreakerReset says that it was reset. Asks says that what was on then counts as on
// until somebody says what it does; in journals of earlier versions it counts as off.
type BreakerReset struct {
	Circuit int
	Feeder  string    `json:",omitempty"`
	Asks    bool      `json:",omitempty"`
	AsOf    time.Time `json:",omitzero"`
}

// SlotBroken takes a slot out of use.
type SlotBroken struct {
	At  Place
	Why string
}

// SlotMended puts it back.
type SlotMended struct{ At Place }

// NoteAdded is a line in the operator's words.
type NoteAdded struct{ Text string }

// WatchLost says that nobody watched from LastBeat until the record's instant.
type WatchLost struct{ LastBeat time.Time }

// Refused keeps a refusal for the records. Those of earlier versions have its English.
type Refused struct {
	Rule string
	Says say.Speech `json:",omitempty"`
	Text string     `json:",omitempty"`
}

// Speech is the refusal.
func (e Refused) Speech() say.Speech {
	if len(e.Says) == 0 {
		return say.Speech{say.Kept(e.Text)}
	}
	return e.Says
}

// Reason is the refusal without its opening.
func (e Refused) Reason() say.Speech {
	if len(e.Says) == 0 {
		return say.Speech{say.Kept(strings.TrimPrefix(e.Text, "Not now: "))}
	}
	return reason(e.Says)
}

// Undone takes back the last action that can be taken back. KeepsOn says that this
// switches nothing: what the action started or stopped counts as on until somebody
// says otherwise, and breakers stay as warm as they are. Journals of earlier versions
// lack it; in theirs a machine whose start was taken back counts as off.
type Undone struct {
	Text    string // as Record.Undo
	Entry   int64  `json:",omitempty"` // Group of the action; 0: the last one that counts
	KeepsOn bool   `json:",omitempty"`
}

// eventTypes names every event for the journal. A name is never reused.
var eventTypes = map[string]reflect.Type{
	"line-laid":       reflect.TypeFor[LineLaid](),
	"day-opened":      reflect.TypeFor[DayOpened](),
	"day-closed":      reflect.TypeFor[DayClosed](),
	"batches-added":   reflect.TypeFor[BatchesAdded](),
	"batch-loaded":    reflect.TypeFor[BatchLoaded](),
	"step-started":    reflect.TypeFor[StepStarted](),
	"step-finished":   reflect.TypeFor[StepFinished](),
	"batch-cooled":    reflect.TypeFor[BatchCooled](),
	"step-adjusted":   reflect.TypeFor[StepAdjusted](),
	"step-held":       reflect.TypeFor[StepHeld](),
	"step-resumed":    reflect.TypeFor[StepResumed](),
	"batch-split":     reflect.TypeFor[BatchSplit](),
	"batch-merged":    reflect.TypeFor[BatchMerged](),
	"batch-scrapped":  reflect.TypeFor[BatchScrapped](),
	"chore-started":   reflect.TypeFor[ChoreStarted](),
	"chore-finished":  reflect.TypeFor[ChoreFinished](),
	"load-switched":   reflect.TypeFor[LoadSwitched](),
	"recipe-revised":  reflect.TypeFor[RecipeRevised](),
	"tasting-made":    reflect.TypeFor[TastingMade](),
	"air-read":        reflect.TypeFor[AirRead](),
	"air-used":        reflect.TypeFor[AirUsed](),
	"crew-changed":    reflect.TypeFor[CrewChanged](),
	"risk-noted":      reflect.TypeFor[RiskNoted](),
	"hours-set":       reflect.TypeFor[HoursSet](),
	"work-given-over": reflect.TypeFor[WorkGivenOver](),
	"breaker-tripped": reflect.TypeFor[BreakerTripped](),
	"circuit-limited": reflect.TypeFor[CircuitLimited](),
	"breaker-reset":   reflect.TypeFor[BreakerReset](),
	"found-on":        reflect.TypeFor[FoundOn](),
	"found-off":       reflect.TypeFor[FoundOff](),
	"unplugged":       reflect.TypeFor[Unplugged](),
	"plugged-in":      reflect.TypeFor[PluggedIn](),
	"power-lost":      reflect.TypeFor[PowerLost](),
	"power-back":      reflect.TypeFor[PowerBack](),
	"slot-broken":     reflect.TypeFor[SlotBroken](),
	"slot-mended":     reflect.TypeFor[SlotMended](),
	"alarm-raised":    reflect.TypeFor[AlarmRaised](),
	"alarms-acked":    reflect.TypeFor[AlarmsAcked](),
	"alarm-shelved":   reflect.TypeFor[AlarmShelved](),
	"note-added":      reflect.TypeFor[NoteAdded](),
	"watch-lost":      reflect.TypeFor[WatchLost](),
	"clock-jumped":    reflect.TypeFor[ClockJumped](),
	"clock-followed":  reflect.TypeFor[ClockFollowed](),
	"refused":         reflect.TypeFor[Refused](),
	"undone":          reflect.TypeFor[Undone](),
	"corrected":       reflect.TypeFor[Corrected](),

	"entry-made":       reflect.TypeFor[EntryMade](),
	"trouble-reported": reflect.TypeFor[TroubleReported](),
	"trouble-mended":   reflect.TypeFor[TroubleMended](),
	"sold":             reflect.TypeFor[Sold](),
	"order-taken":      reflect.TypeFor[OrderTaken](),
	"order-cancelled":  reflect.TypeFor[OrderCancelled](),
	"step-skipped":     reflect.TypeFor[StepSkipped](),
	"batch-moved":      reflect.TypeFor[BatchMoved](),
	"trays-found":      reflect.TypeFor[TraysFound](),
	"trays-lost":       reflect.TypeFor[TraysLost](),
	"tub-drained":      reflect.TypeFor[TubDrained](),
	"seed-used":        reflect.TypeFor[SeedUsed](),
	"growing-counted":  reflect.TypeFor[GrowingCounted](),
	"packages-thrown":  reflect.TypeFor[PackagesThrown](),
	"mark-added":       reflect.TypeFor[MarkAdded](),
	"times-kept":       reflect.TypeFor[TimesKept](),
	"handed-on":        reflect.TypeFor[HandedOn](),
	"signed-off":       reflect.TypeFor[SignedOff](),
	"sign-off-revoked": reflect.TypeFor[SignOffRevoked](),
	"promised":         reflect.TypeFor[Promised](),
	"pace-pinned":      reflect.TypeFor[PacePinned](),
	"pace-unpinned":    reflect.TypeFor[PaceUnpinned](),
	"pace-forgotten":   reflect.TypeFor[PaceForgotten](),
}

var eventNames = func() map[reflect.Type]string {
	names := make(map[reflect.Type]string, len(eventTypes))
	for name, t := range eventTypes {
		names[t] = name
	}
	return names
}()

// EventName is the event's name in the journal.
func EventName(e Event) string { return eventNames[reflect.TypeOf(e)] }

// EncodeEvent turns an event into its journal name and JSON.
func EncodeEvent(e Event) (name string, data []byte, err error) {
	name, ok := eventNames[reflect.TypeOf(e)]
	if !ok {
		return "", nil, fmt.Errorf("event %T has no journal name", e)
	}
	data, err = json.Marshal(e)
	return name, data, err
}

// Events is a list of events as the journal keeps it inside another one.
type Events []Event

type keptEvent struct {
	Event string
	Data  json.RawMessage
}

// MarshalJSON writes each event with its name.
func (e Events) MarshalJSON() ([]byte, error) {
	out := make([]keptEvent, len(e))
	for i := range e {
		name, data, err := EncodeEvent(e[i])
		if err != nil {
			return nil, err
		}
		out[i] = keptEvent{name, data}
	}
	return json.Marshal(out)
}

// UnmarshalJSON is the inverse of MarshalJSON.
func (e *Events) UnmarshalJSON(data []byte) error {
	var in []keptEvent
	if err := json.Unmarshal(data, &in); err != nil {
		return err
	}
	*e = nil
	for _, k := range in {
		event, err := DecodeEvent(k.Event, k.Data)
		if err != nil {
			return err
		}
		*e = append(*e, event)
	}
	return nil
}

// DecodeEvent is the inverse of EncodeEvent.
func DecodeEvent(name string, data []byte) (Event, error) {
	if e, ok := decodeOften(name, data); ok {
		return e, nil
	}
	t, ok := eventTypes[name]
	if !ok {
		return nil, fmt.Errorf("the journal holds an event %q that this version does not know", name)
	}
	v := reflect.New(t)
	if err := json.Unmarshal(data, v.Interface()); err != nil {
		return nil, fmt.Errorf("event %q: %w", name, err)
	}
	return v.Elem().Interface().(Event), nil
}
