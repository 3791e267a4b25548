"""An outing asked for in the terminal, question by question, and written as a commented file."""

from keelwatt.interview.file import outing_text
from keelwatt.interview.script import interview
from keelwatt.interview.talk import Ask, Say

__all__ = ["Ask", "Say", "interview", "outing_text"]
