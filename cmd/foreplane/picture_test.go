package main

import (
	"strings"
	"testing"
)

// TestPlot holds that a plot made with gonum/plot comes back inline like a figure.
func TestPlot(t *testing.T) {
	doc := runDocument(t, cells(`p := plot.New()
p.Title.Text = "Drag polar"
p.Add(must(plotter.NewLine(plotter.XYs{{X: 0, Y: 1}, {X: 1, Y: 3}})))
p`))
	data := doc.Cells[0].Outputs[0].Data
	if svg, _ := data["image/svg+xml"].(string); !strings.Contains(svg, "Drag polar") {
		t.Errorf("not shown as SVG: %v", data)
	}
	if _, ok := data["image/png"]; !ok {
		t.Error("not shown as PNG")
	}
}

// TestBrokenFigure holds that a figure which could not be built fails its cell.
func TestBrokenFigure(t *testing.T) {
	const broken = `figure.New("Polar", figure.Axis{Label: "CD"}, figure.Axis{Label: "CL"}).Curve("wing", []float64{1, 2}, []float64{1})`
	for _, source := range []string{broken, "show(" + broken + ")"} {
		if code, said := runFile(t.Context(), code(t, source), runSettings{}); code != exitCellFailed || !strings.Contains(said, `Curve "wing": 2 values of x, but 1 of y`) {
			t.Errorf("%s: exit code %d: %s", source, code, said)
		}
	}
}
