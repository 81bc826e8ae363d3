"""The stages of a performance: what each is, how it sounds, and in which order they come.

stage       what a stage is
order       the partial order in which stages come, and what of it an answer keeps
reading     both read from `assets/stages/`
tradition   a teacher's word on them
passages    a stage played in a raga, by these:
  played    what a passage is before it sounds, and how near to its description
  saptaks   whether a line lies in the saptaks that a stage goes through
  phrasing  phrases of the raga along a path through them; joining: from one to the next
  adorning  what the left hand does to them
  free      no pulse; measured: a pulse, with chikari between; jhalas, gats, tihais
  tans      tans over the theka; runs: their rows of swaras
  loudness  every passage as loud as any other
fitting     which laya, tala and ornament suit what
sharing     how time is shared out among stages, and how near an answer comes
layouts     the usual ways of sharing it out, as the files or a teacher have them
frames      which stages can be asked side by side, and what may come next to what
following   what is right beside a stage, and what surely is not
wording     why one stage comes before another, in words
glimpses    stages heard in turn, each for a moment
telling     what tells one stage from another by ear; describing: that in words
wholes      what is divided into stages, and what one of them is called
offering    which answers are offered beside each other
explaining  in which raga a question is played, and its explanation beside it
asking      what all kinds of question about stages share
said        what is said of the files, for who translates it
"""
