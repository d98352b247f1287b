package formula

import (
	"fmt"
	"testing"
)

func TestLaTeX(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"T = T₀ + λ (h − H₀)", `T = T_{0} + \lambda  (h - H_{0})`},
		{"p = p₀ (T/T₀)^(−g₀/(R λ))          λ ≠ 0", `p = p_{0} (T/T_{0})^{-g_{0}/(R \lambda )} \qquad \lambda  \ne  0`},
		{"r = √(x² + y²)", `r = \sqrt{x^{2} + y^{2}}`},
		{"CL = 2 W/(ρ V² S)", `C_{L} = 2 W/(\rho  V^{2} S)`},
		{"CLα = dCL/dα", `C_{L \alpha } = \mathrm{d}C_{L}/\mathrm{d}\alpha`},
		{"λ = dT/dH", `\lambda  = \mathrm{d}T/\mathrm{d}H`},
		{"q = ½ρV²", `q = \tfrac{1}{2}\rho V^{2}`},
		{"x = y if z > 0 and more", `x = y \text{ if } z > 0 \text{ and more }`},
		{"q̄ = 3", `\bar{q} = 3`},
		{"ρ̄ = x^n", `\bar{\rho } = x^{n}`},
		{"e^−k = 2^10", `e^{-k} = 2^{10}`},
		{"Λ_n = α_L0 + n θ_h", `\Lambda _{n} = \alpha _{\mathrm{L0}} + n \theta _{h}`},
		{"cl = 2 sin nθ", `c_{l} = 2 \sin n\theta`},
		{"Δcd = 2px", `\Delta c_{d} = 2px`},
		{"r = 6 356 766 m", `r = 6\,356\,766 m`},
		{"CL_δ = 3", ``},   // two subscripts
		{"x = cm_c/4", ``}, // the subscript may be c/4
		{"c̄ = (2/3) c_r (1 + λ + λ²)/(1 + λ)", `\bar{c} = (2/3) c_{r} (1 + \lambda  + \lambda ^{2})/(1 + \lambda )`},
		{"a = b\nc = d", "\\begin{aligned}\na &= b \\\\\nc &= d\n\\end{aligned}"},
		{"Standard(3)", ``},
		{`x := f("a")`, ``},
		{"V, err := unit.Parse(x)", ``},
		{"", ``},
		{"a = √", ``},
		{"a = (b", `a = (b`},
		{"a = √(b", ``},
	} {
		got, ok := LaTeX(c.text)
		if got != c.want || ok != (c.want != "") {
			t.Errorf("%s\ngot  %s\nwant %s", c.text, got, c.want)
		}
	}
}

func ExampleLaTeX() {
	text, ok := LaTeX("p = p₀ exp(−g₀ (h − H₀)/(R T₀))    λ = 0")
	fmt.Println(text, ok)
	// Output: p = p_{0} \exp(-g_{0} (h - H_{0})/(R T_{0})) \qquad \lambda  = 0 true
}
