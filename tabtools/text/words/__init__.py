"""The lines around a system: what each is, and to which bars and notes its words belong."""
