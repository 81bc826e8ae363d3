"""What is seen: Kivy screens and widgets, one `.py` with one `.kv` each, and the terminal's words.

Nothing here imports Kivy on behalf of the package, so that the drill in a terminal runs without it.
"""
