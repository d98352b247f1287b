package report

import "strings"

// Tabular writes the table for LaTeX: a tabular of package booktabs with its caption below, in a table. Numbers stand to the right.
func (t Table) Tabular() string {
	var b strings.Builder
	b.WriteString("\\begin{table}\n\\begin{tabular}{l" + strings.Repeat("r", max(0, len(t.Header)-1)) + "}\n\\toprule\n")
	row := func(cells []string) {
		for i, c := range cells {
			if i > 0 {
				b.WriteString(" & ")
			}
			b.WriteString(escape.Replace(c))
		}
		b.WriteString(" \\\\\n")
	}
	row(t.Header)
	row(t.Units)
	b.WriteString("\\midrule\n")
	for _, r := range t.Rows {
		row(r)
	}
	b.WriteString("\\bottomrule\n\\end{tabular}\n\\caption{" + escape.Replace(t.Caption) + "}\n\\end{table}\n")
	return b.String()
}

// escape writes what LaTeX takes otherwise, and Greek letters and signs as mathematics.
var escape = strings.NewReplacer(
	`\`, `\textbackslash{}`, "%", `\%`, "&", `\&`, "#", `\#`, "_", `\_`, "$", `\$`, "{", `\{`, "}", `\}`, "~", `\textasciitilde{}`, "^", `\textasciicircum{}`,
	"α", `$\alpha$`, "β", `$\beta$`, "γ", `$\gamma$`, "δ", `$\delta$`, "Δ", `$\Delta$`, "ε", `$\varepsilon$`,
	"η", `$\eta$`, "μ", `$\mu$`, "ρ", `$\rho$`, "σ", `$\sigma$`, "Σ", `$\Sigma$`,
	"°", `$^\circ$`, "²", `$^2$`, "³", `$^3$`, "⁴", `$^4$`, "¼", `$\frac14$`, "−", `$-$`, "·", `$\cdot$`, "≤", `$\le$`, "≥", `$\ge$`, "\u00a0", "~",
)
