"""Decks that are wrong in one thing: `#!` stands on the line at which that is to be told."""

HEAD = 'deck = "d"\nname = "D"\n'
CHOICES = """\
[[question.choice]]
text = "Ga"
right = true
[[question.choice]]
text = "Re"
"""
REASONS = CHOICES.replace("choice", "reason")
ORDER = 'things = ["a", "b", "c"]\n'


def question(kind, rest, *, prompt='prompt = "Which?"', heading="[[question]]"):
    return "\n".join([HEAD + heading, 'id = "q"', f'kind = "{kind}"', prompt, rest])


def missing(kind, rest, **how):
    """What is missing is told at the heading."""
    return question(kind, rest, heading="[[question]] #!", **how)


def one(line="", rest=""):
    """A choose-one with a line before its choices, which are right, and more behind them."""
    return question("choose-one", f"{line}\n{CHOICES}{rest}")


def pairs(*these, last=""):
    """Things in order, and pairs of them, the last of which is wrong in `then`."""
    lines = [f'[[question.before]]\nfirst = "{one}"\nthen = "{other}"' for one, other in these]
    return question("put-in-order", ORDER + "\n".join(lines) + " #!" + last)


def narrowed(kind, rest, heading="[[question]]"):
    return f'{HEAD}{heading}\nid = "q"\nkind = "{kind}"\n{rest}'


def phrases(lines):
    """Yaman and Bhupali, by these lines of Yaman."""
    return narrowed(
        "raga-from-phrase", f'among = ["yaman", "bhupali"]\n[question.phrases]\nyaman = {lines}\n'
    )


RAGAS = (
    *("yaman", "bhairav", "kafi", "todi", "desh", "durga", "bihag"),
    *("shri", "purvi", "marwa", "lalit", "jog", "megh"),
)
THIRTEEN = [f'{raga} = ["S"]\n' for raga in RAGAS]

FILES = [
    ("deck = 'd' #!\n" + one()[len(HEAD) :], "name", "is missing", "what the deck is called"),
    (HEAD.replace("\n", " #!\n", 1), "question", "there is none", r"at least one \[\[question"),
    (HEAD + "question = 3 #!", "question", "no list of tables", r"\[\[question\]\]"),
    (HEAD + "question = [\n3] #!", "question", "3 is no table", r"\[\[question\]\]"),
    (one().replace('"d"', '"My Deck" #!'), "deck", "'My Deck' is no id", "first-gaps"),
    (one().replace('"d"', f'"{"d" * 41}" #!'), "deck", "41 characters", "at most 40"),
    (one().replace('"d"', "12 #!"), "deck", "12 is no text", "in quotes"),
    (f"edition = 0 #!\n{one()}", "edition", "0 cannot be used", "from 1 to 9999"),
    (f"edition = true #!\n{one()}", "edition", "true cannot", "whole number"),
    (f"nmae = 1 #!\n{one()}", "nmae", "is not known", "write name"),
    (f"zzz = 1 #!\n{one()}", "zzz", "is not known", "known are about, by, deck"),
    (f'prompt = "x" #!\n{one()}', "prompt", "does not belong", r"below a \[\[question"),
    (f"tempo = 1 #!\n{one()}", "tempo", "1 cannot be used", "from 10 to 700"),
    (f"tempo = nan #!\n{one()}", "tempo", "nan cannot", "a number from"),
    (f"tempo = 0x{'f' * 5000} #!\n{one()}", "tempo", "very many digits", "a number from"),
    (f'tuning = "/etc/passwd" #!\n{one()}', "tuning", "is not known", "just, equal, or"),
    (f'tuning = "places 1/1 2/1" #!\n{one()}', "tuning", "cannot be used", "twelve ratios"),
    (f'drone = "Sa-pa" #!\n{one()}', "drone", "'Sa-pa' is not known", "write Sa-Pa"),
    (f'voice = "flute" #!\n{one()}', "voice", "'flute' is not", "sitar or string"),
    (f'about = "a\\u0000b" #!\n{one()}', "about", r"U\+0000", "leave that sign out"),
]
NO_TOML = [
    ('deck = "d #!\nname = "D"', "deck", "no TOML", "same quote"),
    ("deck : d #!", "deck", "expected '='", 'key = "value"'),
    (HEAD + 'deck = "e" #!', "deck", "cannot overwrite", "there already"),
    (one('sargam = "m\\R" #!'), "sargam", "is no TOML", "between '…'"),
    (one("tempo = 60.5.5 #!"), "tempo", "is no TOML", "new line after each"),
    (one("why = True #!"), "why", "invalid value", "in quotes; true"),
    (one("why = 2024-02-30 #!"), "why", "no TOML: invalid date", "date in quotes"),
    (one(f"tempo = {'9' * 5000} #!"), "tempo", "cannot be read", "ordinary number"),
    (HEAD + "why = 1\r #!", "why", "no TOML", "new line"),
    (HEAD + "[question] #!", "question", "no list of tables", r"begin each with \[\["),
    (HEAD + f"x = {'[' * 2000} #!", "file", "too deeply", "at most 8"),
    (HEAD + f"# {'x' * 10_000} #!", "file", "10005 characters", "at most 10000"),
    ("# #!\n" + "# é" * 400_000, "file", "more than 1000000 bytes", "share it out"),
    (HEAD + "[[question]]\n" * 500 + "[[question]] #!", "question", "than 500", "several decks"),
    (HEAD + "x = [\n" + "1,\n" * 19_996 + "1, #!\n1]", "file", "20000 fields", "several"),
    (HEAD + "# \ud800 #!", "file", "half of a sign", "anew"),
]
QUESTIONS = [
    (missing("choose-one", CHOICES).replace('id = "q"', ""), "id", "is missing", "and hyphens"),
    (one().replace('-one"', '-on" #!'), "kind", "no kind known", "write choose-one"),
    (one().replace('"choose-one"', '"deck" #!'), "kind", "no kind known", "write"),
    (missing("choose-one", CHOICES, prompt=""), "prompt", "is missing", "what is asked"),
    (one().replace('"Which?"', '" " #!'), "prompt", "is empty", "between the quotes"),
    (one().replace('Which?"', f'{"x" * 401}" #!'), "prompt", "401 characters", "at most 400"),
    (one().replace('Which?"', '\\u001bx" #!'), "prompt", r"U\+001B", "leave that sign"),
    (one('name = "a\\nb" #!'), "name", "breaks off", "one line"),
    (one("holds = true #!"), "holds", "does not belong", "true-or-false, not of choose"),
    (one('right = "S" #!'), "right", "does not belong", "write-swaras"),
    (one("edition = 2 #!"), "edition", "does not belong", "at the top"),
    (one('skills = ["x"] #!'), "skills", "does not belong", "narrows a kind"),
    (one('wyh = "x" #!'), "wyh", "is not known", "write why"),
    (
        one() + one()[len(HEAD) :].replace('"q"', '"q" #!'),
        "id",
        "q stands there already, at line 4",
        "an id of its own",
    ),
]
SOUNDS = [
    (one('sargam = "S x" #!'), "sargam", "at sign 3 of “S x”: 'x' is not", "write one of"),
    (one("sargam = 'S\\R' #!"), "sargam", r"at sign 3 of .*\\ leads down", "mend the line"),
    (one("sargam = \"S''\" #!"), "sargam", "S'' lies beyond the three", "such as S"),
    (one('sargam = "(P,,)m" #!'), "sargam", "P,, lies beyond", "such as P"),
    (one("sargam = \"{N'S''}\" #!"), "sargam", "S'' lies beyond", "such as S"),
    (one('sargam = "S\\nR" #!'), "sargam", "breaks off", "stands between '…'"),
    (one('sargam = "S:500" #!'), "sargam", "500 seconds at 60", "shorten it"),
    (one('sargam = "S"\ntheka = "dadra" #!'), "theka", "beside sargam", "leave out"),
    (one('theka = "tinta" #!'), "theka", "no tala known", "write tintal"),
    (one('theka = "tintal"\ncycles = 17 #!'), "cycles", "17 cannot", "from 1 to 16"),
    (one('cycles = 9\ntheka = "tintal" #!'), "theka", "144 seconds", "at most 120"),
    (one("cycles = 2 #!"), "cycles", "said of a theka", "theka ="),
    (one('recording = "../x.wav" #!'), "recording", "file alone", "without folders"),
    (one('recording = ".x.wav" #!'), "recording", "file alone", "without folders"),
    (one('recording = "x.exe" #!'), "recording", "ends in none", "with its ending"),
]
ANSWERS = [
    (missing("choose-one", ""), "choice", "is missing", r"question.choice\]\], at least 2"),
    (
        question("choose-several", "[[question.choice]] #!\ntext = 'a'\nright = true"),
        "choice",
        "only one",
        "at least 2",
    ),
    (
        one().replace("right = true", "").replace("choice]]", "choice]] #!"),
        "choice",
        "none is right",
        "right = true",
    ),
    (
        one(rest="right = true").replace("choice]]", "choice]] #!"),
        "choice",
        "all are right",
        "one that is wrong",
    ),
    (one().replace('"Re"', '" gA" #!'), "choice 2, text", "'gA' stands .* line 9", "another"),
    (
        one("", "[[question.choice]] #!\nwhy = 'x'"),
        "choice 3, text",
        "is missing",
        "can be chosen",
    ),
    (
        one().replace('"Ga"', '"Ré"').replace('"Re"', '"Re\\u0301" #!'),
        "choice 2, text",
        "sta",
        "an",
    ),
    (one(rest="prompt = 'x' #!"), "choice 2, prompt", "not belong", r"above the first \[\[ques"),
    (one(rest="rigth = true #!"), "choice 2, rigth", "is not known", "write right"),
    (one(rest='sargam = "S H" #!'), "choice 2, sargam", "sign 3", "write one of"),
    (one(rest="sargam = 'S:130' #!"), "choice 2, sargam", "130 seconds", "shorten it"),
    (one(rest='right = "yes" #!'), "choice 2, right", "'yes' is neither", "right = true or"),
    (one(rest="holds = true #!"), "choice 2, holds", "does not belong", "put it above"),
    (
        one(rest="".join(f"[[question.choice]]\ntext = '{at}'\n" for at in range(11))).replace(
            "choice]]", "choice]] #!", 1
        ),
        "choice",
        "there are 13",
        "at most 12",
    ),
    (question("choose-one", "choice = 1 #!"), "choice", "no list of tables", r"\[\[question.ch"),
    (
        question("choose-one", "choice = [{text='a', right=true},\n{text='b'}, \n4] #!"),
        "choice 3",
        "4 is no table",
        r"\[\[question.choice\]\]",
    ),
]
ORDERS = [
    (missing("put-in-order", ""), "things", "is missing", "in a right order"),
    (question("put-in-order", "things = [] #!"), "things", "is empty", "such as things"),
    (question("put-in-order", 'things = "a b" #!'), "things", "no list of texts", "Alap"),
    (question("put-in-order", 'things = ["a"] #!'), "things", "only one", "at least 2"),
    (question("put-in-order", 'things = ["a", "b",\n3] #!'), "things 3", "3 is no text", "quotes"),
    (
        question("put-in-order", 'things = ["a", "b",\n"a"] #!'),
        "things 3",
        "a stands there already, at line 7",
        "leave one",
    ),
    (
        question("put-in-order", f"things = {[str(at) for at in range(13)]} #!"),
        "things",
        "names 13",
        "at most 12",
    ),
    (question("put-in-order", 'things = ["a", "b",\n"A"] #!'), "things 3", "stands", "another"),
    (pairs(("a", "d")), "before 1, then", "'d' is not among", "one of a, b or c"),
    (pairs(("b", "a")), "before 1, then", "'a' stands before 'b' in things", "turn this pair"),
    (pairs(("a", "a")), "before 1, then", "before itself", "another"),
    (pairs(("a", "b"), ("a", "b")), "before 2, then", "there already", "leave it out"),
    (
        pairs(("a", "b"), ("b", "c"), ("c", "a")),
        "before 3, then",
        "'a' comes before 'c' by the pairs above: a circle",
        "turn this pair",
    ),
    (
        pairs(("a", "b"), last="").replace(" #!", "\nwhat = 1 #!"),
        "before 1, what",
        "is not known",
        "first, then, why",
    ),
]
WRITTEN = [
    (missing("write-swaras", ""), "right", "is missing", 'right = "N, R G"'),
    (question("write-swaras", "right = true #!"), "right", "true is no list", "N, R G"),
    (question("write-swaras", 'right = "S R/g - S" #!'), "right", "more than plain", "S R g S"),
    (question("write-swaras", 'right = "SR" #!'), "right", "more than plain", "'S R'"),
    (question("write-swaras", 'right = "S h" #!'), "right", "sign 3", "write one of"),
    (question("write-swaras", 'right = ["S R",\n"S  R"] #!'), "right 2", "same line", "leave"),
    (question("write-swaras", f'right = "{"S " * 25}" #!'), "right", "25 swaras", "at most 24"),
]
PHRASES_WRITTEN = [
    (missing("write-phrase", ""), "sargam", "is missing", 'sargam = "N, R G'),
    (question("write-phrase", 'theka = "tintal" #!'), "theka", "be written in sargam", "sargam ="),
    (question("write-phrase", 'sargam = "S" #!'), "sargam", "it has 1 swara", "at least 2"),
    (question("write-phrase", 'sargam = "S Rc" #!'), "sargam", "the chikari", "leave out each c"),
    (question("write-phrase", 'sargam = "S h" #!'), "sargam", "sign 3", "write one of"),
    (question("write-phrase", f'sargam = "{"S " * 25}" #!'), "sargam", "25 swaras", "at most 24"),
    (
        question("write-phrase", 'sargam = "S R"\ncounts = ["length"] #!'),
        "counts 1",
        "'length' cannot count",
        "write lengths",
    ),
    (
        question("write-phrase", 'sargam = "S R"\ncounts = "lengths" #!'),
        "counts",
        "is no list",
        r'counts = \["lengths"\]',
    ),
    (
        question("write-phrase", 'sargam = "S R"\ncounts = [] #!'),
        "counts",
        "is empty",
        r'counts = \["lengths"\]',
    ),
]
VERDICTS = [
    (missing("true-or-false", ""), "holds", "is missing", "holds = true or holds = false"),
    (question("true-or-false", 'holds = "yes" #!'), "holds", "'yes' is neither", "without"),
    (
        question("true-or-false", "holds = true\n" + REASONS)
        .replace("right = true", "holds = false")
        .replace("reason]]", "reason]] #!"),
        "reason",
        "none is right",
        "right = true",
    ),
    (
        question("true-or-false", f"holds = true\n{REASONS}[[question.reason]] #!")
        + "\ntext = 'x'\nholds = false\nright = true",
        "reason 3",
        "right, but given for the verdict that is wrong",
        "leave out right, or write holds = true",
    ),
    (
        question("true-or-false", f"holds = true\n{REASONS}of = 1 #!"),
        "reason 2, of",
        "is not known",
        "leave it out",
    ),
]
KINDS = [
    (narrowed("gap", 'prompt = "x" #!'), "prompt", "does not belong", "in its own way"),
    (narrowed("gap", "holds = true #!"), "holds", "does not belong", "of true-or-false, not"),
    (narrowed("gap", 'skills = ["gap:R-P:dwn"] #!'), "skills 1", "not asked", "gap:R-P:down"),
    (narrowed("gap", "skills = ['gap:S-P:up',\n'swara:S'] #!"), "skills 2", "of the kind", "own"),
    (narrowed("gap", 'skills = ["zzz"] #!'), "skills 1", "not asked", "main.py kinds gap"),
    (narrowed("gap", "skills = 3 #!"), "skills", "3 is no list", "gap:R-P:up"),
    (narrowed("gap", 'ask = ["gap:Q"] #!'), "ask 1", "nothing that gap asks", "begin it"),
    (narrowed("gap", 'ragas = ["yaman"] #!'), "ragas", "asks of no raga", "leave out"),
    (narrowed("raga-rest", 'talas = ["tintal"] #!'), "talas", "asks of no tala", "leave out"),
    (narrowed("raga-rest", 'ragas = ["yamn"] #!'), "ragas 1", "no raga known", "write yaman"),
    (narrowed("sam", 'talas = ["tintaal"] #!'), "talas 1", "no tala known", "write tintal"),
    (narrowed("swara", 'among = ["R"] #!'), "among", "names only one", "at least 2"),
    (narrowed("gap", 'among = ["R-P", "S-P"] #!'), "among", "beside 234 skills", "at most 24"),
    (narrowed("swara", 'skills = ["swara:R"]\namong = ["g", "P"] #!'), "among", "fewer", "R"),
    (narrowed("sam", 'talas = ["tintal"]\namong = ["1", "2"] #!'), "among", "no answers", "leave"),
    (narrowed("gap", "phrases = {} #!"), "phrases", "its own phrases", "raga-from-phrase"),
    (
        narrowed(
            "raga-from-phrase",
            'ragas = ["yaman"]\nask = ["raga-from-phrase:rest"]',
            "[[question]] #!",
        ),
        "question",
        "nothing is asked so",
        "main.py kinds raga-from-phrase",
    ),
]
AMONG = [
    (
        narrowed("raga-from-phrase", 'among = ["yaman", "bhairav",\n"yemen"] #!'),
        "among 3",
        "'yemen' is no raga",
        "write yaman",
    ),
    (narrowed("raga-from-phrase", 'among = ["yaman"] #!'), "among", "only one", "at least 2"),
    (
        narrowed("raga-from-phrase", 'among = ["yaman",\n" bhupali "] #!'),
        "among 2",
        "no phrase of Bhupali is known that Yaman does not make",
        "phrases of your own",
    ),
    (
        narrowed("raga-from-phrase", 'among = ["yaman", "bhairav"]\nask = ["raga"] #!'),
        "ask",
        "beside among",
        "leave out ask",
    ),
    (phrases('["N, R G M P", "N, r G"] #!'), "phrases, yaman 2", "swara 2, r", "tradition"),
    (phrases('["N, R G M P",\n"S R G"] #!'), "phrases, yaman 2", "Bhupali makes", "another"),
    (phrases('["N, R G M"]\nname = "x" #!'), "phrases, name", "not belong", "above"),
    (phrases('["N, R H"] #!'), "phrases, yaman 1", "sign 6", "write one of"),
    (phrases('["N, R:200 G M P"] #!'), "phrases, yaman 1", "204 seconds", "shorten"),
    (phrases('"N, R G M P" #!'), "phrases, yaman", "no list of texts", "write yaman = "),
    (phrases('["N, R G M"]\nyamn = [] #!'), "phrases, yamn", "not in among", "write yaman"),
    (
        narrowed("raga-from-phrase", "[question.phrases] #!\n" + "".join(THIRTEEN)),
        "phrases",
        "are of 13 ragas",
        "at most 12",
    ),
    (
        narrowed("raga-from-phrase", "phrases = { yaman = ['N, R G M'] } #!"),
        "phrases",
        "of one raga only",
        "name in among",
    ),
]
EXPLAINED = [
    (one().replace("prompt =", "promt ="), "promt", "not known here", "write prompt"),
    (one().replace("id =", "idd ="), "idd", "not known here", "write id"),
    (one().replace("kind =", "kidn ="), "kidn", "not known here", "write kind"),
    (one().replace("[[question]]", "[[qestion]]")[: len(HEAD) + 12], "qestion", "not", "write que"),
    (one().replace("text", "txet", 1), "choice 1, txet", "not known here", "write text"),
    (one().replace("right =", "rihgt ="), "choice 1, rihgt", "not known here", "write right"),
    (one().replace("= true", "= 1"), "choice 1, right", "neither true nor false", "right = true"),
    (question("choose-one", CHOICES.replace("choice", "choise")), "choise", "not", "write choice"),
    (one("teka = 'tintal'\ncycles = 2"), "teka", "not known here", "write theka"),
    (question("put-in-order", ORDER.replace("things", "tings")), "tings", "not", "write things"),
    (question("write-swaras", "rihgt = 'S'"), "rihgt", "not known here", "write right"),
    (question("true-or-false", "hold = true"), "hold", "not known here", "write holds"),
    (
        question(
            "true-or-false", "holds = true\n" + REASONS.replace("true", "true\nholds = false")
        ),
        "reason 1",
        "right, but given for the verdict that is wrong",
        "leave out right",
    ),
    (
        narrowed("raga-from-phrase", "amogn = ['yaman', 'kafi']\nphrases = { yaman = ['N, R G'] }"),
        "amogn",
        "not known here",
        "write among",
    ),
]
"""What else would be wrong follows from it, and is not told; the line is that of the field."""
BROKEN = [
    *(*FILES, *NO_TOML, *QUESTIONS, *SOUNDS, *ANSWERS),
    *(*ORDERS, *WRITTEN, *PHRASES_WRITTEN, *VERDICTS, *KINDS, *AMONG),
]
"""Text, field, and patterns of what is wrong and of what would be right."""
