"""What is printed or handed over: tables as data, and their writers."""
