package recipes

import (
	_ "embed"
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/pelletier/go-toml/v2"

	"shedbell/line/say"
	"shedbell/recipes/strictfile"
)

// Fault is one thing wrong in a recipe file.
type Fault = strictfile.Fault

// fileRecipe is one recipe as it stands in a file; units are in the key names.
type fileRecipe struct {
	Crop     string `toml:"crop" need:"crop = \"pea\""`
	Revision int    `toml:"revision,omitempty"`

	BatchTrays int                 `toml:"batch_trays" need:"batch_trays = 4"`
	Soak       strictfile.Duration `toml:"soak" need:"soak = \"3m\""`
	Rinse      strictfile.Duration `toml:"rinse"`
	Drain      strictfile.Duration `toml:"drain"`
	Spin       strictfile.Duration `toml:"spin" need:"spin = \"4m\""`
	Dry        strictfile.Duration `toml:"dry" need:"dry = \"20m\""`
	Fan        string              `toml:"fan" need:"fan = \"medium\""`
	RefC       *float64            `toml:"reference_c,omitempty"`
	RefRH      *float64            `toml:"reference_rh_percent,omitempty"`
	RefPa      float64             `toml:"reference_pa,omitempty"`

	MinSoak   strictfile.Duration `toml:"min_soak"`
	MaxSoak   strictfile.Duration `toml:"max_soak"`
	MinSpin   strictfile.Duration `toml:"min_spin"`
	MaxSpin   strictfile.Duration `toml:"max_spin"`
	SpinRamp  strictfile.Duration `toml:"spin_ramp"`
	MinDry    strictfile.Duration `toml:"min_dry"`
	MaxDry    strictfile.Duration `toml:"max_dry"`
	MaxWait   strictfile.Duration `toml:"max_wet_wait"`
	Sanitizer strictfile.Duration `toml:"sanitizer_contact"`
	MaySkip   []string            `toml:"may_skip,omitempty"`

	YieldG        float64 `toml:"yield_g_per_tray" need:"yield_g_per_tray = 300"`
	PackageG      float64 `toml:"package_g" need:"package_g = 125"`
	SeedG         float64 `toml:"seed_g_per_tray" need:"seed_g_per_tray = 30"`
	DaysToHarvest int     `toml:"days_to_harvest" need:"days_to_harvest = 10"`
	LeftoverG     float64 `toml:"leftover_g_per_kg"`
	TargetDays    int     `toml:"target_days"`
	Note          string  `toml:"note,omitempty"`
	Caution       string  `toml:"caution,omitempty"`

	By       string     `toml:"by,omitempty"`
	At       *time.Time `toml:"at,omitempty"`
	Why      string     `toml:"why,omitempty"`
	Batches  []string   `toml:"batches,omitempty"`
	BackFrom int        `toml:"back_from,omitempty"`
}

type recipeFile struct {
	Recipe []fileRecipe `toml:"recipe" need:"fault.start-each"`
}

// Read reads a recipe file. Either there are no faults and every recipe is good,
// or all faults are listed and no recipe is returned. The name is only used in
// the faults. Bounds that the file leaves out are filled by WithDefaults.
func Read(name string, data []byte) ([]Recipe, []Fault) {
	var file recipeFile
	where, faults := strictfile.Decode(name, data, &file)
	blamed := map[string]bool{}
	for i := range faults {
		blamed[faults[i].Key] = true
	}
	out := make([]Recipe, len(file.Recipe))
	for i := range file.Recipe {
		out[i] = file.Recipe[i].recipe()
		if len(faults) <= strictfile.MaxFaults {
			faults = append(faults, checkAt(where, fmt.Sprintf("recipe[%d].", i), out[i], blamed)...)
		}
	}
	faults = append(faults, checkRevisions(where, out)...)
	if len(faults) > 0 {
		return nil, strictfile.Tidy(name, faults)
	}
	return out, nil
}

// boundOf names the time that each bound belongs to.
var boundOf = map[string]string{
	"min_soak": "soak", "max_soak": "soak", "min_spin": "spin", "max_spin": "spin", "spin_ramp": "spin",
	"min_dry": "dry", "max_dry": "dry",
}

// checkAt reports what is wrong with one recipe, each at its place. A key that
// has a fault already is not blamed again, and neither are the bounds around it.
func checkAt(where *strictfile.Positions, path string, r Recipe, blamed map[string]bool) []Fault {
	var out []Fault
	for _, p := range r.problems() {
		if blamed[path+p.key] || blamed[path+boundOf[p.key]] {
			continue
		}
		out = append(out, where.Fault(path+p.key, p.problem, p.mend))
	}
	return out
}

// checkRevisions refuses two revisions of a crop with one number, and a crop
// spelled in two ways.
func checkRevisions(where *strictfile.Positions, all []Recipe) []Fault {
	var out []Fault
	last := map[string]Recipe{}
	for i := range all {
		r := &all[i]
		path := fmt.Sprintf("recipe[%d].", i)
		fold := strings.ToLower(r.Crop)
		before, again := last[fold]
		switch {
		case r.Crop == "":
		case again && before.Crop != r.Crop:
			out = append(out, where.Fault(path+"crop", say.New("fault.spelled-two"), say.New("fault.write-name-q", before.Crop)))
		case again && !where.Has(path+"revision"):
			out = append(out, where.Fault(path+"crop", say.New("fault.there-twice"),
				say.New("fault.give-revision", before.Revision+1)))
		case again && r.Revision <= before.Revision:
			out = append(out, where.Fault(path+"revision", say.New("fault.not-newer"),
				say.New("fault.give-number-n", before.Revision+1)))
		case r.Revision < 1 || r.Revision > 1e6:
			out = append(out, where.Fault(path+"revision", say.New("fault.out-range"), say.New("fault.count-revisions")))
		}
		last[fold] = *r
	}
	return out
}

func (f *fileRecipe) recipe() Recipe {
	r := Recipe{
		Crop: f.Crop, Revision: f.Revision, BatchTrays: f.BatchTrays,
		Soak: time.Duration(f.Soak), Rinse: time.Duration(f.Rinse), Drain: time.Duration(f.Drain),
		Spin: time.Duration(f.Spin), Dry: time.Duration(f.Dry), Fan: f.Fan,
		MinSoak: time.Duration(f.MinSoak), MaxSoak: time.Duration(f.MaxSoak),
		MinSpin: time.Duration(f.MinSpin), MaxSpin: time.Duration(f.MaxSpin), SpinRamp: time.Duration(f.SpinRamp),
		MinDry: time.Duration(f.MinDry), MaxDry: time.Duration(f.MaxDry),
		MaxWetWait: time.Duration(f.MaxWait), SanitizerContact: time.Duration(f.Sanitizer),
		YieldG: f.YieldG, PackageG: f.PackageG, SeedG: f.SeedG, DaysToHarvest: f.DaysToHarvest,
		LeftoverG: f.LeftoverG, TargetDays: f.TargetDays, Note: f.Note, Caution: f.Caution,
		By: f.By, Why: f.Why, Batches: f.Batches, BackFrom: f.BackFrom,
	}
	for _, s := range f.MaySkip {
		r.Skippable = append(r.Skippable, Step(s))
	}
	if f.At != nil {
		r.At = *f.At
	}
	if r.Revision == 0 {
		r.Revision = 1
	}
	r.Reference = Air{TempC: 20, RHPercent: 50, PressurePa: f.RefPa}
	if f.RefC != nil {
		r.Reference.TempC = *f.RefC
	}
	if f.RefRH != nil {
		r.Reference.RHPercent = *f.RefRH
	}
	return r.WithDefaults()
}

func fileForm(r Recipe) fileRecipe {
	f := fileRecipe{
		Crop: r.Crop, Revision: r.Revision, BatchTrays: r.BatchTrays,
		Soak: strictfile.Duration(r.Soak), Rinse: strictfile.Duration(r.Rinse), Drain: strictfile.Duration(r.Drain),
		Spin: strictfile.Duration(r.Spin), Dry: strictfile.Duration(r.Dry), Fan: r.Fan,
		RefC: &r.Reference.TempC, RefRH: &r.Reference.RHPercent, RefPa: r.Reference.PressurePa,
		MinSoak: strictfile.Duration(r.MinSoak), MaxSoak: strictfile.Duration(r.MaxSoak),
		MinSpin: strictfile.Duration(r.MinSpin), MaxSpin: strictfile.Duration(r.MaxSpin),
		SpinRamp: strictfile.Duration(r.SpinRamp),
		MinDry:   strictfile.Duration(r.MinDry), MaxDry: strictfile.Duration(r.MaxDry),
		MaxWait: strictfile.Duration(r.MaxWetWait), Sanitizer: strictfile.Duration(r.SanitizerContact),
		YieldG: r.YieldG, PackageG: r.PackageG, SeedG: r.SeedG, DaysToHarvest: r.DaysToHarvest,
		LeftoverG: r.LeftoverG, TargetDays: r.TargetDays, Note: r.Note, Caution: r.Caution,
		By: r.By, Why: r.Why, Batches: r.Batches, BackFrom: r.BackFrom,
	}
	for _, s := range r.Skippable {
		f.MaySkip = append(f.MaySkip, string(s))
	}
	if !r.At.IsZero() {
		f.At = &r.At
	}
	return f
}

// Write gives every revision of a book as a file that Read reads back. Its texts hold
// nothing that could steer a terminal on which it is printed.
func Write(b Book) ([]byte, error) {
	var file recipeFile
	for i := range b.revisions {
		r := b.revisions[i]
		r.Batches = slices.Clone(r.Batches)
		for k := range r.Batches {
			r.Batches[k] = strictfile.Printable(r.Batches[k])
		}
		for _, text := range []*string{&r.Crop, &r.Fan, &r.Note, &r.Caution, &r.By, &r.Why} {
			*text = strictfile.Printable(*text)
		}
		file.Recipe = append(file.Recipe, fileForm(r))
	}
	return toml.Marshal(file)
}

//go:embed starters.toml
var startersFile []byte

// Starters is a new book of the recipes that come with the program. They are a
// starting point: taste and adjust.
func Starters() Book {
	all, faults := Read("starters.toml", startersFile)
	if len(faults) > 0 {
		panic(strictfile.Join(faults)) // the file is part of the program, and tested
	}
	return NewBook(all...)
}
