"""The stages of a performance: what each is, how it sounds, and in which order they come.

stage       what a stage is
order       the partial order in which stages come, and what of it an answer keeps
reading     both read from `assets/stages/`
tradition   a teacher's word on them
passages    a stage played in a raga
asking      what all kinds of question about stages share
"""
