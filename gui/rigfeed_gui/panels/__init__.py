"""The parts of the main window: each binds to the session and draws what it says."""
