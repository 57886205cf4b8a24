"""Draws a figure's spec with matplotlib and makes the SVG fit to stand inside a page.

The same spec gives the same bytes. The title is left to the page's caption: inside the drawing it
would be too small on a telephone and said twice.
"""

from __future__ import annotations

import io
import threading
from typing import TYPE_CHECKING, Any

from kb.figures.inline import PALETTE, make_inline
from kb.figures.spec import Axis, FigureSpec, Mark, Series
from kb.quantities import show, unit_of

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.axis import Axis as DrawnAxis

# One drawing unit is about one pixel on a telephone 390 wide with its margins, so that letters stay readable.
_WIDTH, _HEIGHT, _PER_INCH = 360, 280, 72
_FONT_PX = 12
# Told apart without colour: by dashes, and by the shape of a point.
_DASHES = ("solid", (0, (6, 2)), (0, (2, 2)), (0, (6, 2, 2, 2)))
_POINTS = ("o", "s", "^", "D")
_HATCHES = ("", "///", "...", "xxx")
_TICKS = 5
# A label beside a line this near the axis would lie across it.
_LEFT_EDGE = 0.12
_UNIT_ON_AXIS = ("number", "interval", "tempo")

# Settings are global in matplotlib; pages may be built in threads.
_LOCK = threading.Lock()

# Any: the names of matplotlib's settings are a closed set of its own making.
_SETTINGS: Any = {
    "svg.fonttype": "none",
    "text.parse_math": False,
    "axes.unicode_minus": True,
    "font.family": "DejaVu Sans",
    "font.size": _FONT_PX,
    "axes.linewidth": 1.0,
    "axes.edgecolor": PALETTE["ink"],
    "axes.labelcolor": PALETTE["ink"],
    "text.color": PALETTE["ink"],
    "xtick.color": PALETTE["ink"],
    "ytick.color": PALETTE["ink"],
    "grid.color": PALETTE["grid"],
    "grid.linewidth": 0.7,
    "lines.linewidth": 2.0,
    "hatch.color": PALETTE["ink"],
    "axes.spines.top": False,
    "axes.spines.right": False,
}


def draw(spec: FigureSpec) -> str:
    """The figure as an `<svg>` element, without a fixed size, for use inside HTML."""
    import matplotlib as mpl  # noqa: PLC0415 - importing it costs more than most pages
    from matplotlib.backends.backend_svg import FigureCanvasSVG  # noqa: PLC0415
    from matplotlib.figure import Figure  # noqa: PLC0415

    written = io.BytesIO()
    with _LOCK, mpl.rc_context({**_SETTINGS, "svg.hashsalt": spec.digest}):
        figure = Figure(figsize=(_WIDTH / _PER_INCH, _HEIGHT / _PER_INCH), layout="constrained")
        FigureCanvasSVG(figure)
        _fill(figure.add_subplot(), spec)
        metadata = dict.fromkeys(("Date", "Creator", "Format", "Type"))
        figure.savefig(written, format="svg", transparent=True, metadata=metadata)
    return make_inline(written.getvalue(), spec)


def _fill(axes: Axes, spec: FigureSpec) -> None:
    axes.grid(visible=True)
    axes.set_axisbelow(True)
    for number, series in enumerate(spec.series):
        _series(axes, series, number)
    axes.set(xscale="log" if spec.x.is_log else "linear", yscale="log" if spec.y.is_log else "linear")
    for mark in spec.marks:
        _line_across(axes, mark)
    axes.autoscale_view()
    for mark in spec.marks:
        _name_line(axes, mark)
    _axis(axes.xaxis, spec.x)
    _axis(axes.yaxis, spec.y)
    if len(spec.series) > 1:
        axes.figure.legend(loc="outside lower center", ncols=2, frameon=False, handlelength=3)


def _series(axes: Axes, series: Series, number: int) -> None:
    turn = number % len(_DASHES)
    colour = PALETTE[f"line-{turn + 1}"]
    if series.kind == "bars":
        axes.bar(series.x, series.y, color=colour, hatch=_HATCHES[turn], label=series.label, width=0.7)
    elif series.kind == "points":
        axes.plot(
            series.x,
            series.y,
            linestyle="none",
            marker=_POINTS[turn],
            markersize=8,
            color=colour,
            label=series.label,
        )
    else:
        axes.plot(series.x, series.y, linestyle=_DASHES[turn], color=colour, label=series.label)


def _line_across(axes: Axes, mark: Mark) -> None:
    style: dict[str, Any] = {"color": PALETTE["mark"], "linestyle": (0, (1, 1.5)), "linewidth": 1.5}
    if mark.direction == "horizontal":
        axes.axhline(mark.value, **style)
    else:
        axes.axvline(mark.value, **style)


def _name_line(axes: Axes, mark: Mark) -> None:
    """The label along its line, at the far end where curves are seldom."""
    near: dict[str, Any] = {"textcoords": "offset points", "color": PALETTE["mark"], "fontsize": _FONT_PX - 1}
    if mark.direction == "horizontal":
        near.update(xycoords=axes.get_yaxis_transform(), va="bottom", ha="right")
        axes.annotate(mark.label, (1.0, mark.value), (-2, 3), **near)
        return
    across, _ = axes.transAxes.inverted().transform(
        axes.transData.transform((mark.value, axes.get_ylim()[0]))
    )
    is_at_left = across < _LEFT_EDGE
    near.update(
        xycoords=axes.get_xaxis_transform(), va="top", rotation=90, ha="left" if is_at_left else "right"
    )
    axes.annotate(mark.label, (mark.value, 1.0), (3 if is_at_left else -3, -2), **near)


def _axis(drawn: DrawnAxis, axis: Axis) -> None:
    from matplotlib import ticker  # noqa: PLC0415 - as above

    if axis.is_log:
        low, high = drawn.get_view_interval()
        # a decade or two would have one number on it
        steps = (1.0,) if high > 100 * low else (1.0, 3.0) if high > 10 * low else (1.0, 2.0, 5.0)
        drawn.set_major_locator(ticker.LogLocator(subs=steps, numticks=_TICKS + 1))
        drawn.set_minor_formatter(ticker.NullFormatter())
    else:
        drawn.set_major_locator(ticker.MaxNLocator(_TICKS))
    drawn.set_major_formatter(ticker.FuncFormatter(lambda value, _place: _tick(value, axis.dimension)))
    drawn.set_label_text(_label(axis))


def _tick(value: float, dimension: str) -> str:
    # a tick meant to be zero is often 1e-17, which no prefix makes readable
    value = float(f"{value:.9g}")
    return f"{value:g}" if dimension in _UNIT_ON_AXIS else show(value, dimension)


def _label(axis: Axis) -> str:
    has_unit = axis.dimension in _UNIT_ON_AXIS and axis.dimension != "number"
    return f"{axis.label} ({unit_of(axis.dimension)})" if has_unit else axis.label
