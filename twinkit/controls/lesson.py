"""Guess first: a field for a guess, then the computed number beside it."""

import html

import ipywidgets as widgets

from twinkit import units


class Guess:
    """Asks for a guess before the number is shown; compute() gives the SI value when the reader asks for it."""

    def __init__(self, question, compute, kind, system, guard):
        self.question, self._compute, self._kind, self._system = question, compute, kind, system or "metric"
        si_unit, metric, imperial = units.KINDS[kind]
        self._unit = imperial if self._system == "imperial" else metric
        self._si = si_unit
        self.box = widgets.Text(placeholder=self._unit, continuous_update=False, layout=widgets.Layout(width="110px"))
        self.box.tooltip = f"your guess: {question}"
        self.press = widgets.Button(description="compare", layout=widgets.Layout(width="auto"))
        self.answer = widgets.HTML("")
        self.press.on_click(guard(lambda _: self._show()))
        self.widget = widgets.VBox([widgets.HTML(f"<b>Guess first.</b> {html.escape(question)}"), widgets.HBox([self.box, widgets.HTML(self._unit), self.press]), self.answer],
                                   layout=widgets.Layout(width="100%", max_width="980px"))
        self.widget.add_class("tk-guess")

    def saved(self):
        """Question and answer, for who reads the saved page."""
        return f"<p><b>Guess first.</b> {html.escape(self.question)} {self.answer.value}</p>"

    def _show(self):
        try:
            guess = units.parse(self.box.value, self._si, self._unit)
        except units.UnitsError as refused:
            self.answer.value = f'<span class="tk-refused">{html.escape(str(refused))}</span>'
            return
        value = self._compute()
        found = units.say(value, self._kind, self._system)
        if value is None:
            self.answer.value = "The page cannot tell yet: see what is still needed at its head."
            return
        ratio = "" if not value else f" Your guess is {units.digits(guess / value * 100, 2)} % of it." if self._kind != "temperature" else ""
        self.answer.value = f"You guessed {units.say(guess, self._kind, self._system)}, the page finds <b>{found}</b>.{ratio}"
