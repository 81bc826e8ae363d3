"""A raga that nobody plays, as a file of its own and as a teacher's tradition tells it."""

import re

FILE = """\
name = "Mangal Lehar"
also = ["Mangala"]
about = "It climbs as Bhupali does and falls through tivra Ma."

[that]
is = "Kalyan"
confidence = "A"
source = "invented"

[notes]
is = "S R G M P D"
confidence = "A"
source = "invented"

[scale]
aroha = "S R G P D S'"
avaroha = "S' D P M G R S"
confidence = "A"
source = "invented"

[vadi]
is = "R"
samvadi = "D"
confidence = "A"
source = "invented"

[nyas]
is = "R P D S"
confidence = "A"
source = "invented"

[register]
is = "mandra"
confidence = "A"
source = "invented"

[gait]
is = "grave"
confidence = "A"
source = "invented"

[mood]
is = ["calm"]
confidence = "A"
source = "invented"

[hours]
is = "18-21"
confidence = "A"
source = "invented"

[[phrase]]
sargam = "S R G R"
confidence = "A"
source = "invented"

[[phrase]]
sargam = "R G P D P"
confidence = "A"
source = "invented"

[[phrase]]
sargam = "P D S' D P M G R"
confidence = "A"
source = "invented"

[[phrase]]
sargam = "P M G R S"
confidence = "A"
source = "invented"

[[phrase]]
sargam = "D, S R P M G R S"
confidence = "A"
source = "invented"

[[near]]
raga = "bhupali"
apart = "has no Ma"

[[near]]
raga = "shuddha_kalyan"
apart = "falls through Ni"

[[near]]
raga = "yaman"
apart = "has Ni"
"""
ID = "mangal"


def as_tradition(text: str = FILE, raga: str = ID) -> str:
    """The same in a teacher's file."""
    within = re.sub(r"(?m)^(\[+)", rf"\g<1>{raga}.", text)
    return f"[{raga}]\n{within}"


SHORT = f"""
[{ID}]
name = "Mangal Lehar"
notes = "S R G M P D"
aroha = "S R G P D S'"
avaroha = "S' D P M G R S"
vadi = "R"
samvadi = "D"
nyas = "R P D S"
phrases = ["S R G R", "R G P D P", "P D S' D P M G R", "P M G R S", "D, S R P M G R S"]
near = ["bhupali", "shuddha_kalyan", "yaman"]
"""
"""In few words: of register, gait and hours nothing is told."""
