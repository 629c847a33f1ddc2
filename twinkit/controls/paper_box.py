"""The press that writes templates, working drawing and sheets into the build's folder."""

import html

import ipywidgets as widgets

from twinkit import paper
from twinkit.controls.part import Part


class PaperBox(Part):
    """One press, and what it wrote."""

    def __init__(self, page):
        self.page = page
        self.press = widgets.Button(description="write the files on paper", layout=widgets.Layout(width="auto"))
        self.press.add_class("tk-paper")
        self.said = widgets.HTML("")
        self.press.on_click(page.guard(lambda _: self.write()))
        self.widget = widgets.VBox([widgets.HBox([self.press]), self.said], layout=widgets.Layout(width="100%", max_width="980px"))

    def write(self):
        page = self.page
        try:
            files = paper.write(page.folder, page.record)
        except (paper.NotYet, paper.FolderError) as refused:
            self.said.value = f'<span class="tk-refused">{html.escape(str(refused))}</span>'
            return
        where = "a scratch copy, which goes when this page is closed" if page.scratch else str(files[0].parent)
        lines = "".join(f"<li>{html.escape(words)}</li>" for words in paper.said(page.results, files))
        self.said.value = f"Written into {html.escape(where)}:<ul>{lines}</ul>"

    def take(self, record):
        """The page took over another record: what was written may be of the one before."""
        self.said.value = ""
