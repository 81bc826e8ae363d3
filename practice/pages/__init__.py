"""Pages for teacher and student: what stands on them, how it is set on A4, and writing it."""
