"""What a teacher can teach otherwise, fact by fact: what is asked now, by whom, what others have.

fact        one fact, and what is said of it
of_ragas    the facts of a raga
of_talas    the facts of a tala
of_stages   the facts of a stage, and the pairs of their order

`quizzes.tradition_draft` brings what a teacher chooses into the file.
"""
