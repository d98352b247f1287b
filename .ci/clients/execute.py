"""Executes a notebook with nbclient on the installed Foreplane kernel and holds the result against `foreplane run`.

    execute.py NOTEBOOK EXECUTED     EXECUTED is what `foreplane run` wrote
"""

import sys

import nbformat
from nbclient import NotebookClient


def outputs(notebook):
    """What each code cell shows, without what belongs to one run."""
    return [
        [
            {k: v for k, v in output.items() if k not in ("metadata", "execution_count")}
            for output in cell.outputs
        ]
        for cell in notebook.cells
        if cell.cell_type == "code"
    ]


source, executed = sys.argv[1:]
notebook = nbformat.read(source, as_version=4)
NotebookClient(notebook, kernel_name="foreplane", timeout=120).execute()
nbformat.validate(notebook)

ours = nbformat.read(executed, as_version=4)
nbformat.validate(ours)
theirs, ours = outputs(notebook), outputs(ours)
for number, (a, b) in enumerate(zip(theirs, ours, strict=True), 1):
    if a != b:
        sys.exit(f"code cell {number} differs between nbclient and foreplane run:\n{a}\n{b}")
print(f"nbclient: {len(theirs)} code cells, same outputs as foreplane run")
