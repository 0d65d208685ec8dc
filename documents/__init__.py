"""Papers: a frozen view in, PDF bytes out. Decide first, draw after."""
