"""An outing asked for in the terminal, question by question, and written as a commented file."""

from keelwatt.interview.file import outing_text
from keelwatt.interview.script import interview, script
from keelwatt.interview.session import Ask, QuitError, Say, Session

__all__ = ["Ask", "QuitError", "Say", "Session", "interview", "outing_text", "script"]
