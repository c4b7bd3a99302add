package app_test

import (
	"context"
	"encoding/xml"
	"fmt"
	"image/color"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/charmbracelet/x/vt"

	"shedbell/line"
	"shedbell/line/files"
	"shedbell/line/rehearse"
	"shedbell/recipes"
	"shedbell/ui/screen"
	"shedbell/ui/theme"
	"shedbell/ui/uitest"
)

// The picture in the README: the day that plays by itself, some time after its start.
const (
	pictureW, pictureH = 120, 38
	pictureAfter       = 58 * time.Minute
)

// TestPictureIsCurrent keeps the README's pictures equal to what the program draws. `go
// test ./ui/app -readme` draws them again.
func TestPictureIsCurrent(t *testing.T) {
	for _, name := range []theme.Name{theme.Dark, theme.Light} {
		path := filepath.Join("..", "..", "testdata", "board-"+string(name)+".svg")
		picture := svg(frame(t, name), name)
		if *rewrite {
			if err := os.WriteFile(path, []byte(picture), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		kept, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if string(kept) != picture {
			t.Errorf("%s is not what the program draws; run go test ./ui/app -readme", path)
		}
		var any struct{}
		if err := xml.Unmarshal(kept, &any); err != nil {
			t.Errorf("%s: %v", path, err)
		}
	}
}

// frame is the moment that the picture shows.
func frame(t *testing.T, name theme.Name) string {
	book, start := recipes.Starters(), time.Date(2026, 12, 3, 7, 30, 0, 0, time.UTC)
	d := uitest.New(t, uitest.Options{Site: files.Starter(), Book: &book, Sheet: files.StarterDay(start), Start: start, Plays: true,
		W: pictureW, H: pictureH, Theme: name, Forecast: rehearsed})
	d.Pass(pictureAfter)
	return d.Raw()
}

// rehearsed is a forecast that is the same on every machine.
func rehearsed(s *line.State, now time.Time) screen.Forecast {
	res, err := rehearse.Run(context.Background(), s, now, rehearse.Options{})
	if err != nil {
		return screen.Forecast{}
	}
	return screen.Forecast{Known: true, Done: res.Finish, Sure: res.Finish.Add(12 * time.Minute), Steps: res.Steps}
}

// A cell of the picture, in its units.
const (
	cellW, cellH = 9, 19
	baseline     = 14
	fontSize     = 15
)

// svg draws a frame as a picture. Blocks are drawn as areas, as fonts leave gaps between
// them.
func svg(frame string, name theme.Name) string {
	scr := vt.NewEmulator(pictureW, pictureH)
	scr.WriteString(strings.ReplaceAll(frame, "\n", "\r\n"))
	ground, text := "#0e1311", "#e7ece8"
	if name == theme.Light {
		ground, text = "#f7f9f5", "#1a211d"
	}
	var b strings.Builder
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %d %d" role="img" aria-label="The board of shedbell on a processing day">`+"\n",
		pictureW*cellW, pictureH*cellH)
	fmt.Fprintf(&b, `<rect width="100%%" height="100%%" fill="%s"/>`+"\n"+`<g font-family="ui-monospace, Menlo, Consolas, 'DejaVu Sans Mono', monospace" font-size="%d" xml:space="preserve">`+"\n", ground, fontSize)
	for y := range pictureH {
		for x := 0; x < pictureW; {
			x += drawRun(&b, scr, x, y, ground, text)
		}
	}
	return b.String() + "</g>\n</svg>\n"
}

// drawRun draws the cells from x on that look alike, and gives how many they are.
func drawRun(b *strings.Builder, scr *vt.Emulator, x, y int, ground, text string) int {
	first := scr.CellAt(x, y)
	n, words := 0, ""
	for x+n < pictureW {
		c := scr.CellAt(x+n, y)
		if !c.Style.Equal(&first.Style) || n > 0 && (area(c.Content) != nil) != (area(first.Content) != nil) {
			break
		}
		words += c.Content
		n++
	}
	fg, bg := hex(first.Style.Fg, text), hex(first.Style.Bg, "")
	const bold, reverse = 1, 1 << 5
	if first.Style.Attrs&reverse != 0 {
		fg, bg = hex(first.Style.Bg, ground), hex(first.Style.Fg, text)
	}
	if bg != "" {
		fmt.Fprintf(b, `<rect x="%d" y="%d" width="%d" height="%d" fill="%s"/>`+"\n", x*cellW, y*cellH, n*cellW, cellH, bg)
	}
	if area(first.Content) != nil {
		for i := range n {
			a := area(scr.CellAt(x+i, y).Content)
			fmt.Fprintf(b, `<rect x="%g" y="%g" width="%g" height="%g" fill="%s" fill-opacity="%g"/>`+"\n",
				float64(x+i)*cellW+a[0]*cellW, float64(y)*cellH+a[1]*cellH, a[2]*cellW, a[3]*cellH, fg, a[4])
		}
		return n
	}
	if strings.TrimSpace(words) == "" {
		return n
	}
	weight := ""
	if first.Style.Attrs&bold != 0 {
		weight = ` font-weight="bold"`
	}
	var safe strings.Builder
	_ = xml.EscapeText(&safe, []byte(words))
	fmt.Fprintf(b, `<text x="%d" y="%d" textLength="%d" fill="%s"%s>%s</text>`+"\n", x*cellW, y*cellH+baseline, n*cellW, fg, weight, safe.String())
	return n
}

// area is the part of a cell that a block fills: left, top, width, height and how
// densely; nil for what is no block.
func area(content string) []float64 {
	switch r := []rune(content + " ")[0]; {
	case r == '█':
		return []float64{0, 0, 1, 1, 1}
	case r == '▀':
		return []float64{0, 0, 1, 0.5, 1}
	case r == '▐':
		return []float64{0.5, 0, 0.5, 1, 1}
	case r >= '▁' && r < '█': // from below, in eighths
		part := float64(r-'▁'+1) / 8
		return []float64{0, 1 - part, 1, part, 1}
	case r > '█' && r <= '▏': // from the left, in eighths
		return []float64{0, 0, float64('▐'-r) / 8, 1, 1}
	case r >= '░' && r <= '▓':
		return []float64{0, 0, 1, 1, float64(r-'░'+1) / 4}
	}
	return nil
}

// hex is a colour as pictures have it.
func hex(c color.Color, none string) string {
	if c == nil {
		return none
	}
	r, g, b, _ := c.RGBA()
	return fmt.Sprintf("#%02x%02x%02x", r>>8, g>>8, b>>8)
}
