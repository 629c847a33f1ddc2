"""Controls and the printers of findings for a page: fields made from the register, rows, the guard."""
