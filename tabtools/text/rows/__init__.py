"""The characters of string rows: to notes and marks, to bar lines, and to the columns of a system."""
