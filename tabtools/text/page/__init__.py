"""A page before its notes: clean lines, string rows, kinds of lines, and the facts that they say."""
