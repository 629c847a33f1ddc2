"""A PDF of a printed HTML file, by a Chromium that is found on the machine; nothing is fetched for it."""

import os
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

from twinkit import files

NAMES = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome", "microsoft-edge", "msedge", "brave-browser")
PLACES = {
    "darwin": ("/Applications/Chromium.app/Contents/MacOS/Chromium", "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
               "/Applications/Microsoft Edge.app/Contents/MacOS/Microsoft Edge"),
    "win32": (r"Chromium\Application\chrome.exe", r"Google\Chrome\Application\chrome.exe", r"Microsoft\Edge\Application\msedge.exe"),
}
SECONDS = 120
FLAGS = ("--headless", "--disable-gpu", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync", "--disable-extensions", "--no-pdf-header-footer")
NONE_FOUND = "No Chromium was found on this machine, so there is no PDF: open the HTML file in any browser and print it from there, to paper or to PDF."


def browser():
    """The path of a Chromium (or a browser built on it), None when there is none. TWINKIT_CHROMIUM names one that lies elsewhere."""
    named = os.environ.get("TWINKIT_CHROMIUM")
    if named is not None:
        return named if named and shutil.which(named) else None
    for name in NAMES:
        if found := shutil.which(name):
            return found
    roots = [os.environ.get(name, "") for name in ("PROGRAMFILES", "PROGRAMFILES(X86)", "LOCALAPPDATA")] if sys.platform == "win32" else [""]
    for place in PLACES.get(sys.platform, ()):
        for root in roots:
            if (sys.platform != "win32" or root) and Path(root, place).is_file():
                return str(Path(root, place))
    return None


def make_pdf(source, target):
    """Print an HTML file to PDF; '' when it was done, else a sentence why there is no PDF. A PDF that lay there from another time never stays."""
    source, target = Path(source).resolve(), Path(target).resolve()
    target.unlink(missing_ok=True)
    found = browser()
    if found is None:
        return NONE_FOUND
    root = ("--no-sandbox",) if hasattr(os, "geteuid") and os.geteuid() == 0 else ()
    with tempfile.TemporaryDirectory(prefix="twinkit-pdf-", ignore_cleanup_errors=True) as desk:
        made = Path(desk) / "made.pdf"
        try:
            done = subprocess.run([found, *FLAGS, *root, f"--user-data-dir={desk}/profile", f"--print-to-pdf={made}", source.as_uri()], timeout=SECONDS, capture_output=True, text=True,
                                  errors="replace")
        except subprocess.TimeoutExpired:
            return f"{found} did not finish the PDF within {SECONDS} seconds: print the HTML file from a browser."
        except OSError as error:
            return f"{found} could not be started ({error.strerror or error}): print the HTML file from a browser."
        if done.returncode or not made.is_file() or made.read_bytes()[:5] != b"%PDF-":
            return f"{found} made no PDF (it ended with {done.returncode}): print the HTML file from a browser."
        try:
            with files.making(target) as copy:
                shutil.copyfile(made, copy)
        except OSError as error:
            return f"{target} could not be written ({error.strerror or error}): close it where it is open, then print again."
    return ""
