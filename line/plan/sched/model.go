// Package sched solves resource-constrained scheduling problems with minimal
// and maximal time lags (RCPSP/max in the literature) to proof where it can,
// and otherwise reports the best schedule found with a lower bound.
//
// # Use
//
//	p := &sched.Problem{
//		Resources: []sched.Resource{{Name: "hands", Capacity: 2}},
//		Activities: []sched.Activity{
//			sched.Simple("cut", 10, sched.Use(0, 1)),
//			sched.Simple("wash", 6, sched.Use(0, 2)),
//		},
//		// The second starts when the first is over, and at most 15 later.
//		Lags: []sched.Lag{sched.After(0, 1, 0), sched.Between(sched.StartOf(1), sched.FinishOf(0), -15)},
//	}
//	res, err := sched.Solve(ctx, p, sched.Options{Workers: 2, Seed: 1})
//
// Time is an integer in a unit of the caller's choice, counted from "now" = 0.
// Nothing may start before 0. The solver's work hardly depends on the unit,
// but a coarse one (15 s, 1 min) leaves fewer near-equal schedules to tell
// apart, so proofs are quicker.
//
// # What can be said
//
//   - An activity has one or more modes (alternatives), each with a duration
//     and demands. The solver picks one mode and the start.
//   - Lags tie starts and finishes of two activities: After, StartLag, Between.
//   - A Hold occupies a resource from one activity's start (or finish) to
//     another's, however long that turns out: a basket from wash to pack.
//   - Demands of the same group on one resource count once, at their largest,
//     while any of them is on: a fan bank shared by several shelves.
//   - A Block takes capacity away for a time: a break, a second helper who
//     comes later, a circuit in use by something else.
//   - A running activity is Fixed at Start 0 with its remaining duration.
//   - Goals are minimized one after the other (lexicographically).
//
// # Answers
//
// Solve is anytime. Options.OnSolution gets every improvement; the context
// only stops the search, it never steers it, so with Workers: 1 the sequence
// of schedules found depends on the problem, Options.Hint and Options.Seed
// alone. Solve starts Options.Workers goroutines and returns after all ended.
//
// Schedules are feasible by construction; package bench checks them
// independently.
package sched

// Problem is one scheduling problem. Activities, resources and modes are
// referred to by index.
type Problem struct {
	Activities []Activity
	Resources  []Resource
	Lags       []Lag
	Holds      []Hold
	// Goals are minimized in order; none means the makespan.
	Goals []Goal
	// Horizon is the latest finish of any activity; 0 lets the solver derive
	// one that loses no optimum.
	Horizon int
}

// Activity is one piece of work that, once started, runs without a break.
type Activity struct {
	Name  string
	Modes []Mode
	// Release is the earliest start, Deadline the latest finish (0: none).
	Release, Deadline int
	// Fixed pins the start at Start. The mode stays open unless there is one.
	Fixed bool
	Start int
}

// Mode is one way to do an activity.
type Mode struct {
	Duration int
	Demands  []Demand
}

// Demand is what a mode takes of a resource from start to finish.
type Demand struct {
	Resource, Units int
	// Group, if not 0, names demands on this resource that are shared: at any
	// instant a group counts once, with the largest of its active demands.
	Group int
}

// Resource is renewable: Capacity units are there at every instant, less the
// blocks.
type Resource struct {
	Name     string
	Capacity int
	Blocks   []Block
}

// Block takes Units of a resource's capacity away during [From, To).
type Block struct{ From, To, Units int }

// Point is an activity's start or its finish.
type Point struct {
	Activity int
	Finish   bool
}

// Lag demands To >= From + Gap. A negative Gap is a maximal lag the other way
// round. Build with After, Within, StartLag or Between.
type Lag struct {
	From, To Point
	Gap      int
	// When, if not nil, is the mode in which the lag holds.
	When *Choice
}

// Hold takes Demands from the instant From to the instant To, which must not
// be before From.
type Hold struct {
	Name     string
	From, To Point
	Demands  []Demand
	// When, if not nil, is the mode that takes the demands; in other modes nothing
	// is taken.
	When *Choice
}

// Choice is a mode of an activity.
type Choice struct{ Activity, Mode int }

// Goal is a sum of terms to be minimized.
type Goal []Term

// TermKind tells what a Term measures.
type TermKind int

const (
	// Makespan is the latest finish of all activities.
	Makespan TermKind = iota
	// Tardiness is max(0, finish of Activity - Due).
	Tardiness
	// Wait is the start of Other - the finish of Activity.
	Wait
	// Finish is the finish of Activity.
	Finish
	// ModeCost is 1 if Activity runs in mode Other, else 0.
	ModeCost
)

// Term is Weight (which must not be negative) times what Kind measures.
type Term struct {
	Kind            TermKind
	Activity, Other int
	Due             int
	Weight          int
}

// Schedule is a start and a mode for each activity.
type Schedule struct {
	Start []int
	Mode  []int
}

// Status says what is known about a problem.
type Status int

const (
	// Unknown: stopped with no schedule and no proof that there is none.
	Unknown Status = iota
	// Feasible: Best is a schedule, not proved best.
	Feasible
	// Optimal: Best is proved best in every goal.
	Optimal
	// Infeasible: proved that no schedule exists.
	Infeasible
)

func (s Status) String() string {
	return [...]string{"unknown", "feasible", "optimal", "infeasible"}[s]
}

// Solution is a schedule with its value in each goal.
type Solution struct {
	Schedule
	Values []int
}

// Result is what Solve knows when it ends.
type Result struct {
	Status Status
	// Best is nil unless Status is Feasible or Optimal.
	Best *Solution
	// Bounds holds a lower bound for each goal. The bound of a later goal
	// holds among schedules that match Best in every earlier goal, and is
	// trivial until those are proved.
	Bounds []int
	Stats  Stats
}

// Stats counts the work done.
type Stats struct {
	Conflicts, Decisions, Propagations int64
	// Schedules counts those built by the generation schemes.
	Schedules int64
}

// Options steer Solve. The zero value is valid.
type Options struct {
	// Workers is the number of goroutines that search: 1 (also for 0) or 2.
	Workers int
	Seed    uint64
	// Hint is a schedule to start from and stay near to, such as yesterday's
	// plan or the one before the last event. It need not be feasible.
	Hint *Schedule
	// OnSolution is called with each improvement, one call at a time. The
	// solution must not be changed.
	OnSolution func(Solution)
	// MaxConflicts ends the search after that many conflicts of the exact
	// worker; 0 means no limit. Unlike a deadline it is deterministic.
	MaxConflicts int64
	// FirstOnly ends the search at the first schedule found.
	FirstOnly bool
}

// Use is a demand of units of resource.
func Use(resource, units int) Demand { return Demand{Resource: resource, Units: units} }

// Simple is an activity with one mode.
func Simple(name string, duration int, demands ...Demand) Activity {
	return Activity{Name: name, Modes: []Mode{{Duration: duration, Demands: demands}}}
}

// StartOf and FinishOf are the two points of an activity.
func StartOf(activity int) Point  { return Point{Activity: activity} }
func FinishOf(activity int) Point { return Point{Activity: activity, Finish: true} }

// After: next starts at least gap after first finishes.
func After(first, next, gap int) Lag { return Between(FinishOf(first), StartOf(next), gap) }

// StartLag: S_next >= S_first + gap, with gap of either sign.
func StartLag(first, next, gap int) Lag { return Between(StartOf(first), StartOf(next), gap) }

// Between: to >= from + gap for any two points.
func Between(from, to Point, gap int) Lag { return Lag{From: from, To: to, Gap: gap} }
