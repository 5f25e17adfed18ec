"""The table of figures: one declaration of every figure, for every place that shows it.

Window, text, CSV, Markdown, JSON, printed picture and help page all go through `FIGURES`. A new
figure is worked out in `fairlead.core.figures` and declared in `table`; nothing else needs to know
it. How numbers are written is in `number`, what a declaration can say in `spec`; values
that take more than one line are in `values`.
"""

from fairlead.core.figure_table.number import Number
from fairlead.core.figure_table.spec import (
    OUTPUTS,
    REFERENCE,
    UNRESOLVED,
    FigureColumn,
    FigureSpec,
    Further,
    Output,
)
from fairlead.core.figure_table.table import FIGURES, cells, left_out, shown
from fairlead.core.figure_table.values import segment_text

__all__ = [
    "FIGURES",
    "OUTPUTS",
    "REFERENCE",
    "UNRESOLVED",
    "FigureColumn",
    "FigureSpec",
    "Further",
    "Number",
    "Output",
    "cells",
    "left_out",
    "segment_text",
    "shown",
]
