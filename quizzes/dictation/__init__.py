"""Dictation: a phrase is heard and written down in sargam.

places      what of a written line is heard, place by place
marking     two lines laid side by side, what is right of each part, and what that is worth
showing     the error in its place, in words and to be heard
telling     where a phrase goes as a whole, in words
explaining  how a written line is marked and explained, whoever asked for it
phrases     fresh phrases to be written
rhythm      how their swaras are set in time
hands       what the left hand does in them
beats       the beat by which lengths are heard
"""
