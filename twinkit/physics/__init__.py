"""Relations as pure functions on SI numbers and arrays: no files, widgets or units of display."""
