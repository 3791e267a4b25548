"""One renderer a form: terminal and JSON."""
