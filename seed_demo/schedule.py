"""The season's sixty games: where and when, who whistles, who observes. Towns are invented."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Final

from evaluations.core.games import POSITIONS, CrewPosition
from seed_demo.moments import at

# Town: its team, its gym.
TOWNS: Final = {
    "Brackenau": ("Brackenau Badgers", "Brackenau Armory gym"),
    "Corvane": ("Corvane Kilns", "Corvane Fieldhouse"),
    "Dunmere": ("Dunmere Drovers", "Dunmere Fieldhouse"),
    "Hollin": ("Hollin Prairie Larks", "Hollin Prairie High gym"),
    "Ostermoor": ("Ostermoor Otters", "Ostermoor High gym"),
    "Pellamridge": ("Pellamridge Plovers", "Pellamridge gym"),
    "Quillwater": ("Quillwater Mills", "Quillwater Mill gym"),
    "Saltlick": ("Saltlick Fork Finches", "Saltlick Fork gym"),
    "Stavemark": ("Stavemark Coopers", "Stavemark gym"),
    "Tarrowby": ("Tarrowby Herons", "Tarrowby gym"),
    "Wexbridge": ("Wexbridge Weavers", "Wexbridge Community Center"),
    "Yarrow": ("Yarrow Bend Herd", "Yarrow Bend Center"),
}

# Level of play, and minutes of a quarter.
LEVELS: Final = {
    "GV": ("Girls varsity", 8),
    "BV": ("Boys varsity", 8),
    "GJ": ("Girls junior varsity", 7),
    "BJ": ("Boys junior varsity", 7),
    "GF": ("Girls freshman", 7),
    "BF": ("Boys freshman", 7),
    "MG": ("Middle school girls", 6),
    "MB": ("Middle school boys", 6),
}

# Key, day, time, level, home and visitors, crew from the referee on, observer if any.
TABLE: Final = """
1002a | 2026-10-02 19:00 | BJ | Saltlick Wexbridge    | wierzba castellano          | fenwick
1003a | 2026-10-03 17:00 | BJ | Corvane Stavemark     | kowal wierzba               |
1006a | 2026-10-06 19:00 | BJ | Tarrowby Yarrow       | birdsong eddings            | marchetti
1006b | 2026-10-06 19:30 | GJ | Quillwater Hollin     | mabry vuletin               | voss
1008a | 2026-10-08 17:30 | MG | Hollin Brackenau      | lindqvist halloway          | zajac
1008b | 2026-10-08 19:00 | BV | Dunmere Ostermoor     | fenwick ruhl morikawa       | voss
1008c | 2026-10-08 19:00 | BJ | Yarrow Stavemark      | haddadin brandvold          | ibarra
1009a | 2026-10-09 19:00 | GV | Wexbridge Quillwater  | thornquist oshaughlin       | voss
1010a | 2026-10-10 14:00 | MG | Brackenau Ostermoor   | oakley pritchett            | ibarra
1010b | 2026-10-10 17:00 | BJ | Dunmere Tarrowby      | arrizabal quintero          | ibarra
1013a | 2026-10-13 19:00 | GV | Pellamridge Saltlick  | hvammdal raghunath          | zajac
1013b | 2026-10-13 19:30 | BJ | Corvane Hollin        | morikawa wierzba            | marchetti
1015a | 2026-10-15 19:00 | GV | Pellamridge Stavemark | zizka ruhl                  | marchetti
1016a | 2026-10-16 17:30 | GF | Dunmere Saltlick      | zizka kowal                 |
1020a | 2026-10-20 19:00 | BV | Wexbridge Tarrowby    | oakley birdsong             | zajac
1022a | 2026-10-22 19:30 | GV | Hollin Quillwater     | mabry demirel               | zajac
1023a | 2026-10-23 19:00 | BV | Yarrow Brackenau      | wierzba brandvold           | voss
1024a | 2026-10-24 14:00 | BV | Corvane Ostermoor     | haddadin castellano         | zajac
1024b | 2026-10-24 17:00 | GJ | Tarrowby Dunmere      | arrizabal birdsong          |
1027a | 2026-10-27 19:00 | BJ | Pellamridge Brackenau | lindqvist raghunath         | tamblyn
1029a | 2026-10-29 19:00 | BJ | Yarrow Quillwater     | haddadin oshaughlin         | fenwick
1029b | 2026-10-29 19:00 | BV | Wexbridge Hollin      | oakley castellano demirel   | tamblyn
1029c | 2026-10-29 19:00 | BV | Stavemark Tarrowby    | zizka mabry                 | voss
1030a | 2026-10-30 19:00 | GV | Saltlick Dunmere      | morikawa thornquist         | voss
1030b | 2026-10-30 19:00 | BV | Wexbridge Pellamridge | eddings arrizabal vuletin   | tamblyn
1031a | 2026-10-31 14:00 | MB | Saltlick Corvane      | wierzba pritchett           | marchetti
1103a | 2026-11-03 17:30 | MB | Ostermoor Quillwater  | hvammdal halloway           | ibarra
1105a | 2026-11-05 19:00 | GV | Yarrow Stavemark      | birdsong ruhl               | ibarra
1106a | 2026-11-06 19:00 | GV | Tarrowby Dunmere      | quintero eddings lindqvist  | tamblyn
1106b | 2026-11-06 19:00 | BJ | Brackenau Hollin      | castellano kowal            | fenwick
1107a | 2026-11-07 17:00 | BV | Wexbridge Ostermoor   | kowal vuletin               | voss
1110a | 2026-11-10 19:00 | GV | Corvane Quillwater    | thornquist wierzba          | ibarra
1110b | 2026-11-10 19:30 | GJ | Brackenau Yarrow      | zizka arrizabal             | tamblyn
1112a | 2026-11-12 19:00 | BV | Dunmere Stavemark     | demirel morikawa            | marchetti
1113a | 2026-11-13 18:00 | BF | Pellamridge Hollin    | hvammdal pritchett          | ibarra
1113b | 2026-11-13 19:00 | BV | Saltlick Tarrowby     | raghunath oshaughlin        | fenwick
1113c | 2026-11-13 19:00 | BV | Ostermoor Quillwater  | oakley quintero             | tamblyn
1114a | 2026-11-14 14:00 | BJ | Yarrow Corvane        | vuletin haddadin            | zajac
1114b | 2026-11-14 17:00 | GV | Dunmere Stavemark     | brandvold castellano        | voss
1117a | 2026-11-17 18:00 | GJ | Pellamridge Hollin    | ruhl mabry                  | voss
1117b | 2026-11-17 19:30 | GV | Brackenau Tarrowby    | castellano birdsong vuletin | marchetti
1119a | 2026-11-19 19:00 | BV | Saltlick Wexbridge    | zizka hvammdal              | ibarra
1120a | 2026-11-20 17:30 | MG | Wexbridge Hollin      | fenwick halloway            | tamblyn
1120b | 2026-11-20 19:00 | BV | Dunmere Saltlick      | arrizabal oshaughlin        | ibarra
1120c | 2026-11-20 19:30 | GV | Pellamridge Corvane   | eddings mabry raghunath     | zajac
1121a | 2026-11-21 14:00 | GV | Brackenau Yarrow      | kowal thornquist            |
1121b | 2026-11-21 17:00 | BV | Ostermoor Stavemark   | lindqvist quintero          | ibarra
1124a | 2026-11-24 16:30 | BF | Quillwater Saltlick   | demirel ruhl                | marchetti
1124b | 2026-11-24 19:30 | BV | Quillwater Saltlick   | oakley brandvold            | marchetti
1128a | 2026-11-28 17:00 | GV | Corvane Brackenau     | birdsong thornquist         |
1201a | 2026-12-01 19:00 | BJ | Hollin Stavemark      | kowal mabry                 | tamblyn
1203a | 2026-12-03 19:00 | BV | Dunmere Pellamridge   | zizka fenwick               | marchetti
1205a | 2026-12-05 14:00 | MB | Wexbridge Ostermoor   | raghunath halloway          |
1208a | 2026-12-08 19:30 | GV | Tarrowby Yarrow       | wierzba arrizabal oshaughlin |
1210a | 2026-12-10 19:00 | BJ | Tarrowby Saltlick     | brandvold vuletin           |
1212a | 2026-12-12 17:00 | GV | Wexbridge Brackenau   | quintero eddings            | ibarra
1215a | 2026-12-15 19:00 | BF | Pellamridge Ostermoor | haddadin pritchett          |
1217a | 2026-12-17 19:00 | GV | Corvane Dunmere       | demirel castellano          |
0109a | 2027-01-09 17:00 | BV | Hollin Stavemark      | hvammdal lindqvist          |
0116a | 2027-01-16 17:00 | GV | Yarrow Quillwater     | morikawa oakley ruhl        |
"""


@dataclass(frozen=True)
class PlannedGame:
    """A line of the table; crew and observer are people's keys, `minutes` those of a quarter."""

    key: str
    plays_at: datetime
    level: str
    minutes: int
    home: str
    visitors: str
    site: str
    crew: tuple[str, ...]
    observer: str

    @property
    def places(self) -> dict[CrewPosition, str]:
        return dict(zip(POSITIONS[len(self.crew)], self.crew, strict=True))

    def place_of(self, official: str) -> CrewPosition:
        return next(place for place, key in self.places.items() if key == official)


def planned_games() -> tuple[PlannedGame, ...]:
    """The table's games in the order of play."""
    return tuple(_game(*line.split("|")) for line in TABLE.strip().splitlines())


def _game(key: str, plays_at: str, level: str, towns: str, crew: str, observer: str) -> PlannedGame:
    home, visitors = towns.split()
    words, minutes = LEVELS[level.strip()]
    return PlannedGame(
        key=key.strip(),
        plays_at=at(plays_at.strip()),
        level=words,
        minutes=minutes,
        home=TOWNS[home][0],
        visitors=TOWNS[visitors][0],
        site=TOWNS[home][1],
        crew=tuple(crew.split()),
        observer=observer.strip(),
    )
