"""Publishes one notebook of 40 cells with 60 formulas and 12 figures, by foreplane and by the exporter of the front end, and prints times and sizes.

    measure.py FOREPLANE DIR      (jupyter nbconvert on the PATH; DIR takes what is written)
"""
import json
import pathlib
import re
import resource
import subprocess
import sys
import time

foreplane, folder = sys.argv[1], pathlib.Path(sys.argv[2])


def cell(kind, name, source):
    out = {"cell_type": kind, "id": name, "metadata": {}, "source": source}
    return out | {"execution_count": None, "outputs": []} if kind == "code" else out


def notebook():
    """16 texts of 3 formulas each, 12 derivations of one and 12 figures."""
    cells = []
    for i in range(16):
        cells.append(cell("markdown", f"text-{i}", f"## Part {i}\n\nWith $V_{{{i}}} = \\sqrt{{2W/(\\rho S C_L)}}$ and $\\sigma = \\rho/\\rho_0$:\n\n"
                          f"$$D_{{{i}}} = q S \\left(C_{{D0}} + \\frac{{C_L^2}}{{\\pi A e}}\\right) \\label{{eq:drag-{i}}}$$\n\nSee [](#eq:drag-{i})."))
        if i < 12:
            cells.append(cell("code", f"derive-{i}", f"//foreplane:derive\nq{i} := 0.5 * (1.225 * KilogramPerCubicMetre) * ({40 + i} * MetrePerSecond) * ({40 + i} * MetrePerSecond)"))
            cells.append(cell("code", f"figure-{i}", f"x, y := []float64{{}}, []float64{{}}\nfor v := 30.0; v < 80; v++ {{\n\tx, y = append(x, v), append(y, 900/v/v+v*v/{4000 + i})\n}}\n"
                              f"f := figure.New(\"Drag {i}\", figure.Axis{{Label: \"Speed V\", Unit: \"m/s\"}}, figure.Axis{{Label: \"Drag\"}})\nf.Curve(\"drag\", x, y)"))
    kernel = {"display_name": "Foreplane (Go)", "language": "go", "name": "foreplane"}
    return {"cells": cells, "metadata": {"kernelspec": kernel, "language_info": {"name": "go"}, "title": "Forty cells"}, "nbformat": 4, "nbformat_minor": 5}


def used():
    return sum(resource.getrusage(resource.RUSAGE_CHILDREN)[:2])


def timed(name, page, *command):
    """Runs a command three times; prints the least time, the processor's time of that run, and what is in the page."""
    runs = []
    for _ in range(3):
        start, before = time.monotonic(), used()
        subprocess.run(command, check=True, capture_output=True)
        runs.append((time.monotonic() - start, used() - before))
    text = page.read_text()
    count = {
        "formulas set": len(re.findall('<span class="katex"', text)),
        "scripts": text.count("<script"),
        "hosts asked": len(set(re.findall(r'(?:src|href)="(https?://[^"/]+)', text))),
        "references with a number": len(re.findall(r"<a [^>]*>Equation \d+</a>", text)),
        "pictures with a text": len(re.findall('<img[^>]+alt="(?!No description)[^"]{20}|<svg[^>]+role="img"', text)),
        "tables of their data": len(re.findall("<details", text.split("<main")[-1])),
    }
    time_, processor = min(runs)
    print(f"{name}: {time_:.2f} s ({processor:.2f} s of processor), {page.stat().st_size / 1000:.0f} kB, " + ", ".join(f"{v} {k}" for k, v in count.items()))


source, done = folder / "forty.ipynb", folder / "forty.out.ipynb"
source.write_text(json.dumps(notebook()))
subprocess.run([foreplane, "run", source, "--to", folder], check=True, capture_output=True)
page = folder / "site" / "forty.html"
timed("foreplane publish, run anew", page, foreplane, "publish", source, "--to", folder / "site")
stored = folder / "stored" / "forty.out.html"
timed("foreplane publish --as-stored", stored, foreplane, "publish", done, "--as-stored", "--to", folder / "stored")
timed("nbconvert, of stored outputs", folder / "forty-lab.html", "jupyter", "nbconvert", "--to", "html", "--output", "forty-lab", "--output-dir", folder, done)
size = page.stat().st_size
sys.exit(size > 500_000)
