package files

import (
	"os"
	"testing"
	"time"

	"shedbell/recipes"
	"shedbell/recipes/strictfile"
)

// Each file of testdata with every fault that it has: line, column, key with the
// value as written, what is wrong, what would be right.
var badFiles = []struct {
	file string
	want []string
}{
	{"bad_day_crops.toml", []string{
		`4:16: crew[1] = "Ash": there twice, first on line 4; give each one a name of its own`,
		`5:21: apart[0][1] = "durian": unknown crop; write one of "pea", "sunflower", "radish", "broccoli", "arugula", "kale", "mustard", "red cabbage", "kohlrabi", "beet", "swiss chard", "amaranth", ...`,
		`5:33: apart[1][0] = "pea": in a pair of 1; name two crops, like ["radish", "pea"]`,
		`5:49: apart[2][1] = "pea": a crop can't be kept apart from itself; name another crop`,
		`8:8: name = "raddish": has no recipe; did you mean "radish"? Else add a recipe for it first`,
		`13:9: trays = 0: out of range; give 1 to 500 trays`,
		`17:9: trays = 10000: out of range; give 1 to 500 trays`,
		`20:8: name = "kale": there twice with the same due time, first on line 16; add the trays together on one line`,
		`21:9: trays = -3: negative; give 1 to 500 trays`,
		`24:8: name = "gravel": has no recipe; add a recipe for it first`,
		`25:9: trays = 4.5: is a number; give a whole number`,
		`27:3: trays: missing; add trays = 4`,
		`28:8: name = "Basil": has no recipe; did you mean "basil"? Else add a recipe for it first`,
		`35:8: crop = "pea": there twice, first on line 31; add the trays together on one line`,
		`36:9: trays = 200: adds up to 600 trays; a day may have up to 500`,
		`39:8: crop = "sunflour": unknown crop; did you mean "sunflower"?`,
	}},
	{"bad_day_date.toml", []string{
		`2:8: date = 2026-02-30: there's no such date; give year-month-day of a real day, like 2026-12-03`,
		`3:9: start = 2026-02-28T07:30:00: has a date; write the time of day alone, like 07:30:00`,
		`4:8: crop = [...]: nothing to cut; start each crop with [[crop]]`,
	}},
	{"bad_day_hours.toml", []string{
		`7:8: name = "Rowen": not in the crew; did you mean "Rowan"?`,
		`11:8: name = "Rowan": no hours; give from, to or both, like from = 09:00:00`,
		`16:6: to = 09:00:00: ends before it begins; give a time after 11:00:00`,
		`20:6: to = 07:00:00: ends before it begins; give a time after 07:30:00`,
		`29:8: from = 10:30:00: falls into the hours on line 23; let one end before the other begins`,
		`30:1: till = 12:00:00: unknown key; remove it; known here: name, from, to`,
		`32:3: name: missing; add name = "Rowan"`,
		`33:8: from = 9: not a time of day; write hours:minutes:seconds, like 07:30:00`,
	}},
	{"bad_day_times.toml", []string{
		`4:8: crew = [...]: nobody; name who works, like ["Ash", "Rowan"]`,
		`5:1: noon = 12:00:00: unknown key; remove it; known here: date, start, crew, hours, crop, apart, sow`,
		`10:7: due = 07:00:00: before the day starts; give a time after 07:30:00`,
		`15:7: due = "half past ten": not a time of day; write hours:minutes:seconds, like 07:30:00`,
		`20:7: due = 2027-12-03T11:00:00: too far ahead; give a time within two days of the start, or leave it for that day's sheet`,
		`25:7: due = 10:30:00.5: part of a second; give whole seconds`,
		`29:9: trays = 300: adds up to 615 trays; a day may have up to 500`,
		`30:7: due = 25:00:00: not a time of day; write hours:minutes:seconds, like 07:30:00`,
	}},
	{"bad_line_missing.toml", []string{
		`1:1: voltage: missing; add voltage = 120`,
		`1:1: crew: missing; add crew = ["Ash"]`,
		`2:8: name = "Alder \u001b[2J shed": has the control character U+001B; write one line of plain text`,
		`4:3: name: missing; add name = "wet wall"`,
		`7:3: circuit: missing; add circuit = "wet wall"`,
		`11:3: trays: missing; add trays = 4, the most that one slot holds`,
		`11:3: per_tray: a cut station needs the time for one tray; add per_tray = "90s"`,
		`11:3: station: no station of kind "spin"; add a [[station]] with kind = "spin"`,
		`11:3: station: no station of kind "dry"; add a [[station]] with kind = "dry"`,
		`11:3: station: no station of kind "pack"; add a [[station]] with kind = "pack"`,
		`11:3: station: no station of kind "chill"; add a [[station]] with kind = "chill"`,
		`11:3: station: no station of kind "tray-wash"; add a [[station]] with kind = "tray-wash"`,
		`11:3: station: no station of kind "sanitize"; add a [[station]] with kind = "sanitize"`,
		`11:3: station: no station of kind "sow"; add a [[station]] with kind = "sow"`,
		`17:8: kind = "wahs": unknown kind of station; did you mean "wash"?`,
	}},
	{"bad_line_names.toml", []string{
		`4:16: crew[1] = "ash": there twice, first on line 4; give each one a name of its own`,
		`13:10: feeder = "shed feder": unknown feeder; did you mean "shed feeder"?`,
		`14:7: leg = "c": unknown leg; write one of "a", "b", "both"`,
		`17:8: name = "wet wall": there twice, first on line 11; give each one a name of its own`,
		`22:11: circuit = "wet wal": unknown circuit; did you mean "wet wall"?`,
		`28:44: High = 4.4: there twice, in upper and lower case; give each setting a name of its own`,
		`31:8: name = "tub:blower": has a comma or a colon; use letters, digits, spaces and hyphens`,
		`32:11: circuit = "barn": unknown circuit; write one of "wet wall"`,
		`35:3: station: no station of kind "tray-wash"; add a [[station]] with kind = "tray-wash"`,
		`35:3: station: no station of kind "sanitize"; add a [[station]] with kind = "sanitize"`,
		`35:3: station: no station of kind "sow"; add a [[station]] with kind = "sow"`,
		`37:8: kind = "cutt": unknown kind of station; did you mean "cut"?`,
		`41:3: drain_time: drain_load without how long it pumps; add drain_time = "4m"`,
		`45:8: load = "tub-blowr": unknown load; did you mean "tub-blower"?`,
		`46:14: drain_load = "pump": unknown load; write one of "tub-blower", "rack-fans", "tub:blower"`,
		`47:9: hands = "startt": unknown word for hands; did you mean "start"?`,
		`50:8: name = " rack": starts or ends with a space; remove it`,
		`54:11: setting = "hgih": unknown setting of rack-fans; did you mean "high"?`,
		`60:11: setting = "on": there's no load to set; add load = ..., or remove it`,
		`63:8: name = "packing table with a very long name that no board can show": too long; use at most 40 characters`,
		`69:8: name = "Spinner": there twice, first on line 57; give each one a name of its own`,
	}},
	{"bad_line_small.toml", []string{
		`13:51: trays = 3: less than a batch, as tub, spinner and rack hold 4 trays; give 4 or more`,
	}},
	{"bad_line_limits.toml", []string{
		`6:12: location = "  ": empty; say it in a few words, or leave it out`,
		`7:22: keep_records_years = 1: out of range; give 2 to 50 years`,
		`151:6: of = "frigde": unknown reading; did you mean "fridge"?`,
		`159:11: at_most = 500: out of range; give -40 to 60 C`,
		`167:8: unit = "ppm": fridge is not read in that; write "C" or "F"`,
		`175:12: at_least = 50: at_most is there too; give each a [[limit]] of its own`,
		`180:3: scope: missing; add scope = "wash water of raw greens", what the limit covers`,
		`180:3: at_most: missing; add at_most = 5, or at_least`,
		`183:10: source = "": empty; say it in a few words, or leave it out`,
	}},
	{"bad_line_values.toml", []string{
		`3:11: voltage = 12: out of range; give 90 to 260 volts`,
		`4:8: crew = [...]: nobody; name who works, like ["Ash", "Rowan"]`,
		`5:1: colour = "green": unknown key; remove it; known here: name, voltage, supply, ambient_c, derate_per_c, crew, location, keep_records_years, wage_an_hour, feeder, circuit, load, station, limit, sanitizer, meters, meter`,
		`9:13: breaker_a = -20: negative; give 1 to 400 amps`,
		`13:13: breaker_a = 2000: out of range; give 1 to 400 amps`,
		`15:3: amps: "spinner" has no amps, and unknown is not zero; read the amps on its nameplate and add amps = ...`,
		`19:3: starting: starting amps without how long they last; add starting = "0.6s"`,
		`22:8: amps = 0: "tub-blower" can't run on 0 A; read the amps on its nameplate; unknown is not zero`,
		`28:8: amps = 410: out of range; give 0.01 to 400 amps`,
		`29:12: starting = "-1s": negative time; give a time like "0.6s"`,
		`30:14: runs_alone = true: a load that stays on or starts by itself can't run alone; remove one of the two keys`,
		`36:20: low = -1.6: negative; give 0.01 to 400 amps`,
		`36:35: medium = "2.8": is text; give a number`,
		`37:14: starting_a = 3: less than its running amps; give 4.2 or more, or remove it`,
		`44:12: settings = {...}: amps and settings are both there; keep settings for a machine with a switch, else amps before watts or hp`,
		`45:12: starting = 500: not a time; write it like "0.6s"`,
		`47:3: per_tray: a cut station needs the time for one tray; add per_tray = "90s"`,
		`50:9: slots = 0: out of range; give 1 to 200 slots`,
		`51:9: trays = 201: out of range; give 1 to 200 trays a slot`,
		`54:3: hands_time: hands = "both" without how long; add hands_time = "30s"`,
		`54:3: drain_time: drain_load without how long it pumps; add drain_time = "4m"`,
		`59:8: walk = "31m": out of range; give "0s" to "30m"`,
		`61:12: per_tray = "1m": not used at a wash station; remove it`,
		`62:17: water_batches = -1: negative; give 0 to 200 batches, 0 for no limit`,
		`69:14: hands_time = "30s": not used with hands = "none"; remove it, or write hands = "both"`,
		`70:11: contact = "10m": not used at a spin station; remove it`,
		`71:14: drain_time = "4m": not used at a spin station; remove it`,
		`78:14: hands_time = 30: a number without a unit; write "4m" for minutes or "90s" for seconds`,
		`80:3: contact: a sanitize station needs a contact time; add the contact time from the product's label, like contact = "10m"`,
		`84:8: walk = "-10s": negative time; give a time from "0s" to "24h"`,
	}},
	{"bad_line_wiring.toml", []string{
		`5:13: ambient_c = 90: out of range; give -30 to 70 degrees C`,
		`6:16: derate_per_c = 0.2: out of range; give 0.001 to 0.05 as a share of the rating, 0.01 for one percent`,
		`12:11: breaker = "C": the standard is missing; write "IEC C"`,
		`17:11: breaker = "iec c": unknown kind of breaker; did you mean "IEC C"?`,
		`18:7: leg = "a": a supply of two wires has no legs; remove it, or write supply = "120/240"`,
		`19:15: effective_a = 20: more than the breaker's rating; give less than 16, or remove it`,
		`20:16: receptacle_a = 0: out of range; give 5 to 125 amps, as stamped on the outlet`,
		`22:3: breaker: the kind of breaker is missing; add breaker = "IEC B" or "IEC C", by the letter before the amps on its handle`,
		`26:3: power_factor: watts without the power factor; add power_factor = 1 for a heater, else the cos φ on the nameplate`,
		`34:9: watts = 3: out of range; give 5 to 20000 watts`,
		`35:16: power_factor = 1.2: out of range; give 0.1 to 1 (1 for a heater)`,
		`41:9: volts = 115: the circuit has 230 V; check plate, plug and circuit; let an electrician look where they do not match`,
		`48:6: hp = 12: out of range; give 0.05 to 10 hp`,
		`53:6: hp = 0.25: watts and hp are both there; keep settings for a machine with a switch, else amps before watts or hp`,
		`55:15: code_letter = "K": starting_a and code_letter are both there; keep one`,
		`62:15: code_letter = "I": not a code letter with a known end; give the letter A to U on the nameplate, or starting_a`,
		`64:12: cord_awg = 15: not a size of cord; give 18, 16, 14, 12 or 10, as printed on the cord; the smaller the number, the thicker`,
		`65:10: cord_m = 300: out of range; give 0.1 to 200 metres`,
		`71:16: power_factor = 0.8: only used beside watts; remove it, or add watts`,
		`72:15: code_letter = "K": only used beside hp; remove it, or add hp`,
		`73:10: cord_m = 5: only used beside cord_awg; remove it, or add cord_awg`,
		`75:3: station: no station of kind "wash"; add a [[station]] with kind = "wash"`,
		`75:3: station: no station of kind "spin"; add a [[station]] with kind = "spin"`,
		`75:3: station: no station of kind "dry"; add a [[station]] with kind = "dry"`,
		`75:3: station: no station of kind "pack"; add a [[station]] with kind = "pack"`,
		`75:3: station: no station of kind "chill"; add a [[station]] with kind = "chill"`,
		`75:3: station: no station of kind "tray-wash"; add a [[station]] with kind = "tray-wash"`,
		`75:3: station: no station of kind "sanitize"; add a [[station]] with kind = "sanitize"`,
		`75:3: station: no station of kind "sow"; add a [[station]] with kind = "sow"`,
	}},
}

func TestBadFilesListEveryFault(t *testing.T) {
	for _, tc := range badFiles {
		t.Run(tc.file, func(t *testing.T) {
			data, err := os.ReadFile("../../testdata/" + tc.file)
			if err != nil {
				t.Fatal(err)
			}
			checkFaults(t, tc.file, readAny(t, tc.file, data), tc.want)
		})
	}
}

// readAny reads a file by what its name says it is, and checks that nothing comes
// out beside the faults.
func readAny(t *testing.T, name string, data []byte) []strictfile.Fault {
	t.Helper()
	if name[:len("bad_line")] == "bad_line" {
		site, faults := ReadLine(name, data)
		if site != nil && len(faults) > 0 {
			t.Error("a site was returned beside the faults")
		}
		return faults
	}
	sheet, faults := ReadDay(time.UTC, name, data, Starter(), recipes.Starters())
	if sheet != nil && len(faults) > 0 {
		t.Error("a sheet was returned beside the faults")
	}
	return faults
}

func checkFaults(t *testing.T, name string, got []strictfile.Fault, want []string) {
	t.Helper()
	for i := range max(len(got), len(want)) {
		switch {
		case i >= len(got):
			t.Errorf("no fault: %s", want[i])
		case i >= len(want):
			t.Errorf("not expected: %v", got[i])
		case got[i].Error() != name+":"+want[i]:
			t.Errorf("got  %v\nwant %s:%s", got[i], name, want[i])
		case got[i].Mend.IsZero():
			t.Errorf("no way out: %v", got[i])
		}
	}
}
