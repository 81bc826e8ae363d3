"""All kinds of question, by name, in the order in which they are usually met."""

from quizzes.kinds.deck import DeckKind
from quizzes.kinds.fit import FitKind
from quizzes.kinds.follows import FollowsKind
from quizzes.kinds.gap import GapKind
from quizzes.kinds.gat_start import GatStartKind
from quizzes.kinds.khali import KhaliKind
from quizzes.kinds.laya import LayaKind
from quizzes.kinds.layakari import LayakariKind
from quizzes.kinds.layout import LayoutKind
from quizzes.kinds.make import MakeKind
from quizzes.kinds.matra import MatraKind
from quizzes.kinds.missing import MissingKind
from quizzes.kinds.order import OrderKind
from quizzes.kinds.ornament import OrnamentKind
from quizzes.kinds.out_of_place import OutOfPlaceKind
from quizzes.kinds.palta import PaltaKind
from quizzes.kinds.prastara import PrastaraKind
from quizzes.kinds.raga_breaks import RagaBreaksKind
from quizzes.kinds.raga_bridge import RagaBridgeKind
from quizzes.kinds.raga_finish import RagaFinishKind
from quizzes.kinds.raga_from_phrase import RagaFromPhraseKind
from quizzes.kinds.raga_gait import RagaGaitKind
from quizzes.kinds.raga_hours import RagaHoursKind
from quizzes.kinds.raga_jati import RagaJatiKind
from quizzes.kinds.raga_make import RagaMakeKind
from quizzes.kinds.raga_mend import RagaMendKind
from quizzes.kinds.raga_odd import RagaOddKind
from quizzes.kinds.raga_palta import RagaPaltaKind
from quizzes.kinds.raga_rest import RagaRestKind
from quizzes.kinds.raga_sa import RagaSaKind
from quizzes.kinds.raga_tanpura import RagaTanpuraKind
from quizzes.kinds.raga_that import RagaThatKind
from quizzes.kinds.raga_turns import RagaTurnsKind
from quizzes.kinds.raga_vadi import RagaVadiKind
from quizzes.kinds.raga_weight import RagaWeightKind
from quizzes.kinds.raga_when import RagaWhenKind
from quizzes.kinds.register import RegisterKind
from quizzes.kinds.sam import SamKind
from quizzes.kinds.shade import ShadeKind
from quizzes.kinds.slip import SlipKind
from quizzes.kinds.strokes import StrokesKind
from quizzes.kinds.swara import SwaraKind
from quizzes.kinds.tala import TalaNameKind
from quizzes.kinds.tap import TapKind
from quizzes.kinds.theka import ThekaKind
from quizzes.kinds.tihai import TihaiKind
from quizzes.kinds.tune import TuneKind
from quizzes.kinds.what_changed import WhatChangedKind
from quizzes.kinds.what_for import WhatForKind
from quizzes.kinds.which_stage import WhichStageKind
from quizzes.kinds.wider import WiderKind
from quizzes.kinds.write import WriteKind
from quizzes.question import Kind

KINDS: dict[str, Kind] = {
    kind.name: kind
    for kind in (
        SwaraKind(),
        GapKind(),
        WiderKind(),
        TuneKind(),
        OrnamentKind(),
        ShadeKind(),
        WhatChangedKind(),
        WriteKind(),
        PaltaKind(),
        PrastaraKind(),
        StrokesKind(),
        SlipKind(),
        MakeKind(),
        RagaFromPhraseKind(),
        RagaWhenKind(),
        RagaOddKind(),
        RagaBreaksKind(),
        RagaMendKind(),
        RagaSaKind(),
        RagaTurnsKind(),
        RagaPaltaKind(),
        RagaRestKind(),
        RagaFinishKind(),
        RagaWeightKind(),
        RagaVadiKind(),
        RagaHoursKind(),
        RagaGaitKind(),
        RagaTanpuraKind(),
        RagaJatiKind(),
        RagaThatKind(),
        RagaBridgeKind(),
        RagaMakeKind(),
        OrderKind(),
        FollowsKind(),
        OutOfPlaceKind(),
        MissingKind(),
        FitKind(),
        LayoutKind(),
        WhichStageKind(),
        WhatForKind(),
        RegisterKind(),
        TalaNameKind(),
        SamKind(),
        KhaliKind(),
        MatraKind(),
        LayaKind(),
        LayakariKind(),
        ThekaKind(),
        TapKind(),
        GatStartKind(),
        TihaiKind(),
    )
}

OWN_KINDS = tuple(KINDS)
"""Names of those that ask by themselves; a deck's questions come with the deck."""
KINDS[DeckKind.name] = DeckKind(KINDS)  # it narrows the others
