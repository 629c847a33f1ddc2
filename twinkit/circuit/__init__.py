"""The wiring as a graph of parts and pins: topology only, no currents."""
