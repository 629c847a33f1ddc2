"""A page under test: an IPython shell whose outputs are collected."""

import pytest


class Outputs:
    """Outputs in the order of publishing: each the newest bundle of its display id."""

    def __init__(self):
        self.shown, self.by_id, self.updates = [], {}, 0

    def publish(self, data, metadata=None, *, transient=None, update=False, **_):
        key = (transient or {}).get("display_id")
        if update:
            self.updates += 1
            self.by_id[key].clear()
            self.by_id[key].update(data)
            return
        bundle = dict(data)
        self.shown.append(bundle)
        if key:
            self.by_id[key] = bundle

    def texts(self):
        return "\n".join(b.get("text/plain", "") for b in self.shown)


@pytest.fixture
def outputs(monkeypatch):
    from IPython.core.interactiveshell import InteractiveShell

    shell = InteractiveShell.instance()
    collected = Outputs()
    monkeypatch.setattr(shell.display_pub, "publish", collected.publish)
    monkeypatch.setenv("TWINKIT_STRICT", "1")
    return collected


@pytest.fixture
def build(tmp_path):
    """A build folder with the demo record."""
    from twinkit import tables

    (tmp_path / "build.toml").write_text(tables.text("demo/dunlin.toml"), encoding="utf-8")
    return tmp_path
