"""How everything looks: one palette and one scale over the plain clam theme, changed at any time."""

from __future__ import annotations

import sys
import tkinter as tk
import tkinter.font as tkfont
from collections.abc import Callable
from tkinter import ttk
from typing import Any

from rigfeed_gui.logic.palette import PALETTES, Palette

USUAL_DPI = 96.0
POINTS = {"TkDefaultFont": 10, "TkTextFont": 10, "TkMenuFont": 10, "TkHeadingFont": 10, "TkFixedFont": 10,
          "TkTooltipFont": 9, "TkSmallCaptionFont": 9, "TkCaptionFont": 12, "TkIconFont": 10}
LINK = "RigfeedLinkFont"  # by its name: a font object would call Tk when it is collected
SMALL, LARGE, BOLD = "TkSmallCaptionFont", "TkCaptionFont", "TkHeadingFont"


def sharpen() -> None:
    """Tell the platform that we draw at its own resolution; must come before the first window."""
    if sys.platform == "win32":
        import ctypes

        ctypes.windll.shcore.SetProcessDpiAwareness(1)


class Theme:
    """The look of one root window. Distances go through `px`; whoever draws by hand listens for a change."""

    def __init__(self, root: tk.Tk) -> None:
        self.root, self.palette, self.scaling = root, PALETTES["light"], 1.0
        self.style = ttk.Style(root)
        self.style.theme_use("clam")
        root.tk.call("font", "create", LINK)
        self._screen = root.winfo_fpixels("1i") / 72.0  # pixels per point as the platform says
        self._listeners: list[Callable[[], None]] = []

    def px(self, size: float) -> int:
        """A distance for a screen of 96 dpi in pixels of this one."""
        return round(size * self.scaling * self._screen * 72.0 / USUAL_DPI)

    def listen(self, call: Callable[[], None]) -> None:
        """Call this after every change of colours or scale."""
        self._listeners.append(call)

    def forget(self, call: Callable[[], None]) -> None:
        """The opposite of `listen`; nothing happens where it does not listen."""
        if call in self._listeners:
            self._listeners.remove(call)

    def forget_all(self) -> None:
        """All views are about to go."""
        self._listeners.clear()

    def restore(self) -> None:
        """Leave the screen as it was: another window of this process begins from there."""
        self.root.tk.call("tk", "scaling", self._screen)

    def apply(self, palette: str, scaling: float) -> None:
        """Colours by the name of a palette, sizes by a factor over what the screen says."""
        self.palette, self.scaling = PALETTES[palette], scaling
        self.root.tk.call("tk", "scaling", self._screen * scaling)
        for name, points in POINTS.items():
            tkfont.nametofont(name, self.root).configure(size=points)
        for name in (BOLD, LARGE):
            tkfont.nametofont(name, self.root).configure(weight="bold")
        self.root.tk.call("font", "configure", LINK, *self.root.tk.call("font", "configure", "TkDefaultFont"))
        self.root.tk.call("font", "configure", LINK, "-underline", True)
        _plain_widgets(self.root, self.palette)
        self._grounds()
        self._buttons()
        self._fields()
        self._lists()
        for call in tuple(self._listeners):
            call()

    def _grounds(self) -> None:
        style, colours = self.style, self.palette
        style.configure(".", background=colours.ground, foreground=colours.text, troughcolor=colours.area,
                        bordercolor=colours.edge, lightcolor=colours.ground, darkcolor=colours.ground,
                        focuscolor=colours.focus, insertcolor=colours.text, font="TkDefaultFont",
                        selectbackground=colours.lit, selectforeground=colours.on_lit, fieldbackground=colours.sheet)
        style.map(".", foreground=[("disabled", colours.quiet)])
        style.configure("Sheet.TFrame", background=colours.sheet)
        style.configure("Note.TFrame", background=colours.area)
        for ground, back in (("", colours.ground), ("Sheet.", colours.sheet), ("Note.", colours.area)):
            style.configure(f"{ground}TLabel", background=back)
            style.configure(f"Quiet.{ground}TLabel", background=back, foreground=colours.quiet)
            style.configure(f"Small.{ground}TLabel", background=back, foreground=colours.quiet, font=SMALL)
            style.configure(f"Heading.{ground}TLabel", background=back, font=BOLD)
            style.configure(f"Large.{ground}TLabel", background=back, font=LARGE)
            for severity in ("error", "warning", "advice"):
                style.configure(f"{severity}.{ground}TLabel", background=back, foreground=getattr(colours, severity))
        style.configure("TSeparator", background=colours.edge)
        style.configure("TPanedwindow", background=colours.ground)
        style.configure("Sash", sashthickness=self.px(7), gripcount=0, lightcolor=colours.edge,
                        bordercolor=colours.ground, background=colours.ground)
        style.configure("TLabelframe", background=colours.ground, bordercolor=colours.edge)
        style.configure("TLabelframe.Label", background=colours.ground, font=BOLD)

    def _buttons(self) -> None:
        style, colours = self.style, self.palette
        ring = [("focus", colours.focus)]
        edges: dict[str, Any] = {"bordercolor": ring, "lightcolor": ring, "darkcolor": ring}
        style.configure("TButton", padding=(self.px(10), self.px(4)), background=colours.area, anchor="center",
                        lightcolor=colours.area, darkcolor=colours.area, width=0)
        style.map("TButton", background=[("active", colours.sheet)], **edges)
        style.configure("Chief.TButton", background=colours.lit, foreground=colours.on_lit, lightcolor=colours.lit,
                        darkcolor=colours.lit)
        style.map("Chief.TButton", background=[("disabled", colours.area)],
                  foreground=[("disabled", colours.quiet)], bordercolor=[("focus", colours.text)],
                  lightcolor=[("focus", colours.on_lit), ("disabled", colours.area)],
                  darkcolor=[("focus", colours.on_lit), ("disabled", colours.area)])
        style.configure("Tool.TButton", padding=(self.px(6), self.px(3)), background=colours.ground,
                        bordercolor=colours.ground, lightcolor=colours.ground, darkcolor=colours.ground)
        style.map("Tool.TButton", background=[("active", colours.area)], **edges)
        style.configure("Row.TButton", padding=(self.px(8), self.px(5)), anchor="w", background=colours.sheet,
                        justify="left", bordercolor=colours.sheet,
                        lightcolor=colours.sheet, darkcolor=colours.sheet)
        style.map("Row.TButton", background=[("active", colours.area)], **edges)
        style.configure("Link.TButton", padding=0, anchor="w", background=colours.sheet, foreground=colours.lit,
                        font=LINK, bordercolor=colours.sheet, lightcolor=colours.sheet, darkcolor=colours.sheet)
        style.map("Link.TButton", background=[("active", colours.area)], **edges)
        for name in ("TRadiobutton", "TCheckbutton"):
            for ground, back in (("", colours.ground), ("Sheet.", colours.sheet)):
                style.configure(f"{ground}{name}", background=back, indicatorbackground=colours.sheet,
                                indicatorforeground=colours.on_lit, upperbordercolor=colours.edge,
                                lowerbordercolor=colours.edge, indicatorsize=self.px(11), padding=self.px(2),
                                indicatormargin=(self.px(1), self.px(1), self.px(5), self.px(1)))
                style.map(f"{ground}{name}", background=[("active", back)],
                          indicatorbackground=[("selected", colours.lit)],
                          foreground=[("focus", colours.focus), ("disabled", colours.quiet)])
        style.configure("Switch.Toolbutton", padding=(self.px(6), self.px(3)), background=colours.area,
                        bordercolor=colours.edge, lightcolor=colours.area, darkcolor=colours.area)
        style.map("Switch.Toolbutton", background=[("selected", colours.lit), ("active", colours.sheet)],
                  foreground=[("selected", colours.on_lit)], bordercolor=[("focus", colours.text)],
                  lightcolor=[("selected", colours.lit)], darkcolor=[("selected", colours.lit)])

    def _fields(self) -> None:
        style, colours = self.style, self.palette
        edges: dict[str, Any] = {"bordercolor": [("invalid", colours.error), ("focus", colours.focus)],
                                 "lightcolor": [("invalid", colours.error), ("focus", colours.focus)]}
        common = {"padding": self.px(3), "fieldbackground": colours.sheet, "lightcolor": colours.sheet,
                  "darkcolor": colours.sheet, "insertwidth": max(1, self.px(1))}
        for name in ("TEntry", "TCombobox"):
            style.configure(name, **common)
            style.map(name, fieldbackground=[("disabled", colours.ground), ("readonly", colours.sheet)],
                      foreground=[("disabled", colours.quiet)], **edges)
        style.configure("TCombobox", arrowsize=self.px(13), arrowcolor=colours.text, background=colours.area)
        style.map("TCombobox", selectbackground=[("readonly", colours.sheet)], background=[("active", colours.sheet)],
                  selectforeground=[("readonly", colours.text)], arrowcolor=[("disabled", colours.quiet)])
        style.configure("TScrollbar", arrowsize=self.px(12), background=colours.area, arrowcolor=colours.text,
                        troughcolor=colours.ground, bordercolor=colours.edge, lightcolor=colours.area,
                        darkcolor=colours.area, gripcount=0)
        style.map("TScrollbar", background=[("disabled", colours.ground), ("active", colours.sheet)],
                  arrowcolor=[("disabled", colours.quiet)])
        style.configure("TProgressbar", background=colours.lit, troughcolor=colours.area, thickness=self.px(8))

    def _lists(self) -> None:
        style, colours = self.style, self.palette
        line = tkfont.nametofont("TkDefaultFont", self.root).metrics("linespace")
        style.configure("Treeview", background=colours.sheet, fieldbackground=colours.sheet, foreground=colours.text,
                        rowheight=line + self.px(5), bordercolor=colours.edge, lightcolor=colours.sheet,
                        indent=self.px(16))
        style.map("Treeview", background=[("selected", colours.lit)], foreground=[("selected", colours.on_lit)],
                  bordercolor=[("focus", colours.focus)], lightcolor=[("focus", colours.focus)])
        style.configure("Treeview.Item", indicatorsize=self.px(9))
        style.configure("Heading", background=colours.area, foreground=colours.text, font="TkDefaultFont",
                        bordercolor=colours.edge, lightcolor=colours.area, darkcolor=colours.area,
                        padding=(self.px(4), self.px(2)))
        style.map("Heading", background=[("active", colours.sheet)])
        style.configure("TNotebook", bordercolor=colours.edge, lightcolor=colours.ground,
                        tabmargins=(0, self.px(2), 0, 0))
        style.configure("TNotebook.Tab", padding=(self.px(10), self.px(3)), background=colours.area,
                        bordercolor=colours.edge, lightcolor=colours.area)
        style.map("TNotebook.Tab", background=[("selected", colours.ground), ("active", colours.sheet)],
                  lightcolor=[("selected", colours.ground)], foreground=[("focus", colours.focus)],
                  padding=[("selected", (self.px(10), self.px(3)))], expand=[("selected", (0, 0, 0, 0))])


def _plain_widgets(root: tk.Tk, colours: Palette) -> None:
    """Widgets without a style of ttk: those to come through the option database, those that are there by hand."""
    sheet = {"background": colours.sheet, "foreground": colours.text, "selectBackground": colours.lit,
             "selectForeground": colours.on_lit, "insertBackground": colours.text, "highlightColor": colours.focus,
             "highlightBackground": colours.edge}
    menu = {"background": colours.ground, "foreground": colours.text, "activeBackground": colours.lit,
            "activeForeground": colours.on_lit, "disabledForeground": colours.quiet, "selectColor": colours.text}
    top = {"background": colours.ground, "highlightBackground": colours.edge, "highlightColor": colours.edge}
    options = {"Text": sheet, "Listbox": sheet, "Menu": menu, "Toplevel": top,
               "Canvas": {"background": colours.sheet, "highlightColor": colours.focus,
                          "highlightBackground": colours.edge}}
    for kind, values in options.items():
        for name, colour in values.items():
            root.option_add(f"*{kind}.{name}", colour, 80)
    root.configure(background=colours.ground)
    todo: list[tk.Misc] = [root]
    while todo:
        widget = todo.pop()
        todo += widget.winfo_children()
        known = set(widget.keys()) if widget.winfo_class() in options else set()
        changes = {name.lower(): colour for name, colour in options.get(widget.winfo_class(), {}).items()}
        if changes := {name: colour for name, colour in changes.items() if name in known}:
            widget.configure(**changes)
