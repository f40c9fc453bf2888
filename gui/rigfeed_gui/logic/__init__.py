"""What the window decides, without a window: nothing in here imports tkinter.

`session` holds the others together: a view calls its methods and listens; the rest can each be used alone.
"""
